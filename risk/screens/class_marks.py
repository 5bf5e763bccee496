"""A whole class's answers as CSV in, their marks, scores and slips out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from risk import actions
from risk.document.marks import (
    VERDICTS,
    problem_label,
    question_label,
    questions_table,
    students_table,
    verdict_in_words,
)
from risk.problems import RiskError
from risk.screens import parts, problem_set, results, session
from risk.screens.page_blocks import show_blocks, table_html
from risk.screens.plain import plain
from risk.teaching.case_names import CaseNames, Listed, names_of, problem_numbers
from risk.teaching.class_marks import Marked, Summary, marks_table
from risk.teaching.class_table import template
from risk.teaching.question_numbers import numbered
from risk.teaching.scores import scores, scores_table
from risk.teaching.slips import SHORT
from risk.wording.family import title_of
from risk.wording.phrases import plural
from risk.wording.questions import question_in_words

#: The largest file that is read, in megabytes.
LARGEST_FILE = 1
#: So many rows are shown here; the file has all.
_SHOWN = 200
#: How a table counts questions, and the number of the first; None is read off the table.
_COUNTS = {"0 or 1, as the table has it": None, "0": 0, "1": 1}
_COUNT = "The first question is number"
_SHEET = "The problems of the worksheet"
#: With it spreadsheets read names right.
_MARK = "\ufeff"


class Place(Protocol):
    """Where a class is in its practice."""

    level: int
    seed: int
    topic: str | None


@dataclass(frozen=True)
class Marking:
    """A class's answers with their marks."""

    marked: tuple[Marked, ...]
    summary: Summary


@lru_cache(8)
def marking(content: bytes, problems: tuple[Listed, ...], count_from: int | None) -> Marking:
    """Mark a table on one case, whatever it is called there, or on several."""
    names = names_of(problems)
    if len(problems) == 1 and not problems[0].path:
        case = problems[0].case
        # Its file has no name here; the title is one by which a table of many cases can mean it.
        names = CaseNames({"": case, case.title or "": case})
    return Marking(*actions.mark_class(content, names, count_from, f'"{_COUNT}": 1'))


def draw(course: Place) -> None:
    """Draw the tab."""
    st.markdown(
        "A CSV file with one student a row: **student** (an alias, never a real name) and a column "
        "for each question, called like **1 (a)** or **Question 1**. Or with one answer a row: "
        "**student**, **answer**, **question** (its number or letter) where there are several, and "
        "**case** (the number of the problem, its title or its file) where there are several "
        "problems. The marks come back as a CSV file with a row for each answer."
    )
    problems = _answers_to(course)
    count_from = _counted_from()
    asked = st.container()
    st.download_button(
        "Download a table to fill in",
        f"{_MARK}{template([each.case for each in problems])}".encode(),
        "class.csv",
        "text/csv",
        on_click="ignore",
    )
    content = _uploaded()
    found = None if content is None else _marked(content, problems, count_from)
    if found is None:
        _questions(asked, problems, count_from)
        return
    first = found.summary.count_from
    _questions(asked, problems, first)
    if count_from is None and numbered([each.row for each in found.marked]):
        none = "No row names" if first else "A row names"
        st.markdown(f"{none} question 0, so questions are counted from {first}.")
    _results(found, problems)


def _answers_to(course: Place) -> tuple[Listed, ...]:
    """What the answers are to, as chosen."""
    choices: dict[str, tuple[Listed, ...]] = {
        "The practice case": (
            Listed("", None, results.generated(course.level, course.seed, course.topic)),
        )
    }
    if session.case().questions:
        choices["The case of the page Family"] = (Listed("", None, session.case()),)
    if problem_set.listed():
        choices[_SHEET] = problem_set.listed()
    # Whoever has put a worksheet together comes with the answers to it.
    wanted = (st.session_state.get("class of"), _SHEET, *choices)
    chosen = st.radio(
        "Answers to",
        list(choices),
        key=session.keep_in_step("class case", next(each for each in wanted if each in choices)),
        on_change=_chosen,
        horizontal=True,
    )
    if _SHEET not in choices:
        st.caption("Answers to several problems: put these together in the tab A worksheet first.")
    return choices[str(chosen)]


def _counted_from() -> int | None:
    """The number of the first question in the table, as chosen; None is read off the table."""
    said = st.radio(
        _COUNT,
        list(_COUNTS),
        key=session.kept("class count", next(iter(_COUNTS))),
        horizontal=True,
    )
    return _COUNTS[str(said)]


