"""Answers to all questions of a case, and every person's genotype, from one pair of passes."""

from __future__ import annotations

import gc
from collections.abc import Collection, Iterator, Sequence
from contextlib import contextmanager
from fractions import Fraction
from itertools import repeat
from math import fsum, gcd, log, log1p, log10, prod
from typing import Any

from risk.case.model import Case, Question
from risk.genetics.genotypes import is_carrier
from risk.inference.arithmetic import EXACT, FLOAT, ratio
from risk.inference.plan import Scope
from risk.model.answers import Answer, Chance, PersonChances, Solution, Vanishing
from risk.model.conflict import impossible, unborn
from risk.model.family import Family
from risk.model.locus import ArithmeticName
from risk.model.named import named
from risk.model.network import Network, make_network
from risk.model.queries import child_event, person_event, question_pair

#: Most characters that the fractions of all people may fill together.  They grow with the square
#: of the family (each has a few digits more for each relative): 4 MB at 1,000 people, 40 MB at
#: 3,000, 400 MB at 10,000, which nobody reads and which takes longer to print than to compute.
LONGEST_FRACTIONS = 10_000_000

#: People from which looking for cycles costs more than it can find.
_MANY_PEOPLE = 300

#: Logarithms below are worked out from the chance itself, as sums of others would cancel.
_NEAR_CERTAINTY = 1e-6

#: Positions of genotypes that are just 0, 1 and 2 disease alleles.
_BY_COUNT = [0, 1, 2]

#: For each variable the chance of 0, 1 and 2 disease alleles.
Distributions = dict[int, tuple[Chance, ...]]

_NEVER, _ALWAYS = Chance(0.0, Fraction(0)), Chance(1.0, Fraction(1))


def _certain(never: Chance, always: Chance) -> tuple[tuple[Chance, ...], ...]:
    """The distributions of people with certainly 0, 1 or 2 disease alleles."""
    return ((always, never, never), (never, always, never), (never, never, always))


_CERTAIN = {
    True: _certain(_NEVER, _ALWAYS),
    False: _certain(Chance(0.0), Chance(1.0)),
}


def solve(case: Case, arithmetic: ArithmeticName = "exact") -> Solution:
    """Answer every question of `case` and give every person's number of disease alleles.

    ``"float"`` computes in floating point, and then no answer is exact.  Answers are exact at
    any size, but people have no fractions where these would fill `LONGEST_FRACTIONS`.  Raises
    Contradiction, with a smallest conflicting set of facts, and TooLarge.
    """
    with _without_looking_for_cycles(len(case.people)):
        # In a function of its own, so that the network is gone when Python looks again.
        return _solved(case, arithmetic)


def _solved(case: Case, arithmetic: ArithmeticName) -> Solution:
    network, pairs = possible_network(case, arithmetic)
    if _too_long(network):
        everyone, answers = distributions(_in_floats(case)), _answers(network, pairs)
    else:
        everyone = distributions(network)
        answers = _answers(network, pairs, everyone)
    family = network.family
    variable, ids = family.variable, family.people
    chances = map(everyone.__getitem__, map(variable.__getitem__, ids))
    people = tuple(map(named, repeat(PersonChances), zip(ids, chances, strict=True)))
    return Solution(log_likelihood(network), answers, people)


@contextmanager
def _without_looking_for_cycles(people: int) -> Iterator[None]:
    """Let Python not look for cycles among the many small objects that a large family makes.

    There are none, and looking takes a fifth of the time at 10,000 people.
    """
    hold = people >= _MANY_PEOPLE and gc.isenabled()
    if hold:
        gc.disable()
    try:
        yield
    finally:
        if hold:
            gc.enable()


def _too_long(network: Network) -> bool:
    """Tell whether everyone's fractions together would be too long to be of use."""
    if network.family.locus.arithmetic is not EXACT:
        return False
    roots: list[int] = network.passing().roots  # type: ignore[assignment]
    digits = max([total.bit_length() for total in roots]) * log10(2)
    uncertain = len([states for states in network.states if len(states) > 1])
    return bool(4 * uncertain * digits > LONGEST_FRACTIONS)  # two fractions of two numbers each


