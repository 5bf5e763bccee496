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

from risk.inference.eliminate import Arithmetic, Table, project, summed
from risk.inference.plan import Places, Plan, Scope, index_map, positions_of

#: Evidence as a set of bits, one a fact.
Bits = int
#: For each entry of a table the entry of a smaller one (None: the same).
Mapping = Places | None


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


def _times(one: Total, other: Message, mapping: Mapping) -> Total:
    """Return the product of a bucket's table and a message, whose entries `mapping` tells."""
    table, top, bottom = one
    values, more, less = other
    if values is not None:
        table = list(map(mul, table, values if mapping is None else mapping.spread(values)))
    return Total(table, top if more == 1 else top * more, bottom if less == 1 else bottom * less)


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
        self._plan = plan
        self._scopes = scopes
        self._factor = factor
        self._arithmetic = arithmetic
        buckets = plan.buckets
        self._shapes = [
            tuple([plan.sizes[variable] for variable in bucket.scope]) for bucket in buckets
        ]
        #: Facts of the bucket's own factors, of its subtree, and of the rest of its tree.
        self._own: list[Bits] = [0] * len(buckets)
        self._inside: list[Bits] = [0] * len(buckets)
        self._outside: list[Bits] = [0] * len(buckets)
        #: Where each entry of a bucket's table is in the message that goes up from a child.
        self._from_child: list[Mapping] = [None] * len(buckets)
        #: Where each entry of a bucket's table is in the message that comes down to it.
        self._from_parent: list[Mapping] = [None] * len(buckets)
        for place, bucket in enumerate(buckets):
            for index in bucket.factors:
                self._own[place] |= parts[index]
            self._inside[place] |= self._own[place]
            if bucket.parent is not None:
                # Children come before their parents in a plan.
                self._inside[bucket.parent] |= self._inside[place]
                self._from_child[place] = self._map(bucket.parent, bucket.scope[1:])
                self._from_parent[place] = self._map(place, bucket.scope[1:])
        once = shared = 0
        for part in parts:
            once, shared = once | part, shared | once & part
        self._roots = [place for place, bucket in enumerate(buckets) if bucket.parent is None]
        self._root_of = list(range(len(buckets)))
        for place in reversed(range(len(buckets))):
            parent = buckets[place].parent
            if parent is not None:
                self._root_of[place] = self._root_of[parent]
            everything = self._inside[self._root_of[place]]
            self._outside[place] = everything & (~self._inside[place] | shared)
        self._potentials: dict[tuple[int, Bits], Total] = {}
        self._upward: dict[tuple[int, Bits], Message] = {}
        self._downward: dict[tuple[int, Bits], Message] = {}

    def joint(self, variables: Scope, facts: Bits) -> Total:
        """Return the total over `variables`, which share a bucket, under these facts.

        The table is flat in the order of `variables`, the last running fastest.
        """
        place = self._bucket(variables)
        table, top, bottom = self._around(place, facts)
        for root in self._roots:
            if root != self._root_of[place]:
                other, more, less = self._up(root, facts)
                top, bottom = top * more * (1 if other is None else other[0]), bottom * less
        return Total(project(table, self._shapes[place], self._at(place, variables)), top, bottom)

    def together(self, variables: Scope) -> bool:
        """Tell whether these variables share a bucket."""
        return set(variables) <= set(self._plan.buckets[self._bucket(variables)].scope)

    def _bucket(self, variables: Scope) -> int:
        """Return the one bucket that all of some variables can share."""
        bucket_of = self._plan.bucket_of
        return min([bucket_of[variable] for variable in variables])

    def _at(self, place: int, part: Scope) -> tuple[int, ...]:
        """Return where some of a bucket's variables stand in its scope."""
        return positions_of(self._plan.buckets[place].scope, part)

    def _map(self, place: int, part: Scope) -> Mapping:
        """Map each entry of a bucket's table to that of a table over some of its variables."""
        return index_map(self._shapes[place], self._at(place, part))

    def _potential(self, place: int, facts: Bits) -> Total:
        """Return the product of a bucket's own factors."""
        key = (place, facts & self._own[place])
        found = self._potentials.get(key)
        if found is None:
            table: Table | None = None
            bottom: Any = 1
            for index in self._plan.buckets[place].factors:
                values, denominator = self._factor(index, key[1])
                mapping = self._map(place, self._scopes[index])
                if mapping is not None:
                    values = mapping.spread(values)
                table = values if table is None else list(map(mul, table, values))
                bottom = bottom * denominator
            if table is None:
                table = [1] * prod(self._shapes[place])
            found = self._potentials[key] = Total(table, 1, bottom)
        return found

    def _below(self, place: int, facts: Bits, without: int | None = None) -> Total:
        """Return the product of a bucket's factors and messages, but the child `without`'s."""
        found = self._potential(place, facts)
        upward, inside, mappings = self._upward, self._inside, self._from_child
        for child in self._plan.buckets[place].children:
            if child != without:
                message = upward.get((child, facts & inside[child])) or self._up(child, facts)
                found = _times(found, message, mappings[child])
        return found

    def _around(self, place: int, facts: Bits, without: int | None = None) -> Total:
        """As `_below`, with the message from the parent as well."""
        found = self._below(place, facts, without)
        if self._plan.buckets[place].parent is None:
            return found
        return _times(found, self._down(place, facts), self._from_parent[place])

    def _shortened(self, table: Table, top: Any, bottom: Any) -> Message:
        table, divisor = self._arithmetic.shorten(table)
        if divisor is not None:
            top = top * divisor
        return Message(None if table.count(1) == len(table) else table, top, bottom)

    def _up(self, place: int, facts: Bits) -> Message:
        """Return the message from a bucket to its parent; of a root, the total."""
        upward, inside, buckets = self._upward, self._inside, self._plan.buckets
        found = upward.get((place, facts & inside[place]))
        if found is not None:
            return found
        waiting = [place]
        while waiting:
            next_ = waiting[-1]
            missing = [
                child
                for child in buckets[next_].children
                if (child, facts & inside[child]) not in upward
            ]
            if missing:
                waiting += missing
                continue
            waiting.pop()
            table, top, bottom = self._below(next_, facts)
            length = len(table) // self._shapes[next_][0]
            message = table[:length]
            for start in range(length, len(table), length):
                message = list(map(add, message, table[start : start + length]))
            found = self._shortened(message, top, bottom)
            upward[next_, facts & inside[next_]] = found
        assert found is not None, "the last one made"
        return found

    def _down(self, place: int, facts: Bits) -> Message:
        """Return the message from its parent to a bucket."""
        downward, outside, buckets = self._downward, self._outside, self._plan.buckets
        path = []
        next_, parent = place, buckets[place].parent
        while parent is not None and (next_, facts & outside[next_]) not in downward:
            path.append(next_)
            next_, parent = parent, buckets[parent].parent
        for child in reversed(path):
            parent = buckets[child].parent
            assert parent is not None, "roots are not on the path"
            table, top, bottom = self._around(parent, facts, child)
            mapping = self._from_child[child]
            if mapping is not None:
                table = summed(table, mapping, prod(self._shapes[child][1:]))
            downward[child, facts & outside[child]] = self._shortened(table, top, bottom)
        return downward[place, facts & outside[place]]
