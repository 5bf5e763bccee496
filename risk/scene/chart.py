"""Plots and crowds as scenes: pictures of numbers that come in as they are.

Everything reads in black and white: series differ by dash and marker, and marked figures are
filled.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from risk.caution import CAUTION
from risk.fonts.metrics import text_width, wrap
from risk.scene.shapes import (
    Anchor,
    Circle,
    Line,
    Point,
    Polygon,
    Role,
    Scene,
    Shape,
    Text,
    box_of,
)

SIZE, TITLE_SIZE, CAUTION_SIZE = 10.0, 13.0, 9.5
PLOT_WIDTH, PLOT_HEIGHT = 400.0, 230.0
MARGIN = 16.0
TICK = 4.0
DASHES: tuple[tuple[float, ...], ...] = ((), (7, 3), (2, 2.5), (9, 3, 2, 3))
MOST_MARKERS = 14


@dataclass(frozen=True, slots=True)
class Series:
    """A named line of a plot; a y of None leaves a gap."""

    name: str
    points: tuple[tuple[float, float | None], ...]


def _text(
    text: str,
    x: float,
    y: float,
    *,
    anchor: Anchor = "start",
    size: float = SIZE,
    bold: bool = False,
    role: Role = "axis",
    turned: bool = False,
) -> Text:
    width = text_width(text, size, bold)
    return Text(x, y, text, size, width, role, None, anchor, bold, turned=turned)


def line_chart(
    series: Sequence[Series],
    x_label: str,
    y_label: str,
    *,
    log_x: bool = False,
    title: str = "",
    desc: str = "",
    y_text: Callable[[float], str] | None = None,
    mark: tuple[float, str] | None = None,
) -> Scene:
    """Plot `series` against common axes; `y_text` writes the ticks of y.

    A `mark` is a value of x to be found again, and what it is; outside the axis it is left out.
    Raises ValueError where there is no point to plot, or a logarithmic axis meets x <= 0.
    """
    known = [(x, y) for one in series for x, y in one.points if y is not None]
    if not known:
        raise ValueError("there is no point to plot")
    xs, ys = [x for x, _ in known], [y for _, y in known]
    if log_x and min(xs) <= 0:
        raise ValueError("a logarithmic axis needs x above 0")
    x_axis = _log_axis(min(xs), max(xs)) if log_x else _axis(min(xs), max(xs), 6)
    y_axis = _axis(min(0.0, *ys), max(ys), 6)
    write_y = y_text or plain_number
    left = MARGIN + 2 * SIZE + max(text_width(write_y(t), SIZE) for t in y_axis.ticks) + 10
    left = max(left, MARGIN + text_width(plain_number(x_axis.ticks[0]), SIZE) / 2)
    head, top = _head(title, left)
    top += 8 if mark is None else 8 + SIZE
    plot = _Plot(x_axis, y_axis, left, top)
    foot = plot.bottom + TICK + 2 * SIZE + 12
    middle = (left + PLOT_WIDTH / 2, top + PLOT_HEIGHT / 2)
    frame: list[Shape] = [
        *_y_ticks(plot, write_y),
        *_x_ticks(plot),
        Line(((left, top), (left, plot.bottom), (plot.right, plot.bottom)), "axis"),
        *_marked(plot, mark),
        _text(x_label, middle[0], foot, anchor="middle"),
        _text(y_label, MARGIN + SIZE, middle[1], anchor="middle", turned=True),
    ]
    alike = _alike(series, (y_axis.high - y_axis.low) / PLOT_HEIGHT)
    drawn: list[Shape] = []
    for number, one in enumerate(series):
        drawn += _drawn(one, number, alike, plot)
    legend: list[Shape] = []
    if len(series) > 1:
        legend, foot = _legend(series, alike, left, foot + 10)
    foot += 2 * CAUTION_SIZE
    whole = max(plot.right + 12, *(box_of(s)[2] for s in frame)) + MARGIN
    caution: list[Shape] = []
    for part in wrap(CAUTION, whole - 2 * MARGIN, CAUTION_SIZE):
        caution.append(_text(part, MARGIN, foot, size=CAUTION_SIZE, role="caution"))
        foot += CAUTION_SIZE + 3
    return Scene(
        whole,
        foot + 4,
        (*head, *frame, *drawn, *legend, *caution),
        title or y_label,
        desc or f"{y_label} against {x_label}, {len(series)} line{'s' * (len(series) != 1)}.",
    )


def _head(title: str, left: float) -> tuple[list[Shape], float]:
    """The title, and how far down it reaches."""
    shapes: list[Shape] = []
    top = MARGIN
    for part in wrap(title, PLOT_WIDTH, TITLE_SIZE, bold=True) if title else []:
        top += TITLE_SIZE
        shapes.append(_text(part, left, top, size=TITLE_SIZE, bold=True, role="title"))
        top += 6
    return shapes, top


@dataclass(frozen=True, slots=True)
class _Axis:
    low: float
    high: float
    ticks: tuple[float, ...]
    log: bool = False

    def by_weight(self) -> list[float]:
        """Return the ticks in the order in which they get a label: powers of ten first, if any."""
        return sorted(self.ticks, key=lambda tick: not (self.log and _power_of_ten(tick)))

    def share(self, value: float) -> float:
        if self.log:
            return (math.log10(value / self.low)) / math.log10(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


@dataclass(frozen=True, slots=True)
class _Plot:
    """Where the curves are on the sheet: between which axes, and from where on."""

    x_axis: _Axis
    y_axis: _Axis
    left: float
    top: float

    @property
    def right(self) -> float:
        return self.left + PLOT_WIDTH

    @property
    def bottom(self) -> float:
        return self.top + PLOT_HEIGHT

    def at(self, x: float, y: float) -> Point:
        """Return the place of a point of a curve."""
        return (
            self.left + self.x_axis.share(x) * PLOT_WIDTH,
            self.top + (1 - self.y_axis.share(y)) * PLOT_HEIGHT,
        )


def _y_ticks(plot: _Plot, write: Callable[[float], str]) -> list[Shape]:
    """The lines of the grid, with the values of y at the left."""
    shapes: list[Shape] = []
    for tick in plot.y_axis.ticks:
        _, y = plot.at(plot.x_axis.low, tick)
        shapes.append(Line(((plot.left, y), (plot.right, y)), "grid", width=0.4))
        shapes.append(_text(write(tick), plot.left - 6, y + 0.36 * SIZE, anchor="end"))
    return shapes


def _x_ticks(plot: _Plot) -> list[Shape]:
    """The ticks of x, and the values of those that have room for it."""
    shapes: list[Shape] = []
    written: list[tuple[float, float]] = []
    end = plot.bottom + TICK
    for tick in plot.x_axis.by_weight():
        x, _ = plot.at(tick, plot.y_axis.low)
        shapes.append(Line(((x, plot.bottom), (x, end)), "axis"))
        words = plain_number(tick)
        half = text_width(words, SIZE) / 2
        if all(abs(x - other) > half + room + 6 for other, room in written):
            shapes.append(_text(words, x, end + SIZE + 2, anchor="middle"))
            written.append((x, half))
    return shapes


def _marked(plot: _Plot, mark: tuple[float, str] | None) -> list[Shape]:
    """The upright line of a `mark` that is on the axis, with its words on top."""
    if mark is None or not plot.x_axis.low <= mark[0] <= plot.x_axis.high:
        return []
    x, _ = plot.at(mark[0], plot.y_axis.low)
    side: Anchor = "end" if x > plot.left + PLOT_WIDTH / 2 else "start"
    return [
        Line(((x, plot.top), (x, plot.bottom)), "axis", width=0.7, dash=(1.5, 2.5)),
        _text(mark[1], x + (-4 if side == "end" else 4), plot.top - 2, anchor=side),
    ]


def _axis(low: float, high: float, most: int) -> _Axis:
    if high <= low:
        low, high = (low - 0.5, high + 0.5) if low else (0.0, 1.0)
    rough = (high - low) / (most - 1)
    power = 10 ** math.floor(math.log10(rough))
    step = next(m * power for m in (1, 2, 2.5, 5, 10) if m * power >= rough * 0.999)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    ticks = tuple(number * step for number in range(first, last + 1))
    return _Axis(ticks[0], ticks[-1], ticks)


def _log_axis(low: float, high: float) -> _Axis:
    if high <= low:
        low, high = low / 2, high * 2
    return _Axis(low, high, log_ticks(low, high), log=True)


def log_ticks(low: float, high: float) -> tuple[float, ...]:
    """Return the ticks of a logarithmic axis: 1, 2 and 5 times powers of ten, or these alone."""
    ticks = [
        m * 10.0**power
        for power in range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
        for m in (1, 2, 5)
    ]
    inside = [t for t in ticks if low * 0.999 <= t <= high * 1.001]
    if len(inside) > 9:
        inside = [t for t in inside if _power_of_ten(t)]
    return tuple(inside) or (low, high)


def _power_of_ten(tick: float) -> bool:
    return math.isclose(math.log10(tick), round(math.log10(tick)))


def plain_number(value: float) -> str:
    """Write a tick shortly: 0.25, down to 0.000001; what is smaller or huge like 1e-7."""
    text = f"{value:.4g}"
    digits, exponent, power = text.partition("e")
    if exponent:
        small = -7 < int(power) < 0
        text = f"{Decimal(text):f}" if small else f"{digits}e{int(power)}"
    return text.replace("-", "\u2212") if value < 0 else text


@dataclass(frozen=True, slots=True)
class _Alike:
    """That a series runs on top of an earlier one, `first`, exactly or as far as can be seen."""

    first: int
    exactly: bool = True


def _alike(series: Sequence[Series], seen: float) -> list[_Alike]:
    """Return for each series the first that it cannot be told from, itself where there is none.

    `seen` is a difference in y, of one point on paper, that cannot be seen.
    """
    found: list[_Alike] = []
    for number, one in enumerate(series):
        same = _Alike(number)
        for first in range(number):
            apart = _apart(one, series[first])
            if found[first].first == first and apart <= seen:
                same = _Alike(first, apart <= seen * 1e-6)
                break
        found.append(same)
    return found


def _apart(one: Series, other: Series) -> float:
    """Return the largest difference in y, infinite where the series have other points."""
    if [x for x, _ in one.points] != [x for x, _ in other.points]:
        return math.inf
    most = 0.0
    for (_, y), (_, also) in zip(one.points, other.points, strict=True):
        if y is None or also is None:
            if y is not also:
                return math.inf
        else:
            most = max(most, abs(y - also))
    return most


def _drawn(one: Series, number: int, alike: Sequence[_Alike], plot: _Plot) -> list[Shape]:
    """Draw one series; of those that hide each other the first has the line, and all have markers.

    Their markers take turns, so that each is seen.
    """
    group = [n for n, each in enumerate(alike) if each.first == alike[number].first]
    shapes: list[Shape] = []
    run: list[Point] = []
    marks: list[Point] = []

    def end_run() -> None:
        if len(run) > 1 and number == group[0]:
            dash = DASHES[number % len(DASHES)]
            shapes.append(Line(tuple(run), "series", width=1.5, dash=dash))
        run.clear()

    for x, y in one.points:
        if y is None:
            end_run()
            continue
        point = plot.at(x, y)
        run.append(point)
        marks.append(point)
    end_run()
    every = max(1, -(-len(marks) // MOST_MARKERS))
    turns = marks[::every][group.index(number) :: len(group)]
    return [*shapes, *(marker(number, *point) for point in turns)]


def marker(number: int, x: float, y: float) -> Shape:
    """Return the marker of a series: circle, square, triangle, diamond; filled, then empty."""
    fill = "ink" if number // 4 % 2 == 0 else "paper"
    kind, r = number % 4, 3.2
    if kind == 0:
        return Circle(x, y, r, "series", width=1.0, fill=fill)  # type: ignore[arg-type]
    points: list[Point] = {
        1: [(-r, -r), (r, -r), (r, r), (-r, r)],
        2: [(0, -r * 1.2), (r * 1.2, r), (-r * 1.2, r)],
        3: [(0, -r * 1.3), (r * 1.3, 0), (0, r * 1.3), (-r * 1.3, 0)],
    }[kind]
    moved = tuple((x + px, y + py) for px, py in points)
    return Polygon(moved, "series", width=1.0, fill=fill)  # type: ignore[arg-type]


def _marker_name(number: int) -> str:
    name = ("circles", "squares", "triangles", "diamonds")[number % 4]
    return name if number // 4 % 2 == 0 else f"empty {name}"


def _legend(
    series: Sequence[Series], alike: Sequence[_Alike], left: float, top: float
) -> tuple[list[Shape], float]:
    shapes: list[Shape] = []
    y = top
    for number, one in enumerate(series):
        y += SIZE + 4
        first = alike[number].first
        dash = DASHES[first % len(DASHES)]
        shapes.append(Line(((left, y - 3.5), (left + 34, y - 3.5)), "series", width=1.5, dash=dash))
        shapes.append(marker(number, left + 17, y - 3.5))
        name = one.name
        if first != number:
            same = "the same" if alike[number].exactly else "nearly the same"
            name += f" ({same} curve as the {_marker_name(first)})"
        for step, part in enumerate(wrap(name, PLOT_WIDTH - 42, SIZE)):
            y += (SIZE + 2) * (step > 0)
            shapes.append(_text(part, left + 42, y, role="key"))
    return shapes, y


def icon_array(n_marked: int, n_total: int) -> Scene:
    """Draw `n_total` small figures of which `n_marked` are filled: a natural frequency.

    Ten to a row (fifty where there are more than two hundred); the filled ones come first.
    """
    if not 0 <= n_marked <= n_total or not 1 <= n_total <= 10_000:
        raise ValueError("needs 0 <= n_marked <= n_total <= 10 000")
    per_row = 10 if n_total <= 100 else 20 if n_total <= 200 else 50
    per_row = min(per_row, n_total)
    step, radius = (16.0, 5.5) if n_total <= 200 else (9.0, 3.2)
    rows = -(-n_total // per_row)
    shapes: list[Shape] = [
        Circle(
            MARGIN / 2 + (n % per_row + 0.5) * step,
            MARGIN / 2 + (n // per_row + 0.5) * step,
            radius,
            "figure",
            width=0.9,
            fill="ink" if n < n_marked else "paper",
        )
        for n in range(n_total)
    ]
    width, height = per_row * step + MARGIN, rows * step + MARGIN
    words = f"{n_marked} of {n_total} figures are filled."
    return Scene(width, height, tuple(shapes), words, words)
