"""The sentences on rows for what is known of children."""

import pytest

from tests.workings.families import person, told

RECESSIVE = ("autosomal_recessive", {"carrier": "1/10"})
INDEPENDENT = "If we knew what both parents have"
FAMILY = [
    person("I-1", "male", affected=False),
    person("I-2", "female", affected=False),
    person("II-1", "female", ("I-1", "I-2"), affected=True),
    person("II-2", "male", ("I-1", "I-2"), affected=False),
    person("II-3", "female", affected=False),
]
ASKED = [
    {"ask": "child_affected", "parents": ["II-2", "II-3"]},
    {"ask": "carrier", "person": "II-2"},
]


def child(id, sex="female", **facts):
    return person(id, sex, ("II-2", "II-3"), **{"affected": False, **facts})


def test_a_couples_only_child_has_its_chance_and_no_word_on_other_children():
    couple, carrier = told(*RECESSIVE, [*FAMILY, child("III-1")], ASKED)
    said = "An unaffected daughter: the chance of that is 3/4 if II-2 and II-3 are both carriers."
    assert said in couple and said in carrier
    assert INDEPENDENT not in couple + carrier


def test_unlike_children_have_a_chance_each_and_are_independent():
    people = [*FAMILY, child("III-1"), child("III-2", "male", genotype=1, affected=None)]
    (couple, _) = told(*RECESSIVE, people, ASKED)
    assert "the chance of that is 3/4 if II-2 and II-3 are both carriers" in couple
    assert couple.count(INDEPENDENT) == 1
    assert "the chance of that is 1/2 if at least one of II-2 and II-3 is a carrier" in couple


@pytest.mark.parametrize(
    ("children", "worked"),
    [
        ([child("III-1"), child("III-2", "male")], "Each child is unaffected"),
        ([child("III-1", count=2)], "Each daughter is unaffected"),
    ],
)
def test_the_power_in_a_sum_over_a_partner_is_worked_out_beside_it(children, worked):
    # 9/10 + 1/10 × (3/4)² = 153/160
    (_, carrier) = told(*RECESSIVE, [*FAMILY, *children], ASKED)
    assert "9/10 + 1/10 × 9/16 = 153/160" in carrier
    assert "Nothing is known of II-3's parents; 1/10 of unaffected people are carriers." in carrier
    assert (
        f"{worked} with chance 3/4 if II-2 and II-3 are both carriers, independently of the "
        "others: 3/4 × 3/4 = 9/16." in carrier
    )


def test_identical_twins_are_one_child_of_their_parents():
    twin = {"twin": {"group": "t", "zygosity": "monozygotic"}}
    (couple, _) = told(*RECESSIVE, [*FAMILY, child("III-1", **twin), child("III-2", **twin)], ASKED)
    assert "III-1 is unaffected: the chance of that is 3/4 if II-2 and II-3 are" in couple


#: New mutation in 1/100 of eggs and of sperm, in a couple of whom nothing else is known.
DOMINANT = ("autosomal_dominant", {"allele": "1/10"})
NEW = {"maternal": "1/100", "paternal": "1/100"}
COUPLE = [person("I-1", "male"), person("I-2", "female")]


def test_where_new_mutation_takes_part_the_chances_of_a_child_are_said_with_it():
    # Of two without the allele a child is affected with (1 - 0.99²) × 9/10.
    people = [
        *COUPLE,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "I-1"}, {"ask": "carrier", "person": "II-2"}]
    penetrance = {"0": 0, "1": "9/10", "2": "9/10"}
    one, child_of_both = told(*DOMINANT, people, asked, mutation=NEW, penetrance=penetrance)
    rule = (
        "With a and b for the chances that {} pass the allele on (one copy: 1/2; two copies: 1; a "
        "normal allele changes into it by new mutation in 1/100 of eggs and 1/100 of sperm), a "
        "child has no copy with chance (1 - a)(1 - b), two copies with ab and one copy with the "
        "rest."
    )
    assert "199/10000 × 9/10" in one
    assert one.count(rule.format("I-1 and I-2")) == 1
    # Once with the table of the parents, and once where they are weighed.
    assert child_of_both.count(rule.format("I-1 and I-2")) == 2


def test_new_mutation_in_a_partner_without_the_allele_is_worked_out():
    # 1 - (1 - 101/200) × 99/100 = 10199/20000
    people = [
        *COUPLE,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female"),
        person("III-1", "male", ("II-1", "II-2"), affected=True),
    ]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("autosomal_dominant", {"allele": 0}, people, asked, mutation=NEW)
    assert (
        "With one copy a parent passes the allele on with chance 1/2, and otherwise new mutation "
        "in the sperm may add it: 1/2 + 1/2 × 1/100 = 101/200; in the other parent's egg it arises "
        "with chance 1/100: 1 - 99/200 × 99/100 = 10199/20000." in text
    )


def test_of_how_little_is_known_of_two_people_the_frequency_is_said_once():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "child_affected", "parents": ["I-1", "I-2"]}]
    (text,) = told(*RECESSIVE, people, asked)
    assert (
        "Nothing is known of I-1's parents; 1/10 of unaffected people are carriers. Nothing is "
        "known of I-2's parents, either." in text
    )


def test_being_unaffected_is_one_minus_the_penetrance_in_every_row():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "I-2"}, {"ask": "carrier", "person": "II-1"}]
    penetrance = {"0": 0, "1": "0.8", "2": "0.8"}
    for text in told(*DOMINANT, people, asked, penetrance=penetrance):
        for who in ("I-1", "II-1"):
            assert (
                f"{who} is unaffected: the chance of that, 1 minus the penetrance, is 1 with no "
                "allele, else 1 - 4/5 = 1/5" in text
            )
        assert "0.8" not in text
