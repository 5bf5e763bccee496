"""Fields that each follow one key of a person and change it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from risk.case import edit
from risk.case.model import Case, Person
from risk.problems import Problem
from risk.screens import fields, session


@dataclass(frozen=True)
class PersonFields:
    """The fields of one person, whose problems are said beside them.

    `place` is the person's place in the case file and `problems` are all of theirs.
    """

    person: Person
    place: str
    problems: tuple[Problem, ...]

    def at(self, key: str) -> list[Problem]:
        """The problems of one key."""
        return session.problems_at(self.problems, f"{self.place}.{key}")

    def choice(self, label: str, key: str, options: Mapping[Any, str], **more: Any) -> None:
        """One of a few values; see `fields.choice`."""
        fields.choice(*self._about(label, key), options, self._set(key), **self._also(key, more))

    def number(self, label: str, key: str, **more: Any) -> None:
        """A number; see `fields.number`."""
        fields.number(*self._about(label, key), self._set(key), **self._also(key, more))

    def text(self, label: str, key: str, **more: Any) -> None:
        """A text; see `fields.text`."""
        fields.text(*self._about(label, key), self._set(key), **self._also(key, more))

    def _about(self, label: str, key: str) -> tuple[str, str, Any]:
        return label, f"{self.person.id}|{key}", getattr(self.person, key)

    def _also(self, key: str, more: dict[str, Any]) -> dict[str, Any]:
        return {"problems": self.at(key), **more}

    def _set(self, key: str) -> fields.Change:
        def change(case: Case, value: Any) -> Case:
            if key == "age":
                return edit.set_age(case, self.person.id, value)
            return edit.change_person(case, self.person.id, **{key: value})

        return change
