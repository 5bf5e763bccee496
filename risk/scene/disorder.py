"""How bad an order of people is: crossings, partners apart, sibships torn, and smaller blots."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Iterator
from itertools import pairwise

from risk.scene.walk import Walk

#: What is bad about an order, and how bad: whole numbers, so that equally bad orders are equal.
APART = 400
FURTHER_APART = 2  # for each place that partners are apart
FOREIGN_IN_SIBSHIP = 200
CROSSING = 100
TWINS_APART = 80
BIRTH_ORDER = 20
INVERSION = 2  # for each pair of siblings the wrong way round, so that few people move
HALF_SIBLINGS_BACKWARDS = 8  # for each two sibships of one parent: the elder's belongs left
MALE_RIGHT = 6
NUMBERS_BACKWARDS = 7


def disorder(walk: Walk, rows: list[list[int]]) -> tuple[int, set[int]]:
    """Return how bad an order is, and the sibships that it is not good for."""
    spot = _spots(walk, rows)
    blots = [*_out_of_order(walk, spot), *_torn(walk, spot), *_twins_apart(walk, spot)]
    total = (
        _partners_apart(walk, spot)
        + sum(cost for _, cost in blots)
        + sum(map(_crossings, _lines(walk, spot)))
        + _half_siblings_backwards(walk, spot)
        + _numbers_backwards(walk, rows)
    )
    return total, {union for union, _ in blots}


def torn(walk: Walk, rows: list[list[int]]) -> list[int]:
    """Return the sibships with others among them."""
    return sorted({union for union, _ in _torn(walk, _spots(walk, rows))})


def backwards(walk: Walk, rows: list[list[int]]) -> Iterator[tuple[int, int]]:
    """Elder and younger siblings who follow on from each other and stand the wrong way round."""
    spot = _spots(walk, rows)
    for _, kids in walk.sibships:
        for elder, younger in pairwise(kids):
            if walk.row[elder] == walk.row[younger] and spot[elder] > spot[younger]:
                yield elder, younger


def _spots(walk: Walk, rows: list[list[int]]) -> list[int]:
    spot = [0] * (len(walk.ids) + len(walk.passing))
    for items in rows:
        for position, item in enumerate(items):
            spot[item] = position
    return spot


def _partners_apart(walk: Walk, spot: list[int]) -> int:
    """What partners of one row cost who are not neighbours, and men to the right of women."""
    total = 0
    for union, (a, b) in enumerate(walk.pairs):
        if walk.level[union]:
            apart = spot[b] - spot[a]
            if apart not in (1, -1):
                total += APART + FURTHER_APART * abs(apart)
            if apart * walk.male_first[union] < 0:
                total += MALE_RIGHT
    return total


def _out_of_order(walk: Walk, spot: list[int]) -> Iterator[tuple[int, int]]:
    """The sibships that are not in the order of birth, with what that costs.

    Children whose line passes through a row stand where the line can, and count only as pairs.
    """
    for union, kids in walk.sibships:
        broken, last = 0, -1
        for child in kids:
            if not walk.throughs[child]:
                broken += spot[child] < last
                last = spot[child]
        if broken:
            inversions = _inversions([spot[child] for child in kids])
            yield union, BIRTH_ORDER * broken + INVERSION * inversions


def _half_siblings_backwards(walk: Walk, spot: list[int]) -> int:
    """What sibships of one parent cost that stand left of one whose first child is older."""
    backwards = 0
    for elder, younger in walk.half_siblings:
        there = sum(spot[child] for child in elder) * len(younger)
        backwards += there > sum(spot[child] for child in younger) * len(elder)
    return HALF_SIBLINGS_BACKWARDS * backwards


def _torn(walk: Walk, spot: list[int]) -> Iterator[tuple[int, int]]:
    """The sibships with others among them who are no partners, with what these cost."""
    row = walk.row
    for union, kids in walk.sibships:
        places: dict[int, list[int]] = {}
        for child in kids:
            places.setdefault(row[child], []).append(spot[child])
        for level, positions in places.items():
            if len(positions) > 1:
                left, right = min(positions), max(positions)
                own = sum(
                    1 for k in walk.kin[union] if row[k] == level and left <= spot[k] <= right
                )
                if right - left + 1 > own:
                    yield union, FOREIGN_IN_SIBSHIP * (right - left + 1 - own)


def _twins_apart(walk: Walk, spot: list[int]) -> Iterator[tuple[int, int]]:
    """The sibships whose twins are not side by side, with what that costs."""
    for group in walk.twin_groups:
        places = [spot[member] for member in group]
        between = max(places) - min(places) + 1 - len(group)
        if between:
            yield walk.parents[group[0]], TWINS_APART * between


def _lines(walk: Walk, spot: list[int]) -> list[list[tuple[float, int]]]:
    """The lines from each row to the next, from where above to where below they go."""
    channels: list[list[tuple[float, int]]] = [[] for _ in range(walk.depth)]
    row = walk.row
    for union, (a, b) in enumerate(walk.pairs):
        if walk.level[union]:
            middle, top = (spot[a] + spot[b]) / 2, row[a]
        else:
            lower, upper = (a, b) if row[a] > row[b] else (b, a)
            middle, top = spot[lower] + 0.25, row[lower]
            at = float(spot[upper])
            for step, item in enumerate((*walk.routes[union], lower)):
                channels[row[upper] + step].append((at, spot[item]))
                at = spot[item]
        for child in walk.children[union]:
            at = middle
            for step, item in enumerate((*walk.throughs[child], child)):
                channels[top + step].append((at, spot[item]))
                at = spot[item]
    return channels


def _crossings(lines: list[tuple[float, int]]) -> int:
    """What the lines between two rows cost that cross."""
    crossed = 0
    ends: list[int] = []
    for _, end in sorted(lines):
        crossed += len(ends) - bisect_right(ends, end)
        insort(ends, end)
    return CROSSING * crossed


def _numbers_backwards(walk: Walk, rows: list[list[int]]) -> int:
    """What the numbers of a row cost that are smaller than the one before."""
    backwards = 0
    for items in rows:
        last = -1
        for item in items:
            if item < len(walk.ids) and walk.printed[item] >= 0:
                backwards += walk.printed[item] < last
                last = walk.printed[item]
    return NUMBERS_BACKWARDS * backwards


def _inversions(numbers: list[int]) -> int:
    """How many pairs stand the wrong way round."""
    return sum(a > b for n, a in enumerate(numbers) for b in numbers[n + 1 :])
