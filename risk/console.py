"""What commands share: the three streams, the parser of options, and reading of sources."""

from __future__ import annotations

import argparse
import codecs
import csv
import errno
import io
import json
import os
import re
import sys
import textwrap
from codecs import BOM_UTF8
from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from typing import IO, TYPE_CHECKING, NamedTuple, NoReturn, TextIO

from risk.problems import (
    InputError,
    Problem,
    RiskError,
    did_you_mean,
    in_lines,
    shown,
    shown_path,
)

if TYPE_CHECKING:
    from risk.case.model import Case


_STANDARD_INPUT = "standard input"


class Streams(NamedTuple):
    """Where a command reads and writes; `stdin` gives bytes, since a case file may be any."""

    stdin: IO[bytes]
    stdout: TextIO
    stderr: TextIO

    def colour(self) -> bool:
        """Whether answers may be coloured: only on a terminal that did not decline."""
        return (
            self.stdout.isatty()
            and not os.environ.get("NO_COLOR")
            and os.environ.get("TERM") != "dumb"
        )


class Command(NamedTuple):
    """One subcommand: its help, its options, and what it does.

    `run` takes the parsed options and the streams and returns the exit status; it raises
    `risk.problems.RiskError` for what a user can mend.
    """

    summary: str
    options: Callable[[argparse.ArgumentParser], None]
    run: Callable[[argparse.Namespace, Streams], int]
    examples: str = ""


class Usage(InputError):
    """The command line itself is wrong."""

    def __init__(self, message: str) -> None:
        super().__init__([Problem("", message)])


class HelpShown(Exception):
    """``--help`` was asked for and printed; nothing is left to do."""


class Options(argparse.ArgumentParser):
    """A parser that raises `Usage` in our words, and prints help on the given stream."""

    def __init__(self, prog: str, description: str, epilog: str, stdout: TextIO) -> None:
        super().__init__(
            prog=prog,
            description=textwrap.fill(description, 80),
            epilog=epilog,
            formatter_class=_Help,
            allow_abbrev=False,
            add_help=False,
        )
        self._stdout = stdout
        # A value such as -1/2 is no option, so that its own reader can say what is wrong.
        self._negative_number_matcher = re.compile(r"-\.?\d")
        self.add_argument("-h", "--help", action="store_true", help="show this page and stop")

    def read(self, argv: list[str]) -> argparse.Namespace:
        """Parse `argv`; raises `HelpShown` or `Usage`."""
        if any(word in ("-h", "--help") for word in argv[: _options_end(argv)]):
            self._stdout.write(self.format_help())
            raise HelpShown
        options, unknown = self.parse_known_args(argv)
        if unknown:
            word = unknown[0].split("=")[0]
            known = [name for action in self._actions for name in action.option_strings]
            what = "option" if word.startswith("-") else "word"
            self.error(f"unknown {what} {shown(word)}{did_you_mean(word, known)}")
        return options

    def error(self, message: str) -> NoReturn:
        message = "".join(c if c.isprintable() else ascii(c)[1:-1] for c in message)
        for theirs, ours in (
            ("the following arguments are required: ", "missing: "),
            ("expected one argument", "needs a value"),
            ("expected at least one argument", "needs at least one value"),
            ("argument ", ""),
        ):
            message = message.replace(theirs, ours)
        raise Usage(f"{message} (see: {self.prog} --help)")


def listed(text: str) -> list[str]:
    """Return what a list with commas names; quotes hold together what has a comma of its own."""
    (row,) = csv.reader([text], skipinitialspace=True)
    return [part.strip() for part in row if part.strip()]


def file_name(text: str) -> str:
    """Read a file's name among the options; an unset variable of a shell leaves it empty."""
    if not text:
        raise argparse.ArgumentTypeError("no file is named: the name is empty")
    return text


class _Help(argparse.RawDescriptionHelpFormatter):
    def __init__(self, prog: str) -> None:
        super().__init__(prog, max_help_position=26, width=80)


def _options_end(argv: list[str]) -> int:
    return argv.index("--") if "--" in argv else len(argv)


