"""Laboratory tests: the chance of a result given the genotype."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import Test, TestResult
from risk.genetics.genotypes import Genotype


def detected_alleles(genotype: Genotype, detected: frozenset[int]) -> int:
    """Return how many of the body's alleles are of a detected class."""
    return sum(1 for allele in genotype.alleles if allele in detected)


def result_likelihood(
    test: Test, result: TestResult, listed: tuple[Genotype, ...], class_names: tuple[str, ...]
) -> tuple[Fraction, ...]:
    """Return the chance (or density) of `result` under each genotype of `listed`.

    `class_names[k]` names disease class k + 1; it is empty where the condition names no classes,
    and then a detecting test sees every disease allele.  A test that detects classes makes no
    error; the other kinds see only the number of disease alleles.
    """
    if test.detects is not None:
        detected = frozenset(
            allele for allele, name in enumerate(class_names, 1) if name in test.detects
        )
        if not class_names and test.detects:
            detected = frozenset({1})
        return tuple(
            Fraction(detected_alleles(genotype, detected) == result.found) for genotype in listed
        )
    if test.likelihood is not None:
        table = next(row.likelihood for row in test.likelihood if row.result == result.result)
        numbers = [table.zero.value, table.one.value]
        numbers.append(table.two.value if table.two is not None else Fraction(0))
    else:
        assert test.sensitivity is not None and test.specificity is not None
        positive = [1 - test.specificity.value, test.sensitivity.value, test.sensitivity.value]
        wanted = result.result == "positive"
        numbers = [chance if wanted else 1 - chance for chance in positive]
    return tuple(numbers[genotype.disease_alleles] for genotype in listed)
