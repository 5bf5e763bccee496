"""Where the chances of a test's result come from."""

from fractions import Fraction
from pathlib import Path

import pytest

from risk import actions
from tests.workings.families import case, person, told

ROOT = Path(__file__).parents[2]
ASKED = {"ask": "carrier", "person": "I-1"}


def of_test(result, **rates):
    people = [person("I-1", "male", tests=[{"test": "t", "result": result}])]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        people,
        [ASKED],
        tests=[{"name": "t", **rates}],
    )
    return text


def test_a_negative_result_follows_from_the_sensitivity():
    said = of_test("negative", sensitivity="9/10", specificity="1")
    assert "positive in 9/10 of those with a disease allele (sensitivity), and so negative" in said
    assert "specificity" not in said


def test_a_positive_result_follows_from_both():
    said = of_test("positive", sensitivity="9/10", specificity="49/50")
    assert "(sensitivity); it is negative in 49/50 of those without" in said
    assert "and so positive in 1 - 49/50 = 1/50 of them" in said


def test_classes_that_a_test_misses():
    """15% of alleles are of the rarer classes; of the sister's two one is common and one rarer."""
    path = ROOT / "fixtures/variant-classes.json"
    brother, partner, _ = actions.explain(actions.load(path.read_bytes()))
    assert "3/20 of disease alleles are something else" in partner.steps[0].text
    assert "a single disease allele here is something else with chance 1/2" in brother.steps[0].text


def test_a_brothers_result_tells_of_ones_own_allele():
    """The brother has one allele of either class, a parent each: a sister has either with 1/2."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("Bo", "male", ("I-1", "I-2"), affected=True, tests=[{"test": "panel", "found": 1}]),
        person("Kit", "female", ("I-1", "I-2"), tests=[{"test": "panel", "found": 0}]),
    ]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        people,
        [{"ask": "carrier", "person": "Kit"}],
        variants=[{"name": "common", "share": "85%"}, {"name": "other", "share": "15%"}],
        tests=[{"name": "panel", "detects": ["common"]}],
    )
    assert (
        'The test finds "common" only; as Bo is affected and has one allele found (panel), a '
        "single disease allele here is something else with chance 1/2, and of two one would be "
        "found." in text
    )


def test_the_rates_of_one_test_are_said_once():
    results = [{"test": "t", "result": each} for each in ("positive", "negative")]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [person("I-1", "male", affected=False, tests=results)],
        [ASKED],
        tests=[{"name": "t", "sensitivity": "9/10", "specificity": "49/50"}],
    )
    assert text.count("(sensitivity)") == text.count("(specificity)") == 1
    assert "The test is negative in 1 - 9/10 = 1/10 of those with a disease allele." in text


WELL_AND_NEGATIVE = {
    "affected": False,
    "age": 20,
    "tests": [{"test": "t", "result": "negative"}],
}


@pytest.mark.parametrize(
    ("partner", "children", "facts", "said"),
    [
        # Of those with the allele 1/5 are affected by 20, and 1/10 of them test negative.
        (0, 1, WELL_AND_NEGATIVE, "1/2 × 99/100 + 1/2 × 4/5 × 1/10 = 107/200."),
        (0, 2, WELL_AND_NEGATIVE, "1/2 × 99/100 + 1/2 × 4/5 × 1/10 = 107/200."),
        (0, 1, {"tests": WELL_AND_NEGATIVE["tests"]}, "1/2 × 99/100 + 1/2 × 1/10 = 109/200."),
        (None, 1, WELL_AND_NEGATIVE, "99/100 with no allele, else 4/5 × 1/10 = 2/25, weighed by"),
        # Of two with one copy a quarter have none, and no half have one.
        (1, 1, WELL_AND_NEGATIVE, ""),
    ],
)
def test_a_result_beside_an_age_is_a_product(partner, children, facts, said):
    mother = {} if partner is None else {"genotype": partner}
    people = [
        person("I-1", "male"),
        person("I-2", "female", **mother),
        *[person(f"II-{n}", "male", ("I-1", "I-2"), **facts) for n in range(children)],
    ]
    (text,) = told(
        "autosomal_dominant",
        {"allele": "1/100"},
        people,
        [{"ask": "disease_allele", "person": "I-1"}],
        onset=[{"age": 20, "cumulative": "1/5"}, {"age": 60, "cumulative": "1"}],
        tests=[{"name": "t", "sensitivity": "9/10", "specificity": "99/100"}],
    )
    assert said in text
    assert ("Half the children" in text) == (partner == 0)


def test_results_that_say_the_same_are_one_row_and_the_test_is_told_in_whole_sentences():
    results = [{"test": "t", "result": each} for each in ("negative", "positive", "negative")]
    family = case(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [person("I-1", "male", affected=False, tests=results)],
        [ASKED],
        tests=[{"name": "t", "sensitivity": "9/10", "specificity": "19/20"}],
    )
    (working,) = actions.explain(family)
    rows = [row.text for row in working.steps[-1].rows]
    assert rows[-2:] == ["I-1 tested negative (t) twice", "I-1 tested positive (t)"]
    assert working.steps[-1].rows[-2].values[:2] == (Fraction(361, 400), Fraction(1, 100))
    text = working.steps[-1].text
    assert (
        "I-1 tested negative (t) twice: the chance of that is 19/20 × 19/20 = 361/400 with no "
        "allele and 1/10 × 1/10 = 1/100 for a carrier. The test is positive in 9/10 of those with"
    ) in text
    assert "in 1 - 19/20 = 1/20 of those without a disease allele." in text
    assert text.count("of those without") == 2


def test_what_was_told_of_the_same_result_is_not_told_again():
    tests = [{"test": "t", "result": "negative"}]
    people = [person("I-1", "male", tests=tests), person("I-2", "female", tests=tests)]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [*people, person("II-1", "male", ("I-1", "I-2"), affected=True, name="Al")],
        [{"ask": "both_carriers", "people": ["I-1", "I-2"]}],
        tests=[{"name": "t", "sensitivity": "9/10", "specificity": "19/20"}],
    )
    assert text.count("negative in 1 - 9/10 = 1/10") == text.count("so negative in 1 - 9/10 =")


def test_a_childs_result_is_derived_by_the_genotype_of_the_parent_in_the_table():
    """Half a carrier's children have the allele, of whom 9/10 test positive: 1/2 + 1/2 × 1/10."""
    test = {"name": "t", "sensitivity": "9/10", "specificity": "1"}
    negative = [{"test": "t", "result": "negative"}]
    people = [
        person("II-1", "male", affected=False),
        person("II-2", "female", genotype=0),
        person("III-1", "male", ("II-1", "II-2"), tests=negative),
    ]
    parts = ("autosomal_recessive", {"carrier": "1/25"})
    asked = [{"ask": "carrier", "person": "II-1"}]
    (text,) = told(*parts, people, asked, tests=[test])
    assert (
        "III-1 tested negative (t): the chance of that is 1 if II-1 has no copy of the allele and "
        "11/20 if II-1 is a carrier. Half the children get the allele: 1/2 + 1/2 × 1/10 = 11/20. "
        "The test is positive in 9/10 of those"
    ) in text
    people.append({**people[-1], "id": "III-2"})
    (text,) = told(*parts, people, asked, tests=[test])
    assert (
        "Each son tested negative (t) with chance 11/20 if II-1 is a carrier, independently of the "
        "others: 11/20 × 11/20 = 121/400. Half the children get the allele: 1/2 + 1/2 × 1/10 = "
        "11/20. The test is positive in 9/10"
    ) in text
    # Two carriers' children: 1/4 + 3/4 × 1/10.
    people[1]["genotype"] = 1
    for number, begun in ((3, "the chance of that is"), (4, "with chance")):
        (text,) = told(*parts, people[:number], asked, tests=[test])
        assert (
            f"tested negative (t){':' * (number == 3)} {begun} 1/2 + 1/2 × 1/10 = 11/20 if" in text
        )
        assert "1/4 + 3/4 × 1/10 = 13/40 if II-1 is a carrier" in text
        assert text.count("(sensitivity)") == 1


