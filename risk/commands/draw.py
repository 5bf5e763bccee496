"""``twothirds draw``: the family tree as SVG, PDF or PNG."""

from __future__ import annotations

import argparse

from risk import actions
from risk.console.options import Command, file_name
from risk.console.sources import read_source
from risk.console.streams import Streams
from risk.output import write_whole
from risk.problems import shown
from risk.render.figure import check_ending, figure_bytes


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "case", type=file_name, metavar="CASE", help="a case file; - is standard input"
    )
    options.add_argument(
        "-o",
        "--output",
        type=file_name,
        metavar="TREE",
        required=True,
        help="file to write, ending in .svg, .pdf or .png",
    )
    options.add_argument(
        "--risk",
        choices=actions.RISKS,
        help="write each person's probability of this under the symbol, and hatch who is a carrier "
        "for certain; without it only a stated genotype is hatched, as nothing is solved",
    )
    options.add_argument(
        "--page",
        choices=("a4", "letter", "fit"),
        default="a4",
        help="the sheets of a PDF; fit: one as large as the tree (default: a4)",
    )
    options.add_argument(
        "--dpi",
        type=_dpi,
        metavar="DPI",
        default=144,
        help="dots an inch of a PNG, 36 to 600 (default: 144)",
    )


def _dpi(text: str) -> int:
    least, most = 36, 600
    if not (text.isascii() and text.isdigit() and least <= int(text[:9]) <= most):
        raise argparse.ArgumentTypeError(f"{shown(text)} is not a whole number {least} to {most}")
    return int(text)


def _run(options: argparse.Namespace, streams: Streams) -> int:
    check_ending(options.output)
    case = actions.load(read_source(options.case, streams).read())
    scene = actions.draw(case, options.risk)
    write_whole(options.output, figure_bytes(scene, options.output, options.page, options.dpi))
    for warning in scene.warnings:
        streams.say(f"{warning}\n")
    return 0


COMMAND = Command(
    summary="Draw the family tree.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds draw family.json -o family.svg
  twothirds draw family.json -o family.png --risk carrier
  twothirds draw family.json -o family.pdf --page letter
""",
)
