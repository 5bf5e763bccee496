"""Which steps of several workings repeat one that was shown before, so that none is shown twice."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import NamedTuple

from risk.workings.step import Step, Working


class Repeat(NamedTuple):
    """Where a step was shown before, as ``question 1, step 3``, and what it says beyond that."""

    place: str
    more: str = ""


class _Shown(NamedTuple):
    text: str
    content: Hashable
    place: str


#: The steps of a working that repeat an earlier one, by their ids.
Repeats = Mapping[str, Repeat]


def repeats(workings: Sequence[Working], names: Sequence[str]) -> list[Repeats]:
    """Return for each working which of its steps an earlier one shows; `names` name the workings.

    A step repeats another where every number of both is the same, in the steps that they use
    too, and every word, save that one may go on where the other ends.  The last line of a
    question about children is the question's own, save for a table that was shown before.
    """
    shown: dict[Hashable, list[_Shown]] = {}
    found: list[Repeats] = []
    for working, name in zip(workings, names, strict=True):
        repeated: dict[str, Repeat] = {}
        here: list[tuple[Hashable, _Shown]] = []
        contents: dict[str, Hashable] = {}
        for number, step in enumerate(working.steps, 1):
            numbers = _numbers(step, contents)
            contents[step.id] = numbers, step.text
            if step.combine is not None and len(step.rows) == 1:
                continue
            for earlier in shown.get(numbers, ()):
                if earlier.text.startswith(step.text) or step.text.startswith(f"{earlier.text} "):
                    more = step.text[len(earlier.text) :].strip()
                    repeated[step.id] = Repeat(earlier.place, more)
                    contents[step.id] = earlier.content
                    break
            else:
                if step.combine is None:
                    place = f"{name}, step {number}"
                    here.append((numbers, _Shown(step.text, contents[step.id], place)))
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
