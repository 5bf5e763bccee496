"""The slips about passing an allele on: a step of it left out, or taken for all."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.kin import ancestors, children_of
from risk.case.model import Case, Condition, Frequency, Person, Question, Twin
from risk.model.solve import answers
from risk.teaching.slip_answers import Chances, chances, with_question
from risk.teaching.slip_kin import (
    affected_sibling,
    at_risk,
    changed_people,
    partners_without_history,
)
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_left_out import beside_the_half, is_no_such, without_normal_copy
from risk.teaching.slip_names import names, who

#: So many steps of passing on are looked at, the nearest to those asked about first.
_MOST_STEPS = 20


# --- all of it left out -------------------------------------------------------------------


def _transmission_forgotten(case: Case) -> Changed:
    question = case.questions[0]
    if question.parents is None:
        return
    condition, parents = case.condition, question.parents
    if condition.recessive and not condition.x_linked:
        yield replace(case, questions=(Question("both_carriers", people=parents),)), parents
        with_two = [
            id for id in parents if case.person(id).affected or case.person(id).genotype == 2
        ]
        if len(with_two) == 1:
            (other,) = (id for id in parents if id not in with_two)
            yield replace(case, questions=(Question("carrier", person=other),)), (other,)
        return
    for id in at_risk(case):
        for ask in ("disease_allele", "carrier"):
            yield replace(case, questions=(Question(ask, person=id),)), (id,)


def _still_to_receive(slip: Slip) -> str:
    if len(slip.people) > 1:
        return (
            f"This belongs to another question: how likely it is that {who(slip)} both carry. Each "
            "child still has to receive the allele, from both of them."
        )
    return (
        f"This belongs to another question: how likely it is that {who(slip)} has the allele. Each "
        "child still has to receive it."
    )


# --- one step left out --------------------------------------------------------------------


def _as_the_parent(case: Case) -> Changed:
    """Yield the case in which somebody has a parent's own genotype, as an identical twin has.

    That is what leaving out the half of one step comes to, whatever else is known of the two.
    """
    asked = asked_about(case.questions[0])
    for id in list(dict.fromkeys((*asked, *ancestors(case, asked))))[:_MOST_STEPS]:
        person = case.person(id)
        if person.count or affected_sibling(case, person):
            continue
        for parent in (person.mother, person.father):
            if parent is None:
                continue
            above = case.person(parent)
            copies = {case.condition.copies(each.sex) for each in (person, above)}
            if copies != {2} or person.twin or above.twin:
                continue
            if any({each.mother, each.father} == {id, parent} for each in case.people):
                continue  # nobody has a child with an identical twin
            twin = Twin(f"{id} as {parent}", "monozygotic")
            people = {
                parent: replace(above, twin=twin),
                id: replace(
                    person,
                    father=above.father,
                    mother=above.mother,
                    inbreeding=above.inbreeding,
                    twin=twin,
                ),
            }
            yield changed_people(case, people, lambda p, put=people: put[p.id]), (id, parent)  # type: ignore[misc]


def _one_step_of_two(case: Case) -> Iterator[Chances]:
    yield from _one_of_two_steps(case)
    yield from _half_of_the_parent_at_risk(case)


def _one_of_two_steps(case: Case) -> Iterator[Chances]:
    """Yield the chance that both parents carry times that of a child whom one passes it to surely.

    Only where a child needs the allele from both; a parent with two copies passes it on surely.
    """
    question, condition = case.questions[0], case.condition
    if question.ask != "child_affected" or not condition.recessive or condition.x_linked:
        return
    assert question.parents is not None
    one, two = (case.person(id).sex for id in question.parents)
    couple = (Person("1", sex=one, genotype=1), Person("2", sex=two, genotype=2))
    child = Case(condition, couple, questions=(replace(question, parents=("1", "2")),))
    both = replace(case, questions=(Question("both_carriers", people=question.parents),))
    (carry,), (receives,) = answers(both), answers(child)
    if carry.probability and receives.probability and carry.probability.exact is not None:
        assert receives.probability.exact is not None
        yield (carry.probability.exact * receives.probability.exact,)


def _half_of_the_parent_at_risk(case: Case) -> Iterator[Chances]:
    """Yield the chance that a parent has a dominant allele times that of a child who has it too.

    Only where one of the two is at risk; a parent with two copies passes it on surely.
    """
    question = case.questions[0]
    spared = partners_without_history(case, question)
    if question.ask != "child_affected" or case.condition.recessive or len(spared) != 1:
        return
    assert question.parents is not None
    couple = tuple(
        Person(id, sex=case.person(id).sex, genotype=0 if id in spared else 2)
        for id in question.parents
        if case.condition.copies(case.person(id).sex) == 2 or id in spared
    )
    if len(couple) != 2:
        return
    (at_risk,) = (id for id in question.parents if id not in spared)
    (parent,) = with_question(case, Question("disease_allele", person=at_risk))
    (child,) = chances(answers(Case(case.condition, couple, questions=(question,)))[0])
    yield (parent * child,)


def _step(slip: Slip) -> str:
    case = slip.asked
    if not slip.people and not case.condition.recessive:
        return (
            "This leaves out that a parent with one copy of the allele passes it on half of the "
            "time."
        )
    if not slip.people:
        return (
            "This counts what one parent passes on. The child needs the allele from both: each "
            "passing-on has its own half."
        )
    child, parent = (names((id,), case) for id in slip.people)
    return (
        f"This takes {child} to have the genotype of {parent}. A parent with one copy "
        "of the allele passes it on half of the time."
    )


# --- one generation left out ---------------------------------------------------------------


def _grandsons_as_sons(case: Case) -> Changed:
    """Yield for each woman on the way the case in which her daughters' healthy sons are her own."""
    if not case.condition.x_linked:
        return
    asked = asked_about(case.questions[0])
    line = list(dict.fromkeys((*asked, *ancestors(case, asked))))
    for id in line[:_MOST_STEPS]:
        daughters = [each for each in children_of(case, id) if each.sex == "female"]
        sons = {
            son.id: replace(son, mother=id, father=daughter.father)
            for daughter in daughters
            for son in children_of(case, daughter.id)
            if daughter.mother == id and daughter.id not in line and _healthy_son(son)
        }
        if sons:
            yield changed_people(case, sons, lambda p, put=sons: put[p.id]), (id, *sons)  # type: ignore[misc]


