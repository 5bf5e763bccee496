"""Genotypes at one locus: which alleles a person has, told apart by variant class.

Allele 0 is the normal allele; alleles 1, 2, ... are the variant classes of the disease allele
(a single class unless a test tells classes apart).
"""

from __future__ import annotations

from itertools import combinations_with_replacement
from typing import NamedTuple

NORMAL = 0


class Genotype(NamedTuple):
    """The alleles of one person in ascending order: two, or one for a male on the X.

    `mosaic` is 0, or the class of disease allele that a germline mosaic carries in some of
    the germ cells; the body of a mosaic has normal alleles only.
    """

    alleles: tuple[int, ...]
    mosaic: int = 0

    @property
    def disease_alleles(self) -> int:
        """How many disease alleles the body has: 0, 1 or 2."""
        return sum(1 for allele in self.alleles if allele != NORMAL)


def is_carrier(copies: int, alleles: object) -> bool:
    """Tell whether so many disease `alleles` among `copies` of the gene are one of two.

    What is no number, such as a germline mosaic, is no carrier.
    """
    return copies == 2 and alleles == 1


def genotypes(classes: int, copies: int, mosaics: bool) -> tuple[Genotype, ...]:
    """List every genotype with `copies` copies of the locus and `classes` disease classes.

    Fewer disease alleles come first; the mosaics, if any, come last.
    """
    listed = [
        Genotype(alleles) for alleles in combinations_with_replacement(range(classes + 1), copies)
    ]
    listed.sort(key=lambda genotype: (genotype.disease_alleles, genotype.alleles))
    if mosaics:
        listed += [Genotype((NORMAL,) * copies, mosaic) for mosaic in range(1, classes + 1)]
    return tuple(listed)
