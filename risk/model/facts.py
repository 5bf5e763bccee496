"""The facts of a case: each piece of evidence, named by its path, and what it says."""

from __future__ import annotations

from fractions import Fraction
from typing import NamedTuple

from risk.case.model import Case, Sex
from risk.genetics.penetrance import viability_matters
from risk.model.locus import Evidence, age_value
from risk.model.named import named

#: Statuses of people who were born alive.
LIVE_BORN = ("alive", "deceased")


class Fact(NamedTuple):
    """One piece of evidence: its path (``II-2.affected``), whose it is and what it says."""

    path: str
    person: str
    evidence: Evidence


def facts_of(case: Case) -> list[Fact]:
    """List the facts of a case, person by person in the order of the file.

    Beside what is written of a person these are: live birth (``born``), where viability is not
    1 throughout; and, under mutation-selection balance, that a man of unknown phenotype has
    children in the tree (``fathered``).
    """
    condition = case.condition
    born_matters = viability_matters(condition)
    fathers: set[str] = set()
    if condition.frequency.mutation_selection_balance is not None:
        fathers = {person.father for person in case.people if person.father is not None}
    onset = condition.onset is not None
    facts: list[Fact] = []
    phenotypes: dict[tuple[Sex, bool, Fraction | None], Evidence] = {}
    for person in case.people:
        id = person.id
        if person.affected is not None:
            # An affected person counts with the lifetime penetrance, and without onset data age
            # says nothing: dropping it lets people of any age share one table.
            age = age_value(person.age) if onset and not person.affected else None
            phenotype = (person.sex, person.affected, age)
            evidence = phenotypes.get(phenotype)
            if evidence is None:
                evidence = phenotypes[phenotype] = Evidence("affected", phenotype)
            facts.append(named(Fact, (f"{id}.affected", id, evidence)))
        if person.genotype is not None:
            facts.append(Fact(f"{id}.genotype", id, Evidence("genotype", person.genotype)))
        if person.tests:
            for index, result in enumerate(person.tests):
                evidence = named(Evidence, ("tests", result))
                facts.append(named(Fact, (f"{id}.tests[{index}]", id, evidence)))
        if born_matters and person.status in LIVE_BORN:
            facts.append(Fact(f"{id}.born", id, Evidence("born", person.sex)))
        if fathers and id in fathers and person.affected is None:
            facts.append(Fact(f"{id}.fathered", id, Evidence("fathered", None)))
    return facts
