"""The three kinds of number that elimination works with.

Elimination only ever multiplies and adds non-negative values, so any type with ``+``, ``*``
and truth (zero is false) will do:

* ``int``: exact.  Each factor is scaled to whole numbers once.
* ``float``: fast, for sizes where exact fractions would be too long.
* `Term`: the leading term of a polynomial in a vanishing quantity e.  A sum keeps the lower
  power and adds equal ones; because nothing is negative nothing cancels, so the leading term
  of any sum of products is exact.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import frexp
from typing import Any

from risk.number import exact_text


@dataclass(frozen=True, slots=True)
class Term:
    """``coefficient * e**order``, the leading term of a quantity as e goes to 0.

    A zero coefficient is the number zero whatever the order.
    """

    order: int
    coefficient: Fraction | int

    def __bool__(self) -> bool:
        return bool(self.coefficient)

    def __add__(self, other: Term | int) -> Term:
        if not other:
            return self
        if not self.coefficient:
            return other if isinstance(other, Term) else Term(0, other)
        if not isinstance(other, Term):
            other = Term(0, other)
        if self.order < other.order:
            return self
        if other.order < self.order:
            return other
        return Term(self.order, self.coefficient + other.coefficient)

    __radd__ = __add__

    def __mul__(self, other: Term | int | Fraction) -> Term:
        if isinstance(other, Term):
            return Term(self.order + other.order, self.coefficient * other.coefficient)
        return Term(self.order, self.coefficient * other)

    __rmul__ = __mul__

    def __str__(self) -> str:
        number = exact_text(Fraction(self.coefficient))
        return f"{number}*e^{self.order}" if self.coefficient and self.order else number


def whole_product(numbers: Iterable[Any]) -> Any:
    """Return the product of numbers; that of floats, which it could leave, as a fraction.

    It has then the digits of a float, and any size.
    """
    product: Any = 1
    floats = []
    for number in numbers:
        if type(number) is float:
            floats.append(number)
        else:
            product = product * number
    if not floats:
        return product
    mantissa, power = product_of_floats(floats)
    return product * (Fraction(mantissa) * Fraction(2) ** power)


def product_of_floats(numbers: Iterable[float | Fraction]) -> tuple[float, int]:
    """Return the product of numbers of any size as ``m, p``, which stand for ``m * 2**p``.

    m is a float of at least 1/2 and below 1, or 0.
    """
    mantissa, power = 0.5, 1
    for number in numbers:
        if isinstance(number, Fraction):
            scale = power_of_two(number)
            number = float(number / scale)
            power += scale.numerator.bit_length() - scale.denominator.bit_length()
        mantissa, more = frexp(mantissa * number)
        power += more
    return mantissa, power


def power_of_two(number: Fraction) -> Fraction:
    """Return a power of two of about the size of a number, which may be beyond floats."""
    top, bottom = number.as_integer_ratio()
    return Fraction(2) ** (top.bit_length() - bottom.bit_length())
