"""The bundled faces made known to reportlab."""

from __future__ import annotations

import errno
import os
import re
from typing import Any

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from risk.fonts.metrics import BOLD, FOLDER, REGULAR

_MAPPED = re.compile(r"<([0-9A-F]{2})> <([0-9A-F]+)>")
#: Not letters, so no code of a face may stand for them (ISO 14289-1, 7.21.7).
_NO_LETTERS = {0, 0xFEFF, 0xFFFE}
#: A table of letters has at most so many lines a part (Adobe technical note 5014, 1.4.1).
_PART = 100


class Face(TTFont):  # type: ignore[misc]
    """A face whose codes are turned back into letters as the standards ask.

    reportlab maps unused codes to U+0000, writes letters beyond U+FFFF as no reader expects
    them, and writes tables longer than readers need to take.
    """

    def addObjects(self, doc: Any) -> None:  # noqa: N802 - reportlab's name
        before = set(doc.idToObject)
        super().addObjects(doc)
        for name, stream in doc.idToObject.items():
            if name not in before and str(name).startswith("toUnicodeCMap:"):
                stream.content = letters(stream.content)


def letters(table: str) -> str:
    """Return the table that turns the codes of a face back into letters, mended."""
    head, _, rest = table.partition("endcodespacerange\n")
    tail = rest[rest.rindex("endbfchar\n") + len("endbfchar\n") :]
    lines = []
    for code, letter in _MAPPED.findall(rest):
        number = int(letter, 16)
        if number not in _NO_LETTERS:
            lines.append(f"<{code}> <{chr(number).encode('utf-16-be').hex().upper()}>")
    parts = [lines[i : i + _PART] for i in range(0, len(lines), _PART)] or [[]]
    body = "".join(
        "\n".join([f"{len(part)} beginbfchar", *part, "endbfchar"]) + "\n" for part in parts
    )
    return f"{head}endcodespacerange\n{body}{tail}"


def register_face(face: str) -> None:
    """Make one bundled face known; `FileNotFoundError` names the file where it is missing."""
    if face not in pdfmetrics.getRegisteredFontNames():
        path = str(FOLDER / f"{face}.ttf")
        if not os.path.exists(path):  # reportlab would look in folders of the system
            raise FileNotFoundError(errno.ENOENT, "No such file", path)
        pdfmetrics.registerFont(Face(face, path))


def register_faces() -> tuple[str, str]:
    """Make the faces known to reportlab; return the names of the regular and the bold one."""
    known = pdfmetrics.getRegisteredFontNames()
    for face in (REGULAR, BOLD):
        register_face(face)
    if REGULAR not in known:
        pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)
    return REGULAR, BOLD
