"""Case files for the tests of this folder: one small, one with every key, and changes to them."""

from __future__ import annotations

import copy
import json
import re
from typing import Any

from risk.case.read import read_case
from risk.problems import InputError

GONE: Any = object()

#: Two parents, an affected son and a daughter.
SMALL: dict[str, Any] = {
    "version": 1,
    "condition": {
        "inheritance": "autosomal_recessive",
        "frequency": {"carrier": "1/25"},
    },
    "people": [
        {"id": "I-1", "sex": "male"},
        {"id": "I-2", "sex": "female"},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "affected": True},
        {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2", "affected": False},
        {"id": "II-3", "sex": "male"},
    ],
    "couples": [{"partners": ["II-2", "II-3"]}],
    "questions": [{"ask": "carrier", "person": "II-2"}],
}

#: Every key of the contract that can stand beside the others.
WHOLE: dict[str, Any] = {
    "version": 1,
    "title": "Every key",
    "vignette": "They came\nto ask.\tMuch.",
    "condition": {
        "name": "An invented condition",
        "inheritance": "autosomal_recessive",
        "frequency": {"allele": 0.02},
        "mutation": {"maternal": "1e-6", "paternal": 3e-6},
        "penetrance": {
            "female": {"0": 0, "1": "0", "2": "4/5"},
            "male": {"0": 0, "1": "0.1%", "2": "9 in 10"},
        },
        "onset": [
            {"age": 0, "cumulative": 0},
            {"age": 20, "cumulative": "5%"},
            {"age": 60.5, "cumulative": 1},
        ],
        "viability": {"0": 1, "1": 1, "2": "0.5"},
        "variants": [{"name": "common", "share": "9/10"}, {"name": "scarce", "share": 0.1}],
        "tests": [
            {"name": "panel", "detects": ["common"]},
            {"name": "blood", "sensitivity": "90%", "specificity": 1},
            {
                "name": "enzyme",
                "likelihood": {
                    "high": {"0": "0.1", "1": 2.5, "2": 12},
                    "low": {"0": 3, "1": 1, "2": 0},
                },
            },
        ],
        "germline_mosaicism": {"prior": "1/100", "gametes": "1/4"},
    },
    "people": [
        {"id": "I-1", "sex": "male", "affected": None, "status": "deceased", "inbreeding": "1/16"},
        {"id": "I-2", "sex": "female", "name": "Ash", "gender": "nonbinary", "adopted": "out"},
        {
            "id": "II-1",
            "sex": "female",
            "father": "I-1",
            "mother": "I-2",
            "affected": False,
            "age": 30.25,
            "tests": [
                {"test": "panel", "found": 0},
                {"test": "blood", "result": "negative"},
                {"test": "enzyme", "result": "high"},
            ],
            "twin": {"group": "a", "zygosity": "unknown", "monozygotic_chance": "1/3"},
            "roles": ["proband", "consultand"],
            "note": "two lines\nof text",
        },
        {
            "id": "II-2",
            "sex": "female",
            "father": "I-1",
            "mother": "I-2",
            "genotype": 1,
            "twin": {"group": "a", "zygosity": "unknown", "monozygotic_chance": "1/3"},
        },
        {
            "id": "II-3",
            "sex": "male",
            "father": "I-1",
            "mother": "I-2",
            "affected": False,
            "age": 20,
            "count": 3,
        },
        {"id": "II-4", "sex": "male", "gender": "man", "adopted": "in"},
        {
            "id": "III-1",
            "sex": "unknown",
            "father": "II-4",
            "mother": "II-1",
            "status": "pregnancy",
        },
    ],
    "couples": [
        {
            "partners": ["II-1", "II-4"],
            "consanguineous": False,
            "separated": True,
        },
        {"partners": ["II-2", "II-4"], "childless": "choice"},
    ],
    "questions": [
        {"ask": "carrier", "person": "II-1"},
        {"ask": "disease_allele", "person": "II-3"},
        {"ask": "genotype", "person": "III-1"},
        {"ask": "will_be_affected", "person": "II-1"},
        {"ask": "will_be_affected", "person": "II-2", "by_age": 50},
        {"ask": "child_affected", "parents": ["II-4", "II-1"], "sex": "female", "by_age": 40.5},
        {"ask": "child_carrier", "parents": ["II-1", "II-4"], "sex": "male"},
        {"ask": "both_carriers", "people": ["II-1", "II-4"]},
        {"ask": "children_affected", "parents": ["II-1", "II-4"], "of": 3, "at_least": 0},
        {"ask": "children_affected", "parents": ["II-1", "II-4"], "of": 200, "exactly": 200},
    ],
}

#: A family with an x-linked condition.
ON_X: dict[str, Any] = {
    "version": 1,
    "condition": {
        "inheritance": "x_linked_recessive",
        "frequency": {"allele": "rare"},
        "penetrance": {"female": {"0": 0, "1": 0, "2": 1}, "male": {"0": 0, "1": 1}},
        "variants": [{"name": "common", "share": 1}],
        "tests": [{"name": "panel", "detects": ["common"]}],
    },
    "people": [
        {"id": "I-1", "sex": "male"},
        {"id": "I-2", "sex": "female", "genotype": 1},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "genotype": 1},
        {
            "id": "II-2",
            "sex": "female",
            "father": "I-1",
            "mother": "I-2",
            "tests": [{"test": "panel", "found": 2}],
        },
    ],
    "questions": [{"ask": "child_carrier", "parents": ["II-2", "I-1"]}],
}


def changed(case: dict[str, Any], *changes: tuple[str, Any]) -> dict[str, Any]:
    """Return a copy of `case` in which each path (``people[0].sex``) has its new value.

    The value `GONE` takes the key or item away; a list index one past the end appends.
    """
    result = copy.deepcopy(case)
    for path, value in changes:
        *outer, last = [
            int(index) if index else name
            for index, name in re.findall(r"\[(\d+)\]|([^.\[\]]+)", path)
        ]
        place: Any = result
        for part in outer:
            place = place[part]
        if value is GONE:
            del place[last]
        elif isinstance(place, list) and last == len(place):
            place.append(copy.deepcopy(value))
        else:
            place[last] = copy.deepcopy(value)
    return result


def problems(case: Any) -> list[tuple[str, str]]:
    """Return what is wrong with a case file, given as its text or as what it says."""
    text = case if isinstance(case, str | bytes) else json.dumps(case)
    try:
        read_case(text)
    except InputError as error:
        return [(problem.path, problem.message) for problem in error.problems]
    return []


def only_problem(case: Any) -> tuple[str, str]:
    """Return the one thing wrong with a case file; fails when there are none or several."""
    found = problems(case)
    assert len(found) == 1, found
    return found[0]
