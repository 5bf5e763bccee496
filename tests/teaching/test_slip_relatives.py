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


def on_the_x(*more, ask="f2", **rules):
    """A boy's healthy sister, with whom more is known, of a condition on the X."""
    people = [one("m1", **WELL), one("f1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    people += [one("f2", ("m1", "f1"), **WELL), one("m3", **WELL), *more]
    asked = ask if isinstance(ask, dict) else {"ask": "carrier", "person": ask}
    return family("x_linked_recessive", {"allele": "rare"}, people, asked, **rules)


def test_grandsons_counted_as_sons():
    # A son says 1/2, and two sons of a daughter 1/2 + 1/2 x 1/4: 5/32 to 1/2.  As sons: 1/8 to 1.
    daughter = [one("f3", ("m3", "f2"), **WELL), one("m4", ("m3", "f2"), **WELL), one("m5")]
    sons = [one("m6", ("m5", "f3"), **WELL, count=2)]
    plain = on_the_x(*daughter, *sons)
    assert mark(plain, "5/21").verdict == "right"
    got = mark(plain, "1/9")
    assert got.slips == ("grandsons_as_sons",)
    assert "counts m6 as sons of f2. The allele reaches grandsons only through f3" in got.feedback
    # Also of an ancestor, but not sons of whoever is asked about, who say what they say.
    sister = on_the_x(*daughter, *sons, one("f4", ("m3", "f2"), **WELL), ask="f4")
    assert mark(sister, "1/18").slips == ("grandsons_as_sons",)
    own = on_the_x(*daughter, *sons, ask="f3")
    assert "grandsons_as_sons" not in {s.name for s in actions.slips(read_case(json.dumps(own)))}


def test_a_boy_not_yet_born_is_no_child_of_either_sex():
    boy = one("m4", ("m3", "f2"), status="pregnancy")
    will = {"ask": "will_be_affected", "person": "m4"}
    plain = on_the_x(boy, ask=will)
    assert mark(plain, "1/4").verdict == "right"
    got = mark(plain, "1/8")
    assert "child_sex" in got.slips
    # Of somebody of whom more is known that is no question about a child.
    plain = on_the_x({**boy, "tests": [{"test": "t", "result": "negative"}]}, ask=will,
                     tests=[{"name": "t", "sensitivity": "9/10", "specificity": "1"}])  # fmt: skip
    assert "child_sex" not in mark(plain, "1/8").slips


def test_the_prior_of_somebody_without_what_is_known_of_them_and_the_children():
    # A healthy mother with an affected one, 3/10 of whose carriers are well: 3/13, and half of it.
    people = [one("m1"), one("f1", **ILL), one("f2", ("m1", "f1"), **WELL), one("m2")]
    people += [one("m3", ("m2", "f2"), **WELL), one("f3"), one("f4", ("m3", "f3"), **WELL)]
    plain = family("autosomal_dominant", {"allele": "rare"}, people,
                   {"ask": "disease_allele", "person": "m3"},
                   penetrance={"0": 0, "1": "7/10", "2": "7/10"})  # fmt: skip
    got = mark(plain, "3/26")
    assert got.slips == ("prior_alone",)
    assert got.feedback.startswith("This is the chance of m3 from the family above alone. What is")
    assert "known of m3 and f4 counts, too" in got.feedback
    # Where only one of the two is known, that alone is named.
    people.pop()
    assert mark(plain, "3/26").slips == ("ignored_unaffected",)


@pytest.mark.parametrize(
    ("fitness", "rates", "answer", "words"),
    [
        # Of affected men without children: with rates u and v 2(u + v) women carry, half of whose
        # sons are affected, and u of all sons are so by a new allele.
        ("1/2", ("1/100000", "1/100000"), "2/3", "Here their fitness is 1/2 and the rate"),
        (0, ("1/100000", "3/100000"), "2/3", "takes new mutation to be rare and as frequent in"),
        ("1/2", ("1/100000", "3/100000"), "0.8000", "takes affected men to have no children, as"),
    ],
)
def test_the_two_thirds_of_the_textbook(fitness, rates, answer, words):
    people = [one("m1", **WELL), one("f1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    plain = family("x_linked_recessive", {"mutation_selection_balance": {"fitness": fitness}},
                   people, {"ask": "carrier", "person": "f1"},
                   mutation=dict(zip(("maternal", "paternal"), rates, strict=True)))  # fmt: skip
    got = mark(plain, answer)
    assert "plain_balance" in got.slips
    assert words in got.feedback
    assert not got.near


def test_the_two_thirds_of_the_textbook_are_near_where_all_is_as_there():
    people = [one("m1", **WELL), one("f1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    plain = family("x_linked_recessive", {"mutation_selection_balance": {"fitness": 0}},
                   people, {"ask": "carrier", "person": "f1"},
                   mutation={"maternal": "1/100000", "paternal": "1/100000"})  # fmt: skip
    got = mark(plain, "2/3")
    assert (got.slips, got.near) == (("plain_balance",), True)
