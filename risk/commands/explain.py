"""``twothirds explain``: the working of each question."""

from __future__ import annotations

import argparse
from typing import Any

from risk import actions
from risk.case.model import Case
from risk.commands.batch import Job, case_options, run
from risk.console import Command, Streams


def _run(options: argparse.Namespace, streams: Streams) -> int:
    arithmetic: actions.Arithmetic = "float" if options.float else "exact"

    def as_object(case: Case) -> dict[str, Any]:
        from risk.render.json import workings_json

        return workings_json(actions.explain(case, arithmetic))

    def as_page(case: Case) -> str:
        from risk.caution import CAUTION
        from risk.document.blocks import Block, Caution, Heading
        from risk.document.working import working_blocks
        from risk.render.text_blocks import blocks_to_text
        from risk.wording import title_in_words

        blocks: list[Block] = [Heading(title_in_words(case), 1)]
        for working in actions.explain(case, arithmetic):
            blocks += working_blocks(working, case)
        return blocks_to_text([*blocks, Caution(CAUTION)], bold=streams.colour())

    job: Job = as_object if options.json else as_page
    return run(options.cases, job, streams, json=options.json)


COMMAND = Command(
    summary="Show the working of each question, step by step.",
    options=case_options,
    run=_run,
    examples="""\
examples:
  twothirds explain family.json
  twothirds explain --json family.json
""",
)
