"""The tables of genetics against the laws they state; sources beside each."""

from fractions import Fraction as F

import pytest

from risk.case.model import (
    ByAlleles,
    BySex,
    Condition,
    Frequency,
    Mosaicism,
    Mutation,
    OnsetPoint,
    SelectionBalance,
)
from risk.case.model import (
    Test as Assay,
)
from risk.case.model import (
    TestResult as Result,
)
from risk.genetics import assays, founders, penetrance, transmission
from risk.genetics.genotypes import Genotype, genotypes
from risk.inference.arithmetic import Term
from risk.number import quantity as q

ONE = (F(1),)


def condition(mode="autosomal_recessive", **keys):
    frequency = keys.pop("frequency", Frequency(allele=q("1/10")))
    return Condition(mode, frequency, **keys)


def founder(given, copies=2, inbreeding=F(0), shares=ONE):
    mosaics = given.germline_mosaicism is not None
    listed = genotypes(len(shares), copies, mosaics)
    return dict(
        zip(listed, founders.founder_distribution(given, listed, shares, inbreeding), strict=True)
    )


def test_hardy_weinberg():
    # p^2, 2pq, q^2 (common practice).
    assert list(founder(condition()).values()) == [F(81, 100), F(18, 100), F(1, 100)]


def test_relatives_who_share_one_copy_by_descent():
    # q = 1/10, with 1/4 shared: both carriers with 1/4 x q(1 - q) + 3/4 x (2q(1 - q))^2, for the
    # shared copy is the allele (q) and both others are not, or the other way round.
    found = founders.counts_of_relatives(condition(), F(1, 4), F(0))
    assert found[1, 1] == F(1, 4) * F(9, 100) + F(3, 4) * F(18, 100) ** 2
    assert found[1, 2] == found[2, 1] == F(1, 4) * F(9, 1000) + F(3, 4) * F(18, 10000)
    assert found[2, 2] == F(1, 4) * F(1, 1000) + F(3, 4) * F(1, 10000)
    each = [sum(found[one, two] for two in range(3)) for one in range(3)]
    assert each == [F(81, 100), F(18, 100), F(1, 100)]


def test_siblings_share_both_copies_with_a_quarter():
    # q = 1/10: by the parents, two carriers with 4p^2q^2, of whom 1/4 of pairs are two carriers;
    # a carrier and one without with 4p^3q, 1/4; with 2 x 2pq^3 a carrier and one with two, 1/4;
    # and with 2p^2q^2 one with none and one with two, all.
    found = founders.counts_of_relatives(condition(), F(1, 2), F(1, 4))
    p, q = F(9, 10), F(1, 10)
    both = (4 * p**2 * q**2 + 4 * p**3 * q + 4 * p * q**3) / 4 + 2 * p**2 * q**2
    assert found[1, 1] == both
    assert sum(found.values()) == 1


def test_inbreeding_makes_homozygotes():
    # q^2 + Fq(1-q) (common practice).
    chances = list(founder(condition(), inbreeding=F(1, 16)).values())
    assert chances[2] == F(1, 100) + F(1, 16) * F(9, 100)
    assert sum(chances) == 1


def test_two_alleles_by_descent_are_of_one_class():
    shares = (F(3, 4), F(1, 4))
    chances = founder(condition(), inbreeding=F(1), shares=shares)
    assert chances[Genotype((1, 2))] == 0
    assert chances[Genotype((1, 1))] == F(1, 10) * F(3, 4)
    assert sum(chances.values()) == 1


@pytest.mark.parametrize(
    ("mode", "frequency", "wanted"),
    [
        ("autosomal_recessive", Frequency(carrier=q("1/25")), F(1, 49)),
        ("autosomal_recessive", Frequency(incidence=q("1/10000")), F(1, 100)),
        ("autosomal_dominant", Frequency(incidence=q("19/100")), F(1, 10)),
        ("x_linked_recessive", Frequency(incidence=q("1/5000")), F(1, 5000)),
    ],
)
def test_allele_frequency_from_each_form(mode, frequency, wanted):
    # q = c/(2-c), sqrt(incidence), 1 - sqrt(1 - incidence), incidence in males.
    assert founders.allele_frequency(condition(mode, frequency=frequency)) == wanted


def test_an_irrational_root_is_a_float():
    value = founders.allele_frequency(condition(frequency=Frequency(incidence=q("1/50"))))
    assert isinstance(value, float)
    assert value == pytest.approx(0.02**0.5, abs=1e-16)


