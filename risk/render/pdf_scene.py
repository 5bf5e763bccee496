"""A scene on a reportlab canvas, as vectors, and a scene as a PDF document.

Text is never printed smaller than `LEAST_TEXT` points.  A drawing that does not fit a sheet
upright is laid across it; one that still does not fit is spread over several sheets (see
`pdf_parts`), and every sheet says which part it is and at what scale.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from risk.caution import CAUTION
from risk.fonts.metrics import (
    BOLD,
    REGULAR,
    joined,
    lacking,
    replaced,
    right_to_left,
    text_width,
    wrap,
)
from risk.render.pdf_faces import register_faces
from risk.render.pdf_metadata import add_metadata
from risk.render.pdf_parts import parts_of, people_of
from risk.render.pdf_sheets import PAGES, PageSize
from risk.render.pdf_tags import Structure
from risk.scene.shapes import (
    LINE_ROLES,
    Circle,
    Line,
    Scene,
    Shape,
    Text,
    Tone,
    box_of,
    moved,
    union_box,
)

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

#: The sheets of a PDF; ``fit`` is one as large as the drawing.
Sheets = Literal[PageSize, "fit"]

LEAST_TEXT = 9.0
EDGE = 28.0  # of a sheet, which stays empty
FOOT = 34.0  # for the lines that say which part of the drawing this is, and the caution
FOOT_SIZE = 9.0
FOOT_LINE = 12.0
NARROW_EDGE = 18.0  # of a sheet that fits its drawing, as of texts in that
_BELOW_HEAD = 14.0
_MOST_HEAD = 0.3  # of the room on a sheet, for what is told above the drawing
_LANGUAGE = "en"


def paint(scene: Scene, canvas: Canvas, x: float, y: float, scale: float = 1.0) -> None:
    """Draw `scene` on the canvas with its lower left corner at (x, y), enlarged by `scale`."""
    register_faces()
    canvas.saveState()
    canvas.translate(x, y + scene.height * scale)
    canvas.scale(scale, scale)
    canvas.setLineCap(0)
    canvas.setLineJoin(0)
    first = [shape for shape in scene.items if shape.role in LINE_ROLES]
    rest = [shape for shape in scene.items if shape.role not in LINE_ROLES]
    for shape in (*first, *rest):
        _draw(shape, canvas)
    canvas.restoreState()


def _draw(shape: Shape, canvas: Canvas) -> None:
    if isinstance(shape, Text):
        _write(shape, canvas)
        return
    canvas.setLineWidth(shape.width)
    _colour(canvas, shape.stroke, stroke=True)
    if isinstance(shape, Line):
        if shape.dash:
            canvas.setDash(list(shape.dash))
        path = canvas.beginPath()
        path.moveTo(shape.points[0][0], -shape.points[0][1])
        for px, py in shape.points[1:]:
            path.lineTo(px, -py)
        canvas.drawPath(path, stroke=1, fill=0)
        if shape.dash:
            canvas.setDash([])
        return
    _colour(canvas, shape.fill, stroke=False)
    stroke, fill = int(shape.stroke != "none"), int(shape.fill != "none")
    if isinstance(shape, Circle):
        canvas.circle(shape.x, -shape.y, shape.radius, stroke=stroke, fill=fill)
        return
    path = canvas.beginPath()
    path.moveTo(shape.points[0][0], -shape.points[0][1])
    for px, py in shape.points[1:]:
        path.lineTo(px, -py)
    path.close()
    canvas.drawPath(path, stroke=stroke, fill=fill)


def _write(text: Text, canvas: Canvas) -> None:
    face = BOLD if text.bold else REGULAR
    shift = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.anchor] * text.measure
    canvas.saveState()
    canvas.translate(text.x, -text.y)
    if text.turned:
        canvas.rotate(90)
    if text.halo:
        _colour(canvas, "paper" if text.fill == "ink" else "ink", stroke=True)
        canvas.setLineWidth(3)
        canvas.setLineJoin(1)
        _run(canvas, text, face, shift, mode=1)
    _colour(canvas, text.fill, stroke=False)
    _run(canvas, text, face, shift, mode=0)
    canvas.restoreState()


def _run(canvas: Canvas, text: Text, face: str, shift: float, mode: int) -> None:
    words = text.text
    if right_to_left(words):
        from bidi.algorithm import get_display

        words = get_display(joined(words))
        # Joined forms are narrower than the ones that the width was measured with.
        shift *= text_width(words, text.size, text.bold) / text.measure
    canvas.setFont(face, text.size)
    # An empty box would look like a fault of the drawing.
    canvas.drawString(-shift, 0, replaced(words), mode=mode)


def missing_in(scene: Scene) -> list[str]:
    """Return the signs of a scene's texts that the faces do not have, each once."""
    texts = "".join(shape.text for shape in scene.items if isinstance(shape, Text))
    return [] if texts.isascii() else lacking(texts)


