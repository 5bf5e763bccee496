"""The order of a practice family's people, so that numbers run from left to right as drawn.

Within a generation couples stand with the man on the left, siblings together with their partners,
and whoever marries into another sibship of the tree at the side where that one stands.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from risk.case.model import Person

#: Father and mother, or the two partners of a couple without children.
Pair = tuple[str, str]


def as_drawn(people: Sequence[Person], couples: Sequence[Pair]) -> list[Person]:
    """Return people in an order in which each generation runs from left to right.

    `couples` are (man, woman).  Generations come as they come: who is in which is not said here.
    """
    order = _Order(people, couples)
    return [order.by_id[id] for id in order.found]


class _Order:
    """The order in the making: couples wait in a row, from left to right, for their children."""

    def __init__(self, people: Sequence[Person], couples: Sequence[Pair]) -> None:
        self.by_id = {person.id: person for person in people}
        parents = [(p.father, p.mother) for p in people if p.father and p.mother]
        self.pairs: list[Pair] = list(dict.fromkeys([*parents, *couples]))
        self.found: dict[str, None] = {}
        waiting: deque[Pair] = deque()
        for person in people:
            if person.founder and self._heads(person.id):
                waiting += self._stand(person.id)
        done: set[Pair] = set()
        while waiting:
            pair = waiting.popleft()
            if pair in done:
                continue
            done.add(pair)
            children = [p for p in people if (p.father, p.mother) == pair]
            for child in sorted(children, key=self._side):
                waiting += self._stand(child.id)
        for person in people:
            self.found.setdefault(person.id)

    def _of(self, id: str) -> list[Pair]:
        return [pair for pair in self.pairs if id in pair]

    def _heads(self, id: str) -> bool:
        """Tell whether a founder and all partners have no parents here: nobody marries in."""
        return all(self.by_id[each].founder for pair in self._of(id) for each in pair)

    def _side(self, person: Person) -> int:
        """Return where a sibling stands, from left to right: 0 left, 2 in the middle, 3 right.

        The parents of two cousins who are a couple stand beside each other, 0 and 1.
        """
        partners = [each for pair in self._of(person.id) for each in pair if each != person.id]
        for each in partners:
            if not self.by_id[each].founder:
                return 0 if each in self.found else 3
        if not partners:
            return 2
        for child in self.by_id.values():
            if person.id in (child.father, child.mother) and self._marries_in(child.id):
                return 0 if child.sex == "male" else 1
        return 0 if person.sex == "female" and person.twin is None else 3

    def _marries_in(self, id: str) -> bool:
        """Tell whether somebody's partner has parents here."""
        return any(
            each != id and not self.by_id[each].founder for pair in self._of(id) for each in pair
        )

    def _stand(self, id: str) -> list[Pair]:
        """Put a person in line with the partners who marry in; return their couples in order."""
        if id in self.found:
            return []
        pairs = self._of(id)
        own = [each for pair in pairs for each in pair if each != id and self.by_id[each].founder]
        # The man stands left, but nobody between twins.
        woman = self.by_id[id].sex == "female" and self.by_id[id].twin is None
        left = own[:1] if len(own) > 1 or woman else []
        for each in (*left, id, *own):
            self.found.setdefault(each)
        return pairs
