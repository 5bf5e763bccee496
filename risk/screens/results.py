"""What the engine says of a case, remembered: several pages and every rerun ask for the same.

The memory is by the content of cases and by nothing of the session.  Failures are values here,
because a page shows them beside the family.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from risk import actions
from risk.case.checks import check_case
from risk.case.model import Case
from risk.case.write import write_case
from risk.model.answers import PersonChances, Solution
from risk.problems import ImpossibleEvidence, Problem, RiskError
from risk.screens.memory import remembered
from risk.wording.facts import fact_in_words
from risk.wording.phrases import joined
from risk.workings.step import Rung, Working


@dataclass(frozen=True)
class Outcome:
    """The solution of a case, or the problems or conflicting facts that stand in its way."""

    solution: Solution | None = None
    problems: tuple[Problem, ...] = ()
    conflict: tuple[str, ...] = ()
    #: Those of them which it is enough to take back, any one alone.
    enough: tuple[str, ...] = ()
    message: str = ""


@dataclass(frozen=True)
class Labels:
    """What is written under people of a tree, by id, and what the key of signs says it means.

    `carriers` are drawn as such: by what is known of the family, beside those the case names;
    `heard` is what is said of a person in place of the text.
    """

    mean: str
    texts: tuple[tuple[str, str], ...]
    carriers: frozenset[str] = frozenset()
    heard: tuple[tuple[str, str], ...] = ()

    def lines(self) -> dict[str, tuple[str, ...]]:
        """The texts as the drawing takes them."""
        return {id: (text,) for id, text in self.texts}


NO_LABELS = Labels("", ())


@remembered
def solved(case: Case) -> Outcome:
    """Solve a case; an empty family has an empty outcome."""
    if not case.people:
        return Outcome()
    problems = check_case(case)
    if problems:
        return Outcome(problems=tuple(problems))
    try:
        return Outcome(actions.solve(case))
    except ImpossibleEvidence as error:
        if error.path:
            told = joined([fact_in_words(fact, case) for fact in error.conflict])
            why = str(error) + f": {told}" * bool(told)
            return Outcome(problems=(Problem(error.path, why),), message=str(error))
        return Outcome(conflict=error.conflict, enough=error.enough, message=str(error))
    except RiskError as error:
        return Outcome(problems=error.problems, message=str(error))


@remembered
def remarks(case: Case) -> tuple[Problem, ...]:
    """What is worth a second look in a sound case."""
    return actions.remarks(case)


@remembered
def worked(case: Case) -> tuple[Working, ...]:
    """The workings of a case that `solved` could solve."""
    return actions.explain(case)


@remembered
def climbed(case: Case, question: int) -> tuple[Rung, ...]:
    """The evidence ladder of one question in the usual order, alike facts on one rung."""
    return actions.ladder(case, question)


@remembered
def climbed_as(case: Case, question: int, heard: tuple[tuple[str, ...], ...]) -> tuple[Rung, ...]:
    """The ladder up to the groups of facts that were heard, one rung for each group."""
    order = [fact for facts in heard for fact in facts]
    single = actions.ladder(case, question, order, alone=True)
    rungs, at = [single[0]], 0
    for facts in heard:
        at += len(facts)
        rungs.append(replace(single[at], facts=facts))
    return tuple(rungs)


#: The x of each person in a drawing, by id.
Stood = tuple[tuple[str, float], ...]


def drawn(case: Case, labels: Labels = NO_LABELS, stood: Stood = ()) -> str:
    """The family tree as an SVG element, the tree alone, perhaps with `labels` under the people.

    People stay near where they `stood`, so that a family looks the same on every page.

    Title, key and caution stand on the page, where they keep their size on a narrow one.
    """
    return drawn_after(case, labels, stood)[0]


@remembered
def drawn_after(case: Case, labels: Labels = NO_LABELS, stood: Stood = ()) -> tuple[str, Stood]:
    """The tree as `drawn`, of people who stay near where they `stood`; and where they now stand."""
    from risk.render.svg import to_svg
    from risk.scene.tree import draw_tree

    scene = draw_tree(
        case,
        labels=labels.lines(),
        labels_heard=dict(labels.heard),
        carriers=labels.carriers,
        show_key=False,
        show_title=False,
        show_caution=False,
        previous=dict(stood),
    )
    svg = to_svg(scene, prefix="t", standalone=False, interactive=True)
    return svg, tuple((id, x) for id, x, _ in scene.anchors)


@remembered
def signs(case: Case, labels: Labels = NO_LABELS) -> tuple[tuple[str, str], ...]:
    """The key of the drawing: each sign as an SVG element, and what it means."""
    from risk.render.svg import to_svg
    from risk.scene.tree import draw_signs

    scenes = draw_signs(
        case, labels=labels.lines(), labels_mean=labels.mean, carriers=labels.carriers
    )
    return tuple(
        (to_svg(scene, prefix=f"sign{number}", standalone=False), scene.title)
        for number, scene in enumerate(scenes)
    )


@lru_cache(64)
def generated(level: int, seed: int, topic: str | None = None) -> Case:
    """The practice case of a level, a seed and perhaps a topic."""
    (case,) = actions.practice(level, seed, 1, topic)
    return case


@remembered
def written(case: Case) -> str:
    """The case as the text of its file."""
    return write_case(case)


def chances(outcome: Outcome) -> Sequence[PersonChances]:
    """Every person's chances, as far as the case could be solved."""
    return outcome.solution.people if outcome.solution else ()
