"""How the chance of being affected by an age comes about: penetrance, and the share by that age."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import BySex, Condition, Sex
from risk.genetics.penetrance import chance_of_falling_ill, lifetime_penetrance, share_by_age
from risk.number import Quantity
from risk.workings.values import short


def by_age_in_words(condition: Condition, sex: Sex, age: Quantity) -> str:
    """Return a clause on the chance of being affected by `age`: ``8/25 = 4/5 × 2/5, ...``.

    Empty without onset data, where the share by then is 0 or 1, and where sexes differ and the
    sex is not known.
    """
    share = share_by_age(condition.onset, age.value)
    if condition.onset is None or share in (0, 1) or not short(share):
        return ""
    if sex == "unknown" and isinstance(condition.penetrance, BySex):
        return ""
    lifetimes = sorted({chance for chance in lifetime_penetrance(condition, sex) if chance})
    which = f"the share of those ever affected who are so by {age}"
    if lifetimes == [1]:
        text = f"{share} is {which}"
    elif len(lifetimes) == 1:
        (lifetime,) = lifetimes
        by_then = chance_by_age(condition, sex, age)
        text = f"{by_then} = {lifetime} × {share}, the lifetime chance times {which}"
    else:
        text = f"the lifetime chance counts times {share}, {which}"
    rise = _rise(condition, age)
    return f"{text}; {rise}" if rise else text


def chance_by_age(condition: Condition, sex: Sex, age: Quantity) -> Fraction | None:
    """Return the chance of being affected by `age`, where all who can be have the same."""
    if sex == "unknown" and isinstance(condition.penetrance, BySex):
        return None
    ill = {chance for chance in chance_of_falling_ill(condition, sex, None, age.value) if chance}
    return ill.pop() if len(ill) == 1 else None


def _rise(condition: Condition, age: Quantity) -> str:
    """Return how the share at an age between two stated ones follows from theirs."""
    before_age, before = Fraction(0), Fraction(0)
    for point in condition.onset or ():
        after_age, after = point.age.value, point.cumulative.value
        if before_age < age.value < after_age:
            if after == before:
                return ""
            start = f"{_years(before_age)} ({before})" if before_age else "birth (0)"
            part = f"{_years(age.value - before_age)}/{_years(after_age - before_age)}"
            step = f"({after} - {before})" if before else str(after)
            begin = f"{before} + " if before else ""
            share = share_by_age(condition.onset, age.value)
            return (
                f"between {start} and {_years(after_age)} ({after}) that share rises evenly: "
                f"{begin}{part} × {step} = {share}"
            )
        before_age, before = after_age, after
    return ""


def _years(number: Fraction) -> str:
    """Return years of an age: 17.5, since 3/35/2 would be read otherwise."""
    text = f"{float(number):.10g}"
    return text if Fraction(text) == number else f"({number})"
