"""A whole cross as an instructor asks for it: square, generations, drawn and counted offspring."""

from __future__ import annotations

from dataclasses import dataclass

from risk.genetics.genotypes import Genotype
from risk.problems import InputError, Problem
from risk.teaching.counts import (
    Counts,
    Fit,
    Simulation,
    goodness_of_fit,
    read_counts,
    simulate,
)
from risk.teaching.cross import Offspring, Square, square_of
from risk.teaching.gene import CHILDREN, Child, Parents, read_parents, written_on_x
from risk.teaching.generations import Generation, Plan, follow, read_plan


@dataclass(frozen=True, slots=True)
class Cross:
    """A cross and what was asked of it.

    `square` is that of the parents P.  `generations` begin with F1, and are empty where no `plan`
    was given.  `reciprocal` are those of the reciprocal cross (the mother shows what here the
    father does, and the other way round), where the gene is on the X, the plan is F2 and the two
    P are pure-bred and differ.  `simulation` and `fit` are of the last generation: the offspring
    without a plan.
    """

    square: Square
    plan: Plan | None = None
    generations: tuple[Generation, ...] = ()
    reciprocal: tuple[Square, tuple[Generation, ...]] | None = None
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
    def expected(self) -> Offspring:
        """What is expected in that generation."""
        return self.generations[-1] if self.generations else self.square

    def drawn(self, simulation: Simulation) -> dict[Child, tuple[int, int]]:
        """Return how many of each group of children drawn are affected, and of how many."""
        counts: dict[Child, tuple[int, int]] = {}
        for child, brood in self.expected.broods.items():
            number = {kind: simulation.genotypes[kind] for kind in brood.genotypes}
            affected = sum(number[kind] for kind in number if self.square.is_affected(kind))
            counts[child] = affected, sum(number.values())
        return counts


def cross(
    mother: str,
    father: str,
    *,
    affected: str | None = None,
    then: str | None = None,
    offspring: int | None = None,
    seed: int = 0,
    observed: str | None = None,
) -> Cross:
    """Cross `mother` with `father` (``Aa``; on the X ``X^A X^a``, ``X^A Y``) and follow it.

    `affected` is the trait that a condition on the X is.  `then` goes on for further generations
    (`risk.teaching.generations.read_plan`), `offspring` draws so many with `seed`, and `observed`
    (``305:95``; on the X four counts, of daughters and then of sons) is tested for fit, both in
    the last generation.  Raises `InputError` with every problem found, each named by its
    argument, and `ImpossibleEvidence` for counts that the cross cannot give.
    """
    problems: list[Problem] = []
    parents: Parents | None = None
    plan: Plan | None = None
    counts: Counts | None = None
    on_x = written_on_x(mother, father)
    try:
        parents = read_parents(mother, father, affected)
    except InputError as error:
        problems.extend(error.problems)
    try:
        plan = read_plan(then, on_x, parents) if then is not None else None
    except InputError as error:
        problems.extend(error.problems)
    try:
        if observed is not None:
            counts = read_counts(observed, "observed", CHILDREN[on_x])
    except InputError as error:
        problems.extend(error.problems)
    if parents is None or problems:
        raise InputError(problems)
    square = square_of(parents)
    generations = follow(parents, plan) if plan else ()
    expected = Cross(square, plan, generations).expected
    return Cross(
        square,
        plan,
        generations,
        _reciprocal(parents, plan) if plan else None,
        simulate(expected, offspring, seed) if offspring is not None else None,
        goodness_of_fit(expected, counts, _given(square, plan)) if counts else None,
    )


def _given(square: Square, plan: Plan | None) -> tuple[str, ...]:
    """Name the fewest arguments from which it follows that a phenotype is missing."""
    if plan:
        return "mother", "father", "then"
    # On the X it depends on the sex of the child from which of the two it follows.
    if not square.by_sex:
        if square.mother.isupper():
            return ("mother",)
        if square.father.isupper():
            return ("father",)
    return "mother", "father"


def _reciprocal(parents: Parents, plan: Plan) -> tuple[Square, tuple[Generation, ...]] | None:
    gene, woman, man = parents
    if not gene.on_x or plan.scheme != "F2":
        return None
    if len({*woman.alleles}) > 1 or woman.alleles[0] == man.alleles[0]:
        return None
    other = Parents(gene, Genotype(man.alleles * 2), Genotype(woman.alleles[:1]))
    return square_of(other), follow(other, plan)
