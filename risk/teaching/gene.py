"""A gene that is crossed: how its genotypes are written and read, and what children can have.

A genotype at a gene on an autosome is two letters, the capital standing for the dominant allele:
``AA``, ``Aa``, ``aa``.  On the X a woman's genotype is written ``X^A X^a`` and a man's ``X^A Y``;
``XAXa`` and ``XAY`` are read too.  What passes on and who is affected come from `risk.genetics`,
as in every family: full penetrance, no new mutation, all genotypes equally viable.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, NamedTuple

from risk.case.model import Condition, Frequency, Inheritance, Sex
from risk.genetics.genotypes import NORMAL, Genotype, genotypes
from risk.genetics.penetrance import lifetime_penetrance
from risk.genetics.transmission import child_distribution, gamete_distribution
from risk.problems import InputError, Problem

Phenotype = Literal["dominant", "recessive"]
Child = Literal["offspring", "daughters", "sons"]

PHENOTYPES: tuple[Phenotype, Phenotype] = ("dominant", "recessive")
#: The groups of children that are told apart, by whether the gene is on the X.
CHILDREN: Mapping[bool, tuple[Child, ...]] = {False: ("offspring",), True: ("daughters", "sons")}

#: Proportions within each group, by genotype as the engine has it.
Shares = Mapping[Child, Mapping[Genotype, Fraction]]

_SEX: Mapping[Child, Sex] = {"offspring": "unknown", "daughters": "female", "sons": "male"}
_MODE: Mapping[tuple[bool, Phenotype], Inheritance] = {
    (False, "recessive"): "autosomal_recessive",
    (False, "dominant"): "autosomal_dominant",
    (True, "recessive"): "x_linked_recessive",
    (True, "dominant"): "x_linked_dominant",
}
_Y = "Y"
_GENOTYPE = re.compile("([A-Za-z])([A-Za-z])")
_WOMAN = re.compile(r"X\^?([A-WZa-wz])\s*X\^?([A-WZa-wz])")
_MAN = re.compile(r"X\^?([A-WZa-wz])\s*Y")
_MEANT = re.compile(r"X(\^|Y|[A-Za-z]\s*[XY])")


@dataclass(frozen=True, slots=True)
class Gene:
    """A gene, its letter a capital, whether it is on the X, and the trait that the condition is."""

    letter: str
    on_x: bool = False
    affected: Phenotype = "recessive"

    @property
    def children(self) -> tuple[Child, ...]:
        """The groups of children: those who become mothers first, the fathers last."""
        return CHILDREN[self.on_x]

    @property
    def condition(self) -> Condition:
        return Condition(_MODE[self.on_x, self.affected], Frequency(allele="rare"))

    def listed(self, child: Child) -> tuple[Genotype, ...]:
        """Every genotype that such a child can have, from most dominant letters to none."""
        kinds = genotypes(1, self.condition.copies(_SEX[child]), mosaics=False)
        return kinds if self.affected == "recessive" else kinds[::-1]

    def gamete(self, allele: int | None) -> str:
        """Return a gamete as it is written: ``a``, ``X^a``; None is a father's Y."""
        if allele is None:
            return _Y
        dominant = (allele == NORMAL) == (self.affected == "recessive")
        letter = self.letter if dominant else self.letter.lower()
        return f"X^{letter}" if self.on_x else letter

    def gametes(self, parent: Genotype) -> list[int | None]:
        """Return the two gametes of a parent, the dominant letter first, None for a Y."""
        return [*sorted(parent.alleles, key=self.gamete), None][:2]

    def write(self, genotype: Genotype) -> str:
        """Return a genotype as it is written, the dominant letter first: ``Aa``, ``X^a Y``."""
        return (" " if self.on_x else "").join(map(self.gamete, self.gametes(genotype)))

    def read(self, letters: Iterable[str]) -> Genotype:
        """Return the genotype that these letters are."""
        disease = self.letter if self.affected == "dominant" else self.letter.lower()
        return Genotype(tuple(sorted(int(letter == disease) for letter in letters)))

    def is_affected(self, genotype: Genotype, child: Child) -> bool:
        chances = lifetime_penetrance(self.condition, _SEX[child])
        return bool(chances[genotype.disease_alleles])

    def is_carrier(self, genotype: Genotype, child: Child) -> bool:
        """Tell whether someone has the disease allele and is not affected."""
        return genotype.disease_alleles > 0 and not self.is_affected(genotype, child)

    def litter(self, mother: Genotype, father: Genotype) -> Shares:
        """Return the genotypes among the children of two parents, in each group."""
        eggs, sperm = (
            gamete_distribution(parent, Fraction(0), (Fraction(1),), Fraction(0))
            for parent in (mother, father)
        )
        born: dict[Child, Mapping[Genotype, Fraction]] = {}
        for child in self.children:
            listed = self.listed(child)
            chances = child_distribution(listed, eggs, None if child == "sons" else sperm)
            born[child] = {k: Fraction(c) for k, c in zip(listed, chances, strict=True)}
        return born


