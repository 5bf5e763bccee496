"""What is wrong with the shape of a case file, in words; only loaded when something is.

The validator stops at nothing but speaks its own language.  Here each of its errors becomes a
`Problem`, and the parts of the file that are sound are still checked against each other
(`risk.case.sound_parts`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from itertools import islice
from typing import Any

from pydantic_core import ValidationError

from risk.case.other_names import key_meant
from risk.case.schema import CASE, validator
from risk.case.sound_parts import Fault, Loc, problems_of_sound_parts
from risk.case.values import found
from risk.number import JsonNumber, NotANumber
from risk.problems import Problem, did_you_mean, path_of, shown

#: Most problems reported of one file; the rest is counted.
MOST_PROBLEMS = 1000
#: Where there are more, only so many items of each list are looked at.
_CUT = 100


def all_problems(data: object, error: ValidationError) -> list[Problem]:
    """Return the wrong shapes in `data` and what else is wrong with its sound parts."""
    count = error.error_count()
    if count > MOST_PROBLEMS:
        data = _beginning(data)
        try:
            validator().validate_python(data)
        except ValidationError as first:
            error = first
    problems, faults = [], []
    for detail in error.errors(include_url=False):
        if not _follows_from_items(detail):
            loc, shape = _place(detail)
            problems.append(Problem(path_of(loc), _message(detail, loc, shape)))
            faults.append(_fault(detail, loc, shape))
    if count > MOST_PROBLEMS:
        return [*problems, Problem("", f"{count:,} such problems in all; this is no case file")]
    return problems + problems_of_sound_parts(data, faults)


def _fault(detail: Any, loc: Loc, shape: dict[str, Any]) -> Fault:
    """Return what an error says of its place: a number out of bounds, another key, or anything."""
    if detail["type"] == "value_error" and shape["type"] == "function-plain":
        for number in map(JsonNumber, "012"):
            try:
                shape["function"]["function"](number)
            except ValueError:
                continue
            return Fault(loc, number=number)
    if detail["type"] == "unexpected_keyword_argument":
        return Fault(loc, meant=key_meant(str(loc[-1]), detail["input"], _keys(shape))[0])
    return Fault(loc)


def _follows_from_items(detail: Any) -> bool:
    """Whether a list is called too short only because the items in it are wrong."""
    return bool(
        detail["type"] == "too_short" and len(detail["input"]) >= detail["ctx"]["min_length"]
    )


def _beginning(data: object, depth: int = 8) -> object:
    """Return `data` with its lists and objects cut to their first items, to name a few faults."""
    if isinstance(data, dict) and depth:
        return {key: _beginning(data[key], depth - 1) for key in islice(data, _CUT)}
    if isinstance(data, list) and depth:
        return [_beginning(item, depth - 1) for item in data[:_CUT]]
    return data


# Words for what the validator found -----------------------------------------------------------


def _place(detail: Any) -> tuple[Loc, dict[str, Any]]:
    """Return the place in the file of an error, and the shape declared for it.

    The validator's own place also names the branch of a union it took, and ends in a mark
    where the key of a table is meant, not its value; both are left out.
    """
    raw, kind = detail["loc"], detail["type"]
    shape: dict[str, Any] = CASE  # type: ignore[assignment]
    loc: list[str | int] = []
    for part in raw:
        shape = _inner(shape)
        if shape["type"] == "tagged-union":
            shape = shape["choices"][part]
        elif shape["type"] == "dict":
            loc.append(part)
            if raw[-1] == "[key]" and kind.startswith("string"):
                return tuple(loc), shape["keys_schema"]
            shape = shape["values_schema"]
        elif shape["type"] == "tuple":
            loc.append(part)
            shape = shape["items_schema"][0]
        elif shape["type"] == "dataclass":
            loc.append(part)
            shape = _keys(shape).get(str(part), shape)
        else:
            loc.append(part)
    shape = _inner(shape)
    if kind == "string_unicode" and shape["type"] == "dataclass":
        loc.append(detail["input"])  # a key that no text can hold is called a fault of the object
    return tuple(loc), shape


def _inner(shape: dict[str, Any]) -> dict[str, Any]:
    while shape["type"] in ("default", "nullable", "function-after"):
        shape = shape["schema"]
    return shape


def _keys(shape: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {key["validation_alias"]: key["schema"] for key in shape["schema"]["fields"]}


def _message(detail: Any, loc: Loc, shape: dict[str, Any]) -> str:
    """Say what is wrong at `loc`, what is expected there, and how to mend it."""
    kind, value = detail["type"], detail["input"]
    if kind == "value_error":
        why = detail["ctx"]["error"]
        return why.in_file() if isinstance(why, NotANumber) else str(why)
    if kind.startswith("missing"):
        return "this key is needed"
    if kind == "unexpected_keyword_argument":
        known = _keys(shape)
        _, hint = key_meant(str(loc[-1]), value, known)
        return f"unknown key{hint or '; known here: ' + ', '.join(known)}"
    if kind == "too_short" and not value:
        return f"nothing is in here, but at least {detail['ctx']['min_length']} expected"
    if kind == "too_short":
        least = detail["ctx"]["min_length"]
        return f"{_size(value)}, but at least {least} expected{_one_person(loc)}"
    if kind == "too_long":
        return f"{_size(value)}, but at most {detail['ctx']['max_length']:,} expected"
    if kind == "string_too_short":
        return "this text is empty"
    if kind == "string_too_long":
        return f"{shown(value)} is longer than {detail['ctx']['max_length']} characters"
    if kind in ("string_pattern_mismatch", "string_unicode"):
        return _bad_character(value, shape.get("pattern", ""))
    if kind == "literal_error":
        words = [shown(word) for word in shape["expected"]]
        if not isinstance(value, str):
            return f"{found(value)} where one of {', '.join(words)} is expected"
        if (other := _SAID_BY.get((str(loc[-1]), value.strip().lower()))) is not None:
            hint = f"; the key {shown(other)} says that"
            return f"{shown(value)} is not one of {', '.join(words)}{hint}"
        meant = _SHORT_FORMS.get(re.sub(r"[\W_]", "", value).lower(), "")
        hint = did_you_mean(meant if meant in shape["expected"] else value, shape["expected"])
        return f"{shown(value)} is not one of {', '.join(words)}{hint}"
    mend = " (leave out a key that is not known)" if value is None else ""
    if isinstance(value, str) and shape["type"] == "bool" and value.lower() in ("true", "false"):
        mend = f"; write {value.lower()} without quotes"
    elif isinstance(value, str) and shape["type"] == "tuple":
        mend = _one_person(loc)
    return f"{found(value)} where {_EXPECTED.get(shape['type'], 'another value')} is expected{mend}"


#: Words that stand at one key and are said by another.
_SAID_BY = {
    ("gender", "female"): "sex",
    ("gender", "male"): "sex",
    ("status", "affected"): "affected",
    ("status", "unaffected"): "affected",
}

#: What people write instead of a word of the format, in small letters without signs.
_SHORT_FORMS = {
    "m": "male",
    "man": "male",
    "boy": "male",
    "f": "female",
    "woman": "female",
    "girl": "female",
    "u": "unknown",
    "dead": "deceased",
    "died": "deceased",
    "living": "alive",
    "identical": "monozygotic",
    "mz": "monozygotic",
    "fraternal": "dizygotic",
    "dz": "dizygotic",
    "ar": "autosomal_recessive",
    "ad": "autosomal_dominant",
    "xr": "x_linked_recessive",
    "xlr": "x_linked_recessive",
    "xd": "x_linked_dominant",
    "xld": "x_linked_dominant",
}

_EXPECTED = {
    "str": "a text in double quotes",
    "bool": "true or false",
    "tuple": "a list in square brackets",
    "dataclass": "an object in braces",
    "dict": "an object in braces",
    "tagged-union": "an object in braces",
}


def _one_person(loc: Loc) -> str:
    """Name the key for one person, where a question gives one at the key for two."""
    asked = loc[:1] == ("questions",) and loc[-1] in ("people", "parents")
    return '; a question about one person names it by the key "person"' if asked else ""


def _size(value: Any) -> str:
    return f"{len(value):,} {'item' if len(value) == 1 else 'items'} here"


def _bad_character(text: str, pattern: str) -> str:
    """Name the first character of `text` that breaks off the `pattern` of an allowed text."""
    half = re.search("[\ud800-\udfff]", text)
    allowed = re.match(pattern.removesuffix("$"), text)
    place = half.start() if half else allowed.end() if allowed else 0
    code = ord(text[place])
    what = "half a character" if half else "a control character"
    if text[place] in "\n\r\t":
        what = "a line break or tab"
    elif code >= 0xFFFE:
        what = "a character that no file can carry"
    return f"{shown(text)} holds {what} (\\u{code:04x}) at {place + 1}; remove it"


# Order ----------------------------------------------------------------------------------------


def in_file_order(problems: Iterable[Problem], data: object) -> list[Problem]:
    """Sort problems by where their place stands in the file, each once, the first 1,000.

    Each says whose it is, as a place like ``people[2]`` names nobody.
    """
    positions: dict[int, dict[str, int]] = {}

    def rank(problem: Problem) -> list[int]:
        result, value = [], data
        for part in re.findall(r"[^.\[\]]+", problem.path):
            if isinstance(value, dict):
                if id(value) not in positions:
                    positions[id(value)] = {key: place for place, key in enumerate(value)}
                result.append(positions[id(value)].get(part, len(value)))
                value = value.get(part)
            elif isinstance(value, list) and part.isdecimal() and int(part) < len(value):
                result.append(int(part))
                value = value[int(part)]
            else:
                break
        return result

    found = sorted(dict.fromkeys(problems), key=rank)
    named = [_named(problem, data) for problem in found[:MOST_PROBLEMS]]
    if len(found) > MOST_PROBLEMS:
        named.append(Problem("", f"{len(found) - MOST_PROBLEMS:,} more problems are not shown"))
    return named


def _named(problem: Problem, data: object) -> Problem:
    """Add the id of the person that a problem is about, where its message does not name it."""
    place = re.match(r"people\[(\d+)\](?!\.id)", problem.path)
    people = data.get("people") if isinstance(data, dict) else None
    if place is None or not isinstance(people, list) or int(place[1]) >= len(people):
        return problem
    person = people[int(place[1])]
    id = person.get("id") if isinstance(person, dict) else None
    # A list of all people names nobody in particular.
    said = problem.message.partition(" (there are ")[0]
    if not isinstance(id, str) or not id or shown(id) in said:
        return problem
    return Problem(problem.path, f"{problem.message} (person {shown(id)})")
