"""The slips that change no case: the working was left too early, or a line of it left out.

Their results are read off the working of the case as it is, or made of the answers to two cases or
more.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import product
from math import comb, prod

from risk.case.edit import asked_about
from risk.case.kin import descendants_of
from risk.case.model import Case, Condition, Frequency, Person, Question
from risk.genetics.founders import allele_frequency
from risk.genetics.penetrance import lifetime_penetrance, share_by_age, viability_matters
from risk.inference.arithmetic import Term
from risk.model.answers import Answer
from risk.model.family import Family
from risk.model.locus import age_value
from risk.model.solve import answers
from risk.number import quantity
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
from risk.workings.derive import explain
from risk.workings.kinship import kinship
from risk.workings.step import State, Step, Value

#: What a question is answered with: one chance, or those of 0, 1 and 2 disease alleles.
Chances = tuple[Fraction, ...]

#: So many children are counted one way by one.
_MOST_CHILDREN = 12
#: So many groups of twins in doubt are looked at together.
_MOST_GROUPS = 3
#: What share of a chance floats may lose.
_LOST = Fraction(1, 10**12)


def chances(answer: Answer) -> Chances:
    """Return the chance (or distribution) of an answer; floats as the fractions that they are."""
    several = (answer.probability,) if answer.distribution is None else answer.distribution
    return tuple(
        Fraction(chance.value) if chance.exact is None else chance.exact
        for chance in several
        if chance is not None
    )


def _with_question(case: Case, question: Question) -> Chances:
    """Return what the case answers where it asks this."""
    return chances(answers(replace(case, questions=(question,)))[0])


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
    elif last.combine is not None and working.probability is not None:
        true = working.probability.exact
        used = {id for row in last.rows for id in row.uses}
        sums = [step.total for step in working.steps if step.id in used]
        parts = [one for one in sums if isinstance(one, Fraction) and one != 1]
        if true is not None and len(parts) <= 2:
            yield from ((true * one,) for one in parts)
            if len(parts) == 2:
                yield (true * parts[0] * parts[1],)


def _likelihoods(case: Case) -> Iterator[Chances]:
    """Yield the chance of what is seen if the hypothesis asked about holds, without its prior.

    Of a question about being affected it is multiplied by the chance of that, as the true one is.
    """
    (working,) = explain(case)
    question = case.questions[0]
    last = working.steps[-1] if working.steps else None
    if last is None or question.person is None or working.distribution is not None:
        return
    rates = {tuple(each.case.items()): each.chance for each in last.combine or ()}
    numbers = wanted(case, question)
    for place, hypothesis in enumerate(last.hypotheses):
        values = _numbers(tuple(row.values[place] for row in last.rows if row.kind != "prior"))
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
    (parent,) = _with_question(case, Question("disease_allele", person=at_risk))
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


def _one_child(case: Case) -> Iterator[Chances]:
    """Yield the chance of one child (to be unaffected, where none shall be) instead of several."""
    question = case.questions[0]
    if question.ask == "children_affected":
        one = replace(question, of=1, at_least=None, exactly=0 if question.exactly == 0 else 1)
        yield _with_question(case, one)


def _children_multiplied(case: Case) -> Iterator[Chances]:
    """Yield so many times the chance of one child, where one of several is asked about."""
    question = case.questions[0]
    if 1 in (question.at_least, question.exactly):
        assert question.of is not None
        yield from ((question.of * one,) for (one,) in _one_child(case))


def _wanted_numbers(question: Question) -> range:
    """Return the numbers of affected children that are asked about."""
    assert question.of is not None
    if question.exactly is not None:
        return range(question.exactly, question.exactly + 1)
    assert question.at_least is not None
    return range(question.at_least, question.of + 1)


def _children_independent(case: Case) -> Iterator[Chances]:
    """Yield the chance of so many children if one told nothing of the parents of the others."""
    question = case.questions[0]
    if question.ask == "children_affected":
        (one,) = _with_question(case, Question("child_affected", parents=question.parents))
        many = question.of or 0
        parts = (
            comb(many, number) * one**number * (1 - one) ** (many - number)
            for number in _wanted_numbers(question)
        )
        yield (sum(parts, Fraction(0)),)


def _order_forgotten(case: Case) -> Iterator[Chances]:
    """Yield the chance that the affected children are certain ones: the first, say."""
    question = case.questions[0]
    if question.ask != "children_affected" or (question.of or 0) > _MOST_CHILDREN:
        return
    total = Fraction(0)
    for number in _wanted_numbers(question):
        exactly = replace(question, at_least=None, exactly=number)
        (chance,) = _with_question(case, exactly)
        total += chance / comb(question.of or 0, number)
    yield (total,)


def _unaffected_counted(case: Case) -> Iterator[Chances]:
    """Yield the chance that as many children are unaffected as are asked to be affected."""
    question = case.questions[0]
    if question.ask != "children_affected":
        return
    assert question.of is not None
    if question.exactly is not None:
        other = replace(question, exactly=question.of - question.exactly)
    else:
        # At least so many well are not more affected than the others.
        assert question.at_least is not None
        other = replace(question, at_least=question.of - question.at_least + 1)
    (chance,) = _with_question(case, other)
    yield (chance if question.exactly is not None else 1 - chance,)


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
    if not _alike(_as_unrelated(apart), _with_question(apart, question)):
        yield _as_unrelated(case)


def _as_unrelated(case: Case) -> Chances:
    """Return the answer about two people with the chances of each, one independent of the other."""
    question, condition = case.questions[0], case.condition
    ids = asked_about(question)
    # Of people whose genotypes are known it does not matter how common these are.
    known = replace(condition, frequency=Frequency(allele=quantity("1/2")))
    first, second = (_with_question(case, Question("genotype", person=id)) for id in ids)
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
    if _with_question(unknown, question) == (q * q * (1 - f) + q * f,):
        yield (q * f,)


def _onset_from_birth(case: Case) -> Iterator[Chances]:
    """Yield the chance of ever having been affected by an age, of somebody who is still well."""
    question, condition = case.questions[0], case.condition
    if question.ask != "will_be_affected" or question.person is None:
        return
    person = case.person(question.person)
    if condition.onset is None or person.affected is not False or person.age is None:
        return
    numbers = _with_question(case, Question("genotype", person=person.id))
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


def sum_where(step: Step, joint: list[Fraction], numbers: Collection[int]) -> Fraction:
    """Return the sum of what stands under the hypotheses with these numbers of alleles."""
    return sum(
        (
            weight
            for hypothesis, weight in zip(step.hypotheses, joint, strict=True)
            if all(alleles(state) in numbers for state in hypothesis.values())
        ),
        Fraction(0),
    )


def alleles(state: State) -> int:
    """Return the number of disease alleles in a state; a germline mosaic has none."""
    if isinstance(state, int):
        return state
    return 0 if isinstance(state, str) else sum(name != "normal" for name in state)


def wanted(case: Case, question: Question) -> Collection[int]:
    """Return the numbers of disease alleles that a question about one person is about."""
    if question.ask == "disease_allele":
        return (1, 2)
    assert question.person is not None
    single = case.condition.copies(case.person(question.person).sex) == 1
    return () if single else (1,)


#: What each slip reads off the working, by its name.
READINGS: Mapping[str, Callable[[Case], Iterator[Chances]]] = {
    "joint_not_divided": _joints,
    "likelihood_for_posterior": _likelihoods,
    "one_child": _one_child,
    "children_multiplied": _children_multiplied,
    "children_independent": _children_independent,
    "order_forgotten": _order_forgotten,
    "step_forgotten": _step_forgotten,
    "plain_half": _plain_half,
    "unaffected_counted": _unaffected_counted,
    "two_thirds": _two_thirds,
    "zygosity_kept": _zygosity_kept,
    "kinship_ignored": _kinship_ignored,
    "only_by_descent": _only_by_descent,
    "onset_from_birth": _onset_from_birth,
    "half_of_two_thirds": _half_of_two_thirds,
}
