"""What can go wrong in a way that a user can mend, as plain data.

A `Problem` names the place in the case file and says what is wrong and how to mend it.  The
exceptions carry the exit status of the command line, so that both front ends agree.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any, NamedTuple


class Problem(NamedTuple):
    """One thing wrong with the input: where (`path`, like ``people[3].father``) and what."""

    path: str
    message: str

    def __str__(self) -> str:
        return f"{self.path}: {self.message}" if self.path else self.message


class RiskError(Exception):
    """A failure that is explained to the user; `status` is the exit status it leads to."""

    status = 1
    #: Facts that conflict, where that is what is wrong.
    conflict: tuple[str, ...] = ()

    @property
    def problems(self) -> tuple[Problem, ...]:
        return (Problem("", str(self)),)


class OwnFault(RiskError):
    """A fault of Two-Thirds itself, which no user can mend: said in a line, for a report."""

    def __init__(self, error: Exception) -> None:
        super().__init__(
            f"an error in Two-Thirds itself ({type(error).__name__}: {error}); set "
            "TWOTHIRDS_TRACEBACK=1 to see where, and please report it"
        )


class InputError(RiskError):
    """The input is wrong; holds every problem found, in the order of the file."""

    status = 2

    def __init__(self, problems: Iterable[Problem]) -> None:
        self._problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self._problems))

    @property
    def problems(self) -> tuple[Problem, ...]:
        return self._problems


class ImpossibleEvidence(RiskError):
    """The evidence has probability 0; `conflict` names facts that cannot all be true.

    `enough` are those of them each of which, taken back alone, leaves evidence that can be true.
    `path` is that of a question for which alone it has probability 0, with what is asked about.
    """

    status = 3

    def __init__(
        self, message: str, conflict: Iterable[str], enough: Iterable[str] = (), path: str = ""
    ) -> None:
        self.conflict = tuple(conflict)
        self.enough = tuple(enough)
        self.path = path
        super().__init__(message)

    @property
    def problems(self) -> tuple[Problem, ...]:
        return (Problem(self.path, str(self)),)

    def __reduce__(self) -> tuple[Any, ...]:
        """Tell how to make it anew in the process that handed out the work."""
        return type(self), (str(self), self.conflict, self.enough, self.path)


class TooLarge(RiskError):
    """Solving exactly would need tables too large to hold; the message says how large."""

    status = 4


def in_lines(problems: Iterable[Problem], conflict: Iterable[str] = ()) -> list[str]:
    """Return what is wrong as lines, one a problem, and after a colon one a fact in conflict."""
    lines, facts = [str(problem) for problem in problems], list(conflict)
    if facts:
        lines[-1] += ":"
    return lines + facts


def in_one_line(texts: Iterable[str], conflict: Iterable[str] = ()) -> str:
    """Return what is wrong as one text, with the facts in conflict at its end."""
    facts = ", ".join(conflict)
    return "; ".join(texts) + f": {facts}" * bool(facts)


def shown(text: str, longest: int = 40) -> str:
    """Return `text` in double quotes, cut to `longest` characters, fit for any terminal.

    Control characters, lone surrogates and characters that cannot be printed appear as
    escapes, so that a message never carries them on.
    """
    cut = text if len(text) <= longest else text[: longest - 1] + "…"
    return '"' + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in cut) + '"'


def shown_path(path: str) -> str:
    """Return the path of a file or a fact as messages show it: as it is, or escaped in quotes."""
    return path if path.isprintable() else shown(path, 200)


def path_of(loc: Iterable[str | int]) -> str:
    """Return a place as users see it, like ``people[3].father``."""
    path = ""
    for part in loc:
        if isinstance(part, int):
            path += f"[{part}]"
        else:
            name = shown(part)[1:-1] or '""'
            path += f".{name}" if path else name
    return path


#: The beginning of a word of so many letters tells which is meant.
_TELLING = 3
#: So much alike are a word and another in which a letter or two are wrong.
_SLIP_OF_THE_PEN = 0.8


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """Return ``; did you mean "x"?`` for the known word nearest to `word`, or ``""``."""
    near = nearest(word, known)
    return f"; did you mean {shown(near)}?" if near else ""


def nearest(word: str, known: Iterable[str], alike: float = 0.6) -> str:
    """Return the known word nearest to `word`, or ``""`` where none is `alike` to this degree.

    A whole part of just one known word is near to it; of several it is near to none.
    """
    import difflib  # only needed when something is wrong

    # That two options begin with dashes makes them no more alike.
    words = {each.lstrip("-"): each for each in known}
    meant = word.strip().lstrip("-")
    near = [each for each in words if each.lower() == meant.lower()]
    near = near or difflib.get_close_matches(meant[:60], words, n=1, cutoff=_SLIP_OF_THE_PEN)
    if not near and (part := _in_parts(meant)).strip():
        near = [each for each in words if part in _in_parts(each)]
        if len(near) > 1:
            return ""
    near = near or difflib.get_close_matches(meant[:60], words, n=1, cutoff=alike)
    if not near and len(meant) >= _TELLING:
        near = sorted([each for each in words if each.lower().startswith(meant.lower())], key=len)
    return words[near[0]] if near else ""


def _in_parts(name: str) -> str:
    """Return the parts of a name between spaces: `` x linked recessive ``."""
    return " ".join(["", *re.findall(r"[^\W_]+", name.lower()), ""])
