"""Named ways of going wrong, each as the answer of a changed case.

A slip says which case somebody solved instead of the one that was asked.  The changed case is
solved by the same engine, so no formula stands here twice; a few slips are read off the working
(`slip_readings`), and `complement` is one minus the true answer.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from risk.case.model import Case
from risk.model.answers import Answer
from risk.model.solve import answers
from risk.problems import RiskError
from risk.teaching.slip_changes import CHANGES
from risk.teaching.slip_readings import READINGS, Chances

#: Every slip, in the order in which they are looked for and reported.
NAMES = (
    *("ignored_unaffected", "ignored_children", "ignored_tests", "perfect_tests", "complement"),
    *("joint_not_divided", "partner_certain", "partner_ignored", "transmission_forgotten"),
    *("allele_for_carrier", "full_penetrance", "ignored_age", "ignored_healthy_children"),
    *("ignored_viability",),
)


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
    for name in NAMES:
        if name == "complement":
            if len(true) == 1:
                yield Slip(name, (1 - true[0],))
        elif name in READINGS:
            yield from (Slip(name, result) for result in READINGS[name](case))
        else:
            for changed, people in CHANGES[name](case):
                if changed != case:
                    yield from _solved(name, changed, people)


def _solved(name: str, changed: Case, people: tuple[str, ...]) -> Iterator[Slip]:
    try:
        yield Slip(name, chances(answers(changed)[0]), changed, people)
    except RiskError:
        # What contradicts itself is no case that anybody could have solved by mistake.
        return
