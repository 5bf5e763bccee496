"""The cross of two parents at one gene: the Punnett square and the proportions read off it.

A genotype is two letters, the capital standing for the dominant allele: ``AA``, ``Aa``, ``aa``.
Each parent passes either of its two letters on with chance 1/2, independently of the other
parent (Mendel's first law); one gene on an autosome, full dominance, all genotypes equally
viable.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm
from types import MappingProxyType
from typing import Literal

from risk.problems import InputError, Problem

Phenotype = Literal["dominant", "recessive"]

PHENOTYPES: tuple[Phenotype, Phenotype] = ("dominant", "recessive")

_GENOTYPE = re.compile("[A-Za-z]{2}")


@dataclass(frozen=True, slots=True)
class Square:
    """The Punnett square of ``mother`` x ``father``.

    `rows` are the mother's gametes, `columns` the father's (one letter each, two of each, equal
    ones listed twice), and ``cells[i][j]`` is the genotype of row i and column j.  The four cells
    are equally likely.  `genotypes` and `phenotypes` are the exact proportions among the
    offspring, every genotype of the gene listed, from most dominant to recessive, zero or not.
    """

    mother: str
    father: str
    rows: tuple[str, str]
    columns: tuple[str, str]
    cells: tuple[tuple[str, str], tuple[str, str]]
    genotypes: Mapping[str, Fraction]
    phenotypes: Mapping[Phenotype, Fraction]


def punnett(mother: str, father: str) -> Square:
    """Cross two genotypes and return the square.

    Either order of the letters will do (``aA`` is ``Aa``).  Raises `InputError` naming
    ``mother`` or ``father`` for anything that is not two letters of one gene, and for parents
    written with different letters.
    """
    mother, father = read_parents(mother, father)
    rows, columns = gametes(mother), gametes(father)
    top, bottom = ((join(row, columns[0]), join(row, columns[1])) for row in rows)
    shares = dict.fromkeys(genotypes_of(mother), Fraction(0))
    for cell in (*top, *bottom):
        shares[cell] += Fraction(1, 4)
    return Square(
        mother, father, rows, columns, (top, bottom), MappingProxyType(shares), phenotypes(shares)
    )


def gametes(genotype: str) -> tuple[str, str]:
    """Return the two alleles of a genotype, each of which a gamete carries with chance 1/2."""
    return genotype[0], genotype[1]


def join(one: str, other: str) -> str:
    """Return the genotype that two gametes make, the dominant letter first."""
    return "".join(sorted(one + other))


def phenotype(genotype: str) -> Phenotype:
    """Return what a genotype shows: ``dominant`` with at least one capital letter."""
    return "dominant" if genotype[0].isupper() else "recessive"


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
    given = [share for share in shares if share]
    scale = lcm(*(share.denominator for share in given))
    parts = [int(share * scale) for share in given]
    common = gcd(*parts)
    return ":".join(str(part // common) for part in parts)


def genotypes_of(genotype: str) -> tuple[str, str, str]:
    """Return the three genotypes of the gene, from two dominant alleles to none."""
    big = genotype[0].upper()
    return big + big, big + big.lower(), big.lower() * 2


def read_parents(mother: str, father: str) -> tuple[str, str]:
    """Read both parents of a cross; see `punnett` for the errors, all of which are reported."""
    problems: list[Problem] = []
    read = []
    for role, text in (("mother", mother), ("father", father)):
        try:
            read.append(read_genotype(text, role))
        except InputError as error:
            problems.extend(error.problems)
    if len(read) == 2 and read[0][0].upper() != read[1][0].upper():
        problems.append(
            Problem(
                "father",
                f"{read[1]} is not of the same gene as the mother's {read[0]}; "
                "write both with one letter, like Aa and aa",
            )
        )
    if problems:
        raise InputError(problems)
    return read[0], read[1]


def read_genotype(text: str, argument: str) -> str:
    """Read one genotype and return it with the dominant letter first.

    Raises `InputError` with the path `argument`.
    """
    text = text.strip()
    if re.fullmatch("(?:[A-Za-z]{2}){2,}", text):
        raise InputError(
            [
                Problem(
                    argument,
                    f"{text[:20]!r} is of several genes; one gene only: cross each gene by itself, "
                    f"like {text[:2]}",
                )
            ]
        )
    if not _GENOTYPE.fullmatch(text) or text[0].upper() != text[1].upper():
        raise InputError(
            [
                Problem(
                    argument,
                    f"{text[:20]!r} is not a genotype; write one letter twice, the capital for "
                    "the dominant allele: AA, Aa or aa",
                )
            ]
        )
    return join(text[0], text[1])
