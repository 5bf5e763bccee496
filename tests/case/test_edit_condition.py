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
