"""The documents as a whole: their generated parts, the notebook, the site, the caution.

tests/test_docs.py runs the commands that they show.  `TWOTHIRDS_REWRITE=1` writes the generated
parts and the notebook anew; look at what changes.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from docs.site import parts
from risk import cli
from risk.case.model import QUESTION_KEYS
from risk.case.schema import KEYS
from risk.caution import CAUTION
from risk.teaching import slips

ROOT = Path(__file__).parent.parent
DOCS = ROOT / "docs"
PAGES = sorted(DOCS.rglob("*.md"))
NOTEBOOK = DOCS / "first-case.ipynb"
REWRITE = bool(os.environ.get("TWOTHIRDS_REWRITE"))


def words(text: str) -> str:
    return " ".join(text.replace("*", " ").replace(">", " ").split()).lower()


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_page_ends_in_the_caution(page: Path) -> None:
    *_, last = page.read_text(encoding="utf-8").strip().split("\n\n")
    assert words(CAUTION) in words(last)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_what_a_page_shows_is_where_it_can_be_checked(page: Path) -> None:
    """A block that is set in, as in a list, would be passed over by tests/test_docs.py."""
    assert not re.search(r"^[ >]+```", page.read_text(encoding="utf-8"), re.MULTILINE)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_generated_parts_are_current(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    if REWRITE:
        text = parts.renewed(text)
        page.write_text(text, encoding="utf-8")
    for mark in parts.MARKED.finditer(text):
        assert mark["body"] == f"\n{parts.part(mark['name'])}\n", mark["name"]


def test_every_key_of_the_case_file_is_in_the_reference() -> None:
    reference = (DOCS / "case-file.md").read_text(encoding="utf-8")
    for record, keys in KEYS.items():
        for key, _, _ in keys:
            assert f"`{key}`" in reference or f'"{key}"' in reference, (record.__name__, key)
    for ask in QUESTION_KEYS:
        assert f"| `{ask}` |" in reference, ask


def test_every_command_is_in_the_reference() -> None:
    reference = (DOCS / "commands.md").read_text(encoding="utf-8")
    for name in cli.COMMANDS:
        assert f"### twothirds {name}\n" in reference, name


def test_every_slip_is_in_the_reference() -> None:
    reference = (DOCS / "commands.md").read_text(encoding="utf-8")
    assert re.findall(r"^\| `([a-z]+_[a-z_]+|complement)` \|", reference, re.M) == list(slips.NAMES)


def test_every_handbook_example_is_among_the_sources() -> None:
    sources = (DOCS / "sources.md").read_text(encoding="utf-8")
    for path in parts.HANDBOOK.glob("[0-9][0-9].json"):
        assert f"\n| {path.stem} | " in sources, path.name


# --- the notebook --------------------------------------------------------------------------


def executed(notebook: Any) -> list[dict[str, Any]]:
    """Run the notebook in a fresh kernel; return its code cells' outputs without run numbers."""
    nbclient = pytest.importorskip("nbclient")
    nbclient.NotebookClient(
        notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(ROOT)}}
    ).execute()
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        if cell.cell_type == "code":
            cell.execution_count = None
            for output in cell.outputs:
                output.pop("execution_count", None)
                if output.output_type == "execute_result":
                    output.execution_count = None
    return [cell.outputs for cell in notebook.cells if cell.cell_type == "code"]


@pytest.mark.slow
def test_the_notebook_runs_and_shows_what_it_says() -> None:
    nbformat = pytest.importorskip("nbformat")
    notebook = nbformat.read(NOTEBOOK, as_version=4)
    stored = json.loads(
        json.dumps([cell.outputs for cell in notebook.cells if cell.cell_type == "code"])
    )
    found = json.loads(json.dumps(executed(notebook)))
    if REWRITE:
        notebook.metadata = {
            "kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"},
            "language_info": {"name": "python"},
        }
        nbformat.write(notebook, NOTEBOOK)
        stored = found
    assert found == stored
    kinds = {kind for outputs in found for output in outputs for kind in output.get("data", {})}
    assert {"text/html", "image/svg+xml"} <= kinds
    said = words(" ".join(c.source for c in notebook.cells if c.cell_type == "markdown"))
    assert "not medical advice" in said


# --- the site ------------------------------------------------------------------------------


class Fetched(HTMLParser):
    """What a browser would fetch for a page."""

    def __init__(self) -> None:
        super().__init__()
        self.addresses: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag in ("script", "img", "link", "iframe", "source") and given.get("rel") != "canonical":
            self.addresses += [given.get("src") or given.get("href") or ""]


@pytest.mark.slow
def test_the_site_builds_with_every_link_whole_and_fetches_nothing(tmp_path: Path) -> None:
    pytest.importorskip("mkdocs")
    config = DOCS / "site" / "mkdocs.yml"
    done = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "-q", "-s", "-f", config, "-d", tmp_path],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    pages = sorted(tmp_path.rglob("*.html"))
    found = {str(page.relative_to(tmp_path)) for page in pages}
    for page in PAGES:
        made = page.relative_to(DOCS).with_suffix(".html")
        assert str(made).replace("README", "index") in found, page
    assert {"developers.html", "bundled-cases.html"} <= found
    for page in pages:
        text = page.read_text(encoding="utf-8")
        assert CAUTION in text, page.name
        fetched = Fetched()
        fetched.feed(text)
        outside = [each for each in fetched.addresses if re.match("(https?:)?//", each)]
        assert outside == [], page.name
    for sheet in tmp_path.rglob("*.css"):
        assert not re.search(r"url\(['\"]?(https?:)?//", sheet.read_text("utf-8")), sheet.name
