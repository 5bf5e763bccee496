"""How likely each hypothesis is under any part of the facts, from the engine itself.

Every number of a working is made here, by asking the engine for the chance of some facts joint
with the hypotheses about one or two people.  A conditional row is a quotient of two of these,
which makes it true whatever the family looks like.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence, Set
from fractions import Fraction
from math import gcd, isclose
from typing import Any, NamedTuple

from risk.inference.arithmetic import EXACT, FLOAT, Term, quotient, ratio
from risk.inference.lacking import in_one_proportion
from risk.inference.plan import Scope
from risk.model.facts import Fact
from risk.model.family import Family
from risk.model.network import entries_at_sight, make_network
from risk.model.partial import PartialFacts
from risk.number import over_one_denominator
from risk.problems import TooLarge
from risk.workings.step import State, Value

Facts = frozenset[str]
Hypothesis = tuple[State, ...]
#: A number for each hypothesis; impossible ones are left out.
Joint = dict[Hypothesis, Value]
#: Numbers in proportion to the probabilities of hypotheses; see `Weigher.shares`.
Shares = dict[Hypothesis, int | float]

MOSAIC = "mosaic"

#: By how much of itself a float may be off for rounding.
_ROUNDING = 1e-11
_NONE = Fraction(0)
#: The smallest chance that floats are trusted with.
_LEAST = 1e-280

#: Facts of which each is tried at once, without a look at how many of the nearest suffice.
_SMALL_NUMBER = 64
#: Entries of the tables of fewer facts than all, with which it is tried whether these suffice.
_MOST_OF_A_LOOK = 1_500_000


class Weighed(NamedTuple):
    """Weights of hypotheses; the chance of the facts joint with each is it times top / bottom."""

    weights: Joint
    top: Any
    bottom: Any


class Weigher:
    """Chances of hypotheses about a family's variables, kept once they are made."""

    def __init__(self, family: Family, pairs: Collection[Scope], others: Collection[int]) -> None:
        """`pairs` and `others` are the variables asked about: see `PartialFacts`."""
        self.family = family
        self.facts: dict[str, Fact] = {fact.path: fact for fact in family.facts}
        self._rank = {path: place for place, path in enumerate(self.facts)}
        #: Paths of the facts of each variable.
        self.facts_of: list[Facts] = [frozenset() for _ in family.copies]
        self._owner: dict[str, int] = {}
        for fact in family.facts:
            self._owner[fact.path] = variable = family.variable[fact.person]
            self.facts_of[variable] |= {fact.path}
        self._floating = family.locus.arithmetic is FLOAT
        #: What hypotheses call the genotypes listed for so many copies; of none: zygosities.
        self._states: dict[int, list[State]] = {0: [0, 1]}
        for copies, listed in family.locus.listed.items():
            self._states[copies] = [
                MOSAIC if genotype.mosaic else genotype.disease_alleles for genotype in listed
            ]
        #: Whether these are just the positions in the list.
        self._same = all(names == list(range(len(names))) for names in self._states.values())
        #: The variable of each fact, and its lineage, as bits.
        self._bit_of = {path: 1 << variable for path, variable in self._owner.items()}
        self._line_of = {path: family.lineages[each] for path, each in self._owner.items()}
        #: For each variable: itself and its children, each with those it ties together, as bits.
        self._ties: list[list[tuple[int, int]]] = [[] for _ in family.copies]
        #: The variables that depend on each as on a parent or first twin.
        self._depending: list[set[int]] = [set() for _ in family.copies]
        for variable, parents in enumerate(family.parents):
            tied = sum([1 << one for one in {variable, *parents}])
            for one in (variable, *parents):
                self._ties[one].append((1 << variable, tied))
            for parent in parents:
                self._depending[parent].add(variable)
        self._partial = PartialFacts(family, pairs, others)
        #: The hypotheses about variables, in the order of their table; none if it has no table.
        self._hypotheses: dict[Scope, Sequence[Hypothesis]] = {}
        #: The weights of a founder's states, by copies of the locus.
        self._founders: dict[int, Joint] = {}
        self._sets: dict[Facts, int] = {}
        self._weights: dict[tuple[Scope, int], Weighed] = {}
        #: The same by the facts, as they are asked about again and again.
        self._asked: dict[tuple[Scope, Facts], Weighed] = {}
        self._shares: dict[tuple[Scope, int], Shares] = {}
        self._needed: dict[tuple[Scope, tuple[str, ...]], Facts] = {}

    @property
    def small(self) -> bool:
        """Whether the family is small enough to ask about several people at once."""
        return self._partial.small

    def in_order(self, facts: Facts) -> list[str]:
        """Return facts in the order of the case."""
        return sorted(facts, key=self._rank.__getitem__)

    def bits(self, facts: Facts) -> int:
        """Return a set of facts as bits, which are kept: few sets are asked about very often."""
        found = self._sets.get(facts)
        if found is None:
            bit = self._partial.bit
            found = self._sets[facts] = sum([bit[path] for path in facts])
        return found

    def facts_in(self, bits: int) -> Facts:
        """Return the set of facts that some bits are."""
        return frozenset([path for path, bit in self._partial.bit.items() if bits & bit])

    def _weighed(self, variables: Scope, facts: Facts) -> Weighed:
        """Return the weights of the hypotheses given `facts`, and their scale."""
        found = self._asked.get((variables, facts))
        if found is None:
            found = self._asked[variables, facts] = self._weigh(variables, self.bits(facts))
        return found

    def _weigh(self, variables: Scope, facts: int) -> Weighed:
        found = self._weights.get((variables, facts))
        if found is None:
            found = self._weights[variables, facts] = self._made(variables, facts)
        return found

    def _made(self, variables: Scope, facts: int) -> Weighed:
        hypotheses = self._hypotheses.get(variables)
        if hypotheses is None:
            places = self._partial.combinations(variables) or []
            hypotheses = self._hypotheses[variables] = self._named(variables, places)
        if hypotheses:
            numbers, top, bottom = self._partial.weights(variables, facts)
        else:
            made = make_network(self.family, self.facts_in(facts), last=variables)
            found, top, bottom = made.weights(variables)
            hypotheses, numbers = self._named(variables, list(found)), list(found.values())
        return Weighed(_summed_up(hypotheses, numbers), top, bottom)

    def _named(
        self, variables: Scope, combinations: Sequence[tuple[int, ...]]
    ) -> Sequence[Hypothesis]:
        """Return combinations of positions of genotypes as hypotheses."""
        if self._same:
            return combinations
        names = [self._states[self.family.copies[variable]] for variable in variables]
        return [
            tuple([own[place] for own, place in zip(names, places, strict=True)])
            for places in combinations
        ]

    def weights(self, variables: Scope, facts: Facts) -> Joint:
        """Return the chances of `facts` joint with each hypothesis, all in one unknown unit.

        A hypothesis gives each of `variables` a number of disease alleles, or "mosaic".
        """
        return self._weighed(variables, facts).weights

    def ratios(self, variables: Scope, known: Facts, new: Facts) -> Joint:
        """Return the chance of the facts `new` under each hypothesis, given the facts `known`.

        Hypotheses that `known` rules out are left out.
        """
        below, above = self._weighed(variables, known), self._weighed(variables, known | new)
        found: Joint = {}
        if type(below.bottom) is type(above.bottom) is type(below.top) is type(above.top) is int:
            top, bottom = above.top * below.bottom, below.top * above.bottom
            common = gcd(top, bottom)
            top, bottom = top // common, bottom // common
            for hypothesis, weight in below.weights.items():
                more: Any = above.weights.get(hypothesis)
                found[hypothesis] = share(more * top, weight * bottom) if more else _NONE
            return found
        scale: Any = quotient(quotient(above.top, above.bottom), quotient(below.top, below.bottom))
        if self._floating:
            scale = _in_floats(scale)
        for hypothesis, weight in below.weights.items():
            more = above.weights.get(hypothesis)
            found[hypothesis] = share(more * scale, weight) if more else _NONE
        return found

    def shares(self, variables: Scope, facts: Facts) -> Shares:
        """Return numbers in proportion to the probability of each hypothesis given `facts`.

        Whole numbers without a common factor, or floats that add up to 1, so that two such
        distributions are equal if their numbers are.  In a rare limit those of the limit.
        """
        key = (variables, self.bits(facts))
        found = self._shares.get(key)
        if found is None:
            found = self._shares[key] = in_proportion(self._weighed(variables, facts).weights)
        return found

    def state(self, variable: int, place: int) -> State:
        """Return what hypotheses call the genotype at `place` of a variable's list.

        Of a zygosity: 1 for monozygotic, 0 for dizygotic.
        """
        return self._states[self.family.copies[variable]][place]

    def posterior(self, variables: Scope, facts: Facts) -> Joint:
        """Return the probability of each hypothesis given `facts`, in a rare limit the limit.

        Hypotheses without a chance (in the limit) are left out.
        """
        shares = self.shares(variables, facts)
        whole = sum(shares.values())
        return {hypothesis: ratio(weight, whole) for hypothesis, weight in shares.items()}

    def like_population(self, variable: int, facts: Facts) -> bool:
        """Tell whether `facts` leave a variable as a founder who is not inbred would be."""
        copies = self.family.copies[variable]
        founder = self._founders.get(copies)
        if founder is None:
            founder = self._founders[copies] = {}
            numbers = self.family.locus.founder(copies, Fraction(0)).values
            for place, number in enumerate(numbers):
                if number:
                    state = (self.state(variable, place),)
                    known = founder.get(state)
                    founder[state] = number if known is None else known + number
        weights = self.weights((variable,), facts)
        if not self.family.locus.rare:
            return proportional(founder, weights)
        # What vanishes in the limit is compared too.
        wholes: list[Any] = [total(founder.values()), total(weights.values())]
        return weights.keys() == founder.keys() and all(
            equal(share(founder[state], wholes[0]), share(weight, wholes[1]))
            for state, weight in weights.items()
        )

    def alike(self, variables: Scope, one: Facts, two: Facts) -> bool:
        """Tell whether one part of the facts leaves the same distribution as another."""
        if self.family.locus.rare:
            return same(self.shares(variables, one), self.shares(variables, two))
        return proportional(self.weights(variables, one), self.weights(variables, two))

    def possible(self, variables: Scope, facts: Facts) -> Collection[Hypothesis]:
        """Return the hypotheses that have a chance given `facts`, in a rare limit there."""
        if self.family.locus.rare:
            return self.shares(variables, facts)
        return self.weights(variables, facts)

    def upto(self, most: int, variables: Scope, facts: Facts) -> Collection[Hypothesis]:
        """Return the hypotheses that have a chance given `facts`, in a rare limit those whose
        chance beside the greatest is at most of the order `most` of e.
        """
        weights = self.weights(variables, facts)
        return orders_upto(weights, most) if self.family.locus.rare else weights

    def certain(self, variable: int, facts: Facts) -> State | None:
        """Return the one state that a variable can have given `facts`, or None."""
        possible = self.possible((variable,), facts)
        return next(iter(possible))[0] if len(possible) == 1 else None

    def independent(self, one: int, two: int, facts: Facts) -> bool:
        """Tell whether two variables are independent given `facts`."""
        if one == two:
            return False
        if not self._reached((one,), facts, (), (two,)) >> two & 1:
            return True
        joint = self.shares((one, two), facts)
        first: dict[State, Any] = {}
        second: dict[State, Any] = {}
        for (a, b), weight in joint.items():
            first[a], second[b] = first.get(a, 0) + weight, second.get(b, 0) + weight
        whole = sum(joint.values())
        return all(
            equal(joint.get((a, b), 0) * whole, first[a] * second[b]) for a in first for b in second
        )

    def told_from(self, variable: int) -> Facts:
        """Return all facts of a variable and of those that depend on it."""
        found, waiting = {variable}, [variable]
        for each in waiting:  # which grows
            fresh = self._depending[each] - found
            found |= fresh
            waiting += fresh
        return frozenset().union(*[self.facts_of[each] for each in found])

    def ruled_out(self, variable: int, facts: Iterable[str]) -> Set[Hypothesis]:
        """Return the hypotheses about a variable that some facts about it alone rule out."""
        copies, locus, key = self.family.copies[variable], self.family.locus, 0
        for path in facts:
            key = locus.key_with(key, self.facts[path].evidence)
        mask, states = locus.likelihood(copies, key).mask, self._states[copies]
        possible = {state for place, state in enumerate(states) if mask >> place & 1}
        return {(state,) for state in states if state not in possible}

    def connected(self, start: Iterable[int], facts: Facts, blocked: Collection[int]) -> Facts:
        """Return those facts that can bear on `start` without going through `blocked`."""
        reached = self._reached(start, facts, blocked)
        bit_of = self._bit_of
        return frozenset([path for path in facts if reached & bit_of[path]])

    def _reached(
        self, start: Iterable[int], facts: Facts, blocked: Iterable[int], also: Iterable[int] = ()
    ) -> int:
        """Return as bits the variables tied to `start` otherwise than through `blocked`.

        Looks at the people of the facts, `start`, `also`, and the ancestors of all these; a child
        ties its parents together.
        """
        line_of, lineage, ties = self._line_of, self.family.lineages, self._ties
        shown = waiting = closed = 0
        for path in facts:
            shown |= line_of[path]
        for variable in also:
            shown |= lineage[variable]
        for variable in start:
            shown |= lineage[variable]
            waiting |= 1 << variable
        for variable in blocked:
            closed |= 1 << variable
        reached = closed
        waiting &= ~closed
        while waiting:
            reached |= waiting
            variable = waiting.bit_length() - 1
            waiting ^= 1 << variable
            for child, tied in ties[variable]:
                if shown & child:
                    waiting |= tied & ~reached
        return reached ^ closed

    def needed(self, variables: Scope, facts: Sequence[str]) -> Facts:
        """Return facts enough to fix the distribution of `variables`; the rest change nothing.

        Of facts that say the same, those late in the sequence are given up.  Where loops interlock
        tightly facts are not tried one by one, and only the last that change nothing are.
        """
        found = self._needed.get((variables, tuple(facts)))
        if found is None:
            found = self._needed[variables, tuple(facts)] = self._fewest(variables, facts)
        return found

    def needed_above(self, one: int, facts: Facts, of: Scope, known: Facts) -> Facts | None:
        """Return `needed` of a variable, where it follows from `known`, that `of` others.

        Of `facts` those that cannot bear on the variable change nothing.  If the rest bear on `of`,
        and on what else is `known`, through this variable only, then a fact that changed nothing
        here would change nothing there; but each of `known` was found to count there.  None where
        that is not so, or in a rare limit, where what vanishes here may count there.  (`explain` of
        200 families takes a tenth less time than by trying each fact.)
        """
        if not self._partial.small or self.family.locus.rare:
            return None
        found = self.connected((one,), facts, ())
        if not found <= known:
            return None
        owner, bit_of = self._owner, self._bit_of
        reached = self._reached([owner[path] for path in found], known, (one,), of)
        if any(reached >> each & 1 for each in of):
            return None
        return None if any(reached & bit_of[path] for path in known - found) else found

    def _fewest(self, variables: Scope, facts: Sequence[str]) -> Facts:
        bits = [self._partial.bit[path] for path in facts]
        aim = self._weigh(variables, sum(bits)).weights

        def enough(kept: int) -> bool:
            return proportional(self._weigh(variables, kept).weights, aim)

        # Near facts nearly always suffice, and few facts make small networks.
        length = _SMALL_NUMBER if self._partial.small else 0
        while length < len(bits) and not (
            self._quick(variables, facts[:length]) and enough(sum(bits[:length]))
        ):
            length = max(4, 4 * length)
        if not self._partial.small:
            # Each look takes long here, so that facts are not tried one by one.
            return frozenset(facts[:length])
        kept = sum(bits[:length])
        idle = kept & ~self._counting(variables, kept, enough, aim)
        if enough(kept & ~idle):
            kept &= ~idle
        else:
            # Two facts may say the same, so that each says nothing beside the other.
            for bit in reversed(bits):
                if bit & idle and enough(kept & ~bit):
                    kept &= ~bit
        return frozenset(path for path, bit in zip(facts, bits, strict=True) if bit & kept)

    def _quick(self, variables: Scope, facts: Sequence[str]) -> bool:
        """Tell whether a look at some facts alone is quick; in many loops few cut too little."""
        if self._partial.small:
            return True
        return entries_at_sight(self.family, facts, variables) <= _MOST_OF_A_LOOK

    def _counting(
        self, variables: Scope, facts: int, enough: Callable[[int], bool], aim: Joint
    ) -> int:
        """Return those facts of which each makes a difference to the weights of `aim`."""
        found, hypotheses = 0, self._hypotheses[variables]
        alone = facts
        if hypotheses:
            alone &= self._partial.shared
            usual = [aim.get(hypothesis, 0) for hypothesis in hypotheses]
            # Whole numbers of different hypotheses are compared as they are.
            whole = self.family.locus.arithmetic is EXACT
            apart = whole and len({*hypotheses}) == len(hypotheses)
            for one, table in self._partial.changes(variables, facts):
                if not (
                    in_one_proportion(table, usual)
                    if apart
                    else proportional(_summed_up(hypotheses, table), aim)
                ):
                    found |= one
        for bit in self._partial.bit.values():
            if bit & alone and not enough(facts & ~bit):
                found |= bit
        return found


