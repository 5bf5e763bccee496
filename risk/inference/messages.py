"""Sums of products under any part of the evidence, from one plan.

`risk.inference.eliminate` answers everything about one set of tables.  Here each table may be had
with any part of the evidence, and a message between two buckets is kept under that part of the
evidence which lies behind it.  Asking again with one fact less costs the messages on the way from
that fact to what is asked for; all others are at hand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import prod
from operator import add, mul
from typing import Any, NamedTuple

from risk.inference.arithmetic import FLOAT, FLOATS_UNSHORTENED, Arithmetic, Table, whole_product
from risk.inference.plan import Places, Plan, Scope, index_map, positions_of

#: Evidence as a set of bits, one a fact.
Bits = int
#: For each entry of a table the entry of a smaller one (None: the same).
EntryMap = Places | None


class Message(NamedTuple):
    """A table that stands for ``table * top / bottom``; without a table, all ones."""

    table: Table | None
    top: Any
    bottom: Any


class Total(NamedTuple):
    """A table that stands for ``table * top / bottom``."""

    table: Table
    top: Any
    bottom: Any


class Way(NamedTuple):
    """One of the two ways between two buckets, or from a root to nowhere: its totals.

    The messages that go from bucket `start` depend on the facts `behind`, are kept under these in
    `sent`, and are made with all that arrives there but what comes `back`, which is its place in
    `Messages.arriving`.  `kept` maps each entry of the bucket's table to that of a message; upward
    it is None, the first axis being summed over.  `changes` belongs to `risk.inference.lacking`.
    """

    start: int
    behind: Bits
    sent: dict[Bits, Message]
    changes: dict[Bits, list[Any]]
    back: int
    upward: bool
    kept: EntryMap = None


class Arrival(NamedTuple):
    """The end of a way, and where each entry of the bucket's table is in a message."""

    way: Way
    mapping: EntryMap


class Asked(NamedTuple):
    """Where the joint distribution of some variables is: in the table of bucket `place`."""

    place: int
    kept: EntryMap
    #: The totals of trees of buckets that hold none of the variables.
    others: list[Way]


