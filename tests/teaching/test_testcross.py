"""The test cross against the binomial formula and the working it shows."""

from fractions import Fraction
from math import comb

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from risk.problems import ImpossibleEvidence, InputError
from risk.teaching.cross import punnett
from risk.teaching.testcross import Observed, infer_parent, offspring_in_words, read_test

CHANCES = st.fractions(0, 1, max_denominator=1000)


def test_eight_dominant_offspring():
    # By hand: 1/2 * (1/2)^8 against 1/2 * 1 is 1 : 256.
    chances = infer_parent(Observed(8, 0))
    assert (chances.heterozygous, chances.homozygous_dominant) == (
        Fraction(1, 257),
        Fraction(256, 257),
    )
    assert chances.step.rows[1].text == "eight dominant offspring and no recessive one"


@given(st.integers(0, 40), st.integers(0, 40), CHANCES)
def test_against_the_binomial_formula(dominant, recessive, prior):
    assume(prior or not recessive)
    n = dominant + recessive
    unsure = prior * comb(n, dominant) * Fraction(1, 2) ** n
    sure = (1 - prior) * (recessive == 0)
    chances = infer_parent(Observed(dominant, recessive), prior)
    assert chances.heterozygous == unsure / (unsure + sure)
    assert chances.heterozygous + chances.homozygous_dominant == 1


@given(st.integers(0, 30), st.integers(0, 30), CHANCES)
def test_the_working_is_true_after_every_row(dominant, recessive, prior):
    assume(prior or not recessive)
    step = infer_parent(Observed(dominant, recessive), prior).step
    assert step.hypotheses == ({"parent": 1}, {"parent": 0})
    assert step.rows[0].kind == "prior"
    assert step.rows[0].values == (prior, 1 - prior)
    prior_row, offspring_row = (row.values for row in step.rows)
    products = [a * b for a, b in zip(prior_row, offspring_row, strict=True)]
    assert tuple(products) == step.joint
    assert tuple(value / sum(products) for value in products) == step.posterior
    assert sum(step.joint) == step.total


@given(st.integers(0, 20), st.integers(0, 20), st.integers(0, 20))
def test_seeing_offspring_in_two_lots_is_seeing_them_at_once(first, second, recessive):
    once = infer_parent(Observed(first + second, recessive), Fraction(2, 3))
    before = infer_parent(Observed(first, recessive), Fraction(2, 3)).heterozygous
    assert infer_parent(Observed(second, 0), before).heterozygous == once.heterozygous


def test_one_recessive_offspring_makes_it_certain():
    chances = infer_parent(Observed(30, 1), Fraction(1, 1000))
    assert chances.heterozygous == 1
    assert chances.conclusion == "The parent is heterozygous for certain."


def test_no_offspring_leave_the_prior():
    assert infer_parent(Observed(0, 0), Fraction(2, 3)).heterozygous == Fraction(2, 3)


def test_recessive_offspring_of_a_parent_that_is_surely_homozygous():
    with pytest.raises(ImpossibleEvidence) as caught:
        infer_parent(Observed(8, 1), Fraction(0))
    assert caught.value.conflict == ("prior", "test")
    assert infer_parent(Observed(8, 0), Fraction(0)).heterozygous == 0
    assert infer_parent(Observed(8, 0), Fraction(1)).heterozygous == 1


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ((8, 0), "eight dominant offspring and no recessive one"),
        ((1, 0), "one dominant offspring and no recessive one"),
        ((0, 3), "three recessive offspring and no dominant one"),
        ((5, 21), "five dominant and 21 recessive offspring"),
        ((0, 0), "no offspring yet"),
    ],
)
def test_offspring_in_words(counts, words):
    assert offspring_in_words(Observed(*counts)) == words


@pytest.mark.parametrize(
    ("observed", "prior", "paths"),
    [
        ("8", "1/2", ["test"]),
        ("8:0:1", "1/2", ["test"]),
        ("-8:0", "1/2", ["test"]),
        ("8:0", "a half", ["prior"]),
        ("eight", "1/0", ["test", "prior"]),
        ("9" * 40 + ":0", "1/2", ["test"]),
    ],
)
def test_what_cannot_be_read_is_named(observed, prior, paths):
    with pytest.raises(InputError) as caught:
        read_test(observed, prior)
    assert [problem.path for problem in caught.value.problems] == paths


def test_priors_outside_0_to_1_and_too_many_offspring():
    with pytest.raises(InputError) as caught:
        infer_parent(Observed(1001, 0), Fraction(3, 2))
    assert [problem.path for problem in caught.value.problems] == ["test", "prior"]
    assert infer_parent(*read_test("1000:0", "50%")).heterozygous == Fraction(1, 2**1000 + 1)


def test_a_mixed_brood_is_counted_in_one_order_and_says_so():
    # (1/2)^8 is the chance of seven and one in one order; all eight orders have 8/256.
    chances = infer_parent(Observed(7, 1))
    row = chances.step.rows[1]
    assert row.text == "seven dominant and one recessive offspring, in one order"
    assert row.values == (Fraction(1, 256), 0)
    assert "divides out" in chances.step.text


def test_dominant_offspring_make_a_certain_parent_no_less_likely():
    unsure = infer_parent(Observed(8, 0)).step.text
    assert "makes the heterozygote less likely" in unsure
    for prior in (0, 1):
        text = infer_parent(Observed(8, 0), Fraction(prior)).step.text
        assert "less likely" not in text
        assert text.endswith("The prior is certain, so no number of offspring changes it.")


@pytest.mark.parametrize("offspring", [Observed(8, 0), Observed(3, 1), Observed(0, 2)])
def test_a_mother_on_the_x_is_found_out_as_any_parent_is(offspring):
    on_x = infer_parent(offspring, on_x=True)
    assert on_x.heterozygous == infer_parent(offspring).heterozygous
    assert on_x.kinds == ("X^A X^a", "X^A X^A")
    assert "mother" in on_x.step.text
    # Of a father with the recessive trait daughters tell what sons do.
    for mother in on_x.kinds:
        broods = punnett(mother, "X^a Y").broods
        assert broods["daughters"].phenotypes == broods["sons"].phenotypes
