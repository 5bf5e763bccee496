"""The bundled faces made known to reportlab."""

from __future__ import annotations

import errno
import os

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from risk.fonts.metrics import BOLD, FOLDER, REGULAR


def register_face(face: str) -> None:
    """Make one bundled face known; `FileNotFoundError` names the file where it is missing."""
    if face not in pdfmetrics.getRegisteredFontNames():
        path = str(FOLDER / f"{face}.ttf")
        if not os.path.exists(path):  # reportlab would look in folders of the system
            raise FileNotFoundError(errno.ENOENT, "No such file", path)
        pdfmetrics.registerFont(TTFont(face, path))


def register_faces() -> tuple[str, str]:
    """Make the faces known to reportlab; return the names of the regular and the bold one."""
    known = pdfmetrics.getRegisteredFontNames()
    for face in (REGULAR, BOLD):
        register_face(face)
    if REGULAR not in known:
        pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)
    return REGULAR, BOLD
