"""Answers as text: what is said of a chance of 0."""

import json

import pytest

from risk import actions
from risk.document.answers import solution_blocks
from risk.render.text_blocks import blocks_to_text

HEALTHY = [
    {"id": "I-1", "sex": "female", "affected": False},
    {"id": "I-2", "sex": "male", "affected": False},
]


@pytest.mark.parametrize(
    ("frequency", "said"),
    [
        ("rare", "0, 0%, vanishing in the rare limit"),
        ("0", "0, 0%, impossible under these assumptions"),
    ],
)
def test_a_chance_that_only_vanishes_is_not_called_impossible(frequency, said):
    case = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": {"allele": frequency},
                },
                "people": HEALTHY,
                "questions": [{"ask": "carrier", "person": "I-1"}],
            }
        )
    )
    text = blocks_to_text(solution_blocks(case, actions.solve(case)))
    assert said in text
    assert "medical advice" in text
