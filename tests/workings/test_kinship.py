"""How relatives are related: F by hand and by the textbook, and what a working says of it."""

from fractions import Fraction as F

import pytest

from risk import actions
from risk.model.family import Family
from risk.workings.kinship import kinship
from tests.workings.families import case, person, told

COUSINS = [
    person("I-1", "male"),
    person("I-2", "female"),
    person("II-1", "male"),
    person("II-2", "female", ("I-1", "I-2")),
    person("II-3", "male", ("I-1", "I-2")),
    person("II-4", "female"),
    person("III-1", "male", ("II-1", "II-2")),
    person("III-2", "female", ("II-3", "II-4")),
]
CHILD = {"ask": "child_affected", "parents": ["III-1", "III-2"]}


def related(people, one, two):
    family = Family(case("autosomal_recessive", {"allele": "1/100"}, people, []))
    found = kinship(family, family.variable[one], family.variable[two])
    return found and found.coefficient


@pytest.mark.parametrize(
    ("one", "two", "coefficient"),
    [
        # Common practice: sibs 1/4, parent and child 1/4, uncle and niece 1/8, first cousins 1/16.
        ("II-2", "II-3", F(1, 4)),
        ("I-1", "II-2", F(1, 4)),
        ("II-3", "III-1", F(1, 8)),
        ("III-1", "III-2", F(1, 16)),
        ("II-1", "II-4", None),
    ],
)
def test_textbook_coefficients(one, two, coefficient):
    assert related(COUSINS, one, two) == coefficient


def test_an_inbred_ancestor_counts_more():
    """Half sibs through a father with F = 1/2: (1/2)^3 x (1 + 1/2) = 3/16."""
    people = [
        person("I-1", "male", inbreeding="1/2"),
        person("I-2", "female"),
        person("I-3", "female"),
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "female", ("I-1", "I-3")),
    ]
    assert related(people, "II-1", "II-2") == F(3, 16)


def test_double_first_cousins_have_four_paths():
    """1/8, twice that of first cousins."""
    assert related(DOUBLE_COUSINS, "III-1", "III-2") == F(1, 8)


def test_cousins_without_family_history_are_worked_out_by_f():
    """q = 1/100: 1/10000 x 15/16 + 1/100 x 1/16 = 23/32000."""
    (text,) = told("autosomal_recessive", {"allele": "1/100"}, COUSINS, [CHILD])
    assert "their common ancestors I-1 and I-2" in text
    assert "on the path III-1 - II-2 - I-1 - II-3 - III-2" in text
    assert "F = 2 × (1/2)⁵ = 1/16" in text
    assert "q²(1 - F) + qF = 1/10000 × 15/16 + 1/100 × 1/16 = 23/32000" in text
    # First cousins share one copy with chance 1/4, and never two (common practice).
    assert "with chance 4F = 1/4 III-1 and III-2 share one copy by descent" in text
    both = "both are carriers with chance 1/4 × q(1 - q) + 3/4 × (2q(1 - q))² = 0.00276903."
    assert both in text
    assert "a given one has one and the other two with q²(1 - q), and both have two with q³" in text
    # Asked for that itself, the same is said.
    asked = {"ask": "both_carriers", "people": ["III-1", "III-2"]}
    (text,) = told("autosomal_recessive", {"allele": "1/100"}, COUSINS, [asked])
    assert "with chance 4F = 1/4 III-1 and III-2 share one copy by descent" in text
    assert both in text


def test_what_is_known_of_two_cousins_is_divided_by():
    """q = 1/39 for carriers 1/20; both unaffected, by the shared copy or as two strangers.

    Both carriers: 1/4 pq + 3/4 (2pq)².  Both unaffected: 3/4 (1 - q²)² + 1/4 (1 - 2q² + q³).
    """
    people = [{**each, "affected": False} if each["id"][:3] == "III" else each for each in COUSINS]
    asked = {"ask": "both_carriers", "people": ["III-1", "III-2"]}
    (working,) = actions.explain(case("autosomal_recessive", {"carrier": "1/20"}, people, [asked]))
    (step,) = working.steps
    q = F(1, 39)
    carriers = F(1, 4) * (1 - q) * q + F(3, 4) * (2 * q * (1 - q)) ** 2
    unaffected = F(3, 4) * (1 - q**2) ** 2 + F(1, 4) * (1 - 2 * q**2 + q**3)
    assert step.rows[0].facts == ()
    assert step.rows[0].values[step.labels.index("III-1 carrier, III-2 carrier")] == carriers
    assert step.total == unaffected
    assert working.probability.exact == carriers / unaffected == F(659, 81067)
    assert "each with no copy with (1 - q)², one with 2q(1 - q) and two with q²" in step.text
    assert "too long" not in step.text