def _in_floats(scale: Fraction) -> float:
    """Return a scale of chances as a float; raises TooLarge where they would leave floats."""
    if not _LEAST < scale < 1 / _LEAST:
        raise TooLarge(
            "the working would lead through chances that floating-point numbers cannot hold, which "
            "a frequency with an irrational root needs; write the likelihoods of tests nearer to "
            "1 (only their ratios count), or the frequency of the allele as a fraction"
        )
    return float(scale)


def _summed_up(hypotheses: Sequence[Hypothesis], numbers: Sequence[Value]) -> Joint:
    """Return the weight of each hypothesis; some may stand several times, for several genotypes."""
    weights: dict[Hypothesis, Any] = {}
    for hypothesis, weight in zip(hypotheses, numbers, strict=True):
        if weight:
            known = weights.get(hypothesis)
            weights[hypothesis] = weight if known is None else known + weight
    return weights


def in_proportion(weights: Joint) -> Shares:
    """Return weights in the form of `Weigher.shares`."""
    found: dict[Hypothesis, Any] = {h: weight for h, weight in weights.items() if weight}
    if any(isinstance(weight, Term) for weight in found.values()):
        terms = {h: w if isinstance(w, Term) else Term(0, w) for h, w in found.items()}
        least = min([term.order for term in terms.values()])
        found = {h: term.coefficient for h, term in terms.items() if term.order == least}
    kinds = {type(weight) for weight in found.values()}
    if float in kinds:
        whole = sum(found.values())
        return {h: float(weight / whole) for h, weight in found.items()}
    if kinds != {int}:
        found = dict(zip(found, over_one_denominator(found.values())[0], strict=True))
    common = gcd(*found.values())
    return {h: weight // common for h, weight in found.items()}


def proportional(one: Joint, two: Joint) -> bool:
    """Tell whether two distributions are equal, as their `in_proportion` would be."""
    if {*map(type, one.values()), *map(type, two.values())} != {int}:
        return same(in_proportion(one), in_proportion(two))
    if one.keys() != two.keys():
        return False
    return not one or in_one_proportion(list(one.values()), [two[each] for each in one])


def same(one: Mapping[Any, Value], two: Mapping[Any, Value]) -> bool:
    """Tell whether two distributions are equal (as floats: nearly so)."""
    if one.keys() != two.keys():
        return False
    return all(equal(one[hypothesis], two[hypothesis]) for hypothesis in one)


def total(values: Iterable[Value]) -> Any:
    """Return the sum of some weights."""
    each = iter(values)
    result: Any = next(each, 0)
    for value in each:
        result = result + value
    return result


def equal(one: Value, two: Value) -> bool:
    """Tell whether two values are equal; floats may differ by rounding."""
    if isinstance(one, float) or isinstance(two, float):
        return isclose(one, two, rel_tol=_ROUNDING)  # type: ignore[arg-type]
    return one == two


def orders_upto(weights: Joint, most: int) -> dict[Hypothesis, int]:
    """Return the hypotheses whose chance is at most of this order of e, with the order."""
    orders = {hypothesis: order_of(weight) for hypothesis, weight in weights.items()}
    least = min(orders.values(), default=0)
    orders = {hypothesis: order - least for hypothesis, order in orders.items()}
    return {hypothesis: order for hypothesis, order in orders.items() if order <= most}


def order_of(value: Value) -> int:
    """Return the power of e in a value."""
    return value.order if isinstance(value, Term) else 0


def plain(value: Value) -> Value:
    """Return a value, as a fraction where it is a leading term that does not vanish, or zero."""
    if isinstance(value, Term) and (not value.order or not value.coefficient):
        return Fraction(value.coefficient)
    return value


def share(value: Value, whole: Value) -> Value:
    """Return value / whole, keeping the order of what vanishes in a rare limit."""
    if type(value) is int and type(whole) is int:
        return Fraction(value, whole)
    return plain(quotient(value, whole))
