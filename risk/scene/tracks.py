"""Heights of the horizontal pieces of lines between two rows.

The space between two rows is a channel: lines come in from above (*tops*) and leave below
(*bottoms*).  Pieces whose spans overlap get different tracks (left-edge colouring), and where a
top of one line stands over a bottom of another the first must turn off above the second, as in
channel routing (Hashimoto and Stevens, DAC 1971).  Two lines never run on top of each other.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field

from risk.scene.place import Item, Joint, Plan, first_items, route_items, through_items
from risk.scene.shapes import Role

#: Verticals of different lines nearer than this would read as one.
CLEAR = 4.5
#: How far apart pieces on one track must end.
SPAN_GAP = 6.0
STRAIGHT_SPAN = 0.05
#: A descent as near to the line of one of its children goes on in it: no small jog.
JOG = 7.5
CORNER = 1.5  # from the end of a lane, at which a straight descent may leave it


@dataclass(slots=True, eq=False)
class Net:
    """One line in a channel: x of its tops and bottoms, and the track of its horizontal piece.

    A net with a `source` starts on the track of that net (a descent from a lane).  `units` says
    for each bottom which children it leads to; several are twins.
    """

    role: Role
    tops: list[float]
    bottoms: list[float]
    top_role: Role
    bottom_role: Role
    joint: Joint | None = None
    descent: Item | None = None
    source: Net | None = None
    units: list[list[str]] = field(default_factory=list)
    middles: list[float] = field(default_factory=list)  # where nets start from this one
    fans: list[tuple[float, float]] = field(default_factory=list)  # spread of slanting lines
    track: int = -1

    @property
    def span(self) -> tuple[float, float]:
        ends = [*self.tops, *self.bottoms, *self.middles]
        return (min(ends), max(ends))

    @property
    def straight(self) -> bool:
        left, right = self.span
        return right - left < STRAIGHT_SPAN

    @property
    def twins(self) -> bool:
        return any(len(unit) > 1 for unit in self.units)


def channels(plan: Plan, twins: dict[str, tuple[str, ...]]) -> list[list[Net]]:
    """Return the nets of the channel below each row, with their tracks."""
    nets: list[list[Net]] = [[] for _ in plan.rows]
    bottoms = [[item.x for item in line if item.kind in ("through", "route")] for line in plan.rows]
    for joint in plan.joints:
        for child in joint.couple.children:
            bottoms[plan.row[child]].append(plan.person[child].x)
    for joint in plan.joints:
        _joint_nets(plan, joint, twins, nets, bottoms)
    for level, channel in enumerate(nets):
        _sources(channel)
        for net in channel:
            _straighten(net, channel, plan.rows[level])
        _assign(channel)
    return nets


def _joint_nets(
    plan: Plan,
    joint: Joint,
    twins: dict[str, tuple[str, ...]],
    nets: list[list[Net]],
    bottoms: list[list[float]],
) -> None:
    channel = nets[joint.row]
    if joint.how == "lane":
        lane = Net(
            "partnership", [slot.x for slot in joint.slots], [], "partnership", "partnership", joint
        )
        channel.append(lane)
    elif joint.how == "step":
        chain = [joint.slots[0], *route_items(plan, joint), joint.slots[1]]
        top = plan.row[joint.ends[0]]
        for step, (upper, lower) in enumerate(itertools.pairwise(chain)):
            nets[top + step].append(
                Net("partnership", [upper.x], [lower.x], "partnership", "partnership", joint)
            )
    if joint.couple.children:
        below = bottoms[joint.row + 1] if joint.row + 1 < len(bottoms) else []
        pins, units = _pins(plan, joint, twins, below)
        net = Net("sibship", [], pins, "descent", "individual", joint, units=units)
        net.fans = [
            (plan.person[unit[0]].x, plan.person[unit[-1]].x) for unit in units if len(unit) > 1
        ]
        if joint.how == "lane":
            net.source = lane
        elif joint.how == "step":
            net.tops = [joint.slots[1].x]
        else:
            assert joint.descent is not None
            net.tops, net.descent = [joint.descent.x], joint.descent
        channel.append(net)
    for child in joint.couple.children:
        chain = [*through_items(plan, child), plan.person[child]]
        for step, (upper, lower) in enumerate(itertools.pairwise(chain)):
            nets[joint.row + 1 + step].append(
                Net(
                    "individual",
                    [upper.x],
                    [lower.x],
                    "individual",
                    "individual",
                    joint,
                    units=[[child] if lower is chain[-1] else []],
                )
            )


def _pins(
    plan: Plan, joint: Joint, twins: dict[str, tuple[str, ...]], below: list[float]
) -> tuple[list[float], list[list[str]]]:
    """Where the children's lines enter the next row: one place for each twin group."""
    items = first_items(plan, joint)
    pins: list[float] = []
    units: list[list[str]] = []
    done: set[str] = set()
    for item in items:
        child = str(item.ref)
        group = twins.get(child, (child,))
        if child in done:
            continue
        if len(group) > 1 and all(plan.row[t] == joint.row + 1 for t in group):
            xs = sorted(plan.person[t].x for t in group)
            apex = (xs[0] + xs[-1]) / 2
            others = [x for x in below if x not in xs]
            while any(abs(x - apex) < 3 * CLEAR for x in others):
                apex += CLEAR
            pins.append(apex)
            units.append(sorted(group, key=lambda t: plan.person[t].x))
            done.update(group)
        else:
            pins.append(item.x)
            units.append([child] if plan.row[child] == joint.row + 1 else [])
    return pins, units


