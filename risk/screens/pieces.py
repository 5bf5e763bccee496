"""Blocks given out piece by piece, a row of a table at a time, and put together again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from risk.document.blocks import Block, Paragraph, Table, TableRow, Together, flatten


def pieces_of(blocks: Sequence[Block]) -> list[Block]:
    """Blocks in pieces to be given one by one: a table gives one row at a time.

    A paragraph that only says whom the next is about comes with it.
    """
    pieces: list[Block] = []
    for block in flatten(blocks):
        last = pieces[-1] if pieces else None
        if isinstance(block, Table):
            pieces += [_rows(block, (row,)) for row in block.rows]
        elif isinstance(last, Paragraph) and last.lead and not last.text:
            pieces[-1] = Together((last, block))
        else:
            pieces.append(block)
    return pieces


def together(pieces: list[Block]) -> list[Block]:
    """Pieces as whole blocks again: rows of one table that follow each other are one table."""
    joined: list[Block] = []
    for piece in pieces:
        last = joined[-1] if joined else None
        if isinstance(piece, Table) and isinstance(last, Table) and last.header == piece.header:
            joined[-1] = _rows(last, (*last.rows, *piece.rows))
        else:
            joined.append(piece)
    return joined


def _rows(table: Table, rows: tuple[TableRow, ...]) -> Table:
    return replace(table, rows=rows)
