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
    said = "the chance of that is 3/4 if II-2 and II-3 are both carriers, else 1."
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


def test_on_the_x_it_is_said_what_a_daughter_gets_where_new_mutation_takes_part():
    # Of a mother with no allele a daughter is a carrier with 1/100 × 99/100 × 2 = 99/5000.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
        person("II-2", "male", affected=False),
        person("III-1", "male", ("II-2", "II-1"), affected=True),
    ]
    asked = [{"ask": "carrier", "person": "I-2"}]
    (text,) = told("x_linked_recessive", {"allele": "1/10"}, people, asked, mutation=NEW)
    rule = (
        "With a for the chance that I-2 passes the allele on (a carrier: 1/2; two copies: 1; a "
        "normal allele changes into it by new mutation in 1/100 of eggs) and b for the chance that "
        "I-1 does (a normal allele changes into it by new mutation in 1/100 of sperm), a daughter "
        "has no copy with chance (1 - a)(1 - b), two copies with ab and one copy with the rest."
    )
    assert text.count(rule) == 1
    mutation = {"maternal": "1/100", "paternal": 0}
    (text,) = told("x_linked_recessive", {"allele": "1/10"}, people, asked, mutation=mutation)
    assert "in 1/100 of eggs), a daughter has one copy with chance a, else none." in text


def test_sons_on_the_x_are_told_no_rule_for_daughters():
    people = [*COUPLE, person("II-1", "male", ("I-1", "I-2"), affected=True)]
    asked = [{"ask": "child_affected", "parents": ["I-1", "I-2"], "sex": "male"}]
    (text,) = told("x_linked_recessive", {"allele": "1/10"}, people, asked, mutation=NEW)
    assert "daughter" not in text


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


#: A carrier's sisters and their sons, on the X.
RARE_ON_X = ("x_linked_recessive", {"allele": "rare"})
MOTHERS_LINE = [
    person("0-1", "male"),
    person("0-2", "female", genotype=1),
    person("I-2", "female", ("0-1", "0-2"), affected=False),
    person("I-3", "male"),
    person("II-1", "female", ("I-3", "I-2"), affected=False),
    person("II-2", "male"),
    person("III-1", "male", ("II-2", "II-1"), affected=False, count=2),
]


def test_what_is_known_below_a_child_is_told_from_the_youngest_on():
    # II-1's two sons escape with 1/2 × 1/2, and she is a carrier in half of the cases.
    asked = [{"ask": "carrier", "person": "I-2"}]
    (text,) = told(*RARE_ON_X, MOTHERS_LINE, asked)
    assert (
        "III-1 (two siblings) are unaffected, each with chance 1/2 if II-1 is a carrier, "
        "independently of the others: 1/2 × 1/2 = 1/4. II-1 is a carrier with chance 1/2 if I-2 is "
        "a carrier, so that the chance of all this is 1/2 + 1/2 × 1/4 = 5/8." in text
    )


def test_a_childs_own_chance_and_its_childrens_are_multiplied():
    # Unaffected with 3/10, two children so with 13/20 each.
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-2", "male"),
        person("III-1", "male", ("II-2", "II-1"), affected=False),
        person("III-2", "male"),
        person("III-3", "female"),
        person("IV-1", "female", ("III-1", "III-3"), affected=False, count=2),
    ]
    asked = [{"ask": "disease_allele", "person": "II-1"}]
    penetrance = {"0": 0, "1": "7/10", "2": "7/10"}
    (text,) = told("autosomal_dominant", {"allele": "rare"}, people, asked, penetrance=penetrance)
    assert "13/20 × 13/20 = 169/400. Together that is 3/10 × 169/400 = 507/4000 if III-1" in text
    # What the product takes is told for the state that it is about.
    assert "is 1 with no allele and 1 - 7/10 = 3/10 with one copy. IV-1 (two siblings)" in text
    assert "so that the chance of all this is 1/2 + 1/2 × 507/4000 = 4507/8000." in text


