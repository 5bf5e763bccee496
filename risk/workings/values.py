"""Numbers as the sentences of a working say them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from risk.inference.arithmetic import Term
from risk.number import Quantity
from risk.wording.chances import SHORT_FRACTION, decimal, equals
from risk.wording.phrases import joined, power
from risk.workings.step import Value

HALF = Fraction(1, 2)


def short(value: Value, longest: int = SHORT_FRACTION) -> bool:
    """Tell whether a number is exact and short enough to be worked with by hand."""
    if isinstance(value, float):
        return False
    # A digit has more than three bits; Python does not write thousands of digits.
    return bits(value) <= 4 * longest and len(str(value)) <= longest


@lru_cache(maxsize=4096)
def _fraction_word(top: int, bottom: int) -> str:
    """Return a fraction, or as a `decimal` one that nobody multiplies by hand.

    Few are said very often, which takes a fortieth off the time of `explain`.
    """
    value = Fraction(top, bottom)
    return str(value) if short(value) else decimal(value)


def bits(value: Value) -> int:
    """Return how many bits a number takes, which is how long it is."""
    if isinstance(value, float):
        return 64
    number = value.coefficient if isinstance(value, Term) else value
    return number.numerator.bit_length() + number.denominator.bit_length()


def factor(number: Quantity) -> str:
    """Return a number of the case file as it stands in a sum: as written, but not ``1 in 4``."""
    return str(number.value) if " in " in number.text else number.text


def value_word(value: Value) -> str:
    """Return a value as a sentence or a table says it: ``2/3``, ``3ε``, ``5/4 ε``.

    A fraction that nobody multiplies by hand, and a number that is not exact, is a `decimal`.
    """
    if isinstance(value, float):
        return decimal(value)
    if not isinstance(value, Term):
        return _fraction_word(value.numerator, value.denominator)
    number = value_word(Fraction(value.coefficient))
    if not value or not value.order:
        return number
    begin = "" if number == "1" else f"{number} " if "/" in number else number
    return f"{begin}{power('ε', value.order)}"


def column_words(values: Iterable[Value]) -> list[str]:
    """Return values that stand below one another as a table says them.

    Where one of them is rounded none is a fraction, for nobody adds the two by hand.
    """
    numbers = list(values)
    found = [value_word(value) for value in numbers]
    if not any(text.startswith("≈") for text in found):
        return found
    return [
        text if isinstance(value, Term) else decimal(value)
        for value, text in zip(numbers, found, strict=True)
    ]


def product(factors: Iterable[Value]) -> str:
    """Return a product as it is written, without the factors that are 1: ``1/2 × 4/5``."""
    return " × ".join([value_word(each) for each in factors if each != 1]) or "1"


def equation(formula: str, value: Value) -> str:
    """Return a formula with its value, unless it is a number itself: ``1/2 × 4/5 = 2/5``.

    One that is rounded has its own sign before it.
    """
    said = value_word(value)
    if formula == said:
        return formula
    return f"{formula} {equals(said)}"


def by_case(chances: Sequence[tuple[str, str]]) -> str:
    """Return numbers with their cases: ``1 with no copy and 1/2 with one``.

    Where all but one are alike: ``1 with two copies, else 0``.
    """
    times = Counter(number for number, _ in chances)
    single = [(number, case) for number, case in chances if times[number] == 1]
    if len(chances) > len(times) == 2 and len(single) == 1:
        ((number, case),) = single
        (other,) = times.keys() - {number}
        return f"{number} {case}, else {other}"
    return joined([" ".join(each) for each in chances])
