"""What the commands that print pages share: their options, the date, cases and whole files."""

from __future__ import annotations

import argparse
import datetime
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from risk import actions
from risk.case.model import Case
from risk.commands.batch import number_of_workers, progress
from risk.console.options import Usage
from risk.console.sources import Source, read_cases, read_sources
from risk.console.streams import Streams, complaint
from risk.output import write_together
from risk.problems import InputError, Problem, RiskError, shown, shown_path

#: Cases handed to a process at once; the working of one takes a hundredth of a second or more.
_CHUNK = 4


def printing_options(options: argparse.ArgumentParser) -> None:
    """Add the arguments of pages: format, title, author and date."""
    options.add_argument("--page", choices=("a4", "letter"), default="a4", help="default: a4")
    options.add_argument("--title", type=_text, default="", help="title of the document")
    options.add_argument("--author", type=_text, default="", help="printed under the title")
    options.add_argument(
        "--date",
        type=_text,
        help="printed under the title; default: today's, or that of SOURCE_DATE_EPOCH; "
        '"" for none',
    )


def workers_option(options: argparse.ArgumentParser) -> None:
    """Add the number of processes that work on the cases of a document."""
    options.add_argument(
        "--workers",
        type=number_of_workers,
        default=1,
        metavar="N",
        help="work out many cases with so many processes; the pages are the same",
    )


class Unprintable(RiskError):
    """Some of several cases cannot be worked out; each problem names the case that it is in."""

    def __init__(self, failures: Sequence[tuple[str, RiskError]]) -> None:
        self.status = max(error.status for _, error in failures)
        self._problems = tuple(
            Problem(name, line)
            for name, error in failures
            for line in complaint(error).splitlines()
        )
        super().__init__("\n".join(map(str, self._problems)))

    @property
    def problems(self) -> tuple[Problem, ...]:
        return self._problems


def over_cases(number: int, names: Sequence[str], streams: Streams) -> actions.Each:
    """Return what maps the work over the cases: with so many processes, counting as it goes.

    `names` are those of the cases.  Where some of several cannot be worked out, the rest is
    looked at all the same, and `Unprintable` raised at the end.
    """
    several = len(names) > 1

    def each(work: Callable[[Any], Any], cases: Iterable[Any]) -> Iterator[Any]:
        attempt = partial(_attempt, work)
        done: Iterable[Any] = map(attempt, cases)
        if number > 1 and several:
            from risk.commands.spread import in_processes

            done = in_processes(partial(_each_of, attempt), cases, number, _CHUNK)
        failures: list[tuple[str, RiskError]] = []
        with progress(streams, several) as step:
            for name, found in zip(names, done, strict=True):
                if not isinstance(found, RiskError):
                    yield found
                elif several:
                    failures.append((name, found))
                else:
                    raise found
                step()
        if failures:
            raise Unprintable(failures)

    return each


def _attempt(work: Callable[[Any], Any], case: Any) -> Any:
    """Return what the work gives, or why it gives nothing."""
    try:
        return work(case)
    except RiskError as error:
        return error


def _each_of(work: Callable[[Any], Any], cases: Sequence[Any]) -> list[Any]:
    return list(map(work, cases))


def _text(text: str) -> str:
    """Refuse bytes of the command line that are no text in its encoding."""
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        raise argparse.ArgumentTypeError(f"{shown(text)} is not text in UTF-8") from None
    return text


def printed_date(given: str | None) -> str:
    """Return the date to print; the clock is asked only where nothing else says it.

    Raises `Usage` where SOURCE_DATE_EPOCH is set to what is not a number of seconds.
    """
    if given is not None:
        return given
    epoch = os.environ.get("SOURCE_DATE_EPOCH")
    if epoch is None:
        return datetime.date.today().isoformat()
    try:
        moment = datetime.datetime.fromtimestamp(int(epoch), datetime.UTC)
    except (ValueError, OverflowError, OSError):
        raise Usage(f"SOURCE_DATE_EPOCH: {epoch[:40]!r} is not a number of seconds") from None
    return moment.date().isoformat()


def check_pdf(path: str | None) -> None:
    """Raise `InputError` where `path` has another ending than .pdf; None is none to write."""
    if path and Path(path).suffix.lower() != ".pdf":
        raise InputError([Problem(shown_path(path), "pages are written to a file in .pdf")])


def printed_name(source: Source) -> str:
    """Return the name of a case's file as pages have it, empty for standard input.

    Folders are left out: a page is handed on, and they say who made it and where.
    """
    return "" if source.standard_input else os.path.basename(source.name)


def read_printed(paths: list[str], streams: Streams) -> list[tuple[Source, Case]]:
    """Read every case, as `read_cases`; raises `InputError` where there is none."""
    cases = read_cases(read_sources(paths, streams))
    if not cases:
        raise InputError([Problem(paths[0], "holds no case")])
    return cases


def write_pages(pages: Sequence[tuple[str, Callable[..., bytes]]], streams: Streams) -> None:
    """Make documents, write each to its path, and say once what they warn of.

    All are made before the first is written, so that a fault in one leaves no file.
    """
    warnings: list[str] = []
    write_together([(path, make(warn=warnings.append)) for path, make in pages])
    for warning in dict.fromkeys(warnings):
        streams.say(f"{warning}\n")