def test_the_sum_that_is_worked_out_is_of_what_is_likely():
    # Two affected children of healthy parents: one is a mosaic, and hardly ever both.
    people = [
        *COUPLE,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "male", ("I-1", "I-2"), affected=True),
    ]
    mosaic = {"prior": "1/10000", "gametes": "1/4"}
    asked = [{"ask": "child_affected", "parents": ["I-1", "I-2"]}]
    (text,) = told("autosomal_dominant", {"allele": 0}, people, asked, germline_mosaicism=mosaic)
    assert "independently of the others: 1/4 × 1/4 = 1/16." in text
    assert "7/16 × 7/16" not in text


def test_children_come_before_the_average_over_the_other_parent():
    # A child of one parent with one copy is affected with 1/2 × 1/10 + 1/2 × 7/10 = 2/5, of two
    # such with 1/4 × 1/10 + 3/4 × 7/10 = 11/20; a sibling is not with 3/5 and 9/20.
    people = [
        *COUPLE,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "male", ("I-1", "I-2"), affected=False),
    ]
    penetrance = {"0": "1/10", "1": "7/10", "2": "7/10"}
    asked = [{"ask": "disease_allele", "person": "I-2"}]
    (text,) = told(*DOMINANT, people, asked, penetrance=penetrance)
    products = (
        "if I-2 has one copy of the allele and I-1 none 2/5 × 3/5 = 6/25, one 11/20 × 9/20 = "
        "99/400 and two 7/10 × 3/10 = 21/100. Weighed by what I-1 may have"
    )
    assert products in text


def test_what_goes_by_the_other_side_of_a_loop_is_not_told_as_if_it_did_not():
    """The cousins III-1 and III-2 have an affected child, which tells of III-2's parents, too.

    So II-4 is a carrier with another chance if II-3 is one, and their daughter, who is a carrier
    then, is unaffected for certain or with less than 3/4.
    """
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", affected=False),
        person("II-3", "female", ("I-1", "I-2"), affected=False),
        person("II-4", "male", affected=False),
        person("III-1", "male", ("II-1", "II-2"), affected=False),
        person("III-2", "female", ("II-4", "II-3"), affected=False),
        person("IV-1", "female", ("III-1", "III-2"), affected=True),
        person("II-5", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "II-5"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/30"}, people, asked)
    # What II-1 has does not give the chance of IV-1's being affected by itself.
    assert "What is known of II-1, III-1 and IV-1 counts through II-1." in text
    assert "what II-2 may have" not in text
    assert "what II-4 may have: if II-3 is a carrier" in text
    assert "II-4 is a carrier with chance" not in text
    assert "3/4 if" not in text


def test_of_two_in_a_loop_no_sum_is_told_whose_numbers_nobody_can_find():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "female", affected=False),
        person("II-4", "male", affected=False),
        person("III-1", "male", ("II-1", "II-3"), affected=False),
        person("III-2", "female", ("II-4", "II-2"), affected=False),
        person("IV-1", "female", ("III-1", "III-2"), affected=True),
        person("II-5", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "I-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    averaged = (
        "What I-2 has is not certain, so the chance of what is known of II-1, II-2 and II-5 and "
        "those below is averaged over it."
    )
    assert averaged in text
    assert "24/25 × 1/9604" not in text


@pytest.mark.parametrize(
    ("count", "said", "total"),
    [
        (
            {},
            "An unaffected son: the chance of that is 3/4 if I-1 and I-2 are both",
            "3/4 = 99/100",
        ),
        ({"count": 2}, "Each son is unaffected with chance 3/4 if", "9/16 = 393/400"),
    ],
)
def test_a_child_is_told_of_also_where_not_all_are_born_alive(count, said, total):
    people = [*COUPLE, person("II-1", "male", ("I-1", "I-2"), affected=False, **count)]
    people = [{**each, "affected": False} for each in people]
    asked = [{"ask": "carrier", "person": "I-1"}]
    viability = {"0": "1", "1": "1", "2": "1/2"}
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked, viability=viability)
    assert said in text
    whole = f"so that the chance of all this is 24/25 + 1/25 × {total} if I-1 is a carrier."
    assert f"I-2 is a carrier with chance 1/25, {whole}" in text


