"""From what is on the keyboard or the phone to plain words and figures, before it is read.

Signs become those of ASCII, filler words go, number words become figures, and a text that states
several things is taken apart.  Nothing here knows what a chance is.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from risk.teaching.numerals import CARDINALS, FRACTION_NAMES, TENS


class Unclear(Exception):
    """A text that cannot be taken one way; the message is a sentence for its writer."""


@dataclass(frozen=True, slots=True)
class Piece:
    """One statement of a text; a `comment` stood in brackets."""

    text: str
    comment: bool = False


_SIGNS = str.maketrans(
    {
        **dict.fromkeys("⁄∕÷", "/"),
        **dict.fromkeys("−–—‐‑‒﹣", "-"),
        **dict.fromkeys("×·⋅∙✕✖*", "*"),
        **dict.fromkeys("≈≅≃∼~≒≐≡", "="),
        **dict.fromkeys("∶꞉", ":"),
        **dict.fromkeys("’‘ʼ`´", "'"),
        **dict.fromkeys('“”"„«»$', " "),
        **dict.fromkeys("[{", "("),
        **dict.fromkeys("]}", ")"),
        "٪": "%",
        "٫": ".",
        "٬": ",",
        "≤": "<",
        "≥": ">",
    }
)
#: Lines and a dot that stand above the sign before them, as Unicode has them.
_ABOVE = "\u0304\u0305\u0307"
# 0.666..., 0.(6), 0.6 with a line or a dot above it, 0.6 recurring, 0.6r
_RECURRING = re.compile(
    r"(?<![\d.,])(?P<whole>\d*)[.,](?P<digits>\d*)"
    r"(?:\((?P<block>\d+)\)(?:\.{3}|…)?|(?P<on>\.{3}|…)"
    rf"|(?P<marked>\d[{_ABOVE}](?:[\d{_ABOVE}]*[{_ABOVE}])?)"
    r"|(?: ?(?:recurring|repeating|rec)|r)\b\.?| ?\((?:recurring|repeating|rec|r)\.?\))",
    re.IGNORECASE,
)
_REPEATED = re.compile(r"(\d+?)\1+$")
#: How many times the denominator of another reading a recurring decimal's is, to be ruled out.
_FAR_LESS_SIMPLE = 3
# A raised number is a power, unless it is the top of a fraction set in one line.
_EXPONENT = re.compile("([⁺⁻]?[⁰¹²³⁴⁵⁶⁷⁸⁹]+)(?![⁰¹²³⁴⁵⁶⁷⁸⁹⁄/])")
# A decimal point may be raised, as in 0·25 or 12·5%; whole numbers are not multiplied.
_RAISED_POINT = re.compile(r"(?<![\d.,/·⋅∙*])(\d+)[·⋅∙](?!10\s*[-+(])(\d+)(?![\d.,/·⋅∙^]|\s*\*)")
# Nobody multiplies by zero, so that beside other factors, too, the dot after it is a point.
_RAISED_POINT_OF_ZERO = re.compile(r"(?<![\d.,])0[·⋅∙](?!10\s*[-+(])(?=\d)")
# The number or letter of a question: 1) 2/3, (b) 2/3, 1. 0.25, Q1: 2/3. A point may be one only
# where another number follows for certain, since 1. 25% may be 1.25%.
_NUMBERED = re.compile(
    r"(?:\(?(?:[1-9]\d?|[a-z])\)|(?:q|question|#)[.:]? ?\d{1,2}[a-z]?[.:)]?) +(?=[\w.,=])"
    r"|[1-9]\d?\. +(?=[\d.,]+ ?/ ?\d|0?[.,]\d)"
)
_GLUED = re.compile("(?<=[0-9])(?=[¼½¾⅐-⅞])")
_TEX = (
    (re.compile(r"\\[dt]?frac\s*\{([^{}]*)\}\s*\{([^{}]*)\}"), r"\1/\2"),
    (re.compile(r"\\(?:cdot|times)\b"), "*"),
    (re.compile(r"\\approx\b"), "="),
    (re.compile(r"\\%"), "%"),
    (re.compile(r"\\[()\[\],;! ]"), " "),
    (re.compile(r"\\"), "/"),
)
_TIMES = r"(?:[*x]|times\b)"
_FACTOR = r"\(([\d.,]+(?: ?/ ?[\d.,]+)? ?%?)\)"
_PHRASES = (
    (re.compile(r"\b(?:percentage|percent|per cent|pct)\b"), "%"),
    (re.compile(r"\bper ?mille?\b"), "‰"),
    (re.compile(r"\bi\.?e\.?(?=\W|$)"), "="),
    # A hyphen inside a phrase (two-thirds, 1-in-4) is a space; in 1e-4 and -1 it stays.
    (re.compile(r"(?<=[a-z])(?<!\de)-(?=[a-z0-9])|(?<=\d)-(?=[a-z])"), " "),
    # 2/3 x 10^-2 is a product: nobody writes a negative power below.
    (
        re.compile(r"(/\s*[\d.,]+)\s*[x*]\s*10\s*(?:\^|\*\*)?\s*\(?(-\d+)\)?"),
        r"\1*1e\2",
    ),
    (re.compile(r"(?<=\d)\s*[x*]\s*10\s*(?:\^|\*\*)?\s*\(?([+-]\d+)\)?"), r"e\1"),
    (re.compile(r"(?<=\d)\s*[x*]\s*10\s*(?:\^|\*\*)\s*\(?(\d+)\)?"), r"e\1"),
    (re.compile(r"(?<![\d.,])10\s*(?:\^|\*\*)\s*\(?([+-]?\d+)\)?"), r"1e\1"),
    (re.compile(r"\s+"), " "),
    # Numbers in brackets that are multiplied: (2/3)(1/4), (2/3)x(1/4), 2/3 x (1/4)
    (re.compile(r"(?<=[\d%])\)\((?=\d)"), ")*("),
    (re.compile(rf"{_FACTOR}(?= ?{_TIMES})"), r"\1 "),
    (re.compile(rf"({_TIMES}) ?{_FACTOR}"), r"\1 \2"),
)
_BOUND = re.compile(r"[<>]|\b(?:less|more|fewer|greater|smaller|at least|at most|under|over) ?\b")
_RANGE = re.compile(r"(?<=[\d%])\s*(?:-|\.\.+|\bto\b)\s*(?=[\d.])|±|\bbetween\b")
_DIFFERENCE = re.compile(r"(?:1|100 ?%) ?- ?[\d.]")
_CALCULATION = re.compile(
    r"[\d)%] ?[+^] ?[\d(]|[\d)] ?\*\* ?[\d(]|\d ?[*/^-] ?\(|\) ?[*/^+-] ?[\d(]"
)
_DATE = re.compile(
    r"\b(?:19|20)\d\d[-/.]\d\d?[-/.]\d\d?\b|\b\d\d?[-/.]\d\d?[-/.](?:19|20)\d\d\b"
    r"|\d{1,4}[- /.]+(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\b"
    r"|\b(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[- /.]\d{1,4}"
)
_FILLERS = frozenset(
    {
        "a", "an", "the", "chance", "chances", "probability", "prob", "p", "risk", "likelihood",
        "odds", "answer", "is", "it", "its", "it's", "are", "about", "approximately", "approx",
        "ca", "circa", "ans", "roughly", "around", "nearly", "almost", "exactly", "equals", "every",
        "each", "that", "i", "think", "say", "maybe", "so",
    }
)  # fmt: skip
_LARGE = {"thousand": 1000, "million": 1_000_000, "billion": 1_000_000_000}
_SHORT = {"k": "thousand", "m": "million", "mio": "million", "bn": "billion"}
#: A number in figures with the name of a large one: 2 million, 1.5 million, 10k.
_SO_MANY = re.compile(rf"(?<![\d.,])(\d+(?:\.\d+|,\d\d?)?) ?({'|'.join([*_LARGE, *_SHORT])})\b")
#: A comma between figures may set off thousands.
_SPLIT = re.compile(r"; ?|(?<!\d), |, (?!\d{3}\b)| or ")


def plain(text: str) -> str:
    """Return the text in lower case and ASCII signs (and ``‰``), words set apart by one space."""
    text = _RECURRING.sub(_as_fraction, text)
    text = _EXPONENT.sub(lambda match: "^" + unicodedata.normalize("NFKC", match[1]), text)
    text = _RAISED_POINT_OF_ZERO.sub("0.", _RAISED_POINT.sub(r"\1.\2", text))
    text = unicodedata.normalize("NFKC", _GLUED.sub(" ", text)).lower()
    for pattern, instead in _TEX:
        text = pattern.sub(instead, text)
    text = "".join(_sign(sign) for sign in text.translate(_SIGNS))
    for pattern, instead in _PHRASES:
        text = pattern.sub(instead, text)
    return _trimmed(_SO_MANY.sub(_in_figures, text).strip("*_ "))


def _in_figures(match: re.Match[str]) -> str:
    """Return so many millions as a whole number; what is none stays as it is."""
    name = _SHORT.get(match[2], match[2])
    value = Fraction(match[1].replace(",", ".")) * _LARGE[name]
    return str(value) if value.denominator == 1 else match[0]


def _as_fraction(match: re.Match[str]) -> str:
    """Return a recurring decimal as the mixed fraction that it is; dots may stand after any digits.

    Digits with dots after them recur where they end in the same digits twice: ``0.1666...``.
    """
    whole, digits = match["whole"] or "0", match["digits"]
    repeated = _REPEATED.search(whole + digits)
    if match["block"]:
        block = match["block"]
        digits += block
    elif match["marked"]:
        block = re.sub(r"\D", "", match["marked"])
        digits += block
    elif repeated and len(repeated[1]) <= len(digits):
        block = repeated[1]
    else:
        block = "" if match["on"] else _recurring_of(whole, digits)
    if not block or len(block) > len(digits):
        # Dots say nothing more then, except between the ends of a range: 0.2...0.3.
        dots = "" if match.string[match.end() :].lstrip()[:1].isdigit() else match["on"]
        return match[0].removesuffix(dots or "")
    part = _recurring(digits, block)
    return f"{int(whole)} {part}" if 0 < part < 1 else f"{int(whole) + part}"


def _recurring(digits: str, block: str) -> Fraction:
    """Return what the digits after the point are worth, whose last, the block, recur."""
    fixed = len(digits) - len(block)
    return Fraction(int(digits) - int(digits[:fixed] or 0), 10 ** len(digits) - 10**fixed)


def _recurring_of(whole: str, digits: str) -> str:
    """Return what recurs where words alone say so: the last of the digits, or all of them.

    Whichever makes much the simpler fraction is meant: 0.16 recurring is 1/6, 0.18 recurring 2/11.
    """
    if len(digits) < 2 or digits[-1] in "09":
        return digits
    last, every = (_recurring(digits, block).denominator for block in (digits[-1], digits))
    if min(last, every) * _FAR_LESS_SIMPLE <= max(last, every):
        return digits[-1] if last < every else digits
    raise Unclear(
        f"of the digits {digits} the last or all may recur; write "
        f"{whole}.{digits[:-1]}({digits[-1]}) or {whole}.({digits})"
    )


def _trimmed(text: str) -> str:
    """Drop punctuation around the text, but not the point of ``.5``."""
    text = text.rstrip(" .!?,;:'").lstrip(" !?;:'")
    return text if re.match(r"[.,]\d", text) else text.lstrip(" .!?,;:'")


def _sign(sign: str) -> str:
    if sign.isdecimal():
        return str(unicodedata.decimal(sign))
    kind = unicodedata.category(sign)
    if kind in ("Cf", "Cc", "Cs", "Co", "Cn"):
        return " " if sign in "\t\n\r" else ""
    return sign


def why_not(text: str, quoted: str) -> str:
    """Say why a text that could not be read is not one value, or return ""."""
    if reason := a_date(text, quoted):
        return reason
    if _BOUND.search(text):
        return f"{quoted} is a bound; give one value"
    if _DIFFERENCE.match(text):
        return _calculation(quoted)
    if _RANGE.search(text):
        return f"{quoted} is a range; give one value"
    return ""


def a_date(text: str, quoted: str) -> str:
    """Say that a text that could not be read is a date, or return ""."""
    if not _DATE.search(text):
        return ""
    return (
        f"{quoted} is a date, which a spreadsheet may have made of a fraction; "
        "format the cell as text and type it again"
    )


def calculation(text: str, quoted: str) -> str:
    """Say that a text that could not be read is a sum, a power or has brackets, or return ""."""
    return _calculation(quoted) if _CALCULATION.search(text) else ""


def _calculation(quoted: str) -> str:
    return (
        f"{quoted} is a calculation; work it out and give its result (only a product, like "
        "2/3 x 1/4, is worked out here)"
    )


def statements(text: str) -> list[list[Piece]]:
    """Take ``p = 2/3 (66.7%)`` apart: a list for each side of ``=``, empty ones left out."""
    sides = []
    for side in _unlabelled(text).split("="):
        if _CALCULATION.search(side):
            # The brackets of a calculation hold no comment.
            sides.append([Piece(_trimmed(side))])
            continue
        pieces = [
            Piece(_trimmed(" ".join(part.split())), comment)
            for run, comment in _bracketed(side)
            for part in _SPLIT.split(run)
        ]
        sides.append([piece for piece in pieces if piece.text])
    return [side for side in sides if side]


def _unlabelled(text: str) -> str:
    """Drop the number of a question, and end its name like a side: ``carrier: 2/3``."""
    if numbered := _NUMBERED.match(text):
        text = text[numbered.end() :]
    name, colon, rest = text.partition(": ")
    words = digits_for_words(name)
    named = not words or re.search(r"(?<!\d)[a-z]", words)
    return f"{name}={rest}" if colon and named else text


def _bracketed(side: str) -> Iterator[tuple[str, bool]]:
    depth, run = 0, ""
    for sign in side:
        if sign in "()":
            yield run, depth > 0
            depth, run = max(depth + (1 if sign == "(" else -1), 0), ""
        else:
            run += sign
    yield run, depth > 0


def digits_for_words(piece: str) -> str:
    """Drop filler words and write number words in figures: ``a chance of two thirds`` is 2/3."""
    words = [word.strip(".:") if word.strip(".:").isalpha() else word for word in piece.split()]
    words = [word for word in words if word not in _FILLERS]
    while words and words[0] == "of":
        words = words[1:]
    out: list[str] = []
    i = 0
    while i < len(words):
        counted = bool(out) and out[-1].isdigit()
        number, used = _cardinal(words, i)
        bottom, named = _fraction_name(words, i)
        if named and (counted or not used):
            # After a number the tens belong to the fraction: one twenty-fifth is 1/25.
            out[-1:] = [f"{out[-1]}/{bottom}"] if counted else [*out[-1:], f"1/{bottom}"]
            i += named
        elif used:
            out.append(str(number))
            i += used
        else:
            out.append(words[i])
            i += 1
    return " ".join(out)


def _cardinal(words: list[str], start: int) -> tuple[int, int]:
    """Read the number words from `start`; returns their value and how many they are."""
    total = part = 0
    i, least = start, 10**9
    while i < len(words):
        word = words[i]
        if word in CARDINALS and word not in TENS and CARDINALS.index(word) < least:
            part, least = part + CARDINALS.index(word), 0
        elif word in TENS and least > 10:
            part, least = part + TENS[word], 10
        elif word == "hundred" and part < 10:
            part, least = max(part, 1) * 100, 100
        elif word in _LARGE:
            total += max(part, 1) * _LARGE[word]
            part, least = 0, 1000
        elif word == "and" and i > start and words[i - 1] in ("hundred", "thousand"):
            pass
        else:
            break
        i += 1
    return total + part, i - start


def _fraction_name(words: list[str], start: int) -> tuple[int, int]:
    """Read ``thirds`` or ``twenty fifth``; returns the denominator and how many words."""
    if bottom := _tens_name(words, start):
        return bottom, 2
    word = words[start]
    bottom = FRACTION_NAMES.get("half" if word == "halves" else word.removesuffix("s"), 0)
    return bottom, 1 if bottom else 0


def _tens_name(words: list[str], start: int) -> int:
    if words[start] not in TENS or start + 1 >= len(words):
        return 0
    unit = FRACTION_NAMES.get(words[start + 1].removesuffix("s"), 0)
    return TENS[words[start]] + unit if 3 <= unit <= 9 else 0
