"""The family in words: every person with what is known, as a table and as a description."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from risk.case.family import NOT_BORN
from risk.case.model import Case, Person, TestResult
from risk.document.blocks import Table, TableRow
from risk.fonts.metrics import lacking
from risk.wording.alleles import ALLELES

_SEXES = {"female": "female", "male": "male", "unknown": "not known"}
_PHENOTYPES = {True: "affected", False: "unaffected", None: "not known"}
_STATUSES = {"alive": "", "deceased": "has died", **NOT_BORN}
_ROLES = {"proband": "the proband", "consultand": "asks for advice"}


def family_table(case: Case) -> Table:
    """Return one row a person, in the order of the file; columns that say nothing are left out."""
    columns: list[tuple[str, Callable[[Person], str]]] = [
        ("person", lambda person: person.id),
        ("name", lambda person: person.name or ""),
        ("sex", lambda person: _SEXES[person.sex]),
        ("parents", _parents),
        ("phenotype", lambda person: _PHENOTYPES[person.affected]),
        ("age", lambda person: str(person.age) if person.age is not None else ""),
        ("what else is known", lambda person: "; ".join(other_facts(person))),
    ]
    shown = [
        (head, cell)
        for head, cell in columns
        if head == "person" or any(cell(person) for person in case.people)
    ]
    last = len(shown) - 1
    return Table(
        align=tuple("left" for _ in shown),
        header=(tuple(head for head, _ in shown),),
        rows=tuple(TableRow(tuple(cell(person) for _, cell in shown)) for person in case.people),
        grow=tuple(i for i, (head, _) in enumerate(shown) if head == "name" or i == last),
        ruled=True,
    )


def as_printed(case: Case) -> Case:
    """Return the case as a printed page speaks of it: by id where no face has letters of a name.

    In sentences the codes of signs could not be read; the table of the family has them.
    """
    people = tuple(
        replace(person, name=None) if person.name and _lost(person.name) else person
        for person in case.people
    )
    return case if people == case.people else replace(case, people=people)


def _lost(name: str) -> bool:
    """Whether a face lacks signs of a name, and has no letter of it."""
    without = "" if name.isascii() else lacking(name)
    return bool(without) and not any(sign.isalpha() for sign in set(name).difference(without))


def other_facts(person: Person) -> list[str]:
    """Return what is known of a person beside sex, parents, phenotype and age, in words."""
    facts = []
    if person.count:
        facts.append(f"{person.count} such siblings")
    if person.genotype is not None:
        facts.append(f"genotype known: {ALLELES[person.genotype]}")
    facts += [_test(result) for result in person.tests]
    if person.inbreeding is not None:
        facts.append(f"inbreeding coefficient {person.inbreeding}")
    if person.twin is not None:
        zygosity = person.twin.zygosity
        kind = "twin of unknown zygosity" if zygosity == "unknown" else f"{zygosity} twin"
        facts.append(f"{kind} (group {person.twin.group})")
    if person.gender is not None:
        nonbinary = person.gender == "nonbinary"
        facts.append(f"a {person.gender} person" if nonbinary else f"a {person.gender}")
    if person.adopted is not None:
        facts.append("adopted in" if person.adopted == "in" else "adopted out of the family")
    facts += [status for status in (_STATUSES[person.status],) if status]
    facts += [_ROLES[role] for role in person.roles]
    if person.note:
        facts.append(" ".join(person.note.split()))
    return facts


def _test(result: TestResult) -> str:
    if result.found is not None:
        return f"{result.test}: {ALLELES[result.found]} found"
    return f"{result.test}: {result.result}"


def _parents(person: Person) -> str:
    if person.father is None or person.mother is None:
        return ""
    return f"{person.father} and {person.mother}"
