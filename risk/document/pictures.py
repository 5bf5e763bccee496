"""Chances as pictures that can be counted: a crowd, or one small square of very many."""

from __future__ import annotations

from fractions import Fraction

from risk.document.blocks import Figure
from risk.model.answers import Chance
from risk.number import half_up
from risk.scene.chart import icon_array
from risk.scene.rare import describe, enlargements, rare_scene

#: A fraction of at most this denominator is pictured by a crowd of just so many.
_HANDY_CROWD = 100
#: A chance below one in so many is one of a crowd: of a hundred it would be rounded coarsely.
_COUNTED_IN_HUNDRED = 20
#: A crowd of more than this many is too many to see the one in.
_LARGEST_CROWD = 500
#: A chance below one in so many is only said to be smaller.
_MOST_PICTURED = 10**9
#: The share of a page's height that a picture may take.
_MOST_HEIGHT = 0.12


def chance_picture(chance: Chance) -> Figure | None:
    """Return the chance as so many of a crowd, or as one square of a field.

    None for a chance that is smaller, or nearer to certainty, than a field can show.
    """
    found = crowd(chance)
    if found is not None:
        some, all_, about = found
        words = f"{'About ' if about else ''}{some:,} of {all_:,}"
        return Figure(
            icon_array(some, all_),
            description=f"{words} figures are filled.",
            caption=words,
            most_height=_MOST_HEIGHT,
        )
    share = _share(chance)
    least = min(share, 1 - share)
    if least * _MOST_PICTURED < 1:
        return None
    number, about = _number(1 / least)
    all_but = share != least
    some = number - 1 if all_but else 1
    words = f"{'About ' if about else ''}{some:,} of {number:,}"
    if enlargements(number):
        words = f"{words}; the hatched square is drawn larger, as a hundred"
    return Figure(
        rare_scene(number, about=about, all_but=all_but),
        description=describe(number, about=about, all_but=all_but),
        caption=words,
        most_height=_MOST_HEIGHT,
    )


def crowd(chance: Chance) -> tuple[int, int, bool] | None:
    """Return (some, all, whether rounded): the handiest crowd that shows a chance.

    A crowd of a fraction's own denominator, up to a hundred, else of a hundred; a smaller chance
    (or what is left of a larger one) is one figure in a crowd of N, up to five hundred.  None for
    less.
    """
    share = _share(chance)
    if share.denominator <= _HANDY_CROWD:
        return share.numerator, share.denominator, False
    least = min(share, 1 - share)
    if least * _COUNTED_IN_HUNDRED >= 1:
        some = int(half_up(share * 100))
        return some, 100, some != share * 100
    size = int(half_up(1 / least)) if least else _LARGEST_CROWD + 1
    if size > _LARGEST_CROWD:
        return None
    return (1 if share == least else size - 1), size, size * least != 1


def _share(chance: Chance) -> Fraction:
    return Fraction(chance.value) if chance.exact is None else chance.exact


def _number(exact: Fraction) -> tuple[int, bool]:
    """Round what is not whole to the three digits that the words give it too."""
    if exact.denominator == 1:
        return int(exact), False
    return int(half_up(exact, min(3 - len(str(half_up(exact))), 0))), True
