"""Practice cases: made from a seed, solvable by hand, each with the story that it tells.

A template of the level is drawn, its case is solved and explained, and it is kept only if a
student can do it: the answers are neither 0 nor 1, the fractions are short, and the working has
few steps and rows.  The same seed gives the same cases.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from random import Random

from risk.case.model import Case, Person
from risk.inference.arithmetic import Term
from risk.model.solve import answers
from risk.problems import InputError, Problem, RiskError, did_you_mean, shown
from risk.teaching.practice_easy import LEVEL_1, LEVEL_2, Template
from risk.teaching.practice_hard import LEVEL_3, LEVEL_4
from risk.teaching.practice_levels import MOST_CASES
from risk.teaching.practice_words import vignette
from risk.teaching.slip_answers import given
from risk.workings.derive import explain

LEVELS: Mapping[int, Mapping[str, tuple[Template, ...]]] = {
    1: LEVEL_1, 2: LEVEL_2, 3: LEVEL_3, 4: LEVEL_4,
}  # fmt: skip

#: So many turns of a template without a new case, and there are no more.
_PATIENCE = 20
#: After so many tries of a template a case with the answers of an earlier one will do.
_FASTIDIOUS = 8


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a student of a level can do by hand for one question.

    `steps` tables of at most `columns` hypotheses, `rows` lines in all, and no fraction with a
    denominator above `denominator`.
    """

    steps: int
    rows: int
    columns: int
    denominator: int


BOUNDS: Mapping[int, Bounds] = {
    1: Bounds(3, 6, 4, 2_000),
    2: Bounds(5, 10, 6, 10_000),
    3: Bounds(7, 14, 9, 200_000),
    4: Bounds(9, 20, 12, 1_000_000),
}


def topics(level: int) -> tuple[str, ...]:
    """Return the topics of a level; raises InputError for a level that there is not."""
    if level not in LEVELS:
        raise InputError([Problem("level", f"{level} is not a level; there are 1, 2, 3 and 4")])
    return tuple(LEVELS[level])


def practice(level: int, seed: int, count: int = 1, topic: str | None = None) -> tuple[Case, ...]:
    """Return `count` different cases of a level, of one `topic` or of all by turns.

    No two cases of a set are alike: they differ in more than names.  Raises InputError for a
    level or topic that there is not, and where fewer such cases exist.
    """
    names = topics(level)
    if topic is not None and topic not in names:
        raise InputError([Problem("topic", _no_topic(topic, level))])
    if not 1 <= count <= MOST_CASES:
        raise InputError([Problem("count", f"{count} is not a number from 1 to {MOST_CASES}")])
    templates = [
        template for name in names if topic in (None, name) for template in LEVELS[level][name]
    ]
    templates = list(dict.fromkeys(templates))
    dice = Random(f"practice {level} {seed} {topic or 'all'}")
    found: list[Case] = []
    seen: set[object] = set()
    reserve: dict[Template, list[Case]] = {template: [] for template in templates}
    in_vain = Counter[Template]()
    while len(found) < count:
        templates = [each for each in templates if in_vain[each] < _PATIENCE]
        if not templates:
            raise InputError(
                [Problem("count", f"there are only {len(found)} different cases of this kind")]
            )
        for template in dice.sample(templates, len(templates)):
            case = _another(template, dice, level, seen, reserve[template])
            in_vain[template] = 0 if case else in_vain[template] + 1
            if case:
                found.append(_told(case))
            if len(found) == count:
                break
    return tuple(found)


def _another(
    template: Template, dice: Random, level: int, seen: set[object], reserve: list[Case]
) -> Case | None:
    """Return a case of a template that is not like those `seen`, with other answers if it has such.

    Those with answers that were given before are kept in `reserve`.
    """
    for _ in range(_FASTIDIOUS):
        case = template(dice).case()
        like = likeness(case)
        if like in seen:
            continue
        seen.add(like)
        results = within_reach(case, level)
        if results is None:
            continue
        if results not in seen:
            seen.add(results)
            return case
        reserve.append(case)
    return reserve.pop(0) if reserve else None


def _no_topic(topic: str, level: int) -> str:
    names = topics(level)
    other = [str(each) for each in LEVELS if topic in LEVELS[each]]
    where = f"; it is a topic of level {' and '.join(other)}" if other else ""
    hint = where or did_you_mean(topic, names)
    return f"{shown(topic)} is not a topic of level {level}{hint} (there are {', '.join(names)})"


def _told(case: Case) -> Case:
    asked = next(person for person in case.people if "consultand" in person.roles)
    title = f"{asked.name} and {case.condition.name}"
    told = replace(case, title=title, vignette=vignette(case))
    invented = replace(case.condition, name=f"{case.condition.name} (invented)")
    return replace(told, condition=invented)


def likeness(case: Case) -> object:
    """Return what two cases share when only names and the order of siblings tell them apart."""

    def plain(person: Person) -> Person:
        return replace(person, id="", name=None, father=None, mother=None, roles=())

    def key(id: str | None) -> object:
        if id is None:
            return None
        person = case.person(id)
        return (repr(plain(person)), key(person.father), key(person.mother))

    people = Counter(repr(key(person.id)) for person in case.people)
    questions = tuple(
        (
            repr(replace(question, person=None, people=None, parents=None)),
            *(repr(key(id)) for id in (question.people or question.parents or (question.person,))),
        )
        for question in case.questions
    )
    condition = replace(case.condition, name=None)
    return (repr(condition), tuple(sorted(people.items())), questions)


def within_reach(case: Case, level: int) -> tuple[Fraction, ...] | None:
    """Return the answers of a case if a student of the level can find them by hand, else None."""
    bounds = BOUNDS[level]
    try:
        # Of a genotype the chance of one disease allele stands for all three.
        several = [given(answer) for answer in answers(case)]
        chances = [each[1] if len(each) == 3 else each[0] for each in several]
        results = tuple(chance.exact for chance in chances if chance.exact is not None)
        if len(results) < len(chances) or len(set(results)) < len(results):
            return None
        if not all(0 < value < 1 and value.denominator <= bounds.denominator for value in results):
            return None
        workings = explain(case)
    except RiskError:
        return None
    for working in workings:
        steps = working.steps
        if len(steps) > bounds.steps or sum(len(step.rows) for step in steps) > bounds.rows:
            return None
        if any(len(step.hypotheses) > bounds.columns for step in steps):
            return None
        values = [value for step in steps for row in step.rows for value in row.values]
        for value in values:
            number = value.coefficient if isinstance(value, Term) else value
            if not isinstance(number, Fraction | int):
                return None
            if Fraction(number).denominator > bounds.denominator:
                return None
    return results
