"""How common genotypes are in founders, at conception.

Derived here: two alleles drawn independently are both the disease allele with q², one with 2pq
(Hardy-Weinberg); with chance F they are instead copies of one, which is the disease allele with q.
Mutation-selection balance on the X is as `risk.case.balance` has it.
"""

from __future__ import annotations

from fractions import Fraction
from math import isqrt
from typing import Any

from risk.case.balance import carriers_at_balance
from risk.case.model import Condition, Rare
from risk.genetics.genotypes import NORMAL, Genotype
from risk.inference.arithmetic import Term
from risk.number import Quantity

#: A rate: a Fraction, a float where a root is irrational, or a Term in a rare limit.  Types
#: cannot say which of them meet in one product, so they are not told apart here.
Rate = Any

_EPSILON = Term(1, 1)
#: Decimal digits kept of an irrational root before it is rounded to a float.
_ROOT_DIGITS = 60


def rate(quantity: Quantity | Rare | None) -> Rate:
    """Return the value of a rate as the file gives it; ``"rare"`` is the vanishing quantity e."""
    if quantity is None:
        return Fraction(0)
    if isinstance(quantity, Quantity):
        return quantity.value
    return _EPSILON


def mutation_rates(condition: Condition) -> tuple[Rate, Rate]:
    """Return the chances that a normal allele mutates in an egg and in a sperm."""
    mutation = condition.mutation
    if mutation is None:
        return Fraction(0), Fraction(0)
    return rate(mutation.maternal), rate(mutation.paternal)


def mutates(condition: Condition) -> bool:
    """Tell whether there is new mutation at all; stated rates of 0 are none."""
    return any(mutation_rates(condition))


def complement(value: Rate) -> Rate:
    """Return 1 - value; the complement of a vanishing quantity has leading term 1."""
    if isinstance(value, Term):
        return Fraction(1)
    return 1 - value


def square_root(value: Fraction) -> tuple[Fraction, bool]:
    """Return the square root of `value` and whether it is exact.

    An irrational root is returned to `_ROOT_DIGITS` decimal digits.
    """
    top, bottom = isqrt(value.numerator), isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom), True
    scale = 10**_ROOT_DIGITS
    return Fraction(isqrt(value.numerator * scale * scale // value.denominator), scale), False


def allele_frequency(condition: Condition) -> Rate:
    """Return q, the disease-allele frequency that the condition's `frequency` stands for.

    Not for mutation-selection balance, which fixes genotypes and not q.
    """
    frequency = condition.frequency
    if frequency.allele is not None:
        return rate(frequency.allele)
    if frequency.carrier is not None:
        carrier = frequency.carrier.value
        return carrier / (2 - carrier)
    assert frequency.incidence is not None, "a frequency has exactly one key"
    incidence = frequency.incidence.value
    if condition.x_linked:
        return incidence
    if condition.recessive:
        root, exact = square_root(incidence)
        return root if exact else float(root)
    root, exact = square_root(1 - incidence)
    return 1 - root if exact else float(1 - root)


def allele_counts(condition: Condition, copies: int, inbreeding: Fraction) -> tuple[Rate, ...]:
    """Return the chance that a founder has 0, 1 (and 2) disease alleles, at conception."""
    balance = condition.frequency.mutation_selection_balance
    if balance is not None:
        maternal, paternal = mutation_rates(condition)
        carrier = carriers_at_balance(maternal, paternal, balance.fitness.value)
        if copies == 1:
            affected = carrier * Fraction(1, 2) + maternal
            return complement(affected), affected
        return complement(carrier), carrier, Fraction(0)
    q = allele_frequency(condition)
    p = complement(q)
    if copies == 1:
        return p, q
    if not inbreeding:  # nearly everyone, and a third of the products below
        return p * p, q * p * 2, q * q
    outbred = 1 - inbreeding
    return (
        p * p * outbred + p * inbreeding,
        q * p * (2 * outbred),
        q * q * outbred + q * inbreeding,
    )


def counts_of_relatives(
    condition: Condition, share: Fraction, both: Fraction
) -> dict[tuple[int, int], Rate]:
    """Return the chance that two relatives have so many disease alleles each, at conception.

    With chance `share` just one copy of each descends from one and the same copy, with chance
    `both` both do so; their other copies are independent.  Not on the X, and not at
    mutation-selection balance.
    """
    q = allele_frequency(condition)
    alone = allele_counts(condition, 2, Fraction(0))
    found = {
        (one, two): alone[one] * alone[two] * (1 - share - both)
        for one in range(3)
        for two in range(3)
    }
    for count in range(3):
        found[count, count] += alone[count] * both
    frequency = (complement(q), q)
    for same in (0, 1):
        for one in (0, 1):
            for two in (0, 1):
                chance = frequency[same] * frequency[one] * frequency[two] * share
                found[same + one, same + two] += chance
    return found


def founder_distribution(
    condition: Condition,
    listed: tuple[Genotype, ...],
    shares: tuple[Fraction, ...],
    inbreeding: Fraction,
) -> list[Rate]:
    """Return the chance of each genotype of `listed` in a founder, at conception.

    `shares[k]` is the share of disease class k + 1.  With inbreeding coefficient F both alleles
    are copies of one ancestral allele, hence of one class, with chance F.
    """
    copies = len(listed[0].alleles)
    counts = allele_counts(condition, copies, inbreeding)
    mosaicism = condition.germline_mosaicism
    prior = mosaicism.prior.value if mosaicism else Fraction(0)
    return [
        _share(genotype, shares, condition, inbreeding, counts)
        * (prior * shares[genotype.mosaic - 1] if genotype.mosaic else _unmosaic(genotype, prior))
        for genotype in listed
    ]


def _unmosaic(genotype: Genotype, prior: Fraction) -> Fraction:
    return Fraction(1) if genotype.disease_alleles else 1 - prior


def _share(
    genotype: Genotype,
    shares: tuple[Fraction, ...],
    condition: Condition,
    inbreeding: Fraction,
    counts: tuple[Rate, ...],
) -> Rate:
    disease = [allele for allele in genotype.alleles if allele != NORMAL]
    if len(disease) == 0:
        return counts[0]
    if len(disease) == 1:
        return counts[1] * shares[disease[0] - 1]
    first, second = (shares[allele - 1] for allele in disease)
    if len(shares) == 1 or condition.frequency.mutation_selection_balance is not None:
        return counts[2] * first * second
    q = allele_frequency(condition)
    if disease[0] != disease[1]:
        return q * q * ((1 - inbreeding) * 2 * first * second)
    return q * q * ((1 - inbreeding) * first * second) + q * (inbreeding * first)
