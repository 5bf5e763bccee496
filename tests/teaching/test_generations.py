"""Later generations against closed formulas, published values and brute-force enumeration."""

from collections import defaultdict
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.problems import InputError
from risk.teaching.gene import read_parents
from risk.teaching.generations import MOST_GENERATIONS, follow, read_plan

KINDS = ("AA", "Aa", "aa")
PARENTS = list(product(KINDS, KINDS))
HALF = Fraction(1, 2)


def generations(mother, father, then):
    parents = read_parents(mother, father)
    return follow(parents, read_plan(then, False, parents))


def by_enumeration(population, others):
    """Mate two populations: every pair, every pair of gametes, counted one by one."""
    born = defaultdict(Fraction)
    for (one, p), (two, q) in product(population.items(), others.items()):
        for egg, sperm in product(one, two):
            born["".join(sorted(egg + sperm))] += p * q / 4
    return born


def same(shares, counted):
    return dict(shares) == {kind: counted.get(kind, Fraction(0)) for kind in KINDS}


@pytest.mark.parametrize(("mother", "father"), PARENTS)
def test_f2_is_f1_mated_at_random(mother, father):
    f1, f2 = generations(mother, father, "F2")
    assert (f1.name, f2.name) == ("F1", "F2")
    counted = by_enumeration({mother: Fraction(1)}, {father: Fraction(1)})
    assert same(f1.genotypes, counted)
    assert same(f2.genotypes, by_enumeration(counted, counted))
    # Random mating gives Hardy-Weinberg proportions of the alleles in F1 (common practice).
    p = f1.genotypes["AA"] + HALF * f1.genotypes["Aa"]
    assert f2.genotypes == {"AA": p * p, "Aa": 2 * p * (1 - p), "aa": (1 - p) ** 2}


@pytest.mark.parametrize("recurrent", KINDS)
@pytest.mark.parametrize(("mother", "father"), PARENTS)
def test_back_crosses_by_enumeration(mother, father, recurrent):
    found = generations(mother, father, f"backcross:{recurrent}:4")
    assert [each.name for each in found] == ["F1", "BC1", "BC2", "BC3", "BC4"]
    population = by_enumeration({mother: Fraction(1)}, {father: Fraction(1)})
    for each in found:
        assert same(each.genotypes, population)
        population = by_enumeration(population, {recurrent: Fraction(1)})
        assert (each.recurrent_share is not None) == (recurrent in (mother, father))


def test_recurrent_genome_is_the_recurrent_allele_of_a_gene_that_tells_the_parents_apart():
    """1 - (1/2)^(n+1): 3/4, 7/8, 15/16 in BC1, BC2, BC3 (common practice of plant breeding)."""
    found = generations("AA", "aa", "backcross:AA:6")
    for n, each in enumerate(found):
        carried = each.genotypes["AA"] + HALF * each.genotypes["Aa"]
        assert each.recurrent_share == carried == 1 - HALF ** (n + 1)
    assert [str(each.recurrent_share) for each in found[1:4]] == ["3/4", "7/8", "15/16"]


@pytest.mark.parametrize(("mother", "father"), PARENTS)
def test_selfing_halves_the_heterozygotes(mother, father):
    found = generations(mother, father, "selfing:6")
    assert [each.name for each in found] == [f"F{n}" for n in range(1, 8)]
    for n, each in enumerate(found):
        assert each.genotypes["Aa"] == found[0].genotypes["Aa"] * HALF**n
        assert each.inbreeding == 1 - HALF**n
        assert each.homozygous == 1 - each.genotypes["Aa"]
        assert sum(each.genotypes.values()) == 1


def labelled_sib_mating(generations):
    """Yield the chance of each genotype of labelled alleles under sib mating, by brute force.

    The four alleles of P are told apart: the mother has 0 and 1, the father 2 and 3.
    """
    pairs = {((0, 1), (2, 3)): Fraction(1)}
    for _ in range(generations):
        children, following = defaultdict(Fraction), defaultdict(Fraction)
        for (one, two), weight in pairs.items():
            litter = [tuple(sorted(gametes)) for gametes in product(one, two)]
            for child in litter:
                children[child] += weight / 4
            for sister, brother in product(litter, litter):
                following[tuple(sorted((sister, brother)))] += weight / 16
        yield children
        pairs = following


@pytest.mark.parametrize(("mother", "father"), PARENTS)
def test_sib_mating_against_alleles_told_apart(mother, father):
    found = generations(mother, father, "sibs:6")
    for each, children in zip(found, labelled_sib_mating(7), strict=True):
        letters = mother + father
        counted = defaultdict(Fraction)
        for (one, two), share in children.items():
            counted["".join(sorted(letters[one] + letters[two]))] += share
        assert same(each.genotypes, counted)
        alike = sum(share for (one, two), share in children.items() if one == two)
        assert each.inbreeding == alike


def test_inbreeding_under_sib_mating_as_published():
    # Falconer, Introduction to Quantitative Genetics, the table of inbreeding coefficients under
    # full-sib mating, to three places (cited from memory).
    published = ["0.000", "0.250", "0.375", "0.500", "0.594", "0.672", "0.734", "0.785", "0.826"]
    found = generations("Aa", "Aa", "sibs:8")
    assert [f"{float(each.inbreeding):.3f}" for each in found] == published


@pytest.mark.parametrize(("mother", "father"), PARENTS)
def test_one_sib_mating_is_the_random_intercross_of_one_litter(mother, father):
    assert (
        generations(mother, father, "sibs:1")[1].genotypes
        == generations(mother, father, "F2")[1].genotypes
    )


@given(st.sampled_from(["backcross:aa", "selfing", "sibs"]), st.integers(1, MOST_GENERATIONS))
def test_any_number_of_generations(scheme, count):
    found = generations("Aa", "aa", f"{scheme}:{count}")
    assert len(found) == count + 1
    assert sum(found[-1].genotypes.values()) == 1
    assert sum(found[-1].phenotypes.values()) == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("F3", "F3"),
        ("bakcross:AA:3", 'did you mean "backcross"'),
        ("backcross:AA", "is not understood"),
        ("backcross", "Like backcross:AA:1"),
        ("backcross:AA", "Like backcross:AA:1"),
        ("backcross:AB:3", "is not a genotype"),
        ("backcross:BB:3", "not of the same gene"),
        ("backcross:AA:0", "from 1 to 50"),
        ("selfing:51", "from 1 to 50"),
        ("sibs:-1", "from 1 to 50"),
        ("sibs:²", "from 1 to 50"),
        ("sibs:" + "9" * 400, "from 1 to 50"),
        ("", "is not understood"),
        (":::", "is not understood"),
    ],
)
def test_schemes_that_are_not_understood(text, said):
    with pytest.raises(InputError) as caught:
        read_plan(text, False, read_parents("Aa", "Aa"))
    (problem,) = caught.value.problems
    assert problem.path == "then"
    assert said in problem.message
