"""Whom somebody means who writes a person's name where an id belongs."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from risk.case.model import Person
from risk.problems import did_you_mean, shown


def did_you_mean_a_name(word: str, people: Iterable[Person], known: Collection[str]) -> str:
    """Return ``; did you mean "II-2.affected"? ("Ann" is "II-2")`` for ``Ann.affected``.

    The word, or what stands before one of its dots, is the name of one of the `people`; with the id
    in its place it is `known`.  Where it is not, the nearest known word is named, or ``""``
    returned.
    """
    lower = word.strip().lower()
    for person in people:
        if person.name is None:
            continue
        name = person.name.lower()
        if lower == name or lower.startswith(f"{name}."):
            meant = person.id + word.strip()[len(name) :]
            if meant in known:
                return (
                    f"; did you mean {shown(meant)}? ({shown(person.name)} is {shown(person.id)})"
                )
    return did_you_mean(word, known)
