"""Planning: in which order to eliminate variables, and what tables that makes.

A plan is made from the shapes alone, before one number is multiplied, so its cost is known in
advance.  Every variable gets one `Bucket`: the table over the variable and those of its
neighbours (in the graph of what stands in a common factor) that are eliminated later.  The
buckets form a forest (a junction tree), along which `risk.inference.eliminate` passes messages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import cached_property, lru_cache, partial
from heapq import heapify, heappop, heappush
from itertools import combinations
from math import prod
from operator import itemgetter
from typing import Any, NamedTuple

#: Neighbourhoods up to this size are tried as already complete before costs are compared.
_SIMPLICIAL_DEGREE = 6
#: Maps are kept for the next table of the same shape up to so many axes, which takes no look at
#: their lengths, or entries.
_FEW_AXES, _LARGEST_KEPT = 3, 3000

Scope = tuple[int, ...]


class Bucket(NamedTuple):
    """The table in which one variable is eliminated.

    `scope` starts with the variable, and `shape` holds the number of states of each; the rest,
    the separator, is shared with the bucket `parent` (None at a root).  `factors` are the
    factors multiplied in here and `children` the buckets whose messages arrive here.
    """

    scope: Scope
    shape: tuple[int, ...]
    parent: int | None
    factors: list[int]
    children: list[int]


class Plan:
    """In which order variables are eliminated, and in which tables.

    `scopes[i]` are the variables of the table in which the i-th variable is eliminated, first;
    `bucket_of[v]` is the place i of variable v, which has `sizes[v]` states.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        scopes: list[Scope],
        bucket_of: list[int],
        factors: Sequence[Scope],
    ) -> None:
        self.sizes = sizes
        self.scopes = scopes
        self.bucket_of = bucket_of
        self._factors = factors

    # What follows from the order is made when it is asked for: messages that go level by level
    # ask for none of it, and for 10,000 people it would take a tenth of the time.

    @cached_property
    def shapes(self) -> list[tuple[int, ...]]:
        """The number of states of each variable of each table."""
        sizes = self.sizes
        return [tuple([sizes[variable] for variable in scope]) for scope in self.scopes]

    @cached_property
    def _entries(self) -> list[int]:
        return list(map(prod, self.shapes))

    @property
    def cost(self) -> int:
        """The number of entries of all tables together."""
        return sum(self._entries)

    @property
    def largest(self) -> int:
        """The number of entries of the largest table."""
        return max(self._entries, default=1)

    @cached_property
    def widened(self) -> int:
        """What `largest` would be at most if all variables had the most states that one has."""
        return int(max(self.sizes, default=1) ** max(map(len, self.scopes), default=0))

    @cached_property
    def buckets(self) -> list[Bucket]:
        """The tables in order of elimination."""
        place_of = self.bucket_of.__getitem__
        parents: list[int | None] = []
        children: list[list[int]] = [[] for _ in self.scopes]
        factors: list[list[int]] = [[] for _ in self.scopes]
        for index, scope in enumerate(self.scopes):
            if len(scope) > 1:
                parent = min(map(place_of, scope[1:]))
                parents.append(parent)
                children[parent].append(index)
            else:
                parents.append(None)
        for index, scope in enumerate(self._factors):
            if scope:
                factors[min(map(place_of, scope))].append(index)
        made = zip(self.scopes, self.shapes, parents, factors, children, strict=True)
        # As `Bucket` of each, in a third of the time.
        return list(map(partial(tuple.__new__, Bucket), made))


def make_plan(
    sizes: Sequence[int],
    scopes: Sequence[Scope],
    groups: Iterable[Scope] = (),
    last: Scope = (),
    order: Iterable[int] | None = None,
) -> Plan:
    """Plan the elimination of all variables, those of `last` after all others.

    `sizes[v]` is the number of states of variable v, `scopes` the variables of each factor, and
    `groups` sets of variables whose joint distribution is wanted (each ends up together in one
    bucket, as does `last`).  Cost: about linear where the graph is a tree of small cliques;
    min-fill where not, or in the `order` given, which names all variables but the last.
    """
    bucket_scopes: list[Scope] = []
    place = [-1] * len(sizes)
    ties = _eliminate_ends((*scopes, *groups, last), last, bucket_scopes, place)
    if len(bucket_scopes) < len(sizes):
        _eliminate_tied(sizes, ties, last, order, bucket_scopes, place)
    return Plan(sizes, bucket_scopes, place, scopes)


