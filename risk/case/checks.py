"""What the keys of a case must be to each other: rules across people, couples and questions.

Each rule is a small generator of problems; none raises, and each fault is named once, where
it can be mended.  `check_case` runs them all.  They work on any `Case`, read or made in code.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from risk.case.condition_checks import check_condition
from risk.case.family import NOT_BORN, Family, Role, asked_about_phenotype
from risk.case.model import BySex, Case, Condition, Person, Test
from risk.case.question_checks import can_be_told, check_question
from risk.problems import Problem, shown

_LISTS = ("people", "couples", "questions")
_UNKNOWN_PARENT = "(a parent who is not known is added as a person of whom nothing is known)"


def check_case(case: Case, *, all_ids: bool = True) -> list[Problem]:
    """Return every problem of a case, in the order of the documented keys; none if sound.

    `all_ids` is False while ids are missing because they could not be read; references to
    people who do not exist are then not reported.
    """
    family = Family(case, all_ids=all_ids)
    problems = list(check_condition(case.condition))
    problems += _people(family)
    problems += _couples(family)
    for index, question in enumerate(case.questions):
        problems += check_question(f"questions[{index}]", question, family)
    return sorted(problems, key=_place)


def can_be_drawn(case: Case) -> bool:
    """Tell whether a case, whatever else is wrong with it, has a family to draw and to mend.

    Everyone spoken of is in it, once; nobody has one parent alone, or descends from themselves.
    There is one frequency, and it is clear how each test works and what each question asks.
    """
    family = Family(case)
    pairs = [(person.father, person.mother) for person in case.people]
    pairs = [pair for pair in pairs if pair != (None, None)]
    pairs += [couple.partners for couple in case.couples]
    pairs += [pair for each in case.questions for pair in (each.parents, each.people) if pair]
    alone = [each.person for each in case.questions if each.person is not None]
    return (
        len(family.place) == len(case.people)
        and all(one != other for one, other in pairs)
        and family.place.keys() >= {*alone, *chain.from_iterable(pairs)}
        and all(map(can_be_told, case.questions))
        and not any(_cycles(family))
        and not any(map(_untold, check_condition(case.condition)))
    )


def _untold(problem: Problem) -> bool:
    """Whether a problem of a condition leaves open what the condition says."""
    path = problem.path
    is_test = path.startswith("condition.tests") and ".detects" not in path
    return is_test or path == "condition.frequency"


def _place(problem: Problem) -> tuple[int, int]:
    """Where a problem stands: its part of the file and, in a list, the number of the item."""
    part, _, rest = problem.path.partition("[")
    if part in _LISTS:
        return 1 + _LISTS.index(part), int(rest.partition("]")[0])
    return 0, 0


# People -------------------------------------------------------------------------------------


def _people(family: Family) -> Iterator[Problem]:
    sound: dict[tuple[str | None, str | None], int] = {}  # pairs of parents, place of the later
    groups: dict[str, list[int]] = {}
    child_before_parent = False
    facts = _Facts(family)
    for index, person in enumerate(family.people):
        path = f"people[{index}]"
        first = family.place[person.id]
        if first != index:
            yield Problem(
                f"{path}.id",
                f"{shown(person.id)} is already the id of people[{first}]; give another",
            )
        pair = (person.father, person.mother)
        if pair != (None, None):
            latest = sound.get(pair)
            if latest is None:
                wrong = [] if _suit(pair, family) else list(_parents(path, person, family))
                yield from wrong
                latest = max([family.place.get(id or "", -1) for id in pair])
                if not wrong:
                    sound[pair] = latest
            child_before_parent |= latest >= index
        yield from facts.check(path, person)
        if person.count is not None:
            yield from _count(path, person, family, facts.partners)
        if person.twin is not None:
            groups.setdefault(person.twin.group, []).append(index)
    for members in groups.values():
        yield from _twins(members, family)
    if child_before_parent:
        yield from _cycles(family)


class _Facts:
    """The rules for what is said of one person, and what they need to know of the whole case."""

    def __init__(self, family: Family) -> None:
        case = family.case
        self.condition = case.condition
        self.x_linked = case.condition.x_linked
        self.tests = {test.name: test for test in case.condition.tests or ()}
        self.asked = asked_about_phenotype(case.questions)
        self.partners = {id for couple in case.couples for id in couple.partners}

    def check(self, path: str, person: Person) -> Iterator[Problem]:
        """Yield what is wrong with the facts about `person`."""
        if person.sex == "unknown":
            yield from self._sex_needed(path, person)
        elif person.genotype == 2 and self.condition.copies(person.sex) == 1:
            yield Problem(
                f"{path}.genotype",
                "a male has one X chromosome, so at most 1 disease allele in an x-linked condition",
            )
        if person.affected is False and person.age is None and self.condition.onset:
            yield Problem(
                f"{path}.age",
                f"{shown(person.id)} is unaffected and the condition has ages of onset; give the "
                "age in years, or leave it not known whether affected",
            )
        if person.tests:
            yield from _test_results(path, person, self.tests, self.condition)
        if person.inbreeding is not None and not person.founder:
            yield Problem(
                f"{path}.inbreeding",
                "only for founders; of someone with parents in the tree the tree itself says it",
            )
        for place, role in enumerate(person.roles):
            if role in person.roles[:place]:
                yield Problem(f"{path}.roles[{place}]", f"{shown(role)} is given twice")

    def _sex_needed(self, path: str, person: Person) -> Iterator[Problem]:
        known = person.affected is not None
        if self.x_linked:
            why = "an x-linked condition needs the sex of everyone"
        elif isinstance(self.condition.penetrance, BySex) and (known or person.id in self.asked):
            what = "is known" if known else "is asked about"
            why = f"penetrance differs by sex and whether {shown(person.id)} is affected {what}"
        else:
            return
        yield Problem(f"{path}.sex", f"{why}; give female or male")


def _suit(pair: tuple[str | None, str | None], family: Family) -> bool:
    """Tell at one look whether `_parents` has nothing to say, as of nearly all parents."""
    father, mother = map(family.person, pair)
    return (
        father is not None
        and mother is not None
        and (father.sex, mother.sex) == ("male", "female")
        and not {father.status, mother.status} & NOT_BORN.keys()
    )


def _parents(path: str, person: Person, family: Family) -> Iterator[Problem]:
    if person.father == person.mother:
        yield Problem(f"{path}.mother", f"{shown(person.mother or '')} is given as both parents")
        yield from family.reference(f"{path}.father", person.father or "", "father", person.id)
        return
    roles: tuple[tuple[Role, str | None, str, Role], ...] = (
        ("father", person.father, "female", "mother"),
        ("mother", person.mother, "male", "father"),
    )
    father, mother = family.person(person.father), family.person(person.mother)
    exchanged = father and mother and (father.sex, mother.sex) == ("female", "male")
    for role, id, sex, wrong in roles:
        place = f"{path}.{role}"
        mend = "exchange father and mother" if exchanged else f"name another {role} or mend the sex"
        if id is None:
            yield Problem(
                place,
                f"the {wrong} is given but not the {role}; give both or neither {_UNKNOWN_PARENT}",
            )
            continue
        yield from family.reference(place, id, role, person.id)
        parent = family.person(id)
        if parent is None:
            continue
        if parent.sex == sex:
            yield Problem(place, f"{shown(id)} is {sex} and cannot be a {role}; {mend}")
        elif parent.sex == "unknown" and family.roles[id][0] != role:
            first = family.people[family.roles[id][1]].id
            yield Problem(place, f"{shown(id)} is the {wrong} of {shown(first)}, so not a {role}")
        yield from family.future_parent(place, id)


def _test_results(
    path: str, person: Person, tests: dict[str, Test], condition: Condition
) -> Iterator[Problem]:
    for index, result in enumerate(person.tests):
        place = f"{path}.tests[{index}]"
        test = tests.get(result.test)
        if test is None:
            # Where only capitals and spaces differ it is clear which test's results are meant.
            same = result.test.strip().lower()
            test = next((each for name, each in tests.items() if name.lower() == same), None)
            hint = f"; did you mean {shown(test.name)}?" if test else ""
            named = ", ".join(map(shown, tests)) or "none"
            yield Problem(
                f"{place}.test",
                f"no test {shown(result.test)} under condition.tests (there: {named}){hint}",
            )
            if test is None:
                continue
        if test.detects is not None:
            if result.found is None:
                yield Problem(f"{place}.found", f"{shown(test.name)} needs the number found")
            elif result.found > 1 and condition.copies(person.sex) == 1:
                yield Problem(
                    f"{place}.found", "a male has one X chromosome, so at most 1 can be found"
                )
            if result.result is not None:
                yield Problem(f"{place}.result", f"{shown(test.name)} reports found, not result")
            continue
        if test.likelihood is not None:
            words = [row.result for row in test.likelihood]
        else:
            words = ["positive", "negative"]
        if result.result in words and result.found is None:
            continue
        expected = " or ".join(map(shown, words))
        if result.result is None:
            yield Problem(f"{place}.result", f"{shown(test.name)} needs a result: {expected}")
        elif result.result not in words:
            yield Problem(
                f"{place}.result",
                f"{shown(result.result)} is no result of {shown(test.name)}; give {expected}",
            )
        if result.found is not None:
            yield Problem(f"{place}.found", f"{shown(test.name)} reports result, not found")


def _count(path: str, person: Person, family: Family, partners: set[str]) -> Iterator[Problem]:
    reasons = {
        "has no parents here": person.father is None and person.mother is None,
        "has children": person.id in family.roles,
        "is a twin": person.twin is not None,
        "has a role": bool(person.roles),
        "is in a couple": person.id in partners,
    }
    if any(reasons.values()):
        why = " and ".join(reason for reason, holds in reasons.items() if holds)
        yield Problem(
            f"{path}.count",
            f"only for siblings without children, partner, twin or role, but {shown(person.id)} "
            f"{why}; add each as a person",
        )


# Twins ----------------------------------------------------------------------------------------


def _twins(members: list[int], family: Family) -> Iterator[Problem]:
    first = family.people[members[0]]
    assert first.twin is not None
    if len(members) == 1:
        yield Problem(
            f"people[{members[0]}].twin.group",
            f"only {shown(first.id)} is in twin group {shown(first.twin.group)}; a group has two "
            "members or more",
        )
    sexes: dict[str, str] = {}
    for index in members:
        person = family.people[index]
        path = f"people[{index}].twin"
        twin = person.twin
        assert twin is not None
        if person.father is None and person.mother is None:
            yield Problem(path, f"twins need their father and mother {_UNKNOWN_PARENT}")
        elif _other_parents(person, first, family):
            yield Problem(f"{path}.group", f"{shown(first.id)} of the same group has other parents")
        if twin.zygosity != first.twin.zygosity:
            yield Problem(
                f"{path}.zygosity",
                f"{shown(first.id)} of the same group has {shown(first.twin.zygosity)}",
            )
        elif twin.zygosity == "monozygotic" and person.sex != "unknown":
            other = next((id for sex, id in sexes.items() if sex != person.sex), None)
            if other is not None:
                yield Problem(
                    f"{path}.zygosity",
                    f"{shown(person.id)} and {shown(other)} differ in sex, so they are not "
                    "monozygotic",
                )
            sexes.setdefault(person.sex, person.id)
        if twin.monozygotic_chance is not None and twin.zygosity != "unknown":
            yield Problem(f"{path}.monozygotic_chance", "only with unknown zygosity; leave it out")
        elif twin.zygosity == first.twin.zygosity == "unknown" and _chance(person) != _chance(
            first
        ):
            yield Problem(
                f"{path}.monozygotic_chance",
                f"{shown(first.id)} of the same group has "
                f"{first.twin.monozygotic_chance or 'none given, which means 1/2'}",
            )


def _other_parents(person: Person, first: Person, family: Family) -> bool:
    """Whether two people differ in their parents, where all four are known people."""
    given = (person.father, person.mother, first.father, first.mother)
    return given[:2] != given[2:] and all(id in family.place for id in given)


def _chance(person: Person) -> object:
    given = person.twin.monozygotic_chance if person.twin else None
    return 0.5 if given is None else given.value


# Ancestors ------------------------------------------------------------------------------------


def _cycles(family: Family) -> Iterator[Problem]:
    """Name each circle of people who would be their own ancestors, at its first person."""
    parents = [
        {
            family.place[id]: role
            for role, id in (("mother", person.mother), ("father", person.father))
            if id in family.place
        }
        for person in family.people
    ]
    children: list[list[int]] = [[] for _ in parents]
    waiting = []
    for child, its in enumerate(parents):
        waiting.append(len(its))
        for parent in its:
            children[parent].append(child)
    sound = [person for person, number in enumerate(waiting) if not number]
    while sound:
        for child in children[sound.pop()]:
            waiting[child] -= 1
            if not waiting[child]:
                sound.append(child)
    seen: set[int] = set()
    for start, number in enumerate(waiting):
        line: list[int] = []
        person = start
        while number and person not in seen:
            seen.add(person)
            line.append(person)
            person = next(parent for parent in parents[person] if waiting[parent])
        if person in line:
            yield _cycle(line[line.index(person) :], parents, family)


def _cycle(circle: list[int], parents: list[dict[int, str]], family: Family) -> Problem:
    low = circle.index(min(circle))
    circle = circle[low:] + circle[:low]
    role = parents[circle[0]][circle[1 % len(circle)]]
    names = [shown(family.people[person].id) for person in (*circle, circle[0])]
    if len(names) > 9:
        names[5:-3] = ["..."]
    mend = "one of these steps is wrong: give that child another father or mother"
    if len(circle) == 1:
        mend = f"name another {role}"
    return Problem(
        f"people[{circle[0]}].{role}",
        f"{names[0]} would be their own ancestor: {', child of '.join(names)}; {mend}",
    )


# Couples --------------------------------------------------------------------------------------


def _couples(family: Family) -> Iterator[Problem]:
    seen: dict[frozenset[str], int] = {}
    for index, couple in enumerate(family.case.couples):
        path = f"couples[{index}].partners"
        yield from family.two(path, couple.partners)
        pair = frozenset(couple.partners)
        if seen.setdefault(pair, index) != index:
            yield Problem(path, f"this couple is already couples[{seen[pair]}]; keep one of them")
        elif len(pair) == 2:
            for place, id in enumerate(couple.partners):
                yield from family.future_parent(f"{path}[{place}]", id)
