"""Sums of products, exactly: messages inward along a plan, and outward again.

Tables are flat lists of numbers (see `risk.inference.arithmetic`), the last axis running
fastest.  One pass inward gives the total; one outward gives every marginal.  The outward pass
takes a bucket's own message out of its parent's table by dividing, which is always exact: the
message is a common factor of the entries it was multiplied into.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Sequence
from fractions import Fraction
from math import frexp, gcd, ldexp, prod
from operator import add, floordiv, mul, truediv
from typing import Any, NamedTuple

from risk.inference.arithmetic import Term
from risk.inference.plan import Places, Plan, Scope, index_map, positions_of, sums_of_runs

#: Tables of floats with a largest number between these stay as they are, and the product of so
#: many of them too.
_LOW, _HIGH = 1e-6, 1e6
MANY = 16

#: A flat table of int, float or Term, which nothing changes once it is made.
Table = list[Any] | tuple[Any, ...]


class Arithmetic(NamedTuple):
    """How tables are kept short and divided.

    `shorten(table)` returns the table divided by a positive number, and that number (None for
    1); `divide(a, b)` is a / b where b is not zero.  `shorten_outward` tells whether messages
    are shortened on their way outward too.
    """

    shorten: Callable[[Table], tuple[Table, Any]]
    divide: Callable[[Any, Any], Any]
    shorten_outward: bool = True


def _shorten_integers(table: Table) -> tuple[Table, int | None]:
    common = gcd(*table)
    if common > 1:
        return [value // common for value in table], common
    return table, None


def _shorten_floats(table: Table) -> tuple[Table, Fraction | None]:
    largest = max(table)
    if not largest or _LOW < largest < _HIGH:
        return table, None
    power = frexp(largest)[1]
    # A power of two costs no digit, and many of them have a product that is beyond floats.
    return [ldexp(value, -power) for value in table], Fraction(2) ** power


def _shorten_terms(table: Table) -> tuple[Table, Term | None]:
    present = [value for value in table if value]
    if not present:
        return table, None
    orders = [value.order if isinstance(value, Term) else 0 for value in present]
    numbers: list[Any] = [
        value.coefficient if isinstance(value, Term) else value for value in present
    ]
    lowest, common = min(orders), gcd(*numbers)
    if common == 1 and not lowest:
        return table, None
    return [
        Term(value.order - lowest, value.coefficient // common)
        if isinstance(value, Term)
        else Term(-lowest, value // common)
        for value in table
    ], Term(lowest, common)


def _divide_terms(top: Term | int, bottom: Term | int) -> Term | int:
    if not isinstance(top, Term) and not isinstance(bottom, Term):
        return top // bottom
    top = top if isinstance(top, Term) else Term(0, top)
    bottom = bottom if isinstance(bottom, Term) else Term(0, bottom)
    return Term(top.order - bottom.order, top.coefficient // bottom.coefficient)


# Whole numbers hardly grow on the way outward (by what was divided out below), while a gcd of
# thousands of digits costs more than all the rest: 3 s of 5 for 3,000 people.
EXACT = Arithmetic(_shorten_integers, floordiv, shorten_outward=False)
FLOAT = Arithmetic(_shorten_floats, truediv)
LEADING = Arithmetic(_shorten_terms, _divide_terms)
#: Only tells possible from impossible: every positive number becomes 1.
POSSIBLE = Arithmetic(
    lambda table: ([1 if value else 0 for value in table], None),
    floordiv,
)


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
            crowded = len(children) > MANY and self._arithmetic is FLOAT
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


def quotient(top: Any, bottom: Any) -> Fraction | float | Term:
    """Return top / bottom as a fraction, a float or a leading term."""
    if isinstance(top, Term) or isinstance(bottom, Term):
        upper = top if isinstance(top, Term) else Term(0, top)
        lower = bottom if isinstance(bottom, Term) else Term(0, bottom)
        return Term(upper.order - lower.order, Fraction(upper.coefficient) / lower.coefficient)
    if isinstance(top, float) or isinstance(bottom, float):
        return float(top / bottom)
    return Fraction(top, bottom)


def ratio(top: Any, bottom: Any) -> Fraction | float:
    """Return the probability top / bottom; of two leading terms it is the limit."""
    value = quotient(top, bottom)
    if isinstance(value, Term):
        return Fraction(0) if value.order > 0 else Fraction(value.coefficient)
    return value
