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
from risk.scene.order import Order, arrange, best_order
from risk.scene.walk import Place

#: So many skeletons are remembered: a class of thirty at work, with a few steps of undo each.
_REMEMBERED = 256

#: Of the condition nothing hangs.
_ANY = Condition("autosomal_recessive", Frequency(allele="rare"))

#: Nobody has stood anywhere.
NOWHERE: Mapping[str, float] = MappingProxyType({})


def rows_of(
    case: Case, previous: Mapping[str, float] = NOWHERE
) -> tuple[dict[str, int], list[list[Place]]]:
    """Return the row of each person, and what stands in each row from left to right.

    `previous` gives the x of people in an earlier drawing of the family.
    """
    row, order = _best(skeleton(case))
    return dict(row), arrange(order, previous)


@lru_cache(_REMEMBERED)
def _best(bare: Case) -> tuple[Mapping[str, int], Order]:
    family = family_of(bare)
    row = generations(family)
    return MappingProxyType(row), best_order(family, row)


def skeleton(case: Case) -> Case:
    """Return the case with only what its rows hang on: ids, sexes, parents, twins, couples."""
    people = tuple(
        Person(p.id, p.sex, father=p.father, mother=p.mother, twin=p.twin) for p in case.people
    )
    couples = tuple(Couple(couple.partners) for couple in case.couples)
    asked = tuple(Question(q.ask, parents=q.parents) for q in case.questions if q.parents)
    return Case(_ANY, people, couples=couples, questions=asked)
