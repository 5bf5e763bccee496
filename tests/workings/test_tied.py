"""Why two relatives' chances multiply, and what is said where they do not."""

from fractions import Fraction

import pytest

from risk import actions, bundled
from tests.workings.families import case, person, told

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


def test_no_such_reason_where_both_of_a_couple_may_have_the_allele():
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, COUSINS, child("III-1", "III-2"))
    assert "Just one" not in text
    assert "has says nothing more" not in text


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


def test_cousins_are_told_from_what_their_grandparents_have():
    """Carriers 1/25, and an affected nephew makes a carrier of one of the grandparents or both.

    Of one carrier: II-1 is one with 1/2, so III-1 gets nothing with 3/4 × 49/50, both alleles with
    1/4 × 1/50, and is a carrier with 52/199 of those unaffected, who are 199/200.  Of two, with
    II-1 a carrier with 2/3: 51/149, and 2/3 of I-1's children are carriers, 1/4 affected, so that
    II-1 and III-1 are unaffected with 3/4 × 149/150 = 149/200.  Both being carriers is 1/24 times
    as likely as a given one; II-5, unaffected, has a child like hers in both with the same chance.
    One : two = 2 × 24 × 199² : 149², which sum to 1923049.
    """
    people = [
        *[each for each in COUSINS if each["id"] not in ("I-3", "II-3", "II-5")],
        person("II-5", "female", ("I-1", "I-2"), affected=False),
        person("II-6", "male", affected=False),
        person("III-3", "male", ("II-6", "II-5"), affected=True),
    ]
    asked = child("III-1", "III-2")
    (working,) = actions.explain(case("autosomal_recessive", {"carrier": "1/25"}, people, asked))
    above, last = working.steps
    assert above.people == ("I-1", "I-2")
    # A carrier's child with II-8 or II-9 is affected with 1/4 × 1/25.
    assert (
        "III-1 is unaffected: the chance of that is 3/4 if II-1 and II-8 are both carriers, "
        "else 1. "
        "II-8 is a carrier with chance 1/25, so that the chance of all this is "
        "24/25 + 1/25 × 3/4 = 99/100 if II-1 is a carrier. "
        "Weighed by what II-1 may have: if just one of I-1 and I-2 is a carrier 1/2 + 1/2 × "
        "99/100 = 199/200 and if I-1 and I-2 are both carriers 1/4 + 1/2 × 99/100 = 149/200."
    ) in above.text
    # II-6 makes no difference, but whoever works it by hand counts him with 1/25.
    assert (
        "III-3 is affected: the chance of that is 1/4 if II-5 and II-6 are both carriers, else 0. "
        "II-6 is a carrier with chance 1/25, so that the chance of all this is "
        "1/25 × 1/4 = 1/100 if II-5 is a carrier. This can only be where II-5 is a "
        "carrier, with chance 1/2 if at least one of I-1 and I-2 is a "
        "carrier, so that the chance of all this is 1/2 × 1/100 = 1/200."
    ) in above.text
    # Of III-1 and III-2 it tells in both steps, of others than before.
    assert "What is known of III-1 and III-2 has told what I-1 and I-2 may have" in last.text
    assert "so that nothing counts twice" in last.text
    assert last.rows[0].uses == (above.id,)
    assert "10 facts" not in last.text
    assert (
        "If we knew what I-1 and I-2 have, what III-1 has would say nothing more about III-2, and "
        "the chances go down the lines of II-1 and II-2: if just one of I-1 and I-2 is a carrier "
        "(chance 1900848/1923049), each of III-1 and III-2 is a carrier with chance "
        "(1/4 × 49/50 + 3/4 × 1/50) / (1 - 1/4 × 1/50) = 52/199 (the allele being passed on with "
        "chance 1/2 × 1/2 = 1/4 by II-1 and II-2 and 1/25 × 1/2 = 1/50 by II-8 and II-9); if I-1 "
        "and I-2 are both carriers (chance 22201/1923049), each of III-1 and III-2 is a carrier "
        "with chance (1/3 × 49/50 + 2/3 × 1/50) / (1 - 1/3 × 1/50) = 51/149 (the allele being "
        "passed on with chance 2/3 × 1/2 = 1/3 by II-1 and II-2 and 1/50 by II-8 and II-9). So the "
        "chance that III-1 and III-2 are both carriers is "
        "1900848/1923049 × 52/199 × 52/199 + 22201/1923049 × 51/149 × 51/149 = 132393/1923049."
    ) in last.text


