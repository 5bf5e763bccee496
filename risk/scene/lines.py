"""Heights of rows and channels, and the lines that join people, as shapes.

Horizontal pieces make a small hop over a vertical of another line, so that a crossing is never
read as a join.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from risk.fonts.metrics import text_width
from risk.scene.family import Family, Partnership
from risk.scene.place import Joint, Plan, route_items
from risk.scene.shapes import Line, Point, Role, Shape, Text
from risk.scene.symbols import RADIUS, Drawn, shape_of, side
from risk.scene.tracks import Net

TRACK = 11.0
ABOVE_TRACKS, BELOW_TRACKS, TWIN_DROP = 11.0, 14.0, 26.0
#: How far down the slanting lines the bar of twins, or their "?", may be, the best place first.
TWIN_SIGNS = (0.5, 0.44, 0.38, 0.32, 0.27, 0.56, 0.62)
STRAIGHT_JOINT = 3.0
SIGN_AT = 9.0  # from where a routed line turns to a sign on it
HOP, HOP_POINTS = 3.2, 9  # radius of the half circle, and the points that it consists of
DOUBLE = 1.7  # half the distance of a double line

Segment = tuple[Point, Point]


@dataclass(slots=True)
class Heights:
    """y of each row's centre, top and bottom, and of the first track below it."""

    centre: list[float]
    top: list[float]
    bottom: list[float]
    drop: list[float]  # from the lowest track to the top of each row
    lowest: list[int]  # the lowest track over each row

    def track(self, row: int, number: int) -> float:
        return self.bottom[row] + ABOVE_TRACKS + number * TRACK


def heights(plan: Plan, drawn: Mapping[str, Drawn], nets: list[list[Net]]) -> Heights:
    """Return the y of everything; the first row's top is 0."""
    result = Heights([], [], [], [], [])
    y = 0.0
    for row, line in enumerate(plan.rows):
        people = [drawn[str(item.ref)] for item in line if item.kind == "person"]
        up = max((d.up for d in people), default=RADIUS) + 4
        down = max((d.down for d in people), default=RADIUS)
        drop, lowest = BELOW_TRACKS, -1
        if row and any(net.twins for net in nets[row - 1]):
            drop = TWIN_DROP
        if row:
            tracks = max((net.track + 1 for net in nets[row - 1]), default=0)
            lowest = tracks - 1
            if any(net.twins and net.track < lowest for net in nets[row - 1]):
                tracks += 1  # their lines part below the track of any other
            y += ABOVE_TRACKS + max(tracks - 1, 0) * TRACK + drop
        result.drop.append(drop)
        result.lowest.append(lowest)
        result.top.append(y)
        result.centre.append(y + up)
        y += up + down
        result.bottom.append(y)
    if nets and (tracks := max((net.track + 1 for net in nets[-1]), default=0)):
        result.bottom.append(y + ABOVE_TRACKS + tracks * TRACK)
    return result


@dataclass(frozen=True, slots=True)
class _Piece:
    """A level or upright piece at `place` (y or x), from `low` to `high`, of one partnership."""

    place: float
    low: float
    high: float
    role: Role
    owner: int


@dataclass(frozen=True, slots=True)
class _Fan:
    """The slanting lines of twins: where they part, where they end, and who the twins are."""

    apex: Point
    ends: list[Point]
    zygosity: str
    owner: int

    def at(self, share: float) -> tuple[float, list[float]]:
        """The y so far down the lines, and the x of each line there."""
        x, top = self.apex
        y = top + share * (min(end for _, end in self.ends) - top)
        return y, [x + (y - top) / (ey - top) * (ex - x) for ex, ey in self.ends]


@dataclass(slots=True)
class _Pieces:
    """Straight pieces, before hops are made, and the lines of twins, before their signs are."""

    level: list[_Piece] = field(default_factory=list)
    upright: list[_Piece] = field(default_factory=list)
    fans: list[_Fan] = field(default_factory=list)

    def path(
        self, points: list[Point], owner: int, double: bool, ends: list[Callable[[float], float]]
    ) -> None:
        """Add a line of level and upright pieces; doubled, it keeps its distance at corners.

        `ends` tell for the first and the last point the x at which a given y meets the symbol.
        """
        for shift in (-DOUBLE, DOUBLE) if double else (0.0,):
            aside = _beside(points, shift)
            for number, meet in zip((0, -1), ends, strict=True):
                aside[number] = (meet(aside[number][1]), aside[number][1])
            for (x1, y1), (x2, y2) in itertools.pairwise(aside):
                if abs(y1 - y2) < 1e-6:
                    self.level.append(_Piece(y1, min(x1, x2), max(x1, x2), "partnership", owner))
                else:
                    self.upright.append(_Piece(x1, min(y1, y2), max(y1, y2), "partnership", owner))


