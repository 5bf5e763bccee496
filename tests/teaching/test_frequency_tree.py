"""Test results in whole people, against counts made by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from risk import actions
from risk.case.model import Case, Condition, Frequency, Person, Test, TestResult
from risk.number import quantity
from risk.teaching.frequency_tree import frequency_trees


def screened(result: str) -> Case:
    """Worked example 3: carriers 1/25, sensitivity 0.9, no false positives."""
    test = Test("panel", sensitivity=quantity("0.9"), specificity=quantity("1"))
    condition = Condition("autosomal_recessive", Frequency(carrier=quantity("1/25")), tests=(test,))
    person = Person("I-1", "female", affected=False, tests=(TestResult("panel", result=result),))
    return Case(condition, (person,))


def test_a_negative_carrier_test_of_250_people() -> None:
    """Of 250, 10 carry: 9 test positive, 1 negative; all 240 others are negative (1 in 241)."""
    (tree,) = frequency_trees(screened("negative"))
    assert (tree.total, tree.carriers, tree.leaves) == (250, 10, (9, 1, 0, 240))
    assert not tree.about
    assert Fraction(tree.leaves[1], tree.leaves[1] + tree.leaves[3]) == Fraction(1, 241)


def test_the_tree_agrees_with_the_engine_for_both_results() -> None:
    for result, (hit, other) in {"positive": (0, 2), "negative": (1, 3)}.items():
        case = screened(result)
        (tree,) = frequency_trees(case)
        (person,) = actions.solve(case).people
        share = Fraction(tree.leaves[hit], tree.leaves[hit] + tree.leaves[other])
        assert share == person.disease_alleles[1].exact


def test_large_numbers_are_rounded_and_said_to_be() -> None:
    case = screened("negative")
    odd = replace(case.condition, frequency=Frequency(carrier=quantity("1/10007")))
    (tree,) = frequency_trees(replace(case, condition=odd))
    exact = Fraction(1, 10007)
    assert abs(Fraction(tree.carriers, tree.total) - exact) < exact / 20


def test_a_certain_person_has_no_tree() -> None:
    case = screened("negative")
    sure = replace(case.people[0], genotype=1)
    assert frequency_trees(replace(case, people=(sure,))) == ()
