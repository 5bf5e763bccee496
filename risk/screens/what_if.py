"""The page What if: a curve of the answers along any value, and two versions side by side."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from risk import actions
from risk.case import edit
from risk.case.model import Case, Question
from risk.case.parameter import Parameter
from risk.document.variation import varied_in_words
from risk.model.answers import Chance
from risk.problems import RiskError, in_one_line
from risk.scene.chart import log_ticks
from risk.screens import frame, parts, questions, results, session
from risk.screens.memory import remembered
from risk.screens.page_blocks import table_html
from risk.screens.plain import plain, say
from risk.screens.trouble import explain_trouble, nothing_to_show
from risk.teaching.vary import Variation, VariedPoint
from risk.wording.chances import chance_in_words
from risk.wording.differences import differences
from risk.wording.parameters import parameter_in_words, value_in_words
from risk.wording.phrases import capital
from risk.wording.questions import event_in_words, question_in_words

#: Where a curve begins and ends, and whether its axis is in powers of ten, by a word of the path.
RANGES = (
    ("frequency.carrier", ("1/1000", "1/10", True)),
    ("frequency.allele", ("1/2000", "1/10", True)),
    ("frequency.incidence", ("1/100000", "1/100", True)),
    ("mutation.", ("1/10000000", "1/1000", True)),
    ("specificity", ("0.5", "1", False)),
    ("sensitivity", ("0", "1", False)),
    ("age", ("0", "80", False)),
    ("mosaicism.prior", ("1/10000", "1/10", True)),
)
#: The two parts of the page.
VIEWS = ("One value varied", "Two versions side by side")
#: The line at the case's own value: 3.7 to 1 on a light page, 4.6 to 1 on a dark one.
_GREY = "#808495"
#: How many points a curve has.
POINTS = 41


def page() -> None:
    """Draw the page."""
    case = session.case()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.title("What if", anchor=False)
        views = st.container(width="content")
        frame.undo_buttons()
    outcome = results.solved(case)
    if nothing_to_show(case, outcome):
        return
    # Not tabs: which of the two was open is to be found again after a look at another page.
    state = st.session_state
    view = state.get("what if", VIEWS[0])
    views.segmented_control(
        "Compare",
        VIEWS,
        required=True,
        label_visibility="collapsed",
        key=session.keep_in_step("what if view", view),
        on_change=_turn,
    )
    if view == VIEWS[0]:
        _varied(case)
    else:
        _versions(case)


def _turn() -> None:
    st.session_state["what if"] = st.session_state["what if view"]


# --- one value varied ------------------------------------------------------------------------


@remembered
def _offers(case: Case) -> dict[str, str]:
    """The paths of what can be varied, with their words; what the case states comes first.

    Of a condition with ages at onset the ages of those asked about come before everything.
    """
    given: dict[str, str] = {}
    other: dict[str, str] = {}
    for path in actions.parameters(case):
        if path.endswith((".status", ".sex", ".count")):
            continue
        target = given if Parameter(case, path).own is not None else other
        target[path] = capital(parameter_in_words(path, case))
    if case.condition.onset:
        asked = [f"{id}.age" for each in case.questions for id in edit.asked_about(each)]
        first = {path: given[path] for path in asked if path in given}
        points = {path: given[path] for path in given if ".onset[" in path}
        usual = {path: given[path] for path in given if path not in first | points}
        given = first | usual | points
    return given | other


@remembered
def _variation(case: Case, path: str, values: tuple[str, ...]) -> Variation:
    return actions.vary(case, path, values)


def _varied(case: Case) -> None:
    offers = _offers(case)
    # Beside one another, so that what is changed and what comes of it are both in sight.
    left, right = st.columns([2, 3], gap="large")
    with left:
        path = str(
            st.selectbox("Vary", list(offers), key="vary what", format_func=offers.__getitem__)
        )
        parameter = Parameter(case, path)
        try:
            values, log, listed = ((), False, False) if parameter.choices else _values(path)
            varied = _variation(case, path, values)
        except RiskError as error:
            _complain(error)
            return
        # Of the curves, beside them: on a projector what stood below would be out of sight.
        below = st.container()
    now = "not given" if varied.own is None else value_in_words(path, varied.own)
    said = [f"In the case as it stands: {now}."]
    with right:
        if parameter.choices:
            _bars(case, varied, path)
        else:
            said += _curve(case, varied, offers[path], log, listed)
    below.caption(plain(" ".join(said)))


def _values(path: str) -> tuple[tuple[str, ...], bool, bool]:
    """The fields of what is drawn: the values, whether in powers of ten, whether listed alone."""
    start, stop, log = next((found for word, found in RANGES if word in path), ("0", "1", False))
    left, right = st.columns(2)
    start = left.text_input("From", start, key=f"from|{path}")
    stop = right.text_input("To", stop, key=f"to|{path}")
    log = st.toggle("In powers of ten", value=log, key=f"log|{path}")
    typed = st.text_input(
        "Or these values alone, like 0.9, 0.95",
        key=f"values|{path}",
        help="With commas between them, or semicolons. From and To do not count then.",
    )
    listed = listed_values(typed)
    return listed or actions.spaced(start, stop, POINTS, log=log), log, bool(listed)


def listed_values(typed: str) -> tuple[str, ...]:
    """The values of a list as it is typed; with semicolons between them a comma is a decimal's."""
    parts = typed.split(";" if ";" in typed else ",")
    return tuple(part.strip() for part in parts if part.strip())