def test_several_children_who_are_not_plain_are_told_of_before_the_average():
    people = [*COUPLE, person("II-1", "male", ("I-1", "I-2"), affected=False, count=2)]
    asked = [{"ask": "carrier", "person": "I-1"}]
    penetrance = {"0": "0", "1": "0", "2": "4/5"}
    (text,) = told(*RECESSIVE, people, asked, penetrance=penetrance)
    assert "Each son is unaffected with chance 4/5 if I-1 and I-2 are both carriers" in text


def test_who_has_the_allele_for_being_affected_is_said_before_else():
    # Else counts nobody without the allele.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
        person("II-2", "male", affected=False),
        person("III-1", "male", ("II-2", "II-1"), affected=True),
    ]
    mosaic = {"prior": "1/1000", "gametes": "1/10"}
    asked = [{"ask": "child_affected", "parents": ["I-1", "I-2"]}]
    (text,) = told(
        "autosomal_dominant", {"allele": "rare"}, people, asked, germline_mosaicism=mosaic
    )
    (before, _) = text.split("else 1", 1)
    assert "II-1 is affected, which rules out having no copy of the allele." in before


def test_a_mosaics_children_have_the_allele_by_new_mutation_too():
    # 1/5 + 4/5 × 1/10000 = 2501/12500
    people = [
        *COUPLE,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "male", ("I-1", "I-2"), affected=False),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"allele": 0},
        people,
        [{"ask": "child_affected", "parents": ["I-1", "I-2"], "sex": "male"}],
        mutation={"maternal": "1/10000", "paternal": "1/10000"},
        germline_mosaicism={"prior": "1/5000", "gametes": "1/5"},
    )
    begin = "A germline mosaic passes the allele on with chance 1/5, and otherwise new mutation in"
    assert f"{begin} the egg may add it: 1/5 + 4/5 × 1/10000 = 2501/12500." in text
    assert "1 - (1/5 + 4/5 × 1/10000) = 9999/12500" in text


def test_of_a_product_all_states_are_told_or_none():
    # II-1 with one copy: 1/5 × her child's chance, which is long; with two 1/5 × 4/5.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-2", "male", affected=False),
        person("III-1", "female", ("II-2", "II-1"), affected=True),
    ]
    penetrance = {"0": "0", "1": "4/5", "2": "4/5"}
    asked = [{"ask": "carrier", "person": "I-1"}]
    (text,) = told("autosomal_dominant", {"allele": "1/1000"}, people, asked, penetrance=penetrance)
    assert (
        "Together that is 1/5 × 2496502/6240005 ≈ 0.080016 if II-1 has one copy of the allele and "
        "1/5 × 4/5 = 4/25 if II-1 has two copies of the allele." in text
    )


def test_of_several_children_nothing_is_multiplied_by_1():
    # II-1 is unaffected for certain but where both parents have the allele.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "male", ("I-1", "I-2")),
        person("II-3", "female"),
        person("III-1", "male", ("II-2", "II-3"), affected=True),
    ]
    asked = [{"ask": "carrier", "person": "I-1"}]
    penetrance = {"0": "0", "1": "0", "2": "9/10"}
    (text,) = told("autosomal_recessive", {"allele": "1/20"}, people, asked, penetrance=penetrance)
    assert "Of several children these chances multiply:" in text
    assert " × 1 = " not in text and " 1 × " not in text


