"""A class's guess of a chance before it is shown, and how near it came."""

from __future__ import annotations

from fractions import Fraction

from risk.model.answers import Chance
from risk.number import half_up
from risk.problems import InputError
from risk.teaching.reading import MOST_CHARACTERS, read_answer

#: A guess is told as so many times the chance where either is below this; else in points.
_SMALL = Fraction(1, 20)
#: A chance without its fraction is known so well.
_FLOAT = Fraction(1, 10**12)
#: Of a guess that cannot be read so many characters are repeated.
_REPEATED = 20


def guess_in_words(typed: str, chance: Chance) -> str:
    """Return a sentence on how a guess, typed like any answer, compares with the true chance.

    Large chances are compared in percentage points, small ones as so many times; a guess that
    cannot be read is said to be so.
    """
    shown = " ".join(typed.split())[:_REPEATED]
    try:
        guess = read_answer(typed[:MOST_CHARACTERS])
    except InputError:
        return f'The guess "{shown}" could not be read as a chance.'
    true = Fraction(chance.value) if chance.exact is None else chance.exact
    match = guess.matches(true)
    if match is None and chance.exact is None and abs(guess.value - true) <= _FLOAT * true:
        match = "right"
    if match is not None:
        return f"The guess {shown} was right{', rounded' if match == 'rounded' else ''}."
    side = "high" if guess.value > true else "low"
    if true > 0 and guess.value > 0 and min(true, guess.value) < _SMALL:
        ratio = max(guess.value / true, true / guess.value)
        if ratio >= 2:
            times = _rounded(ratio)
            return f"The guess {shown} was too {side}, by a factor of about {times}."
    points = abs(guess.value - true) * 100
    if points < Fraction(1, 10):
        return f"The guess {shown} was a little too {side}."
    said = f"{half_up(points, 1 if points < 1 else 0)}"
    unit = "point" if said == "1" else "points"
    return f"The guess {shown} was too {side} by {said} percentage {unit}."


def _rounded(ratio: Fraction) -> str:
    """A factor with at most two digits that matter, so that nobody takes it for more."""
    if ratio < 10:
        return f"{half_up(ratio, 1)}".removesuffix(".0")
    return f"{int(float(f'{float(ratio):.1e}')):,}"
