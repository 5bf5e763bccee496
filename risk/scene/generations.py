"""Which row of the drawing each person stands in.

Rows are whole numbers from 0 at the top.  A child stands below both parents, partners stand
level wherever that is possible, and long individual lines are avoided.  This is a linear
programme in differences only, so its optimal vertices are whole numbers by themselves.
"""

from __future__ import annotations

from collections.abc import Iterable

from risk.scene.family import Family

#: How much worse partners on different rows are than a child one row further down.
LEVEL_PARTNERS = 100.0
LEVEL_TWINS = 10_000.0


def generations(family: Family) -> dict[str, int]:
    """Return the row of each person."""
    simple = _by_generation(family)
    return _without_empty_rows(simple) if simple is not None else _by_programme(family)


def _by_generation(family: Family) -> dict[str, int] | None:
    """Walk from person to person; None unless all partners level and all children one below."""
    rows: dict[str, int] = {}
    for start in family.people:
        if start in rows:
            continue
        rows[start] = 0
        part, stack = [start], [start]
        while stack:
            id = stack.pop()
            steps = [(couple.other(id), 0) for couple in family.unions[id]]
            steps += [(child, 1) for couple in family.unions[id] for child in couple.children]
            if id in family.parents:
                steps += [(parent, -1) for parent in family.parents[id].partners]
            for other, step in steps:
                row = rows[id] + step
                if other not in rows:
                    rows[other] = row
                    part.append(other)
                    stack.append(other)
                elif rows[other] != row:
                    return None
        top = min(rows[id] for id in part)
        for id in part:
            rows[id] -= top
        _by_number(part, rows)
    return rows


def _by_number(part: Iterable[str], rows: dict[str, int]) -> None:
    """Move a part down to the generation that its ids name, where they all name the same."""
    part = list(part)
    numbers = [generation_of(id) for id in part]
    shifts = {n - 1 - rows[id] for n, id in zip(numbers, part, strict=True) if n is not None}
    if None not in numbers and len(shifts) == 1 and (shift := shifts.pop()) > 0:
        for id in part:
            rows[id] += shift


def generation_of(id: str) -> int | None:
    """The generation that an id like ``III-2`` names, or None."""
    numeral, dash, number = id.partition("-")
    if not dash or not number.isdigit() or numeral.strip("IVXL") or len(numeral) > 9:
        return None
    values = [{"I": 1, "V": 5, "X": 10, "L": 50}[sign] for sign in numeral]
    return (
        sum(-v if any(v < w for w in values[n + 1 : n + 2]) else v for n, v in enumerate(values))
        or None
    )


def _by_programme(family: Family) -> dict[str, int]:
    import numpy as np
    from scipy.optimize import linprog
    from scipy.sparse import csr_array

    column = {id: number for number, id in enumerate(family.people)}
    people = len(column)
    level_pairs = [(*couple.partners, LEVEL_PARTNERS) for couple in family.partnerships]
    level_pairs += [(t[0], id, LEVEL_TWINS) for id, t in family.twins.items() if id != t[0]]
    cost = np.zeros(people + len(level_pairs))
    rows: list[tuple[tuple[int, float], ...]] = []
    bound: list[float] = []
    for number, (first, second, weight) in enumerate(level_pairs):
        a, b, gap = column[first], column[second], people + number
        cost[gap] = weight
        rows += [((a, 1), (b, -1), (gap, -1)), ((b, 1), (a, -1), (gap, -1))]
        bound += [0, 0]
    for couple in family.partnerships:
        a, b = (column[id] for id in couple.partners)
        for child in couple.children:
            for parent in (a, b):
                rows.append(((parent, 1), (column[child], -1)))
                bound.append(-1)
                cost[column[child]] += 1
                cost[parent] -= 1
    cost[:people] += 1e-4  # nobody floats
    entries = [(r, c, v) for r, row in enumerate(rows) for c, v in row]
    where = ([r for r, _, _ in entries], [c for _, c, _ in entries])
    matrix = csr_array(([v for *_, v in entries], where), shape=(len(rows), len(cost)))
    found = linprog(  # type: ignore[call-overload]  # the stubs know no sparse matrices
        cost, A_ub=matrix, b_ub=bound, bounds=(0, None), method="highs-ds"
    )
    level = {id: round(float(found.x[number])) for id, number in column.items()}
    return _to_the_top(family, level)


def _to_the_top(family: Family, level: dict[str, int]) -> dict[str, int]:
    """Move each connected part so that its top row is 0."""
    done: dict[str, int] = {}
    for start in family.people:
        if start in done:
            continue
        part, stack = {start: None}, [start]
        while stack:
            id = stack.pop()
            near = [c.other(id) for c in family.unions[id]]
            near += [child for c in family.unions[id] for child in c.children]
            near += family.parents[id].partners if id in family.parents else ()
            for other in near:
                if other not in part:
                    part[other] = None
                    stack.append(other)
        top = min(level[id] for id in part)
        done.update((id, level[id] - top) for id in part)
        _by_number(part, done)
    return _without_empty_rows(done)


def _without_empty_rows(rows: dict[str, int]) -> dict[str, int]:
    used = {row: number for number, row in enumerate(sorted(set(rows.values())))}
    return {id: used[row] for id, row in rows.items()}
