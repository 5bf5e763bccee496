"""Values of a case in words: as a reader of the plot would call them."""

import json

import pytest

from risk import actions
from risk.bundled import bundled_cases
from risk.wording.parameters import parameter_in_words, value_in_words


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("condition.frequency.carrier", "carrier frequency"),
        ("condition.mutation.paternal", "rate of new mutation in sperm"),
        ("condition.penetrance.1", "penetrance with one copy of the disease allele"),
        ("condition.viability.male.0", "viability with no copies of the disease allele, males"),
        ("II-2.age", "age of II-2"),
        ("people[1].age", "age of I-2"),
        ("questions[0].by_age", "age in question 1"),
        ("condition.germline_mosaicism.prior", "chance of germline mosaicism"),
        ("II-2.affected", "phenotype of II-2"),
        ("people[1].inbreeding", "inbreeding coefficient of I-2"),
    ],
)
def test_names_of_values(path, words):
    assert parameter_in_words(path, actions.example("healthy-sister")) == words


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("I-1.affected", "false", "unaffected"),
        ("II-2.tests[0].result", "unknown", "no result"),
        ("II-2.tests[0].result", "negative", "negative"),
        ("II-2.tests[0].found", "1", "one disease allele found"),
        ("condition.inheritance", "x_linked_dominant", "X-linked dominant"),
        ("II-1.twin.zygosity", "unknown", "not known"),
        ("condition.frequency.carrier", "1/25", "1/25"),
    ],
)
def test_words_of_values(path, value, words):
    assert value_in_words(path, value) == words


@pytest.mark.parametrize("name", sorted(bundled_cases()))
def test_every_value_of_a_case_has_words_of_its_own(name):
    case = actions.example(name)
    words = [parameter_in_words(each, case) for each in actions.parameters(case)]
    assert len(set(words)) == len(words)
    assert not [each for each in words if "[" in each or "_" in each]


def test_results_of_one_test_are_numbered_and_tests_and_classes_have_their_names():
    positive = {"test": "panel", "result": "positive"}
    case = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": {"carrier": "1/25"},
                    "onset": [{"age": 0, "cumulative": 0}, {"age": 40, "cumulative": 1}],
                    "variants": [{"name": "d", "share": "9/10"}, {"name": "rest", "share": "1/10"}],
                    "tests": [
                        {"name": "panel", "sensitivity": "0.9", "specificity": "1"},
                        {
                            "name": "salt",
                            "likelihood": {"a.b": {"0": "0.1", "1": "0.1", "2": "0.9"}},
                        },
                    ],
                },
                "people": [
                    {"id": "A.1", "sex": "female"},
                    {"id": "B", "sex": "male"},
                    {
                        "id": "C",
                        "sex": "male",
                        "mother": "A.1",
                        "father": "B",
                        "twin": {"group": "t", "zygosity": "unknown"},
                        "tests": [positive, {"test": "salt", "result": "a.b"}, positive],
                    },
                    {
                        "id": "D",
                        "sex": "male",
                        "mother": "A.1",
                        "father": "B",
                        "twin": {"group": "t", "zygosity": "unknown"},
                    },
                ],
                "questions": [
                    {"ask": "children_affected", "parents": ["A.1", "B"], "of": 2, "at_least": 1}
                ],
            }
        )
    )
    said = {path: parameter_in_words(path, case) for path in actions.parameters(case)}
    assert len(set(said.values())) == len(said)
    assert said["C.tests[0].result"] == "result 1 of C in panel"
    assert said["C.tests[1].result"] == "result of C in salt"
    assert said["C.tests[2].result"] == "result 2 of C in panel"
    assert parameter_in_words("people[2].tests[2]", case) == "result 2 of C in panel"
    assert said["A.1.age"] == "age of A.1"
    assert said["D.twin.zygosity"] == "zygosity of the twin D"
    assert said["condition.tests[1].likelihood.a.b.1"] == (
        "chance of a.b in salt with one copy of the disease allele"
    )
    assert said["condition.variants[1].share"] == "share of rest"
    assert said["condition.onset[1].cumulative"] == "share affected by the age of 40"
    assert said["condition.onset[1].age"] == "age, now 40, by which a share of 1 is affected"
    assert said["questions[0].at_least"] == "least number of affected children in question 1"


def test_a_test_is_called_by_its_name():
    case = actions.example("negative-test")
    name = case.condition.tests[0].name
    assert parameter_in_words("condition.tests[0].sensitivity", case) == f"sensitivity of {name}"
