"""One in very many as a picture: a field of small squares, and one square of it enlarged.

A field is divided into as many squares as can be counted with the eye.  Where there are more
than that, each square stands for a hundred; one is drawn again, larger, as ten rows of ten, and
so on until a square stands for one.  Areas are true throughout: the filled share of the last
square, of the square that it enlarges, and so on, is the chance that is pictured.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, isqrt

from risk.fonts.metrics import text_width
from risk.scene.shapes import Line, Point, Polygon, Scene, Shape, Text, Tone, box_of, hatch

#: A field of at most so many squares is shown whole; beyond, a square stands for a hundred.
MOST_SQUARES = 1_000
#: More than so many times enlarged, nobody follows.
MOST_ENLARGED = 4
WIDTH = 104.0  # of the field
ENLARGED = 70.0  # a side of an enlarged square
BETWEEN = 26.0
EDGE = 4.0
THIN, THICK = 0.25, 0.9
LABEL = 10.5


def enlargements(number: int) -> int:
    """Return how often a square must be enlarged until it stands for one of `number`."""
    units, times = Fraction(number), 0
    while units > MOST_SQUARES:
        units /= 100
        times += 1
    return times


def rare_scene(number: int, *, about: bool = False, all_but: bool = False) -> Scene:
    """Draw one filled square of `number` of them; with `all_but`, all but one are filled.

    `about` says that the number is rounded.  Raises ValueError for one below 2 and for one that
    takes more than `MOST_ENLARGED` enlargements.
    """
    times = enlargements(number)
    if number < 2 or times > MOST_ENLARGED:
        raise ValueError(f"needs from 2 to {MOST_SQUARES * 100**MOST_ENLARGED}")
    units = Fraction(number, 100**times)
    across = 10 * ceil((isqrt(ceil(units) - 1) + 1) / 10)
    step = WIDTH / across
    field = _Field(EDGE, EDGE, units, across, step, filled=all_but)
    # Not in a corner, where outlines would hide it.
    at = (3, 3) if units >= 3 * across + 4 else (1, 0)
    shapes = [*field.shapes(), *field.marked(at, whole=not times)]
    labels = [(EDGE, field.bottom, f"{'about ' if about else ''}{number:,}")]
    for last in range(times - 1, -1, -1):
        larger = _Field(field.right + BETWEEN, EDGE, Fraction(100), 10, ENLARGED / 10, all_but)
        (_, above, below, _), left = field.corners(at), larger.left
        shapes += [
            Line((above, (left, larger.top)), "figure", width=THIN, dash=(2, 2)),
            Line((below, (left, larger.bottom)), "figure", width=THIN, dash=(2, 2)),
        ]
        field, at = larger, (3, 3)
        shapes += [*field.shapes(), *field.marked(at, whole=not last)]
        labels.append((left, field.bottom, f"{100 ** (last + 1):,}"))
    shapes += [_label(*each) for each in labels]
    boxes = [box_of(shape) for shape in shapes]
    desc = describe(number, about=about, all_but=all_but)
    return Scene(
        max(box[2] for box in boxes) + EDGE,
        max(box[3] for box in boxes) + EDGE,
        tuple(shapes),
        desc,
        desc,
    )


def describe(number: int, *, about: bool = False, all_but: bool = False) -> str:
    """Say what `rare_scene` shows."""
    times = enlargements(number)
    count = f"{'about ' if about else ''}{number:,}"
    filled = "all but one are filled" if all_but else "one is filled"
    if not times:
        return f"A field of {count} squares, of which {filled}."
    again = {1: "", 2: ", and one of these again"}.get(times, f", and so on {times} times")
    return (
        f"A field that stands for {count}. One of its squares is drawn larger, as a hundred"
        f"{again}: of the last hundred {filled}."
    )


@dataclass(frozen=True, slots=True)
class _Field:
    """Squares in rows from the left, the last one narrower where their number is not whole."""

    left: float
    top: float
    units: Fraction
    across: int
    step: float
    filled: bool = False

    @property
    def right(self) -> float:
        return self.left + self.across * self.step

    @property
    def bottom(self) -> float:
        return self.top + ceil(self.units / self.across) * self.step

    def corners(self, at: tuple[int, int]) -> list[Point]:
        """The corners of a square, clockwise from its upper left one."""
        x, y = self.left + at[0] * self.step, self.top + at[1] * self.step
        far, low = x + self.step, y + self.step
        return [(x, y), (far, y), (far, low), (x, low)]

    def marked(self, at: tuple[int, int], *, whole: bool) -> list[Shape]:
        """The square that the picture is about; hatched where only a part of it is the one."""
        corners = self.corners(at)
        fill: Tone = "ink" if whole and not self.filled else "paper"
        square = Polygon(tuple(corners), "figure", width=THICK, fill=fill)
        if whole:
            return [square]
        lines = hatch(corners, 45, min(1.6, self.step / 3))
        return [square, *(Line(ends, "figure", width=THIN) for ends in lines)]

    def shapes(self) -> list[Shape]:
        """The outline, filled or not, and the lines between the squares."""
        rows, rest = divmod(self.units, self.across)
        full = self.top + int(rows) * self.step
        end = self.left + float(rest) * self.step
        # Round the full rows, then round what there is of a last one.
        outline = [(self.left, self.top), (self.right, self.top), (self.right, full)]
        if rest:
            outline += [(end, full), (end, self.bottom)]
        outline.append((self.left, self.bottom))
        if not rows:
            outline = [(self.left, self.top), (end, self.top), *outline[-2:]]
        fill: Tone = "ink" if self.filled else "paper"
        between: Tone = "paper" if self.filled else "ink"
        lines: list[tuple[Point, Point]] = []
        for row in range(1, ceil(self.units / self.across)):
            y = self.top + row * self.step
            lines.append(((self.left, y), (self.right, y)))
        for column in range(1, self.across):
            x = self.left + column * self.step
            low = self.bottom if x < end else full
            if low > self.top:
                lines.append(((x, self.top), (x, low)))
        return [
            Polygon(tuple(outline), "figure", width=THICK, fill=fill),
            *(Line(ends, "figure", width=THIN, stroke=between) for ends in lines),
        ]


def _label(left: float, bottom: float, text: str) -> Text:
    width = text_width(text, LABEL)
    return Text(left, bottom + LABEL + 3, text, LABEL, width, "figure")
