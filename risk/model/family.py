"""A family as a network of factors: one variable a genotype, one factor an inheritance.

`Family` holds what does not depend on the evidence: who is whose child, which people share a
genotype (monozygotic twins), who has how many copies of the locus.  `Family.network` adds a set
of facts and returns the network to be eliminated, with every impossible genotype left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import log
from typing import Any

from risk.case.model import Case, Person, Twin
from risk.inference.eliminate import POSSIBLE, Arithmetic, Passing, Table
from risk.inference.plan import Plan, Scope, make_plan
from risk.model.facts import Fact, facts_of
from risk.model.locus import Evidence, Locus, Weights, locus
from risk.problems import TooLarge

#: Entries that all tables of one plan may have together; more would fill memory and patience.
MOST_ENTRIES = 8_000_000


@dataclass(frozen=True, slots=True)
class Birth:
    """Variables of a child and its parents; `father` is None for a son on the X."""

    child: int
    mother: int
    father: int | None
    count: int = 1


@dataclass(frozen=True, slots=True)
class TwinPair:
    """The births of two twins of one group; `zygosity` is the variable of the group's zygosity.

    State 1 of `zygosity` says that the twins are monozygotic.
    """

    first: int
    second: int
    zygosity: int


def twin_chance(group: list[Person], twin: Twin) -> Fraction:
    """Return the chance that the twins of `group` are monozygotic."""
    if twin.zygosity == "monozygotic":
        return Fraction(1)
    sexes = {person.sex for person in group}
    if twin.zygosity == "dizygotic" or {"female", "male"} <= sexes:
        return Fraction(0)
    chance = twin.monozygotic_chance
    return Fraction(1, 2) if chance is None else chance.value


class Family:
    """The variables and births of a case, and its facts, ready to be made into networks."""

    def __init__(self, case: Case, *, floating: bool = False) -> None:
        self.case = case
        classes = _classes_matter(case)
        self.locus: Locus = locus(case.condition, classes, floating)
        self.facts: list[Fact] = facts_of(case)
        #: Variable of each person's genotype; monozygotic twins share one.
        self.variable: dict[str, int] = {}
        #: Copies of the locus of each variable; 0 for a zygosity.
        self.copies: list[int] = []
        self.founders: list[tuple[int, Fraction]] = []
        self.births: list[Birth] = []
        self.pairs: list[TwinPair] = []
        #: Variable and chance of being monozygotic, of each group of unknown zygosity.
        self.zygosities: list[tuple[int, Fraction]] = []
        self._add_people()
        touching: list[list[int]] = [[] for _ in self.copies]
        for place, birth in enumerate(self.births):
            touching[birth.child].append(place)
            touching[birth.mother].append(place)
            if birth.father is not None:
                touching[birth.father].append(place)
        self._touching = touching

    def _add_people(self) -> None:
        groups: dict[str, list[Person]] = {}
        for person in self.case.people:
            if person.twin is not None:
                groups.setdefault(person.twin.group, []).append(person)
        leaders: dict[str, str] = {}
        chances: dict[str, Fraction] = {}
        for group in groups.values():
            assert group[0].twin is not None
            chance = twin_chance(group, group[0].twin)
            if len(group) > 1:
                leaders.update((person.id, group[0].id) for person in group[1:])
                chances[group[0].id] = chance
        for person in self.case.people:
            leader = leaders.get(person.id)
            if leader is not None and chances[leader] == 1:
                continue
            self.variable[person.id] = len(self.copies)
            self.copies.append(self.locus.copies(person.sex))
        for id, leader in leaders.items():
            if chances[leader] == 1:
                self.variable[id] = self.variable[leader]
        zygosity: dict[str, int] = {}
        for leader, chance in chances.items():
            if 0 < chance < 1:
                zygosity[leader] = len(self.copies)
                self.zygosities.append((len(self.copies), chance))
                self.copies.append(0)
        for person in self.case.people:
            leader = leaders.get(person.id)
            if leader is not None and chances[leader] == 1:
                continue
            self._add_birth(person)
            if leader in zygosity:
                self.pairs.append(
                    TwinPair(
                        self.variable[leader], self.variable[person.id], zygosity[leader]
                    )
                )

    def _add_birth(self, person: Person) -> None:
        variable = self.variable[person.id]
        if person.father is None or person.mother is None:
            inbreeding = person.inbreeding
            self.founders.append((variable, inbreeding.value if inbreeding else Fraction(0)))
            return
        father = self.variable[person.father] if self.copies[variable] == 2 else None
        mother = self.variable[person.mother]
        self.births.append(Birth(variable, mother, father, person.count or 1))

    def network(
        self, facts: Collection[str] | None = None, groups: Iterable[Scope] = ()
    ) -> Network:
        """Return the network under the facts with these paths (None: all of them).

        `groups` are sets of variables whose joint distribution will be asked for.
        """
        keys: list[tuple[Evidence, ...]] = [()] * len(self.copies)
        for fact in self.facts:
            if facts is None or fact.path in facts:
                variable = self.variable[fact.person]
                keys[variable] = (*keys[variable], fact.evidence)
        weights = [
            self.locus.likelihood(copies, key) if copies else None
            for copies, key in zip(self.copies, keys, strict=True)
        ]
        domains = self._domains(weights)
        network = Network(self, domains)
        if all(domains):
            network.add_factors(keys)
            network.make_plan(groups)
        return network

    def _domains(self, weights: list[Weights | None]) -> list[int]:
        """Return for each variable a mask of its possible states, by propagating along births."""
        born = self.locus.born_mask
        domains = [3 if weight is None else weight.mask for weight in weights]
        for variable, inbreeding in self.founders:
            domains[variable] &= self.locus.founder(self.copies[variable], inbreeding).mask
        for birth in self.births:
            domains[birth.child] &= born[self.copies[birth.child]]
        waiting = list(range(len(self.births)))
        waiting.reverse()
        queued = [True] * len(waiting)
        while waiting:
            place = waiting.pop()
            queued[place] = False
            birth = self.births[place]
            child, mother, father = birth.child, birth.mother, birth.father
            old = (
                domains[child], domains[mother], 1 if father is None else domains[father],
            )
            new = _supported(self.locus, self.copies[child], *old)
            if new == old:
                continue
            domains[child], domains[mother] = new[:2]
            if father is not None:
                domains[father] = new[2]
            if not all(new):
                return [0] * len(domains)
            changed = [
                variable
                for variable, one, two in zip((child, mother, father), old, new, strict=True)
                if one != two and variable is not None
            ]
            for variable in changed:
                for other in self._touching[variable]:
                    if not queued[other]:
                        queued[other] = True
                        waiting.append(other)
        return domains


class Network:
    """Factors over the possible genotypes of a family under some facts, and their plan.

    `states[v]` lists the positions (in `Locus.listed`) of variable v's possible genotypes; all
    is empty when the facts are found impossible at once.
    """

    def __init__(self, family: Family, domains: list[int]) -> None:
        self.family = family
        self.possible_at_sight = all(domains)
        self.domains = domains
        self.states = [_places(domain) for domain in domains]
        self.scopes: list[Scope] = []
        self.tables: list[Table] = []
        #: Logarithm of the factor between the tables' numbers and probabilities.
        self.logarithm = 0.0
        self.plan: Plan | None = None
        self._passing: Passing | None = None

    def add_factors(self, keys: list[tuple[Evidence, ...]]) -> None:
        """Add the factors: founders, births, zygosities; each with its person's evidence."""
        family, domains = self.family, self.domains
        locus, copies = family.locus, family.copies
        twins = {pair.second: pair for pair in family.pairs}
        for variable, inbreeding in family.founders:
            self._add(
                _founder_table(locus, copies[variable], inbreeding, keys[variable],
                               domains[variable]),
                (variable,),
            )
        for birth in family.births:
            child, mother, father = birth.child, birth.mother, birth.father
            masks = (
                domains[child], domains[mother], 1 if father is None else domains[father],
            )
            kind = (copies[child], keys[child])
            parents = (mother,) if father is None else (mother, father)
            pair = twins.get(child)
            if pair is not None:
                first = pair.first
                table = _twin_table(locus, *kind, masks, domains[first])
                self._add(table, (pair.zygosity, child, first, *parents))
                continue
            self._add(_birth_table(locus, *kind, masks), (child, *parents))
            if birth.count > 1:
                self._add(_siblings_table(locus, *kind, masks, birth.count - 1), parents)
        for variable, chance in family.zygosities:
            values = [float(1 - chance), float(chance)] if locus.floating else [
                chance.denominator - chance.numerator, chance.numerator
            ]
            logarithm = 0.0 if locus.floating else -log(chance.denominator)
            self._add((values, logarithm), (variable,))

    def _add(self, table: tuple[Table, float], scope: Scope) -> None:
        values, logarithm = table
        self.logarithm += logarithm
        scope = tuple([variable for variable in scope if len(self.states[variable]) > 1])
        if not scope and not self.family.locus.rare:
            self.logarithm += log(values[0]) if values[0] else 0.0
        self.scopes.append(scope)
        self.tables.append(values)

    def make_plan(self, groups: Iterable[Scope]) -> None:
        sizes = [len(states) for states in self.states]
        kept = (
            tuple(dict.fromkeys(variable for variable in group if sizes[variable] > 1))
            for group in groups
        )
        self.plan = make_plan(sizes, self.scopes, kept)

    def passing(self, arithmetic: Arithmetic | None = None) -> Passing:
        """Return the messages passed in the family's arithmetic (or another, made anew)."""
        assert self.plan is not None, "the facts are impossible"
        if arithmetic is not None:
            return Passing(self.plan, self.scopes, self.tables, arithmetic)
        if self._passing is None:
            self.check_size()
            arithmetic = self.family.locus.arithmetic
            self._passing = Passing(self.plan, self.scopes, self.tables, arithmetic)
        return self._passing

    def check_size(self) -> None:
        """Raise TooLarge where the plan's tables would not fit."""
        assert self.plan is not None
        if self.plan.cost > MOST_ENTRIES:
            raise TooLarge(
                "the loops of this family interlock too tightly to be solved exactly: the "
                f"largest table would have {self.plan.largest:,} entries and all together "
                f"{self.plan.cost:,}; at most {MOST_ENTRIES:,} are worked through"
            )

    @property
    def possible(self) -> bool:
        """Whether the facts can all be true together."""
        if not self.possible_at_sight:
            return False
        if self._passing is not None:
            return self._passing.possible
        self.check_size()
        return self.passing(POSSIBLE).possible

    def marginal(self, variable: int) -> list[tuple[int, Any]]:
        """Return (position of the genotype, weight) for the possible states of `variable`."""
        return list(zip(self.states[variable], self.passing().marginal(variable), strict=True))

    def joint(self, one: int, two: int) -> list[tuple[int, int, Any]]:
        """Return (position, position, weight) for the possible states of two variables."""
        passing = self.passing()
        if one == two:
            return [(place, place, weight) for place, weight in self.marginal(one)]
        first, second = self.states[one], self.states[two]
        if len(first) == 1:
            return [(first[0], place, weight) for place, weight in self.marginal(two)]
        if len(second) == 1:
            return [(place, second[0], weight) for place, weight in self.marginal(one)]
        table = iter(passing.joint((one, two)))
        return [(place, other, next(table)) for place in first for other in second]


