"""Growing and changing a family: pure functions from a `Case` to a new one.

Every function leaves a case that is whole: both parents or neither, no id that nobody has, no
one their own ancestor, twins with the same parents.  What would break that raises
`risk.problems.InputError`, whose problems say what to do instead.  Values that are only wrong
in a certain condition (an unknown sex on the X) are left to `risk.case.checks`.

Functions that add people return the case and the ids of those who were asked for, so that the
caller can go on with them.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Any, Literal

from risk.case.kin import (
    children_of,
    descendants_of,
    father_and_mother,
    of_one_age,
    partners_of,
    sex_as_parent,
)
from risk.case.model import (
    Case,
    Condition,
    Couple,
    Person,
    Question,
    Sex,
    Status,
    TestResult,
    Twin,
)
from risk.case.numbering import generation_of, ids_from_first, next_id, standard_ids
from risk.case.values import typed_id
from risk.number import Quantity
from risk.problems import InputError, Problem

Grown = tuple[Case, tuple[str, ...]]

_UNBORN: tuple[Status, ...] = ("pregnancy", "stillbirth", "miscarriage", "termination")
_OPPOSITE: dict[Sex, Sex] = {"female": "male", "male": "female", "unknown": "unknown"}


def refuse(path: str, message: str) -> InputError:
    """An `InputError` of one problem."""
    return InputError([Problem(path, message)])


def place(case: Case, id: str) -> str:
    """The path of a person in the case file, like ``people[3]``."""
    return f"people[{index_of(case, id)}]"


def index_of(case: Case, id: str) -> int:
    """The position of a person in the case; `InputError` where there is none."""
    for index, person in enumerate(case.people):
        if person.id == id:
            return index
    raise refuse("people", f'there is no person "{id}"')


# --- starting and growing ------------------------------------------------------------------


def two_parents(condition: Condition, affected: bool | None = None) -> Case:
    """A new family of a father I-1 and a mother I-2 who are a couple."""
    people = (
        Person("I-1", sex="male", affected=affected),
        Person("I-2", sex="female", affected=affected),
    )
    return Case(condition, people, couples=(Couple(("I-1", "I-2")),))


def one_person(condition: Condition, sex: Sex) -> Case:
    """A new family of one person, I-1."""
    return Case(condition, (Person("I-1", sex=sex),))


def add_parents(case: Case, id: str) -> Grown:
    """Give a founder (and any twin of theirs) a father and a mother; returns (father, mother)."""
    person = case.person(id)
    here = place(case, id)
    if not person.founder:
        raise refuse(here, f"{id} has parents already: {person.father} and {person.mother}")
    group = [p for p in case.people if p.id == id or _same_twins(p, person)]
    for member in group:
        if member.inbreeding is not None:
            raise refuse(
                f"{place(case, member.id)}.inbreeding",
                f"the inbreeding coefficient stands for relatives who are not drawn; "
                f"clear it before giving {member.id} parents",
            )
    generation = generation_of(case, id) - 1
    father = next_id(_ids(case), generation)
    mother = next_id([*_ids(case), father], generation)
    members = {member.id for member in group}
    people = (
        *(replace(p, father=father, mother=mother) if p.id in members else p for p in case.people),
        Person(father, sex="male"),
        Person(mother, sex="female"),
    )
    couples = (*case.couples, Couple((father, mother)))
    return replace(case, people=people, couples=couples), (father, mother)


def add_partner(case: Case, id: str, sex: Sex | None = None) -> Grown:
    """Add a partner who marries in, by default of the other sex."""
    person = _single(case, id, "a partner")
    partner = next_id(_ids(case), generation_of(case, id))
    new = Person(partner, sex=_OPPOSITE[person.sex] if sex is None else sex)
    pair = (partner, id) if new.sex == "male" and person.sex != "male" else (id, partner)
    couples = (*case.couples, Couple(pair))
    return replace(case, people=(*case.people, new), couples=couples), (partner,)


def add_couple(case: Case, first: str, second: str) -> Case:
    """Make a couple of two people of the family."""
    _single(case, first, "a partner")
    _single(case, second, "a partner")
    if first == second:
        raise refuse("couples", f"{first} cannot be their own partner")
    if second in partners_of(case, first):
        raise refuse("couples", f"{first} and {second} are a couple already")
    return replace(case, couples=(*case.couples, Couple((first, second))))


def add_children(
    case: Case,
    parent: str,
    partner: str | None = None,
    *,
    sex: Sex = "unknown",
    number: int = 1,
    alike: bool = False,
    affected: bool | None = None,
) -> Grown:
    """Add children of a person with a partner: `number` people, or one symbol for them if `alike`.

    Without `partner` it is the only one there is; someone who has none gets one of whom nothing
    is known.  A parent of unknown sex becomes what the other parent is not.
    """
    _single(case, parent, "a child")
    if partner is None:
        partners = partners_of(case, parent)
        if len(partners) > 1:
            raise refuse(
                place(case, parent),
                f"{parent} has several partners ({', '.join(partners)}); say which",
            )
        if partners:
            partner = partners[0]
        else:
            case, (partner,) = add_partner(case, parent)
    _single(case, partner, "a child")
    case, father, mother = _as_parents(case, parent, partner)
    return _add_born_to(case, father, mother, sex, number, alike, affected)


def add_siblings(
    case: Case,
    id: str,
    *,
    sex: Sex = "unknown",
    number: int = 1,
    alike: bool = False,
    affected: bool | None = None,
) -> Grown:
    """Add full siblings; a founder first gets parents of whom nothing is known."""
    if case.person(id).founder:
        case, _ = add_parents(case, id)
    person = case.person(id)
    assert person.father is not None
    assert person.mother is not None
    return _add_born_to(case, person.father, person.mother, sex, number, alike, affected)


def add_twin(
    case: Case,
    id: str,
    zygosity: Literal["monozygotic", "dizygotic", "unknown"],
    sex: Sex | None = None,
) -> Grown:
    """Add a twin (or one more, for triplets), by default of the same sex."""
    person = _single(case, id, "a twin")
    twin = person.twin
    if twin is None:
        taken = {p.twin.group for p in case.people if p.twin is not None}
        name = next(n for n in map(str, range(1, len(taken) + 2)) if n not in taken)
        twin = Twin(name, zygosity)
        case = change_person(case, id, twin=twin)
    sex = person.sex if sex is None else sex
    if twin.zygosity == "monozygotic" and sex != person.sex:
        raise refuse(f"{place(case, id)}.twin", "monozygotic twins are of the same sex")
    case, (new,) = add_siblings(case, id, sex=sex)
    age = person.age if person.status == "alive" else None
    return change_person(case, new, twin=twin, age=age), (new,)


def set_twins(
    case: Case,
    id: str,
    zygosity: Literal["monozygotic", "dizygotic", "unknown"],
    monozygotic_chance: Quantity | None = None,
) -> Case:
    """Say of all twins of a person's group what kind of twins they are."""
    person = case.person(id)
    if person.twin is None:
        raise refuse(f"{place(case, id)}.twin", f"{id} is not a twin; add a twin first")
    chance = monozygotic_chance if zygosity == "unknown" else None
    twin = Twin(person.twin.group, zygosity, chance)
    people = tuple(replace(p, twin=twin) if _same_twins(p, person) else p for p in case.people)
    return replace(case, people=people)


