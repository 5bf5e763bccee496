"""Blocks as HTML for a page or a notebook; every text is escaped here, and nowhere else."""

from __future__ import annotations

import html
from collections.abc import Sequence

from risk.document.blocks import (
    Block,
    Bullets,
    Caution,
    Heading,
    Paragraph,
    Table,
    TableRow,
    flatten,
    joined,
)
from risk.document.text_page import COMFORTABLE, GUTTER
from risk.render.formulas import with_whole_formulas

#: The longest formula that is kept on one line, in signs: a phone has room for it.
_UNBROKEN = 28

#: Characters that a line of a table has room for on a page of usual width; less room scrolls it.
_ROOM = 96


def escape(text: object) -> str:
    """Return `text` for use inside HTML, in text and in attributes alike."""
    return html.escape(str(text), quote=True)


def blocks_to_html(blocks: Sequence[Block]) -> str:
    """Return the HTML of blocks: headings, paragraphs, lists and tables.

    Figures and what only paper has (lines to write on, page breaks) are left out.  Looks are
    left to the style sheet of the place, by classes: the style of a paragraph, the kind of a
    row, the side a column is aligned to.
    """
    return "".join(map(_html, joined(list(flatten(blocks)), _fits)))


def table_to_html(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return a table of plain texts as HTML, the first column naming each row."""
    return _table(
        Table(
            align=tuple("left" for _ in header),
            header=(tuple(header),),
            rows=tuple(TableRow(tuple(row)) for row in rows),
            grow=tuple(range(len(header))),
            ruled=True,
        )
    )


def _html(block: Block) -> str:
    if isinstance(block, Heading):
        level = min(block.level + 1, 6)
        return f"<h{level}>{escape(block.text)}</h{level}>"
    if isinstance(block, Paragraph):
        marker = f'<span class="marker">{escape(block.marker)}</span>' if block.marker else ""
        lead = f"<strong>{escape(block.lead)}</strong> " if block.lead else ""
        indent = " indent" if block.indent else ""
        return f'<p class="{block.style}{indent}">{marker}{lead}{_prose(block.text)}</p>'
    if isinstance(block, Bullets):
        items = "".join(f"<li>{_prose(item)}</li>" for item in block.items)
        return f'<ul class="indent">{items}</ul>'
    if isinstance(block, Caution):
        return f'<p class="tt-caution">{escape(block.text)}</p>'
    if isinstance(block, Table):
        return _table(block)
    return ""


def _prose(text: str) -> str:
    # A browser breaks behind a hyphen even before a no-break space; a word joiner holds it.
    whole = with_whole_formulas(text, _UNBROKEN)
    return escape(whole.replace("-\N{NO-BREAK SPACE}", "-\N{WORD JOINER}\N{NO-BREAK SPACE}"))


def _table(table: Table) -> str:
    caption = ""
    if table.caption:
        caption = f'<caption class="tt-visually-hidden">{escape(table.caption)}</caption>'
    head = "".join(f"<tr>{_cells(table, cells, 'col')}</tr>" for cells in table.header)
    body = "".join(
        f'<tr class="{row.kind}">{_cells(table, row.cells, "row")}</tr>' for row in table.rows
    )
    inside = f"{caption}<thead>{head}</thead><tbody>{body}</tbody>"
    # In a box of its own, so that on a page one without enough room scrolls, and nothing else.
    return f'<div class="wide"><table>{inside}</table></div>'


def _fits(table: Table) -> bool:
    """Tell whether a table has room on a page, its first column wrapping where it can."""
    columns = zip(*(row.cells for row in table.rows), strict=True)
    first, *others = (max(map(len, column)) for column in columns)
    return min(first, COMFORTABLE) + sum(width + GUTTER for width in others) <= _ROOM


def _cells(table: Table, texts: Sequence[str], scope: str) -> str:
    """The cells of one row; in a head all are headers, else the first; empty ones never are."""
    cells = ""
    for column, (text, align) in enumerate(zip(texts, table.align, strict=True)):
        tag = "th" if text and (scope == "col" or not column) else "td"
        given = f' scope="{scope}"' if tag == "th" else ""
        fixed = "" if column in table.grow else " fixed"
        cells += f'<{tag}{given} class="{align}{fixed}">{escape(text)}</{tag}>'
    return cells
