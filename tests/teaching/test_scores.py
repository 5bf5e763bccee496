"""Which answers of somebody who practises count as a try."""

from dataclasses import replace

from risk.teaching.scores import Attempt, counts

WRONG = Attempt(1, 1, None, 0, "1/2", (0.5,), "wrong", ())
RIGHT = replace(WRONG, answer="2/3", value=(2 / 3,), verdict="right")


def test_the_same_value_counts_once():
    assert counts(WRONG, [])
    assert not counts(replace(WRONG, answer="50%"), [WRONG])
    assert counts(RIGHT, [WRONG])


def test_nothing_counts_after_a_right_answer_to_the_question():
    assert not counts(WRONG, [RIGHT])
    assert not counts(WRONG, [replace(RIGHT, verdict="rounded")])
    assert counts(replace(WRONG, question=1), [RIGHT])
    assert counts(replace(WRONG, seed=2), [RIGHT])
