"""Two versions of a case: what each says of what differs."""

from __future__ import annotations

from dataclasses import fields, replace

from risk import actions
from risk.case import edit
from risk.case.model import (
    Case,
    Condition,
    Frequency,
    Mutation,
    OnsetPoint,
    Person,
    Question,
    Twin,
    Variant,
)
from risk.case.model import Test as LaboratoryTest
from risk.case.model import TestResult as Result
from risk.case.values import typed_years
from risk.number import quantity
from risk.wording.differences import _OF_PERSON, differences

RECESSIVE = Condition("autosomal_recessive", Frequency(carrier=quantity("1/25")))


def family() -> Case:
    """Unaffected parents, an affected son and an unaffected daughter, who is asked about."""
    case, _ = edit.add_children(edit.two_parents(RECESSIVE, False), "I-1", sex="male")
    case = edit.change_person(case, "II-1", affected=True)
    case, _ = edit.add_siblings(case, "II-1", sex="female", affected=False)
    return edit.add_question(case, Question("carrier", person="II-2"))


def told(after: Case, before: Case | None = None) -> list[tuple[str, str, str]]:
    return [(each.what, each.before, each.after) for each in differences(before or family(), after)]


def with_condition(**changes: object) -> Case:
    return replace(family(), condition=replace(RECESSIVE, **changes))  # type: ignore[arg-type]


def test_the_same_version_differs_in_nothing() -> None:
    assert told(family()) == []


def test_single_values_of_the_condition_are_told_by_name() -> None:
    new = with_condition(frequency=Frequency(carrier=quantity("1/50")))
    assert told(new) == [("carrier frequency", "1/25", "1/50")]
    assert told(with_condition(inheritance="autosomal_dominant"))[0] == (
        *("inheritance", "autosomal recessive", "autosomal dominant"),
    )


def test_another_form_of_a_part_of_the_condition_is_told_as_it_is_assumed() -> None:
    ((topic, before, after),) = told(with_condition(mutation=Mutation(quantity("1e-5"))))
    assert topic == "New mutation"
    assert before == "None: an allele never changes from parent to child."
    assert "1e-5 of eggs" in after
    onset = (OnsetPoint(typed_years("40"), quantity("1/2")),)
    assert "Age" in [what for what, _, _ in told(with_condition(onset=onset))]
    panel = LaboratoryTest("panel", sensitivity=quantity("0.9"), specificity=quantity("1"))
    assert told(with_condition(tests=(panel,)))[0][:2] == ("Test", "not given")
    (classes,) = told(with_condition(variants=(Variant("common", quantity("1")),)))
    assert classes == ("Variants", "not given", 'Of the disease alleles, 1 are "common".')


def test_people_who_came_or_went_are_told_once() -> None:
    more, _ = edit.add_siblings(family(), "II-1", sex="male", affected=False)
    assert told(more) == [("II-3", "not in the family", "in the family")]
    assert told(family(), more) == [("II-3", "in the family", "not in the family")]


def test_what_is_known_of_people() -> None:
    case = edit.change_person(family(), "II-1", affected=None, age=typed_years("30"), genotype=2)
    assert told(case) == [
        ("phenotype of II-1", "affected", "not known"),
        ("age of II-1", "not given", "30"),
        ("genotype of II-1", "not known", "two disease alleles"),
    ]


def test_parents_tests_and_twins() -> None:
    case = family()
    alone = edit.change_person(case, "II-1", father=None, mother=None)
    assert told(alone) == [("parents of II-1", "I-2 and I-1", "not in the family")]
    tested = edit.change_person(case, "II-2", tests=(Result("panel", result="negative"),))
    assert told(tested) == [("test results of II-2", "none", "panel negative")]
    twin = Twin("a", "unknown")
    twins = edit.change_person(edit.change_person(case, "II-1", twin=twin), "II-2", twin=twin)
    assert told(twins) == [
        ("twin of II-1", "none", "II-2, monozygotic with chance 1/2"),
        ("twin of II-2", "none", "II-1, monozygotic with chance 1/2"),
    ]


def test_questions_that_are_asked_in_one_version_alone() -> None:
    asked = "What is the chance that II-2 is a carrier?"
    assert told(replace(family(), questions=())) == [(asked, "asked", "not asked")]
    assert told(family(), replace(family(), questions=())) == [(asked, "not asked", "asked")]


def test_every_key_of_a_person_is_compared_or_enters_no_answer() -> None:
    shown = {"id", "name", "gender", "adopted", "roles", "note"}
    told_apart = {"father", "mother", "tests", "twin"}
    assert {each.name for each in fields(Person)} == {*_OF_PERSON, *told_apart, *shown}
    case = family()
    for key, value in (("name", "Mira"), ("gender", "woman"), ("adopted", "in"), ("note", "x")):
        other = edit.change_person(case, "II-2", **{key: value})
        assert actions.solve(other).answers == actions.solve(case).answers
