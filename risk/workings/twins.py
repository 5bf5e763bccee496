"""Twins of unknown zygosity: who they are, and the numbers that sentences on them need."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from risk.inference.plan import Scope
from risk.model.family import Family, TwinPair
from risk.workings import twinship
from risk.workings.reasons import Reasons
from risk.workings.step import Said, State, Value
from risk.workings.sums import Averages, sums_of
from risk.workings.table import Table
from risk.workings.values import HALF, short
from risk.workings.weigh import Facts, Hypothesis, equal, share, total


def twins_of(reasons: Reasons, variable: int, facts: Facts) -> TwinPair | None:
    """Return the twins of unknown zygosity of whom somebody is one, where `facts` above tell of the
    other.
    """
    for pair in reasons.family.pairs:
        if pair.second == variable and known_of_first(reasons, pair, facts):
            return pair
        if pair.first == variable and reasons.told_from(pair.second) & facts:
            return pair
    return None


def second_twins(family: Family, variable: int) -> list[int]:
    """Return the second twins of unknown zygosity of whom this is the first."""
    return [pair.second for pair in family.pairs if pair.first == variable]


def known_of_first(reasons: Reasons, twins: TwinPair, facts: Facts) -> Facts:
    """Return `facts` but those of the second of two twins, for the table of the first.

    There are none where nothing is known of the first alone.
    """
    alone = facts - reasons.told_from(twins.second)
    return alone if alone & reasons.told_from(twins.first) else frozenset()


def unsure_twins(family: Family, pair: Scope) -> TwinPair | None:
    """Return the twins of unknown zygosity that two people are, if they are."""
    return next((each for each in family.pairs if {*each[:2]} == {*pair}), None)


def stated_zygosity(family: Family, twin: int) -> tuple[int, Fraction]:
    """Return the variable of a second twin's zygosity, and the chance of being monozygotic."""
    (zygosity,) = (pair.zygosity for pair in family.pairs if pair.second == twin)
    return zygosity, dict(family.zygosities)[zygosity]


def zygosity(
    reasons: Reasons, twins: TwinPair, twin: int, facts: Facts
) -> tuple[Fraction, dict[tuple[bool, State], Value]]:
    """Return the chance by the case that `twins` are monozygotic, and given `facts` the chances
    of being so (or not) with each genotype of one `twin`.
    """
    zygosity, stated = stated_zygosity(reasons.family, twins.second)
    joint = reasons.weigher.posterior((zygosity, twin), facts)
    return stated, {(alike == 1, state): chance for (alike, state), chance in joint.items()}


def told_by_twin(reasons: Reasons, variable: int, facts: Facts) -> Facts:
    """Return those facts about a first twin's one other twin, and about those below, by which
    both parents are certain, and are not without; nothing where there are none.
    """
    twins = second_twins(reasons.family, variable)
    if len(twins) != 1:
        return frozenset()
    children = [birth.child for birth in reasons.births_of.get(variable, ())]
    theirs = (reasons.told_from(twins[0]) & facts).difference(*map(reasons.told_from, children))
    parents = reasons.births[variable].parents
    with_them = facts - reasons.told_from(variable) | theirs
    certain = [
        all(reasons.weigher.certain(each, known) is not None for each in parents)
        for known in (with_them, with_them - theirs)
    ]
    return theirs if certain == [True, False] else frozenset()