def part_twins(case: Case, id: str) -> Case:
    """Make a twin an ordinary sibling; a twin left alone in the group becomes one too."""
    return lone_twins(change_person(case, id, twin=None))


# --- changing what exists ------------------------------------------------------------------


def change_person(case: Case, id: str, **changes: Any) -> Case:
    """Set fields of one person (not `id`, and parents only both or neither)."""
    if "id" in changes:
        raise TypeError("use rename to change an id")
    person = replace(case.person(id), **changes)
    if "father" in changes or "mother" in changes:
        _check_parents(case, person)
    if person.count is not None:
        if children_of(case, id):
            raise refuse(f"{place(case, id)}.count", f"{id} has children, so {id} is one person")
        if person.twin is not None or person.roles:
            raise refuse(f"{place(case, id)}.count", "a twin, proband or consultand is one person")
    people = tuple(person if p.id == id else p for p in case.people)
    return replace(case, people=people)


def set_age(case: Case, id: str, age: Quantity | None) -> Case:
    """Say how old a person is; living twins, who were born together, stay of one age."""
    for each in of_one_age(case, case.person(id)):
        case = change_person(case, each.id, age=age)
    return case


def set_parents(case: Case, id: str, father: str | None, mother: str | None) -> Case:
    """Say who a person's genetic parents are: two people of the family, or nobody."""
    return change_person(case, id, father=father, mother=mother)


def add_result(case: Case, id: str, result: TestResult) -> Case:
    """Add one test result to a person."""
    return change_person(case, id, tests=(*case.person(id).tests, result))


def remove_result(case: Case, id: str, index: int) -> Case:
    """Take one test result of a person away."""
    tests = case.person(id).tests
    return change_person(case, id, tests=tests[:index] + tests[index + 1 :])


