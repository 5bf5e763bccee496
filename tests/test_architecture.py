"""The directions of imports, as the row table of DEVELOPERS.md sets them."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent
#: Modules may pass this many lines ("about 500") only with a reason beside their name here.
LONGEST = 540
LONGER_FOR_A_REASON: dict[str, str] = {}


def test_imports_run_one_way() -> None:
    lint = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run(
        [str(lint), "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout


def test_the_row_table_names_every_module() -> None:
    table = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for path in sorted((ROOT / "risk").iterdir()):
        if path.suffix == ".py" and path.name != "__init__.py":
            assert f"risk/{path.name}`" in table, path.name
        elif (path / "__init__.py").exists():
            assert f"risk/{path.name}/`" in table, path.name


def test_packages_only_name_things() -> None:
    for path in (ROOT / "risk").rglob("__init__.py"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"^(def|class|if|for|while|with) ", text, re.MULTILINE), path


def test_only_the_command_line_speaks_of_its_options() -> None:
    """What other modules say is read in notebooks and in the app as well."""
    at_the_command_line = re.compile(r"risk/(commands|console)/|risk/cli\.py")
    found = []
    for path in sorted((ROOT / "risk").rglob("*.py")):
        name = path.relative_to(ROOT).as_posix()
        if at_the_command_line.match(name):
            continue
        tree = ast.parse(path.read_text(encoding="utf-8"))
        docstrings = {
            id(node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        }
        for node in ast.walk(tree):
            said = node.value if isinstance(node, ast.Constant) else None
            if isinstance(said, str) and id(node) not in docstrings:
                # Not those of CSS, like var(--paper).
                found += [f"{name}: {said}"] if re.search(r"(^|[\s`'\"])--[a-z]", said) else []
    assert found == []


def test_no_module_is_too_long_and_none_is_a_drawer() -> None:
    long = {}
    for path in (ROOT / "risk").rglob("*.py"):
        name = str(path.relative_to(ROOT))
        assert path.stem not in ("utils", "helpers", "common", "misc"), name
        lines = len(path.read_text(encoding="utf-8").splitlines())
        if lines > LONGEST and name not in LONGER_FOR_A_REASON:
            long[name] = lines
    assert long == {}
