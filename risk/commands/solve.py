"""``twothirds solve``: the answers to a case's questions."""

from __future__ import annotations

import argparse
from typing import Any

from risk import actions
from risk.case.model import Case
from risk.commands.batch import Job, case_options, run
from risk.console import Command, Streams


def _options(options: argparse.ArgumentParser) -> None:
    case_options(options)
    options.add_argument(
        "--people", action="store_true", help="also show every person's chances, as text"
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    arithmetic: actions.Arithmetic = "float" if options.float else "exact"

    def as_object(case: Case) -> dict[str, Any]:
        from risk.render.json import solution_json

        return solution_json(actions.solve(case, arithmetic))

    def as_page(case: Case) -> str:
        from risk.document.answers import solution_blocks
        from risk.render.text_blocks import blocks_to_text

        solution = actions.solve(case, arithmetic)
        blocks = solution_blocks(case, solution, people=options.people)
        return blocks_to_text(blocks, bold=streams.colour())

    job: Job = as_object if options.json else as_page
    return run(options.cases, job, streams, json=options.json)


COMMAND = Command(
    summary="Answer a case's questions, exactly.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds solve family.json
  twothirds solve --json family.json other.json
  twothirds solve --json - < many.jsonl > answers.jsonl
""",
)
