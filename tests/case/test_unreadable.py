"""Files that are not JSON: the place and the mend for what people do by mistake."""

from __future__ import annotations

import json
import re

import pytest

from risk.case.read import read_case
from risk.problems import InputError
from tests.case.examples import SMALL

TEXT = json.dumps(SMALL, indent=1, ensure_ascii=False)
FRACTION = '"1/25"'
SEX = '"male"'


def message_of(source):
    with pytest.raises(InputError) as caught:
        read_case(source)
    (problem,) = caught.value.problems
    assert problem.path == ""
    assert problem.message.isprintable()
    return problem.message


def place_of(text, what):
    """The line (if there are several) and column of `what`, counted from 1 as editors do."""
    lines = text[: text.index(what)].split("\n")
    line = f"line {len(lines)}, " if "\n" in text else ""
    return f"not JSON at {line}column {len(lines[-1]) + 1}: "


def told(old, new, at):
    """What is said of the small case with `old` written as `new`, after the place of `at`."""
    assert old in TEXT
    text = TEXT.replace(old, new, 1)
    message, place = message_of(text), place_of(text, at)
    assert message.startswith(place)
    assert message_of(text.encode()) == message
    return message.removeprefix(place)


def test_the_small_case_is_sound():
    assert read_case(TEXT).condition.frequency.carrier.text == "1/25"
    assert FRACTION in TEXT and SEX in TEXT


@pytest.mark.parametrize(
    ("new", "at"),
    [
        ("“male”", "“"),
        ("“male“", "“"),
        ("”male”", "”"),
        ("„male“", "„"),
        ("«male»", "«"),
        ("‘male’", "‘"),
        ("`male`", "`"),
        ('“male"', "“"),
        ('"male”', "”"),  # found by the decoder only where the next text begins
        ('"male"”', "”"),
    ],
)
def test_bent_quotation_marks(new, at):
    said = told(SEX, new, at)
    assert said.startswith(f"the quotation mark {at} stands where the straight double one belongs")
    assert 'write " on both sides of every key and text' in said


@pytest.mark.parametrize("pair", ["“”", "””", "„“", "«»"])
def test_a_whole_file_from_a_word_processor(pair):
    text = re.sub(r'"([^"]*)"', rf"{pair[0]}\1{pair[1]}", TEXT)
    assert message_of(text).startswith(
        f"{place_of(text, pair[0])}the quotation mark {pair[0]} stands where"
    )


@pytest.mark.parametrize("new", ['{"a": "x”}', '{"a": "x”,\n "b": 1}', '{"a”: 1}', '{"a”: "b"}'])
def test_a_text_that_ends_in_a_bent_mark_is_found_wherever_the_decoder_stops(new):
    assert message_of(new).startswith(f"{place_of(new, '”')}the quotation mark ”")


def test_bent_marks_inside_a_text_are_no_fault():
    sound = TEXT.replace("{", '{"title": "say “x”, or «y»: ‘z’",', 1)
    assert read_case(sound).title == "say “x”, or «y»: ‘z’"
    comma_missing = sound.replace('’",', '’"', 1)
    assert "a comma or a closing bracket is expected" in message_of(comma_missing)
    assert "has no closing double quote" in message_of('{"title": "say “x” loud')


def test_single_quotation_marks():
    text = TEXT.replace('"', "'")
    assert message_of(text) == (
        f"{place_of(text, chr(39))}the quotation mark ' stands where the double one belongs; "
        'write " on both sides of every key and text'
    )


@pytest.mark.parametrize("bare", ["1/25", "4%", "1 in 25", "0.5/12.5", "1 / 25", "4e-2 %"])
def test_a_fraction_or_percentage_without_quotes(bare):
    said = told(FRACTION, bare, bare)
    assert said == f'such a number stands in double quotes; write "{bare}"'
    read_case(TEXT.replace(FRACTION, f'"{bare}"'))


@pytest.mark.parametrize(
    ("bare", "mend"),
    [
        ("0,04", "a number has a decimal point and no comma; write 0.04"),
        (".04", "a number begins with a digit; write 0.04"),
        ("+0.04", "a number begins with a digit; write 0.04"),
    ],
)
def test_numbers_that_json_writes_otherwise(bare, mend):
    assert told(FRACTION, bare, bare) == mend
    read_case(TEXT.replace(FRACTION, mend.split()[-1]))


