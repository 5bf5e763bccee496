"""The flowables that pages are made of: reportlab's own, each tied to its structure element."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from reportlab.lib.colors import Color, black
from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, FrameBreak, KeepTogether
from reportlab.platypus import Paragraph as PlainParagraph
from reportlab.platypus import Table as PlainTable
from reportlab.platypus.doctemplate import NullActionFlowable

from risk.render.pdf_tags import Element, Structure
from risk.render.pdf_words import FACES, Weight, Words, visual_lines

if TYPE_CHECKING:
    from risk.scene.shapes import Scene

GREY = Color(0.35, 0.35, 0.35)
PALE = Color(0.93, 0.93, 0.93)
#: Size of type in the foot of a page: the caution takes one line of an upright A4 sheet.
FOOT_SIZE = 8.2
#: What surrounds the text of a table cell to the left and right.
CELL_PAD = 7.0

#: Text of a heading for the outline, its anchor, and its depth (0 is outermost).
Outline = tuple[str, str, int]


def _enter_outline(canvas: Any, outline: Outline | None, top: float) -> None:
    if outline is None:
        return
    text, anchor, depth = outline
    canvas.bookmarkHorizontal(anchor, 0, top + 12)
    deepest = getattr(canvas, "outline_depth", -1) + 1
    canvas.outline_depth = min(depth, deepest)
    canvas.addOutlineEntry(text, anchor, canvas.outline_depth, closed=0)


class Prose(PlainParagraph):  # type: ignore[misc]
    """A paragraph that belongs to an element of the structure, also when it is split."""

    structure: Structure
    element: Element | None = None
    outline: Outline | None = None
    _set_at: float | None = None

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        # reportlab asks several times, and forgets the lines itself when it cannot split them.
        if self._set_at != width or not hasattr(self, "blPara"):
            super().wrap(width, height)
            self._set_at = width
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Any]:
        parts: list[Any] = super().split(width, height)
        for part in parts:
            part.structure, part.element = self.structure, self.element
        if len(parts) > 1:
            parts[0].outline = self.outline
            parts[0].spaceBefore, parts[1].spaceAfter = self.getSpaceBefore(), self.getSpaceAfter()
            parts[0].keepWithNext, parts[1].keepWithNext = 0, self.getKeepWithNext()
        return parts

    def draw(self) -> None:
        _enter_outline(self.canv, self.outline, self.height)
        with self.structure.mark(self.canv, self.element):
            super().draw()


class RightToLeft(Flowable):  # type: ignore[misc]
    """A paragraph with right-to-left words: lines are broken first, then put in visual order."""

    def __init__(
        self,
        text: str,
        style: ParagraphStyle,
        weight: Weight,
        words: Words,
        structure: Structure,
        element: Element | None,
    ) -> None:
        super().__init__()
        self.text, self.weight, self.words = text, weight, words
        self.style, self.structure, self.element = style, structure, element
        self.outline: Outline | None = None
        self.spaceBefore, self.spaceAfter = style.spaceBefore, style.spaceAfter
        self.keepWithNext = getattr(style, "keepWithNext", 0)
        self.set: Prose | None = None
        if element is not None:
            element.actual = text
        visual_lines(words, text, 1e6, style.fontSize, weight)  # learns of missing signs in time

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        indents = self.style.leftIndent + self.style.rightIndent
        rightwards, lines = visual_lines(
            self.words, self.text, width - indents, self.style.fontSize, self.weight
        )
        style = self.style
        if rightwards and style.alignment == TA_LEFT:
            style = style.clone(f"{style.name}-rtl", alignment=TA_RIGHT)
        markup = "<br/>".join(self.words.markup(line, style, self.weight) for line in lines)
        self.set = Prose(markup, style)
        self.set.structure, self.set.element = self.structure, self.element
        self.set.outline = self.outline
        self.width, self.height = self.set.wrap(width, height)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Any]:
        if self.set is None:
            self.wrap(width, height)
        assert self.set is not None
        self.set.keepWithNext = self.keepWithNext
        return self.set.split(width, height)

    def draw(self) -> None:
        assert self.set is not None
        self.set.drawOn(self.canv, 0, 0)


class Grid(PlainTable):  # type: ignore[misc]
    """A table whose rules and tints are decoration; its cells carry their own elements.

    One that `continues` has further columns for the rows of the table before it.
    """

    structure: Structure
    continues = False

    def onSplit(self, part: Any, byRow: int = 1) -> None:  # noqa: ARG002, N802, N803 - reportlab's
        part.structure = self.structure

    def _drawBkgrnd(self) -> None:  # noqa: N802
        with self.structure.mark(self.canv, None):
            super()._drawBkgrnd()

    def _drawLines(self) -> None:  # noqa: N802
        with self.structure.mark(self.canv, None):
            super()._drawLines()


class Rule(Flowable):  # type: ignore[misc]
    """A horizontal line across the column, with space above and below.

    Where a `Whole` needs room, a rule leaves in the round that `leaves` says; 0 is never.  One
    that is `extra` is there only where a `Whole` has room to spare.
    """

    def __init__(
        self,
        structure: Structure,
        thickness: float,
        above: float,
        below: float,
        *,
        dashed: bool = False,
    ) -> None:
        super().__init__()
        self.structure, self.thickness, self.dashed = structure, thickness, dashed
        self.above, self.below = above, below
        self.leaves, self.extra = 0, False

    def wrap(self, width: float, height: float) -> tuple[float, float]:  # noqa: ARG002
        self.width, self.height = width, self.above + self.below
        return self.width, self.height

    def draw(self) -> None:
        with self.structure.mark(self.canv, None):
            self.canv.setStrokeColor(black)
            self.canv.setLineWidth(self.thickness)
            if self.dashed:
                self.canv.setDash(1, 2)
            self.canv.line(0, self.below, self.width, self.below)


class Whole(KeepTogether):  # type: ignore[misc]
    """Flowables that share a page where one can hold them, if need be with fewer lines to write on.

    Where none can, or more than `void` points of a page would be left empty, `parted` are set
    instead: the same, each part kept together by itself.  `page` is the height of a page.
    Lines are also left out where the `Whole` that stands `next` then has room on the same page,
    or what comes `after` the last one; `grown` is how high those are that fill a page.
    """

    def __init__(self, parted: list[Any], page: float, void: float) -> None:
        super().__init__(flat(parted))
        self.parted, self.page, self.void = parted, page, void
        self.next: Whole | None = None
        self.after: list[Any] = []
        self.grown = 0.0

    def split(self, width: float, height: float) -> list[Any]:
        content = self._fitting(width, height)
        if content:
            return content
        content = self._fitting(width, self.page)
        if content and height <= self.void:
            return [FrameBreak(), *content]
        # reportlab wants the first of what is parted to fit, whatever it is.
        return [NullActionFlowable(), *map(_plain, self.parted)]

    def _fitting(self, width: float, room: float) -> list[Any]:
        """The content with as few lines left out as will do, or nothing."""
        wholes: list[Whole] = [self]
        most = self._rounds[-1]
        while (after := wholes[-1].next) is not None:
            most = max(most, after._rounds[-1])
            if self._height([*wholes, after], most, width, room) > room:
                break
            wholes.append(after)
        rounds = sorted({leaving for each in wholes for leaving in each._rounds})
        for below in dict.fromkeys([self._high(wholes[-1].after, width, room), 0.0]):
            for leaving in rounds:
                if self._height(wholes, leaving, width, room) + below <= room:
                    content = self._without(leaving)
                    extra = [each for each in content if isinstance(each, Rule) and each.extra]
                    self.grown = sum((each.above + each.below for each in extra), 0.0)
                    return content
        return []

    @property
    def _rounds(self) -> list[int]:
        """The rounds in which lines are left out, from 0 for none."""
        return sorted({0, *(each.leaves for each in self._content if isinstance(each, Rule))})

    def _without(self, leaving: int) -> list[Any]:
        """The content without the lines that are left out up to this round."""
        return [
            each
            for each in self._content
            if not (isinstance(each, Rule) and 0 < each.leaves <= leaving)
        ]

    def _height(self, wholes: list[Whole], leaving: int, width: float, room: float) -> float:
        """How high some of these are below one another, all without such lines."""
        content = [each for whole in wholes for each in whole._without(leaving)]
        return self._high(content, width, room)

    def _high(self, content: list[Any], width: float, room: float) -> float:
        group = KeepTogether(content)
        group.canv = self.canv
        group.wrap(width, room)
        height: float = group._H
        return height


def flat(parts: list[Any]) -> list[Any]:
    """The parts, with what is kept together in place of the groups."""
    return [
        each
        for part in parts
        for each in (part._content if isinstance(part, KeepTogether) else [part])
    ]


def _plain(part: Any) -> Any:
    """A part without the lines that are only there to fill a page."""
    if not isinstance(part, KeepTogether):
        return part
    return KeepTogether(
        [each for each in part._content if not (isinstance(each, Rule) and each.extra)]
    )


class Drawing(Flowable):  # type: ignore[misc]
    """A scene, painted as vectors at a scale."""

    def __init__(self, scene: Scene, scale: float, structure: Structure, element: Element) -> None:
        super().__init__()
        self.scene, self.scale, self.structure, self.element = scene, scale, structure, element
        self.width, self.height = scene.width * scale, scene.height * scale

    def wrap(self, width: float, height: float) -> tuple[float, float]:  # noqa: ARG002
        return self.width, self.height

    def draw(self) -> None:
        from risk.render.pdf_scene import paint

        with self.structure.mark(self.canv, self.element):
            paint(self.scene, self.canv, 0, 0, self.scale)


class PageOf(Flowable):  # type: ignore[misc]
    """Nothing to see: it notes the number of the page it stands on, in `pages` at `place`."""

    def __init__(self, pages: list[int], place: int) -> None:
        super().__init__()
        self.pages, self.place = pages, place

    def draw(self) -> None:
        self.pages[self.place] = self.canv.getPageNumber()


class NumberedCanvas(Canvas):  # type: ignore[misc]
    """A canvas that writes ``page i of n`` when n is known, and calls `before_save`."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.feet: list[tuple[float, float]] = []
        self.before_save: Any = None
        self._code: list[str]

    @property
    def file(self) -> Any:
        return self._doc

    def save(self) -> None:
        if self._code:
            self.showPage()
        pages = self.file.Pages.pages
        for number, (page, (x, y)) in enumerate(zip(pages, self.feet, strict=True), 1):
            self._code = ["/Artifact BMC"]
            self.setFont(FACES["regular"][0], FOOT_SIZE)
            self.drawRightString(x, y, f"page {number} of {len(pages)}")
            self._code.append("EMC ")
            page.stream += "\n".join(self._code)
        self._code = []
        self.before_save()
        super().save()


#: Cells that are empty would else be set in a face that is not embedded.
_FACE = ("FONTNAME", (0, 0), (-1, -1), FACES["regular"][0])
PADDING = [
    _FACE,
    ("LEFTPADDING", (0, 0), (-1, -1), CELL_PAD),
    ("RIGHTPADDING", (0, 0), (-1, -1), CELL_PAD),
    ("TOPPADDING", (0, 0), (-1, -1), 1.6),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 2.4),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]
CAUTION_STYLE = [
    *PADDING,
    ("LINEBEFORE", (0, 0), (0, -1), 3, black),
    ("BACKGROUND", (0, 0), (-1, -1), PALE),
    ("LEFTPADDING", (0, 0), (-1, -1), 12),
    ("TOPPADDING", (0, 0), (-1, -1), 5),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 7),
]
BESIDE_STYLE = [
    _FACE,
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (0, -1), CELL_PAD),
    ("RIGHTPADDING", (1, 0), (1, -1), 0),
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
]
FILL_IN_STYLE = [
    _FACE,
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
    ("VALIGN", (0, 0), (-1, -1), "BOTTOM"),
]