def _classes_matter(case: Case) -> bool:
    """Tell whether some result tells variant classes apart."""
    detecting = {test.name for test in case.condition.tests or () if test.detects is not None}
    return any(
        result.test in detecting for person in case.people for result in person.tests
    )


def _places(mask: int) -> list[int]:
    return [place for place in range(mask.bit_length()) if mask >> place & 1]


def _supported(
    locus: Locus, copies: int, child: int, mother: int, father: int
) -> tuple[int, int, int]:
    """Return the masks of child, mother and father less what the other two rule out."""
    key = ("supported", copies, child, mother, father)
    found = locus.cut.get(key)
    if found is None:
        children = mothers = fathers = 0
        for one in _places(mother):
            for two in _places(father):
                reached = locus.reachable(copies)[one][two] & child
                if reached:
                    children |= reached
                    mothers |= 1 << one
                    fathers |= 1 << two
        found = locus.cut[key] = (children, mothers, fathers)
    return found


def _founder_table(
    locus: Locus, copies: int, inbreeding: Fraction, key: tuple[Evidence, ...], mask: int
) -> tuple[Table, float]:
    kept = ("founder", copies, inbreeding, key, mask)
    found = locus.cut.get(kept)
    if found is None:
        prior, weights = locus.founder(copies, inbreeding), locus.likelihood(copies, key)
        table = [prior.values[place] * weights.values[place] for place in _places(mask)]
        found = locus.cut[kept] = (table, prior.logarithm + weights.logarithm)
    return found