def test_a_childs_result_beside_an_uncertain_partner_tells_of_the_test():
    people = [
        person("II-1", "male", affected=False),
        person("II-2", "female", affected=False),
        person("III-1", "male", ("II-1", "II-2"), tests=[{"test": "t", "result": "negative"}]),
    ]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        people,
        [{"ask": "carrier", "person": "II-1"}],
        tests=[{"name": "t", "sensitivity": "9/10", "specificity": "1"}],
    )
    assert "and 24/25 × 11/20 + 1/25 × 13/40 = 541/1000 if II-1 is a carrier." in text
    assert "The test is positive in 9/10 of those with a disease allele (sensitivity)" in text


def test_the_chance_of_an_allele_that_may_be_another_than_a_relatives_is_worked_out():
    """A brother's one allele is not common: so is a sister's, unless both parents are carriers.

    These are with 1/49: of two unaffected people one at least is a carrier in 49 of 625 pairs,
    and then a child is one with the same chance 1/2.
    """
    nothing = [{"test": "panel", "found": 0}]
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False, tests=nothing),
        person("II-3", "female", ("I-1", "I-2"), affected=False, tests=nothing),
        person("III-1", "male", ("II-1", "II-2"), affected=True),
    ]
    (text,) = told(
        "autosomal_recessive",
        {"carrier": "1/25"},
        people,
        [{"ask": "carrier", "person": "II-3"}],
        variants=[{"name": "common", "share": "80%"}, {"name": "other", "share": "20%"}],
        tests=[{"name": "panel", "detects": ["common"]}],
    )
    assert (
        "with chance 48/49 + 1/49 × 3/5 = 243/245 (if both parents are carriers, 1/2 + 1/2 × 1/5 "
        "= 3/5)" in text
    )
    assert "Together that is 1/5 × 1/100 = 1/500 if II-2 is a carrier." in text
