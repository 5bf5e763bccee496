"""The three kinds of number that elimination works with.

Elimination only ever multiplies and adds non-negative values, so any type with ``+``, ``*``
and truth (zero is false) will do:

* ``int``: exact.  Each factor is scaled to whole numbers once.
* ``float``: fast, for sizes where exact fractions would be too long.
* `Term`: the leading term of a polynomial in a vanishing quantity e.  A sum keeps the lower
  power and adds equal ones; because nothing is negative nothing cancels, so the leading term
  of any sum of products is exact.

An `Arithmetic` tells how tables of a kind are kept short, and how their entries are divided.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import frexp, gcd, ldexp
from operator import floordiv, truediv
from typing import Any, NamedTuple

from risk.number import exact_text

#: Tables of floats with a largest number between these stay as they are, and the product of so
#: many of them is not beyond floats either.
_LOW, _HIGH = 1e-6, 1e6
FLOATS_UNSHORTENED = 16


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


#: A flat table of int, float or Term, which nothing changes once it is made.
Table = list[Any] | tuple[Any, ...]


class Arithmetic(NamedTuple):
    """How tables are kept short and divided.

    `shorten(table)` returns the table divided by a positive number, and that number (None for
    1); `divide(a, b)` is a / b where b is not zero.  `shorten_outward` tells whether messages
    are shortened on their way outward too.
    """

    shorten: Callable[[Table], tuple[Table, Any]]
    divide: Callable[[Any, Any], Any]
    shorten_outward: bool = True


def _shorten_integers(table: Table) -> tuple[Table, int | None]:
    common = gcd(*table)
    if common > 1:
        return [value // common for value in table], common
    return table, None


def _shorten_floats(table: Table) -> tuple[Table, Fraction | None]:
    largest = max(table)
    if not largest or _LOW < largest < _HIGH:
        return table, None
    power = frexp(largest)[1]
    # A power of two costs no digit, and many of them have a product that is beyond floats.
    return [ldexp(value, -power) for value in table], Fraction(2) ** power


def _shorten_terms(table: Table) -> tuple[Table, Term | None]:
    present = [value for value in table if value]
    if not present:
        return table, None
    orders = [value.order if isinstance(value, Term) else 0 for value in present]
    numbers: list[Any] = [
        value.coefficient if isinstance(value, Term) else value for value in present
    ]
    lowest, common = min(orders), gcd(*numbers)
    if common == 1 and not lowest:
        return table, None
    return [
        Term(value.order - lowest, value.coefficient // common)
        if isinstance(value, Term)
        else Term(-lowest, value // common)
        for value in table
    ], Term(lowest, common)


def _divide_terms(top: Term | int, bottom: Term | int) -> Term | int:
    if not isinstance(top, Term) and not isinstance(bottom, Term):
        return top // bottom
    top = top if isinstance(top, Term) else Term(0, top)
    bottom = bottom if isinstance(bottom, Term) else Term(0, bottom)
    return Term(top.order - bottom.order, top.coefficient // bottom.coefficient)


# Whole numbers hardly grow on the way outward (by what was divided out below), while a gcd of
# thousands of digits costs more than all the rest: 3 s of 5 for 3,000 people.
EXACT = Arithmetic(_shorten_integers, floordiv, shorten_outward=False)
FLOAT = Arithmetic(_shorten_floats, truediv)
LEADING = Arithmetic(_shorten_terms, _divide_terms)
#: Only tells possible from impossible: every positive number becomes 1.
POSSIBLE = Arithmetic(
    lambda table: ([1 if value else 0 for value in table], None),
    floordiv,
)


def quotient(top: Any, bottom: Any) -> Fraction | float | Term:
    """Return top / bottom as a fraction, a float or a leading term."""
    if isinstance(top, Term) or isinstance(bottom, Term):
        upper = top if isinstance(top, Term) else Term(0, top)
        lower = bottom if isinstance(bottom, Term) else Term(0, bottom)
        return Term(upper.order - lower.order, Fraction(upper.coefficient) / lower.coefficient)
    if isinstance(top, float) or isinstance(bottom, float):
        return float(top / bottom)
    return Fraction(top, bottom)


def ratio(top: Any, bottom: Any) -> Fraction | float:
    """Return the probability top / bottom; of two leading terms it is the limit."""
    value = quotient(top, bottom)
    if isinstance(value, Term):
        return Fraction(0) if value.order > 0 else Fraction(value.coefficient)
    return value


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
