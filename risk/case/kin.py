"""Who is tied to whom in a family, in file order."""

from __future__ import annotations

from collections.abc import Iterable

from risk.case.model import Case, Couple, Person, Sex, Twin


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


def sex_as_parent(case: Case, person: Person) -> Sex:
    """The sex of a person; where it is unknown, what being a father or a mother tells of it."""
    if person.sex == "unknown":
        for child in case.people:
            if child.father == person.id:
                return "male"
            if child.mother == person.id:
                return "female"
    return person.sex


def father_and_mother(case: Case, one: Person, two: Person) -> tuple[str, str]:
    """The ids of two parents, the father's first: by sex, or by whose parents they are already.

    Where neither tells, the first is taken for the mother.
    """
    if sex_as_parent(case, one) == "male" or sex_as_parent(case, two) == "female":
        return one.id, two.id
    return two.id, one.id


def twin_groups(case: Case) -> list[tuple[Twin, list[Person]]]:
    """The groups of twins: what is said of their first member, and all members, in file order."""
    groups: dict[str, tuple[Twin, list[Person]]] = {}
    for person in [each for each in case.people if each.twin is not None]:
        assert person.twin is not None
        groups.setdefault(person.twin.group, (person.twin, []))[1].append(person)
    return list(groups.values())


def of_one_age(case: Case, person: Person) -> list[Person]:
    """A person with the twins who were born together and live, as the person does: of one age."""
    if person.twin is None or person.status != "alive":
        return [person]
    group = person.twin.group
    return [p for p in case.people if p.twin and p.twin.group == group and p.status == "alive"]


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


def ancestors(case: Case, ids: Iterable[str]) -> list[str]:
    """Everyone from whom some people descend, the nearest first."""
    by_id = {person.id: person for person in case.people}
    found: dict[str, None] = {}
    waiting = list(ids)
    for id in waiting:
        person = by_id[id]
        for parent in (person.mother, person.father):
            if parent is not None and parent not in found:
                found[parent] = None
                waiting.append(parent)
    return list(found)


def shared_line(case: Case, one: str, two: str) -> set[str]:
    """Everyone from whom two people descend; one of the two can be an ancestor of the other."""
    return {one, *ancestors(case, (one,))} & {two, *ancestors(case, (two,))}


def related_only_in_drawing(case: Case) -> tuple[tuple[int, Couple], ...]:
    """The couples said to be related of whom the tree does not show how, with their numbers.

    Nothing counts of what is said so: their answers are those of two unrelated people.
    """
    return tuple(
        (index, couple)
        for index, couple in enumerate(case.couples)
        if couple.consanguineous and not shared_line(case, *couple.partners)
    )
