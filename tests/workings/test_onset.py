"""Chances by an age: lifetime chance times share by then, which rises evenly between points."""

from fractions import Fraction

import pytest

from risk import actions
from tests.workings.families import case, person, told

ONSET = [
    {"age": 20, "cumulative": "1/10"},
    {"age": 40, "cumulative": "1/2"},
    {"age": 60, "cumulative": "1"},
]
PARENTS = [person("I-1", "male", affected=True), person("I-2", "female", age=70)]


def text(*people, penetrance="4/5", **question):
    """The working about a family in which four fifths of those with the allele fall ill."""
    (found,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        [*PARENTS, *people],
        [question],
        penetrance={"0": "0", "1": penetrance, "2": penetrance},
        onset=ONSET,
    )
    return found


def child(**facts):
    return person("II-1", "male", ("I-1", "I-2"), **facts)


def test_unaffected_between_two_points():
    """35 is three quarters of the way from 20 to 40: 1/10 + 3/4 x 4/10 = 2/5; x 4/5 = 8/25."""
    said = text(child(affected=False, age=35), ask="carrier", person="II-1")
    assert "1 - 8/25 = 17/25 with one copy. Here 8/25 = 4/5 × 2/5" in said
    assert "between 20 (1/10) and 40 (1/2) that share rises evenly" in said
    assert "1/10 + 15/20 × (1/2 - 1/10) = 2/5" in said


def test_from_birth_to_the_first_point():
    """10 is half of the way to 20: 1/20 of 4/5."""
    said = text(child(affected=False, age=10), ask="carrier", person="II-1")
    assert "between birth (0) and 20 (1/10) that share rises evenly: 10/20 × 1/10 = 1/20" in said


def test_at_a_point_nothing_lies_between():
    said = text(child(affected=False, age=40), ask="carrier", person="II-1", penetrance="1")
    assert "Here 1/2 is the share of those ever affected who are so by 40." in said
    assert "evenly" not in said


def test_by_an_age_of_somebody_of_unknown_phenotype():
    """50 is half of the way from 40 to 60: 3/4, times 4/5."""
    said = text(child(), ask="will_be_affected", person="II-1", by_age=50)
    assert "Here 3/5 = 4/5 × 3/4" in said
    assert "1/2 + 10/20 × (1 - 1/2) = 3/4" in said


def test_a_child_by_an_age():
    """1/2 gets it, 4/5 x 3/10 fall ill by 30."""
    said = text(ask="child_affected", parents=["I-1", "I-2"], by_age=30)
    assert "1/2 × 6/25 = 3/25. Here 6/25 = 4/5 × 3/10" in said


def test_an_unaffected_child_of_somebody_asked_about():
    """A daughter unaffected at 40: 1 - 1/2 x 4/5 x 1/2 = 4/5."""
    grandchild = [
        person("II-2", "female"),
        person("III-1", "female", ("II-1", "II-2"), affected=False, age=40),
    ]
    said = text(child(), *grandchild, ask="carrier", person="II-1")
    assert "Half the children get the allele: 1 - 1/2 × 2/5 = 4/5" in said


def test_a_chance_that_is_left_is_said_once_and_in_order():
    """By 50 four fifths of 3/4, by 40 four fifths of 1/2: (3/5 - 2/5) / (1 - 2/5) = 1/3 is left."""
    said = text(child(affected=False, age=40), ask="will_be_affected", person="II-1", by_age=50)
    assert said.count("3/5 = 4/5 × 3/4") == 1
    assert said.endswith(
        "The chance by 40 was 2/5, so that from then on it is (3/5 - 2/5) / (1 - 2/5) = 1/3."
    )
    assert "affected by then" not in said


def test_each_genotypes_chance_of_what_is_left_is_derived():
    """By 60 all, by 40 half of the lifetime chances of 1/20 and 7/10.

    (1/20 - 1/40) / (1 - 1/40) = 1/39, and (7/10 - 7/20) / (1 - 7/20) = 7/13.
    """
    (said,) = told(
        "autosomal_dominant",
        {"allele": "1/1000"},
        [person("A", "female", affected=False, age=40)],
        [{"ask": "will_be_affected", "person": "A", "by_age": 60}],
        penetrance={"0": "1/20", "1": "7/10", "2": "7/10"},
        onset=ONSET,
    )
    assert "The last table multiplies by the chance of becoming affected by the age of 60" in said
    assert "(1/20 - 1/40) / (1 - 1/40) = 1/39 (no allele)" in said
    assert "(7/10 - 7/20) / (1 - 7/20) = 7/13 (one copy and two copies)" in said


