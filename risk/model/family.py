"""A family as a network of factors: one variable a genotype, one factor an inheritance.

`Family` holds what does not depend on the evidence: who is whose child, which people share a
genotype (monozygotic twins), who has how many copies of the locus.  `Family.network` adds a set
of facts and returns the network to be eliminated, with every impossible genotype left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Any

from risk.case.model import Case, Person, Twin
from risk.inference.eliminate import POSSIBLE, Arithmetic, Passing, Table, quotient
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

    @property
    def parents(self) -> Scope:
        """The variables of the parents that matter: mother and, but on the X a son's, father."""
        return (self.mother,) if self.father is None else (self.mother, self.father)


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
        parents: list[Scope] = [() for _ in self.copies]
        for place, birth in enumerate(self.births):
            touching[birth.child].append(place)
            touching[birth.mother].append(place)
            if birth.father is not None:
                touching[birth.father].append(place)
            parents[birth.child] = birth.parents
        for pair in self.pairs:
            parents[pair.second] += (pair.first, pair.zygosity)
        self._touching = touching
        #: What each variable depends on: parents, and of a twin the first twin and zygosity.
        self.parents = parents

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
        self,
        facts: Collection[str] | None = None,
        groups: Iterable[Scope] = (),
        last: Scope = (),
    ) -> Network:
        """Return the network under the facts with these paths (None: all of them).

        `groups` are sets of variables whose joint distribution will be asked for.  With `last`
        the network has only what matters to those variables under the facts (they, the people
        of the facts, and the ancestors of both), for `Network.weights`.
        """
        keys: list[tuple[Evidence, ...]] = [()] * len(self.copies)
        wanted = set(last)
        for fact in self.facts:
            if facts is None or fact.path in facts:
                variable = self.variable[fact.person]
                keys[variable] = (*keys[variable], fact.evidence)
                wanted.add(variable)
        kept = self.ancestry(wanted) if last else range(len(self.copies))
        domains = self._domains(keys, kept)
        network = Network(self, kept, domains)
        if network.possible_at_sight:
            network.add_factors(keys)
            network.make_plan(groups, last)
        return network

    def ancestry(self, variables: Iterable[int]) -> list[int]:
        """Return these variables and all they depend on, in ascending order."""
        found: set[int] = set()
        waiting = list(variables)
        while waiting:
            variable = waiting.pop()
            if variable not in found:
                found.add(variable)
                waiting.extend(self.parents[variable])
        return sorted(found)

    def _domains(self, keys: list[tuple[Evidence, ...]], kept: Sequence[int]) -> list[int]:
        """Return for each variable kept a mask of its possible states (0: impossible).

        What the evidence rules out is followed along the births until nothing changes.
        """
        locus, copies = self.locus, self.copies
        domains = [0] * len(copies)
        for variable in kept:
            domains[variable] = (
                locus.likelihood(copies[variable], keys[variable]).mask if copies[variable] else 3
            )
        for variable, inbreeding in self.founders:
            domains[variable] &= locus.founder(copies[variable], inbreeding).mask
        waiting = []
        queued = [False] * len(self.births)
        for place, birth in enumerate(self.births):
            if domains[birth.child]:
                domains[birth.child] &= locus.born_mask[copies[birth.child]]
                waiting.append(place)
                queued[place] = True
        waiting.reverse()
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
                break
            changed = [
                variable
                for variable, one, two in zip((child, mother, father), old, new, strict=True)
                if one != two and variable is not None
            ]
            for variable in changed:
                for other in self._touching[variable]:
                    if not queued[other] and domains[self.births[other].child]:
                        queued[other] = True
                        waiting.append(other)
        return domains


