"""Who stands where in which row, remembered from one drawing of a family to the next.

The order is sought by trial and takes most of a drawing's time, yet it hangs on nothing but the
skeleton of the family.  An edit of anything else (phenotype, age, a result, a name) finds it done.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from types import MappingProxyType

from risk.case.model import Case, Condition, Couple, Frequency, Person, Question
from risk.scene.family import family_of
from risk.scene.generations import generations
from risk.scene.order import arrange
from risk.scene.walk import Place

#: So many skeletons are remembered: a class of thirty at work, with a few steps of undo each.
_REMEMBERED = 256

#: Of the condition nothing hangs.
_ANY = Condition("autosomal_recessive", Frequency(allele="rare"))

Rows = tuple[Mapping[str, int], tuple[tuple[Place, ...], ...]]


def rows_of(case: Case) -> tuple[dict[str, int], list[list[Place]]]:
    """Return the row of each person, and what stands in each row from left to right."""
    row, places = _rows(skeleton(case))
    return dict(row), [list(line) for line in places]


@lru_cache(_REMEMBERED)
def _rows(bare: Case) -> Rows:
    family = family_of(bare)
    row = generations(family)
    places = arrange(family, row)
    return MappingProxyType(row), tuple(tuple(line) for line in places)


def skeleton(case: Case) -> Case:
    """Return the case with only what its rows hang on: ids, sexes, parents, twins, couples."""
    people = tuple(
        Person(p.id, p.sex, father=p.father, mother=p.mother, twin=p.twin) for p in case.people
    )
    couples = tuple(Couple(couple.partners) for couple in case.couples)
    asked = tuple(Question(q.ask, parents=q.parents) for q in case.questions if q.parents)
    return Case(_ANY, people, couples=couples, questions=asked)
