"""A chance as so many of a crowd: the report's own picture, with a sentence for this question."""

from __future__ import annotations

import streamlit as st

from risk.case.model import Question
from risk.document.pictures import chance_picture, crowd
from risk.model.answers import Chance
from risk.render.svg import to_svg
from risk.screens import parts
from risk.wording.chances import one_in


def who(question: Question) -> str:
    """Whom the figures of the crowd stand for."""
    if question.person is not None:
        return "people in this place"
    if question.people is not None:
        return "couples like this"
    if question.ask == "children_affected":
        return "families like this"
    return "next children of such couples"


def show_crowd(chance: Chance, question: Question) -> None:
    """Draw the crowd, or say that none of a size to be drawn would show the chance."""
    found, figure = crowd(chance), chance_picture(chance)
    if found is None:
        share = one_in(chance.value if chance.exact is None else chance.exact)
        st.markdown(f"**{share[:1].upper()}{share[1:]} of {who(question)}.**")
        if figure is not None:
            st.caption(f"{figure.caption}.")
    else:
        some, everyone, about = found
        st.markdown(f"**Of {everyone:,} {who(question)}, {'about ' if about else ''}{some:,}.**")
    if figure is None:
        st.caption("No picture that could be drawn here would show one.")
        return
    svg = to_svg(figure.scene, prefix="crowd", standalone=False)
    parts.picture(svg, key="crowd", scale=1.4)
