"""Reads a family back from a drawing, and lists what is wrong with the drawing.

Works on the shapes alone: which symbols a line meets is found by geometry, never asked of the
layout.  So what it reads is what a person who looks at the drawing would read.
"""

from __future__ import annotations

import itertools
from collections import defaultdict

from risk.case.model import Case
from risk.scene.shapes import (
    LINE_ROLES,
    Box,
    Circle,
    Line,
    Point,
    Polygon,
    Scene,
    Shape,
    Text,
    box_of,
)

TOUCH = 0.6
JOIN = 2.3  # half the distance of a double line, and a little
Segment = tuple[Point, Point]


def faults(scene: Scene, case: Case) -> list[str]:
    """Return every fault found; an empty list is a correct drawing."""
    return [
        *_complete(scene, case),
        *_inside_sheet(scene),
        *_overlaps(scene),
        *_lines_through(scene),
        *_on_top_of_each_other(scene),
        *_levels(scene, case),
        *_loose_ends(scene),
        *_families(scene, case),
    ]


def _complete(scene: Scene, case: Case) -> list[str]:
    found = []
    outlines: dict[str, int] = defaultdict(int)
    for shape in scene.items:
        if shape.role == "symbol" and isinstance(shape, (Circle, Polygon)):
            outlines[str(shape.person)] += 1
    for person in case.people:
        if outlines[person.id] != 1:
            found.append(f"{person.id} is drawn {outlines[person.id]} times")
    listed = [figure.person for figure in scene.figures]
    if sorted(listed) != sorted(person.id for person in case.people):
        found.append("the figures are not the people")
    return found


def _inside_sheet(scene: Scene) -> list[str]:
    found = []
    for shape in scene.items:
        left, top, right, bottom = box_of(shape)
        if left < 0 or top < 0 or right > scene.width or bottom > scene.height:
            found.append(f"off the sheet: {shape}")
    return found


def boxes(scene: Scene) -> list[tuple[Box, Shape]]:
    """Boxes of everything of people, numerals, key and texts; lines of the tree are not."""
    return [(box_of(s), s) for s in scene.items if s.role not in LINE_ROLES]


def _overlaps(scene: Scene) -> list[str]:
    """Pairs of boxes of different people (or of a person and other text) nearer than 1."""
    found = []
    items = sorted(
        ((b, s) for b, s in boxes(scene) if not (s.role == "key" and not isinstance(s, Text))),
        key=lambda pair: pair[0],
    )
    active: list[tuple[Box, Shape]] = []
    for box, shape in items:
        active = [(b, s) for b, s in active if b[2] > box[0] - 1]
        for b, s in active:
            alike = s.person == shape.person and (
                s.person is not None or s.role == shape.role == "key"
            )
            if alike and not (isinstance(s, Text) and isinstance(shape, Text)):
                continue
            near = 1.0 if s.person != shape.person else 0.0
            if s.role == shape.role == "key":
                near = 0.0
            if b[1] < box[3] + near and box[1] < b[3] + near and b[2] + near > box[0]:
                found.append(f"overlap: {s} and {shape}")
        active.append((box, shape))
    return found


def segments(scene: Scene) -> list[tuple[Segment, Line]]:
    """Straight pieces of the lines of the tree."""
    return [
        ((a, b), s)
        for s in scene.items
        if isinstance(s, Line) and s.role in LINE_ROLES
        for a, b in zip(s.points, s.points[1:], strict=False)
    ]


def _meets_box(segment: Segment, box: Box) -> bool:
    """Whether a segment enters the inside of a box (Liang and Barsky's clipping)."""
    (x1, y1), (x2, y2) = segment
    low, high = 0.0, 1.0
    for p, q in (
        (x1 - x2, x1 - box[0]),
        (x2 - x1, box[2] - x1),
        (y1 - y2, y1 - box[1]),
        (y2 - y1, box[3] - y1),
    ):
        if p == 0:
            if q <= 0:
                return False
        elif p < 0:
            low = max(low, q / p)
        else:
            high = min(high, q / p)
    return low < high - 1e-9


def _shrunk(box: Box, by: float) -> Box:
    return (box[0] + by, box[1] + by, box[2] - by, box[3] - by)


