"""Messages in floats, thousands of buckets at a time: for families of thousands of people.

The buckets of a plan are sorted by level: those without children, those whose children are all
of the first level, and so on.  A large family has few levels, and the tables of one level over
as many variables are one numpy array here, a row a bucket.  So that they have one shape every
variable gets as many states as the one with most; the states that it does not have weigh nothing.

10,000 people take less than half the time of `risk.inference.eliminate.Passing`, which is plainer,
exact where that is asked for, and faster for small families and where levels are many and narrow.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain
from typing import Any

import numpy

from risk.inference.eliminate import Table, project
from risk.inference.plan import Plan, Scope, positions_of

Array = numpy.ndarray[Any, Any]

#: Buckets that a level must have on average.
_ENOUGH = 50
#: Entries of the largest table, when all variables have the most states.
_LARGEST = 3**5


@dataclass(slots=True)
class _Arrival:
    """Tables that rows of a block are multiplied by: factors, or messages from below.

    Their axes are those of the block's tables at `axes`.  `starts` tells where each begins in the
    flat array of all factors or messages; those of `rows[i]` are from `first[i]` to the next.
    """

    axes: tuple[int, ...]
    starts: Array
    rows: Array
    first: Array


@dataclass(slots=True)
class _Block:
    """Buckets of one level whose tables have `width` variables: `places[i]` is that of row i.

    `start` is where their messages begin.
    """

    width: int
    places: Array
    start: int
    factors: list[_Arrival]
    messages: list[_Arrival]
    table: Any = None
    belief: Any = None

    @property
    def root(self) -> bool:
        """Whether the buckets have no parent: what has a parent shares a variable with it."""
        return self.width == 1


def levels_of(plan: Plan) -> list[int] | None:
    """Return the level of each bucket, where `LevelPassing` suits them.

    None where tables are large, or levels many for the number of buckets.
    """
    count, most = len(plan.buckets), max(plan.sizes, default=1)
    if most ** max([len(bucket.scope) for bucket in plan.buckets]) > _LARGEST:
        return None
    levels = [0] * count
    for place, bucket in enumerate(plan.buckets):
        parent = bucket.parent
        if parent is not None and levels[parent] <= levels[place]:
            levels[parent] = levels[place] + 1
    return levels if count >= _ENOUGH * max(levels) else None


class LevelPassing:
    """As `risk.inference.eliminate.Passing`, in floats; `levels` are those of the buckets."""

    def __init__(
        self,
        plan: Plan,
        scopes: Sequence[Scope],
        tables: Sequence[Table],
        levels: Sequence[int],
    ) -> None:
        self._plan = plan
        self._size = max(plan.sizes)
        self._scopes = [bucket.scope for bucket in plan.buckets]
        self._row_of = numpy.zeros(len(plan.buckets), int)
        self._block_of = numpy.zeros(len(plan.buckets), int)
        self._blocks = self._make_blocks(numpy.array(levels))
        self._factors = self._arrange(scopes, tables)
        self._marginals: list[Table] | None = None
        self.roots: list[float] = []
        self.divided: list[float] = []
        self._pass_inward()

    def _make_blocks(self, levels: Array) -> list[_Block]:
        """Return the blocks of buckets, each after those of its children."""
        widths = numpy.array(list(map(len, self._scopes)))
        order = numpy.lexsort((widths, levels))
        blocks, start = [], 0
        for index, places in enumerate(self._split(order, levels, widths)):
            width = int(widths[places[0]])
            blocks.append(_Block(width, places, start, [], []))
            start += len(places) * self._size ** (width - 1)
            self._block_of[places] = index
            self._row_of[places] = numpy.arange(len(places))
        self._length = start
        return blocks

    def _arrange(self, scopes: Sequence[Scope], tables: Sequence[Table]) -> Array:
        """Tell each block what arrives there; return the flat array of all distinct factors."""
        plan, size = self._plan, self._size
        inside = self._padded(self._scopes)
        above = numpy.array(
            [-1 if bucket.parent is None else bucket.parent for bucket in plan.buckets]
        )
        below = numpy.flatnonzero(above >= 0)
        starts = numpy.zeros(len(plan.buckets), int)
        for block in self._blocks:
            steps = numpy.arange(len(block.places)) * size ** (block.width - 1)
            starts[block.places] = block.start + steps
        for block, arrival in self._arrivals(
            inside, above[below], inside[below, 1:], starts[below]
        ):
            block.messages.append(arrival)

        holder = numpy.zeros(len(scopes), int)
        for place, bucket in enumerate(plan.buckets):
            for index in bucket.factors:
                holder[index] = place
        # Variables without a factor get one that only says how many states they have.
        held = set().union(*scopes)
        loose = [variable for variable in range(len(plan.sizes)) if variable not in held]
        ones = [[1.0] * states for states in range(size + 1)]
        scopes = [*scopes, *[(variable,) for variable in loose]]
        tables = [*tables, *[ones[plan.sizes[variable]] for variable in loose]]
        holder = numpy.append(holder, [plan.bucket_of[variable] for variable in loose]).astype(int)

        used = [index for index, scope in enumerate(scopes) if scope]
        values, begin = self._all_factors(scopes, tables, used)
        parts = self._padded([scopes[index] for index in used], inside.shape[1])
        for block, arrival in self._arrivals(inside, holder[used], parts, begin):
            block.factors.append(arrival)
        return values

    def _padded(self, scopes: list[Scope], width: int | None = None) -> Array:
        """Return scopes as rows of an array, filled up with -1."""
        lengths = numpy.array(list(map(len, scopes)))
        rows: Array = numpy.full((len(scopes), width or lengths.max()), -1)
        filled = numpy.arange(rows.shape[1]) < lengths[:, None]
        rows[filled] = numpy.fromiter(chain.from_iterable(scopes), int, lengths.sum())
        return rows

    def _all_factors(
        self, scopes: Sequence[Scope], tables: Sequence[Table], used: list[int]
    ) -> tuple[Array, Array]:
        """Return all distinct tables, brought to full size, and where each factor's begins."""
        size, sizes = self._size, self._plan.sizes
        names = [id(tables[index]) for index in used]
        shapes: dict[tuple[int, ...], dict[int, Table]] = {}
        for name, index in dict(zip(names, used, strict=True)).items():
            shape = tuple([sizes[variable] for variable in scopes[index]])
            shapes.setdefault(shape, {})[name] = tables[index]
        begin: dict[int, int] = {}
        pieces, start = [], 0
        for shape, distinct in shapes.items():
            piece = numpy.zeros((len(distinct), *[size] * len(shape)))
            inner = (slice(None), *[slice(states) for states in shape])
            piece[inner] = numpy.array(list(distinct.values())).reshape(-1, *shape)
            pieces.append(piece.ravel())
            for name in distinct:
                begin[name] = start
                start += size ** len(shape)
        return numpy.concatenate(pieces), numpy.array([begin[name] for name in names])

    def _arrivals(
        self, inside: Array, where: Array, parts: Array, starts: Array
    ) -> Iterator[tuple[_Block, _Arrival]]:
        """Yield what arrives at each block, as arrays, with the block.

        A table over the variables `parts[i]`, from `starts[i]` on, arrives at bucket `where[i]`,
        whose scope is a row of `inside`.
        """
        if not len(where):
            return
        # The axis of each variable, and -1 where a row is filled up.
        equal = inside[where][:, None, :] == parts[:, :, None]
        axes = numpy.where(parts < 0, -1, equal.argmax(axis=2))
        code = (axes + 1) @ (inside.shape[1] + 1) ** numpy.arange(axes.shape[1])
        blocks, rows = self._block_of[where], self._row_of[where]
        order = numpy.lexsort((rows, code, blocks))
        for alike in self._split(order, blocks, code):
            one = alike[0]
            at = tuple([int(axis) for axis in axes[one] if axis >= 0])
            own, first = numpy.unique(rows[alike], return_index=True)
            yield self._blocks[blocks[one]], _Arrival(at, starts[alike], own, first)

    def _split(self, order: Array, one: Array, other: Array) -> list[Array]:
        """Split what is sorted by two keys into runs that have both alike."""
        kinds = numpy.stack((one[order], other[order]))
        ends = numpy.flatnonzero((kinds[:, 1:] != kinds[:, :-1]).any(axis=0)) + 1
        runs: list[Array] = numpy.split(order, ends)
        return runs

    def _entries(self, starts: Array, count: int) -> Array:
        """Return the places of the entries of tables over so many variables."""
        return starts[:, None] + numpy.arange(self._size**count)

    def _pass_inward(self) -> None:
        size = self._size
        messages = self._messages = numpy.empty(self._length)
        for block in self._blocks:
            count = len(block.places)
            table = block.table = numpy.ones((count, *[size] * block.width))
            for source, arrivals in (self._factors, block.factors), (messages, block.messages):
                for arrival in arrivals:
                    values = source[self._entries(arrival.starts, len(arrival.axes))]
                    if len(arrival.rows) < len(values):
                        values = numpy.multiply.reduceat(values, arrival.first)
                    values = self._spread(values, arrival.axes, block.width)
                    if len(arrival.rows) == count:
                        table *= values
                    else:
                        table[arrival.rows] *= values
            sums = table.sum(axis=1).reshape(count, -1)
            if block.root:
                self.roots += sums[:, 0].tolist()
                continue
            largest = _largest(sums)
            sums /= largest
            self.divided += largest[:, 0].tolist()
            messages[block.start : block.start + sums.size] = sums.ravel()

    def _spread(self, values: Array, axes: tuple[int, ...], width: int) -> Array:
        """Bring rows of flat tables over some axes to so many, those they lack with one state."""
        tables = values.reshape(-1, *[self._size] * len(axes))
        order = sorted(range(len(axes)), key=axes.__getitem__)
        shape = [self._size if axis in axes else 1 for axis in range(width)]
        return tables.transpose(0, *[1 + at for at in order]).reshape(-1, *shape)

    @property
    def possible(self) -> bool:
        """Whether the total is more than zero."""
        return all(self.roots)

    def marginals(self) -> list[Table]:
        """Return `marginal` of every variable."""
        if self._marginals is None:
            self._marginals = self._pass_outward()
        return self._marginals

    def _pass_outward(self) -> list[Table]:
        """Make the beliefs; return the marginals."""
        size, sizes = self._size, self._plan.sizes
        variables = [scope[0] for scope in self._scopes]
        marginals: list[Table] = [[]] * len(sizes)
        outside = numpy.empty(self._length)
        for block in reversed(self._blocks):
            count, width = len(block.places), block.width
            belief = block.table
            if not block.root:
                around = outside[block.start : block.start + count * size ** (width - 1)]
                belief = belief * around.reshape(count, 1, *[size] * (width - 1))
            block.belief = belief
            totals = belief.reshape(count, size, -1).sum(axis=2).tolist()
            for place, total in zip(block.places.tolist(), totals, strict=True):
                variable = variables[place]
                states = sizes[variable]
                marginals[variable] = total if states == size else total[:states]
            for arrival in block.messages:
                axes = arrival.axes
                others = tuple([1 + at for at in range(width) if at not in axes])
                kept = sorted(axes)
                order = [1 + kept.index(axis) for axis in axes]
                sums = belief.sum(axis=others).transpose(0, *order).reshape(count, -1)
                several = numpy.diff(arrival.first, append=len(arrival.starts))
                whole = sums[numpy.repeat(arrival.rows, several)]
                entries = self._entries(arrival.starts, len(axes))
                part = self._messages[entries]
                share = numpy.divide(whole, part, out=numpy.zeros_like(part), where=part > 0)
                share /= _largest(share)
                outside[entries] = share
        return marginals

    def marginal(self, variable: int) -> Table:
        """Return the total for each state of `variable`, up to one common positive factor."""
        return self.marginals()[variable]

    def joint(self, variables: Scope) -> Table:
        """Return the totals over `variables` (a group or the last ones of the plan), up to a
        common factor.

        The table is flat in the order of `variables`, the last running fastest.
        """
        self.marginals()
        place = min([self._plan.bucket_of[variable] for variable in variables])
        bucket = self._plan.buckets[place]
        belief = self._blocks[self._block_of[place]].belief[self._row_of[place]]
        table = belief[tuple([slice(states) for states in bucket.shape])].ravel().tolist()
        return project(table, bucket.shape, positions_of(bucket.scope, variables))


def _largest(rows: Array) -> Array:
    """Return the largest number of each row, as a column; 1 where all are zero."""
    largest: Array = rows.max(axis=1, keepdims=True)
    largest[largest == 0] = 1
    return largest
