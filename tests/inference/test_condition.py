"""Runs with variables held fixed against the definition, and against one run without."""

from math import fsum, log, prod

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from sums import TERMS, brute_force, networks, proportional

from risk.inference.arithmetic import EXACT, FLOAT, LEADING, POSSIBLE, Term, quotient
from risk.inference.condition import Conditioned, ConditionedPassing, fix, plan_within
from risk.inference.eliminate import Passing
from risk.inference.plan import make_plan

GENEROUS = 10**9


@st.composite
def fixings(draw):
    """A small factor graph and some of its variables, two or none to be asked for jointly."""
    sizes, scopes, tables = draw(networks())
    order = draw(st.permutations(range(len(sizes))))
    fixed = draw(st.lists(st.sampled_from(range(len(sizes))), unique=True, max_size=3))
    return sizes, scopes, tables, fixed, tuple(order[:2])


def whole(passing):
    return prod((*passing.roots, *passing.divided))


@given(fixings())
def test_totals_marginals_and_joints_add_up(fixing):
    sizes, scopes, tables, fixed, group = fixing
    plan = fix(sizes, scopes, [group], (), fixed)
    passing = ConditionedPassing(plan, scopes, tables, EXACT)
    totals = [brute_force(sizes, scopes, tables, (v,)) for v in range(len(sizes))]
    assert whole(passing) == sum(totals[0])
    assert passing.possible == any(totals[0])
    assert ConditionedPassing(plan, scopes, tables, POSSIBLE).possible == passing.possible
    if passing.possible:
        for variable, wanted in enumerate(totals):
            assert proportional(passing.marginal(variable), wanted)
        for asked in (group, group[::-1], group[:1]):
            assert proportional(passing.joint(asked), brute_force(sizes, scopes, tables, asked))


@given(fixings())
def test_variables_kept_until_last(fixing):
    sizes, scopes, tables, fixed, last = fixing
    plan = fix(sizes, scopes, (), last, fixed)
    passing = ConditionedPassing(plan, scopes, tables, EXACT)
    wanted = brute_force(sizes, scopes, tables, last)
    assert whole(passing) == sum(wanted)
    if passing.possible:
        assert proportional(passing.joint(last), wanted)


@given(fixings(), st.integers(-100, 100))
def test_floats_on_any_scale(fixing, power):
    """Tables that are large or small, but no products beyond what floats hold."""
    sizes, scopes, tables, fixed, _ = fixing
    plan = fix(sizes, scopes, (), (), fixed)
    exact = ConditionedPassing(plan, scopes, tables, EXACT)
    assume(exact.possible)
    scaled = [[float(x) * 2.0**power for x in table] for table in tables]
    near = ConditionedPassing(plan, scopes, scaled, FLOAT)
    for variable in range(len(sizes)):
        wanted, got = exact.marginal(variable), near.marginal(variable)
        for a, b in zip(wanted, got, strict=True):
            assert a / sum(wanted) == pytest.approx(b / sum(got), abs=1e-12)
    logarithm = fsum(log(number) for number in (*near.roots, *near.divided))
    wanted = log(whole(exact)) + power * len(tables) * log(2)
    assert logarithm == pytest.approx(wanted, abs=1e-9)


@pytest.mark.parametrize("power", [-100, 100])
def test_totals_beyond_what_floats_hold(power):
    """Forty variables by themselves, each with a total of 4 (a quarter and three) times 2^power;
    the last table tells the states of a fixed variable apart by 2^200.
    """
    sizes, scopes = [2] * 41, [(v,) for v in range(40)] + [(40,)]
    tables = [[2.0**power, 3 * 2.0**power]] * 40 + [[2.0**-100, 2.0**100]]
    for fixed in ([0, 1], [40], [3, 40], []):
        passing = ConditionedPassing(fix(sizes, scopes, (), (), fixed), scopes, tables, FLOAT)
        logarithm = fsum(log(number) for number in (*passing.roots, *passing.divided))
        assert logarithm == pytest.approx(40 * log(4) + (40 * power + 100) * log(2), abs=1e-9)
        for variable in (0, 1, 39):
            one, other = passing.marginal(variable)
            assert one / other == pytest.approx(1 / 3, abs=1e-12)


@given(networks(TERMS), st.data())
def test_leading_terms(network, data):
    sizes, scopes, tables = network
    some = st.lists(st.sampled_from(range(len(sizes))), unique=True, max_size=3)
    plan = fix(sizes, scopes, (), (), data.draw(some))
    apart = ConditionedPassing(plan, scopes, tables, LEADING)
    together = Passing(make_plan(sizes, scopes), scopes, tables, LEADING)
    assert apart.possible == together.possible
    assume(apart.possible)

    def share(top, bottom):
        value = quotient(top, bottom)
        return value if isinstance(value, Term) and value.coefficient else Term(0, value)

    assert share(whole(apart), 1) == share(whole(together), 1)
    for variable in range(len(sizes)):
        one, two = apart.marginal(variable), together.marginal(variable)
        for a, b in zip(one, two, strict=True):
            assert bool(a) == bool(b)
            if a:
                assert share(a, sum(one)) == share(b, sum(two))


def grid(side):
    """Pairs of neighbours on a square: each row must be carried along, so tables grow with it."""
    places = [(x, y) for x in range(side) for y in range(side)]
    pairs = [((x, y), (x + 1, y)) for x, y in places if x + 1 < side]
    pairs += [((x, y), (x, y + 1)) for x, y in places if y + 1 < side]
    return [(places.index(one), places.index(two)) for one, two in pairs]


def test_what_is_fixed_keeps_a_run_within_bounds():
    sizes, scopes = [2] * 64, grid(8)
    plan, within = plan_within(sizes, scopes, (), (), 300, GENEROUS)
    assert within and isinstance(plan, Conditioned)
    # Beside the tables of variables that interlock there are the small ones of the others.
    assert plan.run.cost <= 300 + 64 * 4 < make_plan(sizes, scopes).cost
    assert plan.cost == 2 ** len(plan.fixed) * plan.run.cost


def test_too_much_work_is_not_planned():
    sizes, scopes = [2] * 64, grid(8)
    plan, within = plan_within(sizes, scopes, (), (), 300, 1000)
    assert not within and not isinstance(plan, Conditioned)


def test_other_orders_are_better_than_the_first():
    sizes, scopes = [3] * 100, grid(10)
    first = make_plan(sizes, scopes)
    plan, within = plan_within(sizes, scopes, (), (), first.cost, GENEROUS)
    assert within and plan.cost < first.cost


def test_a_chain_is_never_too_long():
    scopes = [(v, v + 1) for v in range(500)]
    plan, within = plan_within([3] * 501, scopes, (), (), 100, 100)
    assert within and not isinstance(plan, Conditioned)
