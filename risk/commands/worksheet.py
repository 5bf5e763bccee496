"""``twothirds worksheet``: printed problems for a class, and the key with worked solutions."""

from __future__ import annotations

import argparse
from functools import partial

from risk import actions
from risk.commands.printing import (
    check_pdf,
    over_cases,
    printed_date,
    printing_options,
    read_printed,
    workers_option,
    write_pages,
)
from risk.console.options import Command, Usage, file_name
from risk.console.streams import Streams


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "cases",
        type=file_name,
        nargs="+",
        metavar="CASES",
        help="case files, or .jsonl files of one case a line; - is standard input",
    )
    options.add_argument("-o", "--output", type=file_name, metavar="SHEET.pdf", help="the problems")
    options.add_argument(
        "--key", type=file_name, metavar="KEY.pdf", help="the answers with their workings"
    )
    printing_options(options)
    workers_option(options)


def _run(options: argparse.Namespace, streams: Streams) -> int:
    if not options.output and not options.key:
        raise Usage("missing: -o SHEET.pdf or --key KEY.pdf (see: twothirds worksheet --help)")
    check_pdf(options.output)
    check_pdf(options.key)
    found = read_printed(options.cases, streams)
    cases = [case for _, case in found]
    date = printed_date(options.date)
    each = over_cases(options.workers, [source.name for source, _ in found], streams)
    wanted = (
        (options.output, actions.worksheet),
        (options.key, partial(actions.answer_key, each=each)),
    )
    settings = {"page": options.page, "title": options.title, "author": options.author}
    write_pages(
        [(path, partial(make, cases, date=date, **settings)) for path, make in wanted if path],
        streams,
    )
    return 0


COMMAND = Command(
    summary="Print problems for a class, with trees and room to write, and their key.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds worksheet cases.jsonl -o sheet.pdf --key key.pdf
  twothirds worksheet family.json -o sheet.pdf --title "Homework 3"
""",
)