def _birth_table(
    locus: Locus, copies: int, key: tuple[Evidence, ...], masks: tuple[int, int, int]
) -> tuple[Table, float]:
    """Return the table over (child, mother, father)."""
    kept = ("birth", copies, key, masks)
    found = locus.cut.get(kept)
    if found is None:
        chances, logarithm = locus.inheritance(copies)
        weights = locus.likelihood(copies, key)
        table = [
            chances[mother][father][child] * weights.values[child]
            for child in _places(masks[0])
            for mother in _places(masks[1])
            for father in _places(masks[2])
        ]
        found = locus.cut[kept] = (table, logarithm + weights.logarithm)
    return found


def _siblings_table(
    locus: Locus,
    copies: int,
    key: tuple[Evidence, ...],
    masks: tuple[int, int, int],
    count: int,
) -> tuple[Table, float]:
    """Return the table over (mother, father) of the evidence of `count` more, alike children."""
    kept = ("siblings", copies, key, masks, count)
    found = locus.cut.get(kept)
    if found is None:
        table, logarithm = _birth_table(locus, copies, key, masks)
        length = len(table) // len(_places(masks[0]))
        rows = [table[start : start + length] for start in range(0, len(table), length)]
        chances = [sum(column) for column in zip(*rows, strict=True)]
        if locus.floating:
            # Powers of small chances would underflow.
            largest = max(chances)
            chances = [chance / largest for chance in chances]
            logarithm += log(largest)
        power = []
        for chance in chances:
            product = chance
            for _ in range(count - 1):
                product = product * chance
            power.append(product)
        found = locus.cut[kept] = (power, count * logarithm)
    return found


def _twin_table(
    locus: Locus,
    copies: int,
    key: tuple[Evidence, ...],
    masks: tuple[int, int, int],
    first: int,
) -> tuple[Table, float]:
    """Return the table over (zygosity, twin, first twin, mother, father).

    Dizygotic twins are children like any; a monozygotic one has the first twin's genotype.
    """
    kept = ("twin", copies, key, masks, first)
    found = locus.cut.get(kept)
    if found is None:
        chances, logarithm = locus.inheritance(copies)
        weights = locus.likelihood(copies, key)
        # On the scale of the inheritance table a certainty is the sum of a row.
        certain = sum(chances[0][0])
        table = [
            (
                (certain if child == other else 0)
                if monozygotic
                else chances[mother][father][child]
            )
            * weights.values[child]
            for monozygotic in (False, True)
            for child in _places(masks[0])
            for other in _places(first)
            for mother in _places(masks[1])
            for father in _places(masks[2])
        ]
        found = locus.cut[kept] = (table, logarithm + weights.logarithm)
    return found
