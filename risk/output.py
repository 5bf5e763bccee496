"""Writing files whole or not at all, and never over what is read."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from risk.problems import InputError, Problem, shown_path


def write_whole(path: str | Path, content: bytes) -> None:
    """Write `content` to `path`; errors and promises as for `write_together`."""
    write_together([(path, content)])


def write_together(files: Sequence[tuple[str | Path, bytes]]) -> None:
    """Write each content to its path, so that a reader sees the old file or the whole new one.

    The bytes go to temporary files beside the targets, which take the targets' places once all
    of them are written; when anything fails (a full disk, Ctrl-C) the temporary files are removed
    and the targets are as they were, by being put back where a later one could not be replaced.
    A device such as ``/dev/stdout``, which nothing can take
    the place of, is written directly.  Raises `InputError` where there is no such folder, or the
    path is one, and `OSError` with the path and the reason for anything else.
    """
    targets = []
    for path, _ in files:
        with _told_of(path):
            targets.append(_target(path))
    temporaries: list[str] = []
    new: list[tuple[str | Path, str, Path]] = []
    try:
        for (path, content), target in zip(files, targets, strict=True):
            with _told_of(path):
                if target.exists() and not os.access(target, os.W_OK):
                    raise PermissionError(errno.EACCES, "Permission denied")
                if target.exists() and not target.is_file():
                    target.write_bytes(content)
                else:
                    new.append((path, _write_beside(target, content, temporaries), target))
        _replace(new, temporaries)
    finally:
        for temporary in temporaries:
            with suppress(OSError):
                os.unlink(temporary)


@contextmanager
def _told_of(path: str | Path) -> Iterator[None]:
    """Name the path as it was given, which says more than that of a temporary file."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error


def keep_inputs(outputs: Iterable[str], inputs: Iterable[str]) -> None:
    """Raise `InputError` where a file to be written is also read, or is to be written twice.

    An input ``-`` is standard input, and no file.
    """
    read = {_file(path) for path in inputs if path != "-"}
    written: set[str] = set()
    problems = []
    for path in outputs:
        file = _file(path)
        if file is None:
            continue
        if file in read:
            problems.append(_problem(path, "is read as input; name another file to write"))
        if file in written:
            problems.append(_problem(path, "two options name the same file to write; name two"))
        written.add(file)
    if problems:
        raise InputError(problems)


def _file(path: str) -> str | None:
    """Return the one name of the file behind `path`, or None where there is nothing to lose."""
    if not _can_be_named(path):
        return None
    real = os.path.realpath(path)
    return None if os.path.exists(real) and not os.path.isfile(real) else real


def _can_be_named(path: str) -> bool:
    try:
        return b"\0" not in os.fsencode(path)
    except ValueError:  # half a character
        return False


def _target(path: str | Path) -> Path:
    """Return the file that `path` leads to, or say why nothing can be written there."""
    if not _can_be_named(str(path)):
        raise InputError([_problem(path, "no file can have this name")])
    target = Path(os.path.realpath(path))
    if target.is_dir():
        raise InputError([_problem(path, "is a folder; name a file to write in it")])
    # What the path itself says counts as well: tree.svg/ names a folder, and no file tree.svg.
    if not (target.parent.is_dir() and os.path.isdir(os.path.dirname(path) or ".")):
        folder = shown_path(os.path.dirname(path) or ".")
        raise InputError([_problem(path, f"there is no folder {folder}; make it first")])
    return target


def _problem(path: str | Path, message: str) -> Problem:
    return Problem(shown_path(str(path)), message)


def _replace(new: Sequence[tuple[str | Path, str, Path]], temporaries: list[str]) -> None:
    """Let each temporary file of `new` (path as given, file, target) take its target's place.

    Where one cannot, what stood in the place of those before is put back.
    """
    old = [
        _write_beside(target, target.read_bytes(), temporaries) if target.exists() else None
        for _, _, target in new[:-1]
    ]
    done: list[Path] = []
    try:
        for path, temporary, target in new:
            with _told_of(path):
                os.replace(temporary, target)
            done.append(target)
    except BaseException:
        for target, before in zip(done, old, strict=False):
            if before is None:
                target.unlink()
            else:
                os.replace(before, target)
        raise


def _write_beside(target: Path, content: bytes, temporaries: list[str]) -> str:
    """Write `content` to a temporary file beside `target`; return it, added to `temporaries`."""
    handle, temporary = tempfile.mkstemp(
        prefix=f".{target.name[:40]}.", suffix=".part", dir=target.parent
    )
    temporaries.append(temporary)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(temporary, _permissions(target))
    return temporary


def _permissions(target: Path) -> int:
    """Those of the file replaced, or what a newly made file would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
