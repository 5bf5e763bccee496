"""Small words, and where a sentence begins."""

from __future__ import annotations

import pytest

from risk.wording.phrases import begins_with, capital


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("being well counts", "Being well counts"),
        ("q² of people are affected", "q² of people are affected"),
        ("a is unaffected", "a is unaffected"),
        ("a's children", "a's children"),
        (
            "a child is affected only if a is a carrier",
            "A child is affected only if a is a carrier",
        ),
        ("a man has the allele with chance q", "A man has the allele with chance q"),
        ("all are unaffected", "All are unaffected"),
        ("m1 is a carrier", "m1 is a carrier"),
    ],
)
def test_a_sentence_begins_with_a_capital_or_with_a_name_as_it_is(text: str, said: str) -> None:
    assert capital(text, ("a", "a b")) == said


@pytest.mark.parametrize(
    ("text", "begins"),
    [
        ("A is unaffected", True),
        ("A, who is unaffected", True),
        ("Ab is unaffected", False),
        ("A-1 is unaffected", False),
        ("B is unaffected", False),
    ],
)
def test_a_name_ends_where_a_longer_one_goes_on(text: str, begins: bool) -> None:
    assert begins_with(text, "A", {"A", "Ab", "A-1", "B"}) == begins
