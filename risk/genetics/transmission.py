"""What passes from parents to a child: Mendel's law, new mutation, germline mosaicism."""

from __future__ import annotations

from fractions import Fraction

from risk.genetics.founders import Rate, complement
from risk.genetics.genotypes import NORMAL, Genotype


def gamete_distribution(
    parent: Genotype, mutation: Rate, shares: tuple[Fraction, ...], mosaic_gametes: Fraction
) -> list[Rate]:
    """Return the chance that a gamete of `parent` carries each allele (0 normal, 1.. classes).

    Each allele of the parent passes with equal chance; a gamete that would be normal carries a
    new mutation with chance `mutation`, of class k with `shares[k - 1]`.  A germline mosaic
    passes the mosaic's own class in a share `mosaic_gametes` of gametes.
    """
    share = Fraction(1, len(parent.alleles))
    inherited = [share * parent.alleles.count(allele) for allele in range(len(shares) + 1)]
    if parent.mosaic:
        inherited[NORMAL] -= mosaic_gametes
        inherited[parent.mosaic] += mosaic_gametes
    normal = inherited[NORMAL]
    if not normal or not mutation:
        return list(inherited)
    return [complement(mutation) * normal] + [
        mutation * (normal * part) + old for part, old in zip(shares, inherited[1:], strict=True)
    ]


def child_distribution(
    listed: tuple[Genotype, ...], maternal: list[Rate], paternal: list[Rate] | None
) -> list[Rate]:
    """Return the chance of each genotype of `listed` in a child, at conception.

    `maternal` and `paternal` are gamete distributions; `paternal` is None for a son on the X,
    who has the mother's allele only.  No child is a germline mosaic.
    """
    chances: list[Rate] = []
    for genotype in listed:
        if genotype.mosaic:
            chances.append(Fraction(0))
        elif paternal is None:
            chances.append(maternal[genotype.alleles[0]])
        else:
            one, two = genotype.alleles
            chance = maternal[one] * paternal[two]
            if one != two:
                chance = chance + maternal[two] * paternal[one]
            chances.append(chance)
    return chances
