"""What ties two people together, or keeps what one has from telling of the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from typing import Any

from risk.case.kin import shared_line
from risk.genetics.founders import mutates
from risk.inference.plan import Scope
from risk.workings import two_people
from risk.workings.kinship import kinship
from risk.workings.reasons import Reasons
from risk.workings.step import AncestorsCase, Said, State, Transmission, Value
from risk.workings.weigh import Facts, Hypothesis, equal, same, share, total

#: How many cases of what ancestors have are told one by one.
_MOST_CASES = 4


def why_independent(
    reasons: Reasons, pair: Scope, facts: Facts, *, at_first: bool = False, always: bool = False
) -> list[Said]:
    """Say why two people are independent given `facts`: nothing where nothing joins them.

    `at_first`: before their children are counted; `always` say that they are.
    """
    words = reasons.words
    between = _between(reasons, pair, facts)
    if between:
        text = two_people.why_apart(words, pair, between, at_first=at_first)
        return [words.said(text, [*pair, *between])]
    why = _parting(reasons, pair, facts)
    if why:
        text = two_people.why_parted(words, pair, why, at_first=at_first)
        return [words.said(text, pair)]
    told = _told_of_children(reasons, pair, facts)
    if told:
        return [words.said(two_people.why_multiplied(words, pair, told), pair)]
    if not always:
        return []
    return [words.said(two_people.why_apart(words, pair, at_first=at_first), pair)]


def _told_of_children(reasons: Reasons, pair: Scope, facts: Facts) -> Facts:
    """Return what is known of common children of two people, neither of whom is certain."""
    if any(reasons.weigher.certain(each, facts) is not None for each in pair):
        return frozenset()
    births = [each for each in reasons.births_of.get(pair[0], ()) if pair[1] in each.parents]
    return facts & frozenset().union(*[reasons.told_from(birth.child) for birth in births])


def _between(reasons: Reasons, pair: Scope, facts: Facts) -> dict[int, State]:
    """Return people of certain genotypes through whom alone two people are related.

    Nobody where the two are not related, or one of them is certain.  Otherwise all the common
    ancestors where these are certain, or else somebody on each path between the two.
    """
    related = kinship(reasons.family, *pair)
    weigher = reasons.weigher
    if related is None or any(weigher.certain(each, facts) is not None for each in pair):
        return {}
    found: dict[int, State] = {}
    if not set(related.ancestors) & set(pair):
        for variable in related.ancestors:
            state = weigher.certain(variable, facts)
            if state is None:
                break
            found[variable] = state
        else:
            return found
    found = {}
    for path in related.paths:
        certain = _certain_on(reasons, path, facts)
        if certain is None:
            return {}
        found[certain[0]] = certain[1]
    return found


def _certain_on(reasons: Reasons, path: Scope, facts: Facts) -> tuple[int, State] | None:
    """Return the first person between the ends of a path who is certain, with the genotype."""
    for variable in path[1:-1]:
        state = reasons.weigher.certain(variable, facts)
        if state is not None:
            return variable, state
    return None


def _parting(reasons: Reasons, pair: Scope, facts: Facts) -> list[str]:
    """Return what parts each path between two relatives, if not people of certain genotypes
    alone; nothing where a path is open, or one of the two is certain.
    """
    related = kinship(reasons.family, *pair)
    weigher, words = reasons.weigher, reasons.words
    if any(weigher.certain(each, facts) is not None for each in pair):
        return []
    if related is None:
        if _related_but_for_the_x(reasons, pair):
            return [two_people.no_x_from_fathers(words, pair)]
        return []
    found: list[str] = []
    for path in related.paths:
        certain = _certain_on(reasons, path, facts)
        couple = _couple_with_one(reasons, path, facts)
        if certain is not None:
            found.append(f"{words.who(certain[0])} {words.has(*certain)} for certain")
        elif couple is not None:
            found.append(two_people.one_of_a_couple(words, couple))
        else:
            return []
    return list(dict.fromkeys(found))


def _related_but_for_the_x(reasons: Reasons, pair: Scope) -> bool:
    """Tell whether two people have common ancestors, but none from whom both have an X."""
    case = reasons.family.case
    if not case.condition.x_linked:
        return False
    one, two = [reasons.words.id_of(variable, None) for variable in pair]
    mine, others = [reasons.family.ancestry([variable]) for variable in pair]
    return bool(shared_line(case, one, two)) and not set(mine) & set(others)


def _couple_with_one(reasons: Reasons, path: Scope, facts: Facts) -> Scope | None:
    """Return the parents of somebody on a path that goes by one of them, where `facts` leave
    just one of the two one allele.

    What the child gets then does not depend on which of them it is.
    """
    condition = reasons.family.case.condition
    if condition.x_linked or mutates(condition):
        return None
    for one, two in pairwise(path):
        for parent, child in ((one, two), (two, one)):
            parents = tuple(sorted(reasons.family.parents[child]))
            if parent in parents and len(parents) == 2:
                possible = set(reasons.weigher.possible(parents, facts))
                if possible == {(0, 1), (1, 0)}:
                    return parents
    return None


def cases_of_ancestors(
    reasons: Reasons, pair: Scope, common: Scope, facts: Facts
) -> list[AncestorsCase]:
    """Return the cases of what common ancestors have, given which two people are independent.

    Nothing where they are not so, or where the cases are too many to follow.
    """
    weigher = reasons.weigher
    rest = tuple([each for each in pair if each not in common])
    joint = weigher.posterior((*common, *rest), facts)
    by_ancestors: dict[Hypothesis, dict[Hypothesis, Value]] = {}
    for hypothesis, chance in joint.items():
        case, own = hypothesis[: len(common)], hypothesis[len(common) :]
        of = dict(zip((*common, *rest), (*case, *own), strict=True))
        key = tuple([of[each] for each in pair])
        by_ancestors.setdefault(case, {})[key] = chance
    found: list[AncestorsCase] = []
    for case, chances in by_ancestors.items():
        made = _independent_in(case, chances)
        if made is None:
            return []
        one, two = [_passing_in_case(reasons, each, common, case, facts) for each in pair]
        made = replace(made, passing=(one, two))
        like = next((each for each in found if all(map(same, each.states, made.states))), None)
        if like is not None:
            found.remove(like)
            chance = like.chance + made.chance  # type: ignore[operator]
            # What one of the two gets may be alike where what the other gets is not.
            both = zip(like.passing, made.passing, strict=True)
            mine, others = [mine if mine == others else {} for mine, others in both]
            made = AncestorsCase((*like.hypotheses, case), chance, made.states, (mine, others))
        found.append(made)
    return found if len(found) <= _MOST_CASES else []


def _passing_in_case(
    reasons: Reasons, variable: int, common: Scope, case: Hypothesis, facts: Facts
) -> dict[int, Transmission]:
    """Return with what chances each parent passes the allele on, in a `case` of ancestors.

    Of `facts` those of the child and its descendants are left out.
    """
    birth = reasons.births.get(variable)
    if birth is None or variable in common:
        return {}
    above = facts - reasons.told_from(variable)
    found = {}
    for parent in birth.parents:
        if parent in common:
            shares: dict[State, Value] = {case[common.index(parent)]: Fraction(1)}
        else:
            joint = reasons.weigher.posterior((*common, parent), above)
            chances = {each[-1]: x for each, x in joint.items() if each[:-1] == case}
            whole = total(chances.values())
            shares = {state: share(chance, whole) for state, chance in chances.items()}
        terms = reasons.terms(birth, parent, shares)
        if terms:
            found[parent] = terms
    return found


def known_of(
    reasons: Reasons, variable: int, common: Scope, cases: Sequence[AncestorsCase], facts: Facts
) -> dict[State, Value] | None:
    """Return the chance of what is known of someone and those below, by the own genotype.

    Empty where it tells none apart; None where it differs with what `common` ancestors have.
    """
    told = reasons.told_from(variable) & facts
    found: dict[State, Value] = {}
    listed = [case for each in cases for case in each.hypotheses]
    ratios = reasons.weigher.ratios((*common, variable), facts - told, told)
    for hypothesis in reasons.weigher.possible((*common, variable), facts - told):
        chance = ratios.get(hypothesis, Fraction(0))
        if hypothesis[:-1] not in listed:
            continue
        if not equal(found.setdefault(hypothesis[-1], chance), chance):
            return None
    kept = list(found.values())
    return {} if all(equal(each, kept[0]) for each in kept) else found


def _independent_in(case: Hypothesis, chances: dict[Hypothesis, Value]) -> AncestorsCase | None:
    """Return a case of what ancestors have, or None where two people are not independent in it."""
    whole: Any = sum(chances.values())
    states: tuple[dict[State, Any], dict[State, Any]] = ({}, {})
    for hypothesis, chance in chances.items():
        for own, state in zip(states, hypothesis, strict=True):
            own[state] = own.get(state, 0) + chance / whole
    for one, first in states[0].items():
        for two, second in states[1].items():
            if not equal(chances.get((one, two), 0) / whole, first * second):
                return None
    return AncestorsCase((case,), whole, states)
