"""Slips about relatives: parents who are related, and a healthy sibling's child."""

import json
from fractions import Fraction as F

import pytest

from risk import actions
from risk.case.read import read_case
from tests.teaching.slip_cases import ILL, WELL, family, one


def mark(plain, answer):
    return actions.mark(read_case(json.dumps(plain)), answer)


def cousins(ask, frequency=None, **more):
    """Two first cousins, m4 and f4, of whom nothing is known."""
    people = [one("m1"), one("f1"), one("m2", ("m1", "f1")), one("f3", ("m1", "f1"))]
    people += [one("f2"), one("m3"), one("m4", ("m2", "f2")), one("f4", ("m3", "f3"))]
    return family("autosomal_recessive", frequency or {"allele": "1/100"}, people, ask, **more)


CHILD = {"ask": "child_affected", "parents": ["m4", "f4"]}


def test_cousins_taken_for_unrelated_and_descent_counted_alone():
    # F = 1/16: q^2 (1 - F) + q F = 23/32000.
    assert mark(cousins(CHILD), "23/32000").verdict == "right"
    apart = mark(cousins(CHILD), "1/10000")  # q^2
    assert apart.slips == ("kinship_ignored",)
    assert "takes m4 and f4 for unrelated" in apart.feedback
    assert "Both descend from m1 and f1" in apart.feedback
    descent = mark(cousins(CHILD), "1/1600")  # q F
    assert descent.slips == ("only_by_descent",)
    assert "This is F × q" in descent.feedback
    # Both carry: (2pq)^2 of two strangers.
    both = cousins({"ask": "both_carriers", "people": ["m4", "f4"]})
    assert mark(both, str(F(198, 10000) ** 2)).slips == ("kinship_ignored",)


def test_whoever_descends_from_the_other_is_said_to():
    people = [one("m1"), one("f1"), one("f2", ("m1", "f1"))]
    ask = {"ask": "child_affected", "parents": ["m1", "f2"]}
    plain = family("autosomal_recessive", {"allele": "1/100"}, people, ask)
    text = mark(plain, "1/10000").feedback
    assert "takes m1 and f2 for unrelated" in text
    assert "One descends from the other, m1" in text


def test_the_advice_to_relatives_is_not_to_multiply():
    text = mark(cousins(CHILD), "1/7").feedback
    assert "m4 and f4 are related, so that their chances cannot be multiplied" in text
    assert "a share F" in text
    assert "and multiply" not in text
    # Known genotypes leave nothing for the kinship to say.
    known = cousins(CHILD)
    for person in known["people"][-2:]:
        person["genotype"] = 1
    assert "related" not in mark(known, "1/7").feedback


def test_a_common_child_does_not_make_relatives_of_those_who_are_independent():
    """Cousins whose grandparents are both carriers for certain, and their healthy child.

    By hand: each carries with 2/3 x 1/2 = 1/3, whatever the other has.  Of the pairs of carriers,
    1/9, the child leaves 3/4: 1/12 of 35/36, and a next child is affected with 3/35 x 1/4.
    """
    people = [one("m1"), one("f1"), one("m9", ("m1", "f1"), **ILL)]
    people += [one("m2", ("m1", "f1"), **WELL), one("f3", ("m1", "f1"), **WELL)]
    people += [one("f2"), one("m3"), one("m4", ("m2", "f2")), one("f4", ("m3", "f3"))]
    people.append(one("f5", ("m4", "f4"), **WELL))
    rare = family("autosomal_recessive", {"allele": "rare"}, people, CHILD)
    assert mark(rare, "3/140").verdict == "right"
    assert "related" not in mark(rare, "1/9").feedback
    names = {slip.name for slip in actions.slips(read_case(json.dumps(rare)))}
    assert "kinship_ignored" not in names
    # The child of cousins who are not independent leaves them that.
    people[2] = one("m9", ("m1", "f1"))
    known = family("autosomal_recessive", {"allele": "1/100"}, people, CHILD)
    assert "related" in mark(known, "1/9").feedback


def test_descent_alone_is_named_where_relatives_are_well_however_it_is_written():
    plain = cousins(CHILD)
    for place in (2, 3, 6, 7):
        plain["people"][place] |= WELL
    for answer in ("1/1600", "0.000625", "1 in 1600", "0.0625%"):
        got = mark(plain, answer)
        assert got.verdict == "slip", answer
        assert "only_by_descent" in got.slips, answer
        assert got.feedback.startswith("This is F × q"), answer
    assert "that some are known to be well counts" in mark(plain, "1/1600").feedback
    # Of those who are well another share has copies by descent than of all.
    assert "a share F" not in mark(plain, "1/7").feedback


def test_no_kinship_is_ignored_among_strangers():
    people = [one("m1"), one("f1")]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    plain = family("autosomal_recessive", {"allele": "1/100"}, people, ask)
    assert not {slip.name for slip in actions.slips(read_case(json.dumps(plain)))} & {
        "kinship_ignored",
        "only_by_descent",
    }


@pytest.mark.parametrize("grandparents", [{}, WELL])
def test_half_of_two_thirds_of_a_healthy_siblings_child(grandparents):
    people = [one("m1", **grandparents), one("f1", **grandparents)]
    people += [one("m2", ("m1", "f1"), **ILL), one("f2", ("m1", "f1"), **WELL), one("m3", **WELL)]
    people.append(one("m4", ("m3", "f2"), **WELL))
    ask = {"ask": "carrier", "person": "m4"}
    got = mark(family("autosomal_recessive", {"carrier": "1/5"}, people, ask), "1/3")
    # Where the grandparents are well, it is that m3 may carry, and nothing else, that is left out.
    assert got.slips == (("married_in_ignored",) if grandparents else ("half_of_two_thirds",))
    if not grandparents:
        assert "half of the 2/3 of a healthy child of two carriers, which f2 is" in got.feedback


def onset(by_age=None, **more):
    """The child of an affected father, well at 50, when 7/10 of those affected ever are."""
    curve = [{"age": 40, "cumulative": "1/2"}, {"age": 60, "cumulative": "9/10"}]
    people = [one("m1", **ILL), one("f1"), one("f2", ("m1", "f1"), **WELL, age=50)]
    ask = {"ask": "will_be_affected", "person": "f2", **({"by_age": by_age} if by_age else {})}
    curve.append({"age": 80, "cumulative": 1})
    return family("autosomal_dominant", {"allele": "rare"}, people, ask, onset=curve, **more)


def test_the_share_of_all_for_that_of_those_still_well():
    # 1/2 x 3/10 to 1/2, which is 3/13, of whom (9/10 - 7/10) / (3/10) = 2/3 are affected by 60.
    got = mark(onset(by_age=60), "2/13")
    assert got.verdict == "right"
    got = mark(onset(by_age=60), "27/130")  # 3/13 x 9/10
    assert got.slips == ("onset_from_birth",)
    assert "affected by 60. f2 is well at 50, and so none of those affected before" in got.feedback
    # Ever: 4/5 penetrance leaves 1/2 x (1 - 4/5 x 7/10) = 11/50 to 1/2, which is 11/36.
    ever = onset(penetrance={"0": 0, "1": "4/5", "2": "4/5"})
    got = mark(ever, "11/45")  # 11/36 x 4/5
    assert got.slips == ("onset_from_birth",)
    assert "who are affected ever." in got.feedback
