"""Where tables start: the population, the parents, certain genotypes."""

import json
import re
from fractions import Fraction

import pytest
import strategies
from hypothesis import assume, given

from risk import actions
from risk.case.read import read_case
from risk.document.working import working_blocks
from risk.genetics.founders import allele_frequency
from risk.problems import RiskError
from tests.workings.families import case, person, told

HAVE = {"ask": "disease_allele"}
ASKED_OF_A = {"ask": "carrier", "person": "A"}
CARRIER = {"ask": "carrier", "person": "II-2"}
AFFECTED_FATHER = [
    person("I-1", "male", affected=True),
    person("I-2", "female", affected=False),
    person("II-1", "male", ("I-1", "I-2")),
    person("II-2", "female", ("I-1", "I-2")),
]


def test_a_man_has_one_x_and_is_not_said_to_have_no_second_allele():
    (text,) = told(
        "x_linked_dominant",
        {"allele": "rare"},
        AFFECTED_FATHER,
        [{**HAVE, "person": "II-2"}],
    )
    assert "I-1 is affected, so I-1 has the allele for certain." in text
    assert "not two" not in text


def test_an_affected_womans_one_copy_has_its_reason_still():
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        AFFECTED_FATHER,
        [{**HAVE, "person": "II-2"}],
    )
    assert "has one copy of the allele for certain (not two, the allele being rare)" in text


def nuclear(sex, father, mother):
    """Parents of whom this is known, an affected son and an unaffected daughter or son."""
    parents = [person("I-1", "male"), person("I-2", "female")]
    for parent, affected in zip(parents, (father, mother), strict=True):
        if affected is not None:
            parent["affected"] = affected
    return [
        *parents,
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", sex, ("I-1", "I-2"), affected=False),
    ]


CERTAIN = "so I-1 and I-2 are both carriers for certain"


@pytest.mark.parametrize(
    ("father", "mother", "known", "rare"),
    [
        (False, False, "I-1 and I-2 are unaffected and II-1 is affected", "."),
        (
            None,
            False,
            "I-2 is unaffected and II-1 is affected",
            " (I-1 not with two copies, the allele being rare).",
        ),
        (None, None, "II-1 is affected", " (not with two copies, the allele being rare)."),
    ],
)
def test_parents_are_carriers_and_no_more_by_being_unaffected_or_as_the_allele_is_rare(
    father, mother, known, rare
):
    people = nuclear("female", father, mother)
    one = case("autosomal_recessive", {"allele": "rare"}, people, [CARRIER])
    (working,) = actions.explain(one)
    assert working.steps[0].text.startswith(f"{known}, {CERTAIN}{rare}")
    assert not set(working.no_difference) & {"I-1.affected", "I-2.affected"}


def test_only_the_mother_can_have_two_copies_on_the_x():
    """The father's phenotype says nothing of his sons, and so is left out as before."""
    people = nuclear("female", False, False)
    one = case("x_linked_recessive", {"allele": "rare"}, people, [CARRIER])
    (working,) = actions.explain(one)
    assert "I-2 is unaffected and II-1 is affected, so I-2 is a carrier" in working.steps[0].text
    assert working.no_difference == ("I-1.affected", "II-2.affected")


def test_cousins_parents_have_one_and_the_same_reason_in_every_question():
    """A step for each of the four, and each is shown once."""
    people = [
        *nuclear("male", False, False),
        person("II-3", "female", ("I-1", "I-2"), affected=False),
        person("II-4", "female"),
        person("II-5", "male"),
        person("III-1", "male", ("II-2", "II-4")),
        person("III-2", "female", ("II-5", "II-3")),
    ]
    asked = [
        {"ask": "carrier", "person": "III-1"},
        {"ask": "child_affected", "parents": ["III-1", "III-2"]},
    ]
    alone, couple = told("autosomal_recessive", {"allele": "rare"}, people, asked)
    why = "I-1 and I-2 are unaffected and II-1 is affected, so I-1 and I-2 are both carriers"
    assert (alone.count(why), couple.count(why)) == (1, 2)
    assert "being rare" not in couple


