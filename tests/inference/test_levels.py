"""Many buckets at a time, against one at a time and against the sum of products."""

from math import fsum, log

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sums import brute_force, networks

from risk.inference import levels
from risk.inference.arithmetic import FLOAT
from risk.inference.eliminate import Passing
from risk.inference.levels import LevelPassing, levels_of
from risk.inference.plan import make_plan


@pytest.fixture(autouse=True)
def any_kind_of_buckets(monkeypatch):
    """Small networks suit, too."""
    monkeypatch.setattr(levels, "_ENOUGH", 0)
    monkeypatch.setattr(levels, "_LARGEST", 10**6)


def in_floats(tables):
    return [[float(value) for value in table] for table in tables]


def by_level(sizes, scopes, tables, groups=()):
    plan = make_plan(sizes, scopes, groups)
    return LevelPassing(plan, scopes, in_floats(tables), levels_of(plan))


def close(got, wanted):
    return len(got) == len(wanted) and all(
        abs(one / sum(got) - other / sum(wanted)) < 1e-12
        for one, other in zip(got, wanted, strict=True)
    )


@given(networks())
def test_every_marginal_is_the_sum_of_products(network):
    sizes, scopes, tables = network
    passing = by_level(*network)
    totals = [brute_force(sizes, scopes, tables, (v,)) for v in range(len(sizes))]
    assert passing.possible == bool(sum(totals[0]))
    if passing.possible:
        gained = fsum(log(number) for number in (*passing.roots, *passing.divided))
        assert abs(gained - log(sum(totals[0]))) < 1e-9
        for variable, wanted in enumerate(totals):
            assert close(passing.marginal(variable), wanted)
        assert passing.marginals() == [passing.marginal(v) for v in range(len(sizes))]


@given(networks(), st.data())
def test_joint_tables_of_a_group(network, data):
    sizes, scopes, tables = network
    group = tuple(data.draw(st.permutations(range(len(sizes))))[:2])
    passing = by_level(*network, groups=[group])
    if passing.possible:
        assert close(passing.joint(group), brute_force(sizes, scopes, tables, group))


def test_large_tables_and_long_lines_are_left_to_the_plain_way(monkeypatch):
    chain = [(at, at + 1) for at in range(99)]
    star = [(at, 99) for at in range(99)]
    for scopes, sizes, enough, largest, suited in (
        (star, [2] * 100, 50, 9, True),
        (star, [4] * 100, 50, 9, False),
        (chain, [2] * 100, 50, 9, False),
    ):
        monkeypatch.setattr(levels, "_ENOUGH", enough)
        monkeypatch.setattr(levels, "_LARGEST", largest)
        assert (levels_of(make_plan(sizes, scopes)) is not None) == suited


def test_a_table_that_is_impossible_leaves_no_total():
    scopes, tables = [(0, 1), (1,)], [[1, 0, 1, 0], [0, 1]]
    assert not by_level([2, 2], scopes, tables).possible
    assert not Passing(make_plan([2, 2], scopes), scopes, tables, FLOAT).possible
