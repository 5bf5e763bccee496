"""Facts in words."""

import json
from fractions import Fraction

import pytest

from risk import actions
from risk.case import edit
from risk.case.model import TestResult
from risk.case.read import read_case
from risk.model.facts import facts_of
from risk.wording.facts import fact_in_words, fact_phrases
from tests.workings.families import case, person


def family():
    """An affected child and a healthy one, II-2: here called Mira, a carrier, tested twice."""
    case = edit.change_person(actions.example("negative-test"), "II-1", name=None)
    name = case.condition.tests[0].name
    case = edit.add_result(case, "II-2", TestResult(name, result="positive"))
    return edit.change_person(case, "II-2", name="Mira", genotype=1)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("II-1.affected", "II-1 is affected"),
        ("II-2.genotype", "Mira (II-2) is known to be a carrier"),
        ("II-2.tests[0]", "Mira (II-2) tested negative (carrier test)"),
        ("II-2.tests[1]", "Mira (II-2) tested positive (carrier test)"),
    ],
)
def test_a_fact_by_its_path(path, words):
    assert fact_in_words(path, family()) == words


def test_results_that_say_the_same_are_counted():
    case = family()
    name = case.condition.tests[0].name
    for _ in range(2):
        case = edit.add_result(case, "II-2", TestResult(name, result="positive"))
    facts = [fact for fact in facts_of(case) if ".tests" in fact.path]
    assert "Mira tested positive (carrier test) three times" in fact_phrases(facts, case)


def test_one_who_stands_for_several_is_said_to_be_several():
    case, _ = edit.add_siblings(family(), "II-2", number=3, affected=False, alike=True)
    path = f"{case.people[-1].id}.affected"
    said = f"{case.people[-1].id} (three siblings) are unaffected"
    assert fact_in_words(path, case) == said


def test_what_is_known_of_the_same_people_is_one_clause():
    text = {
        "version": 1,
        "condition": {
            "inheritance": "autosomal_dominant",
            "frequency": {"allele": "1/100"},
            "viability": {"0": "1", "1": "1", "2": "0"},
        },
        "people": [
            {"id": "I-1", "sex": "male", "affected": True, "name": "Bob"},
            {"id": "I-2", "sex": "female", "affected": True, "name": "Cat"},
        ],
    }
    case = read_case(json.dumps(text))
    assert fact_phrases(facts_of(case), case) == ["Bob and Cat are affected and were born alive"]


def test_a_result_that_is_neither_positive_nor_negative_is_named_as_a_result():
    people = [
        person(id, "male", tests=[{"test": "enzyme", "result": "carrier range"}])
        for id in ("I-1", "I-2")
    ]
    rates = {"0": "1/100", "1": "9/10", "2": "9/10"}
    others = {genotype: str(1 - Fraction(rate)) for genotype, rate in rates.items()}
    levels = {"name": "enzyme", "likelihood": {"carrier range": rates, "normal": others}}
    tested = case("autosomal_recessive", {"carrier": "1/25"}, people, [], tests=[levels])
    assert fact_phrases(facts_of(tested), tested) == [
        'I-1 and I-2 have the enzyme result "carrier range"'
    ]
