"""Where the working of a case and that of a slip part: the line that a student should look at.

It never holds the true answer, nor that of another question of the case: what would say it is left
out.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction

from risk.case.edit import asked_about
from risk.case.model import Case
from risk.inference.arithmetic import Term
from risk.model.facts import facts_of
from risk.number import exact_text
from risk.problems import RiskError
from risk.teaching.slip_answers import Chances
from risk.teaching.slip_kind import Slip
from risk.teaching.slip_working import sum_where, wanted, working_of
from risk.wording.facts import fact_phrases
from risk.workings.step import Row, Step, Value, Working
from risk.workings.weigh import plain

#: What one parent and two pass on stands in most workings, and tells nothing of another answer.
_PASSED_ON = {Fraction(1, 2), Fraction(1, 4)}


@dataclass(frozen=True, slots=True)
class Parting:
    """The line of the working where the paths part: a heading for each value, and the values.

    `step` is the sentence of the step that the line stands in.  It is empty, and so is `values`,
    where they would give the answer away.  Without `labels` there is no line to work out, and
    `text` says the facts from which the answer follows for certain.
    """

    step: str
    text: str
    labels: tuple[str, ...]
    values: tuple[Value, ...]


def where_paths_part(
    slip: Slip, true: Chances, leads: Chances, others: Collection[Fraction] = ()
) -> Parting | None:
    """Return the first line of the true working that the slip's own working does not have.

    `true` is the true answer and `leads` that of the slip, each one number or three; `others` are
    the answers to other questions of the case.  None where there is no such line.
    """
    working = working_of(slip.asked)
    if set(true) <= {0, 1}:
        return _certain(working, slip.asked, _forgotten(slip))
    line = _parting_line(working, slip, true, leads)
    hidden = {*true, *({*others} - _PASSED_ON)} - {0, 1}
    return None if line is None else _without(line, hidden)


def _parting_line(working: Working, slip: Slip, true: Chances, leads: Chances) -> Parting | None:
    where = slip.kind.parts_at
    match where(slip) if callable(where) else where:
        case "products":
            return _undivided(working, true, leads)
        case "passed on":
            return _passed_on(working)
        case "several people":
            return _of_several(working)
        case "beyond":
            return _beyond(working, slip.asked, leads)
        case "parents":
            return _prior(working, slip.people[0])
        case "fact":
            return _first_difference(working, working, slip)
        case "difference" if slip.case is not None:
            with suppress(RiskError):
                return _first_difference(working, working_of(slip.case), slip)
    return None


def _without(line: Parting, hidden: Collection[Fraction]) -> Parting:
    if set(re.findall(r"\d+/\d+", line.step)) & {exact_text(value) for value in hidden}:
        line = replace(line, step="")
    if {_number(value) for value in line.values} & {*hidden}:
        line = replace(line, values=())
    return line


def follows_for_certain(case: Case, question: int) -> Parting | None:
    """Return the facts from which an answer follows that is certain, or None if it needs none."""
    return _certain(working_of(replace(case, questions=(case.questions[question],))), case, ())


def _certain(working: Working, case: Case, forgotten: Collection[str]) -> Parting | None:
    """Return the facts that make an answer certain, of which each line would say what it is.

    Of those only what was forgotten, where that is among them.
    """
    used = {path for step in working.steps for row in step.rows for path in row.facts}
    told = used & set(forgotten) or used
    phrases = fact_phrases([fact for fact in facts_of(case) if fact.path in told], case)
    return Parting("", "; ".join(phrases), (), ()) if phrases else None


def _line(step: Step, row: Row) -> Parting:
    """Return a row of a step, without what the rows before it rule out."""
    before = step.rows[: step.rows.index(row)]
    left = [
        place
        for place, _ in enumerate(step.labels)
        if all(earlier.values[place] for earlier in before)
    ]
    labels = tuple([step.labels[place] for place in left])
    return Parting(step.text, row.text, labels, tuple([row.values[place] for place in left]))


def _first_difference(working: Working, other: Working, slip: Slip) -> Parting | None:
    """Return the first row that brings in a forgotten fact, or else that the other has not.

    Of the latter those come first that are about whom the slip is about.
    """
    told = set(_forgotten(slip))
    for step in working.steps:
        for row in step.rows:
            if row.kind == "conditional" and told & set(row.facts):
                return _line(step, row)
    known = {step.people: step for step in other.steps}
    for step in sorted(working.steps, key=lambda each: not {*each.people} & {*slip.people}):
        like = known.get(step.people)
        for row in step.rows:
            if like is None or not any(_same(row, step, each, like) for each in like.rows):
                return _line(step, row)
    return None


def _forgotten(slip: Slip) -> Collection[str]:
    """Return the paths of the facts that a slip leaves out or takes for something else."""
    kinds = slip.kind.forgets
    if callable(kinds):
        return kinds(slip)
    return [
        fact.path
        for fact in facts_of(slip.asked)
        if fact.person in slip.people and fact.evidence.kind in kinds
    ]


def _same(row: Row, step: Step, other: Row, like: Step) -> bool:
    """Tell whether two rows say the same of the hypotheses that both tables have."""
    if row.kind != other.kind or (row.kind == "conditional" and row.facts != other.facts):
        return False
    values = {tuple(h.items()): v for h, v in zip(like.hypotheses, other.values, strict=True)}
    keys = [tuple(hypothesis.items()) for hypothesis in step.hypotheses]
    return all(
        key not in values or values[key] == value
        for key, value in zip(keys, row.values, strict=True)
    ) and (row.kind == "conditional" or set(keys) == set(values))


def _undivided(working: Working, true: Chances, leads: Chances) -> Parting | None:
    """Return the products that a slip which leads to `leads` has not divided by their sum.

    Where no sum alone is the factor, more than one table was left so, and it is the first of them;
    or, of the likelihoods of the last table, that one.
    """
    steps = [step for step in working.steps if _to_divide(step)]
    if not steps:
        return None
    other = steps[0] if working.steps[-1].combine else steps[-1]
    step = next((step for step in steps if _led(step, true) == leads), other)
    text = "joint: each is still to be divided by the sum of the line"
    return Parting(step.text, text, step.labels, step.joint)


def _to_divide(step: Step) -> bool:
    vanishing = any(isinstance(value, Term) and value.order for value in step.joint)
    return step.total != 1 and not vanishing


def _led(step: Step, true: Chances) -> Chances:
    """Return the answer of whoever does not divide the products of a table by their sum."""
    total = _number(step.total)
    return () if total is None else tuple(value * total for value in true)


def _prior(working: Working, person: str) -> Parting | None:
    """Return the first line about somebody: what comes from the parents."""
    for step in working.steps:
        if step.people == (person,):
            return _line(step, step.rows[0])
    return None


def _of_several(working: Working) -> Parting | None:
    """Return the first line about several people at once."""
    for step in working.steps:
        if len(step.people) > 1:
            return _line(step, step.rows[0])
    return None


def _beyond(working: Working, case: Case, leads: Chances) -> Parting | None:
    """Return the first line about whoever is asked about that says more than `leads` does."""
    question = working.question
    if question.person is None:
        return None
    for step in working.steps:
        if step.people != asked_about(question):
            continue
        before = [_number(value) for value in step.rows[0].values]
        numbers = [value for value in before if value is not None]
        same = len(numbers) == len(before) and leads == (
            sum_where(step, numbers, wanted(case, question)) / sum(numbers),
        )
        return _line(step, step.rows[1 if same and len(step.rows) > 1 else 0])
    return None


def _passed_on(working: Working) -> Parting | None:
    last = working.steps[-1] if working.steps else None
    if last is None or last.combine is None:
        return None
    asked = working.question
    keys = (tuple(hypothesis.items()) for hypothesis in last.hypotheses)
    labels = dict(zip(keys, last.labels, strict=True))
    kept = [each for each in last.combine if each.chance]
    return Parting(
        last.text,
        f"the chance {'for the child' if asked.parents else 'of being affected'}, if that is so",
        tuple(labels.get(tuple(each.case.items()), "") for each in kept),
        tuple(each.chance for each in kept),
    )


def _number(value: Value) -> Fraction | None:
    value = plain(value)
    return None if isinstance(value, Term) else Fraction(value)