def _in_floats(case: Case) -> Network:
    return make_network(Family(case, floating=True))


def answers(case: Case, arithmetic: ArithmeticName = "exact") -> tuple[Answer, ...]:
    """Answer every question of `case`, and nothing else; errors as `solve`."""
    return _answers(*possible_network(case, arithmetic))


def possible_network(case: Case, arithmetic: ArithmeticName) -> tuple[Network, list[Scope | None]]:
    """Return the network of a case, and `question_pair` of each of its questions.

    Raises Contradiction, with a smallest conflicting set of facts, and TooLarge.
    """
    family = Family(case, floating=arithmetic == "float")
    pairs = [question_pair(family, question) for question in case.questions]
    network = make_network(family, groups=[pair for pair in pairs if pair is not None])
    if not network.possible_at_sight or not network.passing().possible:
        raise impossible(case)
    return network, pairs


def _answers(
    network: Network, pairs: Sequence[Scope | None], known: Distributions | None = None
) -> tuple[Answer, ...]:
    questions = zip(network.family.case.questions, pairs, strict=True)
    return tuple([answer(network, question, pair, known=known) for question, pair in questions])


def answer(
    network: Network,
    question: Question,
    pair: Scope | None,
    facts: Collection[str] | None = None,
    known: Distributions | None = None,
) -> Answer:
    """Answer one question from a network made with these `facts` (None: all).

    `known` are the distributions of all variables, where they have been worked out.
    """
    family = network.family
    locus = family.locus
    if question.ask == "genotype" or (question.ask == "carrier" and known):
        assert question.person is not None
        variable = family.variable[question.person]
        own = (known or distributions(network, [variable]))[variable]
        if question.ask == "genotype":
            return Answer(question, distribution=own)
        # With one copy nobody is a carrier: that is certainly not two alleles.
        return Answer(question, own[1] if family.copies[variable] == 2 else own[2])
    top: Any = 0
    bottom: Any = 0
    if pair is None:
        assert question.person is not None
        event = person_event(family, question, facts)
        for place, weight in network.marginal(family.variable[question.person]):
            chance = event(place)
            top, bottom = _add(top, weight, chance.happens), _add(bottom, weight, chance.condition)
    elif question.people is not None:
        copies = [locus.copies(family.people[id].sex) for id in question.people]
        for one, two, weight in network.joint(*pair):
            both = all(
                is_carrier(copy, locus.listed[copy][place].disease_alleles)
                for copy, place in zip(copies, (one, two), strict=True)
            )
            top, bottom = _add(top, weight, both), _add(bottom, weight, 1)
    else:
        event_of = child_event(locus, question)
        for one, two, weight in network.joint(*pair):
            if weight:
                chance = event_of(one, two)
                top = _add(top, weight, chance.happens)
                bottom = _add(bottom, weight, chance.condition)
        if not bottom:
            raise unborn(family.case, question)
    return Answer(question, chance_of(top, bottom, exact=locus.exact))


