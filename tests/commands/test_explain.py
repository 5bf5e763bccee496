"""``twothirds explain``: options that belong together, and cases that ask nothing."""

import io
import json
from pathlib import Path

from risk import cli
from risk.console.streams import Streams

SISTER = Path(__file__).parents[2] / "fixtures" / "healthy-sister.json"


def explain(*words, stdin=""):
    out, err = io.StringIO(), io.StringIO()
    streams = Streams(io.BytesIO(stdin.encode()), out, err)
    return cli.main(["explain", *words], streams), out.getvalue(), err.getvalue()


def test_an_order_without_a_ladder_is_refused():
    status, out, err = explain("--order", "II-2.affected", str(SISTER))
    assert (status, out) == (2, "")
    assert "--order belongs to --ladder" in err


def test_an_order_names_facts_with_a_comma_in_quotes():
    case = SISTER.read_text("utf-8").replace('"II-2"', '"a,b"')
    order = 'I-1.affected, "a,b.affected"'
    status, out, _ = explain("--ladder", "--json", "--order", order, "-", stdin=case)
    assert status == 0
    rungs = json.loads(out)["ladders"][0]["rungs"]
    assert [rung["facts"] for rung in rungs[1:3]] == [["I-1.affected"], ["a,b.affected"]]


def test_a_case_without_questions_says_so():
    case = {"version": 1, "people": [{"id": "I-1", "sex": "male"}]}
    case["condition"] = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
    status, out, _ = explain("-", stdin=json.dumps(case))
    assert status == 0
    assert "This case asks no questions." in out


def test_where_the_answer_is_a_decimal_all_its_values_are():
    """The root of 1/3000 is no fraction; a certain 0 or 1 is a number, too."""
    case = json.loads(SISTER.read_text("utf-8"))
    case["condition"]["frequency"] = {"incidence": "1/3000"}
    _, out, _ = explain("--json", "-", stdin=json.dumps(case))
    workings = json.loads(out)["workings"]
    assert {working["exact"] for working in workings} == {None}
    for step in [step for working in workings for step in working["steps"]]:
        rows = [row["values"] for row in step["rows"]]
        for values in (*rows, step["joint"], step["posterior"]):
            assert {type(value) for value in values} == {float}
