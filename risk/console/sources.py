"""Reading of sources: a case file, a stream of one case a line, or standard input."""

from __future__ import annotations

import io
import json
from codecs import BOM_UTF8
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import IO, TYPE_CHECKING, NamedTuple

from risk.console.streams import Streams, unreadable
from risk.problems import InputError, Problem, shown_path

if TYPE_CHECKING:
    from risk.case.model import Case


_STANDARD_INPUT = "standard input"


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
