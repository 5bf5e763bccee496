"""Plots, crowds and squares: points where the axes say, and nothing by colour alone."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.scene.chart import Series, icon_array, line_chart, plain_number
from risk.scene.shapes import Circle, Line, Polygon, Text, box_of


def _ticks(scene, anchor: str) -> dict[str, Text]:  # type: ignore[no-untyped-def]
    return {
        s.text: s
        for s in scene.items
        if isinstance(s, Text) and s.role == "axis" and s.anchor == anchor and not s.turned
    }


def test_a_point_stands_at_its_ticks() -> None:
    scene = line_chart([Series("a", ((1.0, 0.2), (3.0, 0.4)))], "x", "y")
    first, last = (s for s in scene.items if isinstance(s, Circle))
    ys, xs = _ticks(scene, "end"), _ticks(scene, "middle")
    assert first.x == pytest.approx(xs["1"].x, abs=0.01)
    assert last.x == pytest.approx(xs["3"].x, abs=0.01)
    assert last.y == pytest.approx(ys["0.4"].y - 3.6, abs=0.01)


def test_a_logarithmic_axis_gives_equal_room_to_equal_ratios() -> None:
    points = ((0.01, 0.1), (0.1, 0.2), (1.0, 0.3))
    scene = line_chart([Series("a", points)], "x", "y", log_x=True)
    x = [s.x for s in scene.items if isinstance(s, Circle)]
    assert x[1] - x[0] == pytest.approx(x[2] - x[1])


@pytest.mark.parametrize("low", [2.5e-7, 2.5e-6, 2.5e-5, 2.5e-4, 1e-3])
def test_every_power_of_ten_on_a_logarithmic_axis_has_its_label(low: float) -> None:
    scene = line_chart([Series("a", ((low, 0.1), (1600 * low, 0.2)))], "x", "y", log_x=True)
    labels = [float(text) for text in _ticks(scene, "middle") if text != "x"]
    powers = [10.0**n for n in range(-7, 1) if low <= 10.0**n <= 1600 * low]
    assert powers and set(powers) <= set(labels)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0.25, "0.25"),
        (0.0001, "0.0001"),
        (0.00001, "0.00001"),
        (0.0000025, "0.0000025"),
        (1e-7, "1e-7"),
        (-1e-5, "\u22120.00001"),
        (100000, "1e5"),
    ],
)
def test_ticks_are_written_as_people_write_them(value: float, text: str) -> None:
    assert plain_number(value) == text


def test_series_differ_by_dash_and_marker_and_are_named() -> None:
    many = [Series(f"line {n}", ((0, n), (1, n + 1))) for n in range(4)]
    scene = line_chart(many, "x", "y")
    lines = [s for s in scene.items if isinstance(s, Line) and s.role == "series"]
    assert len({s.dash for s in lines}) == 4
    named = {s.text for s in scene.items if isinstance(s, Text) and s.role == "key"}
    assert named == {f"line {n}" for n in range(4)}


def test_series_that_hide_each_other_are_said_to_and_keep_their_markers() -> None:
    points = tuple((float(x), x / 10) for x in range(6))
    near = tuple((x, y + 0.0001) for x, y in points)
    names = ("one", "other", "same", "near")
    other = ((0.0, 0.5), *points[1:])
    many = [Series(n, p) for n, p in zip(names, (points, other, points, near), strict=True)]
    scene = line_chart(many, "x", "y")
    lines = [s for s in scene.items if isinstance(s, Line) and s.role == "series"]
    assert len([line for line in lines if len(line.points) > 2]) == 2  # one curve, drawn once
    key = {s.text for s in scene.items if isinstance(s, Text) and s.role == "key"}
    assert "same (the same curve as the circles)" in key
    assert "near (nearly the same curve as the circles)" in key
    assert {"one", "other"} <= key
    places = [box_of(s) for s in scene.items if isinstance(s, Circle | Polygon)]
    middles = {(round(a + c), round(b + d)) for a, b, c, d in places}
    # Four markers in the key; on the curves no marker hides another, but where curves meet.
    assert len(places) == 4 + 6 + 6
    assert len(middles) >= 4 + 6


def test_a_missing_value_leaves_a_gap() -> None:
    gap = line_chart([Series("a", ((0, 1), (1, 2), (2, None), (3, 1), (4, 2)))], "x", "y")
    assert sum(isinstance(s, Line) and s.role == "series" for s in gap.items) == 2


def test_what_cannot_be_plotted_is_refused() -> None:
    with pytest.raises(ValueError, match="no point"):
        line_chart([Series("a", ((0, None),))], "x", "y")
    with pytest.raises(ValueError, match="above 0"):
        line_chart([Series("a", ((0, 1),))], "x", "y", log_x=True)


finite = st.floats(-1e6, 1e6).map(lambda v: round(v, 6))


@given(st.lists(st.tuples(finite, finite), min_size=1, max_size=20))
def test_everything_stays_on_the_sheet(points: list[tuple[float, float]]) -> None:
    scene = line_chart([Series("a", tuple(sorted(points)))], "x", "y")
    for shape in scene.items:
        left, top, right, bottom = box_of(shape)
        assert left >= 0 and top >= 0 and right <= scene.width and bottom <= scene.height


@given(st.integers(1, 400), st.data())
def test_a_crowd_has_as_many_figures_and_filled_ones_as_asked(total: int, data) -> None:  # type: ignore[no-untyped-def]
    some = data.draw(st.integers(0, total))
    figures = [s for s in icon_array(some, total).items if isinstance(s, Circle)]
    assert (len(figures), sum(s.fill == "ink" for s in figures)) == (total, some)


def test_a_crowd_that_makes_no_sense_is_refused() -> None:
    for some, total in ((2, 1), (-1, 3), (0, 0)):
        with pytest.raises(ValueError, match="needs"):
            icon_array(some, total)