def test_a_father_gives_his_sons_no_x():
    parents = {"ask": "child_affected", "parents": ["I-1", "I-2"], "sex": "male"}
    himself, next_son = told(
        "x_linked_dominant",
        {"allele": "rare"},
        AFFECTED_FATHER,
        [{**HAVE, "person": "II-1"}, parents],
    )
    assert "A father gives his sons no X" in himself
    assert "A father gives his sons no X, and I-2 has no copy of the allele" in next_son


def test_an_unaffected_father_has_no_allele_because_he_is_unaffected():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2")),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "0"}},
        people,
        [{"ask": "carrier", "person": "II-2"}],
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    assert "I-1 is unaffected, so I-1 has no copy of the allele for certain" in text
    assert "vanishing in the rare limit" not in text


def test_a_carrier_frequency_leads_to_q_and_to_everybody():
    """c = 1/25 of the unaffected: q = c/(2 - c) = 1/49, and 2q(1 - q) = 96/2401 of all."""
    people = [person("I-1", "male")]
    (text,) = told(
        "autosomal_recessive", {"carrier": "1/25"}, people, [{"ask": "carrier", "person": "I-1"}]
    )
    assert "of unaffected people c = 1/25 are carriers" in text
    assert "q = c/(2 - c) = 1/49" in text
    assert "2q(1 - q) = 96/2401" in text


def test_an_incidence_leads_to_q_by_its_root():
    people = [person("I-1", "male")]
    (text,) = told(
        "autosomal_recessive",
        {"incidence": "1/2500"},
        people,
        [{"ask": "carrier", "person": "I-1"}],
    )
    assert "q = square root of 1/2500 = 1/50" in text
    assert "2q(1 - q) = 49/1250" in text


def test_related_parents_of_a_founder_enter_the_proportions():
    """F = 1/16, q = 1/10: two copies with 1/100 x 15/16 + 1/10 x 1/16 = 1/64."""
    people = [person("I-1", "male", inbreeding="1/16")]
    (text,) = told(
        "autosomal_recessive", {"allele": "1/10"}, people, [{"ask": "carrier", "person": "I-1"}]
    )
    assert "q²(1 - F) + qF = 1/64" in text
    # It is true of those whose parents are so related, and of nobody else.
    assert "I-1, whose parents are related (F = 1/16), is a carrier with chance 2q" in text
    assert "anyone" not in text


def test_the_vanishing_quantity_has_one_sign_and_is_explained():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    one = case(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{**HAVE, "person": "I-1"}],
        penetrance={"0": "0", "1": "3/4", "2": "3/4"},
    )
    (working,) = actions.explain(one)
    (step,) = working.steps
    # An unaffected carrier: 2e x 1/4; the partner then has a copy with chance 1/2 e, and the son
    # it and the condition with 1/2 x 3/4 of that.
    assert "the vanishing chance 2ε" in step.text
    assert "3/16 ε if I-1 has no copy of the allele and 3/8 if I-1 has one copy" in step.text
    note = str(working_blocks(working, one)[1])
    assert "ε stands for a vanishing quantity" in note


def test_a_carrier_frequency_on_the_x_is_of_women_and_an_unaffected_man_has_no_copy():
    people = [person("Abe", "male", affected=False), person("Eve", "female", affected=False)]
    mosaics = {"prior": "1/50", "gametes": "1/5"}
    asked = [{**HAVE, "person": "Abe"}, {"ask": "carrier", "person": "Eve"}]
    abe, eve = told("x_linked_recessive", {"carrier": "1/100"}, people, asked)
    assert abe == "Abe is unaffected, so Abe has no copy of the allele for certain."
    assert eve == "Nothing is known of Eve's parents; 1/100 of unaffected women are carriers."
    # 1/50 of the unaffected man, and of the 99/100 of unaffected women, are mosaics.
    abe, eve = told(
        "x_linked_recessive", {"carrier": "1/100"}, people, asked, germline_mosaicism=mosaics
    )
    assert abe == (
        "Nothing is known of Abe's parents; Abe is unaffected and so has no copy of the allele; of "
        "those without the allele, 1/50 are germline mosaics, who pass it on in 1/5 of eggs or "
        "sperm. A germline mosaic has the allele in eggs or sperm alone, and so counts here as "
        "having no copy."
    )
    assert "1/100 of unaffected women are carriers; of those without the allele, 1/50" in eve
    assert "no allele with chance 99/100 × 49/50 = 4851/5000, a mosaic with 99/100 × 1/50" in eve