def test_balance_of_new_mutation_and_selection_on_the_x():
    # Haldane 1935: a third of cases of a lethal condition are new, so a carrier mother is twice
    # as likely as a new mutation: carriers 4u where u = v and fitness 0 (from memory).
    balance = Frequency(mutation_selection_balance=SelectionBalance(q("0")))
    given = condition(
        "x_linked_recessive", frequency=balance, mutation=Mutation(q("1e-5"), q("1e-5"))
    )
    assert list(founder(given).values()) == [1 - F(4, 100_000), F(4, 100_000), 0]
    assert list(founder(given, copies=1).values()) == [1 - F(3, 100_000), F(3, 100_000)]


def test_the_rare_limit_is_a_leading_term():
    chances = list(founder(condition(frequency=Frequency(allele="rare"))).values())
    assert chances == [1, Term(1, 2), Term(2, 1)]


def test_germline_mosaics_come_out_of_those_without_the_allele():
    given = condition(germline_mosaicism=Mosaicism(q("1/5"), q("1/3")))
    chances = founder(given)
    assert chances[Genotype((0, 0), mosaic=1)] == F(81, 100) / 5
    assert chances[Genotype((0, 0))] == F(81, 100) * F(4, 5)
    assert sum(chances.values()) == 1


def test_gametes_of_every_genotype_sum_to_one():
    for parent in genotypes(2, 2, mosaics=True):
        gametes = transmission.gamete_distribution(parent, F(1, 7), (F(2, 3), F(1, 3)), F(1, 5))
        assert sum(gametes) == 1


def test_a_mosaic_passes_its_own_class_and_mutation_comes_on_top():
    mosaic = Genotype((0, 0), mosaic=2)
    gametes = transmission.gamete_distribution(mosaic, F(1, 10), (F(1, 2), F(1, 2)), F(1, 5))
    assert gametes == [F(4, 5) * F(9, 10), F(4, 5) * F(1, 20), F(1, 5) + F(4, 5) * F(1, 20)]


def test_mendel():
    # 1:2:1 from two carriers (common practice).
    listed = genotypes(1, 2, mosaics=False)
    half = transmission.gamete_distribution(Genotype((0, 1)), F(0), ONE, F(0))
    chances = transmission.child_distribution(listed, half, half)
    assert chances == [F(1, 4), F(1, 2), F(1, 4)]


ONSET = (OnsetPoint(q("30"), q("0.05")), OnsetPoint(q("70"), q("1")))


@pytest.mark.parametrize(
    ("age", "share"), [(0, F(0)), (15, F(1, 40)), (30, F(1, 20)), (50, F(21, 40)), (90, F(1))]
)
def test_onset_is_linear_between_points_and_flat_after(age, share):
    assert penetrance.share_by_age(ONSET, F(age)) == share


def test_an_unaffected_person_has_escaped_so_far():
    given = condition("autosomal_dominant", onset=ONSET)
    assert penetrance.phenotype_likelihood(given, "female", False, F(50)) == (
        1,
        F(19, 40),
        F(19, 40),
    )
    assert penetrance.phenotype_likelihood(given, "female", True, F(50)) == (0, 1, 1)


def test_one_allele_is_enough_for_a_male_on_the_x():
    given = condition("x_linked_recessive")
    assert penetrance.lifetime_penetrance(given, "male") == (0, 1, 1)
    assert penetrance.lifetime_penetrance(given, "female") == (0, 0, 1)


def test_live_birth_of_unknown_sex_is_the_mean_of_both():
    table = BySex(ByAlleles(q("1"), q("1"), q("1")), ByAlleles(q("1"), q("0"), q("1/2")))
    given = condition(viability=table)
    assert penetrance.live_birth(given, "unknown") == (1, F(1, 2), F(3, 4))
    assert penetrance.viability_matters(given)
    assert penetrance.live_birth(condition(), "male") == (1, 1, 1)


def test_a_detecting_test_counts_the_classes_it_sees():
    test = Assay("panel", detects=("common",))
    listed = genotypes(2, 2, mosaics=False)
    chances = assays.result_likelihood(test, Result("panel", found=1), listed, ("common", "other"))
    seen = {genotype.alleles for genotype, chance in zip(listed, chances, strict=True) if chance}
    assert seen == {(0, 1), (1, 2)}


def test_sensitivity_is_of_carriers_and_specificity_of_the_rest():
    test = Assay("strip", sensitivity=q("9/10"), specificity=q("99/100"))
    listed = genotypes(1, 2, mosaics=False)
    negative = assays.result_likelihood(test, Result("strip", result="negative"), listed, ())
    assert negative == (F(99, 100), F(1, 10), F(1, 10))
