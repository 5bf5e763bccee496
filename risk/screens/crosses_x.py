"""The tabs of the page Crosses where the gene is on the X."""

from __future__ import annotations

from typing import Any

import streamlit as st

from risk import actions
from risk.document.blocks import Heading, Paragraph
from risk.document.crosses import parent_blocks
from risk.document.x_crosses import x_cross_blocks
from risk.screens import session
from risk.screens.crosses_parts import (
    SIDES,
    curve,
    fill_buttons,
    from_heading,
    last_part,
    made,
    offspring_fields,
    show_parts,
    square_html,
    two_counts,
)
from risk.teaching.xcrossing import XCross, dominant_share

GENOTYPES = {"Mother": ("X^A X^A", "X^A X^a", "X^a X^a"), "Father": ("X^A Y", "X^a Y")}
#: The parents that each tab begins with; what is chosen for the square goes to the others.
STARTS = {
    "square": ("X^A X^a", "X^A Y"),
    "generations": ("X^A X^A", "X^a Y"),
    "offspring": ("X^A X^a", "X^A Y"),
    "counts": ("X^A X^a", "X^A Y"),
}
#: Selfing is not among them: nobody with an X and a Y fertilises itself.
SCHEMES = {
    "Their offspring only": None,
    "F2: F1 among themselves, and the reciprocal cross": "F2",
    "Back cross of the sons to the mother": "backcross:{mother}:{n}",
    "Back cross of the daughters to the father": "backcross:{father}:{n}",
    "Sib mating": "sibs:{n}",
}
TRAITS = ("recessive", "dominant")
#: A choice cannot hold a raised letter, but there are signs that look like one.
_SIGNS = str.maketrans({"A": "ᴬ", "a": "ᵃ", "^": ""})


def _parents(where: str) -> tuple[str, str]:
    """The two parents of a tab, beginning as `STARTS` says until others are chosen."""
    chosen = []
    for side, column, start in zip(SIDES, st.columns(2), STARTS[where], strict=True):
        with column:
            genotype = st.segmented_control(
                side,
                GENOTYPES[side],
                required=True,
                format_func=lambda written: str(written).translate(_SIGNS),
                key=session.kept(_key(side, where), start),
                on_change=_carry if where == "square" else None,
            )
            chosen.append(str(genotype))
    return chosen[0], chosen[1]


def _key(side: str, where: str) -> str:
    return f"{side.lower()} on X|{where}"


def _carry() -> None:
    """Let the other tabs go on with the two parents of the square."""
    for side in SIDES:
        for where in STARTS:
            st.session_state[_key(side, where)] = st.session_state[_key(side, "square")]


def choose_trait() -> None:
    """Ask which trait the condition is, for all tabs."""
    st.segmented_control(
        "The condition is",
        TRAITS,
        required=True,
        format_func=lambda trait: f"X-linked {trait}",
        key=session.kept("trait on X", TRAITS[0]),
    )


def _crossed(mother: str, father: str, **follow: Any) -> XCross | None:
    """Cross, or say why not."""
    trait = st.session_state["trait on X"]
    return made(lambda: actions.cross_on_x(mother, father, affected=trait, **follow))


def _square_tab() -> None:
    mother, father = _parents("square")
    crossed = _crossed(mother, father)
    if crossed is None:
        return
    square = crossed.square
    shown = fill_buttons(square)
    st.html(square_html(square, shown))
    if shown == 4:
        show_parts([Heading("Proportions"), *x_cross_blocks(crossed)])
        return
    said = (
        "The mother passes on either of her two X with the same chance, the father his X or his "
        "Y: with his X the child is a daughter, with his Y a son."
    )
    if shown:
        row, column = divmod(shown - 1, 2)
        cell = square.cells[row][column]
        who = square.words[cell]
        said = (
            f"The egg carries {square.rows[row]}, the sperm {square.columns[column]}: the child "
            f"is {cell}, {'an' if who[0] in 'au' else 'a'} {who}, with chance 1/4."
        )
    show_parts([Paragraph(said)])


def _scheme(where: str, mother: str, father: str, begin: int = 0) -> str | None:
    left, right = st.columns([2, 1])
    with left:
        chosen = st.selectbox("And then", list(SCHEMES), key=f"then on X|{where}", index=begin)
    scheme = SCHEMES[str(chosen)]
    if scheme is None or "{n}" not in scheme:
        return scheme
    with right:
        n = st.number_input("For so many generations", 1, 50, 3, key=f"n on X|{where}")
    return scheme.format(mother=mother, father=father, n=int(n))


def _generations_tab() -> None:
    mother, father = _parents("generations")
    crossed = _crossed(mother, father, then=_scheme("generations", mother, father, begin=1))
    if crossed is None:
        return
    show_parts(from_heading(x_cross_blocks(crossed), "Offspring"))
    if crossed.plan and crossed.plan.scheme == "F2" and crossed.reciprocal is None:
        st.caption(
            "The reciprocal cross is shown where the mother is homozygous and the father has the "
            "other allele."
        )


def _offspring_tab() -> None:
    mother, father = _parents("offspring")
    number, seed = offspring_fields()
    crossed = _crossed(mother, father, offspring=number, seed=seed)
    if crossed is None or crossed.simulation is None:
        return
    curve(crossed.simulation, float(dominant_share(crossed.last_broods)))
    show_parts(from_heading(x_cross_blocks(crossed), "Offspring"))


def _counts_tab() -> None:
    st.markdown("Do the counts that a class has scored fit the cross, for either sex?")
    mother, father = _parents("counts")
    then = _scheme("counts", mother, father)
    daughters = two_counts("counts of daughters", 98, 0, "daughters, ")
    sons = two_counts("counts of sons", 51, 47, "sons, ")
    crossed = _crossed(mother, father, then=then, observed=f"{daughters}:{sons}")
    if crossed is not None:
        show_parts(last_part(x_cross_blocks(crossed)))


def _test_tab() -> None:
    show_parts(
        [
            Paragraph(
                "A mother that shows the dominant trait is X^A X^A or X^A X^a. Her sons tell "
                "which, whoever the father is, and with a father X^a Y her daughters, too. A "
                "father needs no test: he shows the one allele he has."
            )
        ]
    )
    counts = two_counts("test on X", 8, 0, "of those who tell, ")
    label = "Chance that she is heterozygous before the offspring are seen"
    prior = st.text_input(label, "1/2", key="prior on X")
    found = made(lambda: actions.infer_parent(counts, prior, on_x=True))
    if found is not None:
        show_parts(parent_blocks(found))


TABS = (_square_tab, _generations_tab, _offspring_tab, _counts_tab, _test_tab)
