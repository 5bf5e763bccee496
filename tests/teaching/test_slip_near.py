"""Answers that are approximations, and slips that leave out more than one thing."""

import json
from fractions import Fraction as F

import pytest

from risk import actions
from risk.case.read import read_case
from risk.document.marks import verdict_in_words
from tests.teaching.slip_cases import ILL, SIBS, WELL, family, one

NEAR = "Near: the usual shortcut."


def mark(plain, answer):
    return actions.mark(read_case(json.dumps(plain)), answer)


def child_of(*more, frequency=None):
    people = [*SIBS, one("m3", **WELL), *more]
    mother = "f3" if more else "f2"
    ask = {"ask": "child_affected", "parents": ["m3", mother]}
    return family("autosomal_recessive", frequency or {"incidence": "1/2500"}, people, ask)


def test_2q_is_said_to_be_an_approximation():
    # q = 1/50: of those who are well 2q / (1 + q) = 2/51 carry.
    carrier = {**child_of(), "questions": [{"ask": "carrier", "person": "m3"}]}
    assert mark(carrier, "2/51").verdict == "right"
    got = mark(carrier, "1/25")
    assert (got.verdict, got.slips, got.near) == ("slip", ("two_q",), True)
    assert verdict_in_words(got) == "Near: the usual shortcut"
    assert "good approximation" in got.feedback
    assert mark(carrier, "0.0400").slips == ("two_q",)
    # 2/51 is 1 in 25.5.
    assert verdict_in_words(mark(carrier, "1 in 25")) == "Right, rounded, or a known slip"
    # 2/3 x 1/25 x 1/4; also what somebody comes to who forgets that m3 is well: 2/3 x 1/2 x q.
    got = mark(child_of(), "1/150")
    assert set(got.slips) == {"ignored_unaffected", "two_q"}
    assert got.feedback.startswith(f"{NEAR} This takes 2q for the chance of being a carrier")
    assert "same number comes to whoever forgot that someone asked about" in got.feedback
    # One generation on 2/3 x 1/2 x 1/25 x 1/4, m4 being taken to carry nothing.
    niece = child_of(one("m4", **WELL), one("f3", ("m4", "f2"), **WELL))
    for answer in ("1/300", "1 in 300"):
        got = mark(niece, answer)
        assert "two_q" in got.slips
        assert got.feedback.startswith(f"{NEAR} This takes 2q for the chance of being a carrier")
        assert "It also takes m4 to carry nothing." in got.feedback
    # Where the carrier frequency itself is given, nobody needs 2q: c = 2/51 is the same q.
    given = child_of(frequency={"carrier": "2/51"})
    assert "two_q" not in {slip.name for slip in actions.slips(read_case(json.dumps(given)))}


def test_2q_of_a_frequent_allele_is_not_said_to_be_near():
    # q = 1/5: 1/3 of those who are well carry, and 2q is 2/5.
    frequent = child_of(frequency={"allele": "1/5"})
    frequent["questions"] = [{"ask": "carrier", "person": "m3"}]
    assert mark(frequent, "1/3").verdict == "right"
    got = mark(frequent, "2/5")
    assert (got.slips, got.near) == (("two_q",), False)
    assert verdict_in_words(got) == "Not right: a known slip"


def test_2q_of_women_on_the_x_leaves_the_men_as_they_are():
    people = [one("m1", **WELL), one("f1", **WELL)]
    ask = {"ask": "child_affected", "parents": ["m1", "f1"], "sex": "male"}
    plain = family("x_linked_recessive", {"incidence": "1/100"}, people, ask)
    # 2q / (1 + q) = 2/101, and half of that for a son; with 2q = 1/50 it is 1/100.
    assert mark(plain, "1/101").verdict == "right"
    assert "two_q" in mark(plain, "1/100").slips
    people[0] = one("m1")
    assert "two_q" not in {slip.name for slip in actions.slips(read_case(json.dumps(plain)))}


