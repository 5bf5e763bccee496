"""What is wrong with a case, with the names that the pages have for its places."""

from __future__ import annotations

from dataclasses import replace

import pytest

from risk import actions
from risk.case import edit
from risk.case.checks import check_case
from risk.case.model import (
    Case,
    Condition,
    Frequency,
    Mutation,
    OnsetPoint,
    Question,
    SelectionBalance,
    Test,
)
from risk.case.values import typed_years
from risk.number import quantity
from risk.problems import Problem
from risk.screens.words import MESSAGES, message, placed
from tests.screens.test_screens import healthy_brother, page_of

RARE = Condition("autosomal_dominant", Frequency(allele="rare"))
ONSET = (OnsetPoint(typed_years("40"), quantity("1/2")),)


def family(condition: Condition, *questions: Question) -> Case:
    return replace(healthy_brother(), condition=condition, questions=questions)


#: Conditions with a problem, and what the pages say of it.
WRONG = [
    (
        replace(RARE, onset=ONSET),
        'give the age in years, or choose the phenotype "Not known"',
    ),
    (
        replace(RARE, mutation=Mutation("rare", "rare")),
        "mutation: rare new mutation does not go with a rare disease allele: which ",
    ),
    (
        replace(RARE, tests=(Test("panel", detects=("common",)),)),
        "as there are no variant classes; add them with their shares, or give sensitivity",
    ),
]
#: Cases with a remark, and what the pages say of it.
REMARKED = [
    (
        family(
            Condition(
                "x_linked_recessive",
                Frequency(mutation_selection_balance=SelectionBalance(quantity("0"))),
            )
        ),
        "is left at balance; set New mutation on the page Condition",
    ),
    (
        family(RARE, Question("will_be_affected", person="II-2", by_age=typed_years("50"))),
        "without ages at onset on the page Condition the age makes no difference",
    ),
    (
        family(
            replace(RARE, onset=ONSET),
            Question("will_be_affected", person="II-2", by_age=typed_years("50")),
        ),
        "after age 40, the last age at onset, nobody falls ill any more",
    ),
]


@pytest.mark.parametrize(("condition", "said"), WRONG)
def test_a_problem_names_the_fields_of_the_pages(condition: Condition, said: str) -> None:
    case = family(condition)
    assert said in placed(case, check_case(case)[0])


@pytest.mark.parametrize(("case", "said"), REMARKED)
def test_a_remark_names_the_fields_of_the_pages(case: Case, said: str) -> None:
    assert any(said in message(each.message) for each in actions.remarks(case))


def test_what_the_pages_reword_is_what_the_core_says() -> None:
    told = [each.message for condition, _ in WRONG for each in check_case(family(condition))]
    told += [each.message for case, _ in REMARKED for each in actions.remarks(case)]
    unsaid = [words for words, _ in MESSAGES if not any(words in each for each in told)]
    assert unsaid == []


def test_places_without_a_field_of_their_own_have_the_name_of_their_part() -> None:
    case = healthy_brother()
    assert placed(case, Problem("questions[1].parents", "text")) == "question 2: text"
    assert placed(case, Problem("condition.frequency", "text")) == "frequency: text"
    assert placed(case, Problem("condition.penetrance.1", "text")) == (
        "penetrance with one copy of the disease allele: text"
    )
    assert placed(case, Problem("", "text")) == "text"


def test_the_page_of_answers_names_the_control_of_who_is_not_known() -> None:
    case = edit.change_person(family(replace(RARE, onset=ONSET)), "I-2", affected=None)
    said = [each.value.replace("\\", "") for each in page_of("answer", case).markdown]
    assert any("I-1, age: " in each and 'the phenotype "Not known"' in each for each in said)
