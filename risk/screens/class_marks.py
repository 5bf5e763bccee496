"""A whole class's answers as CSV in, their marks as CSV out."""

from __future__ import annotations

import csv
import io
from typing import Protocol

import streamlit as st

from risk import actions
from risk.case.model import Case
from risk.problems import InputError, Problem, RiskError
from risk.screens import session
from risk.screens.page_blocks import table_html
from risk.screens.plain import plain
from risk.wording import question_in_words

#: The largest file that is read, in megabytes, and the most answers in it.
LARGEST_FILE = 1
MOST_ANSWERS = 2_000
COLUMNS = ("alias", "answer")


class Place(Protocol):
    """Where a class is in its practice."""

    level: int
    seed: int


def draw(course: Place) -> None:
    """Draw the tab."""
    from risk.screens.practice import generated

    st.markdown(
        "A CSV file with the columns **alias** and **answer**, one line a student: aliases, "
        "never real names. The marks come back as a CSV file with the same lines."
    )
    cases = {"The practice case": generated(course.level, course.seed)}
    if session.case().questions:
        cases["The case of the page Family"] = session.case()
    chosen = st.radio("Answers to", list(cases), key="class case", horizontal=True)
    case = cases[str(chosen)]
    index = st.selectbox(
        "Question",
        range(len(case.questions)),
        format_func=lambda index: plain(question_in_words(case.questions[index], case)),
        key="class question",
    )
    upload = st.file_uploader(
        f"The answers (CSV, at most {LARGEST_FILE} MB)",
        type=["csv"],
        max_upload_size=LARGEST_FILE,
        key="class file",
    )
    if upload is None:
        return
    try:
        answers = read_answers(upload.getvalue())
        marked = mark_all(case, int(index or 0), answers)
    except RiskError as error:
        for problem in error.problems:
            st.error(plain(str(problem)), icon=":material/error:")
        return
    st.download_button(
        "Download the marks",
        marks_csv(marked),
        "marks.csv",
        "text/csv",
        type="primary",
        on_click="ignore",
    )
    right = sum(row[2] in ("right", "rounded") for row in marked)
    st.markdown(f"{right} of {len(marked)} right.")
    st.html(table_html(["Alias", "Answer", "Mark", "Slip", "Said"], marked[:200]))


def read_answers(content: bytes) -> list[tuple[str, str]]:
    """Read (alias, answer) from CSV; `InputError` for what is not such a file."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _refused("the file is not UTF-8 text; save it as CSV (UTF-8)") from None
    if "\x00" in text:
        raise _refused("the file is not text; save it as CSV (UTF-8)")
    first = text.partition("\n")[0]
    separator = max(",;\t", key=first.count)
    try:
        rows = [row for row in csv.reader(io.StringIO(text), delimiter=separator) if any(row)]
    except csv.Error as error:
        raise _refused(f"the file is not CSV: {error}") from None
    if not rows:
        raise _refused("the file is empty")
    heads = [cell.strip().lower() for cell in rows[0]]
    missing = [name for name in COLUMNS if name not in heads]
    if missing:
        raise _refused(f"the first line has no column {' and no column '.join(missing)}")
    if len(rows) - 1 > MOST_ANSWERS:
        raise _refused(f"{len(rows) - 1:,} answers; at most {MOST_ANSWERS:,} are marked at once")
    alias, answer = (heads.index(name) for name in COLUMNS)
    return [
        (row[alias] if alias < len(row) else "", row[answer] if answer < len(row) else "")
        for row in rows[1:]
    ]


def mark_all(
    case: Case, question: int, answers: list[tuple[str, str]]
) -> list[tuple[str, str, str, str, str]]:
    """Mark each answer: alias, answer, verdict, slips, what was said."""
    known: dict[str, tuple[str, str, str]] = {}
    for _, answer in answers:
        if answer not in known:
            try:
                mark = actions.mark(case, answer, question)
                known[answer] = (mark.verdict, " ".join(mark.slips), mark.feedback)
            except InputError as error:
                known[answer] = ("unread", "", "; ".join(p.message for p in error.problems))
    return [(alias, answer, *known[answer]) for alias, answer in answers]


def marks_csv(marked: list[tuple[str, str, str, str, str]]) -> str:
    """The marks as CSV; what a spreadsheet would take for a formula is quoted."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow([*COLUMNS, "mark", "slips", "feedback"])
    for row in marked:
        writer.writerow([tame(cell) for cell in row])
    return out.getvalue()


def tame(text: str) -> str:
    """A text that no spreadsheet takes for a formula."""
    return "'" + text if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _refused(message: str) -> InputError:
    return InputError([Problem("", message)])
