"""The page Family: the tree, the panel of the selected person, the questions, the table."""

from __future__ import annotations

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
from risk.screens.words import message, person_of_fact, place_of, placed
from risk.wording.conflicts import why_impossible
from risk.wording.facts import fact_in_words
from risk.wording.phrases import capital


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
    outcome = results.solved(case)
    chosen = session.selected()
    # One after the other on a narrow page; on a wide one page.css puts the panel beside the rest.
    with st.container(key="family"):
        tree, panel, answers = (st.container(key=key) for key in ("family-tree", "panel", "asked"))
    with panel:
        if chosen is None:
            st.info("Select a person in the tree to say more about them and to add relatives.")
            frame.say_refused("")
        else:
            person.panel(case, chosen, outcome.problems)
    show_chances = session.kept("show chances", False)
    with tree:
        wrong = {id for p in outcome.problems if (id := place_of(case, p)[0])}
        wrong |= {person_of_fact(fact) for fact in outcome.conflict}
        shown = st.session_state[show_chances]
        labels = questions.carrier_labels(case) if shown else results.NO_LABELS
        parts.family_tree(
            results.drawn(case, labels),
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


def _begin_one(sex: Sex) -> None:
    session.commit(edit.one_person(session.case().condition, sex))
    session.select("I-1")


def _what_to_take_back(outcome: results.Outcome) -> str:
    if len(outcome.conflict) == 1:
        return "Take it back"
    if outcome.enough:
        return "Take one back" if outcome.enough == outcome.conflict else "Take back what is enough"
    return "Take one back and see what else conflicts"


def nothing_to_show(case: Case, outcome: results.Outcome) -> bool:
    """Say why there are no answers, and tell whether it is so."""
    if outcome.solution is not None and case.questions:
        return False
    if not case.people:
        st.info("There is no family yet. Begin on the page Family.")
    elif outcome.solution is not None:
        st.info("Nothing is asked yet. Select a person on the page Family and ask.")
    explain_trouble(case, outcome)
    return True


def explain_trouble(case: Case, outcome: results.Outcome, where: str = "") -> None:
    """Say what stands in the way of an answer, with a way to each place."""
    if outcome.conflict:
        cannot = "this cannot" if len(outcome.conflict) == 1 else "these facts cannot all"
        st.error(
            f"This family is impossible under the condition as it is set: {cannot} be true. "
            f"{_what_to_take_back(outcome)}, or change the condition.",
            icon=":material/error:",
        )
        why = why_impossible(case, outcome.conflict)
        if not _say_cause(case, where) and why:
            st.markdown(plain(f"{capital(why, case.called)}."))
        for fact in outcome.conflict:
            who = person_of_fact(fact)
            # In a row that breaks where it must: columns would cut the buttons off.
            with st.container(horizontal=True, vertical_alignment="center"):
                one_of_some = fact in outcome.enough != outcome.conflict
                enough = " (to take this back is enough)" if one_of_some else ""
                st.markdown(plain(fact_in_words(fact, case) + enough), width="content")
                _show_button(f"show{where}|{fact}", who)
                st.button(
                    "Take it back",
                    key=f"take back{where}|{fact}",
                    on_click=lambda fact=fact: session.act(
                        lambda: edit.take_back(session.case(), fact)
                    ),
                )
    elif outcome.problems:
        st.warning("No answers yet: something in the family or the condition has to be mended.")
        for number, problem in enumerate(outcome.problems[:20]):
            id, _ = place_of(case, problem)
            st.markdown(plain(placed(case, problem)))
            if id is not None:
                _show_button(f"mend{where}|{number}", id)


#: The page from which no way to the page Condition is needed, for `explain_trouble`.
ON_CONDITION = "condition"
#: Parts of the condition whose remarks say why whole kinds of evidence are impossible.
_CAUSES = ("condition.frequency", "condition.mutation")


def _say_cause(case: Case, where: str) -> bool:
    """Say what of the condition makes evidence impossible, as far as `check` remarks on it.

    Returns whether it does.
    """
    noted = results.remarks(case)
    causes = [remark for path in _CAUSES for remark in session.problems_at(noted, path)]
    if not causes:
        return False
    for remark in causes:
        st.warning(plain(f"This is why: {message(remark.message)}."), icon=":material/info:")
    if where != ON_CONDITION:
        st.button(
            "To the page Condition",
            key=f"cause{where}",
            on_click=session.go_to,
            args=("condition",),
        )
    return True


def _show_button(key: str, id: str) -> None:
    """A way to a person: the page Family with them selected."""
    st.button("Show", key=key, on_click=session.go_to, args=("family", id))
