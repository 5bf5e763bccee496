"""``twothirds explain``: the working of each question."""

from __future__ import annotations

import argparse
from functools import partial
from typing import TYPE_CHECKING, Any

from risk import actions
from risk.case.model import Case
from risk.commands.batch import arithmetic, case_options, run
from risk.console.options import Command, Usage, listed
from risk.console.streams import Streams

if TYPE_CHECKING:
    from risk.workings.step import Rung


def _as_object(options: argparse.Namespace, case: Case) -> dict[str, Any]:
    from risk.render.json import ladders_json, workings_json

    if options.ladder:
        return ladders_json(case, _ladders(case, options.order))
    return workings_json(actions.explain(case, arithmetic(options)))


def _as_page(options: argparse.Namespace, bold: bool, case: Case) -> str:
    from risk.caution import CAUTION
    from risk.document.blocks import Block, Caution, Heading, Paragraph
    from risk.document.working import workings_blocks
    from risk.render.text_blocks import blocks_to_text
    from risk.wording.family import title_in_words
    from risk.wording.questions import NO_QUESTIONS, frequency_in_words

    blocks: list[Block] = [Heading(title_in_words(case), 1)]
    if not case.questions:
        blocks.append(Paragraph(NO_QUESTIONS))
    if options.ladder:
        from risk.document.ladder import ladder_blocks

        for question, rungs in zip(case.questions, _ladders(case, options.order), strict=True):
            blocks += ladder_blocks(rungs, question, case)
    else:
        workings = actions.explain(case, arithmetic(options))
        for working, steps in zip(workings, workings_blocks(workings, case), strict=True):
            blocks += steps
            if options.frequencies and working.probability is not None:
                words = frequency_in_words(working.probability, working.question, case)
                blocks.append(Paragraph(words, indent=1))
    return blocks_to_text([*blocks, Caution(CAUTION)], bold=bold)


def _run(options: argparse.Namespace, streams: Streams) -> int:
    if options.order and not options.ladder:
        raise Usage("--order belongs to --ladder: it says which facts the ladder begins with")
    page = partial(_as_page, options, streams.colour())
    return run(options, partial(_as_object, options) if options.json else page, streams)


def _ladders(case: Case, order: list[str] | None) -> list[tuple[Rung, ...]]:
    return [actions.ladder(case, number, order) for number in range(len(case.questions))]


def _options(options: argparse.ArgumentParser) -> None:
    case_options(options)
    options.add_argument(
        "--ladder",
        action="store_true",
        help="instead of the working, show how each chance moves as the facts become known",
    )
    options.add_argument(
        "--order",
        metavar="FACT,FACT,...",
        type=listed,
        help="the facts that the ladder begins with, like II-1.affected,I-1.affected ("
        'in quotes what has a comma of its own: "a,b.affected")',
    )
    options.add_argument(
        "--frequencies",
        action="store_true",
        help="also put each answer as so many people of so many",
    )


COMMAND = Command(
    summary="Show the working of each question, step by step.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds explain family.json
  twothirds explain --json family.json
  twothirds explain --ladder --order II-1.affected family.json
""",
)
