"""Which words of a text belong together, being one formula."""

from __future__ import annotations

import re
from collections.abc import Callable

#: What has signs of arithmetic between its words, or one word.
_FORMULA_OR_WORD = re.compile(r"\S+(?: [x×=+/~≈−-] \S+)+|\S+")
_BEFORE_RESULT = re.compile(" (?=[=~≈] )")
#: The parts of a formula: brackets with all in them, or what is between blanks.
_PART = re.compile(r"(?:\([^()]*\)|\S)+")


def unbroken(text: str, fits: Callable[[str], bool]) -> list[str]:
    """Return what is not broken of a text: words, and formulas that fit.

    Other formulas are broken before their results, or else outside brackets.
    """
    found = _FORMULA_OR_WORD.findall(text)
    for divided in (_BEFORE_RESULT.split, _PART.findall, str.split):
        found = [part for each in found for part in ([each] if fits(each) else divided(each))]
    return found


def with_whole_formulas(text: str, most: int) -> str:
    """Return a text in which formulas of up to `most` signs have no-break spaces."""
    parts = unbroken(text, lambda part: len(part) <= most)
    return " ".join([part.replace(" ", "\N{NO-BREAK SPACE}") for part in parts])
