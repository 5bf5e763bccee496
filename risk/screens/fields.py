"""Widgets that follow one value of the case and change it: text, choice, several choices.

Each takes a `path`, the value's place, which names the widget and its error message, and a
`change` that makes the new case from what was typed or chosen.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import nullcontext
from typing import Any

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from risk.case.model import Case
from risk.case.values import probability, typed_text
from risk.number import Quantity
from risk.problems import InputError, Problem
from risk.screens import session
from risk.screens.plain import say

Change = Callable[[Case, Any], Case]
#: Reads what was typed; raises `ValueError` with a sentence (see `risk.case.values`).
Reader = Callable[[str], Quantity]


def text(
    label: str,
    path: str,
    value: str | None,
    change: Change,
    *,
    problems: Sequence[Problem] = (),
    area: bool = False,
    below: DeltaGenerator | None = None,
    **options: Any,
) -> None:
    """A line (or, with `area`, lines) of text; emptied it is None.

    What is wrong is said in `below`, for a field too narrow for sentences, or else below it.
    """
    key = _key(path)
    refused = session.refused(key)
    session.keep_in_step(key, refused.text if refused else value or "")
    widget = st.text_area if area else st.text_input
    widget(label, key=key, on_change=_typed, args=(key, change, area), **options)
    with below or nullcontext():
        _complain(key, problems)


def number(
    label: str,
    path: str,
    value: Quantity | str | None,
    change: Change,
    *,
    read: Reader = probability,
    problems: Sequence[Problem] = (),
    **options: Any,
) -> None:
    """A number as people write them (``1/25``, ``4%``); emptied it is None.

    `read` is the reader of the case file for this place, so that no case is made here that could
    not be opened again.
    """

    def take(case: Case, typed: str | None) -> Case:
        return change(case, read_quantity(typed, path, read) if typed else None)

    text(label, path, None if value is None else str(value), take, problems=problems, **options)


def read_quantity(typed: str, path: str, read: Reader = probability) -> Quantity:
    """Read a number or refuse it in words."""
    try:
        return read(typed.strip())
    except ValueError as error:
        raise InputError([Problem(path, str(error))]) from None


def choice(
    label: str,
    path: str,
    value: Any,
    options: Mapping[Any, str],
    change: Change,
    *,
    problems: Sequence[Problem] = (),
    kind: str = "segments",
    **more: Any,
) -> None:
    """One of a few values: as ``segments`` side by side, or as a ``list`` to open.

    Radio buttons would not do: by keyboard each step through them is a choice, and so an edit.
    """
    key = _key(path)
    # The widget holds the words: Streamlit takes the value None for "nothing is chosen".
    session.keep_in_step(key, options.get(value, str(value)))
    values = {word: each for each, word in options.items()}

    def chosen(case: Case, word: str | None) -> Case:
        # None is what a widget that the browser shows anew, and empty, says: nobody chose it.
        return case if word is None else change(case, values[word])

    common = {"key": key, "on_change": _chosen, "args": (key, chosen), **more}
    if kind == "segments":
        # In a column Streamlit would keep them in one row, which a phone cuts off.
        st.segmented_control(label, list(values), required=True, wrap=True, **common)
    else:
        st.selectbox(label, list(values), **common)
    _complain(key, problems)


def several(
    label: str, path: str, value: Sequence[str], options: Mapping[str, str], change: Change
) -> None:
    """Any of a few values."""
    key = _key(path)
    session.keep_in_step(key, list(value))
    st.pills(
        label,
        list(options),
        selection_mode="multi",
        format_func=lambda each: options[each],
        key=key,
        on_change=_chosen,
        args=(key, change),
    )
    _complain(key, ())


def tick(label: str, path: str, value: bool, change: Change, **options: Any) -> None:
    """Yes or no."""
    key = _key(path)
    session.keep_in_step(key, value)
    st.checkbox(label, key=key, on_change=_chosen, args=(key, change), **options)


def _key(path: str) -> str:
    return f"field|{path}"


def _typed(key: str, change: Change, area: bool) -> None:
    if session.is_echo(key):
        return
    typed = typed_text(st.session_state[key], lines=area)
    session.attempt(lambda: change(session.case(), typed or None), key, st.session_state[key])


def _chosen(key: str, change: Change) -> None:
    if session.is_echo(key):
        return
    value = st.session_state[key]
    session.attempt(lambda: change(session.case(), value), key)


def _complain(key: str, problems: Sequence[Problem]) -> None:
    """Say below a field what is wrong there: an edit refused, or a value the case cannot have."""
    refused = session.refused(key)
    for problem in (*(refused.problems if refused else ()), *problems):
        say(problem)
