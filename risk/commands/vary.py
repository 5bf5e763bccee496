"""``twothirds vary``: the answers as one value of the case changes."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager

from risk import actions
from risk.commands.batch import arithmetic
from risk.console.options import Command, Usage, file_name, listed, whole_number
from risk.console.sources import read_source
from risk.console.streams import Streams
from risk.output import write_whole
from risk.problems import InputError, Problem, in_lines
from risk.render.figure import check_ending, figure_bytes

_USUAL_STEPS = 21
#: The options by which the arguments of the actions are given.
_OPTIONS = {
    "values": "--values, or --from and --to",
    "start": "--from",
    "stop": "--to",
    "steps": "--steps",
    "log": "--log",
}


def _options(options: argparse.ArgumentParser) -> None:
    options.add_argument(
        "case", type=file_name, metavar="CASE", help="a case file; - is standard input"
    )
    options.add_argument(
        "--parameter",
        action="append",
        required=True,
        metavar="PATH",
        help="what changes: a path of the file, condition.frequency.carrier or people[3].age, "
        "or of a person by id, II-2.age; a fact too, II-2.tests[0]; or the end of a path, where "
        "no other ends so: sensitivity; given twice or more, all change together",
    )
    options.add_argument(
        "--values",
        metavar="A,B,C",
        help='the values, 1/100,2%%,0.04 (in quotes what has a comma of its own: "a,b"); unknown '
        "takes a fact away (without --values a fact takes all it can)",
    )
    options.add_argument("--from", dest="start", metavar="A", help="instead of --values: the first")
    options.add_argument("--to", dest="stop", metavar="B", help="the last value")
    options.add_argument(
        "--steps",
        type=whole_number,
        metavar="N",
        help=f"number of values, both ends included (default {_USUAL_STEPS})",
    )
    options.add_argument(
        "--log", action="store_true", help="each value the same multiple of the one before"
    )
    options.add_argument(
        "-o",
        type=file_name,
        dest="output",
        metavar="PLOT",
        help="also draw the curves: a .svg, .pdf or .png file",
    )
    options.add_argument("--csv", action="store_true", help="print comma-separated values")
    options.add_argument(
        "--json", action="store_true", help="print JSON, and nothing else, on standard output"
    )
    options.add_argument(
        "--float", action="store_true", help="work with floating-point numbers: no exact fractions"
    )


def _run(options: argparse.Namespace, streams: Streams) -> int:
    """Print the variation.

    Where no value could be solved, or one that was typed is none, nothing is written but, in JSON,
    the object that says why of each; the status is then that of the first such value.
    """
    if options.json and options.csv:
        raise Usage("--json and --csv are two ways to print; leave one out")
    check_ending(options.output)
    values = _values(options)
    source = read_source(options.case, streams)
    case = actions.load(source.read())
    with _named_by_options():
        variation = actions.vary(case, options.parameter, values, arithmetic(options))
    failures = [point for point in variation.points if point.status]
    # Of a range whose ends cannot be true, the rest is what was asked for; a typing slip is not.
    wrong = [point for point in failures if point.status == InputError.status and options.values]
    refused = failures if len(failures) == len(variation.points) else wrong
    if refused:
        for each in refused:
            lines = in_lines(each.problems, each.conflict)
            streams.say("".join(f"{each.value}: {line}\n" for line in lines))
        if not options.json:
            return refused[0].status
    elif options.output:
        with _named_by_options():
            scene = actions.variation_figure(variation, case, log=options.log)
        write_whole(options.output, figure_bytes(scene, options.output))
    if options.json:
        from risk.render.json import to_page
        from risk.render.teaching_json import variation_json

        streams.stdout.write(f"{to_page(variation_json(variation, refused))}\n")
    elif options.csv:
        from risk.document.variation import variation_csv

        streams.stdout.write(variation_csv(variation, case))
    else:
        from risk.document.variation import variation_blocks
        from risk.render.text_blocks import blocks_to_text

        streams.stdout.write(blocks_to_text(variation_blocks(variation, case)))
    return refused[0].status if refused else 0


def _values(options: argparse.Namespace) -> tuple[str, ...]:
    ends = (options.start, options.stop)
    if options.values is not None:
        if options.log or any(each is not None for each in (*ends, options.steps)):
            raise Usage("give --values, or --from, --to, --steps and --log, but not both")
        values = tuple(listed(options.values))
        if not values:
            raise Usage("--values: no value is given")
        return values
    if ends == (None, None):
        if options.steps is not None or options.log:
            raise Usage(f"{'--log' if options.log else '--steps'} needs --from and --to")
        return ()
    if None in ends:
        raise Usage("--from and --to belong together")
    steps = _USUAL_STEPS if options.steps is None else options.steps
    with _named_by_options():
        return actions.spaced(*ends, steps, log=options.log)


@contextmanager
def _named_by_options() -> Iterator[None]:
    """Name an argument that an action refuses by the option that gave it."""
    try:
        yield
    except InputError as error:
        raise InputError(
            Problem(_OPTIONS.get(path, path), message) for path, message in error.problems
        ) from None


COMMAND = Command(
    summary="Show how each answer changes with one value of the case, or with a fact.",
    options=_options,
    run=_run,
    examples="""\
examples:
  twothirds vary family.json --parameter condition.frequency.carrier \\
      --values 1/100,1/50,1/25
  twothirds vary family.json --parameter II-2.age --from 0 --to 80 -o plot.svg
  twothirds vary family.json --parameter condition.frequency.allele \\
      --from 1/10000 --to 1/10 --log
  twothirds vary family.json --parameter "II-2.tests[0]"
""",
)
