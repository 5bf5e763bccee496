"""What a value of the case is, in words: what stands below the axis of a plot."""

from __future__ import annotations

import re

from risk.case.model import Case
from risk.wording.alleles import ALLELES
from risk.wording.family import INHERITANCE
from risk.wording.phrases import number_word

#: Words for the paths that always stand in the same place.
_PLAIN = {
    "condition.frequency.carrier": "carrier frequency",
    "condition.frequency.allele": "allele frequency",
    "condition.frequency.incidence": "incidence",
    "condition.frequency.mutation_selection_balance.fitness": "fitness of affected males",
    "condition.mutation.maternal": "rate of new mutation in eggs",
    "condition.mutation.paternal": "rate of new mutation in sperm",
    "condition.germline_mosaicism.prior": "chance of germline mosaicism",
    "condition.germline_mosaicism.gametes": "share of a mosaic's gametes with the disease allele",
    "condition.inheritance": "inheritance",
}
#: What is before the person's id.
_OF_PERSON = {
    "affected": "phenotype of",
    "age": "age of",
    "genotype": "genotype of",
    "inbreeding": "inbreeding coefficient of",
    "count": "number of siblings alike in",
    "status": "status of",
    "sex": "sex of",
    "twin.zygosity": "zygosity of the twin",
    "twin.monozygotic_chance": "chance of identical twins for",
}
#: What is before the number of the question, which counts from 1 as where they are answered.
_OF_QUESTION = {
    "by_age": "age in",
    "of": "number of children in",
    "at_least": "least number of affected children in",
    "exactly": "exact number of affected children in",
}
_COPIES = re.compile(r"condition\.(penetrance|viability)\.(?:(female|male)\.)?([012])")
_ONSET = re.compile(r"condition\.onset\[(\d+)\]\.(age|cumulative)")
_VARIANT = re.compile(r"condition\.variants\[(\d+)\]\.share")
_TEST = re.compile(r"condition\.tests\[(\d+)\]\.(sensitivity|specificity)")
_LIKELIHOOD = re.compile(r"condition\.tests\[(\d+)\]\.likelihood\.(.+)\.([012])", re.DOTALL)
_QUESTION = re.compile(r"questions\[(\d+)\]\.(\w+)")
_PERSON = re.compile(
    r"(?P<who>.+?)\.(?:tests\[(?P<result>\d+)\](?:\.(?:result|found))?"
    rf"|(?P<key>{'|'.join(map(re.escape, _OF_PERSON))}))",
    re.DOTALL,
)
_PLACE = re.compile(r"people\[(\d+)\]")


#: Values of the case file in words, by the key that they belong to.
_VALUES = {
    "affected": {"true": "affected", "false": "unaffected", "unknown": "not known"},
    "genotype": {
        **{str(number): said for number, said in enumerate(ALLELES)},
        "unknown": "not known",
    },
    "zygosity": {"unknown": "not known"},
    "result": {"unknown": "no result"},
    "found": {
        **{str(number): f"{said} found" for number, said in enumerate(ALLELES)},
        "unknown": "no result",
    },
    "inheritance": INHERITANCE,
}


def value_in_words(path: str, value: str) -> str:
    """Say a value as the case file has it; one without words of its own stays as it is."""
    return _VALUES.get(path.rpartition(".")[2], {}).get(value, value)


def parameter_in_words(path: str, case: Case) -> str:
    """Name the value of a case at a path that `risk.case.parameter.parameters` gives.

    A person may be called by id or by place: ``age of II-2`` is ``II-2.age`` and ``people[3].age``.
    """
    if path in _PLAIN:
        return _PLAIN[path]
    return _of_condition(path, case) or _of_question(path) or _of_person(path, case)


def _of_condition(path: str, case: Case) -> str:
    """Name a value in a table or a list of the condition; ``""`` for any other."""
    condition = case.condition
    if found := _COPIES.fullmatch(path):
        kind, sex, copies = found.groups()
        return f"{kind} with {_copies(copies)}{f', {sex}s' if sex else ''}"
    if found := _ONSET.fullmatch(path):
        point = (condition.onset or ())[int(found[1])]
        if found[2] == "age":
            return f"age, now {point.age}, by which a share of {point.cumulative} is affected"
        return f"share affected by the age of {point.age}"
    if found := _VARIANT.fullmatch(path):
        return f"share of {(condition.variants or ())[int(found[1])].name}"
    if found := _TEST.fullmatch(path):
        return f"{found[2]} of {(condition.tests or ())[int(found[1])].name}"
    if found := _LIKELIHOOD.fullmatch(path):
        name = (condition.tests or ())[int(found[1])].name
        return f"chance of {found[2]} in {name} with {_copies(found[3])}"
    return ""


def _copies(digit: str) -> str:
    many = "copy" if digit == "1" else "copies"
    return f"{number_word(int(digit))} {many} of the disease allele"


def _of_question(path: str) -> str:
    found = _QUESTION.fullmatch(path)
    return f"{_OF_QUESTION[found[2]]} question {int(found[1]) + 1}" if found else ""


def _of_person(path: str, case: Case) -> str:
    found = _PERSON.fullmatch(path)
    if found is None:
        raise KeyError(path)
    place = _PLACE.fullmatch(found["who"])
    id = case.people[int(place[1])].id if place else found["who"]
    if found["key"]:
        return f"{_OF_PERSON[found['key']]} {id}"
    tests = [result.test for result in case.person(id).tests]
    index = int(found["result"])
    # Two results of one test are told apart by which of them they are, in the order of the file.
    number = f" {tests[: index + 1].count(tests[index])}" if tests.count(tests[index]) > 1 else ""
    return f"result{number} of {id} in {tests[index]}"
