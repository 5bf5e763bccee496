"""Which genotypes conflicting facts leave to people, and for whom that is none.

Asked of the same tables that the engine uses; only whether something is possible counts here, not
how likely it is.  `risk.wording.conflicts` puts it into words.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import product

from risk.inference.order import places
from risk.model.facts import Fact
from risk.model.family import Birth, Family


@dataclass(frozen=True, slots=True)
class Left:
    """The genotypes left to somebody, as places in their list, and the facts that leave no others.

    `people` are the ids of one person or of identical twins, with so many `copies` of the locus.
    `counts` are the numbers of disease alleles that the genotypes have; `mosaic` tells that one of
    them is a germline mosaic.
    """

    variable: int
    people: tuple[str, ...]
    copies: int
    places: frozenset[int]
    counts: frozenset[int]
    mosaic: bool
    facts: tuple[Fact, ...] = ()


@dataclass(frozen=True, slots=True)
class FromNowhere:
    """The allele can come from nowhere: no founder has it, and it does not arise."""


@dataclass(frozen=True, slots=True)
class OneGenotype:
    """The facts are about one genotype, of one person or of identical twins.

    Where they leave any, no child of two parents has those, or no founder, who has `founders`.
    """

    left: Left
    founders: Left | None


@dataclass(frozen=True, slots=True)
class OneBirth:
    """A child cannot have the genotype that is left to it from parents with those left to them.

    A son on the X has one parent here, the mother; else she is the first.
    """

    child: Left
    parents: tuple[Left, ...]


@dataclass(frozen=True, slots=True)
class SiblingsTogether:
    """No genotypes of two parents (of one on the X) allow for all their `children`."""

    parents: tuple[str, ...]
    children: int


Reason = FromNowhere | OneGenotype | OneBirth | SiblingsTogether


def why_none_is_left(family: Family, facts: Sequence[Fact]) -> Reason | None:
    """Return why facts that conflict cannot be together, where the reason is a simple one."""
    reasons = _Reasons(family, facts)
    return reasons.nowhere() or reasons.one_genotype() or reasons.one_birth()


class _Reasons:
    """Why facts that conflict cannot be together, read off what each leaves a person."""

    def __init__(self, family: Family, facts: Sequence[Fact]) -> None:
        self.family = family
        self.locus = family.locus
        self.facts = facts
        self._births = {birth.child: birth for birth in family.births}
        self._people: dict[int, list[str]] = {}
        for person in family.case.people:
            self._people.setdefault(family.variable[person.id], []).append(person.id)

    def nowhere(self) -> FromNowhere | None:
        """Return that no founder has the allele that some fact needs, and that none arises."""
        sources = [self.locus.founder(copies, 0).mask for copies in (1, 2)]
        if any(mask > 1 for mask in sources) or any(self.locus.mutation):
            return None
        if all(0 in self._own(self.family.variable[fact.person]).places for fact in self.facts):
            return None
        return FromNowhere()

    def one_genotype(self) -> OneGenotype | None:
        """Return what the facts leave of one genotype, where they are about one alone."""
        variables = {self.family.variable[fact.person] for fact in self.facts}
        if len(variables) > 1:
            return None
        (variable,) = variables
        founders = None if variable in self._births else self._left(variable, self._first(variable))
        return OneGenotype(self._own(variable), founders)

    def one_birth(self) -> OneBirth | SiblingsTogether | None:
        """Return who cannot have the genotype that is left from the parents as they are."""
        family = self.family
        #: What is left of each variable by its own facts and those above it.
        left: dict[int, Left] = {}
        for variable in self._downwards({family.variable[fact.person] for fact in self.facts}):
            own = self._own(variable)
            birth = self._births.get(variable)
            if birth is None:
                left[variable] = self._left(variable, own.places & self._first(variable), own.facts)
                continue
            born = places(self.locus.born_mask[family.copies[variable]])
            own = self._left(variable, own.places.intersection(born), own.facts)
            parents = tuple([left[parent] for parent in birth.parents])
            given = self._given(birth, [parent.places for parent in parents])
            if not own.places & given:
                told = own.facts and any(parent.facts for parent in parents)
                return OneBirth(own, parents) if told else None
            above = tuple(dict.fromkeys(fact for parent in parents for fact in parent.facts))
            narrowed = len(given) < len(self._given(birth, map(self._all, birth.parents)))
            facts = own.facts + above * narrowed
            left[variable] = self._left(variable, own.places & given, facts)
        return self._siblings()

    def _left(self, variable: int, of: Collection[int], facts: Collection[Fact] = ()) -> Left:
        """Return the genotypes `of` these places as what is left to somebody by facts."""
        copies = self.family.copies[variable]
        genotypes = [self.locus.listed[copies][place] for place in of]
        return Left(
            variable,
            tuple(self._people[variable]),
            copies,
            frozenset(of),
            frozenset([genotype.disease_alleles for genotype in genotypes]),
            any(genotype.mosaic for genotype in genotypes),
            tuple(facts),
        )

    def _own(self, variable: int) -> Left:
        """Return what is left of a genotype by the facts about it alone."""
        copies = self.family.copies[variable]
        facts = [f for f in self.facts if self.family.variable[f.person] == variable]
        likely = [self.locus.fact_likelihood(copies, fact.evidence) for fact in facts]
        return self._left(
            variable,
            [place for place in self._all(variable) if all(chances[place] for chances in likely)],
            facts,
        )

    def _all(self, variable: int) -> Collection[int]:
        """Return the places of all genotypes of somebody."""
        return range(len(self.locus.listed[self.family.copies[variable]]))

    def _first(self, variable: int) -> frozenset[int]:
        """Return those that a founder can have."""
        return frozenset(places(self.locus.founder(self.family.copies[variable], 0).mask))

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

    def _given(self, birth: Birth, parents: Iterable[Collection[int]]) -> frozenset[int]:
        """Return the genotypes that a child of such parents can have."""
        copies = self.family.copies[birth.child]
        return frozenset(
            place
            for pair in product(*parents)
            for place, rate in enumerate(
                self.locus.children(copies, pair[0], pair[1] if len(pair) > 1 else None)
            )
            if rate
        )

    def _siblings(self) -> SiblingsTogether | None:
        """Return the children of whom and whose parents more is known than can be together."""
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
                for mother_place in self._own(mother).places
                for father_place in (self._own(next(iter(fathers))).places if fathers else (None,))
            ):
                parents = [self._own(each).people[0] for each in (*fathers, mother)]
                return SiblingsTogether(tuple(parents), len(births))
        return None

    def _allows(self, birth: Birth, mother: int, father: int | None) -> bool:
        """Tell whether a child can have a genotype of those left to it, of parents like these."""
        copies = self.family.copies[birth.child]
        chances = self.locus.children(copies, mother, None if birth.father is None else father)
        return any(chances[place] for place in self._own(birth.child).places)
