"""A case as plain, frozen data: the condition, the people and the questions.

These records say what the case file says, and what the mode of inheritance means.  A key that is
absent is None (or the documented default), and numbers keep their text (`risk.number.Quantity`).
To change a case use `dataclasses.replace`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from risk.number import Quantity

Inheritance = Literal[
    "autosomal_recessive", "autosomal_dominant", "x_linked_recessive", "x_linked_dominant"
]
Sex = Literal["female", "male", "unknown"]
Status = Literal["alive", "deceased", "pregnancy", "stillbirth", "miscarriage", "termination"]
Rare = Literal["rare"]


@dataclass(frozen=True, slots=True)
class SelectionBalance:
    """Mutation-selection balance; `fitness` is that of affected males, 0 <= fitness < 1."""

    fitness: Quantity


@dataclass(frozen=True, slots=True)
class Frequency:
    """How common the disease allele is in founders; exactly one field is not None."""

    allele: Quantity | Rare | None = None
    carrier: Quantity | None = None
    incidence: Quantity | None = None
    mutation_selection_balance: SelectionBalance | None = None


@dataclass(frozen=True, slots=True)
class Mutation:
    """New-mutation rates per gamete, normal to disease allele; ``"rare"`` only for both."""

    maternal: Quantity | Rare | None = None
    paternal: Quantity | Rare | None = None


@dataclass(frozen=True, slots=True)
class ByAlleles:
    """One number for each number of disease alleles; `two` is None for males on the X."""

    zero: Quantity
    one: Quantity
    two: Quantity | None = None


@dataclass(frozen=True, slots=True)
class BySex:
    """A table of numbers by disease alleles for each sex."""

    female: ByAlleles
    male: ByAlleles


@dataclass(frozen=True, slots=True)
class OnsetPoint:
    """Of those who will ever be affected, the share affected by `age` (in years)."""

    age: Quantity
    cumulative: Quantity


@dataclass(frozen=True, slots=True)
class Variant:
    """A class of disease allele and its share among disease alleles."""

    name: str
    share: Quantity


@dataclass(frozen=True, slots=True)
class ResultLikelihood:
    """Chance or density of one named test result, by number of disease alleles."""

    result: str
    likelihood: ByAlleles


@dataclass(frozen=True, slots=True)
class Test:
    """A laboratory test; one of `detects`, `sensitivity` with `specificity`, or `likelihood`."""

    name: str
    detects: tuple[str, ...] | None = None
    sensitivity: Quantity | None = None
    specificity: Quantity | None = None
    likelihood: tuple[ResultLikelihood, ...] | None = None


@dataclass(frozen=True, slots=True)
class Mosaicism:
    """Founders without the allele are mosaics with chance `prior`, in a share of `gametes`."""

    prior: Quantity
    gametes: Quantity


@dataclass(frozen=True, slots=True)
class Condition:
    """The condition: its inheritance, its frequency and everything that modifies them."""

    inheritance: Inheritance
    frequency: Frequency
    name: str | None = None
    mutation: Mutation | None = None
    penetrance: ByAlleles | BySex | None = None
    onset: tuple[OnsetPoint, ...] | None = None
    viability: ByAlleles | BySex | None = None
    variants: tuple[Variant, ...] | None = None
    tests: tuple[Test, ...] | None = None
    germline_mosaicism: Mosaicism | None = None

    @property
    def x_linked(self) -> bool:
        return self.inheritance.startswith("x_linked")

    def copies(self, sex: Sex) -> int:
        """Return how many copies of the gene someone has: one, a male, on the X; else two."""
        return 1 if self.x_linked and sex == "male" else 2

    @property
    def recessive(self) -> bool:
        return self.inheritance.endswith("recessive")

    def enough(self, sex: Sex) -> int:
        """Return how many disease alleles someone is affected with under full penetrance."""
        return self.copies(sex) if self.recessive else 1


@dataclass(frozen=True, slots=True)
class TestResult:
    """What one test said of one person: `found` (a detecting test) or `result` (the others)."""

    test: str
    found: int | None = None
    result: str | None = None


@dataclass(frozen=True, slots=True)
class Twin:
    """Membership of a twin group; `monozygotic_chance` only for unknown zygosity."""

    group: str
    zygosity: Literal["monozygotic", "dizygotic", "unknown"]
    monozygotic_chance: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Person:
    """One person of the family, or `count` alike siblings; parents are genetic parents."""

    id: str
    sex: Sex = "unknown"
    name: str | None = None
    gender: Literal["woman", "man", "nonbinary"] | None = None
    father: str | None = None
    mother: str | None = None
    affected: bool | None = None
    age: Quantity | None = None
    genotype: int | None = None
    tests: tuple[TestResult, ...] = ()
    inbreeding: Quantity | None = None
    count: int | None = None
    status: Status = "alive"
    twin: Twin | None = None
    adopted: Literal["in", "out"] | None = None
    roles: tuple[Literal["proband", "consultand"], ...] = ()
    note: str | None = None

    @property
    def founder(self) -> bool:
        return self.father is None


@dataclass(frozen=True, slots=True)
class Couple:
    """What the people alone do not say about two partners."""

    partners: tuple[str, str]
    consanguineous: bool | None = None
    separated: bool | None = None
    childless: Literal["choice", "infertility"] | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """One question; which fields it needs depends on `ask` (see `QUESTION_KEYS`)."""

    ask: str
    person: str | None = None
    parents: tuple[str, str] | None = None
    people: tuple[str, str] | None = None
    sex: Literal["female", "male"] | None = None
    by_age: Quantity | None = None
    of: int | None = None
    at_least: int | None = None
    exactly: int | None = None


#: For each question, the keys it needs and the keys it may have.
QUESTION_KEYS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "carrier": (("person",), ()),
    "disease_allele": (("person",), ()),
    "genotype": (("person",), ()),
    "will_be_affected": (("person",), ("by_age",)),
    "child_affected": (("parents",), ("sex", "by_age")),
    "child_carrier": (("parents",), ("sex",)),
    "both_carriers": (("people",), ()),
    "children_affected": (("parents", "of"), ("at_least", "exactly")),
}


@dataclass(frozen=True, slots=True)
class Case:
    """A whole case file, version 1."""

    condition: Condition
    people: tuple[Person, ...]
    title: str | None = None
    vignette: str | None = None
    couples: tuple[Couple, ...] = ()
    questions: tuple[Question, ...] = ()
    version: int = 1

    @property
    def called(self) -> frozenset[str]:
        """Everything that somebody is called: ids and names, each as the file writes it."""
        return frozenset(
            called
            for person in self.people
            for called in (person.id, person.name)
            if called is not None
        )

    def person(self, id: str) -> Person:
        """Return the person with this id; raises KeyError when there is none."""
        for person in self.people:
            if person.id == id:
                return person
        raise KeyError(id)
