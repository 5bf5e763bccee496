"""Numbers as the sentences of a working say them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from risk.inference.arithmetic import Term
from risk.number import Quantity
from risk.wording.chances import decimal
from risk.wording.phrases import joined, power
from risk.workings.step import Value

HALF = Fraction(1, 2)
#: Characters of a number that a sentence takes in.
_LONGEST = 15


def short(value: Value, longest: int = _LONGEST) -> bool:
    """Tell whether a number is exact and short enough for a sentence."""
    if isinstance(value, float):
        return False
    # A digit has more than three bits; Python does not write thousands of digits.
    return bits(value) <= 4 * longest and len(str(value)) <= longest


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
    """Return a short value as a sentence says it: ``2/3``, ``3ε``, ``5/4 ε``."""
    if isinstance(value, Term) and value.order:
        number = "" if value.coefficient == 1 else str(value.coefficient)
        small = "ε" if value.order == 1 else power("ε", value.order)
        return f"{number} {small}" if "/" in number else f"{number}{small}"
    return str(value)


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


def chance_word(chance: Value) -> str:
    """Return a chance for a sum: a long fraction as a decimal, which nobody multiplies by hand."""
    if short(chance) or isinstance(chance, Term):
        return value_word(chance)
    return decimal(chance)
