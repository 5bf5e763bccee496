"""The values of a case file: exact numbers within their bounds, read from JSON.

Each reader takes what JSON gave (a `JsonNumber` keeps the text of a number) and returns the
value, or raises `ValueError` with a sentence that says what is wrong.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from risk.number import JsonNumber, NotANumber, Quantity, read_number
from risk.problems import shown

OLDEST = 150

#: Longest id, in characters.
LONGEST_ID = 40
#: Characters no text may hold: controls, and two that no XML file can carry.
FORBIDDEN = "\\x00-\\x1f\\x7f-\\x9f\\ufffe\\uffff"
#: The same of a text of several lines, which may hold line breaks and tabs.
FORBIDDEN_IN_NOTES = FORBIDDEN.replace("\\x00-\\x1f", "\\x00-\\x08\\x0b\\x0c\\x0e-\\x1f")
_BARE = re.compile(r"(?:0|[1-9][0-9]{0,3})(?:\.[0-9]{1,20})?")
_CONTROLS = re.compile(f"[{FORBIDDEN}]")
_CONTROLS_IN_NOTES = re.compile(f"[{FORBIDDEN_IN_NOTES}]")
_HALVES = re.compile("[\\ud800-\\udfff]")


def probability(value: object) -> Quantity:
    """Return `value` as an exact number within 0..1."""
    return _probability(*_literal(value))


def rare_or_probability(value: object) -> Quantity | Literal["rare"]:
    """Return the word ``"rare"`` or an exact number within 0..1."""
    if value == "rare":
        return "rare"
    return probability(value)


def fitness(value: object) -> Quantity:
    """Return a relative fitness: at least 0, below 1."""
    number = _quantity(*_literal(value))
    if not 0 <= number.value < 1:
        raise ValueError(
            f"{_text(number)} is not a fitness; 0 or more, but less than 1 is expected"
        )
    return number


def likelihood(value: object) -> Quantity:
    """Return a chance or a density: any number that is not negative."""
    number = _quantity(*_literal(value))
    if number.value < 0:
        raise ValueError(f"{_text(number)} is negative; a likelihood is 0 or more")
    return number


def years(value: object) -> Quantity:
    """Return an age in years, a bare JSON number within 0..150."""
    if type(value) is not JsonNumber:
        mend = _unquoted(value) or ", like 42"
        raise ValueError(f"{found(value)} where an age in years is expected{mend}")
    return _years(value.text)


def typed_id(text: str) -> str:
    """Return an id as somebody typed it, without spaces around it."""
    id = text.strip()
    if not id:
        raise ValueError("an id cannot be empty")
    if len(id) > LONGEST_ID:
        raise ValueError(f"an id has at most {LONGEST_ID} characters")
    if _CONTROLS.search(id) or _HALVES.search(id):
        raise ValueError("an id holds no control characters")
    return id


def typed_text(text: str, *, lines: bool) -> str:
    """Return a text, of several `lines` or one, without what can only be pasted by accident."""
    return (_CONTROLS_IN_NOTES if lines else _CONTROLS).sub("", text).strip()


def typed_years(text: str) -> Quantity:
    """Return an age as somebody typed it, in the only form that a case file can state."""
    bare = text.strip()
    if not _BARE.fullmatch(bare):
        raise ValueError(f"{shown(bare)} is not an age; write years, like 42 or 0.5")
    return _years(bare)


def _literal(value: object) -> tuple[str, bool]:
    """Return the text of a number as JSON gives it, and whether it is in quotes."""
    if type(value) is JsonNumber:
        return value.text, False
    if type(value) is str:
        return value, True
    raise ValueError(f'{found(value)} where a number is expected, like 0.04, "4%" or "1/25"')


def _quantity(text: str, quoted: bool) -> Quantity:
    if quoted and _CONTROLS.search(text):
        raise ValueError(f"{shown(text)} holds a control character; write a number like 1/25")
    return Quantity(text, read_number(text), quoted)


# The same few numbers come again and again, and comparing fractions is slow.
@lru_cache(maxsize=4096)
def _probability(text: str, quoted: bool) -> Quantity:
    number = _quantity(text, quoted)
    if not 0 <= number.value <= 1:
        mend = f'; for {text} in 100 write "{text}%"' if _may_be_percent(number) else ""
        raise ValueError(f"{_text(number)} is outside 0 to 1{mend}")
    return number


def _may_be_percent(number: Quantity) -> bool:
    """Whether a chance above 1 may have been meant as a percentage: 4 for 4%."""
    plain = number.text.replace(".", "", 1)
    return 1 < number.value <= 100 and plain.isdecimal() and len(plain) < 8


@lru_cache(maxsize=4096)
def _years(text: str) -> Quantity:
    number = Quantity(text, _plain(text, "an age in years", 42), False)
    if not 0 <= number.value <= OLDEST:
        raise ValueError(f"{_text(number)} is not an age; 0 to {OLDEST} years are expected")
    return number


def typed_whole(text: str, least: int, most: int) -> int:
    """Return a whole number as somebody typed it, in the only form that a case file can state."""
    bare = text.strip()
    if not _BARE.fullmatch(bare):
        raise ValueError(f"{shown(bare)} is not a whole number; write one from {least} to {most}")
    return whole(least, most)(JsonNumber(bare))


def whole(least: int, most: int) -> Callable[[object], int]:
    """Return a reader of whole JSON numbers within `least`..`most`."""

    def read(value: object) -> int:
        if type(value) is not JsonNumber:
            mend = _unquoted(value) or f", like {least}"
            raise ValueError(f"{found(value)} where a whole number is expected{mend}")
        number = _plain(value.text, "a whole number", least)
        only = f"; write {most}, the only one that is read here" if least == most else ""
        if number.denominator != 1:
            raise ValueError(f"{value.text[:40]} is not a whole number{only}")
        if least == most != number:
            raise ValueError(f"{value.text[:40]} where {most} is expected{only}")
        if not least <= number <= most:
            raise ValueError(f"{value.text[:40]} is outside {least} to {most}")
        return int(number)

    return read


def _plain(text: str, wanted: str, like: int) -> Fraction:
    """Return the value of a bare JSON number, which alone can be what is `wanted`."""
    try:
        return read_number(text)
    except NotANumber:
        raise ValueError(f"{text[:40]} where {wanted} is expected, like {like}") from None


def _unquoted(value: object) -> str:
    """Say that a number is to lose its quotes, where it stands in quotes."""
    bare = value.strip() if isinstance(value, str) else ""
    return f"; write {bare} without quotes" if _BARE.fullmatch(bare) else ""


def _text(number: Quantity) -> str:
    return shown(number.text) if number.quoted else number.text[:40]


def found(value: object) -> str:
    """Say in plain words what stands in the file where something else is expected."""
    if isinstance(value, JsonNumber):
        return f"the number {value.text[:40]}"
    if isinstance(value, str):
        return f"the text {shown(value)}"
    if isinstance(value, bool):
        return "true" if value else "false"
    if value is None:
        return "null"
    return "a list" if isinstance(value, list) else "an object"
