"""How the texts of one document are set: faces, sizes, and the element each belongs to."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable

from risk.fonts.metrics import right_to_left
from risk.render.pdf_flow import Prose, RightToLeft
from risk.render.pdf_sheets import PAGES, PageSize, Sheet
from risk.render.pdf_tags import Element, Structure
from risk.render.pdf_words import Weight, Words

#: Sizes of type and from line to line, in points: of the text, and of what steps back.
SIZE, LEADING = 10.6, 14.2
SMALL, SMALL_LEADING = 9.0, 11.6
#: The longest line that is comfortable to read; tables and drawings may be wider.
MEASURE = 420.0
INDENT = 20.0


class Setting:
    """What the flowables of one document share: its words, structure, styles and page formats.

    `tight` is a factor on the sizes of type and drawings; `fewer` is how many lines to write on
    are left out of each place that can spare them.  `sheet` is the page or column that is being
    filled.  While `within` is true a group is being made, and nothing in it starts a page.
    `apart` are the flowables of drawings that wait for a page of their own, on one of `sheets`;
    `pages` are the numbers of these pages, once they are drawn, and `told` those that the text
    gives them.
    """

    def __init__(
        self, page: PageSize, tight: float = 1.0, fewer: int = 0, told: tuple[int, ...] = ()
    ) -> None:
        self.page = page
        self.tight = tight
        self.fewer = fewer
        self.words = Words()
        self.structure = Structure()
        self.sheet = Sheet("page", *PAGES[page])
        self.sheets = {self.sheet.name: self.sheet}
        self.apart: list[Any] = []
        self.pages: list[int] = []
        self.told = told
        self.within = False
        self.headings = 0
        self.open_levels: list[int] = []  # of the last heading and those that it belongs to
        self.styles: dict[tuple[Any, ...], ParagraphStyle] = {}

    @contextmanager
    def group(self, sheet: Sheet | None = None) -> Iterator[None]:
        """Take what is made meanwhile for parts of a group; of a column where `sheet` is one."""
        before = self.within, self.sheet
        self.within, self.sheet = True, sheet or self.sheet
        try:
            yield
        finally:
            self.within, self.sheet = before

    def style(
        self,
        weight: Weight = "regular",
        size: float = SIZE,
        leading: float = LEADING,
        **options: Any,
    ) -> ParagraphStyle:
        """Return the style of these measures and of reportlab's `options`, the same each time."""
        key = (weight, size, leading, *sorted(options.items()))
        if key not in self.styles:
            self.styles[key] = ParagraphStyle(
                f"style{len(self.styles)}",
                fontName=self.words.face(weight),
                fontSize=size * self.tight,
                leading=leading * self.tight,
                allowWidows=0,
                allowOrphans=0,
                splitLongWords=1,
                **options,
            )
        return self.styles[key]

    def prose(
        self,
        text: str,
        style: ParagraphStyle,
        weight: Weight = "regular",
        *,
        element: Element | None = None,
        lead: str = "",
        marker: str = "",
    ) -> Flowable:
        """A text as one flowable that belongs to `element` (or to a new paragraph)."""
        element = element or self.structure.root.add("P")
        if right_to_left(text + lead):
            whole = f"{marker} {lead} {text}".strip()
            return RightToLeft(whole, style, weight, self.words, self.structure, element)
        markup = self.words.markup(self.words.clean(text), style, weight)
        if lead:
            markup = f"{self.words.markup(self.words.clean(lead), style, 'bold')} {markup}"
        bullet = self.words.clean(marker) if marker else None
        prose = Prose(markup, style, bulletText=bullet)
        prose.structure, prose.element = self.structure, element
        return prose