DOUBLE_COUSINS = [
    *(person(f"I-{n}", "male" if n % 2 else "female") for n in (1, 2, 3, 4)),
    person("II-1", "male", ("I-1", "I-2")),
    person("II-2", "male", ("I-1", "I-2")),
    person("II-3", "female", ("I-3", "I-4")),
    person("II-4", "female", ("I-3", "I-4")),
    person("III-1", "male", ("II-1", "II-3")),
    person("III-2", "female", ("II-2", "II-4")),
]


@pytest.mark.parametrize(
    ("one", "two", "both", "just_one", "said"),
    [
        # Common practice: siblings share both copies with 1/4 and one with 1/2, double first
        # cousins with 1/16 and 3/8.
        (
            "II-1",
            "II-2",
            F(1, 4),
            F(1, 2),
            "1/2 × 1/2 = 1/4 (those from I-1 as well as those from I-2)",
        ),
        (
            "III-1",
            "III-2",
            F(1, 16),
            F(3, 8),
            "1/4 × 1/4 = 1/16 (those from II-1 and II-2 as well as those from II-3 and II-4)",
        ),
    ],
)
@pytest.mark.parametrize("known", [{}, {"affected": False}])
def test_relatives_on_both_sides_may_share_both_copies(one, two, both, just_one, said, known):
    people = [{**each, **known} if each["id"] in (one, two) else each for each in DOUBLE_COUSINS]
    asked = {"ask": "both_carriers", "people": [one, two]}
    (working,) = actions.explain(case("autosomal_recessive", {"allele": "1/4"}, people, [asked]))
    (step,) = working.steps
    q = F(1, 4)
    carriers = just_one * q * (1 - q) + both * 2 * q * (1 - q)
    carriers += (1 - just_one - both) * (2 * q * (1 - q)) ** 2
    assert step.rows[0].values[step.labels.index(f"{one} carrier, {two} carrier")] == carriers
    assert (
        f"Both copies of {one} and {two} are the same by descent with chance {said}." in step.text
    )
    assert f"share one with chance 4F - 2 × {both} = {just_one}. With one shared" in step.text
    worked = f"{just_one} × q(1 - q) + {both} × 2q(1 - q) + {1 - just_one - both} × (2q(1 - q))²"
    assert f"both are carriers with chance {worked} = {carriers}." in step.text


def test_f_is_not_enough_where_something_is_known():
    known = [{**each, "affected": False} if each["id"] == "II-2" else each for each in COUSINS]
    (text,) = told("autosomal_recessive", {"allele": "1/100"}, known, [CHILD])
    assert "qF" not in text


def test_a_child_of_cousins_has_their_f():
    """q = 1/10, F = 1/16: two copies with 1/100 x 15/16 + 1/10 x 1/16 = 1/64."""
    child = person("IV-1", "male", ("III-1", "III-2"))
    asked = {"ask": "carrier", "person": "IV-1"}
    (text,) = told("autosomal_recessive", {"allele": "1/10"}, [*COUSINS, child], [asked])
    assert "they have the common ancestors I-1 and I-2" in text
    assert "q²(1 - F) + qF = 1/64" in text


SIBSHIP = [
    person("I-1", "male", affected=False),
    person("I-2", "female", affected=False),
    person("II-0", "male", ("I-1", "I-2"), affected=True),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
    person("II-3", "male", ("I-1", "I-2"), affected=False),
    *COUSINS[2:3],
    *COUSINS[5:],
]


def test_cousins_are_independent_where_their_grandparents_are_certain():
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, SIBSHIP, [CHILD])
    assert (
        "As their common ancestors I-1 and I-2 are both carriers for certain, what III-1 has says "
        "nothing more about III-2." in text
    )


def test_cousins_are_independent_where_somebody_certain_stands_between_them():
    people = [person("I-1", "male"), person("I-2", "female"), *COUSINS[2:]]
    people[3] = person("II-2", "female", ("I-1", "I-2"), genotype=1)
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, [CHILD])
    assert (
        "As II-2, through whom they are related, is a carrier for certain, what III-1 has says "
        "nothing more about III-2." in text
    )


def test_cousins_of_whom_nothing_is_known_are_not_said_to_be_independent():
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, COUSINS, [CHILD])
    assert "nothing more" not in text


def test_of_several_paths_the_others_are_counted_in_words():
    """Double first cousins: four paths of five people, F = 4 x (1/2)^5 = 1/8."""
    people = [
        *[person(f"I-{place}", sex) for place, sex in enumerate(["male", "female"] * 2, 1)],
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "female", ("I-1", "I-2")),
        person("II-3", "male", ("I-3", "I-4")),
        person("II-4", "female", ("I-3", "I-4")),
        person("III-1", "male", ("II-1", "II-4")),
        person("III-2", "female", ("II-3", "II-2")),
    ]
    (text,) = told("autosomal_recessive", {"allele": "1/50"}, people, [CHILD])
    assert "(and so on the three other paths), so that F = 4 × (1/2)⁵ = 1/8" in text
    # They can share both copies.
    assert "share one copy" not in text
