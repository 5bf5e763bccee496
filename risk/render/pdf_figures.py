"""Drawings among the words, or on a sheet of their own where they are too wide to be read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from reportlab.platypus import KeepTogether, NextPageTemplate
from reportlab.platypus import PageBreak as NewPage

from risk.document.blocks import Figure, Paragraph
from risk.render.pdf_flow import Drawing, PageOf
from risk.render.pdf_setting import SMALL, SMALL_LEADING, Setting
from risk.render.pdf_sheets import PAGES, fit, larger_sheet, least_scale
from risk.render.pdf_texts import paragraph

#: The height of a caption of two lines.
_CAPTION = 2 * SMALL_LEADING + 11


def figure(setting: Setting, block: Figure) -> list[Any]:
    """A drawing that can be read here; else a line that says on which sheet it stands."""
    width, height = setting.sheet.room
    share_of_page = block.most_height * setting.tight**2
    scale, least = fit(block, width, height * share_of_page), least_scale(block) * setting.tight
    scale = min(scale, setting.tight)
    if scale < least:  # rather a larger share of the page than unreadable
        scale = max(scale, min(least, fit(block, width, height * 0.9)))
    if scale >= least or not block.may_turn:
        return _drawn(setting, block, scale)
    return _on_its_own_sheet(setting, block)


def _on_its_own_sheet(setting: Setting, block: Figure) -> list[Any]:
    """Let a drawing wait for the smallest sheet on which it can be read, and say where it is."""
    style = setting.style("bold", 12.4, 15.5, spaceAfter=6)
    title = setting.prose(block.title, style, "bold")
    beside = title.wrap(PAGES[setting.page][0] / 2, 0)[1] + style.spaceAfter + 4
    if block.caption:
        beside += _CAPTION
    sheet = larger_sheet(block, setting.page, beside)
    setting.sheets[sheet.name] = sheet
    number = len(setting.pages)
    setting.pages.append(0)
    where = f"page {setting.told[number]}" if number < len(setting.told) else "further on"
    setting.apart += [
        NextPageTemplate(sheet.name),
        NewPage(),
        PageOf(setting.pages, number),
        title,
        *_drawn(
            setting,
            replace(block, may_turn=False),
            fit(block, sheet.room[0], sheet.room[1] - beside),
        ),
        NextPageTemplate(setting.sheet.name),
    ]
    text = f"The drawing is wide and stands on a page of its own ({sheet.name}): {where}."
    return [*paragraph(setting, Paragraph(text, style="note"))]


def _drawn(setting: Setting, block: Figure, scale: float) -> list[Any]:
    element = setting.structure.root.add("Figure", block.description)
    flow: list[Any] = [Drawing(block.scene, scale, setting.structure, element)]
    if block.caption:
        style = setting.style("italic", SMALL, SMALL_LEADING, spaceBefore=3, spaceAfter=8)
        flow.append(setting.prose(block.caption, style, "italic"))
    return flow if setting.within else [KeepTogether(flow)]


def drawings_apart(setting: Setting) -> list[Any]:
    """The drawings that wait for a page of their own; none waits then."""
    apart, setting.apart = setting.apart, []
    return apart
