"""A drawing that no sheet can hold, as drawings that sheets can: to be read one by one, or glued.

Each part has the numerals of its generations at its left, everybody whole on one part at least,
and marks where it goes on.  The key is with the first part that has room for it.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from risk.scene.shapes import (
    LINE_ROLES,
    Box,
    Line,
    Point,
    Scene,
    Shape,
    Text,
    box_of,
    moved,
    union_box,
)

#: Left of each part, for the numerals of the generations.
STRIP = 34.0
#: Round what is not cut.
_AIR = 2.0
#: Between a part of the tree and the key.
_GAP = 16.0
#: Length of the marks where a part goes on.
_TICK = 7.0
#: So far the marks of a couple reach from the line between them.
_MARK = 14.0
#: What it costs to cut a person or text, a couple, and any other line.
_UNIT, _COUPLE, _LINE = 1000, 10, 1
_ASIDE = ("title", "caution", "key", "numeral")
#: What is written round a part, which shows nothing of the family.
_ROUND = ("numeral", "mark")


def parts_of(scene: Scene, width: float, height: float) -> list[Scene]:
    """Return the scene as several of at most `width` by `height`; without title and caution."""
    tree = [shape for shape in scene.items if shape.role not in _ASIDE]
    boxes: dict[object, list[Box]] = {}
    for number, shape in enumerate(tree):
        if not _is_line(shape):
            boxes.setdefault(shape.person or number, []).append(box_of(shape))
    units = {unit: union_box(found) for unit, found in boxes.items()}
    lines = [shape for shape in tree if _is_line(shape)]
    whole = union_box([box_of(shape) for shape in tree])
    ways: list[list[tuple[Box, float]]] = []  # boxes, each with where the one before it ends
    for even in (True, False):
        ways.append([])
        for top, bottom in _spans([*units.values()], (), whole, height, level=False, even=even):
            band = [box for box in units.values() if box[1] < bottom and box[3] > top]
            row = [line for line in lines if box_of(line)[1] < bottom and box_of(line)[3] > top]
            across = union_box([*band, *map(box_of, row)])
            pieces = _spans(band, row, across, width - STRIP, level=True)
            cuts = [across[0], *(right for _, right in pieces)]
            ways[-1] += [
                ((left, top, right, bottom), cut)
                for (left, right), cut in zip(pieces, cuts, strict=False)
            ]
    found = []
    for way in ways:
        parts = [_part(scene, tree, units, box, whole, cut) for box, cut in way]
        # Between families that stand far from each other a sheet may have nothing to show.
        found.append([part for part in parts if any(s.role not in _ROUND for s in part.items)])
    key = [s for s in scene.items if s.role == "key"]
    return _with_key(min(found, key=len), key, width, height)


def people_of(part: Scene) -> list[str]:
    """The people who stand whole on a part, in reading order."""
    there = {shape.person for shape in part.items if shape.person}
    return [id for id, _, _ in part.anchors if id in there]


def _is_line(shape: Shape) -> bool:
    return isinstance(shape, Line) and shape.role in LINE_ROLES


def _spans(
    units: Sequence[Box],
    lines: Sequence[Shape],
    whole: Box,
    room: float,
    *,
    level: bool,
    even: bool = True,
) -> list[tuple[float, float]]:
    """Return the fewest pieces along one axis of at most `room` each, cut where it costs least.

    A piece after a cut unit or couple begins before that, so that it stands whole on one of
    them.  Of cuts that cost the same, those that make even pieces are taken, or uneven ones.
    """
    a, b = (0, 2) if level else (1, 3)
    first, last = whole[a] - _AIR, whole[b] + _AIR
    if last - first <= room:
        return [(first, last)]
    edges = [(box[a] - _AIR, box[b] + _AIR) for box in units]
    couples = [_couple(box_of(line), units) for line in lines if line.role == "partnership"]
    others = [box_of(line) for line in lines if line.role != "partnership"]
    weighed = [
        (_UNIT, sorted(low for low, _ in edges), sorted(high for _, high in edges)),
        (_COUPLE, sorted(box[a] for box in couples), sorted(box[b] for box in couples)),
        (_LINE, sorted(box[a] for box in others), sorted(box[b] for box in others)),
    ]
    ends = sorted({end for edge in edges for end in edge if first < end < last})
    # Where nothing ends within a sheet, as on a single wide text, it is cut all the same.
    ends = sorted({*ends, *_filling(first, ends, last, room), last})
    kept = [*edges, *((box[a] - _AIR, box[b] + _AIR) for box in couples)]
    small = [(low, high) for low, high in kept if high - low <= room / 2]
    starts = {end: min([end, *(low for low, high in small if low < end < high)]) for end in ends}
    starts[first] = first
    best: dict[float, tuple[tuple[int, int, float], list[float]]] = {first: ((0, 0, 0.0), [])}
    reached = [first]
    for end in ends:
        cost = 0
        if end < last:
            for weight, lows, highs in weighed:
                cost += weight * (bisect_left(lows, end) - bisect_right(highs, end))
        ways = []
        for cut in reached[bisect_left(reached, end - 1.5 * room) :]:
            long = end - starts[cut]
            if cut in best and 0 < long <= room:
                (pieces, paid, uneven), cuts = best[cut]
                ways.append(
                    (
                        (pieces + 1, paid + cost, uneven + (long if even else -long) * long),
                        [*cuts, end],
                    )
                )
        if ways:
            best[end] = min(ways, key=lambda way: way[0])
        reached.append(end)
    cuts = best[last][1]
    return [(starts[cut], end) for cut, end in zip([first, *cuts], cuts, strict=False)]


def _couple(line: Box, units: Sequence[Box]) -> Box:
    """The box of a line between partners and of the two."""
    y, ends = line[1], (line[0], line[2])
    there = [
        box
        for box in units
        if box[1] <= y <= box[3] and any(box[0] - _AIR <= x <= box[2] + _AIR for x in ends)
    ]
    return union_box([line, *there])


def _filling(first: float, ends: Sequence[float], last: float, room: float) -> Iterator[float]:
    """Yield cuts where from one place to the next no piece would reach."""
    for low, high in zip([first, *ends], [*ends, last], strict=True):
        while high - low > room / 2:
            low += room / 2
            yield low


def _part(
    scene: Scene,
    tree: list[Shape],
    units: dict[object, Box],
    box: Box,
    whole: Box,
    cut: float,
) -> Scene:
    """What of the tree is within a box, with the numerals at its left and marks at its cuts.

    Where the part before, which ends at `cut`, shows the whole line between partners of whom one
    is repeated here, the line is not: its end would lead nowhere.
    """
    left, top, right, bottom = box
    items: list[Shape] = []
    done = _done(tree, units, left, cut)
    for number, shape in enumerate(tree):
        if isinstance(shape, Line) and _is_line(shape):
            if shape.role == "partnership" and any(_overlap(box_of(shape), each) for each in done):
                continue
            items += [replace(shape, points=points) for points in _clipped(shape.points, box)]
            continue
        x1, y1, x2, y2 = units[shape.person or number]
        if left <= x1 and x2 <= right and top <= y1 and y2 <= bottom:
            items.append(shape)
    dx, dy, deep = STRIP - left, -top, bottom - top
    items = [moved(shape, dx, dy) for shape in items]
    for shape in scene.items:
        if isinstance(shape, Text) and shape.role == "numeral" and top < shape.y < bottom:
            items.append(replace(shape, x=0.0, y=shape.y + dy, anchor="start"))
    cuts = [left + dx] * (left > whole[0]) + [right + dx] * (right < whole[2])
    for x in cuts:
        for y in (0.0, deep - _TICK):
            items.append(Line(((x, y), (x, y + _TICK)), "mark", width=0.5))
    return replace(scene, width=STRIP + right - left, height=deep, items=tuple(items))


def _done(tree: list[Shape], units: dict[object, Box], left: float, cut: float) -> list[Box]:
    """Where lines between partners are that only the part before shows whole, with their marks."""
    done = []
    downs = [box_of(shape) for shape in tree if shape.role == "descent"]
    for line in (box_of(shape) for shape in tree if shape.role == "partnership"):
        x1, y1, x2, y2 = line
        if not left < x2 <= cut:
            continue
        begins, _, ends, _ = _couple(line, [*units.values()])
        children = any(left <= down[0] <= x2 and y1 - 1 <= down[1] <= y2 + 1 for down in downs)
        if begins < left < ends and not children:
            done.append((x1, y1 - _MARK, x2, y2 + _MARK))
    return done


def _clipped(points: Sequence[Point], box: Box) -> Iterator[tuple[Point, ...]]:
    """Yield what of a line through points is within a box."""
    run: list[Point] = []
    for start, end in pairwise(points):
        kept = _segment(start, end, box)
        if run and (kept is None or kept[0] != run[-1]):
            yield tuple(run)
            run = []
        if kept is not None:
            run = [*(run or kept[:1]), kept[1]]
    if run:
        yield tuple(run)


def _segment(start: Point, end: Point, box: Box) -> tuple[Point, Point] | None:
    """What of a segment is within a box; None for nothing."""
    begins, ends = 0.0, 1.0
    for axis in (0, 1):
        at, by = start[axis], end[axis] - start[axis]
        low, high = box[axis] - at, box[axis + 2] - at
        if by == 0:
            if low > 0 or high < 0:
                return None
            continue
        shares = sorted((low / by, high / by))
        begins, ends = max(begins, shares[0]), min(ends, shares[1])
    if begins > ends:
        return None
    (x, y), dx, dy = start, end[0] - start[0], end[1] - start[1]
    first = start if begins == 0 else (x + begins * dx, y + begins * dy)
    return first, end if ends == 1 else (x + ends * dx, y + ends * dy)


def _with_key(parts: list[Scene], key: Sequence[Shape], width: float, height: float) -> list[Scene]:
    """The parts, with the key under, beside or in the first with room for it, else by itself."""
    if not key:
        return parts
    left, top, right, bottom = union_box([box_of(shape) for shape in key])
    wide, deep = right - left + 2 * _AIR, bottom - top + 2 * _AIR

    def added(part: Scene, x: float, y: float) -> Scene:
        shapes = [moved(shape, x + _AIR - left, y + _AIR - top) for shape in key]
        return replace(
            part,
            width=max(part.width, x + wide),
            height=max(part.height, y + deep),
            items=(*part.items, *shapes),
        )

    for number, part in enumerate(parts):
        drawn = [box_of(shape) for shape in part.items]
        outside = [(STRIP, part.height + _GAP + _AIR), (part.width + _GAP + _AIR, 0.0)]
        inside = [(x, y) for x in (STRIP, width - wide) for y in (part.height - deep, 0.0)]
        for x, y in (*outside, *inside):
            fits = x >= STRIP and y >= 0 and x + wide <= width and y + deep <= height
            box = (x - _GAP, y - _GAP, x + wide + _GAP, y + deep + _GAP)
            if fits and not any(_overlap(box, each) for each in drawn):
                return [*parts[:number], added(part, x, y), *parts[number + 1 :]]
    return [*parts, added(replace(parts[-1], width=0.0, height=0.0, items=()), STRIP, 0.0)]


def _overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
