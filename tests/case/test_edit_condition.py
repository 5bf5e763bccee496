"""Changing the condition: nothing of the old mode is left that the new one does not have."""

from __future__ import annotations

import pytest

from risk.case import edit, edit_condition
from risk.case.model import (
    ByAlleles,
    BySex,
    Frequency,
    Inheritance,
    Mutation,
    SelectionBalance,
    Test,
    TestResult,
)
from risk.number import quantity
from tests.case.test_edit import siblings

HALF = quantity("1/2")


@pytest.mark.parametrize(
    ("frequency", "mode", "kept"),
    [
        (Frequency(carrier=quantity("1/25")), "x_linked_recessive", True),
        (Frequency(carrier=quantity("1/25")), "autosomal_dominant", False),
        (Frequency(incidence=quantity("1/100")), "autosomal_dominant", True),
        (Frequency(mutation_selection_balance=SelectionBalance(HALF)), "x_linked_dominant", True),
        (
            Frequency(mutation_selection_balance=SelectionBalance(HALF)),
            "autosomal_recessive",
            False,
        ),
    ],
)
def test_a_form_of_frequency_the_mode_lacks_becomes_rare(
    frequency: Frequency, mode: Inheritance, kept: bool
) -> None:
    case = edit_condition.change_condition(siblings(), frequency=frequency)
    new = edit_condition.set_inheritance(case, mode).condition.frequency
    assert new == (frequency if kept else Frequency(allele="rare"))


def test_what_a_mode_lacked_comes_back_with_one_that_has_it() -> None:
    carriers = Frequency(carrier=quantity("1/25"))
    case = edit_condition.change_condition(siblings(), frequency=carriers)
    former = case.condition
    there = edit_condition.set_inheritance(case, "autosomal_dominant")
    assert edit_condition.laid_aside(there.condition, former) == ("frequency",)
    back = edit_condition.set_inheritance(there, "autosomal_recessive", former)
    assert back == case
    assert edit_condition.laid_aside(back.condition, former) == ()
    # By way of a mode that lacks it too, and whatever else was changed meanwhile.
    named = edit_condition.change_condition(there, name="Marsh fever")
    on_x = edit_condition.set_inheritance(named, "x_linked_dominant", former)
    assert on_x.condition.frequency == Frequency(allele="rare")
    back = edit_condition.set_inheritance(on_x, "x_linked_recessive", former)
    assert back.condition.frequency == carriers
    assert back.condition.name == "Marsh fever"
    # What was set since is kept.
    other = Frequency(incidence=quantity("1/100"))
    set_since = edit_condition.change_condition(there, frequency=other)
    back = edit_condition.set_inheritance(set_since, "autosomal_recessive", former)
    assert back.condition.frequency == other


def test_tables_by_sex_come_back_whole() -> None:
    table = ByAlleles(quantity("0"), HALF, quantity("1"))
    case = edit_condition.change_condition(siblings(), penetrance=BySex(table, table))
    there = edit_condition.set_inheritance(case, "x_linked_recessive")
    assert edit_condition.set_inheritance(there, "autosomal_recessive") != case
    assert edit_condition.set_inheritance(there, "autosomal_recessive", case.condition) == case


def test_not_both_limits_at_once() -> None:
    case = edit_condition.change_condition(
        edit_condition.set_inheritance(siblings(), "x_linked_recessive"),
        frequency=Frequency(mutation_selection_balance=SelectionBalance(HALF)),
        mutation=Mutation("rare", "rare"),
    )
    new = edit_condition.set_inheritance(case, "autosomal_dominant").condition
    assert new.frequency == Frequency(allele=quantity("0"))


def test_males_have_one_x() -> None:
    table = ByAlleles(quantity("0"), HALF, quantity("1"))
    case = edit_condition.change_condition(siblings(), penetrance=BySex(table, table))
    linked = edit_condition.set_inheritance(case, "x_linked_recessive").condition.penetrance
    assert isinstance(linked, BySex)
    assert (None, quantity("1")) == (linked.male.two, linked.female.two)


def test_tests_are_renamed_and_removed_with_their_results() -> None:
    case = edit_condition.change_condition(
        siblings(), tests=(Test("panel", sensitivity=HALF, specificity=HALF),)
    )
    case = edit.add_result(case, "II-2", TestResult("panel", result="negative"))
    renamed = edit_condition.rename_test(case, "panel", "assay")
    assert renamed.person("II-2").tests[0].test == "assay"
    removed = edit_condition.remove_test(renamed, "assay")
    assert removed.condition.tests is None
    assert removed.person("II-2").tests == ()
