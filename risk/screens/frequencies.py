"""Chances as natural frequencies: how many icons to draw, and how many of them to fill."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt

from risk.case.model import Question
from risk.model.answers import Chance
from risk.screens.plain import escape

#: More icons than this are not drawn: nobody sees the one among them.
MOST_ICONS = 2_000
#: A chance of few parts is drawn with about so many icons.
_USUAL = 30


@dataclass(frozen=True)
class Icons:
    """`filled` of `total` icons; `about` where the chance is only nearly that."""

    total: int
    filled: int
    about: bool


def icons(chance: Chance) -> Icons | None:
    """Choose the icons for a chance, or None where too many would be needed."""
    share = chance.exact if chance.exact is not None else Fraction(chance.value)
    if share.denominator <= MOST_ICONS and (
        share.denominator <= 200 or share.numerator == 1 or share.denominator - share.numerator == 1
    ):
        times = max(1, _USUAL // share.denominator)
        return Icons(share.denominator * times, share.numerator * times, False)
    rare = min(share, 1 - share)
    total = round(1 / rare)
    if total > MOST_ICONS:
        return None
    if total < 20:  # neither rare nor simple: so many in a hundred
        return Icons(100, round(share * 100), True)
    return Icons(total, 1 if share == rare else total - 1, True)


def who(question: Question) -> str:
    """Whom the icons stand for."""
    if question.person is not None:
        return "people in the place of this one"
    if question.people is not None:
        return "such couples"
    return (
        "families like this"
        if question.ask == "children_affected"
        else "next children of such couples"
    )


def said(found: Icons, question: Question) -> str:
    """The icon array in words: ``of 150 next children of such couples, 1``."""
    about = "about " if found.about else ""
    return f"Of {found.total:,} {who(question)}, {about}{found.filled:,}."


def icon_array(found: Icons, words: str) -> str:
    """The icons as an SVG element; filled ones are full and larger, the others only outlines."""
    across = min(found.total, max(10, ceil(sqrt(found.total * 2.2))))
    if found.total <= 30:
        across = min(found.total, 10)
    size = 10
    down = ceil(found.total / across)
    marks = []
    for index in range(found.total):
        x, y = index % across * size + size / 2, index // across * size + size / 2
        kind = "full" if index < found.filled else "empty"
        radius = 4 if kind == "full" else 3
        marks.append(f'<circle class="{kind}" cx="{x:g}" cy="{y:g}" r="{radius}"/>')
    width, height = across * size, down * size
    return (
        f'<svg class="tt-icons" viewBox="0 0 {width} {height}" width="{width * 2.2:g}" '
        f'role="img" aria-label="{escape(words)}">{"".join(marks)}</svg>'
    )
