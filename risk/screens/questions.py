"""The questions of a case: a line of answer for each, and asking any other."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from risk.case import edit
from risk.case.kin import partners_of
from risk.case.model import QUESTION_KEYS, Case, Question
from risk.case.values import typed_years
from risk.model.answers import Answer, Chance, certain_carriers
from risk.model.facts import LIVE_BORN
from risk.problems import InputError, Problem
from risk.screens import fields, frame, parts, results, session, words
from risk.screens.plain import escape, plain, say
from risk.wording import labels
from risk.wording.chances import chance_in_words, short_chance
from risk.wording.phrases import capital, joined
from risk.wording.questions import question_in_words

#: A fraction of so many characters is still read at a glance.
_GLANCE = 13
#: More people are only counted.
_NAMED = 6


def chance_html(chance: Chance) -> str:
    """A chance as fraction, percentage and 1 in N, the first of them large."""
    said = chance_in_words(chance)
    fraction = said.fraction or ""
    # A fraction too long to be taken in at a glance comes after the percentage.
    forms = [fraction, said.percent] if len(fraction) <= _GLANCE else [said.percent, fraction]
    figure, *others = [text for text in (*forms, said.one_in) if text]
    others = [text for text in others if text != figure]
    rest = "".join(f'<span class="other">{escape(text)}</span>' for text in others)
    whole = f"{said.note}; the page Report has it in its file of answers (JSON)."
    note = f'<p class="note">{escape(whole)}</p>' if said.note else ""
    return f'<span class="figure">{escape(figure)}</span>{rest}{note}'


def answer_html(answer: Answer) -> str:
    """The answer of one question; a distribution has a line for each number of alleles."""
    if answer.probability is not None:
        return f'<div class="tt-answer">{chance_html(answer.probability)}</div>'
    lines = [
        f"<div>{escape(words.GENOTYPE[number])}: {chance_html(chance)}</div>"
        for number, chance in enumerate(answer.distribution or ())
    ]
    return f'<div class="tt-answer">{"".join(lines)}</div>'


def why_vanishing(case: Case, chance: Chance | None) -> None:
    """Say of a chance that is 0 because the allele is taken to be rare what would show more."""
    # Of a rare new mutation nothing is said: another frequency would not help there.
    if chance is not None and chance.vanishes and case.condition.frequency.allele == "rare":
        st.caption(
            "The allele is taken to be rare, and then this chance vanishes. How large it is in "
            "a population shows when a frequency is given on the page Condition."
        )


def assumed(case: Case) -> None:
    """What the answers rest on, with a way to change it."""
    with st.container(horizontal=True, vertical_alignment="center", gap="small", key="assumed"):
        said = f"Assumed: {words.assumed(case.condition)}.{_left_open(case)}"
        st.caption(plain(said), width="content")
        st.button(
            "Change on the page Condition",
            key="to condition",
            icon=":material/arrow_forward:",
            type="tertiary",
            on_click=session.go_to,
            args=("condition",),
        )


def _left_open(case: Case) -> str:
    """Of whom nobody has said whether they are affected; they may have come along with others."""
    live_born = [person for person in case.people if person.status in LIVE_BORN]
    ids = [p.id for p in live_born if p.affected is None and p.genotype is None]
    if not ids:
        return ""
    who = joined(ids) if len(ids) <= _NAMED else f"{len(ids)} people"
    return f" Left open: whether {who} {'is' if len(ids) == 1 else 'are'} affected."


def remarked(case: Case) -> None:
    """What is worth a look about all the answers of a case that could be solved."""
    for remark in results.remarks(case):
        where = remark.path
        of_condition = where.startswith("condition") and not where.startswith("condition.tests")
        if of_condition or where.endswith((".consanguineous", ".age")):
            st.warning(plain(_sentence(remark)), icon=":material/info:")


def strip(case: Case, outcome: results.Outcome) -> None:
    """Each question with its answer, redrawn at every edit, and a way to remove it."""
    if not case.questions:
        st.caption("No question yet: select a person and ask, or choose another question below.")
    if outcome.solution:
        remarked(case)
    if case.questions:
        st.header(_ANSWERS, anchor=False)
    for index in range(len(case.questions)):
        row = st.container(horizontal=True, vertical_alignment="top")
        with row.container():
            _answered(case, outcome, index)
            if outcome.solution:
                why_vanishing(case, outcome.solution.answers[index].probability)
        row.button(
            "Remove",
            key=f"drop|{index}",
            icon=":material/close:",
            type="tertiary",
            help="Remove this question",
            on_click=lambda index=index: session.act(
                lambda: edit.remove_question(session.case(), index)
            ),
        )


def news(case: Case, outcome: results.Outcome, grown: str) -> None:
    """Let a screen reader say each answer that is new or has changed, and who was added."""
    answers = outcome.solution.answers if outcome.solution else ()
    said = [f"{question_in_words(a.question, case)} {_in_short(a)}" for a in answers]
    parts.news([*said, grown] if grown else said)


def _in_short(answer: Answer) -> str:
    if answer.probability is not None:
        return short_chance(answer.probability)
    each = enumerate(answer.distribution or ())
    return "; ".join(f"{words.GENOTYPE[number]}: {short_chance(chance)}" for number, chance in each)


def glance(case: Case, outcome: results.Outcome) -> None:
    """The same beside what changes them: each question with its answer, and no more."""
    if case.questions and outcome.solution:
        st.header(_ANSWERS, anchor=False)
        remarked(case)
        for index in range(len(case.questions)):
            _answered(case, outcome, index)


_ANSWERS = "The answers"


def _answered(case: Case, outcome: results.Outcome, index: int) -> None:
    """One question, its answer, and what is to be said of it."""
    st.subheader(plain(question_in_words(case.questions[index], case)), anchor=False)
    if outcome.solution:
        st.html(answer_html(outcome.solution.answers[index]))
        for remark in session.problems_at(results.remarks(case), f"questions[{index}]"):
            st.caption(plain(_sentence(remark)))
    for problem in session.problems_at(outcome.problems, f"questions[{index}]"):
        say(problem)


def _sentence(remark: Problem) -> str:
    return f"{capital(remark.message)}."


def carrier_labels(case: Case) -> results.Labels:
    """Each person's chance of being a carrier, as text, for the tree."""
    people = results.chances(results.solved(case))
    made = labels.carrier_labels(case, people)
    carriers = certain_carriers(case, people)
    return results.Labels(
        made.means, tuple(made.texts.items()), carriers, tuple(made.words.items())
    )


