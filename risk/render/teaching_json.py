"""Marks and variations as the JSON objects that commands print."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from risk.document.marks import parting_in_words
from risk.number import exact_text
from risk.render.json import VERSION, answers_json, failure_json, question_json

if TYPE_CHECKING:
    from risk.teaching.class_marks import Summary
    from risk.teaching.mark import Mark
    from risk.teaching.vary import Variation, VariedPoint


def mark_json(mark: Mark) -> dict[str, Any]:
    """Return what ``mark --json`` prints.

    `exact` is a fraction, for a distribution one for each number of disease alleles, and null
    where some input was not rational.
    """
    exact: Any = None
    if mark.exact:
        texts = [exact_text(value) for value in mark.true]
        exact = texts[0] if len(texts) == 1 else {str(i): text for i, text in enumerate(texts)}
    feedback = f"{mark.feedback} {parting_in_words(mark.parting)}".strip()
    return {
        "verdict": mark.verdict,
        "slips": list(mark.slips),
        "exact": exact,
        "feedback": feedback,
        "read": [str(each.value) for each in mark.read],
    }


def summary_json(summary: Summary) -> dict[str, Any]:
    """Return what ``mark --answers --json`` prints."""
    return {
        "version": VERSION,
        "students": summary.students,
        "answers": summary.answers,
        "verdicts": dict(summary.verdicts),
        "slips": dict(summary.slips),
        "notes": list(summary.notes),
        "questions": [
            {
                "case": case,
                "question": int(number),
                "answers": each.answers,
                "verdicts": dict(each.verdicts),
                "slips": dict(each.slips),
            }
            for case, number, each in summary.questions
        ],
    }


def variation_json(variation: Variation, refused: Sequence[VariedPoint] = ()) -> dict[str, Any]:
    """Return what ``vary --json`` prints: for each value the answers as ``solve`` gives them.

    Where it fails for the `refused` points, their problems are told together as well.
    """
    points: list[dict[str, Any]] = []
    for point in variation.points:
        entry: dict[str, Any] = {
            "value": point.value,
            "exact": None if point.number is None else str(point.number),
        }
        if point.problems:
            entry |= failure_json(point)
        else:
            entry["answers"] = answers_json(point.answers)
        points.append(entry)
    failure: dict[str, Any] = {}
    if refused:
        failure = failure_json(refused[0])
        failure["error"]["problems"] = [
            f"{point.value}: {problem}" for point in refused for problem in point.problems
        ]
    return {
        "version": VERSION,
        **failure,
        "parameter": variation.parameters[0],
        "parameters": list(variation.parameters),
        "own": variation.own,
        "questions": [question_json(question) for question in variation.questions],
        "points": points,
    }
