"""The rows of a family hang on its skeleton only, and are the same from memory."""

from __future__ import annotations

import pytest

from risk.scene.family import family_of
from risk.scene.generations import generations
from risk.scene.order import arrange, best_order
from risk.scene.rows import NOWHERE, rows_of, skeleton
from tests.scene.families import grown
from tests.scene.gallery import gallery


@pytest.mark.parametrize("name", sorted(gallery()))
def test_the_gallery_stands_as_without_memory(name: str) -> None:
    case = gallery()[name]
    family = family_of(case)
    row = generations(family)
    for _ in range(2):
        assert rows_of(case) == (row, arrange(best_order(family, row), NOWHERE))


@pytest.mark.parametrize("seed", range(20))
def test_random_families_stand_as_without_memory(seed: int) -> None:
    case = grown((6, 15, 30, 60)[seed % 4], seed + 9000, related=(0.0, 0.06, 0.15)[seed % 3])
    family = family_of(case)
    row = generations(family)
    assert rows_of(case) == (row, arrange(best_order(family, row), NOWHERE))


def test_what_is_given_out_can_be_changed_without_harm() -> None:
    case = gallery()["04-cousins"]
    row, places = rows_of(case)
    row.clear()
    places[0].clear()
    assert rows_of(case) != (row, places)


def test_facts_leave_the_skeleton_alone() -> None:
    from risk.case import edit
    from risk.number import quantity

    case = gallery()["04-cousins"]
    first = case.people[-1].id
    other = edit.change_person(case, first, affected=None, age=quantity("7"), name="Ada", note="x")
    assert other != case
    assert skeleton(other) == skeleton(case)
