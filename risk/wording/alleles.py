"""Numbers of disease alleles in words, the same wherever they are told."""

from __future__ import annotations

from collections.abc import Iterable

from risk.model.answers import Chance
from risk.wording.chances import answer_in_words

#: What somebody has, by number of disease alleles: of the allele, and of whichever disease alleles.
COPIES = ("no copy", "one copy", "two copies")
ALLELES = ("no disease allele", "one disease allele", "two disease alleles")


def distribution_in_words(chances: Iterable[Chance]) -> str:
    """Put the chances of each number on one line: ``no copy: 1/3, ...; one copy: 2/3, ...``."""
    return "; ".join(
        f"{copies}: {answer_in_words(chance)}"
        for copies, chance in zip(COPIES, chances, strict=False)
    )
