"""The Punnett square and offspring as they are born, as drawings for slides and worksheets."""

from __future__ import annotations

import re
from fractions import Fraction

from risk.caution import CAUTION
from risk.document.cross_words import broods_in_words
from risk.fonts.metrics import text_width, wrap
from risk.scene.chart import Series, line_chart
from risk.scene.shapes import Line, Polygon, Role, Scene, Shape, Text, hatch
from risk.teaching.counts import Simulation
from risk.teaching.cross import Square, ratio

#: Lengths in points.
_CELL_WIDTH, _X_CELL_WIDTH, _CELL_HEIGHT = 118.0, 172.0, 76.0
_LEFT, _TOP, _MARGIN = 104.0, 92.0, 16.0
_FOOT = 92.0
_GAMETE_SIZE, _GENOTYPE_SIZE, _WORD_SIZE, _CAUTION_SIZE = 18.0, 20.0, 11.0, 9.0
_CAUTION_LEADING = 12.0
#: Of a raised letter: its size and how far it is lifted, as parts of the size beside it.
_RAISED, _LIFT = 0.7, 0.38
_HATCH_ANGLE, _HATCH_SPACING = 45.0, 7.0
_PLATE_INSET = 24.0


def square_scene(square: Square) -> Scene:
    """Draw the square: gametes along two sides, genotype and phenotype in each cell.

    Recessive cells (on the X those of who is affected) are hatched as well as named, so that the
    drawing reads without colour.
    """
    cell_width = _X_CELL_WIDTH if square.by_sex else _CELL_WIDTH
    shapes: list[Shape] = []
    middle = _LEFT + cell_width
    parents = f"Mother {square.mother}, father {square.father}"
    shapes += _written(parents, middle, 26, 15, "title")
    shapes.append(_text("father's gametes", middle, 56, _WORD_SIZE, "figure"))
    for i, gamete in enumerate(square.columns):
        x = _LEFT + (i + 0.5) * cell_width
        shapes += _written(gamete, x, _TOP - 12, _GAMETE_SIZE, "figure")
    side = _TOP + _CELL_HEIGHT
    shapes += [
        _text(word, _MARGIN + 30, side + dy, _WORD_SIZE, "figure")
        for word, dy in (("mother's", -4), ("gametes", 10))
    ]
    for i, (gamete, row) in enumerate(zip(square.rows, square.cells, strict=True)):
        y = _TOP + (i + 0.5) * _CELL_HEIGHT + 0.35 * _GAMETE_SIZE
        shapes += _written(gamete, _LEFT - 18, y, _GAMETE_SIZE, "figure")
        for j, genotype in enumerate(row):
            corner = _LEFT + j * cell_width, _TOP + i * _CELL_HEIGHT
            shapes += _cell(square, genotype, corner, cell_width)
    bottom = _TOP + 2 * _CELL_HEIGHT
    lines = proportions_in_words(square)
    for i, line in enumerate(lines):
        shapes += _written(line, middle, bottom + 26 + 17 * i, 12, "figure", bold=False)
    width = 2 * middle
    caution = wrap(CAUTION, width - 2 * _MARGIN, _CAUTION_SIZE)
    height = bottom + _FOOT + _CAUTION_LEADING * (len(caution) - 1)
    shapes += [
        _text(line, middle, bottom + _FOOT - 14 + _CAUTION_LEADING * i, _CAUTION_SIZE, "caution")
        for i, line in enumerate(caution)
    ]
    return Scene(
        width,
        height,
        tuple(shapes),
        title=f"Punnett square of mother {square.mother} and father {square.father}",
        desc=description(square),
    )


def running_scene(drawn: Simulation, expected: Fraction) -> Scene:
    """Plot the share of dominant offspring as they are born, within the band of chance alone.

    `expected` is the share that the proportions give.  The horizontal axis is logarithmic, so
    that the swings of the first few offspring show.
    """
    points = drawn.running
    last = points[-1]

    def series(name: str, shares: list[Fraction]) -> Series:
        sizes = [float(point.offspring) for point in points]
        return Series(name, tuple(zip(sizes, map(float, shares), strict=True)))

    return line_chart(
        [
            series("dominant offspring so far", [point.dominant for point in points]),
            series(f"expected: {expected}", [expected for _ in points]),
            series("95 of 100 crosses lie between this", [point.low for point in points]),
            series(
                "and this, at each number of offspring by itself", [point.high for point in points]
            ),
        ],
        "offspring so far",
        "share that is dominant",
        log_x=True,
        title=f"{drawn.offspring:,} offspring drawn by chance, seed {drawn.seed}",
        desc=(
            f"After {last.offspring:,} offspring {float(last.dominant):.1%} are dominant; "
            f"{expected} is expected, and chance alone puts it from {float(last.low):.1%} to "
            f"{float(last.high):.1%} in at least 95 of 100 such crosses. The band holds at each "
            "number of offspring by itself, not for a whole curve at once."
        ),
        y_text=lambda share: f"{share:.0%}",
    )


