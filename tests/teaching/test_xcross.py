"""Crosses at a gene on the X against counting gametes, the engine's answers and known counts."""

from collections import Counter
from fractions import Fraction
from itertools import product

import pytest

from risk import actions
from risk.case.model import Case, Condition, Frequency, Person, Question
from risk.problems import ImpossibleEvidence, InputError
from risk.teaching.counts import goodness_of_fit, read_counts
from risk.teaching.cross import punnett
from risk.teaching.crossing import cross
from risk.teaching.gene import CHILDREN, written_on_x

WOMEN = ("X^A X^A", "X^A X^a", "X^a X^a")
MEN = ("X^A Y", "X^a Y")
EVERY = list(product(WOMEN, MEN, ("recessive", "dominant")))


def counted(cells):
    """The share of each genotype among equally likely cells."""
    seen = Counter(cells)
    return {kind: Fraction(number, len(cells)) for kind, number in seen.items()}


@pytest.mark.parametrize(("mother", "father", "affected"), EVERY)
def test_every_cross_against_its_own_cells(mother, father, affected):
    square = punnett(mother, father, affected)
    eggs, sperm = mother.split(), father.split()
    assert (square.rows, square.columns) == (tuple(eggs), tuple(sperm))
    for i, egg in enumerate(eggs):
        assert square.cells[i] == (" ".join(sorted([egg, sperm[0]])), f"{egg} Y")
    for column, child in enumerate(("daughters", "sons")):
        brood = square.broods[child]
        given = {kind: share for kind, share in brood.genotypes.items() if share}
        assert given == counted([row[column] for row in square.cells])
        dominant = sum(share for kind, share in given.items() if "A" in kind)
        assert brood.phenotypes == {"dominant": dominant, "recessive": 1 - dominant}
        assert brood.affected == brood.phenotypes[affected]


@pytest.mark.parametrize(("mother", "father", "affected"), EVERY)
def test_every_cross_against_a_family_solved(mother, father, affected):
    disease = "a" if affected == "recessive" else "A"
    condition = Condition(f"x_linked_{affected}", Frequency(allele="rare"))
    people = (
        Person("I-1", "male", genotype=father.count(f"^{disease}")),
        Person("I-2", "female", genotype=mother.count(f"^{disease}")),
    )
    pair = ("I-1", "I-2")
    case = Case(
        condition,
        people,
        questions=(
            Question("child_affected", parents=pair, sex="female"),
            Question("child_affected", parents=pair, sex="male"),
            Question("child_carrier", parents=pair, sex="female"),
        ),
    )
    daughters, sons, carriers = (answer.probability.exact for answer in actions.solve(case).answers)
    broods = punnett(mother, father, affected).broods
    assert (broods["daughters"].affected, broods["sons"].affected) == (daughters, sons)
    assert broods["daughters"].genotypes["X^A X^a"] == carriers
    assert broods["daughters"].carriers == (carriers if affected == "recessive" else 0)


def test_a_carrier_and_a_healthy_man():
    # Common practice: no daughter affected, half of them carriers, half of the sons affected.
    daughters, sons = punnett("XAXa", "XAY").broods.values()
    half = Fraction(1, 2)
    assert (daughters.affected, daughters.carriers) == (0, half)
    assert (sons.affected, sons.carriers) == (half, 0)


def test_an_affected_man_passes_a_dominant_trait_to_daughters_only():
    daughters, sons = punnett("XdXd", "XDY", "dominant").broods.values()
    assert (daughters.affected, sons.affected) == (1, 0)


def test_reciprocal_crosses_differ():
    # Common practice (white eyes in flies): of red females and white males all F1 are red, and
    # in F2 white eyes are seen in half of the males; the other way round F1 males are white
    # already ("criss-cross"), and in F2 half of either sex.
    crossed = cross("XAXA", "XaY", then="F2")
    square, other = crossed.reciprocal
    assert (square.mother, square.father) == ("X^a X^a", "X^A Y")

    def affected(generations):
        return [[each.affected for each in g.broods.values()] for g in generations]

    half = Fraction(1, 2)
    assert affected(crossed.generations) == [[0, 0], [0, half]]
    assert affected(other) == [[0, 1], [half, half]]
    assert cross("XaXa", "XAY", then="F2").generations == other
    assert cross("XAXa", "XAY", then="F2").reciprocal is None
    assert cross("XAXA", "XAY", then="F2").reciprocal is None