def test_mosaics_are_told_of_and_derived_where_the_allele_is_rare_and_where_it_is_not():
    """q = 1/10: 81/100 have no allele, of whom 1/2 are mosaics."""
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    mosaics = {"prior": "1/2", "gametes": "1/5"}
    asked = [{**HAVE, "person": "I-1"}]
    for frequency, words in (
        ("1/10", "no allele with chance 81/100 × 1/2 = 81/200, a mosaic with 81/100 × 1/2"),
        ("rare", "its square; of those without it, 1/2 are germline mosaics, who pass it on in"),
    ):
        (text,) = told(
            "autosomal_dominant",
            {"allele": frequency},
            people,
            asked,
            germline_mosaicism=mosaics,
        )
        assert words in text


def test_an_affected_father_is_the_reason_also_where_the_affected_twin_says_as_much():
    """Half of his children have the allele; of these three fifths are well at 40.

    The twin is affected with chance 1/2 × 1/2 if II-1 has no allele (they are then two siblings),
    and with 1/2 + 1/2 × 1/2 if she has: 1/2 × 1/4 to 1/2 × 3/5 × 3/4, which is 5 to 9.
    """
    twin = {"group": "t", "zygosity": "unknown", "monozygotic_chance": "1/2"}
    people = [
        person("I-1", "male", affected=True, age=50),
        person("I-2", "female", affected=False, age=70),
        person("II-1", "female", ("I-1", "I-2"), affected=False, age=40, twin=twin),
        person("II-2", "female", ("I-1", "I-2"), affected=True, age=40, twin=twin),
        person("II-3", "male", affected=False, age=45),
    ]
    asked = [
        {**HAVE, "person": "II-1"},
        {"ask": "child_affected", "parents": ["II-3", "II-1"]},
    ]
    onset = [{"age": 20, "cumulative": 0}, {"age": 40, "cumulative": "40%"}]
    onset.append({"age": 60, "cumulative": 1})
    one, child = actions.explain(
        case("autosomal_dominant", {"allele": "rare"}, people, asked, onset=onset)
    )
    (step,) = one.steps
    assert [str(value) for value in step.rows[0].values] == ["1/2", "1/2"]
    assert step.rows[0].facts == ("I-1.affected",)
    assert step.text.startswith("I-1 is affected, so I-1 has one copy of the allele for certain")
    assert [str(value) for value in step.posterior] == ["5/14", "9/14"]
    assert child.steps[0].rows == step.rows
    for working in (one, child):
        assert "I-1.affected" not in working.no_difference


def test_of_parents_of_whom_something_is_known_it_is_not_said_that_nothing_is():
    """Whatever they have, an affected man's children count alike; without F nobody is inbred."""
    well = [person("I-1", "male", affected=False), person("I-2", "female", affected=False)]
    silent = [person("I-1", "male"), person("I-2", "female")]
    child = [person("II-1", "male", ("I-1", "I-2"), affected=True)]
    nobody = {"maternal": "1/1000", "paternal": "1/1000"}
    for parents, said in (
        (well, "What is known of II-1's parents makes no difference here."),
        (silent, "Nothing that matters here is known of II-1's parents."),
    ):
        (text,) = told(
            "autosomal_dominant",
            {"allele": 0},
            parents + child,
            [{"ask": "genotype", "person": "II-1"}],
            mutation=nobody,
        )
        assert text.startswith(said)


