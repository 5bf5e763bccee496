"""How bad an order of people is: crossings, partners apart, sibships torn, and smaller blots."""

from __future__ import annotations

from bisect import bisect_right, insort

from risk.scene.walk import Walk

#: What is bad about an order, and how bad.
APART = 20.0
FOREIGN_IN_SIBSHIP = 10.0
CROSSING = 5.0
TWINS_APART = 4.0
BIRTH_ORDER = 1.0
INVERSION = 0.1  # for each pair of siblings the wrong way round, so that few people move
MALE_RIGHT = 0.3
NUMBERS_BACKWARDS = 0.35


def disorder(walk: Walk, rows: list[list[int]]) -> tuple[float, set[int]]:
    """Return how bad an order is, and the sibships that it is not good for."""
    spot = [0] * (len(walk.ids) + len(walk.passing))
    for items in rows:
        for position, item in enumerate(items):
            spot[item] = position
    total = 0.0
    bad: set[int] = set()
    channels: list[list[tuple[float, int]]] = [[] for _ in range(walk.depth)]
    row, printed = walk.row, walk.printed
    for union, (a, b) in enumerate(walk.pairs):
        kids = walk.children[union]
        if walk.level[union]:
            apart = spot[b] - spot[a]
            if apart not in (1, -1):
                total += APART + 0.1 * abs(apart)
            if apart * walk.male_first[union] < 0:
                total += MALE_RIGHT
            middle, top = (spot[a] + spot[b]) / 2, row[a]
        else:
            lower, upper = (a, b) if row[a] > row[b] else (b, a)
            middle, top = spot[lower] + 0.25, row[lower]
            chain = [*walk.routes[union], lower]
            at = float(spot[upper])
            for step, item in enumerate(chain):
                channels[row[upper] + step].append((at, spot[item]))
                at = spot[item]
        if not kids:
            continue
        places: dict[int, list[int]] = {}
        last = -1
        broken = 0
        for child in kids:
            throughs = walk.throughs[child]
            first = throughs[0] if throughs else child
            channels[top].append((middle, spot[first]))
            for step, item in enumerate(throughs):
                below = throughs[step + 1] if step + 1 < len(throughs) else child
                channels[top + 1 + step].append((spot[item], spot[below]))
            places.setdefault(row[child], []).append(spot[child])
            if not throughs:
                if spot[child] < last:
                    broken += 1
                last = spot[child]
        if broken:
            bad.add(union)
            total += BIRTH_ORDER * broken + INVERSION * _inversions([spot[k] for k in kids])
        for level, positions in places.items():
            if len(positions) > 1:
                left, right = min(positions), max(positions)
                own = sum(
                    1 for k in walk.kin[union] if row[k] == level and left <= spot[k] <= right
                )
                if right - left + 1 > own:
                    bad.add(union)
                    total += FOREIGN_IN_SIBSHIP * (right - left + 1 - own)
    for group in walk.twin_groups:
        places_of = [spot[member] for member in group]
        apart = max(places_of) - min(places_of) + 1 - len(group)
        if apart:
            bad.add(walk.parents[group[0]])
            total += TWINS_APART * apart
    for edges in channels:
        edges.sort()
        ends: list[int] = []
        for _, end in edges:
            position = bisect_right(ends, end)
            total += CROSSING * (len(ends) - position)
            insort(ends, end)
    people = len(walk.ids)
    for items in rows:
        last = -1
        for item in items:
            if item < people and printed[item] >= 0:
                if printed[item] < last:
                    total += NUMBERS_BACKWARDS
                last = printed[item]
    return total, bad


def _inversions(numbers: list[int]) -> int:
    """How many pairs stand the wrong way round."""
    return sum(a > b for n, a in enumerate(numbers) for b in numbers[n + 1 :])