def _lines_through(scene: Scene) -> list[str]:
    found = []
    targets: list[tuple[Box, Shape]] = []
    for shape in scene.items:
        if isinstance(shape, Text):
            targets.append((_shrunk(box_of(shape), 0.5), shape))
        elif shape.role == "symbol" and isinstance(shape, (Circle, Polygon)):
            box = box_of(shape)
            # A box inside the outline: lines end on round and slanting sides within the box.
            by = (
                0.5
                if isinstance(shape, Polygon)
                and len(shape.points) == 4
                and (shape.points[0][1] == shape.points[1][1])
                else 0.3 * (box[2] - box[0])
            )
            targets.append((_shrunk(box, by), shape))
        elif shape.role == "mark" and isinstance(shape, Polygon):
            targets.append((_shrunk(box_of(shape), 0.5), shape))
    targets.sort(key=lambda pair: pair[0])
    widest = max((b[2] - b[0] for b, _ in targets), default=0.0)
    starts = [b[0] for b, _ in targets]
    from bisect import bisect_left

    for segment, line in segments(scene):
        left, right = sorted((segment[0][0], segment[1][0]))
        for box, shape in targets[bisect_left(starts, left - widest) :]:
            if box[0] > right:
                break
            if shape.role in LINE_ROLES and isinstance(shape, Text):
                continue  # the question mark of twins, between their lines
            if _meets_box(segment, box):
                found.append(f"{line.role} {segment} runs through {shape}")
    return found


def _on_top_of_each_other(scene: Scene) -> list[str]:
    """Parallel upright or level pieces of different lines that overlap."""
    found = []
    upright, level = [], []
    for (a, b), line in segments(scene):
        if abs(a[0] - b[0]) < 0.01 and abs(a[1] - b[1]) > 1:
            upright.append((a[0], min(a[1], b[1]), max(a[1], b[1]), line))
        elif abs(a[1] - b[1]) < 0.01 and abs(a[0] - b[0]) > 1:
            level.append((a[1], min(a[0], b[0]), max(a[0], b[0]), line))
    for pieces in (upright, level):
        pieces.sort(key=lambda piece: piece[:3])
        for number, (place, low, high, line) in enumerate(pieces):
            for other_place, other_low, other_high, other in pieces[number + 1 :]:
                if other_place > place + 2.5:
                    break
                if other is not line and min(high, other_high) - max(low, other_low) > 0.5:
                    found.append(f"on top of each other: {line} and {other}")
    return found


def _levels(scene: Scene, case: Case) -> list[str]:
    found = []
    y = {id: at for id, _, at in scene.anchors}
    for person in case.people:
        for parent in (person.father, person.mother):
            if parent is not None and y[person.id] - y[parent] < 40:
                found.append(f"{person.id} is not below {parent}")
        if person.twin is not None:
            for other in case.people:
                if (
                    other.twin
                    and other.twin.group == person.twin.group
                    and other.mother == person.mother
                    and abs(y[other.id] - y[person.id]) > 0.01
                ):
                    found.append(f"twins {person.id} and {other.id} are not level")
    return found


def _distance(point: Point, segment: Segment) -> float:
    (x, y), ((x1, y1), (x2, y2)) = point, segment
    dx, dy = x2 - x1, y2 - y1
    length = dx * dx + dy * dy
    t = 0.0 if length == 0 else max(0.0, min(1.0, ((x - x1) * dx + (y - y1) * dy) / length))
    return float(((x - x1 - t * dx) ** 2 + (y - y1 - t * dy) ** 2) ** 0.5)


def outline_distance(point: Point, shape: Circle | Polygon) -> float:
    """How far a point is from a symbol's outline."""
    if isinstance(shape, Circle):
        return abs(((point[0] - shape.x) ** 2 + (point[1] - shape.y) ** 2) ** 0.5 - shape.radius)
    ring = [*shape.points, shape.points[0]]
    return min(_distance(point, pair) for pair in itertools.pairwise(ring))


def _symbols(scene: Scene) -> list[Circle | Polygon]:
    return [s for s in scene.items if s.role == "symbol" and isinstance(s, (Circle, Polygon))]


def _plain_lines(scene: Scene) -> tuple[list[Line], list[Line]]:
    """Lines that join people; and slashes of separation and bars of childlessness apart."""
    lines = [s for s in scene.items if isinstance(s, Line) and s.role in LINE_ROLES]
    ends: dict[tuple[int, int], int] = defaultdict(int)
    for line in lines:
        for x, y in (line.points[0], line.points[-1]):
            for dx in (-1, 0, 1):
                for dy in (-1, 0, 1):
                    ends[round(x) + dx, round(y) + dy] += 1
    plain, signs = [], []
    for line in lines:
        (x1, y1), (x2, y2) = line.points[0], line.points[-1]
        slash = line.role == "partnership" and abs(x1 - x2) > 0.1 and abs(y1 - y2) > 0.1
        bar = (
            line.role == "partnership"
            and abs(y1 - y2) < 0.1
            and abs(abs(x1 - x2) - 14) < 0.01
            and ends[round(x1), round(y1)] == ends[round(x2), round(y2)] == 1
        )
        (signs if slash or bar else plain).append(line)
    return plain, signs


