"""Whom a slip is about, in words."""

from __future__ import annotations

from risk.case.model import Case
from risk.teaching.slip_kind import Slip
from risk.teaching.slip_sets import kinds, size
from risk.wording.phrases import joined, number_word

#: More people than this are counted, not named.
_MOST_NAMED = 6


def who(slip: Slip) -> str:
    """Return the names of those whom a slip is about; of alike people how many, if not all."""
    case = slip.asked
    if not slip.chosen or len(slip.people) > _MOST_NAMED:
        return names(slip.people, case)
    assert slip.kind.sets is not None
    chosen = dict(slip.chosen)
    named = []
    for kind in kinds(case, slip.kind.sets.of(case)):
        ids = [id for id, _ in kind]
        number = sum(chosen.get(id, 0) for id in ids)
        if len(kind) == 1 and 0 < number < size(kind):
            name, many = names((ids[0],), case), size(kind)
            named.append(f"{number_word(number)} of the {number_word(many)} siblings {name}")
        elif 0 < number < size(kind):
            named.append(f"{number_word(number)} of {joined([_all_of(case, id) for id in ids])}")
        else:
            named += [_all_of(case, id) for id in ids if number]
    return joined(named)


def are(slip: Slip) -> str:
    return "are" if size(slip.chosen) > 1 else "is"


def names(ids: tuple[str, ...], case: Case) -> str:
    if len(ids) > _MOST_NAMED:
        return f"{sum(case.person(id).count or 1 for id in ids)} people"
    return joined([case.person(id).name or id for id in ids])


def _all_of(case: Case, id: str) -> str:
    person = case.person(id)
    name = person.name or id
    return f"{name} ({number_word(person.count)} siblings)" if person.count else name
