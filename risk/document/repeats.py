"""Which steps of several workings repeat one that was shown before, so that none is shown twice."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from risk.workings.step import Step, Working

#: For each step that repeats an earlier one, by its id: where that was, as ``question 1, step 3``.
Places = Mapping[str, str]


def repeats(workings: Sequence[Working], names: Sequence[str]) -> list[Places]:
    """Return for each working which of its steps an earlier one shows; `names` name the workings.

    A step repeats another where every word and number of both is the same, in the steps that
    they use too.  The last line of a question about children is the question's own.
    """
    shown: dict[Hashable, str] = {}
    found: list[Places] = []
    for working, name in zip(workings, names, strict=True):
        places, here = {}, {}
        contents: dict[str, Hashable] = {}
        for number, step in enumerate(working.steps, 1):
            content = contents[step.id] = _content(step, contents)
            if step.combine is not None:
                continue
            if content in shown:
                places[step.id] = shown[content]
            else:
                here[content] = f"{name}, step {number}"
        shown |= here
        found.append(places)
    return found


def _content(step: Step, earlier: Mapping[str, Hashable]) -> Hashable:
    """Everything that is shown of a step, whatever its number and those of the steps it uses."""
    rows = tuple(
        (row.kind, row.text, row.values, row.facts, tuple(earlier.get(id) for id in row.uses))
        for row in step.rows
    )
    return step.people, step.labels, step.text, rows, step.joint, step.posterior
