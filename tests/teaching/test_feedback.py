"""What is said of an answer where more than one thing could be."""

import json
from fractions import Fraction as F

from risk import actions
from risk.case.read import read_case
from tests.teaching.slip_cases import ILL, SIBS, WELL, by_brute_force, family, one


def test_a_rounded_answer_that_is_exactly_a_slip_is_said_to_be_one():
    # 1/150; whoever forgets that Tova is well comes to 1/100.
    sister = actions.example("healthy-sister")
    for answer in ("0.01", "1%"):
        got = actions.mark(sister, answer, 1)
        assert (got.verdict, got.slips) == ("rounded", ())
        assert "also exactly the answer of whoever forgot that someone asked about" in got.feedback
        assert "one digit more" in got.feedback
    for answer in ("0.007", "0.67%"):
        assert "whoever" not in actions.mark(sister, answer, 1).feedback


def test_digits_cut_off_are_said_to_be_that_before_a_slip():
    people = [*SIBS, one("m3", **WELL), one("f3", ("m3", "f2"), **WELL), one("m4", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m4", "f3"]}
    plain = family("autosomal_recessive", {"incidence": "1/2500"}, people, ask)
    assert 0.003350 < by_brute_force(plain) < 0.003359  # 0.34%, and 0.33% cut off
    got = actions.mark(read_case(json.dumps(plain)), "0.33%")
    assert (got.verdict, got.slips, got.parting) == ("wrong", (), None)
    assert got.feedback.startswith("Not quite: these are the first digits of the answer, cut off")
    # Two digits are near to several slips, and to none as likely as that.
    assert "The same number comes to whoever did not divide by the sum" in got.feedback
    assert "This is" not in got.feedback


def test_of_two_digits_cut_off_no_slip_is_explained():
    for name, number, answer in (
        ("negative-test", 0, "0.16"),  # 1/6
        ("island-family", 1, "0.12"),
        ("late-onset", 2, "0.07"),
    ):
        got = actions.mark(actions.example(name), answer, number)
        assert got.feedback.startswith("Not quite: these are the first digits"), name
        assert "Or:" not in got.feedback


def test_no_chance_of_another_child_is_left_without_mosaicism_and_with_rare_mutation():
    # Both parents are well, and the allele is in a share of the gametes of one, if at all.
    got = actions.mark(actions.example("germline-mosaic"), "0")
    assert (got.verdict, got.slips) == ("slip", ("mosaicism_forgotten",))
    # By hand, without mutation: 2 x 1/100 x 99/100 pairs with one mosaic and 1/10000 with two show
    # an affected child with 1/4 and 7/16; frequency rare or 0.
    people = [one("m1", **WELL), one("f1", **WELL), one("f2", ("m1", "f1"), **ILL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    mosaic = {"prior": "1/100", "gametes": "1/4"}
    for allele in ("rare", 0):
        plain = family(
            "autosomal_dominant", {"allele": allele}, people, ask, germline_mosaicism=mosaic
        )
        got = actions.mark(read_case(json.dumps(plain)), "0")
        assert got.true == ((198 * F(1, 4) ** 2 + F(7, 16) ** 2) / (198 * F(1, 4) + F(7, 16)),)
        assert got.slips == ("mosaicism_forgotten",)


def test_only_who_has_no_affected_sibling_is_said_to_have_none():
    people = [*SIBS, one("m3", **WELL), one("f3", ("m3", "f2"), **WELL)]
    ask = {"ask": "both_carriers", "people": ["f3", "f2"]}
    plain = family("autosomal_recessive", {"incidence": "1/2500"}, people, ask)
    got = actions.mark(read_case(json.dumps(plain)), "4/9")
    assert got.slips == ("two_thirds",)
    assert "Here no brother or sister of f3 is known to be" in got.feedback


def test_the_answer_to_another_question_is_said_to_be_that():
    sister = actions.example("healthy-sister")
    got = actions.mark(sister, "2/3", 1)
    assert (got.verdict, got.slips) == ("wrong", ())
    assert got.feedback.startswith("Not right: this answers another question.")
    assert "Tova" in got.feedback
    assert "carrier" in got.feedback
    assert "another question" not in actions.mark(sister, "3/5", 1).feedback
    # 2/3 rounded to two digits is the answer to it, too; one digit leaves too much open.
    assert "another question" in actions.mark(sister, "67%", 1).feedback
    assert "another question" not in actions.mark(sister, "0.7", 1).feedback
