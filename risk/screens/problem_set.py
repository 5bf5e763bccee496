"""The problems that a worksheet is made of and a class is marked on, kept for the session."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

import streamlit as st

from risk import actions
from risk.console.sources import Source, read_cases, sources_in
from risk.problems import InputError, Problem
from risk.screens import results
from risk.teaching.case_names import Listed

#: So many problems at most: a server has other visitors, and the command takes any number.
MOST = 40
#: What is said of the sheet: the key of each line of text, and how long that can be.
LINES = {"sheet title": 120, "sheet author": 80, "sheet date": 40}
#: The size of its paper, and the sizes that there are.
PAPER, PAPERS = "sheet paper", ("A4", "Letter")
#: A browser keeps so many characters of a worksheet, and of a larger one nothing.
MOST_KEPT = 1_000_000


def listed() -> tuple[Listed, ...]:
    """The problems in order."""
    problems: tuple[Listed, ...] = st.session_state.get("problems", ())
    return problems


def add(new: Iterable[Listed]) -> str:
    """Put problems at the end; those that are there already are left out.  Says what was not."""
    problems = [*listed()]
    there = 0
    for each in new:
        if any(each.case == other.case for other in problems):
            there += 1
        else:
            problems.append(each)
    said = []
    if there:
        said.append("One was there already." if there == 1 else f"{there} were there already.")
    if len(problems) > MOST:
        said.append(
            f"A worksheet has {MOST} problems at most here, so {len(problems) - MOST} were left "
            "out. The command twothirds worksheet takes any number."
        )
    st.session_state["problems"] = tuple(problems[:MOST])
    st.session_state.pop("problems removed", None)
    return " ".join(said)


def move(place: int, by: int) -> None:
    """Let the problem at `place` change places with its neighbour."""
    problems = [*listed()]
    other = place + by
    if 0 <= place < len(problems) and 0 <= other < len(problems):
        problems[place], problems[other] = problems[other], problems[place]
        st.session_state["problems"] = tuple(problems)


def remove(place: int) -> None:
    """Take a problem off."""
    problems = listed()
    st.session_state["problems"] = problems[:place] + problems[place + 1 :]


def clear() -> None:
    """Take all problems off; they can be taken back while there are no others."""
    st.session_state["problems removed"] = listed()
    st.session_state["problems"] = ()


def removed() -> tuple[Listed, ...]:
    """The problems that were taken off all at once."""
    gone: tuple[Listed, ...] = st.session_state.get("problems removed", ())
    return gone


def take_back() -> None:
    """Put on again what was taken off all at once."""
    st.session_state["problems"] = removed()


def touched() -> bool:
    """Whether there are problems, or were some."""
    return "problems" in st.session_state


def written() -> str:
    """The problems, and what is said of their sheet, as a text that a browser can keep."""
    problems = listed()
    if not problems:
        return ""
    settings = st.session_state.get("settings", {})
    held = {
        "problems": [(each.path, each.line, results.written(each.case)) for each in problems],
        "said": {key: settings[key] for key in (*LINES, PAPER) if key in settings},
    }
    text = json.dumps(held)
    return text if len(text) <= MOST_KEPT else ""


def bring_back(text: str) -> None:
    """Begin with the worksheet that a browser has kept; `InputError` where it is none."""
    try:
        held = json.loads(text)
        problems = tuple(
            Listed(str(path), None if line is None else int(line), actions.load(str(case)))
            for path, line, case in held["problems"]
        )
        said = dict(held["said"])
    except (ValueError, TypeError, KeyError) as error:
        raise InputError([Problem("", "is no worksheet")]) from error
    lines = {key: str(said[key])[:most] for key, most in LINES.items() if key in said}
    paper = {PAPER: said[PAPER]} if said.get(PAPER) in PAPERS else {}
    st.session_state["problems"] = problems[:MOST]
    st.session_state.setdefault("settings", {}).update(lines | paper)


def read(files: Sequence[tuple[str, bytes]]) -> list[Listed]:
    """The cases of files by name, also of .jsonl files of one case a line.

    Raises `InputError` with the problems of all that are wrong, as the command says them.
    """
    sources: list[Source] = []
    for name, content in files:
        none = Source(name, error=InputError([Problem(name, "holds no case")]))
        sources += list(sources_in(name, content)) or [none]
    return [Listed(source.file, source.line, case) for source, case in read_cases(sources)]
