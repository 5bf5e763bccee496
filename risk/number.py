"""Exact reading of numbers as people write them: ``0.04``, ``4%``, ``1/25``, ``1 in 25``.

Every number of a case file is kept as a `Quantity`: the text as it was written (so that
writing a case back loses nothing) and the exact value of that text.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

#: Longest number accepted, in decimal digits of numerator or denominator.  A longer one is
#: never a rate somebody knows, and ``1e-999999999`` would fill the memory.
MOST_DIGITS = 300

_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(
    rf"(?P<sign>[+-]?)(?:(?P<decimal>{_DECIMAL})\s*(?P<percent>%)?"
    rf"|(?P<top>{_DECIMAL})\s*(?:/|\s+in\s+)\s*(?P<bottom>{_DECIMAL}))",
    re.ASCII,
)


class JsonNumber:
    """A number literal of a JSON file, kept as its text (never a binary float)."""

    __slots__ = ("text",)

    def __init__(self, text: str) -> None:
        self.text = text

    def __repr__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as written and its exact value.

    `text` is what stands in the file, `value` its exact meaning, and `quoted` tells whether
    the file wrote it as a JSON string (``"4%"``) or as a bare number (``0.04``).
    """

    text: str
    value: Fraction
    quoted: bool = True

    def __str__(self) -> str:
        return self.text


def quantity(text: str) -> Quantity:
    """Read `text` exactly and return it as a quoted `Quantity`; errors as in `read_number`."""
    return Quantity(text, read_number(text))


def read_number(text: str) -> Fraction:
    """Return the exact value of `text`.

    Accepts a decimal (``0.04``, ``4e-2``), a percentage (``4%``), a fraction (``1/25``) and
    odds in words (``1 in 25``).  Raises `ValueError` with a sentence for anything else, for a
    zero denominator and for a number of more than `MOST_DIGITS` digits.
    """
    return _read(text.strip())


@lru_cache(maxsize=4096)
def _read(text: str) -> Fraction:
    if len(text) > 2 * MOST_DIGITS:
        raise ValueError(f"a number of {len(text)} characters is too long")
    match = _NUMBER.fullmatch(text)
    if match is None:
        raise ValueError(f"{_shown(text)} is not a number; write it like 0.04, 4%, 1/25 or 1 in 25")
    if match["decimal"] is not None:
        value = _decimal(match["decimal"])
        if match["percent"]:
            value /= 100
    else:
        bottom = _decimal(match["bottom"])
        if not bottom:
            raise ValueError(f"{_shown(text)} divides by zero")
        value = _decimal(match["top"]) / bottom
    return -value if match["sign"] == "-" else value


def _decimal(text: str) -> Fraction:
    exponent = re.split("[eE]", text)[1:]
    if exponent and (len(exponent[0]) > 5 or abs(int(exponent[0])) > MOST_DIGITS):
        raise ValueError(f"{_shown(text)} has more than {MOST_DIGITS} digits")
    return Fraction(text)


def _shown(text: str) -> str:
    """Return the text in quotes, cut short, without characters that cannot be printed."""
    return '"' + "".join(c if c.isprintable() else "?" for c in text[:40]) + '"'
