"""The balance of new mutation and selection on the X, which the checks of a case and the genotypes
of founders both need.

Derived here, to first order: a share C of women and M = C/2 + u of men have the allele.  A girl has
it from her mother, with C/2 + u again, or from a father, with fM + v: C = C/2 + u + f(C/2 + u) + v.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any


def carriers_at_balance(maternal: Any, paternal: Any, fitness: Fraction) -> Any:
    """Return the share of female carriers, 2(u + v + fu)/(1 - f), at conception.

    u and v are the mutation rates in eggs and sperm, each a Fraction or both a vanishing quantity;
    f is the fitness of affected males, below 1.
    """
    return (maternal + paternal + maternal * fitness) * (2 / (1 - fitness))
