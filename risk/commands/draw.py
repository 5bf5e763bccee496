"""``twothirds draw``: the family tree as SVG, PDF or PNG."""

from __future__ import annotations

import argparse
import os

from risk import actions
from risk.console import Command, Streams, file_name, read_source
from risk.output import write_whole
from risk.problems import InputError, Problem, shown, shown_path

_FORMATS = (".svg", ".pdf", ".png")


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
    suffix = os.path.splitext(options.output)[1].lower()
    if suffix not in _FORMATS:
        endings = f"{', '.join(_FORMATS[:-1])} or {_FORMATS[-1]}"
        name = shown_path(options.output)
        raise InputError([Problem(name, f"a tree is written to a file in {endings}")])
    source = read_source(options.case, streams)
    scene = actions.draw(actions.load(source.read()), options.risk)
    if suffix == ".svg":
        from risk.render.svg import to_svg

        content = to_svg(scene).encode()
    elif suffix == ".pdf":
        from risk.render.pdf_scene import to_pdf

        content = to_pdf(scene, options.page)
    else:
        from risk.render.png import to_png

        content = to_png(scene, options.dpi)
    write_whole(options.output, content)
    for warning in scene.warnings:
        streams.stderr.write(f"{warning}\n")
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
