"""What a case answers, as the numbers that slips are compared by."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from risk.case.model import Case, Question
from risk.model.answers import Answer, Chance
from risk.model.solve import answers

#: What a question is answered with: one chance, or those of 0, 1 and 2 disease alleles.
Chances = tuple[Fraction, ...]


def given(answer: Answer) -> tuple[Chance, ...]:
    """Return the chance of an answer, or its distribution."""
    several = (answer.probability,) if answer.distribution is None else answer.distribution
    return tuple(chance for chance in several if chance is not None)


def chances(answer: Answer) -> Chances:
    """Return what is `given` by an answer; floats as the fractions that they are."""
    return tuple(
        Fraction(chance.value) if chance.exact is None else chance.exact for chance in given(answer)
    )


def with_question(case: Case, question: Question) -> Chances:
    """Return what the case answers where it asks this."""
    return chances(answers(replace(case, questions=(question,)))[0])
