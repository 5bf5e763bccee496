"""Blocks as plain text of a given width, for terminals and for diffs.

Tables are aligned and always fit: columns give way as `risk.render.columns` says, and texts
wrap inside their column.  Typographic signs become keyboard ones (``×`` becomes ``x``, ``²``
becomes ``^2``), so that a working reads on any terminal.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Sequence

from risk.document.blocks import (
    Align,
    Beside,
    Block,
    Bullets,
    Caution,
    Figure,
    FillIn,
    Heading,
    PageBreak,
    Paragraph,
    Table,
    Together,
    flatten,
)
from risk.document.text_page import COMFORTABLE, GUTTER, TABLE_INDENT, WIDTH
from risk.render.columns import share
from risk.render.formulas import unbroken

#: Columns by which text that belongs under a marked paragraph moves in.
_PARAGRAPH_INDENT = 3
#: A growing column is not made narrower than this while anything else can give way.
_LEAST_GROWING = 12
_PLAIN_SIGNS = str.maketrans({"×": "x", "−": "-", "–": "-", "≈": "~", "ε": "e"})
_RAISED = re.compile("[⁰¹²³⁴⁵⁶⁷⁸⁹ⁿᵏ⁺⁻]+")
_LOWERED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹ⁿᵏ⁺⁻", "0123456789nk+-")


def plain_signs(text: str) -> str:
    """Return the text with the typographic signs of our own sentences as keyboard ones."""
    return _RAISED.sub(_with_caret, text.translate(_PLAIN_SIGNS))


def _with_caret(raised: re.Match[str]) -> str:
    """Return an exponent after a caret: ``^12``, ``^-7``, ``^(n+1)``."""
    exponent = raised[0].translate(_LOWERED)
    simple = exponent.removeprefix("-").isdigit() or len(exponent) == 1
    return f"^{exponent}" if simple else f"^({exponent})"


def blocks_to_text(blocks: Sequence[Block], width: int = WIDTH, *, bold: bool = False) -> str:
    """Return the blocks as lines of at most `width` columns, ending in a line break.

    A number is never broken; one longer than a line makes its line longer.  With `bold`, for
    terminals, headings and answers stand out.
    """
    lines: list[str] = []
    for block in flatten(blocks):
        stands_out = bold and (
            isinstance(block, Heading) or (isinstance(block, Paragraph) and block.style == "answer")
        )
        for close, piece in _pieces(block, width):
            if lines and not close:
                lines.append("")
            for line in piece:
                plain = line.rstrip()
                lines.append(f"\x1b[1m{plain}\x1b[0m" if stands_out and plain else plain)
    return "\n".join(lines) + "\n"


def _pieces(block: Block, width: int) -> Iterable[tuple[bool, list[str]]]:
    """Yield the lines of a block, each with whether it follows without a blank line."""
    match block:
        case Heading(text, level):
            lines = wrap(text, width)
            if level == 1:
                lines.append("=" * max(text_width(line) for line in lines))
            yield False, lines
        case Paragraph(marker=marker, indent=indent):
            yield bool(marker and indent), _paragraph(block, width)
        case Table():
            yield bool(block.indent), _table(block, width)
        case Bullets(items, indent):
            inset = _PARAGRAPH_INDENT * indent
            lines = [line for item in items for line in _hang("- ", item, inset, width)]
            yield False, lines
        case Figure(description=description, caption=caption):
            yield False, wrap(f"{caption} {description}".strip(), width)
        case FillIn(label, count):
            lines = wrap(label, width) if label else []
            yield False, lines + ["", "_" * width] * count
        case Caution(text):
            yield False, _hang("! ", text, 0, width)
        case PageBreak():
            return
        case Together(inner):
            for each in inner:
                yield from _pieces(each, width)
        case Beside(inner, figure):
            for each in inner if figure is None else (*inner, figure):
                yield from _pieces(each, width)


def _paragraph(block: Paragraph, width: int) -> list[str]:
    text = f"{block.lead} {block.text}" if block.lead else block.text
    inset = _PARAGRAPH_INDENT * block.indent
    if block.marker:
        return _hang(f"{plain_signs(block.marker)} ".ljust(_PARAGRAPH_INDENT), text, inset, width)
    return [
        line
        for part in text.splitlines()
        for line in (_hang(" " * inset, part, 0, width) if part.strip() else [""])
    ]


def _hang(marker: str, text: str, inset: int, width: int) -> list[str]:
    """Wrap `text` behind `marker`, further lines under its first word."""
    room = max(width - inset - len(marker), 8)
    lines = wrap(text, room)
    blank = " " * len(marker)
    return [" " * inset + (marker if i == 0 else blank) + line for i, line in enumerate(lines)]


def _table(table: Table, width: int) -> list[str]:
    inset = TABLE_INDENT * table.indent
    everything = [*table.header, *(row.cells for row in table.rows)]
    widths = _column_widths(table, everything, width - inset)
    lines: list[str] = []
    if table.caption and not table.indent:
        lines += wrap(table.caption, width)
    for i, cells in enumerate(everything):
        if table.ruled and i == len(table.header) and table.header:
            lines.append(" " * inset + (" " * GUTTER).join("-" * width for width in widths))
        lines += [" " * inset + line for line in _cells(cells, widths, table.align)]
    return lines


def _cells(cells: Sequence[str], widths: Sequence[int], align: Sequence[Align]) -> list[str]:
    columns = [_cell(cell, width) for cell, width in zip(cells, widths, strict=True)]
    height = max(len(column) for column in columns)
    lines = []
    for i in range(height):
        parts = [
            _justify(column[i] if i < len(column) else "", width, how)
            for column, width, how in zip(columns, widths, align, strict=True)
        ]
        lines.append((" " * GUTTER).join(parts))
    return lines


def _cell(text: str, width: int) -> list[str]:
    """Wrap a cell, after the commas alone where that takes no more lines."""
    lines = wrap(text, width)
    if len(lines) == 1 or ", " not in text:
        return lines
    first, *rest = re.split("(?<=,) ", plain_signs(text))
    found = [first]
    for part in rest:
        if text_width(found[-1]) + 1 + text_width(part) <= width:
            found[-1] += f" {part}"
        else:
            found.append(part)
    fits = len(found) <= len(lines) and max(map(text_width, found)) <= width
    return found if fits else lines


def _justify(text: str, width: int, align: Align) -> str:
    blank = max(width - text_width(text), 0)
    before = {"left": 0, "right": blank, "center": blank // 2}[align]
    return " " * before + text + " " * (blank - before)


def _column_widths(table: Table, rows: Sequence[Sequence[str]], room: int) -> list[int]:
    count, heads = len(table.align), len(table.header)
    columns = [[plain_signs(row[i]) for row in rows] for i in range(count)]
    wish = [max(1, *map(text_width, column)) for column in columns]
    unbroken = [
        max(
            [1, *(text_width(cell) for cell in column[heads:])]
            + [text_width(word) for cell in column[:heads] for word in cell.split()]
        )
        for column in columns
    ]
    words = [[word for cell in column for word in cell.split()] for column in columns]
    longest = [max([1, *map(text_width, column)]) for column in words]
    number = [max([1, *map(text_width, filter(_is_number, column))]) for column in words]
    room -= GUTTER * (count - 1)
    widths = share(wish, unbroken, table.grow, COMFORTABLE, _LEAST_GROWING, room, longest)
    return [max(int(width), least) for width, least in zip(widths, number, strict=True)]


def text_width(text: str) -> int:
    """Return the columns that a terminal gives to `text`: two for wide signs, none for marks."""
    if text.isascii():
        return len(text)
    return sum(
        0
        if unicodedata.category(sign) in {"Mn", "Me", "Cf"}
        else 2
        if unicodedata.east_asian_width(sign) in {"W", "F"}
        else 1
        for sign in text
    )


def wrap(text: str, width: int) -> list[str]:
    """Break `text` at spaces into lines of at most `width` columns, and inside long words.

    A number that is longer than a line stays whole on a line of its own, and a short formula with
    its result (``1 - (1 - a)(1 - b) = 3/4``) on one line.
    """
    lines: list[str] = []
    line = ""
    for word in unbroken(plain_signs(text), lambda part: text_width(part) <= width // 2):
        for piece in _break_word(word, width):
            if line and text_width(line) + 1 + text_width(piece) <= width:
                line = f"{line} {piece}"
            else:
                if line:
                    lines.append(line)
                line = piece
    return [*lines, line]


#: A number as our sentences write them, with the punctuation about it.
_NUMBER = re.compile(r"[(~<>]*[0-9]+([./,%*^e:+-]+[0-9]+)*[%e]?[).,;:]*")


def _is_number(word: str) -> bool:
    return _NUMBER.fullmatch(word) is not None


def _break_word(word: str, width: int) -> Iterable[str]:
    if text_width(word) <= width or _is_number(word):
        yield word
        return
    piece = ""
    for sign in word:
        if piece and text_width(piece + sign) > width:
            yield piece
            piece = ""
        piece += sign
    yield piece