def _complain(error: RiskError) -> None:
    for problem in error.problems:
        say(problem)


def _rows(case: Case, varied: Variation) -> list[dict[str, Any]]:
    """One row for each answer that is a single chance."""
    rows = []
    events = _each_question(event_in_words, case, varied)
    for point in varied.points:
        for event, answer in zip(events, point.answers, strict=False):
            if answer.probability is not None:
                rows.append(
                    {
                        "value": point.value,
                        "number": None if point.number is None else float(point.number),
                        "question": event,
                        "chance": answer.probability.value,
                        "said": str(chance_in_words(answer.probability)),
                        "own": point.own,
                    }
                )
    return rows


def _each_question(
    in_words: Callable[[Question, Case], str], case: Case, varied: Variation
) -> list[str]:
    """Each question, or its event, in words that hold for every value."""
    return [
        varied_in_words(in_words, number, varied, case) for number in range(len(varied.questions))
    ]


def _said(chance: Chance) -> str:
    return str(chance_in_words(chance))


def _curve(case: Case, varied: Variation, label: str, log: bool, listed: bool) -> list[str]:
    """Draw the answers along the value; returns what is to be said of the curves."""
    _unanswered(varied)
    rows = _rows(case, varied)
    if not rows:
        return []
    log = log and all(row["number"] > 0 for row in rows)
    events = list(dict.fromkeys(row["question"] for row in rows))
    shown = events
    if len(events) > 1:
        # By number: the words of an answer change with what is varied, its choice does not.
        numbers = range(len(events))
        chosen = st.pills(
            "Answers drawn",
            numbers,
            selection_mode="multi",
            default=numbers,
            format_func=lambda number: plain(events[number]),
            key="answers drawn",
            wrap=True,
        )
        shown = [events[number] for number in chosen]
    own = _number(varied)
    own = own if own is not None and (own > 0 or not log) else None
    # Each answer has a scale of its own: they may lie orders apart, and then one would be flat.
    places = [st.container()]
    said = []
    for number, event in enumerate(shown):
        if len(shown) > 1 and number % 2 == 0:
            places = list(st.columns(2, vertical_alignment="bottom"))
        with places[number % 2]:
            st.markdown(plain(f"The chance that {event}"))
            drawn = [row for row in rows if row["question"] == event]
            _line(drawn, label, log, own, points=listed or _is_one_value(drawn))
        which = f"The chance that {event}" if len(shown) > 1 else "The chance"
        if _is_one_value(drawn):
            said.append(f"{which} for {drawn[0]['value']} alone: {drawn[0]['said']}.")
        elif len({row["chance"] for row in drawn}) == 1:
            said.append(f"{which} is the same for every value drawn: {drawn[0]['said']}.")
    if own is not None and shown:
        said.insert(0, "That is the dotted line.")
    if listed:
        _numbers(case, varied, label, every=1)
    else:
        with st.expander("The numbers"):
            _numbers(case, varied, label, every=max(1, len(varied.points) // 10))
    return said


def _is_one_value(rows: list[dict[str, Any]]) -> bool:
    """Whether all points lie on one another, so that no line shows them."""
    return len({row["number"] for row in rows}) == 1


def _axis(numbers: list[float], log: bool) -> dict[str, Any]:
    """The scale of the values; in powers of ten it begins and ends with them."""
    import altair as alt

    low, high = min(numbers), max(numbers)
    if not log or low >= high:
        return {"scale": alt.Scale(type="log" if log else "linear")}
    scale = alt.Scale(type="log", domain=[low, high], nice=False)
    return {
        "scale": scale,
        "axis": alt.Axis(values=list(log_ticks(low, high)), format="~g", labelOverlap="greedy"),
    }


def _line(
    rows: list[dict[str, Any]], label: str, log: bool, own: float | None, *, points: bool
) -> None:
    """One answer along the varied value, with a dotted line at the case's own value."""
    import altair as alt
    import pandas as pd

    numbers = [row["number"] for row in rows] + ([] if own is None else [own])
    line = (
        alt.Chart(pd.DataFrame(rows))
        .mark_line(strokeWidth=2.5, point=points)
        .encode(
            x=alt.X("number", title=label, **_axis(numbers, log)),
            y=alt.Y("chance", title="Chance", axis=alt.Axis(format=".3~%")),
            tooltip=[alt.Tooltip("value", title=label), alt.Tooltip("said", title="Chance")],
        )
    )
    if own is not None:
        rule = alt.Chart(pd.DataFrame([{"number": own}])).mark_rule(strokeDash=[2, 3], color=_GREY)
        line = line + rule.encode(x="number")
    first, last = rows[0], rows[-1]
    # In large type, so that the name of the axis is in sight too.
    st.altair_chart(
        line.properties(height=240 if st.session_state.get("projector") else 280),
        alt=f"{label} from {first['value']} to {last['value']}: the chance goes from "
        f"{first['said']} to {last['said']}.",
    )


def _number(varied: Variation) -> float | None:
    from risk.number import read_number

    try:
        return None if varied.own is None else float(read_number(varied.own))
    except ValueError:
        return None


def _numbers(case: Case, varied: Variation, label: str, every: int) -> None:
    """The points of a curve as a table, or only `every` so many of them."""
    asked = _each_question(question_in_words, case, varied)
    rows = []
    for point in varied.points[::every]:
        cells = [
            "" if answer.probability is None else _said(answer.probability)
            for answer in point.answers
        ] or [_why_not(point)] + [""] * (len(asked) - 1)
        rows.append([point.value, *cells])
    st.html(table_html([label, *asked], rows))


def _bars(case: Case, varied: Variation, path: str) -> None:
    """Each possible value of a fact, with its answers."""
    asked = _each_question(question_in_words, case, varied)
    rows = []
    for point in varied.points:
        cells = [
            "" if answer.probability is None else _said(answer.probability)
            for answer in point.answers
        ] or [_why_not(point)] + [""] * (len(asked) - 1)
        stands = point.own or (varied.own is None and point.value == "unknown")
        value = value_in_words(path, point.value)
        rows.append([f"{value} (as it stands)" if stands else value, *cells])
    st.html(table_html(["If it were", *asked], rows))


def _why_not(point: VariedPoint) -> str:
    """Why there is no answer for a value; where it would stand in the case goes without saying."""
    return in_one_line((each.message for each in point.problems), point.conflict)


def _unanswered(varied: Variation) -> None:
    """Say for which values there is no answer, and why for the first of them."""
    without = [point for point in varied.points if not point.answers]
    if without:
        which = f"{len(without)} of the {len(varied.points)} values"
        st.warning(plain(f"No answer for {which}. {without[0].value}: {_why_not(without[0])}"))


# --- two versions ----------------------------------------------------------------------------


def _versions(case: Case) -> None:
    other = session.kept_version()
    st.markdown("Keep the case as it stands, change anything on the other pages, and compare here.")
    with st.container(horizontal=True):
        st.button("Keep this version", type="primary", on_click=session.keep_version, args=(case,))
        if other is not None:
            st.button("Swap the two", on_click=_swap, args=(case, other))
    if other is None:
        return
    _differences(other, case)
    left, right = st.columns(2, gap="large")
    with left:
        st.header("The version kept", anchor=False)
        _version(other, "kept")
    with right:
        st.header("The case as it stands", anchor=False)
        _version(case, "now")


def _differences(kept: Case, case: Case) -> None:
    """What the two versions do not say alike."""
    found, called = differences(kept, case), kept.called | case.called
    if found:
        header = ("What differs", "The version kept", "The case as it stands")
        rows = [(capital(each.what, called), each.before, each.after) for each in found]
        st.html(table_html(header, rows))
    elif kept == case:
        st.caption("The two are the same, so far.")
    else:
        st.caption("They differ only in what enters no answer, like names, notes or symbols.")


def _swap(case: Case, other: Case) -> None:
    session.commit(other)
    session.keep_version(case)


def _version(case: Case, name: str) -> None:
    outcome = results.solved(case)
    if outcome.solution is None:
        explain_trouble(case, outcome, name)
        return
    for question, answer in zip(case.questions, outcome.solution.answers, strict=True):
        st.subheader(plain(question_in_words(question, case)), anchor=False)
        st.html(questions.answer_html(answer))
    labels = questions.carrier_labels(case)
    svg = results.drawn(case, labels, session.stood())
    parts.family_tree(svg, signs=results.signs(case, labels), key=f"tree|{name}")
