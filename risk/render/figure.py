"""A figure as the bytes of a file, in the format that the ending of its name says."""

from __future__ import annotations

from os import PathLike
from pathlib import Path
from typing import TYPE_CHECKING

from risk.problems import InputError, Problem, shown_path

if TYPE_CHECKING:
    from risk.render.pdf_scene import Sheets
    from risk.scene.shapes import Scene

_ENDINGS = (".svg", ".pdf", ".png")


def check_ending(path: str | PathLike[str] | None) -> None:
    """Raise `InputError` where `path` has not the ending of a figure; None is none to write."""
    if path and Path(path).suffix.lower() not in _ENDINGS:
        endings = f"{', '.join(_ENDINGS[:-1])} or {_ENDINGS[-1]}"
        message = f"a figure is written to a file in {endings}"
        raise InputError([Problem(shown_path(str(path)), message)])


def figure_bytes(
    scene: Scene, path: str | PathLike[str], page: Sheets = "fit", dpi: float = 144
) -> bytes:
    """Return the scene in the format that `path` ends in.

    `page` are the sheets of a PDF, and `dpi` the dots an inch of a PNG.
    """
    ending = Path(path).suffix.lower()
    if ending == ".svg":
        from risk.render.svg import to_svg

        return to_svg(scene).encode()
    if ending == ".png":
        from risk.render.png import to_png

        return to_png(scene, dpi)
    from risk.render.pdf_scene import to_pdf

    return to_pdf(scene, page)
