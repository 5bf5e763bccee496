"""Messages kept under parts of the evidence, against sums written out over all combinations."""

from fractions import Fraction
from itertools import product
from math import gcd, prod
from random import Random
from unittest import mock

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from risk.inference import lacking
from risk.inference.arithmetic import EXACT, FLOAT, Arithmetic
from risk.inference.lacking import Lacking, in_one_proportion
from risk.inference.messages import Messages
from risk.inference.plan import make_plan


class Graph:
    """A random graph of factors; each fact replaces the numbers of `most` factors or fewer."""

    def __init__(self, seed, most=2, facts=4):
        dice = Random(seed)
        self.sizes = [dice.randint(1, 3) for _ in range(dice.randint(1, 6))]
        variables = range(len(self.sizes))
        self.scopes = [
            tuple(dice.sample(variables, min(len(variables), dice.randint(1, 3))))
            for _ in range(dice.randint(1, 6))
        ]
        # Every variable stands in some factor.
        self.scopes += [(variable,) for variable in variables]
        self.facts = dice.randint(1, facts)
        self.parts = [0] * len(self.scopes)
        for fact in range(self.facts):
            for index in dice.sample(range(len(self.scopes)), min(most, len(self.scopes))):
                self.parts[index] |= 1 << fact
        self.seed = seed

    def factor(self, index, bits):
        """Small whole numbers, some of them 0, which only the factor's own facts change."""
        dice = Random(f"{self.seed} {index} {bits & self.parts[index]}")
        size = prod(self.sizes[variable] for variable in self.scopes[index])
        return [dice.choice((0, 1, 2, 3, 6)) for _ in range(size)], dice.choice((1, 2, 5))

    def sums(self, variables, bits):
        """The total over each combination of `variables`, written out."""
        found = dict.fromkeys(product(*(range(self.sizes[v]) for v in variables)), Fraction(0))
        tables = [self.factor(index, bits) for index in range(len(self.scopes))]
        for states in product(*map(range, self.sizes)):
            weight = Fraction(1)
            for scope, (table, denominator) in zip(self.scopes, tables, strict=True):
                place = 0
                for variable in scope:
                    place = place * self.sizes[variable] + states[variable]
                weight *= Fraction(table[place], denominator)
            found[tuple(states[v] for v in variables)] += weight
        return list(found.values())


@given(st.integers(0, 10**9), st.lists(st.integers(0, 15), min_size=1, max_size=6))
def test_every_part_of_the_evidence(seed, asked):
    """One after another, so that messages kept for one part must not serve another."""
    graph = Graph(seed)
    plan = make_plan(graph.sizes, graph.scopes)
    kept = Messages(plan, graph.scopes, graph.parts, graph.factor, EXACT)
    for bits in asked:
        bits &= (1 << graph.facts) - 1
        for scope in graph.scopes:
            for variables in (scope, scope[:1], tuple(reversed(scope))):
                assert kept.together(variables)
                table, top, bottom = kept.joint(variables, bits)
                found = [Fraction(value) * top / bottom for value in table]
                assert found == graph.sums(variables, bits)


@given(st.integers(0, 10**9), st.integers(0, 15))
def test_in_floats_too(seed, bits):
    graph = Graph(seed)
    kept = Messages(
        make_plan(graph.sizes, graph.scopes),
        graph.scopes,
        graph.parts,
        lambda index, part: ([float(n) for n in graph.factor(index, part)[0]], 1.0),
        FLOAT,
    )
    bits &= (1 << graph.facts) - 1
    scope = graph.scopes[0]
    table, top, bottom = kept.joint(scope, bits)
    tables = prod(graph.factor(index, bits)[1] for index in range(len(graph.scopes)))
    for value, wanted in zip(table, graph.sums(scope, bits), strict=True):
        assert abs(value * top / bottom - wanted * tables) <= 1e-9 * max(1, wanted * tables)


def test_variables_that_share_no_table():
    plan = make_plan([2, 2, 2], [(0, 1), (1, 2)])
    kept = Messages(plan, [(0, 1), (1, 2)], [0, 0], lambda i, b: ([1] * 4, 1), EXACT)
    assert kept.together((0, 1))
    assert not kept.together((0, 2))


