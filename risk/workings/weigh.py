"""How likely each hypothesis is under any part of the facts, from the engine itself.

Every number of a working is made here, by asking the engine for the chance of some facts joint
with the hypotheses about one or two people.  A conditional row is a quotient of two of these,
which makes it true whatever the family looks like.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from typing import Any

from risk.inference.arithmetic import Term
from risk.inference.eliminate import quotient, ratio
from risk.inference.plan import Scope
from risk.model.facts import Fact
from risk.model.family import Family
from risk.model.network import make_network
from risk.workings.step import State, Value

Facts = frozenset[str]
Hypothesis = tuple[State, ...]
#: The chance of some facts joint with each hypothesis; impossible ones are left out.
Joint = dict[Hypothesis, Value]

MOSAIC = "mosaic"


class Weigher:
    """Chances of hypotheses about a family's variables, kept once they are made."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.facts: dict[str, Fact] = {fact.path: fact for fact in family.facts}
        #: Paths of the facts of each variable.
        self.facts_of: list[Facts] = [frozenset() for _ in family.copies]
        for fact in family.facts:
            variable = family.variable[fact.person]
            self.facts_of[variable] |= {fact.path}
        self._joints: dict[tuple[Scope, Facts], Joint] = {}

    def joint(self, variables: Scope, facts: Facts) -> Joint:
        """Return the chance of `facts` joint with each hypothesis about `variables`.

        A hypothesis gives each variable a number of disease alleles, or "mosaic".
        """
        key = (variables, facts)
        found = self._joints.get(key)
        if found is None:
            found = {}
            network = make_network(self.family, facts, last=variables)
            for places, weight in network.weights(variables).items():
                hypothesis = tuple(
                    [
                        self.state(variable, place)
                        for variable, place in zip(variables, places, strict=True)
                    ]
                )
                found[hypothesis] = found[hypothesis] + weight if hypothesis in found else weight
            self._joints[key] = found
        return found

    def state(self, variable: int, place: int) -> State:
        """Return what hypotheses call the genotype at `place` of a variable's list.

        Of a zygosity: 1 for monozygotic, 0 for dizygotic.
        """
        if not self.family.copies[variable]:
            return place
        genotype = self.family.locus.listed[self.family.copies[variable]][place]
        return MOSAIC if genotype.mosaic else genotype.disease_alleles

    def posterior(self, variables: Scope, facts: Facts) -> Joint:
        """Return the probability of each hypothesis given `facts`, in a rare limit the limit.

        Hypotheses without a chance (in the limit) are left out.
        """
        joint = self.joint(variables, facts)
        whole = total(joint.values())
        chances = {hypothesis: ratio(weight, whole) for hypothesis, weight in joint.items()}
        return {hypothesis: chance for hypothesis, chance in chances.items() if chance}

    def like_population(self, variable: int, facts: Facts) -> bool:
        """Tell whether `facts` leave a variable as a founder who is not inbred would be."""
        locus, copies = self.family.locus, self.family.copies[variable]
        weights = locus.founder(copies, Fraction(0))
        founder: dict[Hypothesis, Value] = {}
        for place, value in enumerate(weights.values):
            if value:
                state = (self.state(variable, place),)
                weight = share(value, weights.denominator)
                founder[state] = founder[state] + weight if state in founder else weight  # type: ignore[operator]
        joint = self.joint((variable,), facts)
        whole = total(joint.values())
        return self.same(founder, {state: share(value, whole) for state, value in joint.items()})

    def same(self, one: Joint, two: Joint) -> bool:
        """Tell whether two distributions are equal (as floats: nearly so)."""
        if one.keys() != two.keys():
            return False
        return all(equal(one[hypothesis], two[hypothesis]) for hypothesis in one)

    def certain(self, variable: int, facts: Facts) -> State | None:
        """Return the one state that a variable can have given `facts`, or None."""
        posterior = self.posterior((variable,), facts)
        return next(iter(posterior))[0] if len(posterior) == 1 else None

    def independent(self, one: int, two: int, facts: Facts) -> bool:
        """Tell whether two variables are independent given `facts`."""
        if one == two:
            return False
        joint = self.posterior((one, two), facts)
        first, second = self.posterior((one,), facts), self.posterior((two,), facts)
        product = {(*a, *b): first[a] * second[b] for a in first for b in second}  # type: ignore[operator]
        return self.same(joint, product)

    def connected(self, start: Iterable[int], facts: Facts, blocked: Collection[int]) -> Facts:
        """Return those facts that can bear on `start` without going through `blocked`.

        Reads the graph of the people of the facts, `start`, and the ancestors of both, where
        parents of one child are tied as well.
        """
        start = list(start)
        family = self.family
        owners = {family.variable[self.facts[path].person] for path in facts}
        near: dict[int, set[int]] = {}
        for variable in family.ancestry([*owners, *start]):
            tied = {variable, *family.parents[variable]}
            for one in tied:
                near.setdefault(one, set()).update(tied)
        reached: set[int] = set()
        waiting = [variable for variable in start if variable not in blocked]
        while waiting:
            variable = waiting.pop()
            if variable not in reached:
                reached.add(variable)
                waiting.extend(near[variable] - reached - set(blocked))
        return frozenset(
            path for path in facts if family.variable[self.facts[path].person] in reached
        )

    def needed(self, variables: Scope, facts: Sequence[str]) -> Facts:
        """Return facts enough to fix the distribution of `variables`; the rest change nothing.

        Facts late in the sequence are given up first.
        """
        aim = self.posterior(variables, frozenset(facts))

        def enough(kept: Iterable[str]) -> bool:
            return self.same(self.posterior(variables, frozenset(kept)), aim)

        def shrink(kept: list[str], block: list[str]) -> list[str]:
            """Return what must stay of `block`, beside `kept`."""
            if not block or enough(kept):
                return []
            if len(block) == 1:
                return block
            half = len(block) // 2
            left = shrink(kept + block[half:], block[:half])
            # Early facts were tried first for being needed, so late ones are given up first.
            return left + shrink(kept + left, block[half:])

        # Near facts nearly always suffice, and few facts make small networks.
        length = 0
        while length < len(facts) and not enough(facts[:length]):
            length = max(1, 2 * length)
        return frozenset(shrink([], list(reversed(facts[:length]))))


def total(values: Iterable[Value]) -> Any:
    """Return the sum of some weights."""
    result: Any = 0
    for value in values:
        result = result + value
    return result


def equal(one: Value, two: Value) -> bool:
    """Tell whether two values are equal; floats may differ by rounding."""
    if isinstance(one, float) or isinstance(two, float):
        return abs(float(one) - float(two)) <= 1e-12 * max(1.0, abs(float(one)))  # type: ignore[arg-type]
    return one == two


def share(value: Value, whole: Value) -> Value:
    """Return value / whole, keeping the order of what vanishes in a rare limit."""
    result = quotient(value, whole)
    if isinstance(result, Term) and (not result.order or not result.coefficient):
        return Fraction(result.coefficient)
    return result
