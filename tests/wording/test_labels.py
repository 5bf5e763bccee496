"""What stands under the people of a tree."""

from __future__ import annotations

from dataclasses import replace

from risk import actions
from risk.case import edit
from risk.case.model import Condition, Frequency
from risk.number import quantity
from risk.wording.labels import carrier_labels


def son_and_daughter(inheritance):
    """An affected son of two people of whom nothing is known, and his sister; q = 1/100."""
    condition = Condition(inheritance, Frequency(allele=quantity("1/100")))
    case, _ = edit.add_children(edit.two_parents(condition), "I-1", sex="male", affected=True)
    case, _ = edit.add_children(case, "I-1", sex="female")
    return case, actions.solve(case).people


def test_a_male_on_the_x_has_the_chance_of_the_allele():
    case, people = son_and_daughter("x_linked_recessive")
    labels, means = carrier_labels(case, people)
    assert means == "chance of being a carrier, given all facts; allele: a male's chance of it"
    assert labels["I-1"] == "allele 1/100"  # a founder: q, whatever a son has
    assert labels["II-1"] == "has the allele"
    # Given an affected son, a mother in Hardy-Weinberg proportions has one allele with
    # q(1 - q) / (q(1 - q) + q^2) = 1 - q, and two with q.
    assert labels["I-2"] == "99/100"


def test_where_all_have_two_copies_there_is_no_word_of_males():
    case, people = son_and_daughter("autosomal_recessive")
    labels, means = carrier_labels(case, people)
    assert means == "chance of being a carrier, given all facts"
    assert labels["II-1"] == "two copies"
    assert labels["I-1"] == "99/100"  # 1 - q, as above


def test_nobody_is_called_a_carrier_of_a_dominant_allele():
    case, people = son_and_daughter("autosomal_dominant")
    assert (
        carrier_labels(case, people)[1] == "chance of exactly one disease allele, given all facts"
    )


def test_a_long_fraction_becomes_a_percentage_that_says_it_is_rounded():
    case, _ = son_and_daughter("autosomal_recessive")
    condition = replace(case.condition, frequency=Frequency(allele=quantity("0.0123457")))
    case = replace(edit.two_parents(condition), condition=condition)
    labels, _ = carrier_labels(case, actions.solve(case).people, 9)
    assert labels["I-1"] == "≈2.44%"  # 2q(1 - q) = 0.02438656...
