"""Questions as queries: which people's genotypes matter, and the chance given those."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from fractions import Fraction
from math import comb
from typing import Any, NamedTuple

from risk.case.kin import father_and_mother
from risk.case.model import Case, Person, Question, Sex
from risk.genetics import penetrance
from risk.genetics.founders import Rate
from risk.genetics.genotypes import is_carrier
from risk.inference.plan import Scope
from risk.model.family import Family
from risk.model.locus import Locus, age_value
from risk.number import over_one_denominator


class Event(NamedTuple):
    """The chance of something asked about, joint with a condition of the question.

    `happens` is the chance of both (the child is live-born and affected), `fails` that of the
    condition without the event (live-born and never affected).  Both are kept, since a
    difference of leading terms would lose what vanishes.
    """

    happens: Rate
    fails: Rate

    @property
    def condition(self) -> Rate:
        """The chance of the condition alone."""
        return self.happens + self.fails


#: What is sure to happen, and what is sure not to.  In whole numbers, which are faster.
SURE, NEVER = Event(1, 0), Event(0, 1)


def person_event(
    family: Family, question: Question, facts: Collection[str] | None = None
) -> Callable[[int], Event]:
    """Return for a question about one person the event given the position of the genotype.

    Where only some `facts` are known, a phenotype that is not among them is not known.
    """
    assert question.person is not None
    person = family.people[question.person]
    if facts is not None and f"{person.id}.affected" not in facts:
        person = replace(person, affected=None)
    locus = family.locus
    copies = locus.copies(person.sex)
    counts = locus.counts[copies]
    if question.ask == "carrier":
        events = [SURE if is_carrier(copies, count) else NEVER for count in range(3)]
    elif question.ask == "disease_allele":
        events = [NEVER, SURE, SURE]
    else:
        events = _illness_events(family.case, person, question)
    return lambda place: events[counts[place]]


def _illness_events(case: Case, person: Person, question: Question) -> list[Event]:
    """Return the event of (ever, or by an age) being affected, by number of disease alleles.

    The weights of a person's genotypes already include being unaffected until now, so what is
    returned is conditional on that.
    """
    copies = case.condition.copies(person.sex)
    if person.affected:
        return [SURE] * (copies + 1)
    unaffected_at = age_value(person.age) if person.affected is False else None
    by_age = age_value(question.by_age)
    if person.affected is False and case.condition.onset is None:
        return [NEVER] * (copies + 1)
    ill = penetrance.chance_of_falling_ill(case.condition, person.sex, unaffected_at, by_age)
    if person.affected is None:
        return [Event(chance, 1 - chance) for chance in ill]
    healthy = penetrance.phenotype_likelihood(case.condition, person.sex, False, unaffected_at)
    later = [
        chance / escaped if escaped else Fraction(0)
        for chance, escaped in zip(ill, healthy, strict=True)
    ]
    return [Event(chance, 1 - chance) for chance in later]


def parents_of(family: Family, question: Question) -> tuple[str, str]:
    """Return the ids (mother, father) of the two parents a question asks about."""
    assert question.parents is not None
    one, two = (family.people[id] for id in question.parents)
    father, mother = father_and_mother(family.case, one, two)
    return mother, father


def question_pair(family: Family, question: Question) -> Scope | None:
    """Return the two variables whose joint distribution a question needs, if it needs one."""
    if question.people is not None:
        one, two = question.people
    elif question.parents is not None:
        one, two = parents_of(family, question)
    else:
        return None
    return family.variable[one], family.variable[two]


def asked_of_children(
    locus: Locus, question: Question
) -> dict[Sex, tuple[tuple[Fraction, ...], tuple[Fraction, ...]]]:
    """Return for each sex that a next child may have the chances by number of disease alleles.

    First that of what is asked, then that of being born alive.  A child is female or male with
    equal chance at conception where the question does not say; only daughters can be carriers
    on the X.
    """
    condition, by_age = locus.condition, age_value(question.by_age)
    sexes: list[Sex] = [question.sex] if question.sex else ["female", "male"]
    if question.ask == "child_carrier" and condition.x_linked and question.sex is None:
        sexes = ["female"]
    found = {}
    for sex in sexes:
        if question.ask == "child_carrier":
            copies = locus.copies(sex)
            chances = tuple(Fraction(is_carrier(copies, count)) for count in range(3))
        else:
            chances = penetrance.chance_of_falling_ill(condition, sex, None, by_age)
        found[sex] = (chances, penetrance.live_birth(condition, sex))
    return found


def child_event(locus: Locus, question: Question) -> Callable[[int, int], Event]:
    """Return the event for the next child, or several, given the positions of the genotypes.

    Of the mother's and of the father's.  The condition is that all are live-born (and daughters,
    where only daughters can be carriers).
    """
    several = question.ask == "children_affected"
    return (_of_several if several else _of_one)(locus, question)


def _of_one(locus: Locus, question: Question) -> Callable[[int, int], Event]:
    numbers = asked_of_children(locus, question)
    kept: dict[tuple[int, int], Event] = locus.cut.setdefault(
        ("child", question.ask == "child_carrier", tuple(numbers), age_value(question.by_age)), {}
    )

    def event(mother: int, father: int) -> Event:
        key = (mother, father)
        if key not in kept:
            kept[key] = weigh(mother, father)
        return kept[key]

    def weigh(mother: int, father: int) -> Event:
        happens: Any = Fraction(0)
        fails: Any = Fraction(0)
        for sex, (chances, born) in numbers.items():
            copies = locus.copies(sex)
            children = locus.children(copies, mother, father if copies == 2 else None)
            for genotype, chance in zip(locus.listed[copies], children, strict=True):
                count = genotype.disease_alleles
                if chance and born[count]:
                    weight = chance * (born[count] / len(numbers))
                    if chances[count]:
                        happens = happens + weight * chances[count]
                    if chances[count] != 1:
                        fails = fails + weight * (1 - chances[count])
        return Event(happens, fails)

    return event


def _of_several(locus: Locus, question: Question) -> Callable[[int, int], Event]:
    one_child = _of_one(locus, Question("child_affected"))
    number = question.of or 0
    if question.exactly is not None:
        wanted = range(question.exactly, question.exactly + 1)
    else:
        wanted = range(question.at_least or 0, number + 1)

    def event(mother: int, father: int) -> Event:
        happens, fails = one_child(mother, father)
        unit = 1
        if type(happens) is type(fails) is Fraction:
            # Whole numbers over one denominator: a thousand fractions would each be reduced.
            (happens, fails), unit = over_one_denominator((happens, fails))
        affected, spared = _powers(happens, number), _powers(fails, number)
        sums: list[Any] = [0, 0]
        for count in range(number + 1):
            chance = affected[count] * spared[number - count] * comb(number, count)
            if chance:
                sums[count in wanted] = sums[count in wanted] + chance
        if unit > 1:
            sums = [Fraction(each, unit**number) for each in sums]
        return Event(sums[1], sums[0])

    return event


def _powers(value: Any, most: int) -> list[Any]:
    powers: list[Any] = [1]
    for _ in range(most):
        powers.append(powers[-1] * value)
    return powers
