"""The sentences on twins: with one genotype, or of unknown zygosity."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from fractions import Fraction
from itertools import chain
from math import prod
from typing import Any

from risk.inference.plan import Scope
from risk.wording.phrases import joined
from risk.workings import row_chances
from risk.workings.naming import Naming
from risk.workings.step import Identical, Said, State, Topic, Value
from risk.workings.sums import Averages
from risk.workings.values import by_case, equation, product, short, value_word
from risk.workings.weigh import Facts, Hypothesis, equal, total

#: How many chances of two twins are worked out.
_MOST_SUMS = 4
#: For how many states of a twin a row is worked out.
_MOST_STATES = 2
#: The text of a twin's prior row.
TWIN_PRIOR = "from the parents and the twin"


def of_identical(
    words: Naming,
    variables: Scope,
    reasons: Iterable[Said],
    before: Callable[[], Collection[Topic | None]],
) -> list[Said]:
    """Return what is said of identical twins in a step about `variables` with these reasons.

    Of twins among the topics `before` it nothing is said again.
    """
    named = {*variables}.union(*[said.twins for said in reasons])
    told = [variable for variable in words.twins if variable in named]
    known = before() if told else ()
    return [
        Said(words.sentence(_identical(words, each)), Identical(each))
        for each in told
        if Identical(each) not in known
    ]


def _identical(words: Naming, variable: int) -> str:
    """Say of monozygotic twins, or more of one birth, that one table is about all of them."""
    number = len(words.people[variable])
    twins, counts = "twins", "either counts for both"
    if number > 2:
        twins, counts = "siblings of one birth", "one counts for all"
    return (
        f"{words.who(variable)} are identical (monozygotic) {twins}, and so have one and the "
        f"same genotype: what is known of {counts}"
    )


def why_twin_prior(
    words: Naming,
    variable: int,
    above: Facts,
    stated: Fraction,
    chances: Mapping[tuple[bool, State], Any],
    *,
    told_of_one: bool = False,
) -> str:
    """Explain a twin's prior row, with the facts `above` if there are any to tell.

    `stated` is the chance of being monozygotic by the case, `chances` are those of being so
    or not with each genotype, given what is known.  `told_of_one` where a table before tells
    what is known of the other twin.
    """
    known = f" ({words.told(above)})" if above else ""
    is_one, theirs = "is a twin", "the twin's"
    if _several(words, variable):
        is_one, theirs = "is one of several of one birth,", "theirs"
    begin = f"{words.who(variable)} {is_one} of unknown zygosity{known}"
    follows = f"the genotype is {theirs}, otherwise that of any sibling"
    alike = sum([chance for (same, _), chance in chances.items() if same], Fraction(0))
    if not all(short(chance) for chance in [alike, *chances.values()]) or not 0 < alike < 1:
        return f"{begin}: with the chance of being monozygotic {follows}"
    now = "" if alike == stated else f" ({stated} before that was known)"
    if told_of_one and alike == stated:
        now = " (what is known of one twin alone does not change that)"
    sums = []
    for state in sorted({state for _, state in chances}, key=str):
        parts = [(alike, chances.get((True, state))), (1 - alike, chances.get((False, state)))]
        products = [f"{weight} × {chance / weight}" for weight, chance in parts if chance]
        whole = sum([chance for _, chance in parts if chance], Fraction(0))
        sums.append(f"{words.state(variable, state)} {' + '.join(products)} = {whole}")
    return f"{begin}: with chance {alike}{now} of being monozygotic {follows}: {'; '.join(sums)}"


def why_together(words: Naming, pair: Scope, stated: Fraction, facts: Facts) -> str:
    """Say why two twins are taken together, monozygotic by the case with chance `stated`.

    `facts` are those that it starts from without a further word.
    """
    names = joined([words.who(variable) for variable in pair])
    return (
        f"{names} are twins, monozygotic (identical) with chance {stated}, so that both "
        f"are taken together{words.starting(facts)}"
    )


def twins_now(
    words: Naming,
    stated: Fraction,
    new: Facts,
    chances: Mapping[Hypothesis, Value],
    sums: Sequence[Sequence[tuple[Value, Value]]],
) -> str:
    """Explain the chance of being monozygotic given the facts `new` about both.

    `chances` are those of the facts for dizygotic (0) and monozygotic (1) twins.  `sums` tell
    how likely each genotype is and the facts then: of both with one genotype, and of the first
    and the second on their own.  Empty where the facts say nothing of the zygosity, or the
    numbers are not short.
    """
    apart, alike = chances.get((0,), Fraction(0)), chances.get((1,), Fraction(0))
    if not isinstance(apart, Fraction) or not isinstance(alike, Fraction) or apart == alike:
        return ""
    weights = [stated * alike, (1 - stated) * apart]
    now = weights[0] / sum(weights)
    if not all(map(short, (apart, alike, now))):
        return ""
    one, *each = [_added(terms) for terms in sums]
    same = f"{one} = {alike}" if one not in ("", str(alike)) else str(alike)
    values: list[Any] = [total(map(_product, terms)) for terms in sums]
    of_each = str(apart)
    if equal(values[1] * values[2], apart) and all(each):
        of_each = f"({each[0]}) × ({each[1]}) = {apart}"
    return (
        f"That {words.told(new)} has chance {same} if they are monozygotic (one genotype) and "
        f"{of_each} if not (two genotypes), so that they are with chance "
        f"({stated} × {alike}) / ({stated} × {alike} + {1 - stated} × {apart}) = {now}"
    )


def why_twins(words: Naming, pair: Scope, chances: Mapping[Hypothesis, Any]) -> str:
    """Explain the chances of what two twins have, from those with the zygosity before them.

    Empty where these are not fractions, or only one zygosity is possible.
    """
    same = sum([chance for states, chance in chances.items() if states[0]], Fraction(0))
    if not isinstance(same, Fraction) or not 0 < same < 1:
        return ""
    apart, alike = [
        {states[1:]: chance / whole for states, chance in chances.items() if states[0] == zygosity}
        for zygosity, whole in ((0, 1 - same), (1, same))
    ]
    found = sorted({*apart, *alike}, key=str)
    if len(found) > _MOST_SUMS:
        found = [states for states in found if states == (1, 1)]
    names = [words.id_of(variable, None) for variable in pair]
    sums = []
    for states in found:
        terms: list[list[Fraction]] = [[same, alike[states]]] if states in alike else []
        if states in apart:
            terms.append([1 - same, *_independent(apart, states)])
        whole = sum([prod(factors) for factors in terms], Fraction(0))
        if not all(map(short, [whole, *chain.from_iterable(terms)])):
            return ""
        products = [" × ".join(map(str, factors)) for factors in terms]
        sums.append(f"{words.pair_state(pair, states, names)}: {' + '.join(products)} = {whole}")
    begin = "Monozygotic twins have the same genotype, and others are as any two siblings"
    return f"{begin}: {'; '.join(sums)}" if sums else ""


def why_twin(words: Naming, twin: int, alike: str) -> str:
    """Begin to explain a row for a twin, who is monozygotic with the chance that `alike` tells."""
    who = "of the same birth" if _several(words, twin) else "the twin"
    return (
        f"{words.who(twin)} is {who}: {alike} they are monozygotic and the genotypes are the same, "
        f"otherwise they are those of any two siblings"
    )


def parents_without(
    words: Naming, variable: int, chances: Mapping[int, tuple[Fraction, Fraction]]
) -> str:
    """Say with what chance each parent is a carrier where a twin has no allele.

    The chance is told from that of passing the allele on at all, the first of each pair.
    """
    told = [
        f"{words.parent(variable, parent)} {words.has(parent, 1)} with chance "
        f"{equation(f'{gets} / ({1 - gets})', then)}"
        for parent, (gets, then) in chances.items()
    ]
    case = words.both_have((variable,), (0,))
    return f"If {case}, neither parent passed it on, and then {joined(told)}" if told else ""


def by_zygosity(
    words: Naming,
    people: str,
    variable: int,
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    apart: Averages,
) -> str:
    """Explain the values of a row for a twin by its `averages` over being monozygotic or not.

    It is about these `people`, the twin or those below.  `apart` are its values for siblings who
    are not, as sums over what the twin may have.
    """
    of_all = [each.value for each in apart.values()]
    alone = all(equal(each, of_all[0]) for each in of_all)
    rest = ""
    if not alone:
        shown = [each for each in averages if each in apart]
        if len(shown) > _MOST_STATES:
            shown = shown[:1]
        sums = {each: of for each, of in averages.items() if each in values}
        others = [values[each] for each, of in sums.items() if not of.trivial]
        rest = row_chances.likewise(len({*others} - {1, *map(values.get, shown)}))
        values = {each: values[each] for each in shown}
        apart = {each: apart[each] for each in shown}
    together = row_chances.averaged(words, variable, values, averages)
    if not together or not apart:
        return ""
    chances = []
    for each, of in list(apart.items())[: 1 if alone else None]:
        case = f" {words.with_state(variable, each[0])}" if not alone else ""
        worked = row_chances.as_sums({each: of.value}, apart, lambda _: "", most=5)
        chances.append(f"{worked.removeprefix(': ').strip() or value_word(of.value)}{case}")
    return (
        f"If they are not monozygotic, what is known of {people} has chance {joined(chances)}; "
        f"altogether{together}{rest}"
    )


def alike_now(
    words: Naming,
    variable: int,
    stated: Fraction,
    now: Mapping[Hypothesis, Value],
    worked: Mapping[Hypothesis, Sequence[Value]],
) -> str:
    """Tell with what chance twins are monozygotic: as `stated` by the case, or by hypothesis `now`.

    `worked` are for each the three numbers of which that is the first times the second by the
    third, where these are in the rows before.
    """
    if all(equal(chance, stated) for chance in now.values()):
        return f"with chance {stated}"
    shown, rows = [], "row" if len(worked) == len(now) else "rows"
    for hypothesis, chance in now.items():
        if not short(chance):
            return f"with a chance, {stated} at first, that the rows before change,"
        said = value_word(chance)
        before, times, whole = worked.get(hypothesis, (chance, 1, 1))
        if short(before) and short(times) and short(whole) and whole != 1:
            said = equation(f"{product((before, times))} / ({value_word(whole)})", chance)
        shown.append((said, words.with_state(variable, hypothesis[0])))
    return f"with chance {stated} at first, and by the {rows} before {by_case(shown)},"


def _several(words: Naming, variable: int) -> bool:
    """Tell whether one of unknown zygosity is of a birth of more than two."""
    firsts = [pair.first for pair in words.family.pairs if variable in pair[:2]]
    return sum([pair.first in firsts for pair in words.family.pairs]) > 1


def _product(term: tuple[Any, Any]) -> Any:
    return term[0] * term[1]


def _added(terms: Sequence[tuple[Any, Any]]) -> str:
    """Return products as a sum: ``1/4 + 1/2 × 9/16``; empty where the numbers are not short."""
    counted = [pair for pair in terms if _product(pair)]
    if not all(map(short, chain.from_iterable(counted))):
        return ""
    return " + ".join([" × ".join([str(x) for x in each if x != 1]) or "1" for each in counted])


def _independent(chances: Mapping[Hypothesis, Fraction], states: Hypothesis) -> list[Fraction]:
    """Return the chance of two states as the product of each one's, where it is that."""
    one = sum([chance for each, chance in chances.items() if each[0] == states[0]], Fraction(0))
    two = sum([chance for each, chance in chances.items() if each[1] == states[1]], Fraction(0))
    return [one, two] if one * two == chances[states] else [chances[states]]
