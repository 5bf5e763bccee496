"""Headings with their bookmarks, paragraphs, lists, the caution, and lines to write on."""

from __future__ import annotations

from typing import Any

from reportlab.platypus import Spacer

from risk.document.blocks import Bullets, Caution, FillIn, Heading, Paragraph
from risk.render.formulas import with_whole_formulas
from risk.render.pdf_flow import CAUTION_STYLE, FILL_IN_STYLE, Grid, Rule
from risk.render.pdf_setting import INDENT, LEADING, MEASURE, SIZE, SMALL, SMALL_LEADING, Setting
from risk.render.pdf_words import Weight

#: From one line to write on to the next.
_WRITING = 19.0
#: The longest formula that is kept on one line, in signs.
_UNBROKEN = 40


def heading(setting: Setting, block: Heading) -> list[Any]:
    """A heading with its bookmark."""
    size = {1: 16.0, 2: 12.4}.get(block.level, SIZE)
    before = {1: 18.0, 2: 13.0}.get(block.level, 8.0)
    style = setting.style("bold", size, size * 1.25, spaceBefore=before, spaceAfter=3)
    # Counted anew: a level left out would mislead those who walk from heading to heading.
    while setting.open_levels and setting.open_levels[-1] >= block.level:
        setting.open_levels.pop()
    depth = len(setting.open_levels)
    setting.open_levels.append(block.level)
    element = setting.structure.root.add(f"H{min(depth + 2, 6)}")
    made = setting.prose(block.text, style, "bold", element=element)
    setting.headings += 1
    made.outline = (block.text, f"heading{setting.headings}", depth)
    return [made]


def paragraph(setting: Setting, block: Paragraph) -> list[Any]:
    """Each line of the text as a paragraph; the first has the marker and the lead."""
    weight: Weight = {"answer": "bold", "note": "italic"}.get(block.style, "regular")  # type: ignore[assignment]
    size, leading = (SMALL, SMALL_LEADING) if block.style == "note" else (SIZE, LEADING)
    hang = INDENT if block.marker else 0.0
    left = INDENT * block.indent + hang
    style = setting.style(
        weight,
        size,
        leading,
        leftIndent=left,
        bulletIndent=left - hang,
        bulletFontName=setting.words.face("bold"),
        bulletFontSize=size,
        rightIndent=0 if weight == "bold" else max(setting.sheet.room[0] - MEASURE - left, 0),
        spaceBefore=6 if block.marker and not block.indent else 2,
        spaceAfter=4,
        keepWithNext=1 if block.marker else 0,
    )
    texts = [part for part in block.text.splitlines() if part.strip()] or [""]
    return [
        setting.prose(
            with_whole_formulas(part, _UNBROKEN),
            style,
            weight,
            lead=block.lead if i == 0 else "",
            marker=block.marker if i == 0 else "",
        )
        for i, part in enumerate(texts)
        if part or block.lead or block.marker
    ]


def bullets(setting: Setting, block: Bullets) -> list[Any]:
    """Each item as a paragraph after a dot."""
    left = INDENT * block.indent + 12
    style = setting.style(
        leftIndent=left,
        bulletIndent=left - 11,
        bulletFontName=setting.words.face("regular"),
        bulletFontSize=SIZE,
        rightIndent=max(setting.sheet.room[0] - MEASURE - left, 0),
        spaceAfter=2,
    )
    whole = setting.structure.root.add("L")
    items = [
        setting.prose(item, style, element=whole.add("LI").add("LBody"), marker="•")
        for item in block.items
    ]
    if items:
        items[-1].spaceAfter = 6
    return items


def caution(setting: Setting, block: Caution) -> list[Any]:
    """The caution on a tint, with a bar at its left."""
    style = setting.style("regular", SIZE, LEADING)
    text = setting.prose(block.text, style, lead="Caution.")
    grid = Grid([[text]], colWidths=[setting.sheet.room[0]], style=CAUTION_STYLE)
    grid.structure = setting.structure
    return [Spacer(0, 2), grid, Spacer(0, 8)]


def fill_in(setting: Setting, block: FillIn) -> list[Any]:
    """Dotted lines below their label; a single line stands beside a short one."""
    wished = max(block.lines - setting.fewer, min(block.least, block.lines), 1)
    count = max(wished, block.most if setting.within else 0)
    lines = [Rule(setting.structure, 0.4, _WRITING, 0, dashed=True) for _ in range(count)]
    for i in range(block.least, count):
        lines[i].leaves, lines[i].extra = count - i, i >= wished
    after = Spacer(0, 6)
    if not block.label:
        return [*lines]
    style = setting.style("italic", spaceBefore=4, keepWithNext=1)
    label = setting.prose(block.label, style, "italic")
    width = setting.words.width(setting.words.clean(block.label), style.fontSize, "italic")
    room = setting.sheet.room[0]
    if len(lines) > 1 or width > room / 2:
        return [label, *lines, after]
    grid = Grid([[label, lines]], colWidths=[width + 6, room - width - 6], style=FILL_IN_STYLE)
    grid.structure = setting.structure
    return [Spacer(0, _WRITING - style.leading), grid, after]
