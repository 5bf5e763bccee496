"""Heights of rows and channels, and the lines that join people, as shapes.

Horizontal pieces make a small hop over a vertical of another line, so that a crossing is never
read as a join.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

from risk.case.model import Person
from risk.fonts.metrics import text_width
from risk.scene.family import Family
from risk.scene.place import Joint, Plan, route_items, through_items
from risk.scene.shapes import Line, Point, Role, Shape, Text
from risk.scene.symbols import RADIUS, Drawn, shape_of, side
from risk.scene.tracks import Net

TRACK = 9.0
ABOVE_TRACKS, BELOW_TRACKS, TWIN_DROP = 10.0, 14.0, 26.0
HOP = 3.2
DOUBLE = 2.0  # half the distance of a double line


@dataclass(slots=True)
class Heights:
    """y of each row's centre, top and bottom, and of the first track below it."""

    centre: list[float]
    top: list[float]
    bottom: list[float]
    drop: list[float]  # from the lowest track to the top of each row

    def track(self, row: int, number: int) -> float:
        return self.bottom[row] + ABOVE_TRACKS + number * TRACK


def heights(plan: Plan, drawn: Mapping[str, Drawn], nets: list[list[Net]]) -> Heights:
    """Return the y of everything; the first row's top is 0."""
    result = Heights([], [], [], [])
    y = 0.0
    for row, line in enumerate(plan.rows):
        people = [drawn[str(item.ref)] for item in line if item.kind == "person"]
        up = max((d.up for d in people), default=RADIUS) + 4
        down = max((d.down for d in people), default=RADIUS)
        drop = BELOW_TRACKS
        if row and any(net.twins for net in nets[row - 1]):
            drop = TWIN_DROP
        if row:
            tracks = max((net.track + 1 for net in nets[row - 1]), default=0)
            y += ABOVE_TRACKS + max(tracks - 1, 0) * TRACK + drop
        result.drop.append(drop)
        result.top.append(y)
        result.centre.append(y + up)
        y += up + down
        result.bottom.append(y)
    if nets and (tracks := max((net.track + 1 for net in nets[-1]), default=0)):
        result.bottom.append(y + ABOVE_TRACKS + tracks * TRACK)
    return result


@dataclass(slots=True)
class _Pieces:
    """Straight pieces before hops are made: (y or x, from, to, role, owner)."""

    level: list[tuple[float, float, float, Role, int]] = field(default_factory=list)
    upright: list[tuple[float, float, float, Role, int]] = field(default_factory=list)


def lines(
    family: Family, plan: Plan, drawn: Mapping[str, Drawn], nets: list[list[Net]], at: Heights
) -> list[Shape]:
    """Return all lines of the tree."""
    shapes: list[Shape] = []
    pieces = _Pieces()
    for joint in plan.joints:
        _partnership(family, plan, joint, at, shapes, pieces)
    for row, channel in enumerate(nets):
        for net in channel:
            _net(family, plan, drawn, net, row, at, shapes, pieces)
    for child, item in plan.person.items():
        for passed in through_items(plan, child):
            row = next(r for r in range(plan.row[child]) if plan.through.get((child, r)) is passed)
            pieces.upright.append((passed.x, at.top[row], at.bottom[row], "individual", _owner_of(family, child)))
    for joint in plan.joints:
        if joint.how == "step":
            for step, passed in enumerate(route_items(plan, joint)):
                row = plan.row[joint.ends[0]] + 1 + step
                pieces.upright.append((passed.x, at.top[row], at.bottom[row], "partnership", joint.couple.index))
    return [*_joined(pieces, {j.couple.index: j for j in plan.joints}), *shapes]


def _owner_of(family: Family, child: str) -> int:
    return family.parents[child].index


def _partnership(
    family: Family, plan: Plan, joint: Joint, at: Heights, shapes: list[Shape], pieces: _Pieces
) -> None:
    owner, couple = joint.couple.index, joint.couple
    if joint.how == "adjacent":
        (left, a), (right, b) = (
            (plan.person[id].x, family.people[id]) for id in joint.ends
        )
        y = at.centre[joint.row]
        ends = (left + side(shape_of(a), 0), right - side(shape_of(b), 0))
        pieces.level.append((y, *ends, "partnership", owner))
        middle = joint.descent.x if joint.descent else (left + right) / 2
        _signs(couple.about, middle, ends[1], y, shapes)
        return
    for end in (0, 1):
        id, port, way = joint.ends[end], joint.ports[end], joint.sides[end]
        slot, row = joint.slots[end], plan.row[joint.ends[end]]
        y = at.centre[row] + port
        edge = plan.person[id].x + way * side(shape_of(family.people[id]), port)
        pieces.level.append((y, min(edge, slot.x), max(edge, slot.x), "partnership", owner))
        if joint.how == "step" and end == 1:
            pieces.upright.append((slot.x, at.top[row], y, "partnership", owner))
            if couple.children:
                pieces.upright.append((slot.x, y, at.bottom[row], "descent", owner))
            if end == 1:
                _signs(couple.about, min(edge, slot.x), max(edge, slot.x), y, shapes)
        else:
            pieces.upright.append((slot.x, y, at.bottom[row], "partnership", owner))


