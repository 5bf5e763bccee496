"""What a value of the case is, in words: what stands below the axis of a plot."""

from __future__ import annotations

import re

from risk.case.model import Case
from risk.wording.phrases import number_word

#: Words for the paths that always stand in the same place.
_PLAIN = {
    "condition.frequency.carrier": "carrier frequency",
    "condition.frequency.allele": "allele frequency",
    "condition.frequency.incidence": "incidence",
    "condition.frequency.mutation_selection_balance.fitness": "fitness of affected males",
    "condition.mutation.maternal": "rate of new mutation in eggs",
    "condition.mutation.paternal": "rate of new mutation in sperm",
}
_COPIES = re.compile(r"condition\.(penetrance|viability)\.(?:(female|male)\.)?([012])")
_TEST = re.compile(r"condition\.tests\[(\d+)\]\.(sensitivity|specificity)")
_AGE = re.compile(r"(.+)\.age")


def parameter_in_words(path: str, case: Case) -> str:
    """Name the value of a case at a path, ``carrier frequency``; the path where words lack."""
    if found := _COPIES.fullmatch(path):
        kind, sex, copies = found.groups()
        many = "copy" if copies == "1" else "copies"
        whose = f", {sex}s" if sex else ""
        return f"{kind} with {number_word(int(copies))} {many} of the disease allele{whose}"
    if found := _TEST.fullmatch(path):
        tests = case.condition.tests or ()
        return f"{found[2]} of {tests[int(found[1])].name}"
    if (found := _AGE.fullmatch(path)) and not path.startswith("condition."):
        place = re.fullmatch(r"people\[(\d+)\]", found[1])
        return f"age of {case.people[int(place[1])].id if place else found[1]}"
    return _PLAIN.get(path, path)
