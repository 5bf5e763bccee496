"""The family counted in words."""

from __future__ import annotations

from risk import actions
from risk.wording.family import family_in_words


def test_families_are_counted_with_their_counts() -> None:
    words = family_in_words(actions.example("healthy-sons"))
    assert words == "A family of 11 people: 2 affected and 9 unaffected."
