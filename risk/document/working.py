"""A working as blocks: the tables a student would write, step by step, from its records.

`working_blocks` is the one place that lays a working out; the text of ``explain``, the report,
the answer key and the app all show what it returns.  Two layouts keep a table readable whatever
its size: hypotheses as columns, as on a blackboard; and, where that is too wide, hypotheses as
rows under lettered columns, which a further table continues if need be.  What a step says has a
paragraph for each row under its letter where there are letters; else it is one paragraph if short.
"""

from __future__ import annotations

import re
from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import chain
from typing import Literal

from risk.case.model import Case
from risk.document.blocks import (
    Align,
    Block,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.document.repeats import Repeat, Repeats, folded, repeats
from risk.document.text_page import COMFORTABLE, GUTTER, TABLE_INDENT, WIDTH
from risk.inference.arithmetic import Term
from risk.model.answers import Chance
from risk.wording.chances import equals
from risk.wording.phrases import begins_with, capital, joined
from risk.wording.questions import person_in_words, question_in_words
from risk.workings.step import Combination, Population, Row, Said, Step, Value, Working
from risk.workings.values import column_words, value_word

_RIGHT: tuple[Align, ...] = ("right",)
#: Results that take more characters are not said again in one line.
_LONGEST_REPEATED = 70
#: A step that says more characters than about four lines has a paragraph for each row.
LONGEST_PARAGRAPH = 300

#: A reference takes no more words than so many characters about how common genotypes are.
_LEAST_REFERRED = 62

#: Stands where an earlier row rules a hypothesis out.
_RULED_OUT = "–"
#: An exponent, as a number writes it.
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹ⁿᵏ⁺⁻]+")

_RARE_NOTE = (
    "ε stands for a vanishing quantity, {what}. Of a sum only its lowest power counts. It cancels "
    "when a row is divided by a sum that has it too; otherwise it stays, for a later step."
)


def _rare_note(case: Case) -> str:
    rare = case.condition.frequency.allele == "rare"
    return _RARE_NOTE.format(
        what="the frequency of the rare allele" if rare else "the rate of new mutation"
    )


def working_blocks(
    working: Working,
    case: Case,
    *,
    heading: bool = True,
    level: int = 2,
    number: int = 0,
    repeated: Repeats | None = None,
) -> list[Block]:
    """Return the blocks of a working: the question, its steps, the conclusion.

    Without `heading` the question's own heading of this `level` is left out; a `number` above 0
    stands before it.  A step that is `repeated` is said in one line, with the place where it is
    shown; see `risk.document.repeats`.
    """
    repeated = repeated or {}
    blocks: list[Block] = []
    if heading:
        asked = question_in_words(working.question, case)
        blocks.append(Heading(f"{number}. {asked}" if number else asked, level))
    blocks += _before([step for step in working.steps if step.id not in repeated], case)
    numbers = {step.id: i for i, step in enumerate(working.steps, 1)}
    said: dict[Population, int] = {}
    tables: dict[Hashable, int] = {}
    within = folded(working.steps, repeated)
    first: dict[int, int] = {}
    for id, shown in within.items():
        first[shown] = min(numbers[id], first.get(shown, shown))
    last: list[Block] = []
    for i, step in enumerate(working.steps, 1):
        if step.id in within:
            continue
        if step.id in repeated:
            marker = f"{first[i]}–{i}" if i in first else str(i)
            last = [_repeated(step, marker, repeated[step.id], case)]
        else:
            like = tables.setdefault(_alike(step, case), i)
            last = _step_blocks(step, i, numbers, case, said, like)
        last += _combine_blocks(step, working)
        if i < len(working.steps):
            blocks.append(Together(tuple(last)))
            last = []
    last += _after(working)
    if last:  # the conclusion stays with the table that it is read from
        blocks.append(Together(tuple(last)))
    return blocks


