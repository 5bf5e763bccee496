"""Chances, questions and assumptions in words: readable, and never more than is true."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk import actions
from risk.bundled import bundled_cases
from risk.case.model import Question
from risk.model.answers import Chance
from risk.number import quantity, read_number
from risk.wording import (
    answer_in_words,
    assumptions,
    assumptions_in_words,
    chance_in_words,
    event_in_words,
    family_in_words,
    frequency_in_words,
    one_in,
    percent,
    question_in_words,
)

inside = st.fractions(min_value=0, max_value=1, max_denominator=10**12).filter(lambda x: 0 < x < 1)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        (F(2, 3), "2/3, about 66.7%, 2 in 3"),
        (F(1, 4), "1/4, 25%, 1 in 4"),
        (F(1, 1446), "1/1446, about 0.0692%, 1 in 1,446"),
        (F(256, 257), "256/257, about 99.61%, about 996 in 1,000"),
        (F(2, 75), "2/75, about 2.67%, about 1 in 38"),
        (F(1), "1, 100%, certain under these assumptions"),
        (F(0), "0, 0%, impossible under these assumptions"),
        (F(1, 10**12), "1/1000000000000, less than 0.0001%, less than 1 in 1,000,000,000"),
    ],
)
def test_the_three_forms(value: F, words: str) -> None:
    assert answer_in_words(Chance(float(value), value)) == words


@given(inside)
def test_what_is_uncertain_is_never_called_certain(value: F) -> None:
    assert not re.fullmatch(r"(about )?(0|100)%", percent(value))
    assert not re.search(r"\b0 in ", one_in(value))
    top, bottom = one_in(value).replace(",", "").split(" in ")
    assert float(top.split()[-1]) < float(bottom)


@given(inside)
def test_percentages_are_right_to_the_digits_shown(value: F) -> None:
    words = percent(value)
    if words.startswith(("less", "more")):
        assert min(value, 1 - value) < F(1, 10**6)
        return
    shown = read_number(words.removeprefix("about "))
    digits = len(words.rstrip("%").partition(".")[2])
    assert abs(shown - value) <= F(1, 2 * 100 * 10**digits) or abs(shown - value) <= value / 200
    assert words.startswith("about ") == (shown != value)


@given(inside)
def test_frequencies_are_right_to_a_few_hundredths(value: F) -> None:
    words = one_in(value)
    if words.startswith(("less", "more")):
        return
    shown = read_number(words.removeprefix("about ").replace(",", ""))
    assert abs(shown - value) <= min(value, max(1 - value, F(1, 10))) * F(6, 100)
    if not words.startswith("about "):
        assert shown == value


@given(st.floats(min_value=0, max_value=1, allow_subnormal=True))
def test_every_float_has_words(value: float) -> None:
    assert answer_in_words(Chance(value))


def test_a_fraction_too_long_to_print_says_how_long() -> None:
    words = chance_in_words(Chance(0.5, F(10**50 + 1, 2 * 10**50 + 1)))
    assert words.fraction is None
    assert "102 digits" in words.note


def test_a_float_that_rounds_to_one_is_not_called_certain() -> None:
    assert (
        answer_in_words(Chance(1.0)) == "more than 99.9999%, more than 999,999,999 in 1,000,000,000"
    )


CASE = actions.example("healthy-sister")
COUPLE = ("II-3", "II-2")


@pytest.mark.parametrize(
    ("question", "words"),
    [
        (Question("carrier", person="II-2"), "What is the chance that Tova (II-2) is a carrier?"),
        (
            Question("genotype", person="I-1"),
            "How many copies of the disease allele does I-1 have?",
        ),
        (
            Question("child_affected", parents=COUPLE, sex="female", by_age=quantity("10")),
            (
                "What is the chance that the next daughter of Perrin (II-3) and Tova (II-2) is "
                "affected by the age of 10?"
            ),
        ),
        (
            Question("both_carriers", people=COUPLE),
            "What is the chance that Perrin (II-3) and Tova (II-2) are both carriers?",
        ),
        (
            Question("children_affected", parents=COUPLE, of=3, at_least=1),
            (
                "What is the chance that at least one of the next three children of Perrin (II-3) "
                "and Tova (II-2) is affected?"
            ),
        ),
        (
            Question("children_affected", parents=COUPLE, of=12, exactly=0),
            (
                "What is the chance that none of the next 12 children of Perrin (II-3) and Tova "
                "(II-2) is affected?"
            ),
        ),
    ],
)
def test_questions(question: Question, words: str) -> None:
    assert question_in_words(question, CASE) == words


def test_carriers_only_where_people_say_carrier() -> None:
    dominant = replace(CASE, condition=replace(CASE.condition, inheritance="autosomal_dominant"))
    words = event_in_words(Question("carrier", person="II-2"), dominant)
    assert words == "Tova (II-2) has exactly one copy of the disease allele"


def test_families_are_counted_with_their_counts() -> None:
    words = family_in_words(actions.example("healthy-sons"))
    assert words == "A family of 11 people: 2 affected and 9 unaffected."


@pytest.mark.parametrize("name", bundled_cases())
def test_every_assumption_is_a_sentence_with_the_files_own_numbers(name: str) -> None:
    condition = actions.example(name).condition
    lines = assumptions_in_words(condition)
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
    ("value", "words"),
    [
        (F(1, 3), "Of 300 such families, 100 are ones where "),
        (F(2, 3), "Of 300 such families, 200 are ones where "),
        (F(1, 4), "Of 100 such families, 25 are ones where "),
        (F(1, 150), "Of 150 such families, 1 is one where "),
        (F(2, 75), "Of 300 such families, 8 are ones where "),
        (F(37, 433), "Of 1,000 such families, about 85 are ones where "),
        (F(1, 5784), "Of 5,784 such families, 1 is one where "),
    ],
)
def test_so_many_of_a_round_number_of_families(value: F, words: str) -> None:
    case = actions.example("healthy-sister")
    chance = Chance(float(value), value)
    assert frequency_in_words(chance, case.questions[0], case).startswith(words)


@given(inside)
def test_so_many_families_are_right_and_never_all_or_none(value: F) -> None:
    case = actions.example("healthy-sister")
    words = frequency_in_words(Chance(float(value), value), case.questions[0], case)
    match = re.match(r"Of ([\d,]+) such families, (about )?([\d,]+) ", words)
    assert match is not None
    whole, some = (int(match[i].replace(",", "")) for i in (1, 3))
    assert 0 < some < whole
    assert abs(F(some, whole) - value) <= F(1, 2 * whole)
    assert bool(match[2]) == (F(some, whole) != value)


@pytest.mark.parametrize(
    ("value", "words"),
    [(F(20, 114), "about 1 in 6"), (F(10, 54), "about 19 in 100"), (F(36, 101), "about 36 in 100")],
)
def test_one_in_a_whole_number(value: F, words: str) -> None:
    assert one_in(value) == words
