"""Numbers as the sentences and the tables of a working say them."""

from fractions import Fraction as F

import pytest

from risk.inference.arithmetic import Term
from risk.wording.chances import SHORT_FRACTION
from risk.workings.values import column_words, equation, product, value_word


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (F(2, 3), "2/3"),
        (F(0), "0"),
        (1, "1"),
        (0.25, "≈0.25"),
        (1.0, "1"),
        (Term(1, F(1)), "ε"),
        (Term(2, F(3, 4)), "3/4 ε²"),
        (Term(0, F(1, 2)), "1/2"),
        (Term(3, 0), "0"),
        (F(1, 10**30), "1 × 10⁻³⁰"),
        (F(1, 10**5000), "1 × 10⁻⁵⁰⁰⁰"),
        (F(10**5001, 3), "≈3.33333 × 10⁵⁰⁰⁰"),
        (F(10**5000 + 1, 3 * 10**5000), "≈0.333333"),
    ],
)
def test_values_as_a_student_writes_them(value, expected):
    assert value_word(value) == expected


def test_no_fraction_is_longer_than_its_limit():
    longest = F(10**11 - 3, 10**11)
    assert len(value_word(longest)) <= SHORT_FRACTION
    assert value_word(F(10**12 - 3, 10**12)).startswith("≈")


def test_fractions_that_nobody_multiplies_by_hand_are_decimals():
    # By eye: wider ones break the tables of two carriers of a rare allele into three bands.
    assert value_word(F(1446, 2500001)) == "1446/2500001"
    assert value_word(F(2499900001, 2500000000)) == "\u22480.99996"


@pytest.mark.parametrize(
    ("factors", "formula", "value"),
    [
        ((F(1, 2), 1, F(4, 5)), "1/2 × 4/5 = 2/5", F(2, 5)),
        ((Term(1, 2), F(1, 2)), "2ε × 1/2 = ε", Term(1, 1)),
        ((1, F(1, 3)), "1/3", F(1, 3)),
        ((1, 1), "1", F(1)),
        ((F(1, 2), 0.5), "1/2 × ≈0.5 ≈ 0.25", 0.25),
    ],
)
def test_a_product_has_no_factor_that_is_one_and_a_number_alone_no_value(factors, formula, value):
    assert equation(product(factors), value) == formula


def test_where_one_number_of_a_column_is_rounded_none_is_a_fraction():
    """117649/637500000 takes too many characters, 2401/637500000 alone would not."""
    column = [F(0), F(117649, 637500000), F(2401, 637500000), F(1, 2)]
    assert column_words(column) == ["0", "≈0.000184547", "≈3.76627 × 10⁻⁶", "0.5"]
    assert column_words(column[2:]) == ["2401/637500000", "1/2"]
