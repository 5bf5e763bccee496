"""Named ways of going wrong, each as the answer of a changed case.

A slip says which case somebody solved instead of the one that was asked.  The changed case is
solved by the same engine, so no formula stands here twice; only `joint_not_divided` is read off
the working, and `complement` is one minus the true answer.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from risk.case.edit import lone_twins
from risk.case.kin import descendants_of, partners_of
from risk.case.model import ByAlleles, BySex, Case, Frequency, Person, Question
from risk.genetics.founders import allele_frequency
from risk.genetics.penetrance import viability_matters
from risk.inference.arithmetic import Term
from risk.model.answers import Answer
from risk.model.solve import answers
from risk.number import quantity
from risk.problems import RiskError
from risk.workings.derive import explain
from risk.workings.step import State, Step, Value

#: Every slip, in the order in which they are looked for and reported.
NAMES = (
    *("ignored_unaffected", "ignored_children", "ignored_tests", "perfect_tests", "complement"),
    *("joint_not_divided", "partner_certain", "partner_ignored", "transmission_forgotten"),
    *("allele_for_carrier", "full_penetrance", "ignored_age"),
)

#: What a question is answered with: one chance, or those of 0, 1 and 2 disease alleles.
Chances = tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip and the answer that it leads to.

    `case` is the changed case with its one question, and None where nothing was changed but the
    working was left too early.  `people` are those whose facts or genotypes were changed.
    """

    name: str
    result: Chances
    case: Case | None = None
    people: tuple[str, ...] = ()


def slips(case: Case, question: int = 0) -> tuple[Slip, ...]:
    """Return the slips that can be made in one question of `case`, with their results.

    A slip is left out where it changes nothing (its result is the true answer) or makes no sense
    (the changed case cannot be).  One that can be understood in several ways (of which parent is
    it forgotten that they are unaffected?) comes once for each.  A question about a genotype
    gives the chances of 0, 1 and 2 disease alleles.  Raises as `solve` for the case itself.
    """
    asked = replace(case, questions=(case.questions[question],))
    true = chances(answers(asked)[0])
    found: dict[tuple[str, Chances], Slip] = {}
    for slip in _all(asked, true):
        # A product of densities may be more than 1; nobody gives that as a chance.
        if slip.result != true and all(value <= 1 for value in slip.result):
            found.setdefault((slip.name, slip.result), slip)
    return tuple(found.values())


def chances(answer: Answer) -> Chances:
    """Return the chance (or distribution) of an answer; floats as the fractions that they are."""
    several = (answer.probability,) if answer.distribution is None else answer.distribution
    return tuple(
        Fraction(chance.value) if chance.exact is None else chance.exact
        for chance in several
        if chance is not None
    )


def _all(case: Case, true: Chances) -> Iterator[Slip]:
    for name, changes in _CHANGES.items():
        if name == "complement":
            if len(true) == 1:
                yield Slip(name, (1 - true[0],))
        elif name == "joint_not_divided":
            yield from (Slip(name, result) for result in _joints(case))
        else:
            for changed, people in changes(case):
                if changed != case:
                    yield from _solved(name, changed, people)


def _solved(name: str, changed: Case, people: tuple[str, ...]) -> Iterator[Slip]:
    try:
        yield Slip(name, chances(answers(changed)[0]), changed, people)
    except RiskError:
        # What contradicts itself is no case that anybody could have solved by mistake.
        return


Changed = Iterator[tuple[Case, tuple[str, ...]]]


def _with(case: Case, ids: Iterable[str], change: Callable[[Person], Person]) -> Case:
    wanted = set(ids)
    people = tuple(change(p) if p.id in wanted else p for p in case.people)
    return replace(case, people=people)


def asked_about(question: Question) -> tuple[str, ...]:
    """Return the ids of the person, the two people or the parents asked about."""
    return question.people or question.parents or ((question.person,) if question.person else ())


# --- facts left out -----------------------------------------------------------------------


def _ignored_unaffected(case: Case) -> Changed:
    healthy = [id for id in asked_about(case.questions[0]) if case.person(id).affected is False]
    groups = [tuple(healthy)] if len(healthy) < 2 else [tuple(healthy), *((id,) for id in healthy)]
    for ids in groups:
        yield _with(case, ids, lambda person: replace(person, affected=None)), ids


