"""Whom a slip is about, relatives as a student sees them, and what is changed of people."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.kin import ancestors, descendants_of, partners_of, shared_line
from risk.case.model import Case, Person, Question
from risk.teaching.slip_sets import Ids


def changed_people(case: Case, ids: Iterable[str], change: Callable[[Person], Person]) -> Case:
    wanted = set(ids)
    people = tuple(change(p) if p.id in wanted else p for p in case.people)
    return replace(case, people=people)


def bare(person: Person) -> Person:
    """Return a person of whom nothing is known but the place in the family."""
    return replace(person, affected=None, genotype=None, tests=())


def not_known(person: Person) -> Person:
    return replace(person, affected=None)


def having(number: int) -> Callable[[Person], Person]:
    """Return what gives a person this number of disease alleles for certain."""
    return lambda person: replace(person, genotype=number)


def below(case: Case) -> tuple[str, ...]:
    """Return the descendants of those asked about, in file order."""
    asked = asked_about(case.questions[0])
    below = {each for id in asked for each in descendants_of(case, id)} - set(asked)
    return tuple(person.id for person in case.people if person.id in below)


def common_ancestors(case: Case, one: str, two: str) -> list[str]:
    """Return the ancestors through whom two people are related, the nearest of each line.

    One of the two can be an ancestor of the other.
    """
    common = shared_line(case, one, two)
    above = {*ancestors(case, common)}
    return [person.id for person in case.people if person.id in common - above]


def healthy_siblings_above(case: Case) -> list[str]:
    """Return the healthy parents, of whoever is asked about, who have an affected sibling.

    None where somebody affected is a sibling, a parent or a parent's parent of that person.
    """
    person = case.person(case.questions[0].person or "")
    parents = [case.person(id) for id in (person.mother, person.father) if id is not None]
    if affected_sibling(case, person) or any(parent.affected for parent in parents):
        return []
    found = [
        parent.id
        for parent in parents
        if parent.affected is False and affected_sibling(case, parent)
    ]
    above = [case.person(id) for id in ancestors(case, found)]
    return [] if any(each.affected for each in above) else found


def affected_sibling(case: Case, person: Person) -> bool:
    """Tell whether an affected sibling makes both parents carriers: that is no step of a half."""
    return case.condition.recessive and any(
        each.affected and each.mother == person.mother and each.father == person.father
        for each in case.people
        if not case.condition.x_linked and each.mother is not None
    )


def partners_without_history(case: Case, question: Question) -> tuple[str, ...]:
    """Return those of the couple asked about in whose own family the condition is not known.

    Of a question about one person these are that person's partners.  Those who marry in come
    first; somebody with parents in the tree is such a partner only where nobody marries in, and
    the other one has a family history.  Whoever is affected, or whose genotype is known, is
    nobody to make assumptions about.
    """
    if question.person is not None:
        couple = partners_of(case, question.person)
    else:
        couple = asked_about(question)
    free = [
        id
        for id in couple
        if not case.person(id).affected
        and case.person(id).genotype is None
        and not _family_history(case, id)
    ]
    founders = tuple(id for id in free if case.person(id).founder)
    if founders or any(case.person(id).founder for id in couple):
        return founders
    return tuple(free) if len(free) == 1 and len(couple) == 2 else ()


def _family_history(case: Case, id: str) -> bool:
    """Tell whether a blood relative, other than own descendants, shows the disease allele."""
    line = ancestors(case, (id,))
    kin = {*line, *(each for one in line for each in descendants_of(case, one))}
    return _some_show(case, kin - {id} - set(descendants_of(case, id)))


def shows_below(case: Case, id: str) -> bool:
    """Tell whether a descendant shows the disease allele."""
    return _some_show(case, descendants_of(case, id))


def _some_show(case: Case, ids: Collection[str]) -> bool:
    return any(shows(person) for person in case.people if person.id in ids)


def shows(person: Person) -> bool:
    return bool(
        person.affected
        or person.genotype
        or any(result.result == "positive" or result.found for result in person.tests)
    )


def married_in(case: Case) -> Ids:
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


def at_risk(case: Case) -> list[str]:
    """Return which of the parents asked about may pass the condition on by themselves.

    Of an autosomal recessive condition these are both, together.
    """
    parents = case.questions[0].parents or ()
    if not case.condition.recessive:
        spared = partners_without_history(case, case.questions[0])
        return [id for id in parents if id not in spared] or list(parents)
    sexes = ("female",) if case.condition.x_linked else ("female", "male", "unknown")
    return [id for id in parents if case.person(id).sex in sexes]


def healthy(case: Case, ids: Collection[str]) -> Ids:
    return tuple(p.id for p in case.people if p.id in ids and p.affected is False)
