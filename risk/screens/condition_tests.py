"""The fold of the page Condition in which tests are made and changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import streamlit as st

from risk.case.edit_condition import change_condition, remove_test, rename_test
from risk.case.model import ByAlleles, Case, ResultLikelihood, Test
from risk.case.values import likelihood
from risk.number import Quantity
from risk.problems import InputError, Problem
from risk.screens import fields, frame, session, words
from risk.screens.condition_more import pairs
from risk.screens.plain import plain

KINDS = {
    "rates": "Positive or negative, with sensitivity and specificity",
    "detects": "Finds the alleles of some variant classes, without error",
    "likelihood": "Any result, with its chance for each number of alleles",
}

#: The specificity of a new test where none is typed: problems rarely give one.
_NO_FALSE_POSITIVES = "1"
#: Said of a test without results.
_NOBODY = (
    "Nobody has a result of it yet. Give one on the page Family: select a person, then under "
    "More about them *Add a test result*."
)


def fold(case: Case, problems: Sequence[Problem]) -> None:
    """Draw the tests of the condition, each with its fields, and a way to add one."""
    tests = case.condition.tests or ()
    label = f"Tests · {len(tests)} set" if tests else "Tests"
    # Whoever comes from a person's panel to make a test finds the fold open.
    unfolded = bool(problems or st.session_state.get("open tests"))
    with st.expander(label, expanded=unfolded, key=f"fold|tests|{unfolded}"):
        used = {result.test for person in case.people for result in person.tests}
        for index, test in enumerate(tests):
            st.markdown(f"**{plain(test.name)}**: {kind_of(test)}")
            if test.name not in used:
                st.caption(_NOBODY)
            _fields(case, index, test, session.problems_at(problems, f"condition.tests[{index}]"))
            st.button(
                plain(f"Remove {test.name} and its results"),
                key=f"remove test|{index}",
                on_click=lambda name=test.name: session.act(
                    lambda: remove_test(session.case(), name)
                ),
            )
            st.divider()
        _new(case)


def kind_of(test: Test) -> str:
    """The kind of a test, in words."""
    if test.detects is not None:
        return KINDS["detects"]
    return KINDS["likelihood" if test.likelihood is not None else "rates"]


def _fields(case: Case, index: int, test: Test, problems: Sequence[Problem]) -> None:
    path = f"test|{index}"

    def named(case: Case, name: str | None) -> Case:
        return rename_test(case, test.name, _free_name(case, name, test.name))

    fields.text("Name", f"{path}|name", test.name, named, max_chars=80)
    if test.detects is not None:
        offers = {variant.name: variant.name for variant in case.condition.variants or ()}
        if offers:
            fields.several(
                "Finds alleles of these classes",
                f"{path}|detects",
                [name for name in test.detects if name in offers],
                {name: plain(name) for name in offers},
                lambda case, value: _changed(case, index, detects=tuple(value)),
            )
        else:
            st.caption("Variant classes are made in the fold above.")
    elif test.likelihood is not None:
        fields.text(
            "Result: chance with 0, 1, 2 alleles",
            f"{path}|likelihood",
            likelihood_text(test),
            lambda case, value: _changed(case, index, likelihood=read_likelihood(value)),
            area=True,
        )
    else:
        left, right = st.columns(2)
        with left:
            fields.number(
                "Sensitivity",
                f"{path}|sensitivity",
                test.sensitivity,
                lambda case, value: _rate(case, index, "sensitivity", value),
            )
        with right:
            fields.number(
                "Specificity",
                f"{path}|specificity",
                test.specificity,
                lambda case, value: _rate(case, index, "specificity", value),
            )
    for problem in problems:
        st.error(plain(words.placed(case, problem)), icon=":material/error:")


def _changed(case: Case, index: int, **changes: object) -> Case:
    tests = case.condition.tests or ()
    new = replace(tests[index], **changes)  # type: ignore[arg-type]
    return change_condition(case, tests=(*tests[:index], new, *tests[index + 1 :]))


def _rate(case: Case, index: int, field: str, value: Quantity | None) -> Case:
    if value is None:
        raise InputError([Problem(field, "a number is needed here, like 0.9")])
    return _changed(case, index, **{field: value})


def _rate_of(name: str, typed: str) -> Quantity:
    """A rate as it was typed; what is wrong names the field, as one message stands for several."""
    if not typed:
        raise InputError([Problem(name.lower(), f"{name}: type a number, like 0.9")])
    try:
        return fields.read_quantity(typed, name.lower())
    except InputError as error:
        told = [Problem(each.path, f"{name}: {each.message}") for each in error.problems]
        raise InputError(told) from None


def _free_name(case: Case, name: str | None, own: str = "") -> str:
    if not name:
        raise InputError([Problem("name", "a test needs a name")])
    if name != own and name in {test.name for test in case.condition.tests or ()}:
        raise InputError([Problem("name", f'another test is called "{name}"')])
    return name


def likelihood_text(test: Test) -> str:
    """The table of a test as lines ``result: chance, chance, chance``."""
    lines = []
    for each in test.likelihood or ():
        table = each.likelihood
        numbers = [str(value) for value in (table.zero, table.one, table.two) if value is not None]
        lines.append(f"{each.result}: {', '.join(numbers)}")
    return "\n".join(lines)


def read_likelihood(typed: str | None) -> tuple[ResultLikelihood, ...]:
    """Read such lines; the third number may be missing (males on the X have no two alleles)."""
    found = []
    for result, numbers in pairs(typed or "", "likelihood"):
        values = [
            fields.read_quantity(text, "likelihood", likelihood) for text in numbers.split(",")
        ]
        if len(values) not in (2, 3):
            message = f'"{result}" needs three numbers with commas between: for 0, 1 and 2 alleles'
            raise InputError([Problem("likelihood", message)])
        found.append(ResultLikelihood(result, ByAlleles(*values)))
    if not found:
        raise InputError([Problem("likelihood", "give at least one result")])
    return tuple(found)


def _new(case: Case) -> None:
    """The fields of a new test; it is added when all of them can be read."""
    st.markdown("**Add a test**")
    kind = str(st.radio("Kind", list(KINDS), format_func=KINDS.__getitem__, key="new test|kind"))
    st.text_input("Name of the test", key="new test|name", max_chars=80)
    if kind == "rates":
        left, right = st.columns(2)
        left.text_input(
            "Sensitivity of the test", key="new test|sensitivity", placeholder="like 0.9"
        )
        right.text_input(
            "Specificity of the test", key="new test|specificity", placeholder=_NO_FALSE_POSITIVES
        )
        st.caption(
            f"Where no false positives are mentioned the specificity is {_NO_FALSE_POSITIVES}; "
            "a field left empty is taken as that."
        )
    elif kind == "detects":
        names = [variant.name for variant in case.condition.variants or ()]
        st.multiselect("Classes it finds", names, key="new test|detects")
        if not names:
            st.caption("Make variant classes first, in the fold above.")
    else:
        st.text_area(
            "Results, one a line: chance with 0, 1, 2 alleles",
            key="new test|likelihood",
            placeholder="normal: 1, 1/3, 0\nraised: 0, 2/3, 1",
        )
    st.button("Add the test", type="primary", on_click=_add, args=(kind,))
    frame.say_refused("new test")


def _add(kind: str) -> None:
    def typed(field: str) -> str:
        return str(st.session_state.get(f"new test|{field}") or "").strip()

    def make() -> Case:
        case = session.case()
        test = Test(_free_name(case, typed("name")))
        if kind == "rates":
            test = replace(
                test,
                sensitivity=_rate_of("Sensitivity", typed("sensitivity")),
                specificity=_rate_of("Specificity", typed("specificity") or _NO_FALSE_POSITIVES),
            )
        elif kind == "detects":
            test = replace(test, detects=tuple(st.session_state.get("new test|detects") or ()))
        else:
            test = replace(test, likelihood=read_likelihood(typed("likelihood")))
        return change_condition(case, tests=(*(case.condition.tests or ()), test))

    if session.attempt(make, "new test"):
        for field in ("name", "sensitivity", "specificity", "likelihood"):
            if f"new test|{field}" in st.session_state:
                st.session_state[f"new test|{field}"] = ""
