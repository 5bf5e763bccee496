"""A memory for what follows from a case, bounded by the people in it.

Cases are frozen and hashable, so what is remembered is found by the whole content of a case: a
session that has another case never meets it.  A count of entries would be no bound where one case
may be a hundred times as large as another.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from functools import wraps
from threading import Lock
from typing import Concatenate, ParamSpec, TypeVar

from risk.case.model import Case

#: What is remembered of one function is about so many people, all families together.
MOST_PEOPLE = 4000

P = ParamSpec("P")
T = TypeVar("T")


def remembered(
    function: Callable[Concatenate[Case, P], T],
) -> Callable[Concatenate[Case, P], T]:
    """Remember what `function` returned for each case and its other (hashable) arguments.

    The families used longest ago are forgotten first; the one asked about last is kept whatever
    its size.  Sessions in several threads may call it; two that ask for the same at once
    both work it out.  What raises is not remembered.
    """
    found: OrderedDict[object, tuple[int, T]] = OrderedDict()
    lock = Lock()
    held = 0

    @wraps(function)
    def ask(case: Case, /, *args: P.args, **kwargs: P.kwargs) -> T:
        nonlocal held
        key = (case, args, tuple(sorted(kwargs.items())))
        with lock:
            if key in found:
                found.move_to_end(key)
                return found[key][1]
        value = function(case, *args, **kwargs)
        with lock:
            held -= found.pop(key, (0, value))[0]
            found[key] = (len(case.people) + 1, value)
            held += len(case.people) + 1
            while held > MOST_PEOPLE and len(found) > 1:
                held -= found.popitem(last=False)[1][0]
        return value

    return ask
