"""Several problems on one worksheet, and their key: put together, put in order, printed."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import streamlit as st

from risk import actions
from risk.case.model import Case
from risk.case.write import write_case_line
from risk.problems import InputError, Problem, RiskError
from risk.screens import files, problem_set, results, session
from risk.screens.plain import plain
from risk.screens.preview import preview
from risk.screens.words import file_name
from risk.teaching.case_names import Listed
from risk.teaching.practice_levels import IN_WORDS
from risk.wording.family import title_of

if TYPE_CHECKING:
    from risk.render.pdf_sheets import PageSize

#: What stands for every topic in the list of topics.
ANY = "any topic"
#: So many practice cases are added at once.
_MOST_AT_ONCE = 20
#: Pages of the worksheet that are shown here; the file has all.
_PAGES_SHOWN = 2
_SAID = "worksheet said"


@dataclass(frozen=True)
class Asked:
    """What is to be printed."""

    cases: tuple[Case, ...]
    page: PageSize
    title: str
    author: str
    date: str


@dataclass(frozen=True)
class Printed:
    """The worksheet and the key as PDFs; where there is no key, what stands in its way."""

    asked: Asked
    sheet: bytes
    key: bytes = b""
    why: tuple[str, ...] = ()


def draw() -> None:
    """Draw the tab."""
    st.markdown(
        "Problems for a class on one sheet, with trees and room to write, and a key with the "
        "workings."
    )
    left, right = st.columns([2, 3], gap="large")
    with left:
        st.markdown("## Add problems")
        _add_practice()
        _add_others()
    with right:
        _say()
        problems = problem_set.listed()
        st.markdown("## The problems")
        if not problems:
            st.info("There are none." if problem_set.removed() else "There are none yet.")
            if problem_set.removed():
                st.button("Bring the removed problems back", on_click=problem_set.take_back)
            return
        _list(problems)
        _print(problems)


def _add_practice() -> None:
    state = st.session_state
    level = int(
        st.segmented_control(
            "Level", tuple(IN_WORDS), required=True, key=session.kept("sheet level", 1)
        )
        or 1
    )
    st.caption(f"Level {level}: {IN_WORDS[level]}.")
    topics = [ANY, *actions.topics(level)]
    if state.get("settings", {}).get("sheet topic", ANY) not in topics:
        state["sheet topic"] = state["settings"]["sheet topic"] = ANY
    st.selectbox("Topic", topics, key=session.kept("sheet topic", ANY))
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.number_input("How many", 1, _MOST_AT_ONCE, key=session.kept("sheet count", 3), width=120)
        st.number_input(
            "From number",
            0,
            10**6,
            key=session.kept("sheet seed", 1),
            width=150,
            help="The same number gives the same cases. Another one gives others.",
        )
        st.button("Add practice cases", on_click=_practice)


def _practice() -> None:
    state = st.session_state
    topic = None if state["sheet topic"] == ANY else str(state["sheet topic"])
    level, seed, count = (int(state[f"sheet {name}"]) for name in ("level", "seed", "count"))
    try:
        cases = actions.practice(level, seed, count, topic)
    except InputError as error:
        _refuse("No practice case was added.", error.problems)
        return
    _add(Listed("", None, case) for case in cases)


def _add_others() -> None:
    state = st.session_state
    if titles := files.example_titles():
        session.keep_in_step("sheet example", None)
        st.selectbox(
            "Add an example",
            list(titles),
            format_func=lambda name: titles[name],
            index=None,
            placeholder="Choose one",
            key="sheet example",
            on_change=_example,
        )
        st.button(f"Add all {len(titles)} examples", on_click=_examples, args=(list(titles),))
    number = state.setdefault("sheet uploads", 0)
    st.file_uploader(
        f"Add case files (JSON, or .jsonl with one case a line, at most {files.LARGEST_FILE} MB)",
        type=["json", "jsonl"],
        accept_multiple_files=True,
        max_upload_size=files.LARGEST_FILE,
        key=f"sheet upload|{number}",
        on_change=_uploaded,
    )
    st.button(
        "Add the family of the page Family", on_click=_family, disabled=not session.case().people
    )


def _example() -> None:
    name = st.session_state["sheet example"]
    if name:
        _examples([name])


def _examples(names: Iterable[str]) -> None:
    new = []
    for name in names:
        try:
            new.append(Listed(f"{name}.json", None, actions.example(name)))
        except InputError as error:
            _refuse(f"{name} cannot be read; nothing was added.", error.problems)
            return
    _add(new)


def _uploaded() -> None:
    state = st.session_state
    given = state[f"sheet upload|{state['sheet uploads']}"]
    if not given:
        return
    state["sheet uploads"] += 1  # a new widget, so that the same file can be given again
    try:
        _add(problem_set.read([(each.name, each.getvalue()) for each in given]))
    except InputError as error:
        _refuse("No file was added.", error.problems)


def _family() -> None:
    try:
        case = actions.load(results.written(session.case()))
    except InputError as error:
        _refuse("The family was not added.", error.problems)
        return
    _add([Listed("", None, case)])


def _add(new: Iterable[Listed]) -> None:
    st.session_state[_SAID] = ("", (), problem_set.add(new))


def _refuse(what: str, problems: tuple[Problem, ...]) -> None:
    st.session_state[_SAID] = (what, problems, "")


def _say() -> None:
    """Say once why something was not added."""
    what, problems, left_out = st.session_state.pop(_SAID, ("", (), ""))
    if left_out:
        st.info(left_out)
    if what:
        lines = "".join(f"\n\n- {plain(str(problem))}" for problem in problems[:12])
        st.error(plain(what) + lines, icon=":material/error:")
        if len(problems) > 12:
            st.caption(f"and {len(problems) - 12} more")


def _list(problems: tuple[Listed, ...]) -> None:
    for place, each in enumerate(problems):
        many = len(each.case.questions)
        asked = "1 question" if many == 1 else f"{many or 'no'} questions"
        where = f", {each.path}{f':{each.line}' if each.line else ''}" if each.path else ""
        said, buttons = st.columns([3, 2], vertical_alignment="center")
        said.markdown(
            f"**{plain(f'{place + 1}. {title_of(each.case)}')}** {plain(f'({asked}{where})')}"
        )
        with buttons, st.container(horizontal=True, gap="small"):
            _buttons(place, problems)
    with st.container(horizontal=True):
        st.download_button(
            "Save the problems as a file",
            "".join(f"{write_case_line(each.case)}\n" for each in problems),
            "problems.jsonl",
            "application/jsonl",
            on_click="ignore",
            help="One case a line. Add it here another time, or give it to twothirds worksheet.",
        )
        st.button("Remove all", on_click=problem_set.clear)
    if not (st.session_state.keep and problem_set.written()):
        st.caption("A reload of the page loses the problems, unless they are saved as a file.")


def _buttons(place: int, problems: tuple[Listed, ...]) -> None:
    """What can be done with the problem at a place."""
    st.button(
        "Show",
        key=f"problem show|{place}",
        help=f"Take problem {place + 1} to the other pages",
        type="tertiary",
        on_click=session.take_to_pages,
        args=(problems[place].case, "The problem"),
    )
    for label, way, idle in (("Up", -1, not place), ("Down", 1, place == len(problems) - 1)):
        st.button(
            label,
            key=f"problem {label}|{place}",
            help=f"Move problem {place + 1} {label.lower()}",
            type="tertiary",
            disabled=idle,
            on_click=problem_set.move,
            args=(place, way),
        )
    st.button(
        "Remove",
        key=f"problem remove|{place}",
        help=f"Remove problem {place + 1}",
        type="tertiary",
        icon=":material/close:",
        on_click=problem_set.remove,
        args=(place,),
    )


def _print(problems: tuple[Listed, ...]) -> None:
    st.markdown("## On paper")
    labels = ("Title of the worksheet", "Drawn up by (an alias)", "Date, as it is to be printed")
    title, author, date = [
        st.text_input(
            label,
            key=session.kept(key, ""),
            placeholder="Exercises in genetic risk" if key == "sheet title" else None,
            max_chars=most,
        )
        for label, (key, most) in zip(labels, problem_set.LINES.items(), strict=True)
    ]
    papers = problem_set.PAPERS
    size = st.segmented_control(
        "Paper", papers, required=True, key=session.kept(problem_set.PAPER, papers[0])
    )
    cases = tuple(each.case for each in problems)
    asked = Asked(cases, "a4" if size == "A4" else "letter", title, author, date)
    made: Printed | None = st.session_state.get("printed")
    if st.button("Make the worksheet and the key", type="primary"):
        with st.spinner("Making the pages"):
            made = st.session_state["printed"] = _printed(asked)
    if made is None or made.asked != asked:
        return
    name = file_name(title) if title else "worksheet"
    with st.container(horizontal=True):
        for label, pdf, file in (
            ("Download the worksheet", made.sheet, f"{name}.pdf"),
            ("Download the key", made.key, f"{name}-key.pdf"),
        ):
            if pdf:
                st.download_button(
                    label,
                    pdf,
                    file,
                    "application/pdf",
                    icon=":material/download:",
                    on_click="ignore",
                )
    if made.why:
        lines = "".join(f"\n\n- {plain(each)}" for each in made.why)
        st.error(f"There is no key.{lines}", icon=":material/error:")
    preview(made.sheet, "worksheet", _PAGES_SHOWN)


def _printed(asked: Asked) -> Printed:
    """Make both by what the command makes them by."""
    sheet = _made(actions.worksheet, asked)
    try:
        return Printed(asked, sheet, _made(actions.answer_key, asked))
    except RiskError as error:
        outcomes = [results.solved(case) for case in asked.cases]
        why = [
            f"Problem {place}: {each.message or '; '.join(map(str, each.problems))}"
            for place, each in enumerate(outcomes, 1)
            if each.solution is None
        ]
        return Printed(asked, sheet, why=tuple(why or [str(error)]))


def _made(make: Callable[..., bytes], asked: Asked) -> bytes:
    return make(
        asked.cases, page=asked.page, title=asked.title, author=asked.author, date=asked.date
    )
