"""The family as an editable table, for those who prefer typing, and the case's title."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import streamlit as st

from risk.case import table as rows
from risk.case.model import Case
from risk.case.values import LONGEST_ID
from risk.problems import InputError
from risk.screens import fields, frame, session

TABLE_ERROR = "table"


def table(case: Case) -> None:
    """Draw the title, the vignette and the table."""
    fields.text("Title", "title", case.title, lambda case, value: replace(case, title=value))
    fields.text(
        "What the family came to ask",
        "vignette",
        case.vignette,
        lambda case, value: replace(case, vignette=value),
        area=True,
    )
    if st.toggle("Edit the people as a table", key="edit as table"):
        _grid(case)
    st.button(
        "Renumber everyone (I-1, I-2, II-1 ...)",
        on_click=session.renumber,
    )


def _grid(case: Case) -> None:
    """The grid.  Its changes are told against the table it was given, so that table stays the
    same until the case is changed somewhere else."""
    import pandas as pd

    state = st.session_state
    if state.get("grid_case") is not case or state.get("grid_key") not in state:
        state.grid_base = state.grid_case = case
        state.grid_number = state.get("grid_number", 0) + 1
        state.grid_key = f"people|{state.grid_number}"
    base: Case = state.grid_base
    ids = [person.id for person in base.people]
    column = st.column_config
    st.data_editor(
        pd.DataFrame(rows.rows(base), columns=list(rows.COLUMNS)),
        key=state.grid_key,
        num_rows="dynamic",
        hide_index=True,
        on_change=_edited,
        placeholder="",
        alt="The people of the family, one a row",
        column_config={
            "id": column.TextColumn("Id", required=True, max_chars=LONGEST_ID),
            "name": column.TextColumn("Alias"),
            "sex": column.SelectboxColumn("Sex", options=list(rows.SEXES), default="unknown"),
            "father": column.SelectboxColumn("Father", options=ids),
            "mother": column.SelectboxColumn("Mother", options=ids),
            "affected": column.SelectboxColumn(
                "Phenotype", options=list(rows.AFFECTED), default="not known"
            ),
            "age": column.TextColumn("Age"),
            "genotype": column.SelectboxColumn("Genotype", options=[0, 1, 2]),
            "count": column.NumberColumn("Count", min_value=2, step=1),
            "status": column.SelectboxColumn(
                "Status", options=list(rows.STATUSES), default="alive"
            ),
            "note": column.TextColumn("Note"),
        },
    )
    frame.say_refused(TABLE_ERROR)
    st.caption("A new row counts as soon as it has an id. To delete rows, tick them at the left.")


def _edited() -> None:
    state = st.session_state
    delta: dict[str, Any] = state[state.grid_key]
    base: Case = state.grid_base
    try:
        new = rows.apply(base, delta)
    except InputError as error:
        state.refused = {TABLE_ERROR: session.Refused("", error.problems)}
        return
    session.commit_renamed(new, rows.new_ids(base, delta))
    if not rows.new_ids(base, delta) and rows.shows(base, delta, new):
        state.grid_case = new  # the grid keeps its place
