"""Widths of text in the bundled faces, and wrapping; quick to load, needs no library.

Widths are sums of advances, as reportlab sets text and as a browser does without kerning.
Joining scripts (Arabic and others) come out wider than they are set, which is safe.
"""

from __future__ import annotations

import sys
import unicodedata
import zlib
from array import array
from functools import lru_cache
from pathlib import Path

FOLDER = Path(__file__).parent
REGULAR, BOLD = "DejaVuSans", "DejaVuSans-Bold"
UNITS_PER_EM = 2048
LACKING = 65535
#: Is shown in place of a sign that the faces lack.
REPLACEMENT = "\N{REPLACEMENT CHARACTER}"
#: What a number consists of, which is not broken.
_NUMBER = frozenset("0123456789.,")
#: After these a long word may be broken.
_MARKS = "-/_"


@lru_cache(maxsize=2)
def _advances(face: str) -> array[int]:
    table = array("H")
    table.frombytes(zlib.decompress((FOLDER / f"{face}.advances").read_bytes()))
    if sys.byteorder == "big":
        table.byteswap()
    return table


def _advance(table: array[int], character: str) -> float:
    code = ord(character)
    width = table[code] if code < 65536 else LACKING
    if width != LACKING:
        return width
    if unicodedata.combining(character) or unicodedata.category(character) in ("Cf", "Mn", "Me"):
        return 0.0
    return max(UNITS_PER_EM, table[ord(REPLACEMENT)])


@lru_cache(maxsize=8192)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the width of `text` at `size`, both in the same unit."""
    table = _advances(BOLD if bold else REGULAR)
    return sum(_advance(table, c) for c in text) * size / UNITS_PER_EM


def lacking(text: str) -> list[str]:
    """Return the characters of `text` that the bundled faces cannot show, each once."""
    table = _advances(REGULAR)
    found = dict.fromkeys(
        c
        for c in text
        if (ord(c) > 65535 or table[ord(c)] == LACKING) and unicodedata.category(c) != "Cf"
    )
    return list(found)


def replaced(text: str) -> str:
    """Return `text` with a replacement for each sign that the faces lack, as it was measured.

    A mark that a letter carries has none of its own.
    """
    for sign in lacking(text):
        text = text.replace(sign, REPLACEMENT if text_width(sign, 1) else "")
    return text


def wrap(text: str, width: float, size: float, bold: bool = False, lines: int = 0) -> list[str]:
    """Break `text` into lines no wider than `width`; a longer word is broken within.

    Such a word begins on the line before it where its part up to a hyphen or slash has room there.
    A number is broken only where it is wider than a line by itself.  With `lines` > 0 at most so
    many are returned, the last ending in an ellipsis if cut.
    """
    result: list[str] = []
    for paragraph in text.splitlines() or [""]:
        line = ""
        for word in paragraph.split():
            trial = f"{line} {word}" if line else word
            if text_width(trial, size, bold) <= width:
                line = trial
                continue
            if line and text_width(word, size, bold) > width:
                first = _to_mark(word, width - text_width(f"{line} ", size, bold), size, bold)
                line, word = (f"{line} {word[:first]}" if first else line), word[first:]
            if line:
                result.append(line)
            while text_width(word, size, bold) > width and len(word) > 1:
                keep = _fitting(word, width, size, bold)
                result.append(word[:keep])
                word = word[keep:]
            line = word
        if line:
            result.append(line)
    if lines and len(result) > lines:
        last = result[lines - 1]
        if text_width(last + "…", size, bold) > width:
            last = last.rpartition(" ")[0] or last  # the cut is between words where it can be
        while last and text_width(last + "…", size, bold) > width:
            last = last[:-1]
        result = [*result[: lines - 1], last.rstrip() + "…"]
    return result


def _to_mark(word: str, width: float, size: float, bold: bool) -> int:
    """The length of the longest part of a word up to a mark that is no wider than `width`, or 0."""
    best = 0
    for end, sign in enumerate(word, 1):
        if text_width(word[:end], size, bold) > width:
            break
        best = end if sign in _MARKS and end > 1 else best
    return best


def _fitting(word: str, width: float, size: float, bold: bool) -> int:
    keep = 1
    while keep < len(word) and text_width(word[: keep + 1], size, bold) <= width:
        keep += 1
    if keep == len(word):
        return keep
    mark = max(word.rfind(sign, keep // 2, keep) for sign in _MARKS)
    if mark > 0:
        return mark + 1
    start = keep
    while start and word[start] in _NUMBER and word[start - 1] in _NUMBER:
        start -= 1
    if start:
        keep = start
    while keep > 1 and unicodedata.combining(word[keep]):  # keep a mark with its letter
        keep -= 1
    return keep


def right_to_left(text: str) -> bool:
    """Whether some of a text is written from right to left."""
    return not text.isascii() and any(unicodedata.bidirectional(c) in ("R", "AL") for c in text)


def joined(text: str) -> str:
    """Return a text whose joining letters (Arabic) have the forms they take beside each other.

    The one word that would become a single sign, which the faces lack, is left as letters.
    """
    from arabic_reshaper import ArabicReshaper

    shaped: str = ArabicReshaper({"ARABIC LIGATURE ALLAH": False}).reshape(text)
    return shaped
