"""The bundled faces made known to reportlab."""

from __future__ import annotations

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

from risk.fonts.metrics import BOLD, FOLDER, REGULAR


def register_faces() -> tuple[str, str]:
    """Make the faces known to reportlab; return the names of the regular and the bold one."""
    known = pdfmetrics.getRegisteredFontNames()
    for face in (REGULAR, BOLD):
        if face not in known:
            pdfmetrics.registerFont(TTFont(face, str(FOLDER / f"{face}.ttf")))
    if REGULAR not in known:
        pdfmetrics.registerFontFamily(REGULAR, REGULAR, BOLD, REGULAR, BOLD)
    return REGULAR, BOLD