def rename(case: Case, old: str, new: str) -> Case:
    """Give a person another id, everywhere it is used."""
    return rename_all(case, {old: new})


def rename_all(case: Case, names: Mapping[str, str]) -> Case:
    """Give people other ids, from old to new, all at once: two may exchange theirs."""
    problems, checked = list[Problem](), dict[str, str]()
    for old, new in names.items():
        try:
            checked[old] = typed_id(new)
        except ValueError as error:
            problems.append(Problem(f"{place(case, old)}.id", str(error)))
    times = Counter(checked.get(id, id) for id in _ids(case))
    for old, new in checked.items():
        if new != old and times[new] > 1:
            message = f'another person is called "{new}"'
            problems.append(Problem(f"{place(case, old)}.id", message))
    if problems:
        raise InputError(problems)
    return _renamed(case, checked)


def renumber(case: Case) -> Case:
    """Give everyone the standard numbering anew: oldest generation I, in file order."""
    return _renamed(case, standard_ids(case))


def number_from_first(case: Case, *, emptied: bool = False) -> tuple[Case, dict[str, str]]:
    """Count the generations of standard ids from I again, where the family grew above it.

    With `emptied` also where nobody is left in it.  Returns the case and the old ids of those who
    got new ones, with the new.
    """
    names = ids_from_first(case, emptied=emptied)
    return (_renamed(case, names) if names else case), names


# --- couples and questions -----------------------------------------------------------------


def couple_between(case: Case, first: str, second: str) -> Couple:
    """The entry of a couple, or an empty one where only common children make them one."""
    for couple in case.couples:
        if set(couple.partners) == {first, second}:
            return couple
    return Couple((first, second))


def change_couple(case: Case, first: str, second: str, **changes: Any) -> Case:
    """Set what is known about a couple, adding its entry where there is none."""
    old = couple_between(case, first, second)
    new = replace(old, **changes)
    couples = tuple(new if couple is old else couple for couple in case.couples)
    return replace(case, couples=couples if old in case.couples else (*case.couples, new))


def remove_couple(case: Case, first: str, second: str) -> Case:
    """Take the entry of a couple away; people with a common child stay a couple."""
    couples = tuple(c for c in case.couples if set(c.partners) != {first, second})
    return replace(case, couples=couples)


def asked_about(question: Question) -> tuple[str, ...]:
    """The ids a question names."""
    person = () if question.person is None else (question.person,)
    return person + (question.parents or ()) + (question.people or ())


def asks(case: Case, question: Question) -> bool:
    """Whether a case asks this already; the order of two people makes no difference."""

    def unordered(one: Question) -> Question:
        pair = (one.parents or ("", ""), one.people or ("", ""))
        first, second = ((min(ids), max(ids)) for ids in pair)
        return replace(one, parents=first, people=second)

    return unordered(question) in map(unordered, case.questions)


def add_question(case: Case, question: Question) -> Case:
    """Ask one more question, once."""
    for id in asked_about(question):
        index_of(case, id)
    if asks(case, question):
        raise refuse("questions", "this question is asked already")
    return replace(case, questions=(*case.questions, question))


def remove_question(case: Case, index: int) -> Case:
    """Take one question away."""
    return replace(case, questions=case.questions[:index] + case.questions[index + 1 :])


# --- facts taken back ---------------------------------------------------------------------

_FACT = re.compile(r"(?P<id>.*)\.(?:affected|genotype|tests\[\d+\])", re.DOTALL)


def take_back(case: Case, fact: str) -> Case:
    """Return the case without one fact (named by its path, like ``II-2.tests[0]``).

    Facts that no key of a person states (``.born``, ``.fathered``) cannot be taken back.
    """
    match = _FACT.fullmatch(fact)
    if match is None or match["id"] not in _ids(case):
        raise refuse(fact, "this follows from the condition and the tree; change those instead")
    return without_facts(case, (fact,))


def without_facts(case: Case, facts: Collection[str]) -> Case:
    """Return the case without these facts; what no key of a person states stays as it is."""
    return replace(case, people=tuple(_without_facts(person, facts) for person in case.people))


def _without_facts(person: Person, facts: Collection[str]) -> Person:
    id = person.id
    return replace(
        person,
        affected=None if f"{id}.affected" in facts else person.affected,
        genotype=None if f"{id}.genotype" in facts else person.genotype,
        tests=tuple(
            result
            for index, result in enumerate(person.tests)
            if f"{id}.tests[{index}]" not in facts
        ),
    )


