"""Sets of people of whom something is left out, or taken for granted.

Such a slip is one change of a person and the sets of people of whom it may be made.  Of people
who are alike (a record with a `count`, or records with the same facts) only the number matters,
so that a student may have counted two of three healthy sons.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from math import prod

from risk.case.kin import children_of
from risk.case.model import BySex, Case, Person

#: Whom a slip is about: how many of the people of each record, by its id.
#: Whom a slip is about: how many of the people of each record, by its id.
Chosen = tuple[tuple[str, int], ...]
#: Records, in the order of the file.
#: Records, in the order of the file.
Ids = tuple[str, ...]

#: So many sets of people are looked at one by one.
_MOST_SETS = 32
#: Where there are more, so many alike people are counted, and so many sets of people looked at.
_MOST_ALIKE, _MOST_OF_MANY = 5, 40


def whole(case: Case, ids: Iterable[str]) -> Chosen:
    """Return all people of some records."""
    return tuple((id, case.person(id).count or 1) for id in ids)


def some(case: Case, ids: Ids) -> list[Chosen]:
    """Return sets of people out of some records, the smaller first and all of them last.

    That is every set, as long as there are few; otherwise some of those who are alike, all but
    those, and all but the first few of the file.
    """
    if not ids:
        return []
    alike = kinds(case, ids)
    totals = [sum(many for _, many in kind) for kind in alike]
    numbers: Iterable[tuple[int, ...]]
    found: list[Chosen] = []
    if prod(total + 1 for total in totals) <= _MOST_SETS:
        numbers = product(*(range(total + 1) for total in totals))
    else:
        numbers = _few(totals)
        found = [whole(case, ids[kept:]) for kept in range(1, min(len(ids), _MOST_ALIKE))]
    for each in numbers:
        last = zip(alike, each, strict=True)
        found.append(tuple(pair for kind, number in last for pair in _last(kind, number)))
    found = [chosen for chosen in dict.fromkeys(_ordered(case, each) for each in found) if chosen]
    found.sort(key=size)
    return [*found[:_MOST_OF_MANY], *found[_MOST_OF_MANY:][-1:]]


def one_or_all(case: Case, ids: Ids) -> Iterator[Chosen]:
    yield from dict.fromkeys((whole(case, ids), *(whole(case, (id,)) for id in ids)))


def size(chosen: Chosen) -> int:
    """Return how many people were chosen."""
    return sum(number for _, number in chosen)


def within(few: Chosen, many: Chosen) -> bool:
    """Tell whether some of those chosen, and not all, are the others chosen."""
    numbers = dict(many)
    return few != many and all(number <= numbers.get(id, 0) for id, number in few)


def smaller(chosen: Chosen) -> Iterator[Chosen]:
    """Yield every smaller set of the same people, the smallest first."""
    each = [range(number + 1) for _, number in chosen]
    ids = [id for id, _ in chosen]
    for numbers in sorted(product(*each), key=sum)[1:-1]:
        yield tuple((id, number) for id, number in zip(ids, numbers, strict=True) if number)


def one_less(chosen: Chosen) -> Iterator[Chosen]:
    """Yield the set without one of its people, for each record."""
    for place, (id, number) in enumerate(chosen):
        left = ((id, number - 1),) if number > 1 else ()
        yield (*chosen[:place], *left, *chosen[place + 1 :])


def kinds(case: Case, ids: Iterable[str], *, sexes: bool = True) -> list[Chosen]:
    """Return the records of people who are alike: siblings with the same facts (and sexes)."""
    found: dict[object, list[tuple[str, int]]] = {}
    for id in ids:
        person = case.person(id)
        alone = person.twin is not None or person.founder or bool(children_of(case, id))
        facts = replace(person, id="", name=None, note=None, count=None)
        if not sexes:
            facts = replace(facts, sex="unknown")
        found.setdefault(id if alone else facts, []).append((id, person.count or 1))
    return [tuple(kind) for kind in found.values()]


def _last(kind: Chosen, number: int) -> Iterator[tuple[str, int]]:
    """Yield so many of the people of a kind, from the last on, so that the first still count."""
    for id, many in reversed(kind):
        if number:
            yield id, min(number, many)
            number -= min(number, many)


def _few(totals: list[int]) -> Iterator[tuple[int, ...]]:
    for place, total in enumerate(totals):
        for number in range(1, min(total, _MOST_ALIKE) + 1):
            yield tuple(number if i == place else 0 for i in range(len(totals)))
        yield tuple(0 if i == place else many for i, many in enumerate(totals))
    yield tuple(totals)


def _ordered(case: Case, chosen: Chosen) -> Chosen:
    numbers = dict(chosen)
    return tuple((p.id, numbers[p.id]) for p in case.people if p.id in numbers)


@dataclass(frozen=True, slots=True)
class SetSlip:
    """What a slip makes of one person, of whom, and of which sets of these.

    `ready` is what is done to the case before.
    """

    change: Callable[[Person], Person]
    of: Callable[[Case], Ids]
    sets: Callable[[Case, Ids], Iterable[Chosen]] = some
    ready: Callable[[Case], Case] = lambda case: case

    def chosen(self, case: Case) -> Iterator[tuple[Chosen, bool]]:
        """Yield the sets of people, and whether each is only a part of those it might be."""
        ids = self.of(case)
        everybody = size(whole(case, ids))
        yield from ((each, size(each) < everybody) for each in self.sets(case, ids))

    def made(self, case: Case, chosen: Chosen) -> Case:
        """Return the case that somebody solved who made the slip of the people chosen."""
        numbers = dict(chosen)
        people: list[Person] = []
        for person in (case := self.ready(case)).people:
            number, many = numbers.get(person.id, 0), person.count or 1
            if 0 < number < many:
                people.append(replace(person, count=_count(many - number)))
                # No id of a file has a line break, so that nobody else is called that.
                other = replace(person, id=f"{person.id}\n", count=_count(number))
                people.append(self.change(other))
            else:
                people.append(self.change(person) if number else person)
        return replace(case, people=tuple(people))


def _count(many: int) -> int | None:
    return many if many > 1 else None


def splits(case: Case, slip: SetSlip, chosen: Chosen) -> bool:
    """Tell whether of some people who are alike a part was chosen, and not all.

    Sons and daughters are alike where a sex makes no difference.
    """
    numbers, condition = dict(chosen), case.condition
    sexes = condition.x_linked or isinstance(condition.penetrance, BySex)
    alike = kinds(case, slip.of(case), sexes=sexes)
    return any(0 < sum(numbers.get(id, 0) for id, _ in kind) < size(kind) for kind in alike)
