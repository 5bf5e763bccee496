"""The page Family: the tree, the panel of the selected person, the questions, the table."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from risk.case import edit
from risk.case.model import Case, Sex
from risk.screens import (
    files,
    frame,
    parts,
    people_table,
    person,
    questions,
    results,
    session,
)
from risk.screens.plain import plain
from risk.screens.trouble import explain_trouble
from risk.screens.words import person_of_fact, place_of
from risk.wording.differences import differences
from risk.wording.phrases import joined

#: So many changes are named beside a story that does not know of them; others are counted.
_NAMED_CHANGES = 3


def page() -> None:
    """Draw the page."""
    case = session.case()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.title("Family", anchor=False)
        frame.undo_buttons()
        with st.container(key="files"):
            files.file_menu()
    files.say_refused()
    if not case.people:
        _start()
        return
    if case.title or case.vignette:
        st.markdown(f"**{plain(case.title or '')}** {plain(case.vignette or '')}")
        changed = _changed_since_told(case)
        if changed:
            more = len(changed) - _NAMED_CHANGES
            named = changed[:_NAMED_CHANGES] + [f"{more} more"] * (more > 0)
            st.caption(
                plain(f"The story is of the case as it was opened. Changed since: {joined(named)}.")
            )
    outcome = results.solved(case)
    chosen = session.selected()
    added = st.session_state.pop("added", ())
    kin = person.relatives(case, chosen, added) if chosen else ""
    # One after the other on a narrow page; on a wide one page.css puts the panel beside the rest.
    with st.container(key="family"):
        tree, panel, answers = (st.container(key=key) for key in ("family-tree", "panel", "asked"))
    with panel:
        if chosen is None:
            st.info("Select a person in the tree to say more about them and to add relatives.")
            frame.say_refused("")
        else:
            person.panel(case, chosen, outcome.problems, kin)
    show_chances = session.kept("show chances", False)
    with tree:
        wrong = {id for p in outcome.problems if (id := place_of(case, p)[0])}
        wrong |= {person_of_fact(fact) for fact in outcome.conflict}
        shown = st.session_state[show_chances]
        labels = questions.carrier_labels(case) if shown else results.NO_LABELS
        svg, stand = results.drawn_after(case, labels, session.stood())
        session.keep_standing(stand)
        parts.family_tree(
            svg,
            signs=results.signs(case, labels),
            key="tree",
            selected=chosen,
            scale=1.35,
            wrong=sorted(wrong),
            on_pick=session.select,
        )
        st.toggle("Show each person's chances on the tree", key=session.kept("show chances", False))
    with answers:
        questions.assumed(case)
        explain_trouble(case, outcome)
        questions.strip(case, outcome)
        questions.another(case)
    fold = st.expander("The family as a table, and its title", key="table", on_change="rerun")
    if fold.open:
        with fold:
            people_table.table(case)
    questions.news(case, outcome, kin if added else "")


def _changed_since_told(case: Case) -> list[str]:
    """What has been changed since the case came with its story; a story written here is its own."""
    history, at = st.session_state.history, st.session_state.at
    if not case.vignette:
        return []
    while at and history[at - 1].vignette == case.vignette:
        at -= 1
    told: Case = history[at]
    if at and replace(told, vignette=history[at - 1].vignette) == history[at - 1]:
        return []
    asked_alike = replace(told, questions=case.questions)
    return [difference.what for difference in differences(asked_alike, case)]


def _start() -> None:
    """What an empty page offers."""
    st.markdown(
        "**Two-Thirds** works out, exactly and step by step, the chances that people of a family "
        "carry a disease allele and that their children are affected. "
        "Begin with two parents, or open a family. Then grow the tree and say who is affected, "
        "set inheritance and frequency on the page Condition, and ask about a person: the answer "
        "stands below the tree, and its working on the page Answer."
    )
    with st.container(horizontal=True, key="start"):
        st.button("Two unaffected parents", type="primary", on_click=_begin, args=(False,))
        st.button("Two parents", on_click=_begin, args=(None,))
        st.button("One woman", on_click=_begin_one, args=("female",))
        st.button("One man", on_click=_begin_one, args=("male",))
    left, right = st.columns(2, gap="large")
    with left:
        files.choose_example("start")
    with right:
        files.open_file("start")


def _begin(affected: bool | None) -> None:
    session.commit(edit.two_parents(session.case().condition, affected))
    session.select("I-2")
    files.done()


def _begin_one(sex: Sex) -> None:
    session.commit(edit.one_person(session.case().condition, sex))
    session.select("I-1")
    files.done()