def _note(scene: Scene) -> str:
    """Say which signs are shown as a replacement; nothing where all are there."""
    codes = ", ".join(f"U+{ord(sign):04X}" for sign in missing_in(scene))
    if not codes:
        return ""
    return (
        f"\N{REPLACEMENT CHARACTER} stands for signs that this drawing has no letters for: {codes}."
    )


def _colour(canvas: Canvas, tone: Tone, *, stroke: bool) -> None:
    grey = 1.0 if tone == "paper" else 0.0
    (canvas.setStrokeGray if stroke else canvas.setFillGray)(grey)


def to_pdf(scene: Scene, page: Sheets = "a4") -> bytes:
    """Return `scene` as a PDF document on sheets of a size, or (``fit``) on one that fits it.

    It is tagged: the drawing is one figure with its description, what stands below it is text.
    """
    from reportlab.pdfgen.canvas import Canvas

    register_faces()
    sheets = [_fitting(scene)] if page == "fit" else _printed(scene, *PAGES[page])
    target = io.BytesIO()
    canvas = Canvas(
        target,
        pagesize=(sheets[0].width, sheets[0].height),
        invariant=1,
        lang=_LANGUAGE,
        initialFontName=REGULAR,
    )
    title = scene.title or "Drawing"
    canvas.setTitle(title)
    canvas.setSubject(scene.desc)
    canvas.setCreator("Two-Thirds")
    canvas.setAuthor("Two-Thirds")
    canvas.setViewerPreference("DisplayDocTitle", "true")
    structure = Structure()
    figure = structure.root.add("Figure", f"{title}. {scene.desc}".strip(". "))
    for sheet in sheets:
        with structure.mark(canvas, figure):
            for drawing, x, y in sheet.drawings:
                paint(drawing, canvas, x, y, sheet.scale)
        _write_below(canvas, sheet, structure)
        canvas.showPage()
    structure.finish(canvas._doc)
    add_metadata(
        canvas._doc, title=title, author="Two-Thirds", subject=scene.desc, language=_LANGUAGE
    )
    canvas.save()
    return target.getvalue()


@dataclass(frozen=True, slots=True)
class _Sheet:
    """A sheet: drawings with their lower left corners, and texts at the foot, in lines."""

    width: float
    height: float
    edge: float = EDGE
    scale: float = 1.0
    drawings: tuple[tuple[Scene, float, float], ...] = ()
    foot: tuple[list[str], ...] = ()

    def lines(self, text: str) -> list[str]:
        """Break a text for the foot."""
        return wrap(text, self.width - 2 * self.edge, FOOT_SIZE) if text else []

    def room(self, *texts: str) -> tuple[float, float]:
        """The room for drawings above texts, at their scale."""
        lines = sum(len(self.lines(text)) for text in texts)
        wide, high = self.width - 2 * self.edge, self.height - 2 * self.edge
        return wide / self.scale, (high - FOOT - lines * FOOT_LINE) / self.scale

    def with_top(self, scene: Scene, x: float, down: float) -> _Sheet:
        """The sheet with a drawing whose top is `down` from the upper edge, both to scale."""
        y = self.height - self.edge - (down + scene.height) * self.scale
        drawing = (scene, self.edge + x * self.scale, y)
        return replace(self, drawings=(*self.drawings, drawing))


def _fitting(scene: Scene) -> _Sheet:
    """One sheet as large as the drawing, and larger only by what must be said of it."""
    sheet = _Sheet(scene.width, scene.height, NARROW_EDGE)
    note = sheet.lines(_note(scene))
    foot = len(note) * FOOT_LINE + (NARROW_EDGE if note else 0)
    drawings = ((scene, 0.0, foot),)
    return replace(sheet, height=scene.height + foot, drawings=drawings, foot=(note,))