def _signs(about, middle: float, right: float, y: float, shapes: list[Shape]) -> None:  # type: ignore[no-untyped-def]
    """Separation and childlessness, at the partnership line."""
    if about is None:
        return
    if about.separated:
        x = (middle + right) / 2
        for shift in (-2.5, 2.5):
            shapes.append(Line(((x + shift - 3, y + 7), (x + shift + 3, y - 7)), "partnership"))
    if about.childless:
        foot = y + 13
        shapes.append(Line(((middle, y), (middle, foot)), "partnership"))
        for bar in range(2 if about.childless == "infertility" else 1):
            shapes.append(
                Line(((middle - 7, foot - 3.5 * bar), (middle + 7, foot - 3.5 * bar)), "partnership")
            )


def _net(
    family: Family, plan: Plan, drawn: Mapping[str, Drawn], net: Net, row: int, at: Heights,
    shapes: list[Shape], pieces: _Pieces,
) -> None:
    owner = net.joint.couple.index if net.joint else -1
    below = row + 1
    if net.straight:
        y = at.bottom[row] + ABOVE_TRACKS / 2
    else:
        y = at.track(row, net.track)
        left, right = net.span
        pieces.level.append((y, left, right, net.role, owner))
    for x in net.tops:
        if net.source is not None:
            start = at.track(row, net.source.track)
        elif net.descent is not None:
            start = at.centre[row]
        else:
            start = at.bottom[row]
        pieces.upright.append((x, start, y, net.top_role, owner))
    units = net.units or [[] for _ in net.bottoms]
    for x, unit in zip(net.bottoms, units, strict=True):
        if len(unit) > 1:
            _twins(family, plan, drawn, x, y, unit, at, below, net, shapes, pieces, owner)
            continue
        end = at.top[below]
        if unit:
            end = at.centre[below] + drawn[unit[0]].top
        pieces.upright.append((x, y, end, net.bottom_role, owner))


def _twins(  # type: ignore[no-untyped-def]
    family: Family, plan: Plan, drawn, x: float, y: float, unit: list[str], at: Heights,
    below: int, net: Net, shapes: list[Shape], pieces: _Pieces, owner: int,
) -> None:
    """Slanting lines from one point, with a bar between them where they are monozygotic."""
    apex = at.top[below] - at.drop[below]
    if net.straight or y > apex - 0.1:
        apex = max(apex, y)
    pieces.upright.append((x, y, apex, "descent" if net.straight else "individual", owner))
    ends = [(plan.person[t].x, at.centre[below] + drawn[t].top) for t in unit]
    for end in ends:
        shapes.append(Line(((x, apex), end), "individual"))
    twin = family.people[unit[0]].twin
    assert twin is not None
    share = 0.5
    places = [(x + share * (ex - x), apex + share * (ey - apex)) for ex, ey in ends]
    if twin.zygosity == "monozygotic":
        level = min(p[1] for p in places)
        bar = [(x + (level - apex) / (ey - apex) * (ex - x), level) for ex, ey in (ends[0], ends[-1])]
        shapes.append(Line((bar[0], bar[1]), "individual"))
    elif twin.zygosity == "unknown":
        for (x1, y1), (x2, _) in zip(places, places[1:]):
            width = text_width("?", 10.0, True)
            shapes.append(Text((x1 + x2) / 2, y1 + 6, "?", 10.0, width, "individual", None, "middle", True))


def _joined(pieces: _Pieces, joints: dict[int, Joint]) -> list[Shape]:
    """Turn pieces into lines, with hops where a level piece crosses another's upright."""
    shapes: list[Shape] = []
    uprights = sorted(pieces.upright)
    for y, left, right, role, owner in sorted(pieces.level):
        own = [p[0] for p in uprights if p[4] == owner and p[1] - 0.1 <= y <= p[2] + 0.1]
        crossed = sorted({
            x for x, top, bottom, _, other in uprights
            if other != owner and left + 1 < x < right - 1 and top + 0.5 < y < bottom - 0.5
            and all(abs(x - o) > HOP + 0.5 for o in own)
        })
        related = role == "partnership" and joints[owner].couple.related
        for shift in (-DOUBLE, DOUBLE) if related else (0.0,):
            shapes.append(Line(tuple(_hopping(left, right, y + shift, crossed)), role))
    for x, top, bottom, role, owner in uprights:
        if bottom - top < 0.01:
            continue
        related = role == "partnership" and owner in joints and joints[owner].couple.related
        for shift in (-DOUBLE, DOUBLE) if related else (0.0,):
            shapes.append(Line(((x + shift, top), (x + shift, bottom)), role))
    return shapes


def _hopping(left: float, right: float, y: float, crossed: list[float]) -> list[Point]:
    points: list[Point] = [(left, y)]
    for number, x in enumerate(crossed):
        room = min(
            [HOP, x - left, right - x]
            + [abs(x - other) / 2 for n, other in enumerate(crossed) if n != number]
        )
        points += [
            (x - room * math.cos(math.pi * k / 8), y - room * math.sin(math.pi * k / 8))
            for k in range(9)
        ]
    points.append((right, y))
    return points


def text_of(person: Person) -> str:
    """The name shown for a person in sentences."""
    return person.name or person.id
