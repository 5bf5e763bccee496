"""The slips that take somebody's genotype for granted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from risk.case.kin import descendants_of
from risk.case.model import Case
from risk.genetics.penetrance import phenotype_likelihood
from risk.model.locus import age_value
from risk.teaching.slip_kin import (
    at_risk,
    bare,
    changed_people,
    having,
    married_in,
    partners_without_history,
    shows_below,
)
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import who
from risk.teaching.slip_sets import Chosen, Ids, SetSlip, one_or_all, whole
from risk.wording.phrases import joined

# --- partners, and others who marry in ----------------------------------------------------


def _partners(case: Case) -> Ids:
    """Return the partners without a family history, which an affected descendant is, too."""
    return tuple(
        id for id in partners_without_history(case, case.questions[0]) if not shows_below(case, id)
    )


def _one_or_all_of_one(case: Case, ids: Ids) -> Iterator[Chosen]:
    """Yield each alone; all partners of one person, but not a couple who are asked about."""
    yield from (whole(case, (id,)) for id in ids)
    if len(ids) > 1 and case.questions[0].person is not None:
        yield whole(case, ids)


def _partner_certain(slip: Slip) -> str:
    case = slip.asked
    carrier = case.condition.recessive and all(
        case.condition.copies(case.person(id).sex) == 2 for id in slip.people
    )
    one = len(slip.people) == 1
    be = ("be a carrier" if one else "be carriers") if carrier else "have the disease allele"
    known = _before(slip)
    return (
        f"This takes {who(slip)} to {be} for sure. "
        f"{'What is known does not make that certain' if known else 'Nothing says so'}: for "
        f"someone without a family history the chance is that of the population{known}."
    )


def _partner_ignored(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to carry nothing. Someone without a family history can still have "
        f"the allele: the chance is that of the population{_before(slip)}."
    )


def _married_in(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to carry nothing. Whoever marries in can have the allele too, and "
        f"pass it on: the chance is that of the population{_before(slip)}."
    )


def _before(slip: Slip) -> str:
    """Return what the chance of the population is still to be changed by, or ""."""
    case = slip.asked
    tests = any(case.person(id).tests for id in slip.people)
    below = {each for id in slip.people for each in descendants_of(case, id)}
    children = any(case.person(id) != bare(case.person(id)) for id in below)
    what = ["test results"] if tests else []
    what += ["what is known of descendants"] if children else []
    return f", before {joined(what)} {'are' if tests else 'is'} counted" if what else ""


# --- parents ------------------------------------------------------------------------------


def _parents_of_affected(case: Case) -> Ids:
    if not case.condition.recessive or case.condition.x_linked:
        return ()
    parents = {id for each in case.people if each.affected for id in (each.mother, each.father)}
    return tuple(
        person.id
        for person in case.people
        if person.id in parents and person.affected is None and person.genotype is None
    )


def _parents(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to have one copy for certain. Whether they are affected is not "
        "known, so that other genotypes are possible, too."
    )


def _carriers_certain(case: Case) -> Changed:
    """Yield the case in which the parents at risk, or one, have one disease allele each."""
    ids = tuple(
        id
        for id in at_risk(case)
        if case.person(id).genotype is None and not case.person(id).affected
    )
    alone = ((id,) for id in ids) if len(ids) > 1 else ()
    for some in (ids, *alone):
        yield changed_people(case, some, lambda person: replace(person, genotype=1)), some


def _carriers(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to have the disease allele for certain. What is known does not "
        "make that certain: how likely it is comes first, and the rest is multiplied by it."
    )


def _affected_parents(case: Case) -> Ids:
    """Return the affected of two parents asked about, of a condition that carriers do not have."""
    condition = case.condition
    return tuple(
        person.id
        for person in map(case.person, case.questions[0].parents or ())
        if condition.recessive
        and condition.copies(person.sex) == 2
        and person.affected
        and not phenotype_likelihood(condition, person.sex, True, age_value(person.age))[1]
    )


def _affected_for_carrier(slip: Slip) -> str:
    many = len(slip.people) > 1
    return (
        f"This takes {who(slip)} for {'carriers' if many else 'a carrier'}. Whoever is affected "
        "has two copies of the allele, and passes one on to every child."
    )


KINDS = (
    SlipKind(
        name="partner_certain",
        short="took the partner for a carrier for sure",
        words=_partner_certain,
        sets=SetSlip(having(1), _partners, _one_or_all_of_one),
        to_certainty=True,
    ),
    SlipKind(
        name="partner_ignored",
        short="took the partner to carry nothing",
        words=_partner_ignored,
        sets=SetSlip(having(0), _partners, _one_or_all_of_one),
        to_certainty=True,
        approximation=True,
    ),
    SlipKind(
        name="married_in_ignored",
        short="took somebody who married in to carry nothing",
        words=_married_in,
        sets=SetSlip(having(0), married_in),
        approximation=True,
    ),
    SlipKind(
        name="parents_certain",
        short="took the parents for carriers and no more",
        words=_parents,
        sets=SetSlip(having(1), _parents_of_affected),
        felt="in part",
        approximation=True,
    ),
    SlipKind(
        name="carriers_certain",
        short="took the parents to have the allele for certain",
        words=_carriers,
        changes=_carriers_certain,
        # These say why a parent was taken for a carrier.
        gives_way_to=(
            *("partner_certain", "positive_is_proof"),
            *("mutation_forgotten", "mosaicism_forgotten"),
        ),
    ),
    SlipKind(
        name="affected_for_carrier",
        short="took an affected parent for a carrier",
        words=_affected_for_carrier,
        sets=SetSlip(
            lambda person: replace(bare(person), genotype=1), _affected_parents, one_or_all
        ),
    ),
)
