"""The grammar of the sentences: one and several, both and all."""

import re
from fractions import Fraction as F

import pytest

from risk import actions
from risk.document.blocks import Table, flatten
from risk.document.variation import variation_blocks
from risk.document.working import working_blocks
from risk.model.family import Family
from risk.workings.naming import Naming
from risk.workings.whole_steps import left_for_later
from tests.workings.families import case, person, told

CARRIERS = [
    person("I-1", "male", genotype=1),
    person("I-2", "female", genotype=1),
    person("II-1", "male", ("I-1", "I-2"), affected=False, count=2),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
]
COUPLE = {"parents": ["I-1", "I-2"]}
RECESSIVE = ("autosomal_recessive", {"carrier": "1/25"}, CARRIERS)


def test_two_known_carriers_are_said_once_and_in_the_plural():
    (text,) = told(*RECESSIVE, [{"ask": "child_affected", **COUPLE}])
    assert text == (
        "I-1 and I-2 are known to be carriers. A child is affected only if both pass the allele "
        "on: 1/2 × 1/2 = 1/4."
    )


def test_a_name_with_a_full_stop_ends_no_sentence():
    """Nor does one inside another, and a test's name in what its row says."""
    plain = ["St John", "St John Smith", "Panel v 2"]
    names = ["St. John", "St. John Smith", "Panel v. 2"]
    briefs = []
    for father, mother, panel in (plain, names):
        people = [
            person("I-1", "male", name=father, genotype=1),
            person("I-2", "female", name=mother, tests=[{"test": panel, "result": "negative"}]),
            person("II-1", "male", ("I-1", "I-2")),
        ]
        assay = {"name": panel, "sensitivity": "9/10", "specificity": "1"}
        asked = [{"ask": "carrier", "person": "II-1"}]
        (working,) = actions.explain(case(*RECESSIVE[:2], people, asked, tests=[assay]))
        briefs.append([step.brief for step in working.steps])
    before, after = briefs
    assert all(any(name in text for text in before) for name in plain)
    for one, two in zip(plain, names, strict=True):
        before = [text.replace(one, two) for text in before]
    assert before == after


def test_a_distribution_is_told_in_a_sentence():
    (working,) = actions.explain(case(*RECESSIVE, [{"ask": "genotype", "person": "II-2"}]))
    assert working.conclusion == (
        "II-2 has no copy of the disease allele with chance 1/3, about 33.3%, 1 in 3; one copy "
        "with chance 2/3, about 66.7%, 2 in 3."
    )


def test_two_are_both():
    asked = {"ask": "children_affected", **COUPLE, "of": 2, "exactly": 2}
    (working,) = actions.explain(case(*RECESSIVE, [asked]))
    assert "both with (1/4)² = 1/16" in working.steps[-1].text
    assert working.conclusion.startswith("Both of the next two children of I-1 and I-2 are")
    assert working.idle == ("II-1 (two siblings) and II-2 are unaffected",)


def test_one_child_of_one():
    asked = {"ask": "children_affected", **COUPLE, "of": 1, "exactly": 1}
    (working,) = actions.explain(case(*RECESSIVE, [asked]))
    assert "A child of theirs is affected with chance 1/4" in working.steps[-1].text
    assert working.conclusion.startswith("The next child of I-1 and I-2 is affected: chance 1/4")


def test_a_number_of_copies_is_a_column_head_in_words():
    dominant = case(
        "autosomal_dominant",
        {"allele": "rare"},
        [person("I-1", "male", affected=True), person("I-2", "female")],
        [{"ask": "child_affected", **COUPLE}],
        penetrance={"0": "0", "1": "4/5", "2": "1"},
    )
    variation = actions.vary(dominant, ["condition.penetrance.1"], ["1/2", "1"])
    heads = [
        block.header[0][0]
        for block in variation_blocks(variation, dominant)
        if hasattr(block, "header")
    ]
    assert heads == ["penetrance, 1 copy"]


