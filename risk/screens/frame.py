"""What stands on every page: the caution, undo and redo, what was refused, the keeper."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import streamlit as st

from risk.caution import CAUTION, CAUTION_LONG
from risk.problems import InputError
from risk.screens import parts, problem_set, results, session
from risk.screens.plain import escape, plain, say
from risk.wording.phrases import capital, joined

#: The names by which the browser keeps things, and what they are.
_CASE, _SHEET, _VERSION = "case", "worksheet", "version"
_KEPT = {_CASE: "family", _SHEET: "worksheet", _VERSION: "version kept in What if"}

#: For a projector: what is not needed in a lecture takes little room or none.
_LARGE = """<style>
html { font-size: 24px; }
.stMainBlockContainer { padding-top: 2.9rem; max-width: none; padding-left: 2rem;
  padding-right: 2rem; }
.stMainBlockContainer [data-testid="stVerticalBlock"] { gap: 0.5rem; }
/* As much as the gap: by 1rem, as where the gap is that wide, headings would be covered. */
[data-testid="stVerticalBlock"] > .stElementContainer
  [data-testid="stMarkdownContainer"]:has(:is(h1, h2, h3)) { margin-bottom: -0.5rem; }
[data-testid="stAlertContainer"] { padding: 0.3rem 0.8rem; }
header.stAppHeader { height: 2.6rem; min-height: 2.6rem; font-size: 0.7rem; }
[data-testid="stLayoutWrapper"]:has(> .st-key-type) { height: 2.6rem; }
.tt-caution { font-size: 0.62rem; padding: 0.15rem 0.6rem; }
h2 { font-size: 1.2rem !important; padding: 0 0 0.2rem !important; }
.tt-doc h2 { margin: 0; }
.tt-doc table { margin-left: 0; }
.tt-doc :is(th, td) { padding: 0.08rem 0.5rem; }
.tt-now .figure { font-size: min(2.6rem, 11vw); }
h1 { font-size: 1.3rem !important; padding: 0 0 0.6rem !important; }
</style>"""


def top(page: str) -> None:
    """Draw what stands above every `page`."""
    session.open_session()
    session.begin(page)
    st.html(_style())
    key = session.kept("projector", False)
    if st.session_state[key]:
        st.html(_LARGE)
    with st.container(key="type"):
        st.toggle("Large type", key=key)
    # Together, so that what stands below keeps its place (and an open menu stays open) when the
    # notice goes.
    with st.container():
        st.html(f'<p class="tt-caution" role="note"><strong>{escape(CAUTION)}</strong></p>')
        if st.session_state.notice:
            st.info(plain(st.session_state.notice))
            st.session_state.notice = None


def title(text: str) -> None:
    """The title of a page; in large type the bar of pages says it, and room is dear."""
    if st.session_state.get("projector"):
        st.html(f'<h1 class="tt-visually-hidden">{escape(text)}</h1>')
    else:
        st.title(text, anchor=False)


def bottom(page: str) -> None:
    """Draw what stands below every `page`, and keep what is to outlive a reload."""
    st.html(f'<p class="tt-foot">{escape(CAUTION_LONG)}</p>')
    parts.menu(page, st.session_state.get("files done", 0))
    parts.wide()
    parts.typing()
    case = session.case()
    state = st.session_state
    version = session.kept_version()
    texts = {
        _CASE: results.written(case) if case.people else "",
        _SHEET: problem_set.written(),
        _VERSION: "" if version is None else results.written(version),
    }
    # What was emptied is kept empty; a page that never held any leaves what was kept alone.
    touched = {
        _CASE: len(state.history) > 1,
        _SHEET: problem_set.touched(),
        _VERSION: version is not None,
    }
    parts.keeper(
        texts,
        fresh=session.fresh() and not touched[_SHEET],
        keep=state.keep,
        emptied=[each for each in texts if touched[each] or not state.keep],
        unsaved=session.unsaved(),
        on_restore=_restored,
    )
    session.drawn(page)


@cache
def _style() -> str:
    return f"<style>{parts.file('page.css')}</style>"


def undo_buttons() -> None:
    """Undo and redo, with the keys everyone knows."""
    for key, label, keys, possible in (
        ("undo", "Undo", "Ctrl+Z", session.can_undo()),
        ("redo", "Redo", "Ctrl+Shift+Z", session.can_redo()),
    ):
        st.button(
            label,
            key=key,
            icon=f":material/{key}:",
            shortcut=keys,
            on_click=session.move,
            args=(session.STEPS[key],),
            disabled=not possible,
        )


def say_refused(field: str) -> None:
    """Say why the last edit at a field was not made, beside that field."""
    refused = session.refused(field)
    if refused is not None:
        for problem in refused.problems:
            say(problem)


def _restored(texts: Mapping[str, str]) -> None:
    from risk.case.read import read_unfinished

    if not session.fresh() or problem_set.touched():
        return
    session.not_fresh()
    said, back = [], []
    for name, take in (
        (_CASE, lambda text: session.bring_back(read_unfinished(text))),
        (_SHEET, problem_set.bring_back),
        (_VERSION, lambda text: session.keep_version(read_unfinished(text))),
    ):
        if not texts.get(name):
            continue
        try:
            take(texts[name])
        except InputError:
            said = ["What this browser had kept could not be read, so it was left alone."]
        else:
            back.append(f"the {_KEPT[name]}")
    if back:
        are, them = ("is", "it") if len(back) == 1 else ("are", "them")
        said.append(
            f"{capital(joined(back))} from your last visit {are} back: this browser had kept "
            f"{them}. On a shared computer choose File on the page Family, then Forget this family."
        )
    session.notice(" ".join(said))
