"""Who is tied to whom in a family, in file order."""

from __future__ import annotations

from risk.case.model import Case, Person


def children_of(case: Case, id: str) -> tuple[Person, ...]:
    """The children of a person, in file order."""
    return tuple(person for person in case.people if id in (person.father, person.mother))


def partners_of(case: Case, id: str) -> tuple[str, ...]:
    """Those with whom a person has a child or is listed as a couple, in file order."""
    found: set[str] = set()
    for child in children_of(case, id):
        found |= {parent for parent in (child.father, child.mother) if parent is not None}
    for couple in case.couples:
        if id in couple.partners:
            found |= set(couple.partners)
    return tuple(person.id for person in case.people if person.id in found - {id})


def descendants_of(case: Case, id: str) -> tuple[str, ...]:
    """Everyone descended from a person, in file order."""
    found: set[str] = set()
    waiting = [id]
    while waiting:
        for child in children_of(case, waiting.pop()):
            if child.id not in found:
                found.add(child.id)
                waiting.append(child.id)
    return tuple(person.id for person in case.people if person.id in found)
