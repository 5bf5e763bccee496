"""A whole cross at a gene on the X: square, generations by sex, drawn and counted offspring."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from types import MappingProxyType

from risk.genetics.genotypes import Genotype
from risk.problems import ImpossibleEvidence, InputError, Problem
from risk.teaching.counts import LEAST_EXPECTED, MOST_OFFSPRING, Simulation, simulate
from risk.teaching.cross import PHENOTYPES, Phenotype
from risk.teaching.generations import Plan, read_plan
from risk.teaching.xcross import (
    CHILDREN,
    Broods,
    Child,
    Gene,
    Shares,
    XSquare,
    broods,
    mate,
    read_x_genotype,
    read_x_parents,
    shown_on_x,
    x_square,
)

#: What is counted apart: a sex and what it shows.
Kind = tuple[Child, Phenotype]
KINDS: tuple[Kind, ...] = tuple((child, kind) for child in CHILDREN for kind in PHENOTYPES)

_COUNTS = re.compile(r"\s*([0-9]+)" + r"\s*:\s*([0-9]+)" * 3 + r"\s*", re.ASCII)


@dataclass(frozen=True, slots=True)
class XGeneration:
    """The expected proportions among the daughters and among the sons of one generation.

    `inbreeding` (sib mating only) is that of the daughters: the chance that their two alleles are
    copies of one allele of P, the two P taken as unrelated.  A son has one X and none.
    """

    name: str
    broods: Broods
    inbreeding: Fraction | None = None


@dataclass(frozen=True, slots=True)
class XFit:
    """Pearson's chi-square test of counts by sex and by what shows.

    Only what the cross can give counts as a class: `degrees_of_freedom` is one less than there
    are of these, and `small` warns of an expected count below 5.
    """

    observed: Mapping[Kind, int]
    expected: Mapping[Kind, Fraction]
    parts: Mapping[Kind, Fraction]
    chi_square: float
    degrees_of_freedom: int
    p: float
    small: bool


@dataclass(frozen=True, slots=True)
class XCross:
    """A cross at a gene on the X and what was asked of it; compare `risk.teaching.crossing.Cross`.

    `reciprocal` are the generations of the reciprocal cross (the mother shows what here the father
    does, and the other way round), where the plan is F2 and the two P are pure-bred and differ.
    """

    square: XSquare
    plan: Plan | None = None
    generations: tuple[XGeneration, ...] = ()
    reciprocal: tuple[XSquare, tuple[XGeneration, ...]] | None = None
    simulation: Simulation | None = None
    fit: XFit | None = None

    @property
    def last(self) -> str | None:
        """The name of the generation that `simulation` and `fit` are of; None without a plan."""
        return self.generations[-1].name if self.generations else None

    @property
    def last_broods(self) -> Broods:
        """What is expected in that generation."""
        return self.generations[-1].broods if self.generations else self.square.broods

    def drawn(self, simulation: Simulation) -> dict[Child, tuple[int, int]]:
        """Return how many of the daughters and of the sons drawn are affected, and of how many."""
        counts: dict[Child, tuple[int, int]] = {}
        for child, brood in self.last_broods.items():
            number = {kind: simulation.genotypes[kind] for kind in brood.genotypes}
            affected = sum(number[kind] for kind in number if self.square.is_affected(kind))
            counts[child] = affected, sum(number.values())
        return counts


def cross_on_x(
    mother: str,
    father: str,
    *,
    affected: Phenotype = "recessive",
    then: str | None = None,
    offspring: int | None = None,
    seed: int = 0,
    observed: str | None = None,
) -> XCross:
    """Cross a woman (``X^A X^a``) with a man (``X^A Y``) and follow what is asked for.

    `affected` is the trait that the condition is.  `then` is F2, ``backcross:XAY:3`` or
    ``sibs:5``; `observed` are four counts, of daughters and then of sons, each dominant before
    recessive.  Raises `InputError` with every problem found, each named by its argument, and
    `ImpossibleEvidence` for counts that the cross cannot give.
    """
    problems: list[Problem] = []
    plan: Plan | None = None
    counts: Mapping[Kind, int] | None = None
    gene: Gene | None = None
    try:
        gene, woman, man = read_x_parents(mother, father, affected)
    except InputError as error:
        problems.extend(error.problems)
    try:
        plan = _read_plan(then, gene) if then is not None else None
    except InputError as error:
        problems.extend(error.problems)
    try:
        counts = read_four(observed, "observed") if observed is not None else None
    except InputError as error:
        problems.extend(error.problems)
    if gene is None or problems:
        raise InputError(problems)
    square = x_square(mother, father, affected)
    bare = XCross(
        square,
        plan,
        follow_on_x(gene, woman, man, plan) if plan else (),
        _reciprocal(gene, woman, man, plan) if plan and plan.scheme == "F2" else None,
    )
    expected = bare.last_broods
    given = ("mother", "father", *(("then",) if plan else ()))
    return XCross(
        square,
        plan,
        bare.generations,
        bare.reciprocal,
        _draw(expected, offspring, seed) if offspring is not None else None,
        fit_by_sex(expected, counts, given) if counts else None,
    )


def follow_on_x(gene: Gene, woman: Genotype, man: Genotype, plan: Plan) -> tuple[XGeneration, ...]:
    """Return F1 and the generations after it; see `risk.teaching.generations.follow`.

    In a back cross to a woman the sons of each generation are crossed with her, to a man the
    daughters with him.
    """
    first = mate(gene, {woman: Fraction(1)}, {man: Fraction(1)})
    match plan.scheme:
        case "F2":
            second = mate(gene, first["daughters"], first["sons"])
            return (
                XGeneration("F1", broods(gene, first)),
                XGeneration("F2", broods(gene, second)),
            )
        case "backcross":
            assert plan.recurrent is not None
            again = _backcrosses(gene, first, plan.recurrent)
        case _:
            again = _sib_matings(gene, woman, man)
    return tuple(islice(again, plan.generations + 1))


def read_four(text: str, argument: str) -> Mapping[Kind, int]:
    """Read ``98:0:51:47``: daughters dominant and recessive, then sons."""
    match = _COUNTS.fullmatch(text)
    if not match:
        message = (
            f"{text[:40]!r} is not four counts; write daughters dominant:recessive, then sons, "
            "like 98:0:51:47"
        )
        raise InputError([Problem(argument, message)])
    if max(map(len, match.groups())) > 12 or sum(map(int, match.groups())) > MOST_OFFSPRING:
        message = f"at most {MOST_OFFSPRING:,} offspring are taken"
        raise InputError([Problem(argument, message)])
    return dict(zip(KINDS, map(int, match.groups()), strict=True))


def fit_by_sex(expected: Broods, observed: Mapping[Kind, int], given: tuple[str, ...] = ()) -> XFit:
    """Test counts of the two sexes against what is expected, half of the offspring of each sex.

    Raises as `risk.teaching.counts.goodness_of_fit` does.
    """
    total = sum(observed.values())
    if not total:
        raise InputError([Problem("observed", "0:0:0:0 counts no offspring")])
    shares = {(child, kind): expected[child].phenotypes[kind] / 2 for child, kind in KINDS}
    for (child, kind), share in shares.items():
        seen = observed[child, kind]
        if seen and not share:
            raise ImpossibleEvidence(
                f"{seen:,} {kind} {child} were counted, and this cross has none",
                (*given, "observed"),
            )
    counts = {key: share * total for key, share in shares.items() if share}
    parts = {key: (observed[key] - count) ** 2 / count for key, count in counts.items()}

    from scipy.stats import chi2

    whole = float(sum(parts.values(), Fraction(0)))
    return XFit(
        MappingProxyType(dict(observed)),
        MappingProxyType(counts),
        MappingProxyType(parts),
        whole,
        len(counts) - 1,
        float(chi2.sf(whole, len(counts) - 1)),
        min(counts.values()) < LEAST_EXPECTED,
    )


def dominant_share(expected: Broods) -> Fraction:
    """Return the share of all offspring, daughters and sons, that shows the dominant trait."""
    return sum((expected[child].phenotypes["dominant"] for child in CHILDREN), Fraction(0)) / 2


def _draw(expected: Broods, offspring: int, seed: int) -> Simulation:
    shares = {
        genotype: share / 2
        for child in CHILDREN
        for genotype, share in expected[child].genotypes.items()
    }
    return simulate(shares, offspring, seed, shown_on_x)


def _read_plan(text: str, gene: Gene | None) -> Plan:
    def read(parent: str, argument: str) -> str:
        if gene is None:
            return parent
        kind, _ = read_x_genotype(gene, parent, argument)
        return gene.write(kind)

    if text.strip().lower().startswith("selfing"):
        message = "nobody with an X and a Y fertilises itself; the nearest is sibs, like sibs:5"
        raise InputError([Problem("then", message)])
    return read_plan(text, None, read)


def _reciprocal(
    gene: Gene, woman: Genotype, man: Genotype, plan: Plan
) -> tuple[XSquare, tuple[XGeneration, ...]] | None:
    if len({*woman.alleles}) > 1 or woman.alleles[0] == man.alleles[0]:
        return None
    mother, father = Genotype(man.alleles * 2), Genotype(woman.alleles[:1])
    square = x_square(gene.write(mother), gene.write(father), gene.affected)
    return square, follow_on_x(gene, mother, father, plan)


def _backcrosses(gene: Gene, first: Shares, recurrent: str) -> Iterator[XGeneration]:
    parent, child = read_x_genotype(gene, recurrent, "then")
    shares, name, number = first, "F1", 0
    while True:
        yield XGeneration(name, broods(gene, shares))
        if child == "daughters":
            shares = mate(gene, {parent: Fraction(1)}, shares["sons"])
        else:
            shares = mate(gene, shares["daughters"], {parent: Fraction(1)})
        number += 1
        name = f"BC{number}"


def _sib_matings(gene: Gene, woman: Genotype, man: Genotype) -> Iterator[XGeneration]:
    pairs = {(woman, man): Fraction(1)}
    before, inbreeding, number = Fraction(0), Fraction(0), 1
    while True:
        all_of: dict[Child, dict[Genotype, Fraction]] = {"daughters": {}, "sons": {}}
        sibs: dict[tuple[Genotype, Genotype], Fraction] = {}
        for (one, other), weight in pairs.items():
            litter = mate(gene, {one: Fraction(1)}, {other: Fraction(1)})
            for child in CHILDREN:
                for kind, share in litter[child].items():
                    all_of[child][kind] = all_of[child].get(kind, Fraction(0)) + weight * share
            for sister, share in litter["daughters"].items():
                for brother, part in litter["sons"].items():
                    if chance := weight * share * part:
                        old = sibs.get((sister, brother), Fraction(0))
                        sibs[sister, brother] = old + chance
        yield XGeneration(f"F{number}", broods(gene, all_of), inbreeding)
        # Of a sister's two alleles one is the mother's, as the brother's only one is: the same
        # copy with 1/2, else related as the mother's two are.  The other is the father's, and
        # related to the brother's as the two parents are: F'' = (1 + F)/4 + F'/2.
        pairs = sibs
        before, inbreeding, number = inbreeding, (1 + 2 * inbreeding + before) / 4, number + 1
