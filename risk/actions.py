"""What Two-Thirds does, as plain functions from values to values.

The command line, the app and notebooks call these and nothing below them.  Each function
imports what it needs when it is called, so that a small job starts fast.  All of them raise
`risk.problems.RiskError` (with the exit status it leads to) for what a user can mend.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from risk.case.model import Case
    from risk.model.answers import Solution
    from risk.scene.shapes import Scene
    from risk.teaching.crossing import Cross
    from risk.teaching.testcross import ParentChances
    from risk.workings.step import Working

#: ``exact`` answers with fractions where the inputs allow it; ``float`` is for huge families.
Arithmetic = Literal["exact", "float"]


def load(content: bytes | str) -> Case:
    """Read and validate the case file `content` (JSON text, or its UTF-8 bytes).

    Raises `InputError` with every problem found.
    """
    from risk.case.read import read_case

    return read_case(content)


def solve(case: Case, arithmetic: Arithmetic = "exact") -> Solution:
    """Answer every question of `case`, and every person's chances given all the evidence.

    Raises `ImpossibleEvidence` when the facts cannot all be true, and `TooLarge` when the
    family is too interlocked to solve exactly.
    """
    from risk.model.solve import solve as solve_case

    return solve_case(case, arithmetic)


def explain(case: Case, arithmetic: Arithmetic = "exact") -> tuple[Working, ...]:
    """Return the working of every question of `case`, in order; errors as `solve`."""
    from risk.workings.derive import explain as explain_case

    return explain_case(case, arithmetic)


def cross(
    mother: str,
    father: str,
    *,
    then: str | None = None,
    offspring: int | None = None,
    seed: int = 0,
    observed: str | None = None,
) -> Cross:
    """Cross two genotypes such as ``Aa`` and follow what is asked for.

    `then` is ``F2``, ``backcross:AA:3``, ``selfing:5`` or ``sibs:5``; `offspring` draws so many
    of the last generation with `seed`; `observed` (``305:95``) tests counts of it for fit.
    Raises `InputError` with every problem found, each named by its argument, and
    `ImpossibleEvidence` for counts that the cross cannot give.
    """
    from risk.teaching.crossing import cross as cross_parents

    return cross_parents(
        mother, father, then=then, offspring=offspring, seed=seed, observed=observed
    )


def infer_parent(observed: str, prior: str = "1/2") -> ParentChances:
    """Return the chances that a dominant parent is heterozygous, given its offspring.

    `observed` counts the offspring with a homozygous recessive parent (``8:0``, dominant before
    recessive) and `prior` is the chance, before them, that the parent is heterozygous.  Raises
    `InputError`, and `ImpossibleEvidence` for a recessive offspring that the prior rules out.
    """
    from risk.teaching import testcross

    return testcross.infer_parent(*testcross.read_test(observed, prior))


def cross_figure(crossed: Cross) -> Scene:
    """Draw the Punnett square of a cross."""
    from risk.document.cross_figure import square_scene

    return square_scene(crossed.square)
