"""Slips about twins of whom it is not known whether they are identical."""

import itertools
import json
from fractions import Fraction as F

import pytest

from risk.case.read import read_case
from risk.teaching.mark import mark
from risk.teaching.slips import slips
from tests.teaching.slip_cases import (
    ILL,
    WELL,
    ZYGOSITIES,
    by_brute_force,
    edited,
    let_twins_be,
    one,
    twin_sisters,
)

KEPT = ("zygosity_kept",)


@pytest.mark.parametrize(
    ("chance", "known", "true", "wrong"),
    [
        # By hand.  The twin carries for certain: f2 does if identical, and with 2/3 if not.  Both
        # are well with 1/2 (a carrier) if identical and 3/4 x 1/2 if not, 4 to 3.
        (None, {"genotype": 1}, F(6, 7), F(1, 2) + F(1, 2) * F(2, 3)),
        ("1/3", {"genotype": 1}, F(4, 5), F(1, 3) + F(2, 3) * F(2, 3)),
        # The twin has no allele: 1/4 if identical, 3/4 x 1/4 if not, 4 to 3 again.
        (None, {"genotype": 0}, F(3, 7) * F(2, 3), F(1, 2) * F(2, 3)),
    ],
)
def test_the_chance_of_identical_twins_left_as_it_was(chance, known, true, wrong):
    case = read_case(json.dumps(twin_sisters(chance, **known)))
    assert mark(case, str(true)).verdict == "right"
    got = mark(case, str(wrong))
    assert "zygosity_kept" in got.slips
    assert "the chance that f2 and f3 are identical as it was at first" in got.feedback


@pytest.mark.parametrize(
    ("inheritance", "more"),
    [
        ("autosomal_recessive", {}),
        ("autosomal_dominant", {"penetrance": {"0": "1/100", "1": "3/5", "2": "3/5"}}),
        ("x_linked_recessive", {"mutation": {"maternal": "1/100", "paternal": "1/100"}}),
    ],
)
@pytest.mark.parametrize("ask", ["carrier", "disease_allele"])
def test_the_chance_of_identical_twins_left_as_it_was_in_many_families(inheritance, more, ask):
    """Against the brute force: the mean over what the twins are, wherever that is wrong."""
    test = {"name": "t", "sensitivity": "9/10", "specificity": "19/20"}
    tested = [{"tests": [{"test": "t", "result": result}]} for result in ("positive", "negative")]
    seen = 0
    for one_of, two, brother in itertools.product([{}, WELL, *tested], [WELL, *tested], [{}, ILL]):
        plain = twin_sisters("1/3", **two)
        plain["people"][3].update(one_of)
        plain["people"][2] = {**one("m2", ("m1", "f1")), **brother}
        plain["condition"] = {
            "inheritance": inheritance,
            "frequency": {"allele": "1/20"},
            "tests": [test],
            **more,
        }
        plain["questions"] = [{"ask": ask, "person": "f2"}]
        true = by_brute_force(plain)
        same, other = (by_brute_force(edited(plain, let_twins_be(each))) for each in ZYGOSITIES)
        mean = F(1, 3) * same + F(2, 3) * other
        found = [s.result[0] for s in slips(read_case(json.dumps(plain))) if s.name in KEPT]
        assert found == ([mean] if mean != true else [])
        seen += mean != true
    assert seen


def test_twins_taken_for_identical_lead_to_certainty_too():
    case = read_case(json.dumps(twin_sisters(genotype=1)))
    got = mark(case, "1")
    assert got.slips == ("twins_certain",)
    for answer in ("1", "5/6"):  # the paths part at what is known of the twin
        parting = mark(case, answer).parting
        assert parting is not None
        assert "f3" in parting.text
    assert "takes f2 and f3 to be identical for sure" in got.feedback
    for known in ({"sex": "male"}, {}):
        plain = twin_sisters(genotype=1)
        plain["people"][4].update(known)
        if not known:
            plain = edited(plain, let_twins_be("dizygotic"))
        names = {slip.name for slip in slips(read_case(json.dumps(plain)))}
        assert "twins_certain" not in names


@pytest.mark.parametrize(
    "other",
    [
        {},  # nothing known of the twin
        {"sex": "male", "genotype": 1},  # no identical twin
        {"affected": True},  # the same
    ],
)
def test_what_says_nothing_of_the_twins_or_all_of_them_leaves_no_chance_to_keep(other):
    case = read_case(json.dumps(twin_sisters(**other)))
    assert "zygosity_kept" not in {slip.name for slip in slips(case)}


def test_twins_who_may_be_identical_are_not_said_to_be():
    case = read_case(json.dumps(twin_sisters(genotype=1)))
    assert "They may be identical twins, who have one genotype" in mark(case, "2/3").feedback
    sure = edited(twin_sisters(genotype=1), let_twins_be("monozygotic"))
    text = mark(read_case(json.dumps(sure)), "2/3").feedback
    assert "ordinary siblings. Identical twins have one genotype" in text


def test_a_half_for_two_thirds_of_a_twin_is_a_half():
    # The twin carries; f2 is well and takes 1/2, 1/2 x 1/50 x 1/4.  Two thirds, which twins in
    # doubt leave if they are taken for siblings, are no half.
    plain = twin_sisters("1/3", genotype=1)
    plain["people"].append(one("m9", **WELL))
    plain["questions"] = [
        {"ask": "child_affected", "parents": ["m9", "f2"]},
        {"ask": "carrier", "person": "f2"},
    ]
    case = read_case(json.dumps(plain))
    assert mark(case, "1/400").slips == ("half_for_two_thirds",)
    assert mark(case, "1/300").slips == ("ignored_identical_twins",)
    assert mark(case, "1/200").feedback.startswith("This takes f2 and f3 to be identical for sure")
    assert mark(case, "1/2", 1).slips == ("half_for_two_thirds",)
