"""The page Evidence: one fact at a time, in any order, with a guess before each.

What is known so far is a case of its own (the family without the facts not yet revealed), so
the tree, the working and the chance all come from the engine as on any other page.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from risk.case import edit
from risk.case.model import Case
from risk.document.working import working_blocks
from risk.screens import frame, parts, questions, results, session
from risk.screens.page_blocks import show_blocks
from risk.screens.plain import plain
from risk.screens.trouble import nothing_to_show
from risk.screens.words import person_of_fact
from risk.teaching.guess import guess_in_words
from risk.wording.chances import SHORT_FRACTION, chance_in_words
from risk.wording.phrases import capital
from risk.wording.questions import event_in_words, question_in_words
from risk.workings.ladder import followed
from risk.workings.step import Rung

VOTES = ("Rises", "Stays", "Falls")


@dataclass
class Show:
    """Where a demonstration stands: what is revealed, what is asked, and the votes for it."""

    case: Case
    question: int
    revealed: list[tuple[str, ...]] = field(default_factory=list)
    asked: tuple[str, ...] | None = None
    votes: dict[str, int] = field(default_factory=dict)
    verdict: str = ""


def page() -> None:
    """Draw the page."""
    case = session.case()
    frame.title("Evidence, one fact at a time")
    outcome = results.solved(case)
    if nothing_to_show(case, outcome):
        return
    projector = bool(st.session_state.get("projector"))
    if not projector:
        index = questions.choose(case)
    # The place of what the lecture is given with; it stays in sight.
    bar = st.container(horizontal=True, vertical_alignment="bottom", key="evidence bar")
    # By themselves, since on a phone only they stay in sight (page.css).
    front = bar.container(horizontal=True, width="content", key="step buttons")
    rest: DeltaGenerator
    if projector:
        rest = bar.popover("More")
        with rest:
            index = questions.choose(case)
    else:
        rest = bar.container(horizontal=True, vertical_alignment="center")
    usual = results.climbed(case, index)
    show = _show(case, index)
    _controls(show, usual, front, rest)
    _stage(show, usual, _climbed(show, usual), bar if projector else None)


def _show(case: Case, question: int) -> Show:
    """The demonstration of this session, begun anew when the case or the question changed."""
    state = st.session_state
    show = state.get("show")
    if not isinstance(show, Show) or show.case != case or show.question != question:
        show = state["show"] = Show(case, question)
    return show


def _steps(usual: tuple[Rung, ...]) -> list[Rung]:
    """The rungs that bring something in, in the usual order."""
    return [rung for rung in usual if rung.facts]


def _left(show: Show, usual: tuple[Rung, ...]) -> list[Rung]:
    """What is not yet revealed."""
    return [rung for rung in _steps(usual) if rung.facts not in show.revealed]


def _climbed(show: Show, usual: tuple[Rung, ...]) -> list[Rung]:
    """The rungs that the class has heard, from the one before any fact, in their usual words."""
    words = {rung.facts: rung.text for rung in usual}
    heard = results.climbed_as(show.case, show.question, tuple(show.revealed))
    return [replace(rung, text=words[rung.facts]) for rung in heard]


def _controls(
    show: Show, usual: tuple[Rung, ...], front: DeltaGenerator, rest: DeltaGenerator
) -> None:
    """The bar with which the lecture is given: back and forward in `front`, all else in `rest`."""
    left = _left(show, usual)
    with front:
        st.button(
            "Back",
            icon=":material/arrow_back:",
            shortcut="Left",
            key="step back",
            disabled=not show.revealed and show.asked is None,
            on_click=_back,
            args=(show,),
        )
        label = "Reveal" if show.asked else "Next fact"
        st.button(
            label,
            icon=":material/arrow_forward:",
            shortcut="Right",
            type="primary",
            disabled=not left,
            key="step on",
            on_click=_next,
            args=(show, left[0].facts if left else ()),
        )
    with rest:
        projector = bool(st.session_state.get("projector"))
        _any_order(show, left, folded=not projector)
        st.button("From the start", disabled=not show.revealed, on_click=_again, args=(show,))
        st.button("Everything", disabled=not left, on_click=_all, args=(show, left))
        st.toggle("Guess first", key=session.kept("guess first", True))
        st.toggle("Show the working so far", key=session.kept("working so far", False))
    parts.steps()


def _stage(
    show: Show, usual: tuple[Rung, ...], climbed: list[Rung], votes: DeltaGenerator | None
) -> None:
    """The tree with what is known, the chance in large figures, the ladder, what is left.

    The class's guesses stand at `votes`, where they keep their room while nothing is asked (or
    all below would jump with each fact), or above the ladder.
    """
    case = show.case
    known = {fact for facts in show.revealed for fact in facts}
    every = {fact for rung in usual for fact in rung.facts}
    now = edit.without_facts(case, every - known)
    words = {rung.facts: rung.text for rung in usual}
    newest = show.asked or (show.revealed[-1] if show.revealed else ())
    left, right = st.columns([2, 3], gap="large")
    with left:
        told = edit.without_facts(case, every - known - set(show.asked or ()))
        parts.family_tree(
            results.drawn(told, stood=session.stood()),
            key="evidence tree",
            lit=[person_of_fact(fact) for fact in newest],
            scale=1.5,
        )
    with right:
        question = case.questions[show.question]
        chance = followed(question)
        st.header(plain(question_in_words(chance, case)), anchor=False)
        if chance != question:
            whole = question_in_words(question, case)
            st.caption(plain(f'Of the question "{whole}" this one chance is followed here.'))
        figure = questions.chance_html(climbed[-1].chance)
        st.html(f'<div class="tt-answer tt-now">{figure}</div>')
        if not show.revealed:  # later a chance that vanishes is one of many
            questions.why_vanishing(case, climbed[-1].chance)
        if show.asked:
            st.info(
                plain(f"{_begun(words[show.asked])}. What happens to the chance?"),
                icon=":material/front_hand:",
            )
        elif show.verdict:
            st.info(plain(show.verdict), icon=":material/check:")
        if show.asked or (votes and st.session_state["guess first"] and _left(show, usual)):
            with votes or st.container(horizontal=True, key="guess"):
                _votes(show)
        parts.ladder(
            _rows(climbed, (show.asked, words[show.asked]) if show.asked else None),
            key="ladder",
            caption=f"After each fact the chance that {event_in_words(chance, case)}",
            scale=_scale(climbed)[1],
        )
    if st.session_state.get("working so far"):
        st.markdown("## The working with what is known so far")
        outcome = results.solved(now)
        if outcome.solution is not None:
            show_blocks(working_blocks(results.worked(now)[show.question], now, heading=False))


def _any_order(show: Show, left: list[Rung], folded: bool) -> None:
    """The facts not yet revealed, each a button, for those who want another order."""
    with st.popover("Another fact", disabled=not left) if folded else st.container():
        if left:
            st.caption("Take one of these next.")
        for number, rung in enumerate(left):
            st.button(
                plain(_begun(rung.text)),
                key=f"reveal|{number}",
                width="stretch",
                disabled=show.asked == rung.facts,
                on_click=_take,
                args=(show, rung.facts),
            )


def _votes(show: Show) -> None:
    """What the class guesses before the reveal."""
    for vote in VOTES:
        key = f"vote|{vote}|{len(show.revealed)}|{'|'.join(show.asked or ())}"
        st.number_input(
            vote,
            0,
            999,
            show.votes.get(vote, 0),
            key=key,
            on_change=_count,
            args=(show, vote, key),
            width=110,
            disabled=not show.asked,
        )
    st.text_input(
        "Or a number",
        key="guessed number",
        placeholder="2/3 or 66%",
        width=190,
        disabled=not show.asked,
    )


def _count(show: Show, vote: str, key: str) -> None:
    show.votes[vote] = int(st.session_state[key] or 0)


def _take(show: Show, facts: tuple[str, ...]) -> None:
    """Take a fact next: ask about it first, or reveal it at once."""
    show.verdict = ""
    if st.session_state.get("guess first", True) and show.asked != facts:
        show.asked, show.votes = facts, {}
        st.session_state["guessed number"] = ""
    else:
        _reveal(show, facts)


def _next(show: Show, facts: tuple[str, ...]) -> None:
    _take(show, show.asked or facts)


def _reveal(show: Show, facts: tuple[str, ...]) -> None:
    """Reveal a fact and say how the guesses did."""
    usual = results.climbed(show.case, show.question)
    before = _climbed(show, usual)[-1]
    show.revealed.append(facts)
    after = _climbed(show, usual)[-1]
    truth = _movement(before, after)
    was, now = chance_in_words(before.chance), chance_in_words(after.chance)
    how = {"Rises": "It rose", "Stays": "It stayed", "Falls": "It fell"}[truth]
    if truth == "Stays":
        show.verdict = f"{how} at {now.fraction or now.percent}."
    else:
        show.verdict = f"{how} from {was.fraction or was.percent} to {now.fraction or now.percent}."
    votes = sum(show.votes.values())
    if show.asked and votes:
        show.verdict += f" {show.votes.get(truth, 0)} of {votes} had it right."
    typed = str(st.session_state.get("guessed number") or "").strip()
    if show.asked and typed:
        show.verdict += f" {guess_in_words(typed, after.chance)}"
    show.asked = None


def _movement(before: Rung, after: Rung) -> str:
    if before.chance == after.chance:
        return "Stays"
    return "Rises" if after.chance.value > before.chance.value else "Falls"


def _back(show: Show) -> None:
    show.verdict = ""
    if show.asked is not None:
        show.asked = None
    elif show.revealed:
        show.revealed.pop()


def _again(show: Show) -> None:
    show.revealed, show.asked, show.verdict = [], None, ""


def _all(show: Show, left: list[Rung]) -> None:
    show.revealed += [rung.facts for rung in left]
    show.asked, show.verdict = None, ""


def _scale(climbed: list[Rung]) -> tuple[float, str]:
    """The chance at the right end of the bars, and its words."""
    most = max(rung.chance.value for rung in climbed)
    if not most:
        return 1.0, ""  # no bar is drawn, so there is none to be measured
    for end, words in ((0.002, "to 0.2%"), (0.01, "to 1%"), (0.05, "to 5%"), (0.2, "to 20%")):
        if most <= end:
            return end, words
    return 1.0, "to 100%"


def _rows(
    climbed: list[Rung], asked: tuple[tuple[str, ...], str] | None
) -> list[dict[str, object]]:
    """The ladder's rows; what is `asked` about (facts and words) is a row without a chance."""
    end, _ = _scale(climbed)
    rows: list[dict[str, object]] = []
    for rung in climbed:
        fraction = chance_in_words(rung.chance).fraction or ""
        exact = fraction if len(fraction) <= SHORT_FRACTION else ""
        rows.append(
            {
                "key": "|".join(rung.facts),
                "kind": "known",
                "text": _begun(rung.text),
                "exact": exact,
                "percent": chance_in_words(rung.chance, about="" if exact else "≈").percent,
                "width": round(100 * rung.chance.value / end, 3),
            }
        )
    if asked is not None:
        facts, text = asked
        rows.append(
            {
                "key": "asked|" + "|".join(facts),
                "kind": "asked",
                "text": _begun(text),
                "exact": "?",
                "percent": "",
                "width": rows[-1]["width"],
            }
        )
    return rows


def _begun(text: str) -> str:
    """A fact in words as a line or a sentence begins with it: whoever it names keeps the name."""
    return capital(text, session.case().called)
