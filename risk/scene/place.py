"""The x of everybody and of every line that passes a row, by one linear programme.

Children are centred under their parents, partners stand close, nothing overlaps, the whole is
narrow.  Where neighbours are is decided before (`risk.scene.order`).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from risk.scene.family import Family, Partnership
from risk.scene.programme import Programme
from risk.scene.symbols import RADIUS, Drawn
from risk.scene.walk import Place

#: Space between neighbours.
GAP_SIBLINGS, GAP_STRANGERS, GAP_PARTNERS = 12.0, 22.0, 14.0
GAP_LINE = 7.0  # between a line and anything else
PARTNER_LINE = 26.0  # shortest visible partnership line
CHILDLESS_HALF = 8.0
SEPARATED = 10.0  # room for the sign of separation, between a descent and the right partner
FAR = 200.0  # more between neighbours who are partners is far
PORT_STEP = 6.0  # between lines that leave on one side of a symbol
PORT_REACH = 13.0  # how far from half height a line may leave
UNDER_EACH_OTHER = 0.2  # of the row: partners of a step who stand nearly under each other
MOST_PORTS = 2  # lines that leave towards one side before the other side is used
SIGN_HALF = 14.0  # room at the end of a routed partnership for each sign on it

#: Weights of the linear programme.
CENTRE = 4.0  # middle of the children under the middle of the couple
LOOSE = 0.4  # the same, of partners whom that would draw far apart
STRAIGHT = 6.0  # a line that passes rows, without a jog
COUPLE = 1.0  # distance of partners
SIBSHIP = 0.5  # distance of the first and the last child
LANE = 0.3  # length of a lane
WIDTH = 1.2  # width of the whole
ROW = 0.01  # width of a row
#: Distance from where someone stood in an earlier drawing: little, since in a family that grows
#: child by child a weight of 2 leaves half of the sibships beside the middle of their parents.
ANCHOR = 0.3

LANE_CORNER = 6.0  # from the end of a lane to the first line that goes down from it

Kind = Literal["person", "through", "route", "descent", "slot"]


@dataclass(slots=True)
class Item:
    """Something with an x in a row.  `ref` is a person, or the number of a partnership."""

    kind: Kind
    ref: str | int
    left: float = 0.0
    right: float = 0.0
    x: float = 0.0


@dataclass(slots=True)
class Joint:
    """How a partnership is drawn.

    ``adjacent``: a straight line.  ``lane``: from the sides of both down to a lane below their
    row.  ``step``: from the side of the upper partner down to the side of the lower one.
    `ends` are the partners from left to right (upper first for a step); `sides` -1 or 1, on
    which side of each end the line leaves; `ports` its height there, below the centre.
    """

    couple: Partnership
    how: Literal["adjacent", "lane", "step"]
    ends: tuple[str, str]
    row: int
    sides: tuple[int, int] = (1, -1)
    ports: list[float] = field(default_factory=lambda: [0.0, 0.0])
    descent: Item | None = None
    slots: list[Item] = field(default_factory=list)


@dataclass(slots=True)
class Plan:
    """Rows of items with their x, and how each partnership is drawn (by its number)."""

    rows: list[list[Item]]
    joints: list[Joint]
    person: dict[str, Item]
    row: dict[str, int]
    through: dict[tuple[str, int], Item]
    route: dict[tuple[int, int], Item]
    width: float = 0.0


def place(
    family: Family,
    row: dict[str, int],
    places: list[list[Place]],
    drawn: Mapping[str, Drawn],
    previous: Mapping[str, float],
    loose: frozenset[int] = frozenset(),
) -> Plan:
    """Return everything's x for people in this order.

    Partners of the partnerships `loose` rather stand close than over the middle of their children.
    """
    plan = _plan(family, row, places, drawn)
    _solve(family, plan, previous, loose)
    return plan


def far_apart(plan: Plan) -> frozenset[int]:
    """Return the partnerships whose partners are neighbours, yet far from each other."""
    return frozenset(
        joint.couple.index
        for joint in plan.joints
        if joint.how == "adjacent"
        and plan.person[joint.ends[1]].x - plan.person[joint.ends[0]].x > FAR
    )


def _plan(
    family: Family, row: dict[str, int], places: list[list[Place]], drawn: Mapping[str, Drawn]
) -> Plan:
    spot: dict[str, int] = {}
    for items in places:
        spot.update({str(p.ref): n for n, p in enumerate(items) if p.kind == "person"})
    joints = [_joint(couple, row, spot) for couple in family.partnerships]
    # The two sides of each person: which partnership lines leave there.
    straight: set[tuple[str, int]] = set()
    for joint in joints:
        if joint.how == "adjacent":
            straight |= {(joint.ends[0], 1), (joint.ends[1], -1)}
    leaving: dict[tuple[str, int], list[tuple[Joint, int]]] = {}
    for joint in joints:
        if joint.how == "lane":
            joint.sides = (
                _less_used(joint.ends[0], 1, leaving),
                _less_used(joint.ends[1], -1, leaving),
            )
        elif joint.how == "step":
            _choose_sides(joint, row, spot, places, straight, leaving)
        if joint.how != "adjacent":
            about = joint.couple.about
            signs = bool(about and about.childless) + bool(about and about.separated)
            for end in (0, 1):
                half = SIGN_HALF * signs * end
                joint.slots.append(Item("slot", joint.couple.index, half, half))
                leaving.setdefault((joint.ends[end], joint.sides[end]), []).append((joint, end))
    _set_ports(leaving, straight)
    plan = Plan([], joints, {}, row, {}, {})
    beside = {key: [joint.slots[end] for joint, end in lines] for key, lines in leaving.items()}
    between = {joint.ends: joint for joint in joints if joint.how == "adjacent"}
    for level, items in enumerate(places):
        line: list[Item] = []
        before: str | None = None
        for spot_in_row in items:
            ref = spot_in_row.ref
            if spot_in_row.kind != "person":
                item = Item(spot_in_row.kind, ref)
                if isinstance(ref, str):
                    plan.through[ref, level] = item
                else:
                    plan.route[ref, level] = item
                line.append(item)
                before = None
                continue
            id = str(ref)
            if before is not None and (before, id) in between:
                line += _descent(between[before, id])
            line += reversed(beside.get((id, -1), []))
            person = drawn[id]
            plan.person[id] = Item("person", id, person.left, person.right)
            line.append(plan.person[id])
            line += beside.get((id, 1), [])
            before = id
        plan.rows.append(line)
    return plan


def _descent(joint: Joint) -> list[Item]:
    """What stands in the middle between partners: their descent, or the sign of having none."""
    about = joint.couple.about
    childless = about is not None and about.childless
    if not joint.couple.children and not childless:
        return []
    half = CHILDLESS_HALF if childless else 0.0
    right = SEPARATED if about is not None and about.separated else half
    joint.descent = Item("descent", joint.couple.index, half, right)
    return [joint.descent]


def _joint(couple: Partnership, row: dict[str, int], spot: dict[str, int]) -> Joint:
    a, b = couple.partners
    if row[a] != row[b]:
        ends = (a, b) if row[a] < row[b] else (b, a)
        return Joint(couple, "step", ends, row[ends[1]])
    ends = (a, b) if spot[a] < spot[b] else (b, a)
    near = spot[ends[1]] - spot[ends[0]] == 1
    return Joint(couple, "adjacent" if near else "lane", ends, row[a])


def _choose_sides(
    joint: Joint,
    row: dict[str, int],
    spot: dict[str, int],
    places: list[list[Place]],
    straight: set[tuple[str, int]],
    leaving: dict[tuple[str, int], list[tuple[Joint, int]]],
) -> None:
    """A step leaves on a free side where there is one, else on the side of the partner."""
    share = [(spot[id] + 0.5) / len(places[row[id]]) for id in joint.ends]
    facing = 1 if share[0] <= share[1] else -1
    wishes = (facing, -facing)
    if abs(share[0] - share[1]) < UNDER_EACH_OTHER:  # round the outside
        wishes = (1, 1) if share[0] + share[1] >= 1 else (-1, -1)
    sides = []
    for id, wish in zip(joint.ends, wishes, strict=True):
        free = [s for s in (wish, -wish) if (id, s) not in straight and (id, s) not in leaving]
        sides.append(free[0] if free else wish)
    joint.sides = (sides[0], sides[1])


def _signed(pair: tuple[Joint, int]) -> bool:
    """Whether a sign hangs on this end of a line: it must then be the lowest."""
    about = pair[0].couple.about
    return pair[1] == 1 and about is not None and bool(about.childless or about.separated)


def _less_used(
    person: str, facing: int, leaving: dict[tuple[str, int], list[tuple[Joint, int]]]
) -> int:
    """The side that faces the partner, unless it is full and the other is not."""
    here, there = (len(leaving.get((person, side), ())) for side in (facing, -facing))
    return -facing if here >= MOST_PORTS and there < here else facing


def _set_ports(
    leaving: dict[tuple[str, int], list[tuple[Joint, int]]], straight: set[tuple[str, int]]
) -> None:
    """Give each line its own height at the symbol; the innermost leaves lowest.

    Lines from above come in over the straight one and stand outermost, the others leave below.
    """
    for key, lines in leaving.items():
        lines.sort(key=lambda pair: (pair[0].how == "step" and pair[1] == 1, not _signed(pair)))
        down = [(j, e) for j, e in lines if not (j.how == "step" and e == 1)]
        up = [(j, e) for j, e in lines if j.how == "step" and e == 1]
        busy = key in straight
        for group, sign in ((down, 1), (up, -1)):
            first = 0.0 if not busy and (sign == 1 or not down) else PORT_STEP
            if len(group) * PORT_STEP > PORT_REACH:
                first = min(first, PORT_STEP - 1)
            step = min(PORT_STEP, (PORT_REACH - first) / max(len(group) - 1, 1))
            for number, (joint, end) in enumerate(group):
                joint.ports[end] = sign * (first + step * (len(group) - 1 - number))
                if sign < 0 and busy:  # clear of the hops of the straight line
                    joint.ports[end] -= PORT_STEP / 2


def separation(a: Item, b: Item, family: Family) -> float:
    """Return how far b must be to the right of its left neighbour a."""
    if a.kind != "person" or b.kind != "person":
        gap = GAP_LINE
    else:
        first, second = str(a.ref), str(b.ref)
        parents = family.parents.get(first)
        if any(couple.other(first) == second for couple in family.unions[first]):
            return a.right + b.left + GAP_PARTNERS
        siblings = parents is not None and parents is family.parents.get(second)
        gap = GAP_SIBLINGS if siblings else GAP_STRANGERS
    return a.right + b.left + gap


def _solve(
    family: Family,
    plan: Plan,
    previous: Mapping[str, float],
    loose: frozenset[int],
) -> None:
    programme = Programme()
    column: dict[int, int] = {}
    for line in plan.rows:
        for item in line:
            column[id(item)] = programme.variable()

    def at(item: Item) -> int:
        return column[id(item)]

    width = programme.variable(WIDTH)
    for line in plan.rows:
        if not line:
            continue
        for a, b in itertools.pairwise(line):
            programme.at_most([(at(a), 1), (at(b), -1)], -separation(a, b, family))
        first, last = line[0], line[-1]
        programme.at_most([(at(first), -1)], -first.left)
        programme.at_most([(at(last), 1), (width, -1)], -last.right)
        programme.cost[at(first)] -= ROW
        programme.cost[at(last)] += ROW
    for joint in plan.joints:
        _joint_terms(programme, at, plan, joint, LOOSE if joint.couple.index in loose else CENTRE)
    if previous:
        known = [item for ref, item in plan.person.items() if ref in previous]
        shift = programme.variable(0.0, -math.inf)
        for item in known:
            programme.distance([(at(item), 1), (shift, -1)], ANCHOR, previous[str(item.ref)])
    found = programme.solve()
    for line in plan.rows:
        for item in line:
            item.x = round(found[at(item)], 3)
    plan.width = max((i.x + i.right for line in plan.rows for i in line), default=0.0)


def _joint_terms(
    programme: Programme, at: Callable[[Item], int], plan: Plan, joint: Joint, centre: float
) -> None:
    a, b = (plan.person[id] for id in joint.ends)
    children = first_items(plan, joint)
    ends: list[tuple[int, float]] = []
    if children:
        ends = [(at(children[0]), -0.5), (at(children[-1]), -0.5)]
        programme.cost[at(children[-1])] += SIBSHIP
        programme.cost[at(children[0])] -= SIBSHIP
    if joint.how == "adjacent":
        programme.cost[at(b)] += COUPLE
        programme.cost[at(a)] -= COUPLE
        programme.at_most([(at(a), 1), (at(b), -1)], -(2 * RADIUS + PARTNER_LINE))
        if joint.descent is not None:
            d = at(joint.descent)
            line = plan.rows[joint.row]
            here = line.index(joint.descent)
            middle = [(d, 1.0), (at(a), -0.5), (at(b), -0.5)]
            if line[here - 1] is a and line[here + 1] is b:
                programme.equals_to(middle, 0.0)
            else:
                programme.distance(middle, CENTRE / 2)
            if children:
                programme.distance([(d, 1.0), *ends], centre * (1.5 if len(children) == 1 else 1))
    elif joint.how == "lane":
        s, t = (at(slot) for slot in joint.slots)
        programme.distance([(s, 1), (t, -1)], LANE)
        if children:
            programme.distance([(s, 0.5), (t, 0.5), *ends], COUPLE)
        if len(children) == 1:  # below the lane, so that its line is straight
            only = at(children[0])
            programme.beyond([(s, 1), (only, -1)], STRAIGHT, -LANE_CORNER)
            programme.beyond([(only, 1), (t, -1)], STRAIGHT, -LANE_CORNER)
    else:
        chain = [joint.slots[0], *route_items(plan, joint), joint.slots[1]]
        for upper, lower in itertools.pairwise(chain):
            programme.distance([(at(upper), 1), (at(lower), -1)], STRAIGHT / 4)
        if children:
            programme.distance([(at(joint.slots[1]), 1.0), *ends], CENTRE)
    for child in joint.couple.children:
        for upper, lower in itertools.pairwise([*through_items(plan, child), plan.person[child]]):
            programme.distance([(at(upper), 1), (at(lower), -1)], STRAIGHT)


def through_items(plan: Plan, child: str) -> list[Item]:
    """The places where a child's individual line passes rows, top first."""
    rows = range(plan.row[child])
    return [plan.through[(child, row)] for row in rows if (child, row) in plan.through]


def route_items(plan: Plan, joint: Joint) -> list[Item]:
    """The places where the line of a step passes rows, top first."""
    top, bottom = (plan.row[id] for id in joint.ends)
    return [plan.route[(joint.couple.index, row)] for row in range(top + 1, bottom)]


def first_items(plan: Plan, joint: Joint) -> list[Item]:
    """Where the children's lines enter the row below, from left to right."""
    found = [
        (through_items(plan, child) or [plan.person[child]])[0] for child in joint.couple.children
    ]
    line = plan.rows[joint.row + 1] if joint.row + 1 < len(plan.rows) else []
    position = {id(item): n for n, item in enumerate(line)}
    return sorted(found, key=lambda item: position[id(item)])
