"""A whole cross as an instructor asks for it: square, generations, drawn and counted offspring."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from risk.problems import InputError, Problem
from risk.teaching.counts import (
    Fit,
    Observed,
    Simulation,
    goodness_of_fit,
    read_observed,
    simulate,
)
from risk.teaching.cross import Square, punnett
from risk.teaching.generations import Generation, Plan, follow, read_plan


@dataclass(frozen=True, slots=True)
class Cross:
    """A cross and what was asked of it.

    `square` is that of the parents P.  `generations` begin with F1, and are empty where no `plan`
    was given.  `simulation` and `fit` are of the last generation: the offspring without a plan.
    """

    square: Square
    plan: Plan | None = None
    generations: tuple[Generation, ...] = ()
    simulation: Simulation | None = None
    fit: Fit | None = None

    @property
    def last(self) -> str | None:
        """The name of the generation that `simulation` and `fit` are of.

        None without a plan: what the offspring of two parents are called depends on where these
        come from (of Aa x Aa they are F2 where the parents are an F1).
        """
        return self.generations[-1].name if self.generations else None

    @property
    def last_genotypes(self) -> Mapping[str, Fraction]:
        """The genotype proportions expected in that generation."""
        return self.generations[-1].genotypes if self.generations else self.square.genotypes


def cross(
    mother: str,
    father: str,
    *,
    then: str | None = None,
    offspring: int | None = None,
    seed: int = 0,
    observed: str | None = None,
) -> Cross:
    """Cross `mother` with `father` (genotypes like ``Aa``) and follow what is asked for.

    `then` goes on for further generations (`risk.teaching.generations.read_plan`), `offspring`
    draws so many with `seed`, and `observed` (``305:95``) is tested for fit, both in the last
    generation.  Raises `InputError` with every problem found, each named by its argument, and
    `ImpossibleEvidence` for counts that the cross cannot give.
    """
    problems: list[Problem] = []
    square: Square | None = None
    plan: Plan | None = None
    counts: Observed | None = None
    try:
        square = punnett(mother, father)
    except InputError as error:
        problems.extend(error.problems)
    try:
        plan = read_plan(then, square.mother if square else None) if then is not None else None
    except InputError as error:
        problems.extend(error.problems)
    try:
        counts = read_observed(observed, "observed") if observed is not None else None
    except InputError as error:
        problems.extend(error.problems)
    if square is None or problems:
        raise InputError(problems)
    generations = follow(square, plan) if plan else ()
    bare = Cross(square, plan, generations)
    shares = bare.last_genotypes
    return Cross(
        square,
        plan,
        generations,
        simulate(shares, offspring, seed) if offspring is not None else None,
        goodness_of_fit(shares, counts, _given(square, plan)) if counts else None,
    )


def _given(square: Square, plan: Plan | None) -> tuple[str, ...]:
    """Name the fewest arguments from which it follows that a phenotype is missing."""
    if plan:
        return "mother", "father", "then"
    if square.mother.isupper():
        return ("mother",)
    if square.father.isupper():
        return ("father",)
    return "mother", "father"
