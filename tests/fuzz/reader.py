"""Broken case files into the reader: a case, or problems that can be shown and name a place."""

from __future__ import annotations

import json
import re
from collections import Counter

from risk.case.read import read_case
from risk.case.write import write_case
from risk.problems import InputError
from tests.fuzz.damage import broken_case

_PART = re.compile(r"([^.\[\]]+)|\[(\d+)\]")


def attempt(random):
    """Read one broken file; return it and the kinds of outcome; AssertionError: it is wrong."""
    content, how = broken_case(random)
    try:
        case = read_case(content)
    except InputError as error:
        problems = error.problems
    else:
        assert read_case(write_case(case)) == case, "writing the case back changed it"
        return content, Counter({"sound": 1})
    assert problems, "refused without a problem"
    assert len(set(problems)) == len(problems), "a problem is said twice"
    data = plain(content)
    kinds = Counter({"refused": 1})
    for problem in problems:
        line = str(problem)
        assert problem.message.strip(), "a problem without words"
        assert line.isprintable(), f"a line that cannot be shown: {line!r}"
        line.encode("utf-8")
        assert len(line) < 700, f"a line of {len(line)} characters"
        if data is not None:
            kinds["with a path" if problem.path else "about the whole file"] += 1
            assert leads_somewhere(problem.path, data), f"no such place: {line}"
    for each in set(how):
        kinds[f"damaged: {each}"] += 1
    return content, kinds


def plain(content):
    """Return the data of a file that is JSON, or None."""
    try:
        return json.loads(content.decode("utf-8-sig"), parse_int=str, parse_float=str)
    except (ValueError, RecursionError):
        return None


def leads_somewhere(path, data):
    """Whether the path leads to a value, or to a key that its object has not (yet).

    Keys of odd characters cannot be told from the path; then only its beginning is followed.
    """
    here, text = data, path
    while text:
        text = text.removeprefix(".")
        match = _PART.match(text)
        if match is None:
            return True  # an odd key
        name, index = match.groups()
        if index is not None:
            if not isinstance(here, list):
                return not isinstance(here, dict)  # of an object: an odd key
            if int(index) >= len(here):
                return False
            here = here[int(index)]
        elif isinstance(here, dict):
            if name not in here:
                longer = any(key.startswith(name) or not key.isalnum() for key in here)
                return longer or match.end() == len(text)
            here = here[name]
        else:
            return match.end() == len(text) and not isinstance(here, list)
        text = text[match.end() :]
    return True
