"""The folded parts of the page Condition: penetrance, onset, mutation, viability and so on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any, Literal

import streamlit as st

from risk.case.edit_condition import change_condition
from risk.case.model import (
    ByAlleles,
    BySex,
    Case,
    Condition,
    Mosaicism,
    Mutation,
    OnsetPoint,
    Variant,
)
from risk.case.values import typed_years
from risk.number import Quantity, quantity
from risk.problems import InputError, Problem
from risk.screens import fields, session, words
from risk.screens.plain import plain

Field = Literal["penetrance", "viability"]


def folds(case: Case, problems: Sequence[Problem]) -> None:
    """Draw one fold for each part; a part that is set, or has a problem, says so."""
    condition = case.condition
    parts: list[tuple[str, str, Any, Callable[[Case, Sequence[Problem]], None]]] = [
        ("Penetrance", "penetrance", condition.penetrance, _penetrance),
        ("Age at onset", "onset", condition.onset, _onset),
        ("New mutation", "mutation", condition.mutation, _mutation),
        ("Variant classes", "variants", condition.variants, _variants),
        ("Viability", "viability", condition.viability, _viability),
        ("Germline mosaicism", "germline_mosaicism", condition.germline_mosaicism, _mosaicism),
    ]
    for label, field, value, draw in parts:
        wrong = session.problems_at(problems, f"condition.{field}")
        told = f"{label} · set" if value is not None else label
        with st.expander(told, expanded=bool(wrong), key=f"fold|{field}|{bool(wrong)}"):
            draw(case, wrong)


# --- tables by number of alleles -------------------------------------------------------------


def _penetrance(case: Case, problems: Sequence[Problem]) -> None:
    st.caption("The lifetime chance of being affected, by number of disease alleles.")
    zero, one = quantity("0"), quantity("1")
    recessive, x_linked = case.condition.recessive, case.condition.x_linked
    female = ByAlleles(zero, zero if recessive else one, one)
    full = ByAlleles(zero, one, one) if x_linked else female
    _table_choice(case, "penetrance", "Full, as the inheritance says", full, female, problems)


def _viability(case: Case, problems: Sequence[Problem]) -> None:
    st.caption("The chance that a conceptus is born alive, by number of disease alleles.")
    one = ByAlleles(quantity("1"), quantity("1"), quantity("1"))
    _table_choice(case, "viability", "1 for everyone", one, one, problems)


def _table_choice(
    case: Case,
    field: Field,
    default: str,
    table: ByAlleles,
    female: ByAlleles,
    problems: Sequence[Problem],
) -> None:
    value: ByAlleles | BySex | None = getattr(case.condition, field)
    kind = {type(None): "default", ByAlleles: "one", BySex: "sex"}[type(value)]
    male = replace(table, two=None) if case.condition.x_linked else table

    def choose(case: Case, kind: str) -> Case:
        new = {"default": None, "one": table, "sex": BySex(female, male)}[kind]
        return change_condition(case, **{field: new})

    options = {"default": default, "one": "One table", "sex": "By sex"}
    fields.choice("Table", f"{field}|kind", kind, options, choose)
    if isinstance(value, BySex):
        for sex in ("female", "male"):
            st.markdown(f"**{sex.capitalize()}s**")
            _numbers(field, sex, getattr(value, sex))
    elif value is not None:
        _numbers(field, "", value)
    for problem in problems:
        st.error(plain(words.placed(case, problem)), icon=":material/error:")


def _numbers(field: Field, sex: str, table: ByAlleles) -> None:
    names = (("zero", "No allele"), ("one", "One"), ("two", "Two"))
    for column, (name, label) in zip(st.columns(3), names, strict=True):
        value = getattr(table, name)
        if value is not None:
            with column:
                fields.number(label, f"{field}|{sex}|{name}", value, _entry(field, sex, name))


def _entry(field: Field, sex: str, name: str) -> fields.Change:
    def change(case: Case, value: Quantity | None) -> Case:
        if value is None:
            raise InputError([Problem(field, "a number is needed here, like 0.8")])
        table = getattr(case.condition, field)
        if sex:
            return change_condition(
                case,
                **{field: replace(table, **{sex: replace(getattr(table, sex), **{name: value})})},
            )
        return change_condition(case, **{field: replace(table, **{name: value})})

    return change


# --- lists written as lines ------------------------------------------------------------------


def pairs(text: str, path: str) -> list[tuple[str, str]]:
    """Read lines of ``left: right``; the first colon separates."""
    found = []
    for line in text.replace("\t", " ").splitlines():
        if line.strip():
            left, colon, right = line.partition(":")
            if not colon or not left.strip() or not right.strip():
                message = f"{line.strip()[:40]!r} is not of the form: this, a colon, that"
                raise InputError([Problem(path, message)])
            found.append((left.strip(), right.strip()))
    return found


def _onset(case: Case, problems: Sequence[Problem]) -> None:
    st.caption(
        "Of those who will ever be affected, the share already affected by an age: one line for "
        "each age, like 30: 5%. It starts at 0 at age 0, and is linear in between. Every "
        "unaffected person then needs an age."
    )
    onset = case.condition.onset
    text = "\n".join(f"{point.age}: {point.cumulative}" for point in onset or ()) or None
    fields.text(
        "Age: share",
        "onset",
        text,
        _read_onset,
        problems=problems,
        area=True,
        placeholder="0: 0\n30: 5%\n70: 1",
    )
    if onset:
        _plot(case.condition)


def _read_onset(case: Case, typed: str | None) -> Case:
    points = []
    for age, share in pairs(typed or "", "condition.onset"):
        points.append(
            OnsetPoint(
                fields.read_quantity(age, "condition.onset", typed_years),
                fields.read_quantity(share, "condition.onset"),
            )
        )
    if points and points[0].age.value != 0:
        points.insert(0, OnsetPoint(typed_years("0"), quantity("0")))
    return change_condition(case, onset=tuple(points) or None)


def _plot(condition: Condition) -> None:
    import altair as alt
    import pandas as pd

    onset = condition.onset or ()
    points = [(float(p.age.value), float(p.cumulative.value)) for p in onset]
    frame = pd.DataFrame(points, columns=["Age", "Affected by then"])
    chart = (
        alt.Chart(frame)
        .mark_line(point=True)
        .encode(
            x=alt.X("Age", title="Age in years", scale=alt.Scale(zero=True)),
            y=alt.Y("Affected by then", axis=alt.Axis(format="%"), scale=alt.Scale(domain=[0, 1])),
        )
        .properties(height=200)
    )
    said = "; ".join(f"{p.cumulative} by {p.age}" for p in onset)
    st.altair_chart(chart, alt=f"Onset curve: {said}")


def _variants(case: Case, problems: Sequence[Problem]) -> None:
    st.caption(
        "Classes of disease allele and their shares, which add to 1: one line for each, like "
        "common: 70%. Tests can then detect some classes and not others."
    )
    variants = case.condition.variants
    text = "\n".join(f"{variant.name}: {variant.share}" for variant in variants or ()) or None
    fields.text(
        "Class: share",
        "variants",
        text,
        _read_variants,
        problems=problems,
        area=True,
        placeholder="common: 70%\nother: 30%",
    )


def _read_variants(case: Case, typed: str | None) -> Case:
    found = tuple(
        Variant(name, fields.read_quantity(share, "condition.variants"))
        for name, share in pairs(typed or "", "condition.variants")
    )
    return change_condition(case, variants=found or None)


# --- a few numbers ---------------------------------------------------------------------------


def _mutation(case: Case, problems: Sequence[Problem]) -> None:
    st.caption("New mutations per gamete, from the normal to the disease allele.")
    mutation = case.condition.mutation
    kind = "none"
    if mutation is not None:
        kind = "rare" if "rare" in (mutation.maternal, mutation.paternal) else "rates"

    def choose(case: Case, kind: str) -> Case:
        zero = quantity("0")
        new = {"none": None, "rates": Mutation(zero, zero), "rare": Mutation("rare", "rare")}[kind]
        return change_condition(case, mutation=new)

    options = {"none": "None", "rates": "Rates", "rare": "Rare, as a limit"}
    fields.choice("New mutation", "mutation|kind", kind, options, choose)
    if mutation is not None and kind == "rates":
        for column, field, label in zip(
            st.columns(2), ("maternal", "paternal"), ("In eggs", "In sperm"), strict=True
        ):
            value = getattr(mutation, field)
            with column:
                fields.number(label, f"mutation|{field}", value, _rate(field))
    for problem in problems:
        st.error(plain(words.placed(case, problem)), icon=":material/error:")


def _rate(field: str) -> fields.Change:
    def change(case: Case, value: Quantity | None) -> Case:
        old = case.condition.mutation or Mutation()
        return change_condition(case, mutation=replace(old, **{field: value or quantity("0")}))

    return change


def _mosaicism(case: Case, problems: Sequence[Problem]) -> None:
    st.caption(
        "A founder without the disease allele may carry it in a share of eggs or sperm only, "
        "and is never affected by it."
    )
    mosaic = case.condition.germline_mosaicism

    def choose(case: Case, on: bool) -> Case:
        new = Mosaicism(quantity("0"), quantity("1/2")) if on else None
        return change_condition(case, germline_mosaicism=new)

    fields.tick("Consider germline mosaicism", "mosaicism|on", mosaic is not None, choose)
    if mosaic is not None:
        left, right = st.columns(2)
        with left:
            fields.number(
                "Chance that a founder is a mosaic",
                "mosaicism|prior",
                mosaic.prior,
                _mosaic_entry("prior"),
            )
        with right:
            fields.number(
                "Share of their gametes",
                "mosaicism|gametes",
                mosaic.gametes,
                _mosaic_entry("gametes"),
            )
    for problem in problems:
        st.error(plain(words.placed(case, problem)), icon=":material/error:")


def _mosaic_entry(field: str) -> fields.Change:
    def change(case: Case, value: Quantity | None) -> Case:
        old = case.condition.germline_mosaicism or Mosaicism(quantity("0"), quantity("1/2"))
        new = replace(old, **{field: value or quantity("0")})
        return change_condition(case, germline_mosaicism=new)

    return change
