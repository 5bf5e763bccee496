"""Punnett squares against counting every pair of gametes."""

import string
from collections import Counter
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.problems import InputError
from risk.teaching.cross import punnett, ratio
from risk.teaching.crossing import cross

KINDS = ("AA", "Aa", "aa")


@pytest.mark.parametrize(("mother", "father"), list(product(KINDS, KINDS)))
def test_every_cross_against_enumeration(mother, father):
    square = punnett(mother, father)
    born = Counter("".join(sorted(pair)) for pair in product(mother, father))
    assert dict(square.genotypes) == {kind: Fraction(born[kind], 4) for kind in KINDS}
    dominant = sum(count for kind, count in born.items() if "A" in kind)
    assert square.phenotypes == {
        "dominant": Fraction(dominant, 4),
        "recessive": Fraction(4 - dominant, 4),
    }
    # Mother's gametes down the rows, father's along the columns.
    assert (square.rows, square.columns) == (tuple(mother), tuple(father))
    for i, egg in enumerate(mother):
        for j, sperm in enumerate(father):
            assert sorted(square.cells[i][j]) == sorted(egg + sperm)


@pytest.mark.parametrize(
    ("mother", "father", "genotypes", "phenotypes"),
    [
        # Common practice: the monohybrid ratios of every introductory textbook.
        ("Aa", "Aa", "1:2:1", "3:1"),
        ("Aa", "aa", "1:1", "1:1"),
        ("AA", "Aa", "1:1", "1"),
    ],
)
def test_textbook_ratios(mother, father, genotypes, phenotypes):
    square = punnett(mother, father)
    assert ratio(square.genotypes.values()) == genotypes
    assert ratio(square.phenotypes.values()) == phenotypes


@given(
    st.sampled_from(string.ascii_uppercase),
    st.sampled_from(["AA", "Aa", "aA", "aa"]),
    st.sampled_from(["AA", "Aa", "aA", "aa"]),
)
def test_any_letter_and_either_order(letter, mother, father):
    def write(kind):
        return kind.replace("A", letter).replace("a", letter.lower())

    plain = punnett(mother, father)
    named = punnett(write(mother), f" {write(father)} ")
    assert {write(kind): share for kind, share in plain.genotypes.items()} == named.genotypes
    assert named.phenotypes == plain.phenotypes
    assert all(len(cell) == 2 and cell == cell[0] + cell[1] for row in named.cells for cell in row)
    assert all(not (cell[0].islower() and cell[1].isupper()) for row in named.cells for cell in row)


@pytest.mark.parametrize("text", ["", "A", "AAA", "Ab", "A1", "11", "ÄÄ", "A a", "ſS", "x" * 500])
def test_what_is_not_a_genotype_is_named(text):
    with pytest.raises(InputError) as caught:
        punnett("Aa", text)
    assert [problem.path for problem in caught.value.problems] == ["father"]
    with pytest.raises(InputError) as caught:
        punnett(text, text)
    assert [problem.path for problem in caught.value.problems] == ["mother", "father"]


def test_parents_of_different_genes():
    with pytest.raises(InputError, match="father: Bb is not of the same gene as the mother's Aa"):
        punnett("Aa", "bB")


def test_every_problem_of_a_cross_is_found_at_once():
    with pytest.raises(InputError) as caught:
        cross("A", "Aa", then="F3", observed="many")
    assert [problem.path for problem in caught.value.problems] == ["mother", "then", "observed"]


def test_a_trait_is_said_of_a_gene_on_the_x_only():
    with pytest.raises(InputError, match="affected: belongs to a gene on the X"):
        cross("Aa", "Aa", affected="recessive")
    with pytest.raises(InputError, match="affected: 'both' is not a trait"):
        cross("XAXa", "XAY", affected="both")
