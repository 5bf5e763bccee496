"""Named ways of going wrong, each as the answer of a changed case.

A slip says which case somebody solved instead of the one that was asked.  The changed case is
solved by the same engine, so no formula stands here twice; a few slips are read off the working
(`slip_readings`), `complement` is one minus the true answer, and `percent_sign` a hundred times or
a hundredth of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction

from risk.case.edit import asked_about
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
    *("allele_for_carrier", "full_penetrance", "ignored_age", "mutation_forgotten"),
    *("ignored_healthy_children", "ignored_viability", "ignored_healthy_relatives"),
    *("half_for_two_thirds", "married_in_ignored", "parents_certain"),
    *(
        "ignored_identical_twins",
        "step_forgotten",
        "child_sex",
        "penetrance_forgotten",
        "ignored_by_age",
    ),
    *("likelihood_for_posterior", "percent_sign"),
)
#: From this one on a slip that leads to certainty is none: nobody forgets a half on the way to 1.
_NOT_CERTAIN = NAMES.index("ignored_healthy_children")


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
        if slip.result == true or any(value > 1 for value in slip.result):
            continue
        if NAMES.index(slip.name) >= _NOT_CERTAIN and set(slip.result) <= {0, 1}:
            continue
        same = [each for each in found.values() if each.result == slip.result]
        if not covered(slip, same) and not _unlikely(slip, true):
            found.setdefault((slip.name, slip.result), slip)
    return tuple(found.values())


def covered(slip: Slip, others: Iterable[Slip]) -> bool:
    """Tell whether some of `others`, with the same result, forget it of fewer people.

    That others were forgotten beside them then makes no difference.
    """
    return slip.name == "ignored_healthy_relatives" and any(
        each.people and set(each.people) < set(slip.people) for each in others
    )


def without_idle(case: Case, slip: Slip) -> Slip:
    """Return a slip about forgotten relatives with only those it takes to come to its result.

    `case` is the true one.  Whoever was asked about is remembered first.
    """
    if slip.name != "ignored_healthy_relatives" or slip.case is None:
        return slip
    asked = asked_about(slip.case.questions[0])
    for id in sorted(slip.people, key=lambda each: each not in asked):
        people = tuple(case.person(p.id) if p.id == id else p for p in slip.case.people)
        changed = replace(slip.case, people=people)
        others = tuple(each for each in slip.people if each != id)
        if others and chances(answers(changed)[0]) == slip.result:
            slip = replace(slip, case=changed, people=others)
    return slip


def _unlikely(slip: Slip, true: Chances) -> bool:
    """Tell whether a slip leads where nobody gets to by it.

    That is nearly to the truth by forgetting relatives who hardly matter, and below the truth by
    leaving out a half.
    """
    pairs = list(zip(slip.result, true, strict=True))
    if slip.name == "ignored_healthy_relatives":
        return all(abs(value - right) <= right / 20 for value, right in pairs)
    return slip.name == "step_forgotten" and len(pairs) == 1 and slip.result < true


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
        elif name == "percent_sign" and len(true) == 1:
            yield from (Slip(name, (value,)) for value in (true[0] * 100, true[0] / 100))
        if name in CHANGES:
            for changed, people in CHANGES[name](case):
                if changed != case:
                    yield from _solved(name, changed, people)
        if name in READINGS:
            # What is read off may be a chance of what cannot be: no child of theirs is born.
            with suppress(RiskError):
                yield from [Slip(name, result) for result in READINGS[name](case)]


def _solved(name: str, changed: Case, people: tuple[str, ...]) -> Iterator[Slip]:
    try:
        yield Slip(name, chances(answers(changed)[0]), changed, people)
    except RiskError:
        # What contradicts itself is no case that anybody could have solved by mistake.
        return
