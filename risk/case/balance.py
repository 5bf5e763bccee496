"""The balance of new mutation and selection on the X, which the checks of a case and the genotypes
of founders both need (Haldane 1935, from memory).
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