def test_long_and_irrational_chances_are_decimals():
    """q = (1/2000)^(1/2), and II-5 is a carrier with chance 1/2 by one carrier or by two.

    Of two carriers each of three more children is unaffected with 3/4, so that one : two =
    2 × 2q(1 - q) × (1 - q)² : (2q(1 - q))² × 27/64 = 1 - q : 27/64 q = 0.990443 : 0.009557.
    """
    people = [
        *[each for each in GRANDPARENTS if each["id"] not in ("I-3", "II-3")],
        person("II-6", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = child("II-6", "II-2")
    (text,) = told("autosomal_recessive", {"incidence": "1/2000"}, people, asked)
    assert "if just one of I-1 and I-2 is a carrier (chance ≈0.990443)" in text
    assert ", each of II-6 and II-2 is a carrier with chance ≈0.5; if I-1 and I-2 are both" in text


def test_half_sibs_are_told_from_what_their_one_parent_has():
    """I-1 has the rare allele with 1/2; if so each of II-3 and II-4 has it with 1/2.

    Both have it with 1/8, and not with 1/4 × 1/4.
    """
    people = [
        *GRANDPARENTS,
        person("I-4", "female", affected=False),
        person("II-4", "male", ("I-1", "I-4"), affected=False),
    ]
    (text,) = told("autosomal_recessive", {"allele": "rare"}, people, child("II-4", "II-3"))
    assert "if I-1 is a carrier (chance 1/2), each of II-4 and II-3 is a carrier with" in text
    assert "both carriers is 1/2 × 1/2 × 1/2 = 1/8." in text
    assert "has says nothing more" not in text


def test_of_two_grandparents_only_the_uncertain_one_has_a_table():
    """I-2 is known to be a carrier, so that the cousins' chances go by what I-1 has."""
    people = [{**each, "genotype": 1} if each["id"] == "I-2" else each for each in COUSINS]
    people = [each for each in people if each["id"] != "II-5"]
    asked = child("III-1", "III-2")
    (working,) = actions.explain(case("autosomal_recessive", {"carrier": "1/25"}, people, asked))
    assert [step.people for step in working.steps] == [("I-1",), ("III-1", "III-2")]
    text = working.steps[-1].text
    assert "I-2 is known to be a carrier. III-1 is unaffected, which rules out two copies" in text
    assert "If we knew what I-1 has, what III-1 has would say" in text
    assert (
        "(1 - 1/4 × 1/50) = 52/199 (the allele being passed on with chance 1/2 × 1/2 = 1/4" in text
    )


def test_a_daughter_is_told_from_what_her_father_has():
    """I-1, brother of an affected child of carriers, has one allele with 2/3, and q = 1/50.

    II-1 of a carrier gets it from him, or her mother, or both: 1/2 × 49/50 + 1/2 × 1/50 = 1/2.
    """
    people = [
        person("0-1", "male", genotype=1),
        person("0-2", "female", genotype=1),
        person("I-1", "male", ("0-1", "0-2"), affected=False),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
    ]
    (text,) = told("autosomal_recessive", {"allele": "1/50"}, people, child("I-1", "II-1"))
    assert "I-1 is an ancestor of II-1. " in text
    assert "What II-1 may have goes by what I-1 has: if I-1 has no copy of the allele" in text
    assert "if I-1 is a carrier (chance 2/3), II-1 is a carrier with chance 1/2 and has two" in text
    assert "is 2/3 × 1/2 = 1/3, and so on for every other pair of genotypes." in text


def test_a_table_that_is_too_long_a_sum_says_so_and_no_more():
    """Double first cousins have four common ancestors."""
    people = [
        *[person(f"I-{n}", "male" if n % 2 else "female") for n in (1, 2, 3, 4)],
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "male", ("I-1", "I-2")),
        person("II-3", "female", ("I-3", "I-4")),
        person("II-4", "female", ("I-3", "I-4")),
        person("II-5", "female", ("I-3", "I-4"), affected=True),
        person("III-1", "male", ("II-1", "II-3")),
        person("III-2", "female", ("II-2", "II-4")),
    ]
    asked = child("III-1", "III-2")
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    assert "it is exact, and too long a sum to be written out here." in text
    assert "by hand" not in text.lower()


def test_a_sum_that_many_cases_share_is_told_with_the_name_of_these():
    """II-5 is a carrier with 1/2 if at least one parent is one, or one has two copies: 1 then.

    With q = 1/10 anybody is a carrier with 18/100, and has two copies with 1/100.  A carrier's
    child with such a man is affected with 1/2 × (18/100 × 1/2 + 1/100) = 1/20.
    """
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-5", "female", ("I-1", "I-2"), affected=False),
        person("II-6", "male"),
        person("III-3", "male", ("II-6", "II-5"), affected=True),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "both_carriers", "people": ["I-1", "I-2"]}]
    (text,) = told("autosomal_recessive", {"allele": "1/10"}, people, asked)
    # Of one with two copies and a carrier half the children are carriers, too.
    at_least = (
        "with chance 1/2 if at least one of I-1 and I-2 is a carrier, so that the chance of all "
        "this is 1/2 × 1/20 = 1/40"
    )
    two = "for certain if one of I-1 and I-2 has two copies of the allele and the other none"
    assert f"{at_least} and {two}, so that it is 1/20." in text
    healthy = [{**each, "affected": False} if each["id"][0] == "I" else each for each in people[:2]]
    (text,) = told("autosomal_recessive", {"allele": "1/10"}, [*healthy, *people[2:]], asked)
    assert f"{at_least}." in text
    assert "if II-5 is a carrier 9/50 × 1/4 + 1/100 × 1/2 = 1/20" in text


