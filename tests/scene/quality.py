"""Measures of a drawing's quality: adjacency, contiguity, centring, crossings, width."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass

from risk.case.model import Case
from risk.scene.shapes import Scene, box_of
from tests.scene.reading import segments


@dataclass(frozen=True)
class Quality:
    """Shares are of those for whom the question arises; `width` is relative to the row that is
    widest when packed tight."""

    couples: int
    adjacent: int
    sibships: int
    contiguous: int
    in_order: int
    centred: int
    crossings: int
    width: float


def measure(scene: Scene, case: Case) -> Quality:
    """Measure a drawing from its shapes."""
    at = {id: (x, y) for id, x, y in scene.anchors}
    rows: dict[float, list[str]] = defaultdict(list)
    for id, (_, y) in sorted(at.items(), key=lambda pair: pair[1][0]):
        rows[round(y, 1)].append(id)
    spot = {id: n for line in rows.values() for n, id in enumerate(line)}
    families: dict[frozenset[str], list[str]] = {frozenset(c.partners): [] for c in case.couples}
    for person in case.people:
        if person.father is not None and person.mother is not None:
            families.setdefault(frozenset((person.father, person.mother)), []).append(person.id)
    mates: dict[str, set[str]] = defaultdict(set)
    for pair in families:
        for id in pair:
            mates[id] |= pair
    adjacent = sibships = contiguous = in_order = centred = 0
    for pair, kids in families.items():
        a, b = pair
        near = at[a][1] == at[b][1] and abs(spot[a] - spot[b]) == 1
        adjacent += near
        level = {round(at[k][1], 1) for k in kids}
        if not kids or len(level) != 1:
            continue
        if near:
            xs = [at[k][0] for k in kids]
            centred += abs((min(xs) + max(xs)) / 2 - (at[a][0] + at[b][0]) / 2) < 1
        if len(kids) < 2:
            continue
        sibships += 1
        line = rows[level.pop()]
        places = [spot[k] for k in kids]
        own = set(kids).union(*(mates[k] for k in kids))
        contiguous += all(id in own for id in line[min(places) : max(places) + 1])
        in_order += places == sorted(places)
    parents = sum(bool(kids) for kids in families.values())
    return Quality(
        len(families),
        adjacent,
        sibships,
        contiguous,
        in_order,
        centred + (len(families) - parents),
        _crossings(scene),
        _width(scene, rows),
    )


def moved(before: Mapping[str, float], after: Mapping[str, float]) -> float:
    """The share of people whose x moved more than a slot against the median shift."""
    shifts = [after[id] - x for id, x in before.items()]
    middle = statistics.median(shifts)
    return sum(abs(shift - middle) > 60 for shift in shifts) / len(shifts)


def _crossings(scene: Scene) -> int:
    """Hops: every crossing of two lines has one (nine points of a half circle)."""
    return sum(
        (len(line.points) - 2) // 9
        for line in {id(line): line for _, line in segments(scene)}.values()
        if len(line.points) > 2
    )


def _width(scene: Scene, rows: dict[float, list[str]]) -> float:
    wide: dict[str, list[float]] = defaultdict(lambda: [1e9, -1e9])
    for shape in scene.items:
        if shape.person is not None:
            box = box_of(shape)
            wide[shape.person][0] = min(wide[shape.person][0], box[0])
            wide[shape.person][1] = max(wide[shape.person][1], box[2])
    packed = max(
        sum(wide[id][1] - wide[id][0] for id in line) + 14 * (len(line) - 1)
        for line in rows.values()
    )
    whole = max(w[1] for w in wide.values()) - min(w[0] for w in wide.values())
    return whole / packed
