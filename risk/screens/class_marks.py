"""A whole class's answers as CSV in, their marks as CSV out."""

from __future__ import annotations

from typing import Protocol

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from risk import actions
from risk.case.model import Case
from risk.document.marks import VERDICTS, question_label, verdict_in_words
from risk.problems import RiskError
from risk.screens import session
from risk.screens.page_blocks import table_html
from risk.screens.plain import plain
from risk.teaching.class_marks import marks_table, numbered
from risk.teaching.slip_short import SHORT
from risk.wording.questions import question_in_words

#: The largest file that is read, in megabytes.
LARGEST_FILE = 1
#: So many rows are shown here; the file has all.
_SHOWN = 200
#: How a table counts questions, and the number of the first; None is read off the table.
_COUNTS = {"1, or 0 where a row names it": None, "0": 0, "1": 1}
_COUNT = "The first question is number"


class Place(Protocol):
    """Where a class is in its practice."""

    level: int
    seed: int
    topic: str | None


def draw(course: Place) -> None:
    """Draw the tab."""
    from risk.screens.practice import generated

    st.markdown(
        "A CSV file with the columns **student** (an alias, never a real name) and **answer**, "
        "and **question** (its number or letter) where there are several. The marks come back as "
        "a CSV file with the same rows."
    )
    cases = {"The practice case": generated(course.level, course.seed, course.topic)}
    if session.case().questions:
        cases["The case of the page Family"] = session.case()
    chosen = str(st.radio("Answers to", list(cases), key="class case", horizontal=True))
    case = cases[chosen]
    said = str(
        st.radio(
            _COUNT,
            list(_COUNTS),
            key=session.kept("class count", next(iter(_COUNTS))),
            horizontal=True,
        )
    )
    count_from = _COUNTS[said]
    asked = st.container()
    upload = st.file_uploader(
        f"The answers (CSV, at most {LARGEST_FILE} MB)",
        type=["csv"],
        max_upload_size=LARGEST_FILE,
        key="class file",
    )
    if upload is None:
        _questions(asked, case, count_from)
        return
    try:
        # Its file has no name here; the title is one by which a table of many cases can mean it.
        names = {"": case, case.title or "": case}
        marked, summary = actions.mark_class(upload.getvalue(), names, count_from, f'"{_COUNT}": 1')
    except RiskError as error:
        _questions(asked, case, count_from)
        for problem in error.problems:
            st.error(plain(str(problem)), icon=":material/error:")
        return
    _questions(asked, case, summary.count_from)
    if count_from is None and numbered([each.row for each in marked]):
        none = "No row names" if summary.count_from else "A row names"
        st.markdown(f"{none} question 0, so questions are counted from {summary.count_from}.")
    st.download_button(
        "Download the marks",
        marks_table(marked),
        "marks.csv",
        "text/csv",
        type="primary",
        on_click="ignore",
    )
    for note in summary.notes:
        st.warning(plain(note), icon=":material/warning:")
    for counts, words in ((summary.verdicts, VERDICTS), (summary.slips, SHORT)):
        if counts:
            said = "; ".join(f"{words[name]}: {number}" for name, number in counts)
            st.markdown(plain(f"{said}."))
    rows = [
        (
            each.row.student,
            each.row.question or str(summary.count_from),
            each.row.answer,
            verdict_in_words(each.mark),
            each.mark.feedback if each.mark else each.problem,
        )
        for each in marked[:_SHOWN]
    ]
    with st.container(key="marked"):
        st.html(table_html(["Student", "Question", "Answer", "Mark", "Said"], rows))


def _questions(place: DeltaGenerator, case: Case, count_from: int | None) -> None:
    """The questions of a case as a table may call them."""
    for index, question in enumerate(case.questions):
        label = question_label(index, 1 if count_from is None else count_from)
        place.markdown(plain(f"{label}: {question_in_words(question, case)}"))
