"""Numbers of a table as sums of products, over what somebody else may have."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from typing import Any, NamedTuple

from risk.inference.arithmetic import Term
from risk.workings.step import Value
from risk.workings.weigh import Hypothesis, equal, order_of, share, total

#: How many products a sentence adds up.
MOST_TERMS = 3


class Sum(NamedTuple):
    """A number as a sum: of each term its weight, in proportion to a chance, and a second chance.

    The weights are divided by the `whole` only where they are shown.
    """

    weights: list[tuple[Any, Value]]
    whole: Any

    @property
    def terms(self) -> list[tuple[Value, Value]]:
        """The two chances of each term, which are multiplied."""
        return [(share(weight, self.whole), chance) for weight, chance in self.weights]

    def same_as(self, other: Sum) -> bool:
        """Whether another sum has the same terms."""
        return len(self.weights) == len(other.weights) and all(
            equal(chance, their) and equal(weight * other.whole, their_weight * self.whole)
            for (weight, chance), (their_weight, their) in zip(
                self.weights, other.weights, strict=True
            )
        )

    @property
    def value(self) -> Value:
        """The sum itself."""
        return share(total([weight * chance for weight, chance in self.weights]), self.whole)

    @property
    def trivial(self) -> bool:
        """Whether there is nothing to add up or to multiply."""
        ((weight, chance), *more) = self.weights
        return not more and (chance == 1 or weight == self.whole)


#: For each hypothesis of a row: its number as a sum over what somebody else may have.
Averages = dict[Hypothesis, Sum]


def sums_of(products: Iterable[tuple[Hypothesis, Any, Value]]) -> Averages:
    """Return the sum for each hypothesis, from all of its products: a weight and a chance.

    Weights are in proportion to the chances of what somebody else may have.  Products with the
    same chance are one term.  What vanishes beside the rest of its sum is left out, and so are
    sums too long for a sentence.
    """
    wholes: dict[Hypothesis, Any] = {}
    weights: dict[Hypothesis, dict[Any, tuple[Any, Value]]] = {}
    for hypothesis, weight, chance in products:
        wholes[hypothesis] = wholes.get(hypothesis, 0) + weight
        of = weights.setdefault(hypothesis, {})
        if chance:
            # A fraction takes long to be found by itself.
            key = chance.as_integer_ratio() if type(chance) is Fraction else chance
            known = of.get(key)
            of[key] = (weight if known is None else known[0] + weight), chance
    found: Averages = {}
    for hypothesis, of in weights.items():
        terms = list(of.values())
        if type(wholes[hypothesis]) is not int:  # which has no power of e
            orders = [order_of(weight) + order_of(chance) for weight, chance in terms]
            least = min(orders, default=0)
            terms = [each for each, order in zip(terms, orders, strict=True) if order == least]
        if 0 < len(terms) <= MOST_TERMS:
            found[hypothesis] = Sum(terms, wholes[hypothesis])
    return found


def heaviness(weight: Any) -> tuple[int, Any]:
    """Return by what a weight is more than another, of whatever order of e."""
    return -order_of(weight), weight.coefficient if isinstance(weight, Term) else weight


def with_vanishing(averages: Averages) -> bool:
    """Tell whether some sum has a term in which what somebody has is vanishing."""
    return any(
        order_of(weight) != order_of(each.whole)
        for each in averages.values()
        for weight, _ in each.weights
    )
