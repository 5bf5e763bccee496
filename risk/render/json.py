"""Answers, workings and failures as the JSON objects that the contract fixes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import fields
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from pydantic_core import to_json

from risk.case.model import Case, Question
from risk.number import Quantity, exact_text
from risk.problems import ImpossibleEvidence, RiskError

if TYPE_CHECKING:
    from risk.model.answers import Answer, Chance, Solution
    from risk.teaching.vary import VariedPoint
    from risk.workings.step import Combination, Rung, State, Step, Value, Working

#: The version of the objects, as of the case file.
VERSION = 1
#: People up to which a solution is indented.
_MOST_INDENTED = 1000


def solution_json(solution: Solution) -> dict[str, Any]:
    """Return what ``solve --json`` prints."""
    return {
        "version": VERSION,
        "log_likelihood": solution.log_likelihood,
        "answers": answers_json(solution.answers),
        "people": [
            {
                "id": person.id,
                "disease_alleles": _values(person.disease_alleles),
                "exact": _exacts(person.disease_alleles),
            }
            for person in solution.people
        ],
    }


def answers_json(answers: Iterable[Answer]) -> list[dict[str, Any]]:
    """Return the answers as ``solve --json`` prints them."""
    return [
        {**question_json(each.question), **_outcome(each.probability, each.distribution)}
        for each in answers
    ]


def workings_json(workings: Iterable[Working]) -> dict[str, Any]:
    """Return what ``explain --json`` prints."""
    return {"version": VERSION, "workings": [_working(working) for working in workings]}


def ladders_json(case: Case, ladders: Iterable[Sequence[Rung]]) -> dict[str, Any]:
    """Return what ``explain --ladder --json`` prints: each question's rungs from the bottom."""
    return {
        "version": VERSION,
        "ladders": [
            {
                "question": question_json(question),
                "rungs": [
                    {
                        "facts": list(rung.facts),
                        "text": rung.text,
                        "probability": rung.chance.value,
                        "exact": _exact(rung.chance),
                    }
                    for rung in rungs
                ],
            }
            for question, rungs in zip(case.questions, ladders, strict=True)
        ],
    }


def failure_json(failed: RiskError | VariedPoint) -> dict[str, Any]:
    """Return the object that stands in the place of a case that fails."""
    failure: dict[str, Any] = {
        "status": failed.status,
        "problems": [str(problem) for problem in failed.problems],
    }
    if failed.status == ImpossibleEvidence.status:
        failure["conflict"] = list(failed.conflict)
    return {"error": failure}


def question_json(question: Question) -> dict[str, Any]:
    """Return the question's own keys, numbers as the file has them."""
    given = ((field.name, getattr(question, field.name)) for field in fields(question))
    return {key: _as_given(value) for key, value in given if value is not None}


def to_line(value: Mapping[str, Any]) -> str:
    """Return `value` as JSON on one line, in ASCII (so that no terminal can spoil it)."""
    return _written(value, None)


def to_page(value: Mapping[str, Any]) -> str:
    """Return `value` as JSON: indented, where it is short enough to be read by eye."""
    return _written(value, 2 if len(value.get("people", ())) <= _MOST_INDENTED else None)


def _written(value: Mapping[str, Any], indent: int | None) -> str:
    # By the library that reads cases: ten times as fast as Python's own, and loaded anyhow.
    return to_json(value, indent=indent, ensure_ascii=True, inf_nan_mode="null").decode()


def _outcome(probability: Chance | None, distribution: tuple[Chance, ...] | None) -> dict[str, Any]:
    if distribution is not None:
        return {"distribution": _values(distribution), "exact": _exacts(distribution)}
    if probability is None:
        return {"probability": None, "exact": None}
    return {"probability": probability.value, "exact": _exact(probability)}


def _values(chances: tuple[Chance, ...]) -> dict[str, float]:
    (none, _), (one, _), (two, _) = chances
    return {"0": none, "1": one, "2": two}


def _exacts(chances: tuple[Chance, ...]) -> dict[str, str] | None:
    (_, none), (_, one), (_, two) = chances
    if none is None or one is None or two is None:
        return None
    return {"0": exact_text(none), "1": exact_text(one), "2": exact_text(two)}


def _exact(chance: Chance) -> str | None:
    return None if chance.exact is None else exact_text(chance.exact)


def _as_given(value: Any) -> Any:
    if isinstance(value, Quantity):
        if value.quoted:
            return value.text
        return int(value.value) if value.value.denominator == 1 else float(value.value)
    return list(value) if isinstance(value, tuple) else value


def _working(working: Working) -> dict[str, Any]:
    first = working.probability or (working.distribution or ())[0]
    # Where the answer is a decimal, all numbers that lead to it are.
    value = _value if first.exact is not None else _decimal
    return {
        "question": question_json(working.question),
        **_outcome(working.probability, working.distribution),
        "steps": [_step(step, value) for step in working.steps],
        "no_difference": list(working.no_difference),
        "conclusion": working.conclusion,
    }


def _step(step: Step, written: Callable[[Value], str | float]) -> dict[str, Any]:
    table: dict[str, Any] = {
        "id": step.id,
        "people": list(step.people),
        "text": step.brief,
        "hypotheses": [_hypothesis(hypothesis) for hypothesis in step.hypotheses],
        "labels": list(step.labels),
        "rows": [
            {
                "kind": row.kind,
                "text": row.text,
                "values": list(map(written, row.values)),
                "facts": list(row.facts),
                "uses": list(row.uses),
                "reasons": [said.text for said in row.reasons],
            }
            for row in step.rows
        ],
        "joint": list(map(written, step.joint)),
        "posterior": list(map(written, step.posterior)),
        "closing": step.closing,
        "later": step.later,
    }
    if step.combine is not None:
        table["combine"] = [_combination(each, written) for each in step.combine]
    return table


def _combination(each: Combination, written: Callable[[Value], str | float]) -> dict[str, Any]:
    return {
        "case": _hypothesis(each.case),
        "weight": written(each.weight),
        "chance": written(each.chance),
        "product": written(each.product),
    }


def _hypothesis(hypothesis: Mapping[str, State]) -> dict[str, Any]:
    return {
        person: list(state) if isinstance(state, tuple) else state
        for person, state in hypothesis.items()
    }


def _decimal(value: Value) -> str | float:
    return float(value) if isinstance(value, Fraction) else _value(value)


def _value(value: Value) -> str | float:
    if isinstance(value, Fraction):
        return exact_text(value)
    return value if isinstance(value, float) else str(value)
