"""What else counts in a family, where a student took one step of it for all."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from fractions import Fraction

from risk.case.model import Case, Question
from risk.genetics.penetrance import phenotype_likelihood
from risk.model.facts import facts_of
from risk.model.locus import age_value
from risk.teaching.slip_answers import Chances, with_question
from risk.teaching.slip_working import working_of
from risk.wording.phrases import capital, joined

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


def without_normal_copy(ids: tuple[str, ...], case: Case) -> dict[str, str]:
    """Return the parents who, being affected, pass the allele on surely, each with the child."""
    condition = case.condition
    found = {}
    for child in map(case.person, ids):
        for id in (child.mother, child.father):
            parent = None if id is None else case.person(id)
            if parent is None or not parent.affected:
                continue
            if condition.x_linked and child.sex == parent.sex == "male":
                continue  # who has no X from his father
            seen = phenotype_likelihood(condition, parent.sex, True, None)
            if not any(seen[: condition.copies(parent.sex)]):
                found[parent.id] = child.id
    return found


def is_no_such(all_copies: Mapping[str, str], case: Case) -> str:
    """Say that a parent is no carrier, without what follows from it."""
    parent, child = (_name(case, id) for id in next(iter(all_copies.items())))
    return (
        f"{parent} is affected, though, and has no copy without the allele: ask what {child} gets "
        "from such a parent."
    )


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
