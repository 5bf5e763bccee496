"""Slips about several people: which of them, how many of alike ones, and no more than it takes."""

import json

import pytest

from risk.case.read import read_case
from risk.teaching.mark import mark
from risk.teaching.slip_sets import size, some, whole
from tests.teaching.slip_cases import (
    DONE,
    ILL,
    SIBS,
    WELL,
    by_brute_force,
    edited,
    family,
    healthy_sons,
    lose,
    marked,
    of_some,
    one,
    without,
)


def test_only_some_of_several_healthy_sons_counted():
    people = [*(one("m1"), one("f1")), one("m2", ("m1", "f1"), **ILL), one("f2", ("m1", "f1"))]
    people += [one("m9"), *(one(f"m{n}", ("m9", "f2"), **WELL) for n in (3, 4, 5))]
    ask = {"ask": "carrier", "person": "f2"}
    plain = family("x_linked_recessive", {"allele": "1/1000"}, people, ask)
    said = marked(
        plain, "ignored_healthy_children", edited(plain, without({"m4", "m5"}, "affected"))
    )
    assert "without two of m3, m4 and m5" in said


@pytest.mark.parametrize(
    ("records", "answer", "said"),
    [
        # By hand: 1/2 against 1/2 x 1/2^n for n sons, 1/(1 + 2^n): 1/9, 1/5, 1/3, 1/2.
        ([{**WELL, "count": 3}], "1/5", "without one of the three siblings m3, who is healthy."),
        ([{**WELL, "count": 3}], "1/3", "without two of the three siblings m3, who are healthy."),
        ([{**WELL, "count": 3}], "1/2", "without what is known of the children"),
        ([{**WELL, "count": 2}, WELL], "1/5", "one of m3 (two siblings) and m4, who is healthy."),
        ([{**WELL, "count": 2}, WELL], "1/3", "two of m3 (two siblings) and m4, who are healthy."),
        ([WELL, WELL, WELL], "1/3", "without two of m3, m4 and m5, who are healthy."),
        # A daughter who is known not to carry makes no difference and is not named.
        ([WELL, WELL, {**WELL, "sex": "female"}], "1/3", "without one of m3 and m4, who is"),
    ],
)
def test_some_of_alike_children_counted(records, answer, said):
    got = mark(read_case(json.dumps(healthy_sons(*records))), answer)
    assert said in got.feedback


def test_whom_a_slip_names_is_seen_from_its_own_question():
    plain = healthy_sons({**WELL, "count": 3})
    plain["questions"].insert(0, {"ask": "carrier", "person": "f1"})
    text = mark(read_case(json.dumps(plain)), "1/5", 1).feedback
    assert "without one of the three siblings m3" in text


def test_some_of_the_healthy_brothers_counted():
    # By hand: the mother carries with 1/2, two healthy sons leave 1/5, one leaves 1/3; her
    # daughter has half of that.
    plain = healthy_sons({**WELL, "count": 2}, {"sex": "female"})
    plain["questions"] = [{"ask": "carrier", "person": "m4"}]
    case = read_case(json.dumps(plain))
    assert mark(case, "1/10").verdict == "right"
    got = mark(case, "1/6")
    assert got.slips == ("ignored_healthy_relatives",)
    assert "the fact that one of the two siblings m3 is unaffected" in got.feedback
    assert "the fact that m3 (two siblings) are unaffected" in mark(case, "1/4").feedback


def test_the_test_of_one_of_two_forgotten():
    # By hand: carriers 1/2 by an affected sibling's healthy sister would be 2/3; of two healthy
    # siblings of an affected child each, 2/3 becomes 2/12 by a negative test that finds 9 of 10.
    test = {"name": "t", "sensitivity": "9/10", "specificity": 1}
    negative = {"tests": [{"test": "t", "result": "negative"}]}
    people = [*SIBS[:3], {**SIBS[3], **negative}]
    other = [one("m7", **WELL), one("f7", **WELL), one("f8", ("m7", "f7"), **ILL)]
    people += [*other, one("m8", ("m7", "f7"), **WELL, **negative)]
    ask = {"ask": "child_affected", "parents": ["m8", "f2"]}
    plain = family("autosomal_recessive", {"allele": "rare"}, people, ask, tests=[test])
    case = read_case(json.dumps(plain))
    assert mark(case, "1/144").verdict == "right"  # 1/6 x 1/6 x 1/4
    one_left = mark(case, "1/36")  # 1/6 x 2/3 x 1/4
    assert one_left.slips == ("ignored_tests", "transmission_forgotten")  # 1/6 x 1/6
    assert "without the test results of m8." in one_left.feedback
    assert "without the test results. " in mark(case, "1/9").feedback


