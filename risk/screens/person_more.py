"""The fold of a person's panel with everything else that the case file can say of them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any, Literal

import streamlit as st

from risk.case import edit
from risk.case.kin import partners_of
from risk.case.model import Case, Person, Test, TestResult
from risk.case.schema import MOST_CHILDREN
from risk.case.values import LONGEST_ID, typed_whole
from risk.problems import Problem
from risk.screens import fields, session, words
from risk.screens.person_fields import PersonFields
from risk.screens.plain import plain, say


def draw(case: Case, own: PersonFields) -> None:
    """Draw the fields of the fold."""
    person, id = own.person, own.person.id
    own.text("Alias (never a real name)", "name", max_chars=80)
    fields.text(
        "Id",
        f"{id}|id",
        id,
        partial(_renamed, id=id),
        problems=own.at("id"),
        max_chars=LONGEST_ID,
    )
    own.choice("Genotype known for certain", "genotype", words.GENOTYPE, kind="list")
    _results(case, person, own.at("tests"))
    own.choice("Status", "status", words.STATUS, kind="list")
    own.text("Note beside the symbol", "note", area=True)
    fields.several(
        "Roles",
        f"{id}|roles",
        person.roles,
        words.ROLES,
        lambda case, value: edit.change_person(
            case, id, roles=tuple(r for r in words.ROLES if r in value)
        ),
    )
    own.choice("Gender, for the symbol", "gender", words.GENDER, kind="list")
    own.choice("Adopted", "adopted", words.ADOPTED, kind="list")
    fields.text(
        "Number of such siblings (one symbol)",
        f"{id}|count",
        str(person.count) if person.count else None,
        partial(_counted, id=id),
        problems=own.at("count"),
    )
    if person.founder:
        label = "Inbreeding coefficient, from relatives who are not drawn"
        own.number(label, "inbreeding")
    if person.twin is not None:
        _twin(person, own.at("twin"))
    _parents(case, person, [*own.at("father"), *own.at("mother")])
    for partner in partners_of(case, id):
        _couple(case, id, partner)


def _renamed(case: Case, value: str | None, *, id: str) -> Case:
    new = edit.rename(case, id, value or "")
    session.select(value)
    return new


def _counted(case: Case, value: str | None, *, id: str) -> Case:
    try:
        count = typed_whole(value, 2, MOST_CHILDREN) if value else None
    except ValueError as error:
        raise edit.refuse("count", f"{error}; empty it for one person") from None
    return edit.change_person(case, id, count=count)


def _results(case: Case, person: Person, problems: Sequence[Problem]) -> None:
    """The test results of a person, and adding one of a test that the condition has."""
    id = person.id
    for index, result in enumerate(person.tests):
        with st.container(horizontal=True, vertical_alignment="center"):
            st.markdown(plain(f"Test: {words.result_words(result)}"), width="content")
            st.button(
                "Remove",
                key=f"result|{id}|{index}",
                on_click=lambda index=index: session.act(
                    lambda: edit.remove_result(session.case(), id, index)
                ),
            )
    for problem in problems:
        say(problem)
    tests = case.condition.tests or ()
    if not tests:
        with st.container(horizontal=True, vertical_alignment="center"):
            st.caption("Test results need a test.", width="content")
            st.button("Add one on the page Condition", key=f"to tests|{id}", on_click=_to_tests)
        return
    offers = {words.result_words(result): result for test in tests for result in possible(test)}
    key = f"add result|{id}"
    session.keep_in_step(key, None)
    st.selectbox(
        "Add a test result",
        list(offers),
        index=None,
        placeholder="Choose test and result",
        key=key,
        on_change=_add_result,
        args=(id, key, offers),
        format_func=lambda text: str(text),
    )


def _to_tests() -> None:
    st.session_state["open tests"] = True
    session.go_to("condition")


def possible(test: Test) -> list[TestResult]:
    """Every result a test can have."""
    if test.detects is not None:
        return [TestResult(test.name, found=number) for number in (0, 1, 2)]
    if test.likelihood is not None:
        return [TestResult(test.name, result=each.result) for each in test.likelihood]
    return [TestResult(test.name, result=result) for result in ("negative", "positive")]


def _add_result(id: str, key: str, offers: dict[str, TestResult]) -> None:
    chosen = st.session_state[key]
    if chosen:
        session.attempt(lambda: edit.add_result(session.case(), id, offers[chosen]))


def _twin(person: Person, problems: Sequence[Problem]) -> None:
    id, twin = person.id, person.twin
    assert twin is not None
    fields.choice(
        "Twins",
        f"{id}|twin",
        twin.zygosity,
        words.ZYGOSITY,
        lambda case, value: edit.set_twins(case, id, value),
        problems=problems,
    )
    if twin.zygosity == "unknown":
        fields.number(
            "Chance that they are identical (without an entry 1/2)",
            f"{id}|twin chance",
            twin.monozygotic_chance,
            lambda case, value: edit.set_twins(case, id, "unknown", value),
        )
    st.button(
        "Not a twin", on_click=lambda: session.act(lambda: edit.part_twins(session.case(), id))
    )


def _parents(case: Case, person: Person, problems: Sequence[Problem]) -> None:
    """The two parents, chosen together from the couples of the family."""
    id = person.id
    pairs: dict[Any, str] = {None: "Not in the tree"}
    for one in case.people:
        for other in partners_of(case, one.id):
            mate = case.person(other)
            if one.sex != "female" and mate.sex != "male" and id not in (one.id, other):
                pairs[(one.id, other)] = f"{one.id} and {other}"
    now = None if person.founder else (person.father, person.mother)
    if now is not None:
        pairs.setdefault(now, f"{now[0]} and {now[1]}")

    def change(case: Case, value: tuple[str, str] | None) -> Case:
        father, mother = value or (None, None)
        return edit.set_parents(case, id, father, mother)

    fields.choice(
        "Genetic parents", f"{id}|parents", now, pairs, change, problems=problems, kind="list"
    )


CHILDLESS: dict[Literal["choice", "infertility"] | None, str] = {
    None: "Not said",
    "choice": "By choice",
    "infertility": "Infertility",
}


def _couple(case: Case, id: str, partner: str) -> None:
    """What is known about a couple beyond its children."""
    couple = edit.couple_between(case, id, partner)
    path = f"{id}+{partner}"

    def setter(field: str) -> fields.Change:
        return lambda case, value: edit.change_couple(case, id, partner, **{field: value})

    st.markdown(plain(f"With {partner}"))
    fields.choice(
        "Related to each other",
        f"{path}|consanguineous",
        couple.consanguineous,
        {None: "As drawn", True: "Yes", False: "No"},
        setter("consanguineous"),
    )
    fields.choice(
        "Separated",
        f"{path}|separated",
        couple.separated,
        {None: "Not said", True: "Yes", False: "No"},
        setter("separated"),
    )
    fields.choice(
        "Without children", f"{path}|childless", couple.childless, CHILDLESS, setter("childless")
    )
    if couple in case.couples:
        st.button(
            plain(f"Not a couple: {id} and {partner}"),
            on_click=lambda: session.act(lambda: edit.remove_couple(session.case(), id, partner)),
        )
