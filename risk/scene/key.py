"""The key: every mark that a drawing uses, and no other, with what it means."""

from __future__ import annotations

from dataclasses import replace

from risk.case.model import Case
from risk.fonts.metrics import text_width, wrap
from risk.scene.shapes import Circle, Line, Polygon, Scene, Shape, Text, box_of, moved, union_box
from risk.scene.symbols import (
    RADIUS,
    arrow,
    brackets,
    carrier_part,
    carrier_words,
    outline,
    slash,
    top_of,
)

SAMPLE = 0.62  # scale of the symbols of the key, which must not compete with the tree's own
COLUMN, ENTRY_TEXT, ENTRY_HEIGHT, SAMPLE_WIDTH = 146.0, 102.0, 22.0, 36.0
MOST_LINES, ENTRY_LINE = 4, 10.5
MOST_WIDTH = 510.0  # so that it fits a sheet of paper upright
TEXT_SIZE = 9.0
HEADING_SIZE = 10.0
SIGN_EDGE = 1.0  # round the sample of an entry that stands by itself
LEAST_SIZE = 9.0  # no text is smaller, in a sample either


def key_shapes(
    marks: set[str],
    case: Case,
    left: float,
    top: float,
    width: float,
    label: tuple[str, str] | None = None,
) -> list[Shape]:
    """Return the key as shapes: a heading and entries in columns, from (left, top) down.

    `label` is a sample of what is written under the people, and what it means.
    """
    entries = _used(marks, case, label)
    if not entries:
        return []
    columns = max(1, min(int((min(width, MOST_WIDTH) + 8) // COLUMN), len(entries)))
    result: list[Shape] = [
        Text(
            left,
            top + HEADING_SIZE,
            "Key",
            HEADING_SIZE,
            text_width("Key", HEADING_SIZE, True),
            "key",
            bold=True,
        )
    ]
    per_column = -(-len(entries) // columns)
    y0 = top + HEADING_SIZE + 8
    told = [wrap(words, ENTRY_TEXT, TEXT_SIZE, lines=MOST_LINES) for _, words in entries]
    # Entries side by side share a row, which is as high as the highest of them needs.
    needed = [
        max(_height(shapes), len(parts) * ENTRY_LINE) + 3
        for (shapes, _), parts in zip(entries, told, strict=True)
    ]
    heights = [max(ENTRY_HEIGHT, *needed[row::per_column]) for row in range(per_column)]
    for number, ((shapes, _), parts) in enumerate(zip(entries, told, strict=True)):
        column, row = divmod(number, per_column)
        x, y = left + column * COLUMN, y0 + sum(heights[:row]) + heights[row] / 2
        result += [moved(_small(shape), x + SAMPLE_WIDTH / 2, y) for shape in shapes]
        first = y + 0.36 * TEXT_SIZE - (len(parts) - 1) * ENTRY_LINE / 2
        for step, part in enumerate(parts):
            result.append(
                Text(
                    x + SAMPLE_WIDTH + 4,
                    first + step * ENTRY_LINE,
                    part,
                    TEXT_SIZE,
                    text_width(part, TEXT_SIZE),
                    "key",
                )
            )
    return result


def sign_scenes(
    marks: set[str], case: Case, label: tuple[str, str] | None = None
) -> tuple[Scene, ...]:
    """Return the entries of the key as small drawings, each with what it means as its title.

    A page that flows sets them beside or below one another as there is room.
    """
    scenes = []
    for shapes, words in _used(marks, case, label):
        small = [_small(shape) for shape in shapes]
        left, top, right, bottom = union_box([box_of(shape) for shape in small])
        body = tuple(moved(shape, SIGN_EDGE - left, SIGN_EDGE - top) for shape in small)
        width, height = right - left + 2 * SIGN_EDGE, bottom - top + 2 * SIGN_EDGE
        scenes.append(Scene(width, height, body, words))
    return tuple(scenes)


def fits_sample(text: str) -> bool:
    """Whether a label, as a sample in the key, leaves the words beside it their place."""
    return text_width(text, LEAST_SIZE, True) <= SAMPLE_WIDTH


def _used(
    marks: set[str], case: Case, label: tuple[str, str] | None
) -> list[tuple[list[Shape], str]]:
    """The entries that a drawing needs: sample and words."""
    entries = [(shapes, words) for name, shapes, words in _entries(case) if name in marks]
    if label:
        entries.append(([_inside(label[0])], label[1]))
    return entries


def _height(shapes: list[Shape]) -> float:
    """The height of a sample, as far as it reaches up or down from its middle."""
    _, top, _, bottom = union_box([box_of(_small(shape)) for shape in shapes])
    return 2 * min(-top, bottom)


def _small(shape: Shape) -> Shape:
    if isinstance(shape, Text):
        size = max(shape.size * SAMPLE, LEAST_SIZE)
        return replace(
            shape,
            x=shape.x * SAMPLE,
            y=shape.y * SAMPLE,
            size=size,
            measure=shape.measure * size / shape.size,
            role="key",
            person=None,
        )
    if isinstance(shape, Circle):
        return replace(
            shape, x=shape.x * SAMPLE, y=shape.y * SAMPLE, radius=shape.radius * SAMPLE, role="key"
        )
    points = tuple((x * SAMPLE, y * SAMPLE) for x, y in shape.points)
    return replace(shape, points=points, role="key")


def _inside(text: str) -> Text:
    size = 12.0
    return Text(0, 4.4, text, size, text_width(text, size, True), "key", anchor="middle", bold=True)


def _line(*points: tuple[float, float]) -> Line:
    return Line(tuple(points), "key")


def _entries(case: Case) -> list[tuple[str, list[Shape], str]]:
    def blank(shape: str) -> Shape:
        return outline(shape, "paper", None, "key")

    def half(x: float, y: float, shape: str) -> Shape:
        return moved(replace_size(outline(shape, "paper", None, "key")), x, y)

    def replace_size(shape: Shape) -> Shape:
        if isinstance(shape, Circle):
            return replace(shape, radius=8.0)
        assert isinstance(shape, Polygon)
        return replace(
            shape, points=tuple((x * 8 / RADIUS, y * 8 / RADIUS) for x, y in shape.points)
        )

    def pair(*between: Shape) -> list[Shape]:
        return [*between, half(-18, 0, "square"), half(18, 0, "circle")]

    def twins(*between: Shape) -> list[Shape]:
        return [
            _line((0, -16), (-14, 4)),
            _line((0, -16), (14, 4)),
            *between,
            half(-14, 11, "circle"),
            half(14, 11, "circle"),
        ]

    condition = case.condition.name or "the condition"
    up = top_of("triangle")
    triangle = moved(blank("triangle"), 0, -up - 7.5)
    triangle_slash = moved(slash("triangle", None, "key"), 0, -up - 7.5)
    return [
        ("square", [blank("square")], "male, or man"),
        ("circle", [blank("circle")], "female, or woman"),
        ("diamond", [blank("diamond")], "nonbinary, or sex not known"),
        ("assigned", [_inside("AMAB")], "assigned male (AFAB: female) at birth"),
        ("affected", [outline("square", "ink", None, "key")], f"affected by {condition}"),
        ("unaffected", [blank("square")], "empty: not affected"),
        ("?", [blank("square"), _inside("?")], "not known whether affected"),
        ("carrier", [blank("square"), *carrier_part("square", None, "key")], carrier_words(case)),
        ("deceased", [blank("square"), slash("square", None, "key")], "deceased (d. age)"),
        ("pregnancy", [blank("diamond"), _inside("P")], "pregnancy"),
        ("stillbirth", [blank("square"), slash("square", None, "key")], "SB: stillbirth"),
        ("miscarriage", [triangle], "miscarriage"),
        ("termination", [triangle, triangle_slash], "termination of pregnancy"),
        ("count", [blank("diamond"), _inside("n")], "n such siblings"),
        ("proband", arrow_sample(True), "proband"),
        ("consultand", arrow_sample(False), "consultand"),
        (
            "adopted in",
            [*brackets(None, "key"), blank("square")],
            "brackets: adopted into the family",
        ),
        (
            "adopted out",
            [*brackets(None, "key"), blank("square")],
            "brackets: adopted out of the family",
        ),
        ("related", pair(_line((-10, -2), (10, -2)), _line((-10, 2), (10, 2))), "related partners"),
        (
            "separated",
            pair(_line((-10, 0), (10, 0)), _line((-5, 6), (0, -6)), _line((0, 6), (5, -6))),
            "separated",
        ),
        (
            "choice",
            pair(_line((-10, 0), (10, 0)), _line((0, 0), (0, 12)), _line((-6, 12), (6, 12))),
            "no children, by choice",
        ),
        (
            "infertility",
            pair(
                _line((-10, 0), (10, 0)),
                _line((0, 0), (0, 12)),
                _line((-6, 12), (6, 12)),
                _line((-6, 8.5), (6, 8.5)),
            ),
            "no children: infertility",
        ),
        ("monozygotic", twins(_line((-7, -6), (7, -6))), "monozygotic twins"),
        ("dizygotic", twins(), "dizygotic twins"),
        (
            "unknown twins",
            twins(moved(replace(_inside("?"), size=12.0), 0, 0)),
            "twins of unknown zygosity",
        ),
    ]


def arrow_sample(with_p: bool) -> list[Shape]:
    """The arrow of a role beside a square, centred as a whole."""
    shapes = [*arrow(None, with_p, "key"), outline("square", "paper", None, "key")]
    return [moved(shape, 9.0, -3.0) for shape in shapes]