def _touching(point: Point, lines: list[Line], index: dict[int, list[int]]) -> list[int]:
    found = []
    for number in index.get(int(point[0] // 50), ()):
        for pair in zip(lines[number].points, lines[number].points[1:], strict=False):
            if _distance(point, pair) < JOIN:
                found.append(number)
                break
    return found


def _grid(boxes_of: list[Box]) -> dict[int, list[int]]:
    index: dict[int, list[int]] = defaultdict(list)
    for number, box in enumerate(boxes_of):
        for cell in range(int((box[0] - 3) // 50), int((box[2] + 3) // 50) + 1):
            index[cell].append(number)
    return index


def _loose_ends(scene: Scene) -> list[str]:
    found = []
    lines, signs = _plain_lines(scene)
    index, symbols = _grid([box_of(s) for s in lines]), _symbols(scene)
    near = _grid([box_of(s) for s in symbols])
    for number, line in enumerate(lines):
        for end in (line.points[0], line.points[-1]):
            joined = [n for n in _touching(end, lines, index) if n != number]
            at = [
                n
                for n in near.get(int(end[0] // 50), ())
                if outline_distance(end, symbols[n]) < TOUCH
            ]
            if not joined and not at and not _foot_of_childless(line, end, signs):
                found.append(f"loose end {end} of {line}")
    return found


def _foot_of_childless(line: Line, end: Point, signs: list[Line]) -> bool:
    return line.role == "partnership" and any(
        _distance(end, (other.points[0], other.points[-1])) < TOUCH for other in signs
    )


Read = frozenset[tuple[frozenset[str], frozenset[str]]]


def read_families(scene: Scene) -> tuple[Read, list[str]]:
    """Walk the lines: return the partnerships, each with its children, and what is unclear."""
    lines, _ = _plain_lines(scene)
    index, symbols = _grid([box_of(s) for s in lines]), _symbols(scene)
    near = _grid([box_of(s) for s in symbols])
    home = list(range(len(lines)))

    def find(x: int) -> int:
        while home[x] != x:
            home[x] = home[home[x]]
            x = home[x]
        return x

    partners: dict[int, set[str]] = defaultdict(set)
    children: dict[int, set[str]] = defaultdict(set)
    meetings: list[tuple[int, str, bool]] = []
    for number, line in enumerate(lines):
        for end in (line.points[0], line.points[-1]):
            for other in _touching(end, lines, index):
                home[find(other)] = find(number)
            for n in near.get(int(end[0] // 50), ()):
                if outline_distance(end, symbols[n]) < TOUCH:
                    box = box_of(symbols[n])
                    at_top = abs(end[1] - box[1]) < TOUCH
                    meetings.append((number, str(symbols[n].person), at_top))
    for number, person, at_top in meetings:
        (children if at_top else partners)[find(number)].add(person)
    # The double lines of related partners are two lines of one couple.
    result: dict[frozenset[str], set[str]] = defaultdict(set)
    unclear = []
    for group in {find(n) for n in range(len(lines))}:
        if len(partners[group]) != 2:
            unclear.append(
                f"lines that join {sorted(partners[group])} with {sorted(children[group])}"
            )
        result[frozenset(partners[group])] |= children[group]
    return frozenset((pair, frozenset(kids)) for pair, kids in result.items()), unclear


def _families(scene: Scene, case: Case) -> list[str]:
    told: dict[frozenset[str], set[str]] = defaultdict(set)
    for person in case.people:
        if person.father is not None and person.mother is not None:
            told[frozenset((person.father, person.mother))].add(person.id)
    for couple in case.couples:
        told[frozenset(couple.partners)] |= set()
    read, found = read_families(scene)
    want = frozenset((pair, frozenset(kids)) for pair, kids in told.items())
    found += [f"drawn but not so: {sorted(map(sorted, one))}" for one in read - want]
    found += [f"not to be read: {sorted(map(sorted, one))}" for one in want - read]
    return found
