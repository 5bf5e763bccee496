"""The order of people from left to right within each row.

Partners of a row who belong together form a *group*, which is never torn apart.  A walk over
the family sets down group after group; what the walk may choose (order of siblings, order
within a group, where it starts) is improved by a fixed number of seeded changes, each kept when
the drawing does not get worse.  The same family gives the same order.
"""

from __future__ import annotations

import random
import re
from bisect import bisect_right, insort
from dataclasses import dataclass
from typing import Literal, NamedTuple

from risk.scene.family import Family, Partnership

#: What is bad about an order, and how bad.
APART = 20.0
FOREIGN_IN_SIBSHIP = 10.0
CROSSING = 5.0
TWINS_APART = 4.0
BIRTH_ORDER = 1.0
KEEP = 15.0  # how much worse an order may be if it is the one of the earlier drawing
INVERSION = 0.1  # for each pair of siblings the wrong way round, so that few people move
MALE_RIGHT = 0.3
NUMBERS_BACKWARDS = 0.05

_NUMBERED = re.compile(r"[IVXLC]+[-.](\d+)")


class Place(NamedTuple):
    """What stands in a row: a person, or a line that passes through on its way down.

    `ref` is the person; of a ``through`` the child whose individual line passes; of a ``route``
    the number of the partnership whose line passes.
    """

    kind: Literal["person", "through", "route"]
    ref: str | int


@dataclass(slots=True)
class Choices:
    """What the walk chooses: siblings of each partnership, members of each group, roots."""

    siblings: list[list[int]]
    groups: list[list[int]]
    roots: list[int]


