"""With what chance a child of two has what is known of it, by what the two may have."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import prod
from typing import Any

from risk.inference.plan import Scope
from risk.workings import child_rows, child_rule
from risk.workings.reasons import Reasons
from risk.workings.step import Said, State
from risk.workings.weigh import Facts, Hypothesis, total

#: The chances of a child's genotypes, by the child, its parents and what these have.
Conceived = Callable[[int, Scope, Hypothesis], Mapping[State, Any]]


def _likely(reasons: Reasons, child: int, own: Facts) -> dict[State, Fraction]:
    """Return the chance of facts about one such child by its genotype."""
    found: dict[State, Fraction] = {}
    family, weigher = reasons.family, reasons.weigher
    copies, evidence = family.copies[child], [weigher.facts[path].evidence for path in own]
    chances = [family.locus.fact_likelihood(copies, each) for each in evidence]
    for place, likely in enumerate(zip(*chances, strict=True)):
        state = weigher.state(child, place)
        found[state] = max(prod(likely), found.get(state, Fraction(0)))
    return found


def is_plain(reasons: Reasons, child: int, own: Facts) -> bool:
    """Tell whether facts about a child are so for certain, or cannot be, by its genotype."""
    kinds = {reasons.words.facts_kind(path) for path in own}
    return kinds <= {"affected", "genotype"} and {*_likely(reasons, child, own).values()} <= {0, 1}


def by_parents(
    reasons: Reasons,
    parents: Scope,
    children: Sequence[int],
    known: Facts,
    new: Facts,
    conceived: Conceived,
) -> list[Said]:
    """Say by what the parents may have with what chance alike children have what is plain."""
    child, *_ = children
    family, weigher = reasons.family, reasons.weigher
    likely = _likely(reasons, child, weigher.facts_of[child] & new)
    if family.case.condition.viability is not None:
        return []
    # A son on the X has his mother's alone.
    by = reasons.births[child].parents if family.copies[child] == 1 else parents
    chances: dict[Hypothesis, Fraction | None] = {}
    for states in weigher.weights(parents, known):
        of_child = conceived(child, parents, states)
        chance = total([each for state, each in of_child.items() if likely[state]])
        of = dict(zip(parents, states, strict=True))
        chances[tuple([of[each] for each in by])] = chance if isinstance(chance, Fraction) else None
    theirs = new & frozenset().union(*[weigher.facts_of[each] for each in children])
    return child_rows.each_of(reasons.words, children, by, theirs, chances, {})


def passing_rule(reasons: Reasons, parents: Scope, known: Facts) -> Said:
    """Say what a child of two gets, where new mutation or a mosaic takes part."""
    possible, words = reasons.weigher.weights(parents, known), reasons.words
    return words.said(child_rule.passing_rule(words, parents, possible), parents)
