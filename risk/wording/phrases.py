"""Small words: numbers, plurals, lists."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence

_SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")

#: An article, where somebody may be called ``a``, too.
_ARTICLE = re.compile(r"an? (?:child|daughter|man|partner|son|woman)\b")

_RAISED = str.maketrans("0123456789nk+-", "⁰¹²³⁴⁵⁶⁷⁸⁹ⁿᵏ⁺⁻")


def number_word(number: int) -> str:
    """Return how many, as before a noun: ``no``, ``three``, ``12``."""
    return _SMALL[number] if number < len(_SMALL) else f"{number:,}"


def number_of_times(number: int) -> str:
    """Return how often: ``once``, ``twice``, ``three times``."""
    return {1: "once", 2: "twice"}.get(number, f"{number_word(number)} times")


def plural(number: int, one: str, many: str) -> str:
    """Return a number in figures and its noun: ``1 person``, ``2 people``."""
    return f"{number:,} {one if number == 1 else many}"


def joined(parts: Sequence[str], last: str = " and ") -> str:
    """Return ``a, b and c``; `last` stands before the last part."""
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + last + parts[-1]


def capital(text: str, names: Collection[str] = ()) -> str:
    """Return the text with a capital first letter.

    One of the `names` at its beginning stays as it is, for ``a`` and ``A`` may be two people (but
    not the article); so does a word with a figure in it, which is an id or a formula.
    """
    if any(map(str.isdigit, text.partition(" ")[0])):
        return text
    if any(begins_with(text, name) for name in names) and not _ARTICLE.match(text):
        return text
    return text[:1].upper() + text[1:]


def begins_with(text: str, name: str, names: Collection[str] = ()) -> bool:
    """Tell whether a text begins with a name, and not with a longer word or one of the `names`."""
    longer = (each for each in names if len(each) > len(name))
    return (
        text.startswith(name)
        and not text[len(name) :][:1].isalnum()
        and not text.startswith(tuple(longer))
    )


def power(base: str, exponent: int | str) -> str:
    """Return a power as it is printed, ``(3/4)⁴``; an exponent is of figures, n, k, + and -.

    The first power is the base.
    """
    return base if exponent == 1 else f"{base}{str(exponent).translate(_RAISED)}"


def sentence_ends(text: str, names: Iterable[str] = ()) -> Iterator[int]:
    """Give where sentences of a text end: before a capital or a figure, but inside no name."""
    whole = [re.escape(name) for name in sorted(names, key=len, reverse=True)]
    for found in re.finditer("|".join([*whole, r"( )(?<=[.?!] )(?=[A-Z0-9])"]), text):
        if found[1]:
            yield found.start()