def test_a_father_without_the_allele_has_one_reason_in_all_questions():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("Eva", "female", ("I-1", "I-2"), affected=False),
        person("II-4", "male", affected=False),
    ]
    asked = [
        {"ask": "carrier", "person": "Eva"},
        {"ask": "child_affected", "parents": ["II-4", "Eva"], "sex": "male"},
    ]
    one, son = actions.explain(
        case(
            "x_linked_recessive",
            {"mutation_selection_balance": {"fitness": 0}},
            people,
            asked,
            mutation={"maternal": "rare", "paternal": "rare"},
        )
    )
    assert "I-1 is unaffected, so I-1 has no copy of the allele for certain" in one.steps[-1].text
    assert son.steps[-2].text == one.steps[-1].text
    assert son.steps[-2].rows == one.steps[-1].rows


@pytest.mark.parametrize("ask", ["carrier", "disease_allele", "genotype"])
def test_how_a_mosaic_counts_is_said_where_a_genotype_is_asked(ask):
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    asked = [{"ask": ask, "person": "I-1"}, {"ask": ask, "person": "II-1"}]
    parent, child = told(
        "autosomal_dominant",
        {"allele": 0},
        people,
        asked,
        mutation={"maternal": "1/1000", "paternal": "1/1000"},
        germline_mosaicism={"prior": "1/500", "gametes": "1/4"},
    )
    said = "A germline mosaic has the allele in eggs or sperm alone, and so counts here as having"
    assert f"{said} no copy." in parent
    assert said not in child


def test_what_a_child_gets_follows_from_what_each_parent_passes_on():
    # The mother, a certain carrier, with 1/2, the father with 1/20 x 1/2 = 1/40.
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", genotype=1),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
    ]
    parts = ("autosomal_recessive", {"carrier": "1/20"}, people)
    (working,) = actions.explain(case(*parts, [{"ask": "carrier", "person": "II-1"}]))
    assert working.steps[-1].rows[0].text == "from I-2 and I-1"
    assert (
        "I-2 passes the allele on with chance 1/2 and I-1 with chance 1/20 × 1/2 = 1/40, so that "
        "II-1 has no allele with 1/2 × 39/40 = 39/80, two copies with 1/2 × 1/40 = 1/80 and one "
        "copy with the rest, 1/2."
    ) in working.steps[-1].text


AUNT = [
    *(person("I-1", "male"), person("I-2", "female"), person("II-2", "male", affected=False)),
    person("II-1", "female", ("I-1", "I-2"), affected=False),
    person("A", "male", ("I-1", "I-2"), affected=False),
    person("III-1", "male", ("II-2", "II-1"), affected=True),
]


def test_a_carriers_sibling_is_told_by_the_copies_that_the_parents_pass_on_to_both():
    """No table of nine pairs: q = 1/50, so 1/2 + 1/2 x 1/50 of the one and 1/2 x 1/50."""
    family = case("autosomal_recessive", {"incidence": "1/2500"}, AUNT, [ASKED_OF_A])
    (working,) = actions.explain(family)
    (step,) = working.steps
    assert (
        "So the parent from whom II-1 has it passes the allele on with chance "
        "1/2 + 1/2 × 1/50 = 51/100 and the other parent with chance 1/2 × 1/50 = 1/100, so that A "
        "has no allele with 49/100 × 99/100 = 4851/10000, "
    ) in step.text
    assert step.text.startswith("II-1 is unaffected and III-1 is affected, so II-1 is a carrier ")
    assert working.probability.exact == Fraction(5098, 9949)


@pytest.mark.parametrize(
    ("known", "condition"),
    [
        ({"affected": False}, {}),
        ({"inbreeding": "1/16"}, {}),
        ({}, {"mutation": {"maternal": "1/1000", "paternal": "1/1000"}}),
    ],
)
def test_where_the_other_copies_are_not_as_anyones_both_parents_have_a_table(known, condition):
    people = [{**AUNT[0], **known}, *AUNT[1:]]
    (text,) = told("autosomal_recessive", {"allele": "1/50"}, people, [ASKED_OF_A], **condition)
    assert "as anyone's" not in text