def distributions(network: Network, variables: Collection[int] | None = None) -> Distributions:
    """Return for each variable (None: all genotypes) the chance of 0, 1 and 2 disease alleles."""
    family = network.family
    copies, counts = family.copies, family.locus.counts
    exact = family.locus.exact
    certain = _CERTAIN[exact]
    found: dict[int, tuple[Chance, ...]] = {}
    #: Those already reduced, by the id of their table, which alike relatives share.
    met: dict[int, tuple[Chance, ...]] = {}
    #: Those in floats, and three shares of each.
    floating: list[int] = []
    shares: list[float] = []
    if variables is None:
        variables, everyone = range(len(copies)), network.all_weighed()
    else:
        everyone = {variable: network.weighed(variable) for variable in variables}
    states_of = network.states
    for variable in variables:
        if not copies[variable]:
            continue
        count = counts[copies[variable]]
        states = states_of[variable]
        if len(states) == 1:
            found[variable] = certain[count[states[0]]]
            continue
        weighed = everyone[variable]
        if id(weighed) in met:
            found[variable] = met[id(weighed)]
            continue
        if states == _BY_COUNT == count:
            weights = weighed
        else:
            weights = sums = [0, 0, 0]
            if len(states) == 2:  # the most, in three quarters of the time that the loop takes
                sums[count[states[0]]] = weighed[0]
                sums[count[states[1]]] += weighed[1]
            else:
                for place, weight in zip(states, weighed, strict=True):
                    sums[count[place]] += weight
        whole = weights[0] + weights[1] + weights[2]
        if exact and type(whole) is int:
            found[variable] = met[id(weighed)] = _exact_chances(weights, whole)
        elif type(whole) is float:
            floating.append(variable)
            none, one, two = weights
            shares += none / whole, one / whole, two / whole
        else:
            found[variable] = tuple([chance_of(weight, whole, exact=exact) for weight in weights])
    # All in one go, which takes two thirds of the time of one by one.
    chances = map(named, repeat(Chance), zip(shares, repeat(None), strict=False))
    found.update(zip(floating, zip(chances, chances, chances, strict=True), strict=True))
    return found


def _exact_chances(weights: Sequence[int], whole: int) -> tuple[Chance, ...]:
    """Return the shares that three whole numbers have of their sum."""
    # Where one of them is zero the others need one gcd together, and not one each.
    together = 0 if all(weights) else gcd(*weights)
    chances = []
    for weight in weights:
        if not weight:
            chances.append(_NEVER)
            continue
        common = together or gcd(weight, whole)
        top, bottom = weight // common, whole // common
        # `Fraction` has no public way to leave out its gcd; its two slots are the same in every
        # Python so far.  It saves a fifteenth of the time from a case of 30 people to its answers.
        fraction: Any = object.__new__(Fraction)
        fraction._numerator = top
        fraction._denominator = bottom
        chances.append(named(Chance, (top / bottom, fraction)))
    return tuple(chances)


def log_likelihood(network: Network) -> float | None:
    """Return the natural logarithm of the chance of all facts; None in a rare limit."""
    if network.family.locus.rare:
        return None
    passing = network.passing()
    gained = (*passing.roots, *passing.divided)
    # Scales of floats are powers of two of any size.
    logarithm = _log if network.family.locus.arithmetic is FLOAT else log
    found = fsum(map(logarithm, gained)) - fsum(map(logarithm, network.denominators))
    if abs(found) < _NEAR_CERTAINTY and network.family.locus.arithmetic is not FLOAT:
        # What is certain, as it is where nothing is known, has the logarithm 0 and no other.
        certain = prod(network.denominators)
        return log1p((prod(gained) - certain) / certain)
    return found


def _log(number: Any) -> float:
    """Return the natural logarithm of a number of any size."""
    if type(number) is Fraction:
        return log(number.numerator) - log(number.denominator)
    return log(number)


def chance_of(top: Any, bottom: Any, *, exact: bool = True) -> Chance:
    """Return top / bottom as a Chance, without a fraction where it is not `exact`."""
    if exact and type(top) is int and type(bottom) is int:
        if not top:
            return _NEVER
        if top == bottom:
            return _ALWAYS
        value: Fraction | float = Fraction(top, bottom)
    else:
        value = ratio(top, bottom)
    if isinstance(value, float):
        return Chance(value)
    kind = Vanishing if top and not value else Chance
    return kind(float(value), value if exact else None)


def _add(total: Any, weight: Any, rate: Any) -> Any:
    """Return total + weight x rate in whatever arithmetic the parts are."""
    if not rate or not weight:
        return total
    return total + (weight if rate == 1 else weight * rate)
