"""The app: its pages and what stands around each of them."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

import streamlit as st

from risk.screens import frame

#: Module of each page, its title, and the last part of its address.
PAGES = (
    ("family", "Family", ""),
    ("condition", "Condition", "condition"),
    ("answer", "Answer", "answer"),
    ("evidence", "Evidence", "evidence"),
    ("what_if", "What if", "what-if"),
    ("practice", "Practice", "practice"),
    ("crosses", "Crosses", "crosses"),
    ("report", "Report", "report"),
)

#: A square and a circle, joined; a symbol by name would be fetched from elsewhere.
_ICON = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32" width="32" height="32">'
    '<g fill="none" stroke="#1d5fa8" stroke-width="3"><path d="M12 16h8"/>'
    '<path fill="#1d5fa8" d="M3 11h9v10H3z"/><circle cx="25" cy="16" r="5"/></g></svg>'
)


def main() -> None:
    """Run the page that the browser asks for."""
    pages = [
        st.Page(_page(module), title=title, url_path=path, default=not path)
        for module, title, path in PAGES
    ]
    chosen = st.navigation(pages, position="top")
    wanted = st.session_state.pop("go to", None)
    for (module, _, _), page in zip(PAGES, pages, strict=True):
        if module == wanted and page != chosen:
            st.switch_page(page)
    title = f"{chosen.title} · Two-Thirds"
    st.set_page_config(page_title=title, page_icon=_ICON, layout="wide")
    frame.top(chosen.title)
    chosen.run()
    frame.bottom(chosen.title)


def _page(module: str) -> Callable[[], None]:
    """A function that draws one page, importing it only then."""

    def draw() -> None:
        import_module(f"risk.screens.{module}").page()

    draw.__name__ = module
    return draw
