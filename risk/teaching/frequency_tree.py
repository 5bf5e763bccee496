"""A test result in whole people: of so many like this one, who tests positive, and who carries.

The chance before the test is the engine's answer for the case without that result; the rates
are the test's own.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import lcm
from typing import Literal

from risk.case.model import Case, Person, Question, Test
from risk.model import solve
from risk.number import half_up

#: People are whole; where that would need more than this many, they are rounded.
_MOST_PEOPLE = 1_000_000


@dataclass(frozen=True, slots=True)
class FrequencyTree:
    """Of `total` people like `person` before the test, `carriers` have a disease allele.

    `leaves` are: carriers positive, carriers negative, others positive, others negative.
    `result` is the one that the person had.  `about` says that the numbers are rounded.
    """

    person: str
    test: str
    result: Literal["positive", "negative"]
    total: int
    carriers: int
    leaves: tuple[int, int, int, int]
    about: bool


def frequency_trees(case: Case) -> tuple[FrequencyTree, ...]:
    """Return a tree for each result of a test with sensitivity and specificity, in file order.

    Results whose prior chance is not rational, or 0 or 1, have none.  Raises as `solve`.
    """
    tests = {test.name: test for test in case.condition.tests or ()}
    trees = []
    for person in case.people:
        for index, result in enumerate(person.tests):
            test = tests[result.test]
            if test.sensitivity is not None and test.specificity is not None:
                tree = _tree(case, person, index, test)
                if tree is not None:
                    trees.append(tree)
    return tuple(trees)


def _tree(case: Case, person: Person, index: int, test: Test) -> FrequencyTree | None:
    assert test.sensitivity is not None
    assert test.specificity is not None
    before = replace(person, tests=person.tests[:index] + person.tests[index + 1 :])
    people = tuple(before if p.id == person.id else p for p in case.people)
    question = Question("disease_allele", person=person.id)
    chance = solve.solve(replace(case, people=people, questions=(question,))).answers[0].probability
    if chance is None or chance.exact is None or chance.exact in (0, 1):
        return None
    prior = chance.exact
    found, cleared = test.sensitivity.value, test.specificity.value
    shares = (
        *(prior * found, prior * (1 - found)),
        *((1 - prior) * (1 - cleared), (1 - prior) * cleared),
    )
    total = lcm(*(share.denominator for share in shares))
    about = total > _MOST_PEOPLE
    if about:
        total = _round_number(min(share for share in shares if share))
    leaves = tuple(int(half_up(share * total)) for share in shares)
    a, b, c, d = leaves
    positive = person.tests[index].result == "positive"
    kind: Literal["positive", "negative"] = "positive" if positive else "negative"
    return FrequencyTree(person.id, test.name, kind, a + b + c + d, a + b, (a, b, c, d), about)


def _round_number(least: Fraction) -> int:
    """A power of ten in which the least share is still at least ten people."""
    total = 1_000
    while total * least < 10 and total < _MOST_PEOPLE * 1_000:
        total *= 10
    return total
