"""The genetics of one condition as small tables of whole numbers, each made once.

A family has many people but few kinds of table: founders, daughters, sons, unaffected at 40.
`Locus` makes each table when it is first wanted and keeps it, so that a large family, or a
batch of families with one condition, costs little more than looking tables up.
"""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from risk.case.model import Condition, Sex, TestResult
from risk.genetics import assays, founders, penetrance, transmission
from risk.genetics.founders import Rate
from risk.genetics.genotypes import Genotype, genotypes
from risk.inference.arithmetic import EXACT, FLOAT, LEADING, Arithmetic, Term, power_of_two
from risk.number import Quantity, over_one_denominator

#: Tables of floats with a largest number between these keep their scale.
_SMALL, _LARGE = 1e-30, 1e30

ArithmeticName = Literal["exact", "float"]


class Weights(NamedTuple):
    """Numbers over a common `denominator`; `mask` has a bit for each that is not zero."""

    values: tuple[Any, ...]
    denominator: int | Fraction
    mask: int


def scaled(rates: list[Rate] | tuple[Rate, ...], *, floating: bool) -> Weights:
    """Bring rates to whole numbers over one denominator (or to floats, where asked for)."""
    mask = sum(1 << state for state, rate in enumerate(rates) if rate)
    if floating:
        scale = _power_of_two(max(rates))
        return Weights(tuple(float(rate / scale) for rate in rates), 1 / scale, mask)
    numbers = [Fraction(rate.coefficient if isinstance(rate, Term) else rate) for rate in rates]
    whole, denominator = over_one_denominator(numbers)
    values = tuple(
        Term(rate.order, number) if isinstance(rate, Term) else number
        for rate, number in zip(rates, whole, strict=True)
    )
    return Weights(values, denominator, mask)


def _power_of_two(largest: Rate) -> Fraction:
    """Return a number's size as a power of two; 1 where a few like it do not leave floats."""
    if not largest or _SMALL < largest < _LARGE:
        return Fraction(1)
    return power_of_two(Fraction(largest))


class Evidence(NamedTuple):
    """One fact's likelihood, as a key from which the table can be made (see `Locus.likelihood`)."""

    kind: Literal["affected", "genotype", "tests", "born", "fathered"]
    detail: Hashable


