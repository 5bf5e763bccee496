"""The Punnett square in characters, and a whole cross as a page of text."""

from __future__ import annotations

from risk.document.blocks import Heading
from risk.document.crosses import cross_blocks, title_of
from risk.render.text_blocks import blocks_to_text
from risk.teaching.cross import Square, phenotype
from risk.teaching.crossing import Cross

_CELL = 13
_SIDE = ("  mother's", "  gametes")
_MARGIN = 14


def square_text(square: Square) -> str:
    """Return the square as lines of text.

    The mother's gametes stand down the rows and the father's along the columns.  Recessive
    offspring are marked by a filling of colons as well as in words.
    """
    rule = " " * _MARGIN + ("+" + "-" * _CELL) * len(square.columns) + "+"
    width = (_CELL + 1) * len(square.columns) + 1
    lines = [
        " " * _MARGIN + "father's gametes".center(width),
        " " * _MARGIN + "".join(f" {column:^{_CELL}}" for column in square.columns),
        rule,
    ]
    for number, (gamete, row) in enumerate(zip(square.rows, square.cells, strict=True)):
        side = _SIDE[number]
        lines.append(f"{side:<{_MARGIN - 2}}{gamete} |" + "|".join(map(_genotype, row)) + "|")
        lines.append(" " * _MARGIN + "|" + "|".join(map(_shows, row)) + "|")
        lines.append(rule)
    return "".join(f"{line.rstrip()}\n" for line in lines)


def cross_text(cross: Cross, width: int = 80) -> str:
    """Return a cross as text of at most `width` columns (60 or more), the caution last."""
    heading = blocks_to_text([Heading(title_of(cross), 1)], width)
    return "\n".join(
        (heading, square_text(cross.square), blocks_to_text(cross_blocks(cross), width))
    )


def _genotype(genotype: str) -> str:
    return f"{f' {genotype} ':{_fill(genotype)}^{_CELL}}"


def _shows(genotype: str) -> str:
    return f"{f' {phenotype(genotype)} ':{_fill(genotype)}^{_CELL}}"


def _fill(genotype: str) -> str:
    return ":" if phenotype(genotype) == "recessive" else " "
