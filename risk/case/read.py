"""Case files into cases: JSON text in, a `Case` or every problem found out.

Reading has three stages, and each reports all it finds: the text must be JSON, its keys and
values must have the shapes declared in `risk.case.schema`, and the people must make sense
together (`risk.case.checks`).  Where only some parts have a wrong shape, the others are still
checked against each other (`risk.case.sound_parts`), so that a user mends a file in one go.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence

from pydantic_core import ValidationError

from risk.case.checks import can_be_drawn, check_case
from risk.case.model import Case
from risk.case.schema import MOST_ITEMS, validator
from risk.number import JsonNumber
from risk.problems import InputError, Problem, path_of

#: Largest file read, in characters or bytes.
LARGEST = 64_000_000
#: Objects whose doubled keys are reported; more of them are junk.
_MOST_DOUBLED = 1000


def read_case(source: str | bytes) -> Case:
    """Read one case file, given as its text or its bytes (UTF-8).

    Numbers are read exactly from their text.  Raises `InputError` with every problem found,
    in the order of the file; a problem's path names the key (``people[3].father``), and is
    empty where the file as a whole is meant.
    """
    return case_of(*_json(source))


def read_unfinished(source: str | bytes) -> Case:
    """As `read_case`, but also a case that cannot be solved yet, if its family can be drawn."""
    return case_of(*_json(source), unfinished=True)


def case_of(data: object, doubled: Sequence[Problem] = (), *, unfinished: bool = False) -> Case:
    """Return the case that JSON data say, numbers being `JsonNumber` or text; as `read_case`.

    `doubled` are problems found before.
    """
    doubled = list(doubled)
    try:
        case: Case = validator().validate_python(data)
    except ValidationError as error:
        from risk.case.faults import all_problems, in_file_order

        problems = doubled + all_problems(data, error)
        raise InputError(in_file_order(problems, data)) from None
    problems = doubled + check_case(case)
    if problems and not (unfinished and not doubled and can_be_drawn(case)):
        from risk.case.faults import in_file_order

        raise InputError(in_file_order(problems, data))
    return case


class _Doubled(dict[str, object]):
    """A JSON object in which some key was given twice."""

    def __init__(self, pairs: list[tuple[str, object]]) -> None:
        super().__init__(pairs)
        times = Counter(key for key, _ in pairs)
        self.keys_doubled = [key for key in self if times[key] > 1]


def _json(source: str | bytes) -> tuple[object, list[Problem]]:
    """Return the JSON value of `source`, numbers as text, and its doubled keys."""
    if len(source) > LARGEST:
        raise _no_case(f"the file is larger than {LARGEST // 1_000_000} MB, which no family is")
    text = _decoded(source) if isinstance(source, bytes) else source
    text = text.removeprefix("\ufeff")
    if not text.strip():
        raise _no_case("the file is empty; a case file is a JSON object")
    try:
        data, keys = _decode(text)
        if text.count(":") == keys:
            # Each key written has a colon after it: so many were written, and none was lost.
            doubled = False
        else:
            data, doubled = _decode_watching_keys(text)
    except json.JSONDecodeError as error:
        from risk.case.unreadable import not_json

        raise _no_case(not_json(error)) from None
    except RecursionError:
        raise _no_case("not a case file: its lists or objects are nested too deeply") from None
    if isinstance(data, dict):
        for key in ("people", "couples", "questions"):
            if isinstance(data.get(key), list) and len(data[key]) > MOST_ITEMS:
                message = f"{len(data[key]):,} items here, but at most {MOST_ITEMS:,} expected"
                raise InputError([Problem(key, message)])
    return data, _doubled_keys(data) if doubled else []


def _decode(text: str) -> tuple[object, int]:
    """Return the JSON value, and how many keys all its objects together have."""
    keys = 0

    def count(found: dict[str, object]) -> dict[str, object]:
        nonlocal keys
        keys += len(found)
        return found

    decoder = json.JSONDecoder(
        object_hook=count,
        parse_float=JsonNumber,
        parse_int=JsonNumber,
        parse_constant=JsonNumber,
    )
    return decoder.decode(text), keys


def _decode_watching_keys(text: str) -> tuple[object, bool]:
    """Return the JSON value, with objects as `_Doubled` that have a key twice, and if any have.

    To be shown every key and value takes half as long again as counting keys.
    """
    doubled = 0

    def collect(pairs: list[tuple[str, object]]) -> dict[str, object]:
        nonlocal doubled
        result = dict(pairs)
        if len(result) == len(pairs) or doubled == _MOST_DOUBLED:
            return result
        doubled += 1
        return _Doubled(pairs)

    decoder = json.JSONDecoder(
        object_pairs_hook=collect,
        parse_float=JsonNumber,
        parse_int=JsonNumber,
        parse_constant=JsonNumber,
    )
    return decoder.decode(text), doubled > 0


def _no_case(message: str) -> InputError:
    return InputError([Problem("", message)])


def _decoded(source: bytes) -> str:
    try:
        return source.decode("utf-8")
    except UnicodeDecodeError as error:
        from risk.case.unreadable import not_text

        raise _no_case(not_text(source, error)) from None


def _doubled_keys(data: object) -> list[Problem]:
    """Return a problem for each key given twice, wherever it stands."""
    problems = []
    stack: list[tuple[tuple[str | int, ...], object]] = [((), data)]
    while stack:
        loc, value = stack.pop()
        if isinstance(value, _Doubled):
            for key in value.keys_doubled:
                message = "this key is given twice; keep one of them"
                problems.append(Problem(path_of((*loc, key)), message))
        if isinstance(value, dict):
            stack += [((*loc, key), item) for key, item in value.items()]
        elif isinstance(value, list):
            stack += [((*loc, index), item) for index, item in enumerate(value)]
    return problems
