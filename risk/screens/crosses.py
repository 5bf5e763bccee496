"""The page Crosses: the square step by step, later generations, offspring, the test cross."""

from __future__ import annotations

from typing import Any

import streamlit as st

from risk import actions
from risk.document.blocks import Heading, Paragraph
from risk.document.crosses import cross_blocks, parent_blocks
from risk.screens import frame, session
from risk.screens.crosses_choices import PLACES, Place
from risk.screens.crosses_parts import (
    around_table,
    conclusion_first,
    curve,
    fill_buttons,
    from_heading,
    halves,
    last_part,
    made,
    offspring_fields,
    show_parts,
    square_html,
    two_counts,
)
from risk.teaching.crossing import Cross
from risk.teaching.gene import PHENOTYPES

TRAITS = PHENOTYPES[::-1]


def page() -> None:
    """Draw the page."""
    frame.title("Crosses")
    left, right = st.columns(2)
    with left:
        where = st.segmented_control(
            "The gene is",
            list(PLACES),
            required=True,
            label_visibility="collapsed",
            key=session.kept("place of the gene", next(iter(PLACES))),
        )
    place = PLACES[str(where)]
    if place.on_x:
        with right:
            _choose_trait()
    kept = session.kept("crosses tab", "The square")
    tabs = st.tabs(list(TABS), key=kept, on_change="rerun", bind="query-params")
    for tab, draw in zip(tabs, TABS.values(), strict=True):
        with tab:
            draw(place)


def _choose_trait() -> None:
    """Ask which trait the condition on the X is, for all tabs."""
    st.segmented_control(
        "The condition is",
        TRAITS,
        required=True,
        label_visibility="collapsed",
        format_func=lambda trait: f"X-linked {trait}",
        key=session.kept("trait on X", TRAITS[0]),
    )


def _crossed(place: Place, mother: str, father: str, **follow: Any) -> Cross | None:
    """Cross, or say why not."""
    if place.on_x:
        follow["affected"] = st.session_state["trait on X"]
    return made(lambda: actions.cross(mother, father, **follow))


def _square_tab(place: Place) -> None:
    left, right = halves()
    with left:
        crossed = _crossed(place, *place.parents("square"))
        if crossed is None:
            return
        square = crossed.square
        shown = fill_buttons(square)
    with right:
        st.html(square_html(square, shown))
    with left:
        if shown == 4:
            show_parts([Heading("Proportions"), *cross_blocks(crossed)])
            return
        said = place.passes
        if shown:
            row, column = divmod(shown - 1, 2)
            cell = square.cells[row][column]
            who = square.words[cell]
            child = f"{cell}, {'an' if who[0] in 'au' else 'a'} {who}" if place.on_x else cell
            said = (
                f"The egg carries {square.rows[row]}, the sperm {square.columns[column]}: "
                f"the child is {child}, with chance 1/4."
            )
        show_parts([Paragraph(said)])


def _generations_tab(place: Place) -> None:
    left, right = halves()
    with left:
        mother, father = place.parents("generations")
        then = place.scheme("generations", mother, father, begin=1)
        crossed = _crossed(place, mother, father, then=then)
    if crossed is None:
        return
    with right:
        show_parts(from_heading(cross_blocks(crossed), "Offspring"))
        if place.on_x and then == "F2" and crossed.reciprocal is None:
            st.caption(
                "The reciprocal cross is shown where the mother is homozygous and the father has "
                "the other allele."
            )


def _offspring_tab(place: Place) -> None:
    left, right = halves()
    with left:
        mother, father = place.parents("offspring")
        number, seed = offspring_fields()
        crossed = _crossed(place, mother, father, offspring=number, seed=seed)
    if crossed is None or crossed.simulation is None:
        return
    with right:
        curve(crossed.simulation, float(crossed.expected.phenotypes["dominant"]))
        show_parts(from_heading(cross_blocks(crossed), "Offspring"))


def _counts_tab(place: Place) -> None:
    left, right = halves()
    with left:
        st.markdown(place.fit)
        mother, father = place.parents("counts")
        then = place.scheme("counts", mother, father)
        counts = ":".join(two_counts(*fields) for fields in place.counts)
    with right:  # beside the fields: below them a low page would end before what is refused
        crossed = _crossed(place, mother, father, then=then, observed=counts)
        if crossed is not None:
            show_parts(conclusion_first(last_part(cross_blocks(crossed))))


def _test_tab(place: Place) -> None:
    left, right = halves()
    with left:
        if place.tested:
            st.markdown(place.tested)
        counts = two_counts(f"test{place.of}", 8, 0)
        prior = st.text_input(place.prior, key=session.kept(f"prior{place.of}", "1/2"))
        found = made(lambda: actions.infer_parent(counts, prior, on_x=place.on_x))
    if found is not None:
        before, table = around_table(parent_blocks(found))
        with left:
            show_parts([*before, *([Paragraph(place.untested)] if place.untested else [])])
        with right:
            show_parts(table)


TABS = {
    "The square": _square_tab,
    "Generations": _generations_tab,
    "Offspring": _offspring_tab,
    "Counts": _counts_tab,
    "Test cross": _test_tab,
}
