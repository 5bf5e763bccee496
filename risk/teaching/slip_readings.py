"""The slips that change no case: the working was left too early.

Their results are read off the working of the case as it is.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from fractions import Fraction

from risk.case.model import Case, Question
from risk.inference.arithmetic import Term
from risk.workings.derive import explain
from risk.workings.step import State, Step, Value

#: What a question is answered with: one chance, or those of 0, 1 and 2 disease alleles.
Chances = tuple[Fraction, ...]


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


#: What each slip reads off the working, by its name.
READINGS: Mapping[str, Callable[[Case], Iterator[Chances]]] = {"joint_not_divided": _joints}
