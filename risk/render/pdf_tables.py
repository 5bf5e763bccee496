"""Tables of a page: their cells, how wide their columns are and which rules they have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.lib.colors import black
from reportlab.platypus import CondPageBreak, Indenter

from risk.document.blocks import Align, Table
from risk.render.columns import share
from risk.render.pdf_flow import CELL_PAD, GREY, PADDING, PALE, Grid
from risk.render.pdf_setting import INDENT, SIZE, SMALL, SMALL_LEADING, Setting
from risk.render.pdf_words import Weight, Words

#: A growing column is not made narrower than the first while headers can wrap, nor than the
#: second while anything else can give way.
_COMFORTABLE, _LEAST_GROWING = 120.0, 60.0
#: A heading, and the caption, header and first rows of a table, are not parted by a page.
START_OF_TABLE = 130.0
_ALIGNMENT: dict[Align, int] = {"left": 0, "center": 1, "right": 2}


def table(setting: Setting, block: Table) -> list[Any]:
    """A table with its caption, indented as it asks; nothing where it has no rows."""
    room = setting.sheet.room[0] - INDENT * block.indent
    size, leading = (SIZE, 13.4) if block.indent else (9.6, 12.2)
    widths = _widths(block, setting.words, room, size * setting.tight)
    whole = setting.structure.root.add("Table", block.caption)
    cells = []
    for cells_of_row, kind in _rows(block):
        row = whole.add("TR", once=kind == "TH")
        cells.append(
            [
                setting.prose(
                    cell,
                    setting.style(weight, size, leading, alignment=_ALIGNMENT[align]),
                    weight,
                    element=row.add(kind, once=kind == "TH"),
                )
                if cell
                else row.blank(kind)
                for (cell, weight), align in zip(cells_of_row, block.align, strict=True)
            ]
        )
    if not cells:
        return []
    grid = Grid(
        cells,
        colWidths=widths,
        style=_style(block),
        repeatRows=len(block.header),
        hAlign="LEFT",
        spaceBefore=4,
        spaceAfter=8,
    )
    grid.structure, grid.continues = setting.structure, block.continues
    grid.wrap(room, setting.sheet.room[1])
    # Only where it must: a split row repeats the header in the middle of the page.
    page, heights = setting.sheet.room[1], grid._rowHeights
    grid.splitInRow = max(heights) > 0.6 * page
    if sum(heights[: len(block.header)]) > 0.4 * page:
        grid.repeatRows = 0
    flow: list[Any] = [grid]
    if block.caption and not block.indent:
        style = setting.style("italic", SMALL, SMALL_LEADING, spaceBefore=5)
        caption = setting.prose(block.caption, style, "italic")
        flow = [caption, grid]
        if not setting.within:
            flow.insert(0, CondPageBreak(START_OF_TABLE - 30))
    if block.indent:
        left = INDENT * block.indent
        flow = [Indenter(left), *flow, Indenter(-left)]
    return flow


def fits(setting: Setting, block: Table) -> bool:
    """Tell whether a table has room on a page without a number that wraps."""
    room = setting.sheet.room[0] - INDENT * block.indent
    first, *others = _wishes(block, setting.words, SIZE * setting.tight)[0]
    return min(first, _COMFORTABLE) + sum(others) <= room


def _rows(block: Table) -> Iterator[tuple[tuple[tuple[str, Weight], ...], str]]:
    """Yield the cells of each row, headers first, with their weights, and the kind of cell."""
    for cells in block.header:
        weight: Weight = "italic" if block.indent else "bold"
        yield tuple((cell, weight) for cell in cells), "TH"
    for row in block.rows:
        result = row.kind == "result"
        yield (
            tuple(
                (cell, "bold" if result or i in block.strong else "regular")
                for i, cell in enumerate(row.cells)
            ),
            "TD",
        )


def _wishes(block: Table, words: Words, size: float) -> tuple[list[float], list[float]]:
    """The widths in points of columns of which nothing wraps, and of which only headers do."""
    count = len(block.align)
    wish, unbroken = [0.0] * count, [0.0] * count
    for cells, kind in _rows(block):
        for i, (cell, weight) in enumerate(cells):
            text = words.clean(cell)
            width = words.width(text, size, weight)
            wish[i] = max(wish[i], width)
            parts = text.split() if kind == "TH" else [text]
            if len(parts) > 1:
                width = max(words.width(part, size, weight) for part in parts)
            unbroken[i] = max(unbroken[i], width)
    pad = 2 * CELL_PAD + 0.1
    return [width + pad for width in wish], [width + pad for width in unbroken]


def _widths(block: Table, words: Words, room: float, size: float) -> list[float]:
    """Return the widths in points of a table whose text is of this size, in at most `room`."""
    wish, unbroken = _wishes(block, words, size)
    widths = share(wish, unbroken, block.grow, _COMFORTABLE, _LEAST_GROWING, room)
    if block.ruled and block.grow and sum(widths) < room:
        widths[max(block.grow)] += room - sum(widths)
    return widths


def _style(block: Table) -> list[Any]:
    """Rules as in printed books: above, below the header, below; sums under a thin rule."""
    heads = len(block.header)
    style: list[Any] = list(PADDING)
    if heads:
        style += [
            ("LINEBELOW", (0, heads - 1), (-1, heads - 1), 0.5, black),
            ("VALIGN", (0, 0), (-1, heads - 1), "BOTTOM"),
        ]
    if not block.indent:
        style += [
            ("LINEABOVE", (0, 0), (-1, 0), 0.9, black),
            ("LINEBELOW", (0, -1), (-1, -1), 0.9, black),
        ]
    if len(block.rows) > 3:  # no row goes to the next page alone
        style.append(("NOSPLIT", (0, -2), (-1, -1)))
    for i, row in enumerate(block.rows, heads):
        if row.kind == "sum":
            style.append(("LINEABOVE", (0, i), (-1, i), 0.4, GREY))
        if row.kind == "result":
            style.append(("BACKGROUND", (0, i), (-1, i), PALE))
        elif block.ruled and i > heads:
            style.append(("LINEABOVE", (0, i), (-1, i), 0.25, GREY))
    return style