def _sources(channel: list[Net]) -> None:
    """Choose where the descent of a couple who meet on a lane leaves it."""
    for net in channel:
        lane = net.source
        if lane is None:
            continue
        left, right = min(lane.tops), max(lane.tops)
        single = len(net.bottoms) == 1
        straight = single and left + CORNER < net.bottoms[0] < right - CORNER
        edge = CORNER if straight else CLEAR
        wish = min(max((net.bottoms[0] + net.bottoms[-1]) / 2, left + edge), right - edge)
        taken = [
            x
            for other in channel
            for x in (*other.tops, *other.bottoms, *other.middles)
            if not (other is net and single) and not (other is lane and straight)
        ]
        own = net.bottoms if single else []
        found = wish
        for step in range(200):
            for side in (1, -1):
                x = wish + side * step * 2.0
                if left < x < right and all(
                    abs(x - t) >= CLEAR for t in taken if t not in own or abs(x - t) > 0.01
                ):
                    found = x
                    break
            else:
                continue
            break
        net.tops = [found]
        lane.middles.append(found)


def _straighten(net: Net, channel: list[Net], above: list[Item]) -> None:
    """Let a descent that is a little beside the line of a child step over it, if it can."""
    descent = net.descent
    if descent is None:
        return
    x = min(net.bottoms, key=lambda bottom: abs(bottom - descent.x))
    others = [y for other in channel if other is not net for y in (*other.tops, *other.bottoms)]
    here = above.index(descent)
    beside = [item for item in above[max(here - 1, 0) : here + 2] if item is not descent]
    if (
        STRAIGHT_SPAN <= abs(x - descent.x) <= JOG
        and all(abs(x - y) >= CLEAR for y in others)
        and all(
            item.x + item.right + CLEAR + descent.left <= x
            if item.x < descent.x
            else x <= item.x - item.left - CLEAR - descent.right
            for item in beside
        )
    ):
        net.tops, descent.x = [x], x


def _overlap(a: Net, b: Net) -> bool:
    (a1, a2), (b1, b2) = a.span, b.span
    return a1 < b2 + SPAN_GAP and b1 < a2 + SPAN_GAP


def _crossings(upper: Net, lower: Net) -> int:
    """How often the verticals of two nets cross the other's horizontal piece."""
    (u1, u2), (l1, l2) = upper.span, lower.span
    below = [*upper.bottoms, *upper.middles]
    return sum(l1 < x < l2 for x in below) + sum(u1 < x < u2 for x in lower.tops)


