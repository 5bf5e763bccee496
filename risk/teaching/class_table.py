"""The table of a class's answers: one answer a row, or one student a row.

What a class hands in is messy: another separator, a decimal comma, blank lines.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from risk.case.model import Case
from risk.problems import InputError, Problem
from risk.wording.questions import LETTERS, question_letter

#: The columns of a table of answers, and other names under which they are found.
COLUMNS: Mapping[str, tuple[str, ...]] = {
    "student": ("student", "name", "who", "id", "username", "email address"),
    "case": ("case", "family", "problem", "file"),
    "question": ("question", "q", "number"),
    "answer": ("answer", "response", "result"),
}
_NEEDED = ("student", "answer")
#: The heading of one question's column in a table with one student a row: ``1 (a)``, ``2b``,
#: ``Problem 2 (b)``, ``Question 3``, also with words after it.
_ASKED = re.compile(
    r"(problem|case|question|q)?\s*(\d{1,3})\s*(?:\(([a-z])\)|([a-z])(?![a-z]))?(?:[.:)\s].*)?",
    re.DOTALL,
)
_SEPARATORS = (",", ";", "\t", "|")


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer of a table, as it stands there; `line` is its line in the file.

    `heading` is that of its column where one student a row is read, else "".
    """

    line: int
    student: str
    case: str
    question: str
    answer: str
    heading: str = ""


_TOO_MANY = "has more cells than the first line; put an answer with a comma in quotes"


def read_answers(content: bytes) -> tuple[Answered, ...]:
    """Read a table of answers with the columns student, case, question and answer.

    Any separator of ``, ; tab |``, any order of columns, other columns beside them, UTF-8 with
    or without a byte-order mark, UTF-16, or Windows-1252.  `case` and `question` may be left
    out.  Without the column answer, one student a row is read: columns that are called by a
    question hold the answers to it, and an empty cell is none.  Raises InputError where neither
    is found, and where such a row has more cells than there are columns.
    """
    lines = _text(content).splitlines()
    start = next((i for i, line in enumerate(lines) if line.strip(" ,;\t|")), None)
    if start is None:
        raise InputError([Problem("", "the table of answers is empty")])
    separator, header, places = _header(lines[start])
    asked = _asked(header, places)
    width = len(header)
    reader = csv.reader(io.StringIO("\n".join(lines[start + 1 :])), delimiter=separator)
    rows, problems = [], []
    for cells in reader:
        if not any(cell.strip() for cell in cells):
            continue
        if separator == "," and len(cells) > width and places.get("answer") == width - 1:
            # An answer with a decimal comma that nobody put in quotes.
            cells = [*cells[: width - 1], ",".join(cells[width - 1 :]).rstrip(",")]
        values = {
            name: cells[place].strip() if place < len(cells) else ""
            for name, place in places.items()
        }
        line, student = start + 1 + reader.line_num, values["student"]
        if asked:
            if any(cell.strip() for cell in cells[width:]):
                problems.append(Problem(f"line {line}", _TOO_MANY))
            rows += [
                Answered(line, student, case, question, cells[place].strip(), header[place])
                for place, (case, question) in asked.items()
                if place < len(cells) and cells[place].strip()
            ]
            continue
        case, question = values.get("case", ""), values.get("question", "")
        rows.append(Answered(line, student, case, question, values["answer"]))
    if problems:
        raise InputError(problems)
    return tuple(rows)


def _text(content: bytes) -> str:
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _header(line: str) -> tuple[str, list[str], dict[str, int]]:
    """Return the separator, the headings and the place of each column."""
    best: dict[str, int] = {}
    for separator in _SEPARATORS:
        headings = [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]
        cells = [heading.lower() for heading in headings]
        places = {
            name: cells.index(found)
            for name, others in COLUMNS.items()
            if (found := next((each for each in others if each in cells), None)) is not None
        }
        if all(name in places for name in _NEEDED) or _asked(cells, places):
            return separator, headings, places
        best = max(best, places, key=len)
    missing = ", ".join(name for name in COLUMNS if name not in best)
    raise InputError(
        [
            Problem(
                "",
                f"the first line of the table names no column {missing}; the columns are "
                "student, case, question, answer, with one answer a row; or student and, with "
                "one student a row, a column for each question, called like 1 (a), 1 (b), 2 (a)",
            )
        ]
    )


def _asked(header: Sequence[str], places: Mapping[str, int]) -> dict[int, tuple[str, str]]:
    """Return the case and the question of each column that is called by a question.

    None where nobody is named, or where a column already holds one answer a row.
    """
    if "student" not in places or "answer" in places:
        return {}
    found = {}
    for place, heading in enumerate(header):
        if match := _ASKED.fullmatch(heading.lower()):
            word, number, *letters = match.groups()
            letter = letters[0] or letters[1] or ""
            of_case = letter or word in ("problem", "case")
            found[place] = (number, letter) if of_case else ("", number)
    return found


def template(cases: Sequence[Case]) -> str:
    """Return a table to fill in, one student a row, with a column for each question of `cases`."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    headings = [
        f"{number} {question_letter(index)}"
        for number, case in enumerate(cases, 1)
        for index in range(min(LETTERS, len(case.questions)))
    ]
    writer.writerow(["student", *headings])
    writer.writerows([f"S{row}", *("" for _ in headings)] for row in (1, 2, 3))
    return text.getvalue()
