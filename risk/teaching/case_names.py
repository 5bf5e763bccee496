"""What a table of answers may call the cases that it is about.

A name stands for one case or for none: whoever is marked against the wrong problem has no way to
see it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePath

from risk.case.model import Case

#: So many cases that one name may mean are listed.
_MOST_MEANT = 4


@dataclass(frozen=True, slots=True)
class Listed:
    """A case of a list of files: the path as given, and its line where that is a stream.

    The path is "" where the case comes from no file.
    """

    path: str
    line: int | None
    case: Case


@dataclass(frozen=True, slots=True)
class CaseNames:
    """Cases by each name that is theirs alone, and for each other name what it can mean.

    The first name of a case is the one to show; the keys of `unclear` are spelt as `spaced` does.
    """

    cases: Mapping[str, Case]
    unclear: Mapping[str, str]


def spaced(name: str) -> str:
    """Return a name whatever its capitals, and its spaces, hyphens and underscores alike."""
    return re.sub(r"[\s_-]+", " ", name.strip().lower()).strip()


def names_of(listed: Sequence[Listed]) -> CaseNames:
    """Return what the cases of a list of files may be called.

    That is the file, the title, the number that a worksheet of the same files prints (also as
    ``problem 2``), and the line of a stream.
    """
    meant: dict[str, list[tuple[Case, str]]] = {}
    for place, each in enumerate(listed, 1):
        for name, why in _names(each, place):
            there = meant.setdefault(spaced(name), [])
            if all(case != each.case for case, _ in there):
                there.append((each.case, why))
    cases: dict[str, Case] = {}
    shown: dict[int, str] = {}
    for place, each in enumerate(listed, 1):
        for name, _ in _names(each, place):
            if len(there := meant[spaced(name)]) == 1:
                # Of two cases that are the same the first stands for both.
                case = there[0][0]
                cases.setdefault(name, case)
                shown.setdefault(id(case), name)
    unclear = {
        name: _or([f"{shown.get(id(case), name)} ({why})" for case, why in there])
        for name, there in meant.items()
        if len(there) > 1
    }
    return CaseNames(cases, unclear)


def _names(each: Listed, place: int) -> Iterator[tuple[str, str]]:
    """Yield the names of a case, each with what it says of it."""
    path = PurePath(each.path)
    end = "" if each.line is None else f":{each.line}"
    for name in (path.stem, path.name, each.path) if each.path else ():
        yield f"{name}{end}", "its file"
    if each.case.title:
        yield each.case.title, "its title"
    for name in (f"problem {place}", str(place)):
        yield name, f"problem {place} of a worksheet of {'these files' if each.path else 'these'}"
    if each.line is not None:
        yield str(each.line), f"line {each.line} of its file"


def _or(cases: Sequence[str]) -> str:
    several = list(cases[:_MOST_MEANT])
    if len(cases) > _MOST_MEANT:
        several.append("others")
    return f"{', '.join(several[:-1])} or {several[-1]}"
