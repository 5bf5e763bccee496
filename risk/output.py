"""Writing a file whole or not at all."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from risk.problems import InputError, Problem


def write_whole(path: str | Path, content: bytes) -> None:
    """Write `content` to `path` so that a reader sees the old file or the whole new one.

    The bytes go to a temporary file beside the target, which then takes the target's place;
    when anything fails (a full disk, Ctrl-C) the temporary file is removed and the target is
    as it was.  A device such as ``/dev/stdout``, which nothing can take the place of, is
    written directly.  Raises `InputError` where there is no such folder, or the path is one, and
    `OSError` with the reason for anything else.
    """
    target = Path(os.path.realpath(path))
    if target.exists() and not target.is_file() and not target.is_dir():
        target.write_bytes(content)
        return
    if target.is_dir():
        raise InputError([Problem(str(path), "is a folder; name a file to write in it")])
    if not target.parent.is_dir():
        raise InputError(
            [
                Problem(
                    str(path), f"there is no folder {os.path.dirname(path) or '.'}; make it first"
                )
            ]
        )
    handle, temporary = tempfile.mkstemp(
        prefix=f".{target.name[:40]}.", suffix=".part", dir=target.parent
    )
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(temporary, _permissions(target))
        os.replace(temporary, target)
    except BaseException:
        os.unlink(temporary)
        raise


def _permissions(target: Path) -> int:
    """Those of the file replaced, or what a newly made file would get."""
    if target.exists():
        return target.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
