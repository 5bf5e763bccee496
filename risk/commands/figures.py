"""A figure as the bytes of a file, by the ending of its name."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from risk.console import Usage

if TYPE_CHECKING:
    from risk.scene.shapes import Scene

ENDINGS = (".svg", ".png", ".pdf")


def check_ending(path: str | None, option: str = "-o") -> None:
    """Raise `Usage` where `path` has not the ending of a figure."""
    if path and Path(path).suffix.lower() not in ENDINGS:
        raise Usage(f"{option}: a figure ends in {', '.join(ENDINGS[:-1])} or {ENDINGS[-1]}")


def figure_bytes(scene: Scene, path: str) -> bytes:
    """Return the scene in the format that the ending of `path` names."""
    ending = Path(path).suffix.lower()
    if ending == ".svg":
        from risk.render.svg import to_svg

        return to_svg(scene).encode()
    if ending == ".png":
        from risk.render.png import to_png

        return to_png(scene)
    from risk.render.pdf_scene import to_pdf

    return to_pdf(scene, "fit")