def test_identical_twins_have_what_they_have_in_the_plural():
    twin = {"twin": {"group": "t", "zygosity": "monozygotic"}}
    people = [
        *CARRIERS[:2],
        person("II-1", "female", ("I-1", "I-2"), affected=True, **twin),
        person("II-2", "female", ("I-1", "I-2"), **twin),
        person("II-3", "male", genotype=1),
    ]
    asked = {"ask": "child_affected", "parents": ["II-3", "II-1"]}
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, [asked])
    assert "II-1 and II-2 have two copies of the allele" in text
    assert "II-2 has" not in text


def test_what_a_father_is_told_before_his_daughters_health_counts():
    """Hal's answer has the fact that Jo is well, which in Jo's own working is one of Jo's rows."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
        person("Hal", "male", ("I-1", "I-2"), affected=False),
        person("Ida", "female", affected=False),
        person("Jo", "female", ("Hal", "Ida"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": each} for each in ("Hal", "Jo")]
    hal, jo = actions.explain(case("autosomal_recessive", {"carrier": "1/25"}, people, asked))
    assert hal.steps[0].posterior != jo.steps[0].posterior
    assert [step.later for step in hal.steps] == [""]
    assert jo.steps[0].later == "That Jo is unaffected is not used yet; it comes in step 2."
    assert jo.steps[1].later == ""
    assert jo.steps[1].rows[1].facts == ("Jo.affected",)
    # So also where no question is about Hal, whose chance is no less unfinished.
    (alone,) = actions.explain(case("autosomal_recessive", {"carrier": "1/25"}, people, asked[1:]))
    assert [step.later for step in alone.steps] == [jo.steps[0].later, ""]


def test_what_is_known_of_descendants_and_changes_nothing_is_not_said_to_come_later():
    """II-1 is a carrier for certain, and remains one whatever Ann has."""
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female", genotype=0),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", affected=False),
        person("Ann", "female", ("II-1", "II-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": each} for each in ("II-1", "Ann")]
    found = actions.explain(case("autosomal_recessive", {"carrier": "1/25"}, people, asked))
    assert [step.later for working in found for step in working.steps if step.later] == []


def test_the_result_of_a_step_that_later_facts_change_is_so_far():
    """I-2 has an affected son: 2/3 by Haldane's rule, and 5/9 with two unaffected grandsons.

    Of a carrier's daughter's two sons none is affected with 1/2 + 1/2 × 1/4 = 5/8, of another's
    with 1: 2/3 × 5/8 / (2/3 × 5/8 + 1/3) = 5/9.
    """
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male"),
        person("III-1", "male", ("II-3", "II-2"), affected=False),
        person("III-2", "male", ("II-3", "II-2"), affected=False),
    ]
    balance = {"mutation_selection_balance": {"fitness": "0"}}
    rare = {"maternal": "rare", "paternal": "rare"}
    asked = [{"ask": "carrier", "person": each} for each in ("II-2", "I-2")]
    family = case("x_linked_recessive", balance, people, asked, mutation=rare)
    below, above = actions.explain(family)
    assert (below.steps[0].posterior[1], above.steps[-1].posterior[1]) == (F(2, 3), F(5, 9))
    ends = [
        [row.cells for block in working_blocks(working, family) for row in _rows(block)]
        for working in (below, above)
    ]
    assert ("I-2 so far", "1/3", "2/3", "") in ends[0]
    assert ("II-2", "8/9", "1/9", "") in ends[0]
    assert ("I-2", "4/9", "5/9", "") in ends[1]


def _rows(block):
    """The rows of a table, wherever in a block it stands."""
    inner = getattr(block, "blocks", ())
    return [*getattr(block, "rows", ()), *(row for each in inner for row in _rows(each))]


def test_what_the_step_ended_in_is_not_said_again():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
    ]
    asked = {"ask": "children_affected", **COUPLE, "of": 3, "exactly": 1}
    one, three = told(
        "autosomal_recessive",
        {"allele": "rare"},
        people,
        [{"ask": "child_affected", **COUPLE}, asked],
    )
    certain = "I-1 and I-2 are both carriers for certain."
    passed = "A child is affected only if both pass the allele on: 1/2 × 1/2 = 1/4."
    assert one.endswith(f"{certain} {passed}")
    assert f"{certain} Each child is affected with chance 1/2 × 1/2 = 1/4 and unaffected" in three
    # An exponent of 1 is not written: three ways, each with 1/4 x 3/4 x 3/4 = 9/64.
    assert "in 3 ways, each with 1/4 × (3/4)², together 27/64." in three


def test_why_a_partner_is_certain_comes_before_the_children():
    # With a carrier, who is unaffected and whose test is never wrongly positive, 3 of 4 children
    # of a carrier are unaffected; with anybody from the population nearly all would be.
    test = {"name": "screen", "sensitivity": "9/10", "specificity": "1"}
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", affected=False, tests=[{"test": "screen", "result": "positive"}]),
        person("III-1", "female", ("II-3", "II-2"), affected=False),
    ]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        people,
        [{"ask": "carrier", "person": "II-2"}],
        tests=[test],
    )
    reason = "II-3 is unaffected and tested positive (screen), so II-3 is a carrier for certain."
    assert f"{reason} An unaffected daughter: the chance of that is 1 if II-2 has no" in text


def test_a_row_for_a_twin_says_where_its_numbers_come_from():
    # II-2, if without the allele, is monozygotic (1/3) with a sister who has none, or has a
    # sister of whom half are carriers: 2/3 x 1/2.  If a carrier, 1/3 + 2/3 x 1/2.
    twin = {"group": "t", "zygosity": "unknown", "monozygotic_chance": "1/3"}
    people = [
        person("I-1", "male", genotype=1),
        person("I-2", "female", genotype=1),
        person("II-2", "female", ("I-1", "I-2"), affected=False, twin=twin),
        person("II-3", "female", ("I-1", "I-2"), genotype=1, twin=twin),
    ]
    asked = [{"ask": "carrier", "person": "II-2"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/50"}, people, asked)
    assert "II-3 is the twin: with chance 1/3 they are monozygotic" in text
    assert "with no allele 2/3 × 1/2 = 1/3 and for a carrier 2/3 × 1/2 + 1/3 = 2/3" in text


def test_an_id_in_small_letters_begins_a_sentence_as_it_is():
    people = [
        person("f1", "male", affected=False),
        person("m1", "female", affected=False),
        person("c1", "male", ("f1", "m1"), affected=True),
    ]
    asked = [{"ask": "carrier", "person": "m1"}, {"ask": "disease_allele", "person": "c1"}]
    workings = actions.explain(case("autosomal_recessive", {"allele": "1/10"}, people, asked))
    for working in workings:
        said = " ".join([*(step.text for step in working.steps), working.conclusion])
        assert "m1" in said or "c1" in said
        assert not {"F1", "M1", "C1"} & set(said.replace(",", " ").replace(".", " ").split())


def test_the_other_siblings_of_one_record_are_averaged_over_the_uncertain_parent():
    # II-2, sister of an affected child of two carriers, is a carrier with 2/3; I-3 is one.  Given
    # a child without the allele she is one with (2/3 x 1/4) / (1/3 x 1/2 + 2/3 x 1/4) = 1/2, given
    # a carrier with 2/3: two more are unaffected with 1/2 + 1/2 x 9/16 and 1/3 + 2/3 x 9/16.
    people = [
        *CARRIERS[:2],
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "male", genotype=1),
        person("III-1", "female", ("II-3", "II-2"), count=3, affected=False),
    ]
    (text,) = told(*RECESSIVE[:2], people, [{"ask": "carrier", "person": "III-1"}])
    assert "averaged over what II-2 may have" in text
    assert (
        "with no allele 1/2 + 1/2 × 9/16 = 25/32 and for a carrier 1/3 + 2/3 × 9/16 = 17/24" in text
    )


def test_what_half_the_children_get_is_said_once():
    people = [
        person("I-1", "male", affected=True),
        person("I-2", "female"),
        person("II-1", "female", ("I-1", "I-2")),
        person("II-2", "male"),
        person("III-1", "male", ("II-2", "II-1"), affected=False),
        person("II-3", "male"),
        person("III-2", "female", ("II-3", "II-1"), affected=False),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{"ask": "disease_allele", "person": "II-1"}],
        penetrance={"0": "0", "1": "3/5", "2": "3/5"},
    )
    assert text.count("Half the children get the allele: 1 - 1/2 × 3/5 = 7/10") == 1


@pytest.mark.parametrize(
    ("numbers", "told"),
    [
        ((2,), "step 2"),
        ((2, 3), "steps 2 and 3"),
        ((2, 3, 4), "steps 2 to 4"),
        ((2, 3, 5), "steps 2, 3 and 5"),
    ],
)
def test_later_steps_that_follow_each_other_are_a_range(numbers, told):
    family = case(*RECESSIVE, [{"ask": "carrier", "person": "II-2"}])
    said = left_for_later(Naming(Family(family)), frozenset({"II-2.affected"}), numbers)
    assert said == f"That II-2 is unaffected is not used yet; it comes in {told}"


def test_facts_that_come_later_are_those_about_descendants():
    """The row that brings those of two cousins brings two about partners as well."""
    well = {"affected": False}
    people = [
        *(person("I-1", "male", **well), person("I-2", "female", **well)),
        *(person("II-1", "male", ("I-1", "I-2"), **well), person("II-2", "female", **well)),
        *(person("II-3", "female", ("I-1", "I-2"), **well), person("II-4", "male", **well)),
        person("III-1", "male", ("II-1", "II-2"), **well),
        person("III-2", "female", ("II-4", "II-3"), **well),
    ]
    asked = [{"ask": "child_affected", "parents": ["III-1", "III-2"]}]
    (working,) = actions.explain(case("autosomal_recessive", {"allele": "1/100"}, people, asked))
    brought = [path for row in working.steps[2].rows[1:] for path in row.facts]
    assert len(brought) == 6
    for step in working.steps[:2]:
        assert step.later == "4 facts about descendants are not used yet; they come in step 3."


def test_a_certain_genotype_by_certain_parents_is_said():
    people = [
        *(person("I-1", "male"), person("I-2", "female", affected=True)),
        person("II-1", "female", ("I-1", "I-2")),
    ]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("x_linked_recessive", {"allele": "rare"}, people, asked)
    assert text.endswith(
        "I-2 has two copies of the allele for certain. So II-1 is a carrier for certain."
    )


def test_a_second_table_of_somebody_says_why_it_starts_anew():
    """Each parent's table needs what the other may have without the child that it counts.

    Both parents have related parents, so that their other copies are not as anyone's.
    """
    known = {"affected": False, "inbreeding": "1/64"}
    people = [
        *(person("I-1", "male", **known), person("I-2", "female", **known)),
        person("II-1", "male", ("I-1", "I-2"), affected=True),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
    ]
    (working,) = actions.explain(
        case(
            "autosomal_recessive",
            {"allele": "1/20"},
            people,
            [{"ask": "carrier", "person": "II-2"}],
            penetrance={"0": "0", "1": "0", "2": "1/2"},
        )
    )
    assert [each.people for each in working.steps[:4]] == [(f"I-{i}",) for i in (1, 2, 2, 1)]
    anew = r"This table starts anew beside that of step (\d), so that no fact counts twice"
    beside = [re.findall(anew, each.later) for each in working.steps]
    assert beside == [[], [], ["2"], ["1"], []]


SMALL = [
    person("a", "male", affected=False),
    person("A", "female"),
    person("b", "male", ("a", "A"), affected=True),
    person("B", "female", ("a", "A"), affected=False, name="bea"),
]


def test_ids_and_names_at_the_beginning_of_a_sentence_stay_as_they_are():
    asked = [{"ask": "carrier", "person": id} for id in ("B", "a", "A")]
    family = case("autosomal_recessive", {"carrier": "1/25"}, SMALL, asked)
    of_bea, of_a, of_mother = actions.explain(family)
    assert " a is unaffected and b is affected, so a is a carrier" in of_bea.steps[-1].text
    assert "bea is unaffected, which rules out two copies" in of_bea.steps[-1].text
    assert of_bea.conclusion.startswith("bea (B) is a carrier: chance 49/73")
    assert of_a.conclusion.startswith("a is a carrier: chance 1")
    assert of_mother.steps[0].text.startswith("b is affected, so b has two copies")


def test_other_words_begin_with_a_capital_whatever_the_ids_are():
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [person("wh", "male"), person("wha", "female"), person("c", "male", ("wh", "wha"))],
        [{"ask": "carrier", "person": "c"}],
    )
    assert "Nothing" in text or "What" in text


def test_one_copy_and_two_are_ruled_out_as_the_allele():
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/1000"},
        [person("I-1", "male", affected=False)],
        [{"ask": "disease_allele", "person": "I-1"}],
        germline_mosaicism={"prior": "1/50", "gametes": "1/4"},
    )
    assert "I-1 is unaffected, which rules out the allele." in text


def test_an_uncertain_partner_is_told_with_the_likelier_state_too():
    """Unaffected with one copy: 2q(1 - q)/10 of about 1, far likelier than two copies, q²/10."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "female", ("I-1", "I-2"), affected=True),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/100000"},
        people,
        [{"ask": "disease_allele", "person": "I-2"}],
        penetrance={"0": "0", "1": "0.9", "2": "0.9"},
        mutation={"maternal": "1/50000", "paternal": "1/50000"},
    )
    assert (
        "I-1 has one copy of the allele with chance ≈2.00002 × 10⁻⁶ and has two copies of the "
        "allele with chance 1/99998200009, so that the chance of all this is" in text
    )


