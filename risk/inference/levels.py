"""Messages in floats, thousands of buckets at a time: for families of thousands of people.

The buckets of a plan are sorted by level: those without children, those whose children are all
of the first level, and so on.  A large family has few levels, and the tables of one level are one
numpy array here, a row a bucket.  So that they have one shape every variable gets as many states
as the one with most, and small tables get further variables; what states they do not have weigh
nothing.  All that is multiplied into a table, factors and messages, lies in one flat array, and is
picked from there entry by entry.

10,000 people take less than half the time of `risk.inference.eliminate.Passing`, which is plainer,
exact where that is asked for, and faster for small families and where levels are many and narrow.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce
from itertools import chain, islice
from typing import Any, NamedTuple

import numpy

from risk.inference.arithmetic import FLOATS_UNSHORTENED, Table
from risk.inference.eliminate import project
from risk.inference.plan import Plan, Scope, positions_of

Array = numpy.ndarray[Any, Any]

#: Buckets that a level must have on average.
_ENOUGH = 50
#: Entries of the largest table, when all variables have the most states.
_LARGEST = 3**5
#: Tables over fewer variables are brought to so many: parents and a child.
_USUAL_WIDTH = 3


class _Block(NamedTuple):
    """Buckets of one level with tables over `width` variables: a range of rows.

    `arrivals` are multiplied in: `times[0]` of them are the first of each row, then come
    `times[1]`, the second of the rows that have two, which stand before those that have one.
    """

    width: int
    rows: slice
    arrivals: slice
    times: list[int]


class Levels(NamedTuple):
    """The buckets of a plan as rows of arrays, and the level of each.

    `inside` has the variables of a bucket's table, filled up with -1, and `above` the place of
    the bucket that gets its message; at a root, the number of buckets.
    """

    inside: Array
    above: Array
    levels: list[int]


def levels_of(plan: Plan) -> Levels | None:
    """Return the levels of the buckets, where `LevelPassing` suits them.

    None where tables are large, or levels many for the number of buckets.
    """
    if plan.widened > _LARGEST:
        return None
    count = len(plan.scopes)
    inside = _padded(plan.scopes)
    above = _place_of(plan)[inside[:, 1:]].min(axis=1, initial=count)
    levels = [0] * (count + 1)  # the last is above the roots
    for place, parent in enumerate(above.tolist()):
        if levels[parent] <= levels[place]:
            levels[parent] = levels[place] + 1
    del levels[-1]
    return Levels(inside, above, levels) if count >= _ENOUGH * max(levels) else None


class LevelPassing:
    """As `risk.inference.eliminate.Passing`, in floats; `found` are the plan's `levels_of`."""

    def __init__(
        self,
        plan: Plan,
        scopes: Sequence[Scope],
        tables: Sequence[Table],
        found: Levels,
    ) -> None:
        if not all(scopes):
            tables = [table for table, scope in zip(tables, scopes, strict=True) if scope]
            scopes = [scope for scope in scopes if scope]
        self._plan = plan
        self._size = max(plan.sizes)
        inside, above, levels = found
        own_widths = (inside >= 0).sum(axis=1)
        #: Variables of each bucket's table, with those that bring it to its width.
        self._widths = numpy.maximum(own_widths, min(_USUAL_WIDTH, inside.shape[1]))
        self._arrange(inside, own_widths, above, scopes, tables, numpy.array(levels))
        self._tables: list[Array] = []
        self._beliefs: list[Array] = []
        self._marginals: list[Table] | None = None
        self.roots: list[float] = []
        self.divided: list[float] = []
        self._pass_inward()

    def _arrange(
        self,
        inside: Array,
        own_widths: Array,
        above: Array,
        scopes: Sequence[Scope],
        tables: Sequence[Table],
        levels: Array,
    ) -> None:
        """Lay out factors and messages in one flat array, and tell where they arrive.

        Row i of `inside` has the variables of bucket i, of which there are `own_widths[i]`.
        """
        plan, size = self._plan, self._size
        place_of, nowhere = _place_of(plan), len(plan.scopes)
        parts = _padded(scopes, inside.shape[1])
        factors, factor_starts = self._all_factors(scopes, tables)
        holder = place_of[parts].min(axis=1)

        # How many states a variable has, if no factor tells, and those that fill a table up.
        have = numpy.tril(numpy.ones((size, size))).ravel()
        held = numpy.zeros(len(place_of), bool)
        held[parts] = True
        loose = numpy.flatnonzero(~held[:-1])
        loose_starts = len(factors) + size * (numpy.array(plan.sizes)[loose] - 1)
        axis = numpy.arange(self._widths.max())
        narrow, extra = numpy.nonzero(
            (axis >= own_widths[:, None]) & (axis < self._widths[:, None])
        )

        below = numpy.flatnonzero(above < nowhere)
        bucket = numpy.concatenate((holder, place_of[loose], narrow, above[below]))
        order = self._make_blocks(levels, bucket)

        # Messages lie in the order of rows, so that those of a block are one piece.
        lengths = numpy.empty_like(self._row_of)
        lengths[self._row_of] = size ** (self._widths - 1)
        ends = numpy.cumsum(lengths)
        self._begin = len(factors) + len(have) + ends - lengths
        self._values = numpy.concatenate((factors, have, numpy.empty(ends[-1])))
        self._root_rows = self._row_of[above == nowhere]

        starts = (
            factor_starts,
            loose_starts,
            numpy.full(len(narrow), len(factors)),
            self._begin[self._row_of[below]],
        )
        kinds = (
            self._kinds(_axes(inside[holder], parts), (parts >= 0).sum(axis=1)),
            self._kinds(numpy.zeros((len(loose), 1), int), 1),
            self._kinds(extra[:, None], 1),
            self._kinds(_axes(inside[above[below]], inside[below, 1:]), self._widths[below] - 1),
        )
        self._rows = self._row_of[bucket[order]]
        self._starts = numpy.concatenate(starts)[order]
        self._distinct, place = numpy.unique(numpy.concatenate(kinds), return_inverse=True)
        self._kind_of = place[order]
        #: Over how many variables a message is; 0 of a factor.
        self._sent = numpy.concatenate(
            (numpy.zeros(len(order) - len(below), int), self._widths[below] - 1)
        )[order]

    def _all_factors(self, scopes: Sequence[Scope], tables: Sequence[Table]) -> tuple[Array, Array]:
        """Return all distinct tables, brought to full size, and where each factor's begins."""
        size, size_of = self._size, self._plan.sizes.__getitem__
        names = numpy.fromiter(map(id, tables), int, len(tables))
        _, first, which = numpy.unique(names, return_index=True, return_inverse=True)
        shapes: dict[tuple[int, ...], list[int]] = {}
        for place, index in enumerate(first.tolist()):
            shapes.setdefault(tuple(map(size_of, scopes[index])), []).append(place)
        begin = numpy.empty(len(first), int)
        pieces, start = [], 0
        for shape, places in shapes.items():
            piece = numpy.zeros((len(places), *[size] * len(shape)))
            inner = (slice(None), *[slice(states) for states in shape])
            distinct = [tables[index] for index in first[places]]
            piece[inner] = numpy.array(distinct).reshape(-1, *shape)
            pieces.append(piece.ravel())
            begin[places] = start + piece[0].size * numpy.arange(len(places))
            start += piece.size
        return numpy.concatenate((*pieces, numpy.empty(0))), begin[which]

    def _kinds(self, axes: Array, count: Array | int) -> Array:
        """Code tables over `count` variables whose axes in the bucket's table are `axes`.

        The places of a number, from the lowest: each axis plus 1 (0: none), and last the count.
        """
        base = self._widths.max() + 1
        code = (axes + 1) @ base ** numpy.arange(axes.shape[1])
        return numpy.asarray(code + count * base**base)

    def _offsets(self, width: int) -> Array:
        """Return for each kind where the entries of a bucket's table are in the smaller table."""
        size, base = self._size, int(self._widths.max()) + 1
        states = numpy.indices([size] * width).reshape(width, -1)
        offsets = numpy.zeros((len(self._distinct), size**width), int)
        for row, code in zip(offsets, self._distinct.tolist(), strict=True):
            count, code = divmod(code, base**base)
            while code:
                code, axis = divmod(code, base)
                count -= 1
                if axis <= width:
                    row += states[axis - 1] * size**count
        return offsets

    def _make_blocks(self, levels: Array, bucket: Array) -> Array:
        """Give the buckets rows in blocks, and return in which order arrivals come.

        `bucket[i]` is where the i-th of what is multiplied in arrives.
        """
        counts = numpy.bincount(bucket, minlength=len(levels))
        order = numpy.lexsort((-counts, self._widths, levels))
        self._row_of = numpy.empty(len(order), int)
        self._row_of[order] = numpy.arange(len(order))
        kinds = levels[order] * (self._widths.max() + 1) + self._widths[order]
        starts = numpy.flatnonzero(numpy.diff(kinds, prepend=-1))
        ends = [*starts[1:].tolist(), len(order)]
        block_of = numpy.repeat(numpy.arange(len(starts)), ends - starts)

        # The turn of an arrival: its block, and the how manieth of its row it is.
        counts = counts[order]
        rows = self._row_of[bucket]
        by_row = numpy.argsort(rows, kind="stable")
        rows = rows[by_row]
        turn = numpy.arange(len(rows)) - (numpy.cumsum(counts) - counts)[rows]
        turn += block_of[rows] * numpy.max(counts)
        times = iter(numpy.unique(turn, return_counts=True)[1].tolist())
        self._blocks = []
        begin = 0
        for start, end in zip(starts.tolist(), ends, strict=True):
            own = list(islice(times, int(counts[start])))
            arrivals = slice(begin, begin := begin + sum(own))
            width = int(self._widths[order[start]])
            self._blocks.append(_Block(width, slice(start, end), arrivals, own))
        by_turn: Array = by_row[numpy.argsort(turn, kind="stable")]
        return by_turn

    def _pass_inward(self) -> None:
        size, values = self._size, self._values
        self._offsets_of = {
            width: self._offsets(width) for width in {block.width for block in self._blocks}
        }
        largest_of = numpy.empty(len(self._row_of))
        for block in self._blocks:
            entries = self._offsets_of[block.width][self._kind_of[block.arrivals]]
            entries += self._starts[block.arrivals][:, None]
            entries = values[entries]
            count, *more = block.times
            table, begin = entries[:count], count
            for turn, count in enumerate(more, 1):
                table[:count] *= entries[begin : begin + count]
                begin += count
                if not turn % FLOATS_UNSHORTENED:
                    largest = _largest(table[:count])
                    table[:count] /= largest
                    self.divided += largest.ravel().tolist()
            self._tables.append(table)
            sums = numpy.einsum("ijk->ik", table.reshape(len(table), size, -1))
            largest = largest_of[block.rows, None] = _largest(sums)
            sums /= largest
            begin = self._begin[block.rows.start]
            values[begin : begin + sums.size] = sums.ravel()
        self.divided += largest_of.tolist()
        # Of a root the first entry is the total, which is divided out already.
        self.roots = values[self._begin[self._root_rows]].tolist()

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
        size, values, sizes = self._size, self._values, self._plan.sizes
        outside = numpy.ones_like(values)
        totals = numpy.empty((len(self._row_of), size))
        for block, table in zip(reversed(self._blocks), reversed(self._tables), strict=True):
            begin, count = self._begin[block.rows.start], len(table)
            around = outside[begin : begin + table.size // size].reshape(count, 1, -1)
            belief = table.reshape(count, size, -1) * around
            totals[block.rows] = numpy.einsum("ijk->ij", belief)
            belief = belief.reshape(count, -1)
            self._beliefs.append(belief)
            sent = self._sent[block.arrivals]
            for variables in set(sent.tolist()) - {0}:
                which = block.arrivals.start + numpy.flatnonzero(sent == variables)
                length = size**variables
                entries = self._offsets_of[block.width][self._kind_of[which]]
                entries += length * numpy.arange(len(which))[:, None]
                weights = belief[self._rows[which] - block.rows.start]
                whole = numpy.bincount(entries.ravel(), weights.ravel(), length * len(which))
                whole = whole.reshape(-1, length)
                entries = self._starts[which][:, None] + numpy.arange(length)
                part = values[entries]
                share = numpy.divide(whole, part, out=numpy.zeros_like(part), where=part > 0)
                share /= _largest(share)
                outside[entries] = share
        self._beliefs.reverse()
        rows = totals[self._row_of[numpy.array(self._plan.bucket_of)]].tolist()
        return [
            row if states == size else row[:states] for row, states in zip(rows, sizes, strict=True)
        ]

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
        scope, row = self._plan.scopes[place], self._row_of[place]
        shape = tuple([self._plan.sizes[variable] for variable in scope])
        index = next(i for i, block in enumerate(self._blocks) if row < block.rows.stop)
        block, beliefs = self._blocks[index], self._beliefs[index]
        belief = beliefs[row - block.rows.start].reshape([self._size] * block.width)
        extra = [0] * (block.width - len(scope))
        states = (*map(slice, shape), *extra)
        table = belief[states].ravel().tolist()
        return project(table, shape, positions_of(scope, variables))


def _place_of(plan: Plan) -> Array:
    """Return the place of each variable's bucket, and last that of -1: after all buckets."""
    return numpy.array([*plan.bucket_of, len(plan.scopes)])


def _padded(scopes: Sequence[Scope], width: int | None = None) -> Array:
    """Return scopes as rows of an array, filled up with -1."""
    lengths = numpy.array(list(map(len, scopes)), int)
    rows: Array = numpy.full((len(scopes), width or lengths.max()), -1)
    filled = numpy.arange(rows.shape[1]) < lengths[:, None]
    rows[filled] = numpy.fromiter(chain.from_iterable(scopes), int, lengths.sum())
    return rows


def _axes(inside: Array, parts: Array) -> Array:
    """Return where the variables of each row of `parts` are in that of `inside`; -1 for -1."""
    equal = inside[:, None, :] == parts[:, :, None]
    return numpy.where(parts < 0, -1, equal.argmax(axis=2))


def _largest(rows: Array) -> Array:
    """Return the largest number of each row, as a column; 1 where all are zero."""
    # Column by column: in a quarter of the time of `rows.max(axis=1)`.
    largest = reduce(numpy.maximum, rows.T)
    return numpy.where(largest == 0, 1, largest)[:, None]
