"""How common genotypes are in the population, and how that follows from the stated frequency."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from risk.case.model import Condition, Question
from risk.genetics.founders import (
    allele_counts,
    allele_frequency,
    counts_of_relatives,
    mutation_rates,
)
from risk.inference.arithmetic import Term
from risk.number import Quantity
from risk.wording.phrases import joined
from risk.workings.step import State, Value
from risk.workings.values import equation, factor, short, value_word
from risk.workings.weigh import MOSAIC, equal

#: Why a man's phenotype says nothing of his sons on the X.
NO_X_FOR_SONS = "A father gives his sons no X"


def how_common(
    condition: Condition,
    copies: Sequence[int],
    shares: Mapping[State, Value] | None = None,
    inbreeding: Fraction | None = None,
    whose: str = "",
) -> str:
    """Continue a sentence on the population, ``: q = 1/100, ...``, for people with `copies`.

    `shares` are the chances of the genotypes, where they are of one kind of people alone.  With
    related parents (`inbreeding`) they are those of the people whom `whose` names.
    """
    frequency = condition.frequency
    mosaics = among_others(condition, shares)
    if frequency.allele == "rare":
        return f", where the allele is rare: {_vanishing(copies)}{mosaics}"
    if frequency.mutation_selection_balance is not None:
        balance = _balance(condition, copies, shares)
        return f", where new mutation balances selection{balance}{mosaics}"
    if isinstance(frequency.allele, Quantity) and not frequency.allele.value:
        return f", where nobody has the allele{mosaics}"
    parts = []
    if 2 in copies:
        known = shares if copies == [2] else None
        parts.append(_two_copies(condition, known, inbreeding or Fraction(0), whose))
    if 1 in copies:
        parts.append("a man has the allele with chance q")
    return f": {how_frequent(condition)}; {'; '.join(parts)}{mosaics}"


def _vanishing(copies: Sequence[int]) -> str:
    parts = []
    if 2 in copies:
        who = "of a woman " if 1 in copies else ""
        parts.append(f"one copy {who}has the vanishing chance 2ε, two copies its square")
    if 1 in copies:
        parts.append(f"a man has it with {'chance' if parts else 'the vanishing chance'} ε")
    return "; ".join(parts)


def with_kinship(condition: Condition, question: Question, related: Fraction, chance: Value) -> str:
    """Return how the chance of a child of relatives follows from q and F, where it does so.

    That is where nothing is known of the family that matters, and nothing but the frequency and
    F enters; else an empty text.
    """
    frequency = condition.frequency
    usual = condition.penetrance is None and condition.viability is None
    if (
        frequency.allele == "rare"
        or frequency.mutation_selection_balance is not None
        or not usual
        or not condition.recessive
        or condition.x_linked
    ):
        return ""
    q = value_word(allele_frequency(condition))
    _, carrier, affected = allele_counts(condition, 2, related)
    _, one, two = map(value_word, allele_counts(condition, 2, Fraction(0)))
    if question.ask == "child_carrier":
        formula, value = "2q(1 - q)(1 - F)", carrier
        worked = f"{one} × {1 - related}"
    elif question.ask == "child_affected":
        formula, value = "q²(1 - F) + qF", affected
        worked = f"{two} × {1 - related} + {q} × {related}"
    else:
        return ""
    if not value or not equal(value, chance):
        return ""
    return equation(f"{formula} = {worked}", value)


def with_shared_copies(
    condition: Condition,
    names: str,
    related: Fraction,
    both: Fraction,
    chances: Mapping[tuple[State, ...], Value],
) -> str:
    """Return how the `chances` of what two relatives have follow from the copies that they share.

    `related` is the F of their child, and `both` the chance that they share both copies.  Empty
    where the chances do not follow, and on the X.
    """
    frequency, share = condition.frequency, 4 * related - 2 * both
    rest = 1 - share - both
    balanced = frequency.mutation_selection_balance is not None
    if min(share, rest) < 0 or balanced or frequency.allele == "rare" or condition.x_linked:
        return ""
    expected: Any = counts_of_relatives(condition, share, both)
    if not all(equal(expected.get(states, 0), chance) for states, chance in chances.items()):
        return ""
    begin = f"with chance 4F = {share} {names} share one copy by descent, and then"
    each, alike = "no copy with (1 - q)², one with 2q(1 - q) and two with q²", ""
    apart = f"; otherwise they are as two strangers, each with {each}, and these chances multiply"
    if both:
        begin = (
            f"F is 1/4 where {names} share just one copy by descent and 1/2 where they share both, "
            f"so that they share one with chance 4F - 2 × {both} = {share}. With one shared"
        )
        alike = f"; with both shared they have the same genotype, {each}"
        apart = "; otherwise they are as two strangers, each with these chances, which multiply"
    text = (
        f"{how_frequent(condition)}; {begin} neither has the allele with chance (1 - q)³, just a "
        "given one has one copy with q(1 - q)², both have one with q(1 - q), a given one has one "
        f"and the other two with q²(1 - q), and both have two with q³{alike}{apart if rest else ''}"
    )
    if (1, 1) not in chances:
        return text
    cases = ((share, "q(1 - q)"), (both, "2q(1 - q)"), (rest, "(2q(1 - q))²"))
    terms = [f"{chance} × {one_each}" for chance, one_each in cases if chance]
    carriers = "both are carriers" if condition.recessive else "both have one copy"
    worked = equation(" + ".join(terms), chances[1, 1])
    return f"{text}, so that {carriers} with chance {worked}"


def how_frequent(condition: Condition) -> str:
    """Return where q, the frequency of the allele, comes from."""
    frequency, q = condition.frequency, allele_frequency(condition)
    comes = equation("q", q)
    if frequency.carrier is not None:
        people = "women" if condition.x_linked else "people"
        healthy = (condition.penetrance, condition.onset, condition.viability) == (None,) * 3
        which = f"unaffected {people}" if healthy else f"{people} with at most one copy"
        c = frequency.carrier
        derived = comes.replace("q ", "q = c/(2 - c) ", 1)
        return f"of {which} c = {c} are carriers, so the frequency of the allele is {derived}"
    if frequency.incidence is None:
        return f"the frequency of the allele is {comes}"
    i = frequency.incidence
    if condition.x_linked:
        return f"of males {i} have the allele, which is its frequency {comes}"
    if condition.recessive:
        root = comes.replace("q ", f"q = square root of {factor(i)} ", 1)
        return f"of all people {i} have two copies, so the frequency of the allele is {root}"
    root = comes.replace("q ", f"q = 1 - square root of (1 - {factor(i)}) ", 1)
    return f"of all people {i} have the allele, so its frequency is {root}"


def _two_copies(
    condition: Condition, shares: Mapping[State, Value] | None, inbreeding: Fraction, whose: str
) -> str:
    one, two = "2q(1 - q)", "q²"
    who = "a woman" if condition.x_linked else "anyone, affected or not,"
    if inbreeding:
        one, two = f"{one}(1 - F)", f"{two}(1 - F) + qF"
        who = f"{whose}, whose parents are related (F = {inbreeding}),"
    # The values of the formulas, whatever else may be known of whom the sentence is about.
    values = allele_counts(condition, 2, inbreeding) if shares else ()
    chances = [
        f"{what} with chance {formula}"
        + (f" = {value_word(values[count])}" if values and short(values[count]) else "")
        for count, what, formula in (
            (1, "a carrier" if condition.recessive else "one copy", one),
            (2, "two copies", two),
        )
    ]
    if condition.recessive:
        return f"{who} is {chances[0]} and has {chances[1]}"
    return f"{who} has {joined(chances)}"


def among_others(
    condition: Condition, shares: Mapping[State, Value] | None = None, without: str = "it"
) -> str:
    """Go on with germline mosaics, if there are any, among those `without` the allele.

    `shares` are the chances of the genotypes, to be derived.
    """
    mosaic = condition.germline_mosaicism
    if mosaic is None or not mosaic.prior.value:
        return ""
    text = (
        f"; of those without {without}, {mosaic.prior} are germline mosaics, who "
        f"pass it on in {mosaic.gametes} of eggs or sperm"
    )
    none, some = [(shares or {}).get(state) for state in (0, MOSAIC)]
    prior = mosaic.prior.value
    if not isinstance(none, Fraction) or not isinstance(some, Fraction):
        return text
    rest = none + some
    if rest == 1 or some != rest * prior or not all(map(short, (none, some, rest))):
        return text
    return (
        f"{text}: no allele with chance {rest} × {1 - prior} = {none}, a mosaic with "
        f"{rest} × {prior} = {some}"
    )


def _balance(
    condition: Condition, copies: Sequence[int], shares: Mapping[State, Value] | None
) -> str:
    """Return the chance at the balance of mutation and selection, of one kind of people."""
    balance = condition.frequency.mutation_selection_balance
    assert balance is not None
    if (
        not shares
        or len(copies) != 1
        or not short(shares.get(1, 0.0))
        or not any(mutation_rates(condition))
    ):
        return ""
    fitness = balance.fitness
    f = factor(fitness)
    u, v = mutation_rates(condition)
    rates = f"u = {u} in eggs and v = {v} in sperm"
    if isinstance(u, Term):
        rates = "u in eggs and v in sperm (both ε here)"
    half = f"(u + v + {f} × u)/(1 - {f})" if fitness.value else "(u + v)"
    who = (
        f"a man has the allele with half the chance of a woman's being a carrier, and u more: "
        f"{half} + u"
        if copies[0] == 1
        else f"a woman is a carrier with chance 2{half}"
    )
    return f": with new mutation at rate {rates}, {equation(who, shares[1])}"
