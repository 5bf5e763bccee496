"""Drawn and counted offspring against binomial sums, published counts and the normal tail."""

import math
from fractions import Fraction
from itertools import accumulate, product
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.problems import ImpossibleEvidence, InputError
from risk.teaching.counts import (
    chance_bands,
    chance_of_leaving,
    goodness_of_fit,
    read_counts,
    simulate,
)
from risk.teaching.cross import punnett
from risk.teaching.crossing import cross
from risk.teaching.gene import CHILDREN

F2 = punnett("Aa", "Aa")
TEST = punnett("Aa", "aa")


def read(text):
    return read_counts(text, "observed", CHILDREN[False])


def fit_of(square, dominant, recessive):
    return goodness_of_fit(square, read(f"{dominant}:{recessive}"))


# Mendel, Experiments on plant hybrids (1866), F2 of seven single crosses, dominant to recessive,
# and the chi-square against 3:1 that textbooks tabulate (both cited from memory): round or
# wrinkled seed, yellow or green seed, coloured or white flowers, inflated or constricted pods,
# green or yellow pods, axial or terminal flowers, long or short stems.
MENDEL = [
    ("5474:1850", 0.26),
    ("6022:2001", 0.01),
    ("705:224", 0.39),
    ("882:299", 0.06),
    ("428:152", 0.45),
    ("651:207", 0.35),
    ("787:277", 0.61),
]


@pytest.mark.parametrize(("counts", "published"), MENDEL)
def test_mendels_peas_fit_three_to_one(counts, published):
    fit = cross("AA", "aa", then="F2", observed=counts).fit
    # The table cuts or rounds to two places: 0.0150 stands as 0.01 or 0.02.
    assert fit.chi_square == pytest.approx(published, abs=0.0055)
    assert fit.degrees_of_freedom == 1
    assert fit.p > 0.4
    assert not fit.small
    assert fit.exact_p is None


@given(st.integers(0, 2000), st.integers(0, 2000), st.sampled_from([F2, TEST]))
def test_chi_square_by_hand_and_by_the_normal_tail(dominant, recessive, shares):
    n = dominant + recessive
    if not n:
        return
    p = shares.genotypes["AA"] + shares.genotypes["Aa"]
    fit = fit_of(shares, dominant, recessive)
    exact = (dominant - n * p) ** 2 / (n * p) + (recessive - n * (1 - p)) ** 2 / (n * (1 - p))
    assert fit.chi_square == pytest.approx(float(exact), rel=1e-12, abs=1e-12)
    assert sum(fit.parts.values()) == exact
    # With one degree of freedom chi-square is the square of a standard normal value.
    assert fit.p == pytest.approx(math.erfc(math.sqrt(exact / 2)), rel=1e-9, abs=1e-300)
    assert fit.small == (min(n * p, n * (1 - p)) < 5)


def test_five_expected_are_enough():
    assert not fit_of(F2, 16, 4).small  # 15 and 5 expected
    assert fit_of(F2, 16, 3).small


def test_critical_value_of_every_table():
    # Common practice: 3.841 is the 5% point of chi-square with one degree of freedom.  Of 1,200
    # expected 900:300, a deviation of 29.4 gives it: d^2 (1/900 + 1/300) = 3.841.
    deviation = math.sqrt(3.841 / (1 / 900 + 1 / 300))
    below, above = math.floor(deviation), math.ceil(deviation)
    assert fit_of(F2, 900 + below, 300 - below).p > 0.05
    assert fit_of(F2, 900 + above, 300 - above).p < 0.05


@given(st.integers(1, 19), st.data())
def test_small_counts_get_the_exact_binomial_test(n, data):
    dominant = data.draw(st.integers(0, n))
    fit = fit_of(F2, dominant, n - dominant)
    assert fit.small  # fewer than 20 offspring: fewer than five recessive ones expected
    chances = [comb(n, k) * 3**k for k in range(n + 1)]  # in units of 4^-n
    # Two-sided: every count that is no likelier than the one seen.
    p = Fraction(sum(c for c in chances if c <= chances[dominant]), 4**n)
    assert fit.exact_p == pytest.approx(float(p), rel=1e-9)


@pytest.mark.parametrize(
    ("mother", "father", "counts", "conflict"),
    [
        ("AA", "Aa", "10:2", ("mother", "observed")),
        ("aa", "AA", "10:2", ("father", "observed")),
        ("aa", "aa", "1:9", ("mother", "father", "observed")),
    ],
)
def test_counts_that_the_cross_cannot_give(mother, father, counts, conflict):
    with pytest.raises(ImpossibleEvidence) as caught:
        cross(mother, father, observed=counts)
    assert caught.value.conflict == conflict


def test_nothing_to_test_where_one_phenotype_is_certain():
    fit = cross("AA", "aa", observed="12:0").fit
    assert (fit.chi_square, fit.degrees_of_freedom, fit.p) == (None, 0, None)


@pytest.mark.parametrize("text", ["", "305", "305:95:1", "-3:1", "3.0:1", "a:b", "٣:١", "305/95"])
def test_counts_that_cannot_be_read(text):
    with pytest.raises(InputError) as caught:
        read(text)
    assert caught.value.problems[0].path == "observed"