def _ignored_children(case: Case) -> Changed:
    asked = asked_about(case.questions[0])
    below = {each for id in asked for each in descendants_of(case, id)} - set(asked)
    ids = tuple(person.id for person in case.people if person.id in below)
    if not ids:
        return
    bare = _with(case, ids, lambda p: replace(p, affected=None, genotype=None, tests=()))
    yield bare, ids
    balance = case.condition.frequency.mutation_selection_balance
    if viability_matters(case.condition) or balance is not None:
        # To have been born, or to have had children, is a fact that goes with the person.
        # Those through whom one asked about descends from another stay, without their facts.
        gone = {id for id in below if not set(descendants_of(case, id)) & set(asked)}
        smaller = replace(
            bare,
            people=tuple(p for p in bare.people if p.id not in gone),
            couples=tuple(c for c in bare.couples if not gone & set(c.partners)),
        )
        yield lone_twins(smaller), ids


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


def _ignored_age(case: Case) -> Changed:
    if case.condition.onset is None:
        return
    yield _ageless(case), ()
    if case.condition.penetrance is not None:
        yield _ageless(replace(case, condition=replace(case.condition, penetrance=None))), ()


def _ageless(case: Case) -> Case:
    return replace(case, condition=replace(case.condition, onset=None))


# --- the working left too early -----------------------------------------------------------


def _joints(case: Case) -> Iterator[Chances]:
    """Yield what the products give that were not divided by their sum.

    That is the last table; or, where its products add to 1 already, an earlier table (or both)
    from which its first row comes.
    """
    (working,) = explain(case)
    if not working.steps:
        return
    last = working.steps[-1]
    joint = _numbers(last.joint)
    question = case.questions[0]
    if joint is not None and last.total != 1:
        if working.distribution is not None:
            yield tuple(_sum_where(last, joint, (number,)) for number in range(3))
        elif last.combine is None:
            yield (_sum_where(last, joint, _wanted(case, question)),)
        else:
            keys = [tuple(hypothesis.items()) for hypothesis in last.hypotheses]
            rates = {tuple(each.case.items()): each.chance for each in last.combine}
            products = [
                weight * rate
                for key, weight in zip(keys, joint, strict=True)
                if isinstance(rate := rates.get(key, Fraction(0)), Fraction)
            ]
            yield (sum(products, Fraction(0)),)
    elif last.combine is not None and working.probability is not None:
        true = working.probability.exact
        used = {id for row in last.rows for id in row.uses}
        sums = [step.total for step in working.steps if step.id in used]
        parts = [one for one in sums if isinstance(one, Fraction) and one != 1]
        if true is not None and len(parts) <= 2:
            yield from ((true * one,) for one in parts)
            if len(parts) == 2:
                yield (true * parts[0] * parts[1],)


def _numbers(values: tuple[Value, ...]) -> list[Fraction] | None:
    """Return the values as fractions; None where some are not numbers in a rare limit."""
    found = []
    for value in values:
        if isinstance(value, Term):
            if value and value.order:
                return None
            value = Fraction(value.coefficient)
        found.append(Fraction(value))
    return found


def _sum_where(step: Step, joint: list[Fraction], wanted: Collection[int]) -> Fraction:
    return sum(
        (
            weight
            for hypothesis, weight in zip(step.hypotheses, joint, strict=True)
            if all(alleles(state) in wanted for state in hypothesis.values())
        ),
        Fraction(0),
    )


def alleles(state: State) -> int:
    """Return the number of disease alleles in a state; a germline mosaic has none."""
    if isinstance(state, int):
        return state
    return 0 if isinstance(state, str) else sum(name != "normal" for name in state)


def _wanted(case: Case, question: Question) -> Collection[int]:
    if question.ask == "disease_allele":
        return (1, 2)
    assert question.person is not None
    single = case.condition.copies(case.person(question.person).sex) == 1
    return () if single else (1,)


def _none(case: Case) -> Changed:
    return iter(())


_CHANGES: dict[str, Callable[[Case], Changed]] = {
    "ignored_unaffected": _ignored_unaffected,
    "ignored_children": _ignored_children,
    "ignored_tests": _ignored_tests,
    "perfect_tests": _perfect_tests,
    "complement": _none,
    "joint_not_divided": _none,
    "partner_certain": _partner(1),
    "partner_ignored": _partner(0),
    "transmission_forgotten": _transmission_forgotten,
    "allele_for_carrier": _allele_for_carrier,
    "full_penetrance": _full_penetrance,
    "ignored_age": _ignored_age,
}
