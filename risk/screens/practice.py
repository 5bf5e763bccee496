"""The page Practice: generated cases, answers marked with the reason for a slip, hints."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field

import streamlit as st

from risk import actions
from risk.case.model import Case
from risk.document.marks import VERDICTS, verdict_in_words
from risk.document.working import working_stages
from risk.problems import RiskError
from risk.screens import class_marks, parts, problem_set, results, session, worksheet
from risk.screens.page_blocks import show_blocks, table_html
from risk.screens.plain import plain
from risk.teaching.case_names import Listed
from risk.teaching.practice_levels import IN_WORDS
from risk.teaching.scores import Attempt, counts
from risk.teaching.slips import SHORT
from risk.wording.questions import question_in_words

LEVELS = tuple(IN_WORDS)
ANY = "any topic"
#: So many answers of a session are listed.
_LISTED = 20


@dataclass
class Course:
    """The practice of one session: which case is open, what was answered, how many hints."""

    level: int = 1
    seed: int = 1
    topic: str | None = None
    attempts: list[Attempt] = field(default_factory=list)
    hints: dict[int, int] = field(default_factory=dict)
    feedback: dict[int, tuple[str, str]] = field(default_factory=dict)

    def turn(self, level: int, seed: int) -> None:
        self.level, self.seed = level, seed
        self.hints, self.feedback = {}, {}


def page() -> None:
    """Draw the page."""
    st.title("Practice", anchor=False)
    one, sheet, whole = st.tabs(
        ["One case after another", "A worksheet", "A whole class's answers"],
        key=session.kept("practice tab", "One case after another"),
        on_change="rerun",
        bind="query-params",  # a reload opens the same one
    )
    with one:
        _one_case()
    if sheet.open:
        with sheet:
            worksheet.draw()
    with whole:
        class_marks.draw(_course())


def _course() -> Course:
    state = st.session_state
    if not isinstance(state.get("course"), Course):
        state["course"] = Course()
    course: Course = state["course"]
    return course


def _one_case() -> None:
    course = _course()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.segmented_control(
            "Level",
            LEVELS,
            required=True,
            key=session.keep_in_step("practice level", course.level),
            on_change=_turn,
        )
        st.selectbox(
            "Topic",
            [ANY, *actions.topics(course.level)],
            key=session.keep_in_step("practice topic", course.topic or ANY),
            on_change=_turn,
            width=220,
        )
        st.number_input(
            "Number of the case",
            0,
            10**6,
            key=session.keep_in_step("practice seed", course.seed),
            on_change=_turn,
            width=180,
        )
        st.button("Next case", type="primary", icon=":material/arrow_forward:", on_click=_next)
    st.caption(f"Level {course.level}: {IN_WORDS[course.level]}.")
    case = results.generated(course.level, course.seed, course.topic)
    left, right = st.columns([1, 1], gap="large")
    with left:
        if case.title:
            st.header(plain(case.title), anchor=False)
        for paragraph in (case.vignette or "").split("\n"):
            st.markdown(plain(paragraph))
        parts.family_tree(
            results.drawn(case), signs=results.signs(case), key="practice tree", scale=1.2
        )
        with st.container(horizontal=True):
            st.button(
                "Take this case to the other pages",
                on_click=session.take_to_pages,
                args=(case, "The practice case"),
            )
            st.button("Put it on the worksheet", on_click=_put, args=(case,))
    with right:
        for index in range(len(case.questions)):
            _question(course, case, index)
    _progress(course)


def _turn() -> None:
    """Go to the case that the controls name."""
    state, course = st.session_state, _course()
    level = int(state["practice level"])
    topic = str(state["practice topic"])
    course.turn(level, int(state["practice seed"]))
    course.topic = topic if topic in actions.topics(level) else None


def _next() -> None:
    course = _course()
    course.turn(course.level, course.seed + 1)


def _put(case: Case) -> None:
    left_out = problem_set.add([Listed("", None, case)])
    many = len(problem_set.listed())
    session.notice(left_out or f"It is problem {many} of the worksheet, in the next tab.")


def _question(course: Course, case: Case, index: int) -> None:
    """One question: the answer, its mark, the hints."""
    question = case.questions[index]
    st.subheader(plain(question_in_words(question, case)), anchor=False)
    if question.ask == "genotype":
        st.caption("No single number answers this; see the working.")
    else:
        with st.form(f"form of {_typed(course, index)}", border=False):
            st.text_input(
                "Your answer: a fraction, a percentage or 1 in N",
                key=_typed(course, index),
                max_chars=60,
            )
            st.form_submit_button("Mark it", on_click=_mark, args=(course, case, index))
        if index in course.feedback:
            verdict, said = course.feedback[index]
            kinds = {
                "right": st.success,
                "rounded": st.success,
                "slip": st.warning,
                "none": st.info,
            }
            show = kinds.get(verdict, st.error)
            show(plain(said))
    _hints(course, case, index)


def _typed(course: Course, index: int) -> str:
    """The key of the field for an answer: another case has another, which is empty."""
    return f"typed|{course.level}|{course.seed}|{course.topic}|{index}"


def _mark(course: Course, case: Case, index: int) -> None:
    typed = str(st.session_state[_typed(course, index)]).strip()
    if not typed:
        course.feedback[index] = ("none", "There is no answer yet.")
        return
    try:
        mark = actions.mark(case, typed, index)
    except RiskError as error:
        why = "; ".join(p.message for p in error.problems)
        course.feedback[index] = ("unread", f"Not read. {why}")
        return
    course.feedback[index] = (mark.verdict, f"{verdict_in_words(mark)}. {mark.comment}".strip())
    place = (course.level, course.seed, course.topic, index)
    value = tuple(each.value for each in mark.read)
    attempt = Attempt(*place, typed, value, mark.verdict, tuple(mark.slips))
    if counts(attempt, course.attempts):
        course.attempts.append(attempt)


def _hints(course: Course, case: Case, index: int) -> None:
    """The working, one row more with each press."""
    stages = working_stages(results.worked(case)[index], case)
    shown = course.hints.get(index, 0)
    whole = shown >= len(stages)
    # Neither is disabled at the end, since the keyboard would lose its place.
    with st.container(horizontal=True):
        st.button(
            "From the first row" if whole else "One row more" if shown else "A hint",
            key=f"hint|{index}",
            on_click=_hint,
            args=(course, index, 1 if whole else shown + 1),
        )
        st.button(
            "Hide the working" if whole else "The whole working",
            key=f"whole|{index}",
            on_click=_hint,
            args=(course, index, 0 if whole else len(stages)),
        )
    if shown:
        show_blocks(stages[min(shown, len(stages)) - 1])


def _hint(course: Course, index: int, shown: int) -> None:
    course.hints[index] = shown


def _progress(course: Course) -> None:
    if not course.attempts:
        return
    right = sum(each.right for each in course.attempts)
    tried = {each.about for each in course.attempts}
    solved = {each.about for each in course.attempts if each.right}
    st.header("This session", anchor=False)
    st.markdown(
        f"Questions solved: {len(solved)} of {len(tried)} tried. "
        f"{right} of {len(course.attempts)} answers right."
    )
    slips = Counter(slip for each in course.attempts for slip in each.slips)
    if slips:
        common = ", ".join(f"{SHORT[name]} ({n})" for name, n in slips.most_common())
        st.markdown(plain(f"Slips so far: {common}."))
    rows = [
        (
            f"{each.level}",
            f"{each.seed}",
            f"{each.question + 1}",
            each.answer,
            VERDICTS[each.verdict],
            ", ".join(SHORT[slip] for slip in each.slips),
        )
        for each in reversed(course.attempts[-_LISTED:])
    ]
    if len(course.attempts) > _LISTED:
        st.markdown(f"The last {_LISTED} answers, the newest first:")
    with st.container(key="answered"):
        st.html(table_html(["Level", "Case", "Question", "Answer", "Mark", "Slip"], rows))
