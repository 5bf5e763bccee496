"""A smallest set of facts that cannot all be true."""

from __future__ import annotations

from collections.abc import Callable, Collection
from itertools import combinations
from math import comb

from risk.model.family import Family
from risk.model.network import make_network

#: How many sets of facts are tried at most in the search for the fewest.
_MOST_TRIES = 3000


#: Tells whether something can be, given only the facts of these paths.
Possible = Callable[[Collection[str]], bool]


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