class Parents(NamedTuple):
    """The two parents of a cross."""

    gene: Gene
    mother: Genotype
    father: Genotype


def phenotype(genotype: str) -> Phenotype:
    """Return what a written genotype shows: ``dominant`` with at least one capital allele."""
    letters = re.findall(r"\^(\w)", genotype) or genotype
    return "dominant" if any(map(str.isupper, letters)) else "recessive"


def written_on_x(*texts: str) -> bool:
    """Tell whether one of these genotypes is meant as one of a gene on the X."""
    return any(_MEANT.match(text.strip()) for text in texts)


def read_parents(mother: str, father: str, affected: str | None = None) -> Parents:
    """Read both parents of a cross; how they are written tells whether the gene is on the X.

    `affected` is the trait that the condition on the X is, recessive unless said.  Raises
    `InputError` with every problem found, naming ``mother``, ``father`` and ``affected``.
    """
    on_x = written_on_x(mother, father)
    problems: list[Problem] = []
    trait: Phenotype = "dominant" if affected == "dominant" else "recessive"
    if affected is not None and not on_x:
        problems.append(Problem("affected", "belongs to a gene on the X, like XAXa and XAY"))
    elif affected not in (None, *PHENOTYPES):
        message = f"{affected!r} is not a trait; write recessive or dominant"
        problems.append(Problem("affected", message))
    read: list[tuple[str, ...]] = []
    for role, text in (("mother", mother), ("father", father)):
        try:
            read.append(_read_on_x(text, role) if on_x else read_genotype(text, role))
        except InputError as error:
            problems.extend(error.problems)
    if len(read) == 2 and read[0][0].upper() != read[1][0].upper():
        one, other = "".join(read[0]), "".join(read[1])
        message = (
            f"{father.strip()} is not of the same gene as the mother's; write both with one letter"
            if on_x
            else f"{other} is not of the same gene as the mother's {one}; "
            "write both with one letter, like Aa and aa"
        )
        problems.append(Problem("father", message))
    if problems:
        raise InputError(problems)
    gene = Gene(read[0][0].upper(), on_x, trait)
    return Parents(gene, gene.read(read[0]), gene.read(read[1]))


def read_genotype(text: str, argument: str) -> tuple[str, ...]:
    """Read a genotype at a gene on an autosome as its letters, the dominant one first.

    Raises `InputError` with the path `argument`.
    """
    text = text.strip()
    if re.fullmatch("(?:[A-Za-z]{2}){2,}", text):
        message = "is of several genes; one gene only: cross each gene by itself, like"
        raise InputError([Problem(argument, f"{text[:20]!r} {message} {text[:2]}")])
    letters = _letters(_GENOTYPE, text)
    if letters is None:
        message = "is not a genotype; write one letter twice, the capital for the dominant allele:"
        raise InputError([Problem(argument, f"{text[:20]!r} {message} AA, Aa or aa")])
    return letters


def _read_on_x(text: str, role: str) -> tuple[str, ...]:
    letters = _letters(_WOMAN if role == "mother" else _MAN, text)
    if letters is None:
        example = (
            "two X, like X^A X^a or XAXa"
            if role == "mother"
            else "one X and the Y, like X^A Y or XAY"
        )
        message = f"{text[:20]!r} is not the genotype of a {role} at a gene on the X; write"
        raise InputError([Problem(role, f"{message} {example}")])
    return letters


def read_recurrent(text: str, parents: Parents, argument: str) -> Genotype:
    """Read a parent, of either sex, that has the gene of these two."""
    gene = parents.gene
    if not gene.on_x:
        letters = read_genotype(text, argument)
        if letters[0].upper() == gene.letter:
            return gene.read(letters)
        message = f"is not of the same gene as {gene.write(parents.mother)}"
        raise InputError([Problem(argument, f"{''.join(letters)} {message}")])
    for pattern in (_WOMAN, _MAN):
        found = _letters(pattern, text)
        if found and found[0].upper() == gene.letter:
            return gene.read(found)
    low, high = f"X^{gene.letter.lower()}", f"X^{gene.letter}"
    message = f"{text[:20]!r} is not a genotype of this gene; write like {high} {low} or {high} Y"
    raise InputError([Problem(argument, message)])


def _letters(pattern: re.Pattern[str], text: str) -> tuple[str, ...] | None:
    """Return the letters of the alleles, all of one gene, the dominant one first."""
    match = pattern.fullmatch(text.strip())
    if match and len({letter.upper() for letter in match.groups()}) == 1:
        return tuple(sorted(match.groups()))
    return None
