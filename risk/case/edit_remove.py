"""Removing a person, and who goes with them: pure functions from a `Case` to a new one."""

from __future__ import annotations

from risk.case.edit import index_of, lone_twins, without
from risk.case.kin import descendants_of, partners_of
from risk.case.model import Case


def removal(case: Case, id: str) -> tuple[str, ...]:
    """Who goes when a person is removed: that person, all descendants, and their partners who
    would be left without any tie to the family.

    Where that would be everybody, the person's own partners are what is left of the family.
    """
    descended = {id, *descendants_of(case, id)}
    gone = set(descended)
    kin = {p.id for p in case.people if p.father is not None} | {
        parent for p in case.people if p.id not in gone for parent in (p.father, p.mother) if parent
    }
    ties = {person.id: set(partners_of(case, person.id)) for person in case.people}
    for other in ties:
        if other not in gone | kin and ties[other] and ties[other] <= gone:
            gone.add(other)
    if len(gone) == len(case.people):
        gone -= ties[id] - descended
    return tuple(person.id for person in case.people if person.id in gone)


def remove(case: Case, id: str) -> Case:
    """Remove a person and those whom `removal` names, with their couples and questions."""
    index_of(case, id)
    return lone_twins(without(case, removal(case, id)))
