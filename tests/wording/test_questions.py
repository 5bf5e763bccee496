"""Questions, and answers as so many families, in words."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk import actions
from risk.case.model import Question
from risk.model.answers import Chance
from risk.number import quantity
from risk.wording.questions import event_in_words, frequency_in_words, question_in_words

inside = st.fractions(min_value=0, max_value=1, max_denominator=10**12).filter(lambda x: 0 < x < 1)

CASE = actions.example("healthy-sister")
COUPLE = ("II-3", "II-2")


@pytest.mark.parametrize(
    ("question", "words"),
    [
        (Question("carrier", person="II-2"), "What is the chance that Tova (II-2) is a carrier?"),
        (
            Question("genotype", person="I-1"),
            "How many copies of the disease allele does I-1 have?",
        ),
        (
            Question("child_affected", parents=COUPLE, sex="female", by_age=quantity("10")),
            (
                "What is the chance that the next daughter of Perrin (II-3) and Tova (II-2) is "
                "affected by the age of 10?"
            ),
        ),
        (
            Question("both_carriers", people=COUPLE),
            "What is the chance that Perrin (II-3) and Tova (II-2) are both carriers?",
        ),
        (
            Question("children_affected", parents=COUPLE, of=3, at_least=1),
            (
                "What is the chance that at least one of the next three children of Perrin (II-3) "
                "and Tova (II-2) is affected?"
            ),
        ),
        (
            Question("children_affected", parents=COUPLE, of=3, at_least=0),
            (
                "What is the chance that at least none of the next three children of Perrin "
                "(II-3) and Tova (II-2) is affected?"
            ),
        ),
        (
            Question("children_affected", parents=COUPLE, of=1, at_least=0),
            (
                "What is the chance that at least none of the next child of Perrin (II-3) and "
                "Tova (II-2) is affected?"
            ),
        ),
        (
            Question("children_affected", parents=COUPLE, of=12, exactly=0),
            (
                "What is the chance that none of the next 12 children of Perrin (II-3) and Tova "
                "(II-2) is affected?"
            ),
        ),
    ],
)
def test_questions(question: Question, words: str) -> None:
    assert question_in_words(question, CASE) == words


def test_on_the_x_the_next_child_who_can_be_a_carrier_is_a_daughter() -> None:
    """Nobody with one X has just one of two alleles, so that the chance is a daughter's."""
    x_linked = replace(CASE, condition=replace(CASE.condition, inheritance="x_linked_recessive"))
    both = "of Perrin (II-3) and Tova (II-2) is"
    for sex, child in ((None, "daughter"), ("male", "son"), ("female", "daughter")):
        words = event_in_words(Question("child_carrier", parents=COUPLE, sex=sex), x_linked)
        assert words == f"the next {child} {both} a carrier"
    words = event_in_words(Question("child_affected", parents=COUPLE), x_linked)
    assert words == f"the next child {both} affected"
    words = event_in_words(Question("child_carrier", parents=COUPLE), CASE)
    assert words == f"the next child {both} a carrier"


def test_carriers_only_where_people_say_carrier() -> None:
    dominant = replace(CASE, condition=replace(CASE.condition, inheritance="autosomal_dominant"))
    words = event_in_words(Question("carrier", person="II-2"), dominant)
    assert words == "Tova (II-2) has exactly one copy of the disease allele"


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (F(1, 3), "Of 300 such families, 100 are ones where "),
        (F(2, 3), "Of 300 such families, 200 are ones where "),
        (F(1, 4), "Of 100 such families, 25 are ones where "),
        (F(1, 150), "Of 150 such families, 1 is one where "),
        (F(2, 75), "Of 300 such families, 8 are ones where "),
        (F(37, 433), "Of 1,000 such families, about 85 are ones where "),
        (F(1, 5784), "Of 5,784 such families, 1 is one where "),
    ],
)
def test_so_many_of_a_round_number_of_families(value: F, words: str) -> None:
    case = actions.example("healthy-sister")
    chance = Chance(float(value), value)
    assert frequency_in_words(chance, case.questions[0], case).startswith(words)


@given(inside)
def test_so_many_families_are_right_and_never_all_or_none(value: F) -> None:
    case = actions.example("healthy-sister")
    words = frequency_in_words(Chance(float(value), value), case.questions[0], case)
    match = re.match(r"Of ([\d,]+) such families, (about )?([\d,]+) ", words)
    assert match is not None
    whole, some = (int(match[i].replace(",", "")) for i in (1, 3))
    assert 0 < some < whole
    assert abs(F(some, whole) - value) <= F(1, 2 * whole)
    assert bool(match[2]) == (F(some, whole) != value)


def test_of_several_siblings_in_one_record_a_given_one_is_asked_about():
    """Not at least one of them, which is more likely."""
    people = tuple(replace(each, count=3) if each.id == "II-2" else each for each in CASE.people)
    words = question_in_words(Question("carrier", person="II-2"), replace(CASE, people=people))
    assert words == (
        "What is the chance that a given one of the three siblings Tova (II-2) is a carrier?"
    )
