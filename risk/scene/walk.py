"""The walk over a family that sets its people down row by row.

Partners of a row who belong together form a *group*, which is never torn apart.  The walk sets
down group after group; `Choices` are what it may choose, and `risk.scene.order` improves them.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import partial
from itertools import combinations
from typing import Literal, NamedTuple

import networkx as nx

from risk.scene.family import Family, Partnership

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


class Walk:
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
        self.across = [[u for u in unions if not self.level[u]] for unions in self.unions]
        #: Partnerships of several children.
        self.sibships = [(u, kids) for u, kids in enumerate(self.children) if len(kids) > 1]
        #: Sibships of one row who share a parent, two by two, that of the first child first.
        self.half_siblings = self._half_siblings()
        self.twins = {
            number[id]: tuple(number[other] for other in group)
            for id, group in family.twins.items()
        }
        self.twin_groups = sorted(set(self.twins.values()))
        self.male_first = [self._male_first(family, c) for c in self.couples]
        self.printed = [
            int(match[1]) if (match := _NUMBERED.fullmatch(id)) else -1 for id in self.ids
        ]
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

    def _half_siblings(self) -> list[tuple[list[int], list[int]]]:
        pairs = []
        for unions in self.unions:
            sibships = sorted(kids for u in unions if (kids := self.children[u]))
            pairs += [
                (elder, younger)
                for elder, younger in combinations(sibships, 2)
                if self.row[elder[0]] == self.row[younger[0]]
            ]
        return pairs

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
        level = nx.Graph()
        level.add_nodes_from(range(len(self.ids)))
        level.add_edges_from(
            [
                pair
                for pair, side_by_side in zip(self.pairs, self.level, strict=True)
                if side_by_side
            ]
        )
        groups = [self._in_line(list(members)) for members in nx.connected_components(level)]
        for number, group in enumerate(groups):
            for member in group:
                self.group_of[member] = number
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
        tied = nx.Graph()
        tied.add_nodes_from(range(len(groups)))
        for (a, b), kids in zip(self.pairs, self.children, strict=True):
            nx.add_path(tied, [self.group_of[person] for person in (a, b, *kids)])
        self.part_of = [0] * len(groups)
        for part, members in enumerate(nx.connected_components(tied)):
            for number in members:
                self.part_of[number] = part
        best: dict[int, int] = {}
        for number, group in enumerate(groups):
            home = self.part_of[number]
            if home not in best or self.row[group[0]] < self.row[groups[best[home]][0]]:
                best[home] = number
        return list(best.values())

    def rows(self, choices: Choices) -> list[list[int]]:
        """Set the family down as the choices say: the row contents from left to right."""
        return _SettingDown(self, choices).rows

    def along_line(self, line: list[int]) -> list[int]:
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


class _SettingDown:
    """One walk over the family: what is set down so far, and the tasks still to do, next last.

    A task is done by a method, which may put others before those that wait.
    """

    def __init__(self, walk: Walk, choices: Choices) -> None:
        """Set everyone down, beginning from each root."""
        self.walk = walk
        self.choices = choices
        self.rows: list[list[int]] = [[] for _ in range(walk.depth)]
        self.begun = [False] * len(choices.groups)
        self.routed = [False] * len(walk.couples)
        self.met = [False] * len(walk.couples)
        self.tasks: list[partial[None]] = []
        for root in reversed(choices.roots):
            self.tasks.append(partial(self._group, root, len(choices.groups[root]) / 2 - 0.5))
        while self.tasks:
            self.tasks.pop()()

    def _group(self, group: int, split: float) -> None:
        """The families of members left of `split`, the group and its children, the families of
        members to the right."""
        if self.begun[group]:
            return
        self.begun[group] = True
        walk, line = self.walk, self.choices.groups[group]
        before: list[partial[None]] = []
        after: list[partial[None]] = []
        for position, member in enumerate(line):
            union = walk.parents[member]
            if union >= 0 and not self.met[union]:
                (before if position <= split else after).append(partial(self._family, union))
        then = [partial(self._children, union) for union in walk.along_line(line)] + after
        if before:
            self.tasks += reversed([*before, partial(self._members, group), *then])
        else:
            self._members(group)
            self.tasks += reversed(then)

    def _family(self, union: int) -> None:
        """The groups of two parents, then their children."""
        self.met[union] = True
        spots: dict[int, list[int]] = {}
        for partner in self.walk.pairs[union]:
            group = self.walk.group_of[partner]
            spots.setdefault(group, []).append(self.choices.groups[group].index(partner))
        self.tasks.append(partial(self._children, union))
        for group, found in reversed(spots.items()):
            self.tasks.append(partial(self._group, group, sum(found) / len(found)))

    def _children(self, union: int) -> None:
        """The groups of two partners, where they wait still, then those of their children."""
        self.met[union] = True
        for person in (*reversed(self.choices.siblings[union]), *self.walk.pairs[union]):
            group = self.walk.group_of[person]
            if not self.begun[group]:
                split = self.choices.groups[group].index(person)
                self.tasks.append(partial(self._group, group, split))

    def _members(self, group: int) -> None:
        """The members of a group, the lines that pass down to them, and those to partners who
        stand in another row."""
        walk, line = self.walk, self.choices.groups[group]
        row = walk.row[line[0]]
        self.rows[row] += line
        for member in line:
            for step, through in enumerate(reversed(walk.throughs[member])):
                self.rows[row - 1 - step].append(through)
            for union in walk.across[member]:
                if not self.routed[union] and all(self._begun_with(p) for p in walk.pairs[union]):
                    self.routed[union] = True
                    top = min(walk.row[partner] for partner in walk.pairs[union])
                    for step, route in enumerate(walk.routes[union]):
                        self.rows[top + 1 + step].append(route)

    def _begun_with(self, person: int) -> bool:
        return self.begun[self.walk.group_of[person]]