def _eliminate_ends(
    scopes: Iterable[Scope],
    kept: Scope,
    bucket_scopes: list[Scope],
    place: list[int],
) -> list[Scope]:
    """Eliminate, as long as there are any, variables that stand in one set only.

    In a family without loops that is everybody: whoever has no children, then parents when their
    children are gone.  What is left of a set stays, unless another is known to hold it.  Returns
    the sets that the other variables are tied by: none where nothing loops.
    """
    sets = dict.fromkeys(scopes)
    left = [scope for scope in sets if len(scope) > 1]
    #: In how many sets each variable stands, and the exclusive or of their numbers: of the one
    #: set where it is only one, without a set of sets for each variable.
    times = [0] * len(place)
    which = [0] * len(place)
    #: How many sets are these variables after one other: children of the same parents.
    after: dict[Scope, int] = {}
    for number, scope in enumerate(left):
        for variable in scope:
            times[variable] += 1
            which[variable] ^= number
        rest = scope[1:]
        after[rest] = after.get(rest, 0) + 1
    # Whoever is kept is never the last of a set.
    for variable in kept:
        times[variable] += len(left) + 2
    waiting = [variable for variable, count in enumerate(times) if count < 2]
    for variable in waiting:  # which grows
        if place[variable] >= 0:
            continue
        place[variable] = len(bucket_scopes)
        if not times[variable]:
            bucket_scopes.append((variable,))
            continue
        number = which[variable]
        scope = left[number]
        if scope[0] == variable:
            rest = scope[1:]
            after[rest] = others = after.get(rest, 1) - 1
        else:
            at = scope.index(variable)
            rest = scope[:at] + scope[at + 1 :]
            scope = (variable, *rest)
            others = after.get(rest, 0)
        bucket_scopes.append(scope)
        if others or len(rest) < 2 or rest in sets:
            left[number] = ()
            for other in rest:
                times[other] -= 1
                which[other] ^= number
                if times[other] < 2:
                    waiting.append(other)
        else:
            left[number] = rest
    return [scope for scope in left if scope]


def _eliminate_tied(
    sizes: Sequence[int],
    ties: Iterable[Scope],
    last: Scope,
    order: Iterable[int] | None,
    bucket_scopes: list[Scope],
    place: list[int],
) -> None:
    """Eliminate the variables that loops tie together, and those of `last`."""
    tied = _Tied(sizes, ties, frozenset(last), bucket_scopes, place)
    tied.eliminate_simplicial(range(len(sizes)))
    if order is not None:
        for variable in order:
            if place[variable] < 0:
                tied.join_neighbours(variable)
                tied.eliminate(variable)
    elif len(bucket_scopes) + len(tied.kept) < len(sizes):
        tied.eliminate_greedily()
    for variable in last:
        tied.eliminate(variable)


