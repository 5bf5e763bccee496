"""Assumptions in words: every one, with the case file's own numbers."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from risk import actions
from risk.bundled import bundled_cases
from risk.case.model import Couple, Frequency
from risk.wording.assumptions import (
    assumptions,
    assumptions_in_words,
    assumptions_of_case,
    modifiers_in_short,
)

CASE = actions.example("healthy-sister")


@pytest.mark.parametrize("name", bundled_cases())
def test_every_assumption_is_a_sentence_with_the_files_own_numbers(name: str) -> None:
    case = actions.example(name)
    condition = case.condition
    lines = assumptions_in_words(case)
    assert all(line.endswith(".") for line in lines)
    assert not any("Quantity(" in line for line in lines)
    assert not any(
        "None" in line.removesuffix(": None.") for line in lines if "changes" not in line
    )
    said = " ".join(lines)
    for test in condition.tests or ():
        assert test.name in said
    if condition.frequency.carrier:
        assert condition.frequency.carrier.text in said


def test_defaults_are_told_from_what_the_case_says() -> None:
    given_topics = {each.topic for each in assumptions(CASE.condition) if each.given}
    assert given_topics == {"Inheritance", "Frequency"}


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("healthy-sister", []),
        ("late-onset", ["ages at onset, all by 70"]),
        ("reduced-penetrance", ["penetrance 0 with no disease allele and 80% with one or two"]),
        ("lethal-balance", ["rare new mutation"]),
        ("male-lethal", ["live birth by sex and genotype"]),
        ("negative-test", ['test "carrier test"']),
        (
            "variant-classes",
            ['variant classes "common" and "rarer"', 'test "island panel"'],
        ),
        (
            "germline-mosaic",
            [
                "new mutation in 1/100000 of eggs and 1/100000 of sperm",
                "germline mosaicism of founders, chance 1 in 50000",
            ],
        ),
    ],
)
def test_what_is_given_beside_inheritance_and_frequency_is_named(
    name: str, said: list[str]
) -> None:
    assert modifiers_in_short(actions.example(name).condition) == said


def test_whatever_the_case_says_of_the_condition_is_named_in_short() -> None:
    """As many as the assumptions that the case gives, tests as one."""
    for name in bundled_cases():
        condition = actions.example(name).condition
        given = {each.topic for each in assumptions(condition) if each.given}
        assert len(modifiers_in_short(condition)) == len(given - {"Inheritance", "Frequency"})


def of_case(**changed: object) -> dict[str, tuple[str, bool]]:
    source = json.loads(Path("fixtures/healthy-sister.json").read_text(encoding="utf-8"))
    case = actions.load(json.dumps(source | {"couples": []} | changed))
    return {each.topic: (each.text, each.given) for each in assumptions_of_case(case)}


def test_what_goes_without_saying_is_said_where_all_is_listed() -> None:
    """The defaults of the case file that no key of the plainest case names."""
    defaults = {topic for topic, (_, given) in of_case().items() if not given}
    assert defaults >= {
        "New mutation",
        "Penetrance",
        "Age",
        "Live birth",
        "Germline mosaicism",
        "Variants",
        "Phenotypes",
        "Inbreeding",
        "Family",
        "Coming to notice",
    }
    assert "Twins" not in of_case() and "Results" not in of_case()


def test_twins_of_unknown_zygosity_are_monozygotic_with_the_chance_given_or_one_half() -> None:
    """One half is the default of the case file's `monozygotic_chance`."""

    def people(**chance: str) -> list[dict[str, object]]:
        twin = {"group": "t", "zygosity": "unknown", **chance}
        return [
            {"id": "a", "sex": "male"},
            {"id": "b", "sex": "female"},
            *({"id": i, "sex": "male", "father": "a", "mother": "b", "twin": twin} for i in "cd"),
        ]

    asked = [{"ask": "carrier", "person": "c"}]
    assert of_case(people=people(), questions=asked)["Twins"] == (
        "c and d are monozygotic with chance 1/2, as none is stated.",
        False,
    )
    given = of_case(people=people(monozygotic_chance="30%"), questions=asked)
    assert given["Twins"] == ("c and d are monozygotic with chance 30%.", True)


