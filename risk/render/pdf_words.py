"""Any text, set honestly: which face shows a sign, what to do where none does, right to left.

reportlab's `Paragraph` reads markup, so each text is escaped here, once, and split into runs by
the face that has its signs: Gentium Plus, then DejaVu Sans.  A sign that neither has is shown
by its code, ``[U+1F9EC]``, and remembered, so that the document can say what it stands for.
Spaces around a code and between several, ``[U+5BB6 U+7CFB]``, let lines end there and not in it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator
from typing import Literal
from xml.sax.saxutils import escape

from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics

from risk.fonts.metrics import BOLD, REGULAR, joined
from risk.render.pdf_faces import register_face, register_faces

Weight = Literal["regular", "bold", "italic"]

#: For each weight the faces to try, best first.
FACES: dict[Weight, tuple[str, str]] = {
    "regular": ("GentiumPlus-Regular", REGULAR),
    "bold": ("GentiumPlus-Bold", BOLD),
    "italic": ("GentiumPlus-Italic", REGULAR),
}
#: DejaVu Sans is drawn larger than Gentium Plus at the same size; this evens their x-heights
#: out (0.547 and 0.458 of the em).
_FALLBACK_SCALE = 0.84


def register_faces_for_documents() -> None:
    """Make the faces of `FACES` known to reportlab."""
    register_faces()
    for face, _ in FACES.values():
        register_face(face)


class Words:
    """Turns texts into reportlab's markup and remembers the signs that no face has."""

    def __init__(self) -> None:
        register_faces_for_documents()
        self.missing: dict[str, str] = {}
        self._glyphs = {
            face: pdfmetrics.getFont(face).face.charToGlyph
            for faces in FACES.values()
            for face in faces
        }

    def clean(self, text: str) -> str:
        """Return the text in composed form, without invisible signs, lacking ones by code."""
        if text.isascii():
            return "".join(" " if ord(sign) < 32 else sign for sign in text)
        parts: list[str] = []
        coded = False  # whether the sign before is shown by its code
        for sign in unicodedata.normalize("NFC", text):
            category = unicodedata.category(sign)
            if category in {"Cf", "Mn"} and not self._face_of(sign, "regular"):
                continue  # a direction mark, a joiner, a variation: nothing to see
            if category in {"Cc", "Zs", "Zl", "Zp"}:
                parts.append("\N{NO-BREAK SPACE}" if sign == "\N{NO-BREAK SPACE}" else " ")
            elif category == "Cf":
                continue
            elif self._face_of(sign, "regular"):
                parts.append(f" {sign}" if coded and sign.isalnum() else sign)
            else:
                code = f"U+{ord(sign):04X}"
                self.missing[code] = unicodedata.name(sign, "a sign without a name").lower()
                if coded:
                    parts[-1] = f"{parts[-1][:-1]} {code}]"
                else:
                    parts.append(f" [{code}]" if "".join(parts[-1:]).isalnum() else f"[{code}]")
                    coded = True
                continue
            coded = False
        return "".join(parts)

    def face(self, weight: Weight) -> str:
        """Return the name of the best face of a weight."""
        return FACES[weight][0]

    def _face_of(self, sign: str, weight: Weight) -> str | None:
        for face in FACES[weight]:
            if ord(sign) in self._glyphs[face]:
                return face
        return None

    def runs(self, text: str, weight: Weight) -> Iterator[tuple[str, str]]:
        """Yield (face, run) for a cleaned text; a sign only the regular face has uses that."""
        best = FACES[weight][0]
        if all(ord(sign) in self._glyphs[best] for sign in text):
            yield best, text
            return
        face, start = best, 0
        for i, sign in enumerate(text):
            other = self._face_of(sign, weight) or self._face_of(sign, "regular") or best
            if other != face and sign != " ":
                if start < i:
                    yield face, text[start:i]
                face, start = other, i
        yield face, text[start:]

    def markup(self, text: str, style: ParagraphStyle, weight: Weight) -> str:
        """Return markup that shows a cleaned text in `style`; nothing of it is interpreted."""
        best = FACES[weight][0]
        pieces = []
        for face, run in self.runs(text, weight):
            safe = escape(run)
            if face == style.fontName:
                pieces.append(safe)
            elif face == best:
                pieces.append(f'<font face="{face}">{safe}</font>')
            else:
                size = style.fontSize * _FALLBACK_SCALE
                pieces.append(f'<font face="{face}" size="{size:.2f}">{safe}</font>')
        return "".join(pieces)

    def width(self, text: str, size: float, weight: Weight = "regular") -> float:
        """Return the width in points of a cleaned text on one line."""
        best = FACES[weight][0]
        total = 0.0
        for face, run in self.runs(text, weight):
            total += pdfmetrics.stringWidth(
                run, face, size if face == best else size * _FALLBACK_SCALE
            )
        return total


def visual_lines(
    words: Words, text: str, room: float, size: float, weight: Weight
) -> tuple[bool, list[str]]:
    """Break a text with right-to-left words into lines, each in the order it is seen.

    Letters that join (Arabic) are given the forms they take beside their neighbours.  Returns
    whether the text as a whole runs from right to left, which most of its letters decide (an
    English sentence may begin with a Hebrew name), and the lines.
    """
    from bidi.algorithm import get_display

    ways = [unicodedata.bidirectional(sign) for sign in text]
    rightwards = ways.count("R") + ways.count("AL") > ways.count("L")
    pieces = words.clean(joined(text)).split()
    lines = fill(words, pieces, room, size, weight)
    direction = "R" if rightwards else "L"
    return rightwards, [get_display(line, base_dir=direction) for line in lines]


def fill(
    words: Words, pieces: Iterable[str], room: float, size: float, weight: Weight
) -> list[str]:
    """Set words one after the other into lines no wider than `room`."""
    lines = [""]
    for piece in pieces:
        for part in _parts(words, piece, room, size, weight):
            longer = f"{lines[-1]} {part}" if lines[-1] else part
            if words.width(longer, size, weight) <= room:
                lines[-1] = longer
            elif lines[-1]:
                lines.append(part)
            else:
                lines[-1] = part
    return lines


def _parts(words: Words, piece: str, room: float, size: float, weight: Weight) -> Iterator[str]:
    """Yield a word, in pieces where it is wider than a line."""
    while len(piece) > 1 and words.width(piece, size, weight) > room:
        keep = max(1, int(len(piece) * room / words.width(piece, size, weight)) - 1)
        yield piece[:keep]
        piece = piece[keep:]
    yield piece
