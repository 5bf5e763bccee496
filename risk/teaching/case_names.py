"""What a table of answers may call the cases that it is about.

A name stands for one case or for none: whoever is marked against the wrong problem has no way to
see it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import PurePath

from risk.case.model import Case
from risk.problems import InputError, Problem, did_you_mean, shown
from risk.teaching.class_table import Answered

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
    unclear: Mapping[str, str] = field(default_factory=dict)


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


def problem_numbers(listed: Sequence[Listed], names: CaseNames) -> dict[str, int]:
    """Return the numbers that a worksheet prints of several cases, by the name of each to show."""
    found: dict[str, int] = {}
    for number, each in enumerate(listed if len(listed) > 1 else (), 1):
        name = next((name for name, case in names.cases.items() if case == each.case), None)
        if name is not None:
            found.setdefault(name, number)
    return found


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


#: The first name of the case of a row, and that case; raises InputError where it is not clear.
CaseOf = Callable[[Answered], tuple[str, Case]]


def case_finder(rows: Sequence[Answered], named: CaseNames) -> CaseOf:
    """Return what finds the case of each of the rows."""
    names = {spaced(name): name for name in named.cases}
    for name in named.cases:
        names.setdefault(plain(name), name)
    if only := one_name(rows, named.cases):
        names.setdefault(plain(only), "")
    first: dict[int, str] = {}
    for name, case in named.cases.items():
        first.setdefault(id(case), name)

    def case_of(row: Answered) -> tuple[str, Case]:
        case = _case(row, named, names, first)
        return first[id(case)], case

    return case_of


def plain(name: str) -> str:
    """Return a name as `spaced` does, and without the ending of a file of cases."""
    return re.sub(r"\.jsonl?$", "", spaced(name)).strip()


def one_name(rows: Sequence[Answered], cases: Mapping[str, Case]) -> str:
    """Return what a table calls the one case that has no name of its own; "" for several names."""
    called = {plain(row.case): row.case for row in rows if row.case}
    return next(iter(called.values())) if "" in cases and len(called) == 1 else ""


def _case(
    row: Answered, named: CaseNames, names: Mapping[str, str], first: Mapping[int, str]
) -> Case:
    for name in (spaced(row.case), plain(row.case)):
        if meant := named.unclear.get(name):
            message = f"{shown(row.case)} can mean {meant}: write one of these names"
            raise InputError([Problem("case", message)])
        if name and name in names:
            return named.cases[names[name]]
    if not spaced(row.case) and len(first) == 1:
        return next(iter(named.cases.values()))
    known = _known(list(first.values()))
    if not spaced(row.case) and row.heading:
        raise InputError([unclear_heading(row, "no problem")])
    if not spaced(row.case):
        raise InputError([Problem("case", f"no case is given; {known}")])
    hint = did_you_mean(row.case, filter(None, names.values()))
    known = f" {known[0].upper()}{known[1:]}" if hint else f"; {known}"
    raise InputError([Problem("case", f"there is no case {shown(row.case)}{hint}{known}")])


def unclear_heading(row: Answered, names: str) -> Problem:
    """Return the problem that the heading of an answer's column `names` too little."""
    heading = shown(row.heading)
    message = f"the heading {heading} names {names}; call columns like 1 (a), 1 (b), 2 (a)"
    return Problem("question", message)


#: So many cases are listed where one is not found.
_MOST_CASES = 12


def _known(names: Sequence[str]) -> str:
    """Say what the cases are called, each by its first name."""
    if not names:
        return "the files given hold no case"
    if names == [""]:
        return "there is one case here: leave the column case out, or empty"
    if len(names) == 1:
        return f"the only case is {names[0]}"
    several = list(names[:_MOST_CASES])
    if len(names) > _MOST_CASES:
        several.append(f"{len(names) - _MOST_CASES:,} more")
    return f"the cases are {', '.join(several[:-1])} and {several[-1]}"
