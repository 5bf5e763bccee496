"""Counted offspring beside expected proportions: drawn by chance, and tested for fit."""

from __future__ import annotations

import random
import re
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from types import MappingProxyType

from risk.problems import ImpossibleEvidence, InputError, Problem
from risk.teaching.cross import Offspring
from risk.teaching.gene import PHENOTYPES, Child, Phenotype, phenotype

#: Most offspring drawn or counted: a second or two of work, and far past any real cross.
MOST_OFFSPRING = 1_000_000
#: The chance that a count falls inside the band, if chance alone is at work.
BAND = Fraction(95, 100)
#: The usual rule for the chi-square test: every expected count at least this.
LEAST_EXPECTED = 5
#: Most offspring for which the chance that a run leaves the band is worked out, in some tenths
#: of a second.
_LONGEST_RUN = 10_000
#: Points of the running proportion, enough for a smooth line across a page.
_POINTS = 120

#: What is counted apart: a group of children and what it shows.
Kind = tuple[Child, Phenotype]
Counts = Mapping[Kind, int]


@dataclass(frozen=True, slots=True)
class RunningPoint:
    """The share of dominant offspring among the first `offspring`, and the band at that size."""

    offspring: int
    dominant: Fraction
    low: Fraction
    high: Fraction


@dataclass(frozen=True, slots=True)
class Simulation:
    """Offspring drawn one by one with a seeded generator.

    `expected` are the counts of each genotype that the proportions give, on average.  `low` and
    `high` are the dominant counts between which chance alone puts at least 95 of 100 crosses of
    this size (the central interval of the binomial distribution).  `running` follows the share
    of dominant offspring as they are born.  `leaving` is the chance that such a run is outside
    the band of its size at one number of offspring or more, from the first to the last; None
    where that is not worked out, beyond 10,000 offspring.
    """

    offspring: int
    seed: int
    genotypes: Mapping[str, int]
    phenotypes: Mapping[Phenotype, int]
    expected: Mapping[str, Fraction]
    low: int
    high: int
    running: tuple[RunningPoint, ...]
    leaving: float | None = None


@dataclass(frozen=True, slots=True)
class Fit:
    """Pearson's chi-square test of counts against the expected proportions.

    Only what the cross can give counts as a class: `degrees_of_freedom` is one less than there
    are of these.  `parts` are the terms (observed - expected)^2 / expected that `chi_square` is
    the sum of.  `chi_square` and `p` are None where only one class can occur and the counts
    agree: then there is nothing to test.  `small` warns of an expected count below 5; `exact_p`
    is then, on an autosome, the two-sided exact binomial test, and else None.
    """

    observed: Counts
    expected: Mapping[Kind, Fraction]
    parts: Mapping[Kind, Fraction]
    chi_square: float | None
    degrees_of_freedom: int
    p: float | None
    small: bool = False
    exact_p: float | None = None


def read_counts(text: str, argument: str, children: tuple[Child, ...]) -> Counts:
    """Read ``305:95``, dominant before recessive, or ``98:0:51:47``, daughters before sons.

    Raises `InputError` with the path `argument`.
    """
    kinds = [(child, kind) for child in children for kind in PHENOTYPES]
    found = [re.fullmatch(r"\s*([0-9]+)\s*", part, re.ASCII) for part in text.split(":")]
    counts = [match[1] for match in found if match]
    if not len(counts) == len(found) == len(kinds):
        form = (
            "two counts; write dominant:recessive, like 305:95"
            if len(children) == 1
            else "four counts; write daughters dominant:recessive, then sons, like 98:0:51:47"
        )
        raise InputError([Problem(argument, f"{text[:40]!r} is not {form}")])
    if max(map(len, counts)) > 12 or sum(map(int, counts)) > MOST_OFFSPRING:
        raise _too_many(argument)
    return dict(zip(kinds, map(int, counts), strict=True))


