"""A scene as a PNG picture: its PDF, rendered."""

from __future__ import annotations

import io

from risk.render.pdf_scene import to_pdf
from risk.scene.shapes import Scene

#: No picture gets more pixels than this, whatever the size of the family.
MOST_PIXELS = 60_000_000


def to_png(scene: Scene, dpi: float = 144) -> bytes:
    """Return `scene` as PNG at `dpi` dots an inch (fewer where the picture would be huge)."""
    import pypdfium2

    scale = min(dpi / 72, (MOST_PIXELS / (scene.width * scene.height)) ** 0.5)
    document = pypdfium2.PdfDocument(to_pdf(scene, "fit"))
    try:
        picture = document[0].render(scale=scale).to_pil()
    finally:
        document.close()
    target = io.BytesIO()
    picture.save(target, "PNG", dpi=(72 * scale, 72 * scale))
    return target.getvalue()
