"""How a child's chances come about from the chances that each parent passes the allele on."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from risk.case.model import BySex, Sex
from risk.genetics.founders import mutates, mutation_rates
from risk.wording.phrases import joined
from risk.workings.naming import Naming
from risk.workings.step import Said, State, Transmission, Value
from risk.workings.values import HALF, equation, product, value_word
from risk.workings.weigh import MOSAIC, Facts, Hypothesis, equal, order_of, plain, total


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


def with_mutation(
    words: Naming, parent: int, chances: Mapping[Hypothesis, Value | None]
) -> list[Said]:
    """Say how new mutation enters the `chances` of the child of a carrier, and of a mosaic.

    Nothing where these are not the chance that an egg or sperm of this parent has the allele, that
    it does not, or that of the two of both parents one has it, or neither, by new mutation.
    """
    begin = "A carrier passes" if words.condition.recessive else "With one copy a parent passes"
    found = [_arisen(words, parent, begin, HALF, chances.get((1,)))]
    mosaics = words.condition.germline_mosaicism
    if mosaics is not None:
        begin = "A germline mosaic passes"
        found.append(_arisen(words, parent, begin, mosaics.gametes.value, chances.get((MOSAIC,))))
    return list(map(Said, filter(None, found)))


def _arisen(words: Naming, parent: int, begin: str, part: Fraction, one: Value | None) -> str:
    """Say how `one` chance follows where a parent passes the allele on in `part` of gametes."""
    copies, gametes = words.family.copies[parent], ["egg", "sperm"]
    rates = list(mutation_rates(words.condition))
    if words.sex(parent) != "female":
        rates, gametes = rates[::-1], gametes[::-1]
    rate, other = rates
    if copies == 1 or not isinstance(rate, Fraction) or not isinstance(other, Fraction):
        return ""
    passed = part + (1 - part) * rate
    worked = f"{part} + {1 - part} × {rate}"
    begin += f" the allele on with chance {part}"
    if rate:
        begin += f", and otherwise new mutation in the {gametes[0]} may add it: "
    if rate and one in (passed, 1 - passed):
        return f"{begin}{worked if one == passed else f'1 - ({worked})'} = {one}"
    neither = (1 - passed) * (1 - other)
    if not other or one not in (neither, 1 - neither):
        return ""
    begin += f"{worked} = {passed}" if rate else ""
    product = f"{1 - passed} × {1 - other}"
    if one != neither:
        product = f"1 - {product}"
    whose = "the other parent's " + gametes[1]
    return f"{begin}; in {whose} it arises with chance {other}: {product} = {one}"


def half(words: Naming, new: Facts, sex: Sex, value: Fraction) -> str:
    """Return the sum that the chance of a child's phenotype is: ``1 - 1/2 × 80% = ``.

    Empty but for a child who gets the allele with chance 1/2 from a parent with one copy, and
    nothing from the other, and falls ill with less than certainty.
    """
    condition = words.condition
    table = condition.penetrance
    usual = not mutates(condition) and condition.viability is None
    if table is None or not usual or condition.onset is not None:
        return ""
    if isinstance(table, BySex):
        if sex == "unknown":
            return ""
        table = table.female if sex == "female" else table.male
    if not 0 < table.one.value < 1 or table.zero.value:
        return ""
    product = f"1/2 × {table.one.value} = "
    if {words.facts_kind(path) for path in new} != {"affected"}:
        return ""
    affected = {words.case.person(words.facts[path].person).affected for path in new}
    if affected == {False} and value == 1 - HALF * table.one.value:
        return f"1 - {product}"
    return product if affected == {True} and value == HALF * table.one.value else ""


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
    return equation(product((one, two)), result)
