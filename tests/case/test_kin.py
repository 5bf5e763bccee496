"""Who is tied to whom in a family."""

from __future__ import annotations

import pytest

from risk.case.kin import father_and_mother, sex_as_parent, twin_groups
from risk.case.model import Case, Condition, Frequency, Person, Twin

RARE = Condition("autosomal_recessive", Frequency(allele="rare"))
ALIKE, OTHER = Twin("a", "monozygotic"), Twin("b", "unknown")
CASE = Case(
    RARE,
    (
        Person("A"),
        Person("B"),
        Person("M", sex="male"),
        Person("F", sex="female"),
        Person("C", father="A", mother="B", twin=OTHER),
        Person("D", father="M", mother="F", twin=ALIKE),
        Person("E", father="A", mother="B", twin=OTHER),
        Person("G", father="M", mother="F", twin=ALIKE),
    ),
)


def test_twins_group_by_group_in_file_order() -> None:
    found = [(twin, [person.id for person in group]) for twin, group in twin_groups(CASE)]
    assert found == [(OTHER, ["C", "E"]), (ALIKE, ["D", "G"])]


def test_a_father_is_a_man_and_a_mother_a_woman() -> None:
    sexes = [sex_as_parent(CASE, CASE.person(id)) for id in "ABMFC"]
    assert sexes == ["male", "female", "male", "female", "unknown"]


@pytest.mark.parametrize(
    ("one", "two", "father"),
    [("A", "B", "A"), ("B", "A", "A"), ("M", "F", "M"), ("F", "M", "M"), ("C", "M", "M"),
     ("F", "C", "C"), ("A", "C", "A"), ("C", "A", "A"), ("B", "C", "C"), ("C", "E", "E")],
)  # fmt: skip
def test_father_and_mother(one: str, two: str, father: str) -> None:
    mother = two if father == one else one
    assert father_and_mother(CASE, CASE.person(one), CASE.person(two)) == (father, mother)
