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
    twin_words,
)

SAMPLE = 0.62  # scale of the symbols of the key, which must not compete with the tree's own
COLUMN, ENTRY_TEXT, ENTRY_HEIGHT, SAMPLE_WIDTH = 146.0, 102.0, 22.0, 36.0
MOST_LINES, ENTRY_LINE = 4, 10.5
MOST_WIDTH = 510.0  # so that it fits a sheet of paper upright
TEXT_SIZE = 9.0
HEADING_SIZE = 10.0
LITTLE = 8.0  # radius of symbols that stand beside each other in a sample
SIGN_EDGE = 1.0  # round the sample of an entry that stands by itself
MOST_SAMPLE = 64.0  # a label as a sample may be wider, at the cost of the words beside it
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
    wide = [_sample_width(shapes) for shapes, _ in entries]
    told = [
        wrap(words, ENTRY_TEXT + SAMPLE_WIDTH - room, TEXT_SIZE, lines=MOST_LINES)
        for (_, words), room in zip(entries, wide, strict=True)
    ]
    # Entries side by side share a row, which is as high as the highest of them needs.
    needed = [
        max(_height(shapes), len(parts) * ENTRY_LINE) + 3
        for (shapes, _), parts in zip(entries, told, strict=True)
    ]
    heights = [max(ENTRY_HEIGHT, *needed[row::per_column]) for row in range(per_column)]
    for number, ((shapes, _), parts) in enumerate(zip(entries, told, strict=True)):
        column, row = divmod(number, per_column)
        x, y = left + column * COLUMN, y0 + sum(heights[:row]) + heights[row] / 2
        result += [moved(_small(shape), x + wide[number] / 2, y) for shape in shapes]
        first = y + 0.36 * TEXT_SIZE - (len(parts) - 1) * ENTRY_LINE / 2
        for step, part in enumerate(parts):
            result.append(
                Text(
                    x + wide[number] + 4,
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
    return text_width(text, LEAST_SIZE, True) <= MOST_SAMPLE


def _used(
    marks: set[str], case: Case, label: tuple[str, str] | None
) -> list[tuple[list[Shape], str]]:
    """The entries that a drawing needs: sample and words."""
    entries = [(shapes, words) for name, shapes, words in _entries(case, marks) if name in marks]
    if label:
        entries.append(([_inside(label[0])], label[1]))
    return entries


def _sample_width(shapes: list[Shape]) -> float:
    """The width that a sample takes, which a text of its own may need more of."""
    texts = [_small(shape) for shape in shapes if isinstance(shape, Text)]
    return max([SAMPLE_WIDTH, *(box_of(text)[2] - box_of(text)[0] for text in texts)])


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


def _entries(case: Case, marks: set[str]) -> list[tuple[str, list[Shape], str]]:
    """Every entry that a key of these marks may have, in its order: mark, sample and words."""
    condition = case.condition.name or "the condition"

    def born(zygosity: str) -> str:
        several = f"{zygosity} several" in marks
        kind = "twins or triplets" if several else "twins"
        return twin_words(zygosity, kind, several=several)

    hatched = carrier_words(case, told="carrier?" not in marks)  # true of everyone who is
    return [
        ("square", [_blank("square")], "male, or man"),
        ("circle", [_blank("circle")], "female, or woman"),
        ("diamond", [_blank("diamond")], "nonbinary, or sex not known"),
        ("assigned", [_inside("AMAB")], "assigned male (AFAB: female) at birth"),
        ("affected", [outline("square", "ink", None, "key")], f"affected by {condition}"),
        ("unaffected", [_blank("square")], "empty: not affected"),
        ("?", [_blank("square"), _inside("?")], "not known whether affected"),
        ("carrier", [_blank("square"), *carrier_part("square", None, "key")], hatched),
        ("deceased", [_blank("square"), slash("square", None, role="key")], "deceased (d. age)"),
        ("pregnancy", [_blank("diamond"), _inside("P")], "pregnancy"),
        ("stillbirth", [_blank("square"), slash("square", None, role="key")], "SB: stillbirth"),
        ("miscarriage", _triangle(), "miscarriage"),
        ("termination", _triangle(slash("triangle", None, role="key")), "termination of pregnancy"),
        ("count", [_blank("diamond"), _inside("n")], "n such siblings"),
        ("proband", _arrow(with_p=True), "proband"),
        ("consultand", _arrow(with_p=False), "consultand"),
        ("adopted in", _brackets(), "brackets: adopted into the family"),
        ("adopted out", _brackets(), "brackets: adopted out of the family"),
        ("related", _pair(_level(-2), _level(2)), "related partners"),
        ("separated", _pair(_level(0), _stroke(-5), _stroke(0)), "separated"),
        ("choice", _pair(_level(0), _DOWN, _bar(12)), "no children, by choice"),
        ("infertility", _pair(_level(0), _DOWN, _bar(12), _bar(8.5)), "no children: infertility"),
        ("monozygotic", _twins(_line((-7, -6), (7, -6))), born("monozygotic")),
        ("dizygotic", _twins(), born("dizygotic")),
        ("unknown", _twins(_inside("?")), born("unknown")),
    ]


def _blank(shape: str) -> Shape:
    """The empty symbol of this shape."""
    return outline(shape, "paper", None, "key")


def _little(shape: str, x: float, y: float) -> Shape:
    """An empty symbol that is small enough to stand beside another one."""
    whole = _blank(shape)
    if isinstance(whole, Circle):
        return moved(replace(whole, radius=LITTLE), x, y)
    assert isinstance(whole, Polygon)
    points = tuple((px * LITTLE / RADIUS, py * LITTLE / RADIUS) for px, py in whole.points)
    return moved(replace(whole, points=points), x, y)


def _pair(*between: Shape) -> list[Shape]:
    """Two partners, with lines between them."""
    return [*between, _little("square", -18, 0), _little("circle", 18, 0)]


def _level(y: float) -> Line:
    """A line from one partner to the other at this height."""
    return _line((-10, y), (10, y))


def _stroke(x: float) -> Line:
    """One of the two strokes of a separation, from here upwards to the right."""
    return _line((x, 6), (x + 5, -6))


#: Below partners without children, from their line down; and the bars at its end.
_DOWN = _line((0, 0), (0, 12))


def _bar(y: float) -> Line:
    return _line((-6, y), (6, y))


def _twins(*between: Shape) -> list[Shape]:
    """Two children on slanting lines, with what is between the lines."""
    return [
        _line((0, -16), (-14, 4)),
        _line((0, -16), (14, 4)),
        *between,
        _little("circle", -14, 11),
        _little("circle", 14, 11),
    ]


def _triangle(*over: Shape) -> list[Shape]:
    """A pregnancy that was lost, with what is drawn over it, at half height of the entry."""
    down = -top_of("triangle") - 7.5
    return [moved(shape, 0, down) for shape in (_blank("triangle"), *over)]


def _brackets() -> list[Shape]:
    """Somebody who was adopted."""
    return [*brackets(None, "key"), _blank("square")]


def _arrow(*, with_p: bool) -> list[Shape]:
    """The arrow of a role beside a square, centred as a whole."""
    return [moved(shape, 9.0, -3.0) for shape in (*arrow(None, with_p, "key"), _blank("square"))]
