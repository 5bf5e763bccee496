"""The family counted in words, and its condition named."""

from __future__ import annotations

from typing import get_args

import pytest
from strategies import MODES

from risk import actions
from risk.case.model import Condition, Frequency, Inheritance
from risk.number import quantity
from risk.wording.assumptions import assumptions
from risk.wording.family import INHERITANCE, condition_in_words, family_in_words


def test_families_are_counted_with_their_counts() -> None:
    words = family_in_words(actions.example("healthy-sons"))
    assert words == "A family of 11 people: 2 affected and 9 unaffected."


def test_every_mode_of_inheritance_has_a_name_of_its_own_and_random_families() -> None:
    """A new mode begins here; see DEVELOPERS.md."""
    assert set(INHERITANCE) == set(get_args(Inheritance)) == set(MODES)
    assert len(set(INHERITANCE.values())) == len(INHERITANCE)


@pytest.mark.parametrize("mode", get_args(Inheritance))
@pytest.mark.parametrize("key", ["allele", "incidence"])
def test_every_mode_of_inheritance_is_told_in_words(mode: Inheritance, key: str) -> None:
    condition = Condition(mode, Frequency(**{key: quantity("1/100")}))
    named = INHERITANCE[mode]
    assert condition_in_words(condition).lower() == named.lower()
    said = {each.topic: each.text for each in assumptions(condition)}
    assert said["Inheritance"].startswith(named)
    assert said["Penetrance"].startswith("Every")
    assert "1/100" in said["Frequency"]