def working_stages(working: Working, case: Case) -> list[list[Block]]:
    """Return what stands there of a working as it grows, as on a blackboard; the last has all.

    Each stage has one line of a table more, and what is said of that line.
    """
    done = _before(working.steps, case)
    stages: list[list[Block]] = []
    numbers = {step.id: i for i, step in enumerate(working.steps, 1)}
    said: dict[Population, int] = {}
    tables: dict[Hashable, int] = {}
    for i, step in enumerate(working.steps, 1):
        before = dict(said)
        like = tables.setdefault(_alike(step, case), i)
        whole = _step_blocks(step, i, numbers, case, said, like)
        lines = 1
        while (part := _step_blocks(step, i, numbers, case, dict(before), like, lines)) != whole:
            stages.append([*done, *part])
            lines += 1
        done = [*done, *whole]
        stages.append(done)
        for block in _combine_blocks(step, working):
            if isinstance(block, Table):
                for rows in range(1, len(block.rows)):
                    stages.append([*done, replace(block, rows=block.rows[:rows])])
            done = [*done, block]
            stages.append(done)
    for block in _after(working):
        done = [*done, block]
        stages.append(done)
    return stages


def _before(steps: Sequence[Step], case: Case) -> list[Block]:
    """Say what a sign means that stands in these steps."""
    whole = [step for step in steps if not step.plain]
    if any("ε" in step.text or any(map(_vanishes, chain(*_shown(step)))) for step in whole):
        return [Paragraph(_rare_note(case), style="note")]
    return []


def _after(working: Working) -> list[Block]:
    """The conclusion, and which facts it does not need."""
    blocks: list[Block] = []
    if working.conclusion:
        blocks.append(Paragraph(working.conclusion, style="answer", indent=1))
    if working.idle:
        facts = "; ".join(working.idle)
        blocks.append(Paragraph(f"Makes no difference here: {facts}.", style="note", indent=1))
    return blocks


def workings_blocks(
    workings: Sequence[Working],
    case: Case,
    *,
    names: Sequence[str] = (),
    heading: bool = True,
    level: int = 2,
) -> list[list[Block]]:
    """Return the blocks of each working of a case, in which no step is shown in full twice.

    `names` are what a reference calls the workings; without them it counts questions from 1, as
    their headings then do.
    """
    count = not names and len(workings) > 1
    names = names or [f"question {i}" for i, _ in enumerate(workings, 1)]
    return [
        working_blocks(
            working,
            case,
            heading=heading,
            level=level,
            number=i if count else 0,
            repeated=repeated,
        )
        for i, (working, repeated) in enumerate(
            zip(workings, repeats(workings, names), strict=True), 1
        )
    ]


def _shown(step: Step) -> list[list[Value | None]]:
    """Return the values of each row, None where a row before rules the hypothesis out."""
    shown: list[list[Value | None]] = []
    possible = [True] * len(step.labels)
    for row in step.rows:
        pairs = list(zip(row.values, possible, strict=True))
        shown.append([value if counts else None for value, counts in pairs])
        possible = [bool(value) and counts for value, counts in pairs]
    return shown


def _vanishes(value: Value | None) -> bool:
    return isinstance(value, Term) and bool(value) and value.order != 0


def _repeated(step: Step, marker: str, repeat: Repeat, case: Case) -> Paragraph:
    """One line for a step that is shown elsewhere: where, and what came out.

    Its `marker` counts those in that lead to it there, too.
    """
    results = _results(step)
    # Which facts are still to come stands where the step is shown, or their rows are.
    text = f"As in {repeat.place}{', so far' if step.later else ''}"
    # Of two people the last line says what counts of it.
    told = step.combine is None or len(step.people) == 1
    if told and 0 < len(results) <= _LONGEST_REPEATED:
        text = f"{text}: {results}"
    text = " ".join(filter(None, (f"{text}.", repeat.more)))
    return Paragraph(text, marker=marker, lead=_with_twins(_lead(step, case), step, case))