class Source(NamedTuple):
    """The bytes of one case and where they are from: a file, and of a stream the line.

    `error` stands in for the bytes of a file that cannot be read, and names it.
    """

    file: str
    content: bytes = b""
    line: int | None = None
    error: InputError | None = None
    standard_input: bool = False

    @property
    def name(self) -> str:
        """What to call it by: ``family.json``, ``all.jsonl:3``."""
        return self.file if self.line is None else f"{self.file}:{self.line}"

    def read(self) -> bytes:
        """Return the bytes; raises `InputError` where there are none to be had."""
        if self.error is not None:
            raise self.error
        return self.content

    def before_problems(self, several: bool) -> str:
        """Return the name that a problem of its case needs before it, or ``""``.

        It does where there are `several` sources, or where the file has other lines.
        """
        return self.name if self.error is None and (several or self.line is not None) else ""


def read_source(path: str, streams: Streams) -> Source:
    """Read the one case that `path` names, ``-`` being standard input.

    No more is read than tells that it is too large to be a case.
    """
    from risk.case.read import LARGEST

    try:
        if path == "-":
            content = streams.stdin.read(LARGEST + 1)
        else:
            with open(path, "rb") as file:
                content = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        return _unreadable(path, error)
    if path == "-":
        return Source(_STANDARD_INPUT, content, standard_input=True)
    return Source(shown_path(path), content)


def read_sources(paths: Iterable[str], streams: Streams) -> Iterator[Source]:
    """Read every case that `paths` name; a stream of cases gives one source a line.

    A stream is read line by line, so that its length does not matter.
    """
    for path in paths:
        if path != "-" and is_stream(path):
            try:
                with open(path, "rb") as file:
                    yield from _stream(shown_path(path), file)
            except (OSError, ValueError) as error:
                yield _unreadable(path, error)
            continue
        if path == "-":
            yield from _standard_input(streams)
        else:
            yield read_source(path, streams)


def sources_in(name: str, content: bytes) -> Iterator[Source]:
    """Give the cases of a file that was read already: one, or of a stream one a line."""
    if is_stream(name):
        yield from _stream(shown_path(name), io.BytesIO(content))
    else:
        yield Source(shown_path(name), content)


def read_cases(sources: Iterable[Source]) -> list[tuple[Source, Case]]:
    """Read the case of every source.

    Raises `InputError` with the problems of all that are wrong, each with the name of its source
    where there are several.
    """
    from risk.case.read import read_case

    cases: list[tuple[Source, Case]] = []
    wrong: list[tuple[Source, InputError]] = []
    for source in sources:
        try:
            cases.append((source, read_case(source.read())))
        except InputError as error:
            wrong.append((source, error))
    if wrong:
        several = len(cases) + len(wrong) > 1
        raise InputError(
            Problem(": ".join(filter(None, (source.before_problems(several), path))), message)
            for source, error in wrong
            for path, message in error.problems
        )
    return cases


def is_stream(path: str) -> bool:
    """Whether the file is one of one case a line, by its name."""
    return path.lower().endswith((".jsonl", ".ndjson"))


def looks_like_stream(content: bytes) -> bool:
    """Whether standard input is one case a line: its first two lines look like whole objects.

    No single JSON document does.  Where one of them is damaged, the other tells.
    """
    lines = [line.strip() for line in content.removeprefix(BOM_UTF8).split(b"\n")]
    lines = [line for line in lines if line][:2]
    if len(lines) < 2:
        return False
    if all(line.startswith(b"{") and line.endswith(b"}") for line in lines):
        return True
    first, second = map(_object, lines)
    # Within a document the line of a person or a question may be an object, but no case is.
    return first is not None or (second is not None and "version" in second)


def _object(line: bytes) -> dict[str, object] | None:
    """Return the JSON object that a line is, or None."""
    try:
        found = json.loads(line)
    except (ValueError, RecursionError):
        return None
    return found if isinstance(found, dict) else None


def _standard_input(streams: Streams) -> Iterator[Source]:
    """Read standard input as one case, or as a stream where its first two lines look like one."""
    from risk.case.read import LARGEST

    file = streams.stdin
    try:
        head = _first_two(file)
        start = b"".join(head)
        if looks_like_stream(start):
            for source in _lines(_STANDARD_INPUT, file, head):
                yield source._replace(standard_input=True)
        else:
            content = start + file.read(max(0, LARGEST + 1 - len(start)))
            yield Source(_STANDARD_INPUT, content, standard_input=True)
    except (OSError, ValueError) as error:
        yield _unreadable("-", error)


def _first_two(file: IO[bytes]) -> list[bytes]:
    """Read the first two lines that are not blank, with the blank ones before them."""
    from risk.case.read import LARGEST

    head: list[bytes] = []
    while sum(1 for line in head if line.strip()) < 2:
        if not (line := file.readline(LARGEST + 1)):
            break
        head.append(line)
    return head