def _beside(points: list[Point], shift: float) -> list[Point]:
    """Return the line that runs at a distance beside a line of level and upright pieces."""
    clean = points[:1]
    for point in points[1:]:
        if abs(point[0] - clean[-1][0]) + abs(point[1] - clean[-1][1]) > 0.02:
            clean.append(point)
    corners = [
        b
        for a, b, c in zip(clean, clean[1:], clean[2:], strict=False)
        if (abs(a[0] - b[0]) < 0.02) != (abs(b[0] - c[0]) < 0.02)
    ]
    clean = [clean[0], *corners, clean[-1]]
    if shift == 0:
        return clean
    normals = []
    for (x1, y1), (x2, y2) in itertools.pairwise(clean):
        way = math.hypot(x2 - x1, y2 - y1)
        normals.append((-(y2 - y1) / way * shift, (x2 - x1) / way * shift))
    result = []
    for number, (x, y) in enumerate(clean):
        before, after = normals[max(number - 1, 0)], normals[min(number, len(normals) - 1)]
        dx = before[0] or after[0]
        dy = before[1] or after[1]
        result.append((x + dx, y + dy))
    return result


def lines(
    family: Family, plan: Plan, drawn: Mapping[str, Drawn], nets: list[list[Net]], at: Heights
) -> list[Shape]:
    """Return all lines of the tree."""
    shapes: list[Shape] = []
    pieces = _Pieces()
    for row, channel in enumerate(nets):
        for net in channel:
            if net.role != "partnership":
                _net(family, plan, drawn, net, row, at, shapes, pieces)
    turns = {
        (net.joint.couple.index, row): _height(net, row, at)
        for row, channel in enumerate(nets)
        for net in channel
        if net.role == "partnership" and net.joint is not None
    }
    for joint in plan.joints:
        if joint.how == "adjacent":
            _adjacent(family, plan, joint, at, shapes, pieces)
        else:
            _routed(family, plan, joint, at, turns, shapes, pieces)
    for (child, row), item in plan.through.items():
        owner = family.parents[child].index
        pieces.upright.append(_Piece(item.x, at.top[row], at.bottom[row], "individual", owner))
    return [*_joined(pieces), *shapes, *_twin_signs(pieces)]


