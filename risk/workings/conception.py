"""With what chance a child of two has what is known of it, by what the two may have."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from math import prod
from typing import Any

from risk.genetics.founders import mutates
from risk.inference.plan import Scope
from risk.number import over_one_denominator
from risk.workings import child_rows, child_rule, row_chances
from risk.workings.reasons import Reasons
from risk.workings.step import Passing, Said, State, Value
from risk.workings.sums import Averages, sums_of
from risk.workings.table import product_of
from risk.workings.values import equation, product, value_word
from risk.workings.weigh import Facts, Hypothesis, equal, order_of, share, total


class Conception:
    """The chances of a child's genotypes at conception, each found once."""

    def __init__(self, reasons: Reasons) -> None:
        self.reasons = reasons
        self._found: dict[tuple[int, Hypothesis], dict[State, Any]] = {}

    def conceived(self, child: int, parents: Scope, states: Hypothesis) -> dict[State, Any]:
        """Return the chances of a child's genotypes at conception, by what its parents have."""
        birth, weigher = self.reasons.births[child], self.reasons.weigher
        copies = self.reasons.family.copies
        of = dict(zip(parents, states, strict=True))
        key = copies[child], tuple([of[parent] for parent in birth.parents])
        found = self._found.get(key)
        if found is None:
            found = self._found[key] = {}
            locus = self.reasons.family.locus
            mother, *father = [
                next(p for p, _ in enumerate(locus.listed[copies[v]]) if weigher.state(v, p) == s)
                for v, s in zip(birth.parents, key[1], strict=True)
            ]
            chances = locus.children(copies[child], mother, father[0] if father else None)
            for place, chance in enumerate(chances):
                if chance:
                    state = weigher.state(child, place)
                    found[state] = found.get(state, 0) + chance
        return found

    def in_proportion(
        self, child: int, parents: Scope, cases: Iterable[Hypothesis]
    ) -> dict[Hypothesis, dict[State, Any]]:
        """Return numbers in proportion to the chances `conceived` in several cases.

        They are whole where the chances are fractions, which take four times as long to add up.
        """
        found = {states: self.conceived(child, parents, states) for states in cases}
        chances = [chance for each in found.values() for chance in each.values()]
        if {*map(type, chances)} != {Fraction}:
            return found
        whole = iter(over_one_denominator(chances)[0])
        return {states: {state: next(whole) for state in each} for states, each in found.items()}

    def by_both(self, child: int, parents: Scope, facts: Facts) -> str:
        """Go on with what a child gets as sums over what both its parents may have."""
        gets = self.reasons.weigher.posterior((child,), facts)
        weights = self.reasons.weigher.weights(parents, facts)
        chances = [
            (weight, self.conceived(child, parents, states)) for states, weight in weights.items()
        ]
        products = [
            (state, weight, conceived.get(state[0], 0))
            for state in gets
            for weight, conceived in chances
        ]
        worked = row_chances.averaged(self.reasons.words, child, gets, sums_of(products), most=3)
        rule = passing_rule(self.reasons, (child,), parents, facts).text
        return f"{worked}. {rule}" if rule else worked

    def of_partner(self, variable: int, partner: int, known: Facts) -> Value | None:
        """Return the chance that a partner has one copy where somebody has no allele, if any."""
        weights = self.reasons.weigher.weights((variable, partner), known)
        none = {states[1]: weight for states, weight in weights.items() if states[0] == 0}
        return share(none[1], total(none.values())) if 1 in none else None

    def arising(
        self, child: int, parents: Scope, known: Facts, averages: Averages
    ) -> dict[State, str]:
        """Tell how a child has a rare allele that one parent has not, which is vanishing.

        It comes from the other, or by new mutation; `averages` are over what the child may have.
        """
        both, found = self.reasons.births[child].parents, dict[State, str]()
        others = [each for each in both if each not in parents]
        if len(parents) > 1 or (0,) not in averages:
            return found
        if all(list(self.reasons.weigher.weights((each,), known)) == [(0,)] for each in others):
            for state, chance in self.conceived(child, both, (0,) * len(both)).items():
                if state and order_of(chance):
                    found[state] = f"by new mutation with chance {value_word(chance)}"
            return found
        (partner,) = others
        has = self.of_partner(parents[0], partner, known)
        half = self.conceived(child, (*parents, partner), (0, 1)).get(1, 0)
        if has is not None and order_of(has) and half:
            own = self.reasons.weigher.facts_of[partner] & known
            first = self.of_partner(parents[0], partner, frozenset()) or has
            # By the rows before, and by what is known of the partner.
            then = self.of_partner(parents[0], partner, known - own) if len(own) == 1 else has
            gets = has * half
            if then and any(equal(weight, gets) for weight, _ in averages[(0,)].terms):
                factors = (first, share(then, first), share(has, then), half)
                worked = equation(product(factors), gets)
                found[1] = f"from {self.reasons.words.who(partner)} with chance {worked}"
        return found


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
    order: int,
    conceived: Callable[[int, Scope, Hypothesis], Mapping[State, Any]],
    *,
    named: bool,
) -> list[Said]:
    """Say by what the parents may have with what chance alike children have what is plain.

    A single one is `named`, or told as in a row of its own.
    """
    child, *_ = children
    family, weigher = reasons.family, reasons.weigher
    likely = _likely(reasons, child, weigher.facts_of[child] & new)
    # A son on the X has his mother's alone.
    by = reasons.births[child].parents if family.copies[child] == 1 else parents
    chances: dict[Hypothesis, Fraction | None] = {}
    counted = {*weigher.upto(order, parents, known), *weigher.upto(order, parents, known | new)}
    weights: dict[Hypothesis, Any] = {}
    for states, weight in weigher.weights(parents, known | new).items():
        of = dict(zip(parents, states, strict=True))
        shown = tuple([of[each] for each in by])
        weights[shown] = weights.get(shown, 0) + weight
    number = family.case.person(reasons.words.id_of(child, None)).count or 1
    # Through a loop more may be known of the child than by what its parents have.
    told = weigher.ratios(parents, known, weigher.facts_of[child] & new)
    for states in weigher.weights(parents, known):
        if states not in counted:
            continue
        of_child = conceived(child, parents, states)
        chance = total([each for state, each in of_child.items() if likely[state]])
        if not equal(told.get(states, 0), product_of([chance] * number)):
            return []
        of = dict(zip(parents, states, strict=True))
        chances[tuple([of[each] for each in by])] = (
            Fraction(chance) if isinstance(chance, (int, Fraction)) else None
        )
    theirs = new & frozenset().union(*[weigher.facts_of[each] for each in children])
    return child_rows.each_of(
        reasons.words, children, by, theirs, chances, {}, weights, named=named
    )


def passing_rule(reasons: Reasons, children: Sequence[int], parents: Scope, known: Facts) -> Said:
    """Say what children of two get, where new mutation or a mosaic takes part.

    What a son on the X gets of his mother alone is said with his chance.
    """
    words, condition = reasons.words, reasons.words.condition
    of_both = any(reasons.family.copies[child] == 2 for child in children)
    if not of_both or not (mutates(condition) or condition.germline_mosaicism):
        return Said("")
    possible = reasons.weigher.weights(parents, known)
    topic = Passing(tuple(sorted(parents)))
    # Further on the two may have less than what was told of before, and no more.
    return words.said(
        child_rule.passing_rule(words, parents, possible), parents, topic=topic, again=""
    )
