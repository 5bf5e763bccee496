"""Which steps of several workings repeat one that was shown before, so that none is shown twice."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import NamedTuple

from risk.workings.step import Step, Working


class Repeat(NamedTuple):
    """Where a step was shown before, as ``question 1, step 3``, and what it says beyond that."""

    place: str
    more: str = ""


#: Characters about two people without a table, from which on they are not said again.
_LONG_TEXT = 160


class _Shown(NamedTuple):
    sentences: tuple[str, ...]
    content: Hashable
    place: str


#: The steps of a working that repeat an earlier one, by their ids.
Repeats = Mapping[str, Repeat]


def repeats(workings: Sequence[Working], names: Sequence[str]) -> list[Repeats]:
    """Return for each working which of its steps an earlier one shows; `names` name the workings.

    A step repeats another where every number of both is the same, in the steps that they use
    too, and every word about its table, save that one may go on where the other ends.  The last
    line of a question about children is the question's own.
    """
    shown: dict[Hashable, list[_Shown]] = {}
    found: list[Repeats] = []
    for working, name in zip(workings, names, strict=True):
        repeated: dict[str, Repeat] = {}
        here: list[tuple[Hashable, _Shown]] = []
        contents: dict[str, Hashable] = {}
        for number, step in enumerate(working.steps, 1):
            numbers = _numbers(step, contents)
            contents[step.id] = numbers, step.of_table
            short = len(step.people) == 1 or len(step.opening) < _LONG_TEXT
            if step.plain or (step.combine is not None and len(step.rows) == 1 and short):
                continue
            for earlier in shown.get(numbers, ()):
                said, everything = step.of_table, step.sentences
                if everything[: len(earlier.sentences)] == earlier.sentences:
                    said = earlier.sentences
                if earlier.sentences[: len(said)] == said:
                    more = " ".join(everything[len(said) :])
                    repeated[step.id] = Repeat(earlier.place, more)
                    contents[step.id] = earlier.content
                    break
            else:
                place = f"{name}, step {number}"
                here.append((numbers, _Shown(step.of_table, contents[step.id], place)))
        for numbers, each in here:
            shown.setdefault(numbers, []).append(each)
        found.append(repeated)
    return found


def _numbers(step: Step, earlier: Mapping[str, Hashable]) -> Hashable:
    """All that is shown of a step but its text, whatever its number and those that it uses."""
    rows = tuple(
        (row.kind, row.text, row.values, tuple(earlier.get(id) for id in row.uses))
        for row in step.rows
    )
    return step.people, step.labels, rows, step.joint, step.posterior


def folded(steps: Sequence[Step], repeated: Repeats) -> dict[str, int]:
    """Return which steps need no line of their own, with the number of the repeat that has them.

    They stand right before a step that is repeated, and are there for it alone.
    """
    kept = [step for step in steps if step.id not in repeated]
    needed = {use for step in kept for row in step.rows for use in row.uses}
    people = [step.people for step in kept]
    found: dict[str, int] = {}
    leading: set[str] = set()
    number = 0
    for i, step in reversed(list(enumerate(steps, 1))):
        uses = {use for row in step.rows for use in row.uses}
        alone = step.id in repeated and step.id not in needed and step.people not in people
        if step.id in leading and alone:
            found[step.id] = number
            leading |= uses
        else:
            number, leading = i, uses if step.id in repeated else set()
    return found
