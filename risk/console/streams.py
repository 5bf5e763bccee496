"""The three streams of a command, and what is said on them when it fails."""

from __future__ import annotations

import codecs
import errno
import io
import os
import sys
from contextlib import suppress
from typing import IO, NamedTuple, TextIO

from risk.problems import RiskError, in_lines


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

    def say(self, text: str) -> None:
        """Write on standard error at once; where it takes nothing, the exit status tells."""
        with suppress(OSError):
            self.stderr.write(text)
            self.stderr.flush()


def report(error: RiskError, streams: Streams, name: str = "") -> None:
    """Say on standard error what is wrong, as `complaint` words it."""
    streams.say(complaint(error, name))


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
