"""One of very many as a field of squares: counted and measured from the shapes."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.scene.rare import ENLARGED, MOST_ENLARGED, MOST_SQUARES, enlargements, rare_scene
from risk.scene.shapes import Line, Polygon, Scene, Text, box_of


def area(polygon: Polygon) -> float:
    """By the shoelace formula."""
    points = polygon.points
    return (
        abs(
            sum(
                x1 * y2 - x2 * y1
                for (x1, y1), (x2, y2) in zip(points, [*points[1:], points[0]], strict=True)
            )
        )
        / 2
    )


def fields(scene: Scene) -> list[tuple[Polygon, Polygon]]:
    """Each field with its marked square, from left to right."""
    polygons = [shape for shape in scene.items if isinstance(shape, Polygon)]
    return list(zip(polygons[::2], polygons[1::2], strict=True))


@given(st.integers(2, MOST_SQUARES * 100**MOST_ENLARGED))
def test_the_share_of_the_marked_squares_is_one_of_the_number(number: int) -> None:
    """Areas multiply: the mark's share of each field, one after the other."""
    share = 1.0
    for field, mark in fields(rare_scene(number)):
        share *= area(mark) / area(field)
    assert share == pytest.approx(1 / number, rel=1e-6)


@given(st.integers(2, MOST_SQUARES * 100**MOST_ENLARGED), st.booleans())
def test_only_the_last_mark_is_a_whole_one_and_all_is_inside(number: int, all_but: bool) -> None:
    scene = rare_scene(number, all_but=all_but)
    drawn = fields(scene)
    assert len(drawn) == enlargements(number) + 1
    ink, paper = ("paper", "ink") if all_but else ("ink", "paper")
    assert [field.fill for field, _ in drawn] == [paper] * len(drawn)
    assert drawn[-1][1].fill == ink
    assert all(mark.fill == "paper" for _, mark in drawn[:-1])
    for field, mark in drawn:
        outer, inner = box_of(field), box_of(mark)
        assert outer[0] - 1e-6 <= inner[0] and inner[2] <= outer[2] + 1e-6
        assert outer[1] - 1e-6 <= inner[1] and inner[3] <= outer[3] + 1e-6
    for shape in scene.items:
        left, top, right, bottom = box_of(shape)
        assert left >= 0 and top >= 0 and right <= scene.width and bottom <= scene.height


@pytest.mark.parametrize("number", [2, 7, 10, 99, 501, 600, 999, 1000])
def test_so_many_squares_can_be_counted(number: int) -> None:
    """Without enlargement: cells from the lines between them, row by row."""
    scene = rare_scene(number)
    ((field, mark),) = fields(scene)
    side = mark.points[1][0] - mark.points[0][0]
    assert round(area(field) / side**2) == number
    corners = {point for each in (field, mark) for point in each.points}
    lines = [shape for shape in scene.items if isinstance(shape, Line)]
    for line in lines:  # every line between squares is on the raster of the squares
        for x, y in line.points:
            for value in ((x - 4) / side, (y - 4) / side):
                assert value == pytest.approx(round(value), abs=1e-6)
    assert corners


def test_labels_say_the_numbers() -> None:
    texts = [s.text for s in rare_scene(489_804).items if isinstance(s, Text)]
    assert texts == ["489,804", "10,000", "100"]
    texts = [s.text for s in rare_scene(12_300, about=True).items if isinstance(s, Text)]
    assert texts == ["about 12,300", "100"]


def test_an_enlarged_square_is_a_hundred_squares() -> None:
    (_, _), (field, mark) = fields(rare_scene(5784))
    assert area(field) == pytest.approx(ENLARGED**2)
    assert area(mark) == pytest.approx(ENLARGED**2 / 100)


def test_the_words_say_what_is_drawn() -> None:
    assert rare_scene(501).desc == "A field of 501 squares, of which one is filled."
    larger = rare_scene(5784, about=True, all_but=True).desc
    assert "about 5,784" in larger
    assert "all but one are filled" in larger


@pytest.mark.parametrize("number", [1, 0, MOST_SQUARES * 100**MOST_ENLARGED + 1])
def test_what_cannot_be_drawn_is_refused(number: int) -> None:
    with pytest.raises(ValueError, match="needs from 2"):
        rare_scene(number)


def test_a_field_of_units_is_as_large_as_its_number() -> None:
    """5,784 is 57 squares of a hundred and one that is 84 hundredths as wide."""
    field, mark = fields(rare_scene(5784))[0]
    assert Fraction(area(field) / area(mark)).limit_denominator(100) == Fraction(5784, 100)
