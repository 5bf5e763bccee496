"""Numbers of a table as sums of products, over what somebody else may have."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from risk.workings.step import Value
from risk.workings.weigh import Averages, Hypothesis, order_of, share

#: How many products a sentence adds up.
MOST_TERMS = 3


def sums_of(products: Iterable[tuple[Hypothesis, Any, Value]]) -> Averages:
    """Return the sum for each hypothesis, from all of its products: a weight and a chance.

    Weights are in proportion to the chances of what somebody else may have.  Products with the
    same chance are one term.  What vanishes beside the rest of its sum is left out, and so are
    sums too long for a sentence.
    """
    wholes: dict[Hypothesis, Any] = {}
    weights: dict[Hypothesis, dict[Value, Any]] = {}
    for hypothesis, weight, chance in products:
        wholes[hypothesis] = wholes.get(hypothesis, 0) + weight
        of = weights.setdefault(hypothesis, {})
        if chance:
            of[chance] = of.get(chance, 0) + weight
    found: Averages = {}
    for hypothesis, of in weights.items():
        orders = {chance: order_of(weight) + order_of(chance) for chance, weight in of.items()}
        least = min(orders.values(), default=0)
        terms = [(of[chance], chance) for chance, order in orders.items() if order == least]
        if len(terms) <= MOST_TERMS:
            whole = wholes[hypothesis]
            found[hypothesis] = [(share(weight, whole), chance) for weight, chance in terms]
    return found


def with_vanishing(averages: Averages) -> bool:
    """Tell whether some sum has a term in which what somebody has is vanishing."""
    return any(order_of(weight) for terms in averages.values() for weight, _ in terms)
