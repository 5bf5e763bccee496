"""The slips that change the case as a whole: which case somebody solved instead of the one asked.

Slips about a set of people are in `slip_people`.  Each function yields changed cases with their
one question, and the people whose facts or genotypes were changed.  What makes no sense (a case
that cannot be) is left to whoever solves them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Literal, overload

from risk.case.edit import asked_about, lone_twins, without
from risk.case.kin import ancestors, children_of, descendants_of, twin_groups
from risk.case.model import (
    ByAlleles,
    BySex,
    Case,
    Frequency,
    Mutation,
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
from risk.teaching.slip_kin import (
    affected_sibling,
    below,
    changed_people,
    identical,
    partners_without_history,
    twins_in_doubt,
)
from risk.teaching.slip_people import SETS, bare, negative

Changed = Iterator[tuple[Case, tuple[str, ...]]]


# --- facts left out -----------------------------------------------------------------------


def _ignored_children(case: Case) -> Changed:
    ids = below(case)
    if not ids:
        return
    unknown = changed_people(case, ids, bare)
    yield unknown, ids
    balance = case.condition.frequency.mutation_selection_balance
    if viability_matters(case.condition) or balance is not None:
        # To have been born, or to have had children, is a fact that goes with the person.
        # Those through whom one asked about descends from another stay, without their facts.
        asked = set(asked_about(case.questions[0]))
        gone = {id for id in ids if not set(descendants_of(case, id)) & asked}
        yield lone_twins(without(unknown, gone)), ids


def _only_affected(case: Case) -> Changed:
    """Yield the case in which it is known who is affected, and what genotypes are certain."""
    if not any(person.affected for person in case.people):
        return
    everyone = [person.id for person in case.people]
    changed = changed_people(
        case, everyone, lambda person: replace(person, affected=person.affected or None, tests=())
    )
    yield changed, ()


def _ignored_identical_twins(case: Case) -> Changed:
    """Yield the case in which the twins of one group, or all, are ordinary siblings."""
    groups = [
        tuple(person.id for person in group)
        for twin, group in twin_groups(case)
        if twin.zygosity != "dizygotic"
    ]
    every = tuple(p.id for p in case.people if any(p.id in ids for ids in groups))
    for ids in dict.fromkeys((*groups, every)):
        yield changed_people(case, ids, lambda person: replace(person, twin=None)), ids


def _twins_certain(case: Case) -> Changed:
    """Yield the case in which twins who may be identical are, of one group or of all."""
    doubts = list(twins_in_doubt(case))
    every = tuple(id for ids in doubts for id in ids)
    for ids in dict.fromkeys((*doubts, every)):
        yield changed_people(case, ids, identical), ids


def _perfect_tests(case: Case) -> Changed:
    ids = negative(case)
    if not ids:
        return
    tests = tuple(
        test if test.sensitivity is None else replace(test, sensitivity=quantity("1"))
        for test in case.condition.tests or ()
    )
    yield replace(case, condition=replace(case.condition, tests=tests)), ids


# --- what is asked ------------------------------------------------------------------------


def _transmission_forgotten(case: Case) -> Changed:
    question = case.questions[0]
    if question.parents is None:
        return
    condition, parents = case.condition, question.parents
    if condition.recessive and not condition.x_linked:
        yield replace(case, questions=(Question("both_carriers", people=parents),)), parents
        with_two = [
            id for id in parents if case.person(id).affected or case.person(id).genotype == 2
        ]
        if len(with_two) == 1:
            (other,) = (id for id in parents if id not in with_two)
            yield replace(case, questions=(Question("carrier", person=other),)), (other,)
        return
    for id in _at_risk(case):
        for ask in ("disease_allele", "carrier"):
            yield replace(case, questions=(Question(ask, person=id),)), (id,)


def _at_risk(case: Case) -> list[str]:
    """Return which of the parents asked about may pass the condition on by themselves.

    Of an autosomal recessive condition these are both, together.
    """
    parents = case.questions[0].parents or ()
    if not case.condition.recessive:
        spared = partners_without_history(case, case.questions[0])
        return [id for id in parents if id not in spared] or list(parents)
    sexes = ("female",) if case.condition.x_linked else ("female", "male", "unknown")
    return [id for id in parents if case.person(id).sex in sexes]


def _carriers_certain(case: Case) -> Changed:
    """Yield the case in which the parents at risk, or one, have one disease allele each."""
    ids = tuple(
        id
        for id in _at_risk(case)
        if case.person(id).genotype is None and not case.person(id).affected
    )
    alone = ((id,) for id in ids) if len(ids) > 1 else ()
    for some in (ids, *alone):
        yield changed_people(case, some, lambda person: replace(person, genotype=1)), some


def _exactly_for_at_least(case: Case) -> Changed:
    question = case.questions[0]
    if question.ask == "children_affected":
        other = replace(question, at_least=question.exactly, exactly=question.at_least)
        yield replace(case, questions=(other,)), ()


#: So many steps of passing on are looked at, the nearest to those asked about first.
_MOST_STEPS = 20


def _step_forgotten(case: Case) -> Changed:
    """Yield the case in which somebody has a parent's own genotype, as an identical twin has.

    That is what leaving out the half of one step comes to, whatever else is known of the two.
    """
    asked = asked_about(case.questions[0])
    for id in list(dict.fromkeys((*asked, *ancestors(case, asked))))[:_MOST_STEPS]:
        person = case.person(id)
        if person.count or affected_sibling(case, person):
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
            yield changed_people(case, people, lambda p, put=people: put[p.id]), (id, parent)  # type: ignore[misc]


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
    changed = replace(
        changed_people(case, people, lambda person: people[person.id]), condition=full
    )
    if condition.penetrance is not None or condition.onset is not None:
        yield changed, asked_about(question)


def _likelihood_upside_down(case: Case) -> Changed:
    """Yield the case in which being well counts as being affected would, and the test as found.

    Only of those at risk, of whom a share is seen to be well; whoever is never affected stays so.
    """
    condition, question = case.condition, case.questions[0]
    if question.ask == "will_be_affected":
        return
    for id in asked_about(question):
        person = case.person(id)
        if person.affected is not False:
            continue
        if condition.frequency.mutation_selection_balance is not None and person.sex == "male":
            continue  # a father of unknown phenotype would count as one more fact
        seen = phenotype_likelihood(condition, person.sex, False, age_value(person.age))
        if seen[0] != 1 or all(chance in (0, 1) for chance in seen):
            continue
        turned = [chance if chance in (0, 1) else 1 - chance for chance in seen]
        numbers = [quantity(str(chance)) for chance in (*turned, turned[-1])[:3]]
        test = Test(f"{id} turned\n", likelihood=(ResultLikelihood("seen", ByAlleles(*numbers)),))
        results = (*person.tests, TestResult(test.name, result="seen"))
        other = replace(person, affected=None, tests=results)
        tests = (*(condition.tests or ()), test)
        changed = changed_people(case, (id,), lambda _, put=other: put)  # type: ignore[misc]
        yield replace(changed, condition=replace(condition, tests=tests)), (id,)
    for test in condition.tests or ():
        who = [(p.id, r) for p in case.people for r in p.tests if r.test == test.name]
        if test.sensitivity is None or any(result.result != "negative" for _, result in who):
            continue
        other_test = replace(test, sensitivity=quantity(str(1 - test.sensitivity.value)))
        tests = tuple(other_test if each == test else each for each in condition.tests or ())
        ids = tuple(dict.fromkeys(id for id, _ in who))
        yield replace(case, condition=replace(condition, tests=tests)), ids


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


#: What a founder has who is taken for a carrier or not, and for nothing else.
_ONE_AT_MOST = Test(
    "one copy at most\n",  # no test of a file has a line break in its name
    likelihood=(ResultLikelihood("yes", ByAlleles(quantity("1"), quantity("1"), quantity("0"))),),
)


def _two_q(case: Case) -> Changed:
    """Yield the case in which a founder carries with 2q, and has no two copies of the allele.

    That is also done where whoever marries in above those asked about is taken to carry nothing.
    """
    condition = case.condition
    given = condition.frequency.incidence is not None or condition.frequency.allele is not None
    if not condition.recessive or not given:
        return
    q = allele_frequency(condition)
    if isinstance(q, Term) or not 0 < 2 * q < 1:
        return
    free = [p for p in case.people if p.founder and not p.affected and p.genotype is None]
    # Males with one X have the allele with q, which stays.
    single = any(condition.copies(p.sex) == 1 and p.affected is None for p in free)
    full = condition.penetrance is None and condition.onset is None
    if single or (condition.x_linked and not full):
        return
    text = str(2 * q) if isinstance(q, Fraction) else f"{2 * q:.17g}"
    frequent = replace(condition, frequency=Frequency(carrier=quantity(text)))
    changed, unsure = case, [p.id for p in free if p.affected is None or not full]
    if unsure:
        frequent = replace(frequent, tests=(*(condition.tests or ()), _ONE_AT_MOST))
        result = TestResult(_ONE_AT_MOST.name, result="yes")
        changed = changed_people(case, unsure, lambda p: replace(p, tests=(*p.tests, result)))
    changed = replace(changed, condition=frequent)
    yield changed, ()
    ids = SETS["married_in_ignored"].of(case)
    yield changed_people(changed, ids, lambda p: replace(p, genotype=0)), ids


def _rare_allele(case: Case) -> Changed:
    """Yield the case in which nobody has the allele who need not have it."""
    condition = case.condition
    given = condition.frequency.mutation_selection_balance is None
    if given and condition.mutation is None and condition.germline_mosaicism is None:
        yield replace(case, condition=replace(condition, frequency=Frequency(allele="rare"))), ()


def _full_penetrance(case: Case) -> Changed:
    condition = case.condition
    if condition.penetrance is None:
        return
    full = replace(condition, penetrance=None)
    yield replace(case, condition=full), ()
    if condition.onset is not None:
        yield _ageless(replace(case, condition=full)), ()
    phenocopies = risen(condition.penetrance, condition.recessive)
    yield replace(case, condition=replace(condition, penetrance=phenocopies)), ()


@overload
def risen(table: ByAlleles, recessive: bool) -> ByAlleles: ...
@overload
def risen(table: BySex, recessive: bool) -> BySex: ...
def risen(table: ByAlleles | BySex, recessive: bool) -> ByAlleles | BySex:
    """Return the table with 1 for those at risk, and whatever it says of the others."""
    if isinstance(table, BySex):
        return BySex(risen(table.female, recessive), risen(table.male, recessive))
    sure = quantity("1")
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


def _mosaicism_forgotten(case: Case) -> Changed:
    """Yield the case without germline mosaicism, and the one in which new mutation is rare.

    In the latter the allele of an affected child is new, and no other child has it.
    """
    condition = replace(case.condition, germline_mosaicism=None)
    yield replace(case, condition=condition), ()
    if case.condition.germline_mosaicism is not None:
        frequency = condition.frequency
        if frequency.allele == "rare":
            frequency = Frequency(allele=quantity("0"))
        new = replace(condition, frequency=frequency, mutation=Mutation("rare", "rare"))
        yield replace(case, condition=new), ()


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


#: How each slip that is not about a set of people changes a case, by its name.
CHANGES: Mapping[str, Callable[[Case], Changed]] = {
    "ignored_children": _ignored_children,
    "perfect_tests": _perfect_tests,
    "transmission_forgotten": _transmission_forgotten,
    "allele_for_carrier": _allele_for_carrier,
    "full_penetrance": _full_penetrance,
    "ignored_age": _ignored_age,
    "mutation_forgotten": _mutation_forgotten,
    "mosaicism_forgotten": _mosaicism_forgotten,
    "ignored_viability": _ignored_viability,
    "twins_certain": _twins_certain,
    "ignored_identical_twins": _ignored_identical_twins,
    "step_forgotten": _step_forgotten,
    "child_sex": _child_sex,
    "penetrance_forgotten": _penetrance_forgotten,
    "likelihood_upside_down": _likelihood_upside_down,
    "carriers_certain": _carriers_certain,
    "exactly_for_at_least": _exactly_for_at_least,
    "ignored_by_age": _ignored_by_age,
    "two_q": _two_q,
    "rare_allele": _rare_allele,
    "only_affected": _only_affected,
}
