"""Chances in words: as a fraction, a percentage, and so many in so many."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Context, Decimal, Inexact
from fractions import Fraction

from risk.model.answers import Chance
from risk.number import half_up, times_ten
from risk.wording.phrases import power

#: A fraction of more characters than this is not printed in a sentence.
LONGEST_FRACTION = 40
#: A longer one is a decimal or a percentage in a sum and in a table: nobody multiplies it by hand.
SHORT_FRACTION = 15

#: A smaller chance is only said to be smaller than this.
_LEAST_PICTURED = Fraction(1, 10**9)

#: Digits before the point, or noughts after it, that floats surely have.
_FLOATS = 300

#: The least N of a rounded ``1 in N``: one of a single digit says too little to be marked right.
_LEAST_N = 10


@dataclass(frozen=True, slots=True)
class ChanceWords:
    """A chance in the three forms that students compare.

    `fraction` is None where the exact value is not known or too long to print; in the second
    case `note` says how long.  `percent` and `one_in` say "about" where they are rounded.
    """

    fraction: str | None
    percent: str
    one_in: str
    note: str = ""

    def __str__(self) -> str:
        forms = [self.fraction, self.percent, self.one_in]
        return ", ".join(form for form in forms if form)


def answer_in_words(chance: Chance) -> str:
    """Put a chance on one line: ``2/3, about 66.7%, 2 in 3``."""
    return str(chance_in_words(chance))


def short_chance(chance: Chance, longest: int = SHORT_FRACTION) -> str:
    """Put a chance into a small space: the fraction, or where too long ``≈66.7%``."""
    words = chance_in_words(chance, "≈")
    if words.fraction and len(words.fraction) <= longest:
        return words.fraction
    return words.percent


def fraction_and_percent(chance: Chance | None, longest: int = SHORT_FRACTION) -> str:
    """Put a chance into a cell of a table: ``2/3 (≈66.7%)``, the percentage where it says all.

    A fraction of more than `longest` characters is left out; where there is no chance, a dash.
    """
    if chance is None:
        return "—"
    words = chance_in_words(chance, "≈")
    if words.fraction and "/" in words.fraction and len(words.fraction) <= longest:
        return f"{words.fraction} ({words.percent})"
    return words.percent


def chance_in_words(chance: Chance, about: str = "about ") -> ChanceWords:
    """Put a chance into words, in each of its forms; `about` as in `percent`."""
    exact = chance.exact
    number = chance.value if exact is None else exact
    if chance.vanishes:
        return ChanceWords("0", "0%", "vanishing in the rare limit")
    if number == 0:
        return ChanceWords("0", "0%", "impossible under these assumptions")
    if exact == 1:
        return ChanceWords("1", "100%", "certain under these assumptions")
    if exact is None:
        # A float of 1 may be rounded, so it is not called certain.
        shown = min(chance.value, 1 - 1e-15)
        return ChanceWords(None, percent(shown, about), one_in(shown))
    if _digits(exact) > LONGEST_FRACTION:
        note = f"an exact fraction of {_digits(exact):,} digits, too long to show here"
        return ChanceWords(None, percent(number, about), one_in(number), note)
    return ChanceWords(str(exact), percent(number, about), one_in(number))


def decimal(value: float | Fraction) -> str:
    """Return a number as a decimal of six digits, ``≈0.333333``; one that is exact has no sign.

    A very small or large one is so many times a power of ten, ``≈7.97412 × 10⁻¹⁰``.
    """
    top, bottom = value.as_integer_ratio()
    rounding = Context(prec=6, rounding=ROUND_HALF_UP)
    rounded = rounding.divide(Decimal(top), Decimal(bottom)).normalize()
    # Digits as a float writes them, where there are such small or large floats.
    text = powers_of_ten(f"{float(rounded) if abs(rounded.adjusted()) < _FLOATS else rounded:.6g}")
    exact = isinstance(value, Fraction) and not rounding.flags[Inexact]
    return text if exact or value in (0, 1) else f"≈{text}"


def powers_of_ten(number: str) -> str:
    """Return a number as it is printed, ``5 × 10⁻⁷`` for ``5e-07``."""
    digits, _, exponent = number.partition("e")
    return f"{digits} × {power('10', int(exponent))}" if exponent else number


def equals(number: str) -> str:
    """Go on from a sum to what it is: ``= 1/4``, and ``≈ 0.333333`` where that is rounded."""
    return f"≈ {number[1:]}" if number.startswith("≈") else f"= {number}"


def pictured(share: Fraction) -> int:
    """Return of how many to tell a share: exactly so many, of a round number where it can be."""
    bottom = share.denominator
    hundreds = math.lcm(bottom, 100)
    if share.numerator == 1 and 100 <= bottom <= 10**6:
        return bottom
    if hundreds <= 1000:
        return hundreds
    if bottom < 100:
        return 10 * bottom
    whole: int = 10 ** max(3, 1 - _magnitude(share))
    while half_up(share * whole) >= whole:
        whole *= 10
    return whole


def percent(value: float | Fraction, about: str = "about ") -> str:
    """Return the value as a percentage with three digits that matter, ``about 66.7%``.

    `about` stands before one that is rounded: a sign or nothing where there is no room for a word.
    What is neither impossible nor certain is never called 0% or 100%: near either end the
    digits go on until they tell, down to a ten-thousandth of a percent.
    """
    share = Fraction(value) * 100
    if share.denominator == 1:
        return f"{share}%"
    if share < Fraction(1, 10_000):
        return "less than 0.0001%"
    if share > 100 - Fraction(1, 10_000):
        return "more than 99.9999%"
    rest = min(share, 100 - share)
    digits = 3 if share < 99 else 2
    places = max(digits - 1 - _magnitude(share if share < 99 else rest), 0)
    rounded = half_up(share, places)
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text}%" if Fraction(rounded) == share else f"{about}{text}%"


def one_in(value: float | Fraction) -> str:
    """Return the value as a frequency that can be pictured: ``2 in 3``, ``about 1 in 1,450``.

    Simple fractions stay as they are; others become ``1 in N`` where N has two digits at least,
    or else so many in a hundred (or in a thousand and so on, near certainty).
    """
    share = Fraction(value)
    if 0 < share < _LEAST_PICTURED:
        return f"less than 1 in {int(1 / _LEAST_PICTURED):,}"
    if 1 > share > 1 - _LEAST_PICTURED:
        return f"more than {int(1 / _LEAST_PICTURED) - 1:,} in {int(1 / _LEAST_PICTURED):,}"
    simple = isinstance(value, Fraction) and (value.denominator <= 20 or value.numerator == 1)
    if simple and share.denominator < 10**7:
        return f"{share.numerator:,} in {share.denominator:,}"
    significant = half_up(1 / share, 0)
    if significant >= _LEAST_N:
        if significant >= 1000:
            significant = half_up(1 / share, 2 - _magnitude(1 / share))
        about = "" if Fraction(significant) == 1 / share else "about "
        return f"{about}1 in {significant:,f}"
    whole = 100
    while half_up(share * whole) >= whole and whole < 10**9:
        whole *= 10
    part = share * whole
    about = "" if part.denominator == 1 else "about "
    return f"{about}{min(int(half_up(part)), whole - 1):,} in {whole:,}"


def _magnitude(share: Fraction) -> int:
    """The power of ten of the first digit that matters: 0 for 3.2, -2 for 0.032."""
    guess = math.floor(math.log10(share.numerator) - math.log10(share.denominator))
    while times_ten(share, -guess - 1) >= 1:
        guess += 1
    while times_ten(share, -guess) < 1:
        guess -= 1
    return guess


def _digits(exact: Fraction) -> int:
    bits = max(exact.numerator.bit_length(), exact.denominator.bit_length())
    if bits < 4000:
        return len(str(exact.numerator)) + len(str(exact.denominator))
    digits_a_bit = math.log10(2)
    lengths = (exact.numerator.bit_length(), exact.denominator.bit_length())
    return sum(int(length * digits_a_bit) + 1 for length in lengths)
