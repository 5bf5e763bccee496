"""Conditioning: where tables would be too large, a few variables are held fixed.

With some variables fixed the rest ties together less.  The answer is then the sum over the states
of the fixed ones, each a run along a plan with smaller tables.  Nothing is lost by it: the runs'
totals add up exactly.  Time is what it costs, since there are as many runs as combinations of
states.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from itertools import product
from math import ldexp, log2, prod
from operator import mul
from typing import Any, NamedTuple

from risk.inference.arithmetic import FLOAT, POSSIBLE, Arithmetic, Table, product_of_floats
from risk.inference.eliminate import Passing, project
from risk.inference.order import Ties, places
from risk.inference.plan import Plan, Scope, make_plan, positions_of

#: Orders tried at most for a plan, and again after each variable that is fixed.  Of 15 families
#: of 300 and 1,000 people the best of 60 was among the first 40 in 12, and nearly met in the rest.
_TRIES, _TRIES_AFTER_FIXING = 40, 8
#: A try (some hundredths of a second) is worth so much of the largest plan.
_WORTH_A_TRY = 1 / 80
#: Where no table has more entries nothing interlocks to speak of, however many people there are;
#: and to look for other orders takes the square of their number in memory.
_SMALL = 3**5
#: The first order may have so many times the entries allowed; no other helps enough beyond.
_HOPELESS = 10_000
#: The same once `_FEW_TRIES` were made, and while variables are being fixed.
_FEW_TRIES, _FAR = 6, 10
#: A power of two that every float can be multiplied by, more than once.
_LARGEST_POWER = 500


class Conditioned(NamedTuple):
    """A plan with the variables `fixed`, to be run once for each combination of their states.

    `run` is the plan of one run, in which fixed variables have one state; `scopes` are those of
    the factors as it has them.  `groups` are the sets of variables whose joint distribution is
    wanted, and `everyone` tells whether each variable's own is.
    """

    sizes: Sequence[int]
    fixed: Scope
    run: Plan
    scopes: Sequence[Scope]
    groups: tuple[Scope, ...]
    everyone: bool

    @property
    def cost(self) -> int:
        """The number of entries of all tables of all runs."""
        return self.run.cost * prod([self.sizes[variable] for variable in self.fixed])

    @property
    def largest(self) -> int:
        """The number of entries of the largest table."""
        return self.run.largest


class Planned(NamedTuple):
    """A plan, and whether it is `within` the bounds set for it."""

    plan: Plan | Conditioned
    within: bool


def plan_within(
    sizes: Sequence[int],
    scopes: Sequence[Scope],
    groups: Sequence[Scope],
    last: Scope,
    most_entries: float,
    most_work: float,
) -> Planned:
    """Plan so that tables of interlocking variables have at most `most_entries` at a time.

    The further arguments are those of `make_plan`.  Variables are held fixed where it must be,
    and where all runs together then go through at most `most_work` entries.  Where it cannot be
    done, the best plan without is returned as not within.
    """
    plan = make_plan(sizes, scopes, groups, last)
    if plan.widened <= _SMALL:
        return Planned(plan, True)
    tries = min(_TRIES, int(plan.cost / (most_entries * _WORTH_A_TRY)))
    if not tries or plan.largest <= _SMALL:
        return Planned(plan, True)
    ties = Ties(sizes, (*scopes, *groups), last)
    if not ties.hard:
        return Planned(plan, True)
    if plan.cost > _HOPELESS * most_work:
        return Planned(plan, False)
    limit, order = float("inf"), places(ties.hard & ~ties.last)
    for seed in range(tries):
        if seed == _FEW_TRIES and limit > _FAR * most_work:
            break
        better = ties.attempt(seed, limit)
        if better is not None:
            limit, order = better
    other = make_plan(sizes, scopes, groups, last, order=(*ties.easy, *order))
    plan = other if other.cost < plan.cost else plan
    if min(limit, plan.cost) <= most_entries:
        return Planned(plan, True)
    conditioned = _condition(ties, order, scopes, groups, last, most_entries, most_work)
    return Planned(conditioned or plan, conditioned is not None)


def _condition(
    ties: Ties,
    order: list[int],
    scopes: Sequence[Scope],
    groups: Sequence[Scope],
    last: Scope,
    most_entries: float,
    most_work: float,
) -> Conditioned | None:
    """Fix variables, as few as need be; None where all runs together would be too much work."""
    sizes, runs, ends = ties.sizes, 1, last
    fixed: list[int] = []
    while True:
        tables = [(table, ties.entries(table)) for table in ties.tables((*order, *ends))]
        entries = sum([count for _, count in tables])
        if entries <= most_entries:
            break
        if runs * entries > _FAR * most_work:
            return None
        chosen = _most_shortening(sizes, tables)
        fixed.append(chosen)
        runs *= sizes[chosen]
        ties.fix(chosen)
        order = [variable for variable in order if ties.hard >> variable & 1]
        ends = _without(ends, fixed)
        better = ties.best(_TRIES_AFTER_FIXING, entries)
        if better is not None:
            order = better[1]
    made = fix(sizes, scopes, groups, last, fixed, (*ties.easy, *order))
    return made if made.cost <= most_work else None


def fix(
    sizes: Sequence[int],
    scopes: Sequence[Scope],
    groups: Sequence[Scope],
    last: Scope,
    fixed: Sequence[int],
    order: Sequence[int] | None = None,
) -> Conditioned:
    """Plan with these variables fixed; the further arguments are those of `make_plan`."""
    inside = list(sizes)
    for variable in fixed:
        inside[variable] = 1
    cut = [_without(scope, fixed) or scope[:1] for scope in scopes]
    joint = [_without(group, fixed) for group in groups]
    plan = make_plan(inside, cut, joint, _without(last, fixed), order)
    wanted = tuple(dict.fromkeys([group for group in (*groups, last) if group]))
    return Conditioned(sizes, tuple(fixed), plan, cut, wanted, not last)


def _without(scope: Scope, fixed: Sequence[int]) -> Scope:
    return tuple([variable for variable in scope if variable not in fixed])


def _most_shortening(sizes: Sequence[int], tables: Sequence[tuple[int, int]]) -> int:
    """Return the variable that, held fixed, shortens these tables most for its states.

    `tables` are sets of variables, as bits, with their numbers of entries.
    """
    saved: dict[int, float] = {}
    whole = 0
    for table, entries in tables:
        whole += entries
        for variable in places(table):
            if sizes[variable] > 1:
                saved[variable] = saved.get(variable, 0) + entries * (1 - 1 / sizes[variable])
    return max(saved, key=lambda v: (log2(whole / (whole - saved[v])) / log2(sizes[v]), v))


class ConditionedPassing:
    """What `risk.inference.eliminate.Passing` tells, from runs that are made on construction.

    Nothing of a run is kept but its totals, so that memory is that of one run.
    """

    def __init__(
        self,
        plan: Conditioned,
        scopes: Sequence[Scope],
        tables: Sequence[Table],
        arithmetic: Arithmetic,
    ) -> None:
        self._plan = plan
        self._arithmetic = arithmetic
        self._total: Any = 0
        #: The totals are those kept here times two to this power (0 but in floats).
        self._power = 0
        sizes = plan.sizes
        self._marginals: list[list[Any]] = [[0] * size for size in sizes] if plan.everyone else []
        self._joints: dict[Scope, list[Any]] = {
            group: [0] * prod([sizes[variable] for variable in group]) for group in plan.groups
        }
        fixed = set(plan.fixed)
        cuts = [
            (index, _Cut(sizes, scope, fixed))
            for index, scope in enumerate(scopes)
            if not fixed.isdisjoint(scope)
        ]
        inside = list(tables)
        for states in product(*[range(sizes[variable]) for variable in plan.fixed]):
            held = dict(zip(plan.fixed, states, strict=True))
            for index, cut in cuts:
                inside[index] = cut.of(tables[index], held)
            passing = Passing(plan.run, plan.scopes, inside, arithmetic)
            if not passing.possible:
                continue
            if arithmetic is POSSIBLE:
                self._total = 1
                break
            self._add(passing, held)
        #: The total, and what it must be multiplied by besides.
        self.roots: list[Any] = [self._total]
        self.divided: list[Any] = _powers(self._power)

    @property
    def possible(self) -> bool:
        """Whether the total is more than zero."""
        return bool(self._total)

    def marginal(self, variable: int) -> Table:
        """Return the total for each state of `variable`, up to one common positive factor."""
        if self._plan.everyone:
            return self._marginals[variable]
        return self.joint((variable,))

    def marginals(self) -> list[Table]:
        """Return `marginal` of every variable."""
        return [self.marginal(variable) for variable in range(len(self._plan.sizes))]

    def joint(self, variables: Scope) -> Table:
        """Return the totals over `variables` (of one group of the plan), up to a common factor.

        The table is flat in the order of `variables`, the last running fastest.
        """
        sizes, wanted = self._plan.sizes, set(variables)
        if len(variables) == 1 and self._plan.everyone:
            return self._marginals[variables[0]]
        group = next(group for group in self._plan.groups if wanted.issubset(group))
        shape = tuple([sizes[variable] for variable in group])
        return project(self._joints[group], shape, positions_of(group, variables))

    def _add(self, passing: Passing, held: dict[int, int]) -> None:
        """Add what a run gives, each table brought to the run's total."""
        total = self._to_scale(passing)
        divide = self._arithmetic.divide
        self._total = self._total + total
        sizes = self._plan.sizes
        tables = passing.marginals() if self._marginals else []
        for variable, (sums, table) in enumerate(zip(self._marginals, tables, strict=True)):
            if variable in held:
                sums[held[variable]] += total
                continue
            whole = sum(table)
            for state, value in enumerate(table):
                if value:
                    sums[state] += divide(value * total, whole)
        for group, sums in self._joints.items():
            free = tuple([variable for variable in group if variable not in held])
            table = passing.joint(free) if free else [total]
            whole = sum(table)
            states = [
                (held[variable],) if variable in held else range(sizes[variable])
                for variable in group
            ]
            strides = [prod([sizes[v] for v in group[at + 1 :]]) for at in range(len(group))]
            for value, chosen in zip(table, product(*states), strict=True):
                if value:
                    place = sum(map(mul, strides, chosen))
                    sums[place] += divide(value * total, whole)

    def _to_scale(self, passing: Passing) -> Any:
        """Return a run's total on the scale of those before, changing theirs where it must."""
        numbers = (*passing.roots, *passing.divided)
        if self._arithmetic is not FLOAT:
            return prod(numbers)
        total, power = product_of_floats(numbers)
        if not self._total:
            self._power = power
        if power > self._power:
            for table in (*self._marginals, *self._joints.values()):
                table[:] = [ldexp(value, self._power - power) for value in table]
            self._total = ldexp(self._total, self._power - power)
            self._power = power
        return ldexp(total, power - self._power)


class _Cut:
    """How to take from a factor's table the part where some of its variables are held fixed."""

    def __init__(self, sizes: Sequence[int], scope: Scope, fixed: Collection[int]) -> None:
        self._steps: list[tuple[int, int]] = []
        #: Places of the part's entries, before those of the fixed states are added.
        self._places = [0]
        step = prod([sizes[variable] for variable in scope])
        for variable in scope:
            step //= sizes[variable]
            if variable in fixed:
                self._steps.append((variable, step))
            else:
                self._places = [
                    place + step * state
                    for place in self._places
                    for state in range(sizes[variable])
                ]

    def of(self, table: Table, held: Mapping[int, int]) -> Table:
        """Return the part of the table where the fixed variables have these states."""
        start = sum([step * held[variable] for variable, step in self._steps])
        return [table[start + place] for place in self._places]


def _powers(power: int) -> list[float]:
    """Return floats whose product is two to this power."""
    found = []
    while power:
        part = max(-_LARGEST_POWER, min(_LARGEST_POWER, power))
        found.append(2.0**part)
        power -= part
    return found
