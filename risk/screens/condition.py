"""The page Condition: inheritance and frequency on top, everything else folded away below."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from risk.case.edit_condition import change_condition, laid_aside, set_inheritance
from risk.case.model import Case, Condition, Frequency, Inheritance, SelectionBalance
from risk.case.values import fitness, probability
from risk.number import Quantity
from risk.problems import Problem
from risk.screens import (
    condition_more,
    condition_tests,
    fields,
    frame,
    questions,
    results,
    session,
    words,
)
from risk.screens.plain import plain, say
from risk.screens.trouble import ON_CONDITION, explain_trouble
from risk.wording.assumptions import assumptions_of_case

#: Each form of the frequency and a sentence about when it is the right one.
FORMS = {
    "rare": (
        "Rare: as most hand calculations assume",
        (
            "A partner who marries in carries nothing unless something else is known, and an "
            "affected person got the allele from somewhere. The answers are the exact limit as the "
            "frequency goes to 0."
        ),
    ),
    "carrier": (
        "Carrier frequency",
        "So many unaffected people of the population are carriers, like 1/25.",
    ),
    "incidence": (
        "Incidence at conception",
        ("So many are conceived with the genotype at risk, like 1/2500."),
    ),
    "allele": (
        "Allele frequency",
        (
            "The share q of disease alleles among all alleles; founders are in Hardy-Weinberg "
            "proportions."
        ),
    ),
    "balance": (
        "Balance of mutation and selection",
        (
            "New mutations replace what affected males do not pass on. Give the fitness of "
            "affected males, and the mutation rates below."
        ),
    ),
}

#: What is said otherwise on the X, where carriers are women and incidence counts males.
ON_X = {
    "carrier": "So many unaffected women of the population are carriers, like 1/25.",
    "incidence": "So many males are conceived with the disease allele, like 1/2500.",
}


def page() -> None:
    """Draw the page."""
    case = session.case()
    with st.container(horizontal=True, vertical_alignment="bottom"):
        st.title("Condition", anchor=False)
        frame.undo_buttons()
    outcome = results.solved(case)
    problems = [p for p in outcome.problems if p.path.startswith("condition")]
    left, right = st.columns([3, 2], gap="large")
    with left:
        fields.text(
            "Name of the condition",
            "condition|name",
            case.condition.name,
            setter("name"),
            problems=session.problems_at(problems, "condition.name"),
            max_chars=200,
        )
        fields.choice(
            "Inheritance",
            "condition|inheritance",
            case.condition.inheritance,
            words.INHERITANCE,
            _set_inheritance,
            problems=session.problems_at(problems, "condition.inheritance"),
        )
        _say_laid_aside(case.condition)
        _frequency(case.condition, session.problems_at(problems, "condition.frequency"))
        st.markdown("## More about the condition")
        condition_more.folds(case, problems)
        condition_tests.fold(case, session.problems_at(problems, "condition.tests"))
        exact = {"condition"}
        for problem in problems:
            if problem.path in exact:
                say(problem)
    with right:
        questions.glance(case, outcome)
        # What is wrong with the condition itself is said at its fields.
        if outcome.conflict or not problems:
            explain_trouble(case, outcome, ON_CONDITION)
        st.markdown("## What is assumed")
        for each in assumptions_of_case(case):
            default = "" if each.given else " (by default)"
            st.markdown(f"**{plain(each.topic)}**{default}: {plain(each.text)}")


def _set_inheritance(case: Case, inheritance: Inheritance) -> Case:
    """Change the mode; what it cannot have is laid aside until another mode can."""
    former = session.former_condition()
    new = set_inheritance(case, inheritance, former)
    if former is None or not laid_aside(new.condition, former):
        session.lay_aside(case.condition)
    return new


def _say_laid_aside(condition: Condition) -> None:
    """Say which frequency the mode of inheritance cannot have, and what becomes of it."""
    former = session.former_condition()
    if former is None or "frequency" not in laid_aside(condition, former):
        return
    form = FORMS[form_of(former.frequency)][0]
    st.warning(
        plain(
            f"{words.INHERITANCE[condition.inheritance]} inheritance has no such frequency as was "
            f"set ({form[:1].lower()}{form[1:]}, {_value(former.frequency)}), so it is laid aside "
            f"and the disease allele is taken to be "
            f"{'rare' if condition.frequency.allele == 'rare' else 'absent in founders'}. "
            "It comes back with a mode that has it, unless another is set here."
        ),
        icon=":material/info:",
    )


def setter(field: str) -> fields.Change:
    """A change of one field of the condition."""

    def change(case: Case, value: Any) -> Case:
        return change_condition(case, **{field: value})

    return change


def form_of(frequency: Frequency) -> str:
    """Which of `FORMS` a frequency is in."""
    if frequency.allele == "rare":
        return "rare"
    if frequency.carrier is not None:
        return "carrier"
    if frequency.incidence is not None:
        return "incidence"
    return "allele" if frequency.allele is not None else "balance"


def _frequency(condition: Condition, problems: list[Problem]) -> None:
    forms = [
        form
        for form in FORMS
        if (form != "carrier" or condition.recessive) and (form != "balance" or condition.x_linked)
    ]
    now = form_of(condition.frequency)
    waiting = st.session_state.get("frequency form")
    form = waiting[0] if waiting and waiting[1] == condition and waiting[0] in forms else now
    key = session.keep_in_step("frequency choice", form)
    said = {form: caption for form, (_, caption) in FORMS.items()}
    said |= ON_X if condition.x_linked else {}
    st.radio(
        "How common the disease allele is",
        forms,
        format_func=lambda form: FORMS[form][0],
        captions=[said[form] for form in forms],
        key=key,
        on_change=_choose_form,
    )
    if form != "rare":
        value = _value(condition.frequency) if form == now else None
        labels = {
            "carrier": f"Carriers{' among women' if condition.x_linked else ''}, like 1/25 or 4%",
            "incidence": f"Incidence{' in males' if condition.x_linked else ''}, like 1/2500",
            "allele": "Allele frequency q, like 0.01 (0 is allowed)",
            "balance": "Fitness of affected males, from 0 to less than 1",
        }
        fields.number(
            labels[form],
            f"frequency|{form}",
            value,
            _frequency_setter(form),
            read=fitness if form == "balance" else probability,
            problems=problems if form == now else (),
        )
        if form != now:
            st.caption("Not yet in use: type a number.")
    else:
        for problem in problems:
            say(problem)


def _choose_form() -> None:
    """Rare needs no number and is set at once; the others wait for theirs."""
    if session.is_echo("frequency choice"):
        return
    form = st.session_state["frequency choice"]
    if form == "rare":
        session.attempt(lambda: setter("frequency")(session.case(), Frequency(allele="rare")))
    st.session_state["frequency form"] = (form, session.case().condition)


def _frequency_setter(form: str) -> Callable[[Case, Quantity | None], Case]:
    def change(case: Case, value: Quantity | None) -> Case:
        if value is None:
            return case
        frequency = {
            "carrier": Frequency(carrier=value),
            "incidence": Frequency(incidence=value),
            "allele": Frequency(allele=value),
            "balance": Frequency(mutation_selection_balance=SelectionBalance(value)),
        }[form]
        return change_condition(case, frequency=frequency)

    return change


def _value(frequency: Frequency) -> Quantity | None:
    if isinstance(frequency.allele, Quantity):
        return frequency.allele
    if frequency.mutation_selection_balance is not None:
        return frequency.mutation_selection_balance.fitness
    return frequency.carrier or frequency.incidence
