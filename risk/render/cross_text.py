"""The Punnett square in characters, and a whole cross as a page of text."""

from __future__ import annotations

from risk.document.blocks import Heading
from risk.document.crosses import cross_blocks, title_of
from risk.render.text_blocks import blocks_to_text
from risk.teaching.cross import Square
from risk.teaching.crossing import Cross

_CELL, _X_CELL = 13, 21
_SIDE = ("  mother's", "  gametes")
#: What stands left of the first line of the square, beside the gamete.
_MARGIN = 13


def square_text(square: Square) -> str:
    """Return the square as lines of text.

    The mother's gametes stand down the rows and the father's along the columns.  Recessive
    offspring (on the X those affected) are marked by a filling of colons as well as in words.
    """
    cell_width = _X_CELL if square.by_sex else _CELL
    margin = _MARGIN + max(map(len, square.rows))

    def cells(row: tuple[str, str], words: bool) -> str:
        texts = [
            format(
                f" {square.words[cell] if words else cell} ",
                f"{':' if square.is_affected(cell) else ' '}^{cell_width}",
            )
            for cell in row
        ]
        return f"|{'|'.join(texts)}|"

    rule = " " * margin + ("+" + "-" * cell_width) * len(square.columns) + "+"
    width = (cell_width + 1) * len(square.columns) + 1
    lines = [
        " " * margin + "father's gametes".center(width),
        " " * margin + "".join(f" {column:^{cell_width}}" for column in square.columns),
        rule,
    ]
    for number, (gamete, row) in enumerate(zip(square.rows, square.cells, strict=True)):
        side = _SIDE[number]
        lines.append(f"{side:<{_MARGIN - 1}}{gamete} {cells(row, words=False)}")
        lines.append(" " * margin + cells(row, words=True))
        lines.append(rule)
    return "".join(f"{line.rstrip()}\n" for line in lines)


def cross_text(cross: Cross) -> str:
    """Return a cross as a page of text, the caution last."""
    heading = blocks_to_text([Heading(title_of(cross), 1)])
    return "\n".join((heading, square_text(cross.square), blocks_to_text(cross_blocks(cross))))
