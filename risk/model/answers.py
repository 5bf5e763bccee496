"""Answers as plain data: what `solve` returns and every face of the product shows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import NamedTuple

from risk.case.model import Case, Question


class Chance(NamedTuple):
    """A probability: its float value and, where every input was rational, the exact fraction."""

    value: float
    exact: Fraction | None = None

    @property
    def vanishes(self) -> bool:
        """Tell whether this is 0 only as the limit, and more wherever what is rare occurs."""
        return isinstance(self, Vanishing)


class Vanishing(Chance):
    """A chance that goes to 0 in a rare limit, where another 0 says that something cannot be."""

    __slots__ = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """The answer to one question.

    `probability` is None for a question of kind ``genotype``, whose answer is `distribution`:
    the chance of 0, 1 and 2 disease alleles (a male on the X has only 0 and 1; the entry for 2
    is then 0).
    """

    question: Question
    probability: Chance | None = None
    distribution: tuple[Chance, ...] | None = None


class PersonChances(NamedTuple):
    """The chance of each number of disease alleles (index 0, 1, 2) of one person."""

    id: str
    disease_alleles: tuple[Chance, ...]


def certain_carriers(case: Case, people: Iterable[PersonChances]) -> frozenset[str]:
    """Return those who for certain have one disease allele of two."""
    sexes = {person.id: person.sex for person in case.people}
    return frozenset(
        each.id
        for each in people
        if each.disease_alleles[1].value == 1 and case.condition.copies(sexes[each.id]) == 2
    )


@dataclass(frozen=True, slots=True)
class Solution:
    """All answers of a case; `log_likelihood` is None in a rare limit."""

    log_likelihood: float | None
    answers: tuple[Answer, ...]
    people: tuple[PersonChances, ...]
