"""How wide the columns of a table are, in whatever unit the caller measures text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def share(
    wish: Sequence[float],
    unbroken: Sequence[float],
    growing: Iterable[int],
    least_growing: float,
    room: float,
) -> list[float]:
    """Return widths that together take no more than `room`.

    Each column starts at its `wish`, the width at which nothing wraps.  Where that is too
    much, the fixed columns first go down to `unbroken` (headers wrap, numbers do not), then
    the widest of the `growing` ones are cut alike, as far as `least_growing`, and at last the
    widest of all.
    """
    widths = list(wish)
    grow = sorted(set(growing))
    fixed = [i for i in range(len(widths)) if i not in grow]
    excess = sum(widths) - room
    spare = {i: max(widths[i] - unbroken[i], 0) for i in fixed}
    if excess > 0 and any(spare.values()):
        part = min(excess / sum(spare.values()), 1)
        for i in fixed:
            widths[i] -= spare[i] * part
    if grow and sum(widths) > room:
        cap = _cap([widths[i] for i in grow], room - sum(widths[i] for i in fixed))
        for i in grow:
            widths[i] = min(widths[i], max(cap, least_growing))
    if sum(widths) > room:
        cap = _cap(widths, room)
        widths = [min(width, cap) for width in widths]
    return widths


def _cap(widths: Sequence[float], room: float) -> float:
    """The width c for which the sum of min(width, c) is `room`."""
    left, columns = room, sorted(widths)
    for i, width in enumerate(columns):
        if width * (len(columns) - i) > left:
            return max(left, 0) / (len(columns) - i)
        left -= width
    return columns[-1]
