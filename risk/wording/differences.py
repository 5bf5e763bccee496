"""What differs between two versions of a case, in words, each with what either says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from risk.case.kin import twin_groups
from risk.case.model import Case, Condition, Person
from risk.wording.assumptions import assumptions
from risk.wording.parameters import parameter_in_words, value_in_words
from risk.wording.phrases import joined
from risk.wording.questions import person_in_words, question_in_words

#: Where a topic of the assumptions is a few single values, their paths.
_SINGLE_VALUES = {
    "Inheritance": ("condition.inheritance",),
    "Frequency": (
        "condition.frequency.carrier",
        "condition.frequency.allele",
        "condition.frequency.incidence",
        "condition.frequency.mutation_selection_balance.fitness",
    ),
    "New mutation": ("condition.mutation.maternal", "condition.mutation.paternal"),
    "Germline mosaicism": (
        "condition.germline_mosaicism.prior",
        "condition.germline_mosaicism.gametes",
    ),
}
#: Keys of a person that are single values; parents, tests and twins are told by themselves.
_OF_PERSON = ("sex", "affected", "age", "genotype", "inbreeding", "count", "status")
_NOT_GIVEN = "not given"


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing that differs: what it is, and what the version before and the one after say."""

    what: str
    before: str
    after: str


def differences(before: Case, after: Case) -> list[Difference]:
    """Return what differs of all that answers may rest on: condition, family, questions.

    People are the same where their ids are.  Names, notes and what is only drawn are left out.
    """
    return [
        *_of_condition(before, after),
        *_of_family(before, after),
        *_of_questions(before, after),
    ]


def _of_condition(before: Case, after: Case) -> Iterator[Difference]:
    old, new = _topics(before.condition), _topics(after.condition)
    for topic in dict.fromkeys((*old, *new)):
        if old.get(topic) == new.get(topic):
            continue
        pairs = {
            path: (_at(before, path), _at(after, path)) for path in _SINGLE_VALUES.get(topic, ())
        }
        if pairs and all((a is None) == (b is None) for a, b in pairs.values()):
            for path, (a, b) in pairs.items():
                yield from _unless_alike(
                    parameter_in_words(path, after), _said(path, a), _said(path, b)
                )
        else:
            yield Difference(topic, old.get(topic, _NOT_GIVEN), new.get(topic, _NOT_GIVEN))


def _topics(condition: Condition) -> dict[str, str]:
    """Every topic of the assumptions with what is assumed; tests and the like together."""
    topics: dict[str, list[str]] = {}
    for each in assumptions(condition):
        topics.setdefault(each.topic, []).append(each.text)
    return {topic: " ".join(texts) for topic, texts in topics.items()}


def _at(case: Case, path: str) -> object:
    """The value at a path of single keys; None where it, or what it is in, is not given."""
    found: object = case
    for key in path.split("."):
        found = getattr(found, key, None)
    return found


def _of_family(before: Case, after: Case) -> Iterator[Difference]:
    old = {person.id: person for person in before.people}
    new = {person.id: person for person in after.people}
    here, absent = "in the family", "not in the family"
    for id in [id for id in old if id not in new]:
        yield Difference(person_in_words(id, before), here, absent)
    for id in new:
        if id not in old:
            yield Difference(person_in_words(id, after), absent, here)
    old_twins, new_twins = _twins(before), _twins(after)
    for id in old:
        if id in new:
            yield from _of_person(old[id], new[id], after)
            yield from _unless_alike(
                f"twin of {id}", old_twins.get(id, "none"), new_twins.get(id, "none")
            )


def _of_person(old: Person, new: Person, after: Case) -> Iterator[Difference]:
    for key in _OF_PERSON:
        path = f"{new.id}.{key}"
        texts = _said(path, getattr(old, key)), _said(path, getattr(new, key))
        yield from _unless_alike(parameter_in_words(path, after), *texts)
    yield from _unless_alike(f"parents of {new.id}", _parents(old), _parents(new))
    yield from _unless_alike(f"test results of {new.id}", _results(old), _results(new))


def _parents(person: Person) -> str:
    return joined([id for id in (person.mother, person.father) if id]) or "not in the family"


def _results(person: Person) -> str:
    said = [
        f"{each.test} {each.result}" if each.found is None else f"{each.test} finds {each.found}"
        for each in person.tests
    ]
    return joined(said) or "none"


def _twins(case: Case) -> dict[str, str]:
    """Everybody who is a twin, by id: of whom, and of what kind as far as it is known."""
    found: dict[str, str] = {}
    for twin, members in twin_groups(case):
        chance = twin.monozygotic_chance or "1/2"
        unknown = twin.zygosity == "unknown"
        kind = f"monozygotic with chance {chance}" if unknown else twin.zygosity
        for person in members:
            others = [other.id for other in members if other is not person]
            found[person.id] = f"{joined(others)}, {kind}"
    return found


def _of_questions(before: Case, after: Case) -> Iterator[Difference]:
    for question in before.questions:
        if question not in after.questions:
            yield Difference(question_in_words(question, before), "asked", "not asked")
    for question in after.questions:
        if question not in before.questions:
            yield Difference(question_in_words(question, after), "not asked", "asked")


def _unless_alike(what: str, before: str, after: str) -> Iterator[Difference]:
    if before != after:
        yield Difference(what, before, after)


def _said(path: str, value: object) -> str:
    if value is None:
        unknown = value_in_words(path, "unknown")
        return _NOT_GIVEN if unknown == "unknown" else unknown
    text = str(value)
    return value_in_words(path, text.lower() if isinstance(value, bool) else text)
