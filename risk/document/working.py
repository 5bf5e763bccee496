"""A working as blocks: the tables a student would write, step by step, from its records.

`working_blocks` is the one place that lays a working out; the text of ``explain``, the report,
the answer key and the app all show what it returns.  Three layouts keep a table readable
whatever its size: hypotheses as columns (as on a blackboard), hypotheses as rows with lettered
columns, and, when neither fits, one line of words for each row.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from risk.case.model import Case
from risk.document.blocks import (
    Align,
    Block,
    Bullets,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.inference.arithmetic import Term
from risk.model.answers import Chance
from risk.wording import person_in_words, question_in_words
from risk.workings.step import Combination, State, Step, Value, Working

#: What fits on a line of text, and comfortably across a page, in characters.
_LINE = 80
_INDENT = 5
_GUTTER = 3
#: Room kept for the texts of the rows, so that they do not wrap after every word.
_ROW_TEXT = 26
_RIGHT: tuple[Align, ...] = ("right",)
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
#: A fraction of more characters is shown as a decimal: nobody multiplies it by hand.
LONGEST_FRACTION = 23

_RARE_NOTE = (
    "ε stands for a vanishing quantity, the chance of the rare event. Only its lowest power "
    "counts, and it cancels when a row is divided by its sum."
)


def value_text(value: Value) -> str:
    """Return a value of a working as a student would write it.

    A fraction that is too long to work with, and a number that is not exact, is a decimal of
    six digits after ``≈``.  A value of a rare limit is a number times a power of ε.
    """
    if isinstance(value, Term):
        if not value or not value.order:
            return value_text(Fraction(value.coefficient))
        power = "ε" if value.order == 1 else f"ε^{value.order}"
        number = value_text(Fraction(value.coefficient))
        return power if number == "1" else f"{number} {power}"
    if isinstance(value, Fraction | int):
        exact = Fraction(value)
        if max(exact.numerator.bit_length(), exact.denominator.bit_length()) < 200:
            text = str(exact)
            if len(text) <= LONGEST_FRACTION:
                return text
        value = float(exact)
        if not value:
            return "<1e-300" if exact else "0"
    return f"{value:.6g}" if value in (0.0, 1.0) else f"≈{value:.6g}"


def working_blocks(
    working: Working, case: Case, *, heading: bool = True, level: int = 2
) -> list[Block]:
    """Return the blocks of a working: the question, its steps, the conclusion.

    Without `heading` the question's own heading of this `level` is left out.
    """
    blocks: list[Block] = []
    if heading:
        blocks.append(Heading(question_in_words(working.question, case), level))
    if any(_vanishes(value) for step in working.steps for value in _values(step)):
        blocks.append(Paragraph(_RARE_NOTE, style="note"))
    numbers = {step.id: i for i, step in enumerate(working.steps, 1)}
    for i, step in enumerate(working.steps, 1):
        blocks += _step_blocks(step, i, numbers, case)
        if step.combine is not None:
            blocks += _combine_blocks(step, working, case)
    if working.conclusion:
        blocks.append(Paragraph(working.conclusion, style="answer", indent=1))
    if working.idle:
        facts = "; ".join(working.idle)
        blocks.append(Paragraph(f"Makes no difference here: {facts}.", style="note", indent=1))
    return blocks


def _values(step: Step) -> list[Value]:
    return [value for row in step.rows for value in row.values]


def _vanishes(value: Value) -> bool:
    return isinstance(value, Term) and bool(value) and value.order != 0


def _step_blocks(step: Step, number: int, steps: Mapping[str, int], case: Case) -> list[Block]:
    names = " and ".join(person_in_words(id, case) for id in step.people)
    lead = f"{names}." if names and not step.text.startswith(names) else ""
    blocks: list[Block] = [Paragraph(step.text, marker=str(number), lead=lead)]
    if step.rows:
        blocks += _table_blocks(step.labels, _lines(step, names, steps))
    return [Together(tuple(blocks))]


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of a table as text: what it is, its value for each hypothesis, a remark."""

    text: str
    values: tuple[str, ...]
    remark: str = ""
    kind: Literal["plain", "sum", "result"] = "plain"


def _lines(step: Step, names: str, steps: Mapping[str, int]) -> list[_Line]:
    """The rows of the step; joint and result only where there is something to divide."""
    lines = [
        _Line(row.text, tuple(map(value_text, row.values)), _sources(row.uses, steps))
        for row in step.rows
    ]
    if len(step.rows) > 1 or step.total != 1:
        joint = tuple(map(value_text, step.joint))
        posterior = tuple(map(value_text, step.posterior))
        lines.append(_Line("joint", joint, f"sum {value_text(step.total)}", "sum"))
        lines.append(_Line(names or "result", posterior, "", "result"))
    return lines


