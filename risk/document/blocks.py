"""The `Block` records: what a document says, in order, without saying how it looks.

Texts are plain text.  No character of them is markup, and they may hold anything a case file
may hold.  Numbers arrive as text; nothing here computes.  `risk.render.text_blocks` and
`risk.render.pdf` turn the same blocks into characters and pages.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from risk.scene.shapes import Scene

Align = Literal["left", "right", "center"]


@dataclass(frozen=True, slots=True)
class Heading:
    """A heading; level 1 opens a case, 2 a section, 3 a part of a section."""

    text: str
    level: int = 2


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph.

    `marker` hangs to the left of it (a step number), `lead` is a run-in title before `text`,
    and `style` is what kind of sentence it is: ``answer`` stands out, ``result`` is a line of
    calculation that ends in one, ``note`` steps back.  `indent` is 1 for what belongs under a
    marked paragraph.
    """

    text: str
    style: Literal["normal", "answer", "result", "note"] = "normal"
    marker: str = ""
    lead: str = ""
    indent: int = 0


@dataclass(frozen=True, slots=True)
class TableRow:
    """Cells from left to right; a ``sum`` row has a rule above it, a ``result`` stands out."""

    cells: tuple[str, ...]
    kind: Literal["plain", "sum", "result"] = "plain"


@dataclass(frozen=True, slots=True)
class Table:
    """Columns with their alignment, header rows that repeat on each page, and rows.

    Every row has as many cells as `align` has entries.  `grow` names the columns that take
    the room which is left and whose texts wrap; the others are as wide as their longest cell
    where that is possible.  `strong` names the columns that stand out.  `caption` says what the
    table is, for those who cannot see it too.  One that `continues` has further columns for the
    rows of the table before it, beside which they may stand where there is room.
    """

    align: tuple[Align, ...]
    header: tuple[tuple[str, ...], ...]
    rows: tuple[TableRow, ...]
    grow: tuple[int, ...] = (0,)
    caption: str = ""
    indent: int = 0
    ruled: bool = False
    strong: tuple[int, ...] = ()
    continues: bool = False

    def __post_init__(self) -> None:
        for cells in (*self.header, *(row.cells for row in self.rows)):
            if len(cells) != len(self.align):
                raise ValueError(f"{len(cells)} cells in a table of {len(self.align)} columns")


@dataclass(frozen=True, slots=True)
class Bullets:
    """A list of short texts."""

    items: tuple[str, ...]
    indent: int = 0


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing, and what it shows in words for those who cannot see it.

    `most_height` is the largest share of a page's height that it may take; a drawing is only
    ever made smaller, never larger.  One that would become too small to read may turn the page
    (`may_turn`), and has its `title` above it on a sheet of its own.  Where the document then has
    fewer pages, one with words for `elsewhere` goes to the end and leaves these in its place.
    """

    scene: Scene
    description: str
    caption: str = ""
    most_height: float = 0.5
    may_turn: bool = False
    title: str = ""
    elsewhere: str = ""


@dataclass(frozen=True, slots=True)
class FillIn:
    """Empty lines to write on, with what is to be written there.

    A group that keeps a page to itself, or a document with little on its last page, may leave
    lines out, but no more than to `least`; into what such a group leaves empty on its page they
    grow to `most`.
    """

    label: str
    lines: int = 1
    least: int = 1
    most: int = 0


@dataclass(frozen=True, slots=True)
class Caution:
    """What the reader must know before using anything here."""

    text: str


@dataclass(frozen=True, slots=True)
class PageBreak:
    """What follows begins a new page."""


@dataclass(frozen=True, slots=True)
class Together:
    """Blocks that stay on one page where they fit.

    A tall group would leave too much of the page before it empty, and may be parted before the
    groups that it holds, and before a table.  A `whole` one goes to a new page all the same, and
    rather has fewer lines to write on; where a page cannot hold it, it is parted before the
    groups that it holds.
    """

    blocks: tuple[Block, ...]
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Beside:
    """Words with a figure on their right, where the medium has room for both.

    Without a figure its place is left free, so that what stands above and below lines up.
    `share` is how much of the width that place takes.
    """

    blocks: tuple[Block, ...]
    figure: Figure | None = None
    share: float = 0.3


Block = (
    Heading
    | Paragraph
    | Table
    | Bullets
    | Figure
    | FillIn
    | Caution
    | PageBreak
    | Together
    | Beside
)


@dataclass(frozen=True, slots=True)
class Document:
    """A whole document; `footer` is said on every page, `byline` under the title.

    `most_pages` is how many pages it had better have; 0 is no wish.
    """

    title: str
    blocks: tuple[Block, ...]
    byline: tuple[str, ...] = ()
    footer: str = ""
    subject: str = ""
    author: str = ""
    language: str = "en"
    most_pages: int = 0


def flatten(blocks: Sequence[Block]) -> Iterator[Block]:
    """Yield the blocks in reading order, with what groups hold in place of the groups."""
    for block in blocks:
        if isinstance(block, Together):
            yield from flatten(block.blocks)
        elif isinstance(block, Beside):
            yield from flatten(block.blocks)
            if block.figure is not None:
                yield block.figure
        else:
            yield block


def joined(blocks: Sequence[Block], fits: Callable[[Table], bool]) -> list[Block]:
    """Return the blocks, with tables that continue the one before them beside it if that `fits`."""
    result: list[Block] = []
    for block in blocks:
        before = result[-1] if result else None
        if isinstance(block, Table) and block.continues and isinstance(before, Table):
            one = _beside(before, block)
            if fits(one):
                result[-1] = one
                continue
        result.append(block)
    return result


def _beside(left: Table, right: Table) -> Table:
    """One table of two with the same first column; a sum that only one has is of its columns."""
    rows = []
    for i in range(max(len(left.rows), len(right.rows))):
        a, b = (
            table.rows[i] if i < len(table.rows) else TableRow(("",) * len(table.align))
            for table in (left, right)
        )
        kind = b.kind if a.kind == "plain" else a.kind
        rows.append(TableRow((a.cells[0] or b.cells[0], *a.cells[1:], *b.cells[1:]), kind))
    return replace(
        left,
        align=(*left.align, *right.align[1:]),
        header=tuple((*a, *b[1:]) for a, b in zip(left.header, right.header, strict=True)),
        rows=tuple(rows),
        strong=(*left.strong, *(len(left.align) - 1 + i for i in right.strong)),
    )
