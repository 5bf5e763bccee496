"""Marks as blocks: one answer with its feedback, and what a whole class did."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType

from risk.case.model import Case
from risk.caution import CAUTION
from risk.document.blocks import Block, Bullets, Caution, Heading, Paragraph, Table, TableRow
from risk.model.answers import Chance, Vanishing
from risk.number import half_up
from risk.teaching.class_marks import Marked, Summary
from risk.teaching.mark import NEAR, Mark
from risk.teaching.parting import Parting
from risk.teaching.scores import SCORE_COLUMNS, Score, score_rows
from risk.teaching.slips import SHORT
from risk.wording.alleles import distribution_in_words
from risk.wording.chances import answer_in_words
from risk.wording.family import title_of
from risk.wording.questions import LETTERS, question_in_words, question_letter
from risk.workings.values import value_word

#: Of more slips that are as common as the first only the number is said, as it is of more answers
#: that cannot be marked for the same reason.
_MOST_NAMED = 3
VERDICTS = {
    "right": "Right",
    "rounded": "Right, rounded",
    "slip": "Not right: a known slip",
    "wrong": "Not right",
    "not marked": "Not marked",
}


def verdict_in_words(mark: Mark | None) -> str:
    """Return the verdict on an answer; None is one that could not be marked."""
    if mark is None:
        return VERDICTS["not marked"]
    if mark.unclear:
        return "Right, rounded, or a known slip"
    return NEAR if mark.near else VERDICTS[mark.verdict]


def mark_blocks(mark: Mark, case: Case, *, reveal: bool = False) -> list[Block]:
    """Return the page of one marked answer; with `reveal` it ends with the true answer."""
    blocks: list[Block] = [
        Heading(title_of(case), 1),
        Paragraph(_numbered(mark, case)),
        Paragraph("; ".join(each.text.strip() for each in mark.read), lead="Answer:", indent=1),
        Paragraph(verdict_in_words(mark), style="answer", indent=1),
    ]
    if mark.comment:
        blocks.append(Paragraph(mark.comment))
    if mark.parting is not None:
        blocks += parting_blocks(mark.parting)
    if reveal:
        blocks.append(Paragraph(f"The answer is {true_in_words(mark)}.", style="answer"))
    return [*blocks, Caution(CAUTION)]


def _numbered(mark: Mark, case: Case) -> str:
    """Return the question in words; where the case asks several, with its place among them.

    The place is counted as answers are listed, from 1, and as a question to mark is named, from 0.
    """
    index, many = mark.index, len(case.questions)
    words = question_in_words(case.questions[index], case)
    if many < 2:
        return words
    return f"Question {index + 1} of {many} (number {index}, counted from 0): {words}"


def parting_blocks(parting: Parting) -> list[Block]:
    """Return the line of the working where the paths part, or the facts to think of again."""
    start = "Here the paths part."
    if parting.step:
        start += f' The working says: "{parting.step}"'
    if not parting.labels:
        return [Paragraph(f"{start} Ask what follows from this: {parting.text}.")]
    if not parting.values:
        return [Paragraph(f'{start} Work out the line "{parting.text}".')]
    return [
        Paragraph(start),
        Table(
            align=("left", "right"),
            header=(("", parting.text),),
            rows=tuple(
                TableRow((label, value_word(value)))
                for label, value in zip(parting.labels, parting.values, strict=True)
            ),
            caption="The line of the working where the paths part",
            indent=1,
        ),
    ]


def parting_in_words(parting: Parting | None) -> str:
    """Return the same as a sentence, for media without tables."""
    if parting is None:
        return ""
    if not parting.labels:
        return f"The paths part at what follows from this: {parting.text}."
    if not parting.values:
        return f'The paths part in the line "{parting.text}".'
    values = "; ".join(
        f"{label} {value_word(value)}"
        for label, value in zip(parting.labels, parting.values, strict=True)
    )
    return f'The paths part in the line "{parting.text}": {values}.'


def true_in_words(mark: Mark) -> str:
    """Return the true answer in each of its forms; a distribution by number of copies."""
    chances = [
        (Vanishing if vanishes else Chance)(float(value), value if mark.exact else None)
        for value, vanishes in zip(mark.true, mark.vanishing, strict=True)
    ]
    return answer_in_words(chances[0]) if len(chances) == 1 else distribution_in_words(chances)


def class_blocks(
    summary: Summary,
    marked: Sequence[Marked],
    count_from: int = 0,
    problems: Mapping[str, int] = MappingProxyType({}),
) -> list[Block]:
    """Return the summary of a class: verdicts, slips, each question, and rows not marked.

    Questions are numbered from `count_from`, as in the table of answers, or called as on a
    worksheet by its numbers of the `problems`, where the table calls them so.
    """
    if not any(each.row.case.isdigit() for each in marked):
        problems = {}
    answers, students = _number(summary.answers, "answer"), _number(summary.students, "student")
    missed = dict(summary.verdicts).get("not marked", 0)
    aside = f", {missed:,} of them not marked (see the end)" if missed else ""
    blocks: list[Block] = [
        Heading("What the class answered", 1),
        Paragraph(f"{answers} of {students}{aside}."),
        *(Paragraph(note, lead="Note:") for note in summary.notes),
        Table(
            align=("left", "right", "right"),
            header=(("verdict", "answers", "share"),),
            rows=tuple(
                TableRow((VERDICTS[name], str(count), _share(count, summary)))
                for name, count in summary.verdicts
            ),
            caption="How many answers got each verdict",
            ruled=True,
        ),
    ]
    if summary.slips:
        blocks += [
            Heading("Slips"),
            Table(
                align=("left", "left", "right"),
                header=(("slip", "the student ...", "times"),),
                rows=tuple(
                    TableRow((name, SHORT[name], str(count))) for name, count in summary.slips
                ),
                grow=(1,),
                caption="Which slips the class makes, one by one; an answer can show several",
                ruled=True,
            ),
        ]
    if len(summary.questions) > 1:
        blocks += [Heading("Question by question"), questions_table(summary, count_from, problems)]
    if any(each.problem for each in marked):
        blocks += [Heading("Not marked"), Bullets(_faults(marked))]
    return [*blocks, Caution(CAUTION)]


def _faults(marked: Sequence[Marked]) -> tuple[str, ...]:
    """Return what is wrong with answers, each problem once with whose they are."""
    whose: dict[str, list[str]] = {}
    for each in marked:
        if each.problem:
            student = each.row.student or "nobody named"
            whose.setdefault(each.problem, []).append(f"line {each.row.line}, {student}")
    return tuple(
        f"{'; '.join([*some[:_MOST_NAMED], *_more(some)])}: {problem}"
        for problem, some in whose.items()
    )


def _more(some: Sequence[str]) -> list[str]:
    more = len(some) - _MOST_NAMED
    return [f"and {more:,} more"] if more > 0 else []


def questions_table(
    summary: Summary, count_from: int, problems: Mapping[str, int] = MappingProxyType({})
) -> Table:
    """Return how each question went: answers, how many are right, the most common slip.

    `problems` are the numbers of the cases on a worksheet, where questions are called by these.
    """
    rows = []
    for case, number, each in summary.questions:
        common = most_common(each.slips)
        place = question_label(int(number), count_from)
        if case in problems:
            place = problem_label(problems[case], int(number))
        rows.append(TableRow((case, place, str(each.answers), str(each.right), common)))
    return Table(
        align=("left", "right", "right", "right", "left"),
        header=(("case", "question", "answers", "right", "most common slip"),),
        rows=tuple(rows),
        grow=(0, 4),
        caption="How each question went",
        ruled=True,
    )


def students_table(found: Sequence[Score]) -> Table:
    """Return the score of each student."""
    return Table(
        align=("left", "right", "right", "right", "right", "right", "right"),
        header=(SCORE_COLUMNS,),
        rows=tuple(TableRow(row) for row in score_rows(found)),
        grow=(0,),
        caption="How each student did",
        ruled=True,
    )


def question_label(index: int, count_from: int) -> str:
    """Return both ways to name a question in a class's answers: "0 (a)"."""
    letter = f" {question_letter(index)}" if index < LETTERS else ""
    return f"{index + count_from}{letter}"


def problem_label(problem: int, index: int) -> str:
    """Return what a worksheet's key calls a question: "2 (a)"."""
    return f"{problem} {question_letter(index)}"


def most_common(slips: Sequence[tuple[str, int]]) -> str:
    """Return the slip made most often, or those that share the first place, with its number.

    More than a few are only counted.
    """
    most = [SHORT[name] for name, count in slips if count == slips[0][1]]
    if len(most) < 2:
        return f"{most[0]} ({slips[0][1]})" if most else ""
    times = "once" if slips[0][1] == 1 else f"{slips[0][1]} times"
    named = f": {'; '.join(most)}" if len(most) <= _MOST_NAMED else ""
    return f"{len(most)} slips {times} each{named}"


def _number(count: int, noun: str) -> str:
    return f"{count:,} {noun}" + ("" if count == 1 else "s")


def _share(count: int, summary: Summary) -> str:
    return f"{half_up(Fraction(100 * count, summary.answers), 1)}%"
