"""Exact reading of numbers as people write them."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.number import (
    MOST_DIGITS,
    JsonNumber,
    NotANumber,
    Quantity,
    over_one_denominator,
    quantity,
    read_number,
    written_like,
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.04", F(1, 25)),
        ("4%", F(1, 25)),
        ("1/25", F(1, 25)),
        ("1 in 25", F(1, 25)),
        ("4e-2", F(1, 25)),
        ("4.00E-2", F(1, 25)),
        ("0.4e+1 %", F(1, 25)),
        ("  1 / 25 ", F(1, 25)),
        ("0.1/2.5", F(1, 25)),
        ("1  in  25", F(1, 25)),
        (".5", F(1, 2)),
        ("5.", F(5)),
        ("+1/2", F(1, 2)),
        ("-1/2", F(-1, 2)),
        ("-0", F(0)),
        ("0/7", F(0)),
        ("0.1", F(1, 10)),  # the binary float 0.1 is not 1/10
        ("0.30000000000000004", F(30000000000000004, 10**17)),
        ("1e300", F(10**300)),
        ("1e-300", F(1, 10**300)),
        ("3" * 300, F(int("3" * 300))),
        ("0." + "7" * 300, F(int("7" * 300), 10**300)),
        ("1e300/1e300", F(1)),
        ("1e-200/1e-300", F(10**100)),
        ("100%", F(1)),
        ("33 1/3", None),
    ],
)
def test_reading(text, value):
    if value is None:
        with pytest.raises(ValueError, match="is not a number"):
            read_number(text)
    else:
        assert read_number(text) == value


@pytest.mark.parametrize(
    "text",
    ["", " ", "x", "1/", "/2", "1/2/3", "1,2,3", "1..5", "--1", "1/-2", "4%%", "4%/2", "1/4%",
     "in 4", "1 in", "1:25", "nan", "inf", "Infinity", "1e", "e5", "0x10", "1_000", "33½", "5²",
     "\u0665", "1e1.5", "()", "\x00", "1\n2"],
)  # fmt: skip
def test_what_is_no_number(text):
    with pytest.raises(ValueError, match="is not a number; write it like") as caught:
        read_number(text)
    assert str(caught.value).isprintable()


@pytest.mark.parametrize(
    ("text", "meant", "value"),
    [
        ("0,04", "0.04", F(1, 25)),
        ("4,0 %", "4.0 %", F(1, 25)),
        ("0,125", "0.125", F(1, 8)),
        ("1/2,500", "1/2500", F(1, 2500)),
        ("1 in 1,000,000", "1 in 1000000", F(1, 10**6)),
        ("1 in 0,5", "1 in 0.5", F(2)),
        ("1in4", "1 in 4", F(1, 4)),
        ("1 out of 4", "1 in 4", F(1, 4)),
        ("1 of 4", "1 in 4", F(1, 4)),
        ("4 percent", "4%", F(1, 25)),
        ("½", "1/2", F(1, 2)),
        ("1\u20442", "1/2", F(1, 2)),
        ("1÷2", "1/2", F(1, 2)),
        ("1e\u22123", "1e-3", F(1, 1000)),
    ],
)
def test_a_number_written_another_way_is_told_its_mend(text, meant, value):
    with pytest.raises(ValueError, match="is not a number; write") as caught:
        read_number(text)
    why = " (a comma is not read)" if "," in text else ""
    assert str(caught.value) == f'"{text}" is not a number; write {meant}{why}'
    assert read_number(meant) == value


def test_a_mend_can_be_shown_whatever_spaces_the_text_has():
    with pytest.raises(ValueError, match="is not a number") as caught:
        read_number("5.6\n％")
    assert str(caught.value) == '"5.6?％" is not a number; write 5.6 %'


@pytest.mark.parametrize("text", ["1/0", "0/0", "1 in 0", "1/0.000", "1/0e5"])
def test_division_by_zero(text):
    with pytest.raises(ValueError, match="divides by zero"):
        read_number(text)


@pytest.mark.parametrize(
    "text",
    ["1e-999999999", "1e999999999", f"1e{MOST_DIGITS + 1}", "1/1e-301", "1e" + "9" * 500,
     "9" * 10**5, "0." + "0" * 10**5 + "1", "1" * 601, "3" * 301, "0." + "3" * 301, "1e300/1e-300",
     "1e-300/1e300", "1e-300%", "-2e300", "1/" + "7" * 302, "1.5e-300"],
)  # fmt: skip
def test_numbers_too_long_to_hold(text):
    with pytest.raises(ValueError, match=r"too long|300 digits") as caught:
        read_number(text)
    assert len(str(caught.value)) < 120


@pytest.mark.parametrize("text", ["1e-400", "1e-300%", "1e-300/1e300", "1e-99999"])
def test_a_number_too_small_to_hold_is_not_said_to_have_digits_that_nobody_wrote(text):
    with pytest.raises(ValueError, match="is too small a number: at most 300 digits may follow"):
        read_number(text)


@given(st.fractions(min_value=0, max_value=1, max_denominator=10**6))
def test_every_way_to_write_a_fraction(value):
    top, bottom = value.numerator, value.denominator
    for text in (f"{top}/{bottom}", f"{top} in {bottom}", f"{top * 7}/{bottom * 7}"):
        assert read_number(text) == value


@given(st.decimals(0, 1, allow_nan=False, places=12))
def test_every_decimal(value):
    assert read_number(str(value)) == F(value)
    assert read_number(f"{value * 100}%") == F(value)


@given(st.text(max_size=30))
def test_any_text_gives_a_number_or_a_sentence(text):
    result: object
    try:
        result = read_number(text)
    except ValueError as error:
        result = error
    assert type(result) in (F, ValueError, NotANumber)
    assert str(result).isprintable()


def test_quantities_keep_their_text():
    assert quantity("4%") == Quantity("4%", F(1, 25), quoted=True)
    assert str(quantity("1 in 25")) == "1 in 25"
    assert quantity("4%") != quantity("1/25")
    assert repr(JsonNumber("0.10")) == "0.10"


@pytest.mark.parametrize(
    ("value", "like", "text"),
    [
        (F(1, 50), "4%", "2%"),
        (F(1, 300), "1%", "1/300"),
        (F(1, 200), "0.01", "0.005"),
        (F(1, 3), "0.1", "1/3"),
        (F(1, 200), "1 in 50", "1/200"),
        (F(1, 200), "1/50", "1/200"),
    ],
)
def test_a_number_is_written_like_another(value, like, text):
    assert written_like(value, like) == text
    assert read_number(text) == value


def test_numbers_over_one_denominator_stay_the_same_and_it_is_the_smallest() -> None:
    assert over_one_denominator([F(1, 2), F(2, 3), 0, 2]) == ([3, 4, 0, 12], 6)
    assert over_one_denominator([3, 5]) == ([3, 5], 1)
    assert over_one_denominator([]) == ([], 1)