@pytest.mark.parametrize("slip", ["married_in_ignored", "perfect_tests", "ignored_tests"])
def test_only_those_who_count_are_named_of_every_slip_about_several(slip):
    """The side of an aunt's husband says nothing of the man who is asked about."""
    test = {"name": "t", "sensitivity": "9/10", "specificity": 1}
    negative = {"tests": [{"test": "t", "result": "negative"}]}
    people = [*SIBS, one("m3", **WELL, **negative), one("m4", ("m3", "f2"))]
    people += [one("f5", ("m1", "f1"), **WELL), one("m5", **WELL, **negative)]
    people += [one("m6", ("m5", "f5"))]
    ask = {"ask": "carrier", "person": "m4"}
    plain = family("autosomal_recessive", {"carrier": "1/5"}, people, ask, tests=[test])
    change = DONE.get(slip, lose("tests"))
    value = by_brute_force(edited(plain, of_some({"m3": 1, "m5": 1}, change)))
    got = mark(read_case(json.dumps(plain)), str(value))
    assert slip in got.slips
    assert "m5" not in got.feedback
    assert "m3" in got.feedback


def test_of_forgotten_relatives_only_those_are_named_who_count():
    onset = [{"age": 30, "cumulative": "3/20"}, {"age": 60, "cumulative": "4/5"}]
    people = [
        *(one("m1", age=50, **ILL), one("f1", age=80, **WELL)),
        *(one("m2", ("m1", "f1"), age=60, **WELL), one("f2", age=60, **WELL)),
        one("f3", ("m2", "f2"), age=30, **WELL),
    ]
    ask = {"ask": "disease_allele", "person": "m2"}
    plain = family("autosomal_dominant", {"allele": "rare"}, people, ask, onset=onset)
    got = mark(read_case(json.dumps(plain)), "1/2")
    assert "that m2 and f3 are unaffected. Being well counts" in got.feedback


def test_of_many_who_differ_no_more_than_some_choices_are_looked_at():
    """Six sons of six ages: each alone, all but each, the first few, and all of them."""
    sons = [{**WELL, "age": 20 + age} for age in range(6)]
    case = read_case(json.dumps(healthy_sons(*sons)))
    ids = tuple(f"m{3 + n}" for n in range(6))
    found = some(case, ids)
    assert len(found) == len(set(found)) <= 41
    assert [size(chosen) for chosen in found] == sorted(size(chosen) for chosen in found)
    assert found[-1] == whole(case, ids)
    assert {((id, 1),) for id in ids} <= set(found)
    assert {tuple((other, 1) for other in ids if other != id) for id in ids} <= set(found)
    assert tuple((id, 1) for id in ids[4:]) in found


def test_everybody_rather_than_some_who_happen_to_lead_there():
    # The healthy brother of an affected girl, his carrier partner and their three healthy children.
    # 2/3 x (3/4)^3 against 1/3: 27/59.  Without any of it he is a carrier with 1/2; so he is, by
    # chance, if he and two of the children (one of the two sons) are forgotten.
    parents = ("m2", "f3")
    people = [*SIBS[:2], one("f2", ("m1", "f1"), **ILL), one("m2", ("m1", "f1"), **WELL)]
    people += [one("f3", **WELL, genotype=1)]
    people += [one("m4", parents, **WELL), one("f4", parents, **WELL), one("m5", parents, **WELL)]
    ask = {"ask": "carrier", "person": "m2"}
    plain = family("autosomal_recessive", {"allele": "rare"}, people, ask)
    got = mark(read_case(json.dumps(plain)), "1/2")
    assert "the fact that m2, m4, m5 and f4 are unaffected" in got.feedback, got.feedback
