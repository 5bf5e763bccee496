"""Documents as PDF pages: reportlab sets the blocks, tagged, with bookmarks and page feet.

`document_to_pdf` is a function of a `Document` and a page size alone: no clock, no locale, the
same bytes every time.  Text reaches reportlab through `risk.render.pdf_words`, which escapes
it; drawings are painted as vectors from their scene.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    Indenter,
    KeepTogether,
    NextPageTemplate,
    PageTemplate,
    Spacer,
)
from reportlab.platypus import PageBreak as NewPage

from risk.document.blocks import (
    Align,
    Beside,
    Block,
    Bullets,
    Caution,
    Document,
    Figure,
    FillIn,
    Heading,
    PageBreak,
    Paragraph,
    Table,
    Together,
    flatten,
)
from risk.render.pdf_flow import (
    BESIDE_STYLE,
    CAUTION_STYLE,
    CELL_PAD,
    FILL_IN_STYLE,
    GREY,
    Drawing,
    Grid,
    NumberedCanvas,
    Prose,
    RightToLeft,
    Rule,
)
from risk.render.pdf_foot import Foot
from risk.render.pdf_metadata import add_metadata
from risk.render.pdf_scene import missing_in
from risk.render.pdf_sheets import (
    FOOT,
    MARGIN,
    PAGES,
    PageSize,
    Sheet,
    fit,
    larger_sheet,
    least_scale,
)
from risk.render.pdf_tables import column_widths, table_rows, table_style
from risk.render.pdf_tags import Element, Structure
from risk.render.pdf_words import Weight, Words, right_to_left

#: The longest line that is comfortable to read; tables and drawings may be wider.
_MEASURE = 420.0
_SIZE, _LEADING = 10.6, 14.2
_SMALL, _SMALL_LEADING = 9.0, 11.6
_INDENT = 20.0
#: Factors on the size of type that are tried, in turn, for a document that wishes for few pages.
_TIGHTNESS = (0.93, 0.86, 0.8)
#: From one line to write on to the next.
_WRITING = 20.0
#: The share of the width that a picture beside words has, or is left free for one.
_PICTURE = 0.3
#: A heading, and the caption, header and first rows of a table, are not parted by a page.
_START_OF_TABLE = 130.0
#: A group that takes more of a page than this would leave too much of the page before it empty.
_TALL_GROUP = 0.4

_ALIGNMENT: dict[Align, int] = {"left": 0, "center": 1, "right": 2}


def document_to_pdf(document: Document, page: PageSize = "a4") -> bytes:
    """Return the document as a tagged PDF whose pages all carry its footer.

    Where the document wishes for few pages, smaller type is tried before more are taken.
    Signs that no bundled face has are shown by their code and explained at the end.
    """
    loose, pages = _Typesetter(document, page).pdf()
    if pages > document.most_pages > 0:
        for tight in _TIGHTNESS:
            content, pages = _Typesetter(document, page, tight).pdf()
            if pages <= document.most_pages:
                return content
    return loose


class _Typesetter:
    """One document on its way to pages: its structure, its styles and its page formats."""

    def __init__(self, document: Document, page: PageSize, tight: float = 1.0) -> None:
        self.document = document
        self.page = page
        self.tight = tight  # factor on type and drawings
        self.words = Words()
        self.structure = Structure()
        self.foot = Foot(document, self.words, self.structure)
        self.sheet = Sheet("page", *PAGES[page])
        self.sheets = {self.sheet.name: self.sheet}
        self.part: Element = self.structure.root
        self.apart: list[Any] = []
        self.headings = 0
        self.open_levels: list[int] = []  # of the last heading and those that it belongs to
        self.within = False  # inside a group, which must not ask for a page of its own
        self.styles: dict[tuple[Any, ...], ParagraphStyle] = {}

    # --- the file ---------------------------------------------------------------------------

    def pdf(self) -> tuple[bytes, int]:
        """Return the file and how many pages it has."""
        flow = [*self._title(), *self._flow(self.document.blocks), *self._drawings_apart()]
        flow += self._missing_signs()
        buffer = io.BytesIO()
        template = BaseDocTemplate(
            buffer,
            pagesize=(self.sheet.width, self.sheet.height),
            title=self.document.title,
            author=self.document.author or "Two-Thirds",
            subject=self.document.subject,
            creator="Two-Thirds",
            lang=self.document.language,
            invariant=1,
            initialFontName=self.words.face("regular"),
            pageCompression=1,
        )
        template.addPageTemplates([self._template(sheet) for sheet in self.sheets.values()])
        template.build(flow, canvasmaker=self._canvas)
        return buffer.getvalue(), template.page

    def _canvas(self, *args: Any, **options: Any) -> NumberedCanvas:
        canvas = NumberedCanvas(*args, **options)
        canvas.before_save = lambda: self._finish(canvas.file)
        canvas.setViewerPreference("DisplayDocTitle", "true")
        if self.headings > 1:
            canvas.showOutline()
        return canvas

    def _finish(self, file: Any) -> None:
        self.structure.finish(file)
        add_metadata(
            file,
            title=self.document.title,
            author=self.document.author or "Two-Thirds",
            subject=self.document.subject,
            language=self.document.language,
        )

    def _template(self, sheet: Sheet) -> PageTemplate:
        frame = Frame(
            sheet.margin,
            FOOT,
            *sheet.room,
            leftPadding=0,
            rightPadding=0,
            topPadding=0,
            bottomPadding=0,
        )
        return PageTemplate(
            id=sheet.name,
            frames=[frame],
            pagesize=(sheet.width, sheet.height),
            onPageEnd=lambda canvas, _: self.foot.draw(canvas, sheet),
        )

    # --- texts ------------------------------------------------------------------------------

    def _style(
        self,
        weight: Weight = "regular",
        size: float = _SIZE,
        leading: float = _LEADING,
        **options: Any,
    ) -> ParagraphStyle:
        key = (weight, size, leading, *sorted(options.items()))
        if key not in self.styles:
            self.styles[key] = ParagraphStyle(
                f"style{len(self.styles)}",
                fontName=self.words.face(weight),
                fontSize=size * self.tight,
                leading=leading * self.tight,
                allowWidows=0,
                allowOrphans=0,
                splitLongWords=1,
                **options,
            )
        return self.styles[key]

    def _prose(
        self,
        text: str,
        style: ParagraphStyle,
        weight: Weight = "regular",
        *,
        element: Element | None = None,
        lead: str = "",
        marker: str = "",
    ) -> Flowable:
        """A text as one flowable that belongs to `element` (or to a new paragraph)."""
        element = element or self.part.add("P")
        if right_to_left(text + lead):
            whole = f"{marker} {lead} {text}".strip()
            return RightToLeft(whole, style, weight, self.words, self.structure, element)
        markup = self.words.markup(self.words.clean(text), style, weight)
        if lead:
            markup = f"{self.words.markup(self.words.clean(lead), style, 'bold')} {markup}"
        bullet = self.words.clean(marker) if marker else None
        prose = Prose(markup, style, bulletText=bullet)
        prose.structure, prose.element = self.structure, element
        return prose

    def _title(self) -> list[Flowable]:
        style = self._style("bold", 19, 23, spaceAfter=4)
        parts = [self._prose(self.document.title, style, "bold", element=self.part.add("H1"))]
        small = self._style("italic", _SMALL, _SMALL_LEADING, textColor=GREY)
        parts += [self._prose(line, small, "italic") for line in self.document.byline]
        return [*parts, Rule(self.structure, 1.0, 4, 8)]

    def _missing_signs(self) -> list[Flowable]:
        if not self.words.missing:
            return []
        listed = "; ".join(f"[{code}] is {name}" for code, name in self.words.missing.items())
        text = f"Signs that the faces of this document do not have are shown by code: {listed}."
        if any(
            missing_in(block.scene)
            for block in flatten(self.document.blocks)
            if isinstance(block, Figure)
        ):
            text = f"{text} In drawings they are shown as \N{REPLACEMENT CHARACTER}."
        return [self._prose(text, self._style("italic", _SMALL, _SMALL_LEADING, spaceBefore=10))]

    # --- blocks -----------------------------------------------------------------------------

    def _flow(self, blocks: Sequence[Block]) -> list[Any]:
        """The blocks as flowables; headings stay with the beginning of what they are above."""
        flow: list[Any] = []
        above: list[Heading] = []
        for block in blocks:
            if isinstance(block, Heading):
                above.append(block)
                continue
            opens_table = isinstance(block, Table) and not block.indent and not self.within
            keep = not opens_table
            heads = [part for head in above for part in self._heading(head, keep=keep)]
            below = self._block(block)
            if heads and opens_table:
                flow.append(CondPageBreak(_START_OF_TABLE))
            elif heads and below and isinstance(below[0], KeepTogether):
                below[0] = KeepTogether([*heads, *below[0]._content])
                heads = []
            flow += [*heads, *below]
            above = []
        return [*flow, *(part for head in above for part in self._heading(head))]

    def _grouped(self, blocks: Sequence[Block]) -> list[Any]:
        outside, self.within = self.within, True
        flow = self._flow(blocks)
        self.within = outside
        return flow

    def _kept(self, flow: list[Any]) -> list[Any]:
        """The flowables of a group on one page; a tall group may be parted before a table."""
        width, page = self.sheet.room
        tall = sum(each.wrap(width, page)[1] for each in flow if not isinstance(each, Indenter))
        if tall <= page * _TALL_GROUP:
            return [KeepTogether(flow)]
        starts = [i for i, each in enumerate(flow) if isinstance(each, Grid)]
        cuts = [i - isinstance(flow[i - 1], Indenter) for i in starts[1:]]
        parts = [flow[i:j] for i, j in zip([0, *cuts], [*cuts, len(flow)], strict=True)]
        return [KeepTogether(part) for part in parts]

    def _in_column(self, width: float, blocks: Sequence[Block]) -> list[Any]:
        whole, self.sheet = self.sheet, Sheet("", width + 2 * MARGIN, self.sheet.height)
        flow = self._grouped(blocks)
        self.sheet = whole
        return flow

    def _block(self, block: Block) -> list[Any]:
        match block:
            case Heading():
                return self._heading(block)
            case Paragraph():
                return self._paragraph(block)
            case Table():
                return self._table(block)
            case Bullets():
                return self._bullets(block)
            case Figure():
                return self._figure(block)
            case FillIn():
                return self._fill_in(block)
            case Caution():
                return self._caution(block)
            case PageBreak():
                return [*self._drawings_apart(), NewPage()]
            case Together():
                flow = self._grouped(block.blocks)
                return flow if self.within else self._kept(flow)
            case Beside():
                return self._beside(block)

    def _heading(self, block: Heading, *, keep: bool = True) -> list[Any]:
        size = {1: 16.0, 2: 12.4}.get(block.level, _SIZE)
        before = {1: 18.0, 2: 13.0}.get(block.level, 8.0)
        style = self._style(
            "bold", size, size * 1.25, spaceBefore=before, spaceAfter=3, keepWithNext=int(keep)
        )
        # Counted anew: a level left out would mislead those who walk from heading to heading.
        while self.open_levels and self.open_levels[-1] >= block.level:
            self.open_levels.pop()
        depth = len(self.open_levels)
        self.open_levels.append(block.level)
        element = self.part.add(f"H{min(depth + 2, 6)}")
        heading = self._prose(block.text, style, "bold", element=element)
        self.headings += 1
        heading.outline = (block.text, f"heading{self.headings}", depth)
        return [heading]

    def _paragraph(self, block: Paragraph) -> list[Any]:
        weight: Weight = {"answer": "bold", "note": "italic"}.get(block.style, "regular")  # type: ignore[assignment]
        size, leading = (_SMALL, _SMALL_LEADING) if block.style == "note" else (_SIZE, _LEADING)
        hang = _INDENT if block.marker else 0.0
        left = _INDENT * block.indent + hang
        style = self._style(
            weight,
            size,
            leading,
            leftIndent=left,
            bulletIndent=left - hang,
            bulletFontName=self.words.face("bold"),
            bulletFontSize=size,
            rightIndent=0 if weight == "bold" else max(self.sheet.room[0] - _MEASURE - left, 0),
            spaceBefore=6 if block.marker else 2,
            spaceAfter=4,
            keepWithNext=1 if block.marker else 0,
        )
        texts = [part for part in block.text.splitlines() if part.strip()] or [""]
        return [
            self._prose(
                part,
                style,
                weight,
                lead=block.lead if i == 0 else "",
                marker=block.marker if i == 0 else "",
            )
            for i, part in enumerate(texts)
            if part or block.lead or block.marker
        ]

    def _bullets(self, block: Bullets) -> list[Any]:
        left = _INDENT * block.indent + 12
        style = self._style(
            leftIndent=left,
            bulletIndent=left - 11,
            bulletFontName=self.words.face("regular"),
            bulletFontSize=_SIZE,
            rightIndent=max(self.sheet.room[0] - _MEASURE - left, 0),
            spaceAfter=2,
        )
        whole = self.part.add("L")
        return [
            self._prose(item, style, element=whole.add("LI").add("LBody"), marker="•")
            for item in block.items
        ]

    def _caution(self, block: Caution) -> list[Any]:
        style = self._style("regular", _SIZE, _LEADING)
        text = self._prose(block.text, style, lead="Caution.")
        grid = Grid([[text]], colWidths=[self.sheet.room[0]], style=CAUTION_STYLE)
        grid.structure = self.structure
        return [Spacer(0, 2), grid, Spacer(0, 8)]

    def _fill_in(self, block: FillIn) -> list[Any]:
        lines = [
            Rule(self.structure, 0.4, _WRITING, 0, dashed=True) for _ in range(max(block.lines, 1))
        ]
        after = Spacer(0, 6)
        if not block.label:
            return [*lines, after]
        style = self._style("italic", spaceBefore=4, keepWithNext=1)
        label = self._prose(block.label, style, "italic")
        width = self.words.width(self.words.clean(block.label), style.fontSize, "italic")
        room = self.sheet.room[0]
        if len(lines) > 1 or width > room / 2:
            return [label, *lines, after]
        grid = Grid([[label, lines]], colWidths=[width + 6, room - width - 6], style=FILL_IN_STYLE)
        grid.structure = self.structure
        return [Spacer(0, _WRITING - style.leading), grid, after]

    # --- tables -----------------------------------------------------------------------------

    def _table(self, block: Table) -> list[Any]:
        room = self.sheet.room[0] - _INDENT * block.indent
        size, leading = (_SIZE, 13.4) if block.indent else (9.6, 12.2)
        widths = column_widths(block, self.words, room, size * self.tight)
        whole = self.part.add("Table", block.caption)
        cells = []
        for cells_of_row, kind in table_rows(block):
            row = whole.add("TR", once=kind == "TH")
            cells.append(
                [
                    self._prose(
                        cell,
                        self._style(weight, size, leading, alignment=_ALIGNMENT[align]),
                        weight,
                        element=row.add(kind, once=kind == "TH"),
                    )
                    if cell
                    else row.blank(kind)
                    for (cell, weight), align in zip(cells_of_row, block.align, strict=True)
                ]
            )
        if not cells:
            return []
        grid = Grid(
            cells,
            colWidths=widths,
            style=table_style(block),
            repeatRows=len(block.header),
            hAlign="LEFT",
            spaceBefore=4,
            spaceAfter=8,
        )
        grid.structure = self.structure
        grid.wrap(room, self.sheet.room[1])
        # Only where it must: a split row repeats the header in the middle of the page.
        page, heights = self.sheet.room[1], grid._rowHeights
        grid.splitInRow = max(heights) > 0.6 * page
        if sum(heights[: len(block.header)]) > 0.4 * page:
            grid.repeatRows = 0
        flow: list[Any] = [grid]
        if block.caption and not block.indent:
            style = self._style("italic", _SMALL, _SMALL_LEADING, spaceBefore=5)
            caption = self._prose(block.caption, style, "italic")
            flow = [caption, grid]
            if not self.within:
                flow.insert(0, CondPageBreak(_START_OF_TABLE - 30))
        if block.indent:
            left = _INDENT * block.indent
            flow = [Indenter(left), *flow, Indenter(-left)]
        return flow

    # --- drawings ---------------------------------------------------------------------------

    def _figure(self, block: Figure) -> list[Any]:
        width, height = self.sheet.room
        share_of_page = block.most_height * self.tight**2
        scale, least = fit(block, width, height * share_of_page), least_scale(block) * self.tight
        if scale < least:  # rather a larger share of the page than unreadable
            scale = max(scale, min(least, fit(block, width, height * 0.9)))
        if scale >= least or not block.may_turn:
            return self._drawn(block, scale)
        sheet = larger_sheet(block, self.page)
        self.sheets[sheet.name] = sheet
        scale = fit(block, sheet.room[0], sheet.room[1] - 60)
        self.apart += [
            NextPageTemplate(sheet.name),
            NewPage(),
            *self._drawn(replace(block, may_turn=False), scale),
            NextPageTemplate(self.sheet.name),
        ]
        text = f"The drawing is wide and stands on a page of its own ({sheet.name}), further on."
        return [*self._paragraph(Paragraph(text, style="note"))]

    def _drawn(self, block: Figure, scale: float) -> list[Any]:
        element = self.part.add("Figure", block.description)
        flow: list[Any] = [Drawing(block.scene, scale, self.structure, element)]
        if block.caption:
            style = self._style("italic", _SMALL, _SMALL_LEADING, spaceBefore=3, spaceAfter=8)
            flow.append(self._prose(block.caption, style, "italic"))
        return flow if self.within else [KeepTogether(flow)]

    def _drawings_apart(self) -> list[Any]:
        apart, self.apart = self.apart, []
        return apart

    def _beside(self, block: Beside) -> list[Any]:
        room, height = self.sheet.room
        left = room * (1 - _PICTURE)
        right = room - left - 2 * CELL_PAD
        flow = self._in_column(left, block.blocks)
        picture = self._in_column(right, () if block.figure is None else (block.figure,))
        tall = sum(each.wrap(left, height)[1] for each in flow if isinstance(each, Flowable))
        if tall > height * 0.5:
            return [*flow, *picture]
        widths = [left + CELL_PAD, right + CELL_PAD]
        grid = Grid([[flow, picture]], colWidths=widths, style=BESIDE_STYLE)
        grid.structure = self.structure
        return [grid]
