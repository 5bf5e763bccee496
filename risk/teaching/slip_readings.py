"""The slips that change no case: the working was left too early, or a line of it left out.

Their results are read off the working of the case as it is, or made of the answers to two cases or
more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import prod

from risk.case.edit import asked_about
from risk.case.kin import descendants_of
from risk.case.model import Case, Condition, Frequency, Person, Question
from risk.genetics.founders import allele_counts, allele_frequency
from risk.genetics.penetrance import lifetime_penetrance, share_by_age, viability_matters
from risk.model.family import Family
from risk.model.locus import age_value
from risk.model.solve import answers
from risk.number import quantity
from risk.teaching.slip_answers import Chances, chances, with_question
from risk.teaching.slip_kin import (
    affected_sibling,
    changed_people,
    common_ancestors,
    dizygotic,
    healthy_siblings_above,
    identical,
    partners_without_history,
    twins_in_doubt,
)
from risk.teaching.slip_people import bare
from risk.teaching.slip_several import SEVERAL
from risk.teaching.slip_working import alleles, numbers_in, sum_where, wanted, working_of
from risk.workings.kinship import kinship
from risk.workings.step import Step

#: So many groups of twins in doubt are looked at together.
_MOST_GROUPS = 3
#: What share of a chance floats may lose.
_LOST = Fraction(1, 10**12)


def _joints(case: Case) -> Iterator[Chances]:
    """Yield what the products give that were not divided by their sum.

    That is the last table; or, where its products add to 1 already, an earlier table (or both)
    from which its first row comes.
    """
    working = working_of(case)
    if not working.steps:
        return
    last = working.steps[-1]
    question = case.questions[0]
    for joint in _products(last):
        if working.distribution is not None:
            yield tuple(sum_where(last, joint, (number,)) for number in range(3))
        elif last.combine is None:
            yield (sum_where(last, joint, wanted(case, question)),)
        else:
            keys = [tuple(hypothesis.items()) for hypothesis in last.hypotheses]
            rates = {tuple(each.case.items()): each.chance for each in last.combine}
            products = [
                weight * rate
                for key, weight in zip(keys, joint, strict=True)
                if isinstance(rate := rates.get(key, Fraction(0)), Fraction)
            ]
            yield (sum(products, Fraction(0)),)
    if last.total == 1 and last.combine is not None and working.probability is not None:
        true = working.probability.exact
        used = {id for row in last.rows for id in row.uses}
        sums = [step.total for step in working.steps if step.id in used]
        parts = [one for one in sums if isinstance(one, Fraction) and one != 1]
        if true is not None and len(parts) <= 2:
            yield from ((true * one,) for one in parts)
            if len(parts) == 2:
                yield (true * parts[0] * parts[1],)


def _products(step: Step) -> Iterator[list[Fraction]]:
    """Yield the products of a table that were not divided by their sum.

    They may have been divided after some of the rows, and not again after the others.
    """
    if step.total == 1:
        return
    if (joint := numbers_in(step.joint)) is not None:
        yield joint
    rows = [numbers_in(row.values) for row in step.rows]
    for place in range(1, len(rows)):
        first, then = rows[:place], rows[place:]
        if any(row is None for row in rows):
            return
        before = [prod(column) for column in zip(*[row or [] for row in first], strict=True)]
        after = [prod(column) for column in zip(*[row or [] for row in then], strict=True)]
        if total := sum(before):
            yield [one / total * two for one, two in zip(before, after, strict=True)]


def _odds(case: Case) -> Iterator[Chances]:
    """Yield the odds of the products in the last table, where a chance is asked."""
    working = working_of(case)
    last, question = (working.steps[-1] if working.steps else None), case.questions[0]
    if last is None or question.ask not in ("carrier", "disease_allele") or last.total == 1:
        return
    if (joint := numbers_in(last.joint)) is not None:
        part = sum_where(last, joint, wanted(case, question))
        if 0 < 2 * part < sum(joint):
            yield (part / (sum(joint) - part),)


def _likelihoods(case: Case) -> Iterator[Chances]:
    """Yield the chance of what is seen if the hypothesis asked about holds, without its prior.

    Of a question about being affected it is multiplied by the chance of that, as the true one is.
    """
    working = working_of(case)
    question = case.questions[0]
    last = working.steps[-1] if working.steps else None
    if last is None or question.person is None or working.distribution is not None:
        return
    rates = {tuple(each.case.items()): each.chance for each in last.combine or ()}
    numbers = wanted(case, question)
    for place, hypothesis in enumerate(last.hypotheses):
        values = numbers_in(tuple(row.values[place] for row in last.rows if row.kind != "prior"))
        if last.combine is not None:
            rate = rates.get(tuple(hypothesis.items()), Fraction(0))
        else:
            rate = Fraction(all(alleles(state) in numbers for state in hypothesis.values()))
        if values and rate and isinstance(rate, Fraction):
            yield (prod(values, start=Fraction(rate)),)


def _one_of_two_steps(case: Case) -> Iterator[Chances]:
    """Yield the chance that both parents carry times that of a child whom one passes it to surely.

    Only where a child needs the allele from both; a parent with two copies passes it on surely.
    """
    question, condition = case.questions[0], case.condition
    if question.ask != "child_affected" or not condition.recessive or condition.x_linked:
        return
    assert question.parents is not None
    one, two = (case.person(id).sex for id in question.parents)
    couple = (Person("1", sex=one, genotype=1), Person("2", sex=two, genotype=2))
    child = Case(condition, couple, questions=(replace(question, parents=("1", "2")),))
    both = replace(case, questions=(Question("both_carriers", people=question.parents),))
    (carry,), (receives,) = answers(both), answers(child)
    if carry.probability and receives.probability and carry.probability.exact is not None:
        assert receives.probability.exact is not None
        yield (carry.probability.exact * receives.probability.exact,)


def _half_of_the_parent_at_risk(case: Case) -> Iterator[Chances]:
    """Yield the chance that a parent has a dominant allele times that of a child who has it too.

    Only where one of the two is at risk; a parent with two copies passes it on surely.
    """
    question = case.questions[0]
    spared = partners_without_history(case, question)
    if question.ask != "child_affected" or case.condition.recessive or len(spared) != 1:
        return
    assert question.parents is not None
    couple = tuple(
        Person(id, sex=case.person(id).sex, genotype=0 if id in spared else 2)
        for id in question.parents
        if case.condition.copies(case.person(id).sex) == 2 or id in spared
    )
    if len(couple) != 2:
        return
    (at_risk,) = (id for id in question.parents if id not in spared)
    (parent,) = with_question(case, Question("disease_allele", person=at_risk))
    (child,) = chances(answers(Case(case.condition, couple, questions=(question,)))[0])
    yield (parent * child,)


def _step_forgotten(case: Case) -> Iterator[Chances]:
    yield from _one_of_two_steps(case)
    yield from _half_of_the_parent_at_risk(case)


def _plain_half(case: Case) -> Iterator[Chances]:
    """Yield the chance of a child of one carrier, of whom nothing else is known."""
    question = case.questions[0]
    if question.ask not in ("carrier", "disease_allele") or question.person is None:
        return
    person = case.person(question.person)
    if person.founder or affected_sibling(case, person):
        return
    plain = Condition(case.condition.inheritance, Frequency(allele="rare"))
    people = (
        Person("1", sex="female", genotype=1),
        Person("2", sex="male", genotype=0),
        Person("3", sex=person.sex, mother="1", father="2"),
    )
    asked = replace(question, person="3")
    yield chances(answers(Case(plain, people, questions=(asked,)))[0])


def _zygosity_kept(case: Case) -> Iterator[Chances]:
    """Yield the mean of the answers for identical and other twins, by the chance before evidence.

    Only where both can be: whoever sees that one is ruled out keeps no chance for it.
    """
    doubts = twins_in_doubt(case)
    if not 0 < len(doubts) <= _MOST_GROUPS:
        return
    parts: list[Chances] = []
    for kinds in product((True, False), repeat=len(doubts)):
        weight, changed = Fraction(1), case
        for (ids, chance), same in zip(doubts.items(), kinds, strict=True):
            weight *= chance if same else 1 - chance
            changed = changed_people(changed, ids, identical if same else dizygotic)
        (answer,) = answers(changed)
        parts.append(tuple(weight * value for value in chances(answer)))
    yield tuple(sum(column, Fraction(0)) for column in zip(*parts, strict=True))


def _two_thirds(case: Case) -> Iterator[Chances]:
    """Yield the chance of healthy children of two carriers, where those asked about are well.

    Only where somebody of them has no affected brother or sister; who has one needs no other.
    """
    question = case.questions[0]
    if question.ask not in ("carrier", "disease_allele", "both_carriers"):
        return
    asked = [case.person(id) for id in asked_about(question)]
    condition = case.condition
    if not condition.recessive or condition.x_linked:
        return
    if any(person.affected is not False or person.founder for person in asked):
        return
    if all(affected_sibling(case, person) for person in asked):
        return
    people = tuple(
        each
        for person in asked
        for each in (
            Person(f"{person.id} mother", sex="female", genotype=1),
            Person(f"{person.id} father", sex="male", genotype=1),
            Person(
                person.id,
                sex=person.sex,
                mother=f"{person.id} mother",
                father=f"{person.id} father",
                affected=False,
            ),
        )
    )
    plain = Condition(condition.inheritance, Frequency(allele="rare"))
    yield chances(answers(Case(plain, people, questions=(question,)))[0])


def _kinship_ignored(case: Case) -> Iterator[Chances]:
    """Yield the answer about two relatives if what one has told nothing of what the other has.

    Only where it does tell something, before what is known of the descendants of both: these tie
    any couple together.
    """
    question, condition = case.questions[0], case.condition
    ids = asked_about(question)
    if len(ids) != 2 or not common_ancestors(case, *ids):
        return
    if viability_matters(condition) or condition.germline_mosaicism is not None:
        return  # a number of alleles does not say what such a couple's children have
    one, two = (set(descendants_of(case, id)) for id in ids)
    apart = changed_people(case, (one & two) - {*ids}, bare)
    if not _alike(_as_unrelated(apart), with_question(apart, question)):
        yield _as_unrelated(case)


def _as_unrelated(case: Case) -> Chances:
    """Return the answer about two people with the chances of each, one independent of the other."""
    question, condition = case.questions[0], case.condition
    ids = asked_about(question)
    # Of people whose genotypes are known it does not matter how common these are.
    known = replace(condition, frequency=Frequency(allele=quantity("1/2")))
    first, second = (with_question(case, Question("genotype", person=id)) for id in ids)
    total = Fraction(0)
    for numbers in product(range(len(first)), range(len(second))):
        if weight := first[numbers[0]] * second[numbers[1]]:
            couple = tuple(
                Person(id, sex=case.person(id).sex, genotype=number)
                for id, number in zip(ids, numbers, strict=True)
            )
            (chance,) = chances(answers(Case(known, couple, questions=(question,)))[0])
            total += weight * chance
    return (total,)


def _alike(some: Chances, others: Chances) -> bool:
    """Tell whether chances are equal, but for what floats lose."""
    return all(
        abs(one - two) <= _LOST * max(one, two) for one, two in zip(some, others, strict=True)
    )


def _only_by_descent(case: Case) -> Iterator[Chances]:
    """Yield qF for q^2(1 - F) + qF, the chance of a child of relatives without other history.

    That somebody is well is none.
    """
    question, condition = case.questions[0], case.condition
    balance = condition.frequency.mutation_selection_balance is not None
    if question.ask != "child_affected" or not condition.recessive or condition.x_linked or balance:
        return
    family = Family(case)
    one, two = (family.variable[id] for id in asked_about(question))
    related, q = kinship(family, one, two), allele_frequency(condition)
    if related is None or not isinstance(q, Fraction):
        return
    f = related.coefficient
    well = (person.id for person in case.people if person.affected is False)
    unknown = changed_people(case, well, lambda person: replace(person, affected=None))
    if with_question(unknown, question) == allele_counts(condition, 2, f)[2:]:
        yield (q * f,)


def _onset_from_birth(case: Case) -> Iterator[Chances]:
    """Yield the chance of ever having been affected by an age, of somebody who is still well."""
    question, condition = case.questions[0], case.condition
    if question.ask != "will_be_affected" or question.person is None:
        return
    person = case.person(question.person)
    if condition.onset is None or person.affected is not False or person.age is None:
        return
    numbers = with_question(case, Question("genotype", person=person.id))
    share = share_by_age(condition.onset, age_value(question.by_age))
    ever = lifetime_penetrance(condition, person.sex)
    parts = (number * chance * share for number, chance in zip(numbers, ever, strict=False))
    yield (sum(parts, Fraction(0)),)


def _half_of_two_thirds(case: Case) -> Iterator[Chances]:
    """Yield the chance of a child of a healthy sibling, of whom nothing else is known."""
    question, condition = case.questions[0], case.condition
    if question.ask not in ("carrier", "disease_allele") or question.person is None:
        return
    if not condition.recessive or condition.x_linked or not healthy_siblings_above(case):
        return
    people = (
        Person("1", sex="female", genotype=1),
        Person("2", sex="male", genotype=1),
        Person("3", sex="female", mother="1", father="2", affected=False),
        Person("4", sex="male", genotype=0),
        Person("5", sex=case.person(question.person).sex, mother="3", father="4"),
    )
    plain = Condition(condition.inheritance, Frequency(allele="rare"))
    asked = replace(question, person="5")
    yield chances(answers(Case(plain, people, questions=(asked,)))[0])


#: What each slip reads off the working, by its name.
READINGS: Mapping[str, Callable[[Case], Iterator[Chances]]] = {
    **SEVERAL,
    "joint_not_divided": _joints,
    "likelihood_for_posterior": _likelihoods,
    "step_forgotten": _step_forgotten,
    "plain_half": _plain_half,
    "two_thirds": _two_thirds,
    "zygosity_kept": _zygosity_kept,
    "kinship_ignored": _kinship_ignored,
    "only_by_descent": _only_by_descent,
    "onset_from_birth": _onset_from_birth,
    "half_of_two_thirds": _half_of_two_thirds,
    "odds_for_chance": _odds,
}