def test_a_parent_of_a_child_with_two_copies_has_passed_one_of_them_on():
    """q = 1/20: 19/20 and 1/20, times 1 and 4/5, each; the two multiply with the son counted."""
    people = [
        *(person(id, sex, affected=False) for id, sex in (("I-1", "male"), ("I-2", "female"))),
        person("Bo", "male", ("I-1", "I-2"), affected=True),
        person("A", "female", ("I-1", "I-2"), affected=False),
    ]
    couple = {"ask": "child_affected", "parents": ["I-1", "I-2"]}
    child, next_child = actions.explain(
        case(
            "autosomal_recessive",
            {"allele": "1/20"},
            people,
            [ASKED_OF_A, couple],
            penetrance={"0": 0, "1": 0, "2": "1/5"},
        )
    )
    mother, father, _ = child.steps
    assert [*map(str, mother.posterior)] == [*map(str, father.posterior)] == ["95/99", "4/99"]
    assert mother.text.startswith(
        "Bo is affected, so Bo has two copies of the allele for certain. I-2 passed one of them on"
    )
    assert len(next_child.steps[-1].hypotheses) == 4
    assert [row.facts for row in next_child.steps[-1].rows][1:] == [("A.affected",)]
    assert str(next_child.probability.exact) == "199859/3708220"


def test_an_unaffected_parent_is_not_counted_with_two_copies():
    # Of the father his parents alone; what the mother has says nothing of him, given the daughter.
    people = [
        person("I-1", "male", inbreeding="1/64"),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
    ]
    parts = ("autosomal_recessive", {"carrier": "1/25"}, people)
    (text,) = told(*parts, [{"ask": "carrier", "person": "I-1"}])
    assert "Nothing is known of I-2's parents; 1/25 of unaffected people are carriers." in text
    assert "1/25 × 1/4 = 1/100 if I-1 is a carrier and 1/25 × 1/2 = 1/50 if I-1 has two" in text
    assert "1/25 × 1/2 = 1/50" in text


def test_where_others_are_affected_too_a_rare_allele_is_not_told_by_it():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=True),
        person("II-1", "male", ("I-1", "I-2")),
        person("II-2", "female"),
    ]
    asked = [
        {"ask": "disease_allele", "person": "II-1"},
        {"ask": "child_affected", "parents": ["II-1", "II-2"]},
    ]
    for others, says in (("1/10", True), ("0", False)):
        penetrance = {"0": others, "1": "4/5", "2": "4/5"}
        texts = told("autosomal_dominant", {"allele": "rare"}, people, asked, penetrance=penetrance)
        for text in texts:
            assert ("That I-2 is affected tells nothing of it: people without the" in text) is says
    texts = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        asked,
        penetrance={"0": "1/10", "1": "4/5", "2": "4/5"},
    )
    assert texts[1].startswith("II-1 and II-2 are as anyone from the population, where the allele")


def test_rates_of_new_mutation_are_named_where_they_are_all():
    # Both parents have nothing: 1/1000 + 1/500 - 1/500000 = 1499/500000 of children have it.
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    asked = [
        {"ask": "child_affected", "parents": ["I-1", "I-2"]},
        {"ask": "genotype", "person": "II-1"},
    ]
    texts = told(
        "autosomal_dominant",
        {"allele": 0},
        people,
        asked,
        mutation={"maternal": "1/1000", "paternal": "1/500"},
    )
    assert "(u = 1/1000 in eggs and v = 1/500 in sperm: 1 - (1 - u)(1 - v))" in texts[0]
    assert "in u = 1/1000 of eggs and v = 1/500 of sperm: one copy with chance" in texts[1]


def test_new_mutation_enters_what_a_carriers_son_gets():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": 0}},
        people,
        [{"ask": "carrier", "person": "I-2"}],
        mutation={"maternal": "1/1000", "paternal": "1/500"},
    )
    assert "at rate u = 1/1000 in eggs and v = 1/500 in sperm, a woman is a carrier" in text
    assert "new mutation in the egg may add it: 1/2 + 1/2 × 1/1000 = 1001/2000" in text


