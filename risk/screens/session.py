"""What one browser session holds: the history of its case, what is selected, what was refused.

Cases are frozen, so the history is a list of them and a position in it; every edit goes
through `attempt`, which keeps the old case where the edit is refused.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import streamlit as st

from risk.case.edit import Grown, number_from_first
from risk.case.edit import renumber as renumbered
from risk.case.edit_parents import without_parents
from risk.case.model import Case, Condition, Frequency
from risk.case.numbering import standard_ids
from risk.problems import InputError, Problem

#: So many steps back are kept.
LONGEST_HISTORY = 200

#: The key of the widget that says what is known of the people whom buttons add.
NEW_PEOPLE = "new people"

#: The keys of the buttons that go back and forth in the history, and how far each goes.
STEPS = {"undo": -1, "redo": 1}

#: What an empty page starts with: the assumption that hand calculations make.
START = Condition("autosomal_recessive", Frequency(allele="rare"))


@dataclass(frozen=True)
class Refused:
    """An edit that was not made: the text that was typed (if any) and why not."""

    text: str
    problems: tuple[Problem, ...]


def open_session() -> None:
    """Give a new browser session its empty case."""
    state = st.session_state
    if "history" not in state:
        state.history = [Case(START, ())]
        state.at = 0
        state.then_selected = {}
        state.saved = state.history[0]
        state.selected = None
        state.refused = {}
        state.notice = None
        state.keep = True
        state.fresh = True
    _remember_settings()


def begin(page: str) -> None:
    """Note that a run of a page begins.

    Where a change of page is cut off, the browser has put the fields of the page away and shows
    them anew, empty, of which the session does not hear.  So all are filled in every run of a page
    until one has drawn it whole.
    """
    if st.session_state.get("drawn", page) != page:
        st.session_state.drawn = None


def drawn(page: str) -> None:
    """Note that a page was drawn whole."""
    st.session_state.drawn = page


def _filled(key: str) -> bool:
    """Whether a widget can be relied on to show what the session holds for it."""
    return key in st.session_state and st.session_state.get("drawn", "") is not None


def case() -> Case:
    """The case as it stands."""
    state = st.session_state
    current: Case = state.history[state.at]
    return current


def selected() -> str | None:
    """The id of the selected person, if they are still in the family."""
    chosen: str | None = st.session_state.selected
    return chosen if chosen in {person.id for person in case().people} else None


def select(id: str | None) -> None:
    """Select a person."""
    st.session_state.selected = id


def commit(new: Case) -> None:
    """Make `new` the current case; what had been undone is forgotten."""
    state = st.session_state
    state.refused = {}
    if new != case():
        _remember_selection()
        state.history = [*state.history[: state.at + 1], new][-LONGEST_HISTORY:]
        state.at = len(state.history) - 1


def replace_all(new: Case, *, saved: bool = False) -> None:
    """Open another case; the one before stays in the history, one undo away."""
    commit(new)
    for held in ("former condition", "standing", NEW_PEOPLE):
        st.session_state.pop(held, None)
    st.session_state.get("settings", {}).pop(NEW_PEOPLE, None)
    if saved:
        st.session_state.saved = new
    asked = [person.id for person in new.people if "consultand" in person.roles]
    asked += [question.person for question in new.questions if question.person is not None]
    select(asked[0] if asked else None)


def take_to_pages(new: Case, what: str) -> None:
    """Open a case that stands on another page, and lead its user to it."""
    back = " Undo brings your family back." if case().people else ""
    replace_all(new)
    notice(f"{what} is open on all pages.{back}")
    go_to("family")


def bring_back(former: Case) -> None:
    """Begin with the case of an earlier visit: no step of undo takes it away."""
    replace_all(former)
    st.session_state.history, st.session_state.at = [former], 0


def keep_version(version: Case) -> None:
    """Keep a version of the family, to be compared with the case as it stands."""
    st.session_state["kept version"] = version


def kept_version() -> Case | None:
    """The version that was kept last, if any."""
    found: Case | None = st.session_state.get("kept version")
    return found


def lay_aside(condition: Condition) -> None:
    """Remember a condition of which another mode of inheritance cannot have everything."""
    st.session_state["former condition"] = condition


def former_condition() -> Condition | None:
    """The condition that was laid aside last, of this case."""
    found: Condition | None = st.session_state.get("former condition")
    return found


def move(steps: int) -> None:
    """Undo (-1) or redo (+1), also of who was selected then."""
    state = st.session_state
    _remember_selection()
    state.at = min(max(state.at + steps, 0), len(state.history) - 1)
    state.refused = {}
    select(state.then_selected.get(fingerprint(case()), selected()))


def _remember_selection() -> None:
    """Note who is selected in the case as it stands; of cases long gone nothing is kept."""
    then = st.session_state.then_selected
    then[fingerprint(case())] = selected()
    while len(then) > 2 * LONGEST_HISTORY:
        del then[next(iter(then))]


def fresh() -> bool:
    """Whether nothing has happened yet, so that the family of an earlier visit may come back."""
    return bool(st.session_state.fresh and len(st.session_state.history) == 1)


def not_fresh() -> None:
    """Let no earlier family come back."""
    st.session_state.fresh = False


def can_undo() -> bool:
    return bool(st.session_state.at > 0)


def can_redo() -> bool:
    return bool(st.session_state.at < len(st.session_state.history) - 1)


def attempt(edit: Callable[[], Case], field: str = "", text: str = "") -> bool:
    """Make an edit; where it is refused, keep the case and remember why, at `field`."""
    try:
        new = edit()
    except InputError as error:
        st.session_state.refused = {field: Refused(text, error.problems)}
        return False
    commit(new)
    return True


def act(edit: Callable[[], Case]) -> None:
    """`attempt` for the press of a button, which returns nothing."""
    attempt(edit)


def grow(edit: Callable[[], Grown]) -> tuple[str, ...]:
    """Make an edit that adds people and return the ids of those who were asked for.

    Whoever is selected stays selected, also where the family grew above generation I and its
    generations are counted anew.
    """
    try:
        new, added = edit()
    except InputError as error:
        st.session_state.refused = {"": Refused("", error.problems)}
        return ()
    new, names = number_from_first(new)
    commit_renamed(new, names)
    arrived = tuple(names.get(id, id) for id in added)
    st.session_state["added"] = arrived
    return arrived


def take_parents_off(id: str) -> None:
    """Make a person a founder; whoever is selected stays selected."""
    try:
        commit_renamed(*without_parents(case(), id))
    except InputError as error:
        st.session_state.refused = {"": Refused("", error.problems)}


def commit_renamed(new: Case, names: Mapping[str, str]) -> None:
    """Make `new` the current case, in which some people have new ids (old id to new).

    Whoever is selected stays selected.
    """
    chosen = selected()
    commit(new)
    _rename_standing(names)
    select(None if chosen is None else names.get(chosen, chosen))


def go_to(page: str, id: str | None = None) -> None:
    """Open another page (by its module's name) in the coming run, perhaps with a person selected.

    A callback cannot change the page by itself.
    """
    st.session_state["go to"] = page
    if id is not None:
        select(id)


def renumber() -> None:
    """Number everyone anew; whoever is selected stays selected."""
    chosen, names = selected(), standard_ids(case())
    if attempt(lambda: renumbered(case())):
        _rename_standing(names)
        select(None if chosen is None else names[chosen])


def stood() -> tuple[tuple[str, float], ...]:
    """The x of people in the drawing that the one of the case follows, the last of the session.

    It stays the same for a case, so that undo brings its drawing back too.
    """
    state = st.session_state
    before: dict[Case, tuple[tuple[str, float], ...]] = state.setdefault("stood", {})
    found = before.setdefault(case(), state.get("standing", ()))
    while len(before) > LONGEST_HISTORY:
        del before[next(iter(before))]
    return found


def keep_standing(standing: tuple[tuple[str, float], ...]) -> None:
    """Note where people stand in the drawing of the case."""
    st.session_state["standing"] = standing


def _rename_standing(names: Mapping[str, str]) -> None:
    standing = st.session_state.get("standing", ())
    keep_standing(tuple((names.get(id, id), x) for id, x in standing))


def refused(field: str) -> Refused | None:
    """The edit that was refused at a field, if any."""
    found: Refused | None = st.session_state.refused.get(field)
    return found


def notice(text: str) -> None:
    """Say something once, at the top of the next run."""
    st.session_state.notice = text


def unsaved() -> bool:
    """Whether there is work that no file holds."""
    return bool(case().people) and case() != st.session_state.saved


def keep_in_step(key: str, value: Any) -> str:
    """Give the widget `key` the value of the case, unless it shows that already.

    Called before the widget: the case is the truth and widgets follow it (also on undo), yet a
    widget in which somebody is typing is left alone.
    """
    state = st.session_state
    if not _filled(key) or state[key] != value:
        told = state.setdefault("told", {}).setdefault(key, [])
        told += [state[key], value] if key in state else [value]
        del told[:-LONGEST_HISTORY]
        state[key] = value
    return key


def is_echo(key: str) -> bool:
    """Whether the widget `key` only shows still what it was told before, and nobody changed it.

    Who presses Undo again before the browser has drawn what the first press did sends along what
    the fields showed then.  Taken for an edit, that would end the history there.
    """
    state = st.session_state
    told: dict[str, list[Any]] = state.setdefault("told", {})
    if any(state.get(step) for step in STEPS) and state[key] in told.get(key, ()):
        state[key] = told[key][-1]
        return True
    told.pop(key, None)
    return False


def kept(key: str, default: Any) -> str:
    """Let the widget `key` keep what it shows while its user visits other pages.

    Called before the widget; Streamlit itself forgets what is not drawn.
    """
    state = st.session_state
    state.setdefault("settings", {}).setdefault(key, default)
    _remember_settings()
    if not _filled(key):
        state[key] = state["settings"][key]
    return key


def forget_settings() -> None:
    """Let the widgets that are kept show again what they began with.

    The worksheet and a class's answers are dropped, the version kept to be compared, and what was
    noted of former cases.
    """
    dropped = ("problems", "problems removed", "printed", "class of", "class answers")
    for held in (*dropped, "kept version", "former condition", "standing", "stood"):
        st.session_state.pop(held, None)
    for key in st.session_state.pop("settings", ()):
        st.session_state.pop(key, None)


def _remember_settings() -> None:
    """Note what the widgets that are kept show; also of a page left in the act of typing."""
    state = st.session_state
    for key in state.get("settings", ()):
        if key in state:
            state["settings"][key] = state[key]


def fingerprint(*parts: object) -> str:
    """A short name for values that can be written out, for widget keys that must change."""
    return hashlib.sha256(repr(parts).encode("utf-8", "replace")).hexdigest()[:12]


def problems_at(problems: Sequence[Problem], path: str) -> list[Problem]:
    """The problems of a place in the case file and of what is inside it."""
    return [p for p in problems if p.path == path or p.path.startswith((f"{path}.", f"{path}["))]