def why_twins(reasons: Reasons, twins: TwinPair, pair: Scope, facts: Facts) -> list[Said]:
    """Explain what two twins of unknown zygosity have, from `facts` about them and others."""
    zygosity, stated = stated_zygosity(reasons.family, twins.second)
    weigher = reasons.weigher
    theirs = reasons.told_from(twins.first) & facts
    above = facts - theirs
    parents = reasons.births[twins.first].parents
    certain = all(weigher.certain(each, above) is not None for each in parents)
    chances = weigher.posterior((zygosity, *pair), facts)
    prior = weigher.posterior((twins.first,), above)
    seconds = reasons.told_from(twins.second) & facts
    likely = [
        weigher.ratios((zygosity, twins.first), above, theirs),
        weigher.ratios((twins.first,), above, theirs - seconds),
        weigher.ratios((twins.second,), above, seconds),
    ]
    both = {each[1:]: chance for each, chance in likely[0].items() if each[0] == 1}
    sums = [
        [(chance, known.get(each, Fraction(0))) for each, chance in prior.items()]
        for known in (both, *likely[1:])
    ]
    starting: Facts = frozenset() if certain else facts
    together = twinship.why_together(reasons.words, pair, stated, starting)
    now = twinship.twins_now(
        reasons.words, stated, theirs, weigher.ratios((zygosity,), above, theirs), sums
    )
    return [
        reasons.words.said(together, told=starting),
        *(reasons.why_certain(parents, above) if certain else ()),
        reasons.words.said(now, told=theirs),
        Said(twinship.why_twins(reasons.words, pair, chances)),
    ]


def alike_now(
    reasons: Reasons,
    table: Table,
    zygosity: int,
    stated: Fraction,
    shown: Collection[Hypothesis],
) -> str:
    """Tell how likely twins are monozygotic by what is known before a table's new row."""
    (variable,) = table.variables

    def alike(facts: Facts) -> dict[Hypothesis, Value]:
        joint = reasons.weigher.weights((variable, zygosity), facts)
        return {
            (state,): share(weight, total([weight, joint.get((state, 0), Fraction(0))]))
            for (state, same), weight in joint.items()
            if same and (state,) in shown
        }

    now, row = alike(table.known), table.rows[-1]
    worked = {}
    if row.kind == "conditional":
        known = table.known - row.facts
        likely = reasons.weigher.ratios((variable, zygosity), known, row.facts)
        for each, before in alike(known).items():
            if each in now and not equal(before, now[each]):
                worked[each] = before, likely[*each, 1], row.values[each]
    return twinship.alike_now(reasons.words, variable, stated, now, worked)


def parents_without(reasons: Reasons, variable: int, known: Facts) -> Said:
    """Say how likely a twin's uncertain parents are carriers where the twin has no allele.

    Nothing where they can be something else, or do not say anything of the other's gametes.
    """
    weigher, birth = reasons.weigher, reasons.births[variable]
    above = known - reasons.told_from(variable)
    if len(birth.parents) == 2 and not weigher.independent(*birth.parents, above):
        return Said("")
    found: dict[int, tuple[Fraction, Fraction]] = {}
    for parent, terms in reasons.passing(birth, above).items():
        if weigher.certain(parent, above) is not None:
            continue
        ((has, passed), *more) = terms
        joint = weigher.posterior((variable, parent), above)
        without = {state: chance for (own, state), chance in joint.items() if own == 0}
        if more or passed != HALF or not isinstance(has, Fraction) or {*without} != {0, 1}:
            return Said("")
        gets, then = has * HALF, share(without[1], total(without.values()))
        if not isinstance(then, Fraction) or not short(then) or then != gets / (1 - gets):
            return Said("")
        found[parent] = gets, then
    return reasons.words.said(twinship.parents_without(reasons.words, variable, found), [variable])


def as_siblings(
    reasons: Reasons, twins: Scope, known: Facts, new: Facts, shown: Collection[Hypothesis]
) -> Averages:
    """Return the chances of facts `new` of twins who are not monozygotic, by what the first
    has, as sums over what the second may have.

    `twins` are the first, the zygosity and the second.
    """
    joint = reasons.weigher.weights(twins, known) if reasons.weigher.small else {}
    chances = reasons.weigher.ratios(twins, known, new) if joint else {}
    return sums_of(
        [
            (each[:1], weight, chances[each])
            for each, weight in joint.items()
            if not each[1] and each[:1] in shown
        ]
    )
