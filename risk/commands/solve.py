"""``twothirds solve``: the answers to a case's questions."""

from __future__ import annotations

import argparse
from functools import partial
from typing import Any

from risk import actions
from risk.case.model import Case
from risk.commands.batch import arithmetic, case_options, run
from risk.console.options import Command
from risk.console.streams import Streams


def _options(options: argparse.ArgumentParser) -> None:
    case_options(options)
    options.add_argument(
        "--people", action="store_true", help="also show every person's chances, as text"
    )


def _as_object(options: argparse.Namespace, case: Case) -> dict[str, Any]:
    from risk.render.json import solution_json

    return solution_json(actions.solve(case, arithmetic(options)))


def _as_page(options: argparse.Namespace, bold: bool, case: Case) -> str:
    from risk.document.answers import solution_blocks
    from risk.render.text_blocks import blocks_to_text

    solution = actions.solve(case, arithmetic(options))
    whole = "A fraction that is too long to show here is printed whole by --json."
    blocks = solution_blocks(case, solution, people=options.people, whole=whole)
    return blocks_to_text(blocks, bold=bold)


def _run(options: argparse.Namespace, streams: Streams) -> int:
    page = partial(_as_page, options, streams.colour())
    return run(options, partial(_as_object, options) if options.json else page, streams)


COMMAND = Command(
    summary="Answer a case's questions, exactly.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds solve family.json
  twothirds solve --json family.json other.json
  twothirds solve --json - < many.jsonl > answers.jsonl
  twothirds solve --json --workers 2 many.jsonl > answers.jsonl
""",
)