def proportions_in_words(square: Square) -> tuple[str, str]:
    """Return the proportions of genotypes and of phenotypes, a line each.

    On the X: the genotypes of daughters and of sons in one line, in the other who is affected.
    """
    if square.by_sex:
        kinds = [
            f"{child.capitalize()}: "
            + ", ".join(f"{k} {s}" for k, s in brood.genotypes.items() if s)
            for child, brood in square.broods.items()
        ]
        return ". ".join(kinds), broods_in_words(square, square.gene).removesuffix(".")
    genotypes = ", ".join(f"{kind} {share}" for kind, share in square.genotypes.items() if share)
    shows = ", ".join(f"{kind} {share}" for kind, share in square.phenotypes.items() if share)
    lines = [f"Genotypes: {genotypes}", f"Phenotypes: {shows}"]
    shares = (square.genotypes.values(), square.phenotypes.values())
    first, second = (
        line if 1 in each else f"{line}  ({ratio(each)})"
        for line, each in zip(lines, shares, strict=True)
    )
    return first, second


def description(square: Square) -> str:
    """Say the square in words, for those who cannot see it."""
    cells = "; ".join(
        f"{row} from the mother and {column} from the father give {genotype}, "
        f"{square.words[genotype]}"
        for row, line in zip(square.rows, square.cells, strict=True)
        for column, genotype in zip(square.columns, line, strict=True)
    )
    return f"{cells}. {'. '.join(proportions_in_words(square))}."


def _cell(square: Square, genotype: str, corner: tuple[float, float], wide: float) -> list[Shape]:
    left, top = corner
    right, bottom = left + wide, top + _CELL_HEIGHT
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    words = square.words[genotype]
    x, y = left + wide / 2, top + _CELL_HEIGHT / 2
    shapes: list[Shape] = [Polygon(tuple(corners), "figure")]
    if square.is_affected(genotype):
        shapes += [
            Line((start, end), "figure", width=0.7)
            for start, end in hatch(corners, _HATCH_ANGLE, _HATCH_SPACING)
        ]
        shapes.append(_plate(x, top, wide))
    return [
        *shapes,
        *_written(genotype, x, y + 2, _GENOTYPE_SIZE, "figure"),
        _text(words, x, y + 21, _WORD_SIZE, "figure"),
    ]


def _plate(x: float, top: float, wide: float) -> Polygon:
    """Return the blank in the middle of a hatched cell, on which its texts stand."""
    x1, x2 = x - wide / 2 + _PLATE_INSET, x + wide / 2 - _PLATE_INSET
    y1, y2 = top + _PLATE_INSET / 2, top + _CELL_HEIGHT - _PLATE_INSET / 2
    return Polygon(((x1, y1), (x2, y1), (x2, y2), (x1, y2)), "figure", stroke="none")


def _written(
    text: str, x: float, y: float, size: float, role: Role, *, bold: bool = True
) -> list[Text]:
    """Return a text about x; what stands after a caret, as in ``X^a``, is small and raised."""
    parts = re.split(r"\^(\w)", text)
    if len(parts) == 1:
        return [_text(text, x, y, size, role, bold=bold)]
    sizes = [size * (_RAISED if i % 2 else 1) for i in range(len(parts))]
    measures = [text_width(part, each, bold) for part, each in zip(parts, sizes, strict=True)]
    written, left = [], x - sum(measures) / 2
    for i, (part, each, measure) in enumerate(zip(parts, sizes, measures, strict=True)):
        lift = _LIFT * size if i % 2 else 0.0
        if part:
            written.append(Text(left, y - lift, part, each, measure, role, bold=bold))
        left += measure
    return written


def _text(text: str, x: float, y: float, size: float, role: Role, *, bold: bool = False) -> Text:
    measure = text_width(text, size, bold)
    return Text(x, y, text, size, measure, role, anchor="middle", bold=bold)
