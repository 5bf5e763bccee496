"""The order of people from left to right within each row.

What the walk over the family (`risk.scene.walk`) may choose, that is the order of siblings, the
order within a group and where it starts, is improved by a fixed number of seeded changes, each
kept when the drawing does not get worse.  The same family gives the same order.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice, permutations

from risk.scene.disorder import CROSSING, backwards, disorder, torn
from risk.scene.family import Family
from risk.scene.walk import Choices, Place, Walk

#: How much worse an order may be if it is the one of the earlier drawing.
KEEP = 300
#: So many places are tried for children of torn sibships.
MOST_MOVES = 100
#: Where lines still cross, the search begins anew with the next of these, and the best is taken,
SEEDS = (7, 8, 9)
#: in families of so many people at most.
MOST_AGAIN = 60


#: Rows after each of some moves.
_Moves = Callable[[Walk, list[list[int]], list[list[int]]], Iterator[list[list[int]]]]


@dataclass(frozen=True, slots=True)
class Order:
    """The best order that was found of a family, in the numbers of `walk`."""

    walk: Walk
    rows: list[list[int]]
    groups: list[list[int]]


def best_order(family: Family, row: dict[str, int]) -> Order:
    """Seek the order of each row from left to right."""
    walk = Walk(family, row)
    found = []
    for seed in SEEDS:
        choices = walk.start()
        rows = _mended(walk, choices.groups, _improved(walk, choices, random.Random(seed)))
        found.append((disorder(walk, rows)[0], rows))
        if found[-1][0] < CROSSING or len(walk.ids) > MOST_AGAIN:
            break
    _, rows = min(found, key=lambda each: each[0])
    return Order(walk, rows, walk.start().groups)


def arrange(order: Order, previous: Mapping[str, float]) -> list[list[Place]]:
    """Return the contents of each row from left to right.

    `previous` gives the x of people in an earlier drawing of the family, whose order is kept
    unless another is clearly better.
    """
    walk, rows = order.walk, order.rows
    if previous:
        kept = _as_before(walk, order.groups, previous)
        if disorder(walk, kept)[0] <= 1.5 * disorder(walk, rows)[0] + KEEP:
            rows = kept
    people = len(walk.ids)
    return [
        [
            Place("person", walk.ids[item]) if item < people else walk.passing[item - people]
            for item in items
        ]
        for items in rows
    ]


def _as_before(
    walk: Walk, groups: list[list[int]], previous: Mapping[str, float]
) -> list[list[int]]:
    """The rows of an earlier drawing: groups by where they stood, newcomers beside their kin."""
    at = [previous.get(id) for id in walk.ids]
    for person, union in enumerate(walk.parents):
        if at[person] is None and union >= 0:
            elder = [
                x
                for k in walk.children[union][: walk.children[union].index(person)]
                if (x := at[k]) is not None
            ]
            parents = [x for k in walk.pairs[union] if (x := at[k]) is not None]
            if elder or parents:
                at[person] = max(elder) + 1 if elder else sum(parents) / len(parents)
    for person, unions in enumerate(walk.unions):
        if at[person] is None:
            near = [
                x
                for u in unions
                for k in (*walk.pairs[u], *walk.children[u])
                if (x := at[k]) is not None
            ]
            at[person] = sum(near) / len(near) + 1 if near else float("inf")
    rows: list[list[tuple[float, int, list[int]]]] = [[] for _ in range(walk.depth)]
    for number, line in enumerate(groups):
        known = [at[m] for m in line if walk.ids[m] in previous]
        if len(known) == len(line):
            line = sorted(line, key=lambda m: at[m])  # type: ignore[arg-type,return-value]
        where = [x for x in (known or [at[m] for m in line]) if x is not None]
        rows[walk.row[line[0]]].append((sum(where) / len(where), number, line))
    passing: list[list[tuple[float, int, list[int]]]] = [[] for _ in range(walk.depth)]
    for person, throughs in enumerate(walk.throughs):
        for step, item in enumerate(reversed(throughs)):
            passing[walk.row[person] - 1 - step].append((at[person] or 0.0, item, [item]))
    for union, routes in enumerate(walk.routes):
        a, b = walk.pairs[union]
        lower = a if walk.row[a] > walk.row[b] else b
        for step, item in enumerate(reversed(routes)):
            passing[walk.row[lower] - 1 - step].append((at[lower] or 0.0, item, [item]))
    return [
        [m for _, _, line in sorted([*row, *more], key=lambda e: e[:2]) for m in line]
        for row, more in zip(rows, passing, strict=True)
    ]


def _improved(walk: Walk, choices: Choices, chooser: random.Random) -> list[list[int]]:
    rows = walk.rows(choices)
    best, bad = disorder(walk, rows)
    unions = [u for u, kids in enumerate(choices.siblings) if len(kids) > 1]
    groups = [g for g, line in enumerate(choices.groups) if len(line) > 1]
    size = len(walk.ids)
    tries = 700 if size <= 60 else 600 if size <= 400 else 400
    quiet = 0
    for _ in range(tries):
        if not best or not (unions or groups) or quiet > 80 + 6 * (len(unions) + len(groups)):
            break
        undo = _change(walk, choices, unions, groups, sorted(bad), chooser)
        changed = walk.rows(choices)
        cost, worse_off = disorder(walk, changed)
        if cost <= best:
            bad = worse_off
            quiet = quiet + 1 if cost == best else 0
            best, rows = cost, changed
        else:
            quiet += 1
            for line, before in undo:
                line[:] = before
    return rows


def _mended(walk: Walk, groups: list[list[int]], rows: list[list[int]]) -> list[list[int]]:
    """Bring children of torn sibships together, and children to their place by birth, where no
    walk does.

    Where families are joined twice, the walk comes to a child after it has set down others who
    belong elsewhere, or before siblings who belong left of it.  The child's group moves to a
    sibling's wherever that is better; all is kept if it is clearly better.
    """
    for gathered, least in ((_gathered, CROSSING + 1), (_by_birth, 1)):
        rows = _moved(walk, groups, rows, gathered, least)
    return rows


def _moved(
    walk: Walk, groups: list[list[int]], rows: list[list[int]], moves: _Moves, least: int
) -> list[list[int]]:
    """The rows after the best moves, one by one; as they were if those gain less than `least`."""
    first = best = disorder(walk, rows)[0]
    found, left = rows, MOST_MOVES
    while True:
        tried = list(islice(moves(walk, groups, found), left))
        left -= len(tried)
        costs = [disorder(walk, moved)[0] for moved in tried]
        if min(costs, default=best) >= best:
            return found if best <= first - least else rows
        best = min(costs)
        found = tried[costs.index(best)]


def _gathered(
    walk: Walk, groups: list[list[int]], rows: list[list[int]]
) -> Iterator[list[list[int]]]:
    """The rows with one child of a torn sibship, and its group, beside a sibling's group."""
    for union in torn(walk, rows):
        for child, sibling in permutations(walk.children[union], 2):
            for right in (False, True):
                yield from _beside(walk, groups, rows, child, sibling, right=right)


