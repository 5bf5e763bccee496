"""The documents say what the program does: every command is listed, every output is its own.

In README.md and docs/*.md, a `console` block holds commands after ``$`` with their output (or
commands only; ``$ echo $?`` shows the status of one that fails), a `json` block is a case (the
first of a page is its `first.json`, another has its name in a comment before it), and a `python`
block is a doctest.  `TWOTHIRDS_REWRITE=1 pytest tests/test_docs.py tests/test_documents.py`
writes the outputs anew; look at what changes.
"""

from __future__ import annotations

import doctest
import io
import os
import re
import shlex
from pathlib import Path

import pytest

from risk import actions, cli
from risk.console.streams import Streams
from risk.render.svg import to_svg

ROOT = Path(__file__).parent.parent
README = ROOT / "README.md"
PAGES = [README, ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
BLOCK = re.compile(r"^```(?P<kind>\w+)\n(?P<body>.*?)^```$", re.MULTILINE | re.DOTALL)
NAMED = re.compile(r"^<!-- (?P<name>[\w.-]+) -->\n```json\n(?P<body>.*?)^```$", re.M | re.S)
LINK = re.compile(r"\]\((?P<to>[^)#\s]+)(?:#[^)]*)?\)")


def blocks(page: Path, kind: str) -> list[str]:
    text = page.read_text(encoding="utf-8")
    return [block["body"] for block in BLOCK.finditer(text) if block["kind"] == kind]


def output(command: str) -> tuple[int, str]:
    """Run a command of the program; return its exit status and what a terminal shows of it."""
    words = shlex.split(command)
    assert Path(words[0]).name == "twothirds", command
    out, err = io.StringIO(), io.StringIO()
    status = cli.main(words[1:], Streams(io.BytesIO(), out, err))
    return status, out.getvalue() + err.getvalue()


def rewritten(body: str) -> str:
    """The console block with each command's output as it is now; commands only stay so."""
    lines = body.splitlines()
    commands = [line for line in lines if line.startswith("$ ")]
    shown, status, expected = "", 0, 0
    for command in commands:
        if command == "$ echo $?":
            expected = status
            shown += f"{command}\n{status}\n"
        else:
            assert status == expected, f"the command before {command} fails"
            status, printed = output(command[2:])
            expected = 0
            shown += f"{command}\n{printed}"
    assert status == expected, f"{commands[-1]} fails"
    return body if commands == lines else shown


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_outputs_shown_are_those_printed(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for path in ("fixtures", "docs"):
        (tmp_path / path).symlink_to(ROOT / path)
    files = [("first.json", case) for case in blocks(page, "json")[:1]]
    files += [(named["name"], named["body"]) for named in NAMED.finditer(page.read_text("utf-8"))]
    for name, body in files:
        (tmp_path / name).write_text(body, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    if os.environ.get("TWOTHIRDS_REWRITE"):
        text = BLOCK.sub(
            lambda block: (
                f"```console\n{rewritten(block['body'])}```"
                if block["kind"] == "console"
                else block[0]
            ),
            page.read_text(encoding="utf-8"),
        )
        page.write_text(text, encoding="utf-8")
    for body in blocks(page, "console"):
        assert body == rewritten(body)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_python_shown_does_what_it_says(page: Path) -> None:
    for body in blocks(page, "python"):
        if ">>>" in body:
            test = doctest.DocTestParser().get_doctest(body, {}, page.name, str(page), 0)
            failures = io.StringIO()
            doctest.DocTestRunner().run(test, out=failures.write)
            assert failures.getvalue() == ""


def test_the_picture_is_what_draw_makes() -> None:
    picture = ROOT / "docs" / "healthy-sister.svg"
    drawn = to_svg(actions.draw(actions.example("healthy-sister"), "carrier"))
    if os.environ.get("TWOTHIRDS_REWRITE"):
        picture.write_text(drawn, encoding="utf-8")
    assert picture.read_text(encoding="utf-8") == drawn


def test_the_first_case_is_a_case() -> None:
    actions.load(blocks(README, "json")[0])


@pytest.mark.parametrize("name", cli.COMMANDS)
def test_every_command_has_a_line_in_the_readme_and_helps(name: str) -> None:
    line = f"| `twothirds {name}` | {cli.COMMANDS[name]} |"
    assert line in README.read_text(encoding="utf-8")
    options = cli.parser(name, io.StringIO())
    for action in options._actions:
        assert action.help, (name, action.dest)


def test_no_command_is_hidden() -> None:
    modules = (ROOT / "risk" / "commands").glob("*.py")
    found = {path.stem for path in modules if "\nCOMMAND = " in path.read_text(encoding="utf-8")}
    assert found == set(cli.COMMANDS)


@pytest.mark.parametrize("page", [*PAGES, ROOT / "fixtures" / "README.md"], ids=str)
def test_links_lead_somewhere(page: Path) -> None:
    for link in LINK.finditer(page.read_text(encoding="utf-8")):
        if "://" not in link["to"]:
            assert (page.parent / link["to"]).exists(), link["to"]


def test_make_and_readme_take_the_same_steps() -> None:
    """Each step of the README's section without make is a line of the Makefile."""
    makefile = (ROOT / "Makefile").read_text(encoding="utf-8")
    plain = makefile.replace("$(BIN)", ".venv/bin").replace("$(VENV)", ".venv")
    plain = plain.replace("$(PYTHON)", "python3").replace(" --quiet", "")
    plain = plain.replace("$(CASE)", "fixtures/healthy-sister.json").replace("$(TESTS)", "tests")
    section = README.read_text(encoding="utf-8").split("## Without make")[1].split("\n## ")[0]
    steps = re.findall(r"^(?:python3|\.venv/bin).*$", section, re.MULTILINE)
    assert steps
    for step in steps:
        assert f"\t{step}\n" in plain, step