def _healthy_son(person: Person) -> bool:
    return person.sex == "male" and person.affected is False and person.twin is None


def _a_generation_less(slip: Slip) -> str:
    case = slip.asked
    woman, *sons = slip.people
    many = sum(case.person(id).count or 1 for id in sons) > 1
    mothers = names(tuple(dict.fromkeys(case.person(id).mother or "" for id in sons)), case)
    own, below = ("sons", "grandsons") if many else ("a son", "a grandson")
    return (
        f"This counts {names(tuple(sons), case)} as {own} of {names((woman,), case)}. The allele "
        f"reaches {below} only through {mothers}, who need not have it: one half more."
    )


# --- one step taken for all ---------------------------------------------------------------


def _plain_half(case: Case) -> Iterator[Chances]:
    """Yield the chance of a child of one carrier, of whom nothing else is known."""
    question = case.questions[0]
    if question.ask not in ("carrier", "disease_allele") or question.person is None:
        return
    person = case.person(question.person)
    if person.founder or affected_sibling(case, person):
        return
    plain = Condition(case.condition.inheritance, Frequency(allele="rare"))
    people = (
        Person("1", sex="female", genotype=1),
        Person("2", sex="male", genotype=0),
        Person("3", sex=person.sex, mother="1", father="2"),
    )
    asked = replace(question, person="3")
    yield chances(answers(Case(plain, people, questions=(asked,)))[0])


def _beside_the_half(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    if all_copies := without_normal_copy(asked, case):
        return (
            "This is the half with which a parent passes on one copy of two. "
            f"{is_no_such(all_copies, case)}"
        )
    return (
        "This is the half with which a parent who has one copy passes it on, and no more. "
        f"{beside_the_half(case, asked[0])}"
    )


KINDS = (
    SlipKind(
        name="transmission_forgotten",
        short="forgot what is passed on to the child",
        words=_still_to_receive,
        changes=_transmission_forgotten,
        parts_at="passed on",
        to_certainty=True,
        a_factor=True,
    ),
    SlipKind(
        name="step_forgotten",
        short="left out one step of passing on (a factor of a half)",
        words=_step,
        changes=_as_the_parent,
        reads=_one_step_of_two,
        parts_at=lambda slip: "parents" if slip.people else "passed on",
        gives_way_to=lambda slip: () if slip.people else ("transmission_forgotten",),
        a_factor=True,
    ),
    SlipKind(
        name="grandsons_as_sons",
        short="counted grandsons as sons",
        words=_a_generation_less,
        changes=_grandsons_as_sons,
        forgets=("affected",),
    ),
    SlipKind(
        name="plain_half",
        short="gave the half of a carrier's child, and no more",
        words=_beside_the_half,
        reads=_plain_half,
        parts_at="beyond",
        last=True,
    ),
)
