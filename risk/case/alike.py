"""Ids that are hard to tell from others, or to see as they are: allowed, but hardly meant."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from risk.case.model import Case
from risk.problems import Problem, shown

#: What has no shape of its own, beside the format characters (Cf) and variation selectors.
_BLANK = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0")
#: Joiners, which some scripts and signs of several parts need.
_JOINERS = frozenset("\u200c\u200d")


def hard_to_tell(case: Case) -> Iterator[tuple[int, Problem]]:
    """Yield remarks on people's ids, each with the place of the person in the file."""
    first: dict[str, str] = {}
    for index, person in enumerate(case.people):
        path, id = f"people[{index}].id", person.id
        other = first.setdefault(_seen(id), id)
        if other != id:
            yield (
                index,
                Problem(
                    path,
                    f"{shown(other)} and {shown(id)} are two people whose ids differ only in "
                    f"{_difference(other, id)}; another id would tell them apart",
                ),
            )
        elif not _seen(id):
            yield index, Problem(path, f"{shown(id)} shows nothing; give an id that can be seen")
        elif id != id.strip():
            yield index, Problem(path, f"{shown(id)} begins or ends with a space, which counts")
        elif hidden := next((c for c in id if _unseen(c) and not _joins(c)), ""):
            yield (
                index,
                Problem(
                    path,
                    f"{shown(id)} holds a character that cannot be seen, U+{ord(hidden):04X}, "
                    "which counts",
                ),
            )


def _unseen(sign: str) -> bool:
    return unicodedata.category(sign) == "Cf" or sign in _BLANK or _selects(sign)


def _selects(sign: str) -> bool:
    """Tell whether it is a variation selector."""
    return "\ufe00" <= sign <= "\ufe0f" or "\U000e0100" <= sign <= "\U000e01ef"


def _joins(sign: str) -> bool:
    return sign in _JOINERS or _selects(sign)


def _seen(id: str) -> str:
    """Return an id without what a reader hardly sees: spaces, case, how letters are composed."""
    return _spaced(_visible(_composed(id))).casefold()


def _composed(id: str) -> str:
    return id if id.isascii() else unicodedata.normalize("NFC", id)


def _visible(id: str) -> str:
    return id if id.isascii() else "".join(sign for sign in id if not _unseen(sign))


def _spaced(id: str) -> str:
    return " ".join(id.split())


def _difference(one: str, other: str) -> str:
    """Name what alone tells two ids apart."""
    for same, what in (
        (str.casefold, "capitals"),
        (_spaced, "spaces"),
        (_visible, "characters that cannot be seen"),
        (_composed, "how a letter is composed"),
    ):
        if same(one) == same(other):
            return what
    return "what can hardly be seen: capitals, spaces and the like"