def test_counts_have_a_limit_and_are_not_empty():
    with pytest.raises(InputError, match="at most"):
        read("9" * 5000 + ":1")
    with pytest.raises(InputError, match="at most"):
        read("999999:2")
    with pytest.raises(InputError, match="no offspring"):
        fit_of(F2, 0, 0)


def tail(n, p, low, high):
    """The exact chance of a count from `low` to `high`."""
    return sum(comb(n, k) * p**k * (1 - p) ** (n - k) for k in range(low, high + 1))


@given(st.integers(1, 120), st.sampled_from([Fraction(3, 4), Fraction(1, 2), Fraction(1, 4)]))
def test_the_band_is_the_central_interval_of_the_binomial(n, p):
    ((low, high),) = chance_bands(p, [n])
    side = Fraction(1, 40)
    assert tail(n, p, low, high) >= Fraction(95, 100)
    assert tail(n, p, 0, low - 1) < side <= tail(n, p, 0, low)
    assert tail(n, p, 0, high - 1) < 1 - side <= tail(n, p, 0, high)


def test_the_band_where_nothing_can_vary():
    assert chance_bands(Fraction(1), [7, 9]) == [(7, 7), (9, 9)]
    assert chance_bands(Fraction(0), [7]) == [(0, 0)]


@pytest.mark.parametrize("chance", [Fraction(3, 4), Fraction(1, 2), Fraction(1, 4), Fraction(1)])
def test_the_chance_that_a_run_leaves_the_band_against_every_run(chance):
    for n in (1, 5, 12):
        bands = chance_bands(chance, range(1, n + 1))
        leaving = Fraction(0)
        for run in product((0, 1), repeat=n):
            counts = zip(accumulate(run), bands, strict=True)
            if any(not low <= count <= high for count, (low, high) in counts):
                leaving += chance ** sum(run) * (1 - chance) ** (n - sum(run))
        assert chance_of_leaving(chance, n) == pytest.approx(float(leaving), abs=1e-12)


def test_runs_drawn_leave_the_band_as_often_as_is_said():
    bands = chance_bands(Fraction(3, 4), range(1, 61))

    def leaves(seed):
        running = simulate(F2, 60, seed).running
        counts = [point.dominant * point.offspring for point in running]
        return any(not low <= n <= high for n, (low, high) in zip(counts, bands, strict=True))

    said = simulate(F2, 60, 0).leaving
    # 600 runs: the standard deviation of their share is below 0.016.
    assert sum(map(leaves, range(600))) / 600 == pytest.approx(said, abs=0.05)
    assert simulate(F2, 20_000, 0).leaving is None


@given(st.integers(1, 600), st.integers(), st.sampled_from(["AA", "Aa", "aa"]))
def test_drawn_offspring_add_up(n, seed, father):
    square = punnett("Aa", father)
    drawn = simulate(square, n, seed)
    assert drawn == simulate(square, n, seed)
    assert sum(drawn.genotypes.values()) == sum(drawn.phenotypes.values()) == n
    assert drawn.phenotypes["recessive"] == drawn.genotypes["aa"]
    assert all(square.genotypes[kind] or not count for kind, count in drawn.genotypes.items())
    sizes = [point.offspring for point in drawn.running]
    assert sizes == sorted(set(sizes))
    assert (sizes[0], sizes[-1]) == (1, n)
    last = drawn.running[-1]
    assert last.dominant == Fraction(drawn.phenotypes["dominant"], n)
    assert (last.low, last.high) == (Fraction(drawn.low, n), Fraction(drawn.high, n))


def test_the_running_share_settles_at_three_to_one():
    shares = [
        abs(simulate(F2, 20_000, seed).running[-1].dominant - Fraction(3, 4)) for seed in range(5)
    ]
    # Five standard errors: sqrt(3/16/20000) = 0.0031.
    assert max(shares) < Fraction(16, 1000)


def test_about_95_of_100_crosses_fall_inside_the_band():
    drawn = [simulate(F2, 100, seed) for seed in range(400)]
    inside = sum(each.low <= each.phenotypes["dominant"] <= each.high for each in drawn)
    ((low, high),) = chance_bands(Fraction(3, 4), [100])
    expected = float(tail(100, Fraction(3, 4), low, high))
    assert abs(inside / 400 - expected) < 5 * math.sqrt(expected * (1 - expected) / 400)


def test_different_seeds_differ():
    assert len({simulate(F2, 100, seed).genotypes["Aa"] for seed in range(20)}) > 5


@pytest.mark.parametrize("number", [0, -1, 1_000_001])
def test_offspring_to_draw_have_limits(number):
    with pytest.raises(InputError) as caught:
        simulate(F2, number, 1)
    assert caught.value.problems[0].path == "offspring"


def test_draws_and_tests_are_of_the_last_generation():
    found = cross("AA", "aa", then="F2", offspring=1000, seed=4, observed="740:260")
    assert found.last == "F2"
    assert found.simulation.phenotypes["recessive"] > 150
    assert found.fit.expected == {
        ("offspring", "dominant"): 750,
        ("offspring", "recessive"): 250,
    }
