"""Builds the small files that `risk.fonts` is quick with; for developers, needs fontTools.

`python -m risk.fonts.build` writes, for each face, `*.advances` (zlib: the advance width of
every character of the Basic Multilingual Plane, 65535 where the face lacks it) and `*.woff`
(Latin, Greek and the signs a drawing uses, for embedding).  The face's licence allows changed
versions under another name only, so the subset is called Two-Thirds Sans.
"""

from __future__ import annotations

import sys
import zlib
from array import array
from pathlib import Path

FOLDER = Path(__file__).parent
FACES = {"DejaVuSans": "Regular", "DejaVuSans-Bold": "Bold"}
LACKING = 65535
SUBSET = [
    *range(0x20, 0x7F),
    *range(0xA0, 0x180),
    *range(0x391, 0x3CA),
    0x3CA,
    0x3CB,
    0x3CC,
    0x3CD,
    0x3CE,
    *range(0x386, 0x391),
    *range(0x2010, 0x2028),
    0x2030,
    0x2032,
    0x2033,
    0x2039,
    0x203A,
    0x20AC,
    0x2190,
    0x2191,
    0x2192,
    0x2193,
    0x2212,
    0x2248,
    0x2260,
    0x2264,
    0x2265,
    0x2070,
    *range(0x2074, 0x207A),
    *range(0x2080, 0x208A),
    0x2153,
    0x2154,
    0x2044,
]


def build() -> None:
    """Write the advances and the subset of each face beside this module."""
    from fontTools import subset  # type: ignore[import-untyped]
    from fontTools.ttLib import TTFont  # type: ignore[import-untyped]

    for face, weight in FACES.items():
        font = TTFont(FOLDER / f"{face}.ttf")
        names, metrics = font.getBestCmap(), font["hmtx"]
        table = array(
            "H",
            (metrics[names[code]][0] if code in names else LACKING for code in range(65536)),
        )
        if sys.byteorder == "big":
            table.byteswap()
        (FOLDER / f"{face}.advances").write_bytes(zlib.compress(table.tobytes(), 9))
        options = subset.Options(
            layout_features=[], hinting=False, name_IDs=[], notdef_outline=True
        )
        maker = subset.Subsetter(options)
        maker.populate(unicodes=SUBSET)
        maker.subset(font)
        for identifier, text in (
            (1, "Two-Thirds Sans"),
            (2, weight),
            (4, f"Two-Thirds Sans {weight}"),
        ):
            font["name"].setName(text, identifier, 3, 1, 0x409)
        font["head"].modified = font["head"].created
        font.recalcTimestamp = False
        font.flavor = "woff"
        font.save(FOLDER / f"TwoThirdsSans-{weight}.woff")


if __name__ == "__main__":
    build()