def test_a_child_by_new_mutation_of_vanishing_chance_is_told_of():
    people = [
        *COUPLE,
        person("II-1", "female", ("I-1", "I-2"), genotype=1),
        person("II-2", "female", ("I-1", "I-2"), affected=True),
        person("I-3", "female"),
        person("II-3", "female", ("I-1", "I-3"), genotype=1),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "1/2"}},
        people,
        [{"ask": "carrier", "person": "I-2"}],
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    assert "is 6/13 × ε = 6/13 ε if I-2 has no copy of the allele" in text


MUTATION = {"mutation": {"maternal": "1/100000", "paternal": "1/100000"}}
RULE = "a child has no copy with chance (1 - a)(1 - b), two copies with ab and one copy with"


def test_nothing_is_averaged_over_what_a_child_is_known_to_have():
    """With no copy in either parent it is one by new mutation: 2 x 1/100000 x 99999/100000."""
    people = [
        *(person("I-1", "male", genotype=0), person("I-2", "female")),
        person("II-1", "male", ("I-1", "I-2"), genotype=1),
        person("II-2", "male", ("I-1", "I-2"), genotype=0),
    ]
    question = {"ask": "carrier", "person": "I-2"}
    (text,) = told("autosomal_recessive", {"allele": "1/50"}, people, [question], **MUTATION)
    assert (
        "II-1 is known to be a carrier: the chance of that is 1.99998 × 10⁻⁵ if I-2 has no copy "
        "of the allele, ≈0.500005 if I-2 is a carrier and 99999/100000 if I-2 has two copies of "
        "the allele. With a and b for the chances that I-2 and I-1 pass the allele on"
    ) in text
    assert "averaged" not in text
    assert text.count(RULE) == 1


def test_of_alike_children_with_many_chances_the_one_that_counts_most_is_told():
    """By four pairs of genotypes and more: 1 minus the chance of two copies, squared."""
    people = [
        *(person("I-1", "male"), person("I-2", "female")),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
    ]
    question = {"ask": "both_carriers", "people": ["I-1", "I-2"]}
    rates = {"mutation": {"maternal": "1/1000", "paternal": "1/1000"}}
    (text,) = told("autosomal_recessive", {"allele": "1/50"}, people, [question], **rates)
    assert (
        "Each child is unaffected with chance 999999/1000000 if I-1 and I-2 both have no copy of "
        "the allele, independently of the others: 999999/1000000 × 999999/1000000 ≈ 0.999998, and "
        "the others likewise."
    ) in text
    assert RULE in text


def test_where_the_rare_allele_may_come_from_a_partner_every_number_is_worked_out():
    """By III-1 either partner of two has it; II-3, who is well, makes that less likely of I-2.

    With no allele in I-1, II-2 has it as (2 × 1/5 × 2/5)ε = 4/25 ε, or I-2, and with her II-1, as
    (2 × 1/5 × 1/2 × 2/25)ε = 2/125 ε: one in eleven of all.
    """
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-2", "male", affected=False),
        person("II-3", "female", ("I-1", "I-2"), affected=False),
        person("III-1", "male", ("II-2", "II-1"), affected=True),
    ]
    asked = [{"ask": "disease_allele", "person": "I-1"}]
    penetrance = {"0": 0, "1": "4/5", "2": "4/5"}
    (text,) = told("autosomal_dominant", {"allele": "rare"}, people, asked, penetrance=penetrance)
    assert (
        "it comes from II-2, who has it with chance 2ε (times 1/5, as II-2 is unaffected): "
        "2ε × 1/5 × 2/5 = 4/25 ε" in text
    )
    assert (
        "II-1 has one copy of the allele from I-2 with chance 2ε × 1/5 × 1/2 = 1/5 ε if I-1 has no "
        "copy of the allele; weighed by what II-1 may have: if I-1 has no copy of the allele "
        "4/25 ε + 1/5 ε × 2/25 = 22/125 ε" in text
    )
    assert (
        "With no allele in I-1 the rows before leave it to I-2 with chance 1/11: "
        "10/11 + 1/11 × 3/5 = 53/55." in text
    )


