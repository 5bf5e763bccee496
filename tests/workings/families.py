"""Small families for the tests of workings, written as short as a student would tell them."""

import json

from risk import actions


def person(id, sex=None, parents=(), **facts):
    """A person of a case file; `parents` are father and mother."""
    found = {"id": id, **facts}
    if sex:
        found["sex"] = sex
    if parents:
        found["father"], found["mother"] = parents
    return found


def case(inheritance, frequency, people, questions, **condition):
    """A case of these parts, read as any file is."""
    return actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {"inheritance": inheritance, "frequency": frequency, **condition},
                "people": people,
                "questions": questions,
            }
        )
    )


def told(*parts, **condition):
    """The texts of the workings of such a case, one a question, without line breaks."""
    return [
        " ".join(step.text for step in working.steps)
        for working in actions.explain(case(*parts, **condition))
    ]