@pytest.mark.parametrize(("mother", "father"), list(product(WOMEN, MEN)))
def test_f2_and_back_crosses_against_counting(mother, father):
    def children(women, men):
        """Daughters and sons of all pairs of these, all equally likely."""
        pairs = [(w.split(), m.split()) for w, m in product(women, men)]
        daughters = [" ".join(sorted([egg, m[0]])) for w, m in pairs for egg in w]
        return daughters, [f"{egg} Y" for w, m in pairs for egg in w]

    def given(generation):
        broods = generation.broods.values()
        return [{k: s for k, s in each.genotypes.items() if s} for each in broods]

    first = children([mother], [father])
    f2 = cross(mother, father, then="F2").generations
    assert given(f2[0]) == list(map(counted, first))
    assert given(f2[1]) == list(map(counted, children(*first)))
    for woman in WOMEN:
        once = children([woman], first[1])
        found = cross(mother, father, then=f"backcross:{woman}:2").generations
        assert given(found[1]) == list(map(counted, once))
        assert given(found[2]) == list(map(counted, children([woman], once[1])))
    for man in MEN:
        once = children(first[0], [man])
        found = cross(mother, father, then=f"backcross:{man}:2").generations
        assert given(found[1]) == list(map(counted, once))
        assert given(found[2]) == list(map(counted, children(once[0], [man])))


def test_sib_mating_against_the_three_x_of_p_told_apart():
    pairs = {((0, 1), 2): Fraction(1)}
    letters = "AAa"
    for generation in cross("XAXA", "XaY", then="sibs:5").generations:
        daughters, alike = Counter(), Fraction(0)
        following = Counter()
        for (woman, man), weight in pairs.items():
            for egg, other in product(woman, woman):
                daughters[tuple(sorted((letters[egg], letters[man])))] += weight / 4
                alike += weight / 4 * (egg == man)
                following[(egg, man), other] += weight / 4
        found = generation.broods["daughters"].genotypes
        for (one, two), share in daughters.items():
            assert found[f"X^{one} X^{two}"] == share
        assert generation.inbreeding == alike
        pairs = following


def test_chi_square_of_the_first_count_of_white_eyes():
    # Morgan 1910 (from memory): F2 of a white male 2,459 red females, 1,011 red and 782 white
    # males.  By hand: expected 2126, 1063 and 1063 of 4,252.
    fit = cross("XAXA", "XaY", then="F2", observed="2459:0:1011:782").fit
    by_hand = 333**2 / 2126 + 52**2 / 1063 + 281**2 / 1063
    assert fit.chi_square == pytest.approx(by_hand)
    assert fit.degrees_of_freedom == 2
    # With two degrees of freedom the tail is exp(-chi-square / 2).
    assert fit.p == pytest.approx(2.718281828459045 ** (-by_hand / 2))
    assert not fit.small


def test_counts_that_cannot_be_and_small_ones():
    square = punnett("XAXa", "XAY")

    def fit(counts):
        return goodness_of_fit(square, read_counts(counts, "observed", CHILDREN[True]))

    with pytest.raises(ImpossibleEvidence, match=r"recessive daughters were counted \(2\)"):
        fit("1:2:3:4")
    assert fit("9:0:5:5").small
    with pytest.raises(InputError, match="counts no offspring"):
        fit("0:0:0:0")


def test_offspring_drawn():
    drawn = cross("XAXa", "XAY", offspring=4000, seed=3).simulation
    assert drawn.genotypes["X^a X^a"] == 0
    assert sum(drawn.genotypes.values()) == 4000
    assert drawn.phenotypes["recessive"] == drawn.genotypes["X^a Y"]
    # Each of four kinds has mean 1000 and standard deviation 27.
    for kind in ("X^A X^A", "X^A X^a", "X^A Y", "X^a Y"):
        assert abs(drawn.genotypes[kind] - 1000) < 5 * 28
        assert drawn.expected[kind] == 1000


@pytest.mark.parametrize(
    ("words", "paths"),
    [
        (("Aa", "XAY"), ["mother"]),
        (("XAXa", "XAXa"), ["father"]),
        (("XAXb", "X"), ["mother", "father"]),
        (("XAXa", "XBY"), ["father"]),
        (("XXXx", "XXY"), ["mother", "father"]),
    ],
)
def test_what_is_not_such_a_cross_is_named(words, paths):
    with pytest.raises(InputError) as caught:
        cross(*words, then="selfing:3", observed="3:1")
    assert [each.path for each in caught.value.problems] == [*paths, "then", "observed"]


def test_what_is_meant_as_a_gene_on_the_x():
    assert all(map(written_on_x, ["XAXa", "X^A X^a", "XAY", "X^aY", " XbXb ", "XY"]))
    assert not any(map(written_on_x, ["AA", "Xx", "XX", "xx", "AaBb", "Yy", ""]))
