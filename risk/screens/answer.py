"""The page Answer: each question answered as numbers, as a picture and as a working.

Where the working comes one step at a time, whatever gives the answer away waits for the last.
"""

from __future__ import annotations

import streamlit as st

from risk.case.model import Case, Question
from risk.document.blocks import Block
from risk.document.working import working_blocks, working_stages
from risk.model.answers import Answer
from risk.screens import frame, frequencies, parts, questions, results, session, tested
from risk.screens.page_blocks import show_blocks
from risk.screens.plain import plain
from risk.screens.trouble import explain_trouble
from risk.wording.labels import carrier_in_words
from risk.wording.questions import question_in_words
from risk.workings.step import Working


def page() -> None:
    """Draw the page."""
    case = session.case()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.title("Answer", anchor=False)
        frame.undo_buttons()
    outcome = results.solved(case)
    if outcome.solution is None:
        if not case.people:
            st.info("There is no family yet. Begin on the page Family.")
        explain_trouble(case, outcome)
        return
    told = True
    if not case.questions:
        st.info("Nothing is asked yet. Select a person on the page Family and ask.")
    else:
        index = questions.choose(case)
        working = results.worked(case)[index]
        stages = _stages(working, case)
        shown = _shown(working, case, len(stages))
        told = shown == len(stages)
        answer = outcome.solution.answers[index]
        st.header(plain(question_in_words(case.questions[index], case)), anchor=False)
        with st.container():  # so that what stands below keeps its place, and the keyboard too
            if told:
                _numbers(answer, case)
            else:
                st.caption("The answer comes with the last step.")
        questions.assumed(case)
        questions.remarked(case)
        left, right = st.columns([3, 2], gap="large")
        with left:
            st.markdown("## The working")
            _working(stages, shown)
            parts.steps(shown if st.session_state["slowly"] else 0)
        if told:
            with right:
                _picture(answer, case.questions[index], case)
                tested.trees(case, case.questions[index])
    if told:
        st.markdown(f"## Everyone's {carrier_in_words(case.condition)}")
    else:
        st.markdown("## The family")
    labels = questions.carrier_labels(case) if told else results.NO_LABELS
    parts.family_tree(
        results.drawn(case, labels, session.stood()),
        signs=results.signs(case, labels),
        key="answer tree",
        scale=1.2,
        selected=session.selected(),
        on_pick=session.select,
    )


def _numbers(answer: Answer, case: Case) -> None:
    st.html(questions.answer_html(answer))
    questions.why_vanishing(case, answer.probability)


def _picture(answer: Answer, question: Question, case: Case) -> None:
    if answer.probability is not None:
        st.markdown("## As a picture")
        frequencies.show_crowd(answer.probability, question, case)


def _stages(working: Working, case: Case) -> list[list[Block]]:
    """A working as it grows; the whole alone unless it is given out slowly."""
    if st.session_state[session.kept("slowly", False)]:
        return working_stages(working, case)
    return [working_blocks(working, case, heading=False)]


def _working(stages: list[list[Block]], shown: int) -> None:
    """The working, whole or one row at a time."""
    if not st.toggle("One step at a time", key=session.kept("slowly", False)):
        show_blocks(stages[-1])
        return
    with st.container(horizontal=True, key="step buttons"):
        st.button(
            "One back",
            key="step back",
            shortcut="Left",
            disabled=shown <= 1,
            on_click=_walk,
            args=(-1,),
        )
        # It is not disabled at the end, since the keyboard would lose its place.
        st.button(
            "One more" if shown < len(stages) else "That is all",
            key="step on",
            shortcut="Right",
            type="primary",
            on_click=_walk,
            args=(1 if shown < len(stages) else 0,),
        )
    with st.container(key="working"):
        show_blocks(stages[shown - 1])


def _shown(working: Working, case: Case, most: int) -> int:
    """Which stage of a working is shown: the last, `most`, unless it is given out slowly."""
    state = st.session_state
    if not state["slowly"]:
        return most
    name = session.fingerprint(case, working.question)
    if state.get("steps of") != name:
        state["steps of"], state["steps shown"] = name, 1
    return min(max(int(state["steps shown"]), 1), most)


def _walk(steps: int) -> None:
    st.session_state["steps shown"] += steps
