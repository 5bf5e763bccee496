"""The slips of a class as a chart of bars."""

from __future__ import annotations

from risk.caution import CAUTION
from risk.fonts.metrics import text_width, wrap
from risk.scene.shapes import Anchor, Line, Polygon, Role, Scene, Shape, Text
from risk.teaching.class_marks import Summary
from risk.teaching.slips import SHORT

#: Lengths in points.
_MARGIN, _SIZE, _TITLE, _SMALL = 16.0, 11.0, 14.0, 9.0
_BAR, _GAP, _LONGEST = 15.0, 9.0, 220.0
_TEXT = 290.0


def slips_scene(summary: Summary) -> Scene:
    """Draw a bar for each slip, the most frequent first, and one for answers without a fault."""
    verdicts = dict(summary.verdicts)
    bars = [("right, or right at the digits given", summary.right)]
    bars += [(SHORT[name], count) for name, count in summary.slips]
    bars += [
        (words, verdicts[name])
        for name, words in (("wrong", "wrong in another way"), ("not marked", "not marked"))
        if name in verdicts
    ]
    most = max(1, *(count for _, count in bars))
    left = _MARGIN + min(_TEXT, max(text_width(words, _SIZE) for words, _ in bars)) + 10
    y = _MARGIN + _TITLE
    title = f"What {summary.students} students answered ({summary.answers} answers)"
    shapes: list[Shape] = [_text(title, _MARGIN, y, _TITLE, "title", bold=True)]
    y += 12
    for words, count in bars:
        lines = wrap(words, _TEXT, _SIZE)
        height = max(_BAR, len(lines) * (_SIZE + 3))
        middle = y + height / 2
        for i, line in enumerate(lines):
            base = middle + (i - (len(lines) - 1) / 2) * (_SIZE + 3) + 0.36 * _SIZE
            shapes.append(_text(line, left - 8, base, _SIZE, "axis", anchor="end"))
        length = _LONGEST * count / most
        if count:
            top, bottom = middle - _BAR / 2, middle + _BAR / 2
            corners = ((left, top), (left + length, top), (left + length, bottom), (left, bottom))
            shapes.append(Polygon(corners, "series", fill="ink"))
        shapes.append(_text(str(count), left + length + 6, middle + 0.36 * _SIZE, _SIZE, "axis"))
        y += height + _GAP
    shapes.append(Line(((left, _MARGIN + _TITLE + 8), (left, y - 4)), "axis"))
    width = max(left + _LONGEST + 40, text_width(title, _TITLE, True) + 2 * _MARGIN)
    y += _SMALL + 4
    for line in wrap(CAUTION, width - 2 * _MARGIN, _SMALL):
        shapes.append(_text(line, _MARGIN, y, _SMALL, "caution"))
        y += _SMALL + 3
    if summary.slips:
        y += 3
        shapes.append(
            _text("Slips are counted: one answer can show several.", _MARGIN, y, _SMALL, "axis")
        )
        y += _SMALL
    said = "; ".join(f"{words}: {count}" for words, count in bars)
    return Scene(width, y + 4, tuple(shapes), title, f"A chart of bars. {said}.")


def _text(
    text: str,
    x: float,
    y: float,
    size: float,
    role: Role,
    *,
    anchor: Anchor = "start",
    bold: bool = False,
) -> Text:
    return Text(x, y, text, size, text_width(text, size, bold), role, anchor=anchor, bold=bold)
