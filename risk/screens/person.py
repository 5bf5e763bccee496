"""The panel beside the tree: one person's facts, and growing the family from them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Any, Literal

import streamlit as st

from risk.case import edit
from risk.case.kin import partners_of
from risk.case.model import Case, Person, Question, Sex, Test, TestResult
from risk.problems import Problem
from risk.screens import fields, session, words
from risk.screens.frame import say_refused
from risk.screens.plain import plain


def panel(case: Case, id: str, problems: Sequence[Problem]) -> None:
    """Draw the panel of one person; `problems` are those of the whole case."""
    person = case.person(id)
    place = edit.place(case, id)
    mine = session.problems_at(problems, place)
    st.header(plain(words.title_of(person)), anchor=False)
    say_refused("")
    for problem in mine:
        if problem.path == place:
            st.error(plain(problem.message), icon=":material/error:")

    def at(field: str) -> list[Problem]:
        return session.problems_at(mine, f"{place}.{field}")

    fields.choice(
        "Phenotype",
        f"{id}|affected",
        person.affected,
        {False: "Unaffected", True: "Affected", None: "Not known"},
        _setter(id, "affected"),
        problems=at("affected"),
    )
    left, right = st.columns([3, 2])
    with left:
        fields.choice(
            "Sex at birth",
            f"{id}|sex",
            person.sex,
            words.SEX,
            _setter(id, "sex"),
            problems=at("sex"),
        )
    with right:
        fields.number(
            "Age in years", f"{id}|age", person.age, _setter(id, "age"), problems=at("age")
        )
    _grow(case, person)
    _ask(case, person)
    shown = ("", "affected", "sex", "age")
    hidden = any(words.place_of(case, problem)[1] not in shown for problem in mine)
    # What is folded away is not drawn: it would double the time of every edit.
    more = st.expander(
        plain(f"More about {id}"), expanded=hidden, key=f"more|{id}|{hidden}", on_change="rerun"
    )
    if more.open:
        with more:
            _more(case, person, at)
    _remove(case, id)


def _setter(id: str, field: str) -> fields.Change:
    def change(case: Case, value: Any) -> Case:
        return edit.change_person(case, id, **{field: value})

    return change


def _grow(case: Case, person: Person) -> None:
    """Buttons that add relatives; the new person is selected next."""
    id = person.id
    partners = partners_of(case, id)
    st.markdown(plain(f"Add to {id}"))
    with st.container(horizontal=True, gap="small", key="grow"):
        if person.founder:
            _button("Parents", partial(edit.add_parents, id=id))
        _button("Partner", partial(edit.add_partner, id=id))
        _button("Daughter", partial(_child, id=id, sex="female"))
        _button("Son", partial(_child, id=id, sex="male"))
        _button("Sister", partial(edit.add_siblings, id=id, sex="female"))
        _button("Brother", partial(edit.add_siblings, id=id, sex="male"))
        with st.popover("Twin"):
            add = partial(edit.add_twin, id=id)
            _button("Identical", partial(add, zygosity="monozygotic"))
            _button("Fraternal sister", partial(add, zygosity="dizygotic", sex="female"))
            _button("Fraternal brother", partial(add, zygosity="dizygotic", sex="male"))
            _button("Not known which", partial(add, zygosity="unknown"))
        with st.popover("Several"):
            _several(id)
    if len(partners) > 1:
        st.selectbox(
            "Children with", partners, key=f"with|{id}", format_func=lambda other: str(other)
        )
    others = [p.id for p in case.people if p.id != id and p.id not in partners and not p.count]
    if others:
        key = f"couple|{id}"
        session.keep_in_step(key, None)
        st.selectbox(
            "Partner from the family",
            others,
            index=None,
            placeholder="Choose someone already in the tree",
            key=key,
            on_change=_join,
            args=(id, key),
        )


def _button(label: str, change: Any) -> None:
    st.button(label, key=f"grow|{label}", on_click=_grown, args=(change,))


def _grown(change: Any) -> None:
    session.grow(lambda: change(session.case()))


def _child(case: Case, id: str, sex: Sex) -> edit.Grown:
    return edit.add_children(case, id, _chosen_partner(case, id), sex=sex)


def _chosen_partner(case: Case, id: str) -> str | None:
    partners = partners_of(case, id)
    if len(partners) < 2:
        return None
    chosen = st.session_state.get(f"with|{id}")
    return chosen if chosen in partners else partners[0]


def _join(id: str, key: str) -> None:
    other = st.session_state[key]
    if other:
        session.attempt(lambda: edit.add_couple(session.case(), id, other))


def _several(id: str) -> None:
    """Several alike people in one step ("three unaffected brothers")."""
    number = st.number_input("How many", 2, 30, 3, key=f"several|n|{id}")
    relation = st.segmented_control(
        "Who",
        ["Brothers", "Sisters", "Sons", "Daughters"],
        default="Brothers",
        required=True,
        key=f"several|who|{id}",
    )
    affected = st.segmented_control(
        "All of them",
        ["Unaffected", "Affected", "Not known"],
        default="Unaffected",
        required=True,
        key=f"several|affected|{id}",
    )
    alike = st.checkbox("Draw them as one symbol", value=True, key=f"several|alike|{id}")
    st.button(
        "Add them",
        type="primary",
        on_click=_add_several,
        args=(id, int(number), str(relation), str(affected), alike),
    )


def _add_several(id: str, number: int, relation: str, affected: str, alike: bool) -> None:
    sex: Sex = "male" if relation in ("Brothers", "Sons") else "female"
    state = {word: value for value, word in words.AFFECTED.items()}[affected]
    options: dict[str, Any] = {"sex": sex, "number": number, "alike": alike, "affected": state}
    if relation in ("Brothers", "Sisters"):
        session.grow(lambda: edit.add_siblings(session.case(), id, **options))
    else:
        session.grow(
            lambda: edit.add_children(
                session.case(), id, _chosen_partner(session.case(), id), **options
            )
        )


def _ask(case: Case, person: Person) -> None:
    """The questions that are asked most, one press each."""
    id = person.id
    st.markdown(plain(f"Ask about {id}"))
    with st.container(horizontal=True, gap="small", key="ask"):
        recessive = case.condition.recessive
        first = Question("carrier" if recessive else "disease_allele", person=id)
        _question("Carrier?" if recessive else "Disease allele?", first, case)
        _question("Ever affected?", Question("will_be_affected", person=id), case)
        _question("Genotype?", Question("genotype", person=id), case)
        for partner in partners_of(case, id):
            pair = (id, partner) if person.sex == "female" else (partner, id)
            _question(
                f"Next child with {partner} affected?",
                Question("child_affected", parents=pair),
                case,
            )


def _question(label: str, question: Question, case: Case) -> None:
    st.button(
        plain(label),
        key=f"ask|{label}",
        disabled=edit.asks(case, question),
        on_click=lambda: session.act(lambda: edit.add_question(session.case(), question)),
    )


def _more(case: Case, person: Person, at: Any) -> None:
    """Everything else that the case file can say of a person."""
    id = person.id
    fields.text(
        "Alias (never a real name)",
        f"{id}|name",
        person.name,
        _setter(id, "name"),
        problems=at("name"),
        max_chars=80,
    )
    fields.text(
        "Id", f"{id}|id", id, partial(_renamed, id=id), problems=at("id"), max_chars=edit.LONGEST_ID
    )
    fields.choice(
        "Genotype known for certain",
        f"{id}|genotype",
        person.genotype,
        words.GENOTYPE,
        _setter(id, "genotype"),
        problems=at("genotype"),
        kind="list",
    )
    _results(case, person, at("tests"))
    fields.choice(
        "Status",
        f"{id}|status",
        person.status,
        words.STATUS,
        _setter(id, "status"),
        problems=at("status"),
        kind="list",
    )
    fields.text(
        "Note beside the symbol",
        f"{id}|note",
        person.note,
        _setter(id, "note"),
        problems=at("note"),
        area=True,
    )
    fields.several(
        "Roles",
        f"{id}|roles",
        person.roles,
        words.ROLES,
        lambda case, value: edit.change_person(
            case, id, roles=tuple(r for r in words.ROLES if r in value)
        ),
    )
    fields.choice(
        "Gender, for the symbol",
        f"{id}|gender",
        person.gender,
        words.GENDER,
        _setter(id, "gender"),
        problems=at("gender"),
        kind="list",
    )
    fields.choice(
        "Adopted",
        f"{id}|adopted",
        person.adopted,
        words.ADOPTED,
        _setter(id, "adopted"),
        problems=at("adopted"),
        kind="list",
    )
    fields.text(
        "Number of such siblings (one symbol)",
        f"{id}|count",
        str(person.count) if person.count else None,
        partial(_counted, id=id),
        problems=at("count"),
    )
    if person.founder:
        fields.number(
            "Inbreeding coefficient, from relatives who are not drawn",
            f"{id}|inbreeding",
            person.inbreeding,
            _setter(id, "inbreeding"),
            problems=at("inbreeding"),
        )
    if person.twin is not None:
        _twin(person, at("twin"))
    _parents(case, person, [*at("father"), *at("mother")])
    for partner in partners_of(case, id):
        _couple(case, id, partner)


def _renamed(case: Case, value: str | None, *, id: str) -> Case:
    new = edit.rename(case, id, value or "")
    session.select(value)
    return new


def _counted(case: Case, value: str | None, *, id: str) -> Case:
    if value and not (value.isascii() and value.isdigit() and 2 <= int(value[:6]) <= 10_000):
        raise edit.refuse(
            "count", f"{value} is not a whole number from 2 on; empty it for one person"
        )
    return edit.change_person(case, id, count=int(value) if value else None)


def _results(case: Case, person: Person, problems: Sequence[Problem]) -> None:
    """The test results of a person, and adding one of a test that the condition has."""
    id = person.id
    for index, result in enumerate(person.tests):
        left, right = st.columns([4, 1], vertical_alignment="center")
        left.markdown(plain(f"Test: {words.result_words(result)}"))
        right.button(
            "Remove",
            key=f"result|{id}|{index}",
            on_click=lambda index=index: session.act(
                lambda: edit.remove_result(session.case(), id, index)
            ),
        )
    for problem in problems:
        st.error(plain(problem.message), icon=":material/error:")
    tests = case.condition.tests or ()
    if not tests:
        st.caption("Test results need a test: add one on the page Condition.")
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


def _remove(case: Case, id: str) -> None:
    gone = edit.removal(case, id)
    others = [other for other in gone if other != id]
    label = f"Remove {id}"
    if others:
        label += f" and with them {', '.join(others[:6])}" + (" ..." if len(others) > 6 else "")
    st.button(
        plain(label),
        icon=":material/delete:",
        type="tertiary",
        key="remove",
        on_click=lambda: session.act(lambda: edit.remove(session.case(), id)),
    )
