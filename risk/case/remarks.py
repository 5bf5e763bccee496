"""What is allowed in a case but probably not meant: remarks, which never make a case wrong."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from risk.case.alike import hard_to_tell
from risk.case.kin import related_only_in_drawing, twin_groups
from risk.case.model import Case, Condition, Person, Question
from risk.number import Quantity
from risk.problems import Problem, shown


def remarks(case: Case) -> list[Problem]:
    """Return remarks on a sound case, in the order of the documented keys."""
    people = {person.id: person for person in case.people}
    found = [*_condition(case), *_people(case)]
    children = {(person.father, person.mother) for person in case.people if not person.founder}
    for index, couple in enumerate(case.couples):
        if couple.childless and (couple.partners in children or couple.partners[::-1] in children):
            found.append(
                Problem(
                    f"couples[{index}].childless", "these two have children together in the tree"
                )
            )
    for index, couple in related_only_in_drawing(case):
        one, two = map(shown, couple.partners)
        found.append(
            Problem(
                f"couples[{index}].consanguineous",
                f"{one} and {two} are drawn as related but count as unrelated, as the tree does "
                "not show how they are related; add their common ancestors to have it counted "
                "(the inbreeding coefficient is for a founder whose own parents were related)",
            )
        )
    if not case.questions:
        found.append(Problem("questions", "nothing is asked; add a question to get an answer"))
    for index, question in enumerate(case.questions):
        found += _question(f"questions[{index}]", question, case, people)
    return found


def _condition(case: Case) -> Iterator[Problem]:
    condition = case.condition
    used = {result.test for person in case.people for result in person.tests}
    rates = condition.mutation
    none = rates is None or all(
        rate is None or (rate != "rare" and rate.value == 0)
        for rate in (rates.maternal, rates.paternal)
    )
    if condition.frequency.mutation_selection_balance is not None and none:
        yield Problem(
            "condition.frequency.mutation_selection_balance",
            "without new mutations no disease allele is left at balance; state the rates of new "
            "mutation",
        )
    allele = condition.frequency.allele
    if isinstance(allele, Quantity) and not allele.value and none and not _mosaics(condition):
        yield Problem(
            "condition.frequency.allele",
            "at 0 no founder has the disease allele, and none arises: nobody here can have it; "
            "state a frequency, or rates of new mutation",
        )
    if allele == "rare" and not none:
        yield Problem(
            "condition.mutation",
            "new mutations outweigh a disease allele that is rare: whoever is affected comes from "
            "a new mutation; state a frequency if the allele may be inherited",
        )
    for index, test in enumerate(condition.tests or ()):
        path = f"condition.tests[{index}]"
        if test.name not in used:
            yield Problem(f"{path}.name", f"nobody has a result of {shown(test.name)}")
        accuracy = [rate.value for rate in (test.sensitivity, test.specificity) if rate]
        if len(accuracy) == 2 and sum(accuracy) < 1:
            yield Problem(
                path,
                "sensitivity and specificity add to less than 1, so a positive result makes "
                "carrying less likely",
            )


def _mosaics(condition: Condition) -> bool:
    mosaicism = condition.germline_mosaicism
    return mosaicism is not None and mosaicism.prior.value > 0


def _people(case: Case) -> Iterator[Problem]:
    related = {id for person in case.people for id in (person.father, person.mother)}
    related |= {id for couple in case.couples for id in couple.partners}
    related |= {person.id for person in case.people if not person.founder}
    for question in case.questions:
        related |= {question.person, *(question.parents or ()), *(question.people or ())}
    people = {person.id: person for person in case.people}
    of_ids = dict(hard_to_tell(case))
    # Twins are born together: nobody grew older than a twin who is alive.
    youngest = {
        twin.group: min(living, key=_years)
        for twin, members in twin_groups(case)
        if (living := [each for each in members if each.status == "alive" and each.age is not None])
    }
    called: dict[str, set[str]] = {}
    for person in case.people:
        for each in {person.id, person.name or person.id}:
            called.setdefault(each, set()).add(person.id)
    for index, person in enumerate(case.people):
        path = f"people[{index}]"
        if index in of_ids:
            yield of_ids[index]
        if person.name and called[person.name] - {person.id}:
            other = min(called[person.name] - {person.id})
            yield Problem(
                f"{path}.name",
                f"{shown(person.name)} is the name of {shown(person.id)} and the name or id of "
                f"{shown(other)} too; sentences do not tell the two apart",
            )
        for id in (person.father, person.mother):
            parent = people.get(id or "")
            if parent is not None and _no_younger(person, parent):
                yield Problem(
                    f"{path}.age",
                    f"{shown(person.id)} is {person.age}, and {shown(parent.id)}, a living parent, "
                    f"is {parent.age}; one of the ages is wrong",
                )
        twin = youngest.get(person.twin.group) if person.twin is not None else None
        if person.age is not None and twin is not None and person.age.value > _years(twin):
            yield Problem(
                f"{path}.age",
                f"{shown(person.id)} is {person.age}, and {shown(twin.id)}, a living twin, "
                f"is {twin.age}; one of the ages is wrong",
            )
        if person.count is not None and person.affected:
            yield Problem(
                f"{path}.count", "affected people are usually drawn singly; add each as a person"
            )
        if person.id not in related and len(case.people) > 1:
            yield Problem(path, f"{shown(person.id)} has no relatives here and no question")


def _years(person: Person) -> Fraction:
    assert person.age is not None
    return person.age.value


def _no_younger(child: Person, parent: Person) -> bool:
    """Tell whether a child is (or was, at death) as old as a parent who is alive."""
    if child.age is None or parent.age is None or parent.status != "alive":
        return False
    return child.age.value >= parent.age.value


def _question(
    path: str, question: Question, case: Case, people: dict[str, Person]
) -> Iterator[Problem]:
    condition = case.condition
    person = people.get(question.person or "")
    if question.by_age is not None:
        if condition.onset is None:
            yield Problem(
                f"{path}.by_age",
                "without ages at onset of the condition this age makes no difference: the answer "
                "is of a lifetime",
            )
        elif question.by_age.value > condition.onset[-1].age.value:
            yield Problem(
                f"{path}.by_age",
                f"after age {condition.onset[-1].age}, the last age at onset, nobody falls ill "
                "any more",
            )
        elif (
            person is not None
            and person.affected is False
            and person.age is not None
            and question.by_age.value <= person.age.value
        ):
            yield Problem(
                f"{path}.by_age", f"{shown(person.id)} is unaffected at {person.age} already"
            )
    if person is not None and question.ask == "will_be_affected":
        if person.affected:
            yield Problem(f"{path}.person", f"{shown(person.id)} is affected already")
        elif person.status not in ("alive", "pregnancy"):
            yield Problem(
                f"{path}.person",
                f"the future of {shown(person.id)} is asked, whose status is "
                f"{shown(person.status)}",
            )
    for index, id in enumerate(question.parents or ()):
        parent = people.get(id)
        if parent is not None and parent.status == "deceased":
            yield Problem(f"{path}.parents[{index}]", f"{shown(id)} is deceased")
    yield from _males_on_x(path, question, case, people)


def _males_on_x(
    path: str, question: Question, case: Case, people: dict[str, Person]
) -> Iterator[Problem]:
    """Being a carrier takes two copies of the locus, so of males on the X the answer is 0."""
    if not case.condition.x_linked:
        return
    never = "has one X chromosome, so never exactly one of two alleles: the chance is 0"
    if question.ask == "carrier" and _is_male(people.get(question.person or "")):
        yield Problem(f"{path}.person", f"{shown(question.person or '')} {never}")
    if question.ask == "child_carrier" and question.sex == "male":
        yield Problem(f"{path}.sex", f"a son {never}")
    if question.ask == "both_carriers":
        for index, id in enumerate(question.people or ()):
            if _is_male(people.get(id)):
                yield Problem(f"{path}.people[{index}]", f"{shown(id)} {never}")


def _is_male(person: Person | None) -> bool:
    return person is not None and person.sex == "male"
