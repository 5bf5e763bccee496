"""Page formats: the usual two, and the larger sheets that wide drawings go to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from reportlab.lib.pagesizes import A4, LETTER

from risk.document.blocks import Figure
from risk.scene.shapes import Text

PageSize = Literal["a4", "letter"]
PAGES: dict[PageSize, tuple[float, float]] = {"a4": A4, "letter": LETTER}
#: Larger sheets for drawings that are too wide, smallest first; each is twice the one before.
_SHEETS: dict[PageSize, tuple[str, ...]] = {
    "a4": ("A3", "A2", "A1", "A0"),
    "letter": ("11 x 17 in", "17 x 22 in", "22 x 34 in", "34 x 44 in"),
}
MARGIN = 62.0
#: Drawings on sheets of their own come nearer to the edge.
_NARROW = 40.0
FOOT = 80.0
TOP = 58.0
#: No person's name or number is printed smaller than this.
_LEAST_TEXT = 7.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page format: its name among the templates, and its size in points."""

    name: str
    width: float
    height: float
    margin: float = MARGIN

    @property
    def room(self) -> tuple[float, float]:
        """Width and height of the frame."""
        return self.width - 2 * self.margin, self.height - TOP - FOOT


def least_scale(block: Figure) -> float:
    """How much smaller a drawing may become with the texts of its people still readable."""
    texts = [item for item in block.scene.items if isinstance(item, Text)]
    sizes = [text.size for text in texts if text.role == "label"] or [text.size for text in texts]
    return min(1.0, _LEAST_TEXT / min(sizes)) if sizes else 0.0


def fit(block: Figure, width: float, height: float) -> float:
    """The scale, at most 1, at which a drawing has room in `width` by `height` points."""
    return min(1.0, width / block.scene.width, height / block.scene.height)


def larger_sheet(block: Figure, page: PageSize, beside: float) -> Sheet:
    """The smallest page on which the drawing's texts can be read; at last one made for it.

    `beside` is the height, in points, of what stands above and below the drawing.
    """
    for sheet in _larger(page):
        if fit(block, sheet.room[0], sheet.room[1] - beside) >= least_scale(block):
            return sheet
    scale = min(least_scale(block), 13_000 / max(block.scene.width, block.scene.height))
    width = max(block.scene.width * scale + 2 * _NARROW + 1, PAGES[page][0])
    height = max(block.scene.height * scale + TOP + FOOT + beside + 2, PAGES[page][1])
    return Sheet(f"{width / 72:.0f} x {height / 72:.0f} in", width, height, _NARROW)


def _larger(page: PageSize) -> Iterator[Sheet]:
    """Yield the page turned, then each larger sheet, turned and upright."""
    short, long = PAGES[page]
    yield Sheet("landscape", long, short, _NARROW)
    for name in _SHEETS[page]:
        short, long = long, 2 * short
        yield Sheet(f"{name} landscape", long, short, _NARROW)
        yield Sheet(f"{name} portrait", short, long, _NARROW)