class Messages:
    """Messages along `plan`, each made when it is first needed.

    `factor(i, bits)` returns the table over `scopes[i]` under these facts, with the product of its
    numbers' denominators; `parts[i]` are the facts that it depends on.
    """

    def __init__(
        self,
        plan: Plan,
        scopes: Sequence[Scope],
        parts: Sequence[Bits],
        factor: Callable[[int, Bits], tuple[Table, Any]],
        arithmetic: Arithmetic,
    ) -> None:
        self.plan = plan
        self.arithmetic = arithmetic
        self._scopes = scopes
        self._factor = factor
        buckets = plan.buckets
        #: Facts of each bucket's own factors, and the products of these by the facts among them.
        self.own: list[Bits] = [0] * len(buckets)
        self._potentials: list[dict[Bits, Total]] = [{} for _ in buckets]
        #: The ways that end at each bucket.
        self.arriving: list[list[Arrival]] = [[] for _ in buckets]
        #: Facts on which several factors depend.
        self.shared: Bits = 0
        self._root_of = list(range(len(buckets)))
        self._totals: dict[int, Way] = {}
        self._asked: dict[Scope, Asked] = {}
        self._lay_ways(parts)

    def _lay_ways(self, parts: Sequence[Bits]) -> None:
        buckets, own, arriving = self.plan.buckets, self.own, self.arriving
        once = shared = 0
        for part in parts:
            once, shared = once | part, shared | once & part
        self.shared = shared
        upward: list[Way] = []
        #: Where each entry of the parent's table is in what a bucket shares with it.
        above: list[EntryMap] = []
        #: The place of each bucket among those of which something arrives at its parent.
        rank = [0] * len(buckets)
        # Children come before their parents in a plan.
        for place, bucket in enumerate(buckets):
            for index in bucket.factors:
                own[place] |= parts[index]
            inside = own[place]
            for below, _ in arriving[place]:
                inside |= below.behind
            # What comes back from the parent will be the last to arrive.
            way = Way(place, inside, {}, {}, len(arriving[place]), upward=True)
            upward.append(way)
            if bucket.parent is None:
                self._totals[place] = way
                above.append(None)
            else:
                at = positions_of(buckets[bucket.parent].scope, bucket.scope[1:])
                above.append(self._map(bucket.parent, at))
                rank[place] = len(arriving[bucket.parent])
                arriving[bucket.parent].append(Arrival(way, above[place]))
        for place, bucket in reversed(list(enumerate(buckets))):
            if bucket.parent is None:
                continue
            root = self._root_of[place] = self._root_of[bucket.parent]
            outside = self._totals[root].behind & (~upward[place].behind | shared)
            back = rank[place]
            way = Way(bucket.parent, outside, {}, {}, back, upward=False, kept=above[place])
            separator = tuple(range(1, len(bucket.scope)))
            arriving[place].append(Arrival(way, self._map(place, separator)))

    def _map(self, place: int, positions: tuple[int, ...]) -> EntryMap:
        """Map each entry of a bucket's table to that of a table over some of its axes."""
        return index_map(self.plan.buckets[place].shape, positions)

    def joint(self, variables: Scope, facts: Bits) -> Total:
        """Return the total over `variables`, which share a bucket, under these facts.

        The table is flat in the order of `variables`, the last running fastest.
        """
        place, kept, others = self.where(variables)
        table, top, bottom = self.product(place, self.arriving[place], facts)
        for way in others:
            other, more, less = self.message(way, facts)
            top, bottom = top * more, bottom * less
            if other is not None:
                top = top * whole_product(other)
        return Total(table if kept is None else kept.sums(table), top, bottom)

    def together(self, variables: Scope) -> bool:
        """Tell whether these variables share a bucket."""
        return set(variables) <= set(self.plan.buckets[self._bucket(variables)].scope)

    def where(self, variables: Scope) -> Asked:
        """Return where the joint distribution of some variables is."""
        asked = self._asked.get(variables)
        if asked is None:
            place = self._bucket(variables)
            at = positions_of(self.plan.buckets[place].scope, variables)
            others = [way for root, way in self._totals.items() if root != self._root_of[place]]
            asked = self._asked[variables] = Asked(place, self._map(place, at), others)
        return asked

    def _bucket(self, variables: Scope) -> int:
        """Return the one bucket that all of some variables can share."""
        bucket_of = self.plan.bucket_of
        return min([bucket_of[variable] for variable in variables])

    def before(self, way: Way) -> list[Arrival]:
        """Return what the messages that go a way are made with."""
        # Of thousands of children each way has nearly all the others before it: to keep that
        # list with each would take the square of their number in memory.
        arriving = self.arriving[way.start]
        return arriving[: way.back] + arriving[way.back + 1 :]

    def potential(self, place: int, facts: Bits) -> Total:
        """Return the product of a bucket's own factors."""
        facts &= self.own[place]
        found = self._potentials[place].get(facts)
        if found is None:
            scope, shape, _, factors, _ = self.plan.buckets[place]
            table: Table | None = None
            bottom: Any = 1
            for index in factors:
                values, denominator = self._factor(index, facts)
                mapping = self._map(place, positions_of(scope, self._scopes[index]))
                if mapping is not None:
                    values = mapping.spread(values)
                table = values if table is None else list(map(mul, table, values))
                bottom = bottom * denominator
            if table is None:
                table = [1] * prod(shape)
            found = self._potentials[place][facts] = Total(table, 1, bottom)
        return found

    def product(self, place: int, arriving: Sequence[Arrival], facts: Bits) -> Total:
        """Return the product of a bucket's factors and the messages arriving by some ways."""
        table, top, bottom = self.potential(place, facts)
        crowded = len(arriving) > FLOATS_UNSHORTENED and self.arithmetic is FLOAT
        for way, mapping in arriving:
            message = way.sent.get(facts & way.behind) or self.message(way, facts)
            values, more, less = message
            if values is not None:
                if mapping is not None:
                    values = mapping.spread(values)
                table = list(map(mul, table, values))
            if more != 1:
                top = top * more
            if less != 1:
                bottom = bottom * less
            if crowded:
                table, divisor = self.arithmetic.shorten(table)
                top = top if divisor is None else top * divisor
        return Total(table, top, bottom)

    def message(self, way: Way, facts: Bits) -> Message:
        """Return the message that goes this way under these facts."""
        found = way.sent.get(facts & way.behind)
        if found is not None:
            return found
        waiting = [way]
        while waiting:
            way = waiting[-1]
            arriving = self.before(way)
            missing = [each for each, _ in arriving if facts & each.behind not in each.sent]
            if missing:
                waiting += missing
                continue
            waiting.pop()
            table, top, bottom = self.product(way.start, arriving, facts)
            table, divisor = self.arithmetic.shorten(self.sums(way, table))
            if divisor is not None:
                top = top * divisor
            found = Message(None if table.count(1) == len(table) else table, top, bottom)
            way.sent[facts & way.behind] = found
        assert found is not None, "the last one made"
        return found

    def sums(self, way: Way, table: Table) -> Table:
        """Sum the table of the bucket where a way starts to what goes this way."""
        if not way.upward:
            return table if way.kept is None else way.kept.sums(table)
        length = len(table) // self.plan.buckets[way.start].shape[0]
        sums = table[:length]
        for start in range(length, len(table), length):
            sums = list(map(add, sums, table[start : start + length]))
        return sums
