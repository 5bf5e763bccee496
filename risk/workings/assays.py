"""Where the chances of a result come from: sensitivity and specificity, or the classes found."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from risk.case.model import Condition, TestResult
from risk.wording.phrases import joined
from risk.workings.step import Value
from risk.workings.values import short


def result_in_words(
    condition: Condition,
    result: TestResult,
    one: Value | None,
    two: Value | None,
    because: str = "",
    said: Sequence[str] = (),
) -> str:
    """Return a sentence on the row of a result: its value with `one` disease allele, and `two`.

    `because` tells why that is not as for anybody's allele, where others' results are the reason.
    `said` are sentences before, of which nothing is said again.
    Empty where the case states the chances of each result themselves.
    """
    test = next(each for each in condition.tests or () if each.name == result.test)
    if test.detects is not None:
        return _of_classes(condition, test.detects, result, one, two, because)
    if test.sensitivity is None or test.specificity is None:
        return ""
    before = [text.lower() for text in said if f"({result.test}): the chance" in text]
    parts = []
    for chance, of_whom, name, right in (
        (test.sensitivity.value, "those with a disease allele", "sensitivity", "positive"),
        (test.specificity.value, "those without", "specificity", "negative"),
    ):
        usual = f"{right} in {chance} of {of_whom}"
        known = any(usual in text for text in before)
        wrong = result.result != right
        others = f"{result.result} in 1 - {chance} = {1 - chance} of"
        if chance != 1 and not known:
            parts.append(f"{usual} ({name})" + (f", and so {others} them" if wrong else ""))
        elif chance != 1 and wrong:
            parts.append(f"{others} {of_whom}")
    return f"the test is {'; it is '.join(parts)}" if parts else ""


def _of_classes(
    condition: Condition,
    detects: tuple[str, ...],
    result: TestResult,
    one: Value | None,
    two: Value | None,
    because: str,
) -> str:
    """Explain the chance that one allele is of a class that the test does, or does not, find.

    And so of just one, or of neither, of two.
    """
    if not isinstance(one, Fraction) or not short(one) or one in (0, 1) or result.found == 2:
        return ""
    found = result.found == 1
    classes = joined([f'"{name}"' for name in detects]) or "nothing"
    share = sum(
        [v.share.value for v in condition.variants or () if (v.name in detects) == found],
        Fraction(0),
    )
    which = "of what it finds" if found else "something else"
    chance = f"{one} of disease alleles are {which}"
    if share != one:
        known = f"as {because}" if because else "with all that is known so far"
        chance = f"{known}, a single disease allele here is {which} with chance {one}"
    both = 2 * one * (1 - one) if found else one * one
    if both and both == two:
        worked = f"2 × {one} × {1 - one}" if found else f"{one} × {one}"
        of_both = "just one" if found else "neither found"
        chance += f", and of two {of_both} with {worked} = {two}"
    return f"the test finds {classes} only; {chance}"
