"""Opening and saving cases: files, the bundled examples, an empty page, forgetting."""

from __future__ import annotations

import json
from functools import lru_cache

import streamlit as st

from risk import actions
from risk.bundled import bundled_cases
from risk.case.model import Case
from risk.case.read import read_unfinished
from risk.problems import InputError
from risk.screens import problem_set, results, session
from risk.screens.plain import plain
from risk.screens.words import file_name

#: The largest file that is read, in megabytes; the browser refuses what is larger.
LARGEST_FILE = 1

#: The key of the fold File.
_MENU = "file menu"


@lru_cache(1)
def example_titles() -> dict[str, str]:
    """The bundled examples: name to title, in order of name."""
    titles = {}
    for name, path in bundled_cases().items():
        try:
            found = json.loads(path.read_text(encoding="utf-8")).get("title")
        except (OSError, ValueError, AttributeError):
            continue
        titles[name] = str(found or name)
    return titles


def file_menu() -> None:
    """The fold with everything about files.

    A fold and no popover: the next Tab leads into it.
    """
    fold = st.expander("File", icon=":material/folder_open:", key=_MENU, on_change="rerun")
    if fold.open:
        with fold:
            _menu()


def _menu() -> None:
    case = session.case()
    open_file("menu")
    choose_example("menu")
    st.download_button(
        "Save as a file",
        data=results.written(case) + "\n",
        file_name=f"{file_name(case.title)}.json",
        mime="application/json",
        icon=":material/download:",
        disabled=not case.people,
        on_click=_saved,
        width="stretch",
    )
    st.button("Start anew", icon=":material/note_add:", on_click=_anew, width="stretch")
    st.divider()
    if st.session_state.keep:
        st.caption("This browser keeps family, worksheet and kept version: a reload loses nothing.")
        _forget_button()
    else:
        st.caption("This browser keeps nothing. A reload loses what is not saved as a file.")
        st.button("Keep it in this browser again", on_click=_keep, width="stretch")


def done() -> None:
    """Fold the menu up and lead the keyboard to it: what had it goes away with what was done.

    `frame.bottom` is told of it.
    """
    st.session_state[_MENU] = False
    st.session_state["files done"] = st.session_state.get("files done", 0) + 1


def _forget_button() -> None:
    """Forgetting, asked about first where there is something to lose."""
    state = st.session_state
    loses = bool(session.case().people) or len(state.history) > 1 or bool(problem_set.listed())
    if not state.get("forget now"):
        st.button(
            "Forget this family",
            icon=":material/delete_history:",
            help="Empties the page, its undo, the worksheet and what this browser keeps. For "
            "shared computers. Another tab has its own family, until that is forgotten there.",
            on_click=_ask_to_forget if loses else _forget,
            width="stretch",
        )
        return
    st.warning("Undo cannot bring it back. What is saved as a file stays.")
    st.button("Yes, forget it", type="primary", on_click=_forget, width="stretch")
    st.button("No, keep it", on_click=_spare, width="stretch")


def _ask_to_forget() -> None:
    st.session_state["forget now"] = True


def _spare() -> None:
    st.session_state["forget now"] = False


def open_file(where: str) -> None:
    """A place to drop a case file."""
    state = st.session_state
    number = state.setdefault("uploads", 0)
    st.file_uploader(
        f"Open a case file (JSON, at most {LARGEST_FILE} MB)",
        type=["json"],
        max_upload_size=LARGEST_FILE,
        key=f"upload|{where}|{number}",
        on_change=_opened,
        args=(where,),
    )


def say_refused() -> None:
    """Say why the file that was given last was not opened."""
    refused = session.refused("upload")
    if refused is None:
        return
    shown = refused.problems[:12]
    with st.container(key="refused"):
        st.error(
            plain(f"{refused.text} was not opened; the family here is as it was.")
            + "".join(f"\n\n- {plain(str(problem))}" for problem in shown),
            icon=":material/error:",
        )
        if len(refused.problems) > len(shown):
            st.caption(f"and {len(refused.problems) - len(shown)} more")


def choose_example(where: str) -> None:
    """The bundled examples, opened as soon as one is chosen."""
    titles = example_titles()
    if not titles:
        return
    key = f"example|{where}"
    session.keep_in_step(key, None)
    st.selectbox(
        "Open an example",
        list(titles),
        format_func=lambda name: titles[name],
        index=None,
        placeholder="Choose one",
        key=key,
        on_change=_open_example,
        args=(key,),
    )


def _open_example(key: str) -> None:
    name = st.session_state[key]
    if not name:
        return
    try:
        case = actions.example(name)
    except InputError as error:  # the file has gone or was changed since its title was read
        st.session_state.refused = {"upload": session.Refused(name, error.problems)}
        return
    session.replace_all(case, saved=True)
    done()


def _opened(where: str) -> None:
    state = st.session_state
    upload = state[f"upload|{where}|{state.uploads}"]
    if upload is None:
        return
    state.uploads += 1  # a new widget, so that the same file can be opened again
    # Folded up also where the file is refused: why stands below the title, not below the menu.
    done()
    try:
        case = read_unfinished(upload.getvalue())
    except InputError as error:
        state.refused = {"upload": session.Refused(upload.name, error.problems)}
        return
    session.replace_all(case, saved=True)


def _saved() -> None:
    st.session_state.saved = session.case()


def _anew() -> None:
    session.replace_all(Case(session.START, ()), saved=True)
    done()


def _forget() -> None:
    _spare()
    done()
    state = st.session_state
    state.keep = False
    session.not_fresh()
    state.history = [Case(session.START, ())]
    state.at = 0
    state.saved = state.history[0]
    state.refused = {}
    session.select(None)
    session.forget_settings()
    session.notice(
        "Forgotten: neither this page nor this browser holds the family any more. Another tab "
        "that is open with this app has its own, until that is forgotten there."
    )


def _keep() -> None:
    st.session_state.keep = True