def test_what_is_certain_of_two_parents_in_either_order_is_said_once():
    """An affected woman on the X: her sons have the allele, and her daughters are carriers."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=True),
    ]
    parents = ["I-2", "I-1"]
    asked = [
        {"ask": "child_affected", "parents": parents},
        {"ask": "child_carrier", "parents": parents, "sex": "female"},
    ]
    one, two = told("x_linked_recessive", {"allele": "1/100"}, people, asked)
    assert one.endswith(
        "so for certain I-1 has no copy of the allele and I-2 has two copies of the allele. A "
        "child of theirs is a son with the allele with chance 1/2."
    )
    assert two.endswith("I-2 has two copies of the allele. Every daughter of theirs is a carrier.")


def test_a_next_child_who_is_a_carrier_needs_no_second_copy():
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False, genotype=1),
    ]
    asked = [{"ask": "child_carrier", "parents": ["I-1", "I-2"]}]
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    assert text.endswith("a child has just one copy with chance a(1 - b) + b(1 - a).")


def test_who_are_affected_at_some_time_is_said():
    """Of those with one copy 9/10 fall ill, 9/20 by 40: (9/10 - 9/20) / (11/20) = 9/11."""
    people = [
        person("I-1", "male", affected=True, age=50),
        person("I-2", "female", affected=False, age=50),
        person("II-1", "female", ("I-1", "I-2"), affected=False, age=40),
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "rare"},
        people,
        [{"ask": "will_be_affected", "person": "II-1"}],
        penetrance={"0": "0", "1": "9/10", "2": "9/10"},
        onset=[{"age": 40, "cumulative": "1/2"}, {"age": 80, "cumulative": "1"}],
    )
    assert (
        "of those with this genotype 9/10 are affected at some time in life and 9/20 by 40, so "
        "that it is (9/10 - 9/20) / (1 - 9/20) = 9/11." in text
    )


def _rows_of(*parts, **condition):
    """The rows of the last table of a case with one question, and its text."""
    (working,) = actions.explain(case(*parts, **condition))
    return [(row.text, row.values) for row in working.steps[-1].rows], working.steps[-1].text


WELL_CHILDREN = [
    person("I-1", "male", genotype=1),
    person("I-2", "female"),
    person("II-1", "male", ("I-1", "I-2"), affected=False),
    person("II-2", "female", ("I-1", "I-2"), affected=False),
]


def test_sons_and_daughters_are_alike_where_sex_makes_no_difference():
    """Of a carrier and a carrier 3/4 of the children are unaffected, whatever their sex."""
    asked = [{"ask": "carrier", "person": "I-2"}]
    rows, text = _rows_of("autosomal_recessive", {"allele": "1/25"}, WELL_CHILDREN, asked)
    assert rows[-1] == ("two unaffected children", (F(1), F(9, 16), F(1, 4)))
    assert text.endswith(
        "Each child is unaffected with chance 3/4 if I-2 is a carrier and 1/2 if I-2 has two "
        "copies of the allele, independently of the others: 3/4 × 3/4 = 9/16."
    )
    unknown = [person("I-1", "male"), *WELL_CHILDREN[1:]]
    both = [{"ask": "both_carriers", "people": ["I-1", "I-2"]}]
    rows, _ = _rows_of("autosomal_recessive", {"carrier": "1/25"}, unknown, both)
    assert [text for text, _ in rows[1:]] == ["two unaffected children"]


def test_sons_and_daughters_are_told_apart_where_sex_makes_a_difference():
    penetrance = {sex: {"0": "0", "1": "0", "2": x} for sex, x in (("male", 1), ("female", "1/2"))}
    asked = [{"ask": "carrier", "person": "I-2"}]
    rows, _ = _rows_of(
        "autosomal_recessive", {"carrier": "1/25"}, WELL_CHILDREN, asked, penetrance=penetrance
    )
    assert [text for text, _ in rows[1:]] == ["an unaffected son", "an unaffected daughter"]
    on_the_x = [person("I-1", "male"), *WELL_CHILDREN[1:]]
    rows, _ = _rows_of(
        "x_linked_dominant",
        {"allele": "1/25"},
        on_the_x,
        asked,
        penetrance={"0": 0, "1": "1/2", "2": 1},
    )
    assert [text for text, _ in rows[1:]] == ["an unaffected son", "an unaffected daughter"]


def test_a_chance_by_an_age_is_derived_for_several_children_too():
    """Half the children get the allele; by 40 half of them are affected: 1 - 1/2 × 1/2 = 3/4."""
    people = [
        *(person("I-1", "male", genotype=0), person("I-2", "female")),
        person("II-1", "male", ("I-1", "I-2"), affected=False, age=40),
        person("II-2", "female", ("I-1", "I-2"), affected=False, age=40),
    ]
    onset = [{"age": 0, "cumulative": 0}, {"age": 40, "cumulative": "1/2"}]
    asked = [{"ask": "disease_allele", "person": "I-2"}]
    rows, text = _rows_of("autosomal_dominant", {"allele": "1/25"}, people, asked, onset=onset)
    assert rows[-1] == ("two unaffected children at 40", (F(1), F(9, 16), F(1, 4)))
    assert "Here 1/2 is the share of those ever affected who are so by 40" in text
    assert "Half the children get the allele: 1 - 1/2 × 1/2 = 3/4" in text


def test_of_many_sums_the_one_that_takes_most_is_worked_out():
    """A partner's three genotypes, of which two have the same chances in a row."""
    test = {"name": "screen", "sensitivity": "9/10", "specificity": "99/100"}
    negative = {"tests": [{"test": "screen", "result": "negative"}]}
    people = [
        *(person("I-1", "male"), person("I-2", "female")),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False, **negative),
    ]
    asked = [{"ask": "genotype", "person": "I-1"}]
    (text,) = told("autosomal_recessive", {"allele": "1/10"}, people, asked, tests=[test])
    # I-2 from the population: 81, 18 and 1 in 100.  With a carrier and somebody without the
    # allele II-2 is well and negative with 1/2 × 99/100 + 1/2 × 1/10 = 109/200; with two carriers
    # with 1/4 × 99/100 + 1/2 × 1/10 = 119/400, and II-1 is well with 3/4: 357/1600; with a carrier
    # and somebody with two copies with 1/2 × 1/10, and II-1 with 1/2: 1/40.
    assert F(81, 100) * F(109, 200) + F(18, 100) * F(357, 1600) + F(1, 4000) == F(38549, 80000)
    assert (
        "if I-1 is a carrier 81/100 × 109/200 + 9/50 × 357/1600 + 1/100 × 1/40 = 38549/80000, and "
        "the others likewise."
    ) in text
    assert (
        "1/4 × 99/100 + 1/2 × 1/10 = 119/400, and likewise if one of I-1 and I-2 is a carrier and "
        "the other has no copy of the allele 109/200 and if one of I-1 and I-2 has two copies of "
        "the allele and the other is a carrier 1/20."
    ) in text


