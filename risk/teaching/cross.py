"""The cross of two parents at one gene: the Punnett square and the proportions read off it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd
from types import MappingProxyType

from risk.genetics.genotypes import Genotype
from risk.number import over_one_denominator
from risk.teaching.gene import (
    PHENOTYPES,
    Child,
    Gene,
    Parents,
    Phenotype,
    Shares,
    phenotype,
    read_parents,
)


@dataclass(frozen=True, slots=True)
class Brood:
    """A group of children: exact proportions among these alone.

    Every genotype that they can have is listed, from most dominant to recessive, zero or not.
    `carriers` are those who have the disease allele and are not affected.
    """

    genotypes: Mapping[str, Fraction]
    phenotypes: Mapping[Phenotype, Fraction]
    affected: Fraction
    carriers: Fraction


@dataclass(frozen=True, slots=True)
class Offspring:
    """Children in their groups: one of all, or on the X as many daughters as sons."""

    broods: Mapping[Child, Brood]

    @property
    def by_sex(self) -> bool:
        return len(self.broods) > 1

    @property
    def genotypes(self) -> Mapping[str, Fraction]:
        """The proportions among all offspring."""
        return {
            genotype: share / len(self.broods)
            for brood in self.broods.values()
            for genotype, share in brood.genotypes.items()
        }

    @property
    def phenotypes(self) -> Mapping[Phenotype, Fraction]:
        """What shows among all offspring."""
        return phenotypes(self.genotypes)

    @property
    def affected(self) -> Fraction:
        """The share of all offspring who are affected."""
        return sum((each.affected for each in self.broods.values()), Fraction(0)) / len(self.broods)


@dataclass(frozen=True, slots=True)
class Square(Offspring):
    """The Punnett square of ``mother`` x ``father``, and their offspring.

    `rows` are the mother's gametes, `columns` the father's (two of each, equal ones listed twice;
    on the X the father's are his X with its allele, and his Y), and ``cells[i][j]`` is the
    genotype of row i and column j.  The four cells are equally likely; on the X those of the
    first column are daughters.  `words` says of every genotype that can be born what it shows,
    or on the X who it is: "carrier daughter", "affected son".
    """

    mother: str
    father: str
    gene: Gene
    rows: tuple[str, str]
    columns: tuple[str, str]
    cells: tuple[tuple[str, str], tuple[str, str]]
    words: Mapping[str, str]

    def is_affected(self, genotype: str) -> bool:
        return phenotype(genotype) == self.gene.affected


def punnett(mother: str, father: str, affected: str | None = None) -> Square:
    """Cross two genotypes and return the square; see `risk.teaching.gene.read_parents`."""
    return square_of(read_parents(mother, father, affected))


def square_of(parents: Parents) -> Square:
    """Return the square of two parents."""
    gene, mother, father = parents
    rows, columns = gene.gametes(mother), gene.gametes(father)

    def cell(egg: int | None, sperm: int | None) -> str:
        alleles = sorted(allele for allele in (egg, sperm) if allele is not None)
        return gene.write(Genotype(tuple(alleles)))

    a, b, c, d = (cell(egg, sperm) for egg in rows for sperm in columns)
    words = {
        gene.write(kind): _who(gene, kind, child)
        for child in gene.children
        for kind in gene.listed(child)
    }
    return Square(
        broods(gene, gene.litter(mother, father)),
        gene.write(mother),
        gene.write(father),
        gene,
        (gene.gamete(rows[0]), gene.gamete(rows[1])),
        (gene.gamete(columns[0]), gene.gamete(columns[1])),
        ((a, b), (c, d)),
        words,
    )


def broods(gene: Gene, shares: Shares) -> Mapping[Child, Brood]:
    """Say what these proportions look like: as written, by what shows, affected and carriers."""
    made: dict[Child, Brood] = {}
    other: Phenotype = PHENOTYPES[gene.affected == "dominant"]
    for child, kinds in shares.items():
        affected = sum((s for k, s in kinds.items() if gene.is_affected(k, child)), Fraction(0))
        carriers = sum((s for k, s in kinds.items() if gene.is_carrier(k, child)), Fraction(0))
        shows = {gene.affected: affected, other: 1 - affected}
        made[child] = Brood(
            MappingProxyType({gene.write(kind): share for kind, share in kinds.items()}),
            MappingProxyType({kind: shows[kind] for kind in PHENOTYPES}),
            affected,
            carriers,
        )
    return MappingProxyType(made)


def phenotypes(shares: Mapping[str, Fraction]) -> Mapping[Phenotype, Fraction]:
    """Add up the proportions of genotypes by what they show; both phenotypes are listed."""
    seen = dict.fromkeys(PHENOTYPES, Fraction(0))
    for genotype, share in shares.items():
        seen[phenotype(genotype)] += share
    return MappingProxyType(seen)


def ratio(shares: Iterable[Fraction]) -> str:
    """Return proportions as a ratio of whole numbers without common factor: ``1:2:1``.

    Zeros are left out: AA x Aa gives 1:1, not 1:1:0.
    """
    parts, _ = over_one_denominator([share for share in shares if share])
    common = gcd(*parts)
    return ":".join(str(part // common) for part in parts)


def _who(gene: Gene, kind: Genotype, child: Child) -> str:
    if child == "offspring":
        return phenotype(gene.write(kind))
    one = child.removesuffix("s")
    if gene.is_affected(kind, child):
        return f"affected {one}"
    return f"{'carrier' if gene.is_carrier(kind, child) else 'unaffected'} {one}"