def test_one_other_sum_is_not_called_others():
    """With no allele II-1 has no affected child, so that beside a carrier's there is one sum."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", affected=False),
        person("III-1", "female", ("II-3", "II-1"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "II-1"}]
    penetrance = {"0": 0, "1": 0, "2": "1/2"}
    (text,) = told("autosomal_recessive", {"carrier": "1/10"}, people, asked, penetrance=penetrance)
    assert "= 2847/2884 if II-1 is a carrier, and the other likewise." in text


def test_what_vanishes_at_first_is_not_left_out_where_it_counts_with_a_parent_who_has_the_allele():
    """II-1 has the rare allele only if I-1 has: well with 1/5, and III-1 with 1 - 1/2 × 4/5."""
    people = [
        person("I-1", "male"),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-2", "male", affected=False),
        person("II-3", "female", ("I-1", "I-2")),
        person("II-4", "male", affected=False),
        person("III-1", "male", ("II-2", "II-1"), affected=False),
        person("III-2", "male", ("II-4", "II-3"), affected=True),
    ]
    asked = [{"ask": "disease_allele", "person": "I-1"}]
    penetrance = {"0": 0, "1": "4/5", "2": "4/5"}
    (text,) = told("autosomal_dominant", {"allele": "rare"}, people, asked, penetrance=penetrance)
    assert (
        "III-1 is unaffected: the chance of that is 1 if II-1 has no copy of the allele and 3/5"
        in text
    )
    assert (
        "II-1 has one copy of the allele with chance 1/2 if I-1 has one copy of the allele, so "
        "that the chance of all this is 1/2 + 1/2 × 3/25 = 14/25." in text
    )
    # I-2 may have it, too, which the row of II-1 makes less likely, and her being well.
    assert "from I-2 with chance 2ε × 14/25 × 1/5 × 1/2 = 14/125 ε" in text


def test_sums_that_a_later_one_is_made_of_are_all_told():
    # Neither parent has the allele: II-2 is a carrier by new mutation with 3.99994e-5, and so has
    # an affected son with 0.99996 × 1e-5 + 3.99994e-5 × 0.500005 = 2.99995e-5.
    people = [
        person("I-1", "male"),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", affected=False),
        person("III-1", "male", ("II-3", "II-2"), affected=True),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "7/10"}},
        people,
        [{"ask": "carrier", "person": "I-2"}],
        mutation={"maternal": "1/100000", "paternal": "3/100000"},
    )
    assert (
        "≈ 0.25001, and likewise if I-2 and I-1 both have no copy of the allele 2.99995 × 10⁻⁵, if "
        "I-2 has no copy of the allele and I-1 has the allele ≈0.5 and if I-2 is a carrier and I-1 "
        "has the allele ≈0.25."
    ) in text
    assert "8570/8571 × 2.99995 × 10⁻⁵ + 1/8571 × ≈0.5 ≈ 8.83323 × 10⁻⁵ if I-2 has no copy" in text


def test_a_row_told_within_another_may_rule_out_that_a_parent_has_no_allele():
    """The father of II-3 is affected by his twin, so that his having no copy has no value here."""
    twin = {"twin": {"group": "A", "zygosity": "monozygotic"}}
    people = [
        person("I-1", "male"),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), **twin),
        person("II-2", "male", ("I-1", "I-2"), affected=True, **twin),
        person("II-3", "male", ("II-1", "I-2"), genotype=0),
        person("II-4", "female", ("I-1", "I-2")),
    ]
    asked = [{"ask": "child_carrier", "parents": ["II-3", "II-4"]}]
    rates = {"maternal": "1/1000", "paternal": "1/10000"}
    (text,) = told("autosomal_dominant", {"allele": "1/5"}, people, asked, mutation=rates)
    # With 999/1000 from I-2, and 1/2 x 9999/10000 from one copy.
    assert (
        "II-3 is known to have no disease allele: the chance of that is ≈0.49945 if II-1 and II-2 "
        "have one copy of the allele, else 0." in text
    )
