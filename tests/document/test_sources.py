"""Sources: what a case file says of them, as it says it, and nothing that it does not say."""

import json
from pathlib import Path

import pytest

from risk import actions
from risk.document.blocks import Bullets, Paragraph, flatten
from risk.document.sources import fingerprint, references, sources_blocks

PLAIN = json.loads(Path("fixtures/negative-test.json").read_text(encoding="utf-8"))


def case_with(**changed):
    return actions.load(json.dumps(PLAIN | changed))


@pytest.mark.parametrize("path", sorted(Path("fixtures").glob("*.json")), ids=lambda p: p.stem)
def test_the_bundled_cases_are_made_up_and_name_no_source(path):
    """Years of birth, ages and tests are no references."""
    assert list(references(actions.read(path))) == []


@pytest.mark.parametrize(
    "sentence",
    [
        "Frequencies are those of https://example.org/table.",
        "Sensitivity from Doe et al. (2019), table 2.",
        "Source: lecture 4, page 12.",
        "See doi 10.1000/xyz for the curve.",
        "The rate is an estimate (Roe 1987).",
    ],
)
def test_a_sentence_that_names_a_source_is_given_as_it_is(sentence):
    case = case_with(vignette=f"Kaia asks for advice. {sentence} How likely is it?")
    assert list(references(case)) == [("vignette", sentence)]
    (listed,) = [b for b in flatten(sources_blocks(case)) if isinstance(b, Bullets)]
    assert listed.items == (f"vignette: {sentence}",)


def test_notes_and_names_of_tests_are_searched_too():
    people = [dict(person) for person in PLAIN["people"]]
    people[0]["note"] = "letter of the clinic (2021)"
    condition = PLAIN["condition"] | {
        "tests": [{"name": "panel (Doe 2020)", "sensitivity": "0.9", "specificity": 1}]
    }
    people = [{key: value for key, value in each.items() if key != "tests"} for each in people]
    case = case_with(people=people, condition=condition)
    assert list(references(case)) == [
        ("test", "panel (Doe 2020)"),
        ("I-1", "letter of the clinic (2021)"),
    ]


def test_the_file_is_named_with_its_fingerprint():
    case = case_with()
    text = next(
        b.text for b in flatten(sources_blocks(case, "two tests.json")) if isinstance(b, Paragraph)
    )
    assert '"two tests.json" (version 1, fingerprint ' in text
    assert fingerprint(case) in text
    assert fingerprint(case_with(title="Another")) != fingerprint(case)
    assert '""' not in next(
        b.text for b in flatten(sources_blocks(case)) if isinstance(b, Paragraph)
    )