def _uploaded() -> bytes | None:
    """The table of answers, as it was given, or None."""
    state = st.session_state
    upload = st.file_uploader(
        f"The answers (CSV, at most {LARGEST_FILE} MB)",
        type=["csv"],
        max_upload_size=LARGEST_FILE,
        key="class file",
        on_change=_forget_answers,
    )
    if upload is not None:
        state["class answers"] = upload.name, upload.getvalue()
    elif "class answers" in state:
        # Streamlit forgets a file when another page is shown.
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(plain(f"The answers of {state['class answers'][0]}, as they were given."))
            st.button("Take them away", on_click=_forget_answers)
    return state["class answers"][1] if "class answers" in state else None


def _marked(content: bytes, problems: tuple[Listed, ...], count_from: int | None) -> Marking | None:
    """The marks of a table, or what is wrong with it."""
    try:
        with st.spinner("Marking"):
            return marking(content, problems, count_from)
    except RiskError as error:
        for problem in error.problems:
            st.error(plain(str(problem)), icon=":material/error:")
    return None


def _chosen() -> None:
    """Note what the answers are to, which another page or a new worksheet does not change."""
    st.session_state["class of"] = st.session_state["class case"]


def _forget_answers() -> None:
    """Drop the answers that are marked, for others or for none."""
    st.session_state.pop("class answers", None)


def _results(found: Marking, problems: Sequence[Listed]) -> None:
    """Summary, scores and slips, then row by row."""
    marked, summary = found.marked, found.summary
    numbers = problem_numbers(problems, names_of(problems))
    by_student = scores(marked, [each.case for each in problems])
    people = plural(summary.students, "person", "people")
    answers = plural(summary.answers, "answer", "answers")
    # Where the table is handed in, since the marks may begin below the screen.
    st.markdown(f"**Read: {people}, {answers}.**")
    with st.container(horizontal=True):
        for label, table, name in (
            ("Download the marks", marks_table(marked), "marks.csv"),
            ("Download the scores", scores_table(by_student), "scores.csv"),
        ):
            data = f"{_MARK}{table}".encode()
            st.download_button(label, data, name, "text/csv", on_click="ignore")
    for note in summary.notes:
        st.warning(plain(note), icon=":material/warning:")
    for counts, words in ((summary.verdicts, VERDICTS), (summary.slips, SHORT)):
        if counts:
            said = "; ".join(f"{words[name]}: {number}" for name, number in counts)
            st.markdown(plain(f"{said}."))
    if len(summary.questions) > 1:
        st.markdown("## Question by question")
        show_blocks([questions_table(summary, summary.count_from, numbers)])
    if marked:
        st.markdown("## Student by student")
        show_blocks([students_table(by_student)])
    if summary.slips:
        _chart(summary)
    st.markdown("## Answer by answer")
    rows = [
        (
            each.row.student,
            _called(each, numbers, summary.count_from),
            each.row.answer,
            verdict_in_words(each.mark),
            each.mark.feedback if each.mark else each.problem,
        )
        for each in marked[:_SHOWN]
    ]
    with st.container(key="marked"):
        st.html(table_html(["Student", "Question", "Answer", "Mark", "Said"], rows))
    if len(marked) > _SHOWN:
        st.caption(f"{len(marked) - _SHOWN:,} more rows are in the file.")


def _called(each: Marked, numbers: Mapping[str, int], count_from: int) -> str:
    """What a row calls its question, or where that is clear what the worksheet calls it."""
    if each.case in numbers and each.number is not None:
        return problem_label(numbers[each.case], each.number)
    if numbers:
        return f"{each.row.case} {each.row.question}".strip()
    return each.row.question or str(count_from)


def _chart(summary: Summary) -> None:
    """The slips as a chart of bars, and its files."""
    from risk.render.figure import figure_bytes
    from risk.render.svg import to_svg

    st.markdown("## Slips")
    figure = actions.slips_figure(summary)
    parts.picture(to_svg(figure, prefix="slips", standalone=False), key="slips")
    with st.container(horizontal=True):
        for label, name, kind in (
            ("Slip chart (SVG)", "slips.svg", "image/svg+xml"),
            ("Slip chart (PNG)", "slips.png", "image/png"),
        ):
            st.download_button(label, figure_bytes(figure, name), name, kind, on_click="ignore")


def _questions(place: DeltaGenerator, problems: Sequence[Listed], count_from: int | None) -> None:
    """The questions as a table of answers may call them."""
    count = 1 if count_from is None else count_from
    several = len(problems) > 1
    if several:
        place = place.expander("What the problems and questions are called")
    for number, each in enumerate(problems, 1):
        if several:
            place.markdown(f"**{plain(f'{number}. {title_of(each.case)}')}**")
        for index, question in enumerate(each.case.questions):
            label = problem_label(number, index) if several else question_label(index, count)
            place.markdown(plain(f"{label}: {question_in_words(question, each.case)}"))
