"""Taking parents off again: who goes, who stays, and what is said of it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings

from risk.case import edit
from risk.case.edit_parents import anything_known, parents_gone, without_parents
from risk.case.kin import partners_of
from risk.case.model import Case, Question
from risk.problems import InputError
from tests.case.test_edit import assert_whole, grown, siblings


def test_parents_added_by_mistake_leave_no_trace() -> None:
    """Pressed on I-2, they made the generations count anew; her family is as it was."""
    before = siblings()
    case, _ = edit.add_parents(before, "I-2")
    case, names = edit.number_from_first(case)
    assert parents_gone(case, names["I-2"]) == ("I-1", "I-2")
    assert not anything_known(case, ("I-1", "I-2"))
    after, back = without_parents(case, names["I-2"])
    assert after == before
    assert back["II-2"] == "I-2"


def test_parents_whom_others_need_stay_and_stay_a_couple() -> None:
    """II-1 has a brother; III-1's parents are a son of the family and who came in with him."""
    after, _ = without_parents(siblings(), "II-1")
    assert {p.id for p in after.people} == {p.id for p in siblings().people}
    assert after.person("II-1").founder
    assert after.person("II-2").mother == "I-2"
    case, _ = edit.add_children(siblings(), "II-2", sex="male")
    case = replace(case, couples=())
    assert parents_gone(case, "III-1") == ()
    after, _ = without_parents(case, "III-1")
    assert partners_of(after, "II-2") == ("II-3",)


def test_a_parent_with_another_partner_stays() -> None:
    case, _ = edit.add_parents(edit.one_person(siblings().condition, "male"), "I-1")
    case, _ = edit.add_partner(case, "0-1")
    assert parents_gone(case, "I-1") == ()


@pytest.mark.parametrize(
    "say",
    [
        lambda case: edit.change_person(case, "0-1", affected=True),
        lambda case: edit.add_question(case, Question("carrier", person="0-2")),
        lambda case: edit.change_couple(case, "0-1", "0-2", consanguineous=True),
    ],
)
def test_what_is_known_of_parents_is_noticed_before_it_goes(say) -> None:  # type: ignore[no-untyped-def]
    case, added = edit.add_parents(siblings(), "I-1")
    assert not anything_known(case, added)
    case = say(case)
    assert anything_known(case, parents_gone(case, "I-1"))
    after, _ = without_parents(case, "I-1")
    assert after == siblings()


def test_a_founder_and_a_twin_keep_what_they_have_and_are_told_why() -> None:
    with pytest.raises(InputError, match="I-1 has no parents in the tree"):
        without_parents(siblings(), "I-1")
    twins, _ = edit.add_twin(siblings(), "II-2", "monozygotic")
    with pytest.raises(InputError, match="twins need their parents"):
        without_parents(twins, "II-2")
    alike, (three,) = edit.add_siblings(siblings(), "II-2", number=3, alike=True)
    with pytest.raises(InputError, match="siblings, who need their parents"):
        without_parents(alike, three)


@settings(max_examples=60, deadline=None)
@given(grown())
def test_taking_parents_off_leaves_a_whole_family(case: Case) -> None:
    for person in case.people:
        if not person.founder and person.twin is None and person.count is None:
            gone = set(parents_gone(case, person.id))
            after, names = without_parents(case, person.id)
            assert_whole(after)
            assert after.person(names.get(person.id, person.id)).founder
            assert len(after.people) == len(case.people) - len(gone)
