"""Plain shapes: what a drawing consists of, in one unit of 1/72 inch, y pointing down.

A `Scene` is all that a renderer needs.  Nothing here knows families or probabilities.  Colours
are only ink and paper, so that every drawing prints in black and white and follows a dark page.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

#: What a shape stands for.  ``symbol`` is the outline and filling of a person, ``mark`` what is
#: drawn round it (slash, brackets, arrow), ``label`` its text; the four kinds of line keep their
#: names from the trade.
Role = Literal[
    "symbol",
    "mark",
    "label",
    "partnership",
    "descent",
    "sibship",
    "individual",
    "numeral",
    "key",
    "title",
    "caution",
    "axis",
    "grid",
    "series",
    "figure",
]
Tone = Literal["ink", "paper", "none"]
Anchor = Literal["start", "middle", "end"]
Point = tuple[float, float]

LINE_ROLES = ("partnership", "descent", "sibship", "individual")


@dataclass(frozen=True, slots=True)
class Line:
    """An open line through two or more points; `dash` is lengths of stroke and gap in turn."""

    points: tuple[Point, ...]
    role: Role
    person: str | None = None
    width: float = 1.2
    dash: tuple[float, ...] = ()
    stroke: Tone = "ink"


@dataclass(frozen=True, slots=True)
class Polygon:
    """A closed shape through three or more points."""

    points: tuple[Point, ...]
    role: Role
    person: str | None = None
    width: float = 1.2
    stroke: Tone = "ink"
    fill: Tone = "paper"


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about (x, y)."""

    x: float
    y: float
    radius: float
    role: Role
    person: str | None = None
    width: float = 1.2
    stroke: Tone = "ink"
    fill: Tone = "paper"


@dataclass(frozen=True, slots=True)
class Text:
    """One line of text; (x, y) is on its baseline, at the start, middle or end.

    `measure` is its width in the bundled face.  With `halo` a border of the opposite tone is
    painted first, where a line passes behind.  `whole` is the full text where `text` is cut.
    """

    x: float
    y: float
    text: str
    size: float
    measure: float
    role: Role
    person: str | None = None
    anchor: Anchor = "start"
    bold: bool = False
    fill: Tone = "ink"
    halo: bool = False
    whole: str | None = None
    turned: bool = False  # reads upwards, as beside a vertical axis

    @property
    def left(self) -> float:
        """x of the left edge (of text that is not turned)."""
        return self.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor] * self.measure


Shape = Line | Polygon | Circle | Text


@dataclass(frozen=True, slots=True)
class Figure:
    """A person of the drawing: the id that shapes refer to and the name in words."""

    person: str
    words: str


@dataclass(frozen=True, slots=True)
class Scene:
    """A drawing of `width` by `height` units; `figures` come in reading order.

    `title` and `desc` describe it in words.  `anchors` gives the centre of each person's symbol.
    """

    width: float
    height: float
    items: tuple[Shape, ...]
    title: str = ""
    desc: str = ""
    figures: tuple[Figure, ...] = ()
    anchors: tuple[tuple[str, float, float], ...] = ()
    warnings: tuple[str, ...] = ()


Box = tuple[float, float, float, float]


def box_of(shape: Shape) -> Box:
    """Return (left, top, right, bottom) of a shape, without the thickness of its line."""
    if isinstance(shape, Circle):
        r = shape.radius
        return (shape.x - r, shape.y - r, shape.x + r, shape.y + r)
    if isinstance(shape, Text):
        up, down = 0.76 * shape.size, 0.24 * shape.size
        if shape.turned:
            start = (
                shape.y + {"start": 0.0, "middle": 0.5, "end": 1.0}[shape.anchor] * shape.measure
            )
            return (shape.x - up, start - shape.measure, shape.x + down, start)
        return (shape.left, shape.y - up, shape.left + shape.measure, shape.y + down)
    xs = [x for x, _ in shape.points]
    ys = [y for _, y in shape.points]
    return (min(xs), min(ys), max(xs), max(ys))


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """Return the shape shifted by (dx, dy)."""
    if isinstance(shape, (Line, Polygon)):
        return replace(shape, points=tuple((x + dx, y + dy) for x, y in shape.points))
    return replace(shape, x=shape.x + dx, y=shape.y + dy)


def union_box(boxes: list[Box]) -> Box:
    """Return the smallest box round all boxes; (0, 0, 0, 0) for none."""
    if not boxes:
        return (0.0, 0.0, 0.0, 0.0)
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def cut(points: list[Point], nx: float, ny: float, offset: float) -> list[Point]:
    """Return the part of a convex polygon where ``nx*x + ny*y >= offset``."""
    result: list[Point] = []
    for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
        d1, d2 = nx * x1 + ny * y1 - offset, nx * x2 + ny * y2 - offset
        if d1 >= 0:
            result.append((x1, y1))
        if (d1 >= 0) != (d2 >= 0):
            t = d1 / (d1 - d2)
            result.append((x1 + t * (x2 - x1), y1 + t * (y2 - y1)))
    return result


def hatch(points: list[Point], angle: float, spacing: float) -> list[tuple[Point, Point]]:
    """Return parallel segments at `angle` degrees, `spacing` apart, inside a convex polygon."""
    a = math.radians(angle)
    dx, dy = math.cos(a), math.sin(a)
    nx, ny = -dy, dx
    heights = [nx * x + ny * y for x, y in points]
    segments = []
    level = math.ceil(min(heights) / spacing + 0.25) * spacing
    while level < max(heights) - 0.25 * spacing:
        along = []
        for (x1, y1), (x2, y2) in zip(points, points[1:] + points[:1], strict=True):
            d1, d2 = nx * x1 + ny * y1 - level, nx * x2 + ny * y2 - level
            if (d1 >= 0) != (d2 >= 0):
                t = d1 / (d1 - d2)
                along.append((x1 + t * (x2 - x1), y1 + t * (y2 - y1)))
        if len(along) == 2:
            segments.append((along[0], along[1]))
        level += spacing
    return segments
