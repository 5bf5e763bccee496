"""What else counts in a family, where a student took one step of it for all."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from fractions import Fraction

from risk.case.model import Case, Question
from risk.genetics.penetrance import phenotype_likelihood
from risk.model.facts import facts_of
from risk.model.locus import age_value
from risk.teaching.slip_answers import Chances, with_question
from risk.teaching.slip_kin import changed_people
from risk.teaching.slip_working import working_of
from risk.wording.phrases import capital, joined

#: More people than this are not named.
_MOST_NAMED = 6
#: What floats lack to certainty.
_NEAR = Fraction(1, 10**12)


def beside_the_half(case: Case, child: str) -> str:
    """Say what counts beside the half of a parent who has one copy, in the chance of a child."""
    certain = [id for id in _parents(case, child) if _is_certain(_copies(case, id)[1])]
    if certain:
        parts, apart = _other_parent(case, child, certain[0]), None
    else:
        parts, apart = [f"whether a parent of {_name(case, child)} has one"], {child}
    return _count_too([*parts, *_known(case, child, apart)])


def beside_half_of_two_thirds(case: Case, child: str, parent: str) -> str:
    """Say what counts beside half of 2/3, in the chance of a child of an affected one's sibling.

    `parent` is that sibling, of whom it is also said whether this is a child of two carriers.
    """
    person, name = case.person(parent), _name(case, parent)
    above = _parents(case, parent)
    (both,) = with_question(case, Question("both_carriers", people=(above[0], above[1])))
    seen = phenotype_likelihood(case.condition, person.sex, False, age_value(person.age))
    parts = []
    if not _is_certain(both):
        parts.append(f"what the parents of {name} may be besides")
    if seen != (Fraction(1), Fraction(1), Fraction(0)):
        parts.append(f"how much being well says of {name}")
    taken = " taken for" if parts else ""
    if any(path != f"{parent}.affected" for path in _counting(case, {parent})):
        parts.append(f"what else is known of {name}")
    ill = {each.id for each in case.people if each.affected and _parents(case, each.id) == above}
    others = _other_parent(case, child, parent)
    apart = {child, *above, *ill, *_parents(case, child)}
    left = _count_too([*parts, *others, *_known(case, child, apart)])
    return (
        f"This is half of the 2/3 of a healthy child of two carriers, which {name} is{taken}. "
        f"{left}"
    )


def beside_the_affected(case: Case) -> str:
    """Say what else counts where a student counted who is affected, and nothing else."""
    (asked,) = case.questions
    ill = [person for person in case.people if person.affected]
    isolated = (
        case.condition.x_linked
        and case.condition.frequency.mutation_selection_balance is not None
        and [person.mother for person in ill] == [asked.person]
    )
    who = "of the mother of an isolated case" if isolated else "given who is affected"
    known = [_name(case, person.id) for person in case.people if _counts_besides(case, person.id)]
    of = f" of {joined(known)}" if 0 < len(known) <= _MOST_NAMED else ""
    return f"This is the chance {who}, and no more. What else is known{of} counts, too."


def _counts_besides(case: Case, id: str) -> bool:
    """Tell whether somebody is known to be well, or has a test result, and that counts."""
    kinds = ("tests",) if case.person(id).affected else ("affected", "tests")
    idle = working_of(case).no_difference
    return any(
        fact.person == id and fact.evidence.kind in kinds and fact.path not in idle
        for fact in facts_of(case)
    )


def tests_alone(changed: Case, case: Case, ids: Collection[str]) -> tuple[str, ...]:
    """Return those of whom `changed` lacks test results that count, and nothing else that does.

    In `case` they are known to be well, which makes no difference to the answer.
    """
    (question,) = changed.questions
    result = with_question(changed, question)
    found = []
    for id in ids:
        if not case.person(id).tests:
            continue
        well = changed_people(changed, (id,), lambda person: replace(person, affected=False))
        if with_question(well, question) == result:
            changed = well
            found.append(id)
    return tuple(found)


def _other_parent(case: Case, child: str, parent: str) -> list[str]:
    """Return that the other parent may pass the allele on, where that can be."""
    (other,) = (id for id in _parents(case, child) if id != parent)
    if _is_certain(_copies(case, other)[0]):
        return []
    return [f"what the other parent, {_name(case, other)}, may pass on"]


def _known(case: Case, child: str, apart: Collection[str] | None) -> list[str]:
    """Return that something is known of the child, and of others but some, where it counts."""
    of = [_name(case, child)] if _counting(case, {child}) else []
    if apart is not None and _counting(case, {p.id for p in case.people if p.id not in apart}):
        of.append("others in the family")
    return [f"what is known of {joined(of)}"] if of else []


def _counting(case: Case, ids: Collection[str]) -> list[str]:
    """Return the facts about some people that the answer depends on."""
    idle = working_of(case).no_difference
    return [each.path for each in facts_of(case) if each.person in ids and each.path not in idle]


def _count_too(parts: list[str]) -> str:
    if not parts:
        return "That is not all that counts here."
    if len(parts) > 1:
        return f"{capital(joined(parts, ', and '))}, count too."
    return f"{capital(parts[0])} counts too."


def _parents(case: Case, id: str) -> tuple[str, ...]:
    person = case.person(id)
    return tuple(each for each in (person.mother, person.father) if each is not None)


def _copies(case: Case, id: str) -> Chances:
    """Return the chances that somebody has no copy of the allele, one and two."""
    return with_question(case, Question("genotype", person=id))


def _is_certain(chance: Fraction) -> bool:
    return 1 - chance < _NEAR


def _name(case: Case, id: str) -> str:
    return case.person(id).name or id
