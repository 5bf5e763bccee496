"""What is said of an answer where more than one thing could be."""

import json
from fractions import Fraction as F

from risk import actions
from risk.case.read import read_case
from risk.document.marks import mark_blocks
from risk.render.text_blocks import blocks_to_text
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


def niece_with_a_test():
    """m4, tested negative, the child of an affected man's healthy sister and of m3.

    By hand: no copy 49/50 + 1/50 x 1/2 = 99/100 from m3 and 2/3 from f2, together 66/100; one copy
    from either 99/100 x 1/3 + 1/100 x 2/3 = 101/300, and of these the test misses 1/10: 101/3000
    to 1980/3000, which is 101/2081, 1 in 20.6.  Without m3: 1/3 x 1/10 to 2/3, which is 1/21.
    """
    people = [*SIBS, one("m3", **WELL), one("m4", ("m3", "f2"), **WELL)]
    people[-1]["tests"] = [{"test": "t", "result": "negative"}]
    tests = [{"name": "t", "sensitivity": "9/10", "specificity": 1}]
    ask = {"ask": "carrier", "person": "m4"}
    plain = family("autosomal_recessive", {"carrier": "1/50"}, people, ask, tests=tests)
    return read_case(json.dumps(plain))


def test_a_whole_number_may_be_the_right_answer_rounded_and_exactly_a_slip():
    asked = niece_with_a_test()
    assert actions.mark(asked, "101/2081").verdict == "right"
    for answer, better in (
        ("1 in 21", "then give one digit more, or a fraction."),
        ("20 to 1 against", "then give a fraction or a percentage."),
        ("1:20", "then give a fraction or a percentage."),
    ):
        got = actions.mark(asked, answer)
        assert (got.verdict, got.slips, got.unclear) == ("slip", ("married_in_ignored",), True)
        assert got.feedback.startswith("This may be the right answer rounded to a whole number")
        assert better in got.feedback
        assert "This takes m3 to carry nothing." in got.feedback
        page = blocks_to_text(mark_blocks(got, asked))
        assert "Right, rounded, or a known slip" in page
        assert "Not right" not in page
    # A fraction is meant as it stands, and these odds are not those of the answer, 19.6 to 1.
    for answer in ("1/21", "20:1", "19 to 1 against"):
        assert not actions.mark(asked, answer).unclear, answer


def test_odds_rounded_to_a_whole_number_are_said_to_be_that():
    # An unaffected founder carries with 2q/(1 + q): a child of two is affected with
    # (3/103)^2 = 9/10609 where q = 3/100, and the odds are 10600/9 = 1177.8 to 1 against it.
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    people = [one("m1", **WELL), one("f1", **WELL)]
    asked = read_case(json.dumps(family("autosomal_recessive", {"allele": "3/100"}, people, ask)))
    got = actions.mark(asked, "1178 to 1 against")
    assert (got.verdict, got.unclear) == ("wrong", False)
    assert got.feedback.startswith("Not quite: odds are taken as they stand")


def test_a_point_between_thousands_is_said_to_be_read_as_a_decimal_point():
    # A child of two founders of whom nothing is known has both alleles with 1/50 x 1/50 = 1/2500.
    ask = {"ask": "child_affected", "parents": ["m1", "f1"]}
    people = [one("m1"), one("f1")]
    asked = read_case(json.dumps(family("autosomal_recessive", {"allele": "1/50"}, people, ask)))
    for answer in ("1/2.500", "1 in 2.500"):
        got = actions.mark(asked, answer)
        assert got.verdict == "wrong"
        assert got.feedback.startswith("Not as it stands: a point before three digits")
    assert "Not as it stands" not in actions.mark(asked, "1/2.5").feedback


def test_what_leads_there_exactly_is_said_before_what_does_so_rounded():
    # By hand: 1/2 x 3/5 of the carriers and 1/2 of the others are well at 40; 3/8 are carriers,
    # and all of them will be affected.  The opposite, 5/8, is 0.6 rounded; 3/5 is exactly that.
    curve = [{"age": 20, "cumulative": 0}, {"age": 40, "cumulative": "2/5"}]
    curve.append({"age": 70, "cumulative": 1})
    people = [one("m1", **ILL), one("f1", **WELL, age=60)]
    people.append(one("m2", ("m1", "f1"), **WELL, age=40))
    for ask in ("disease_allele", "will_be_affected"):
        plain = family(
            "autosomal_dominant",
            {"allele": "rare"},
            people,
            {"ask": ask, "person": "m2"},
            onset=curve,
        )
        asked = read_case(json.dumps(plain))
        got = actions.mark(asked, "0.6")
        assert got.true == (F(3, 8),)
        assert set(got.slips) >= {"complement", "likelihood_for_posterior"}
        assert got.feedback.startswith("This takes the chance of what is seen")
        assert "Or, rounded: This is the chance of the opposite" in got.feedback
        exact = actions.mark(asked, "3/5").feedback
        assert "opposite" not in exact


