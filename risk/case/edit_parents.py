"""Taking a person's parents off again: pure functions from a `Case` to a new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from risk.case.edit import asked_about, number_from_first, place, refuse, set_parents, without
from risk.case.kin import children_of, partners_of
from risk.case.model import Case, Couple, Person


def parents_gone(case: Case, id: str) -> tuple[str, ...]:
    """Who goes with the parents of a person: both of them, or nobody.

    They stay where either has another child, another partner or parents of their own.
    """
    pair = _parents(case, id)
    for parent, other in (pair, pair[::-1]):
        children = {child.id for child in children_of(case, parent)}
        if (
            not case.person(parent).founder
            or children != {id}
            or partners_of(case, parent) != (other,)
        ):
            return ()
    return pair


def anything_known(case: Case, ids: Sequence[str]) -> bool:
    """Whether a case says or asks more of these people, a couple, than their sex."""
    people = [case.person(id) for id in ids]
    return (
        any(person != Person(person.id, sex=person.sex) for person in people)
        or any(set(asked_about(question)) & set(ids) for question in case.questions)
        or any(couple != Couple(couple.partners) for couple in _couples(case, ids))
    )


def without_parents(case: Case, id: str) -> tuple[Case, dict[str, str]]:
    """Make a person a founder; their parents go too, as `parents_gone` says, or stay a couple.

    Where generation I is empty afterwards, generations are counted from I again.  Returns the case
    and the old ids of those who got new ones, with the new.  Raises `InputError` for a founder, and
    for a twin or one who stands for several siblings: those are the children of the same parents.
    """
    gone = set(parents_gone(case, id))
    father, mother = _parents(case, id)
    kept = set_parents(case, id, None, None)
    if not gone:
        if mother not in partners_of(kept, father):
            kept = replace(kept, couples=(*kept.couples, Couple((father, mother))))
        return kept, {}
    return number_from_first(without(kept, gone), emptied=True)


def _parents(case: Case, id: str) -> tuple[str, str]:
    person = case.person(id)
    if person.father is None or person.mother is None:
        raise refuse(place(case, id), f"{id} has no parents in the tree")
    if person.twin is not None:
        raise refuse(f"{place(case, id)}.twin", f"{id} is a twin, and twins need their parents")
    if person.count is not None:
        raise refuse(
            f"{place(case, id)}.count", f"{id} stands for siblings, who need their parents"
        )
    return person.father, person.mother


def _couples(case: Case, ids: Sequence[str]) -> list[Couple]:
    return [couple for couple in case.couples if set(couple.partners) & set(ids)]
