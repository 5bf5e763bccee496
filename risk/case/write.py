"""Cases into case files: the way back, losing nothing.

Keys come in the documented order, numbers keep the text they were written with, and a key
whose value is the default is left out, except `sex`.  Reading what is written here gives the
same `Case`.
"""

from __future__ import annotations

import json
import re
from typing import Any

from risk.case.model import Case, ResultLikelihood
from risk.case.schema import KEYS
from risk.number import Quantity

#: Objects and lists that fit this width stay on one line.
_WIDTH = 100
#: Keys whose numbers are never in quotes.
_BARE = ("age", "by_age")
_JSON_NUMBER = re.compile(r"-?(0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?")


def write_case(case: Case) -> str:
    """Return the text of a case file: indented JSON that ends in a line break."""
    return _block(_plain(case), 0, wide=True) + "\n"


def write_case_line(case: Case) -> str:
    """Return a case as one line of JSON, without a line break, for a ``.jsonl`` file."""
    return _line(_plain(case))


def _plain(value: Any) -> Any:
    """Return a record as dicts and lists, its defaults left out; numbers stay `Quantity`."""
    if isinstance(value, tuple):
        if value and isinstance(value[0], ResultLikelihood):
            return {row.result: _plain(row.likelihood) for row in value}
        return [_plain(item) for item in value]
    keys = KEYS.get(type(value))
    if keys is None:
        return value
    result = {}
    for key, field, default in keys:
        item = getattr(value, field)
        if item is not None and (item != default or key == "sex"):
            if key in _BARE and isinstance(item, Quantity):
                item = Quantity(item.text, item.value, quoted=False)
            result[key] = _plain(item)
    return result


def _line(value: Any) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{_line(key)}: {_line(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(_line, value)) + "]"
    if isinstance(value, Quantity):
        if not value.quoted and _JSON_NUMBER.fullmatch(value.text):
            return value.text
        value = value.text
    # Some readers end a line at these two; as escapes they mean the same.
    text = json.dumps(value, ensure_ascii=False)
    return text.replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _block(value: Any, indent: int, *, wide: bool = False) -> str:
    """Return JSON over several lines, with what fits on one line on one line."""
    line = _line(value)
    if not isinstance(value, (dict, list)) or not value:
        return line
    if indent + len(line) <= _WIDTH and not wide:
        return line
    inner = indent + 2
    if isinstance(value, dict):
        items = [
            f"{_line(key)}: {_block(item, inner, wide=key == 'people')}"
            for key, item in value.items()
        ]
    else:
        items = [_block(item, inner) for item in value]
    left, right = "{}" if isinstance(value, dict) else "[]"
    space = " " * inner
    return f"{left}\n{space}" + f",\n{space}".join(items) + f"\n{' ' * indent}{right}"
