"""Drawings cut into parts: small enough, everybody whole on one, couples together, ends marked."""

import json
from itertools import pairwise
from typing import Any

import pytest

from risk import actions
from risk.render.pdf_parts import STRIP, parts_of, people_of
from risk.scene.shapes import Line, Scene, Text, box_of
from risk.scene.tree import draw_tree
from tests.scene.families import grown
from tests.scene.gallery import gallery

WIDE, HIGH = 500.0, 420.0


def lines(part: Scene, role: str) -> list[Line]:
    return [each for each in part.items if isinstance(each, Line) and each.role == role]


def test_parts_have_room_on_their_sheet_and_show_everybody() -> None:
    for seed in range(4):
        scene = draw_tree(grown(90, seed))
        parts = parts_of(scene, WIDE, HIGH)
        assert len(parts) > 2
        assert {id for part in parts for id in people_of(part)} == {a for a, *_ in scene.anchors}
        assert sum(any(s.role == "key" for s in part.items) for part in parts) == 1
        for part in parts:
            assert part.width <= WIDE
            assert part.height <= HIGH
            for shape in part.items:
                left, top, right, bottom = box_of(shape)
                assert left >= -1 and right <= part.width + 1
                assert top >= -1 and bottom <= part.height + 1


def test_each_part_has_its_numerals_before_everything_else_and_marks_where_it_goes_on() -> None:
    first, *others = parts_of(draw_tree(grown(90, 1)), WIDE, 2000)
    for part in (first, *others):
        numerals = [s for s in part.items if isinstance(s, Text) and s.role == "numeral"]
        assert numerals
        assert all(each.x == 0 for each in numerals)
        assert min(box_of(s)[0] for s in part.items if s.role != "numeral") >= STRIP - 1
    thin = [{line.points[0][0] for line in lines(part, "mark") if line.width == 0.5}
            for part in (first, *others)]  # fmt: skip
    assert [len(each) for each in thin] == [1, *[2] * (len(thin) - 2), 1]


@pytest.mark.parametrize("count", [6, 8, 10, 12])
def test_the_couple_above_a_row_of_couples_is_whole_on_one_part(count: int) -> None:
    """It stands above the cut that would part nobody below."""
    people: list[dict[str, Any]] = [{"id": "I-1", "sex": "male"}, {"id": "I-2", "sex": "female"}]
    for i in range(count):
        people += [
            {"id": f"II-{i}", "sex": "female", "father": "I-1", "mother": "I-2"},
            {"id": f"p{i}", "sex": "male"},
            *({"id": f"III-{i}-{j}", "sex": "male", "father": f"p{i}", "mother": f"II-{i}"}
              for j in range(3)),
        ]  # fmt: skip
    condition = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
    case = actions.load(json.dumps({"version": 1, "condition": condition, "people": people}))
    parts = parts_of(draw_tree(case), 780, 500)
    assert len(parts) > 1
    couples = [("I-1", "I-2"), *((f"II-{i}", f"p{i}") for i in range(count))]
    for couple in couples:
        assert any(set(couple) <= set(people_of(part)) for part in parts)


def test_what_is_small_enough_is_one_part() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    (part,) = parts_of(scene, scene.width + STRIP, scene.height)
    assert len(people_of(part)) == len(scene.anchors)
    assert not [line for line in lines(part, "mark") if line.width == 0.5]


def test_each_part_shows_something_of_the_family() -> None:
    """Two founders' families stand so far apart that between them a sheet would be empty."""
    parts = parts_of(draw_tree(grown(90, 1)), 539, 700)
    assert len(parts) > 2
    for part in parts:
        assert {s.role for s in part.items} - {"numeral", "mark"}


def test_who_is_repeated_without_a_partner_has_no_line_to_nobody() -> None:
    """The part before shows both with their line and its marks."""
    parts = parts_of(draw_tree(grown(90, 4)), 785, 430)
    (one, other), *_ = [
        (one, other)
        for one, other in pairwise(parts)
        if {"p9", "p25"} <= set(people_of(one)) and "p25" in people_of(other)
    ]
    assert "p9" not in people_of(other)
    symbols = {
        id: next(box_of(s) for s in part.items if s.person == id and s.role == "symbol")
        for id, part in (("p9", one), ("p25", other))
    }
    left, top, _, bottom = symbols["p25"]
    for each in lines(other, "partnership"):
        box = box_of(each)
        assert not (box[2] <= left + 1 and top <= box[1] <= bottom + 1)
