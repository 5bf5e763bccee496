"""Sums of products, exactly: messages inward along a plan, and outward again.

Tables are flat lists of numbers (see `risk.inference.arithmetic`), the last axis running
fastest.  One pass inward gives the total; one outward gives every marginal.  The outward pass
takes a bucket's own message out of its parent's table by dividing, which is always exact: the
message is a common factor of the entries it was multiplied into.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from math import prod
from operator import add, mul
from typing import Any

from risk.inference.arithmetic import FLOAT, FLOATS_UNSHORTENED, Arithmetic, Table
from risk.inference.plan import Places, Plan, Scope, index_map, positions_of, sums_of_runs


class Passing:
    """Messages passed inward on construction, outward as far as the marginals asked for need."""

    def __init__(
        self,
        plan: Plan,
        scopes: Sequence[Scope],
        tables: Sequence[Table],
        arithmetic: Arithmetic,
    ) -> None:
        self._plan = plan
        self._arithmetic = arithmetic
        self._potentials: list[Table] = []
        #: Message of each bucket to its parent; None where it says nothing: all ones.
        self._messages: list[Table | None] = []
        #: Table of each bucket with all messages, from inside and outside, once it was needed.
        self._beliefs: list[Table | None] = [None] * len(plan.buckets)
        #: Where each entry of the parent's table is in a bucket's message (None: the same place).
        self._places_above: list[Places | None] = [None] * len(plan.buckets)
        #: Table, message and divisor of buckets that hold one factor only, by what they depend
        #: on: many relatives without children differ in nothing.
        self._alike: dict[Hashable, tuple[Table, Table | None, Any]] = {}
        #: Total for each state of each variable, once it was needed, and those shared likewise.
        self._marginals: list[Table | None] = [None] * len(plan.sizes)
        self._shared: dict[Hashable, Table] = {}
        #: Beliefs summed over all but the variables that a message is about.
        self._sums: dict[tuple[int, Scope], Table] = {}
        #: The total of each tree of buckets.
        self.roots: list[Any] = []
        #: All that was divided out on the way inward.
        self.divided: list[Any] = []
        self._inward(scopes, tables)

    @property
    def possible(self) -> bool:
        """Whether the total is more than zero."""
        return all(self.roots)

    def _inward(self, scopes: Sequence[Scope], tables: Sequence[Table]) -> None:
        plan, shorten, messages = self._plan, self._arithmetic.shorten, self._messages
        buckets, above = plan.buckets, self._places_above
        potentials, kept = self._potentials, self._alike
        for scope, shape, parent, factors, children in buckets:
            key = None
            if not children and len(factors) == 1 and parent is not None:
                factor, part = tables[factors[0]], scopes[factors[0]]
                key = (id(factor), shape, None if part == scope else positions_of(scope, part))
                found = kept.get(key)
                if found is not None:
                    potential, message, divisor = found
                    potentials.append(potential)
                    messages.append(message)
                    if divisor is not None:
                        self.divided.append(divisor)
                    continue
            table: Table | None = None
            for index in factors:
                factor = tables[index]
                mapping = _mapping(shape, scope, scopes[index])
                if mapping is not None:
                    factor = mapping.spread(factor)
                table = factor if table is None else list(map(mul, table, factor))
            # Whole numbers stay as they are: on the way outward messages are divided out again.
            crowded = len(children) > FLOATS_UNSHORTENED and self._arithmetic is FLOAT
            for child in children:
                message = messages[child]
                mapping = above[child] = _mapping(shape, scope, buckets[child].scope[1:])
                if message is not None:
                    factor = message if mapping is None else mapping.spread(message)
                    table = factor if table is None else list(map(mul, table, factor))
                if crowded and table is not None:
                    table, divisor = shorten(table)
                    if divisor is not None:
                        self.divided.append(divisor)
            if table is None:
                table = [1] * prod(shape)
            potentials.append(table)
            if parent is None:
                self.roots.append(sum(table))
                messages.append([])
                continue
            length = len(table) // shape[0]
            if length == 1:
                message = [sum(table)]
            else:
                message = table[:length]
                for start in range(length, len(table), length):
                    message = list(map(add, message, table[start : start + length]))
            message, divisor = shorten(message)
            if divisor is not None:
                self.divided.append(divisor)
            if message.count(1) == length:
                message = None
            messages.append(message)
            if key is not None:
                kept[key] = table, message, divisor

    def marginals(self) -> list[Table]:
        """Return `marginal` of every variable."""
        self._pass_outward(range(len(self._beliefs) - 1, -1, -1))
        return self._marginals  # type: ignore[return-value]

    def marginal(self, variable: int) -> Table:
        """Return the total for each state of `variable`, up to one common positive factor.

        Variables with the same one factor and the same neighbours share one list.
        """
        found = self._marginals[variable]
        if found is None:
            self._pass_outward(self._path(self._plan.bucket_of[variable]))
            found = self._marginals[variable]
            assert found is not None, "just made"
        return found

    def joint(self, variables: Scope) -> Table:
        """Return the totals over `variables` (a group or the last ones of the plan), up to a
        common factor.

        The table is flat in the order of `variables`, the last running fastest.
        """
        place = min([self._plan.bucket_of[variable] for variable in variables])
        bucket = self._plan.buckets[place]
        self._pass_outward(self._path(place))
        belief = self._beliefs[place]
        if belief is None:
            potential, outside = self._potentials[place], self._outside(place)
            belief = list(map(mul, potential, outside * bucket.shape[0]))
        return project(belief, bucket.shape, positions_of(bucket.scope, variables))

    def _path(self, place: int | None) -> list[int]:
        """Return the buckets from the first without a belief down to this one."""
        path = []
        while place is not None and self._beliefs[place] is None:
            path.append(place)
            place = self._plan.buckets[place].parent
        path.reverse()
        return path

    def _pass_outward(self, path: Iterable[int]) -> None:
        """Make the beliefs of these buckets, each after its parent's, and their marginals.

        A bucket that gets no messages needs no belief, which is a table for its variable only.
        """
        buckets, potentials, beliefs = self._plan.buckets, self._potentials, self._beliefs
        marginals, shared = self._marginals, self._shared
        for place in path:
            scope, shape, parent, _, children = buckets[place]
            variable = scope[0]
            if marginals[variable] is not None:
                continue
            belief = potentials[place]
            if parent is not None:
                if not children:
                    key = (id(belief), scope[1:])
                    found = shared.get(key)
                    if found is None:
                        outside = self._outside(place)
                        weighed = map(mul, belief, outside * shape[0])
                        found = shared[key] = sums_of_runs(weighed, len(outside))
                    marginals[variable] = found
                    continue
                belief = list(map(mul, belief, self._outside(place) * shape[0]))
            beliefs[place] = belief
            length = len(belief) // shape[0]
            marginals[variable] = belief if length == 1 else sums_of_runs(belief, length)

    def _outside(self, child: int) -> Table:
        """Return what the belief of its parent holds beside the message of the bucket `child`."""
        scope, _, parent, _, _ = self._plan.buckets[child]
        assert parent is not None, "a root has nothing outside"
        message, mapping = self._messages[child], self._places_above[child]
        outside = self._beliefs[parent]
        assert outside is not None, "parents come first"
        if mapping is not None:
            # Brothers and sisters mostly have this sum in common.
            key = (parent, scope[1:])
            found = self._sums.get(key)
            outside = self._sums[key] = mapping.sums(outside) if found is None else found
        if message is not None:
            divide = self._arithmetic.divide
            if all(message):
                outside = list(map(divide, outside, message))
            else:
                pairs = zip(outside, message, strict=True)
                outside = [divide(whole, part) if part else 0 for whole, part in pairs]
        if self._arithmetic.shorten_outward:
            outside, _ = self._arithmetic.shorten(outside)
        return outside


def _mapping(shape: tuple[int, ...], scope: Scope, part: Scope) -> Places | None:
    """Map each entry of a table over `scope` to that of a table over some of its variables."""
    if part == scope:
        return None
    return index_map(shape, positions_of(scope, part))


def project(table: Table, shape: tuple[int, ...], positions: tuple[int, ...]) -> Table:
    """Sum a table over all axes but those at `positions`, which set the order of the result."""
    mapping = index_map(shape, positions)
    return table if mapping is None else mapping.sums(table)