class _Walk:
    """The family in numbers, and the walk over it."""

    def __init__(self, family: Family, row: dict[str, int]) -> None:
        self.ids = list(family.people)
        number = {id: n for n, id in enumerate(self.ids)}
        self.row = [row[id] for id in self.ids]
        self.depth = max(self.row, default=-1) + 1
        self.couples: list[Partnership] = family.partnerships
        self.pairs = [(number[c.partners[0]], number[c.partners[1]]) for c in self.couples]
        self.children = [[number[id] for id in c.children] for c in self.couples]
        self.parents = [family.parents[id].index if id in family.parents else -1 for id in self.ids]
        self.unions = [[c.index for c in family.unions[id]] for id in self.ids]
        self.level = [self.row[a] == self.row[b] for a, b in self.pairs]
        self.twins = {
            number[id]: tuple(number[other] for other in group)
            for id, group in family.twins.items()
        }
        self.twin_groups = sorted(set(self.twins.values()))
        self.male_first = [self._male_first(family, c) for c in self.couples]
        self.printed = [
            int(match[1]) if (match := _NUMBERED.fullmatch(id)) else -1 for id in self.ids
        ]
        self.bad: set[int] = set()  # sibships that the last order judged is not good for
        self.along: dict[tuple[int, ...], list[int]] = {}
        self.group_of = [-1] * len(self.ids)
        self.first_groups = self._make_groups()
        # Lines that pass through a row, as numbers after the people.
        self.passing: list[Place] = []
        self.throughs: list[list[int]] = [[] for _ in self.ids]  # by child, top row first
        self.routes: list[list[int]] = [[] for _ in self.couples]
        self._make_passing()
        self.kin = [
            sorted({p for c in kids for u in self.unions[c] for p in self.pairs[u]} | set(kids))
            for kids in self.children
        ]

    @staticmethod
    def _male_first(family: Family, couple: Partnership) -> int:
        """1 where the first partner belongs left, -1 where the second does, 0 for neither."""
        shapes = [family.people[id].sex for id in couple.partners]
        if shapes[0] == shapes[1]:
            return 0
        if shapes[0] == "male" or shapes[1] == "female":
            return 1
        return -1

    def _make_groups(self) -> list[list[int]]:
        groups: list[list[int]] = []
        for start in range(len(self.ids)):
            if self.group_of[start] >= 0:
                continue
            members, stack = {start: None}, [start]
            while stack:
                for near in self._near(stack.pop()):
                    if near not in members:
                        members[near] = None
                        stack.append(near)
            for member in members:
                self.group_of[member] = len(groups)
            groups.append(self._in_line(list(members)))
        return groups

    def _near(self, person: int) -> list[int]:
        return [
            self.pairs[u][0] + self.pairs[u][1] - person
            for u in self.unions[person]
            if self.level[u]
        ]

    def _in_line(self, members: list[int]) -> list[int]:
        """Put a group in a row so that as many partners as possible are neighbours."""
        if len(members) == 1:
            return members
        if len(members) == 2:
            couple = next(u for u in self.unions[members[0]] if set(self.pairs[u]) == set(members))
            line = list(self.pairs[couple])
            return line[::-1] if self.male_first[couple] < 0 else line
        centre = max(members, key=lambda m: (len(self._near(m)), -m))
        left: list[int] = []
        right: list[int] = []
        seen = {centre}
        # One partner to the left, the next to the right, further ones beyond these.
        for number, partner in enumerate(self._near(centre)):
            side = left if number == 0 else right
            stack = [partner]
            while stack:
                member = stack.pop()
                if member not in seen:
                    seen.add(member)
                    side.append(member)
                    stack += [m for m in reversed(self._near(member)) if m not in seen]
        return [*reversed(left), centre, *right]

    def _make_passing(self) -> None:
        first = len(self.ids)

        def passing(place: Place) -> int:
            self.passing.append(place)
            return first + len(self.passing) - 1

        for child, union in enumerate(self.parents):
            if union >= 0:
                top = max(self.row[p] for p in self.pairs[union])
                self.throughs[child] = [
                    passing(Place("through", self.ids[child]))
                    for _ in range(top + 1, self.row[child])
                ]
        for union, (a, b) in enumerate(self.pairs):
            low, high = sorted((self.row[a], self.row[b]))
            self.routes[union] = [passing(Place("route", union)) for _ in range(low + 1, high)]

    def start(self) -> Choices:
        """First choices: siblings in file order, save that those who link two families by
        marriage stand at the end of their sibship that faces the partner."""
        siblings = [list(kids) for kids in self.children]
        groups = [list(group) for group in self.first_groups]
        taken: set[tuple[int, str]] = set()
        for group in groups:
            if len(group) != 2:
                continue
            unions = [self.parents[member] for member in group]
            if any(u < 0 or len(self.children[u]) < 2 for u in unions) or unions[0] == unions[1]:
                continue
            for _ in range(2):
                wanted = [(unions[0], "right"), (unions[1], "left")]
                if not any(place in taken for place in wanted):
                    break
                group.reverse()
                unions.reverse()
            else:
                continue
            taken.update(wanted)
            for member, (union, side) in zip(group, wanted, strict=True):
                block = [k for k in siblings[union] if k in self.twins.get(member, (member,))]
                block.remove(member)
                rest = [k for k in siblings[union] if k != member and k not in block]
                siblings[union] = (
                    [*rest, *block, member] if side == "right" else [member, *block, *rest]
                )
        return Choices(siblings, groups, self._roots(groups))

    def _roots(self, groups: list[list[int]]) -> list[int]:
        """One group of each connected part, from its top row, in file order."""
        part = list(range(len(groups)))

        def find(x: int) -> int:
            while part[x] != x:
                part[x] = part[part[x]]
                x = part[x]
            return x

        for (a, b), kids in zip(self.pairs, self.children, strict=True):
            for other in (b, *kids):
                x, y = find(self.group_of[a]), find(self.group_of[other])
                part[max(x, y)] = min(x, y)
        best: dict[int, int] = {}
        for number, group in enumerate(groups):
            home = find(number)
            if home not in best or self.row[group[0]] < self.row[groups[best[home]][0]]:
                best[home] = number
        self.part_of = [find(number) for number in range(len(groups))]
        return list(best.values())

    def rows(self, choices: Choices) -> list[list[int]]:
        """Set the family down as the choices say: the row contents from left to right."""
        rows: list[list[int]] = [[] for _ in range(self.depth)]
        begun = [False] * len(choices.groups)
        placed_route = [False] * len(self.couples)
        done_family = [False] * len(self.couples)
        tasks: list[tuple[str, int, float]] = []
        for root in reversed(choices.roots):
            tasks.append(("group", root, len(choices.groups[root]) / 2 - 0.5))
        while tasks:
            kind, a, split = tasks.pop()
            if kind == "group":
                # The families of members left of `split` come first, then the group and its
                # children, then the families of members to the right.
                if begun[a]:
                    continue
                begun[a] = True
                line = choices.groups[a]
                before: list[tuple[str, int, float]] = []
                after: list[tuple[str, int, float]] = []
                for position, member in enumerate(line):
                    union = self.parents[member]
                    if union >= 0 and not done_family[union]:
                        (before if position <= split else after).append(("family", union, 0))
                below = [("children", union, 0.0) for union in self._along(line)]
                tasks += reversed([*before, ("place", a, 0.0), *below, *after])
            elif kind == "family":
                done_family[a] = True
                spots: dict[int, list[int]] = {}
                for partner in self.pairs[a]:
                    group = self.group_of[partner]
                    spots.setdefault(group, []).append(choices.groups[group].index(partner))
                tasks.append(("children", a, 0.0))
                for group, found in reversed(spots.items()):
                    tasks.append(("group", group, sum(found) / len(found)))
            elif kind == "children":
                done_family[a] = True
                for child in reversed(choices.siblings[a]):
                    group = self.group_of[child]
                    if not begun[group]:
                        tasks.append(("group", group, choices.groups[group].index(child)))
                for partner in self.pairs[a]:
                    group = self.group_of[partner]
                    if not begun[group]:
                        tasks.append(("group", group, choices.groups[group].index(partner)))
            else:
                for member in choices.groups[a]:
                    row = self.row[member]
                    rows[row].append(member)
                    for step, through in enumerate(reversed(self.throughs[member])):
                        rows[row - 1 - step].append(through)
                    for union in self.unions[member]:
                        if not self.level[union] and not placed_route[union]:
                            other = self.pairs[union][0] + self.pairs[union][1] - member
                            if begun[self.group_of[other]]:
                                placed_route[union] = True
                                top = min(row, self.row[other])
                                for step, route in enumerate(self.routes[union]):
                                    rows[top + 1 + step].append(route)
        return rows

    def _along(self, line: list[int]) -> list[int]:
        """The partnerships of a group from left to right."""
        if len(line) == 1:
            return self.unions[line[0]]
        key = tuple(line)
        if key not in self.along:
            self.along[key] = self._from_left(line)
        return self.along[key]

    def _from_left(self, line: list[int]) -> list[int]:
        seen: dict[int, float] = {}
        spot = {member: n for n, member in enumerate(line)}
        for member in line:
            for union in self.unions[member]:
                a, b = self.pairs[union]
                seen[union] = spot.get(a, spot[member]) + spot.get(b, spot[member])
        return sorted(seen, key=lambda u: seen[u])

    def cost(self, rows: list[list[int]]) -> float:
        """How bad an order is; the weights are at the top of this module."""
        spot = [0] * (len(self.ids) + len(self.passing))
        for items in rows:
            for position, item in enumerate(items):
                spot[item] = position
        total = 0.0
        self.bad = bad = set()
        channels: list[list[tuple[float, int]]] = [[] for _ in range(self.depth)]
        row, printed = self.row, self.printed
        for union, (a, b) in enumerate(self.pairs):
            kids = self.children[union]
            if self.level[union]:
                apart = spot[b] - spot[a]
                if apart not in (1, -1):
                    total += APART + 0.1 * abs(apart)
                if apart * self.male_first[union] < 0:
                    total += MALE_RIGHT
                middle, top = (spot[a] + spot[b]) / 2, row[a]
            else:
                lower, upper = (a, b) if row[a] > row[b] else (b, a)
                middle, top = spot[lower] + 0.25, row[lower]
                chain = [*self.routes[union], lower]
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
                throughs = self.throughs[child]
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
                        1 for k in self.kin[union] if row[k] == level and left <= spot[k] <= right
                    )
                    if right - left + 1 > own:
                        bad.add(union)
                        total += FOREIGN_IN_SIBSHIP * (right - left + 1 - own)
        for group in self.twin_groups:
            places_of = [spot[member] for member in group]
            apart = max(places_of) - min(places_of) + 1 - len(group)
            if apart:
                bad.add(self.parents[group[0]])
                total += TWINS_APART * apart
        for edges in channels:
            edges.sort()
            ends: list[int] = []
            for _, end in edges:
                position = bisect_right(ends, end)
                total += CROSSING * (len(ends) - position)
                insort(ends, end)
        people = len(self.ids)
        for items in rows:
            last = -1
            for item in items:
                if item < people and printed[item] >= 0:
                    if printed[item] < last:
                        total += NUMBERS_BACKWARDS
                    last = printed[item]
        return total