class Network:
    """Factors over the possible genotypes of a family under some facts, and their plan.

    `states[v]` lists the positions (in `Locus.listed`) of variable v's possible genotypes; all
    is empty when the facts are found impossible at once.
    """

    def __init__(self, family: Family, kept: Sequence[int], domains: list[int]) -> None:
        self.family = family
        self.kept = kept
        self.possible_at_sight = all(domains[variable] for variable in kept)
        self.domains = domains
        #: Place of each variable among those kept, by which the plan knows it.
        self._place = {variable: place for place, variable in enumerate(kept)}
        self.states = [_places(domain) for domain in domains]
        self.scopes: list[Scope] = []
        self.tables: list[Table] = []
        #: Denominators of the tables' numbers.
        self.denominators: list[int] = []
        self.plan: Plan | None = None
        self._passing: Passing | None = None

    def add_factors(self, keys: list[tuple[Evidence, ...]]) -> None:
        """Add the factors: founders, births, zygosities; each with its person's evidence."""
        family, domains = self.family, self.domains
        locus, copies = family.locus, family.copies
        twins = {pair.second: pair for pair in family.pairs}
        for variable, inbreeding in family.founders:
            if not domains[variable]:
                continue
            self._add(
                _founder_table(locus, copies[variable], inbreeding, keys[variable],
                               domains[variable]),
                (variable,),
            )
        for birth in family.births:
            child, mother, father = birth.child, birth.mother, birth.father
            if not domains[child]:
                continue
            masks = (
                domains[child], domains[mother], 1 if father is None else domains[father],
            )
            kind = (copies[child], keys[child])
            parents = birth.parents
            pair = twins.get(child)
            if pair is not None:
                first = pair.first
                table = _twin_table(locus, *kind, masks, domains[first])
                self._add(table, (pair.zygosity, child, first, *parents))
                continue
            self._add(_birth_table(locus, *kind, masks), (child, *parents))
            if birth.count > 1 and keys[child]:
                self._add(_siblings_table(locus, *kind, masks, birth.count - 1), parents)
        for variable, chance in family.zygosities:
            if not domains[variable]:
                continue
            values = [float(1 - chance), float(chance)] if locus.floating else [
                chance.denominator - chance.numerator, chance.numerator
            ]
            self._add((values, () if locus.floating else (chance.denominator,)), (variable,))

    def _add(self, table: tuple[Table, tuple[Any, ...]], scope: Scope) -> None:
        values, denominators = table
        self.denominators.extend(denominators)
        self.scopes.append(self._undecided(scope) or (self._place[scope[0]],))
        self.tables.append(values)

    def _undecided(self, scope: Scope) -> Scope:
        """Return the places of those variables of `scope` with more than one possible state.

        The others need not tie variables together, so that certain genotypes cut loops.
        """
        states, place = self.states, self._place
        return tuple([place[variable] for variable in scope if len(states[variable]) > 1])

    def make_plan(self, groups: Iterable[Scope], last: Scope) -> None:
        """Plan the elimination; see `risk.inference.plan.make_plan`."""
        sizes = [len(self.states[variable]) for variable in self.kept]
        kept = [tuple(dict.fromkeys(self._undecided(group))) for group in groups]
        self.plan = make_plan(
            sizes, self.scopes, kept, self._undecided(tuple(dict.fromkeys(last)))
        )

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
        weights = self.passing().marginal(self._place[variable])
        return list(zip(self.states[variable], weights, strict=True))

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
        table = iter(passing.joint((self._place[one], self._place[two])))
        return [(place, other, next(table)) for place in first for other in second]


    def weights(self, variables: Scope) -> dict[tuple[int, ...], Any]:
        """Return the chance of the facts joint with each combination of these variables' states.

        For a network made with these variables as `last`.  Exact fractions, floats or leading
        terms; keys are positions of genotypes, and what is impossible is left out.
        """
        if not self.possible_at_sight:
            return {}
        passing = self.passing()
        own = self._undecided(tuple(dict.fromkeys(variables)))
        table = passing.root(own) if own else [1]
        scale: Any = 1
        for number in (*passing.roots, *passing.divided):
            scale = scale * number
        bottom: Any = sum(table)
        for number in self.denominators:
            bottom = bottom * number
        scale = quotient(scale, bottom)
        distinct = [self.kept[place] for place in own]
        found: dict[tuple[int, ...], Any] = {}
        combinations = product(*(self.states[variable] for variable in distinct))
        for places, weight in zip(combinations, table, strict=True):
            if weight:
                chosen = dict(zip(distinct, places, strict=True))
                key = tuple([
                    chosen[variable] if variable in chosen else self.states[variable][0]
                    for variable in variables
                ])
                found[key] = weight * scale
        return found


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
) -> tuple[Table, tuple[Any, ...]]:
    kept = ("founder", copies, inbreeding, key, mask)
    found = locus.cut.get(kept)
    if found is None:
        prior, weights = locus.founder(copies, inbreeding), locus.likelihood(copies, key)
        table = [prior.values[place] * weights.values[place] for place in _places(mask)]
        found = locus.cut[kept] = (table, (prior.denominator, weights.denominator))
    return found


def _birth_table(
    locus: Locus, copies: int, key: tuple[Evidence, ...], masks: tuple[int, int, int]
) -> tuple[Table, tuple[Any, ...]]:
    """Return the table over (child, mother, father)."""
    kept = ("birth", copies, key, masks)
    found = locus.cut.get(kept)
    if found is None:
        chances, denominator = locus.inheritance(copies)
        weights = locus.likelihood(copies, key)
        table = [
            chances[mother][father][child] * weights.values[child]
            for child in _places(masks[0])
            for mother in _places(masks[1])
            for father in _places(masks[2])
        ]
        found = locus.cut[kept] = (table, (denominator, weights.denominator))
    return found


def _siblings_table(
    locus: Locus,
    copies: int,
    key: tuple[Evidence, ...],
    masks: tuple[int, int, int],
    count: int,
) -> tuple[Table, tuple[Any, ...]]:
    """Return the table over (mother, father) of the evidence of `count` more, alike children."""
    kept = ("siblings", copies, key, masks, count)
    found = locus.cut.get(kept)
    if found is None:
        table, denominators = _birth_table(locus, copies, key, masks)
        length = len(table) // len(_places(masks[0]))
        rows = [table[start : start + length] for start in range(0, len(table), length)]
        chances = [sum(column) for column in zip(*rows, strict=True)]
        if locus.floating:
            # Powers of small chances would underflow.
            largest = max(chances)
            chances = [chance / largest for chance in chances]
            denominators = (*denominators, 1 / largest)
        power = []
        for chance in chances:
            product = chance
            for _ in range(count - 1):
                product = product * chance
            power.append(product)
        found = locus.cut[kept] = (power, denominators * count)
    return found


def _twin_table(
    locus: Locus,
    copies: int,
    key: tuple[Evidence, ...],
    masks: tuple[int, int, int],
    first: int,
) -> tuple[Table, tuple[Any, ...]]:
    """Return the table over (zygosity, twin, first twin, mother, father).

    Dizygotic twins are children like any; a monozygotic one has the first twin's genotype.
    """
    kept = ("twin", copies, key, masks, first)
    found = locus.cut.get(kept)
    if found is None:
        chances, denominator = locus.inheritance(copies)
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
        found = locus.cut[kept] = (table, (denominator, weights.denominator))
    return found
