"""``twothirds solve`` as text: what its page says beside the answers."""

import io
import json
from pathlib import Path

from risk import cli
from risk.console.streams import Streams

SISTER = (Path(__file__).parents[2] / "fixtures" / "healthy-sister.json").read_text("utf-8")
HINT = "A fraction that is too long to show here is printed whole by --json."


def solve(text):
    out, err = io.StringIO(), io.StringIO()
    status = cli.main(["solve", "-"], Streams(io.BytesIO(text.encode()), out, err))
    assert (status, err.getvalue()) == (0, "")
    return " ".join(out.getvalue().split())


def test_where_a_fraction_is_too_long_the_page_says_what_prints_it():
    case = json.loads(SISTER)
    case["condition"]["frequency"] = {"allele": "0." + "0123456789" * 5}
    said = solve(json.dumps(case))
    assert "digits, too long to show here)" in said
    assert said.count(HINT) == 1
    assert said.index(HINT) < said.index("! Educational")
    assert HINT not in solve(SISTER)