def by(until, **facts):
    asked = {"by_age": until} if until is not None else {}
    return text(child(**facts), ask="will_be_affected", person="II-1", **asked)


def test_being_well_later_rules_out_being_affected_before():
    for age in (30, 50):
        said = by(age, affected=False, age=50)
        assert said.endswith(
            f"Being unaffected at 50 rules out being affected by the age of {age}."
        )


def test_ages_at_which_nobody_becomes_affected():
    ends = {
        by(None, affected=False, age=60): "nobody becomes affected after the age of 60.",
        by(80, affected=False, age=70): "nobody becomes affected between the ages of 70 and 80.",
    }
    for said, end in ends.items():
        assert said.endswith(f"In the onset data {end}")
        assert "The last" not in said


def test_a_genotype_that_never_leads_to_being_affected():
    ages = {"affected": False, "age": 30}
    for said in (by(None, genotype=0), by(50, genotype=0), by(50, genotype=0, **ages)):
        assert said.endswith("Whoever has no copy of the allele is never affected.")


def test_a_childs_share_by_an_age_is_derived_beside_an_uncertain_partner_too():
    """Of two unaffected children at 40 and 50: 1 - 1/2 × 2/5 = 4/5, and 1 - 1/2 × 1/2 = 3/4.

    Who has one copy has such a child with 1/2 + 1/2 × 4/5 = 9/10, and with 1/2 + 1/2 × 3/4 = 7/8.
    """
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/10"},
        [
            person("I-1", "male"),
            person("I-2", "female"),
            person("II-1", "female", ("I-1", "I-2"), affected=False, age=40),
            person("II-2", "female", ("I-1", "I-2"), affected=False, age=50),
        ],
        [{"ask": "disease_allele", "person": "I-1"}],
        penetrance={"0": "0", "1": "1/2", "2": "1/2"},
        onset=[{"age": 30, "cumulative": "3/10"}, {"age": 100, "cumulative": "1"}],
    )
    assert "Here 1/5 = 1/2 × 2/5, the lifetime chance times the share of those ever" in text
    assert "Here 1/4 = 1/2 × 1/2, the lifetime chance times the share of those ever" in text
    assert (
        "Of several children these chances multiply: if I-1 has one copy of the allele and I-2 "
        "none 9/10 × 7/8 = 63/80"
    ) in text


def test_a_childs_share_by_an_age_is_derived_where_several_pairs_have_it():
    # Of 2/5 in a lifetime 9/10 are so by 60: 9/25.
    (text,) = told(
        "autosomal_recessive",
        {"allele": "1/20"},
        [person("I-1", "male"), person("I-2", "female")],
        [{"ask": "child_affected", "parents": ["I-1", "I-2"], "by_age": 60}],
        penetrance={"0": 0, "1": 0, "2": "2/5"},
        onset=[{"age": 60, "cumulative": "9/10"}, {"age": 80, "cumulative": "1"}],
    )
    assert (
        "is affected by the age of 60 is 9/25 with two copies, else 0. Here 9/25 = 2/5 × 9/10, the "
        "lifetime chance times the share of those ever affected who are so by 60." in text
    )


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({}, "becomes affected sooner or later."),
        ({"by_age": 80}, "becomes affected by the age of 80 for certain."),
    ],
)
def test_who_is_well_so_far_becomes_affected(more, said):
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=False, age=30),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{"ask": "will_be_affected", "person": "II-1", **more}],
        penetrance={"0": 0, "1": 1, "2": 1},
        onset=[{"age": 40, "cumulative": "2/5"}, {"age": 70, "cumulative": 1}],
    )
    assert f"Whoever has one copy of the allele {said}" in text


def test_who_is_unaffected_at_an_age_may_still_have_two_copies():
    """So the frequency is not that among them: 3/8 of those with two copies are unaffected at 30.

    2304/2401, 96/2401 and 1/2401 × 3/8 together are 19203/19208, and 768/19208 of that 256/6401.
    """
    onset = [{"age": 20, "cumulative": "1/2"}, {"age": 60, "cumulative": "1"}]
    well = [person("I-2", "female", affected=False, age=30)]
    asked = [{"ask": "carrier", "person": "I-2"}]
    family = case("autosomal_recessive", {"carrier": "1/25"}, well, asked, onset=onset)
    (working,) = actions.explain(family)
    (step,) = working.steps
    assert "of people with at most one copy c = 1/25 are carriers" in step.text
    assert [row.text for row in step.rows] == ["population", "I-2 is unaffected at 30"]
    assert working.probability.exact == Fraction(256, 6401)
