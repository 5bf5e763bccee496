"""Reading a chance as students type it: ``2 / 3``, ``66,7 %``, ``one in four``, ``≈ 0.67``.

What `risk.number.read_number` reads is read here with the same value (the one exception is
``50/50``, which everyone means as a half); beyond that, words, decimal commas, odds and
decorations are understood, and what is not is said.  Where a text could be taken in two ways,
the reading says in a note which one was taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from risk.number import read_number
from risk.problems import InputError, Problem
from risk.teaching.scribble import (
    Unclear,
    a_date,
    calculation,
    digits_for_words,
    plain,
    statements,
    why_not,
)

Form = Literal["decimal", "percent", "fraction", "in", "odds", "words", "product"]
Match = Literal["right", "rounded"]

#: Longest answer looked at; a chance needs far less.
MOST_CHARACTERS = 200
#: A decimal copied from a machine, to all its digits, is only as near as the machine had it.
_MACHINE = Fraction(1, 10**12)

#: A chance that somebody may round to 0.
_SMALL = Fraction(1, 20)
#: What share of a chance (or of that of the opposite) is too little to matter.
_NEAR = Fraction(1, 1000)

#: So many half units of its last digit a number of two digits has at least.
_LEAST_DIGITS = 20
#: So many digits of a large N in "1 in N" count at least; zeros after them may stand for any.
_COUNTING_DIGITS = 3
#: How far "1 in N" with fewer digits may be off, as a share of the chance, to be near.
_ROUNDED_TOO_FAR = Fraction(6, 100)

_NUMBER = r"[+-]?(?:\d{1,3}(?:[ ']\d{3})+(?!\d)(?:[.,]\d+)?|\d[\d.,]*|[.,]\d+)(?:e[+-]?\d+)?"
_PERCENT = re.compile(rf"(?P<whole>{_NUMBER}) ?(?P<sign>[%‰])")
_PART_PERCENT = re.compile(r"(?:(?P<whole>\d+) )?(?P<top>\d+) ?/ ?(?P<bottom>\d+) ?%")
_MIXED = re.compile(r"(?P<whole>\d+) (?P<top>\d+) ?/ ?(?P<bottom>\d+)")
_FRACTION = re.compile(rf"(?P<top>{_NUMBER}) ?/ ?(?P<bottom>{_NUMBER})(?:st|nd|rd|th|rds|ths)?")
_IN = re.compile(rf"(?P<top>{_NUMBER}) (?:in|out of|of|per|from|over) (?P<bottom>{_NUMBER})")
# "0.2 to 0.3" is a range, so odds in words are of whole numbers.
_ODDS = re.compile(
    rf"(?:(?P<left>{_NUMBER}) ?: ?(?P<right>{_NUMBER})|(?P<one>\d+) to (?P<two>\d+))"
    r"(?: (?P<side>against|on|for|in favou?r))?"
)
_DECIMAL = re.compile(_NUMBER)
#: A number in brackets beside another: a remark, or the other factor of a product.
_BESIDE = re.compile(r"\d\)? ?\([\d.,/ ]+\)\s*$")
_PRODUCT = re.compile(r" ?\* ?| x | times ")
#: "20 to 1" may be rounded odds; "3 to 1" would leave too much open.
_LEAST_COUNT = 10
#: Dots at the end of a decimal or a percentage, which say that its digits go on.
_GOES_ON = re.compile(r"(?:\.{3}|…)\s*[%‰]?\s*$")
_EVEN = re.compile(r"50 ?%? ?[/: -] ?50(?: ?%)?|evens?(?: money)?")
_GROUPED = re.compile(r"[1-9]\d{0,2},\d{3}")
#: A point that sets off thousands in half of Europe; it is read as a decimal point.
_POINTED = re.compile(r"[1-9]\d{0,2}\.\d{3}")
_CERTAINTIES = {"certain": 1, "certainty": 1, "impossible": 0}


@dataclass(frozen=True, slots=True)
class StudentAnswer:
    """A chance that a student typed, and how it was understood.

    `value` is exact and lies in 0..1.  `half_unit` is half a unit of the last digit given, for a
    decimal, a percentage or so many in 100, and None for what claims to be exact.  `note` says
    how an ambiguous text was taken ("" where there was nothing to decide), and `other` is the
    chance that it would have been taken the other way.  `half_below` is half a unit of the last
    digit of N in "1 in N", which people round as they round a percentage, and None for other forms;
    of an N that ends in zeros it is the last digit that is none, or the third.  `goes_on` tells of
    dots after the digits (0.1428...), which need not be rounded then.
    """

    text: str
    value: Fraction
    form: Form
    half_unit: Fraction | None = None
    note: str = ""
    other: Fraction | None = None
    half_below: Fraction | None = None
    goes_on: bool = False

    def matches(self, true: Fraction) -> Match | None:
        """Compare with the true chance: equal, equal at the digits given, or neither."""
        if self.value == true:
            return "right"
        if self.one_in_about(true):
            return "rounded"
        if self.half_unit is None or self.value == 0:
            return None  # a rounded answer has at least one digit that matters
        if self.goes_on and self._begins(true):
            return "rounded"
        return "rounded" if abs(self.value - true) <= max(self.half_unit, _MACHINE * true) else None

    def one_in_about(self, chance: Fraction) -> bool:
        """Whether this is "1 in N", and the chance is that with N rounded to the digits given.

        N has two digits at least, as "1 in 2" stands for anything between 2/5 and 2/3.
        """
        low, high = self._rounded_from
        return self._half_of_n is not None and low <= chance <= high

    def rounded_with(self, other: StudentAnswer) -> bool:
        """Whether one of the two is "1 in N", and one chance rounds to both."""
        if self.half_below is None and other.half_below is None:
            return False
        (low, high), (least, most) = self._rounded_from, other._rounded_from
        return low <= most and least <= high

    @property
    def _half_of_n(self) -> Fraction | None:
        """`half_below` of a "1 in N" whose N has two digits at least."""
        half = self.half_below
        if half is None or not self.value or 1 / self.value < _LEAST_DIGITS * half:
            return None
        return half

    @property
    def _rounded_from(self) -> tuple[Fraction, Fraction]:
        """The least and the greatest chance that this may be rounded from."""
        half = self._half_of_n
        if half is not None:
            return 1 / (1 / self.value + half), 1 / (1 / self.value - half)
        half = self.half_unit or Fraction(0)
        return self.value - half, self.value + half

    def odds_about(self, chance: Fraction) -> bool:
        """Whether these are odds, N to 1 or 1 to N, and the chance has them with N rounded.

        N has two digits at least.
        """
        if self.form != "odds" or not 0 < self.value < 1 or not 0 < chance < 1:
            return False
        here, there = 1 / self.value - 1, 1 / chance - 1
        if here < 1:
            here, there = 1 / here, 1 / there
        whole = here.denominator == 1 and here >= _LEAST_COUNT
        return whole and 0 < abs(here - there) <= Fraction(1, 2)

    def one_in_too_few_digits(self, chance: Fraction) -> bool:
        """Whether this is "1 in N", and the chance is near that, but N is rounded too far."""
        if self.half_below is None or not chance or not self.value or self.one_in_about(chance):
            return False
        whole = 1 / self.value
        if whole.denominator != 1:
            return False
        half = Fraction(10) ** _zeros(str(whole)) / 2
        near = abs(self.value - chance) <= _ROUNDED_TOO_FAR * chance
        return near and 0 < abs(whole - 1 / chance) <= half

    @property
    def of_two_digits(self) -> bool:
        """Whether a rounded answer has two digits at least; one that claims to be exact does."""
        return self.half_unit is None or self.value >= _LEAST_DIGITS * self.half_unit

    def rounds_away(self, true: Fraction) -> bool:
        """Whether this is a 0, 0% or 0.00 that leaves nothing of a small true chance."""
        least = _SMALL if self.half_unit is None else min(self.half_unit, _SMALL)
        return self.value == 0 < true <= least

    def nearly(self, true: Fraction) -> bool:
        """Whether this is not the true chance, and hardly differs from it."""
        apart = abs(self.value - true)
        return 0 < apart <= _NEAR * min(true, 1 - true)

    def fraction_rounded(self, true: Fraction) -> bool:
        """Whether this is a fraction 1/N, and the true chance is "1 in N" with N rounded."""
        one_in = _one_in(self, str(self.value.denominator))
        return self.form == "fraction" and one_in.one_in_about(true)

    def cut_off(self, true: Fraction) -> bool:
        """Whether this is the true chance with digits cut off instead of rounded (0.66 for 2/3)."""
        return self.matches(true) is None and self._begins(true)

    def _begins(self, chance: Fraction) -> bool:
        """Whether these are the first digits of a chance, and not all of them."""
        return self.half_unit is not None and 0 < chance - self.value < 2 * self.half_unit


def read_answer(text: str) -> StudentAnswer:
    """Read what a student typed as a chance.

    ``1:3`` is taken as odds, one for and three against, which is 1/4 (a ratio of parts, as in
    3:1 offspring); `other` then holds 1/3.  Several forms of one answer (``2/3 = 66.7%``) must
    agree, and a product (``2/3 x 1/4``) is worked out.  Raises `InputError` with the path
    ``answer`` and a sentence that says what was not understood.
    """
    try:
        answer = _read(text)
        if answer.value < 0:
            raise Unclear(f"{_quote(text)} is below 0; a chance lies from 0 to 1")
        if answer.value > 1:
            raise Unclear(_above_one(text, answer))
    except Unclear as unclear:
        raise InputError([Problem("answer", str(unclear))]) from None
    return replace(answer, text=text, goes_on=bool(_GOES_ON.search(text)))


def _read(text: str) -> StudentAnswer:
    if len(text) > MOST_CHARACTERS:
        raise Unclear(f"{len(text)} characters are too many for a chance; write it like 2/3")
    words = plain(text)
    if not any(sign.isalnum() for sign in words):
        raise Unclear(_not_a_chance(text) if words else "no answer is given")
    sides = statements(words)
    alone = len(sides) == 1 and len(sides[0]) == 1
    readings: list[StudentAnswer] = []
    for place, side in enumerate(sides, start=1):
        found = []
        for piece in side:
            try:
                found.append(_read_piece(piece.text, text if alone else piece.text))
            except Unclear as unclear:
                if piece.comment and not any(sign.isdigit() for sign in piece.text):
                    continue
                if place == len(sides):
                    if reason := calculation(words.split("=")[-1], _quote(text)):
                        raise Unclear(reason) from None
                    raise Unclear(
                        f"{_quote(text)}: {unclear}" if not alone else str(unclear)
                    ) from None
                # What stands before "=" may be a label or a working: P(carrier) = 2/3.
                found.clear()
                break
        readings += found
    if not readings:
        raise Unclear(_not_a_chance(text))
    return _agreed(readings, text)


def _read_piece(piece: str, shown: str) -> StudentAnswer:
    """Read one statement, which must be a chance from end to end; messages quote `shown`."""
    figures = digits_for_words(piece)
    answer = _read_figures(figures, shown)
    spelt = figures != piece and answer.form in ("decimal", "fraction", "in")
    return replace(answer, form="words") if spelt and answer.half_unit is None else answer


def _read_figures(figures: str, shown: str) -> StudentAnswer:
    if figures in _CERTAINTIES:
        return StudentAnswer(shown, Fraction(_CERTAINTIES[figures]), "words")
    if _EVEN.fullmatch(figures):
        return StudentAnswer(shown, Fraction(1, 2), "odds", note="read as even odds, 1/2")
    if match := _PERCENT.fullmatch(figures):
        return _percent(shown, match["whole"], 100 if match["sign"] == "%" else 1000)
    if match := _PART_PERCENT.fullmatch(figures):
        part = _ratio(match["top"], match["bottom"])
        value = (int(match["whole"] or 0) + part) / 100
        note = "" if match["whole"] else f"read as {part} of one percent, {value}"
        return StudentAnswer(shown, value, "percent", note=note)
    if match := _MIXED.fullmatch(figures):
        value = int(match["whole"]) + _ratio(match["top"], match["bottom"])
        return StudentAnswer(shown, value, "fraction")
    if match := _FRACTION.fullmatch(figures):
        return _two_numbers(shown, "fraction", match["top"], match["bottom"])
    if match := _IN.fullmatch(figures):
        return _so_many_in(shown, match["top"], match["bottom"])
    if match := _ODDS.fullmatch(figures):
        left, right = match["left"] or match["one"], match["right"] or match["two"]
        return _odds(shown, left, right, match["side"])
    if _DECIMAL.fullmatch(figures):
        return _decimal(shown, figures)
    factors = _PRODUCT.split(figures)
    if len(factors) > 1 and all(factors):
        value = Fraction(1)
        for factor in factors:
            value *= _read_figures(factor, factor).value
        if value.denominator > 10**MOST_CHARACTERS:
            raise Unclear(f"{_quote(shown)} has too many digits")
        return StudentAnswer(shown, value, "product", note=f"the product was worked out: {value}")
    raise Unclear(why_not(figures, _quote(shown)) or _not_a_chance(shown))


def _decimal(shown: str, text: str) -> StudentAnswer:
    if _GROUPED.fullmatch(text):
        raise Unclear(
            f"{_quote(text)} could be a thousand or more, or a decimal with a comma; write it "
            f"with a decimal point, or as 1 in {text.replace(',', '')}"
        )
    number, _ = _figures(text)
    return StudentAnswer(shown, _value(number), "decimal", _half_unit(number))


def _percent(shown: str, text: str, parts: int) -> StudentAnswer:
    number, _ = _figures(text)
    note = f"{text} was read with a decimal comma" if _GROUPED.fullmatch(text) else ""
    value = _value(number) / parts
    half = (_half_unit(number) or Fraction(1, 2)) / parts
    return StudentAnswer(shown, value, "percent", half, note)


def _two_numbers(shown: str, form: Form, top: str, bottom: str) -> StudentAnswer:
    (above, grouped), (below, too) = _figures(top, True), _figures(bottom, True)
    read = [
        f"{text} as {number}"
        for text, number, it in ((top, above, grouped), (bottom, below, too))
        if it
    ]
    note = f"read {' and '.join(read)}" if read else ""
    other = _ratio(above, below.replace(".", "")) if _POINTED.fullmatch(bottom) else None
    return StudentAnswer(shown, _ratio(above, below), form, note=note, other=other)


def _so_many_in(shown: str, top: str, bottom: str) -> StudentAnswer:
    """Return "1 in N" with what the digits of N leave open, and "34 in 100" as a percentage.

    "2 in 7" is taken at its word.
    """
    answer = _two_numbers(shown, "in", top, bottom)
    above, below = _figures(top, True)[0], _figures(bottom, True)[0]
    half = _half_unit(above) or Fraction(1, 2)
    # "3 in 100" would leave too much open.
    if re.fullmatch("10{2,}", below) and _value(above) >= _LEAST_DIGITS * half:
        return replace(answer, half_unit=half / _value(below))
    return _one_in(answer, below)


def _one_in(answer: StudentAnswer, whole: str) -> StudentAnswer:
    """Return an answer with what the digits of N leave open where it is 1 in this N."""
    if answer.value * _value(whole) != 1:
        return answer
    if "e" in whole and _value(whole).denominator == 1:
        whole = str(_value(whole))
    return replace(answer, half_below=_half_unit(whole) or _half_of_whole(whole))


def _odds(shown: str, left: str, right: str, side: str | None) -> StudentAnswer:
    (one, _), (two, _) = _figures(left, True), _figures(right, True)
    first, second = _value(one), _value(two)
    if first + second <= 0 or min(first, second) < 0:
        raise Unclear(f"the odds {left}:{right} are not those of a chance")
    whole = first + second
    if side == "against":
        return StudentAnswer(shown, second / whole, "odds", note=f"odds against: {second / whole}")
    value = first / whole
    if side:
        return StudentAnswer(shown, value, "odds", note=f"odds in favour: {value}")
    other = first / second if first < second else None
    note = f"read as odds, {left} for and {right} against: {value}"
    if other is not None:
        note += f"; for {left} in {right} write {left}/{right}"
    return StudentAnswer(shown, value, "odds", note=note, other=other)


def _figures(text: str, whole: bool = False) -> tuple[str, bool]:
    """Return a number with a decimal point and no grouping, and whether a guess was made.

    A comma before exactly three digits (1,446) groups thousands where a `whole` number is to be
    expected, as in a denominator, and is a decimal comma elsewhere.
    """
    number = text.replace(" ", "").replace("'", "")
    sign, number = (number[0], number[1:]) if number[0] in "+-" else ("", number)
    number, mark, exponent = number.partition("e")
    points, commas = number.count("."), number.count(",")
    guessed = False
    if points and commas:
        decimal = max(number.rfind("."), number.rfind(","))
        head, tail = number[:decimal], number[decimal + 1 :]
        number = f"{_ungrouped(head, text)}.{tail}"
    elif commas == 1:
        guessed = whole and bool(_GROUPED.fullmatch(number))
        number = number.replace(",", "" if guessed else ".")
    elif commas > 1 or points > 1:
        number = _ungrouped(number, text)
    return sign + number + mark + exponent, guessed


def _ungrouped(number: str, text: str) -> str:
    if not re.fullmatch(r"\d{1,3}(?:(?:,\d{3})+|(?:\.\d{3})+)", number):
        quoted = _quote(text)
        marks = f"the marks in {quoted} are not clear; write it like 0.25 or 1446"
        raise Unclear(a_date(text, quoted) or marks)
    return number.replace(",", "").replace(".", "")


def _value(number: str) -> Fraction:
    try:
        return read_number(number)
    except ValueError as error:
        raise Unclear(str(error)) from None


def _ratio(top: str, bottom: str) -> Fraction:
    below = _value(bottom)
    if not below:
        raise Unclear(f"{top}/{bottom} divides by zero")
    return _value(top) / below


def _half_unit(number: str) -> Fraction | None:
    """Return half a unit of the last digit, or None for a whole number, which rounds nothing."""
    mantissa, _, exponent = number.partition("e")
    places = len(mantissa.partition(".")[2]) - int(exponent or 0)
    return Fraction(1, 2) * Fraction(10) ** -places if places > 0 else None


def _half_of_whole(number: str) -> Fraction:
    """Return half a unit of the last digit that counts: 5 of 10,900 and 1,390, 1/2 of 109."""
    rounded = min(_zeros(number), max(len(number.lstrip("0")) - _COUNTING_DIGITS, 0))
    return Fraction(10) ** rounded / 2


def _zeros(number: str) -> int:
    return len(number) - len(number.rstrip("0"))


def _agreed(readings: list[StudentAnswer], text: str) -> StudentAnswer:
    """Return the most exact of several forms of one answer, which must all say the same."""
    best = min(
        readings, key=lambda one: (one.form == "odds", one.half_unit or 0, one.half_below or 0)
    )
    for one in readings:
        unit = 2 * (one.half_unit or Fraction(0))
        # 2/3 = 0.66 is one answer, a digit cut off; 0.5 or 0.6, a whole unit apart, are two.
        near = abs(one.value - best.value) < unit
        near = near or one.rounded_with(best)
        if not near and best.value not in (one.value, one.other):
            first, second = sorted((one, best), key=readings.index)
            here, there = _short(first), _short(second)
            product = f", or for their product {here} x {there}" if _BESIDE.search(text) else ""
            raise Unclear(f"{_quote(text)} says both {here} and {there}; give one answer{product}")
    return best


def _short(answer: StudentAnswer) -> str:
    return answer.text if answer.form in ("decimal", "percent") else str(answer.value)


def _above_one(text: str, answer: StudentAnswer) -> str:
    message = f"{_quote(text)} is more than 1; a chance lies from 0 to 1"
    if answer.form == "decimal" and answer.value <= 100:
        return f"{message}; if a percentage is meant, write {' '.join(answer.text.split())}%"
    return message


def _not_a_chance(text: str) -> str:
    return f"{_quote(text)} was not understood; write a chance like 2/3, 0.667, 66.7% or 1 in 4"


def _quote(text: str) -> str:
    short = " ".join(text.split())
    return f'"{short[:40]}..."' if len(short) > 40 else f'"{short}"'
