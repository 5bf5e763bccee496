"""A family as variables and births, whatever the evidence.

Who is whose child, which people share a genotype (monozygotic twins), who has how many copies of
the locus.  `risk.model.network` adds facts and makes factors of it.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple, get_args

from risk.case.kin import twin_groups
from risk.case.model import Case, Person, Sex, Twin
from risk.inference.plan import Scope
from risk.model.facts import Fact, facts_of
from risk.model.locus import Locus, locus
from risk.model.named import named


class Birth(NamedTuple):
    """Variables of a child (or `number` alike children) and its parents.

    `father` is None for a son on the X.
    """

    child: int
    mother: int
    father: int | None
    number: int = 1

    @property
    def parents(self) -> Scope:
        """The variables of the parents that matter: mother and, but on the X a son's, father."""
        return (self.mother,) if self.father is None else (self.mother, self.father)


class TwinPair(NamedTuple):
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
        self.people = {person.id: person for person in case.people}
        #: Variable of each person's genotype; monozygotic twins share one.
        self.variable: dict[str, int] = {}
        #: Copies of the locus of each variable; 0 for a zygosity.
        self.copies: list[int] = []
        self.founders: list[tuple[int, Fraction | int]] = []
        self.births: list[Birth] = []
        self.pairs: list[TwinPair] = []
        #: Variable and chance of being monozygotic, of each group of unknown zygosity.
        self.zygosities: list[tuple[int, Fraction]] = []
        self._add_people()

    @cached_property
    def touching(self) -> list[list[int]]:
        """Births (their places) in which each variable is the child or a parent."""
        touching: list[list[int]] = [[] for _ in self.copies]
        for place, (child, mother, father, _) in enumerate(self.births):
            touching[child].append(place)
            touching[mother].append(place)
            if father is not None:
                touching[father].append(place)
        return touching

    @cached_property
    def parents(self) -> list[Scope]:
        """What each variable depends on: parents, and of a twin the first twin and zygosity."""
        parents: list[Scope] = [() for _ in self.copies]
        for birth in self.births:
            parents[birth.child] = birth.parents
        for pair in self.pairs:
            parents[pair.second] += (pair.first, pair.zygosity)
        return parents

    @cached_property
    def lineages(self) -> list[int]:
        """Each variable and all that it depends on, as bits."""
        found = [0] * len(self.copies)
        for start in range(len(found)):
            waiting = [start]
            while waiting:
                variable = waiting[-1]
                if found[variable]:
                    waiting.pop()
                    continue
                missing = [each for each in self.parents[variable] if not found[each]]
                if missing:
                    waiting += missing
                    continue
                bits = 1 << variable
                for each in self.parents[variable]:
                    bits |= found[each]
                found[variable] = bits
        return found

    def _add_people(self) -> None:
        people = self.case.people
        leaders, chances = _leading_twins(self.case)
        #: Those who have the genotype, and so the variable, of another.
        same = {id for id, leader in leaders.items() if chances[leader] == 1}
        variable, copies = self.variable, self.copies
        copies_of = {sex: self.locus.copies(sex) for sex in get_args(Sex)}
        for person in people:
            if person.id not in same:
                variable[person.id] = len(copies)
                copies.append(copies_of[person.sex])
        zygosity: dict[str, int] = {}
        for leader, chance in chances.items():
            if 0 < chance < 1:
                zygosity[leader] = len(copies)
                self.zygosities.append((len(copies), chance))
                copies.append(0)
        for id, leader in leaders.items():
            if chances[leader] == 1:
                variable[id] = variable[leader]
            elif leader in zygosity:
                self.pairs.append(TwinPair(variable[leader], variable[id], zygosity[leader]))
        founders, births = self.founders, self.births
        for person in people:
            if person.id in same:
                continue
            child = variable[person.id]
            if person.father is None or person.mother is None:
                inbreeding = person.inbreeding
                # A whole number for most: tables are looked up by it, and fractions hash slowly.
                founders.append((child, inbreeding.value if inbreeding else 0))
            else:
                father = variable[person.father] if copies[child] == 2 else None
                mother = variable[person.mother]
                births.append(named(Birth, (child, mother, father, person.count or 1)))

    def keys(self, facts: Iterable[Fact]) -> list[int]:
        """Return for each variable the key (`Locus.key_with`) of what these facts say of it."""
        keys = [0] * len(self.copies)
        variable_of, key_with = self.variable, self.locus.key_with
        for _, person, evidence in facts:
            variable = variable_of[person]
            keys[variable] = key_with(keys[variable], evidence)
        return keys

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


def _classes_matter(case: Case) -> bool:
    """Tell whether some result tells variant classes apart."""
    detecting = {test.name for test in case.condition.tests or () if test.detects is not None}
    return bool(detecting) and any(
        result.test in detecting for person in case.people for result in person.tests
    )


def _leading_twins(case: Case) -> tuple[dict[str, str], dict[str, Fraction]]:
    """Return the first twin of each later twin, and each first twin's chance of being one of
    monozygotic twins.
    """
    leaders: dict[str, str] = {}
    chances: dict[str, Fraction] = {}
    for twin, group in twin_groups(case):
        if len(group) > 1:
            leaders.update((person.id, group[0].id) for person in group[1:])
            chances[group[0].id] = twin_chance(group, twin)
    return leaders, chances
