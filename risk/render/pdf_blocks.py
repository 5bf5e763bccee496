"""Blocks as flowables, in order, and which of them a page must not part."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import pairwise
from typing import Any

from reportlab.platypus import CondPageBreak, Flowable, Indenter, KeepTogether
from reportlab.platypus import PageBreak as NewPage

from risk.document.blocks import (
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
    joined,
)
from risk.render.pdf_figures import drawings_apart, figure
from risk.render.pdf_flow import BESIDE_STYLE, CELL_PAD, Grid, Prose, RightToLeft, Whole
from risk.render.pdf_setting import LEADING, Setting
from risk.render.pdf_sheets import MARGIN, Sheet
from risk.render.pdf_tables import START_OF_TABLE, fits, table
from risk.render.pdf_texts import bullets, caution, fill_in, heading, paragraph

#: A group that takes more of a page than this would leave too much of the page before it empty.
_TALL_GROUP = 0.4
#: So much of a page may be left empty rather than part tables that continue one another, and
#: rather than part words from their table.
_MOST_EMPTY, _MOST_EMPTY_OF_ONE = 0.45, 0.35
#: A paragraph that is higher may end a page, though it leads to what follows.
_SHORT = 1.5 * LEADING
#: A paragraph that is as high may be parted, though what is beside it is kept with its lines.
_HIGH = 12 * LEADING
#: Words below a table that are less high, as an answer and its note, stay with the table.
_LONG_END = 5 * LEADING
#: What is told before the first question stays together up to so much of a page, and a problem
#: rather than leave more of one empty.
_MOST_TOLD = 2 / 3


def flowables(setting: Setting, blocks: Sequence[Block]) -> list[Any]:
    """The blocks as flowables; headings stay with the beginning of what they are above.

    So does a note between a heading and what it is above, and an inset paragraph with its table.
    """
    flow: list[Any] = []
    heads: list[Any] = []
    before: Block | None = None
    for block in joined(blocks, partial(fits, setting)):
        if flow and isinstance(block, Table) and isinstance(before, Paragraph) and before.indent:
            flow[-1].keepWithNext = 1
        before = block
        if isinstance(block, Heading):
            heads += heading(setting, block)
            continue
        below = _block(setting, block)
        if heads and isinstance(block, Paragraph) and block.style == "note":
            heads += below
            continue
        for head in heads:
            head.keepWithNext = 1
        if heads and isinstance(block, Table) and not block.indent and not setting.within:
            flow.append(CondPageBreak(START_OF_TABLE))
            for head in heads:
                head.keepWithNext = 0
        elif heads and below and isinstance(below[0], Whole):
            first, *others = below[0].parted
            if isinstance(first, KeepTogether):
                opening = [KeepTogether([*heads, *first._content])]
            else:
                opening = [*heads, first]
            below[0] = Whole([*opening, *others], below[0].page, below[0].void)
            heads = []
        elif heads and below and isinstance(below[0], KeepTogether):
            below[0] = KeepTogether([*heads, *below[0]._content])
            heads = []
        flow += [*heads, *below]
        heads = []
    for one, other in pairwise(flow):
        if all(isinstance(each, Whole) and each.void > each.page / 2 for each in (one, other)):
            one.next = other
    return [*flow, *heads]


def _grouped(setting: Setting, blocks: Sequence[Block], sheet: Sheet | None = None) -> list[Any]:
    with setting.group(sheet):
        return flowables(setting, blocks)


def _together(setting: Setting, block: Together) -> list[Any]:
    if setting.within:
        return _grouped(setting, block.blocks)
    groups = [i for i, each in enumerate(block.blocks) if isinstance(each, Together)]
    if not block.whole:
        cuts = [0, *groups[1:], len(block.blocks)]
        flows = [_grouped(setting, block.blocks[i:j]) for i, j in pairwise(cuts)]
        tall = sum(_height(setting, flow) for flow in flows)
        if tall <= setting.sheet.room[1] * _TALL_GROUP:
            return _kept(setting, [each for flow in flows for each in flow])
        return [each for flow in flows for each in _kept(setting, flow)]
    story = list(block.blocks[: groups[0]] if groups else block.blocks)
    last = [story.pop()] if story and groups else []
    page = setting.sheet.room[1]
    parted, first = flowables(setting, story), _grouped(setting, last)
    told = [*parted, *first]
    tall = _height(setting, told)
    headed = all(isinstance(each, Heading) for each in story)
    if tall <= page * _MOST_TOLD and not headed:
        # What is told and its tree are read together, and each question by itself.
        parted, first = [KeepTogether(told)], []
    elif headed:
        parted, first = [], told
    for start, end in pairwise([*groups, len(block.blocks)]):
        group = _grouped(setting, block.blocks[start:end])
        parted.append(KeepTogether([*first, *group]))
        first = []
    whole = Whole(parted, page, page * _MOST_TOLD)
    apart = drawings_apart(setting)
    return [whole, *apart, NewPage()] if apart else [whole]


def _kept(setting: Setting, flow: list[Any]) -> list[Any]:
    """The flowables of a group on one page; a tall group may be parted before a table.

    Words and their table, and tables of which one continues the other, are parted only where no
    page holds them all, or much of the page before them would be left empty.
    """
    page = setting.sheet.room[1]
    if _height(setting, flow) <= page * _TALL_GROUP:
        return [Whole(_loose(setting, flow), page, page * _MOST_EMPTY_OF_ONE)]
    kept: list[list[list[Any]]] = []
    for part in _parts(flow):
        if kept and any(isinstance(each, Grid) and each.continues for each in part):
            kept[-1].append(part)
        else:
            kept.append([part])
    return [
        Whole(
            [each for part in parts for each in _loose(setting, part)],
            page,
            page * (_MOST_EMPTY if len(parts) > 1 else _MOST_EMPTY_OF_ONE),
        )
        for parts in kept
    ]


def _loose(setting: Setting, part: list[Any]) -> list[Any]:
    """The words of a part one by one; only what comes last before its table stays with that.

    A heading or a short line stays with what it leads to, and a longer paragraph may be its end.
    So may the table, where much follows it: that goes over rather than take the table along.
    """
    grids = [i for i, each in enumerate(part) if isinstance(each, Grid)]
    if not grids:
        return part
    at = grids[0] - isinstance(part[grids[0] - 1], Indenter) if grids[0] else 0
    at = max(at - 1, 0)
    for each in part[:at]:
        if not getattr(each, "outline", None) and _height(setting, [each]) > _SHORT:
            each.keepWithNext = 0
    words = [piece for each in part[: at + 1] for piece in _pieces(setting, each)]
    start = len(words) - 1
    while start and words[start - 1].getKeepWithNext():
        start -= 1
    end = grids[-1] + 1
    end += end < len(part) and isinstance(part[end], Indenter)
    if _height(setting, part[end:]) < _LONG_END:
        end = len(part)
    after = [KeepTogether(part[end:])] if end < len(part) else []
    return [*words[:start], KeepTogether([*words[start:], *part[at + 1 : end]]), *after]


def _pieces(setting: Setting, words: Any) -> list[Any]:
    """A high paragraph as its first lines, its middle and its last lines; others as they are."""
    if not isinstance(words, Prose | RightToLeft) or _height(setting, [words]) < _HIGH:
        return [words]
    width = setting.sheet.room[0]
    few = 3.5 * words.style.leading
    first, rest = words.split(width, few)
    middle, last = rest.split(width, _height(setting, [rest]) - few + words.style.leading)
    first.spaceAfter = middle.spaceBefore = middle.spaceAfter = last.spaceBefore = 0
    return [first, middle, last]


def _height(setting: Setting, flow: list[Any]) -> float:
    """How high flowables are below one another."""
    width, page = setting.sheet.room
    heights = [each.wrap(width, page)[1] for each in flow if not isinstance(each, Indenter)]
    return float(sum(heights))


def _parts(flow: list[Any]) -> list[list[Any]]:
    """The flowables of a group, parted before each table but the first and what stays with it."""
    cuts = []
    for start in [i for i, each in enumerate(flow) if isinstance(each, Grid)][1:]:
        cut = start - isinstance(flow[start - 1], Indenter)
        while flow[cut - 1].getKeepWithNext():
            cut -= 1
        cuts.append(cut)
    return [flow[i:j] for i, j in zip([0, *cuts], [*cuts, len(flow)], strict=True)]


def _block(setting: Setting, block: Block) -> list[Any]:
    match block:
        case Heading():
            return heading(setting, block)
        case Paragraph():
            return paragraph(setting, block)
        case Table():
            return table(setting, block)
        case Bullets():
            return bullets(setting, block)
        case Figure():
            return figure(setting, block)
        case FillIn():
            return fill_in(setting, block)
        case Caution():
            return caution(setting, block)
        case PageBreak():
            return [*drawings_apart(setting), NewPage()]
        case Together():
            return _together(setting, block)
        case Beside():
            return _beside(setting, block)


def _beside(setting: Setting, block: Beside) -> list[Any]:
    room, height = setting.sheet.room
    left = room * (1 - block.share)
    right = room - left - 2 * CELL_PAD
    # What is grouped at the end may as well stand below the picture, where that is lower.
    grouped = block.figure is not None and isinstance(block.blocks[-1], Together)
    words = block.blocks[:-1] if grouped else block.blocks
    flow = _in_column(setting, left, words)
    group = _in_column(setting, left, block.blocks[len(words) :])
    picture = _in_column(setting, right, () if block.figure is None else (block.figure,))
    tall = _high(flow, left, height)
    below = _high(picture, right, height) + _high(group, right, height)
    if group and below < tall + _high(group, left, height):
        picture += group
    else:
        flow += group
    if _high(flow, left, height) > height * 0.5:
        return [*flow, *picture]
    widths = [left + CELL_PAD, right + CELL_PAD]
    grid = Grid([[flow, picture]], colWidths=widths, style=BESIDE_STYLE)
    grid.structure = setting.structure
    return [grid]


def _high(flow: list[Any], width: float, height: float) -> float:
    """How high the flowables of a column of this width are."""
    return float(sum(each.wrap(width, height)[1] for each in flow if isinstance(each, Flowable)))


def _in_column(setting: Setting, width: float, blocks: Sequence[Block]) -> list[Any]:
    column = Sheet("", width + 2 * MARGIN, setting.sheet.height)
    return _grouped(setting, blocks, column)
