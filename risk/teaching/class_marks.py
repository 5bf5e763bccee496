"""Marking a whole class: a table of answers in, a table of verdicts and its summary out.

What a class hands in is messy: another separator, a decimal comma, blank lines, a case that
nobody set.  Each row is marked or says what is wrong with it; no row stops the others.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

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
    """A row with its mark, or with the problem that kept it from being marked.

    `case` is the first name of the case, whichever its row calls it by, and `number` the
    question from 0; "" and None where they are not clear.
    """

    row: Answered
    mark: Mark | None = None
    problem: str = ""
    case: str = ""
    number: int | None = None

    @property
    def verdict(self) -> str:
        return self.mark.verdict if self.mark else "not marked"


@dataclass(frozen=True, slots=True)
class Summary:
    """How a class did: how many answers of each verdict, and how many show each slip.

    `verdicts` and `slips` list (name, number) with only what occurs, slips the most frequent
    first.  `questions` has the same for each (case, question), cases in the order of the table and
    questions from 0.  `notes` say what seems wrong with the table as a whole, and `count_from` is
    the number that the first question of a case was taken to have.
    """

    students: int
    answers: int
    verdicts: tuple[tuple[str, int], ...]
    slips: tuple[tuple[str, int], ...]
    questions: tuple[tuple[str, str, Summary], ...] = ()
    notes: tuple[str, ...] = ()
    count_from: int = 0


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


def counted_from(rows: Sequence[Answered]) -> int:
    """Return 0 where a row names question 0, else 1, the first number of every list on paper."""
    for row in rows:
        try:
            if _written(row.question) == 0:
                return 0
        except InputError:
            continue
    return 1


def mark_class(
    rows: Sequence[Answered], cases: Mapping[str, Case], count_from: int = 0
) -> tuple[Marked, ...]:
    """Mark every row; `cases` are the cases by name, a case by several if need be.

    A name is found whatever its capitals and with or without ``.json``.  An empty case stands
    for the only one there is, an empty question for the first.  Questions are numbered from
    `count_from` or called by the letters of a worksheet, (a), (b) and so on.
    """
    names = {_plain(name): name for name in cases}
    first: dict[int, str] = {}
    for name, case in cases.items():
        first.setdefault(id(case), name)
    return tuple(_marked(row, cases, names, first, count_from) for row in rows)


def _plain(name: str) -> str:
    return re.sub(r"\.jsonl?$", "", re.sub(r"[\s_-]+", " ", name.strip().lower())).strip()


def _marked(
    row: Answered,
    cases: Mapping[str, Case],
    names: Mapping[str, str],
    first: Mapping[int, str],
    count_from: int,
) -> Marked:
    name, number = "", None
    try:
        case = _case(row, cases, names)
        name = first[id(case)]
        number = _question(row, len(case.questions), count_from)
        return Marked(row, mark(case, row.answer, number), "", name, number)
    except RiskError as error:
        problem = "; ".join(each.message for each in error.problems)
        return Marked(row, None, problem, name, number)


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


def _question(row: Answered, many: int, count_from: int) -> int:
    """Return the number of the question, from 0, of a case that asks so `many`."""
    text = row.question.strip().lower()
    if letter := _LETTER.fullmatch(text):
        number = ord(letter[1]) - ord("a")
        last = chr(ord("a") + min(many, 26) - 1)
        known = "lettered (a)" + (f" to ({last})" if many > 1 else " only")
    elif not text:
        return 0
    else:
        number = _written(row.question) - count_from
        many_here = f"{count_from} to {many - 1 + count_from}"
        known = f"numbered {many_here if many > 1 else f'{count_from} only'}"
    if not 0 <= number < many:
        known = f"questions here are {known}" if many else "this case asks none"
        asked = f"({letter[1]})" if letter else str(number + count_from)
        raise InputError([Problem("question", f"there is no question {asked}; {known}")])
    return number


_LETTER = re.compile(r"(?:question |q)?\s*\(?([a-pr-z])\s*[.):]?")


def _written(question: str) -> int:
    """Return the number that a cell names, as it stands there."""
    text = question.strip().lower().removeprefix("question").removeprefix("q").strip(" .#()")
    if re.fullmatch(r"\d{1,6}(\.0+)?", text):
        return int(float(text))
    message = f"{shown(question)} is not the number of a question"
    raise InputError([Problem("question", message)])


def summarise(
    marked: Sequence[Marked],
    cases: Mapping[str, Case] | None = None,
    count_from: int = 0,
    from_one: str = "--count-from 1",
) -> Summary:
    """Count verdicts and slips, in all and for each question; `cases` as in `mark_class`.

    `from_one` is how whoever reads the notes can have questions counted from 1.
    """
    questions: dict[tuple[str, int], list[Marked]] = {}
    order = list(dict.fromkeys(each.case for each in marked))
    for each in marked:
        if each.mark is not None and each.number is not None:
            questions.setdefault((each.case, each.number), []).append(each)
    notes = [*_numbering(marked, cases or {}, count_from, from_one), *_doubled(marked, count_from)]
    summary = _count(
        marked,
        tuple(
            (name, str(number), _count(rows))
            for (name, number), rows in sorted(
                questions.items(), key=lambda item: (order.index(item[0][0]), item[0][1])
            )
        ),
        tuple(notes),
    )
    return replace(summary, count_from=count_from)


def _numbering(
    marked: Sequence[Marked], cases: Mapping[str, Case], count_from: int, from_one: str
) -> Iterator[str]:
    """Say where the table seems to count its questions from 1, and they are taken from 0."""
    if count_from:
        return
    numbers, blank, beyond = set(), False, False
    for each in marked:
        if each.case not in cases:
            continue
        many = len(cases[each.case].questions)
        if not each.row.question.strip():
            blank = blank or many > 1
            continue
        try:
            number = _written(each.row.question)
        except InputError:
            continue
        beyond = beyond or number == many
        numbers.add(number)
    if numbers and 0 not in numbers and (beyond or not blank):
        yield (
            "Questions are numbered from 0 here, and no row of the table names question 0: its "
            "numbers seem to count from 1. If so, these marks are of the wrong questions; "
            f"mark again, counting from 1 ({from_one})."
        )


#: So many students with several answers to a question are named.
_MOST_NAMED = 10


def _doubled(marked: Sequence[Marked], count_from: int) -> Iterator[str]:
    """Name the students with several answers to one question; every answer is counted."""
    lines: dict[tuple[str, str, int], list[str]] = {}
    for each in marked:
        if each.row.student and each.number is not None:
            key = (each.row.student, each.case, each.number)
            lines.setdefault(key, []).append(str(each.row.line))
    several = [(key, where) for key, where in lines.items() if len(where) > 1]
    for (student, case, number), where in several[:_MOST_NAMED]:
        of = f" of {case}" if case else ""
        yield (
            f"{student} has {len(where)} answers to question {number + count_from}{of}: lines "
            f"{', '.join(where)}. Each is counted."
        )
    more = len(several) - _MOST_NAMED
    if more == 1:
        yield "So has one other."
    elif more > 1:
        yield f"So have {more:,} others."


def _count(
    marked: Sequence[Marked],
    questions: tuple[tuple[str, str, Summary], ...] = (),
    notes: tuple[str, ...] = (),
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
        notes,
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
