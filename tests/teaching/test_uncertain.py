"""Which inputs are doubted, and that each changed case is the case with just that changed."""

import json
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from risk import actions
from risk.case.write import write_case
from risk.teaching.uncertain import uncertain_inputs

FIXTURES = sorted(Path("fixtures").glob("*.json"))


def case_with(**changes):
    source = json.loads(Path("fixtures/negative-test.json").read_text(encoding="utf-8"))
    source["condition"].update(changes)
    return actions.load(json.dumps(source))


def table(case, name):
    (found,) = [each for each in uncertain_inputs(case) if each.name == name]
    return [(text, own) for text, own, _ in found.variants]


@pytest.mark.parametrize("path", FIXTURES, ids=lambda path: path.stem)
def test_one_value_is_the_case_s_own_and_the_others_change_the_condition_alone(path):
    case = actions.load(path.read_bytes())
    found = uncertain_inputs(case)
    assert len(found) <= 4
    for each in found:
        assert len(each.variants) > 1
        assert [changed for _, own, changed in each.variants if own] == [case]
        for _, own, changed in each.variants:
            untwinned = replace(changed, condition=case.condition, people=case.people)
            assert untwinned == case
            assert own or changed != case
            assert actions.load(write_case(changed)) == changed  # still a valid case file


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ("1/25", ["1/100", "1/50", "1/25", "2/25", "4/25"]),
        ("4%", ["1%", "2%", "4%", "8%", "16%"]),
        (0.04, ["0.01", "0.02", "0.04", "0.08", "0.16"]),
        ("1/3", ["1/12", "1/6", "1/3", "2/3"]),
        ("1 in 50", ["1/200", "1/100", "1 in 50", "1/25", "2/25"]),
    ],
)
def test_a_frequency_is_halved_and_doubled_as_it_is_written(given, expected):
    rows = table(case_with(frequency={"carrier": given}), "frequency of carriers")
    assert [text for text, _ in rows] == expected


def test_a_rare_allele_is_compared_with_ones_that_are_not():
    rows = table(case_with(frequency={"allele": "rare"}), "frequency of the disease allele")
    assert rows == [("rare", True), ("1/10000", False), ("1/1000", False), ("1/100", False)]


def test_only_the_side_of_a_test_that_spoke_is_doubted():
    names = [each.name for each in uncertain_inputs(case_with())]
    assert names == ["frequency of carriers", "sensitivity of carrier test"]


def test_a_test_short_of_certainty_is_made_worse_and_better():
    rows = table(case_with(), "sensitivity of carrier test")
    assert [text for text, _ in rows] == ["80%", "90%", "95%", "99%"]


def test_a_perfect_number_is_compared_with_ones_that_fall_short():
    perfect = case_with(tests=[{"name": "carrier test", "sensitivity": 1, "specificity": 1}])
    assert [text for text, _ in table(perfect, "sensitivity of carrier test")] == [
        "0.9",
        "0.95",
        "0.99",
        "1",
    ]


def test_penetrance_of_one_allele_moves_with_that_of_two_where_they_are_alike():
    case = actions.load(Path("fixtures/reduced-penetrance.json").read_bytes())
    (found,) = [each for each in uncertain_inputs(case) if each.name == "penetrance"]
    for _, _, changed in found.variants:
        assert changed.condition.penetrance.one == changed.condition.penetrance.two
        assert 0 < changed.condition.penetrance.one.value <= 1


def test_a_mutation_rate_is_divided_and_multiplied_by_ten():
    case = case_with(mutation={"maternal": "1/1000", "paternal": 0.0001})
    (found,) = [each for each in uncertain_inputs(case) if each.name == "rate of new mutation"]
    rates = [changed.condition.mutation.maternal.value for _, _, changed in found.variants]
    assert rates == [Fraction(1, 10_000), Fraction(1, 1000), Fraction(1, 100)]


def test_the_chance_of_being_identical_is_doubted_and_what_changes_nothing_is_left_out():
    case = actions.load(Path("fixtures/twins.json").read_bytes())
    found = actions.dependences(case)
    assert any("identical" in each.name for each in found)
    for each in found:
        assert len({chances for _, _, chances in each.rows}) > 1


def test_a_rate_that_the_balance_with_selection_does_not_allow_is_not_tried():
    # Carriers are 2(u + v + fu)/(1 - f) of women: with u = v = 1/250 and f = 9/10, 29/125; ten
    # times the rates would make that 58/25.
    rate = {"maternal": "1/250", "paternal": "1/250"}
    balance = {"mutation_selection_balance": {"fitness": "9/10"}}
    source = {
        "version": 1,
        "condition": {"inheritance": "x_linked_recessive", "frequency": balance, "mutation": rate},
        "people": [
            {"id": "I-1", "sex": "female"},
            {"id": "I-2", "sex": "male"},
            {"id": "II-1", "sex": "male", "mother": "I-1", "father": "I-2", "affected": False},
        ],
        "questions": [{"ask": "carrier", "person": "I-1"}],
    }
    case = actions.load(json.dumps(source))
    assert table(case, "rate of new mutation") == [("a tenth", False), ("as given", True)]
    for each in actions.dependences(case):
        for _, _, chances in each.rows:
            assert all(0 <= chance.exact <= 1 for chance in chances)