def test_a_phenotype_has_its_stated_chance_also_where_the_frequency_is_irrational():
    (text,) = told(
        "autosomal_dominant",
        {"incidence": "1/1000"},
        [person("I-1", "male", affected=True)],
        [{"ask": "disease_allele", "person": "I-1"}],
        penetrance={"0": "1/1000", "1": "9/10", "2": "9/10"},
    )
    assert "the chance of that is 1/1000 with no allele, else 9/10." in text


def test_each_of_two_founders_has_the_numbers_of_their_own_inbreeding():
    """q = 1/10, F = 1/4: 2 x 1/10 x 9/10 = 9/50, and 9/50 x 3/4 = 27/200 with F."""
    people = [person("A", "male", inbreeding="1/4"), person("B", "female")]
    (text,) = told(
        "autosomal_recessive",
        {"allele": "1/10"},
        people,
        [{"ask": "both_carriers", "people": ["A", "B"]}],
    )
    assert "A comes from the population" in text
    assert (
        "2q(1 - q)(1 - F) = 27/200 and has two copies with chance q²(1 - F) + qF = 13/400" in text
    )
    assert "B comes from the population" in text
    assert "2q(1 - q) = 9/50 and has two copies with chance q² = 1/100" in text


def test_odds_in_words_are_fractions_within_a_sum():
    (text,) = told("autosomal_recessive", {"incidence": "1 in 2500"}, [person("A")], [ASKED_OF_A])
    assert "of all people 1 in 2500 have two copies" in text
    assert "q = square root of 1/2500 = 1/50" in text


def test_half_a_year_is_written_so_that_it_can_be_divided_by():
    """3 of the 17.5 years to 2/5: 3/17.5 x 2/5 = 12/175."""
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/100"},
        [person("A", "female", affected=False, age=3)],
        [ASKED_OF_A],
        onset=[{"age": 17.5, "cumulative": "2/5"}, {"age": 60, "cumulative": 1}],
    )
    assert "between birth (0) and 17.5 (2/5) that share rises evenly: 3/17.5 × 2/5 = 12/175" in text


def test_a_partner_of_whom_something_is_known_is_not_said_to_be_as_the_population():
    """P2 has a live-born child by P3 and, before, P3: not the 1/2 of the population any more."""
    half = {"0": 1, "1": 1, "2": "1/2"}
    people = [
        person("P3", "male", ("P1", "P2")),
        person("P2", "female"),
        person("P1", "male", genotype=1),
        person("P4", "female", ("P3", "P2")),
    ]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "2/3"},
        people,
        [{"ask": "carrier", "person": "P3"}],
        viability=half,
    )
    assert text.count("P2 comes from the population") == 1


@given(strategies.cases(asked=2))
def test_what_stands_behind_a_formula_is_its_value(drawn):
    family = read_case(json.dumps(drawn))
    assume(family.condition.frequency.mutation_selection_balance is None)
    q = allele_frequency(family.condition)
    founders = [each.inbreeding.value if each.inbreeding else 0 for each in family.people]
    try:
        workings = actions.explain(family)
    except RiskError:
        return
    for text in [step.text for working in workings for step in working.steps]:
        for kin, value in re.findall(r"2q\(1 - q\)(\(1 - F\))? = (\d+/\d+)", text):
            assert Fraction(value) in {
                2 * q * (1 - q) * (1 - f) for f in founders if bool(f) == bool(kin)
            }


def test_a_mans_chance_at_the_balance_is_not_told_as_the_rate_of_new_mutation():
    # (1 + 3 + 0.7)/100000 / 0.3 + 1/100000 = 47/300000 + 3/300000 = 1/6000.
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "0.7"}},
        [person("I-1", "male")],
        [{"ask": "disease_allele", "person": "I-1"}],
        mutation={"maternal": "1/100000", "paternal": "3/100000"},
    )
    assert "(u + v + 0.7 × u)/(1 - 0.7) + u = 1/6000" in text
    assert "plus u" not in text


