"""How two people are related: the lines of descent that join them, and the coefficient F.

F, the inbreeding coefficient of their child, is the chance that both its copies of a gene descend
from one and the same copy of an ancestor's: the sum over the paths through common ancestors of
(1/2)^n (1 + F of the ancestor), with n people on the path.  Derived here: each of the n - 1 others
passes on the copy that came down the path with 1/2, and the two that the ancestor passed on are
the same copy with 1/2 or else alike by descent with F, together (1 + F)/2.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

from risk.inference.plan import Scope
from risk.model.family import Family
from risk.wording.phrases import joined, number_word, power
from risk.workings.naming import Naming

#: Lines of descent between two people beyond which nobody follows them one by one.
_MOST_PATHS = 8


@dataclass(frozen=True, slots=True)
class Kinship:
    """`paths` lead from one person up to an ancestor and down to the other; F is of their child."""

    ancestors: Scope
    paths: tuple[Scope, ...]
    coefficient: Fraction

    @property
    def plain(self) -> bool:
        """Tell whether no common ancestor's own parents are related."""
        return self.coefficient == sum(Fraction(1, 2) ** len(path) for path in self.paths)


def kinship(family: Family, one: int, two: int) -> Kinship | None:
    """Return how two people are related.

    None where they are not, or in too many ways to tell, or where twins may be identical.
    """
    if one == two or family.pairs:
        return None
    lines = [_lines(family, person) for person in (one, two)]
    if None in lines:
        return None
    paths, ancestors = [], []
    coefficient = Fraction(0)
    for up, down in product(*[each or () for each in lines]):
        if up[-1] != down[-1] or set(up) & set(down) != {up[-1]}:
            continue
        own = _inbreeding(family, up[-1])
        if own is None:
            return None
        paths.append((*up, *reversed(down[:-1])))
        ancestors.append(up[-1])
        coefficient += Fraction(1, 2) ** len(paths[-1]) * (1 + own)
    if not paths or len(paths) > _MOST_PATHS:
        return None
    in_order = tuple(sorted(paths, key=_shortest_first))
    return Kinship(tuple(sorted(set(ancestors))), in_order, coefficient)


def _shortest_first(path: Scope) -> tuple[int, Scope]:
    return len(path), path


def _lines(family: Family, person: int) -> list[Scope] | None:
    """Return all lines from a person upwards, each to one ancestor; None where they are many."""
    lines: list[Scope] = [(person,)]
    for line in lines:
        lines += [(*line, parent) for parent in family.parents[line[-1]]]
        if len(lines) > 200:
            return None
    return lines


def _inbreeding(family: Family, person: int) -> Fraction | None:
    """Return a person's own F; None where it is too much to tell."""
    parents = family.parents[person]
    if len(parents) != 2:
        return Fraction(dict(family.founders).get(person, 0))
    found = kinship(family, *parents)
    return found.coefficient if found else Fraction(0)


def sharing_both(family: Family, one: int, two: int) -> list[list[tuple[Scope, Fraction]]]:
    """Return the ways in which both copies of two people can be the same two by descent.

    Of each way: a parent of either, twice, and the chance that what these two pass on is the same.
    """
    mine, others = family.parents[one], family.parents[two]
    if len(mine) != 2 or len(others) != 2:
        return []
    pairings = [[*zip(mine, theirs, strict=True)] for theirs in (others, others[::-1])]
    ways: list[list[tuple[Scope, Fraction]]] = [
        [(pair, _passing_alike(family, *pair)) for pair in sorted(way)] for way in pairings
    ]
    return [way for way in ways if all(chance for _, chance in way)]


def _passing_alike(family: Family, one: int, two: int) -> Fraction:
    """Return the chance that what two people pass on descends from one and the same copy."""
    if one == two:
        return (1 + (_inbreeding(family, one) or 0)) * Fraction(1, 2)
    found = kinship(family, one, two)
    return found.coefficient if found else Fraction(0)


def _sum_of_paths(paths: Sequence[Scope]) -> str:
    """Return the sum that F is, alike paths together: ``2 × (1/2)⁵``."""
    lengths = sorted(Counter(map(len, paths)).items())
    return " + ".join(
        f"{number} × {power('(1/2)', length)}" if number > 1 else power("(1/2)", length)
        for length, number in lengths
    )


def ancestors_in_words(words: Naming, related: Kinship) -> str:
    """Name common ancestors: ``ancestors I-1 and I-2``."""
    noun = "ancestor" if len(related.ancestors) == 1 else "ancestors"
    return f"{noun} {joined(words.names(related.ancestors))}"


def lines_of(words: Naming, related: Kinship) -> str:
    """Tell along which paths two people are related, and what F follows for their child."""
    first = related.paths[0]
    path = " - ".join([words.who(each) for each in first])
    others = len(related.paths) - 1
    more = f"{number_word(others)} other paths" if others > 1 else "other path"
    also = f" (and so on the {more})" if others else ""
    own = "" if related.plain else ", more where an ancestor's own parents are related"
    return (
        f"A copy that the one passes on and a copy that the other does descend from one and "
        f"the same copy of an ancestor's with chance F: on the path {path} each of the "
        f"{number_word(len(first))} people adds a factor of 1/2{also}, so that "
        f"F = {_sum_of_paths(related.paths)}{own} = {related.coefficient}"
    )
