"""The tabs of the page Crosses where the gene is on the X."""

from __future__ import annotations

from typing import Any

import streamlit as st

from risk import actions
from risk.document.blocks import Heading, Paragraph
from risk.document.crosses import cross_blocks, parent_blocks
from risk.screens import session
from risk.screens.crosses_choices import Choices
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

TRAITS = ("recessive", "dominant")
#: A choice cannot hold a raised letter, but there are signs that look like one.
_SIGNS = str.maketrans({"A": "ᴬ", "a": "ᵃ", "^": ""})
CHOICES = Choices(
    genotypes={"Mother": ("X^A X^A", "X^A X^a", "X^a X^a"), "Father": ("X^A Y", "X^a Y")},
    starts={
        "square": ("X^A X^a", "X^A Y"),
        "generations": ("X^A X^A", "X^a Y"),
        "offspring": ("X^A X^a", "X^A Y"),
        "counts": ("X^A X^a", "X^A Y"),
    },
    # Selfing is not among them: nobody with an X and a Y fertilises itself.
    schemes={
        "Their offspring only": None,
        "F2: F1 among themselves, and the reciprocal cross": "F2",
        "Back cross of the sons to the mother": "backcross:{mother}:{n}",
        "Back cross of the daughters to the father": "backcross:{father}:{n}",
        "Sib mating": "sibs:{n}",
    },
    of=" on X",
    shown=lambda genotype: genotype.translate(_SIGNS),
)


def choose_trait() -> None:
    """Ask which trait the condition is, for all tabs."""
    st.segmented_control(
        "The condition is",
        TRAITS,
        required=True,
        label_visibility="collapsed",
        format_func=lambda trait: f"X-linked {trait}",
        key=session.kept("trait on X", TRAITS[0]),
    )


def _crossed(mother: str, father: str, **follow: Any) -> Cross | None:
    """Cross, or say why not."""
    trait = st.session_state["trait on X"]
    return made(lambda: actions.cross(mother, father, affected=trait, **follow))


def _square_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("square")
        crossed = _crossed(mother, father)
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
        said = (
            "The mother passes on either of her two X with the same chance, the father his X or "
            "his Y: with his X the child is a daughter, with his Y a son."
        )
        if shown:
            row, column = divmod(shown - 1, 2)
            cell = square.cells[row][column]
            who = square.words[cell]
            said = (
                f"The egg carries {square.rows[row]}, the sperm {square.columns[column]}: the "
                f"child is {cell}, {'an' if who[0] in 'au' else 'a'} {who}, with chance 1/4."
            )
        show_parts([Paragraph(said)])


def _generations_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("generations")
        then = CHOICES.scheme("generations", mother, father, begin=1)
        crossed = _crossed(mother, father, then=then)
        if crossed is None:
            return
    with right:
        show_parts(from_heading(cross_blocks(crossed), "Offspring"))
        if crossed.plan and crossed.plan.scheme == "F2" and crossed.reciprocal is None:
            st.caption(
                "The reciprocal cross is shown where the mother is homozygous and the father has "
                "the other allele."
            )


def _offspring_tab() -> None:
    left, right = halves()
    with left:
        mother, father = CHOICES.parents("offspring")
        number, seed = offspring_fields()
        crossed = _crossed(mother, father, offspring=number, seed=seed)
    if crossed is None or crossed.simulation is None:
        return
    with right:
        curve(crossed.simulation, float(crossed.expected.phenotypes["dominant"]))
        show_parts(from_heading(cross_blocks(crossed), "Offspring"))


def _counts_tab() -> None:
    left, right = halves()
    with left:
        st.markdown("Do the counts that a class has scored fit the cross, for either sex?")
        mother, father = CHOICES.parents("counts")
        then = CHOICES.scheme("counts", mother, father)
        daughters = two_counts("counts of daughters", 98, 0, "daughters, ")
        sons = two_counts("counts of sons", 51, 47, "sons, ")
        crossed = _crossed(mother, father, then=then, observed=f"{daughters}:{sons}")
    with right:
        if crossed is not None:
            show_parts(last_part(cross_blocks(crossed)))


def _test_tab() -> None:
    left, right = halves()
    with left:
        counts = two_counts("test on X", 8, 0, "of those who tell, ")
        label = "Chance that she is heterozygous before the offspring are seen"
        prior = st.text_input(label, key=session.kept("prior on X", "1/2"))
        found = made(lambda: actions.infer_parent(counts, prior, on_x=True))
    if found is not None:
        before, table = around_table(parent_blocks(found))
        with left:
            no_test = Paragraph("A father needs no test: he shows the one allele he has.")
            show_parts([*before, no_test])
        with right:
            show_parts(table)


TABS = (_square_tab, _generations_tab, _offspring_tab, _counts_tab, _test_tab)