@pytest.mark.parametrize(
    ("word", "mend"),
    [
        ("False", "False is not JSON; write false"),
        ("True", "True is not JSON; write true"),
        ("TRUE", "TRUE is not JSON; write true"),
        ("no", "no is not JSON; write false"),
        ("None", "None is not JSON; write null, or leave the key out"),
        ("male", 'a text stands in double quotes; write "male"'),
        ("II-2", 'a text stands in double quotes; write "II-2"'),
    ],
)
def test_words_without_quotes(word, mend):
    assert told(SEX, word, word) == mend


def test_a_key_without_quotes():
    said = told('"condition"', "condition", "condition")
    assert said == 'a key stands in double quotes; write "condition"'


@pytest.mark.parametrize("comment", ["// a note", "# a note", "/* a note */"])
def test_comments(comment):
    said = told('"condition"', f'{comment}\n"condition"', comment)
    assert said == "JSON has no comments; take it out"


@pytest.mark.parametrize("sign", ["\u00a0", "\u200b", "\ufeff", "\u2028"])
def test_signs_that_nobody_sees(sign):
    said = told('"condition"', f'{sign}"condition"', sign)
    assert said.startswith("an invisible character stands here")
    assert said.endswith(f"(U+{ord(sign):04X})")


@pytest.mark.parametrize("coding", ["utf-16", "utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"])
@pytest.mark.parametrize("title", ["plain", "Ł 日本"])
def test_wide_text_with_and_without_a_byte_order_mark(coding, title):
    text = TEXT.replace("{", f'{{"title": "{title}",', 1)
    said = message_of(text.encode(coding))
    assert said.startswith("the file is not UTF-8 text: ")
    assert said.endswith("it looks like UTF-16; save it as UTF-8")


@pytest.mark.parametrize(
    ("start", "name"),
    [
        (b"%PDF-1.7\n", "a PDF"),
        (b"PK\x03\x04\x14\x00", "a ZIP archive"),
        (b"\x89PNG\r\n", "a PNG picture"),
        (rb"{\rtf1\ansi {", "a document of a word processor"),
        (b"<!DOCTYPE html><html>", "a web page"),
    ],
)
def test_other_kinds_of_file(start, name):
    assert message_of(start).startswith(f"this is {name}")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[1 2]", "a comma or a closing bracket is expected"),
        ('{"a": 1,\n 2}', "a key in double quotes is expected"),
        ('{"a": ' + "z" * 99 + "}", "a value is expected"),
        ('{"a": 04}', "a comma or a closing bracket is expected"),
        ("case", "a value is expected"),
    ],
)
def test_what_could_mean_anything_is_told_what_is_expected(text, words):
    assert words in message_of(text)


CUT = "the file ends too early, in the middle of it"
OPEN = "the text that starts here has no closing double quote"


@pytest.mark.parametrize("after", ["", "\n", "\r\n", " \n\n"])
@pytest.mark.parametrize("cut", ["", "ma", "ma\\", "ma\\u", "ma\\u00e", "ma\\\\", "die Ma\u00df"])
def test_a_file_cut_off_in_the_middle_of_a_text(cut, after):
    text = f'{TEXT[: TEXT.index(SEX)]}"{cut}{after}'
    (start,) = [at for at in [TEXT.index(SEX)] if text[at] == '"']
    place = place_of(text[:start] + "\0", "\0")
    assert message_of(text) == f"{place}{OPEN}; {CUT}"


def test_a_file_cut_off_in_the_middle_of_a_key():
    text = TEXT[: TEXT.index('"condition"') + 5] + "\n"
    assert message_of(text).endswith(f"{OPEN}; {CUT}")


def test_a_text_without_its_last_quotation_mark_at_the_end_of_a_whole_file():
    for after in ("", "\n"):
        assert message_of('{"title": "say x}' + after) == f"not JSON at column 11: {OPEN}"


@pytest.mark.parametrize("word", ["true", "false", "null"])
def test_a_file_cut_off_in_the_middle_of_a_word(word):
    for after in ("", "\n"):
        said = message_of('{"a": ' + word[:3] + after)
        cut = CUT.replace("file", "line")
        assert said == f"not JSON at column 7: {word} is begun here; {cut}"
        assert "} is missing at its end" in message_of('{"a": ' + word + after)


def test_a_line_break_inside_a_text_that_goes_on_is_told_as_such():
    said = message_of('{"title": "say\nx"}')
    assert "write a line break as \\n" in said
