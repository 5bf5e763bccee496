"""Floats whose products would leave floats, against the same sums in whole numbers."""

from fractions import Fraction
from math import fsum, isclose, log

import pytest

from risk.inference import levels
from risk.inference.arithmetic import EXACT, FLOAT, product_of_floats, whole_product
from risk.inference.eliminate import Passing
from risk.inference.levels import LevelPassing, levels_of
from risk.inference.messages import Messages
from risk.inference.plan import make_plan

LEAVES = 40
#: Variable 0 stands with each of the others, and a leaf speaks for one state of it or the other.
SIZES = [2] * (LEAVES + 1)
SCOPES = [(0,)] + [(0, leaf) for leaf in range(1, LEAVES + 1)]


def star(scale):
    """Tables of whole numbers, and as floats those times `scale`."""
    whole = [[1, 3]] + [[1, 2 + leaf % 3, 3, leaf % 5] for leaf in range(LEAVES)]
    floats = [[float(number * scale) for number in table] for table in whole]
    return whole, floats


def shares(table):
    return [value / sum(table) for value in table]


def alike(one, two):
    pairs = zip(shares(one), shares(two), strict=True)
    return all(isclose(a, b, rel_tol=1e-12) for a, b in pairs)


def logarithm(passing):
    numbers = [Fraction(number) for number in (*passing.roots, *passing.divided)]
    return fsum(log(number.numerator) - log(number.denominator) for number in numbers)


#: 41 tables of such powers of ten have products of 1e-1025 and less, or 1e1025 and more.
POWERS = [-150, -25, 25, 150]


@pytest.mark.parametrize("power", POWERS)
@pytest.mark.parametrize("kind", ["one by one", "by level"])
def test_messages_stay_within_floats(power, kind, monkeypatch):
    monkeypatch.setattr(levels, "_ENOUGH", 0)
    whole, floats = star(Fraction(10) ** power)
    plan = make_plan(SIZES, SCOPES)
    exact = Passing(plan, SCOPES, whole, EXACT)
    if kind == "one by one":
        passing = Passing(plan, SCOPES, floats, FLOAT)
    else:
        passing = LevelPassing(plan, SCOPES, floats, levels_of(plan))
    assert passing.possible
    for variable in range(len(SIZES)):
        assert alike(passing.marginal(variable), exact.marginal(variable))
    expected = logarithm(exact) + len(whole) * power * log(10)
    assert isclose(logarithm(passing), expected, rel_tol=1e-12)


@pytest.mark.parametrize("power", POWERS)
def test_messages_under_parts_of_the_evidence(power):
    """Each leaf's table is a fact; without it the table is all ones."""
    scale = Fraction(10) ** power
    whole, floats = star(scale)
    parts = [0] + [1 << leaf for leaf in range(LEAVES)]
    plan = make_plan(SIZES, SCOPES)

    def made(tables, arithmetic):
        def factor(index, bits):
            known = not parts[index] or bits & parts[index]
            return (tables[index] if known else [1] * len(tables[index])), 1

        return Messages(plan, SCOPES, parts, factor, arithmetic)

    exact, floating = made(whole, EXACT), made(floats, FLOAT)
    everything = (1 << LEAVES) - 1
    for facts in (everything, everything ^ 1, everything >> 7, 0b1011):
        for variable in (0, 1, LEAVES):
            one, two = exact.joint((variable,), facts), floating.joint((variable,), facts)
            assert alike(one.table, two.table)
            times = 1 + facts.bit_count()
            ratio = Fraction(sum(two.table)) * two.top / Fraction(two.bottom)
            wanted = Fraction(sum(one.table)) * one.top / one.bottom * scale**times
            assert isclose(ratio / wanted, 1, rel_tol=1e-12)


def test_a_product_of_floats_of_any_size():
    assert whole_product([3, Fraction(1, 2)]) == Fraction(3, 2)
    assert whole_product([0.5, 2.0]) == 1
    product = whole_product([1e-200] * 5 + [7])
    assert isclose(product / (7 * Fraction(1, 10**1000)), 1, rel_tol=1e-12)


def test_a_product_of_numbers_that_floats_cannot_hold():
    mantissa, power = product_of_floats([Fraction(2) ** 1024, 3.0, Fraction(2) ** -2000])
    assert (mantissa, power) == (0.75, 1024 - 2000 + 2)
    assert product_of_floats([]) == (0.5, 1)
    assert product_of_floats([2.0, 0.0])[0] == 0
