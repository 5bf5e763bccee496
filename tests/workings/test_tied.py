"""Why two relatives' chances multiply, and what is said where they do not."""

import pytest

from tests.workings.families import person, told

ONE = (
    "Just one of I-1 and I-2 has the allele, and whichever it is, each of their children gets it "
    "with the same chance, independently of the others. So what {} has says nothing more about {}."
)
#: II-5 is a carrier, so that of her parents one has the rare allele, either with chance 1/2.
GRANDPARENTS = [
    person("I-1", "male", affected=False),
    person("I-2", "female", affected=False),
    person("I-3", "female", affected=False),
    person("II-5", "female", ("I-1", "I-2"), genotype=1),
    person("II-1", "male", ("I-1", "I-2"), affected=False),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
    person("II-3", "female", ("I-1", "I-3"), affected=False),
]
COUSINS = [
    *GRANDPARENTS,
    person("II-8", "female", affected=False),
    person("II-9", "male", affected=False),
    person("III-1", "male", ("II-1", "II-8"), affected=False),
    person("III-2", "female", ("II-9", "II-2"), affected=False),
]


def child(one, two):
    return [{"ask": "child_affected", "parents": [one, two]}]


@pytest.mark.parametrize(
    ("one", "two"),
    [
        # Sibs, cousins, uncle and niece, and where only one of the two is a child of that couple:
        # whichever of I-1 and I-2 has the allele, II-2 has it with chance 1/2, and so also where
        # it is I-1, or where I-1's daughter II-3 has it.
        ("II-1", "II-2"),
        ("III-1", "III-2"),
        ("II-1", "III-2"),
        ("I-1", "II-2"),
        ("III-1", "II-3"),
    ],
)
def test_what_relatives_have_of_a_couple_with_one_rare_allele_multiplies(one, two):
    recessive = ("autosomal_recessive", {"allele": "rare"}, COUSINS, child(one, two))
    dominant = ("autosomal_dominant", {"allele": "rare"}, _phenotypes_unknown(), child(one, two))
    for (text,) in (told(*recessive), told(*dominant)):
        assert ONE.format(one, two) in text


def _phenotypes_unknown():
    return [{key: value for key, value in each.items() if key != "affected"} for each in COUSINS]


def test_half_sibs_by_the_parent_who_may_have_the_allele_do_not_multiply():
    """II-3 and II-4 both have it from I-1 alone, with chance 1/2 × 1/4 and not 1/4 × 1/4."""
    people = [
        *GRANDPARENTS,
        person("I-4", "female", affected=False),
        person("II-4", "male", ("I-1", "I-4"), affected=False),
    ]
    (text,) = told("autosomal_recessive", {"allele": "rare"}, people, child("II-4", "II-3"))
    assert "nothing more" not in text
    assert "II-4 and II-3 are tied together" in text


def test_no_such_reason_where_both_of_a_couple_may_have_the_allele():
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, COUSINS, child("III-1", "III-2"))
    assert "Just one" not in text
    assert "nothing more" not in text


def test_relatives_through_a_father_and_his_son_share_no_x():
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("I-3", "female"),
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "female", ("I-1", "I-3")),
    ]
    (text,) = told("x_linked_recessive", {"allele": "1/100"}, people, child("II-1", "II-2"))
    assert (
        "A father gives his sons no X, so that II-1 and II-2 have no X of a common ancestor's. So "
        "what II-1 has says nothing more about II-2." in text
    )
    # People who are not related at all are not said to be parted.
    strangers = [*people[:3], person("II-1", "male"), people[4]]
    (text,) = told("x_linked_recessive", {"allele": "1/100"}, strangers, child("II-1", "II-2"))
    assert "common ancestor" not in text
