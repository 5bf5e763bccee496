"""Running one job over one case, many files, or a stream of cases.

One case is answered as a page or an indented object.  Several give one page after another, or
one object a line, in order; a case that fails then has its error object in its place, and the
exit status is the highest of those that the failing cases have.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

from risk import actions
from risk.case.model import Case
from risk.console import Source, Streams, is_stream, read_sources, report
from risk.problems import RiskError

#: What a job makes of a case: the object for ``--json``, or the text of a page.
Job = Callable[[Case], str | dict[str, Any]]


def case_options(options: argparse.ArgumentParser) -> None:
    """Add the arguments that `solve` and `explain` share."""
    options.add_argument(
        "cases",
        nargs="+",
        metavar="CASE",
        help="case files; - is standard input; a .jsonl file holds one case a line",
    )
    options.add_argument(
        "--json", action="store_true", help="print JSON, and nothing else, on standard output"
    )
    options.add_argument(
        "--float",
        action="store_true",
        help="work with floating-point numbers (for huge families): no exact fractions",
    )


def run(paths: list[str], job: Job, streams: Streams, *, json: bool) -> int:
    """Do `job` for every case that `paths` name; return the exit status."""
    sources = read_sources(paths, streams)
    first = next(sources, None)
    if first is None:
        return 0
    second = next(sources, None)
    several = second is not None or len(paths) > 1 or (is_stream(paths[0]))
    everything = (each for each in (first, second) if each is not None)
    worst = 0
    with _progress(streams, several) as step:
        for number, source in enumerate(_chain(everything, sources)):
            try:
                if source.error is not None:
                    raise source.error
                outcome = job(actions.load(source.content))
            except RiskError as error:
                named = several and source.error is None
                report(error, streams, prefix=f"{source.name}: " if named else "")
                worst = max(worst, error.status)
                if json:
                    from risk.render.json import failure_json

                    _write_object(failure_json(error), streams, one_line=several)
            else:
                if isinstance(outcome, str):
                    if number:
                        streams.stdout.write("\n\n")
                    streams.stdout.write(outcome)
                else:
                    _write_object(outcome, streams, one_line=several)
            step()
    return worst


def _write_object(value: dict[str, Any], streams: Streams, *, one_line: bool) -> None:
    from risk.render.json import to_line, to_page

    text = to_line(value) if one_line else to_page(value)
    streams.stdout.write(f"{text}\n")


def _chain(first: Iterator[Source], rest: Iterator[Source]) -> Iterator[Source]:
    yield from first
    yield from rest


@contextmanager
def _progress(streams: Streams, several: bool) -> Iterator[Callable[[], None]]:
    """Count cases on standard error while it is a terminal and answers go elsewhere."""
    if not several or not streams.stderr.isatty() or streams.stdout.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import MofNCompleteColumn, Progress, SpinnerColumn, TimeElapsedColumn

    console = Console(file=streams.stderr)
    columns = (SpinnerColumn(), "cases", MofNCompleteColumn(), TimeElapsedColumn())
    with Progress(*columns, console=console, transient=True) as progress:
        task = progress.add_task("cases", total=None)
        yield lambda: progress.advance(task)
