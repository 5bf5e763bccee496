"""Which row of the drawing each person stands in.

Rows are whole numbers from 0 at the top.  A child stands below both parents, partners stand
level wherever that is possible, and long individual lines are avoided.  This is a linear
programme in differences only, so its optimal vertices are whole numbers by themselves.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

import networkx as nx

from risk.case.numbering import standard_id
from risk.scene.family import Family
from risk.scene.programme import Programme

#: How much worse partners on different rows are than a child one row further down.
LEVEL_PARTNERS = 100.0
LEVEL_TWINS = 10_000.0
#: Nobody floats above the rows that hold them.
FLOATING = 1e-4


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
    """Move a part to the generation that its ids name; those that name none are carried along.

    Somebody who stands lower than the id says, beside a partner, is outvoted by the others.
    """
    part = list(part)
    named = Counter(
        known[0] - 1 - rows[id] for id in part if (known := standard_id(id)) is not None
    )
    shift, votes = max(named.items(), key=lambda item: item[1], default=(0, 0))
    if 2 * votes > named.total():
        for id in part:
            rows[id] += shift


def _by_programme(family: Family) -> dict[str, int]:
    programme = Programme()
    column = {id: programme.variable(FLOATING) for id in family.people}
    level_pairs = [(*couple.partners, LEVEL_PARTNERS) for couple in family.partnerships]
    level_pairs += [(t[0], id, LEVEL_TWINS) for id, t in family.twins.items() if id != t[0]]
    for first, second, weight in level_pairs:
        programme.distance([(column[first], 1.0), (column[second], -1.0)], weight)
    for couple in family.partnerships:
        for child in couple.children:
            for parent in couple.partners:
                programme.at_most([(column[parent], 1.0), (column[child], -1.0)], -1.0)
                programme.cost[column[child]] += 1
                programme.cost[column[parent]] -= 1
    found = programme.solve()
    level = {id: round(found[number]) for id, number in column.items()}
    return _to_the_top(family, level)


def _to_the_top(family: Family, level: dict[str, int]) -> dict[str, int]:
    """Move each connected part so that its top row is 0."""
    ties = nx.Graph()
    ties.add_nodes_from(family.people)
    for couple in family.partnerships:
        nx.add_path(ties, [*couple.partners, *couple.children])
    done: dict[str, int] = {}
    for part in nx.connected_components(ties):
        top = min(level[id] for id in part)
        done.update((id, level[id] - top) for id in part)
        _by_number(part, done)
    return _without_empty_rows(done)


def _without_empty_rows(rows: dict[str, int]) -> dict[str, int]:
    used = {row: number for number, row in enumerate(sorted(set(rows.values())))}
    return {id: used[row] for id, row in rows.items()}
