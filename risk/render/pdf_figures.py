"""Drawings among the words, or on pages of their own where they are too wide to be read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import KeepTogether, NextPageTemplate
from reportlab.platypus import PageBreak as NewPage

from risk.document.blocks import Figure, Paragraph
from risk.render.pdf_flow import Drawing, PageOf, Prose
from risk.render.pdf_parts import parts_of
from risk.render.pdf_setting import SMALL, SMALL_LEADING, Setting
from risk.render.pdf_sheets import Sheet, fit, least_scale, own_sheets
from risk.render.pdf_tags import Element
from risk.render.pdf_texts import paragraph
from risk.scene.shapes import Scene

#: The height of a caption of two lines.
_CAPTION = 2 * SMALL_LEADING + 11


def figure(setting: Setting, block: Figure) -> list[Any]:
    """A drawing that can be read here; else a line that says on which pages it stands."""
    width, height = setting.sheet.room
    share_of_page = block.most_height * setting.tight**2
    scale, least = fit(block, width, height * share_of_page), least_scale(block) * setting.tight
    scale = min(scale, setting.tight)
    if scale < least:  # rather a larger share of the page than unreadable
        scale = max(scale, min(least, fit(block, width, height * 0.9)))
    if scale >= least or not block.may_turn:
        return _drawn(setting, block, scale)
    return _on_its_own_pages(setting, block)


def _on_its_own_pages(setting: Setting, block: Figure) -> list[Any]:
    """Let a drawing wait for a page on which it can be read, or several, and say where it is."""
    sheet, scale, scenes = _spread(setting, block)
    setting.sheets[sheet.name] = sheet
    number = len(setting.pages)
    setting.pages.append(0)
    setting.apart.append(NextPageTemplate(sheet.name))
    element = None
    parts = sum(not _only_key(scene) for scene in scenes)
    for i, scene in enumerate(scenes, 1):
        if _only_key(scene):
            name = f"{block.title} (key)"
        else:
            name = f"{block.title} (part {i} of {parts})" if parts > 1 else block.title
        title = setting.prose(name, _title_style(setting), "bold")
        element = element or setting.structure.root.add("Figure", block.description)
        part = replace(block, scene=scene, caption=block.caption if i == len(scenes) else "")
        first = [PageOf(setting.pages, number)] if i == 1 else []
        setting.apart += [NewPage(), *first, title, *_drawn(setting, part, scale, element)]
    setting.apart.append(NextPageTemplate(setting.sheet.name))
    page = setting.told[number] if number < len(setting.told) else 0
    if parts == 1:
        where = f"page {page}" if page else "further on"
        text = f"The drawing is wide and stands on a page of its own ({sheet.name}): {where}."
    else:
        where = f"pages {page} to {page + parts - 1}" if page else "further on"
        text = f"The drawing is wide and stands in {parts} parts with marks to join: {where}."
    if parts < len(scenes):
        text += " Its key follows it."
    return [*paragraph(setting, Paragraph(text, style="note"))]


def _only_key(scene: Scene) -> bool:
    return all(shape.role == "key" for shape in scene.items)


def _title_style(setting: Setting) -> ParagraphStyle:
    return setting.style("bold", 12.4, 15.5, spaceAfter=6)


def _spread(setting: Setting, block: Figure) -> tuple[Sheet, float, list[Scene]]:
    """The page for a drawing, the scale, and the drawing, or its parts where it needs several."""
    longest = setting.words.clean(f"{block.title} (part 99 of 99)")
    style, least = _title_style(setting), least_scale(block)
    ways = []
    for sheet in own_sheets(setting.page):
        wide, high = sheet.room
        beside = Prose(setting.words.markup(longest, style, "bold"), style).wrap(wide, high)[1]
        high -= beside + style.spaceAfter + 4 + (_CAPTION if block.caption else 0)
        scale = fit(block, wide, high)
        if scale >= least:
            return sheet, scale, [block.scene]
        ways.append((sheet, least, parts_of(block.scene, wide / least, high / least)))
    return min(ways, key=lambda way: len(way[2]))


def _drawn(
    setting: Setting, block: Figure, scale: float, element: Element | None = None
) -> list[Any]:
    element = element or setting.structure.root.add("Figure", block.description)
    flow: list[Any] = [Drawing(block.scene, scale, setting.structure, element)]
    if block.caption:
        style = setting.style("italic", SMALL, SMALL_LEADING, spaceBefore=3, spaceAfter=8)
        flow.append(setting.prose(block.caption, style, "italic"))
    return flow if setting.within else [KeepTogether(flow)]


def drawings_apart(setting: Setting) -> list[Any]:
    """The drawings that wait for a page of their own; none waits then."""
    apart, setting.apart = setting.apart, []
    return apart
