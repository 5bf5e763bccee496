"""``twothirds practice``: practice cases from a seed."""

from __future__ import annotations

import argparse

from risk import actions
from risk.console.options import Command, Usage, file_name, whole_number
from risk.console.streams import Streams
from risk.output import write_whole
from risk.teaching.practice_levels import IN_WORDS, MOST_CASES


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "--level",
        type=whole_number,
        default=1,
        metavar="L",
        help="; ".join(f"{level} {about}" for level, about in IN_WORDS.items()) + " (default 1)",
    )
    options.add_argument("--topic", metavar="T", help="only this idea; see --topics")
    options.add_argument(
        "--topics", action="store_true", help="list the topics of the level and stop"
    )
    options.add_argument(
        "--seed",
        type=whole_number,
        default=0,
        metavar="S",
        help="same seed, same cases (default 0)",
    )
    options.add_argument(
        "--count",
        type=whole_number,
        default=1,
        metavar="N",
        help=f"number of different cases, at most {MOST_CASES}; of some kinds there are fewer "
        "(default 1)",
    )
    options.add_argument(
        "-o",
        type=file_name,
        dest="output",
        metavar="CASES.jsonl",
        help="write the cases, one a line; - is standard output (otherwise they are told as text)",
    )
    options.add_argument(
        "--json", action="store_true", help="print the cases as JSON, one a line, and nothing else"
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    if options.topics:
        if options.output or options.json or options.topic:
            raise Usage("--topics only lists; leave the other options out")
        streams.stdout.write("".join(f"{name}\n" for name in actions.topics(options.level)))
        return 0
    cases = actions.practice(options.level, options.seed, options.count, options.topic)
    if options.output or options.json:
        from risk.case.write import write_case_line

        lines = "".join(f"{write_case_line(case)}\n" for case in cases)
        if options.output and options.output != "-":
            write_whole(options.output, lines.encode("utf-8"))
        if options.json or options.output == "-":
            streams.stdout.write(lines)
        return 0
    from risk.caution import CAUTION
    from risk.document.blocks import Block, Caution, Heading, Paragraph
    from risk.render.text_blocks import blocks_to_text

    blocks: list[Block] = []
    for number, case in enumerate(cases, start=1):
        blocks.append(Heading(f"{number}. {case.title}", 2))
        blocks += [Paragraph(part) for part in (case.vignette or "").split("\n\n")]
    streams.stdout.write(blocks_to_text([*blocks, Caution(CAUTION)]))
    return 0


COMMAND = Command(
    summary="Make practice cases: invented families with their story and questions.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds practice --level 2 --seed 7 --count 5 -o cases.jsonl
  twothirds practice --level 3 --topic tests --seed 1
  twothirds worksheet cases.jsonl -o sheet.pdf --key key.pdf
""",
)
