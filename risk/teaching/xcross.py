"""The cross of two parents at a gene on the X: a square whose father gives his X or his Y.

A woman's genotype is written ``X^A X^a`` and a man's ``X^A Y``; ``XAXa`` and ``XAY`` are read too.
What passes on and who is affected come from `risk.genetics`, as in every family: full penetrance
and no new mutation.  Daughters and sons are equally frequent.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Literal

from risk.case.model import Condition, Frequency, Sex
from risk.genetics.founders import Rate
from risk.genetics.genotypes import NORMAL, Genotype, genotypes
from risk.genetics.penetrance import lifetime_penetrance
from risk.genetics.transmission import child_distribution, gamete_distribution
from risk.problems import InputError, Problem
from risk.teaching.cross import PHENOTYPES, Phenotype

Child = Literal["daughters", "sons"]
CHILDREN: tuple[Child, Child] = ("daughters", "sons")

_SEX: Mapping[Child, Sex] = {"daughters": "female", "sons": "male"}
_Y = "Y"
_WOMAN = re.compile(r"X\^?([A-WZa-wz])\s*X\^?([A-WZa-wz])")
_MAN = re.compile(r"X\^?([A-WZa-wz])\s*Y")
_MEANT = re.compile(r"X(\^|Y|[A-Za-z]\s*[XY])")


@dataclass(frozen=True, slots=True)
class Gene:
    """A gene on the X, its letter a capital, and the trait that the condition is."""

    letter: str
    affected: Phenotype

    @property
    def condition(self) -> Condition:
        recessive = self.affected == "recessive"
        return Condition(
            "x_linked_recessive" if recessive else "x_linked_dominant", Frequency(allele="rare")
        )

    def listed(self, child: Child) -> tuple[Genotype, ...]:
        """Every genotype of a sex, from most dominant letters to none."""
        kinds = genotypes(1, self.condition.copies(_SEX[child]), mosaics=False)
        return kinds if self.affected == "recessive" else kinds[::-1]

    def allele(self, allele: int) -> str:
        """Return a gamete that carries this allele on its X: ``X^a``."""
        dominant = (allele == NORMAL) == (self.affected == "recessive")
        return f"X^{self.letter if dominant else self.letter.lower()}"

    def write(self, genotype: Genotype) -> str:
        """Return a genotype as it is written, the dominant letter first: ``X^A X^a``, ``X^a Y``."""
        written = sorted(map(self.allele, genotype.alleles))
        return " ".join(written if len(written) == 2 else [*written, _Y])

    def is_affected(self, genotype: Genotype, child: Child) -> bool:
        chances = lifetime_penetrance(self.condition, _SEX[child])
        return bool(chances[genotype.disease_alleles])

    def is_carrier(self, genotype: Genotype, child: Child) -> bool:
        """Tell whether someone has the disease allele and is not affected."""
        return genotype.disease_alleles > 0 and not self.is_affected(genotype, child)


@dataclass(frozen=True, slots=True)
class Brood:
    """The daughters or the sons: exact proportions among these alone.

    `carriers` are those who have the disease allele and are not affected.
    """

    genotypes: Mapping[str, Fraction]
    phenotypes: Mapping[Phenotype, Fraction]
    affected: Fraction
    carriers: Fraction


Broods = Mapping[Child, Brood]
#: Proportions within each sex, by genotype as the engine has it.
Shares = Mapping[Child, Mapping[Genotype, Fraction]]


@dataclass(frozen=True, slots=True)
class XSquare:
    """The Punnett square of ``mother`` x ``father`` at a gene on the X.

    `rows` are the mother's gametes, `columns` the father's: his X with its allele, and his Y.
    The four cells are equally likely; those of the first column are daughters.  `words` says of
    every genotype that can be born who it is: "carrier daughter", "affected son".
    """

    mother: str
    father: str
    gene: Gene
    rows: tuple[str, str]
    columns: tuple[str, str]
    cells: tuple[tuple[str, str], tuple[str, str]]
    words: Mapping[str, str]
    broods: Broods

    @property
    def affected(self) -> Fraction:
        """The share of all offspring who are affected."""
        return (self.broods["daughters"].affected + self.broods["sons"].affected) / 2

    def is_affected(self, genotype: str) -> bool:
        return shown_on_x(genotype) == self.gene.affected


def shown_on_x(genotype: str) -> Phenotype:
    """Return what a written genotype shows, of either sex."""
    return "dominant" if any(part[2:].isupper() for part in genotype.split()) else "recessive"


def written_on_x(text: str) -> bool:
    """Tell whether a genotype is meant as one of a gene on the X."""
    return bool(_MEANT.match(text.strip()))


def x_square(mother: str, father: str, affected: Phenotype = "recessive") -> XSquare:
    """Cross a woman with a man at a gene on the X; `affected` is the trait that the condition is.

    Raises `InputError` naming ``mother``, ``father`` or ``affected``.
    """
    gene, woman, man = read_x_parents(mother, father, affected)
    rows = gene.allele(woman.alleles[0]), gene.allele(woman.alleles[1])
    rows = (min(rows), max(rows))
    top, bottom = (
        (gene.write(_daughter(gene, egg, man)), gene.write(_son(gene, egg)))
        for egg in sorted(woman.alleles, key=gene.allele)
    )
    shares = mate(gene, {woman: Fraction(1)}, {man: Fraction(1)})
    words = {
        gene.write(kind): _who(gene, kind, child)
        for child in CHILDREN
        for kind in gene.listed(child)
    }
    return XSquare(
        gene.write(woman),
        gene.write(man),
        gene,
        rows,
        (gene.allele(man.alleles[0]), _Y),
        (top, bottom),
        MappingProxyType(words),
        broods(gene, shares),
    )


def mate(
    gene: Gene, mothers: Mapping[Genotype, Fraction], fathers: Mapping[Genotype, Fraction]
) -> Shares:
    """Mate mothers with fathers at random; return the genotypes of daughters and of sons."""
    eggs, sperm = _gametes(mothers), _gametes(fathers)
    children: dict[Child, Mapping[Genotype, Fraction]] = {}
    for child in CHILDREN:
        listed = gene.listed(child)
        chances = child_distribution(listed, eggs, sperm if child == "daughters" else None)
        children[child] = {k: Fraction(c) for k, c in zip(listed, chances, strict=True)}
    return children


def broods(gene: Gene, shares: Shares) -> Broods:
    """Say what these proportions look like: as written, by what shows, affected and carriers."""
    made: dict[Child, Brood] = {}
    other: Phenotype = PHENOTYPES[gene.affected == "dominant"]
    for child in CHILDREN:
        kinds = shares[child]
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


def read_x_parents(
    mother: str, father: str, affected: Phenotype = "recessive"
) -> tuple[Gene, Genotype, Genotype]:
    """Read both parents; every problem found is reported, see `x_square`."""
    problems: list[Problem] = []
    if affected not in PHENOTYPES:
        message = f"{affected!r} is not a trait; write recessive or dominant"
        problems.append(Problem("affected", message))
    letters: list[tuple[str, ...]] = []
    for role, text, pattern, example in (
        ("mother", mother, _WOMAN, "two X, like X^A X^a or XAXa"),
        ("father", father, _MAN, "one X and the Y, like X^A Y or XAY"),
    ):
        match = pattern.fullmatch(text.strip())
        if match and len({letter.upper() for letter in match.groups()}) == 1:
            letters.append(match.groups())
        else:
            message = f"{text[:20]!r} is not the genotype of a {role} at a gene on the X; write"
            problems.append(Problem(role, f"{message} {example}"))
    if len(letters) == 2 and letters[0][0].upper() != letters[1][0].upper():
        message = "is not of the same gene as the mother's; write both with one letter"
        problems.append(Problem("father", f"{father.strip()} {message}"))
    if problems:
        raise InputError(problems)
    gene = Gene(letters[0][0].upper(), affected)
    return gene, gene_read(gene, letters[0]), gene_read(gene, letters[1])


def read_x_genotype(gene: Gene, text: str, argument: str) -> tuple[Genotype, Child]:
    """Read a genotype of either sex; `InputError` with the path `argument`."""
    for child, pattern in (("daughters", _WOMAN), ("sons", _MAN)):
        match = pattern.fullmatch(text.strip())
        if match and {letter.upper() for letter in match.groups()} == {gene.letter}:
            return gene_read(gene, match.groups()), child  # type: ignore[return-value]
    low, high = f"X^{gene.letter.lower()}", f"X^{gene.letter}"
    message = f"{text[:20]!r} is not a genotype of this gene; write like {high} {low} or {high} Y"
    raise InputError([Problem(argument, message)])


def gene_read(gene: Gene, letters: Iterable[str]) -> Genotype:
    """Return the genotype that these letters are."""
    disease = gene.letter if gene.affected == "dominant" else gene.letter.lower()
    return Genotype(tuple(sorted(int(letter == disease) for letter in letters)))


def _gametes(parents: Mapping[Genotype, Fraction]) -> list[Rate]:
    """The chance that an X in a gamete of these parents carries each allele."""
    pool: list[Rate] = [Fraction(0), Fraction(0)]
    for parent, weight in parents.items():
        chances = gamete_distribution(parent, Fraction(0), (Fraction(1),), Fraction(0))
        pool = [old + weight * new for old, new in zip(pool, chances, strict=True)]
    return pool


def _certain(listed: tuple[Genotype, ...], chances: Iterable[object]) -> Genotype:
    return next(kind for kind, chance in zip(listed, chances, strict=True) if chance == 1)


def _daughter(gene: Gene, egg: int, father: Genotype) -> Genotype:
    listed, sperm = gene.listed("daughters"), _gametes({father: Fraction(1)})
    return _certain(listed, child_distribution(listed, _sure(egg), sperm))


def _son(gene: Gene, egg: int) -> Genotype:
    listed = gene.listed("sons")
    return _certain(listed, child_distribution(listed, _sure(egg), None))


def _sure(allele: int) -> list[Rate]:
    return [Fraction(allele == each) for each in (0, 1)]


def _who(gene: Gene, kind: Genotype, child: Child) -> str:
    one = "daughter" if child == "daughters" else "son"
    if gene.is_affected(kind, child):
        return f"affected {one}"
    return f"{'carrier' if gene.is_carrier(kind, child) else 'unaffected'} {one}"
