"""Why there is no answer yet, said on every page that would show one, with a way to each place."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st

from risk.case import edit
from risk.case.model import Case
from risk.problems import Problem, shown
from risk.screens import results, session
from risk.screens.plain import plain
from risk.screens.words import person_of_fact, place_of, placed
from risk.wording.conflicts import why_impossible
from risk.wording.facts import fact_in_words
from risk.wording.phrases import capital

#: The page from which no way to the page Condition is needed, for `explain_trouble`.
ON_CONDITION = "condition"
#: Parts of the condition whose remarks say why whole kinds of evidence are impossible.
_CAUSES = ("condition.frequency", "condition.mutation")
#: More problems of a kind, or kinds of problems, than so many would only bury the page.
_MOST = 20


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
        kinds: dict[tuple[str, str], dict[str, Problem]] = {}
        for problem in outcome.problems:
            id, _ = place_of(case, problem)
            kinds.setdefault(_but_for_whom(case, problem), {}).setdefault(id or "", problem)
        for number, alike in enumerate([*kinds.values()][:_MOST]):
            _say_problem(case, alike, where, f"mend{where}|{number}")


def _but_for_whom(case: Case, problem: Problem) -> tuple[str, str]:
    """What a problem says of anybody: those of many people who lack the same are said once."""
    id, field = place_of(case, problem)
    if id is None:
        return problem.path, problem.message
    return field, problem.message.replace(shown(id), "")


def _say_problem(case: Case, alike: Mapping[str, Problem], where: str, key: str) -> None:
    """Say the first of problems that differ only in whose they are, and who the others are."""
    id, *others = alike
    first = alike[id]
    st.markdown(plain(placed(case, first)))
    if id:
        _show_button(key, id)
    elif first.path.startswith("condition") and where != ON_CONDITION:
        _condition_button(key)
    if others:
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown("The same holds of", width="content")
            for other in others[:_MOST]:
                _show_button(f"{key}|{other}", other, plain(other))
            if others[_MOST:]:
                st.markdown(f"and {len(others) - _MOST} more", width="content")


def _what_to_take_back(outcome: results.Outcome) -> str:
    if len(outcome.conflict) == 1:
        return "Take it back"
    if outcome.enough:
        return "Take one back" if outcome.enough == outcome.conflict else "Take back what is enough"
    return "Take one back and see what else conflicts"


def _say_cause(case: Case, where: str) -> bool:
    """Say what of the condition makes evidence impossible, as far as `check` remarks on it.

    Returns whether it does.
    """
    noted = results.remarks(case)
    causes = [remark for path in _CAUSES for remark in session.problems_at(noted, path)]
    if not causes:
        return False
    for remark in causes:
        st.warning(plain(f"This is why: {remark.message}."), icon=":material/info:")
    if where != ON_CONDITION:
        _condition_button(f"cause{where}")
    return True


def _condition_button(key: str) -> None:
    st.button("To the page Condition", key=key, on_click=session.go_to, args=("condition",))


def _show_button(key: str, id: str, label: str = "Show") -> None:
    """A way to a person: the page Family with them selected."""
    st.button(label, key=key, on_click=session.go_to, args=("family", id))