def simulate(expected: Offspring, offspring: int, seed: int) -> Simulation:
    """Draw offspring whose genotypes have the proportions `expected`; same seed, same offspring.

    Raises `InputError` (path ``offspring``) unless 1 <= `offspring` <= `MOST_OFFSPRING`.
    """
    if offspring < 1:
        raise InputError([Problem("offspring", f"{offspring} is not a number of offspring")])
    if offspring > MOST_OFFSPRING:
        raise _too_many("offspring")
    shares = expected.genotypes
    kinds = [kind for kind, share in shares.items() if share]
    bounds = [float(bound) for bound in accumulate(shares[kind] for kind in kinds)][:-1]
    draw = random.Random(seed).random
    drawn = dict.fromkeys(shares, 0)
    marks = _marks(offspring)
    dominant = 0
    counts: list[int] = []
    shows = [phenotype(kind) == "dominant" for kind in kinds]
    for number in range(1, offspring + 1):
        i = bisect_right(bounds, draw())
        drawn[kinds[i]] += 1
        dominant += shows[i]
        if number == marks[len(counts)]:
            counts.append(dominant)
    chance = expected.phenotypes["dominant"]
    bands = chance_bands(chance, marks)
    running = tuple(
        RunningPoint(mark, Fraction(count, mark), Fraction(low, mark), Fraction(high, mark))
        for mark, count, (low, high) in zip(marks, counts, bands, strict=True)
    )
    seen: dict[Phenotype, int] = {"dominant": dominant, "recessive": offspring - dominant}
    low, high = bands[-1]
    return Simulation(
        offspring=offspring,
        seed=seed,
        genotypes=MappingProxyType(drawn),
        phenotypes=MappingProxyType(seen),
        expected=MappingProxyType({kind: share * offspring for kind, share in shares.items()}),
        low=low,
        high=high,
        running=running,
        leaving=(
            chance_of_leaving(chance, offspring)
            if offspring <= _LONGEST_RUN or chance in (0, 1)
            else None
        ),
    )


def chance_of_leaving(chance: Fraction, offspring: int) -> float:
    """Return how likely a run of so many offspring leaves the band on its way, once or more.

    The band (`chance_bands`) holds at each number by itself; here runs are followed offspring by
    offspring, and those outside are dropped.
    """
    import numpy

    if chance in (0, 1):
        return 0.0
    dominant = float(chance)
    within, least = numpy.ones(1), 0  # the chances of `least`, `least` + 1, ... dominant so far
    for low, high in chance_bands(chance, range(1, offspring + 1)):
        grown = numpy.zeros(len(within) + 1)
        grown[:-1] += within * (1 - dominant)
        grown[1:] += within * dominant
        within = grown[max(low - least, 0) : high - least + 1]
        least = max(low, least)
    return max(1 - float(within.sum()), 0.0)


def chance_bands(chance: Fraction, sizes: Sequence[int]) -> list[tuple[int, int]]:
    """Return the central 95% interval of the dominant count for each number of offspring.

    From the binomial distribution: below `low` and above `high` lie at most 2.5% each, so that
    the interval holds at least 95%.
    """
    import numpy
    from scipy.stats import binom

    tail = float((1 - BAND) / 2)
    both = numpy.array([[tail], [1 - tail]])
    low, high = numpy.asarray(binom.ppf(both, sizes, float(chance)))
    return [(int(first), int(last)) for first, last in zip(low, high, strict=True)]


def goodness_of_fit(expected: Offspring, observed: Counts, given: tuple[str, ...] = ()) -> Fit:
    """Test counted offspring against what is expected to show, half of each sex on the X.

    Raises `InputError` (path ``observed``) for no offspring at all, and `ImpossibleEvidence` for
    an offspring of a phenotype that the cross cannot have; its conflict is `given` (what the
    proportions follow from) and ``observed``.
    """
    total = sum(observed.values())
    if not total:
        zeros = ":".join("0" for _ in observed)
        raise InputError([Problem("observed", f"{zeros} counts no offspring")])
    shares = {
        (child, kind): share / len(expected.broods)
        for child, brood in expected.broods.items()
        for kind, share in brood.phenotypes.items()
    }
    for (child, kind), share in shares.items():
        if not share and observed[child, kind]:
            raise ImpossibleEvidence(
                f"{kind} {child} were counted ({observed[child, kind]:,}), and this cross has none",
                (*given, "observed"),
            )
    counts = {key: share * total for key, share in shares.items() if share}
    if len(counts) == 1:
        return Fit(observed, counts, {}, None, 0, None)

    from scipy.stats import binomtest, chi2, chisquare

    parts = {key: (observed[key] - count) ** 2 / count for key, count in counts.items()}
    small = min(counts.values()) < LEAST_EXPECTED
    exact_p = None
    if expected.by_sex:
        chi_square = float(sum(parts.values(), Fraction(0)))
    else:
        seen = list(observed.values())
        chi_square = float(chisquare(seen, list(map(float, counts.values()))).statistic)
        if small:
            exact_p = float(binomtest(seen[0], total, float(next(iter(shares.values())))).pvalue)
    freedom = len(counts) - 1
    p = float(chi2.sf(chi_square, freedom))
    return Fit(observed, counts, parts, chi_square, freedom, p, small, exact_p)


def _marks(offspring: int) -> list[int]:
    """Return sizes from 1 to `offspring` at equal ratios, so that the early swings show."""
    if offspring <= _POINTS:
        return list(range(1, offspring + 1))
    ratio = offspring ** (1 / (_POINTS - 1))
    marks = {min(round(ratio**i), offspring) for i in range(_POINTS)}
    return sorted(marks | {offspring})


def _too_many(argument: str) -> InputError:
    return InputError([Problem(argument, f"at most {MOST_OFFSPRING:,} offspring are taken")])
