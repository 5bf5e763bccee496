"""``twothirds explain``: options that belong together, and cases that ask nothing."""

import io
import json
from pathlib import Path

from risk import cli
from risk.console import Streams

SISTER = Path(__file__).parents[2] / "fixtures" / "healthy-sister.json"


def explain(*words, stdin=""):
    out, err = io.StringIO(), io.StringIO()
    streams = Streams(io.BytesIO(stdin.encode()), out, err)
    return cli.main(["explain", *words], streams), out.getvalue(), err.getvalue()


def test_an_order_without_a_ladder_is_refused():
    status, out, err = explain("--order", "II-2.affected", str(SISTER))
    assert (status, out) == (2, "")
    assert "--order belongs to --ladder" in err


def test_a_case_without_questions_says_so():
    case = {"version": 1, "people": [{"id": "I-1", "sex": "male"}]}
    case["condition"] = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
    status, out, _ = explain("-", stdin=json.dumps(case))
    assert status == 0
    assert "This case asks no questions." in out
