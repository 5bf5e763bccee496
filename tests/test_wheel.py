"""The built package: it holds what it needs, and works where there is no checkout."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
#: What is not Python and is needed nevertheless.
CARRIED = {".css", ".js", ".toml", ".ttf", ".woff", ".advances", ".typed", ".pyi"}


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the unpacked wheel, as an installer lays it out."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder / "installed")
    return folder / "installed"


def test_it_carries_every_file_of_the_package(installed: Path) -> None:
    files = [path for path in (ROOT / "risk").rglob("*") if path.is_file()]
    wanted = [path for path in files if path.suffix == ".py" or path.suffix in CARRIED]
    missing = [path for path in wanted if not (installed / path.relative_to(ROOT)).exists()]
    assert missing == []
    cases = sorted(path.name for path in (ROOT / "fixtures").glob("*.json"))
    assert sorted(path.name for path in (installed / "risk/fixtures").glob("*.json")) == cases


def test_it_names_the_command_and_the_licence(installed: Path) -> None:
    (about,) = installed.glob("*.dist-info")
    assert "twothirds = risk.__main__:main" in (about / "entry_points.txt").read_text()
    assert (about / "licenses" / "LICENSE").exists()


def test_it_solves_a_bundled_case_without_the_checkout(installed: Path, tmp_path: Path) -> None:
    script = (
        f"import sys; sys.path.insert(0, {str(installed)!r})\n"
        "import risk\n"
        f"assert risk.__file__.startswith({str(installed)!r}), risk.__file__\n"
        "print(risk.solve(risk.example('healthy-sister')).answers[0].probability.exact)"
    )
    done = subprocess.run(
        [sys.executable, "-I", "-c", script],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.stdout, done.stderr) == ("2/3\n", "")
