"""What stands under the people of a tree."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from risk import actions
from risk.case import edit
from risk.case.model import Condition, Frequency
from risk.model.answers import Chance
from risk.number import quantity
from risk.wording.labels import answer_labels, carrier_labels


def son_and_daughter(inheritance):
    """An affected son of two people of whom nothing is known, and his sister; q = 1/100."""
    condition = Condition(inheritance, Frequency(allele=quantity("1/100")))
    case, _ = edit.add_children(edit.two_parents(condition), "I-1", sex="male", affected=True)
    case, _ = edit.add_children(case, "I-1", sex="female")
    return case, actions.solve(case).people


def test_a_male_on_the_x_has_the_chance_of_the_allele():
    case, people = son_and_daughter("x_linked_recessive")
    made = carrier_labels(case, people)
    labels = made.texts
    assert made.means == "chance of being a carrier, given all facts; allele: a male's chance of it"
    assert labels["I-1"] == "allele 1%"  # a founder: q, whatever a son has
    assert labels["II-1"] == "has the allele"
    # Given an affected son, a mother in Hardy-Weinberg proportions has one allele with
    # q(1 - q) / (q(1 - q) + q^2) = 1 - q, and two with q.
    assert labels["I-2"] == "99%"


def test_where_all_have_two_copies_there_is_no_word_of_males():
    case, people = son_and_daughter("autosomal_recessive")
    made = carrier_labels(case, people)
    assert made.means == "chance of being a carrier, given all facts"
    assert made.texts["II-1"] == "two copies"
    assert made.texts["I-1"] == "99%"  # 1 - q, as above


def test_who_hears_a_label_is_told_what_it_is():
    case, people = son_and_daughter("x_linked_recessive")
    heard = carrier_labels(case, people).words
    assert heard["I-1"] == "chance of having the disease allele 1%"
    assert heard["I-2"] == "chance of being a carrier 99%"
    assert heard["II-1"] == "has the allele"


def test_nobody_is_called_a_carrier_of_a_dominant_allele():
    case, people = son_and_daughter("autosomal_dominant")
    means = carrier_labels(case, people).means
    assert means == "chance of exactly one disease allele, given all facts"


def test_a_tree_with_a_long_fraction_has_percentages_throughout():
    case, _ = son_and_daughter("autosomal_recessive")
    condition = replace(case.condition, frequency=Frequency(allele=quantity("0.0123457")))
    case, _ = edit.add_partner(replace(case, condition=condition), "II-2")
    made = carrier_labels(case, actions.solve(case).people)
    assert made.texts["II-3"] == "≈2.44%"  # 2q(1 - q) = 0.02438656...
    assert made.words["II-3"] == "chance of being a carrier about 2.44%"
    assert made.texts["II-1"] == "two copies"
    assert all(text.endswith("%") for id, text in made.texts.items() if id != "II-1")


def test_no_chance_and_certainty_do_not_make_percentages_of_fractions():
    half = Chance(0.5, Fraction(1, 2))
    chances = {"a": half, "b": Chance(0.0, Fraction(0)), "c": Chance(1.0, Fraction(1))}
    made = answer_labels("will_be_affected", chances)
    assert made.texts == {"a": "1/2", "b": "0", "c": "1"}
    assert made.words["a"] == "chance of being affected in life 1/2"
    assert made.means == "chance of being affected in life, given all facts"
    chances["d"] = Chance(1 / 3)
    assert answer_labels("disease_allele", chances).texts == {
        "a": "50%",
        "b": "0%",
        "c": "100%",
        "d": "≈33.3%",
    }