class _Tied:
    """The graph of what stands in a common set, while its variables are eliminated.

    Each that goes is added to `bucket_scopes`, and its `place`, -1 before, is set.  Those of
    `kept` only go when told to.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        ties: Iterable[Scope],
        kept: frozenset[int],
        bucket_scopes: list[Scope],
        place: list[int],
    ) -> None:
        self.kept = kept
        self._sizes = sizes
        self._bucket_scopes = bucket_scopes
        self._place = place
        self._neighbours: list[set[int]] = [set() for _ in sizes]
        for scope in ties:
            for variable in scope:
                self._neighbours[variable].update(scope)
                self._neighbours[variable].discard(variable)

    def eliminate(self, variable: int) -> set[int]:
        """Eliminate a variable whose neighbours are all joined; return these."""
        near = self._neighbours[variable]
        self._place[variable] = len(self._bucket_scopes)
        self._bucket_scopes.append((variable, *sorted(near)))
        for other in near:
            self._neighbours[other].discard(variable)
        return near

    def join_neighbours(self, variable: int) -> None:
        """Make neighbours of every two neighbours of a variable."""
        near = self._neighbours[variable]
        for one in near:
            self._neighbours[one] |= near
            self._neighbours[one].discard(one)

    def eliminate_simplicial(self, candidates: Iterable[int]) -> None:
        """Eliminate, as long as there are any, variables whose neighbours are all joined."""
        place, neighbours = self._place, self._neighbours
        ready = list(candidates)
        ready.reverse()
        while ready:
            variable = ready.pop()
            near = neighbours[variable]
            if place[variable] >= 0 or len(near) > _SIMPLICIAL_DEGREE or variable in self.kept:
                continue
            if len(near) < 2 or _joined(near, neighbours):
                ready.extend(self.eliminate(variable))

    def eliminate_greedily(self) -> None:
        """Eliminate the rest, always the variable that ties the fewest others (min-fill)."""
        place, neighbours, cost = self._place, self._neighbours, self._cost
        heap = [
            cost(variable)
            for variable in range(len(place))
            if place[variable] < 0 and variable not in self.kept
        ]
        current = {entry[2]: entry for entry in heap}
        heapify(heap)
        while heap:
            entry = heappop(heap)
            variable = entry[2]
            if place[variable] >= 0 or current[variable] != entry:
                continue
            near = neighbours[variable]
            changed = set(near)
            if entry[0]:
                # Of the others only who knows both ends of a tie that is added ties fewer now.
                for one, other in combinations(near, 2):
                    if other not in neighbours[one]:
                        changed |= neighbours[one] & neighbours[other]
                changed.discard(variable)
                self.join_neighbours(variable)
            self.eliminate(variable)
            for other in changed - self.kept:
                renewed = cost(other)
                if renewed != current[other]:
                    current[other] = renewed
                    heappush(heap, renewed)

    def _cost(self, variable: int) -> tuple[int, int, int]:
        """Return how many ties a variable would add, the entries of its table, and itself."""
        near, sizes = self._neighbours[variable], self._sizes
        ties = sum([len(near & self._neighbours[other]) for other in near])
        missing = (len(near) * (len(near) - 1) - ties) // 2
        return missing, prod([sizes[other] for other in near]) * sizes[variable], variable


def _joined(near: set[int], neighbours: list[set[int]]) -> bool:
    """Tell whether every two of `near` are neighbours."""
    rest = list(near)
    one = rest.pop()
    while rest:
        if not neighbours[one].issuperset(rest):
            return False
        one = rest.pop()
    return True


def positions_of(scope: Scope, part: Scope) -> tuple[int, ...]:
    """Return where the variables of `part` stand in `scope`."""
    return tuple([scope.index(variable) for variable in part])


class Places(tuple[int, ...]):
    """For each entry of a table the place of its entry in a smaller one.

    `spread(smaller)` returns these entries, which is faster than to look them up one by one.
    """

    spread: Callable[[Sequence[Any]], tuple[Any, ...]]
    #: Brings the entries that go to the same place together, in the order of the places.
    _gather: Callable[[Sequence[Any]], Sequence[Any]] | None = None

    def sums(self, table: Sequence[Any]) -> list[Any]:
        """Return the smaller table: the sums of all entries that go to the same place."""
        count = len(self)
        length = self[-1] + 1
        if count > _LARGEST_KEPT:
            sums: list[Any] = [0] * length
            for value, place in zip(table, self, strict=True):
                if value:
                    sums[place] += value
            return sums
        gather = self._gather
        if gather is None:
            order = sorted(range(count), key=self.__getitem__)
            gather = self._gather = tuple if order == list(range(count)) else itemgetter(*order)
        return sums_of_runs(gather(table), count // length)


def sums_of_runs(table: Iterable[Any], length: int) -> list[Any]:
    """Return the sums of each `length` entries, one after the other."""
    # All in C: in a third of the time of adding one by one.
    return list(map(sum, zip(*[iter(table)] * length, strict=True)))


def index_map(sizes: tuple[int, ...], positions: tuple[int, ...]) -> Places | None:
    """Map each entry of a table to that of a smaller one over the axes at `positions`.

    Both tables are flat, the last axis running fastest.  Returns None for the identity.
    """
    if len(sizes) <= _FEW_AXES or prod(sizes) <= _LARGEST_KEPT:
        return _kept_map(sizes, positions)
    return _make_map(sizes, positions)


def _make_map(sizes: tuple[int, ...], positions: tuple[int, ...]) -> Places | None:
    if positions == tuple(range(len(sizes))):
        return None
    strides = [0] * len(sizes)
    stride = 1
    for position in reversed(positions):
        strides[position] = stride
        stride *= sizes[position]
    indices = [0]
    for size, step in zip(sizes, strides, strict=True):
        indices = [index + step * state for index in indices for state in range(size)]
    places = Places(indices)
    # Of one index it would give the entry itself.
    places.spread = itemgetter(*indices) if len(indices) > 1 else tuple
    return places


_kept_map = lru_cache(maxsize=4096)(_make_map)
