"""The slips that are changes of the case: which case somebody solved instead of the one asked.

Each function yields changed cases with their one question, and the people whose facts or genotypes
were changed.  What makes no sense (a case that cannot be) is left to whoever solves them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Literal

from risk.case.edit import asked_about, lone_twins
from risk.case.kin import children_of, descendants_of, partners_of
from risk.case.model import (
    ByAlleles,
    BySex,
    Case,
    Frequency,
    Person,
    Question,
    ResultLikelihood,
    Test,
    TestResult,
    Twin,
)
from risk.genetics.founders import allele_frequency
from risk.genetics.penetrance import phenotype_likelihood, viability_matters
from risk.inference.arithmetic import Term
from risk.model.locus import age_value
from risk.number import quantity

Changed = Iterator[tuple[Case, tuple[str, ...]]]


def _with(case: Case, ids: Iterable[str], change: Callable[[Person], Person]) -> Case:
    wanted = set(ids)
    people = tuple(change(p) if p.id in wanted else p for p in case.people)
    return replace(case, people=people)


# --- facts left out -----------------------------------------------------------------------


def _ignored_unaffected(case: Case) -> Changed:
    healthy = [id for id in asked_about(case.questions[0]) if case.person(id).affected is False]
    groups = [tuple(healthy)] if len(healthy) < 2 else [tuple(healthy), *((id,) for id in healthy)]
    for ids in groups:
        yield _with(case, ids, lambda person: replace(person, affected=None)), ids


def _below(case: Case) -> tuple[str, ...]:
    """Return the descendants of those asked about, in file order."""
    asked = asked_about(case.questions[0])
    below = {each for id in asked for each in descendants_of(case, id)} - set(asked)
    return tuple(person.id for person in case.people if person.id in below)


def _bare(person: Person) -> Person:
    return replace(person, affected=None, genotype=None, tests=())


def _ignored_children(case: Case) -> Changed:
    ids = _below(case)
    if not ids:
        return
    bare = _with(case, ids, _bare)
    yield bare, ids
    balance = case.condition.frequency.mutation_selection_balance
    if viability_matters(case.condition) or balance is not None:
        # To have been born, or to have had children, is a fact that goes with the person.
        # Those through whom one asked about descends from another stay, without their facts.
        asked = set(asked_about(case.questions[0]))
        gone = {id for id in ids if not set(descendants_of(case, id)) & asked}
        smaller = replace(
            bare,
            people=tuple(p for p in bare.people if p.id not in gone),
            couples=tuple(c for c in bare.couples if not gone & set(c.partners)),
        )
        yield lone_twins(smaller), ids


#: Of so many healthy children it is looked at that only some were counted.
_MOST_CHILDREN = 5


def _ignored_healthy_children(case: Case) -> Changed:
    below = _below(case)
    ids = tuple(id for id in below if case.person(id).affected is False)
    changed = _with(case, ids, _bare)
    # Without any other fact about descendants this is to forget all of them.
    if changed != _with(case, below, _bare):
        yield changed, ids
    # Some of several: the last of them, so that the first still count.
    for kept in range(1, min(len(ids), _MOST_CHILDREN)):
        yield _with(case, ids[kept:], _bare), ids[kept:]


def _ignored_healthy_relatives(case: Case) -> Changed:
    """Yield the case without that relatives are unaffected, in the line of descent or beside it."""
    asked = asked_about(case.questions[0])
    line = _ancestors(case, asked)
    below = _below(case)
    side = {each for one in line for each in descendants_of(case, one)}
    side -= {*asked, *line, *below}

    def healthy(ids: Collection[str]) -> tuple[str, ...]:
        return tuple(p.id for p in case.people if p.id in ids and p.affected is False)

    groups: list[tuple[str, ...]] = [(id,) for id in healthy(line)]
    groups += [healthy(line), healthy(side), healthy({*line, *asked}), healthy({*line, *side})]
    groups.append(healthy({*line, *side, *asked, *below}))
    for ids in dict.fromkeys(groups):
        if not set(ids) <= set(asked):
            yield _with(case, ids, lambda person: replace(person, affected=None)), ids


def _half_for_two_thirds(case: Case) -> Changed:
    """Yield the case in which healthy siblings of the affected carry with chance 1/2, not 2/3.

    Their being healthy is replaced by a result that gives equal odds of no copy and one among
    the children of two carriers, 1/4 : 1/2 : 1/4.  One person asked about alone is left to
    `ignored_unaffected`, which then is the same.
    """
    condition = case.condition
    if any(each is not None for each in (condition.penetrance, condition.onset)):
        return
    if condition.x_linked or viability_matters(condition):
        return
    asked = asked_about(case.questions[0])
    ids = tuple(
        p.id
        for p in case.people
        if p.id in {*asked, *_ancestors(case, asked)}
        and p.affected is False
        and _affected_sibling(case, p)
    )
    if not ids or (case.questions[0].person is not None and set(ids) <= set(asked)):
        return
    name = "healthy"
    even = ResultLikelihood("yes", ByAlleles(quantity("1"), quantity("1/2"), quantity("0")))
    tests = (*(condition.tests or ()), Test(name, likelihood=(even,)))
    changed = replace(case, condition=replace(condition, tests=tests))
    result = TestResult(name, result="yes")
    yield (
        _with(changed, ids, lambda p: replace(p, affected=None, tests=(*p.tests, result))),
        ids,
    )


def _ancestors(case: Case, ids: Iterable[str]) -> list[str]:
    """Return the ancestors of some people, the nearest first."""
    found: dict[str, None] = {}
    waiting = list(ids)
    for id in waiting:
        person = case.person(id)
        for parent in (person.mother, person.father):
            if parent is not None and parent not in found:
                found[parent] = None
                waiting.append(parent)
    return list(found)


def _ignored_identical_twins(case: Case) -> Changed:
    ids = tuple(p.id for p in case.people if p.twin and p.twin.zygosity != "dizygotic")
    yield _with(case, ids, lambda person: replace(person, twin=None)), ids


def _ignored_tests(case: Case) -> Changed:
    ids = tuple(person.id for person in case.people if person.tests)
    yield _with(case, ids, lambda person: replace(person, tests=())), ids


def _perfect_tests(case: Case) -> Changed:
    negative = tuple(
        person.id
        for person in case.people
        if any(each.result == "negative" or each.found == 0 for each in person.tests)
    )
    if not negative:
        return
    tests = tuple(
        test if test.sensitivity is None else replace(test, sensitivity=quantity("1"))
        for test in case.condition.tests or ()
    )
    yield replace(case, condition=replace(case.condition, tests=tests)), negative
    if all(case.person(id).genotype in (None, 0) for id in negative):
        yield _with(case, negative, lambda person: replace(person, genotype=0)), negative


# --- the partner --------------------------------------------------------------------------


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
    by_id = {person.id: person for person in case.people}
    ancestors: set[str] = set()
    waiting = [id]
    while waiting:
        person = by_id[waiting.pop()]
        for parent in (person.father, person.mother):
            if parent is not None and parent not in ancestors:
                ancestors.add(parent)
                waiting.append(parent)
    kin = ancestors | {each for one in ancestors for each in descendants_of(case, one)}
    return any(_shows(by_id[each]) for each in kin - {id} - set(descendants_of(case, id)))


def _shows(person: Person) -> bool:
    return bool(
        person.affected
        or person.genotype
        or any(result.result == "positive" or result.found for result in person.tests)
    )


def _partner(genotype: int) -> Callable[[Case], Changed]:
    def change(case: Case) -> Changed:
        ids = partners_without_history(case, case.questions[0])
        for id in ids:
            yield _with(case, (id,), lambda p: replace(p, genotype=genotype)), (id,)
        if len(ids) > 1 and case.questions[0].person is not None:
            yield _with(case, ids, lambda p: replace(p, genotype=genotype)), ids

    return change


def _married_in_ignored(case: Case) -> Changed:
    """Yield the case in which people who married in above those asked about carry nothing."""
    line = [case.person(id) for id in _ancestors(case, asked_about(case.questions[0]))]
    ids = tuple(
        person.id
        for person in line
        if person.founder
        and person.genotype is None
        and not _shows(person)
        and not any(_shows(case.person(id)) for id in descendants_of(case, person.id))
    )
    for group in dict.fromkeys((*((id,) for id in ids), ids)):
        yield _with(case, group, lambda person: replace(person, genotype=0)), group


def _parents_certain(case: Case) -> Changed:
    """Yield the case in which parents of somebody affected are carriers and no more for certain."""
    if not case.condition.recessive or case.condition.x_linked:
        return
    parents = {id for each in case.people if each.affected for id in (each.mother, each.father)}
    ids = tuple(
        person.id
        for person in case.people
        if person.id in parents and person.affected is None and person.genotype is None
    )
    yield _with(case, ids, lambda person: replace(person, genotype=1)), ids


# --- what is asked ------------------------------------------------------------------------


def _transmission_forgotten(case: Case) -> Changed:
    question = case.questions[0]
    if question.parents is None:
        return
    condition, parents = case.condition, question.parents
    if condition.recessive and not condition.x_linked:
        yield replace(case, questions=(Question("both_carriers", people=parents),)), parents
        return
    if condition.recessive:
        at_risk = [id for id in parents if case.person(id).sex == "female"]
    else:
        spared = partners_without_history(case, question)
        at_risk = [id for id in parents if id not in spared] or list(parents)
    for id in at_risk:
        for ask in ("disease_allele", "carrier"):
            yield replace(case, questions=(Question(ask, person=id),)), (id,)


#: So many steps of passing on are looked at, the nearest to those asked about first.
_MOST_STEPS = 20


def _step_forgotten(case: Case) -> Changed:
    """Yield the case in which somebody has a parent's own genotype, as an identical twin has.

    That is what leaving out the half of one step comes to, whatever else is known of the two.
    """
    asked = asked_about(case.questions[0])
    for id in list(dict.fromkeys((*asked, *_ancestors(case, asked))))[:_MOST_STEPS]:
        person = case.person(id)
        if person.count or _affected_sibling(case, person):
            continue
        for parent in (person.mother, person.father):
            if parent is None:
                continue
            above = case.person(parent)
            copies = {case.condition.copies(each.sex) for each in (person, above)}
            if copies != {2} or person.twin or above.twin:
                continue
            if any({each.mother, each.father} == {id, parent} for each in case.people):
                continue  # nobody has a child with an identical twin
            twin = Twin(f"{id} as {parent}", "monozygotic")
            people = {
                parent: replace(above, twin=twin),
                id: replace(
                    person,
                    father=above.father,
                    mother=above.mother,
                    inbreeding=above.inbreeding,
                    twin=twin,
                ),
            }
            yield _with(case, people, lambda p, put=people: put[p.id]), (id, parent)  # type: ignore[misc]


def _affected_sibling(case: Case, person: Person) -> bool:
    """Tell whether an affected sibling makes both parents carriers: that is no step of a half."""
    return case.condition.recessive and any(
        each.affected and each.mother == person.mother and each.father == person.father
        for each in case.people
        if not case.condition.x_linked and each.mother is not None
    )


def _child_sex(case: Case) -> Changed:
    question = case.questions[0]
    if question.ask != "child_affected":
        return
    sexes: tuple[Literal["female", "male"] | None, ...] = (None, "female", "male")
    for sex in sexes:
        # One sex taken for the other is no slip of the arithmetic.
        if question.sex is None or sex is None:
            yield replace(case, questions=(replace(question, sex=sex),)), ()


def _ignored_by_age(case: Case) -> Changed:
    yield replace(case, questions=(replace(case.questions[0], by_age=None),)), ()


def _penetrance_forgotten(case: Case) -> Changed:
    """Yield the case in which whoever is asked about falls ill with every genotype at risk.

    What the phenotypes of the others say stays: as results with the same likelihoods.
    """
    condition, question = case.condition, case.questions[0]
    if question.ask not in ("will_be_affected", "child_affected", "children_affected"):
        return
    if question.person is not None and case.person(question.person).affected:
        return
    seen = [person for person in case.people if person.affected is not None]
    if condition.frequency.mutation_selection_balance is not None and any(
        person.sex == "male" and children_of(case, person.id) for person in seen
    ):
        return  # a father of unknown phenotype would count as one more fact
    tests, people = list(condition.tests or ()), {}
    for person in seen:
        assert person.affected is not None
        chances = phenotype_likelihood(
            condition, person.sex, person.affected, age_value(person.age)
        )
        numbers = [quantity(str(chance)) for chance in (*chances, chances[-1])[:3]]
        name = f"phenotype of {person.id}"
        tests.append(Test(name, likelihood=(ResultLikelihood("seen", ByAlleles(*numbers)),)))
        results = (*person.tests, TestResult(name, result="seen"))
        people[person.id] = replace(person, affected=None, tests=results)
    full = replace(condition, penetrance=None, onset=None, tests=tuple(tests) or None)
    changed = replace(_with(case, people, lambda person: people[person.id]), condition=full)
    if condition.penetrance is not None or condition.onset is not None:
        yield changed, asked_about(question)


# --- the condition ------------------------------------------------------------------------


def _allele_for_carrier(case: Case) -> Changed:
    condition = case.condition
    if not condition.recessive or condition.frequency.mutation_selection_balance is not None:
        return
    q = allele_frequency(condition)
    if isinstance(q, Term) or not q:
        return
    text = str(q) if isinstance(q, Fraction) else f"{q:.17g}"
    frequency = Frequency(carrier=quantity(text))
    yield replace(case, condition=replace(condition, frequency=frequency)), ()


def _full_penetrance(case: Case) -> Changed:
    condition = case.condition
    if condition.penetrance is None:
        return
    full = replace(condition, penetrance=None)
    yield replace(case, condition=full), ()
    if condition.onset is not None:
        yield _ageless(replace(case, condition=full)), ()
    phenocopies = _risen(condition.penetrance, condition.recessive)
    yield replace(case, condition=replace(condition, penetrance=phenocopies)), ()


def _risen(table: ByAlleles | BySex, recessive: bool) -> ByAlleles | BySex:
    """Return the table with 1 for those at risk, and whatever it says of the others."""
    sure = quantity("1")
    if isinstance(table, BySex):
        female = _risen(table.female, recessive)
        male = _risen(table.male, recessive)
        assert isinstance(female, ByAlleles)
        assert isinstance(male, ByAlleles)
        return BySex(female, male)
    if table.two is None:
        return replace(table, one=sure)
    return replace(table, one=table.one if recessive else sure, two=sure)


def _mutation_forgotten(case: Case) -> Changed:
    """Yield the case without new mutation, and with a rare allele where it set the frequency."""
    condition = case.condition
    if condition.mutation is None:
        return
    frequency = condition.frequency
    if frequency.mutation_selection_balance is not None:
        frequency = Frequency(allele="rare")
    yield replace(case, condition=replace(condition, mutation=None, frequency=frequency)), ()


def _ignored_age(case: Case) -> Changed:
    if case.condition.onset is None:
        return
    yield _ageless(case), ()
    if case.condition.penetrance is not None:
        yield _ageless(replace(case, condition=replace(case.condition, penetrance=None))), ()


def _ageless(case: Case) -> Case:
    return replace(case, condition=replace(case.condition, onset=None))


def _ignored_viability(case: Case) -> Changed:
    yield replace(case, condition=replace(case.condition, viability=None)), ()


#: How each slip changes a case, by its name.
CHANGES: Mapping[str, Callable[[Case], Changed]] = {
    "ignored_unaffected": _ignored_unaffected,
    "ignored_children": _ignored_children,
    "ignored_tests": _ignored_tests,
    "perfect_tests": _perfect_tests,
    "partner_certain": _partner(1),
    "partner_ignored": _partner(0),
    "transmission_forgotten": _transmission_forgotten,
    "allele_for_carrier": _allele_for_carrier,
    "full_penetrance": _full_penetrance,
    "ignored_age": _ignored_age,
    "mutation_forgotten": _mutation_forgotten,
    "ignored_healthy_children": _ignored_healthy_children,
    "ignored_viability": _ignored_viability,
    "ignored_healthy_relatives": _ignored_healthy_relatives,
    "half_for_two_thirds": _half_for_two_thirds,
    "married_in_ignored": _married_in_ignored,
    "parents_certain": _parents_certain,
    "ignored_identical_twins": _ignored_identical_twins,
    "step_forgotten": _step_forgotten,
    "child_sex": _child_sex,
    "penetrance_forgotten": _penetrance_forgotten,
    "ignored_by_age": _ignored_by_age,
}
