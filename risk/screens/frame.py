"""What stands on every page: the caution, undo and redo, what was refused, the keeper."""

from __future__ import annotations

import streamlit as st

from risk.caution import CAUTION, CAUTION_LONG
from risk.problems import InputError
from risk.screens import parts, session
from risk.screens.plain import escape, plain

_STYLE = """<style>
.tt-caution { border-left: 0.35rem solid #d97706; padding: 0.45rem 0.8rem; margin: 0;
  background: rgba(217, 119, 6, 0.12); border-radius: 0.25rem; font-size: 0.95rem; }
.tt-foot { border-top: 1px solid rgba(128, 128, 128, 0.5); margin-top: 2rem; padding-top: 0.6rem;
  font-size: 0.9rem; }
.stMainBlockContainer { padding-top: 4.2rem; padding-bottom: 2rem; max-width: 82rem; }
h1 { padding-top: 0.2rem !important; padding-bottom: 0.3rem !important; }
h2 { font-size: 1.4rem !important; padding: 0.5rem 0 0.3rem !important; }
h3 { font-size: 1.15rem !important; padding: 0.4rem 0 0.2rem !important; }
[data-testid="stCaptionContainer"] { opacity: 1; color: inherit; }
[data-testid="stCaptionContainer"] p { color: inherit; opacity: 0.86; }
.tt-doc { overflow-x: auto; }
.tt-doc p { margin: 0.35rem 0; }
.tt-doc .marker { font-weight: 700; margin-right: 0.6rem; }
.tt-doc .indent { margin-left: 1.6rem; }
.tt-doc .answer { font-weight: 600; font-size: 1.05rem; }
.tt-doc .note { opacity: 0.86; font-size: 0.93rem; }
.tt-doc table { border-collapse: collapse; margin: 0.3rem 0 0.8rem 1.6rem; width: auto; }
.tt-doc th, .tt-doc td { border: 0; padding: 0.18rem 0.7rem; vertical-align: baseline; }
.tt-doc thead th { border-bottom: 1px solid currentColor; font-weight: 600; }
.tt-doc tbody th { font-weight: 400; text-align: left; }
.tt-doc tr.sum > * { border-top: 1px solid currentColor; }
.tt-doc tr.result > * { font-weight: 700; }
.tt-doc .right { text-align: right; font-variant-numeric: tabular-nums; }
.tt-doc .center { text-align: center; }
.tt-answer { margin: 0.2rem 0 0.7rem 0; }
.tt-answer .figure { font-size: 1.9rem; font-weight: 700; margin-right: 0.9rem; }
.tt-answer .other { font-size: 1.15rem; margin-right: 0.9rem; white-space: nowrap; }
.tt-now .figure { font-size: 3.4rem; line-height: 1.1; }
.tt-now .other { font-size: 1.5rem; }
.tt-picture svg { max-width: 100%; height: auto; }
.tt-square { border-collapse: collapse; margin: 0.6rem 0; font-size: 1.6rem; width: auto; }
.tt-square caption { font-size: 0.95rem; text-align: left; padding-bottom: 0.4rem; color: inherit; }
.tt-square th { padding: 0.4rem 1rem; font-weight: 600; border: 0; }
.tt-square thead td { border: 0; }
.tt-square tbody td { border: 1px solid currentColor; width: 6rem; height: 4.2rem;
  text-align: center; }
.tt-square td.recessive { background: rgba(217, 119, 6, 0.22); }
.tt-square td.new { outline: 3px solid #2f7fd0; outline-offset: -3px; }
.tt-visually-hidden { position: absolute; width: 1px; height: 1px; overflow: hidden;
  clip-path: inset(50%); white-space: nowrap; }
@media print { header, .stButton, [data-testid="stFileUploader"] { display: none !important; } }
</style>"""
_LARGE = "<style>html { font-size: 24px; }</style>"


def top() -> None:
    """Draw what stands above every page."""
    session.open_session()
    st.html(_STYLE)
    if st.session_state.get("projector"):
        st.html(_LARGE)
    counsellor = "Questions about a real family belong with a licensed genetic counsellor."
    st.html(
        f'<p class="tt-caution" role="note"><strong>{escape(CAUTION)}</strong> {counsellor}</p>'
    )
    if st.session_state.notice:
        st.info(plain(st.session_state.notice))
        st.session_state.notice = None


def bottom() -> None:
    """Draw what stands below every page, and keep the case in the browser."""
    from risk.case.write import write_case

    st.html(f'<p class="tt-foot">{escape(CAUTION_LONG)}</p>')
    case = session.case()
    state = st.session_state
    parts.keeper(
        write_case(case) if case.people else "",
        keep=state.keep,
        forget=not state.keep,
        unsaved=session.unsaved(),
        on_restore=_restored,
    )


def undo_buttons() -> None:
    """Undo and redo, with the keys everyone knows."""
    st.button(
        "Undo",
        icon=":material/undo:",
        shortcut="Ctrl+Z",
        on_click=session.move,
        args=(-1,),
        disabled=not session.can_undo(),
    )
    st.button(
        "Redo",
        icon=":material/redo:",
        shortcut="Ctrl+Shift+Z",
        on_click=session.move,
        args=(1,),
        disabled=not session.can_redo(),
    )


def say_refused(field: str) -> None:
    """Say why the last edit at a field was not made, beside that field."""
    refused = session.refused(field)
    if refused is not None:
        for problem in refused.problems:
            st.error(plain(problem.message), icon=":material/error:")


def _restored(text: str) -> None:
    from risk import actions

    if session.case().people:
        return
    try:
        case = actions.load(text)
    except InputError:
        session.notice("What this browser had kept could not be read, so it was left alone.")
        return
    session.commit(case)
    session.notice(
        "The family from your last visit is back: this browser had kept it. On a shared "
        "computer choose File, then Forget this family."
    )
