"""Running one job over one case, many files, or a stream of cases.

One case is answered as a page or an indented object.  Several give one page after another, or
one object a line, in order; a case that fails then has its error object in its place, and the
exit status is the highest of those that the failing cases have.
"""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from typing import Any, NamedTuple

from risk import actions
from risk.case.model import Case
from risk.console.options import file_name
from risk.console.sources import Source, is_stream, read_sources
from risk.console.streams import Streams, complaint
from risk.problems import OwnFault, RiskError, shown

#: What a job makes of a case: the object for ``--json``, or the text of a page.
Job = Callable[[Case], str | dict[str, Any]]


def case_options(options: argparse.ArgumentParser) -> None:
    """Add the arguments that `solve` and `explain` share."""
    options.add_argument(
        "cases",
        type=file_name,
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
    options.add_argument(
        "--workers",
        type=number_of_workers,
        default=1,
        metavar="N",
        help="work on many cases with so many processes; answers keep their order",
    )
    options.add_argument(
        "--cluster",
        metavar="ADDRESS",
        help="work on many cases with the Dask cluster whose scheduler is at this address",
    )


def arithmetic(options: argparse.Namespace) -> actions.Arithmetic:
    """Return what ``--float`` asks for."""
    return "float" if options.float else "exact"


def number_of_workers(text: str) -> int:
    """Read the value of ``--workers``."""
    number = int(text) if text.isascii() and text.isdigit() and len(text) < 5 else 0
    if not number:
        raise argparse.ArgumentTypeError(f"{shown(text)} is not a number of processes, 1 to 9999")
    return number


def run(options: argparse.Namespace, job: Job, streams: Streams) -> int:
    """Do `job` for every case that ``options.cases`` names; return the exit status.

    With ``--workers`` or ``--cluster`` the job goes to other processes, so it must be a function
    of a module (or a `functools.partial` of one).
    """
    sources = read_sources(options.cases, streams)
    first = next(sources, None)
    if first is None:
        return 0
    second = next(sources, None)
    several = second is not None or len(options.cases) > 1 or is_stream(options.cases[0])
    everything = _chain((each for each in (first, second) if each is not None), sources)
    do = partial(_do_all, job, json=options.json, several=several)
    if options.cluster is not None:
        from risk.commands.spread import on_cluster

        results = on_cluster(do, everything, options.cluster)
    elif options.workers > 1 and several:
        from risk.commands.spread import in_processes

        results = in_processes(do, everything, options.workers)
    else:
        results = (_do(job, source, options.json, several) for source in everything)
    worst, pages = 0, 0
    with progress(streams, several) as step:
        for done in results:
            worst = max(worst, done.status)
            if done.complaint:
                streams.say(done.complaint)
            if done.text:
                pages += 1
                separator = "\n\n" if pages > 1 and not options.json else ""
                streams.stdout.write(separator + done.text)
                if several:
                    # Who reads along has each answer as soon as it is there.
                    streams.stdout.flush()
            step()
    return worst


class Done(NamedTuple):
    """What became of one case: exit status, what to print, and what to say is wrong."""

    status: int
    text: str
    complaint: str


def _do_all(job: Job, sources: Sequence[Source], *, json: bool, several: bool) -> list[Done]:
    return [_do(job, source, json, several) for source in sources]


def _do(job: Job, source: Source, json: bool, several: bool) -> Done:
    try:
        outcome = job(actions.load(source.read()))
    except RiskError as error:
        return _failed(error, source, json, several)
    except (OSError, MemoryError):
        raise
    except Exception as error:  # a fault of ours in one case leaves the others theirs
        if not several or os.environ.get("TWOTHIRDS_TRACEBACK"):
            raise
        return _failed(OwnFault(error), source, json, several)
    return Done(0, outcome if isinstance(outcome, str) else _as_json(outcome, one_line=several), "")


def _failed(error: RiskError, source: Source, json: bool, several: bool) -> Done:
    text = ""
    if json:
        from risk.render.json import failure_json

        text = _as_json(failure_json(error), one_line=several)
    return Done(error.status, text, complaint(error, source.before_problems(several)))


def _as_json(value: dict[str, Any], *, one_line: bool) -> str:
    from risk.render.json import to_line, to_page

    return f"{to_line(value) if one_line else to_page(value)}\n"


def _chain(first: Iterator[Source], rest: Iterator[Source]) -> Iterator[Source]:
    yield from first
    yield from rest


@contextmanager
def progress(streams: Streams, several: bool) -> Iterator[Callable[[], None]]:
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
