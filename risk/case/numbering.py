"""Ids in the standard numbering: generations roman, people within one arabic (``II-3``).

Generations above the one that is called I are ``0``, ``00`` and so on, because what exists is
not renumbered by growing; `standard_ids` gives the numbers for those who ask for that, and
`ids_from_first` those that differ only in the generation, counted from I again.
"""

from __future__ import annotations

import re
from collections import Counter, deque
from collections.abc import Iterable, Mapping

from risk.case.model import Case

_STANDARD = re.compile(r"(?P<generation>0+|[IVXLCDM]+)-(?P<number>[1-9]\d{0,5})")
_ROMAN = (
    *((1000, "M"), (900, "CM"), (500, "D"), (400, "CD"), (100, "C"), (90, "XC"), (50, "L")),
    *((40, "XL"), (10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I")),
)


def roman(number: int) -> str:
    """Return a generation's name: 1 is I, 4 is IV; 0 is 0, -1 is 00 (above the first)."""
    if number <= 0:
        return "0" * (1 - number)
    text = ""
    for value, letters in _ROMAN:
        while number >= value:
            text += letters
            number -= value
    return text


def generation_number(name: str) -> int | None:
    """Return the number of a generation's name, or None where `roman` never writes it."""
    if name and not name.strip("0"):
        return 1 - len(name)
    total, rest = 0, name
    for value, letters in _ROMAN:
        while rest.startswith(letters):
            total += value
            rest = rest[len(letters) :]
    return total if total and not rest and roman(total) == name else None


def standard_id(id: str) -> tuple[int, int] | None:
    """Return generation and number of an id like ``II-3``, or None for any other id."""
    match = _STANDARD.fullmatch(id)
    if match is None:
        return None
    generation = generation_number(match["generation"])
    return None if generation is None else (generation, int(match["number"]))


def links(case: Case) -> dict[str, list[tuple[str, int]]]:
    """For each person, the people tied to them and how many generations further down they are."""
    near: dict[str, list[tuple[str, int]]] = {person.id: [] for person in case.people}

    def tie(a: str, b: str, down: int) -> None:
        if a in near and b in near:
            near[a].append((b, down))
            near[b].append((a, -down))

    for person in case.people:
        if person.father is not None and person.mother is not None:
            tie(person.father, person.mother, 0)
            tie(person.father, person.id, 1)
            tie(person.mother, person.id, 1)
    for couple in case.couples:
        tie(*couple.partners, 0)
    return near


def generation_of(case: Case, id: str) -> int:
    """Return the generation of a person: from the id, or from the nearest relative who has one.

    In a family without any standard id the oldest ancestor is in generation I.
    """
    offsets = _offsets(links(case), id)
    for other, down in offsets.items():  # nearest first
        known = standard_id(other)
        if known is not None:
            return known[0] - down
    return 1 - min(offsets.values())


def _offsets(near: Mapping[str, list[tuple[str, int]]], start: str) -> dict[str, int]:
    """Generations below `start` of everyone tied to it, in breadth-first order."""
    offsets, queue = {start: 0}, deque([start])
    while queue:
        id = queue.popleft()
        for other, down in near[id]:
            if other not in offsets:
                offsets[other] = offsets[id] + down
                queue.append(other)
    return offsets


def next_id(ids: Iterable[str], generation: int) -> str:
    """Return the next id of a generation: one more than its largest number so far."""
    used = [known[1] for id in ids if (known := standard_id(id)) and known[0] == generation]
    return f"{roman(generation)}-{max(used, default=0) + 1}"


def ids_from_first(case: Case, *, emptied: bool = False) -> dict[str, str]:
    """Return old id to new id for those whose generation changes where the oldest becomes I.

    Only a family that has grown above generation I changes, or with `emptied` one that has nobody
    left there; only ids in the standard numbering do, and everyone keeps their number within the
    generation.  A family of whose ids a title, a vignette or a note speaks is left as it is.
    """
    known = {p.id: found for p in case.people if (found := standard_id(p.id)) is not None}
    up = 1 - min((generation for generation, _ in known.values()), default=1)
    if up == 0 or (up < 0 and not emptied):
        return {}
    texts = " ".join(filter(None, (case.title, case.vignette, *(p.note for p in case.people))))
    if any(re.search(rf"(?<!\w){re.escape(id)}(?!\w)", texts) for id in known):
        return {}
    return {id: f"{roman(generation + up)}-{n}" for id, (generation, n) in known.items()}


def standard_ids(case: Case) -> dict[str, str]:
    """Return old id to new id for the whole family: oldest generation I, numbered in file order."""
    near = links(case)
    level: dict[str, int] = {}
    for person in case.people:
        if person.id not in level:
            offsets = _offsets(near, person.id)
            top = min(offsets.values())
            level |= {id: down - top + 1 for id, down in offsets.items()}
    for _ in case.people:
        low = [p for p in case.people if p.father and p.mother]
        low = [p for p in low if level[p.id] <= max(level[p.father or ""], level[p.mother or ""])]
        if not low:
            break
        for person in low:  # a niece is below her uncle, though the two be a couple
            level[person.id] += 1
    renamed: dict[str, str] = {}
    numbers: Counter[int] = Counter()
    for person in case.people:
        generation = level[person.id]
        numbers[generation] += 1
        renamed[person.id] = f"{roman(generation)}-{numbers[generation]}"
    return renamed
