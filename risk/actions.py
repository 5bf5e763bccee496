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
    from risk.model.solve import solve_case

    return solve_case(case, arithmetic)


def explain(case: Case, arithmetic: Arithmetic = "exact") -> tuple[Working, ...]:
    """Return the working of every question of `case`, in order; errors as `solve`."""
    from risk.workings.derive import explain as explain_case

    return explain_case(case, arithmetic)
