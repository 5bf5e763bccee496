"""Where the bundled cases are, in a checkout and in an installed package alike."""

from __future__ import annotations

from pathlib import Path


def fixtures_folder() -> Path:
    """Return the folder of the bundled case files.

    An installed package carries them as ``risk/fixtures``; a checkout has them at its top.
    """
    package = Path(__file__).resolve().parent
    inside = package / "fixtures"
    return inside if inside.is_dir() else package.parent / "fixtures"


def bundled_cases() -> dict[str, Path]:
    """Return the bundled cases by name (the file name without ``.json``), in order of name."""
    return {path.stem: path for path in sorted(fixtures_folder().glob("*.json"))}
