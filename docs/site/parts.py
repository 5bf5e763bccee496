"""Parts of the documents that are made from the program, so that they cannot go out of date.

A page holds ``<!-- generated: NAME -->`` and ``<!-- end -->``; what stands between is what
`part` returns for NAME.  tests/test_documents.py compares the two, and writes them anew where
TWOTHIRDS_REWRITE is set.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from risk import actions, cli
from risk.bundled import bundled_cases
from risk.case.schema import json_schema
from risk.console.streams import Streams

ROOT = Path(__file__).resolve().parents[2]
HANDBOOK = ROOT / "tests" / "handbook"
MARKED = re.compile(
    r"(?P<open><!-- generated: (?P<name>[^>]+) -->\n)(?P<body>.*?)(?P<close><!-- end -->)",
    re.DOTALL,
)


def renewed(page: str) -> str:
    """Return the text of a page with every generated part made anew."""
    return MARKED.sub(lambda mark: f"{mark['open']}\n{part(mark['name'])}\n{mark['close']}", page)


def part(name: str) -> str:
    """Return one part; `name` is the maker's name and, after a space, what it is given."""
    maker, _, given = name.partition(" ")
    return MAKERS[maker](given).strip() + "\n"


def _run(*words: str) -> str:
    out = io.StringIO()
    status = cli.main(list(words), Streams(io.BytesIO(), out, io.StringIO()))
    assert status == 0, words
    return out.getvalue()


def _table(header: list[str], rows: list[list[str]]) -> str:
    lines = [header, ["---"] * len(header), *rows]
    return "\n".join(f"| {' | '.join(cells)} |" for cells in lines)


# --- the case file ------------------------------------------------------------------------


def _schema_at(path: str) -> dict[str, Any]:
    """The object that `path` names in the schema, such as ``condition.tests[]``."""
    root = json_schema()
    here: dict[str, Any] = root
    for step in path.split(".") if path else []:
        here = _object(here, root)["properties"][step.removesuffix("[]")]
        if step.endswith("[]"):
            here = here["items"]
    return _object(here, root)


def _object(schema: dict[str, Any], root: dict[str, Any]) -> dict[str, Any]:
    if "$ref" in schema:
        found: dict[str, Any] = root
        for key in schema["$ref"].removeprefix("#/").split("/"):
            found = found[key]
        return _object(found, root)
    for one in schema.get("anyOf", schema.get("oneOf", [])):
        if "properties" in _object(one, root):
            return _object(one, root)
    return schema


def _keys(path: str) -> str:
    schema = _schema_at(path)
    needed = set(schema.get("required", ()))
    return _table(
        ["key", "value", "meaning"],
        [
            [f"`{key}`" + (" (needed)" if key in needed else ""), _shape(what), _plain(what)]
            for key, what in schema["properties"].items()
        ],
    )


def _plain(schema: dict[str, Any]) -> str:
    return str(schema.get("description", "")).replace("|", "\\|")


def _shape(schema: dict[str, Any]) -> str:
    """Say in words what a value of this shape looks like."""
    if "enum" in schema:
        return ", ".join(f"`{word}`" for word in schema["enum"])
    kinds = [str(one.get("type", one.get("const"))) for one in schema.get("anyOf", [])]
    if "number" in kinds:
        return 'number, or `"rare"`' if "rare" in kinds else "number"
    if schema.get("type") == "integer":
        return _bounds("whole number", schema)
    if schema.get("type") == "number":
        return _bounds("number", schema)
    if "boolean" in kinds:
        return "`true`, `false` or `null`"
    if schema.get("type") == "boolean":
        return "`true` or `false`"
    if schema.get("type") == "string":
        most = f" of at most {schema['maxLength']} characters" if "maxLength" in schema else ""
        return f"text{most}"
    if schema.get("type") == "array":
        return "list of two ids" if schema.get("maxItems") == 2 else "list"
    return "object"


def _bounds(what: str, schema: dict[str, Any]) -> str:
    least, most = schema.get("minimum"), schema.get("maximum")
    if least == most:
        return f"`{least}`"
    return f"{what}, {least} to {most:,}" if most is not None else what


# --- commands -----------------------------------------------------------------------------


def _helps(_: str) -> str:
    parts = []
    for name in cli.COMMANDS:
        parts.append(f"### twothirds {name}\n\n```text\n{_run(name, '--help').rstrip()}\n```")
    return "\n\n".join(parts)


def _commands(_: str) -> str:
    rows = [
        [f"[`twothirds {name}`](#twothirds-{name})", does] for name, does in cli.COMMANDS.items()
    ]
    return _table(["command", "does"], rows)


# --- cases and their workings -------------------------------------------------------------


def _workings(_: str) -> str:
    parts = []
    for name, path in bundled_cases().items():
        case = actions.read(path)
        text = _run("explain", str(path)).rpartition("\n! ")[0].rstrip()
        text = text.partition("\n\n")[2]
        parts.append(f"## {case.title}\n\n[`{name}`](../fixtures/{name}.json)\n\n{case.vignette}")
        parts.append(f"```text\n{text}\n```")
    return "\n\n".join(parts)


def _steps(_: str) -> str:
    rows = []
    for path in sorted(HANDBOOK.glob("[0-9][0-9].json")):
        case = actions.read(path)
        for question, working in zip(case.questions, actions.explain(case), strict=True):
            asked = question.ask.replace("_", " ")
            tables = [len(step.rows) for step in working.steps]
            last = working.steps[-1].combine if working.steps else None
            cases = str(sum(1 for each in last if each.product)) if last else ""
            rows.append([path.stem, asked, str(len(tables)), str(sum(tables)), cases])
    return _table(["example", "question", "steps", "rows", "lines of the last sum"], rows)


def _handbook(_: str) -> str:
    expected = json.loads((HANDBOOK / "expected.json").read_text(encoding="utf-8"))
    rows = []
    for number, record in expected.items():
        answers = ", ".join(
            each["value"] + (f" ± {each['tolerance']}" if "tolerance" in each else "")
            for each in record["answers"]
        )
        remark = f"; {record['remark']}" if "remark" in record else ""
        rows.append([number, answers, record["source"] + remark, record["standing"]])
    return _table(["example", "answers", "source", "standing"], rows)


MAKERS: dict[str, Callable[[str], str]] = {
    "keys": _keys,
    "commands": _commands,
    "helps": _helps,
    "workings": _workings,
    "steps": _steps,
    "handbook": _handbook,
}
