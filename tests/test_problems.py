"""Problems as plain data, and the hints they give."""

from __future__ import annotations

import pickle

import pytest

from risk.problems import (
    ImpossibleEvidence,
    InputError,
    Problem,
    RiskError,
    TooLarge,
    did_you_mean,
    in_lines,
    in_one_line,
    shown,
)


def test_a_problem_reads_as_place_and_message():
    assert (
        str(Problem("people[3].father", 'no person "I-9"')) == 'people[3].father: no person "I-9"'
    )
    assert str(Problem("", "the file is empty")) == "the file is empty"


def test_exceptions_carry_exit_status_and_problems():
    error = InputError([Problem("a", "x"), Problem("", "y")])
    assert error.problems == (Problem("a", "x"), Problem("", "y"))
    assert str(error) == "a: x\ny"
    assert [kind.status for kind in (RiskError, InputError, ImpossibleEvidence, TooLarge)] == [
        1, 2, 3, 4,
    ]  # fmt: skip
    impossible = ImpossibleEvidence("cannot be", ["I-1.affected"])
    assert impossible.conflict == ("I-1.affected",)
    assert impossible.problems == (Problem("", "cannot be"),)


def test_facts_in_conflict_follow_what_is_said_of_them():
    wrong, conflict = (
        [Problem("a", "x"), Problem("", "these cannot be")],
        ("I-1.affected", "I-2.age"),
    )
    assert in_lines(wrong) == ["a: x", "these cannot be"]
    assert in_lines(wrong, conflict) == ["a: x", "these cannot be:", "I-1.affected", "I-2.age"]
    assert in_one_line(map(str, wrong)) == "a: x; these cannot be"
    assert in_one_line(["cannot be"], conflict) == "cannot be: I-1.affected, I-2.age"


@pytest.mark.parametrize(
    ("word", "known", "hint"),
    [
        ("fathr", ["father", "mother"], '; did you mean "father"?'),
        ("I-9", ["I-1", "II-1"], '; did you mean "I-1"?'),
        ("gen", ["id", "genotype", "gender"], '; did you mean "gender"?'),
        ("zzz", ["father", "mother"], ""),
        ("", ["father"], ""),
        ("x" * 10**6, ["father"], ""),
        ("father", [], ""),
        # Few letters in common are none of a slip of the pen.
        ("rare", ["female", "male", "unknown"], ""),
        ("nope", ["I-2.genotype", "I-2.affected"], ""),
        ("graph", ["app", "cross"], ""),
        # A whole part of one name, and of several.
        ("sons", ["healthy-sister", "healthy-sons"], '; did you mean "healthy-sons"?'),
        ("Recessive", ["autosomal_recessive", "x_linked_recessive"], ""),
        ("X-linked", ["x_linked_dominant", "x_linked_recessive"], ""),
    ],
)
def test_the_nearest_known_word(word, known, hint):
    assert did_you_mean(word, known) == hint


def test_texts_are_shown_so_that_any_terminal_can_print_them():
    assert shown("Ösp") == '"Ösp"'
    assert shown("a\x1b[31m\n\ud800") == '"a\\x1b[31m\\n\\ud800"'
    assert shown("x" * 41) == '"' + "x" * 39 + '…"'
    assert len(shown("x" * 10**6)) == 42


def test_a_contradiction_comes_whole_from_another_process():
    error = ImpossibleEvidence("cannot be", ["I-1.affected", "I-2.affected"], ["I-1.affected"])
    copy = pickle.loads(pickle.dumps(error))
    assert (str(copy), copy.conflict, copy.enough) == (str(error), error.conflict, error.enough)
