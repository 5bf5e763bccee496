"""The page Report: the case summary as a PDF, and the case in every other form."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache, partial

import streamlit as st

from risk import actions
from risk.case.model import Case
from risk.number import exact_text
from risk.screens import fields, results, session
from risk.screens.plain import plain
from risk.screens.preview import preview
from risk.screens.trouble import explain_trouble
from risk.screens.words import file_name
from risk.wording.family import title_of

#: Pages of the summary that are shown here; the file has all.
PAGES_SHOWN = 4


def page() -> None:
    """Draw the page."""
    case = session.case()
    st.title("Report", anchor=False)
    outcome = results.solved(case)
    if not case.people:
        st.info("There is no family yet. Begin on the page Family.")
        return
    name = file_name(case.title)
    left, right = st.columns([2, 3], gap="large")
    with left:
        st.markdown("## Case summary")
        fields.text("Title", "title", case.title, lambda case, value: replace(case, title=value))
        _what_is_missing(case)
        working = st.toggle("With the working", key=session.kept("report working", True))
        blank = st.toggle("Leave the answers blank", key=session.kept("report blank", False))
        size = st.segmented_control(
            "Paper", ["A4", "Letter"], required=True, key=session.kept("report paper", "A4")
        )
        author = st.text_input(
            "Drawn up by (an alias)", key=session.kept("report author", ""), max_chars=80
        )
        date = st.text_input(
            "Date, as it is to be printed", key=session.kept("report date", ""), max_chars=40
        )
        make = partial(
            summary, case, working, blank, "a4" if size == "A4" else "letter", author, date
        )
        download = st.container()
        if outcome.solution is None:
            explain_trouble(case, outcome)
        st.markdown("## Other files")
        _others(case, outcome, name)
    if outcome.solution is not None:
        pdf = make()
        # With the file at hand: a button that has to make it first loses the keyboard's place.
        download.download_button(
            "Download the PDF",
            pdf,
            f"{name}.pdf",
            "application/pdf",
            type="primary",
            icon=":material/download:",
            on_click="ignore",
        )
        with right:
            st.markdown("## Preview")
            preview(pdf, "summary", PAGES_SHOWN)


def _what_is_missing(case: Case) -> None:
    """Remind of the title and the story that a printed problem begins with."""
    missing = []
    if not case.title:
        missing.append(f'Without a title it is printed as "{title_of(case)}".')
    if not case.vignette:
        missing.append(
            'It has no story. Write one at "What the family came to ask", on the page Family in '
            'the fold "The family as a table, and its title".'
        )
    if missing:
        st.caption(plain(" ".join(missing)))


@lru_cache(16)
def summary(case: Case, working: bool, blank: bool, page: str, author: str, date: str) -> bytes:
    """The case summary as a PDF."""
    return actions.report(
        [case],
        working=working,
        blank=blank,
        page="a4" if page == "a4" else "letter",
        author=author,
        date=date,
    )


def _others(case: Case, outcome: results.Outcome, name: str) -> None:
    """Drawing, answers and case file."""

    def file(label: str, data: str | Callable[[], str | bytes], ending: str, kind: str) -> None:
        st.download_button(
            label,
            data,
            f"{name}.{ending}",
            kind,
            on_click="ignore",
            width="stretch",
        )

    file("Case file (JSON)", results.written(case), "json", "application/json")
    if not outcome.problems:
        file("Family tree (SVG)", partial(_tree, case, "tree.svg"), "svg", "image/svg+xml")
        file("Family tree (PNG)", partial(_tree, case, "tree.png"), "png", "image/png")
    if outcome.solution is not None:
        file("Answers (JSON)", partial(_answers_json, case), "answers.json", "application/json")
        file("Everyone's chances (CSV)", partial(_chances_csv, case), "csv", "text/csv")


def _tree(case: Case, name: str) -> bytes:
    from risk.render.figure import figure_bytes

    return figure_bytes(actions.draw(case), name)


def _answers_json(case: Case) -> str:
    from risk.render.json import solution_json, to_page

    return to_page(solution_json(actions.solve(case))) + "\n"


def _chances_csv(case: Case) -> str:
    """One row a person: the chance of 0, 1 and 2 disease alleles, as decimals and fractions."""
    import csv
    import io

    from risk.teaching.class_marks import inert

    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(["id", "alleles", "chance", "exact"])
    for person in results.chances(results.solved(case)):
        for number, chance in enumerate(person.disease_alleles):
            exact = "" if chance.exact is None else exact_text(chance.exact)
            writer.writerow([inert(person.id), number, repr(chance.value), exact])
    return out.getvalue()
