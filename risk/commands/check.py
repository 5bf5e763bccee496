"""``twothirds check``: find everything that is wrong with a case file."""

from __future__ import annotations

import argparse

from risk import actions
from risk.console.options import Command, file_name
from risk.console.sources import read_sources
from risk.console.streams import Streams, report
from risk.problems import RiskError
from risk.wording.family import condition_in_words, family_in_words


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "cases",
        type=file_name,
        nargs="+",
        metavar="CASE",
        help="case files; - is standard input; a .jsonl file holds one case a line",
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    worst, sound = 0, False
    for source in read_sources(options.cases, streams):
        try:
            case = actions.load(source.read())
        except RiskError as error:
            report(error, streams, source.before_problems(len(options.cases) > 1))
            worst = max(worst, error.status)
        else:
            words = f"{condition_in_words(case.condition)}. {family_in_words(case)}"
            streams.stdout.write(f"{source.name}: the file is sound. {words}\n")
            sound = True
            for remark in actions.remarks(case):
                streams.stdout.write(f"  worth a look: {remark}\n")
    if sound:
        streams.stdout.write(
            "Whether the facts can all be true together is for twothirds solve to say.\n"
        )
    return worst


COMMAND = Command(
    summary="Find everything that is wrong with a case file. Solves nothing and writes nothing.",
    options=_options,
    run=_run,
    examples="examples:\n  twothirds check family.json\n",
)
