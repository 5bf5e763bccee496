"""The working of a case, and what is read off its tables."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction
from functools import lru_cache

from risk.case.model import Case, Question
from risk.inference.arithmetic import Term
from risk.workings.derive import explain
from risk.workings.step import State, Step, Value, Working


# Cases are frozen, so the same question of the same case is explained once for a whole class.
@lru_cache(maxsize=512)
def working_of(case: Case) -> Working:
    """Return the working of the first question of a case."""
    return explain(case)[0]


def numbers_in(values: tuple[Value, ...]) -> list[Fraction] | None:
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