def test_an_allele_taken_for_rare_is_an_approximation_too():
    # The brother of the mother of an affected boy, and that boy's healthy sister:
    # 1/2 x 2/3 x 1/4 where nobody else has the allele.
    people = [
        one("m1"),
        one("f1"),
        one("m2", ("m1", "f1"), **WELL),
        one("f2", ("m1", "f1"), **WELL),
    ]
    people += [one("m3", **WELL), one("f3", ("m3", "f2"), **WELL), one("m4", ("m3", "f2"), **ILL)]
    ask = {"ask": "child_affected", "parents": ["m2", "f3"]}
    got = mark(family("autosomal_recessive", {"carrier": "1/50"}, people, ask), "1/12")
    assert (got.slips, got.near) == (("rare_allele",), True)
    assert got.feedback.startswith(f"{NEAR} This takes everyone to carry nothing who need not")


def isolated(*more, ask="f2", level=False):
    """A boy with an X-linked condition that leaves no children, and what else is known."""
    people = [one("m1"), one("f1"), one("m2", **WELL)]
    tests = {"tests": [{"test": "t", "result": "normal"}]} if level else {}
    people += [one("f2", ("m1", "f1"), **WELL, **tests), one("m3", ("m2", "f2"), **ILL), *more]
    chances = {"normal": {"0": "95%", "1": "1/3", "2": "1/3"}}
    chances["raised"] = {"0": "5%", "1": "2/3", "2": "2/3"}
    return family(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": 0}},
        people,
        {"ask": "carrier", "person": ask},
        mutation={"maternal": "rare", "paternal": "rare"},
        tests=[{"name": "t", "likelihood": chances}],
    )


def test_the_two_thirds_of_an_isolated_case_are_named_where_more_is_known():
    # Haldane: 2/3 of the mothers carry, and 1/3 of the grandmothers.
    assert mark(isolated(), "2/3").verdict == "right"
    assert mark(isolated(ask="f1"), "1/3").verdict == "right"
    brother = one("m4", ("m2", "f2"), **WELL)
    got = mark(isolated(brother, level=True), "2/3")
    assert got.slips == ("only_affected",)
    assert got.feedback == (
        "This is the chance of the mother of an isolated case, and no more. What else is known of "
        "f2 and m4 counts, too."
    )
    # With one of the two left out, that alone is named.
    assert "only_affected" not in mark(isolated(brother), "2/3").slips


def test_odds_taken_for_the_chance():
    # 1/25 before a test that misses 1/10: 1/250 to 24/25 is 1 to 240, and the chance 1/241.
    tested = actions.example("negative-test")
    got = actions.mark(tested, "1/240", 1)
    assert got.slips == ("odds_for_chance",)
    assert "These are the odds" in got.feedback
    # More than even odds are no chance, and of a child nobody writes odds.
    for number in (0, 2):
        results = [s.result for s in actions.slips(tested, number) if s.name == "odds_for_chance"]
        assert results == ([(F(1, 5),)] if number == 0 else [])


@pytest.mark.parametrize("product", ["3/8", "2/3 x 9/16", "9/32"])
def test_a_product_is_not_divided_whichever_rows_were_before_it(product):
    # The healthy sister of an affected boy, with a carrier, has two healthy children: 2/3 x 9/16
    # to 1/3, which is 9/17; from the beginning 1/2 x 9/16 to 1/4.
    people = [*SIBS, one("m3", **WELL, genotype=1)]
    people += [one("m4", ("m3", "f2"), **WELL), one("m5", ("m3", "f2"), **WELL)]
    plain = family(
        "autosomal_recessive", {"allele": "rare"}, people, {"ask": "carrier", "person": "f2"}
    )
    assert mark(plain, "9/17").verdict == "right"
    assert "joint_not_divided" in mark(plain, product).slips


