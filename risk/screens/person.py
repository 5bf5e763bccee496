"""The panel beside the tree: one person's facts, and growing the family from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

import streamlit as st

from risk.case import edit, edit_remove
from risk.case.edit_parents import anything_known, parents_gone
from risk.case.kin import children_of, partners_of
from risk.case.model import Case, Person, Question, Sex
from risk.case.numbering import generation_of
from risk.case.values import typed_years
from risk.problems import Problem
from risk.screens import person_more, session, words
from risk.screens.frame import say_refused
from risk.screens.person_fields import PersonFields
from risk.screens.plain import plain, say
from risk.wording.phrases import joined, plural

#: What may be said of people as they are added.
_NEW = {"Not known": None, "Unaffected": False, "Affected": True}


def panel(case: Case, id: str, problems: Sequence[Problem], kin: str) -> None:
    """Draw the panel of one person with `kin` in words; `problems` are those of the whole case."""
    person = case.person(id)
    place = edit.place(case, id)
    mine = session.problems_at(problems, place)
    st.header(plain(words.title_of(person)), anchor=False)
    say_refused("")
    for problem in mine:
        if problem.path == place:
            say(problem)

    own = PersonFields(person, place, tuple(mine))
    phenotypes = {False: "Unaffected", True: "Affected", None: "Not known"}
    own.choice("Phenotype", "affected", phenotypes)
    left, right = st.columns([3, 2])
    below = st.container()
    with left:
        own.choice("Sex at birth", "sex", words.SEX)
    with right:
        own.number("Age in years", "age", read=typed_years, below=below)
    _grow(case, person, kin)
    _ask(case, person)
    shown = ("", "affected", "sex", "age")
    hidden = any(words.place_of(case, problem)[1] not in shown for problem in mine)
    # What is folded away is not drawn: it would double the time of every edit.
    more = st.expander(
        plain(f"More about {id}"), expanded=hidden, key=f"more|{id}|{hidden}", on_change="rerun"
    )
    if more.open:
        with more:
            person_more.draw(case, own)
    _remove(case, id)


def relatives(case: Case, id: str, added: Sequence[str]) -> str:
    """Who has just been added or came along, and how many relatives a person has now."""
    person = case.person(id)
    parents = {person.father, person.mother} - {None}
    siblings = [p for p in case.people if p.id != id and parents & {p.father, p.mother}]
    numbers = (
        (len(parents), "parent", "parents"),
        (_number(siblings), "sibling", "siblings"),
        (len(partners_of(case, id)), "partner", "partners"),
        (_number(children_of(case, id)), "child", "children"),
    )
    near = [plural(number, one, many) for number, one, many in numbers if number]
    said = f"{id} has {joined(near) or 'nobody in the tree yet'}."
    if not added:
        return said
    # Whoever came along, parents or a partner, is of another generation than those asked for.
    level = generation_of(case, added[0])
    asked = [each for each in added if generation_of(case, each) == level]
    along = [each for each in added if each not in asked]
    who = joined(asked) if len(asked) < 4 else f"{asked[0]} to {asked[-1]}"
    arrived = f"{who} {'is' if len(asked) == 1 else 'are'} added"
    if along:
        them = along[0] if len(along) == 1 else "each of them"
        arrived += (
            f", and with that {joined(along)}. Whether {joined(along)} "
            f"{'is' if len(along) == 1 else 'are'} affected is open: "
            f"select {them} in the tree to say it"
        )
    return f"{arrived}. {said}"


def _number(people: Sequence[Person]) -> int:
    return sum(person.count or 1 for person in people)


def _grow(case: Case, person: Person, kin: str) -> None:
    """Buttons that add relatives.

    Whoever they are added to stays selected, and the buttons stay where they are: one more is one
    more press, and after a partner their children.  What is known of the new people is said
    beforehand, once for many.
    """
    id = person.id
    partners = partners_of(case, id)
    st.markdown(plain(f"Add to {id}"))
    why = None
    if person.count is not None:
        why = f"{id} stands for {person.count} people; a partner, a child or a twin needs one."
        st.caption(plain(why))
    st.segmented_control(
        "New people are",
        [*_NEW],
        required=True,
        key=session.kept(session.NEW_PEOPLE, next(iter(_NEW))),
        help="What is known of everybody whom the buttons below add. Whoever they are added to "
        "stays selected, so one more is one more press.",
    )
    with st.container(horizontal=True, gap="small", key="grow"):
        if person.founder:
            _button("Parents", partial(edit.add_parents, id=id))
        _button("Partner", partial(edit.add_partner, id=id), why=why, then=f"with|{id}")
        _button("Daughter", partial(_child, id=id, sex="female"), why=why)
        _button("Son", partial(_child, id=id, sex="male"), why=why)
        _button("Sister", partial(edit.add_siblings, id=id, sex="female"))
        _button("Brother", partial(edit.add_siblings, id=id, sex="male"))
    # A fold and no popover: from one that closes, the keyboard is sent back to the top of the page.
    further = st.expander("A twin, or several at once", key="further", on_change="rerun")
    if further.open:
        with further:
            _twins(id, why)
            _several(id)
    # On a phone the tree is out of sight.  Always there, so that what follows keeps its place.
    st.markdown(plain(kin))
    if len(partners) > 1:
        st.selectbox(
            "Children with",
            partners,
            index=len(partners) - 1,
            key=f"with|{id}",
            format_func=lambda other: words.title_of(case.person(other)),
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
            format_func=lambda other: words.title_of(case.person(other)),
            key=key,
            on_change=_join,
            args=(id, key),
        )


def _button(label: str, change: Any, why: str | None = None, then: str | None = None) -> None:
    """A button that adds people, or a grey one where `why` says that it cannot.

    The widget with the key `then` gets the id of the one who was added.
    """
    key = f"grow|{label}"
    st.button(label, key=key, disabled=bool(why), on_click=_grown, args=(change, then))


def _grown(change: Any, then: str | None) -> None:
    affected = _NEW[st.session_state[session.NEW_PEOPLE]]

    def changed(case: Case) -> edit.Grown:
        case, added = change(case)
        for id in added:
            case = edit.change_person(case, id, affected=affected)
        return case, added

    added = _grow_by(changed)
    if then and added:
        st.session_state[then] = added[0]


def _grow_by(change: Callable[[Case], edit.Grown]) -> tuple[str, ...]:
    """Add people; returns their ids, and after them those of whoever had to come along."""

    def grown() -> edit.Grown:
        before = session.case()
        case, asked = change(before)
        here = {*asked, *(person.id for person in before.people)}
        return case, (*asked, *(person.id for person in case.people if person.id not in here))

    return session.grow(grown)


def _child(case: Case, id: str, sex: Sex) -> edit.Grown:
    return edit.add_children(case, id, _chosen_partner(case, id), sex=sex)


def _chosen_partner(case: Case, id: str) -> str | None:
    partners = partners_of(case, id)
    if len(partners) < 2:
        return None
    chosen = st.session_state.get(f"with|{id}")
    return chosen if chosen in partners else partners[-1]


def _join(id: str, key: str) -> None:
    other = st.session_state[key]
    if other:
        session.attempt(lambda: edit.add_couple(session.case(), id, other))


def _twins(id: str, why: str | None) -> None:
    """A twin, of the kind that is known."""
    st.markdown(plain(f"A twin of {id}"))
    add = partial(edit.add_twin, id=id)
    with st.container(horizontal=True, gap="small", key="twins"):
        _button("Identical", partial(add, zygosity="monozygotic"), why=why)
        _button("Fraternal sister", partial(add, zygosity="dizygotic", sex="female"), why=why)
        _button("Fraternal brother", partial(add, zygosity="dizygotic", sex="male"), why=why)
        _button("Not known which", partial(add, zygosity="unknown"), why=why)


def _several(id: str) -> None:
    """Several alike people in one step ("three unaffected brothers")."""
    st.markdown("Several people alike")
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
        _grow_by(lambda case: edit.add_siblings(case, id, **options))
    else:
        _grow_by(lambda case: edit.add_children(case, id, _chosen_partner(case, id), **options))


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
            child = Question("child_affected", parents=pair)
            _question(f"Next child with {partner} affected?", child, case)
            if case.condition.x_linked:  # there the two sexes differ
                _question(f"Next son with {partner} affected?", replace(child, sex="male"), case)


def _question(label: str, question: Question, case: Case) -> None:
    """A button that asks, with a tick once it has.

    It is not disabled then and has its help at all times, since the keyboard would lose its place.
    """
    asked = edit.asks(case, question)
    st.button(
        plain(label),
        key=f"ask|{label}",
        icon=":material/check:" if asked else None,
        help=f"{'Asked' if asked else 'Ask'}: the answer stands below the tree.",
        on_click=_ask_once,
        args=(question,),
    )


def _ask_once(question: Question) -> None:
    if not edit.asks(session.case(), question):
        session.act(lambda: edit.add_question(session.case(), question))


def _remove(case: Case, id: str) -> None:
    person = case.person(id)
    if not person.founder and person.twin is None and person.count is None:
        _remove_parents(case, id)
    gone = edit_remove.removal(case, id)
    others = [other for other in gone if other != id]
    label = f"Remove {id}"
    if others:
        label += f" and with them {', '.join(others[:6])}" + (" ..." if len(others) > 6 else "")
    st.button(
        plain(label),
        icon=":material/delete:",
        type="tertiary",
        key="remove",
        on_click=_removed,
        args=(id, gone),
    )


def _removed(id: str, gone: Sequence[str]) -> None:
    asked = len(session.case().questions)
    if session.attempt(lambda: edit_remove.remove(session.case(), id)):
        verb = "are" if len(gone) > 1 else "is"
        said = f"{joined(gone)} {verb} removed"
        dropped = asked - len(session.case().questions)
        if dropped:
            said += f", and with that {plural(dropped, 'question', 'questions')}"
        session.notice(f"{said}. Undo brings all back.")


def _remove_parents(case: Case, id: str) -> None:
    """Take a person's parents off: they leave the family where nobody else there needs them."""
    person = case.person(id)
    parents = (str(person.father), str(person.mother))
    gone = parents_gone(case, id)
    label = f"Not the child of {' and '.join(parents)}"
    if gone:
        label = f"Remove only the parents of {id}: {' and '.join(gone)}"
        if anything_known(case, gone):
            label += ", with what is said and asked of them"
    st.button(
        plain(label),
        icon=":material/link_off:",
        type="tertiary",
        key="remove parents",
        on_click=session.take_parents_off,
        args=(id,),
    )
