"""A family under any part of its facts, against a network made for that part alone."""

import json
from fractions import Fraction

import strategies
from hypothesis import assume, given
from hypothesis import strategies as st

from risk.case.read import read_case
from risk.inference.arithmetic import Term, quotient
from risk.model import partial as partial_module
from risk.model.family import Family
from risk.model.network import make_network
from risk.model.partial import PartialFacts
from risk.model.queries import question_pair


def equal(one, two, *, exact):
    """Whether two weights are equal; where an input is irrational, up to rounding."""
    one, two = term(one), term(two)
    if exact:
        return one == two
    near = abs(one.coefficient - two.coefficient) <= two.coefficient / 10**12
    return one.order == two.order and near


def term(value):
    return value if isinstance(value, Term) else Term(0, Fraction(value))


def scaled(weights, top, bottom):
    scale = quotient(top, bottom)
    return {places: weight * scale for places, weight in weights.items()}


@given(strategies.cases(asked=1), st.randoms(use_true_random=False))
def test_any_part_of_the_facts(case, dice):
    """The engine under one set of facts is checked by the brute force; here it is the measure."""
    family = Family(read_case(json.dumps(case)))
    assume(make_network(family).possible)
    (question,) = family.case.questions
    pair = question_pair(family, question)
    asked = pair or (family.variable[question.person],)
    partial = PartialFacts(family, [pair] if pair else [], asked)
    assert partial.small
    paths = [fact.path for fact in family.facts]
    for variables in (asked, *((variable,) for variable in family.ancestry(asked))):
        for _ in range(3):
            facts = [path for path in paths if dice.random() < 0.5]
            combinations = partial.combinations(variables)
            bits = sum(partial.bit[path] for path in facts)
            table, top, bottom = partial.weights(variables, bits)
            pairs = zip(combinations, table, strict=True)
            found = scaled({places: weight for places, weight in pairs if weight}, top, bottom)
            network = make_network(family, facts, last=variables)
            wanted = scaled(*network.weights(variables))
            assert found.keys() == wanted.keys()
            exact = not family.locus.irrational
            assert all(equal(found[key], wanted[key], exact=exact) for key in wanted)


def test_where_the_plan_is_too_large_no_ways_are_laid(monkeypatch):
    """They took a gigabyte and minutes for 96 people, and nothing is ever asked along them."""

    def laid(*_):
        raise AssertionError

    monkeypatch.setattr(partial_module, "MOST_ENTRIES", 0)
    monkeypatch.setattr(partial_module, "Messages", laid)
    family = Family(read_case(json.dumps(strategies.random_family(1, 20))))
    partial = PartialFacts(family, [], [0])
    assert not partial.small
    assert partial.combinations((0,)) is None
