"""Assumptions in words: every one, with the case file's own numbers."""

from __future__ import annotations

import pytest

from risk import actions
from risk.bundled import bundled_cases
from risk.wording.assumptions import assumptions, assumptions_in_words

CASE = actions.example("healthy-sister")


@pytest.mark.parametrize("name", bundled_cases())
def test_every_assumption_is_a_sentence_with_the_files_own_numbers(name: str) -> None:
    condition = actions.example(name).condition
    lines = assumptions_in_words(condition)
    assert all(line.endswith(".") for line in lines)
    assert not any("Quantity(" in line for line in lines)
    assert not any(
        "None" in line.removesuffix(": None.") for line in lines if "changes" not in line
    )
    said = " ".join(lines)
    for test in condition.tests or ():
        assert test.name in said
    if condition.frequency.carrier:
        assert condition.frequency.carrier.text in said


def test_defaults_are_told_from_what_the_case_says() -> None:
    given_topics = {each.topic for each in assumptions(CASE.condition) if each.given}
    assert given_topics == {"Inheritance", "Frequency"}
