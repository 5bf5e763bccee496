"""Small factor graphs, and what elimination must give for them, from the definition."""

from itertools import product
from math import prod

from hypothesis import strategies as st

from risk.inference.arithmetic import Term

WHOLE = st.integers(0, 5)
TERMS = st.builds(Term, st.integers(0, 3), st.integers(0, 4))


@st.composite
def networks(draw, numbers=WHOLE):
    """Sizes, scopes and tables of a small factor graph, loops and loose variables included."""
    sizes = draw(st.lists(st.integers(1, 3), min_size=1, max_size=6))
    scopes, tables = [], []
    for _ in range(draw(st.integers(1, 7))):
        scope = tuple(draw(st.lists(st.sampled_from(range(len(sizes))), unique=True, max_size=3)))
        if scope:
            length = prod(sizes[variable] for variable in scope)
            scopes.append(scope)
            tables.append(draw(st.lists(numbers, min_size=length, max_size=length)))
    return sizes, scopes, tables


def brute_force(sizes, scopes, tables, kept):
    """The total for each combination of states of the variables `kept`."""
    totals = {}
    for states in product(*map(range, sizes)):
        weight = 1
        for scope, table in zip(scopes, tables, strict=True):
            place = 0
            for variable in scope:
                place = place * sizes[variable] + states[variable]
            weight = weight * table[place]
        key = tuple(states[variable] for variable in kept)
        totals[key] = totals.get(key, 0) + weight
    return [totals[key] for key in product(*(range(sizes[variable]) for variable in kept))]


def proportional(one, two):
    """Whether two tables are equal up to one common positive factor."""
    return all(a * sum(two) == b * sum(one) for a, b in zip(one, two, strict=True))