def test_on_the_x_a_sister_and_brother_are_told_from_what_their_mother_has():
    """q = 1/10: I-2 is a carrier with 18/100, II-1 of hers has the allele with 1/2, II-2 is a
    carrier with 1/2 × 9/10 + 1/2 × 1/10 = 1/2."""
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "female", ("I-1", "I-2")),
    ]
    (text,) = told("x_linked_recessive", {"allele": "1/10"}, people, child("II-1", "II-2"))
    assert (
        "if I-2 is a carrier (chance 9/50), II-1 has the allele with chance 1/2 and II-2 is a "
        "carrier with chance 1/2" in text
    )


def test_what_is_known_of_each_of_two_sibs_enters_the_chance_that_each_has():
    """Of I-1's children half have the allele; 3/5 and 4/5 of those are unaffected at 40 and 20.

    (1/2 × 3/5) / (1/2 + 1/2 × 3/5) = 3/8, and (1/2 × 4/5) / (1/2 + 1/2 × 4/5) = 4/9.
    """
    people = [
        person("0-1", "male", affected=True),
        person("0-2", "female"),
        person("I-1", "male", ("0-1", "0-2")),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2"), affected=False, age=40),
        person("II-2", "female", ("I-1", "I-2"), affected=False, age=20),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{"ask": "both_carriers", "people": ["II-1", "II-2"]}],
        onset=[
            {"age": 20, "cumulative": "1/5"},
            {"age": 40, "cumulative": "2/5"},
            {"age": 80, "cumulative": "1"},
        ],
    )
    assert "II-1 is unaffected at 40: the chance of that is 1 with no allele and 1 - 2/5" in text
    assert (
        "II-1 has one copy of the allele with chance (1/2 × 3/5) / (1/2 + 1/2 × 3/5) = 3/8 and "
        "II-2 has one copy of the allele with chance (1/2 × 4/5) / (1/2 + 1/2 × 4/5) = 4/9 (the "
        "allele being passed on with chance 1/2 by I-1)"
    ) in text


