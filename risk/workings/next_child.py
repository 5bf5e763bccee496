"""Why a next child has the chance that it has: what passes on, who is born, who falls ill."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import comb, prod
from typing import Any

from risk.case.model import Condition, Question, Sex
from risk.genetics.founders import mutates, mutation_rates
from risk.inference.arithmetic import Term
from risk.model.locus import Locus
from risk.model.queries import asked_of_children
from risk.wording.alleles import COPIES
from risk.wording.chances import one_in
from risk.wording.phrases import joined, number_word, power
from risk.wording.questions import affected_by, child_in_words
from risk.workings.naming import Naming
from risk.workings.step import State, Value
from risk.workings.values import HALF, equation, product, short, value_word
from risk.workings.weigh import MOSAIC, equal, order_of, plain, total

#: Characters of a fraction that a reader takes in.
_LONG_FRACTION = 9
#: Terms of a sum that are all written out.
_MOST_TERMS = 3


@dataclass(frozen=True, slots=True)
class Kind:
    """Children of one sex with so many disease alleles.

    `conceived` is their share of all that are conceived (and of the sex asked about), `born` the
    chance of being born alive and `chance` that of what is asked.
    """

    sex: Sex
    alleles: int
    conceived: Any
    born: Fraction
    chance: Fraction


def kinds_of_children(
    locus: Locus, question: Question, mother: int, father: int
) -> tuple[Kind, ...]:
    """Return the kinds of next children of parents with genotypes at these places.

    Sons and daughters are told apart only where they differ.
    """
    found: dict[Sex, list[Kind]] = {}
    for sex, (chances, born) in asked_of_children(locus, question).items():
        copies = locus.copies(sex)
        conceived: list[Any] = [Fraction(0)] * (copies + 1)
        children = locus.children(copies, mother, father if copies == 2 else None)
        for genotype, share in zip(locus.listed[copies], children, strict=True):
            conceived[genotype.disease_alleles] += share
        found[sex] = [
            Kind(sex, count, _limit(share), born[count], chances[count])
            for count, share in enumerate(conceived)
        ]
    if len(found) == 1:
        (only,) = found.values()
        return tuple(only)
    daughters, sons = found["female"], found["male"]
    if _alike(daughters) == _alike(sons):
        return tuple(Kind("unknown", *each) for each in _alike(daughters))
    return tuple(
        Kind(kind.sex, kind.alleles, kind.conceived * HALF, kind.born, kind.chance)
        for kind in (*daughters, *sons)
    )


def _limit(value: Any) -> Any:
    """Return a rate in the limit, in which what vanishes is 0."""
    return Fraction(0) if order_of(value) else plain(value)


def _alike(kinds: Sequence[Kind]) -> list[tuple[int, Any, Fraction, Fraction]]:
    return [(kind.alleles, kind.conceived, kind.born, kind.chance) for kind in kinds]


def one_child(
    words: Naming,
    states: Sequence[State],
    question: Question,
    chance: Value,
    kinds: Sequence[Kind],
    then: str = "",
) -> str:
    """Return how the chance of one such child comes about, to go on a sentence.

    `then` is said where the sentence has told what must be so for it.
    """
    condition = words.condition
    child = child_in_words(question, condition)
    whose = f"a {child} of theirs"
    derived = _derived(condition, whose, question, chance, kinds, then)
    if mutates(condition) and condition.penetrance is None and not any(states):
        rule = _by_mutation(condition, kinds, chance)
        if rule or not derived:
            so = "affected" if question.ask == "child_affected" else "a carrier"
            return (
                f"; a {child} is {so} by new mutation only{_rates(condition, rule)}, with chance "
                f"{_in_words(chance)}"
            )
    if chance == 1:
        carrier = "is a carrier" if condition.recessive else "has just one copy"
        so = f"is {affected_by(question)}" if question.ask == "child_affected" else carrier
        return f"; every {child} of theirs {so}"
    return derived or f"; {whose} then has chance {_in_words(chance)}"


def passed_on(
    words: Naming,
    having: Mapping[str, State],
    named: Sequence[str],
    chance: Value,
    kinds: Sequence[Kind],
) -> str:
    """Return what goes on ``a child is affected only if Ann is a carrier``: who passes an allele
    on, and with what `chance`.

    `having` is what those have of whom the child has it, and the last `named` the one whom the
    sentence told of last, if anybody.  Empty where more goes into the chance.
    """
    counted = [kind for kind in kinds if kind.conceived and kind.chance]
    passed = len([state for state in having.values() if state])
    asked = {(kind.sex, kind.chance) for kind in counted if kind.alleles == passed}
    carriers = [id for id, state in having.items() if state == 1 and words.copies(id) == 2]
    if (
        not carriers
        or MOSAIC in having.values()
        or any(kind.born != 1 for kind in kinds if kind.conceived)
        or len(asked) < len(counted)
        or len({chance for _, chance in asked}) != 1
    ):
        return ""
    sex, then = min(asked)
    split = len(asked) < len({kind.sex for kind in kinds})
    factors = [*[HALF] * split, *[HALF] * len(carriers), then]
    if not equal(prod(factors), chance):
        return ""
    it = "the allele"
    if named and not words.called_carrier(words.family.variable[named[-1]], having[named[-1]]):
        it = "it"
    if len(carriers) == 2:
        begin = f"{' and ' * bool(named)}both pass {it} on"
    elif named and named[-1] == carriers[0]:
        begin = f" and passes {it} on"
    else:
        comma = "," * (len(named) > 1)
        begin = f"{comma}{' and ' * bool(named)}{words.name(carriers[0])} passes {it} on"
    to = f" to a {'son' if sex == 'male' else 'daughter'}" if split else ""
    also = f", and then with chance {then}" if then != 1 else ""
    return f"{begin}{to}{also}: {equation(product(factors), chance)}"


def _gets(condition: Condition, kinds: Sequence[Kind], alleles: int) -> bool:
    """Tell whether what is asked is that a child gets so many alleles, each with chance 1/2.

    There are no others to get then, not by new mutation either, and all are born alive.
    """
    conceived = [kind for kind in kinds if kind.conceived]
    sexes = len({kind.sex for kind in kinds})
    gets = [Fraction(comb(alleles, n), 2**alleles * sexes) for n in range(alleles + 1)]
    return (
        not mutates(condition)
        and [(kind.alleles, kind.conceived) for kind in conceived] == [*enumerate(gets)] * sexes
        and all(kind.born == 1 for kind in conceived)
        and all(kind.chance == (kind.alleles == alleles) for kind in conceived)
    )


def _rates(condition: Condition, rule: str) -> str:
    """Return the rates u and v of new mutation, with the `rule` for a child; vanishing ones not."""
    u, v = mutation_rates(condition)
    if isinstance(u, Term) or isinstance(v, Term):
        return ""
    return f" (u = {u} in eggs and v = {v} in sperm{rule and f': {rule}'})"


def _by_mutation(condition: Condition, kinds: Sequence[Kind], chance: Value) -> str:
    """Return how the `chance` of a child of two without the allele follows from u and v.

    Empty where these vanish, and where not all children are born alive.
    """
    u, v = mutation_rates(condition)
    if isinstance(u, Term) or isinstance(v, Term) or any(kind.born != 1 for kind in kinds):
        return ""
    sexes = dict.fromkeys([kind.sex for kind in kinds])
    terms, whole = [], Fraction(0)
    for sex in sexes:
        asked = {kind.alleles: kind.chance for kind in kinds if kind.sex == sex and kind.chance}
        text, value = _new_alleles({*asked}, u, v if condition.copies(sex) == 2 else Fraction(0))
        for factor in (Fraction(1, len(sexes)), *{*asked.values()}):
            if factor != 1:
                text = f"{factor} × {f'({text})' if ' + ' in text or ' - ' in text else text}"
            value *= factor
        terms += [text] if value else []
        whole += value
    return " + ".join(terms) if equal(whole, chance) else ""


def _new_alleles(asked: set[int], u: Fraction, v: Fraction) -> tuple[str, Fraction]:
    """Return the chance of one of the numbers `asked` of alleles, of those not there before.

    They are new in an egg with chance u and in a sperm with v: as a formula and its value.
    """
    if asked == {2}:
        return "uv", u * v
    if not u or not v:
        return ("u", u) if u else ("v", v)
    if asked == {1}:
        return "u(1 - v) + v(1 - u)", u * (1 - v) + v * (1 - u)
    return "1 - (1 - u)(1 - v)", 1 - (1 - u) * (1 - v)


def _derived(
    condition: Condition,
    whose: str,
    question: Question,
    chance: Value,
    kinds: Sequence[Kind],
    then: str,
) -> str:
    """Return the sum over the kinds of children that `chance` is; empty where it is not short."""
    kinds = [kind for kind in kinds if kind.conceived]
    numbers = [*(kind.conceived for kind in kinds), chance]
    if not all(isinstance(number, Fraction) and short(number) for number in numbers):
        return ""
    born = sum([kind.conceived * kind.born for kind in kinds], Fraction(0))
    counted = [kind for kind in kinds if kind.born and kind.chance]
    happens = sum([kind.conceived * kind.born * kind.chance for kind in counted], Fraction(0))
    if not counted or not born or not equal(happens / born, chance):
        return ""
    split = len({kind.sex for kind in kinds}) > 1
    so = affected_by(question)
    counting = "; with new mutation " if any(map(_definite, mutation_rates(condition))) else "; "
    theirs = f"{whose} is {then}" if split else f"{whose} {then}has "
    begin = f"{counting}{theirs}"
    both = " + ".join(_product(kind, split, kind.born, kind.chance) for kind in counted)
    if all(kind.born == 1 for kind in kinds):
        chances = [str(kind.chance) for kind in counted]
        listed = _listed(condition, counted, split)
        if set(chances) == {"1"}:
            if len(counted) == 1:
                alone = not split or listed.endswith(f" {chance}")
                return begin + (listed if alone else f"{listed} = {chance}")
            return f"{begin}{listed}: {both} = {chance}"
        each = chances[0] if len(set(chances)) == 1 else joined(chances)
        if both == each:
            return f"{begin}{listed}, and then is {so} with chance {each}"
        return f"{begin}{listed}, and then is {so} with chance {each}: {equation(both, happens)}"
    listed = _listed(condition, kinds, split)
    if split and len({kind.conceived for kind in kinds}) == 1:
        which = joined([_who(condition, each, split) for each in kinds], " or ")
        listed, split = f"{which}, all equally likely", False
    living = " + ".join(_product(kind, split, kind.born) for kind in kinds if kind.born)
    both = " + ".join(_product(kind, split, kind.born, kind.chance) for kind in counted)
    alive = joined([str(kind.born) for kind in kinds])
    also = f"are {so} and" if question.ask == "child_affected" else "have just one copy and are"
    return (
        f"{counting}at conception {theirs}{listed}, and then is born alive with chance {alive}: in "
        f"all {equation(living, born)}. Of all conceived {equation(both, happens)} {also} born "
        f"alive, which is ({happens}) / ({born}) = {chance} of those born"
    )


def _definite(rate: Any) -> bool:
    return bool(rate) and not isinstance(rate, Term)


def _listed(condition: Condition, kinds: Sequence[Kind], split: bool) -> str:
    """Return the kinds with their chances: ``one copy with chance 1/2 and two copies with 1/4``."""
    parts: list[str] = []
    for kind in kinds:
        word = "" if parts else " chance"
        chance = "" if kind.conceived == 1 else f" with{word} {_product(kind, split)}"
        parts.append(f"{_who(condition, kind, split)}{chance}")
    return joined(parts, " or " if split else " and ")


def _who(condition: Condition, kind: Kind, split: bool) -> str:
    """Return a kind of child: ``one copy``, or of daughters and sons ``a son with the allele``."""
    who = {"female": "a daughter with ", "male": "a son with "}[kind.sex] if split else ""
    return f"{who}{copies_of_child(condition, kind.sex, kind.alleles)}"


def copies_of_child(condition: Condition, sex: Sex, alleles: int) -> str:
    """Return what a child of this sex has: ``one copy``, or on the X of a son ``the allele``."""
    return "the allele" if alleles and condition.copies(sex) == 1 else COPIES[alleles]


def _product(kind: Kind, split: bool, *factors: Fraction) -> str:
    """Return the chance of a kind of child, and of more, as a product: ``1/2 × 1/2 × 4/5``."""
    first = [HALF, kind.conceived * 2] if split else [kind.conceived]
    return product((*first, *factors))


def _in_words(chance: Value) -> str:
    """Return a chance, with what can be read of it where it is a long fraction."""
    if isinstance(chance, Fraction) and len(str(chance)) > _LONG_FRACTION:
        return f"{chance}, {one_in(chance)}"
    return str(chance)


def several_children(
    words: Naming,
    states: Sequence[State],
    question: Question,
    chance: Value,
    child: Value | None,
    kinds: Sequence[Kind],
    then: str = "",
) -> str:
    """Return how the chance that so many of several children are affected comes about.

    `child` is the chance of one child, and `kinds` are those of such a child; `then` as above.
    """
    if not isinstance(child, Fraction):
        return f"; so many affected children then have chance {chance}"
    number = question.of or 0
    spared = 1 - child
    passed = "1/2 × 1/2 = " if _gets(words.condition, kinds, 2) else ""
    derived = ""
    if not passed and 0 < child < 1 and not _gets(words.condition, kinds, 1):
        one = replace(question, ask="child_affected")
        derived = one_child(words, states, one, child, kinds, then)
    if number == 1:
        begin = derived or f"; a child of theirs is {then}affected with chance {child}"
        if question.at_least == 0:
            return f"{begin}: affected or not, it counts"
        return begin + ("" if chance == child else f", and unaffected with chance {chance}")
    count = question.exactly
    told = question.at_least in (None, 1) and count != number
    not_so = f" and unaffected with {spared}" if told else ""
    each = "so each child is " if derived else f"each child is {then}"
    begin = (
        f"{derived}; {each}affected with chance {passed}{child}{not_so}, "
        "independently of the others"
    )
    if question.at_least == 1:
        some = f"at least one of {number_word(number)}"
        return f"{begin}: {some} with 1 - {_powered(spared, number)} = {chance}"
    if question.at_least == 0:
        return f"{begin}: any number of them counts"
    if count is None and question.at_least != number:
        return f"{begin}: {_summed(child, number, question.at_least or 0)} = {chance}"
    if count == 0:
        return f"{begin}: none of {number_word(number)} with {_powered(spared, number)} = {chance}"
    if count is None or count == number:
        every = "both" if number == 2 else f"all {number_word(number)}"
        return f"{begin}: {every} with {_powered(child, number)} = {chance}"
    ways = comb(number, count)
    return (
        f"{begin}: {number_word(count)} of {number_word(number)} can be chosen in {ways:,} ways, "
        f"each with {_powered(child, count)} × {_powered(spared, number - count)}, "
        f"together {chance}"
    )


def _summed(child: Fraction, number: int, least: int) -> str:
    """Return the sum that the chance of at least so many of several affected children is.

    It goes over those numbers, or over all others where these are fewer.
    """
    counts, others = range(least, number + 1), range(least)
    begin = f"{number_word(least)} or more of {number_word(number)} with"
    if min(len(others), len(counts)) > _MOST_TERMS:
        each = f"{power(f'({child})', 'k')} × {power(f'({1 - child})', f'{number}-k')}"
        ways = f"times the ways to choose k of {number_word(number)}"
        return f"{begin} {each} {ways}, added up from {least} to {number}"
    if len(others) < len(counts):
        return f"{begin} {' - '.join(['1', *(_of_so_many(child, number, k) for k in others)])}"
    return f"{begin} {' + '.join(_of_so_many(child, number, k) for k in counts)}"


def _of_so_many(child: Fraction, number: int, count: int) -> str:
    """Return the chance of exactly so many of several: ``3 × (2/3)² × 1/3``."""
    factors = [f"{comb(number, count):,}"] if 0 < count < number else []
    powers = ((child, count), (1 - child, number - count))
    factors += [_powered(chance, times) for chance, times in powers if times and chance != 1]
    return " × ".join(factors)


def pair_with_born(
    weights: Mapping[Any, Any],
    number: int,
    before: Any,
    factors: Sequence[Any],
    born: Any,
    chance: Value,
) -> str:
    """Return how the `chance` of two people's genotypes follows from that `before` any birth.

    `weights` are the chances of all pairs of genotypes by the chance `born` of one live birth;
    `number` children are asked about, and `factors` make `before`.  Empty where nothing changes.
    """
    if len([each for each in weights if weights[each]]) < 2:
        return ""
    rest = {**weights, born: weights[born] - before}
    if equal(weights[born], before):
        del rest[born]
    own = _with_births(before, born, number)
    terms = [_with_births(rest[each], each, number) for each in rest if rest[each] and each]
    known = equation(product(factors), before) if factors else value_word(before)
    share = equation(f"({own}) / ({' + '.join([own, *terms])})", chance)
    return f"{_as_born(number)}, the chance of these genotypes is not {known}, but {share}"


def pairs_with_born(weights: Mapping[Any, Any], number: int) -> str:
    """Return how live births count where several pairs of genotypes do; see `pair_with_born`."""
    kept = {born: weight for born, weight in weights.items() if weight}
    if len(kept) < 2:
        return ""
    terms = " + ".join(_with_births(kept[born], born, number) for born in kept if born)
    whole = total(weight * born**number for born, weight in kept.items())
    births = "that of a live birth" if number == 1 else f"that of {number_word(number)} live births"
    return (
        f"{_as_born(number)}, the chance of each pair is multiplied by {births} and divided by "
        f"the sum of that over all pairs, {equation(terms, whole)}; what follows is of "
        "those born"
    )


def _as_born(number: int) -> str:
    return "As the child is born alive" if number == 1 else "As the children are born alive"


def _with_births(weight: Any, born: Any, number: int) -> str:
    """Return a chance times that of live births: ``1/20 × (7/8)²``."""
    if born == 1:
        return value_word(weight)
    return f"{value_word(weight)} × {_powered(born, number)}"


def _powered(chance: Fraction, number: int) -> str:
    return f"{chance}" if number == 1 else power(f"({chance})", number)
