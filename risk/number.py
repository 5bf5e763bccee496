"""Exact reading of numbers as people write them: ``0.04``, ``4%``, ``1/25``, ``1 in 25``.

Every number of a case file is kept as a `Quantity`: the text as it was written (so that
writing a case back loses nothing) and the exact value of that text.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor, lcm

#: Longest number accepted, in decimal digits of numerator or denominator.  A longer one is
#: never a rate somebody knows, and ``1e-999999999`` would fill the memory.
MOST_DIGITS = 300
#: The largest numerator or denominator, in lowest terms; 1e-300 is still read.
_LARGEST = 10**MOST_DIGITS

_DECIMAL = r"(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?"
_NUMBER = re.compile(
    rf"(?P<sign>[+-]?)(?:(?P<decimal>{_DECIMAL})\s*(?P<percent>%)?"
    rf"|(?P<top>{_DECIMAL})\s*(?:/|\s+in\s+)\s*(?P<bottom>{_DECIMAL}))",
    re.ASCII,
)


class NotANumber(ValueError):
    """A text that is no number: `text`, how it is written here if it is one, and why not as it is.

    In a case file all but a plain decimal stands in double quotes; `in_file` says it so.
    """

    def __init__(self, text: str, meant: str = "", why: str = "") -> None:
        self.text, self.meant, self.why = text, meant, why
        super().__init__(self._sentence("{}"))

    def in_file(self) -> str:
        """Return the sentence for a case file."""
        return self._sentence('"{}"')

    def _sentence(self, frame: str) -> str:
        percent, ratio, odds = map(frame.format, ("4%", "1/25", "1 in 25"))
        mend = f"it like 0.04, {percent}, {ratio} or {odds}"
        if self.meant:
            bare = self.meant.replace(".", "", 1).isdecimal()
            mend = self.meant if bare else frame.format(self.meant)
        return f"{_shown(self.text)} is not a number; write {mend}{self.why}"


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


def half_up(value: float | Fraction, places: int = 0) -> Decimal:
    """Round a number that is not negative for people, a half up as schools have it: 26.25 to 26.3.

    Negative `places` are before the point.
    """
    return Decimal(floor(times_ten(Fraction(value), places) + Fraction(1, 2))).scaleb(-places)


def times_ten(value: Fraction, power: int) -> Fraction:
    """Return a number times this power of ten."""
    factor: int = 10 ** abs(power)
    return value * factor if power >= 0 else value / factor


def over_one_denominator(numbers: Collection[Fraction | int]) -> tuple[list[int], int]:
    """Return whole numbers and what divides each of them: 1/2 and 1/3 as 3 and 2, over 6.

    Of exact numbers; a few times as quick as to multiply each, which would be reduced.
    """
    denominator = lcm(*[number.denominator for number in numbers])
    whole = [number.numerator * (denominator // number.denominator) for number in numbers]
    return whole, denominator


def whole_root(value: Fraction, degree: int) -> Fraction | None:
    """Return the rational root of this degree, or None where there is none."""
    parts = []
    for number in (value.numerator, value.denominator):
        root = round(number ** (1 / degree)) if number < 10**300 else 0
        if root**degree != number:
            return None
        parts.append(root)
    return Fraction(parts[0], parts[1])


def exact_text(value: Fraction) -> str:
    """Return a fraction in full, ``2/3``, also where `str` refuses for its thousands of digits."""
    try:
        return str(value)
    except ValueError:
        top, bottom = (str(Decimal(part)) for part in value.as_integer_ratio())
        return top if bottom == "1" else f"{top}/{bottom}"


def written_like(value: Fraction, like: str) -> str:
    """Return a number as a percentage or a decimal, if `like` is one and it is exact so: ``2%``.

    Else as a fraction.
    """
    scale, sign = (100, "%") if "%" in like else (1, "")
    text = f"{float(value * scale):.12g}"
    if "/" not in like and " in " not in like and Fraction(text) == value * scale:
        return f"{text}{sign}"
    return str(value)


@lru_cache(maxsize=4096)
def _read(text: str) -> Fraction:
    if len(text) > 2 * MOST_DIGITS:
        raise ValueError(f"a number of {len(text)} characters is too long")
    match = _NUMBER.fullmatch(text)
    if match is None:
        meant = _meant(text)
        why = " (a comma is not read)" if meant and "," in text else ""
        raise NotANumber(text, meant, why)
    if match["decimal"] is not None:
        value = _decimal(match["decimal"])
        if match["percent"]:
            value /= 100
    else:
        bottom = _decimal(match["bottom"])
        if not bottom:
            raise ValueError(f"{_shown(text)} divides by zero")
        value = _decimal(match["top"]) / bottom
    # Each part may be short and the whole not: 1e300/1e-300.
    if max(value.numerator, value.denominator) > _LARGEST:
        raise _too_small(text) if 0 < value * _LARGEST < 1 else _too_long(text)
    return -value if match["sign"] == "-" else value


_OTHER_SIGNS = str.maketrans({"\u2044": "/", "\u2215": "/", "\u00f7": "/", "\u2212": "-"})


def _meant(text: str) -> str:
    """Return a number as it is written here, where the text is one in another way, else ``""``.

    ``0,04``, ``1/2,500``, ``1 out of 4``, ``4 percent`` and a half in one character are such.
    """
    import unicodedata  # only needed when something is wrong

    if len(text) > 40:
        return ""
    if len(text) > 1 and any(unicodedata.category(sign) == "No" for sign in text):
        return ""  # a power, or a whole number and a fraction: more than one way to read it
    plain = unicodedata.normalize("NFKC", text).translate(_OTHER_SIGNS)
    plain = re.sub(r"\s+", " ", plain)  # line breaks, too, which a sentence cannot show
    plain = re.sub(r"\s*(?:percent|per cent)$", "%", plain)
    plain = re.sub(r"(?<=\d)\s*(?:in|of|out of)\s*(?=\d)", " in ", plain)
    # Three digits after a comma are thousands where they come below; elsewhere it is the point.
    plain = re.sub(r"(?<=[/n])(\s*[1-9]\d{0,2})((?:,\d{3})+)$", _without_commas, plain)
    plain = re.sub(r"(?<=\d),(?=\d)", ".", plain)
    return plain if _NUMBER.fullmatch(plain) else ""


def _without_commas(match: re.Match[str]) -> str:
    return match[0].replace(",", "")


def _decimal(text: str) -> Fraction:
    exponent = re.split("[eE]", text)[1:]
    if exponent and (len(exponent[0]) > 5 or abs(int(exponent[0])) > MOST_DIGITS):
        raise _too_small(text) if exponent[0].startswith("-") else _too_long(text)
    return Fraction(text)


def _too_small(text: str) -> ValueError:
    return ValueError(
        f"{_shown(text)} is too small a number: at most {MOST_DIGITS} digits may follow the point"
    )


def _too_long(text: str) -> ValueError:
    return ValueError(f"{_shown(text)} has more than {MOST_DIGITS} digits; write it with fewer")


def _shown(text: str) -> str:
    """Return the text in quotes, cut short, without characters that cannot be printed."""
    return '"' + "".join(c if c.isprintable() else "?" for c in text[:40]) + '"'