def in_lowest_terms(table):
    common = gcd(*table)
    return [value // common for value in table] if common else list(table)


@pytest.mark.parametrize("most_kept", [0, 1, lacking.MOST_KEPT])
@given(st.integers(0, 10**9), st.lists(st.integers(0, 255), min_size=1, max_size=4))
def test_what_each_fact_changes(most_kept, seed, asked):
    """Each part of the evidence after others, whose changes must not serve it."""
    with mock.patch.object(lacking, "MOST_KEPT", most_kept):
        compare_what_each_fact_changes(seed, asked)


def compare_what_each_fact_changes(seed, asked):
    graph = Graph(seed, most=1, facts=8)
    plan = make_plan(graph.sizes, graph.scopes)
    kept = Messages(plan, graph.scopes, graph.parts, graph.factor, EXACT)
    changing = Lacking(kept)
    for bits in asked:
        bits &= (1 << graph.facts) - 1
        for variables in graph.scopes:
            usual = in_lowest_terms(kept.joint(variables, bits).table)
            if not any(usual):
                continue
            told = {
                1 << fact: in_lowest_terms(table) != usual
                for facts, table in changing.changes(variables, bits)
                for fact in range(graph.facts)
                if facts >> fact & 1
            }
            for fact in range(graph.facts):
                one = 1 << fact
                without = in_lowest_terms(kept.joint(variables, bits & ~one).table)
                if any(without):
                    assert told.get(one, False) == (without != usual)


class Counted(int):
    """A whole number that counts the multiplications of its kind."""

    products = 0

    def __mul__(self, other):
        Counted.products += 1
        return Counted(int(self) * other)

    def __add__(self, other):
        return Counted(int(self) + other)


def star(children):
    """A variable with so many others tied to it, each of which a fact is known of."""
    scopes = [(0,), *((0, child) for child in range(1, children + 1))]
    parts = [0, *(1 << child for child in range(children))]

    def factor(index, bits):
        entries = (1, 2) if index == 0 else (1, 1, 1, 2) if bits & parts[index] else (1, 1, 1, 1)
        return [Counted(entry) for entry in entries], 1

    plan = make_plan([2] * (children + 1), scopes)
    return Messages(plan, scopes, parts, factor, Arithmetic(lambda table: (table, None), None))


def products_to_tell_what_counts(children):
    kept = star(children)
    Counted.products = 0
    found = dict(Lacking(kept).changes((0,), (1 << children) - 1))
    assert len(found) == children
    return Counted.products


def test_thousands_of_children_are_not_multiplied_together_for_each_of_them():
    """Twice as many take twice the work, and not four times; three times allows for the rest."""
    assert products_to_tell_what_counts(128) < 3 * products_to_tell_what_counts(64)


def test_ways_between_a_parent_and_thousands_of_children_do_not_hold_all_others():
    held = [sum(map(len, find_lists(star(children)))) for children in (64, 128)]
    assert held[1] < 3 * held[0]


def find_lists(kept):
    """The lists that messages hold, in their ways too."""
    lists = list(kept.arriving)
    for arriving in kept.arriving:
        for way, _ in arriving:
            lists += [part for part in way if isinstance(part, list)]
    return lists


def test_what_changes_along_a_long_line_is_not_kept_for_each_of_its_people():
    """A line in which each fact changes all that is said further on: 80,000 tables."""
    length = 400
    scopes = [(0,), *((place, place + 1) for place in range(length - 1))]
    parts = [1 << place for place in range(length)]

    def factor(index, bits):
        known = 1 if bits & parts[index] else 2
        return ((known, 1) if index == 0 else (known, 1, 1, 3)), 1

    kept = Messages(make_plan([2] * length, scopes), scopes, parts, factor, EXACT)
    facts = (1 << length) - 1
    assert len(list(Lacking(kept).changes((length - 1,), facts))) == length
    ways = {id(way): way for arriving in kept.arriving for way, _ in arriving}
    held = sum(len(changes) for way in ways.values() for changes in way.changes.values())
    assert held <= lacking.MOST_KEPT**2


@given(st.lists(st.integers(0, 3), min_size=2, max_size=5), st.integers(0, 4), st.integers(0, 1))
def test_long_numbers_in_one_proportion(numbers, place, more):
    """Numbers of thousands of digits are first told apart by what they leave when divided."""
    assume(any(numbers))
    one = [3**5000 * number for number in numbers]
    two = [7**4000 * number for number in numbers]
    two[place % len(two)] += more
    pairs = list(zip(one, two, strict=True))
    wanted = all(a * d == b * c for a, b in pairs for c, d in pairs)
    assert in_one_proportion(one, two) == wanted
