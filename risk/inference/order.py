"""Better orders of elimination, where loops interlock and the first order is not good enough.

`risk.inference.plan` takes one greedy order, which is all that most families need.  Here many
are tried, at random but from a seed, and the cheapest is kept.  Variables are bits of whole
numbers, which makes a set of neighbours one number and a try ten times as fast as with sets.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import log2, prod

from risk.inference.plan import Scope

#: How far chance may raise the cost of a variable, as a share, in turn: 0 leaves it the choice
#: between equals only.
_LUCK = (0.0, 0.2, 0.5)


class Ties:
    """The graph of what stands in a common factor, less what can be eliminated at no cost.

    `easy` are variables all of whose neighbours are joined already, in an order in which they
    can go; `hard` is the set of the others, as bits.  `last` stays to the end.
    """

    def __init__(self, sizes: Sequence[int], scopes: Iterable[Scope], last: Scope = ()) -> None:
        self.sizes = sizes
        self.near = [0] * len(sizes)
        for scope in (*scopes, last):
            together = 0
            for variable in scope:
                together |= 1 << variable
            for variable in scope:
                self.near[variable] |= together & ~(1 << variable)
        self.last = sum(1 << variable for variable in last)
        self.easy: list[int] = []
        self.hard = (1 << len(sizes)) - 1
        self._take_easy(range(len(sizes)))

    def _take_easy(self, candidates: Iterable[int]) -> None:
        near, waiting = self.near, list(candidates)
        while waiting:
            variable = waiting.pop()
            bit = 1 << variable
            if not self.hard & bit or self.last & bit:
                continue
            around = places(near[variable])
            if all(not near[variable] & ~near[other] & ~(1 << other) for other in around):
                self.easy.append(variable)
                self.hard &= ~bit
                for other in around:
                    near[other] &= ~bit
                waiting += around

    def fix(self, variable: int) -> None:
        """Take out a variable whose state is held fixed: it ties nothing together."""
        bit = 1 << variable
        around = places(self.near[variable])
        for other in around:
            self.near[other] &= ~bit
        self.near[variable] = 0
        if self.hard & bit:
            self.hard &= ~bit
            self.easy.append(variable)
        self.last &= ~bit
        self._take_easy(around)

    def tables(self, order: Iterable[int]) -> Iterator[int]:
        """Yield the set of variables of each table made when these are eliminated in turn."""
        near = self.near[:]
        for variable in order:
            around = near[variable]
            yield around | 1 << variable
            for other in places(around):
                near[other] = (near[other] | around) & ~(1 << other) & ~(1 << variable)

    def entries(self, table: int) -> int:
        """Return the number of entries of a table over these variables."""
        return prod([self.sizes[variable] for variable in places(table)])

    def attempt(self, seed: int, limit: float) -> tuple[int, list[int]] | None:
        """Return an order of the hard variables, with the entries of their tables.

        Next is always a variable that ties few others together, weighed by their states.  None
        where the tables would have `limit` entries or more.
        """
        from random import Random  # seldom needed, and slow to load

        dice, luck = Random(seed), _LUCK[seed % len(_LUCK)]
        sizes, near = self.sizes, self.near[:]
        weight = [log2(size) for size in sizes]
        classes: dict[float, int] = {}
        for variable in places(self.hard):
            classes[weight[variable]] = classes.get(weight[variable], 0) | 1 << variable
        kinds = list(classes.items())

        def price(variable: int) -> float:
            around, tied = near[variable], 0.0
            for other in places(around):
                missing = around & ~near[other] & ~(1 << other)
                if missing:
                    ties = sum([each * (missing & kind).bit_count() for each, kind in kinds])
                    tied += weight[other] * ties
            return tied * (1 + luck * dice.random()) + 1e-6 * dice.random()

        prices = {variable: price(variable) for variable in places(self.hard & ~self.last)}
        total, order = 0, []
        while prices:
            variable = min(prices, key=prices.__getitem__)
            del prices[variable]
            around = near[variable]
            around_places = places(around)
            total += sizes[variable] * prod([sizes[other] for other in around_places])
            if total >= limit:
                return None
            order.append(variable)
            changed = around
            for other in around_places:
                near[other] = (near[other] | around) & ~(1 << other) & ~(1 << variable)
                changed |= near[other]
            for other in places(changed & ~self.last):
                prices[other] = price(other)
        return total, order

    def best(self, tries: int, limit: float) -> tuple[int, list[int]] | None:
        """Return the cheapest of some attempts below `limit` entries, if there is one."""
        found = None
        for seed in range(tries):
            better = self.attempt(seed, limit)
            if better is not None:
                found, limit = better, better[0]
        return found


def places(bits: int) -> list[int]:
    """Return the places of the bits of a number, the lowest first."""
    found = []
    while bits:
        low = bits & -bits
        found.append(low.bit_length() - 1)
        bits ^= low
    return found