def uncle_of(parents, frequency):
    """Somebody whose brother has an affected child, and a partner from the population."""
    people = [one("m1", **parents), one("f1", **parents), one("m2", ("m1", "f1"), **WELL)]
    people += [one("m3", ("m1", "f1"), **WELL), one("f2", **WELL), one("f3", **WELL)]
    people.append(one("f4", ("m2", "f2"), **ILL))
    ask = {"ask": "child_affected", "parents": ["m3", "f3"]}
    return family("autosomal_recessive", frequency, people, ask)


@pytest.mark.parametrize("parents", [{}, WELL])
@pytest.mark.parametrize("frequency", [{"incidence": "1/2500"}, {"carrier": "1/25"}])
def test_the_family_alone_taken_to_have_the_allele_is_the_usual_shortcut(parents, frequency):
    # Half of an obligate carrier's siblings, a partner with 1/25, and 1/4.
    got = mark(uncle_of(parents, frequency), "1/200")
    assert got.verdict == "slip"
    assert got.near
    assert "rare_in_family" in got.slips
    assert got.feedback.startswith(
        f"{NEAR} This takes nobody in the family to have the allele who need not have it, and f3 "
        "to be a carrier as anyone in the population is. It leaves out that others"
    )
    # Of a frequent allele it is no shortcut.
    assert not mark(uncle_of(parents, {"carrier": "3/4"}), "3/32").near


def test_what_the_trade_leaves_out_is_near_before_it_is_a_slip():
    # The healthy sister carries with 2/3, and with 99/149 where her healthy daughter counts.
    people = [*SIBS, one("m3", **WELL), one("f3", ("m3", "f2"), **WELL), one("m4", **WELL)]
    ask = {"ask": "carrier", "person": "f2"}
    plain = family("autosomal_recessive", {"carrier": "1/25"}, people, ask)
    assert mark(plain, "99/149").verdict == "right"
    got = mark(plain, "2/3")
    assert (got.verdict, got.near) == ("slip", True)
    assert {"ignored_children", "partner_ignored"} <= {*got.slips}
    assert got.feedback.startswith(f"{NEAR} This takes m3 to carry nothing.")
    plain["questions"] = [{"ask": "child_affected", "parents": ["m4", "f3"]}]
    got = mark(plain, "1/300")
    assert got.feedback.startswith(f"{NEAR} This takes m3 to carry nothing.")
    # Where a partner carries more often, 2/3 is a slip as before.
    plain["condition"]["frequency"] = {"carrier": "4/5"}
    plain["questions"] = [ask]
    got = mark(plain, "2/3")
    assert not got.near
    assert "Or: This takes m3 to carry nothing." in got.feedback


def test_a_product_is_not_divided_that_starts_with_those_who_are_possible():
    # Of people who are well 1/20 carry; three healthy children of an affected man: 1/20 x 1/8.
    people = [one("m1", **ILL), one("f1", **WELL), one("f2", ("m1", "f1"), **WELL, count=3)]
    ask = {"ask": "carrier", "person": "f1"}
    plain = family("autosomal_recessive", {"carrier": "1/20"}, people, ask)
    assert mark(plain, "1/153").verdict == "right"
    assert mark(plain, "1/160").slips == ("joint_not_divided",)


def test_the_chance_of_healthy_children_taken_for_that_of_two_carriers():
    # Each carries with 2/3; two healthy children have 9/16 of two carriers: 9/29.
    other = [one("m4"), one("f4"), one("f5", ("m4", "f4"), **ILL), one("m5", ("m4", "f4"), **WELL)]
    people = [*SIBS, *other, one("m6", ("m5", "f2"), **WELL, count=2)]
    ask = {"ask": "both_carriers", "people": ["m5", "f2"]}
    plain = family("autosomal_recessive", {"allele": "rare"}, people, ask)
    assert mark(plain, "9/29").verdict == "right"
    assert mark(plain, "9/16").slips == ("likelihood_for_posterior",)
