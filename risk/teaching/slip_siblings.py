"""The slips about the 2/3 of a healthy child of two carriers: 1/2 for it, or it where it is not."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.kin import ancestors
from risk.case.model import (
    ByAlleles,
    Case,
    Condition,
    Frequency,
    Person,
    ResultLikelihood,
    Test,
    TestResult,
)
from risk.genetics.penetrance import viability_matters
from risk.model.solve import answers
from risk.number import Quantity, quantity
from risk.teaching.slip_answers import Chances, chances
from risk.teaching.slip_kin import affected_sibling, healthy, healthy_siblings_above
from risk.teaching.slip_kind import Slip, SlipKind
from risk.teaching.slip_left_out import beside_half_of_two_thirds, is_no_such, without_normal_copy
from risk.teaching.slip_names import names, who
from risk.teaching.slip_sets import Ids, SetSlip

# --- 1/2 for 2/3 --------------------------------------------------------------------------


#: A result that gives equal odds of no copy and one among the children of two carriers, of whom
#: 1/4, 1/2 and 1/4 have none, one and two.
_EVEN = Test(
    "healthy\n",  # no test of a file has a line break in its name
    likelihood=(ResultLikelihood("yes", ByAlleles(quantity("1"), quantity("1/2"), quantity("0"))),),
)


def _healthy_siblings(case: Case) -> Ids:
    """Return the healthy siblings of the affected among those asked about and their ancestors."""
    condition = case.condition
    if any(each is not None for each in (condition.penetrance, condition.onset)):
        return ()
    if condition.x_linked or viability_matters(condition):
        return ()
    asked = asked_about(case.questions[0])
    line = healthy(case, {*asked, *ancestors(case, asked)})
    return tuple(id for id in line if affected_sibling(case, case.person(id)))


def _with_even_odds(case: Case) -> Case:
    tests = (*(case.condition.tests or ()), _EVEN)
    return replace(case, condition=replace(case.condition, tests=tests))


def _even(person: Person) -> Person:
    """Return somebody who carries as likely as not, whatever an uncertain twin would say of it."""
    results = (*person.tests, TestResult(_EVEN.name, result="yes"))
    unsure = person.twin is not None and person.twin.zygosity == "unknown"
    return replace(person, affected=None, tests=results, twin=None if unsure else person.twin)


def _half_for_two_thirds(slip: Slip) -> str:
    rates = slip.asked.condition.mutation
    new = rates is not None and any(
        isinstance(rate, Quantity) and rate.value for rate in (rates.maternal, rates.paternal)
    )
    several = len(slip.people) > 1
    child = "healthy children" if several else "the healthy child"
    return (
        f"This takes {who(slip)}, as {child} of two carriers, to carry with chance 1/2"
        f"{' each' if several else ''}. Such a child is{', but for new mutation,' if new else ''} "
        "one of three equally likely kinds, two of which carry: the fourth would be affected."
    )


def _plainly_forgotten(slip: Slip) -> tuple[str, ...]:
    """Return that somebody is well, where that is forgotten of the one person asked about."""
    alone = slip.people == (slip.asked.questions[0].person,)
    return ("ignored_unaffected",) if alone else ()


# --- 2/3 without an affected sibling ------------------------------------------------------


def _two_thirds(case: Case) -> Iterator[Chances]:
    """Yield the chance of healthy children of two carriers, where those asked about are well.

    Only where somebody of them has no affected brother or sister; who has one needs no other.
    """
    question = case.questions[0]
    if question.ask not in ("carrier", "disease_allele", "both_carriers"):
        return
    asked = [case.person(id) for id in asked_about(question)]
    condition = case.condition
    if not condition.recessive or condition.x_linked:
        return
    if any(person.affected is not False or person.founder for person in asked):
        return
    if all(affected_sibling(case, person) for person in asked):
        return
    people = tuple(
        each
        for person in asked
        for each in (
            Person(f"{person.id} mother", sex="female", genotype=1),
            Person(f"{person.id} father", sex="male", genotype=1),
            Person(
                person.id,
                sex=person.sex,
                mother=f"{person.id} mother",
                father=f"{person.id} father",
                affected=False,
            ),
        )
    )
    plain = Condition(condition.inheritance, Frequency(allele="rare"))
    yield chances(answers(Case(plain, people, questions=(question,)))[0])


def _no_sibling_affected(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    alone = tuple([id for id in asked if not affected_sibling(case, case.person(id))])
    if all_copies := without_normal_copy(alone, case):
        return f"This is the 2/3 of a healthy child of two carriers. {is_no_such(all_copies, case)}"
    return (
        "This is the 2/3 of a healthy child of two carriers, which is for whoever has an affected "
        f"brother or sister. Here no brother or sister of {names(alone, case)} is known to be: "
        "ask first how likely the parents are to be carriers."
    )


# --- half of 2/3 --------------------------------------------------------------------------


def _half_of_two_thirds(case: Case) -> Iterator[Chances]:
    """Yield the chance of a child of a healthy sibling, of whom nothing else is known."""
    question, condition = case.questions[0], case.condition
    if question.ask not in ("carrier", "disease_allele") or question.person is None:
        return
    if not condition.recessive or condition.x_linked or not healthy_siblings_above(case):
        return
    people = (
        Person("1", sex="female", genotype=1),
        Person("2", sex="male", genotype=1),
        Person("3", sex="female", mother="1", father="2", affected=False),
        Person("4", sex="male", genotype=0),
        Person("5", sex=case.person(question.person).sex, mother="3", father="4"),
    )
    plain = Condition(condition.inheritance, Frequency(allele="rare"))
    asked = replace(question, person="5")
    yield chances(answers(Case(plain, people, questions=(asked,)))[0])


def _beside_half_of_two_thirds(slip: Slip) -> str:
    case = slip.asked
    (asked,) = asked_about(case.questions[0])
    return beside_half_of_two_thirds(case, asked, healthy_siblings_above(case)[0])


KINDS = (
    SlipKind(
        name="half_for_two_thirds",
        short="took 1/2 for the 2/3 of a healthy sibling",
        words=_half_for_two_thirds,
        sets=SetSlip(_even, _healthy_siblings, ready=_with_even_odds),
        forgets=("affected",),
        gives_way_to=_plainly_forgotten,
        likely=1,
        felt="in part",
    ),
    SlipKind(
        name="two_thirds",
        short="gave the 2/3 of a healthy sibling where no sibling is affected",
        words=_no_sibling_affected,
        reads=_two_thirds,
        parts_at="beyond",
    ),
    SlipKind(
        name="half_of_two_thirds",
        short="gave half of the 2/3 of a healthy sibling, and no more",
        words=_beside_half_of_two_thirds,
        reads=_half_of_two_thirds,
        parts_at="beyond",
        last=True,
    ),
)