def another(case: Case) -> None:
    """Ask anything the case file can ask."""
    fold = st.expander("Ask another question", key="another question", on_change="rerun")
    if not fold.open:
        return
    with fold:
        ids = [person.id for person in case.people]
        ask = st.selectbox(
            "Question", list(QUESTION_KEYS), format_func=words.QUESTIONS.__getitem__, key="q|ask"
        )
        needed, optional = QUESTION_KEYS[ask]
        question = Question(ask)
        if "person" in needed:
            question = replace(question, person=_person("Person", ids, session.selected(), "q|a"))
        if "people" in needed:
            first = _person("First person", ids, session.selected(), "q|a")
            near = partners_of(case, first)
            second = _person("Second person", ids, near[0] if near else None, "q|b")
            question = replace(question, people=(first, second))
        if "parents" in needed:
            question = replace(question, parents=_mother_and_father(case))
        if "sex" in optional:
            sex = st.segmented_control(
                "Child", ["Any", "Daughter", "Son"], default="Any", required=True, key="q|sex"
            )
            if sex != "Any":
                question = replace(question, sex="female" if sex == "Daughter" else "male")
        if "by_age" in optional:
            st.text_input("By the age of (empty: ever)", key="q|age")
        if ask == "children_affected":
            of = st.number_input("Of the next ... children", 1, 50, 2, key="q|of")
            kind = st.segmented_control(
                "Affected are",
                ["At least", "Exactly"],
                default="At least",
                required=True,
                key="q|kind",
            )
            so_many = int(st.number_input("So many", 0, 50, 1, key="q|k"))
            question = replace(
                question,
                of=int(of),
                at_least=so_many if kind == "At least" else None,
                exactly=so_many if kind == "Exactly" else None,
            )
        st.button("Ask", type="primary", on_click=_asked, args=(question, "by_age" in optional))
        frame.say_refused("question")


def _mother_and_father(case: Case) -> tuple[str, str]:
    """Two lists, each of those who can be that parent; whoever is selected stands in one."""
    mothers = [person.id for person in case.people if person.sex != "male"]
    fathers = [person.id for person in case.people if person.sex != "female"]
    chosen = session.selected()
    near = partners_of(case, chosen) if chosen else ()
    likely = [id for id in near if id in mothers]
    mother = chosen if chosen in mothers else likely[0] if likely else None
    first = _person("Mother", mothers, mother, "q|mother")
    likely = [id for id in partners_of(case, first) if id in fathers] if first else []
    father = chosen if chosen in fathers and chosen != first else likely[0] if likely else None
    return first, _person("Father", fathers, father, "q|father")


def _person(label: str, ids: list[str], preferred: str | None, key: str) -> str:
    index = ids.index(preferred) if preferred in ids else 0
    chosen = st.selectbox(label, ids, index=index if ids else None, key=f"{key}|{preferred}")
    return str(chosen or "")


def _asked(question: Question, with_age: bool) -> None:
    typed = str(st.session_state.get("q|age", "")).strip()

    def ask() -> Case:
        new = question
        if with_age and typed:
            new = replace(new, by_age=fields.read_quantity(typed, "by_age", typed_years))
        pair = new.parents or new.people
        if pair and not all(pair):
            raise InputError([Problem("questions", "the tree has nobody who can be that parent")])
        if pair and pair[0] == pair[1]:
            raise InputError([Problem("questions", "choose two different people")])
        return edit.add_question(session.case(), new)

    session.attempt(ask, "question")


def choose(case: Case) -> int:
    """Which question a page is about; the choice is shared by the pages."""
    if len(case.questions) == 1:
        return 0
    state = st.session_state
    now = min(int(state.get("question", 0)), len(case.questions) - 1)
    st.radio(
        "Question",
        range(len(case.questions)),
        format_func=lambda index: plain(question_in_words(case.questions[index], case)),
        key=session.keep_in_step("question choice", now),
        on_change=_chosen,
    )
    return now


def _chosen() -> None:
    st.session_state.question = int(st.session_state["question choice"])
