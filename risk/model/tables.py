"""The factors of a family, as flat tables over the genotypes that are possible, each made once.

A table is kept in its `Locus` under what it depends on: the kind of person (copies of the locus),
the evidence about the person (a key of `Locus.key_with`) and the masks of possible genotypes.  The
father's mask is 0 where there is no father's allele: in sons on the X.  Each table comes with those
denominators of its numbers that are not 1.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from fractions import Fraction
from typing import Any

from risk.inference.arithmetic import Table
from risk.inference.order import places
from risk.inference.plan import Scope
from risk.model.family import Family
from risk.model.locus import Locus

#: A flat table and the denominators of its numbers, but for ones.
Scaled = tuple[Table, tuple[Any, ...]]

#: A factor to be made: the variable whose evidence it holds, the function that makes its table,
#: what this wants beside locus, copies and evidence, and the variables that the table is over.
Factor = tuple[int, Callable[..., Scaled], tuple[Any, ...], Scope]

#: Tables kept of one condition.  A stream of families that are all different would fill memory.
_MOST_KEPT = 50_000


def factors_of(family: Family, domains: Sequence[int], told: Sequence[object]) -> Iterator[Factor]:
    """Yield the factors of a family: founders, births, zygosities.

    `domains` are the masks of possible states of the variables; those with none have no factor.
    `told[v]` is true where something is known of variable v.
    """
    twins = {pair.second: pair for pair in family.pairs}
    for variable, inbreeding in family.founders:
        domain = domains[variable]
        if domain:
            yield variable, founder_table, (inbreeding, domain), (variable,)
    for child, mother, father, count in family.births:
        if not domains[child]:
            continue
        parents: Scope = (mother,) if father is None else (mother, father)
        masks = (domains[child], domains[mother], 0 if father is None else domains[father])
        if child in twins:
            first, _, zygosity = twins[child]
            yield child, twin_table, (*masks, domains[first]), (zygosity, child, first, *parents)
            continue
        yield child, birth_table, masks, (child, *parents)
        if count > 1 and told[child]:
            yield child, siblings_table, (*masks, count - 1), parents
    for variable, chance in family.zygosities:
        if domains[variable]:
            yield variable, zygosity_table, (chance,), (variable,)


def supported(
    locus: Locus, copies: int, child: int, mother: int, father: int
) -> tuple[int, int, int]:
    """Return the masks of child, mother and father less what the other two rule out."""
    children = mothers = fathers = 0
    reachable = locus.reachable(copies)
    for one in places(mother):
        for two in places(father) or [0]:
            reached = reachable[one][two] & child
            if reached:
                children |= reached
                mothers |= 1 << one
                fathers |= 1 << two if father else 0
    found = (children, mothers, fathers)
    locus.supported[copies, child, mother, father] = found
    return found


def founder_table(
    locus: Locus, copies: int, key: int, inbreeding: Fraction | int, mask: int
) -> Scaled:
    """Return the table over a founder's genotypes, with the evidence about the founder."""
    prior, weights = locus.founder(copies, inbreeding), locus.likelihood(copies, key)
    table = [prior.values[place] * weights.values[place] for place in places(mask)]
    return _keep(
        locus,
        (copies, key, inbreeding, mask),
        (table, (prior.denominator, weights.denominator)),
    )


def birth_table(
    locus: Locus, copies: int, key: int, child: int, mother: int, father: int
) -> Scaled:
    """Return the table over (child, mother, father), with the evidence about the child."""
    chances, denominator = locus.inheritance(copies)
    weights = locus.likelihood(copies, key)
    table = [
        chances[one][two][place] * weights.values[place]
        for place in places(child)
        for one in places(mother)
        for two in places(father) or [0]
    ]
    return _keep(
        locus,
        (copies, key, child, mother, father),
        (table, (denominator, weights.denominator)),
    )


def siblings_table(
    locus: Locus, copies: int, key: int, child: int, mother: int, father: int, count: int
) -> Scaled:
    """Return the table over (mother, father) of the evidence of `count` more, alike children."""
    kept = ("siblings", copies, key, child, mother, father, count)
    found: Scaled | None = locus.cut.get(kept)
    if found is not None:
        return found
    table, denominators = birth_table(locus, copies, key, child, mother, father)
    length = len(table) // len(places(child))
    rows = [table[start : start + length] for start in range(0, len(table), length)]
    chances = [sum(column) for column in zip(*rows, strict=True)]
    if locus.floating:
        # Powers of small chances would underflow.
        largest = max(chances)
        chances = [chance / largest for chance in chances]
        denominators = (*denominators, 1 / largest)
    power = []
    for chance in chances:
        product = chance
        for _ in range(count - 1):
            product = product * chance
        power.append(product)
    return _keep(locus, kept, (power, denominators * count))


def twin_table(
    locus: Locus, copies: int, key: int, child: int, mother: int, father: int, first: int
) -> Scaled:
    """Return the table over (zygosity, twin, first twin, mother, father).

    Dizygotic twins are children like any; a monozygotic one has the first twin's genotype.
    """
    kept = ("twin", copies, key, child, mother, father, first)
    found: Scaled | None = locus.cut.get(kept)
    if found is not None:
        return found
    chances, denominator = locus.inheritance(copies)
    weights = locus.likelihood(copies, key)
    # On the scale of the inheritance table a certainty is the sum of a row.
    certain = sum(chances[0][0])
    table = [
        ((certain if place == other else 0) if monozygotic else chances[one][two][place])
        * weights.values[place]
        for monozygotic in (False, True)
        for place in places(child)
        for other in places(first)
        for one in places(mother)
        for two in places(father) or [0]
    ]
    return _keep(locus, kept, (table, (denominator, weights.denominator)))


def zygosity_table(
    locus: Locus,
    copies: int,  # noqa: ARG001 - as of any table
    key: int,  # noqa: ARG001
    chance: Fraction,
) -> Scaled:
    """Return the table over a zygosity: dizygotic, and monozygotic with this chance.

    `copies` and `key` are 0: a zygosity has no genotype, and nothing is known of it directly.
    """
    if locus.floating:
        return [float(1 - chance), float(chance)], ()
    return [chance.denominator - chance.numerator, chance.numerator], (chance.denominator,)


def _keep(locus: Locus, key: Hashable, made: Scaled) -> Scaled:
    table, denominators = made
    kept = (table, tuple([number for number in denominators if number != 1]))
    if len(locus.cut) >= _MOST_KEPT:
        locus.cut.clear()
    locus.cut[key] = kept
    return kept
