"""Rules for questions: which keys each needs, and whom it can be asked about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from risk.case.family import Family
from risk.case.model import QUESTION_KEYS, Question
from risk.number import Quantity
from risk.problems import Problem, did_you_mean, shown

_KEYS = tuple(field.name for field in fields(Question) if field.name != "ask")


def check_question(path: str, question: Question, family: Family) -> Iterator[Problem]:
    """Yield every problem of one question; `path` is its place in the file."""
    if question.ask not in QUESTION_KEYS:
        hint = did_you_mean(question.ask, QUESTION_KEYS)
        yield Problem(f"{path}.ask", f"no question {shown(question.ask)}{hint}")
        return
    yield from _keys(path, question)
    needed, _ = QUESTION_KEYS[question.ask]
    if question.person is not None and "person" in needed:
        yield from family.reference(f"{path}.person", question.person)
    if question.people is not None and "people" in needed:
        yield from family.two(f"{path}.people", question.people)
    if question.parents is not None and "parents" in needed:
        yield from family.two(f"{path}.parents", question.parents)
        if question.parents[0] != question.parents[1]:
            for index, id in enumerate(question.parents):
                yield from family.future_parent(f"{path}.parents[{index}]", id)
            yield from _mother_and_father(f"{path}.parents", question.parents, family)


def can_be_told(question: Question) -> bool:
    """Tell whether a question has the keys that make it one, whoever it asks about."""
    return question.ask in QUESTION_KEYS and not any(_keys("", question))


def _keys(path: str, question: Question) -> Iterator[Problem]:
    needed, optional = QUESTION_KEYS[question.ask]
    for key in _KEYS:
        given = getattr(question, key) is not None
        if key in needed and not given:
            yield Problem(f"{path}.{key}", f"a question {shown(question.ask)} needs this key")
        elif given and key not in needed and key not in optional:
            takes = ", ".join(needed + optional)
            yield Problem(
                f"{path}.{key}", f"a question {shown(question.ask)} takes no such key, but {takes}"
            )
    if question.ask == "children_affected":
        yield from _number_of_children(path, question)


def _number_of_children(path: str, question: Question) -> Iterator[Problem]:
    at_least, exactly, of = question.at_least, question.exactly, question.of
    if at_least is None and exactly is None:
        yield Problem(f"{path}.at_least", "either this key or exactly is needed")
    elif at_least is not None and exactly is not None:
        yield Problem(f"{path}.exactly", "not together with at_least; ask two questions instead")
    for key, number in (("at_least", at_least), ("exactly", exactly)):
        if of is not None and number is not None and number > of:
            yield Problem(
                f"{path}.{key}",
                f"{number} of {of} children is more than all of them; give at most {of}",
            )


def _mother_and_father(path: str, ids: tuple[str, str], family: Family) -> Iterator[Problem]:
    """One parent must be able to be the mother and the other the father."""
    first, second = (family.person(id) for id in ids)
    if first is None or second is None:
        return
    roles = family.role(first), family.role(second)
    if roles[0] is not None and roles[0] == roles[1]:
        what = "female" if roles[0] == "mother" else "male"
        if first.sex == "unknown" or second.sex == "unknown":
            what = f"{roles[0]}s elsewhere in the family"
        yield Problem(
            path, f"{shown(ids[0])} and {shown(ids[1])} are both {what}; give a father and a mother"
        )
    elif roles == (None, None) and _mutation_differs(family) and not family.case.condition.x_linked:
        yield Problem(
            path,
            "the mutation rates of mothers and fathers differ, so it matters who is which; give "
            f"the sex of {shown(ids[0])} or {shown(ids[1])}",
        )


def _mutation_differs(family: Family) -> bool:
    mutation = family.case.condition.mutation
    if mutation is None:
        return False
    rates = [
        rate.value if isinstance(rate, Quantity) else rate or 0
        for rate in (mutation.maternal, mutation.paternal)
    ]
    return bool(rates[0] != rates[1])