def _results(step: Step) -> str:
    """Return the result of each hypothesis that is possible: ``no allele 1/3, carrier 2/3``."""
    words = column_words(step.posterior)
    results = zip(step.labels, step.posterior, words, strict=True)
    return ", ".join(f"{label} {word}" for label, value, word in results if value)


def _names(step: Step, case: Case) -> str:
    return " and ".join(person_in_words(id, case) for id in step.people)


def _lead(step: Step, case: Case) -> str:
    """Say whom a step is about, as a sentence of its own: ``A given one of the siblings C.``"""
    names = _names(step, case)
    if not names:
        return ""
    # Who has a record alone stands there by an alias or id, which stays as it is.
    return f"{capital(names) if case.person(step.people[0]).count else names}."


def _with_twins(lead: str, step: Step, case: Case) -> str:
    """Name the identical twins of the one whom a step is about, who may be the one meant later."""
    twin = case.person(step.people[0]).twin if len(step.people) == 1 else None
    if twin is None or twin.zygosity != "monozygotic":
        return lead
    group = [each.id for each in case.people if each.twin and each.twin.group == twin.group]
    names = [person_in_words(id, case) for id in group if id not in step.people]
    return f"{lead[:-1]}, the identical twin of {joined(names)}."


def _alike(step: Step, case: Case) -> Hashable:
    """Return what is the same for steps whose tables differ only in whom they are about."""
    if len(step.people) != 1 or len(step.rows) < 2 or any(row.uses for row in step.rows):
        return step.id
    person = case.person(step.people[0])
    rows = [
        (row.text.removeprefix(person.name or person.id), *map(value_word, row.values))
        for row in step.rows
    ]
    return step.labels, bool(step.later), *rows


def _step_blocks(
    step: Step,
    number: int,
    steps: Mapping[str, int],
    case: Case,
    said: dict[Population, int],
    like: int,
    shown: int | None = None,
) -> list[Block]:
    """Lay a step out, or its first lines with what is said of them, each where it will stay.

    Where its table is that of a step before, which `like` counts, it is not shown again.
    """
    names = _names(step, case)
    reasons = [" ".join(_without_said(row.reasons, number, said)) for row in step.rows]
    closing, later = step.closing, step.later
    lines: list[_Line] = []
    # A table of one certain hypothesis only says what the sentence says.
    instead = ""
    if like != number:
        instead = f"The table is that of step {like}: {_results(step)}."
    elif not step.plain and (
        len(step.rows) > 1 or (len(step.labels) > 1 and not _said_below(step))
    ):
        lines = _lines(step, names, steps)
    upright = not lines or _fits_upright(step.labels, lines)
    if shown is not None and shown >= len(lines):
        shown = None
    if len(lines) > 1 and not upright:
        first, lead = "", _lead(step, case)
        rows = [
            Paragraph(_of_row(line, reason, case), marker=_letter(i), indent=1)
            for i, (line, reason) in enumerate(zip(lines, reasons[:shown], strict=False))
        ]
        rows += _paragraph(later if shown is None else "")
    else:
        lead = "" if begins_with(step.text, names, case.called) else _lead(step, case)
        ending = (later, "" if lines or instead else closing)
        short = len(" ".join(filter(None, (*reasons, *ending)))) <= LONGEST_PARAGRAPH
        told = (*reasons, *ending) if shown is None else reasons[:shown]
        parts = [each for each in told if each]
        if short:
            parts = [" ".join(parts)]
        first, *others = parts or [""]
        rows = [Paragraph(each, indent=1) for each in others]
    return [
        Paragraph(first, marker=str(number), lead=lead),
        *rows,
        *_table_blocks(step.labels, lines, shown, upright=upright),
        *_paragraph(instead),
        *_paragraph(closing if (lines or instead) and shown is None else ""),
    ]


def _paragraph(text: str) -> list[Paragraph]:
    return [Paragraph(text, indent=1)] if text else []


