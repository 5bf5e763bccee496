"""What is wrong with a case, with the names that the pages have for its places."""

from __future__ import annotations

import re
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
from risk.screens.words import placed
from tests.screens.test_screens import healthy_brother, page_of

RARE = Condition("autosomal_dominant", Frequency(allele="rare"))
ONSET = (OnsetPoint(typed_years("40"), quantity("1/2")),)


def family(condition: Condition, *questions: Question) -> Case:
    return replace(healthy_brother(), condition=condition, questions=questions)


#: Conditions with a problem, and what the pages say of it.
WRONG = [
    (
        replace(RARE, onset=ONSET),
        "give the age in years, or leave it not known whether affected",
    ),
    (
        replace(RARE, mutation=Mutation("rare", "rare")),
        "mutation: rare new mutation does not go with a rare disease allele: which ",
    ),
    (
        replace(RARE, tests=(Test("panel", detects=("common",)),)),
        "as the condition has no variants; add the classes and their shares, or give sensitivity",
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
        "is left at balance; state the rates of new mutation",
    ),
    (
        family(RARE, Question("will_be_affected", person="II-2", by_age=typed_years("50"))),
        "without ages at onset of the condition this age makes no difference",
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
def test_a_problem_is_said_without_keys_of_the_file(condition: Condition, said: str) -> None:
    case = family(condition)
    assert said in placed(case, check_case(case)[0])
    assert not re.search(r"condition\.|frequency\.|leave out", check_case(case)[0].message)


@pytest.mark.parametrize(("case", "said"), REMARKED)
def test_a_remark_is_said_without_keys_of_the_file(case: Case, said: str) -> None:
    (found,) = [each for each in actions.remarks(case) if said in each.message]
    assert not re.search(r"condition\.|frequency\.|leave out", found.message)


def test_places_without_a_field_of_their_own_have_the_name_of_their_part() -> None:
    case = healthy_brother()
    assert placed(case, Problem("questions[1].parents", "text")) == "question 2: text"
    assert placed(case, Problem("condition.frequency", "text")) == "frequency: text"
    assert placed(case, Problem("condition.penetrance.1", "text")) == (
        "penetrance with one copy of the disease allele: text"
    )
    assert placed(case, Problem("", "text")) == "text"


@pytest.mark.parametrize("module", ["family", "condition", "answer", "evidence", "report"])
def test_what_is_wrong_with_the_condition_leads_to_its_page_from_others(module: str) -> None:
    app = page_of(module, family(replace(RARE, mutation=Mutation("rare", "rare"))))
    ways = [each.label for each in app.button if each.label == "To the page Condition"]
    assert bool(ways) == (module != "condition")


def test_the_page_of_answers_names_the_control_of_who_is_not_known() -> None:
    case = edit.change_person(family(replace(RARE, onset=ONSET)), "I-2", affected=None)
    said = [each.value.replace("\\", "") for each in page_of("answer", case).markdown]
    assert any("I-1, age: " in each and "leave it not known whether" in each for each in said)
