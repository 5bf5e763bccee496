"""The page Crosses: the square step by step, later generations, offspring, the test cross."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from risk import actions
from risk.document.blocks import Block, Caution, Heading
from risk.document.crosses import cross_blocks, parent_blocks
from risk.problems import RiskError
from risk.screens import session
from risk.screens.page_blocks import show_blocks
from risk.screens.plain import escape, plain
from risk.teaching.counts import Simulation
from risk.teaching.cross import Square
from risk.teaching.crossing import Cross

GENOTYPES = ("AA", "Aa", "aa")
SIDES = ("Mother", "Father")
#: The parents that each tab begins with; what is chosen for the square goes to the others.
STARTS = {
    "square": ("Aa", "Aa"),
    "generations": ("AA", "aa"),
    "offspring": ("Aa", "Aa"),
    "counts": ("Aa", "Aa"),
}
#: A run that stays in the band all the way, as most do, for the first look.
FIRST_SEED = 1
SCHEMES = {
    "Their offspring only": None,
    "F2: F1 among themselves": "F2",
    "Back cross to the mother": "backcross:{mother}:{n}",
    "Back cross to the father": "backcross:{father}:{n}",
    "Selfing": "selfing:{n}",
    "Sib mating": "sibs:{n}",
}


def page() -> None:
    """Draw the page."""
    st.title("Crosses", anchor=False)
    square, generations, drawn, counted, test = st.tabs(
        ["The square", "Generations", "Offspring", "Counts", "Test cross"]
    )
    with square:
        _square_tab()
    with generations:
        _generations_tab()
    with drawn:
        _offspring_tab()
    with counted:
        _counts_tab()
    with test:
        _test_tab()


def _parents(where: str) -> tuple[str, str]:
    """The two parents of a tab, beginning as `STARTS` says until others are chosen."""
    chosen = []
    for side, column, start in zip(SIDES, st.columns(2), STARTS[where], strict=True):
        with column:
            genotype = st.segmented_control(
                side,
                GENOTYPES,
                required=True,
                key=session.kept(_key(side, where), start),
                on_change=_carry if where == "square" else None,
            )
            chosen.append(str(genotype))
    return chosen[0], chosen[1]


def _key(side: str, where: str) -> str:
    return f"{side.lower()}|{where}"


def _carry() -> None:
    """Let the other tabs go on with the two parents of the square."""
    for side in SIDES:
        for where in STARTS:
            st.session_state[_key(side, where)] = st.session_state[_key(side, "square")]


def _show(blocks: list[Block]) -> None:
    """Blocks without the caution, which stands on the page already; headings all of one level."""
    show_blocks(
        [
            replace(block, level=1) if isinstance(block, Heading) else block
            for block in blocks
            if not isinstance(block, Caution)
        ]
    )


def _from_heading(blocks: list[Block], title: str) -> list[Block]:
    """The blocks from the first heading on, or all of them under a heading `title`."""
    for i, block in enumerate(blocks):
        if isinstance(block, Heading):
            return blocks[i:]
    return [Heading(title), *blocks]


# --- the square ------------------------------------------------------------------------------


def _square_tab() -> None:
    mother, father = _parents("square")
    square = actions.cross(mother, father).square
    state = st.session_state
    if state.get("square of") != (mother, father):
        state["square of"], state["cells shown"] = (mother, father), 0
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
    st.html(_square_html(square, shown))
    if shown == 4:
        _show([Heading("Proportions"), *cross_blocks(Cross(square))])
    else:
        said = "Each parent passes on one of its two alleles, either with the same chance."
        if shown:
            row, column = divmod(shown - 1, 2)
            said = (
                f"The egg carries {square.rows[row]}, the sperm {square.columns[column]}: "
                f"the child is {square.cells[row][column]}, with chance 1/4."
            )
        st.markdown(plain(said))


def _cells(steps: int) -> None:
    state = st.session_state
    state["cells shown"] = min(max(int(state["cells shown"]) + steps, 0), 4)


def _square_html(square: Square, shown: int) -> str:
    head = "".join(f'<th scope="col">{escape(gamete)}</th>' for gamete in square.columns)
    rows = []
    for row, gamete in enumerate(square.rows):
        cells = ""
        for column, cell in enumerate(square.cells[row]):
            number = row * 2 + column
            kind = "new" if number == shown - 1 else ""
            kind += " recessive" if number < shown and cell.islower() else ""
            cells += f'<td class="{kind}">{escape(cell) if number < shown else "&nbsp;"}</td>'
        rows.append(f'<tr><th scope="row">{escape(gamete)}</th>{cells}</tr>')
    return (
        '<table class="tt-square"><caption>Eggs down the rows, sperm along the columns</caption>'
        f"<thead><tr><td></td>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table>"
    )


# --- later generations -----------------------------------------------------------------------


def _scheme(where: str, mother: str, father: str, begin: int = 0) -> str | None:
    left, right = st.columns([2, 1])
    with left:
        chosen = st.selectbox("And then", list(SCHEMES), key=f"then|{where}", index=begin)
    scheme = SCHEMES[str(chosen)]
    if scheme is None or "{n}" not in scheme:
        return scheme
    with right:
        n = st.number_input("For so many generations", 1, 50, 3, key=f"n|{where}")
    return scheme.format(mother=mother, father=father, n=int(n))


def _generations_tab() -> None:
    mother, father = _parents("generations")
    then = _scheme("generations", mother, father, begin=1)
    crossed = _crossed(mother, father, then=then)
    if crossed is not None:
        _show(_from_heading(cross_blocks(crossed), "Offspring"))


def _crossed(mother: str, father: str, **options: object) -> Cross | None:
    """Cross, or say why not."""
    try:
        return actions.cross(mother, father, **options)  # type: ignore[arg-type]
    except RiskError as error:
        for problem in error.problems:
            st.error(plain(problem.message), icon=":material/error:")
        return None


# --- offspring -------------------------------------------------------------------------------


def _offspring_tab() -> None:
    mother, father = _parents("offspring")
    left, right = st.columns(2)
    with left:
        number = st.select_slider(
            "Offspring", [10, 20, 40, 80, 160, 400, 1000, 4000], value=160, key="offspring"
        )
    with right:
        seed = st.number_input(
            "Seed (another one, other offspring)", 0, 10**6, FIRST_SEED, key="seed"
        )
    crossed = _crossed(mother, father, offspring=int(number), seed=int(seed))
    if crossed is None or crossed.simulation is None:
        return
    _curve(crossed.simulation, float(crossed.square.phenotypes["dominant"]))
    _show(_from_heading(cross_blocks(crossed), "Offspring"))


def _curve(drawn: Simulation, expected: float) -> None:
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
    share = alt.Axis(format="%", title="Share that shows the dominant trait")
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
        "Line: the offspring born so far. Dashes: the expected share. Band: at each "
        "number of offspring by itself, chance alone keeps at least 95 of 100 such crosses inside."
    )


# --- counts and test cross -------------------------------------------------------------------


def _counts_tab() -> None:
    st.markdown("Do the counts that a class has scored fit the cross?")
    mother, father = _parents("counts")
    then = _scheme("counts", mother, father)
    counts = _two_counts("counts", 305, 95)
    crossed = _crossed(mother, father, then=then, observed=counts)
    if crossed is not None:
        blocks = cross_blocks(crossed)
        last = max((i for i, block in enumerate(blocks) if isinstance(block, Heading)), default=0)
        _show(blocks[last:])


def _two_counts(where: str, dominant: int, recessive: int) -> str:
    left, right = st.columns(2)
    with left:
        first = st.number_input("Dominant", 0, 1_000_000, dominant, key=f"dominant|{where}")
    with right:
        second = st.number_input("Recessive", 0, 1_000_000, recessive, key=f"recessive|{where}")
    return f"{int(first)}:{int(second)}"


def _test_tab() -> None:
    st.markdown(
        "A parent that shows the dominant trait is AA or Aa. Its offspring with a homozygous "
        "recessive partner tell which."
    )
    counts = _two_counts("test", 8, 0)
    prior = st.text_input("Chance of Aa before the offspring are seen", "1/2", key="prior")
    try:
        found = actions.infer_parent(counts, prior)
    except RiskError as error:
        for problem in error.problems:
            st.error(plain(problem.message), icon=":material/error:")
        return
    _show(parent_blocks(found))
