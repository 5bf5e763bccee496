"""A scene on a reportlab canvas, as vectors, and a scene as a PDF document.

Text is never printed smaller than `LEAST_TEXT` points.  A drawing that does not fit a sheet
upright is laid across it; one that still does not fit is spread over several sheets, cut where
no symbol and no text is, and every sheet says which part it is and at what scale.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

from risk.caution import CAUTION
from risk.fonts.metrics import BOLD, REGULAR, lacking, right_to_left, text_width, wrap
from risk.render.pdf_faces import joined, register_faces
from risk.render.pdf_sheets import PAGES, PageSize
from risk.scene.shapes import (
    LINE_ROLES,
    Box,
    Circle,
    Line,
    Scene,
    Shape,
    Text,
    Tone,
    box_of,
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
NARROW_EDGE = 8.0  # of a sheet that fits its drawing


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
    for sign in lacking(words):  # an empty box would look like a fault of the drawing
        words = words.replace(sign, "\N{REPLACEMENT CHARACTER}")
    canvas.setFont(face, text.size)
    canvas.drawString(-shift, 0, words, mode=mode)


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
    """Return `scene` as a PDF document on sheets of a size, or (``fit``) on one that fits it."""
    from reportlab.pdfgen.canvas import Canvas

    target = io.BytesIO()
    if page == "fit":
        note = wrap(_note(scene), scene.width - 2 * NARROW_EDGE, FOOT_SIZE)
        foot = len(note) * FOOT_LINE + (NARROW_EDGE if note else 0)
        canvas = Canvas(target, pagesize=(scene.width, scene.height + foot), invariant=1)
        _describe(canvas, scene)
        paint(scene, canvas, 0, foot)
        _foot(canvas, NARROW_EDGE, NARROW_EDGE, note)
        canvas.showPage()
    else:
        short, long = PAGES[page]
        foot = FOOT + len(wrap(_note(scene), short - 2 * EDGE, FOOT_SIZE)) * FOOT_LINE
        sheet, scale, parts = _layout(scene, _Sheet(short, long, foot), _Sheet(long, short, foot))
        canvas = Canvas(target, pagesize=(sheet.width, sheet.height), invariant=1)
        _describe(canvas, scene)
        if len(parts) > 1:  # every sheet has its own caution line
            kept = tuple(shape for shape in scene.items if shape.role != "caution")
            scene = replace(scene, items=kept)
        for number, part in enumerate(parts, 1):
            _sheet(scene, canvas, sheet, scale, part, number, len(parts))
    canvas.save()
    return target.getvalue()


@dataclass(frozen=True, slots=True)
class _Sheet:
    width: float
    height: float
    foot: float

    @property
    def room(self) -> tuple[float, float]:
        return self.width - 2 * EDGE, self.height - 2 * EDGE - self.foot


def _describe(canvas: Canvas, scene: Scene) -> None:
    canvas.setTitle(scene.title)
    canvas.setSubject(scene.desc)
    canvas.setCreator("Two-Thirds")
    canvas.setAuthor("Two-Thirds")


def _layout(scene: Scene, upright: _Sheet, across: _Sheet) -> tuple[_Sheet, float, list[Box]]:
    """Choose the way up, the scale and the parts of the scene that go on a sheet each."""
    least = min((s.size for s in scene.items if isinstance(s, Text)), default=LEAST_TEXT)
    smallest = min(1.0, LEAST_TEXT / least)
    for sheet in (upright, across):
        scale = min(1.0, sheet.room[0] / scene.width, sheet.room[1] / scene.height)
        if scale >= smallest:
            return sheet, scale, [(0.0, 0.0, scene.width, scene.height)]
    choices = []
    scene = replace(scene, items=tuple(s for s in scene.items if s.role != "caution"))
    scene = replace(scene, height=max(box_of(s)[3] for s in scene.items) + 2)
    units = _units(scene)
    for sheet in (upright, across):
        wide, high = (room / smallest for room in sheet.room)
        parts = []
        for y1, y2 in _spans(units, high, scene.height, level=False):
            band = [box for box in units if box[1] < y2 and box[3] > y1]
            right = max((box[2] for box in band), default=0.0) + 2
            parts += [(x1, y1, x2, y2) for x1, x2 in _spans(band, wide, right, level=True)]
        choices.append((len(parts), sheet, parts))
    _, sheet, parts = min(choices, key=lambda choice: choice[0])
    return sheet, smallest, parts


def _units(scene: Scene) -> list[Box]:
    """Boxes of what must not be cut: each person with the texts, the key, every other text."""
    boxes: dict[object, list[Box]] = {}
    for number, shape in enumerate(scene.items):
        if shape.role not in LINE_ROLES:
            boxes.setdefault(_unit(shape, number), []).append(box_of(shape))
    return [union_box(found) for found in boxes.values()]


def _unit(shape: Shape, number: int) -> object:
    return shape.person or ("key" if shape.role == "key" else number)


def _spans(
    units: list[Box], room: float, whole: float, *, level: bool
) -> list[tuple[float, float]]:
    """Return the pieces, along one axis, of at most `room` each.

    A piece ends where the fewest units are cut, and as far along as possible; the next one
    begins before those that were, so that each stands whole on one sheet.
    """
    a, b = (0, 2) if level else (1, 3)
    edges = [(box[a] - 2, box[b] + 2) for box in units]
    start, pieces = 0.0, []
    while whole - start > room:
        least, most = start + 0.5 * room, start + room
        ends = {most, *(end for edge in edges for end in edge if least < end < most)}
        cut = min(ends, key=lambda at: (sum(low < at < high for low, high in edges), -at))
        pieces.append((start, cut))
        begun = [low for low, high in edges if start < low < cut < high and high - low <= room]
        start = min([cut, *begun])
    return [*pieces, (start, whole)]


def _whole_on(scene: Scene, part: Box) -> Scene:
    """The scene without what is not whole on a part; lines are clipped instead."""
    boxes: dict[object, list[Box]] = {}
    for number, shape in enumerate(scene.items):
        boxes.setdefault(_unit(shape, number), []).append(box_of(shape))
    kept = []
    for number, shape in enumerate(scene.items):
        box = union_box(boxes[_unit(shape, number)])
        inside = part[0] <= box[0] + 1 and box[2] <= part[2] + 1
        if shape.role in LINE_ROLES or (inside and part[1] <= box[1] + 1 and box[3] <= part[3] + 1):
            kept.append(shape)
    return replace(scene, items=tuple(kept))


def _sheet(
    scene: Scene, canvas: Canvas, sheet: _Sheet, scale: float, part: Box, number: int, count: int
) -> None:
    left, top, right, bottom = part
    width, height = (right - left) * scale, (bottom - top) * scale
    canvas.saveState()
    x = EDGE + (0.0 if count > 1 else (sheet.room[0] - width) / 2)
    y = sheet.height - EDGE - height
    if count > 1:
        clip = canvas.beginPath()
        clip.rect(x, y, width, height)
        canvas.clipPath(clip, stroke=0, fill=0)
    shown = _whole_on(scene, part) if count > 1 else scene
    paint(shown, canvas, x - left * scale, y - (scene.height - bottom) * scale, scale)
    canvas.restoreState()
    register_faces()
    if left > 0:
        _numerals(scene, canvas, part, scale, y)
    words = f"Scale {round(scale * 100)} %"
    if count > 1:
        words = f"{words}. Sheet {number} of {count}: {_where(shown)}."
    caution = [CAUTION] if count > 1 else []  # else the drawing has its own
    texts = [*caution, _note(scene), words]
    _foot(
        canvas,
        EDGE,
        EDGE - 4,
        [line for text in texts for line in wrap(text, sheet.room[0], FOOT_SIZE)],
    )
    canvas.showPage()


def _foot(canvas: Canvas, x: float, y: float, lines: list[str]) -> None:
    """Write lines upwards from the last one, whose baseline is at y."""
    register_faces()
    canvas.setFont(REGULAR, FOOT_SIZE)
    for up, line in enumerate(reversed(lines)):
        canvas.drawString(x, y + up * FOOT_LINE, line)


def _numerals(scene: Scene, canvas: Canvas, part: Box, scale: float, foot: float) -> None:
    """Repeat the numerals of the generations at the left edge of a further sheet."""
    for shape in scene.items:
        if isinstance(shape, Text) and shape.role == "numeral" and part[1] < shape.y < part[3]:
            canvas.setFont(BOLD, shape.size * scale)
            canvas.drawString(EDGE / 4, foot + (part[3] - shape.y) * scale, shape.text)


def _where(shown: Scene) -> str:
    """Which part of the drawing a sheet shows, in words."""
    people = {shape.person for shape in shown.items if shape.person}
    inside = [id for id, _, _ in shown.anchors if id in people]
    if not inside:
        return "key" if any(shape.role == "key" for shape in shown.items) else "texts"
    if len(inside) == 1:
        return inside[0]
    return f"{inside[0]} to {inside[-1]}, {len(inside)} people"
