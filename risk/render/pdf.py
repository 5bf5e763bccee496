"""Documents as PDF pages: reportlab sets the blocks, tagged, with bookmarks and page feet.

`document_to_pdf` is a function of a `Document` and a page size alone: no clock, no locale, the
same bytes every time.  The parts of the work: `pdf_blocks` puts the blocks in order and keeps
together what belongs together, `pdf_texts` (with the bookmarks), `pdf_tables` and `pdf_figures`
make flowables of them with the faces and sizes of `pdf_setting`, `pdf_tags` and `pdf_metadata`
write what a reader without eyes needs, `pdf_foot` and `pdf_sheets` are the page.  Text reaches
reportlab through `pdf_words`, which escapes it; drawings are painted as vectors from their
scene (`pdf_scene`).
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate

from risk.document.blocks import Document, Figure, FillIn, PageBreak, Paragraph, flatten
from risk.render.pdf_blocks import flowables
from risk.render.pdf_figures import drawings_apart
from risk.render.pdf_flow import GREY, NumberedCanvas, Rule, Whole, flat
from risk.render.pdf_foot import Foot
from risk.render.pdf_metadata import add_metadata
from risk.render.pdf_scene import missing_in
from risk.render.pdf_setting import SMALL, SMALL_LEADING, Setting
from risk.render.pdf_sheets import FOOT, PageSize, Sheet
from risk.render.pdf_words import Words

#: Factors on the size of type that are tried, in turn, for a document that wishes for few pages.
_TIGHTNESS = (0.93, 0.86, 0.8)
#: Factors that may draw in a last page of which at most this share is used, smallest first, in a
#: document of few pages; more would not be worth the time.
_DRAWING_IN, _STUB, _FEW = (0.9, 0.93, 0.96), 0.4, 6
#: A document is set so often at most until its words about pages are true.
_ROUNDS = 4


def document_to_pdf(document: Document, page: PageSize = "a4") -> bytes:
    """Return the document as a tagged PDF whose pages all carry its footer.

    Where the document wishes for few pages, smaller type is tried before more are taken; a
    last page with little on it is drawn in where fewer lines to write on, or slightly smaller
    type, do it.  A figure that may stand elsewhere goes to the end where that saves a page.
    Signs that no bundled face has are shown by their code and explained at the end.
    """
    loose, pages, used = _set(document, page)
    moved = _figures_at_the_end(document)
    if moved is not document:
        other = _set(moved, page)
        if other[1] < pages:
            document, (loose, pages, used) = moved, other
    if pages > document.most_pages > 0:
        for tight in _TIGHTNESS:
            content, fewer, _ = _set(document, page, tight)
            if fewer <= document.most_pages:
                return content
    parted = any(isinstance(block, PageBreak) for block in document.blocks)
    if document.most_pages or parted or used > _STUB or not 1 < pages <= _FEW:
        return loose
    best = loose
    fewer = _lines_to_spare(document)
    ways = [*((tight, fewer) for tight in _DRAWING_IN), *((1.0, n) for n in range(fewer, 0, -1))]
    for tight, left_out in ways:
        content, needed, _ = _set(document, page, tight, left_out)
        if needed == pages:
            break
        best = content
    return best


def _figures_at_the_end(document: Document) -> Document:
    """The document with the figures that may stand elsewhere after all the rest."""
    blocks = document.blocks
    last = [each for each in blocks if isinstance(each, Figure) and each.elsewhere]
    if not last:
        return document
    kept = [
        Paragraph(each.elsewhere, style="note")
        if isinstance(each, Figure) and each.elsewhere
        else each
        for each in blocks
    ]
    return replace(document, blocks=(*kept, *last))


def warnings_of(document: Document) -> tuple[str, ...]:
    """Say which signs of a document the faces do not have."""
    words = Words()
    for text in _texts(document):
        words.clean(text)
    drawn = (
        sign
        for block in flatten(document.blocks)
        if isinstance(block, Figure)
        for sign in missing_in(block.scene)
    )
    lost = dict.fromkeys([*(chr(int(code[2:], 16)) for code in words.missing), *drawn])
    if not lost:
        return ()
    shown = f"the bundled typefaces lack {' '.join(lost)}: a PDF shows a code in texts"
    return (f"{shown}, and \N{REPLACEMENT CHARACTER} in drawings, in their place",)


def _texts(part: object) -> Iterator[str]:
    """Yield every text of a document, without those of its drawings."""
    if isinstance(part, str):
        yield part
    elif isinstance(part, tuple):
        for each in part:
            yield from _texts(each)
    elif is_dataclass(part) and not isinstance(part, Figure):
        for field in fields(part):
            yield from _texts(getattr(part, field.name))
    elif isinstance(part, Figure):
        yield from (part.caption, part.title)


def _lines_to_spare(document: Document) -> int:
    """How many lines to write on a document can leave out of one place."""
    places = [block for block in flatten(document.blocks) if isinstance(block, FillIn)]
    return max((max(place.lines - place.least, 0) for place in places), default=0)


def _last_whole(story: list[Any]) -> Whole | None:
    """The last group that keeps a page to itself, which learns what comes after it."""
    for i, each in reversed(list(enumerate(story))):
        if isinstance(each, Whole):
            each.after = flat(story[i + 1 :])
            return each
    return None


def _set(
    document: Document, page: PageSize, tight: float = 1.0, fewer: int = 0
) -> tuple[bytes, int, float]:
    """Return the file, how many pages it has, and how much of the last one is used.

    Where drawings stand on pages of their own it is set again, until it tells which these are.
    """
    told: tuple[int, ...] = ()
    for _ in range(_ROUNDS):
        typesetter = _Typesetter(document, Setting(page, tight, fewer, told))
        made = typesetter.pdf()
        if tuple(typesetter.setting.pages) == told:
            break
        told = tuple(typesetter.setting.pages)
    return made


class _Typesetter:
    """One document on its way to pages."""

    def __init__(self, document: Document, setting: Setting) -> None:
        self.document = document
        self.setting = setting
        self.foot = Foot(document, self.setting.words, self.setting.structure)

    def pdf(self) -> tuple[bytes, int, float]:
        """Return the file, how many pages it has, and how much of the last one is used."""
        setting = self.setting
        story = [
            *self._title(),
            *flowables(setting, self.document.blocks),
            *drawings_apart(setting),
            *self._missing_signs(),
        ]
        last = _last_whole(story)
        buffer = io.BytesIO()
        template = BaseDocTemplate(
            buffer,
            pagesize=(setting.sheet.width, setting.sheet.height),
            title=self.document.title,
            author=self.document.author or "Two-Thirds",
            subject=self.document.subject,
            creator="Two-Thirds",
            lang=self.document.language,
            invariant=1,
            initialFontName=setting.words.face("regular"),
            pageCompression=1,
        )
        template.addPageTemplates([self._template(sheet) for sheet in setting.sheets.values()])
        template.build(story, canvasmaker=self._canvas)
        frame = template.frame
        empty = frame._y - frame._y1p + (last.grown if last else 0)
        return buffer.getvalue(), template.page, 1 - empty / frame._aH

    def _canvas(self, *args: Any, **options: Any) -> NumberedCanvas:
        canvas = NumberedCanvas(*args, **options)
        canvas.before_save = lambda: self._finish(canvas.file)
        canvas.setViewerPreference("DisplayDocTitle", "true")
        if self.setting.headings > 1:
            canvas.showOutline()
        return canvas

    def _finish(self, file: Any) -> None:
        self.setting.structure.finish(file)
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

    def _title(self) -> list[Flowable]:
        setting, title = self.setting, self.document.title
        large = setting.style("bold", 19, 23, spaceAfter=4)
        small = setting.style("italic", SMALL, SMALL_LEADING, textColor=GREY)
        return [
            setting.prose(title, large, "bold", element=setting.structure.root.add("H1")),
            *(setting.prose(line, small, "italic") for line in self.document.byline),
            Rule(setting.structure, 1.0, 4, 8),
        ]

    def _missing_signs(self) -> list[Flowable]:
        setting = self.setting
        if not setting.words.missing:
            return []
        listed = "; ".join(f"[{code}] is {name}" for code, name in setting.words.missing.items())
        text = f"Signs that the faces of this document do not have are shown by code: {listed}."
        if any(
            missing_in(block.scene)
            for block in flatten(self.document.blocks)
            if isinstance(block, Figure)
        ):
            text = f"{text} In drawings they are shown as \N{REPLACEMENT CHARACTER}."
        style = setting.style("italic", SMALL, SMALL_LEADING, spaceBefore=10)
        return [setting.prose(text, style)]
