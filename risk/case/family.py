"""The people of a case by id: who exists, who is whose parent, and how to name who does not."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from risk.case.called import did_you_mean_a_name
from risk.case.model import Case, Person, Question
from risk.problems import Problem, shown

Role = Literal["father", "mother"]

#: Ids that exist are all listed in a message when there are no more than this.
_FEW = 8
#: Nearest ids are looked for only so often, and only among so many, as it takes time.
_MOST_HINTS = 50
_MOST_COMPARED = 2000

#: Words for people who were not born alive, or not yet.
NOT_BORN = {
    "pregnancy": "a pregnancy",
    "stillbirth": "a stillbirth",
    "miscarriage": "a miscarriage",
    "termination": "a terminated pregnancy",
}


class Family:
    """An index of the people of a case.

    `place` gives the position of each id (the first where an id is doubled), `roles` the role
    in which a person is first used as a parent, with the position of that child.
    """

    def __init__(self, case: Case, *, all_ids: bool = True) -> None:
        self.case = case
        self.people = case.people
        self.place: dict[str, int] = {}
        self.roles: dict[str, tuple[Role, int]] = {}
        for index, person in enumerate(case.people):
            self.place.setdefault(person.id, index)
            if person.father is not None:
                self.roles.setdefault(person.father, ("father", index))
            if person.mother is not None:
                self.roles.setdefault(person.mother, ("mother", index))
        self._all_ids = all_ids
        self._hints = _MOST_HINTS

    def person(self, id: str | None) -> Person | None:
        """Return the person with this id, or None."""
        place = None if id is None else self.place.get(id)
        return None if place is None else self.people[place]

    def role(self, person: Person) -> Role | None:
        """Return the part a person has in having children: from the sex, or else from use."""
        if person.sex != "unknown":
            return "father" if person.sex == "male" else "mother"
        used = self.roles.get(person.id)
        return used[0] if used else None

    def reference(
        self, path: str, id: str, role: Role | None = None, child: str = ""
    ) -> Iterator[Problem]:
        """Yield a problem at `path` if nobody has this id.

        With a `role`, only people who can have it are suggested, and never the `child`.
        """
        if id in self.place or not self._all_ids:
            return
        message = f"no person {shown(id)}"
        if self._hints and len(self.place) <= _MOST_COMPARED:
            self._hints -= 1
            message += did_you_mean_a_name(id, self.people, self._fit(role, child))
        if len(self.place) <= _FEW:
            message += f" (there are {', '.join(map(shown, self.place))})"
        yield Problem(path, message)

    def _fit(self, role: Role | None, child: str) -> list[str]:
        """Return the ids of those who can be the father (or mother) of a child, or of all."""
        return [
            id
            for id, place in self.place.items()
            if role is None or (id != child and self.role(self.people[place]) in (None, role))
        ]

    def two(self, path: str, ids: tuple[str, str]) -> Iterator[Problem]:
        """Yield problems at `path` unless `ids` are two different people who exist."""
        for index, id in enumerate(ids):
            if index and id == ids[0]:
                yield Problem(f"{path}[1]", f"{shown(id)} stands here twice; two people are needed")
            else:
                yield from self.reference(f"{path}[{index}]", id)

    def future_parent(self, path: str, id: str) -> Iterator[Problem]:
        """Yield a problem at `path` if this person cannot have children or a partner."""
        person = self.person(id)
        if person is not None and person.status in NOT_BORN:
            what = NOT_BORN[person.status]
            yield Problem(path, f"{shown(id)} is {what} and cannot have a partner or children")


def asked_about_phenotype(questions: tuple[Question, ...]) -> set[str | None]:
    """Return the ids of those whose own phenotype some question asks about."""
    return {question.person for question in questions if question.ask == "will_be_affected"}
