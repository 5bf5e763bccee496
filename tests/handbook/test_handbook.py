"""The worked examples of textbooks, papers and courses: oracle and engine against their answers.

`NN.json` is a case, `expected.json` its answers in the order of the questions: an exact value, or
a decimal with the tolerance that the source's rounding needs; where the figures were found; and
whether they were read there, are from memory, or are common practice.
"""

import json
from fractions import Fraction
from pathlib import Path

import oracle
import pytest

from risk.actions import explain, solve
from risk.case.read import read_case

HERE = Path(__file__).parent
EXPECTED = json.loads((HERE / "expected.json").read_text(encoding="utf-8"))
CASES = sorted(HERE.glob("[0-9][0-9].json"))


def check(number, answers):
    expected = EXPECTED[number]["answers"]
    assert len(expected) == len(answers)
    for wanted, got in zip(expected, answers, strict=True):
        tolerance = Fraction(wanted.get("tolerance", 0))
        assert abs(Fraction(wanted["value"]) - got) <= tolerance, EXPECTED[number]["source"]


def test_every_case_has_an_answer_and_a_source():
    assert sorted(EXPECTED) == [path.stem for path in CASES]
    assert len(CASES) == 21
    for record in EXPECTED.values():
        assert record["source"]
        assert record["standing"] in {"read", "from memory", "common practice"}


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_oracle(path):
    check(path.stem, oracle.Oracle(oracle.load(path.read_text(encoding="utf-8"))).answers())


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_engine(path):
    case = read_case(path.read_text(encoding="utf-8"))
    check(path.stem, [answer.probability.exact for answer in solve(case).answers])


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.stem)
def test_workings(path):
    case = read_case(path.read_text(encoding="utf-8"))
    check(path.stem, [working.probability.exact for working in explain(case)])