def _by_birth(
    walk: Walk, groups: list[list[int]], rows: list[list[int]]
) -> Iterator[list[list[int]]]:
    """The rows with one child, and its group, right of the next elder sibling's, or the other
    way round."""
    for elder, younger in backwards(walk, rows):
        yield from _beside(walk, groups, rows, younger, elder, right=True)
        yield from _beside(walk, groups, rows, elder, younger, right=False)


def _beside(
    walk: Walk,
    groups: list[list[int]],
    rows: list[list[int]],
    child: int,
    sibling: int,
    *,
    right: bool,
) -> Iterator[list[list[int]]]:
    """The rows with a child's group beside a sibling's, if that is another of the same row."""
    level, line = walk.row[child], groups[walk.group_of[child]]
    target = groups[walk.group_of[sibling]]
    if walk.row[sibling] == level and line is not target:
        rest = [item for item in rows[level] if item not in line]
        at = rest.index(target[-1]) + 1 if right else rest.index(target[0])
        yield [*rows[:level], [*rest[:at], *line, *rest[at:]], *rows[level + 1 :]]


def _change(
    walk: Walk,
    choices: Choices,
    unions: list[int],
    groups: list[int],
    bad: list[int],
    chooser: random.Random,
) -> list[tuple[list[int], list[int]]]:
    """Change one choice; return what to put back if it did not help."""
    kind = chooser.random()
    if bad and chooser.random() < 0.6:
        unions = [chooser.choice(bad)]
        near = {walk.group_of[child] for child in walk.children[unions[0]]}
        groups = sorted(g for g in near if len(choices.groups[g]) > 1)
    if kind < 0.1 or not (unions or groups):
        root = chooser.randrange(len(choices.roots))
        part = walk.part_of[choices.roots[root]]
        others = [g for g, home in enumerate(walk.part_of) if home == part]
        before = list(choices.roots)
        choices.roots[root] = chooser.choice(others)
        return [(choices.roots, before)]
    if groups and (kind < 0.45 or not unions):
        line = choices.groups[chooser.choice(groups)]
        undo = [(line, list(line))]
        if len(line) == 2 or chooser.random() < 0.5:
            line.reverse()
        else:
            a, b = chooser.sample(range(len(line)), 2)
            line[a], line[b] = line[b], line[a]
        if len(line) == 2 and chooser.random() < 0.5:
            # Mirror the couple and send each partner to the end that faces the other.
            for member, to_end in ((line[0], True), (line[1], False)):
                union = walk.parents[member]
                if union >= 0:
                    siblings = choices.siblings[union]
                    undo.append((siblings, list(siblings)))
                    _send(walk, siblings, member, len(siblings) if to_end else 0)
        return undo
    union = chooser.choice(unions)
    siblings = choices.siblings[union]
    undo = [(siblings, list(siblings))]
    if kind > 0.85:
        # Back to the order of birth, perhaps with one of them on another side of the partner.
        siblings[:] = walk.children[union]
        line = choices.groups[walk.group_of[chooser.choice(siblings)]]
        if chooser.random() < 0.7:
            undo.append((line, list(line)))
            line.reverse()
        return undo
    member = chooser.choice(siblings)
    where = chooser.choice((0, len(siblings), chooser.randrange(len(siblings) + 1)))
    _send(walk, siblings, member, where)
    return undo


def _send(walk: Walk, siblings: list[int], member: int, where: int) -> None:
    """Move a sibling, with the whole twin group, so that the sibling is at `where`."""
    block = [k for k in siblings if k in walk.twins.get(member, (member,))]
    rest = [k for k in siblings if k not in block]
    block.remove(member)
    where = min(where, len(rest))
    while 0 < where < len(rest) and rest[where - 1] in walk.twins.get(rest[where], ()):
        where += 1  # never into a pair of twins
    block = [*block, member] if where == len(rest) else [member, *block]
    siblings[:] = [*rest[:where], *block, *rest[where:]]
