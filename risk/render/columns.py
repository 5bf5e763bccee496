"""How wide the columns of a table are, in whatever unit the caller measures text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence


def share(
    wish: Sequence[float],
    unbroken: Sequence[float],
    growing: Iterable[int],
    comfortable: float,
    least: float,
    room: float,
    words: Sequence[float] | None = None,
) -> list[float]:
    """Return widths that together take no more than `room`.

    Each column starts at its `wish`, the width at which nothing wraps.  Where that is too
    much, the widest of the `growing` columns are cut alike, as far as is `comfortable`; then
    the fixed ones go down to `unbroken` (headers wrap, numbers do not); then the growing ones
    are cut down to `least`, and at last the widest of all: none further than its longest word
    (`words`) unless even these do not fit.
    """
    widths = list(wish)
    grow = sorted(set(growing))
    fixed = [i for i in range(len(widths)) if i not in grow]
    _cut(widths, grow, comfortable, room)
    excess = sum(widths) - room
    spare = {i: max(widths[i] - unbroken[i], 0) for i in fixed}
    if excess > 0 and any(spare.values()):
        part = min(excess / sum(spare.values()), 1)
        for i in fixed:
            widths[i] -= spare[i] * part
    if words is not None and sum(widths) > room:
        floors = [max(words[i], least) if i in grow else widths[i] for i in range(len(widths))]
        _cut_to(widths, floors, room)
        _cut_to(widths, words, room)
    _cut(widths, grow, least, room)
    _cut(widths, range(len(widths)), 0, room)
    return widths


def _cut_to(widths: list[float], floors: Sequence[float], room: float) -> None:
    """Cut the widest columns alike until all fit, if they can with none below its floor."""
    least = [min(pair) for pair in zip(widths, floors, strict=True)]
    if sum(widths) <= room or sum(least) > room:
        return
    kept: list[int] = []
    while True:
        free = [i for i in range(len(widths)) if i not in kept]
        cut = list(widths)
        for i in kept:
            cut[i] = least[i]
        _cut(cut, free, 0, room)
        short = [i for i in free if cut[i] < least[i]]
        if not short:
            widths[:] = cut
            return
        kept += short


def _cut(widths: list[float], which: Sequence[int], least: float, room: float) -> None:
    """Cut the widest of some columns alike until all fit, but none further than `least`."""
    if which and sum(widths) > room:
        rest = sum(width for i, width in enumerate(widths) if i not in which)
        cap = max(_cap([widths[i] for i in which], room - rest), least)
        for i in which:
            widths[i] = min(widths[i], cap)


def _cap(widths: Sequence[float], room: float) -> float:
    """The width c for which the sum of min(width, c) is `room`."""
    left, columns = room, sorted(widths)
    for i, width in enumerate(columns):
        if width * (len(columns) - i) > left:
            return max(left, 0) / (len(columns) - i)
        left -= width
    return columns[-1]