def test_a_likelihood_for_a_posterior_goes_on_to_the_chance_of_being_affected():
    # 4/5 of those with the allele are ever affected, half of them by 40: 3/5 are well then, and of
    # these 2/5 / (3/5) = 2/3 will be affected.  Without the prior: 3/5 x 2/3 = 2/5.
    curve = [{"age": 20, "cumulative": 0}, {"age": 40, "cumulative": "1/2"}]
    curve.append({"age": 70, "cumulative": 1})
    people = [one("m1", **ILL), one("f1"), one("m2", ("m1", "f1"), **WELL, age=40)]
    ask = {"ask": "will_be_affected", "person": "m2"}
    penetrance = {"0": 0, "1": "4/5", "2": "4/5"}
    plain = family(
        "autosomal_dominant", {"allele": "rare"}, people, ask, onset=curve, penetrance=penetrance
    )
    asked = read_case(json.dumps(plain))
    # 1/2 x 3/5 to 1/2 is 3/8, and 2/3 of that.
    assert actions.mark(asked, "1/4").verdict == "right"
    results = {slip.name: slip.result for slip in actions.slips(asked)}
    assert results["likelihood_for_posterior"] == (F(2, 5),)


def test_digits_cut_off_are_said_to_be_that_before_a_slip():
    people = [*SIBS, one("m3", **WELL), one("f3", ("m3", "f2"), **WELL), one("m4", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m4", "f3"]}
    plain = family("autosomal_recessive", {"incidence": "1/2500"}, people, ask)
    assert 0.003350 < by_brute_force(plain) < 0.003359  # 0.34%, and 0.33% cut off
    got = actions.mark(read_case(json.dumps(plain)), "0.33%")
    # At the digits given it is a slip's result, too.
    assert (got.verdict, got.parting) == ("slip", None)
    assert got.slips[0] == "joint_not_divided"
    assert got.feedback.startswith("Not quite: these are the first digits of the answer, cut off")
    # Two digits are near to several slips, and to none as likely as that.
    assert "The same number comes to whoever took 2q for the carrier" in got.feedback
    assert "or did not divide by the sum" in got.feedback
    assert not got.near
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


def test_the_chance_that_a_parent_carries_is_said_to_be_that():
    # An affected man's healthy sister carries with 2/3, her partner with 1/50.
    people = [*SIBS, one("m3", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m3", "f2"]}
    asked = read_case(json.dumps(family("autosomal_recessive", {"carrier": "1/50"}, people, ask)))
    for answer, who in (("2/3", "f2"), ("67%", "f2"), ("1/50", "m3")):
        got = actions.mark(asked, answer)
        said = f"another question. What is the chance that {who} is a carrier?"
        assert (got.verdict, said in got.feedback) == ("wrong", True), answer
    assert "another question" not in actions.mark(asked, "2/7").feedback


def test_the_answer_to_another_question_is_said_to_be_that():
    sister = actions.example("healthy-sister")
    got = actions.mark(sister, "2/3", 1)
    assert (got.verdict, got.slips) == ("wrong", ())
    assert got.feedback.startswith("This belongs to another question.")
    assert "Tova" in got.feedback
    assert "carrier" in got.feedback
    assert "another question" not in actions.mark(sister, "3/5", 1).feedback
    # 2/3 rounded to two digits is the answer to it, too; one digit leaves too much open.
    assert "another question" in actions.mark(sister, "67%", 1).feedback
    assert "another question" not in actions.mark(sister, "0.7", 1).feedback


def test_the_verdict_is_not_said_again_by_the_feedback():
    sister = actions.example("healthy-sister")
    for answer, number in (("1/7", 0), ("0", 0), ("1", 0), ("0%", 1), ("2/3", 1)):
        got = actions.mark(sister, answer, number)
        page = blocks_to_text(mark_blocks(got, sister))
        assert page.count("Not right") == 1, answer


def two_carriers_children(carrier):
    """The child of the healthy sister of an affected boy and of somebody unaffected."""
    ask = {"ask": "child_affected", "parents": ["m3", "f2"]}
    people = [*SIBS, one("m3", **WELL)]
    plain = family("autosomal_recessive", {"carrier": carrier}, people, ask)
    return read_case(json.dumps(plain))


def test_a_miss_of_little_is_said_to_be_one_in_every_form():
    # By hand 2/3 x 4/101 x 1/4 = 2/303, 1 in 151.5: 0.00660066.
    asked = two_carriers_children("4/101")
    assert actions.mark(asked, "2/303").verdict == "right"
    for answer in ("1/151", "1/152"):
        got = actions.mark(asked, answer)
        assert got.verdict == "wrong"
        assert got.feedback.startswith("Not quite: a fraction is taken to be exact"), answer
    for answer in ("0.0066009", "0.6603%", "0.006602"):
        got = actions.mark(asked, answer)
        assert got.verdict == "wrong"
        assert got.feedback.startswith("Not quite: this is very near, but the last digits"), answer
    # 1 in 150 is another number, a percent from it, and 0.0067 is another decimal.
    for answer in ("1/150", "0.0067", "0.00662"):
        assert "Not quite" not in actions.mark(asked, answer).feedback, answer