def _of_row(line: _Line, reason: str, case: Case) -> str:
    """Return what a lettered row is, and why; once, where a sentence of it begins with the row."""
    label = capital(line.text, case.called)
    source = f" ({line.remark})" if line.remark else ""
    if reason.startswith(label):
        return f"{label}{source}{reason.removeprefix(label)}"
    if f". {label}" in reason:
        return f"{capital(line.remark)}. {reason}" if source else reason
    return f"{label}{source}. {reason}".strip()


def _without_said(
    reasons: Sequence[Said], number: int, told: dict[Population, int]
) -> Iterator[str]:
    """Give what a row of a step says, with a reference for how common genotypes are, if that was
    said.

    `told` are the steps by what they said of it, to which this one is added.
    """
    for said in reasons:
        topic = said.topic
        if not isinstance(topic, Population) or not said.brief or len(topic.how) < _LEAST_REFERRED:
            yield said.text
        elif topic not in told:
            told[topic] = number
            yield said.text
        elif told[topic] == number:
            yield f"{said.brief}, with the same chances."
        else:
            yield f"{said.brief}, with the chances that step {told[topic]} begins with."


def _said_below(step: Step) -> bool:
    """Tell whether the combinations of two people, which follow, say what a row of them would.

    One combination whose weight is no product of two people's chances is not to be had without
    the row.
    """
    if not step.combine or len(step.people) != 2:
        return False
    counted = [each for each in step.combine if each.product]
    certain_or_product = [each.weight == 1 or each.factors for each in counted]
    return len(counted) != 1 or all(certain_or_product) or bool(step.rows[0].uses)


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of a table as text: what it is, its value for each hypothesis, a remark.

    Where lines go across, `head` stands over it, or without one a letter, and `total` below it.
    """

    text: str
    values: tuple[str, ...]
    remark: str = ""
    kind: Literal["plain", "sum", "result"] = "plain"
    head: str = ""
    total: str = ""


def _lines(step: Step, names: str, steps: Mapping[str, int]) -> list[_Line]:
    """The rows of the step; joint and result only where there is something to divide.

    What a row rules out has no numbers in the rows after it, which would change nothing.
    """
    lines = []
    for row, shown in zip(step.rows, _shown(step), strict=True):
        words = iter(column_words([value for value in shown if value is not None]))
        values = tuple([_RULED_OUT if value is None else next(words) for value in shown])
        lines.append(_Line(row.text, values, _sources(row, steps)))
    if len(step.rows) > 1 or step.total != 1:
        *joint, total = column_words([*step.joint, step.total])
        posterior = tuple(column_words(step.posterior))
        lines.append(_Line("joint", tuple(joint), f"sum {total}", "sum", "joint", total))
        # Not to be taken for the chance that all facts together leave.
        whose, head = (f"{names} so far", "so far") if step.later else (names, "result")
        lines.append(_Line(whose or head, posterior, "", "result", head))
    return lines


def _sources(row: Row, steps: Mapping[str, int]) -> str:
    """Say which steps a row comes from, or, of facts, is worked out with."""
    numbers = sorted({steps[id] for id in row.uses if id in steps})
    if not numbers:
        return ""
    listed = f"{'step' if len(numbers) == 1 else 'steps'} {', '.join(map(str, numbers))}"
    return f"{'from' if row.kind == 'prior' else 'uses'} {listed}"


def _fits_upright(labels: Sequence[str], lines: Sequence[_Line]) -> bool:
    """Tell whether lines of text have room for the hypotheses beside one another."""
    columns = [
        max(*map(_width, label.split()), *(_width(line.values[i]) for line in lines))
        for i, label in enumerate(labels)
    ]
    remark = max(len(line.remark) for line in lines)
    return TABLE_INDENT + COMFORTABLE + sum(w + GUTTER for w in [*columns, remark]) <= WIDTH


def _table_blocks(
    labels: Sequence[str], lines: Sequence[_Line], shown: int | None, *, upright: bool
) -> Sequence[Block]:
    """Lay the lines, if any, or the first of them, out upright or on their side."""
    if not lines:
        return ()
    return (_upright(labels, lines[:shown]),) if upright else _turned(labels, lines, shown)


def _upright(labels: Sequence[str], lines: Sequence[_Line]) -> Table:
    """Hypotheses across, rows downwards."""
    return Table(
        align=("left", *_RIGHT * len(labels), "left"),
        header=(("", *labels, ""),),
        rows=tuple(TableRow((line.text, *line.values, line.remark), line.kind) for line in lines),
        indent=1,
    )


def _turned(labels: Sequence[str], lines: Sequence[_Line], shown: int | None) -> list[Table]:
    """Hypotheses downwards, rows across under the letters that their reasons have.

    More rows than fit beside one another are continued in a further table.
    """
    named = []
    for i, line in enumerate(lines):
        named.append((line.head or _letter(i), line))
    if len(lines) == 1:
        named = [(lines[0].text, lines[0])]
    room = WIDTH - TABLE_INDENT - min(max(map(len, labels)), COMFORTABLE)
    bands: list[list[tuple[str, _Line]]] = [[]]
    taken = 0
    for head, line in named[:shown]:
        width = GUTTER + max(*map(_width, [*line.values, line.total, head.split()[0]]))
        if bands[-1] and taken + width > room:
            bands.append([])
            taken = 0
        bands[-1].append((head, line))
        taken += width
    return [_band(labels, band, continues=number > 0) for number, band in enumerate(bands)]


def _width(text: str) -> int:
    """Return how wide a cell is on a terminal, where a power has a sign of its own: ``10^-6``."""
    return len(text) + len(_RAISED.findall(text))


def _letter(index: int) -> str:
    """A to Z, then A2 to Z2 and so on."""
    round_, place = divmod(index, 26)
    return chr(ord("A") + place) + (str(round_ + 1) if round_ else "")


def _band(labels: Sequence[str], band: Sequence[tuple[str, _Line]], *, continues: bool) -> Table:
    rows = [
        TableRow((label, *(line.values[i] for _, line in band))) for i, label in enumerate(labels)
    ]
    if any(line.kind == "sum" for _, line in band):
        rows.append(TableRow(("sum", *(line.total for _, line in band)), "sum"))
    return Table(
        align=("left", *_RIGHT * len(band)),
        header=(("", *(head for head, _ in band)),),
        rows=tuple(rows),
        indent=1,
        strong=tuple(i for i, (_, line) in enumerate(band, 1) if line.kind == "result"),
        continues=continues,
    )


def _combine_blocks(step: Step, working: Working) -> list[Block]:
    """The last line of a question about children: each combination, and their sum."""
    if step.combine is None or step.plain:
        return []
    counted = [each for each in step.lines or step.combine if each.product]
    if not counted:
        return []
    total = "" if working.probability is None else value_word(_number(working.probability))
    if len(counted) == 1:
        (only,) = counted
        factors = [*(only.factors or (only.weight,)), only.chance]
        product = [value_word(factor) for factor in factors if factor != 1]
        if len(product) < 2:
            return []
        return [Paragraph(_multiplied(product, total), style="result", indent=1)]
    sums = [] if working.probability is None else [_number(working.probability)]
    weights = column_words([each.weight for each in counted])
    chances = column_words([each.chance for each in counted])
    products = column_words([*[each.product for each in counted], *sums])
    total = products[-1] if sums else ""
    rows = [
        TableRow((each.label, _weight(each, weight), chance, result))
        for each, weight, chance, result in zip(counted, weights, chances, products, strict=False)
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


def _weight(each: Combination, weight: str) -> str:
    """The chance of a combination, as a product of earlier results where it is one."""
    factors = [factor for factor in each.factors if factor != 1]
    return weight if len(factors) < 2 else _multiplied(map(value_word, factors), weight)


def _multiplied(factors: Iterable[str], product: str) -> str:
    return f"{' × '.join(factors)} {equals(product)}"
