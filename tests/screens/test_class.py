"""A class's answers to several problems: marks, scores, a summary by question, slips."""

from __future__ import annotations

import csv
import io

import pytest

from risk import actions
from risk.case.model import Case
from risk.teaching.case_names import Listed

pytest.importorskip("streamlit.testing.v1", reason="streamlit is not installed")

from risk.screens import class_marks
from tests.screens.test_screens import RARE, htmls, page_of

#: A sister who is a carrier with 2/3 and whose child is affected with 1/150; and one of Ylva,
#: who is a carrier with 1/9 and whose son is affected with 1/18 (fixtures/README.md).
PROBLEMS = tuple(
    Listed(f"{name}.json", None, actions.example(name))
    for name in ("healthy-sister", "healthy-sons")
)
TABLE = """student,case,question,answer
Ada,1,a,2/3
Ada,1,b,1/150
Ada,2,a,1/9
Ada,2,b,1/18
Bo,healthy-sister,a,1/2
Bo,Three healthy sons,a,11.1%
Bo,2,b,no idea
"""


def class_page(table: str, problems: tuple[Listed, ...] = PROBLEMS):  # type: ignore[no-untyped-def]
    app = page_of("practice", Case(RARE, ()), problems=problems)
    app.radio("class case").set_value("The problems of the worksheet").run()
    app.file_uploader[0].set_value(("class.csv", table.encode(), "text/csv")).run()
    assert not app.exception
    return app


def row(page: str, student: str) -> str:
    start = page.index(f">{student}<", page.index("How each student did"))
    return page[start : page.index("</tr>", start)]


def numbers(page: str, student: str) -> list[int]:
    return [int(cell.split("<")[0]) for cell in row(page, student).split('fixed">')[1:]]


def test_several_problems_are_marked_in_one_go() -> None:
    app = class_page(TABLE)
    assert "**Read: 2 people, 7 answers.**" in [each.value for each in app.markdown]
    page = htmls(app)
    assert page.count(">Right<") == 4
    assert page.count(">Right, rounded<") == 1
    assert page.count(">Not right: a known slip<") == 1
    assert page.count(">Not marked<") == 1
    # right, questions, slip, wrong, not marked, no answer
    assert numbers(page, "Ada") == [4, 4, 0, 0, 0, 0]
    assert numbers(page, "Bo") == [1, 4, 1, 0, 1, 1]
    summary = page[page.index("How each question went") :]
    assert summary.index(">healthy-sister<") < summary.index(">healthy-sons<")
    # Called as the worksheet and its key call them.
    called = {name: summary.count(f">{name}<") for name in ("1 (a)", "1 (b)", "2 (a)", "2 (b)")}
    assert called == {"1 (a)": 3, "1 (b)": 2, "2 (a)": 3, "2 (b)": 3}
    labels = [each.label for each in app.download_button]
    for label in ("marks", "scores"):
        assert f"Download the {label}" in labels
    assert "Slip chart (SVG)" in labels
    assert "Slip chart (PNG)" in labels


def test_the_marks_are_those_of_the_command() -> None:
    from risk.teaching.case_names import names_of

    marking = class_marks.marking(TABLE.encode(), PROBLEMS, None)
    assert (marking.marked, marking.summary) == actions.mark_class(
        TABLE.encode(), names_of(PROBLEMS), 1, '"The first question is number": 1'
    )


def test_practice_cases_of_a_worksheet_are_called_by_their_numbers_and_titles() -> None:
    cases = actions.practice(1, 1, 2)
    problems = tuple(Listed("", None, case) for case in cases)
    truths = [actions.solve(case).answers[0].probability for case in cases]
    table = "student,case,question,answer\n"
    for number, (case, truth) in enumerate(zip(cases, truths, strict=True), 1):
        assert truth is not None
        table += f"Ada,{number},a,{truth.exact}\nBo,{case.title},a,{truth.exact}\n"
    assert htmls(class_page(table, problems)).count(">Right<") == 4


def test_of_several_answers_to_a_question_the_last_counts_in_the_score() -> None:
    from risk.teaching.case_names import names_of
    from risk.teaching.scores import scores, scores_table

    table = "student,case,question,answer\nAda,1,a,1/2\nAda,1,a,2/3\n=Bo,1,z,2/3\n,1,b,1/7\n"
    marked, _ = actions.mark_class(table.encode(), names_of(PROBLEMS))
    found = scores(marked, [each.case for each in PROBLEMS])
    assert [(each.student, each.right, each.unanswered) for each in found] == [
        ("Ada", 1, 3),
        ("=Bo", 0, 3),
        ("", 0, 3),
    ]
    rows = list(csv.DictReader(io.StringIO(scores_table(found))))
    assert [each["student"] for each in rows] == ["Ada", "'=Bo", ""]
    assert rows[1]["not marked"] == "1"


def test_without_a_worksheet_the_page_says_where_several_problems_are_put_together() -> None:
    app = page_of("practice", Case(RARE, ()))
    assert any("tab A worksheet first" in each.value for each in app.caption)
