"""``twothirds report``: the case summary as a PDF."""

from __future__ import annotations

import argparse
from functools import partial

from risk import actions
from risk.commands.printing import (
    check_pdf,
    over_cases,
    printed_date,
    printed_name,
    printing_options,
    read_printed,
    workers_option,
    write_pages,
)
from risk.console.options import Command, file_name
from risk.console.streams import Streams


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "cases",
        type=file_name,
        nargs="+",
        metavar="CASE",
        help="case files, all into one document; - is standard input; a .jsonl file holds one "
        "case a line",
    )
    options.add_argument(
        "-o", "--output", type=file_name, metavar="FILE.pdf", required=True, help="file to write"
    )
    options.add_argument(
        "--without",
        choices=("working",),
        action="append",
        default=[],
        help="leave out the working: a summary of a page or so",
    )
    options.add_argument(
        "--blank", action="store_true", help="leave lines to fill in instead of the answers"
    )
    printing_options(options)
    workers_option(options)


def _run(options: argparse.Namespace, streams: Streams) -> int:
    check_pdf(options.output)
    found = read_printed(options.cases, streams)
    date = printed_date(options.date)
    make = partial(
        actions.report,
        [case for _, case in found],
        files=[printed_name(source) for source, _ in found],
        working="working" not in options.without,
        blank=options.blank,
        page=options.page,
        title=options.title,
        author=options.author,
        date=date,
        each=over_cases(options.workers, [source.name for source, _ in found], streams),
    )
    write_pages([(options.output, make)], streams)
    return 0


COMMAND = Command(
    summary="Write the case summary: tree, answers, assumptions and working, as a PDF.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds report family.json -o family.pdf
  twothirds report family.json -o page.pdf --without working --page letter
  twothirds report one.json two.json -o class.pdf --blank --date 2026-03-01
  twothirds report cases.jsonl -o class.pdf --workers 2
""",
)
