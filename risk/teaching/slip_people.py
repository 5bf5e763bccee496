"""The slips about a set of people: something is left out, or taken for granted, of some of them.

Such a slip is one change of a person and the sets of people of whom it may be made.  Of people
who are alike (a record with a `count`, or records with the same facts) only the number matters,
so that a student may have counted two of three healthy sons.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import product
from math import prod

from risk.case.edit import asked_about
from risk.case.kin import ancestors, children_of, descendants_of
from risk.case.model import ByAlleles, BySex, Case, Person, ResultLikelihood, Test, TestResult
from risk.genetics.penetrance import phenotype_likelihood, viability_matters
from risk.model.locus import age_value
from risk.number import quantity
from risk.teaching.slip_kin import (
    affected_sibling,
    below,
    partners_without_history,
    shows,
    shows_below,
)

#: Whom a slip is about: how many of the people of each record, by its id.
Chosen = tuple[tuple[str, int], ...]
#: Records, in the order of the file.
Ids = tuple[str, ...]

#: So many sets of people are looked at one by one.
_MOST_SETS = 32
#: Where there are more, so many alike people are counted, and so many sets of people looked at.
_MOST_ALIKE, _MOST_OF_MANY = 5, 40


# --- sets of people -----------------------------------------------------------------------


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


# --- facts left out -----------------------------------------------------------------------


def bare(person: Person) -> Person:
    """Return a person of whom nothing is known but the place in the family."""
    return replace(person, affected=None, genotype=None, tests=())


def _not_known(person: Person) -> Person:
    return replace(person, affected=None)


def _unaffected(case: Case) -> Ids:
    return tuple(id for id in asked_about(case.questions[0]) if case.person(id).affected is False)


def _one_or_all(case: Case, ids: Ids) -> Iterator[Chosen]:
    yield from dict.fromkeys((whole(case, ids), *(whole(case, (id,)) for id in ids)))


def _healthy(case: Case, ids: Collection[str]) -> Ids:
    return tuple(p.id for p in case.people if p.id in ids and p.affected is False)


def _healthy_children(case: Case) -> Ids:
    return _healthy(case, below(case))


def _beside_others(case: Case, ids: Ids) -> list[Chosen]:
    """Return sets of healthy descendants; all of them only if something is known of others, too.

    Otherwise to forget all of them is to forget the children.
    """
    found = some(case, ids)
    others = set(below(case)) - set(ids)
    known = any(case.person(id) != bare(case.person(id)) for id in others)
    return found if known else found[:-1]


def _healthy_relatives(case: Case) -> Ids:
    asked = asked_about(case.questions[0])
    line = ancestors(case, asked)
    side = {each for one in line for each in descendants_of(case, one)}
    return _healthy(case, {*line, *side, *asked, *below(case)})


def _beside_and_above(case: Case, ids: Ids) -> Iterator[Chosen]:
    """Yield relatives in the line of descent or beside it, and some of those beside it."""
    asked = asked_about(case.questions[0])
    line = set(ancestors(case, asked))
    side = set(ids) - {*asked, *line, *below(case)}
    groups: list[Ids] = [(id,) for id in ids if id in line]
    groups += [_healthy(case, each) for each in (line, side, {*line, *asked}, {*line, *side})]
    for each in dict.fromkeys((*groups, ids)):
        if not set(each) <= set(asked):
            yield whole(case, each)
    yield from some(case, _healthy(case, side))


def _tested(case: Case) -> Ids:
    return tuple(person.id for person in case.people if person.tests)


def negative(case: Case) -> Ids:
    """Return who has a negative test result, or one that found nothing."""
    return tuple(
        person.id
        for person in case.people
        if any(each.result == "negative" or each.found == 0 for each in person.tests)
    )


def _positive(case: Case) -> Ids:
    """Return who has a positive result of a test that may err, and is not affected."""
    return tuple(
        person.id
        for person in case.people
        if person.genotype is None
        and not person.affected
        and any(each.result == "positive" and _may_err(case, each.test) for each in person.tests)
    )


def _may_err(case: Case, name: str) -> bool:
    tests = case.condition.tests or ()
    return any(test.name == name and test.specificity is not None for test in tests)


def _excluded(case: Case) -> Ids:
    return tuple(id for id in negative(case) if not case.person(id).genotype)


# --- genotypes taken for granted ----------------------------------------------------------


def _genotype(number: int) -> Callable[[Person], Person]:
    return lambda person: replace(person, genotype=number)


def _partners(case: Case) -> Ids:
    """Return the partners without a family history, which an affected descendant is, too."""
    return tuple(
        id for id in partners_without_history(case, case.questions[0]) if not shows_below(case, id)
    )


def _one_or_all_of_one(case: Case, ids: Ids) -> Iterator[Chosen]:
    """Yield each alone; all partners of one person, but not a couple who are asked about."""
    yield from (whole(case, (id,)) for id in ids)
    if len(ids) > 1 and case.questions[0].person is not None:
        yield whole(case, ids)


def _married_in(case: Case) -> Ids:
    """Return those who married in above those asked about, without affected descendants."""
    line = [case.person(id) for id in ancestors(case, asked_about(case.questions[0]))]
    return tuple(
        person.id
        for person in line
        if person.founder
        and person.genotype is None
        and not shows(person)
        and not shows_below(case, person.id)
    )


def _affected_parents(case: Case) -> Ids:
    """Return the affected of two parents asked about, of a condition that carriers do not have."""
    condition = case.condition
    return tuple(
        person.id
        for person in map(case.person, case.questions[0].parents or ())
        if condition.recessive
        and condition.copies(person.sex) == 2
        and person.affected
        and not phenotype_likelihood(condition, person.sex, True, age_value(person.age))[1]
    )


def _parents_of_affected(case: Case) -> Ids:
    if not case.condition.recessive or case.condition.x_linked:
        return ()
    parents = {id for each in case.people if each.affected for id in (each.mother, each.father)}
    return tuple(
        person.id
        for person in case.people
        if person.id in parents and person.affected is None and person.genotype is None
    )


#: A result that gives equal odds of no copy and one among the children of two carriers, of whom
#: 1/4, 1/2 and 1/4 have none, one and two.
_EVEN = Test(
    "healthy\n",  # no test of a file has a line break in its name
    likelihood=(ResultLikelihood("yes", ByAlleles(quantity("1"), quantity("1/2"), quantity("0"))),),
)


def _healthy_siblings(case: Case) -> Ids:
    """Return the healthy siblings of the affected among those asked about and their ancestors."""
    condition = case.condition
    if any(each is not None for each in (condition.penetrance, condition.onset)):
        return ()
    if condition.x_linked or viability_matters(condition):
        return ()
    asked = asked_about(case.questions[0])
    line = _healthy(case, {*asked, *ancestors(case, asked)})
    return tuple(id for id in line if affected_sibling(case, case.person(id)))


def _with_even_odds(case: Case) -> Case:
    tests = (*(case.condition.tests or ()), _EVEN)
    return replace(case, condition=replace(case.condition, tests=tests))


def _even(person: Person) -> Person:
    """Return somebody who carries as likely as not, whatever an uncertain twin would say of it."""
    results = (*person.tests, TestResult(_EVEN.name, result="yes"))
    unsure = person.twin is not None and person.twin.zygosity == "unknown"
    return replace(person, affected=None, tests=results, twin=None if unsure else person.twin)


#: The slips about sets of people, by their names.
SETS: Mapping[str, SetSlip] = {
    "ignored_unaffected": SetSlip(_not_known, _unaffected, _one_or_all),
    "ignored_tests": SetSlip(lambda person: replace(person, tests=()), _tested),
    "perfect_tests": SetSlip(_genotype(0), _excluded),
    "positive_is_proof": SetSlip(_genotype(1), _positive),
    "partner_certain": SetSlip(_genotype(1), _partners, _one_or_all_of_one),
    "partner_ignored": SetSlip(_genotype(0), _partners, _one_or_all_of_one),
    "ignored_healthy_children": SetSlip(bare, _healthy_children, _beside_others),
    "ignored_healthy_relatives": SetSlip(_not_known, _healthy_relatives, _beside_and_above),
    "half_for_two_thirds": SetSlip(_even, _healthy_siblings, ready=_with_even_odds),
    "married_in_ignored": SetSlip(_genotype(0), _married_in),
    "affected_for_carrier": SetSlip(
        lambda person: replace(bare(person), genotype=1), _affected_parents, _one_or_all
    ),
    "parents_certain": SetSlip(_genotype(1), _parents_of_affected),
}