class Locus:
    """The tables of one condition.

    `classes` tells whether variant classes are told apart; `floating` whether numbers are
    floats.  Genotypes of people with two copies and with one are listed in `listed[copies]`;
    tables are indexed by their position there.
    """

    def __init__(self, condition: Condition, *, classes: bool, floating: bool) -> None:
        self.condition = condition
        self.classes = classes
        variants = condition.variants if classes and condition.variants else ()
        self.class_names = tuple(variant.name for variant in variants)
        self.shares = tuple(variant.share.value for variant in variants) or (Fraction(1),)
        mosaics = condition.germline_mosaicism is not None
        self.listed = {copies: genotypes(len(self.shares), copies, mosaics) for copies in (1, 2)}
        #: Positions that somebody with parents can have: all but the mosaics.
        self.born_mask = {
            copies: sum(1 << place for place, state in enumerate(listed) if not state.mosaic)
            for copies, listed in self.listed.items()
        }
        self.mutation = founders.mutation_rates(condition)
        frequency = condition.frequency
        balance = frequency.mutation_selection_balance
        self.irrational = balance is None and isinstance(
            founders.allele_frequency(condition), float
        )
        self.floating = floating or self.irrational
        #: Whether some quantity vanishes: answers are then limits.
        self.rare = frequency.allele == "rare" or any(
            isinstance(rate, Term) for rate in self.mutation
        )
        self.arithmetic: Arithmetic = LEADING if self.rare else FLOAT if self.floating else EXACT
        if self.rare:
            self.floating = False
        #: Whether answers are fractions, and not floats.  (A limit is found exactly in any case.)
        self.exact = not self.irrational and not floating
        self.born_matters = penetrance.viability_matters(condition)
        self._tests = {test.name: test for test in condition.tests or ()}
        self._founders: dict[tuple[int, Fraction | int], Weights] = {}
        self._gametes: dict[tuple[int, bool], list[list[Rate]]] = {}
        self._inheritance: dict[int, tuple[list[list[list[Any]]], int | Fraction]] = {}
        self._reachable: dict[int, list[list[int]]] = {}
        self._keys: dict[tuple[int, Evidence], int] = {}
        self._evidence: list[tuple[Evidence, ...]] = [()]
        self._likelihoods: dict[tuple[int, int], Weights] = {}
        self._of_facts: dict[tuple[int, Evidence], tuple[Fraction, ...]] = {}
        self._children: dict[tuple[int, int, int | None], tuple[Rate, ...]] = {}
        #: Tables cut to the states that are possible, kept by `risk.model.tables`.
        self.cut: dict[Hashable, Any] = {}
        #: Possible states of child, mother and father, by (copies and) masks; kept there too.
        self.supported: dict[tuple[int, int, int, int], tuple[int, int, int]] = {}
        #: Number of disease alleles of each listed genotype.
        self.counts = {
            copies: [state.disease_alleles for state in listed]
            for copies, listed in self.listed.items()
        }

    def copies(self, sex: Sex) -> int:
        """Return how many copies of the locus someone has."""
        return self.condition.copies(sex)

    def founder(self, copies: int, inbreeding: Fraction | int) -> Weights:
        """Return the chances of a founder's genotypes, at conception."""
        key = (copies, inbreeding)
        if key not in self._founders:
            self._founders[key] = scaled(
                founders.founder_distribution(
                    self.condition, self.listed[copies], self.shares, Fraction(inbreeding)
                ),
                floating=self.floating,
            )
        return self._founders[key]

    def gametes(self, copies: int, maternal: bool) -> list[list[Rate]]:
        """Return for each genotype of a parent the chances of the alleles in a gamete."""
        key = (copies, maternal)
        if key not in self._gametes:
            mosaicism = self.condition.germline_mosaicism
            self._gametes[key] = [
                transmission.gamete_distribution(
                    genotype,
                    self.mutation[0 if maternal else 1],
                    self.shares,
                    mosaicism.gametes.value if mosaicism else Fraction(0),
                )
                for genotype in self.listed[copies]
            ]
        return self._gametes[key]

    def children(self, copies: int, mother: int, father: int | None) -> tuple[Rate, ...]:
        """Return the chances of a child's genotypes, at conception, given the parents' places.

        `copies` are the child's; a son on the X (`copies` 1) does not depend on the father.
        """
        found = self._children.get((copies, mother, father))
        if found is None:
            paternal = None
            if copies == 2:
                assert father is not None, "only a son on the X has no allele from the father"
                paternal = self.gametes(self.father_copies, maternal=False)[father]
            maternal = self.gametes(self.mother_copies, maternal=True)[mother]
            listed = self.listed[copies]
            found = tuple(transmission.child_distribution(listed, maternal, paternal))
            self._children[copies, mother, father] = found
        return found

    @property
    def mother_copies(self) -> int:
        return self.copies("female")

    @property
    def father_copies(self) -> int:
        return self.copies("male")

    def inheritance(self, copies: int) -> tuple[list[list[list[Any]]], int | Fraction]:
        """Return ``table[mother][father][child]`` as numbers, and their denominator.

        For a son on the X (`copies` 1) there is one entry, 0, on the father's axis.
        """
        if copies not in self._inheritance:
            mothers = range(len(self.listed[self.mother_copies]))
            fathers = range(len(self.listed[self.father_copies])) if copies == 2 else range(1)
            rates = [
                chance
                for mother in mothers
                for father in fathers
                for chance in self.children(copies, mother, father)
            ]
            weights = scaled(rates, floating=self.floating)
            size = len(self.listed[copies])
            values = iter(weights.values)
            table = [[[next(values) for _ in range(size)] for _ in fathers] for _ in mothers]
            self._inheritance[copies] = (table, weights.denominator)
            self._reachable[copies] = [
                [sum(1 << place for place, value in enumerate(row) if value) for row in rows]
                for rows in table
            ]
        return self._inheritance[copies]

    def reachable(self, copies: int) -> list[list[int]]:
        """Return ``mask[mother][father]`` of the genotypes that a child can have."""
        self.inheritance(copies)
        return self._reachable[copies]

    def key_with(self, key: int, fact: Evidence) -> int:
        """Return a small number that stands for one more fact about a person; 0 is none."""
        found = self._keys.get((key, fact))
        if found is None:
            found = self._keys[key, fact] = len(self._evidence)
            self._evidence.append((*self._evidence[key], fact))
        return found

    def likelihood(self, copies: int, key: int) -> Weights:
        """Return the chance of all facts that `key` stands for, under each genotype."""
        found = self._likelihoods.get((copies, key))
        if found is None:
            product = [Fraction(1)] * len(self.listed[copies])
            for fact in self._evidence[key]:
                chances = self.fact_likelihood(copies, fact)
                product = [one * two for one, two in zip(product, chances, strict=True)]
            found = self._likelihoods[copies, key] = scaled(product, floating=self.floating)
        return found

    def fact_likelihood(self, copies: int, fact: Evidence) -> tuple[Fraction, ...]:
        """Return the chance of one fact under each genotype."""
        found = self._of_facts.get((copies, fact))
        if found is None:
            found = self._of_facts[copies, fact] = self._of_fact(copies, fact)
        return found

    def _of_fact(self, copies: int, fact: Evidence) -> tuple[Fraction, ...]:
        listed = self.listed[copies]
        detail: Any = fact.detail
        if fact.kind == "genotype":
            return tuple(Fraction(state.disease_alleles == detail) for state in listed)
        if fact.kind == "tests":
            return self._test_likelihood(detail, listed)
        if fact.kind == "affected":
            sex, affected, age = detail
            numbers = penetrance.phenotype_likelihood(self.condition, sex, affected, age)
        elif fact.kind == "born":
            numbers = penetrance.live_birth(self.condition, detail)
        else:
            balance = self.condition.frequency.mutation_selection_balance
            assert balance is not None, "only under mutation-selection balance"
            numbers = (Fraction(1), balance.fitness.value)
        return tuple(numbers[state.disease_alleles] for state in listed)

    def _test_likelihood(
        self, result: TestResult, listed: tuple[Genotype, ...]
    ) -> tuple[Fraction, ...]:
        return assays.result_likelihood(self._tests[result.test], result, listed, self.class_names)


def age_value(age: Quantity | None) -> Fraction | None:
    """Return an age in years, exactly."""
    return None if age is None else age.value


@lru_cache(maxsize=64)
def locus(condition: Condition, classes: bool, floating: bool) -> Locus:
    """Return the tables of `condition`, made once for equal conditions."""
    return Locus(condition, classes=classes, floating=floating)
