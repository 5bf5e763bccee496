"""Why facts cannot all be true, in plain words, where the reason is a simple one.

A conflict names a smallest set of facts (`risk.model.conflict`), and what these leave of people's
genotypes (`risk.model.genotypes_left`) is the reason.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from risk.case.model import Case
from risk.model.facts import Fact
from risk.model.family import Family
from risk.model.genotypes_left import (
    FromNowhere,
    Left,
    OneBirth,
    OneGenotype,
    SiblingsTogether,
    why_none_is_left,
)
from risk.wording.facts import fact_phrases
from risk.wording.phrases import joined


def why_impossible(case: Case, conflict: Sequence[str]) -> str:
    """Return a clause that says why the facts of a conflict exclude each other, or ``""``.

    Without a capital or a full stop: ``I-1 and I-2 are unaffected, and so ...``.
    """
    family = Family(case)
    facts = [fact for fact in family.facts if fact.path in set(conflict)]
    if not facts or len(facts) != len(set(conflict)):
        return ""
    words = _Words(case, facts)
    match why_none_is_left(family, facts):
        case FromNowhere():
            return words.nowhere()
        case OneGenotype() as reason:
            return words.one_genotype(reason)
        case OneBirth() as reason:
            return words.one_birth(reason)
        case SiblingsTogether() as reason:
            return words.siblings(reason)
    return ""


class _Words:
    """Sentences on facts that conflict."""

    def __init__(self, case: Case, facts: Sequence[Fact]) -> None:
        self.case = case
        self.facts = facts

    def nowhere(self) -> str:
        why = "no founder has the disease allele (its frequency is 0) and none arises anew"
        if self.case.condition.frequency.mutation_selection_balance is not None:
            why = "without new mutations no disease allele is left at balance"
        return f"{why}, so that nobody can have it; but {self._said(self.facts)}"

    def one_genotype(self, reason: OneGenotype) -> str:
        people = list(dict.fromkeys(fact.person for fact in self.facts))
        said = self._said(self.facts)
        if reason.left.places:
            but = "no parents can have such a child"
            if reason.founders is not None:
                but = f"a founder has {_has(reason.founders)}"
            has = f"{self._have(people)} {_has(reason.left)}"
            return f"{said} and so {has}, but {but} under this condition"
        if len(people) > 1:
            return f"{said}, but identical twins have one and the same genotype"
        if len(self.facts) == 1:
            return f"{said}, which no genotype allows under this condition"
        return f"{said}, which no genotype allows together"

    def one_birth(self, reason: OneBirth) -> str:
        """Say what a child must have, what its parents have, and why that cannot be."""
        groups: dict[str, list[Left]] = {}
        for parent in sorted(reason.parents, key=lambda each: each.variable):
            if parent.facts:
                groups.setdefault(_has(parent), []).append(parent)
        clauses = joined(list(map(self._clause, groups.values())))
        rule = self._rule(reason)
        return f"{self._clause([reason.child])}, but {clauses}{f': {rule}' if rule else ''}"

    def siblings(self, reason: SiblingsTogether) -> str:
        names = joined(list(map(self._who, reason.parents)))
        which = "both" if reason.children == 2 else "all of them"
        couple = len(reason.parents) > 1
        allow = f"no genotypes of {names} allow" if couple else f"no genotype of {names} allows"
        return f"{self._said(self.facts)}, and {allow} for {which}"

    def _said(self, facts: Sequence[Fact]) -> str:
        """Tell facts in the order of the case, alike ones together."""
        return joined(fact_phrases([fact for fact in self.facts if fact in facts], self.case))

    def _who(self, id: str) -> str:
        return self.case.person(id).name or id

    def _have(self, ids: Collection[str]) -> str:
        """Return the verb that follows the facts of these people; one may stand for several."""
        several = len(ids) > 1 or any(self.case.person(id).count for id in ids)
        return "have" if several else "has"

    def _clause(self, alike: Sequence[Left]) -> str:
        """Say of people with the same left what is known and what they therefore have."""
        has = _has(alike[0])
        facts = tuple(dict.fromkeys(fact for each in alike for fact in each.facts))
        said = self._said(facts)
        owners = {fact.person for fact in facts}
        if owners <= {id for each in alike for id in each.people}:
            stated = all(fact.evidence.kind == "genotype" for fact in facts)
            return said if stated else f"{said} and so {self._have(owners)} {has}"
        names = joined([self._who(each.people[0]) for each in alike])
        have = "have" if len(alike) > 1 else "has"
        return f"{names} {have} {has}, as {said}"

    def _rule(self, reason: OneBirth) -> str:
        """Name the law of inheritance that is broken."""
        needed = reason.child.counts
        given = [set(parent.counts) for parent in reason.parents]
        x_linked = self.case.condition.x_linked
        if len(given) == 1:
            return "a son has his one X from his mother" if x_linked else ""
        if 0 not in needed and all(counts == {0} for counts in given):
            return "there is none to pass on, and none arises anew"
        if x_linked and not reason.parents[0].facts:
            return "a father passes his X on to every daughter"
        if needed == {2} and {0} in given:
            return "of two alleles, one comes from each parent"
        if needed == {0} and {2} in given:
            return "who has two passes one on for certain"
        if 2 not in needed and given == [{2}, {2}]:
            return "each parent passes one on for certain"
        return ""


def _has(left: Left) -> str:
    """Say what is left: ``no disease allele``, ``at least one disease allele``."""
    if left.copies == 1:
        return "the disease allele" if left.counts == {1} else "no disease allele"
    if left.counts == {0}:
        mosaic = ", save perhaps as a germline mosaic" if left.mosaic else ""
        return f"no disease allele{mosaic}"
    return {
        (1,): "just one disease allele",
        (2,): "two disease alleles",
        (0, 1): "at most one disease allele",
        (1, 2): "at least one disease allele",
    }.get(tuple(sorted(left.counts)), "none or two disease alleles")
