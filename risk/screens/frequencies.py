"""A chance as so many of a crowd: the report's own picture, with a sentence for this question."""

from __future__ import annotations

import streamlit as st

from risk.case.model import Case, Question
from risk.document.pictures import chance_picture, crowd
from risk.model.answers import Chance
from risk.render.svg import to_svg
from risk.screens import parts
from risk.screens.plain import plain
from risk.wording.chances import one_in
from risk.wording.questions import event_in_words


def show_crowd(chance: Chance, question: Question, case: Case) -> None:
    """Draw the crowd, or say that none of a size to be drawn would show the chance."""
    found, figure = crowd(chance), chance_picture(chance)
    event = event_in_words(question, case)
    sentence = f"In {_how_many(chance, found)} families with the same facts {event}."
    st.markdown(f"**{plain(sentence)}**")
    if found is None and figure is not None:
        st.caption(f"{figure.caption}.")
    if figure is None:
        st.caption("No picture that could be drawn here would show one.")
        return
    svg = to_svg(figure.scene, prefix="crowd", standalone=False)
    parts.picture(svg, key="crowd", scale=1.4)


def _how_many(chance: Chance, found: tuple[int, int, bool] | None) -> str:
    """Say of how many, before ``families``: of the crowd that was `found` to be drawn."""
    number = chance.value if chance.exact is None else chance.exact
    if number in (0, 1):
        return "all" if number else "no"
    if found is None:
        return one_in(number).replace(" in ", " of ")
    some, everyone, about = found
    return f"{'about ' if about else ''}{some:,} of {everyone:,}"
