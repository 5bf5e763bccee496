"""The pieces of the pages that need a little JavaScript: tree, keeper, menu, ladder ...

User text reaches them only as `data`; the scripts put it into the page as text or parse it as
XML, never as HTML.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from importlib.resources import files
from typing import Any

import streamlit as st

_TREE = """<div id='frame'><div id='tree'></div>
<button id='fit' type='button' hidden></button><div id='signs'></div></div>"""


def file(name: str) -> str:
    """The text of a file of this package."""
    return (files("risk.screens") / name).read_text(encoding="utf-8")


@cache
def _component(name: str, html: str, style: str | None = None) -> Callable[..., Any]:
    css = file(style) if style else None
    made: Callable[..., Any] = st.components.v2.component(
        f"twothirds_{name}", html=html, css=css, js=file(f"{name}.js")
    )
    return made


def family_tree(
    svg: str,
    *,
    key: str,
    signs: Sequence[tuple[str, str]] = (),
    selected: str | None = None,
    lit: Sequence[str] = (),
    wrong: Sequence[str] = (),
    scale: float = 1.0,
    on_pick: Callable[[str], None] | None = None,
) -> None:
    """Show a drawing; where there is `on_pick` people can be chosen, and it gets the id.

    `signs` is the key below it: drawings with their meaning, as many beside one another as there
    is room for.  `lit` people glow, `wrong` ones are marked as having a problem.
    """

    def picked() -> None:
        id = st.session_state[key].picked
        if id and on_pick is not None:
            on_pick(str(id))

    component = _component("family_tree", _TREE, "family_tree.css")
    data = {
        "svg": svg,
        "signs": [{"svg": sign, "words": words} for sign, words in signs],
        "selected": selected,
        "lit": [*lit],
        "wrong": [*wrong],
        "scale": scale,
        "pick": on_pick is not None,
    }
    component(key=key, data=data, on_picked_change=picked, height="content")


def picture(svg: str, *, key: str, scale: float = 1.0) -> None:
    """Show a drawing in which nobody can be chosen."""
    component = _component("family_tree", _TREE, "family_tree.css")
    component(key=key, data={"svg": svg, "scale": scale}, height="content")


def keeper(
    texts: Mapping[str, str],
    *,
    fresh: bool,
    keep: bool,
    emptied: Sequence[str],
    unsaved: bool,
    on_restore: Callable[[Mapping[str, str]], None],
) -> None:
    """Keep `texts` by name in the browser; a `fresh` session gets what an earlier one left there.

    An empty text leaves alone what was kept by its name, unless that is among those `emptied`.
    """

    def restored() -> None:
        kept = st.session_state["keeper"].restored
        if kept:
            on_restore({str(name): str(text) for name, text in dict(kept).items()})

    component = _component("keeper", "<span hidden></span>")
    data: Mapping[str, Any] = {
        "texts": {**texts},
        "fresh": fresh,
        "keep": keep,
        "emptied": [*emptied],
        "unsaved": unsaved,
    }
    component(key="keeper", data=data, on_restored_change=restored, height="content")


def menu(page: str, files_done: int) -> None:
    """Fold the list of pages away on a narrow page once `page` was chosen in it.

    The keyboard goes to the fold File whenever `files_done` has grown.
    """
    component = _component("menu", "<span hidden></span>")
    component(key="menu", data={"page": page, "filesDone": files_done}, height="content")


def wide() -> None:
    """Let tables without enough room be scrolled by keyboard, and seen to go on."""
    _component("wide", "<span hidden></span>")(key="wide", data={}, height="content")


def typing() -> None:
    """Give fields the keys of their own undo, and let what was typed arrive before a page goes."""
    _component("typing", "<span hidden></span>")(key="typing", data={}, height="content")


def ladder(rungs: Sequence[Mapping[str, Any]], *, key: str, caption: str, scale: str) -> None:
    """Show an evidence ladder; new rungs slide in and their bar moves from the one before.

    A rung has `key`, `kind` (known or asked), `text`, `exact`, `percent` and `width`, the
    length of its bar in percent of the full length, which `scale` names.  The `caption` tells
    those who hear the page what chance it is.
    """
    component = _component("ladder", "<div id='ladder'></div>", "ladder.css")
    data = {"rungs": [*rungs], "caption": caption, "scale": scale}
    component(key=key, data=data, height="content")


def steps(shown: int = 0) -> None:
    """Let the arrow keys press the buttons ``step back`` and ``step on`` beside a switch too.

    The last of the `shown` rows of the container ``working`` is brought into sight.
    """
    component = _component("steps", "<span hidden></span>")
    component(key="steps", data={"shown": shown}, height="content")


def news(texts: Sequence[str]) -> None:
    """Have a screen reader say, when it has time, which of `texts` are new or have changed."""
    component = _component("news", "<div id='news' aria-live='polite'></div>", "news.css")
    component(key="news", data={"texts": [*texts]}, height="content")