def test_a_mans_having_children_weighs_the_allele_by_its_fitness():
    """A weight beside that of others, and no chance."""
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
    ]
    (text,) = told(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": "1/2"}},
        people,
        [{"ask": "disease_allele", "person": "I-1"}],
        mutation={"maternal": "1/100000", "paternal": "3/100000"},
    )
    assert (
        "I-1 has children: men with the allele have 1/2 of the children that others have "
        "(fitness), and that is its weight in the row."
    ) in text
    assert "(u + v + 1/2 × u)/(1 - 1/2) + u" in text


REDUCED = {"penetrance": {"0": 0, "1": "90%", "2": "90%"}}
AFFECTED_SON = [
    person("I-1", "male", affected=False),
    person("I-2", "female"),
    person("II-1", "male", ("I-1", "I-2"), affected=True),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
]


def test_which_parent_has_a_rare_allele_is_left_open_where_other_facts_tell():
    # I-1 is unaffected, 1/10 with the allele against 1 without: I-2 has it with 10/11, and not
    # 1/2.  II-2 gets it from either with 1/2.
    mother, sister = told(
        "autosomal_dominant",
        {"allele": "rare"},
        AFFECTED_SON,
        [{**HAVE, "person": "I-2"}, {**HAVE, "person": "II-2"}],
        **REDUCED,
    )
    assert (
        "just one of the parents, I-1 and I-2, has it; whichever of them it is, II-2 gets it with "
        "chance 1/2"
    ) in sister
    assert "either with chance" not in mother + sister


def test_on_the_x_which_parent_has_a_rare_allele_makes_a_difference():
    # 2ε × 1/2 of the mother, ε × 1 of the father: either is as likely.  A sister gets it with
    # 1/2 × 1/2 + 1/2 × 1 = 3/4.
    (text,) = told(
        "x_linked_recessive",
        {"allele": "rare"},
        [
            person("I-1", "male"),
            person("I-2", "female"),
            person("II-1", "female", ("I-1", "I-2"), genotype=1),
            person("II-2", "female", ("I-1", "I-2")),
        ],
        [CARRIER],
    )
    assert "just one of the parents, I-1 and I-2, has it, either with chance 1/2" in text


@pytest.mark.parametrize(
    ("father", "worked"),
    [
        ({"affected": False}, "(times 1/10, as I-1 is unaffected): 2ε × 1/10 × 9/20 = 9/100 ε"),
        ({}, "who has it with chance 2ε: 2ε × 9/20 = 9/10 ε"),
    ],
)
def test_a_rare_allele_that_may_be_of_the_other_parent_is_derived_from_that_parent(father, worked):
    # If not I-2, then I-1 has it, with 2ε; of those with it 1/10 are unaffected; the son has it
    # with 1/2 and is affected then with 9/10.
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        [person("I-1", "male", **father), *AFFECTED_SON[1:]],
        [{**HAVE, "person": "I-2"}],
        **REDUCED,
    )
    assert "With no allele in I-2 it comes from I-1" in text
    assert worked in text


def test_what_counts_where_the_allele_may_come_from_many_is_named():
    # III-1 may have it of II-2, too, so that the chance is more than one product.
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        [
            *AFFECTED_SON[:2],
            person("II-1", "male", ("I-1", "I-2"), affected=False),
            person("II-2", "female"),
            person("III-1", "male", ("II-1", "II-2"), affected=True),
        ],
        [{**HAVE, "person": "I-2"}],
        **REDUCED,
    )
    # Without that, of I-1's 2ε half gets to II-1, of whom 1/10 are unaffected: 1/10 × 9/20 = 9/200.
    assert (
        "That I-1 is unaffected counts in the chance with no allele, which would be 189/200 ε "
        "without that." in text
    )


@pytest.mark.parametrize("parent", ["unaffected", "affected"])
def test_one_fact_that_makes_a_rare_genotype_certain_needs_no_table(parent):
    people = [
        person("I-1", "male", affected=parent == "affected"),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
    ]
    penetrance = {"0": 0, "1": "9/10", "2": "9/10"}
    asked = [{**HAVE, "person": "II-1"}]
    (working,) = actions.explain(
        case("autosomal_dominant", {"allele": "rare"}, people, asked, penetrance=penetrance)
    )
    (step,) = working.steps
    assert step.text == (
        "II-1 is affected, so II-1 has one copy of the allele for certain (not two, the allele "
        "being rare)."
    )
    assert len(step.rows) == 1
    assert working.idle == (f"I-1 is {parent}",)