def _inversions(numbers: list[int]) -> int:
    """How many pairs stand the wrong way round."""
    return sum(a > b for n, a in enumerate(numbers) for b in numbers[n + 1 :])


def arrange(
    family: Family, row: dict[str, int], previous: dict[str, float] | None = None
) -> list[list[Place]]:
    """Return the contents of each row from left to right.

    `previous` gives the x of people in an earlier drawing of the family, whose order is kept
    unless another is clearly better.
    """
    walk = _Walk(family, row)
    choices = walk.start()
    kept = _as_before(walk, choices.groups, previous) if previous else None
    rows = _improved(walk, choices)
    if kept is not None and walk.cost(kept) <= 1.5 * walk.cost(rows) + KEEP:
        rows = kept
    people = len(walk.ids)
    return [
        [
            Place("person", walk.ids[item]) if item < people else walk.passing[item - people]
            for item in items
        ]
        for items in rows
    ]


def _as_before(walk: _Walk, groups: list[list[int]], previous: dict[str, float]) -> list[list[int]]:
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


def _improved(walk: _Walk, choices: Choices) -> list[list[int]]:
    rows = walk.rows(choices)
    best = walk.cost(rows)
    bad = sorted(walk.bad)
    chooser = random.Random(7)
    unions = [u for u, kids in enumerate(choices.siblings) if len(kids) > 1]
    groups = [g for g, line in enumerate(choices.groups) if len(line) > 1]
    size = len(walk.ids)
    tries = 700 if size <= 60 else 600 if size <= 400 else 400
    quiet = 0
    for _ in range(tries):
        if best < 0.05 or not (unions or groups) or quiet > 80 + 6 * (len(unions) + len(groups)):
            break
        undo = _change(walk, choices, unions, groups, bad, chooser)
        changed = walk.rows(choices)
        cost = walk.cost(changed)
        if cost <= best:
            bad = sorted(walk.bad)
            quiet = quiet + 1 if cost > best - 1e-9 else 0
            best, rows = cost, changed
        else:
            quiet += 1
            for line, before in undo:
                line[:] = before
    return rows


def _change(
    walk: _Walk,
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


def _send(walk: _Walk, siblings: list[int], member: int, where: int) -> None:
    """Move a sibling, with the whole twin group, so that the sibling is at `where`."""
    block = [k for k in siblings if k in walk.twins.get(member, (member,))]
    rest = [k for k in siblings if k not in block]
    block.remove(member)
    where = min(where, len(rest))
    while 0 < where < len(rest) and rest[where - 1] in walk.twins.get(rest[where], ()):
        where += 1  # never into a pair of twins
    block = [*block, member] if where == len(rest) else [member, *block]
    siblings[:] = [*rest[:where], *block, *rest[where:]]
