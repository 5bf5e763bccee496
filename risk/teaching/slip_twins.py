"""The slips about twins who are identical, or may be."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import product

from risk.case.edit import asked_about
from risk.case.kin import twin_groups
from risk.case.model import Case, Person, Twin
from risk.model.facts import facts_of
from risk.model.family import twin_chance
from risk.model.solve import answers
from risk.teaching.slip_answers import Chances, chances
from risk.teaching.slip_kin import changed_people
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import names, who
from risk.wording.phrases import joined

#: So many groups of twins in doubt are looked at together.
_MOST_GROUPS = 3


def _twins_certain(case: Case) -> Changed:
    """Yield the case in which twins who may be identical are, of one group or of all."""
    doubts = list(_twins_in_doubt(case))
    every = tuple(id for ids in doubts for id in ids)
    for ids in dict.fromkeys((*doubts, every)):
        yield changed_people(case, ids, _as_identical), ids


def _identical(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to be identical for sure. They may be, but need not be: weigh "
        "both possibilities by how well they explain what is known."
    )


def _ignored_identical_twins(case: Case) -> Changed:
    """Yield the case in which the twins of one group, or all, are ordinary siblings."""
    groups = [
        tuple(person.id for person in group)
        for twin, group in twin_groups(case)
        if twin.zygosity != "dizygotic"
    ]
    every = tuple(p.id for p in case.people if any(p.id in ids for ids in groups))
    for ids in dict.fromkeys((*groups, every)):
        yield changed_people(case, ids, lambda person: replace(person, twin=None)), ids


def _ordinary_siblings(slip: Slip) -> str:
    doubt = any(set(ids) & set(slip.people) for ids in _twins_in_doubt(slip.asked))
    return (
        f"This takes {who(slip)} for ordinary siblings. "
        + ("They may be identical twins, who" if doubt else "Identical twins")
        + " have one genotype, so that what tells of one's genotype tells of the other's."
    )


def _zygosity_kept(case: Case) -> Iterator[Chances]:
    """Yield the mean of the answers for identical and other twins, by the chance before evidence.

    Only where both can be: whoever sees that one is ruled out keeps no chance for it.
    """
    doubts = _twins_in_doubt(case)
    if not 0 < len(doubts) <= _MOST_GROUPS:
        return
    parts: list[Chances] = []
    for kinds in product((True, False), repeat=len(doubts)):
        weight, changed = Fraction(1), case
        for (ids, chance), same in zip(doubts.items(), kinds, strict=True):
            weight *= chance if same else 1 - chance
            changed = changed_people(changed, ids, _as_identical if same else _as_dizygotic)
        (answer,) = answers(changed)
        parts.append(tuple(weight * value for value in chances(answer)))
    yield tuple(sum(column, Fraction(0)) for column in zip(*parts, strict=True))


def _zygosity(slip: Slip) -> str:
    case = slip.asked
    twins = joined([names(ids, case) for ids in _twins_in_doubt(case)], ", or ")
    return (
        f"This leaves the chance that {twins} are identical as it was at first. What is known of "
        "the family changes how likely that is: give both possibilities a row, and weigh them by "
        "how well they explain what is seen."
    )


def _twins_in_doubt(case: Case) -> Mapping[tuple[str, ...], Fraction]:
    """Return the twins who may be identical or not, and the chance before any evidence."""
    found: dict[tuple[str, ...], Fraction] = {}
    for twin, group in twin_groups(case):
        chance = twin_chance(group, twin)
        if len(group) > 1 and 0 < chance < 1:
            found[tuple(person.id for person in group)] = chance
    return found


def _as_identical(person: Person) -> Person:
    """Return a twin as one of identical twins."""
    assert person.twin is not None
    return replace(person, twin=Twin(person.twin.group, "monozygotic"))


def _as_dizygotic(person: Person) -> Person:
    """Return a twin as one of twins who are not identical."""
    assert person.twin is not None
    return replace(person, twin=Twin(person.twin.group, "dizygotic"))


def _about_the_others(slip: Slip) -> list[str]:
    """Return what is known of the twins who are not asked about."""
    twins = {*slip.people} or {id for ids in _twins_in_doubt(slip.asked) for id in ids}
    twins -= {*asked_about(slip.asked.questions[0])}
    return [fact.path for fact in facts_of(slip.asked) if fact.person in twins]


KINDS = (
    SlipKind(
        name="twins_certain",
        short="took twins who may be identical to be so",
        words=_identical,
        changes=_twins_certain,
        forgets=_about_the_others,
        parts_at="fact",
        likely=1,
        to_certainty=True,
    ),
    SlipKind(
        name="ignored_identical_twins",
        short="forgot that twins are identical, or may be",
        words=_ordinary_siblings,
        changes=_ignored_identical_twins,
        forgets=_about_the_others,
    ),
    SlipKind(
        name="zygosity_kept",
        short="left the chance of identical twins as it was before the evidence",
        words=_zygosity,
        reads=_zygosity_kept,
        forgets=_about_the_others,
        parts_at="fact",
    ),
)
