"""A smallest set of facts that cannot all be true, as data.

`risk.model.genotypes_left` tells why, and `risk.wording.conflicts` puts it into words.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from itertools import combinations
from math import comb
from typing import Any

from risk.case.model import Case, Question
from risk.model.family import Family
from risk.model.network import make_network
from risk.model.queries import child_event, question_pair
from risk.problems import ImpossibleEvidence, RiskError, TooLarge

#: How many sets of facts are tried at most in the search for the fewest.
_MOST_TRIES = 3000

_BEYOND_FLOATS = (
    "these facts are so unlikely that floating-point numbers cannot hold their chance; "
    "use exact arithmetic, or, where a frequency has an irrational root, write it as a fraction"
)


#: Tells whether something can be, given only the facts of these paths.
Possible = Callable[[Collection[str]], bool]


class Contradiction(ImpossibleEvidence):
    """Facts that cannot all be true, before anybody has put it into words.

    Where there is a `question`, they can be, but leave no live-born child about whom to ask it.
    """

    def __init__(
        self, conflict: Collection[str], enough: Collection[str], question: Question | None = None
    ) -> None:
        self.question = question
        super().__init__("the facts cannot all be true", conflict, enough)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.conflict, self.enough, self.question)


def impossible(case: Case) -> RiskError:
    """Return the error that names a smallest set of facts that cannot all be true.

    Of facts that are only too unlikely for floats, TooLarge.
    """
    family = Family(case)
    if make_network(family).possible:
        return TooLarge(_BEYOND_FLOATS)
    conflict = conflicting_facts(family)
    return Contradiction(conflict, enough_alone(family, conflict))


def unborn(case: Case, question: Question) -> RiskError:
    """Return the error that names a smallest set of facts by which no child can be live-born.

    It is empty where that is so of any two parents.
    """
    family = Family(case)
    pair = question_pair(family, question)
    assert pair is not None
    event_of = child_event(family.locus, question)

    def possible(paths: Collection[str]) -> bool:
        network = make_network(family, set(paths), groups=[pair])
        found = network.joint(*pair)
        return any(weight and event_of(one, two).condition for one, two, weight in found)

    if possible([fact.path for fact in family.facts]):
        return TooLarge(_BEYOND_FLOATS)
    conflict = [] if not possible(()) else conflicting_facts(family, possible)
    return Contradiction(conflict, enough_alone(family, conflict, possible), question)


def conflicting_facts(family: Family, possible: Possible | None = None) -> list[str]:
    """Return paths of facts that conflict, in the order of the case.

    They conflict where it is not `possible` (left out: for all of them to be true) given them.
    No fact of the set can be left out.  Where few facts are in play, no other conflicting set
    is smaller either.
    """
    possible = possible or _together(family)
    paths = [fact.path for fact in family.facts]
    found = _irreducible(possible, paths)
    for size in range(1, len(found)):
        if comb(len(paths), size) > _MOST_TRIES:
            break
        for few in combinations(paths, size):
            if not possible(few):
                return list(few)
    return [path for path in paths if path in set(found)]


def enough_alone(
    family: Family, conflict: Collection[str], possible: Possible | None = None
) -> list[str]:
    """Return those of these facts without which all the other facts of the family can be true.

    Where other facts conflict as well there may be none; `possible` as `conflicting_facts`.
    """
    possible = possible or _together(family)
    paths = [fact.path for fact in family.facts]
    return [one for one in conflict if possible([path for path in paths if path != one])]


def _together(family: Family) -> Possible:
    return lambda paths: make_network(family, set(paths)).possible


def _irreducible(possible: Possible, paths: list[str]) -> list[str]:
    """Halve and conquer: the facts of one half that conflict with what must be kept."""

    def needed(kept: list[str], fresh: bool, candidates: list[str]) -> list[str]:
        if fresh and not possible(kept):
            return []
        if len(candidates) == 1:
            return candidates
        half = len(candidates) // 2
        left, right = candidates[:half], candidates[half:]
        of_right = needed(kept + left, bool(left), right)
        of_left = needed(kept + of_right, bool(of_right), left)
        return of_left + of_right

    return needed([], False, paths) if paths else []
