"""Why facts cannot all be true, in plain words, where the reason is a simple one.

A conflict names a smallest set of facts (`risk.model.conflict`).  What each of them leaves of a
person's genotype, and what two parents can give a child, is asked of the same tables that the
engine uses; only whether something is possible counts here, not how likely it is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import product

from risk.case.model import Case
from risk.inference.order import places
from risk.model.facts import Fact
from risk.model.family import Birth, Family
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
    reasons = _Reasons(family, facts)
    return reasons.nowhere() or reasons.one_genotype() or reasons.one_birth()


@dataclass(frozen=True, slots=True)
class _Left:
    """The genotypes (places) left to somebody, and the facts that leave no others."""

    places: frozenset[int]
    facts: tuple[Fact, ...] = ()


def _by_variable(person: tuple[int, _Left]) -> int:
    return person[0]


class _Reasons:
    """Why facts that conflict cannot be together, read off what each leaves a person."""

    def __init__(self, family: Family, facts: list[Fact]) -> None:
        self.family = family
        self.case = family.case
        self.locus = family.locus
        self.facts = facts
        #: What is left of each variable by its own facts and those above it.
        self.left: dict[int, _Left] = {}
        self._births = {birth.child: birth for birth in family.births}

    def nowhere(self) -> str:
        """The allele can come from nowhere: no founder has it, and it does not arise."""
        sources = [self.locus.founder(copies, 0).mask for copies in (1, 2)]
        if any(mask > 1 for mask in sources) or any(self.locus.mutation):
            return ""
        if all(0 in self._own(fact.person).places for fact in self.facts):
            return ""
        balance = self.case.condition.frequency.mutation_selection_balance
        why = "no founder has the disease allele (its frequency is 0) and none arises anew"
        if balance is not None:
            why = "without new mutations no disease allele is left at balance"
        return f"{why}, so that nobody can have it; but {self._said(self.facts)}"

    def one_genotype(self) -> str:
        """The facts are about one genotype, of one person or of identical twins."""
        variables = {self.family.variable[fact.person] for fact in self.facts}
        if len(variables) > 1:
            return ""
        people = list(dict.fromkeys(fact.person for fact in self.facts))
        said = self._said(self.facts)
        (variable,) = variables
        own = self._own_of(variable)
        if own.places:
            if variable in self._births:
                but = "no parents can have such a child"
            else:
                mask = self.locus.founder(self.family.copies[variable], 0).mask
                but = f"a founder has {self._has(variable, places(mask))}"
            has = self._has(variable, own.places)
            return f"{said} and so {self._have(people)} {has}, but {but} under this condition"
        if len(people) > 1:
            return f"{said}, but identical twins have one and the same genotype"
        if len(self.facts) == 1:
            return f"{said}, which no genotype allows under this condition"
        return f"{said}, which no genotype allows together"

    def one_birth(self) -> str:
        """Somebody cannot have the genotype that is left from the parents as they are."""
        family = self.family
        told = {family.variable[fact.person] for fact in self.facts}
        for variable in self._downwards(told):
            own = self._own_of(variable)
            birth = self._births.get(variable)
            if birth is None:
                mask = self.locus.founder(family.copies[variable], 0).mask
                self.left[variable] = _Left(own.places.intersection(places(mask)), own.facts)
                continue
            born = places(self.locus.born_mask[family.copies[variable]])
            own = _Left(own.places.intersection(born), own.facts)
            parents = [self.left[parent] for parent in birth.parents]
            given = self._given(birth, parents)
            if not own.places & given:
                return self._between(birth, own, parents)
            above = tuple(dict.fromkeys(fact for parent in parents for fact in parent.facts))
            narrowed = len(given) < len(self._all_given(birth))
            self.left[variable] = _Left(own.places & given, own.facts + above * narrowed)
        return self._siblings()

    # --- what is left -----------------------------------------------------------------------

    def _own(self, id: str) -> _Left:
        return self._own_of(self.family.variable[id])

    def _own_of(self, variable: int) -> _Left:
        """Return what is left of a genotype by the facts about it alone."""
        copies = self.family.copies[variable]
        facts = [f for f in self.facts if self.family.variable[f.person] == variable]
        places = frozenset(
            place
            for place in range(len(self.locus.listed[copies]))
            if all(self.locus.fact_likelihood(copies, fact.evidence)[place] for fact in facts)
        )
        return _Left(places, tuple(facts))

    def _downwards(self, told: Iterable[int]) -> list[int]:
        """Return the people of the facts and their ancestors, parents before children."""
        found: dict[int, None] = {}
        waiting = sorted(told, reverse=True)
        while waiting:  # a line of descent may be longer than Python recurses
            missing = [p for p in self.family.parents[waiting[-1]] if p not in found]
            if missing:
                waiting += reversed(missing)
            else:
                found.setdefault(waiting.pop())
        return [variable for variable in found if self.family.copies[variable]]

    def _given(self, birth: Birth, parents: Sequence[_Left]) -> frozenset[int]:
        """Return the genotypes that a child of such parents can have."""
        copies = self.family.copies[birth.child]
        return frozenset(
            place
            for pair in product(*(parent.places for parent in parents))
            for place, rate in enumerate(
                self.locus.children(copies, pair[0], pair[1] if len(pair) > 1 else None)
            )
            if rate
        )

    def _all_given(self, birth: Birth) -> frozenset[int]:
        whole = [
            _Left(frozenset(range(len(self.locus.listed[self.family.copies[parent]]))))
            for parent in birth.parents
        ]
        return self._given(birth, whole)

    # --- words --------------------------------------------------------------------------------

    def _said(self, facts: Sequence[Fact]) -> str:
        """Tell facts in the order of the case, alike ones together."""
        return joined(fact_phrases([fact for fact in self.facts if fact in facts], self.case))

    def _who(self, variable: int) -> str:
        for person in self.case.people:
            if self.family.variable[person.id] == variable:
                return person.name or person.id
        return "?"

    def _has(self, variable: int, places: Iterable[int]) -> str:
        """Say what is left: ``no disease allele``, ``at least one disease allele``."""
        copies = self.family.copies[variable]
        listed = self.locus.listed[copies]
        counts = {listed[place].disease_alleles for place in places}
        mosaic = any(listed[place].mosaic for place in places)
        if copies == 1:
            return "the disease allele" if counts == {1} else "no disease allele"
        if counts == {0}:
            return "no disease allele" + (", save perhaps as a germline mosaic" if mosaic else "")
        return {
            (1,): "just one disease allele",
            (2,): "two disease alleles",
            (0, 1): "at most one disease allele",
            (1, 2): "at least one disease allele",
        }.get(tuple(sorted(counts)), "none or two disease alleles")

    def _between(self, birth: Birth, own: _Left, parents: Sequence[_Left]) -> str:
        """Say what a child must have, what its parents have, and why that cannot be."""
        told = [
            (parent, left)
            for parent, left in sorted(zip(birth.parents, parents, strict=True), key=_by_variable)
            if left.facts
        ]
        if not told or not own.facts:
            return ""
        groups: dict[str, list[tuple[int, _Left]]] = {}
        for parent, left in told:
            groups.setdefault(self._has(parent, left.places), []).append((parent, left))
        clauses = [self._clause(group, has) for has, group in groups.items()]
        child = self._clause([(birth.child, own)], self._has(birth.child, own.places))
        rule = self._rule(birth, own, parents)
        return f"{child}, but {joined(clauses)}{f': {rule}' if rule else ''}"

    def _clause(self, people: Sequence[tuple[int, _Left]], has: str) -> str:
        """Say of people what is known and what they therefore have."""
        facts = tuple(dict.fromkeys(fact for _, left in people for fact in left.facts))
        said = self._said(facts)
        variables = {variable for variable, _ in people}
        owners = {self.family.variable[fact.person] for fact in facts}
        if owners <= variables:
            stated = all(fact.evidence.kind == "genotype" for fact in facts)
            have = self._have({fact.person for fact in facts})
            return said if stated else f"{said} and so {have} {has}"
        names = joined([self._who(variable) for variable, _ in people])
        have = "have" if len(people) > 1 else "has"
        return f"{names} {have} {has}, as {said}"

    def _have(self, ids: Collection[str]) -> str:
        """Return the verb that follows the facts of these people; one may stand for several."""
        several = len(ids) > 1 or any(self.case.person(id).count for id in ids)
        return "have" if several else "has"

    def _rule(self, birth: Birth, own: _Left, parents: Sequence[_Left]) -> str:
        """Name the law of inheritance that is broken."""
        needed = self._counts(birth.child, own)
        given = [
            self._counts(parent, left) for parent, left in zip(birth.parents, parents, strict=True)
        ]
        if birth.father is None:
            return "a son has his one X from his mother" if self.case.condition.x_linked else ""
        if 0 not in needed and all(counts == {0} for counts in given):
            return "there is none to pass on, and none arises anew"
        if self.case.condition.x_linked and not parents[0].facts:
            return "a father passes his X on to every daughter"
        if needed == {2} and {0} in given:
            return "of two alleles, one comes from each parent"
        if needed == {0} and {2} in given:
            return "who has two passes one on for certain"
        if 2 not in needed and given == [{2}, {2}]:
            return "each parent passes one on for certain"
        return ""

    def _counts(self, variable: int, left: _Left) -> set[int]:
        listed = self.locus.listed[self.family.copies[variable]]
        return {listed[place].disease_alleles for place in left.places}

    def _siblings(self) -> str:
        """No genotypes of two parents allow for all that is known of them and their children."""
        told = {self.family.variable[fact.person] for fact in self.facts}
        couples: dict[int, list[Birth]] = {}
        for birth in self.family.births:
            if birth.child in told:
                couples.setdefault(birth.mother, []).append(birth)
        for mother, births in couples.items():
            fathers = {birth.father for birth in births if birth.father is not None}
            children = {birth.child for birth in births}
            if len(births) < 2 or len(fathers) > 1 or not told <= children | fathers | {mother}:
                continue
            if not any(
                all(self._allows(birth, mother_place, father_place) for birth in births)
                for mother_place in self._own_of(mother).places
                for father_place in (
                    self._own_of(next(iter(fathers))).places if fathers else (None,)
                )
            ):
                names = joined([self._who(each) for each in (*sorted(fathers), mother)])
                which = "both" if len(births) == 2 else "all of them"
                allow = "allow" if fathers else "allows"
                no = "no genotypes" if fathers else "no genotype"
                return f"{self._said(self.facts)}, and {no} of {names} {allow} for {which}"
        return ""

    def _allows(self, birth: Birth, mother: int, father: int | None) -> bool:
        """Tell whether a child can have a genotype of those left to it, of parents like these."""
        copies = self.family.copies[birth.child]
        chances = self.locus.children(copies, mother, None if birth.father is None else father)
        return any(chances[place] for place in self._own_of(birth.child).places)
