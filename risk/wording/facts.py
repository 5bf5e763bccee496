"""Facts in words: ``I-1 and I-2 are unaffected``."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import cast

from risk.case.model import Case, Person, TestResult
from risk.genetics.genotypes import is_carrier
from risk.model.facts import Fact, facts_of
from risk.wording.alleles import ALLELES
from risk.wording.phrases import joined, number_of_times, number_word
from risk.wording.questions import person_in_words


def predicate(fact: Fact, case: Case) -> tuple[str, str]:
    """Return what a fact says, of one person and of several."""
    evidence = fact.evidence
    if evidence.kind == "affected":
        _, affected, age = cast(tuple[str, bool, object], evidence.detail)
        word = "affected" if affected else "unaffected"
        at = f" at {case.person(fact.person).age}" if age is not None else ""
        return f"is {word}{at}", f"are {word}{at}"
    if evidence.kind == "genotype":
        copies = case.condition.copies(case.person(fact.person).sex)
        if case.condition.recessive and is_carrier(copies, evidence.detail):
            return "is known to be a carrier", "are known to be carriers"
        known = f"to have {ALLELES[cast(int, evidence.detail)]}"
        return f"is known {known}", f"are known {known}"
    if evidence.kind == "tests":
        return _result(cast(TestResult, evidence.detail))
    if evidence.kind == "born":
        return "was born alive", "were born alive"
    return "has children", "have children"


def _result(result: TestResult) -> tuple[str, str]:
    if result.found is not None:
        alleles = "allele" if result.found < 2 else "alleles"
        said = f"{number_word(result.found)} {alleles} found ({result.test})"
        return f"has {said}", f"have {said}"
    if result.result in ("positive", "negative"):
        said = f"tested {result.result} ({result.test})"
        return said, said
    said = f'the {result.test} result "{result.result}"'
    return f"has {said}", f"have {said}"


def fact_in_words(path: str, case: Case) -> str:
    """Say one fact by its path: ``Mira (II-2) is unaffected``; raises KeyError for no fact's."""
    fact = {fact.path: fact for fact in facts_of(case)}[path]
    person = case.person(fact.person)
    one, many = predicate(fact, case)
    if person.count:
        return f"{_all_of(person)} {many}"
    return f"{person_in_words(person.id, case)} {one}"


def fact_phrases(facts: Iterable[Fact], case: Case) -> list[str]:
    """Return facts in words, alike ones together: ``I-1 and I-2 are unaffected``.

    Results of one person that say the same are counted: ``tested negative (panel) twice``.
    """
    told = Counter((predicate(fact, case), fact.person) for fact in facts)
    groups: dict[tuple[str, str], list[str]] = {}
    several: set[str] = set()
    for ((one, many), id), number in told.items():
        if case.person(id).count:
            several.add(id)
        often = f" {number_of_times(number)}" if number > 1 else ""
        groups.setdefault((one + often, many + often), []).append(id)
    phrases: dict[str, list[str]] = {}
    for (one, many), ids in groups.items():
        plural = len(ids) > 1 or ids[0] in several
        names = [_all_of(case.person(id)) for id in ids]
        phrases.setdefault(joined(names), []).append(many if plural else one)
    return [f"{names} {joined(said)}" for names, said in phrases.items()]


def _all_of(person: Person) -> str:
    """Return a person's name, or ``IV-1 (three siblings)`` for one that stands for several."""
    name = person.name or person.id
    return f"{name} ({number_word(person.count)} siblings)" if person.count else name
