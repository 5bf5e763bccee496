"""The family as a table: the difference a table widget reports, applied to the case."""

from __future__ import annotations

import pytest

from risk.case import edit, table
from risk.case.model import Case, Question
from risk.case.values import typed_years
from risk.number import quantity
from risk.problems import InputError
from tests.case.test_edit import assert_whole, siblings


def family() -> Case:
    return edit.add_question(siblings(), Question("carrier", person="II-2"))


def at(case: Case, id: str) -> int:
    return edit.index_of(case, id)


def test_rows_say_what_the_people_say() -> None:
    row = table.rows(siblings())[2]
    assert (
        row["id"],
        row["father"],
        row["affected"],
        row["age"],
    ) == ("II-1", "I-1", "affected", None)
    assert set(table.COLUMNS) == set(row)


def test_nothing_changed_is_the_same_case() -> None:
    assert family() == table.apply(
        family(), {"edited_rows": {}, "added_rows": [], "deleted_rows": []}
    )


def test_changed_cells() -> None:
    case = family()
    cells = {"affected": "not known", "age": "30", "name": "Mira", "genotype": 1, "sex": "male"}
    new = table.apply(case, {"edited_rows": {at(case, "II-1"): cells}})
    person = new.person("II-1")
    assert (None, typed_years("30"), "Mira", 1, "male") == (
        *(person.affected, person.age, person.name, person.genotype, person.sex),
    )


def test_emptied_cells_are_not_known() -> None:
    case = edit.change_person(family(), "II-1", age=quantity("4"), name="Mira")
    new = table.apply(case, {"edited_rows": {"2": {"age": None, "name": None, "affected": None}}})
    assert (*(new.person("II-1").age, new.person("II-1").name, new.person("II-1").affected),) == (
        None,
        None,
        None,
    )


def test_the_age_of_a_living_twin_is_that_of_the_other_and_the_table_does_not_show_it() -> None:
    case, (twin,) = edit.add_twin(family(), "II-2", "dizygotic")
    delta = {"edited_rows": {at(case, "II-2"): {"age": "30", "name": "Mira"}}}
    new = table.apply(case, delta)
    assert new.person(twin).age == new.person("II-2").age == typed_years("30")
    assert not table.shows(case, delta, new)
    delta = {"edited_rows": {at(case, "II-1"): {"age": "30", "name": "Mira"}}}
    assert table.shows(case, delta, table.apply(case, delta))


def test_a_new_id_reaches_the_questions() -> None:
    case = family()
    new = table.apply(case, {"edited_rows": {at(case, "II-2"): {"id": "Bo"}}})
    assert new.questions[0].person == "Bo"
    assert_whole(new)


def test_two_people_exchange_their_ids() -> None:
    case = family()
    edits = {at(case, "I-1"): {"id": "I-2"}, at(case, "I-2"): {"id": "I-1"}}
    new = table.apply(case, {"edited_rows": edits})
    assert [(p.id, p.sex) for p in new.people[:2]] == [("I-2", "male"), ("I-1", "female")]
    assert (new.person("II-1").father, new.person("II-1").mother) == ("I-2", "I-1")
    assert_whole(new)


def test_an_id_that_becomes_free_can_be_given_again() -> None:
    case = family()
    edits = {at(case, "II-1"): {"id": "Ann"}, at(case, "II-3"): {"id": "II-1"}}
    new = table.apply(case, {"edited_rows": edits})
    assert [p.id for p in new.people] == ["I-1", "I-2", "Ann", "II-2", "II-1"]


def test_a_new_row_with_parents() -> None:
    new = table.apply(family(), {"added_rows": [{"id": "II-9", "father": "I-1", "mother": "I-2"}]})
    assert (new.person("II-9").father, new.person("II-9").mother) == ("I-1", "I-2")
    assert_whole(new)


def test_one_parent_alone_gets_an_unknown_partner() -> None:
    new = table.apply(family(), {"added_rows": [{"id": "III-1", "mother": "II-1", "sex": "male"}]})
    assert new.person(str(new.person("III-1").father)).sex == "male"
    assert_whole(new)


def test_rows_deleted_together() -> None:
    case = family()
    new = table.apply(case, {"deleted_rows": [at(case, "II-2"), at(case, "II-3")]})
    assert [p.id for p in new.people] == ["I-1", "I-2", "II-1"]
    assert new.questions == ()
    whole = table.apply(case, {"deleted_rows": list(range(5))})
    assert whole.people == ()


@pytest.mark.parametrize(
    ("delta", "path", "words"),
    [
        ({"edited_rows": {2: {"age": "old"}}}, "people[2].age", "not an age"),
        ({"edited_rows": {2: {"id": "I-1"}}}, "people[2].id", "another person"),
        ({"edited_rows": {2: {"father": "I-2"}}}, "people[2].mother", "same person"),
        ({"edited_rows": {4: {"father": "I-7"}}}, "people[4].father", "no person"),
        ({"deleted_rows": [0]}, "people[0]", "is a parent of II-1, II-2"),
        ({"edited_rows": {2: {"id": "Bo"}, 3: {"id": "Bo"}}}, "people[3].id", "another person"),
        ({"added_rows": [{"id": "I-1"}]}, "people", "another person"),
        ({"added_rows": [{"id": "x" * 41}]}, "people", "at most 40 characters"),
    ],
)
def test_a_bad_edit_is_refused_whole(delta: dict[str, object], path: str, words: str) -> None:
    with pytest.raises(InputError, match=words) as caught:
        table.apply(family(), delta)
    assert path in [problem.path for problem in caught.value.problems]