def _sources(uses: Sequence[str], steps: Mapping[str, int]) -> str:
    numbers = sorted({steps[id] for id in uses if id in steps})
    if not numbers:
        return ""
    return f"from {'step' if len(numbers) == 1 else 'steps'} {', '.join(map(str, numbers))}"


def _table_blocks(labels: Sequence[str], lines: Sequence[_Line]) -> list[Block]:
    """Lay the lines out in the first of three ways that fits a line of text."""
    columns = [
        max(*map(len, label.split()), *(len(line.values[i]) for line in lines))
        for i, label in enumerate(labels)
    ]
    remark = max(len(line.remark) for line in lines)
    if _INDENT + _ROW_TEXT + sum(w + _GUTTER for w in [*columns, remark]) <= _LINE:
        return [_upright(labels, lines)]
    across = sum(_GUTTER + max(map(len, line.values)) for line in lines)
    if _INDENT + _ROW_TEXT + across <= _LINE and len(lines) <= len(_LETTERS):
        return _turned(labels, lines)
    return [_spelled(labels, lines)]


def _upright(labels: Sequence[str], lines: Sequence[_Line]) -> Table:
    """Hypotheses across, rows downwards."""
    return Table(
        align=("left", *_RIGHT * len(labels), "left"),
        header=(("", *labels, ""),),
        rows=tuple(TableRow((line.text, *line.values, line.remark), line.kind) for line in lines),
        indent=1,
    )


def _turned(labels: Sequence[str], lines: Sequence[_Line]) -> list[Block]:
    """Hypotheses downwards, rows across under letters that are explained below."""
    plain = [line for line in lines if line.kind == "plain"]
    sums = [line.remark.removeprefix("sum ") for line in lines if line.kind == "sum"]
    letters = _LETTERS[: len(plain)]
    heads = (*letters, *(("joint", "result") if sums else ()))
    rows = [
        TableRow((label, *(line.values[i] for line in lines))) for i, label in enumerate(labels)
    ]
    if sums:
        rows.append(TableRow(("sum", *("" for _ in letters), sums[0], ""), "sum"))
    legend = [
        f"{letter}: {line.text}" + (f" ({line.remark})" if line.remark else "")
        for letter, line in zip(letters, plain, strict=True)
    ]
    align: tuple[Align, ...] = ("left", *_RIGHT * len(heads))
    return [
        Table(align=align, header=(("", *heads),), rows=tuple(rows), indent=1),
        Bullets(tuple(legend), indent=2),
    ]


def _spelled(labels: Sequence[str], lines: Sequence[_Line]) -> Table:
    """Each row with its values written out behind it; fits whatever there is."""
    rows = []
    for line in lines:
        values = "; ".join(f"{a} {b}" for a, b in zip(labels, line.values, strict=True))
        remark = f" ({line.remark})" if line.remark else ""
        rows.append(TableRow((line.text + remark, values), line.kind))
    return Table(align=("left", "left"), header=(), rows=tuple(rows), grow=(0, 1), indent=1)


def _combine_blocks(step: Step, working: Working, case: Case) -> list[Block]:
    """The last line of a question about children: each combination, and their sum."""
    assert step.combine is not None
    counted = [each for each in step.combine if each.product]
    if not counted:
        return []
    total = "" if working.probability is None else value_text(_number(working.probability))
    if len(counted) == 1:
        (only,) = counted
        line = f"{_weight(only, joined=True)} × {value_text(only.chance)} = {total}"
        return [Paragraph(line, style="result", indent=1)]
    words = _state_words(working)
    rows = [
        TableRow(
            (
                ", ".join(
                    f"{person_in_words(id, case)} {words(id, state)}"
                    for id, state in each.case.items()
                ),
                _weight(each),
                value_text(each.chance),
                value_text(each.product),
            )
        )
        for each in counted
    ]
    rows.append(TableRow(("together", "", "", total), "sum"))
    return [
        Table(
            align=("left", "right", "right", "right"),
            header=(("", "chance of this", "then", "product"),),
            rows=tuple(rows),
            indent=1,
        )
    ]


def _number(chance: Chance) -> Value:
    return chance.value if chance.exact is None else chance.exact


def _weight(each: Combination, *, joined: bool = False) -> str:
    """The chance of a combination, as a product of earlier results where it is one."""
    if len(each.factors) < 2:
        return value_text(each.weight)
    product = " × ".join(map(value_text, each.factors))
    return product if joined else f"{product} = {value_text(each.weight)}"


def _state_words(working: Working) -> Callable[[str, State], str]:
    """How the working's own tables call a person's state; the bare state where none does."""
    known: dict[tuple[str, State], str] = {}
    for step in working.steps:
        if len(step.people) == 1:
            for hypothesis, label in zip(step.hypotheses, step.labels, strict=True):
                for id, state in hypothesis.items():
                    known[id, state] = label
    return lambda id, state: known.get((id, state), str(state))