def _printed(scene: Scene, short: float, long: float) -> list[_Sheet]:
    """One sheet, upright or across, where its texts stay large enough on that; else several."""
    least = min((s.size for s in scene.items if isinstance(s, Text)), default=LEAST_TEXT)
    smallest = min(1.0, LEAST_TEXT / least)
    note = _note(scene)
    ways = [_Sheet(short, long), _Sheet(long, short)]
    for sheet in ways:
        wide, high = sheet.room(note)
        scale = min(1.0, wide / scene.width, high / scene.height)
        if scale >= smallest:
            foot = (sheet.lines(note), [f"Scale {round(scale * 100)} %"])
            sheet = replace(sheet, scale=scale, foot=foot)
            return [sheet.with_top(scene, (wide / scale - scene.width) / 2, 0)]
    parted = [_parted(scene, replace(sheet, scale=smallest)) for sheet in ways]
    return min(parted, key=lambda sheets: (len(sheets), _shown(sheets)))


def _shown(sheets: Sequence[_Sheet]) -> int:
    """How many people the sheets show, those who stand on two of them counted twice."""
    return sum(len(people_of(part)) for sheet in sheets for part, _, _ in sheet.drawings)


def _parted(scene: Scene, sheet: _Sheet) -> list[_Sheet]:
    """The drawing on several sheets, each with the title, the caution and what it shows."""
    note = _note(scene)
    wide, high = sheet.room(note, CAUTION)
    told = [shape for shape in scene.items if shape.role == "title"]
    title = [shape for shape in told if isinstance(shape, Text) and shape.bold]
    first, head = _block(scene, told), _block(scene, title)
    long = first.height > high * _MOST_HEAD
    if long:
        first = head
    parts = parts_of(scene, wide, high - first.height)
    if long:  # what is told has sheets of its own
        parts += _pages(scene, [each for each in told if each not in title], high - head.height)
    sheets = []
    for number, part in enumerate(parts, 1):
        top = first if number == 1 else head
        says = (
            f"Scale {round(sheet.scale * 100)} %. Sheet {number} of {len(parts)}: {_where(part)}."
        )
        foot = tuple(map(sheet.lines, (CAUTION, note, says)))
        down = top.height
        sheets.append(replace(sheet, foot=foot).with_top(top, 0, 0).with_top(part, 0, down))
    return sheets


def _block(scene: Scene, shapes: Sequence[Shape]) -> Scene:
    """Some shapes as a drawing that begins at its upper left corner, with air below."""
    left, top, right, bottom = union_box([box_of(shape) for shape in shapes])
    items = tuple(moved(shape, -left, -top) for shape in shapes)
    high = bottom - top + _BELOW_HEAD if shapes else 0.0
    return replace(scene, width=right - left, height=high, items=items)


def _pages(scene: Scene, lines: Sequence[Shape], room: float) -> list[Scene]:
    """Lines of text as drawings, each as many as have room."""
    pages: list[list[Shape]] = []
    for line in lines:
        if not pages or box_of(line)[3] - box_of(pages[-1][0])[1] > room - _BELOW_HEAD:
            pages.append([])
        pages[-1].append(line)
    return [_block(scene, page) for page in pages]


def _write_below(canvas: Canvas, sheet: _Sheet, structure: Structure) -> None:
    """Write the texts at the foot of a sheet, the last line lowest."""
    y = sheet.edge - 4 if sheet.edge == EDGE else sheet.edge
    y += sum(map(len, sheet.foot)) * FOOT_LINE
    for lines in filter(None, sheet.foot):
        with structure.mark(canvas, structure.root.add("P")):
            canvas.setFont(REGULAR, FOOT_SIZE)
            for line in lines:
                y -= FOOT_LINE
                canvas.drawString(sheet.edge, y, line)


def _where(part: Scene) -> str:
    """Which part of the drawing a sheet shows, in words."""
    inside = people_of(part)
    if not inside:
        return "key" if any(shape.role == "key" for shape in part.items) else "texts"
    if len(inside) == 1:
        return inside[0]
    return f"{inside[0]} to {inside[-1]}, {len(inside)} people"
