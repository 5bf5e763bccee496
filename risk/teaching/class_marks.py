"""Marking a whole class: a table of answers in, a table of verdicts and its summary out.

What a class hands in is messy: another separator, a decimal comma, blank lines, a case that
nobody set.  Each row is marked or says what is wrong with it; no row stops the others.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from risk.case.model import Case
from risk.problems import InputError, Problem, RiskError, did_you_mean, shown
from risk.teaching.mark import Mark, mark
from risk.teaching.slips import NAMES

#: The columns of a table of answers, and other names under which they are found.
COLUMNS: Mapping[str, tuple[str, ...]] = {
    "student": ("student", "name", "who", "id"),
    "case": ("case", "family", "problem", "file"),
    "question": ("question", "q", "number"),
    "answer": ("answer", "response", "result"),
}
_NEEDED = ("student", "answer")
_SEPARATORS = (",", ";", "\t", "|")
#: Verdicts in the order of a summary; ``not marked`` is a row with a problem.
VERDICTS = ("right", "rounded", "slip", "wrong", "not marked")


@dataclass(frozen=True, slots=True)
class Answered:
    """One row of a table of answers, as it stands there; `line` is its line in the file."""

    line: int
    student: str
    case: str
    question: str
    answer: str


@dataclass(frozen=True, slots=True)
class Marked:
    """A row with its mark, or with the problem that kept it from being marked."""

    row: Answered
    mark: Mark | None = None
    problem: str = ""

    @property
    def verdict(self) -> str:
        return self.mark.verdict if self.mark else "not marked"


@dataclass(frozen=True, slots=True)
class Summary:
    """How a class did: how many answers of each verdict, and how many show each slip.

    `verdicts` and `slips` list (name, number) with only what occurs, slips the most frequent
    first.  `questions` has the same for each (case, question), cases in the order of the table.
    """

    students: int
    answers: int
    verdicts: tuple[tuple[str, int], ...]
    slips: tuple[tuple[str, int], ...]
    questions: tuple[tuple[str, str, Summary], ...] = ()


def read_answers(content: bytes) -> tuple[Answered, ...]:
    """Read a table of answers with the columns student, case, question and answer.

    Any separator of ``, ; tab |``, any order of columns, other columns beside them, UTF-8 with
    or without a byte-order mark, UTF-16, or Windows-1252.  `case` and `question` may be left
    out.  Raises InputError where these columns are not found.
    """
    lines = _text(content).splitlines()
    start = next((i for i, line in enumerate(lines) if line.strip(" ,;\t|")), None)
    if start is None:
        raise InputError([Problem("", "the table of answers is empty")])
    separator, places = _header(lines[start])
    width = len(next(csv.reader([lines[start]], delimiter=separator)))
    reader = csv.reader(io.StringIO("\n".join(lines[start + 1 :])), delimiter=separator)
    rows = []
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        if separator == "," and len(cells) > width and places["answer"] == width - 1:
            # An answer with a decimal comma that nobody put in quotes.
            cells = [*cells[: width - 1], ",".join(cells[width - 1 :]).rstrip(",")]
        values = {
            name: cells[place].strip() if place < len(cells) else ""
            for name, place in places.items()
        }
        rows.append(
            Answered(
                start + 1 + reader.line_num,
                values["student"],
                values.get("case", ""),
                values.get("question", ""),
                values["answer"],
            )
        )
    return tuple(rows)


def _text(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _header(line: str) -> tuple[str, dict[str, int]]:
    """Return the separator and the place of each column."""
    best: dict[str, int] = {}
    for separator in _SEPARATORS:
        cells = [cell.strip().lower() for cell in next(csv.reader([line], delimiter=separator))]
        places = {
            name: cells.index(found)
            for name, others in COLUMNS.items()
            if (found := next((each for each in others if each in cells), None)) is not None
        }
        if all(name in places for name in _NEEDED):
            return separator, places
        best = max(best, places, key=len)
    missing = ", ".join(name for name in COLUMNS if name not in best)
    raise InputError(
        [
            Problem(
                "",
                f"the first line of the table names no column {missing}; the columns are "
                "student, case, question, answer",
            )
        ]
    )


def mark_class(rows: Sequence[Answered], cases: Mapping[str, Case]) -> tuple[Marked, ...]:
    """Mark every row; `cases` are the cases by name.

    A name is found whatever its capitals and with or without ``.json``.  An empty case stands
    for the only one there is, an empty question for question 0.
    """
    names = {_plain(name): name for name in cases}
    return tuple(_marked(row, cases, names) for row in rows)


def _plain(name: str) -> str:
    return re.sub(r"\.jsonl?$", "", re.sub(r"[\s_-]+", " ", name.strip().lower())).strip()


def _marked(row: Answered, cases: Mapping[str, Case], names: Mapping[str, str]) -> Marked:
    try:
        case = _case(row, cases, names)
        return Marked(row, mark(case, row.answer, _question(row)))
    except RiskError as error:
        return Marked(row, problem="; ".join(each.message for each in error.problems))


def _case(row: Answered, cases: Mapping[str, Case], names: Mapping[str, str]) -> Case:
    name = _plain(row.case)
    if name in names:
        return cases[names[name]]
    if not name and len(set(cases.values())) == 1:
        return next(iter(cases.values()))
    if not name:
        raise InputError([Problem("case", "no case is given")])
    hint = did_you_mean(row.case, names.values())
    raise InputError([Problem("case", f"there is no case {shown(row.case)}{hint}")])


def _question(row: Answered) -> int:
    text = row.question.strip().lower().removeprefix("question").removeprefix("q").strip(" .#")
    if not text:
        return 0
    if re.fullmatch(r"\d{1,6}(\.0+)?", text):
        return int(float(text))
    message = f"{shown(row.question)} is not the number of a question"
    raise InputError([Problem("question", message)])


def summarise(marked: Sequence[Marked]) -> Summary:
    """Count verdicts and slips, in all and for each question."""
    questions: dict[tuple[str, int], list[Marked]] = {}
    order = list(dict.fromkeys(_plain(each.row.case) for each in marked))
    for each in marked:
        if each.mark is not None:
            key = (_plain(each.row.case), _question(each.row))
            questions.setdefault(key, []).append(each)
    return _count(
        marked,
        tuple(
            (rows[0].row.case.strip(), str(number), _count(rows))
            for (_, number), rows in sorted(
                questions.items(), key=lambda item: (order.index(item[0][0]), item[0][1])
            )
        ),
    )


def _count(
    marked: Sequence[Marked], questions: tuple[tuple[str, str, Summary], ...] = ()
) -> Summary:
    verdicts = Counter(each.verdict for each in marked)
    slips = Counter(name for each in marked if each.mark for name in each.mark.slips)
    return Summary(
        len({each.row.student for each in marked}),
        len(marked),
        tuple((name, verdicts[name]) for name in VERDICTS if verdicts[name]),
        tuple(
            sorted(
                ((name, slips[name]) for name in NAMES if slips[name]),
                key=lambda pair: (-pair[1], NAMES.index(pair[0])),
            )
        ),
        questions,
    )


#: The columns of a table of marks.
MARK_COLUMNS = ("student", "case", "question", "answer", "verdict", "slips", "feedback", "problem")


def marks_table(marked: Sequence[Marked]) -> str:
    """Return the marks as comma-separated values, a row for each row of the table of answers.

    Cells that a spreadsheet would take for a formula get an apostrophe in front.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(MARK_COLUMNS)
    for each in marked:
        row = each.row
        slips = " ".join(each.mark.slips) if each.mark else ""
        feedback = each.mark.feedback if each.mark else ""
        cells = (row.student, row.case, row.question, row.answer, each.verdict, slips, feedback)
        writer.writerow([_inert(cell) for cell in (*cells, each.problem)])
    return text.getvalue()


def _inert(cell: str) -> str:
    return f"'{cell}" if cell[:1] in "=+-@\t" and cell else cell
