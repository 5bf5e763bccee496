"""What is said of facts that cannot all be true; `conflicts` says why."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from risk.case.model import Case, Question
from risk.model.conflict import Contradiction
from risk.problems import ImpossibleEvidence


@contextmanager
def conflicts_in_words(case: Case) -> Iterator[None]:
    """Say in words what the engine finds to be impossible of `case`."""
    try:
        yield
    except Contradiction as error:
        raise _in_words(error, case) from None


def _in_words(error: Contradiction, case: Case) -> ImpossibleEvidence:
    """Return the error with what is said of it: why, if that is simple, and what to take back.

    The facts themselves are not in the message; who shows it lists them after it.
    """
    asked = error.question
    if asked is not None:
        path = f"questions[{case.questions.index(asked)}]" if asked in case.questions else ""
        message = _no_child(case, asked, error)
        return ImpossibleEvidence(message, error.conflict, error.enough, path)
    # Only needed when something is impossible, and an answer should not wait for them.
    from risk.wording.conflicts import why_impossible
    from risk.wording.phrases import capital

    message = _not_together(error)
    why = why_impossible(case, error.conflict)
    if why:
        message = f"{capital(why, case.called)}. {capital(message)}"
    return ImpossibleEvidence(message, error.conflict, error.enough)


def _not_together(error: Contradiction) -> str:
    if len(error.conflict) == 1:
        return "this cannot be true under the model of the case"
    if error.enough == error.conflict:
        mend = "take any one of them back, and all that is left can be"
    elif error.enough:
        mend = f"it is enough to take back {' or '.join(error.enough)}"
    else:
        mend = "take one of them back, and see what else conflicts"
    return f"these facts cannot all be true together under the model of the case; {mend}"


def _no_child(case: Case, question: Question, error: Contradiction) -> str:
    assert question.parents is not None
    daughter = question.ask == "child_carrier" and case.condition.x_linked
    child = {"female": "daughter", "male": "son"}.get(
        question.sex or "", "daughter" if daughter else "child"
    )
    one, two = [case.person(id).name or id for id in question.parents]
    message = (
        f"no {child} of {one} and {two} can be live-born, so there is no chance to give: "
        "the viability is 0 for every genotype that is possible"
    )
    if not error.conflict:
        return (
            f"{message}, whatever is known of the two; leave the question out, or change the "
            "viability"
        )
    by = "this fact" if len(error.conflict) == 1 else "these facts"
    back = f", or take back {' or '.join(error.enough)}" if error.enough else ""
    return f"{message} by {by}; leave the question out{back}"