def _stream(name: str, file: IO[bytes]) -> Iterator[Source]:
    """Read a file of one case a line, or refuse it as a whole where its first two begin none."""
    head = _first_two(file)
    begun = [line for line in map(bytes.strip, head) if line]
    if len(begun) == 2 and not any(line.startswith(b"{") and line != b"{" for line in begun):
        problem = Problem(
            name,
            "does not hold one case a line: neither of its first two lines is a JSON object; "
            "twothirds practice writes its cases so with -o FILE, or with --json",
        )
        yield Source(name, error=InputError([problem]))
    else:
        yield from _lines(name, file, head)


def _lines(name: str, file: IO[bytes], head: Iterable[bytes] = ()) -> Iterator[Source]:
    """Read the cases of a stream, of which the lines `head` were read before.

    Of a line that is too long for a case only so much is kept as tells that.
    """
    from risk.case.read import LARGEST

    more = iter(lambda: file.readline(LARGEST + 1), b"")
    whole = True
    number = 0
    for part in chain(head, more):
        if whole:
            number += 1
            if part.strip():
                yield Source(name, part, number)
        whole = len(part) <= LARGEST or part.endswith(b"\n")


def _unreadable(path: str, error: Exception) -> Source:
    name = shown_path(path)
    return Source(name, error=InputError([Problem(name, unreadable(error))]))


def report(error: RiskError, streams: Streams, name: str = "") -> None:
    """Say on standard error what is wrong, as `complaint` words it."""
    streams.stderr.write(complaint(error, name))
    streams.stderr.flush()


def failed(error: RiskError, streams: Streams, *, as_json: bool) -> int:
    """Return the exit status of a failure; where JSON was asked for, print its object as well."""
    if as_json:
        from risk.render.json import failure_json, to_page

        streams.stdout.write(f"{to_page(failure_json(error))}\n")
    return error.status


def complaint(error: RiskError, name: str = "") -> str:
    """Return what is wrong, one problem (or fact in conflict) a line, each after the `name`."""
    prefix = f"{name}: " if name else ""
    return "".join(f"{prefix}{line}\n" for line in in_lines(error.problems, error.conflict))


def unreadable(error: Exception) -> str:
    """Say in words why a file could not be read or written."""
    reasons: dict[type[Exception], str] = {
        FileNotFoundError: "no such file",
        IsADirectoryError: "is a folder, not a file",
        PermissionError: "permission denied",
        NotADirectoryError: "part of the path is not a folder",
    }
    for kind, reason in reasons.items():
        if isinstance(error, kind):
            return reason
    return (getattr(error, "strerror", None) or str(error)).lower()


def standard_streams() -> Streams:
    """Return the process's own streams, set so that no character stops an answer.

    A stream that was closed before the program started fails when it is used, and not before;
    only what is said on a closed standard error is lost.
    """
    codecs.register_error(_ESCAPES, _escaped)
    stdin, stdout, stderr = _open_streams()
    for stream in (stdout, stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_ESCAPES)
    if None in (stdin, stdout, stderr):
        _occupy()
    return Streams(
        stdin.buffer if stdin else _ClosedInput(),
        stdout or _ClosedOutput(),
        stderr or open(os.devnull, "w", encoding="utf-8"),
    )


_ESCAPES = "twothirds-escapes"


def _escaped(error: UnicodeError) -> tuple[str, int]:
    """Stand in for characters that a stream cannot carry: ``\\u0417``, as JSON writes them."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    units = error.object[error.start : error.end].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[i : i + 4]}" for i in range(0, len(units), 4)), error.end


def _open_streams() -> tuple[TextIO | None, TextIO | None, TextIO | None]:
    return sys.stdin, sys.stdout, sys.stderr


def _occupy() -> None:
    """Keep a file that is opened later from getting the number of a closed standard stream."""
    while (handle := os.open(os.devnull, os.O_RDWR)) <= 2:
        pass
    os.close(handle)


class _ClosedInput(io.BytesIO):
    def read(self, size: int | None = -1) -> bytes:  # noqa: ARG002 - as of any stream
        raise OSError(errno.EBADF, "standard input is closed")

    readline = read


class _ClosedOutput(io.StringIO):
    def write(self, text: str) -> int:  # noqa: ARG002 - as of any stream
        raise OSError(errno.EBADF, "standard output is closed")
