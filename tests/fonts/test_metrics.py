"""Widths against reportlab's own reading of the same faces, and wrapping."""

from __future__ import annotations

import subprocess
import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.pdfbase import pdfmetrics

from risk.fonts.metrics import BOLD, REGULAR, lacking, right_to_left, text_width, wrap
from risk.render.pdf_faces import register_faces

LATIN = st.text(st.characters(min_codepoint=32, max_codepoint=0x17F, exclude_categories=["C"]))


@given(LATIN, st.booleans())
def test_widths_equal_reportlabs(text: str, bold: bool) -> None:
    register_faces()
    expected = pdfmetrics.stringWidth(text, BOLD if bold else REGULAR, 10)
    assert text_width(text, 10, bold) == pytest.approx(expected, abs=0.01 * (1 + len(text)))


def test_a_sign_that_the_face_lacks_counts_as_its_replacement_of_an_em_or_more() -> None:
    assert text_width("小", 12) == text_width("\N{REPLACEMENT CHARACTER}", 12) >= 12
    assert lacking("a小🙂a小") == ["小", "🙂"]
    assert lacking("Ελένη, Zoë: ½ ≤ 1") == []


@given(st.text(max_size=120), st.integers(20, 200))
def test_wrapping_loses_nothing_and_keeps_to_the_width(text: str, width: int) -> None:
    lines = wrap(text, width, 10)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(text_width(line, 10) <= width for line in lines if len(line) > 1)


def test_wrapping_to_a_number_of_lines_ends_in_an_ellipsis() -> None:
    lines = wrap("one two three four five six seven", 60, 10, lines=2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
    assert text_width(lines[1], 10) <= 60


@given(st.lists(st.sampled_from(["a", "is", "the", "result", "whole"]), max_size=30))
def test_what_does_not_fit_is_cut_between_words(words: list[str]) -> None:
    told = " ".join(wrap(" ".join(words), 92, 10, lines=2)).removesuffix("…").split()
    assert told == words[: len(told)]


def test_long_words_break_at_a_hyphen_or_low_line_where_they_have_one() -> None:
    assert wrap("one-hundred-and-twenty", 70, 10)[0].endswith("-")
    assert wrap("one_hundred_and_twenty", 80, 10)[0].endswith("_")


def test_a_long_word_begins_beside_a_short_one_where_a_hyphen_lets_it() -> None:
    name = "Theodor von und zu Hohenlohe-Schillingsfürst"
    assert wrap(name, 92, 10) == ["Theodor von und", "zu Hohenlohe-", "Schillingsfürst"]
    assert wrap("a Donaudampfschifffahrtsgesellschaft", 92, 10)[0] == "a"


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("198385/4155298", ["198385/", "4155298"]),
        ("1/12345678901", ["1/", "12345678901"]),
        ("12345678901/1", ["12345678901", "/1"]),
        ("person1234567890", ["person", "1234567890"]),
        ("II-1234567,12345", ["II-", "1234567,12345"]),
    ],
)
def test_a_number_is_not_broken_inside_its_digits(text: str, lines: list[str]) -> None:
    width = max(text_width(line, 10) for line in lines) + 1
    assert wrap(text, width, 10) == lines


def test_a_number_wider_than_a_line_is_broken_all_the_same() -> None:
    assert "".join(wrap("1" * 40, 60, 10)) == "1" * 40


def test_right_to_left_is_known_by_its_letters() -> None:
    assert right_to_left("سمير")
    assert right_to_left("a שלום")
    assert not right_to_left("Ελένη")


def test_measuring_loads_neither_reportlab_nor_fonttools() -> None:
    code = "import sys; from risk.fonts.metrics import text_width; text_width('a', 1);"
    code += "sys.exit(any(m in sys.modules for m in ('reportlab', 'fontTools', 'numpy')))"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
