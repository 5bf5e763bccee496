"""What is painted where no ink should be: pages rendered by pdfium and looked at by pixel."""

import numpy as np
import pypdfium2


def ink_outside(content, margin):
    """Pages on which something is darker than paper within `margin` points of the edge."""
    bad = []
    for number, page in enumerate(pypdfium2.PdfDocument(content), 1):
        pixels = page.render(scale=1).to_numpy()
        gray = pixels.min(axis=2) if pixels.ndim == 3 else pixels
        inner = gray.copy()
        edge = int(margin) - 1
        inner[edge:-edge, edge:-edge] = 255
        if np.any(inner < 200):
            bad.append(number)
    return bad
