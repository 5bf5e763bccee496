"""What the tabs of the page Crosses share, wherever the gene is."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

import streamlit as st
from streamlit.delta_generator import DeltaGenerator

from risk.document.blocks import Block, Caution, Heading, Paragraph, Table
from risk.problems import RiskError
from risk.render.html import blocks_to_html
from risk.screens import session
from risk.screens.plain import escape, say
from risk.teaching.counts import Simulation
from risk.teaching.cross import Square

#: A run that stays in the band all the way, as most do, for the first look.
FIRST_SEED = 1

_Made = TypeVar("_Made")


def halves() -> tuple[DeltaGenerator, DeltaGenerator]:
    """The two halves of a tab: what is chosen, and beside it, in sight, what comes of it."""
    return st.columns(2, gap="medium")


def raised(html: str) -> str:
    """The same HTML with alleles raised, ``X^a`` as X and a small a above; genotypes stay whole."""
    html = re.sub(r"\bX\^[A-Za-z] (X\^[A-Za-z]|Y)\b", r'<span class="tt-id">\g<0></span>', html)
    return re.sub(r"\bX\^([A-Za-z])\b", r"X<sup>\1</sup>", html)


def show_parts(blocks: list[Block]) -> None:
    """Blocks without the caution, which stands on the page already; headings all of one level."""
    shown = [
        replace(block, level=1) if isinstance(block, Heading) else block
        for block in blocks
        if not isinstance(block, Caution)
    ]
    st.html(f'<div class="tt-doc">{raised(blocks_to_html(shown))}</div>')


def from_heading(blocks: list[Block], title: str) -> list[Block]:
    """The blocks from the first heading on, or all of them under a heading `title`."""
    for i, block in enumerate(blocks):
        if isinstance(block, Heading):
            return blocks[i:]
    return [Heading(title), *blocks]


def around_table(blocks: list[Block]) -> tuple[list[Block], list[Block]]:
    """What is said before the first table; its heading with the table and what follows."""
    first = next(i for i, block in enumerate(blocks) if isinstance(block, Table))
    return blocks[1:first], [blocks[0], *blocks[first:]]


def last_part(blocks: list[Block]) -> list[Block]:
    """The blocks from the last heading on."""
    last = max((i for i, block in enumerate(blocks) if isinstance(block, Heading)), default=0)
    return blocks[last:]


def conclusion_first(blocks: list[Block]) -> list[Block]:
    """The heading, what is concluded, and then what it follows from: low pages end with that."""
    for i, block in enumerate(blocks):
        if isinstance(block, Paragraph) and block.style == "answer":
            return [blocks[0], *blocks[i:], *blocks[1:i]]
    return blocks


def made(make: Callable[[], _Made]) -> _Made | None:
    """What `make` returns, or nothing and why not."""
    try:
        return make()
    except RiskError as error:
        for problem in error.problems:
            say(problem)
        return None


def two_counts(where: str, dominant: int, recessive: int, of: str = "") -> str:
    """Two fields for what was counted, as ``305:95``; `of` says of whom."""
    counts = []
    for column, kind, value in zip(
        st.columns(2), ("dominant", "recessive"), (dominant, recessive), strict=True
    ):
        with column:
            label = f"{of}{kind}".capitalize()
            key = session.kept(f"{kind}|{where}", value)
            counts.append(st.number_input(label, 0, 1_000_000, key=key))
    return ":".join(str(int(count)) for count in counts)


def offspring_fields() -> tuple[int, int]:
    """How many offspring to draw, and the seed."""
    left, right = st.columns(2)
    with left:
        number = st.select_slider(
            "Offspring",
            [10, 20, 40, 80, 160, 400, 1000, 4000],
            key=session.kept("offspring", 160),
        )
    with right:
        seed = st.number_input(
            "Seed (another one, other offspring)", 0, 10**6, key=session.kept("seed", FIRST_SEED)
        )
    return int(number), int(seed)


def fill_buttons(square: Square) -> int:
    """The buttons that fill the square cell by cell; returns how many cells are shown."""
    state = st.session_state
    if state.get("square of") != (square.mother, square.father):
        state["square of"], state["cells shown"] = (square.mother, square.father), 0
    shown = int(state["cells shown"])
    with st.container(horizontal=True):
        st.button("Clear", key="square clear", disabled=shown == 0, on_click=_cells, args=(-4,))
        st.button("One back", key="square back", disabled=shown == 0, on_click=_cells, args=(-1,))
        st.button(
            "Fill the next cell",
            key="square next",
            type="primary",
            disabled=shown == 4,
            on_click=_cells,
            args=(1,),
        )
        st.button("Fill all", key="square all", disabled=shown == 4, on_click=_cells, args=(4,))
    return shown


def _cells(steps: int) -> None:
    state = st.session_state
    state["cells shown"] = min(max(int(state["cells shown"]) + steps, 0), 4)


def square_html(square: Square, shown: int) -> str:
    """The square with so many of its cells filled; on the X a cell also says who that is."""
    head = "".join(f'<th scope="col">{escape(gamete)}</th>' for gamete in square.columns)
    rows = []
    for row, gamete in enumerate(square.rows):
        cells = ""
        for column, cell in enumerate(square.cells[row]):
            number = row * 2 + column
            kind = "new" if number == shown - 1 else ""
            kind += " recessive" if number < shown and square.is_affected(cell) else ""
            inside = _cell(square, cell) if number < shown else "&nbsp;"
            cells += f'<td class="{kind}">{inside}</td>'
        rows.append(f'<tr><th scope="row">{escape(gamete)}</th>{cells}</tr>')
    return raised(
        '<table class="tt-square"><caption>Eggs down the rows, sperm along the columns</caption>'
        f"<thead><tr><td></td>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table>"
    )


def _cell(square: Square, genotype: str) -> str:
    if not square.by_sex:
        return escape(genotype)
    return f'{escape(genotype)}<span class="who">{escape(square.words[genotype])}</span>'


def curve(drawn: Simulation, expected: float) -> None:
    """The share of dominant offspring as they are born, inside the band of chance."""
    import altair as alt
    import pandas as pd

    frame = pd.DataFrame(
        [
            (point.offspring, float(point.dominant), float(point.low), float(point.high), expected)
            for point in drawn.running
        ],
        columns=["offspring", "dominant", "low", "high", "expected"],
    )
    x = alt.X("offspring", title="Offspring so far")
    share = alt.Axis(format="%", title="Dominant")
    band = (
        alt.Chart(frame)
        .mark_area(opacity=0.25)
        .encode(x=x, y=alt.Y("low", axis=share, scale=alt.Scale(domain=[0, 1])), y2="high")
    )
    line = alt.Chart(frame).mark_line(strokeWidth=2.5).encode(x=x, y="dominant")
    rule = alt.Chart(frame).mark_line(strokeDash=[6, 4], color="#d97706").encode(x=x, y="expected")
    last = drawn.running[-1]
    st.altair_chart(
        (band + rule + line).properties(height=280),
        alt=f"After {last.offspring} offspring {float(last.dominant):.1%} show the dominant trait; "
        f"expected {expected:.0%}.",
    )
    st.caption(
        "Line: the share of the offspring born so far that shows the dominant trait. Dashes: the "
        "expected share. Band: at each number of offspring by itself, chance alone keeps at least "
        "95 of 100 such crosses inside."
    )
