"""Plans: what every plan must satisfy, and that a family without loops makes no large table."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.inference.plan import make_plan


@st.composite
def shapes(draw):
    """Sizes of variables, scopes of factors, groups and last variables, of any graph."""
    count = draw(st.integers(1, 9))
    some = st.lists(st.integers(0, count - 1), max_size=4, unique=True).map(tuple)
    sizes = draw(st.lists(st.integers(1, 3), min_size=count, max_size=count))
    return sizes, draw(st.lists(some, max_size=12)), draw(st.lists(some, max_size=2)), draw(some)


@given(shapes())
def test_a_plan_has_a_place_for_everything(drawn):
    # A junction tree: each factor in a table that holds it, and what a table shares with the
    # rest is in its parent, which comes later.
    sizes, scopes, groups, last = drawn
    plan = make_plan(sizes, scopes, groups, last)
    assert sorted(bucket.scope[0] for bucket in plan.buckets) == list(range(len(sizes)))
    for place, bucket in enumerate(plan.buckets):
        assert plan.bucket_of[bucket.scope[0]] == place
        assert bucket.shape == tuple(sizes[variable] for variable in bucket.scope)
        assert (bucket.parent is None) == (len(bucket.scope) == 1)
        if bucket.parent is not None:
            parent = plan.buckets[bucket.parent]
            assert bucket.parent > place
            assert place in parent.children
            assert set(bucket.scope[1:]) <= set(parent.scope)
    held = [index for bucket in plan.buckets for index in bucket.factors]
    assert sorted(held) == [index for index, scope in enumerate(scopes) if scope]
    for bucket in plan.buckets:
        for index in bucket.factors:
            assert set(scopes[index]) <= set(bucket.scope)
    for together in (*groups, last):
        if together:
            first = min(plan.bucket_of[variable] for variable in together)
            assert set(together) <= set(plan.buckets[first].scope)
    tail = [bucket.scope[0] for bucket in plan.buckets][len(sizes) - len(last) :]
    assert sorted(tail) == sorted(last)


def births(people, seed):
    """Scopes (child, mother, father) of a family without loops, children of couples or not."""
    rng = random.Random(seed)
    couples, scopes, count = [(0, 1)], [], 2
    while count < people:
        mother, father = rng.choice(couples)
        scopes.append((count, mother, father))
        child = count
        count += 1
        if rng.random() < 0.5:
            couples.append((child, count) if rng.random() < 0.5 else (count, child))
            count += 1
    return count, scopes


@pytest.mark.parametrize("seed", range(40))
def test_no_table_of_a_family_without_loops_holds_more_than_parents_and_a_child(seed):
    count, scopes = births(3 + seed, seed)
    random.Random(seed).shuffle(scopes)
    plan = make_plan([3] * count, [*scopes, *((person,) for person in range(count))])
    assert max(len(bucket.scope) for bucket in plan.buckets) <= 3
    assert plan.largest <= 27


def test_brothers_and_sisters_cost_their_own_table_each():
    # Parents 0 and 1 with 50 children: a table of 27 each, and one of 9 and 3 for the parents.
    # What the first 49 leave of their sets is held by the next child's.
    plan = make_plan([3] * 52, [(child, 0, 1) for child in range(2, 52)])
    assert plan.cost == 50 * 27 + 9 + 3


def test_a_line_of_generations_is_planned_without_a_search():
    # Each child marries somebody new: in whatever order they are named the tables stay small.
    line = [(2 * place + 2, 2 * place, 2 * place + 1) for place in range(200)]
    for scopes in (line, line[::-1]):
        plan = make_plan([3] * 401, scopes)
        assert plan.largest == 27
        assert plan.cost < 200 * (27 + 9 + 3)


def test_a_variable_kept_for_last_may_stand_in_no_set():
    assert [bucket.scope for bucket in make_plan([3], [(0,)], last=(0,)).buckets] == [(0,)]
