"""The case, its family and its condition named and counted."""

from __future__ import annotations

from risk.case.model import Case, Condition
from risk.wording.phrases import capital, joined, plural

INHERITANCE = {
    "autosomal_recessive": "autosomal recessive",
    "autosomal_dominant": "autosomal dominant",
    "x_linked_recessive": "X-linked recessive",
    "x_linked_dominant": "X-linked dominant",
}


def family_in_words(case: Case) -> str:
    """Count the family and its evidence in a sentence or two."""
    people = case.people
    counted = sum(person.count or 1 for person in people)
    parts = []
    for affected, word in ((True, "affected"), (False, "unaffected")):
        number = sum(person.count or 1 for person in people if person.affected is affected)
        if number:
            parts.append(f"{number} {word}")
    unknown = sum(person.count or 1 for person in people if person.affected is None)
    if unknown:
        parts.append(f"{unknown} of unknown phenotype")
    text = f"A family of {plural(counted, 'person', 'people')}: {joined(parts)}."
    tested = sum(person.count or 1 for person in people if person.tests)
    typed = sum(person.count or 1 for person in people if person.genotype is not None)
    more = []
    if tested:
        more.append(f"{plural(tested, 'person has', 'people have')} a test result")
    if typed:
        more.append(f"the genotype of {plural(typed, 'person', 'people')} is known")
    return f"{text} {capital(joined(more))}." if more else text


def title_in_words(case: Case) -> str:
    """Name the case: its title, or its number of people where it has none."""
    counted = sum(person.count or 1 for person in case.people)
    return case.title or f"A family of {plural(counted, 'person', 'people')}"


def title_of(case: Case) -> str:
    """Name the case on paper: its title, or its condition where it has none."""
    return case.title or condition_in_words(case.condition)


def condition_in_words(condition: Condition) -> str:
    """Name the condition and its inheritance."""
    mode = INHERITANCE[condition.inheritance]
    return f"{condition.name}: {mode}" if condition.name else capital(mode)
