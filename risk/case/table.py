"""The family as a table of one row a person, and edits of that table as edits of the case.

Rows are plain mappings from column to value, so that any table widget can show them.  An edit
comes as the difference that such widgets report: changed cells by row position, new rows, and
positions of deleted rows, all counted in the table that was shown.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from risk.case import edit
from risk.case.kin import children_of
from risk.case.model import Case, Person, Status
from risk.case.numbering import next_id
from risk.case.values import typed_id, typed_years
from risk.number import Quantity
from risk.problems import InputError, Problem

#: The columns, in order.  Text columns are empty where nothing is known.
COLUMNS = (
    *("id", "name", "sex", "father", "mother", "affected", "age", "genotype"),
    *("count", "status", "note"),
)
AFFECTED = {"affected": True, "unaffected": False, "not known": None}
SEXES = ("female", "male", "unknown")
STATUSES: tuple[Status, ...] = (
    *("alive", "deceased", "pregnancy", "stillbirth", "miscarriage", "termination"),
)
_WORDS = {value: word for word, value in AFFECTED.items()}


def rows(case: Case) -> list[dict[str, Any]]:
    """The family as rows with the keys `COLUMNS`."""
    return [
        {
            "id": person.id,
            "name": person.name,
            "sex": person.sex,
            "father": person.father,
            "mother": person.mother,
            "affected": _WORDS[person.affected],
            "age": None if person.age is None else person.age.text,
            "genotype": person.genotype,
            "count": person.count,
            "status": person.status,
            "note": person.note,
        }
        for person in case.people
    ]


def apply(base: Case, delta: Mapping[str, Any]) -> Case:
    """Return `base` with the edits of its table.

    `delta` has `edited_rows` (position to changed cells), `added_rows` (cells of each new
    person) and `deleted_rows` (positions).  Raises `InputError` with every problem of the
    edit; then nothing of it is applied.
    """
    deleted = {int(position) for position in delta.get("deleted_rows", ())}
    edited = {int(at): dict(cells) for at, cells in delta.get("edited_rows", {}).items()}
    added: Sequence[Mapping[str, Any]] = delta.get("added_rows", ())
    problems = list[Problem]()
    names = new_ids(base, delta)
    for cells in edited.values():
        cells.pop("id", None)
    case = edit.rename_all(base, names)
    ids = [names.get(person.id, person.id) for person in base.people]
    links: dict[str, dict[str, Any]] = {}
    for at, cells in edited.items():
        if at < len(ids) and at not in deleted:
            links[ids[at]] = _parents(cells)
            case = _set(case, ids[at], cells, problems)
    for fresh in added:
        cells = dict(fresh)
        try:
            id = typed_id(str(cells.get("id") or next_id([p.id for p in case.people], 1)))
        except ValueError as error:
            problems.append(Problem("people", str(error)))
            continue
        if id in [person.id for person in case.people]:
            problems.append(Problem("people", f'another person is called "{id}"'))
            continue
        case = replace(case, people=(*case.people, Person(id)))
        links[id] = _parents(cells)
        case = _set(case, id, cells, problems)
    for id, parents in links.items():
        case = _link(case, id, parents, problems)
    for at in sorted(deleted):
        if at < len(ids):
            case = _delete(case, ids[at], {ids[a] for a in deleted if a < len(ids)}, problems)
    if problems:
        raise InputError(problems)
    return case


def shows(base: Case, delta: Mapping[str, Any], case: Case) -> bool:
    """Whether the table of `base`, with the cells changed as in `delta`, shows `case` as it is.

    It does not where an edit brought more with it, like a partner or the age of a twin.
    """
    edited = {int(at): cells for at, cells in delta.get("edited_rows", {}).items()}
    return rows(case) == [row | edited.get(at, {}) for at, row in enumerate(rows(base))]


def new_ids(base: Case, delta: Mapping[str, Any]) -> dict[str, str]:
    """The people to whom the edits of the table of `base` give another id: old id to new."""
    deleted = {int(position) for position in delta.get("deleted_rows", ())}
    return {
        base.people[int(at)].id: str(cells["id"]).strip()
        for at, cells in delta.get("edited_rows", {}).items()
        if cells.get("id") is not None and int(at) < len(base.people) and int(at) not in deleted
    }


def _parents(cells: Mapping[str, Any]) -> dict[str, Any]:
    return {key: cells[key] or None for key in ("father", "mother") if key in cells}


def _set(case: Case, id: str, cells: Mapping[str, Any], problems: list[Problem]) -> Case:
    """Set the cells that are about one person alone."""
    changes: dict[str, Any] = {}
    ages: list[Quantity | None] = []
    for key, value in cells.items():
        if key in ("name", "note"):
            changes[key] = value or None
        elif key == "sex":
            changes[key] = value if value in SEXES else "unknown"
        elif key == "affected":
            changes[key] = AFFECTED.get(value)
        elif key == "status":
            changes[key] = value if value in STATUSES else "alive"
        elif key in ("genotype", "count"):
            changes[key] = None if value is None else int(value)
        elif key == "age":
            try:
                ages.append(typed_years(str(value)) if value not in (None, "") else None)
            except ValueError as error:
                problems.append(Problem(f"{edit.place(case, id)}.age", str(error)))
    try:
        case = edit.change_person(case, id, **changes)
        return edit.set_age(case, id, *ages) if ages else case
    except InputError as error:
        problems += error.problems
        return case


def _link(case: Case, id: str, parents: Mapping[str, Any], problems: list[Problem]) -> Case:
    """Set a person's parents; one parent alone gets an unknown partner as the other."""
    if not parents:
        return case
    person = case.person(id)
    father = parents.get("father", person.father)
    mother = parents.get("mother", person.mother)
    known = {p.id for p in case.people}
    for key, parent in (("father", father), ("mother", mother)):
        if parent is not None and parent not in known:
            path = f"{edit.place(case, id)}.{key}"
            problems.append(Problem(path, f'there is no person "{parent}"'))
            return case
    try:
        if father is None and mother is not None and "father" not in parents:
            case, (father,) = edit.add_partner(case, mother, "male")
        elif mother is None and father is not None and "mother" not in parents:
            case, (mother,) = edit.add_partner(case, father, "female")
        elif None in (father, mother) and not person.founder:
            father = mother = None
        return edit.set_parents(case, id, father, mother)
    except InputError as error:
        problems += error.problems
        return case


def _delete(case: Case, id: str, going: set[str], problems: list[Problem]) -> Case:
    """Delete one row; the table deletes nobody who was not chosen."""
    if id not in {person.id for person in case.people}:
        return case
    staying = [child.id for child in children_of(case, id) if child.id not in going]
    if staying:
        message = f"{id} is a parent of {', '.join(staying)}; remove those first, or together"
        problems.append(Problem(edit.place(case, id), message))
        return case
    left = edit.without(case, (id,))
    people = tuple(
        replace(p, father=None, mother=None) if p.id in going else p for p in left.people
    )
    return edit.lone_twins(replace(left, people=people))
