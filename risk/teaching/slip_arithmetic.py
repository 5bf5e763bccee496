"""The slips of the arithmetic alone: the working left too early, or its answer written wrong."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import prod

from risk.case.model import Case
from risk.teaching.slip_answers import Chances
from risk.teaching.slip_kind import SlipKind
from risk.teaching.slip_working import alleles, numbers_in, sum_where, wanted, working_of
from risk.workings.step import Step


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

    They may have been divided after some of the rows, and not again after the others.  What other
    rows rule out may have been left out before.
    """
    if step.total == 1 or (joint := numbers_in(step.joint)) is None:
        return
    yield joint
    rows = [numbers_in(row.values) for row in step.rows]
    for place in range(1, len(rows)):
        first, then = rows[:place], rows[place:]
        if any(row is None for row in rows):
            return
        before = [prod(column) for column in zip(*[row or [] for row in first], strict=True)]
        after = [prod(column) for column in zip(*[row or [] for row in then], strict=True)]
        possible = [one for one, in_the_end in zip(before, joint, strict=True) if in_the_end]
        for total in {sum(before): 0, sum(possible): 0}:
            if total:
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
    if last is None or question.parents is not None or working.distribution is not None:
        return
    if question.people is not None and last.combine is None:
        return
    rates = {tuple(each.case.items()): each.chance for each in last.combine or ()}
    numbers = () if question.person is None else wanted(case, question)
    for place, hypothesis in enumerate(last.hypotheses):
        values = numbers_in(tuple(row.values[place] for row in last.rows if row.kind != "prior"))
        if last.combine is not None:
            rate = rates.get(tuple(hypothesis.items()), Fraction(0))
        else:
            rate = Fraction(all(alleles(state) in numbers for state in hypothesis.values()))
        if values and rate and isinstance(rate, Fraction):
            yield (prod(values, start=Fraction(rate)),)


def _opposite(true: Chances) -> Iterator[Chances]:
    if len(true) == 1:
        yield (1 - true[0],)


def _percent_sign(true: Chances) -> Iterator[Chances]:
    if len(true) == 1:
        yield (true[0] * 100,)
        yield (true[0] / 100,)


KINDS = (
    SlipKind(
        name="joint_not_divided",
        short="did not divide by the sum",
        words=(
            "This is a joint probability that was not divided by the sum of the joint "
            "probabilities. What is known has happened, so that the cases left must add up to 1."
        ),
        reads=_joints,
        parts_at="products",
        to_certainty=True,
    ),
    SlipKind(
        name="likelihood_for_posterior",
        short="gave the chance of what is seen, without the prior",
        words=(
            "This takes the chance of what is seen, if the hypothesis holds, for that of the "
            "hypothesis. It is still to be multiplied by the prior and divided by the sum over all "
            "hypotheses."
        ),
        reads=_likelihoods,
        parts_at="products",
    ),
    SlipKind(
        name="odds_for_chance",
        short="gave the odds for the chance",
        words=(
            "These are the odds: those with what is asked to those without. The chance is their "
            "share of both together."
        ),
        reads=_odds,
        last=True,
    ),
    SlipKind(
        name="complement",
        short="gave the chance of the opposite",
        words="This is the chance of the opposite of what is asked.",
        of_true=_opposite,
        likely=-1,
        to_certainty=True,
    ),
    SlipKind(
        name="percent_sign",
        short="lost a percent sign, or put one too many",
        words=(
            "The digits are those of the answer, but 0.5 is 50%, and 0.5% is 0.005: look at the "
            "percent sign again."
        ),
        of_true=_percent_sign,
    ),
)
