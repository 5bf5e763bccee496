"""The slips about relatives who have children: taken for unrelated, or for nothing but related."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product

from risk.case.edit import asked_about
from risk.case.kin import descendants_of
from risk.case.model import Case, Frequency, Person, Question
from risk.genetics.founders import allele_counts, allele_frequency
from risk.genetics.penetrance import viability_matters
from risk.model.family import Family
from risk.model.solve import answers
from risk.number import quantity
from risk.teaching.slip_answers import Chances, chances, with_question
from risk.teaching.slip_kin import bare, changed_people, common_ancestors
from risk.teaching.slip_kind import Slip, SlipKind
from risk.teaching.slip_names import names
from risk.workings.kinship import kinship

#: What share of a chance floats may lose.
_LOST = Fraction(1, 10**12)


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


def _unrelated(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    above = tuple(common_ancestors(case, *asked))
    one = above[0] if set(above) & {*asked} else None
    descend = (
        f"One descends from the other, {names((one,), case)}"
        if one
        else f"Both descend from {names(above, case)}"
    )
    return (
        f"This takes {names(asked, case)} for unrelated, and multiplies their chances. {descend}, "
        "so that what one has the other is likelier to have, too."
    )


def related(case: Case, question: Question, *, by_descent: bool) -> str:
    """Say that the chances of two relatives cannot be multiplied, and what to do instead.

    That may be to count `by_descent`, with the coefficient F.
    """
    other = (
        " Or tell the children both of whose copies descend from one copy of an ancestor's, a "
        "share F, from the others."
    )
    return (
        f"{names(asked_about(question), case)} are related, so that their chances cannot be "
        "multiplied: write one table for the pairs of genotypes of the two, from their common "
        f"ancestors down.{other if by_descent else ''}"
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


def _descent(slip: Slip) -> str:
    well = any(person.affected is False for person in slip.asked.people)
    return (
        "This is F × q: it counts the children both of whose copies descend from one copy of a "
        "common ancestor's. The others, a share 1 - F, can have two copies of the allele as well, "
        "as any child of unrelated parents."
        + (" And that some are known to be well counts, too." if well else "")
    )


KINDS = (
    SlipKind(
        name="kinship_ignored",
        short="took relatives for unrelated",
        words=_unrelated,
        reads=_kinship_ignored,
        parts_at="several people",
    ),
    SlipKind(
        name="only_by_descent",
        short="counted only copies of one ancestor's allele (F × q)",
        words=_descent,
        reads=_only_by_descent,
        parts_at="several people",
    ),
)