# --- inside --------------------------------------------------------------------------------


def _ids(case: Case) -> list[str]:
    return [person.id for person in case.people]


def _same_twins(a: Person, b: Person) -> bool:
    return a.twin is not None and b.twin is not None and a.twin.group == b.twin.group


def _single(case: Case, id: str, gets: str) -> Person:
    """The person, if they are one person who can have what `gets` says."""
    index_of(case, id)
    person = case.person(id)
    if person.count is not None:
        raise refuse(
            f"{place(case, id)}.count",
            f"{id} stands for {person.count} people; {gets} needs one person",
        )
    if person.status in _UNBORN and gets != "a twin":
        raise refuse(f"{place(case, id)}.status", f"{id} is not born alive and has not {gets}")
    return person


def _as_parents(case: Case, one: str, other: str) -> tuple[Case, str, str]:
    """Return the case, the father and the mother of a couple."""
    first, second = case.person(one), case.person(other)
    sex = sex_as_parent(case, first)
    if sex != "unknown" and sex == sex_as_parent(case, second):
        raise refuse(
            place(case, one),
            f"{one} and {other} are both {sex}; a child has a genetic father and mother",
        )
    father, mother = father_and_mother(case, first, second)
    case = change_person(case, father, sex="male")
    return change_person(case, mother, sex="female"), father, mother


def _add_born_to(
    case: Case,
    father: str,
    mother: str,
    sex: Sex,
    number: int,
    alike: bool,
    affected: bool | None,
) -> Grown:
    if not 1 <= number <= 99:
        raise refuse("people", f"{number} is not a number of children between 1 and 99")
    siblings = [p.id for p in case.people if (p.father, p.mother) == (father, mother)]
    generation = generation_of(case, siblings[0]) if siblings else generation_of(case, mother) + 1
    ids: list[str] = []
    for _ in range(1 if alike else number):
        ids.append(next_id([*_ids(case), *ids], generation))
    count = number if alike and number > 1 else None
    new = tuple(Person(id, sex, None, None, father, mother, affected, count=count) for id in ids)
    return replace(case, people=case.people + new), tuple(ids)


def _check_parents(case: Case, person: Person) -> None:
    here = place(case, person.id)
    if (person.father is None) != (person.mother is None):
        raise refuse(here, "give both parents or neither; an unknown parent is added as a person")
    if person.father is None or person.mother is None:
        return
    if person.inbreeding is not None:
        raise refuse(f"{here}.inbreeding", "only someone without parents in the tree has one")
    if person.father == person.mother:
        raise refuse(f"{here}.mother", "father and mother are the same person")
    for key, id, wrong in (("father", person.father, "female"), ("mother", person.mother, "male")):
        parent = case.people[index_of(case, id)]
        if id == person.id or id in descendants_of(case, person.id):
            raise refuse(f"{here}.{key}", f"{id} is descended from {person.id}")
        if parent.sex == wrong:
            raise refuse(f"{here}.{key}", f"{id} is {wrong}")
        _single(case, id, "a child")


def _renamed(case: Case, names: Mapping[str, str]) -> Case:
    def pair(ids: tuple[str, str] | None) -> tuple[str, str] | None:
        return None if ids is None else (names.get(ids[0], ids[0]), names.get(ids[1], ids[1]))

    def one(id: str | None) -> str | None:
        return None if id is None else names.get(id, id)

    people = tuple(
        replace(p, id=names.get(p.id, p.id), father=one(p.father), mother=one(p.mother))
        for p in case.people
    )
    couples = tuple(replace(c, partners=pair(c.partners) or c.partners) for c in case.couples)
    questions = tuple(
        replace(q, person=one(q.person), parents=pair(q.parents), people=pair(q.people))
        for q in case.questions
    )
    return replace(case, people=people, couples=couples, questions=questions)


def without(case: Case, gone: Collection[str]) -> Case:
    """The case without some people, and without the couples and questions that name them."""
    going = set(gone)
    return replace(
        case,
        people=tuple(person for person in case.people if person.id not in going),
        couples=tuple(couple for couple in case.couples if going.isdisjoint(couple.partners)),
        questions=tuple(asked for asked in case.questions if going.isdisjoint(asked_about(asked))),
    )


def lone_twins(case: Case) -> Case:
    """Make a twin who is alone in the group an ordinary sibling."""
    groups = [p.twin.group for p in case.people if p.twin is not None]
    people = tuple(
        replace(p, twin=None) if p.twin is not None and groups.count(p.twin.group) < 2 else p
        for p in case.people
    )
    return replace(case, people=people)