@pytest.mark.parametrize("mode", ["autosomal_dominant", "x_linked_dominant"])
def test_an_unaffected_partner_without_the_allele_is_not_said_to_be_uncertain(mode):
    people = [
        person("II-1", "female"),
        person("II-3", "male", affected=False),
        person("III-1", "female", ("II-3", "II-1"), affected=False),
    ]
    asked = [{**HAVE, "person": "II-1"}]
    (working,) = actions.explain(case(mode, {"allele": "1/1000"}, people, asked))
    (step,) = working.steps
    assert "not certain" not in step.text
    assert step.rows[-1].values == (1, Fraction(1, 2), 0)
    assert working.idle == ()


def test_a_factor_of_several_facts_is_not_told_as_one_number():
    # II-1 has it of one of two parents, so that what both are counts by sums, not as a factor.
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        [
            person("I-1", "male", affected=False),
            person("I-2", "female", affected=False),
            person("II-1", "male", ("I-1", "I-2")),
            person("II-2", "female"),
            person("III-1", "male", ("II-1", "II-2"), affected=True),
        ],
        [{**HAVE, "person": "II-2"}],
        **REDUCED,
    )
    assert "times" not in text
    # Of anyone's 2ε half is passed on, and nine tenths of those are affected.
    assert (
        "That I-1 and I-2 are unaffected counts in the chance with no allele, which would be "
        "9/10 ε without that." in text
    )


def test_a_father_has_no_allele_where_men_with_it_have_no_children():
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
        person("II-2", "male"),
        person("III-1", "male", ("II-2", "II-1"), affected=True),
    ]
    asked = [{"ask": "carrier", "person": each} for each in ("II-1", "I-2")]
    balance = {"mutation_selection_balance": {"fitness": 0}}
    new = {"maternal": "rare", "paternal": "rare"}
    below, above = told("x_linked_recessive", balance, people, asked, mutation=new)
    why = "I-1 has children, and men with the allele have none (fitness 0)"
    for text in (below, above):
        assert f"{why}, so I-1 has no copy of the allele for certain." in text
    # Without the allele in both parents: new mutation at rate ε in the egg and in the sperm.
    assert "II-1 is a carrier by new mutation with chance 2ε if I-2 has no copy of the" in above


def test_a_daughter_on_the_x_has_the_allele_that_her_sister_shows_of_the_father():
    people = [
        person("I-1", "male"),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", affected=False),
    ]
    asked = [
        {"ask": "carrier", "person": "II-2"},
        {"ask": "child_affected", "parents": ["II-3", "II-2"]},
    ]
    alone, couple = told("x_linked_recessive", {"allele": "1/100"}, people, asked)
    link = "so I-1 has the allele, which every daughter gets, and"
    assert (
        f"II-1 is affected and II-2 is unaffected, {link} II-2 is a carrier for certain." in alone
    )
    assert f"{link} for certain II-2 is a carrier and II-3 has no copy of the allele." in couple
    # Who sees it of himself needs no telling.
    people[0]["affected"] = True
    (direct, _) = told("x_linked_recessive", {"allele": "1/100"}, people, asked)
    assert "every daughter" not in direct


def test_the_frequency_is_told_once_of_two_parents_who_passed_the_allele_on():
    people = [
        person("I-1", "male"),
        person("I-2", "female"),
        person("Bo", "male", ("I-1", "I-2"), affected=True),
        person("A", "female", ("I-1", "I-2")),
    ]
    (text,) = told("autosomal_recessive", {"carrier": "1/40"}, people, [ASKED_OF_A])
    assert text.count("c = 1/40") == 1
    assert (
        "I-1 passed one of them on, too, and so is a carrier with chance 1 - q = 78/79 and has two "
        "copies of the allele with chance q = 1/79."
    ) in text