def measures(shapes: list[Shape]) -> tuple[int, float]:
    """Return how many crossings the lines of a tree have, and how long they are together."""
    drawn = [shape.points for shape in shapes if isinstance(shape, Line)]
    hops = sum((len(points) - 2) // HOP_POINTS for points in drawn if len(points) > 2)
    return hops, sum(math.dist(*ends) for points in drawn for ends in itertools.pairwise(points))


def _height(net: Net, row: int, at: Heights) -> float:
    """y at which a net turns."""
    if not net.straight:
        return at.track(row, net.track)
    # Where the two pieces of one straight line meet: above every track and hop.
    if net.source is not None:
        return at.track(row, net.source.track) + STRAIGHT_JOINT
    return at.top[row + 1] - at.drop[row + 1] if net.twins else at.bottom[row] + STRAIGHT_JOINT


def _adjacent(
    family: Family, plan: Plan, joint: Joint, at: Heights, shapes: list[Shape], pieces: _Pieces
) -> None:
    (left, a), (right, b) = ((plan.person[id].x, family.people[id]) for id in joint.ends)
    y = at.centre[joint.row]
    couple = joint.couple
    for shift in (-DOUBLE, DOUBLE) if couple.related else (0.0,):
        ends = (left + side(shape_of(a), shift), right - side(shape_of(b), shift))
        pieces.level.append(_Piece(y + shift, *ends, "partnership", couple.index))
    middle = joint.descent.x if joint.descent else (left + right) / 2
    _signs(couple, middle, ends[1] if joint.descent else middle, y, shapes)


def _routed(
    family: Family,
    plan: Plan,
    joint: Joint,
    at: Heights,
    turns: dict[tuple[int, int], float],
    shapes: list[Shape],
    pieces: _Pieces,
) -> None:
    """A partnership whose partners are not neighbours, from side to side."""
    index, rows = joint.couple.index, [plan.row[id] for id in joint.ends]
    ports: list[tuple[Point, Point]] = []
    ends: list[Callable[[float], float]] = []
    for end, id in enumerate(joint.ends):
        centre = at.centre[rows[end]]

        def meet(
            y: float,
            shape: str = shape_of(family.people[id]),
            x: float = plan.person[id].x,
            centre: float = centre,
            way: int = joint.sides[end],
        ) -> float:
            return x + way * side(shape, y - centre)

        y = centre + joint.ports[end]
        ends.append(meet)
        ports.append(((meet(y), y), (joint.slots[end].x, y)))
    xs = [joint.slots[0].x, *(item.x for item in route_items(plan, joint)), joint.slots[1].x]
    points = [*ports[0]]
    for step, (before, after) in enumerate(itertools.pairwise(xs)):
        y = turns[(index, rows[0] + step)]
        points += [(before, y), (after, y)]
    points += reversed(ports[1])
    pieces.path(points, index, joint.couple.related, ends)
    (_, y), (slot, _) = ports[1]
    near = slot - joint.sides[1] * SIGN_AT
    _signs(joint.couple, near, near, y, shapes, -1 if joint.ports[1] < 0 else 1)
    if joint.how == "step" and joint.couple.children:
        start = y + (DOUBLE if joint.couple.related else 0.0)
        pieces.upright.append(_Piece(slot, start, at.bottom[rows[1]], "descent", index))


def _signs(
    couple: Partnership, middle: float, right: float, y: float, shapes: list[Shape], down: int = 1
) -> None:
    """Separation and childlessness, at the partnership line; `down` -1 hangs the sign upwards."""
    about = couple.about
    if about is None:
        return
    if about.separated:
        x = (middle + right) / 2 - (0.0 if middle < right or not about.childless else SIGN_AT + 4)
        for shift in (-2.5, 2.5):
            shapes.append(Line(((x + shift - 3, y + 7), (x + shift + 3, y - 7)), "partnership"))
    if about.childless and not couple.children:
        foot = y + down * 13
        shapes.append(Line(((middle, y), (middle, foot)), "partnership"))
        for bar in range(2 if about.childless == "infertility" else 1):
            level = foot - down * 3.5 * bar
            shapes.append(Line(((middle - 7, level), (middle + 7, level)), "partnership"))


def _net(
    family: Family,
    plan: Plan,
    drawn: Mapping[str, Drawn],
    net: Net,
    row: int,
    at: Heights,
    shapes: list[Shape],
    pieces: _Pieces,
) -> None:
    assert net.joint is not None
    owner, below = net.joint.couple.index, row + 1
    y = _height(net, row, at)
    if not net.straight:
        pieces.level.append(_Piece(y, *net.span, net.role, owner))
    for x in net.tops:
        if net.source is not None:
            start = at.track(row, net.source.track)
        elif net.descent is not None:
            start = at.centre[row]
        else:
            start = at.bottom[row]
        pieces.upright.append(_Piece(x, start, y, net.top_role, owner))
    units = net.units or [[] for _ in net.bottoms]
    for x, unit in zip(net.bottoms, units, strict=True):
        if len(unit) > 1:
            _twins(family, plan, drawn, (x, y), unit, at, net, shapes, pieces)
            continue
        end = at.top[below]
        if unit:
            end = at.centre[below] + drawn[unit[0]].top
        pieces.upright.append(_Piece(x, y, end, net.bottom_role, owner))


def _twins(
    family: Family,
    plan: Plan,
    drawn: Mapping[str, Drawn],
    start: Point,
    unit: list[str],
    at: Heights,
    net: Net,
    shapes: list[Shape],
    pieces: _Pieces,
) -> None:
    """Slanting lines from one point, with a bar between them where they are monozygotic."""
    assert net.joint is not None
    (x, y), below = start, plan.row[unit[0]]
    apex = y if net.track == at.lowest[below] else max(at.top[below] - at.drop[below], y)
    role: Role = "descent" if net.straight else "individual"
    pieces.upright.append(_Piece(x, y, apex, role, net.joint.couple.index))
    ends = [(plan.person[t].x, at.centre[below] + drawn[t].top) for t in unit]
    shapes += [Line(((x, apex), end), "individual") for end in ends]
    twin = family.people[unit[0]].twin
    assert twin is not None
    pieces.fans.append(_Fan((x, apex), ends, twin.zygosity, net.joint.couple.index))


def _twin_signs(pieces: _Pieces) -> list[Shape]:
    """The bar between the lines of monozygotic twins, and ? where the zygosity is not known.

    Where twins marry twins their lines cross: the signs keep clear of the others' lines.
    """
    shapes: list[Shape] = []
    size = 10.0
    width = text_width("?", size, True)
    for fan in pieces.fans:
        if fan.zygosity == "dizygotic":
            continue
        others = [(f.apex, end) for f in pieces.fans if f is not fan for end in f.ends]
        others += [
            ((p.place, p.low), (p.place, p.high)) for p in pieces.upright if p.owner != fan.owner
        ]
        high = 3 if fan.zygosity == "monozygotic" else 7
        found = [fan.at(share) for share in TWIN_SIGNS]
        clear = (
            (y, xs)
            for y, xs in found
            if not any(_meets(line, xs[0] - 2, y - 3, xs[-1] + 2, y + high) for line in others)
        )
        y, places = next(clear, found[0])
        if fan.zygosity == "monozygotic":
            shapes.append(Line(((places[0], y), (places[-1], y)), "individual"))
            continue
        shapes += [
            Text((x1 + x2) / 2, y + 6, "?", size, width, "individual", None, "middle", True)
            for x1, x2 in itertools.pairwise(places)
        ]
    return shapes


def _meets(line: Segment, left: float, top: float, right: float, bottom: float) -> bool:
    """Whether a line that runs downwards meets a box."""
    (x1, y1), (x2, y2) = line
    if y2 < top or y1 > bottom:
        return False
    xs = [x1 + (x2 - x1) * (min(max(y, y1), y2) - y1) / max(y2 - y1, 1e-9) for y in (top, bottom)]
    return max(xs) >= left and min(xs) <= right


def _joined(pieces: _Pieces) -> list[Shape]:
    """Turn pieces into lines, with hops where a level piece crosses another's upright."""
    shapes: list[Shape] = []
    uprights = _in_one(pieces.upright)
    places = [p.place for p in uprights]
    for piece in sorted(pieces.level, key=lambda p: (p.place, p.low, p.owner)):
        y = piece.place
        near = uprights[bisect_left(places, piece.low - 1) : bisect_left(places, piece.high + 1)]
        own = [p.place for p in near if p.owner == piece.owner and p.low - 3 <= y <= p.high + 3]
        crossed = sorted(
            {
                p.place
                for p in near
                if p.owner != piece.owner
                and piece.low + 1 < p.place < piece.high - 1
                and p.low + 0.5 < y < p.high - 0.5
                and all(abs(p.place - o) > HOP + 0.5 for o in own)
            }
        )
        shapes.append(Line(tuple(_hopping(piece.low, piece.high, y, crossed)), piece.role))
    shapes += [
        Line(((p.place, p.low), (p.place, p.high)), p.role)
        for p in uprights
        if p.high - p.low > 0.01
    ]
    return shapes


def _in_one(pieces: list[_Piece]) -> list[_Piece]:
    """Sort upright pieces, making one of those that follow on from each other."""
    result: list[_Piece] = []
    for piece in sorted(pieces, key=lambda p: (p.place, p.owner, p.role, p.low)):
        last = result[-1] if result else None
        if (
            last
            and (last.place, last.owner, last.role) == (piece.place, piece.owner, piece.role)
            and abs(last.high - piece.low) < 0.01
        ):
            result[-1] = replace(last, high=piece.high)
        else:
            result.append(piece)
    return sorted(result, key=lambda p: (p.place, p.low, p.owner))


def _hopping(left: float, right: float, y: float, crossed: list[float]) -> list[Point]:
    points: list[Point] = [(left, y)]
    for number, x in enumerate(crossed):
        room = min(
            [HOP, x - left, right - x]
            + [abs(x - other) / 2 for n, other in enumerate(crossed) if n != number]
        )
        turns = (math.pi * step / (HOP_POINTS - 1) for step in range(HOP_POINTS))
        points += [(x - room * math.cos(a), y - room * math.sin(a)) for a in turns]
    points.append((right, y))
    return points
