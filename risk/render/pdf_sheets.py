"""Page formats: the usual two, and how much room text and drawings have on them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from reportlab.lib.pagesizes import A4, LETTER

from risk.document.blocks import Figure
from risk.scene.shapes import Text

PageSize = Literal["a4", "letter"]
PAGES: dict[PageSize, tuple[float, float]] = {"a4": A4, "letter": LETTER}
MARGIN = 62.0
#: Drawings on pages of their own come nearer to the edge.
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


def own_sheets(page: PageSize) -> tuple[Sheet, Sheet]:
    """The page for drawings that need more room, turned and upright: with narrow margins."""
    short, long = PAGES[page]
    return Sheet("landscape", long, short, _NARROW), Sheet("upright", short, long, _NARROW)
