"""Where the chances of a result come from: sensitivity and specificity, or the classes found."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import Condition, TestResult
from risk.wording.phrases import joined
from risk.workings.step import Accuracy, Said, Value
from risk.workings.values import short


def result_in_words(
    condition: Condition,
    result: TestResult,
    one: Value | None,
    two: Value | None,
    because: str = "",
    worked: str = "",
) -> list[Said]:
    """Return a sentence on the row of a result: its value with `one` disease allele, and `two`.

    `because` tells why that is not as for anybody's allele, where others' results are the reason,
    and `worked` how it comes about.
    Nothing where the case states the chances of each result themselves.
    """
    test = next(each for each in condition.tests or () if each.name == result.test)
    if test.detects is not None:
        classes = _of_classes(condition, test.detects, result, one, two, because, worked)
        return [Said(classes)] if classes else []
    if test.sensitivity is None or test.specificity is None:
        return []
    at_first: list[str] = []
    again: list[str] = []
    for chance, of_whom, name, right in (
        (test.sensitivity.value, "those with a disease allele", "sensitivity", "positive"),
        (test.specificity.value, "those without", "specificity", "negative"),
    ):
        if chance == 1:
            continue
        # Without what is plain only beside those with it.
        whole = "" if right == "positive" else " a disease allele"
        usual = f"{right} in {chance} of {of_whom}{whole * (not at_first)} ({name})"
        if result.result != right:
            others = f"{result.result} in 1 - {chance} = {1 - chance} of"
            usual += f", and so {others} them"
            again.append(f"{others} {of_whom}{whole * (not again)}")
        at_first.append(usual)
    texts = [f"the test is {'; it is '.join(each)}" if each else "" for each in (at_first, again)]
    return [Said(texts[0], Accuracy(test.name), texts[1])]


def _of_classes(
    condition: Condition,
    detects: tuple[str, ...],
    result: TestResult,
    one: Value | None,
    two: Value | None,
    because: str,
    worked: str,
) -> str:
    """Explain the chance that one allele is of a class that the test does, or does not, find.

    And so of just one, or of neither, of two.
    """
    if not isinstance(one, Fraction) or not short(one) or one in (0, 1) or result.found == 2:
        return ""
    found = result.found == 1
    classes = joined([f'"{name}"' for name in detects]) or "nothing"
    share = 1 - missed(condition, result) if found else missed(condition, result)
    which = "of what it finds" if found else "something else"
    chance = f"{one} of disease alleles are {which}"
    if share != one:
        known = f"as {because}" if because else "with all that is known so far"
        chance = f"{known}, a single disease allele here is {which} with chance {worked or one}"
    both = 2 * one * (1 - one) if found else one * one
    if both and both == two:
        product = f"2 × {one} × {1 - one}" if found else f"{one} × {one}"
        of_both = "just one" if found else "neither found"
        chance += f", and of two {of_both} with {product} = {two}"
    elif both and two == 0 and not found:
        chance += ", and of two one would be found"
    return f"the test finds {classes} only; {chance}"


def missed(condition: Condition, result: TestResult) -> Fraction:
    """Return what part of disease alleles a test does not find that detects some classes."""
    test = next(each for each in condition.tests or () if each.name == result.test)
    shares = [v.share.value for v in condition.variants or () if v.name not in (test.detects or ())]
    return sum(shares, Fraction(0))