def test_the_chance_of_twins_stands_in_the_short_list_too() -> None:
    assert assumptions_in_words(actions.example("twins"))[-2:] == [
        "Twins: Monozygotic (identical) twins have one and the same genotype.",
        "Twins: Alda (II-1) and Isbet (II-2) are monozygotic with chance 1/3.",
    ]


def test_twins_of_different_sex_are_never_called_monozygotic() -> None:
    """The case file: twins of different sex are dizygotic, whatever is stated."""
    twin = {"group": "t", "zygosity": "unknown"}
    people = [
        {"id": "a", "sex": "male"},
        {"id": "b", "sex": "female"},
        *(
            {"id": sex, "sex": sex, "father": "a", "mother": "b", "twin": twin}
            for sex in ("female", "male")
        ),
    ]
    assert "Twins" not in of_case(people=people, questions=[])


def test_inbred_founders_are_named() -> None:
    people = [{"id": "a", "sex": "male", "inbreeding": "1/16"}, {"id": "b", "sex": "female"}]
    text, given = of_case(people=people, questions=[])["Inbreeding"]
    assert text.startswith("The parents of a were related") and given


def test_partners_related_by_word_alone_are_said_to_count_as_unrelated() -> None:
    people = [{"id": "a", "sex": "male"}, {"id": "b", "sex": "female", "name": "Bo"}]
    couples = [{"partners": ["a", "b"], "consanguineous": True}]
    text, given = of_case(people=people, couples=couples, questions=[])["Related partners"]
    assert text.startswith("a and Bo (b) are drawn as related but count as unrelated")
    assert not given
    assert "Related partners" not in of_case(people=people, questions=[])
    case = replace(CASE, couples=(Couple(("II-2", "II-3"), True),))
    assert any("count as unrelated" in text for text in assumptions_in_words(case))


@pytest.mark.parametrize(
    ("onset", "words"),
    [
        # The case file: from 0 at age 0, straight between the points, flat after the last.
        (
            [(60, "80%")],
            (
                "80% are by the age of 60; the share rises evenly from none at birth and stays "
                "as it is after the age of 60."
            ),
        ),
        (
            [(0, 0), (20, 0), (70, 1)],
            (
                "none are by the age of 20 and all are by the age of 70; the share rises evenly "
                "from none at birth and between these ages."
            ),
        ),
    ],
)
def test_ages_of_onset_are_said_with_what_is_between_them(
    onset: list[tuple[int, object]], words: str
) -> None:
    points = [{"age": age, "cumulative": share} for age, share in onset]
    condition = {
        "inheritance": "autosomal_dominant",
        "frequency": {"allele": "rare"},
        "onset": points,
    }
    people = [{"id": "I-1", "sex": "male"}]
    said = of_case(condition=condition, people=people, questions=[])["Age"][0]
    assert said == f"Of those who will ever be affected, {words}"


def test_with_ages_of_onset_nobody_need_be_affected_yet() -> None:
    """A carrier of 40 who is well is no contradiction where the disorder comes later."""
    late = actions.example("late-onset")
    assert late.condition.penetrance is None
    assert late.condition.onset is not None
    said = " ".join(assumptions_in_words(late))
    assert "with one or two copies of the disease allele becomes affected some day" in said
    assert "is affected" not in " ".join(
        each.text for each in assumptions(late.condition) if each.topic == "Penetrance"
    )


@pytest.mark.parametrize(
    ("rates", "said"),
    [
        ((0, 0), "None: an allele never changes from parent to child."),
        ((0, "1/100"), "A normal allele becomes the disease allele in no eggs and 1/100 of sperm."),
    ],
)
def test_rates_of_zero_are_no_new_mutation(rates: tuple[object, object], said: str) -> None:
    source = json.loads(Path("fixtures/healthy-sister.json").read_text(encoding="utf-8"))
    mutation = dict(zip(("maternal", "paternal"), rates, strict=True))
    condition = source["condition"] | {"mutation": mutation}
    assert of_case(condition=condition)["New mutation"][0] == said


def test_a_rare_allele_may_come_from_a_partner_where_something_shows_it() -> None:
    rare = replace(CASE.condition, frequency=Frequency(allele="rare"))
    (text,) = [each.text for each in assumptions(rare) if each.topic == "Frequency"]
    assert "whoever marries in carries nothing, unless something else is known, and" in text
