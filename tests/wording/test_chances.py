"""Chances in words: readable, and never more than is true."""

from __future__ import annotations

import re
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.model.answers import Chance
from risk.number import read_number
from risk.wording.chances import (
    answer_in_words,
    chance_in_words,
    decimal,
    fraction_and_percent,
    one_in,
    percent,
)

inside = st.fractions(min_value=0, max_value=1, max_denominator=10**12).filter(lambda x: 0 < x < 1)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (F(2, 3), "2/3, about 66.7%, 2 in 3"),
        (F(1, 4), "1/4, 25%, 1 in 4"),
        (F(1, 1446), "1/1446, about 0.0692%, 1 in 1,446"),
        (F(256, 257), "256/257, about 99.61%, about 996 in 1,000"),
        (F(2, 75), "2/75, about 2.67%, about 1 in 38"),
        # A half goes up, as at school.
        (F(21, 80), "21/80, about 26.3%, about 26 in 100"),
        (F(17, 40), "17/40, 42.5%, about 43 in 100"),
        (F(1), "1, 100%, certain under these assumptions"),
        (F(0), "0, 0%, impossible under these assumptions"),
        (F(1, 10**12), "1/1000000000000, less than 0.0001%, less than 1 in 1,000,000,000"),
    ],
)
def test_the_three_forms(value: F, words: str) -> None:
    assert answer_in_words(Chance(float(value), value)) == words


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (F(276903, 10**8), "0.00276903"),
        (F(1, 3), "≈0.333333"),
        (F(1000005, 10**7), "≈0.100001"),
        (1 / 4, "≈0.25"),
        (1.0, "1"),
        (F(797412, 10**15), "7.97412 × 10⁻¹⁰"),
        (2e-5 / 3, "≈6.66667 × 10⁻⁶"),
        (F(10**30, 3), "≈3.33333 × 10²⁹"),
    ],
)
def test_a_decimal_has_the_sign_only_where_digits_are_left_out(value, words):
    assert decimal(value) == words


@given(inside)
def test_what_is_uncertain_is_never_called_certain(value: F) -> None:
    assert not re.fullmatch(r"(about )?(0|100)%", percent(value))
    assert not re.search(r"\b0 in ", one_in(value))
    top, bottom = one_in(value).replace(",", "").split(" in ")
    assert float(top.split()[-1]) < float(bottom)


def check_percentage(words: str, value: F) -> None:
    if words.startswith(("less", "more")):
        assert min(value, 1 - value) < F(1, 10**6)
        return
    shown = read_number(words.removeprefix("about "))
    digits = len(words.rstrip("%").partition(".")[2])
    assert abs(shown - value) <= F(1, 2 * 100 * 10**digits) or abs(shown - value) <= value / 200
    assert words.startswith("about ") == (shown != value)


def check_frequency(words: str, value: F) -> None:
    if words.startswith(("less", "more")):
        assert min(value, 1 - value) < F(1, 10**9)
        return
    shown = read_number(words.removeprefix("about ").replace(",", ""))
    assert abs(shown - value) <= min(value, max(1 - value, F(1, 10))) * F(6, 100)
    if not words.startswith("about "):
        assert shown == value


@given(inside)
def test_percentages_are_right_to_the_digits_shown(value: F) -> None:
    check_percentage(percent(value), value)


@given(inside)
def test_frequencies_are_right_to_a_few_hundredths(value: F) -> None:
    check_frequency(one_in(value), value)


@given(st.floats(min_value=0, max_value=1, exclude_min=True))
def test_the_words_for_a_float_are_right(value: float) -> None:
    percentage, frequency = answer_in_words(Chance(value)).split(", ", 1)
    check_percentage(percentage, F(value))
    check_frequency(frequency, F(value))


def test_a_fraction_too_long_to_print_says_how_long() -> None:
    words = chance_in_words(Chance(0.5, F(10**50 + 1, 2 * 10**50 + 1)))
    assert words.fraction is None
    assert "102 digits" in words.note
    assert "--" not in words.note  # pages and the app show it too, where there are no options


def test_a_float_that_rounds_to_one_is_not_called_certain() -> None:
    assert (
        answer_in_words(Chance(1.0)) == "more than 99.9999%, more than 999,999,999 in 1,000,000,000"
    )


@pytest.mark.parametrize(
    ("value", "words"),
    [(F(9, 68), "about 13 in 100"), (F(2, 21), "about 1 in 11"), (F(36, 101), "about 36 in 100")],
)
def test_one_in_a_whole_number(value: F, words: str) -> None:
    assert one_in(value) == words


def test_a_cell_holds_the_fraction_and_a_percentage_that_says_where_it_is_rounded() -> None:
    assert fraction_and_percent(Chance(2 / 3, F(2, 3))) == "2/3 (≈66.7%)"
    assert fraction_and_percent(Chance(0.5, F(1, 2))) == "1/2 (50%)"
    assert fraction_and_percent(Chance(1.0, F(1))) == "100%"
    assert fraction_and_percent(Chance(0.0, F(0))) == "0%"
    assert fraction_and_percent(Chance(1 / 3)) == "≈33.3%"
    assert fraction_and_percent(Chance(1 / 3, F(1000001, 3000001)), 12) == "≈33.3%"
    assert fraction_and_percent(None) == "—"