def test_siblings_counted_with_one_are_averaged_over_what_two_parents_may_have():
    """With a child of no allele both parents are carriers with (1/625 × 1/4) / (2401/2500)."""
    people = [
        *(person("Jim", "male", affected=False), person("Kit", "female", affected=False)),
        person("II-1", "female", ("Jim", "Kit"), affected=False, count=3),
    ]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    assert F(1, 625) * F(1, 4) / F(2401, 2500) == F(1, 2401)
    assert text.endswith(
        "with no allele 2400/2401 + 1/2401 × 9/16 = 5487/5488 and for a carrier "
        "48/49 + 1/49 × 9/16 = 111/112."
    )


def test_what_a_child_of_tied_parents_gets_is_a_sum_over_both():
    """Gia, a carrier with 2/3, and Hal, one with 1/50, have an unaffected child and III-1.

    Before III-1 both are carriers with 3/299, and just one is with 198/299.
    """
    people = [
        *(person("I-1", "male", genotype=1), person("I-2", "female", genotype=1)),
        person("Gia", "female", ("I-1", "I-2"), affected=False),
        person("Hal", "male", affected=False),
        person("III-1", "male", ("Hal", "Gia"), affected=False),
        person("III-2", "female", ("Hal", "Gia"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "III-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/50"}, people, asked)
    assert (
        "weighed by what both may have: with no allele 98/299 + 198/299 × 1/2 + 3/299 × 1/4 = "
        "791/1196, and the others likewise."
    ) in text


def test_long_chances_of_children_are_sums_too():
    """With new mutation every number of a daughter with children of her own is long."""
    people = [
        *(person("I-1", "male", affected=False), person("I-2", "female")),
        person("II-1", "female", ("I-1", "I-2"), affected=False),
        person("II-2", "male", affected=False),
        person("III-1", "male", ("II-2", "II-1"), affected=False, count=4),
        person("III-2", "female", ("II-2", "II-1"), affected=False),
    ]
    rates = {"maternal": "1/10000", "paternal": "1/10000"}
    asked = [{"ask": "carrier", "person": id} for id in ("I-2", "II-1")]
    above, own = told("x_linked_recessive", {"carrier": "1/1000"}, people, asked, mutation=rates)
    # A carrier's daughter has no allele with (1 - 1/10000)² / 2; of a carrier's sons (1 - 1/10000)
    # / 2 are unaffected, 0.062475 of four.
    assert "if I-2 is a carrier ≈0.4999 × ≈0.9996 + ≈0.50005 × ≈0.0624719 ≈ 0.530939 and" in above
    assert (
        "9999/20000 × 9999/20000 × 9999/20000 × 9999/20000 ≈ 0.062475. A carrier passes the "
        "allele on with chance 1/2, and otherwise new mutation in the egg may add it: "
        "1 - (1/2 + 1/2 × 1/10000) = 9999/20000."
    ) in own
    # A daughter has two copies if both pass one on: 1/10000 × 1/10000, or of a carrier
    # (1/2 + 1/2 × 1/10000) × 1/10000.
    assert F(10001, 20000) / 10000 == F(10001, 200000000)
    assert (
        "1 - 1/100000000 if II-1 has no copy of the allele and 1 - 10001/200000000 if II-1" in own
    )


def test_one_of_two_alleles_found_is_derived():
    """A panel that finds 9 of 10 alleles finds just one of two with 2 × 9/10 × 1/10."""
    tests = [{"name": "panel", "detects": ["x"]}]
    variants = [{"name": "x", "share": "9/10"}, {"name": "y", "share": "1/10"}]
    texts = []
    for found in (0, 1):
        people = [
            *(person("I-1", "male", genotype=1), person("I-2", "female", genotype=1)),
            person("II-1", "male", ("I-1", "I-2"), tests=[{"test": "panel", "found": found}]),
        ]
        asked = [{"ask": "genotype", "person": "II-1"}]
        texts += told(
            *("autosomal_recessive", {"allele": "1/10"}, people, asked),
            tests=tests,
            variants=variants,
        )
    none, one = texts
    assert none.endswith("something else, and of two neither found with 1/10 × 1/10 = 1/100.")
    assert one.endswith("finds, and of two just one with 2 × 9/10 × 1/10 = 9/50.")


def test_sons_and_daughters_with_other_chances_are_half_each():
    penetrance = {sex: {"0": "0", "1": x, "2": x} for sex, x in (("male", 1), ("female", "1/2"))}
    people = [person("I-1", "male", affected=False), person("I-2", "female", affected=True)]
    (text,) = told(
        *("autosomal_dominant", {"allele": "1/10"}, people, [{"ask": "child_affected", **COUPLE}]),
        penetrance=penetrance,
    )
    assert "chance ab. Sons and daughters are equally likely. The chance that a daughter" in text


CERTAIN = [
    *(person("I-1", "male", affected=True), person("I-2", "female", affected=False)),
    person("Ann", "female", ("I-1", "I-2"), affected=False),
    person("Bo", "male", ("I-1", "I-2"), affected=True),
    person("Cy", "male", affected=False),
    person("Dee", "female", ("Cy", "Ann"), affected=False),
]


def test_what_ones_own_facts_make_certain_takes_one_sentence_and_no_table():
    """Whatever Bo's parents have, he has a copy; and without onset data Ann stays well."""
    asked = [
        {"ask": "disease_allele", "person": "Bo"},
        {"ask": "will_be_affected", "person": "Ann"},
    ]
    family = case(
        *("autosomal_dominant", {"allele": "1/20"}, CERTAIN, asked),
        penetrance={"0": "0", "1": "1/2", "2": "1/2"},
    )
    bo, ann = actions.explain(family)
    assert [step.text for step in bo.steps] == [
        "Bo is affected, which rules out having no copy of the allele."
    ]
    assert [step.text for step in ann.steps] == [
        "Ann is unaffected, and without onset data that is taken to be for life."
    ]
    shown = [block for each in (bo, ann) for block in flatten(working_blocks(each, family))]
    assert not any(isinstance(block, Table) for block in shown)
    # The step is the question's own: what Bo may have, given everything.
    numbers = dict(zip((1, 2), bo.steps[0].posterior, strict=True))
    (true,) = [each for each in actions.solve(family).people if each.id == "Bo"]
    assert numbers == {n: true.disease_alleles[n].exact for n in numbers}
    assert set(bo.no_difference) == {f"{p['id']}.affected" for p in CERTAIN} - {"Bo.affected"}


def test_a_table_that_another_question_needs_is_still_made():
    asked = [{"ask": "will_be_affected", "person": "Ann"}, {"ask": "carrier", "person": "Ann"}]
    _, carrier = actions.explain(
        case(
            *("autosomal_dominant", {"allele": "1/20"}, CERTAIN, asked),
            penetrance={"0": "0", "1": "1/2", "2": "1/2"},
        )
    )
    assert len(carrier.steps[-1].rows) > 1


def test_at_least_one_carrier_leaves_out_who_has_two_copies_where_that_is_possible():
    """Else the cases overlap: beside a carrier there may be somebody with two."""
    people = [person("I-1", "male"), person("I-2", "female")]
    people.append(person("II-1", "male", ("I-1", "I-2")))
    asked = [{"ask": "carrier", "person": "II-1"}]
    words = Naming(Family(case("autosomal_recessive", {"carrier": "1/25"}, people, asked)))
    carriers = [(0, 1), (1, 0), (1, 1)]
    said = words.one_of((0, 1), carriers, carriers)
    assert said == "at least one of I-1 and I-2 is a carrier"
    others = [*carriers, (1, 2), (2, 1)]
    assert words.one_of((0, 1), carriers, others) == f"{said} and neither has two copies"
