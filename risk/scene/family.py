"""The family as the layout sees it: people, partnerships with their children, and kinship."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from risk.case.model import Case, Couple, Person


@dataclass(slots=True)
class Partnership:
    """Two partners and their children in file order; `about` is what the file says of them."""

    index: int
    partners: tuple[str, str]
    children: list[str] = field(default_factory=list)
    about: Couple | None = None
    related: bool = False

    def other(self, person: str) -> str:
        """Return the other partner."""
        a, b = self.partners
        return b if person == a else a


@dataclass(frozen=True)
class Family:
    """People by id in file order, and partnerships in the order in which they first appear."""

    people: dict[str, Person]
    partnerships: list[Partnership]
    parents: dict[str, Partnership]
    unions: dict[str, list[Partnership]]

    @cached_property
    def twins(self) -> dict[str, tuple[str, ...]]:
        """The whole twin group of each twin who has one with the same parents."""
        groups: dict[tuple[int, str], list[str]] = {}
        for id, person in self.people.items():
            if person.twin is not None and id in self.parents:
                groups.setdefault((self.parents[id].index, person.twin.group), []).append(id)
        return {id: tuple(group) for group in groups.values() if len(group) > 1 for id in group}


def family_of(case: Case) -> Family:
    """Build the family of a valid case."""
    people = {person.id: person for person in case.people}
    by_pair: dict[frozenset[str], Partnership] = {}
    unions: dict[str, list[Partnership]] = {id: [] for id in people}
    parents: dict[str, Partnership] = {}

    def partnership(a: str, b: str) -> Partnership:
        key = frozenset((a, b))
        if key not in by_pair:
            by_pair[key] = made = Partnership(len(by_pair), (a, b))
            for id in sorted(key, key=order.__getitem__):
                unions[id].append(made)
        return by_pair[key]

    order = {id: number for number, id in enumerate(people)}
    for id, person in people.items():
        if person.father is not None and person.mother is not None:
            couple = partnership(person.father, person.mother)
            couple.children.append(id)
            parents[id] = couple
    for about in case.couples:
        partnership(*about.partners).about = about
    for question in case.questions:
        if question.parents is not None:  # a child that is asked about makes them a couple
            partnership(*question.parents)
    related = _related_pairs(people, [c.partners for c in by_pair.values()])
    for couple in by_pair.values():
        stated = couple.about.consanguineous if couple.about else None
        couple.related = couple.partners in related or bool(stated)
        _twins_together(couple, people)
    return Family(people, list(by_pair.values()), parents, unions)


def _twins_together(couple: Partnership, people: dict[str, Person]) -> None:
    done: list[str] = []
    for id in couple.children:
        twin = people[id].twin
        if twin is None:
            done.append(id)
        elif id not in done:
            done += [
                other
                for other in couple.children
                if (mate := people[other].twin) is not None and mate.group == twin.group
            ]
    couple.children[:] = done


def _related_pairs(people: dict[str, Person], pairs: list[tuple[str, str]]) -> set[tuple[str, str]]:
    """Return the pairs with a common ancestor, or of whom one descends from the other."""
    cache: dict[str, frozenset[str]] = {}

    def line(start: str) -> frozenset[str]:
        """The person and all ancestors, without recursion (families can be deep)."""
        stack = [start]
        while stack:
            id = stack[-1]
            above = [p for p in (people[id].father, people[id].mother) if p is not None]
            missing = [p for p in above if p not in cache]
            if id in cache or not missing:
                stack.pop()
                if id not in cache:
                    cache[id] = frozenset([id]).union(*(cache[p] for p in above))
            else:
                stack += missing
        return cache[start]

    return {pair for pair in pairs if not line(pair[0]).isdisjoint(line(pair[1]))}
