"""The page Crosses: the square step by step, later generations, offspring, the test cross."""

from __future__ import annotations

from typing import Any

import streamlit as st

from risk import actions
from risk.document.blocks import Heading, Paragraph
from risk.document.crosses import cross_blocks, parent_blocks
from risk.screens import crosses_x, frame, session
from risk.screens.crosses_choices import SIDES, Choices
from risk.screens.crosses_parts import (
    around_table,
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

PLACES = ("On an autosome", "On the X")
CHOICES = Choices(
    genotypes=dict.fromkeys(SIDES, ("AA", "Aa", "aa")),
    starts={
        "square": ("Aa", "Aa"),
        "generations": ("AA", "aa"),
        "offspring": ("Aa", "Aa"),
        "counts": ("Aa", "Aa"),
    },
    schemes={
        "Their offspring only": None,
        "F2: F1 among themselves": "F2",
        "Back cross to the mother": "backcross:{mother}:{n}",
        "Back cross to the father": "backcross:{father}:{n}",
        "Selfing": "selfing:{n}",
        "Sib mating": "sibs:{n}",
    },
)


def page() -> None:
    """Draw the page."""
    frame.title("Crosses")
    left, right = st.columns(2)
    with left:
        where = st.segmented_control(
            "The gene is",
            PLACES,
            required=True,
            label_visibility="collapsed",
            key=session.kept("place of the gene", PLACES[0]),
        )
    tabs = AUTOSOMAL
    if where != PLACES[0]:
        tabs = crosses_x.TABS
        with right:
            crosses_x.choose_trait()
    kept = session.kept("crosses tab", "The square")
    names = ["The square", "Generations", "Offspring", "Counts", "Test cross"]
    for tab, draw in zip(st.tabs(names, key=kept, on_change="rerun"), tabs, strict=True):
        with tab:
            draw()


# --- the square ------------------------------------------------------------------------------


def _square_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("square")
        square = actions.cross(mother, father).square
        shown = fill_buttons(square)
    with right:
        st.html(square_html(square, shown))
    with left:
        if shown == 4:
            show_parts([Heading("Proportions"), *cross_blocks(Cross(square))])
            return
        said = "Each parent passes on one of its two alleles, either with the same chance."
        if shown:
            row, column = divmod(shown - 1, 2)
            said = (
                f"The egg carries {square.rows[row]}, the sperm {square.columns[column]}: "
                f"the child is {square.cells[row][column]}, with chance 1/4."
            )
        show_parts([Paragraph(said)])


# --- later generations -----------------------------------------------------------------------


def _generations_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("generations")
        then = CHOICES.scheme("generations", mother, father, begin=1)
        crossed = _crossed(mother, father, then=then)
    with right:
        if crossed is not None:
            show_parts(from_heading(cross_blocks(crossed), "Offspring"))


def _crossed(mother: str, father: str, **follow: Any) -> Cross | None:
    """Cross, or say why not."""
    return made(lambda: actions.cross(mother, father, **follow))


# --- offspring -------------------------------------------------------------------------------


def _offspring_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("offspring")
        number, seed = offspring_fields()
        crossed = _crossed(mother, father, offspring=number, seed=seed)
    if crossed is None or crossed.simulation is None:
        return
    with right:
        curve(crossed.simulation, float(crossed.square.phenotypes["dominant"]))
        show_parts(from_heading(cross_blocks(crossed), "Offspring"))


# --- counts and test cross -------------------------------------------------------------------


def _counts_tab() -> None:
    left, right = halves()
    with left:
        st.markdown("Do the counts that a class has scored fit the cross?")
        mother, father = CHOICES.parents("counts")
        then = CHOICES.scheme("counts", mother, father)
        counts = two_counts("counts", 305, 95)
        crossed = _crossed(mother, father, then=then, observed=counts)
    with right:
        if crossed is not None:
            show_parts(last_part(cross_blocks(crossed)))


def _test_tab() -> None:
    left, right = halves()
    with left:
        counts = two_counts("test", 8, 0)
        label = "Chance of Aa before the offspring are seen"
        prior = st.text_input(label, key=session.kept("prior", "1/2"))
        found = made(lambda: actions.infer_parent(counts, prior))
    if found is not None:
        before, table = around_table(parent_blocks(found))
        with left:
            show_parts(before)
        with right:
            show_parts(table)


AUTOSOMAL = (_square_tab, _generations_tab, _offspring_tab, _counts_tab, _test_tab)
