"""The sentences on rows for what is known of the person of a table: phenotype, genotype, tests."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from risk.case.model import TestResult
from risk.wording.phrases import joined, number_word
from risk.workings import row_chances
from risk.workings.assays import missed, result_in_words
from risk.workings.naming import Naming
from risk.workings.step import Said, Told, Value
from risk.workings.sums import Averages, Sum
from risk.workings.values import HALF, product, short, value_word
from risk.workings.weigh import MOSAIC, Facts, Hypothesis, equal


def why_own(
    words: Naming,
    variable: int,
    new: Facts,
    values: Mapping[Hypothesis, Value],
    because: Facts = frozenset(),
    parent: int | None = None,
    averages: Averages | None = None,
    worked: str = "",
) -> list[Said]:
    """Explain a row for a fact about the person of the table, or results that say the same.

    `because` are facts by which the class of a single allele has other chances than usual, which
    are `worked` out.  `parent` is the only one who is not certain, and `averages` are over what
    that one may have.
    """
    told = joined(words.fact_phrases(words.in_order(new)))
    values = _exact(words, variable, new, values)
    gone = [h for h, value in values.items() if not value]
    kept = [h for h, value in values.items() if value]
    if gone and kept and all(values[h] == 1 for h in kept):
        if gone == [(1,), (2,)]:
            return [words.said(f"{told}, which rules out the allele", told=new)]
        out = joined([words.has(variable, h[0]).split(" ", 1)[1] for h in gone])
        being = "being " if out[:2] == "a " else "having " if out[:2] == "no" else ""
        return [words.said(f"{told}, which rules out {being}{out}", told=new)]
    if {words.facts_kind(path) for path in new} == {"fathered"} and short(values.get((1,), 0.0)):
        weight = (
            f"men with the allele have {value_word(values[1,])} of the children that "
            "others have (fitness), and that is its weight in the row"
        )
        return [words.said(f"{told}: {weight}", told=new)]
    escaped = all(
        words.facts_kind(path) == "affected" and not words.says_affected(path) for path in new
    )
    others = sum((person.count or 1) - 1 for person in words.people[variable])
    # A row about several is not what is left of 1 for one of them.
    escaped = escaped and not others
    several = new if len(new) > 1 else frozenset[str]()
    why = row_chances.in_words(words, variable, values, escaped=escaped, told=several)
    why += row_chances.by_age(words, new)
    found = [words.said(f"{told}{why}", told=new, topic=Told(new))] if why or others else []
    if why and all(words.facts_kind(path) == "tests" for path in new):
        found += of_result(words, min(new), values, because, worked)
    if others:
        other = _others(words, others, values, parent)
        if averages:
            other += row_chances.averaged(words, variable, values, averages)
        found.append(words.said(other, [] if parent is None else [parent], topic=Told(new)))
    return found


def of_result(
    words: Naming,
    path: str,
    values: Mapping[Hypothesis, Value],
    because: Facts = frozenset(),
    worked: str = "",
) -> list[Said]:
    """Tell where the chances `values` of a result come from; the rest is as for `why_own`."""
    result = cast(TestResult, words.facts[path].evidence.detail)
    one, two = values.get((1,)), values.get((2,))
    told = _told_of_each(words, because)
    return result_in_words(words.condition, result, one, two, told, worked)


def of_one_class(words: Naming, path: str, found: Sum) -> str:
    """Return the chance that a result has with one allele, which is `found` as a sum over parents.

    Empty but where it is certain unless both parents are carriers, and then the allele is with
    chance 1/2 another than a relative's.
    """
    result = cast(TestResult, words.facts[path].evidence.detail)
    usual = missed(words.condition, result)
    both = HALF + HALF * usual
    terms = sorted(found.terms, key=lambda term: term[1] != 1)
    if result.found != 0 or [chance for _, chance in terms] != [1, both]:
        return ""
    if not all(short(weight) for weight, _ in terms):
        return ""
    return (
        f"{' + '.join(map(product, terms))} = {found.value} (if both parents are carriers, "
        f"1/2 + 1/2 × {usual} = {both})"
    )


def why_known(
    words: Naming,
    variable: int,
    told: Facts,
    values: Mapping[Hypothesis, Value],
) -> list[Said]:
    """Explain the chances `values` of what is `told` of someone, and of those below."""
    if len(told) == 1 and words.family.variable[words.facts[next(iter(told))].person] == variable:
        return why_own(words, variable, told, values)
    why = row_chances.in_words(words, variable, values, told=told)
    return [words.said(f"What is known ({words.told(told)}){why}", told=told)] if why else []


def _exact(
    words: Naming, variable: int, new: Facts, values: Mapping[Hypothesis, Value]
) -> Mapping[Hypothesis, Value]:
    """Return the chances of somebody's phenotype as the fractions that they are.

    They are floats where the frequency of the allele is irrational.
    """
    evidence = [words.facts[path].evidence for path in new]
    if len(evidence) != 1 or evidence[0].kind != "affected":
        return values
    copies, exact = words.family.copies[variable], dict(values)
    chances = words.family.locus.fact_likelihood(copies, evidence[0])
    for genotype, chance in zip(words.family.locus.listed[copies], chances, strict=True):
        state = (MOSAIC if genotype.mosaic else genotype.disease_alleles,)
        if state in exact and equal(exact[state], chance):
            exact[state] = chance
    return exact


def _others(
    words: Naming, number: int, values: Mapping[Hypothesis, Value], parent: int | None
) -> str:
    """Say how the alike siblings of the one in the table enter a row about all of them."""
    some = "one counts" if number == 1 else f"{number_word(number)} count"
    are = f"the other {some} in this row, too"
    kept = [value for value in values.values() if value]
    if all(equal(value, kept[0]) for value in kept):
        return f"{are}, alike whatever this one has"
    whose = "the parents" if parent is None else words.who(parent)
    return f"{are}, averaged over what {whose} may have, of which this one's genotype tells"


def _told_of_each(words: Naming, paths: Facts) -> str:
    """Return facts person by person: ``Bo is affected and has one allele found (panel)``."""
    told = []
    for id in dict.fromkeys(words.facts[path].person for path in words.in_order(paths)):
        own = [path for path in words.in_order(paths) if words.facts[path].person == id]
        told += words.fact_phrases(own)
    return "; ".join(told)
