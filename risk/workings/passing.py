"""How a child's chances come about from the chances that each parent passes the allele on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from risk.wording.phrases import joined
from risk.workings.step import State, Transmission, Value
from risk.workings.values import equation, product, value_word
from risk.workings.weigh import equal, order_of, plain, total


def by_passing(
    child_has: str,
    passing: Mapping[str, Transmission],
    prior: Mapping[State, Value],
    *,
    one_copy: bool,
    mutating: bool,
) -> str:
    """Return how the `prior` of a child follows from the chances that each parent passes it on.

    The keys of `passing` are names, `child_has` is one with its verb; `one_copy` tells of a child
    with one copy of the locus, `mutating` that new mutation is among the chances.  In a rare limit
    what vanishes beside the rest of a sum is left out, and so may be new mutation.  Empty where
    the prior does not follow from these.
    """
    parts: list[str] = []
    gets: list[Any] = []
    for parent, stated in passing.items():
        mutating = mutating or any(order_of(passed) for _, passed in _leading(stated))
        sums, chance = passed_on(stated)
        begin = " passes the allele on with chance" if not parts else " with chance"
        parts.append(f"{parent}{begin} {sums}")
        gets.append(chance)
    text = joined(parts)
    if mutating:
        text = f"With new mutation counted, {text}"
    if len(gets) == 1 and equal(prior.get(1, 0), gets[0]):
        return text
    if len(gets) != 2 or one_copy:
        return ""
    a, b = gets
    none, two, one = _rest(a) * _rest(b), a * b, _one(a, b)
    expected: dict[State, Any] = {0: none, 1: one, 2: two}
    if not all(equal(prior.get(state, 0), expected[state]) for state in {*prior, 1}):
        return ""
    if order_of(a) and order_of(b):
        kinds = [f"one copy with {equation(f'{value_word(a)} + {value_word(b)}', one)}"]
        if 2 in prior:
            kinds.append(f"two with {_times(a, b, two)}")
        return f"{text}, so that {child_has} {joined(kinds)}"
    kinds = [
        f"{what} with {worked}"
        for state, what, worked in (
            (0, "no allele", _times(_rest(a), _rest(b), none)),
            (2, "two copies", _times(a, b, two)),
        )
        if prior.get(state)
    ]
    kinds.append(f"one copy with the rest, {value_word(prior[1])}")
    return f"{text}, so that {child_has} {joined(kinds)}"


def passed_on(stated: Transmission) -> tuple[str, Any]:
    """Return the chance that one parent passes the allele on, as a sum with its result."""
    counted = _leading(stated)
    chance = total([one * two for one, two in counted])
    return equation(" + ".join(map(product, counted)), chance), chance


def just_one(passing: Sequence[Transmission], known: Mapping[State, Value], chance: Value) -> str:
    """Return the `chance` that a child has one allele as a quotient: ``1/3 / (1 - 1/9) = 3/8``.

    `passing` are those of its parents, `known` the chance of what is known of the child for each
    number of alleles, which is empty where nothing is.  Empty where the chance is not that.
    """
    gets = [passed_on(each)[1] for each in passing]
    if not gets or any(order_of(each) for each in gets):
        return ""
    if len(gets) == 1:
        gets.append(Fraction(0))
    a, b = sorted(gets, reverse=True)
    chances = {0: (1 - a) * (1 - b), 1: a * (1 - b) + b * (1 - a), 2: a * b}
    likely = {state: known.get(state, 0) if known else 1 for state in chances}
    whole = total([chances[state] * likely[state] for state in chances])
    if not whole or any(map(order_of, likely.values())):
        return ""
    if not equal(chances[1] * likely[1] / whole, chance):
        return ""
    said = value_word(a)
    if b:
        said = f"{value_word(a)} × {value_word(1 - b)} + {value_word(1 - a)} × {value_word(b)}"
    if equal(whole, likely[1]):
        return equation(said, chance)
    if likely[0] == likely[1] == 1 and not likely[2]:
        return equation(f"({said}) / (1 - {value_word(a)} × {value_word(b)})", chance)
    terms = {s: product((chances[s], likely[s])) for s in chances if chances[s] * likely[s]}
    return equation(f"({terms[1]}) / ({' + '.join(terms.values())})", chance)


def _leading(terms: Transmission) -> list[tuple[Any, Any]]:
    """Return those terms whose products do not vanish beside others."""
    orders = [order_of(one) + order_of(two) for one, two in terms]
    return [term for term, order in zip(terms, orders, strict=True) if order == min(orders)]


def _rest(chance: Any) -> Any:
    """Return one minus a chance, in the limit."""
    return Fraction(1) if order_of(chance) else 1 - chance


def _one(a: Any, b: Any) -> Any:
    """Return the chance of just one of two alleles, in the limit."""
    return plain(total([each for each in (a * _rest(b), b * _rest(a)) if each]))


def _times(one: Any, two: Any, result: Any) -> str:
    return equation(f"{value_word(one)} × {value_word(two)}", result)
