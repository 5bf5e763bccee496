"""The foot of every page: the caution, the title, and room for the number of the page."""

from __future__ import annotations

from typing import Any

from reportlab.lib.colors import black

from risk.document.blocks import Document
from risk.fonts.metrics import right_to_left
from risk.render.pdf_flow import FOOT_SIZE
from risk.render.pdf_sheets import FOOT, Sheet
from risk.render.pdf_tags import Structure
from risk.render.pdf_words import Weight, Words, fill, visual_lines

_LEADING = 10.5
#: By so much the lines are narrowed at a time until they are even.
_BALANCE = 12.0
#: Room kept beside the title for the number of the page.
_NUMBER = 90.0


class Foot:
    """Draws the foot of each page of one document."""

    def __init__(self, document: Document, words: Words, structure: Structure) -> None:
        self.document, self.words, self.structure = document, words, structure

    def draw(self, canvas: Any, sheet: Sheet) -> None:
        """Draw the foot, and tell the canvas where the number of the page belongs."""
        with self.structure.mark(canvas, None):
            canvas.setStrokeColor(black)
            canvas.setLineWidth(0.5)
            canvas.line(sheet.margin, FOOT - 17, sheet.width - sheet.margin, FOOT - 17)
            y = FOOT - 27
            for line in self._lines(sheet.room[0]):
                self._write(canvas, sheet.margin, y, line, "bold", sheet.room[0])
                y -= _LEADING
            room = sheet.room[0] - _NUMBER
            self._write(canvas, sheet.margin, y - 1, self.document.title, "italic", room)
        canvas.feet.append((sheet.width - sheet.margin, y - 1))

    def _lines(self, room: float) -> list[str]:
        """The words of the foot in as few lines as can be, and these about equally long."""
        words = self.words.clean(self.document.footer).split()
        lines = fill(self.words, words, room, FOOT_SIZE, "bold")
        narrower = lines
        while len(narrower) == len(lines) and room > _BALANCE:
            lines, room = narrower, room - _BALANCE
            narrower = fill(self.words, words, room, FOOT_SIZE, "bold")
        return lines

    def _write(
        self, canvas: Any, x: float, y: float, text: str, weight: Weight, room: float
    ) -> None:
        """One line, cut with an ellipsis where it is too long."""
        text = self.words.clean(text)
        while text and self.words.width(text, FOOT_SIZE, weight) > room:
            text = text[: min(len(text) - 2, int(len(text) * 0.97))].rstrip() + "…"
        if right_to_left(text):
            (text,) = visual_lines(self.words, text, 1e6, FOOT_SIZE, weight)[1]
        for face, run in self.words.runs(text, weight):
            canvas.setFont(face, FOOT_SIZE)
            canvas.drawString(x, y, run)
            x += canvas.stringWidth(run, face, FOOT_SIZE)
