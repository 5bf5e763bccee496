"""Drawings cut into parts: small enough, everybody whole on one, couples together, ends marked."""

import json
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