def test_a_clause_on_one_of_two_people_says_what_the_other_has():
    """Beside a carrier the other may have two copies where the allele is not rare."""
    people = [
        {key: value for key, value in each.items() if key != "affected"}
        if each["id"] in ("I-1", "I-2")
        else each
        for each in COUSINS
        if each["id"] not in ("I-3", "II-3", "II-5")
    ]
    asked = child("III-1", "III-2")
    texts = " ".join(told("autosomal_recessive", {"allele": "1/100"}, people, asked))
    assert "if one of I-1 and I-2 is a carrier and the other has no copy of the allele" in texts
    assert "if just one of I-1 and I-2 has two copies of the allele (chance" in texts
    assert " or I-1 has two copies" not in texts


def test_a_partner_by_marriage_is_derived_before_the_row_that_averages_over_it():
    """II-3 is unaffected, with chance 19/20 if she has no allele (249001/250000), else 2/5."""
    (working,) = actions.explain(
        case(
            "autosomal_dominant",
            {"allele": "1/500"},
            [
                person("I-1", "male", affected=False),
                person("I-2", "female", affected=True),
                person("II-1", "female", ("I-1", "I-2"), affected=False),
                person("II-2", "male", ("I-1", "I-2"), affected=False),
                person("II-3", "female", affected=False),
                person("III-1", "female", ("II-2", "II-3"), affected=True),
            ],
            [{"ask": "disease_allele", "person": "II-1"}],
            penetrance={"0": "1/20", "1": "3/5", "2": "3/5"},
        )
    )
    steps = {step.people: step for step in working.steps}
    of_partner, both = steps["II-3",], steps["I-1", "I-2"]
    assert of_partner.posterior[0] == Fraction(249001 * 95, 249001 * 95 + 999 * 40)
    row = next(row for row in both.rows if "II-3.affected" in row.facts)
    assert row.uses == (of_partner.id,)
    assert working.steps.index(of_partner) < working.steps.index(both)


def test_a_relative_with_a_long_chance_is_derived_too():
    """What Anders has goes by a long history, which Silje's table knows from its start."""
    family = actions.load(bundled.bundled_cases()["island-family"].read_bytes())
    working, *_ = actions.explain(family)
    row = working.steps[-1].rows[-1]
    assert row.text == "two unaffected children"
    assert "Anders is a carrier with chance ≈0.147152" in row.reason
    (of_partner,) = [step for step in working.steps if step.id in row.uses]
    assert of_partner.people == ("IV-4",)
    assert float(of_partner.posterior[1]) == pytest.approx(0.147152, abs=1e-6)


def test_an_uncle_and_his_niece_are_each_worked_out_in_each_case():
    """II-2 is well, and so passes the allele of one parent on with 1/2 x 1/2."""
    people = [
        *GRANDPARENTS[:2],
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", affected=False),
        person("III-1", "female", ("II-3", "II-2"), affected=False),
    ]
    asked = child("II-1", "III-1")
    (text,) = told("autosomal_recessive", {"carrier": "1/50"}, people, asked)
    assert (
        "II-1 is a carrier with chance 1/2 and III-1 is a carrier with chance (1/4 × 99/100 + "
        "3/4 × 1/100) / (1 - 1/4 × 1/100) = 34/133 (the allele being passed on with chance "
        "1/2 × 1/2 = 1/4 by II-2 and 1/100 by II-3)"
    ) in text
    assert "passed on with chance 1/2 by I-1 and I-2" in text
