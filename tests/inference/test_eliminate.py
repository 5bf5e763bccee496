"""Elimination against the definition: a sum of products over all assignments."""

from fractions import Fraction
from itertools import product
from math import prod
from random import Random

from hypothesis import given
from hypothesis import strategies as st
from sums import TERMS, brute_force, networks, proportional

from risk.inference.arithmetic import EXACT, FLOAT, LEADING, POSSIBLE, Term, quotient, ratio
from risk.inference.eliminate import Passing
from risk.inference.plan import index_map, make_plan


@given(networks())
def test_every_marginal_is_the_sum_of_products(network):
    sizes, scopes, tables = network
    passing = Passing(make_plan(sizes, scopes), scopes, tables, EXACT)
    totals = [brute_force(sizes, scopes, tables, (v,)) for v in range(len(sizes))]
    whole = prod(passing.roots) * prod(passing.divided)
    assert sum(totals[0]) == whole
    assert passing.possible == bool(whole)
    if whole:
        for variable, wanted in enumerate(totals):
            assert proportional(passing.marginal(variable), wanted)
        together = Passing(make_plan(sizes, scopes), scopes, tables, EXACT).marginals()
        assert together == [passing.marginal(variable) for variable in range(len(sizes))]


@given(networks(), st.data())
def test_joint_tables_of_a_group(network, data):
    sizes, scopes, tables = network
    group = tuple(data.draw(st.permutations(range(len(sizes))))[:2])
    passing = Passing(make_plan(sizes, scopes, [group]), scopes, tables, EXACT)
    if passing.possible:
        assert proportional(passing.joint(group), brute_force(sizes, scopes, tables, group))


@given(networks(), st.data())
def test_variables_kept_until_last_need_no_outward_pass(network, data):
    sizes, scopes, tables = network
    last = tuple(data.draw(st.permutations(range(len(sizes))))[:2])
    passing = Passing(make_plan(sizes, scopes, last=last), scopes, tables, EXACT)
    if passing.possible:
        assert proportional(passing.joint(last), brute_force(sizes, scopes, tables, last))


@given(networks(), st.randoms(use_true_random=False))
def test_any_naming_of_the_variables_gives_the_same(network, random):
    sizes, scopes, tables = network
    names = list(range(len(sizes)))
    random.shuffle(names)
    renamed = [tuple(names[variable] for variable in scope) for scope in scopes]
    new_sizes = [0] * len(sizes)
    for old, new in enumerate(names):
        new_sizes[new] = sizes[old]
    one = Passing(make_plan(sizes, scopes), scopes, tables, EXACT)
    two = Passing(make_plan(new_sizes, renamed), renamed, tables, EXACT)
    assert one.possible == two.possible
    if one.possible:
        for old, new in enumerate(names):
            assert proportional(one.marginal(old), two.marginal(new))


@given(networks())
def test_floats_and_possibility_follow_the_exact_numbers(network):
    sizes, scopes, tables = network
    plan = make_plan(sizes, scopes)
    exact = Passing(plan, scopes, tables, EXACT)
    assert Passing(plan, scopes, tables, POSSIBLE).possible == exact.possible
    if exact.possible:
        near = Passing(plan, scopes, [[float(x) for x in t] for t in tables], FLOAT)
        for variable in range(len(sizes)):
            wanted, got = exact.marginal(variable), near.marginal(variable)
            for a, b in zip(wanted, got, strict=True):
                assert abs(a / sum(wanted) - b / sum(got)) < 1e-12


@given(networks(TERMS))
def test_leading_terms_are_those_of_the_polynomials(network):
    """The order and coefficient against full polynomials in e, multiplied out."""
    sizes, scopes, tables = network

    def polynomial(term):
        return [0] * term.order + [term.coefficient]

    def times(one, two):
        out = [0] * (len(one) + len(two) - 1)
        for i, a in enumerate(one):
            for j, b in enumerate(two):
                out[i + j] += a * b
        return out

    passing = Passing(make_plan(sizes, scopes), scopes, tables, LEADING)
    totals = {}
    for states in product(*map(range, sizes)):
        weight = [1]
        for scope, table in zip(scopes, tables, strict=True):
            place = 0
            for variable in scope:
                place = place * sizes[variable] + states[variable]
            weight = times(weight, polynomial(table[place]))
        for variable, state in enumerate(states):
            old = totals.get((variable, state), [])
            width = max(len(old), len(weight))
            totals[variable, state] = [
                a + b
                for a, b in zip(
                    old + [0] * (width - len(old)),
                    weight + [0] * (width - len(weight)),
                    strict=True,
                )
            ]

    def leading(values):
        return next(((i, c) for i, c in enumerate(values) if c), None)

    wanted = [[leading(totals[v, s]) for s in range(sizes[v])] for v in range(len(sizes))]
    assert passing.possible == any(wanted[0])
    if passing.possible:
        for variable, leads in enumerate(wanted):
            got = passing.marginal(variable)
            base = next(i for i, lead in enumerate(leads) if lead)
            for i, lead in enumerate(leads):
                share = quotient(got[i], got[base])
                if lead is None:
                    assert not share
                else:
                    order = share.order if isinstance(share, Term) else 0
                    value = share.coefficient if isinstance(share, Term) else share
                    assert order == lead[0] - leads[base][0]
                    assert value == Fraction(lead[1], leads[base][1])


def test_a_ratio_of_leading_terms_is_the_limit():
    assert ratio(Term(1, 3), Term(1, 4)) == Fraction(3, 4)
    assert ratio(Term(2, 3), Term(1, 4)) == 0
    assert ratio(3, Term(0, 4)) == Fraction(3, 4)


def test_an_index_map_runs_over_the_last_axis_fastest():
    assert index_map((2, 3), (1,)) == (0, 1, 2, 0, 1, 2)
    assert index_map((2, 3), (1, 0)) == (0, 2, 4, 1, 3, 5)
    assert index_map((2, 3), (0, 1)) is None


def test_a_plan_says_its_cost_before_anything_is_multiplied():
    ring = [(i, (i + 1) % 6) for i in range(6)]
    plan = make_plan([10] * 6, ring)
    assert plan.largest == 10**3  # a ring of six has treewidth 2
    clique = [(i, j) for i in range(6) for j in range(i)]
    assert make_plan([10] * 6, clique).largest == 10**6


@given(st.integers(0, 10**6), st.integers(3, 60))
def test_where_nothing_loops_no_table_has_more_than_a_birth(seed, people):
    """Mother, father and child: no order of elimination makes larger tables, so none may be."""
    dice = Random(seed)
    scopes, alone, variables = [], [0, 1], 2
    while variables < people:
        mother, father = alone.pop(dice.randrange(len(alone))), variables
        children = range(father + 1, father + 1 + dice.randint(1, 4))
        scopes += [(child, mother, father) for child in children]
        variables = children.stop
        alone += children
    dice.shuffle(scopes)
    assert make_plan([3] * variables, scopes).largest <= 27
