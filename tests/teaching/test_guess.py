"""Guesses compared with the truth; distances worked out by hand beside each."""

from __future__ import annotations

from fractions import Fraction

import pytest

from risk.model.answers import Chance
from risk.teaching.guess import guess_in_words


@pytest.mark.parametrize(
    ("typed", "true", "said"),
    [
        ("2/3", "2/3", "The guess 2/3 was right."),
        ("67%", "2/3", "The guess 67% was right, rounded."),
        ("1/2", "2/3", "The guess 1/2 was too low by 17 percentage points."),  # 66.7 - 50
        ("0.75", "2/3", "The guess 0.75 was too high by 8 percentage points."),  # 75 - 66.7
        ("1 in 4", "1/150", "The guess 1 in 4 was too high, by a factor of about 38."),  # 150/4
        ("1/1000", "1/150", "The guess 1/1000 was too low, by a factor of about 6.7."),
        ("1/2", "1/1000000", "The guess 1/2 was too high, by a factor of about 500,000."),
        ("0", "1/2", "The guess 0 was too low by 50 percentage points."),
        ("1/4", "0", "The guess 1/4 was too high by 25 percentage points."),
        ("0.33", "0.339", "The guess 0.33 was too low by 0.9 percentage points."),
        ("0.3350", "0.3351", "The guess 0.3350 was a little too low."),
        ("most", "1/2", 'The guess "most" could not be read as a chance.'),
    ],
)
def test_how_near_a_guess_came(typed: str, true: str, said: str) -> None:
    exact = Fraction(true)
    assert guess_in_words(typed, Chance(float(exact), exact)) == said
    assert guess_in_words(typed, Chance(float(exact))) == said


@pytest.mark.parametrize("typed", ["9" * 5000, "-1", "200%", "", "1/0", "\u202e1/2"])
def test_any_text_has_a_sentence(typed: str) -> None:
    said = guess_in_words(typed, Chance(0.5, Fraction(1, 2)))
    assert said.startswith("The guess")
    assert len(said) < 100