def _assign(channel: list[Net]) -> None:
    flat = sorted(
        (net for net in channel if not net.straight), key=lambda net: (net.span, net.role)
    )
    above: dict[int, set[int]] = {n: set() for n in range(len(flat))}  # who must be above
    number = {id(net): n for n, net in enumerate(flat)}

    def reaches(low: int, high: int) -> bool:
        """Whether `high` already has to be above `low`, directly or not."""
        stack, seen = [low], {low}
        while stack:
            here = stack.pop()
            if here == high:
                return True
            for up in above[here]:
                if up not in seen:
                    seen.add(up)
                    stack.append(up)
        return False

    for n, net in enumerate(flat):
        if net.source is not None and id(net.source) in number:
            above[n].add(number[id(net.source)])
    near = [
        (a, b)
        for a in range(len(flat))
        for b in range(a + 1, len(flat))
        if _overlap(flat[a], flat[b])
    ]
    for pair in near:
        for a, b in (pair, pair[::-1]):
            _keep_apart(flat, a, b, above, reaches, channel)
    for a, upper in enumerate(flat):
        for b, lower in enumerate(flat):
            # A line that ends among twins comes from above the point where their lines part.
            if (
                a != b
                and not reaches(a, b)
                and any(left < x < right for left, right in lower.fans for x in upper.bottoms)
            ):
                above[b].add(a)
    wishes = []
    for a, b in near:
        if a in above[b] or b in above[a]:
            continue
        gain = _crossings(flat[b], flat[a]) - _crossings(flat[a], flat[b])
        gain += 3 * (flat[b].twins - flat[a].twins)
        gain += (flat[a].role == "partnership") - (flat[b].role == "partnership")
        wishes.append((-abs(gain), a, b) if gain >= 0 else (-abs(gain), b, a))
    for weight, a, b in sorted(wishes):
        if weight and not reaches(a, b):
            above[b].add(a)
    _stack(flat, above)


def _keep_apart(
    flat: list[Net],
    a: int,
    b: int,
    above: dict[int, set[int]],
    reaches: Callable[[int, int], bool],
    channel: list[Net],
) -> None:
    """Make net a turn off above net b wherever a top of a stands over a bottom of b."""
    upper, lower = flat[a], flat[b]
    for number, x in enumerate(upper.tops):
        if upper.source is None and any(abs(x - y) < CLEAR for y in lower.bottoms):
            if not reaches(a, b):
                above[b].add(a)
            elif upper.descent is not None:
                # Neither may be above the other: the descent steps aside a little.
                others = [
                    y for net in channel if net is not upper for y in (*net.tops, *net.bottoms)
                ]
                for step in (5, -5, 6.5, -6.5, 8, -8, 10, -10):
                    if all(abs(x + step - y) >= CLEAR for y in others):
                        upper.tops[number] = upper.descent.x = x + step
                        break


def _stack(flat: list[Net], above: dict[int, set[int]]) -> None:
    waiting = dict.fromkeys(range(len(flat)))
    tracks: list[list[Net]] = []
    while waiting:
        ready = [n for n in waiting if not any(up in waiting for up in above[n])]
        for n in ready or list(waiting)[:1]:
            net = flat[n]
            track = max((flat[up].track + 1 for up in above[n]), default=0)
            while track < len(tracks) and any(_overlap(net, other) for other in tracks[track]):
                track += 1
            while track >= len(tracks):
                tracks.append([])
            tracks[track].append(net)
            net.track = track
            del waiting[n]
    # Those with twins belong on the lowest track they can have; and all sink if nothing is below.
    for n in sorted(range(len(flat)), key=lambda n: -flat[n].track):
        net = flat[n]
        if net.twins:
            limit = min(
                (flat[m].track for m in range(len(flat)) if n in above[m]), default=len(tracks)
            )
            for track in range(limit - 1, net.track, -1):
                if not any(_overlap(net, other) for other in tracks[track]):
                    tracks[net.track].remove(net)
                    tracks[track].append(net)
                    net.track = track
                    break
