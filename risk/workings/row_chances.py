"""How the chances of a row are told: as they are, as sums, and as those of an age."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from math import prod

from risk.genetics.founders import mutates
from risk.inference.arithmetic import Term
from risk.wording.phrases import joined
from risk.workings.naming import Naming
from risk.workings.onset import by_age_in_words, chance_by_age
from risk.workings.step import State, Value
from risk.workings.sums import Averages, Sum
from risk.workings.values import HALF, bits, by_case, equation, product, short, value_word
from risk.workings.weigh import MOSAIC, Facts, Hypothesis, equal, share, total

#: How many cases of a sum are named.
MOST_ALIKE = 3
#: How many sums are told by their results alone.
_MOST_OTHERS = 4
#: What part of all the chance a hypothesis has that is worth working out.
_COUNTING = Fraction(1, 20)
#: Hypotheses with the same number, which is the same sum.
_Group = tuple[list[Hypothesis], Value, Sum]


def in_words(
    words: Naming,
    variable: int,
    values: Mapping[Hypothesis, Value],
    *,
    escaped: bool = False,
    told: Facts = frozenset(),
    parent: bool = False,
    averages: Averages | None = None,
) -> str:
    """Return the chances of a row in words, where they are short.

    With `escaped` a chance is shown as what is left of 1: being unaffected so far.  Where they
    are those of several facts `told` of the person alone, they are products.  Of a `parent` the
    name is told, since a row is about children; what these may have is in the `averages`.
    """
    shown: list[tuple[str, str]] = []
    spared = ""
    each = _of_each_fact(words, variable, told)
    for hypothesis, value in values.items():
        number = value_word(value)
        if escaped and isinstance(value, Fraction) and 0 < value < 1 and short(value):
            number = f"1 - {1 - value} = {number}"
            if words.condition.onset is None:
                spared = ", 1 minus the penetrance,"
        if isinstance(value, Fraction) and not short(value):
            number = f"1 - {1 - value}"
        factors = each.get(hypothesis[0], ())
        if value and len(factors) > 1 and equal(prod(factors), value):
            number = equation(product(factors), value)
        if isinstance(value, Term) and value.order and mutates(words.condition):
            number += " (by new mutation)"
        of_children = averages.get(hypothesis) if averages else None
        if of_children and not of_children.trivial and value not in (0, 1):
            number = in_sum(of_children, value)
        case = words.with_state(variable, hypothesis[0])
        shown.append((number, f"if {words.both_have((variable,), hypothesis)}" if parent else case))
    if len(shown) <= 3 and all(map(_plain, values.values())):
        return f": the chance of that{spared} is {by_case(shown)}"
    return ""


def _of_each_fact(words: Naming, variable: int, told: Facts) -> dict[State, tuple[Fraction, ...]]:
    """Return by somebody's state the chance of each fact, if they tell of nobody else.

    Without states of which it counts of what class an allele is.
    """
    locus, copies = words.family.locus, words.family.copies[variable]
    if {words.facts[path].person for path in told} != {words.id_of(variable, None)}:
        return {}
    facts = [words.facts[path].evidence for path in words.in_order(told)]
    chances = zip(*[locus.fact_likelihood(copies, fact) for fact in facts], strict=True)
    found: dict[State, set[tuple[Fraction, ...]]] = {}
    for genotype, each in zip(locus.listed[copies], chances, strict=True):
        state = MOSAIC if genotype.mosaic else genotype.disease_alleles
        found.setdefault(state, set()).add(each)
    return {state: each.pop() for state, each in found.items() if len(each) == 1}


def by_age(words: Naming, new: Facts, value: Value | None = None) -> str:
    """Go on with how the chance of being unaffected at an age comes about, if it is one age.

    `value` is that of a child of a parent with one copy, which results of tests may enter, too.
    """
    tests = frozenset([path for path in new if words.facts_kind(path) == "tests"])
    ages = {}
    for path in new - tests:
        fact = words.facts[path]
        person = words.case.person(fact.person)
        if fact.evidence.kind != "affected" or person.affected or person.age is None:
            return ""
        ages[person.sex, person.age.value] = person.age
    # Sons and daughters of one age may have the same chances.
    texts = {by_age_in_words(words.condition, sex, age) for (sex, _), age in ages.items()}
    (text, *others) = texts or {""}
    text = "" if others or not text else f". Here {text}"
    if tests:
        return text + by_half(words, new, value)
    if not text:
        return ""
    (sex, _), age = next(iter(ages.items()))
    chance = chance_by_age(words.condition, sex, age)
    if chance and isinstance(value, Fraction) and value == 1 - chance * HALF:
        text += f". Half the children get the allele: 1 - 1/2 × {chance} = {value}"
    return text


def by_half(words: Naming, new: Facts, value: Value | None) -> str:
    """Go on with how the `value` of a child follows from the chances of `new` facts by its state.

    Empty but where half the children get the allele, and where the facts are not alike for all.
    """
    told: dict[int, list[str]] = {}
    for path in words.in_order(new):
        told.setdefault(words.family.variable[words.facts[path].person], []).append(path)
    (each, *others) = [_of_each_fact(words, child, frozenset(own)) for child, own in told.items()]
    none, one = each.get(0, ()), each.get(1, ())
    alike = none and one and all(other == each for other in others)
    if not alike or prod(none) == prod(one) or value is None or not short(value):
        return ""
    if not equal(HALF * prod(none) + HALF * prod(one), value):
        return ""
    terms = [product([HALF, *factors]) for factors in (none, one) if prod(factors)]
    return f". Half the children get the allele: {equation(' + '.join(terms), value)}"


def averaged(
    words: Naming,
    variable: int,
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    most: int = 5,
) -> str:
    """Return the sums that the values of a row are, to go on with; see `as_sums`."""

    def case(alike: Sequence[Hypothesis]) -> str | None:
        if len(alike) > MOST_ALIKE:
            return None
        return joined([words.with_state(variable, each[0]) for each in alike], " or ")

    return as_sums(values, averages, case, most)


def as_sums(
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    case: Callable[[Sequence[Hypothesis]], str | None],
    most: int,
    *,
    trivial: bool = False,
    after: bool = False,
    hidden: bool = False,
) -> str:
    """Return values of a row as sums, each with its `case`: ``3/4 + 1/4 × 1/2 = 7/8``.

    The case comes first, or `after` the sum.

    Cases that are too many to name are left out, and `trivial` sums unless these are asked for.
    Where they have more than so many terms, it is the one that takes most, of those that count;
    of values that no table shows, and so are `hidden`, the others are told without their sums.
    """
    groups: list[_Group] = []
    for hypothesis, value in values.items():
        each = averages.get(hypothesis)
        if each is None or value == 1 or (each.trivial and not trivial):
            continue
        for alike, known, sum_ in groups:
            if known == value and sum_.same_as(each):
                alike.append(hypothesis)
                break
        else:
            groups.append(([hypothesis], value, each))
    called = [(case(each[0]), each) for each in groups]
    named = [(text, each) for text, each in called if text is not None]
    if not named:
        return ""
    rest = ""

    def in_order(case: str, number: str) -> str:
        return f"{number} {case}" if after else f"{case} {number}"

    if len(named) > 1 and sum([len(of.weights) for _, (_, _, of) in named]) > most:
        counting = _counting([group for _, group in named], averages)
        named = [each for each in named if each[1] in counting] or named
        named = [max(named, key=lambda each: (len(each[1][2].weights), bits(each[1][1])))]
        rest = likewise(len(groups) - 1)
        others = [(text, value) for text, (_, value, _) in called if text and text != named[0][0]]
        if hidden and len(others) == len(groups) - 1 <= _MOST_OTHERS:
            numbers = [in_order(text, value_word(value)) for text, value in others]
            rest = f", and likewise {joined(numbers)}"
    said = [in_order(text, in_sum(of, value)) for text, (_, value, of) in named]
    return f": {joined(said)}{rest}"


def likewise(others: int) -> str:
    """Go on from the one sum of several that is told to so many `others`."""
    return f", and the other{'s' * (others > 1)} likewise" * (others > 0)


def _counting(groups: Sequence[_Group], averages: Averages) -> list[_Group]:
    """Return those groups that have at least a twentieth of the chance of all."""
    weights = [
        total([averages[each].whole for each in alike]) * value for alike, value, _ in groups
    ]
    whole = total(weights)
    parts = [share(weight, whole) for weight in weights]
    return [
        group
        for group, part in zip(groups, parts, strict=True)
        if not isinstance(part, Term) and part >= _COUNTING
    ]


def in_sum(of: Sum, value: Value) -> str:
    """Return a sum of products with its value."""
    return equation(" + ".join(map(product, of.terms)), value)


def _plain(value: Value) -> bool:
    """Tell whether a chance can be told as a short number, or as what is left of 1 beside one."""
    return short(value) or (isinstance(value, Fraction) and value >= HALF and short(1 - value))
