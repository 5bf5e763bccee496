"""A practice case in the making: people added one by one, named and numbered at the end."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

from risk.case.edit import renumber
from risk.case.model import (
    ByAlleles,
    Case,
    Condition,
    Couple,
    Frequency,
    Inheritance,
    Person,
    Question,
    Sex,
    Test,
    TestResult,
)
from risk.number import Quantity, quantity
from risk.teaching.names import CONDITIONS, PEOPLE
from risk.teaching.practice_order import as_drawn


def age(years: int) -> Quantity:
    """Return an age as a case file has it."""
    return Quantity(str(years), quantity(str(years)).value, quoted=False)


def table(zero: str, one: str, two: str) -> ByAlleles:
    """Return a table by number of disease alleles."""
    return ByAlleles(quantity(zero), quantity(one), quantity(two))


def single(zero: str, one: str) -> ByAlleles:
    """Return a table of males on the X, who have one copy."""
    return ByAlleles(quantity(zero), quantity(one), None)


class Draft:
    """A family that grows; `dice` decides what the template leaves open."""

    def __init__(
        self,
        dice: Random,
        inheritance: Inheritance,
        frequency: str | Frequency = "rare",
        **condition: Any,
    ) -> None:
        """Start with a condition; as a text `frequency` is ``rare`` or that of carriers."""
        self.dice = dice
        self.people: list[Person] = []
        self.couples: list[tuple[str, str]] = []
        self.questions: list[Question] = []
        if frequency == "rare":
            frequency = Frequency(allele="rare")
        elif isinstance(frequency, str):
            frequency = Frequency(carrier=quantity(frequency))
        self.condition = Condition(
            inheritance=inheritance,
            frequency=frequency,
            name=dice.choice(CONDITIONS[inheritance]),
            **condition,
        )

    def sex(self) -> Sex:
        """Return a sex by the toss of a coin."""
        return self.dice.choice(("female", "male"))

    def sexes(self) -> tuple[Sex, Sex]:
        """Return both sexes in an order left to chance."""
        first = self.sex()
        return (first, "male" if first == "female" else "female")

    def add(
        self,
        sex: Sex | None = None,
        parents: tuple[str, str] | None = None,
        affected: bool | None = False,
        **more: Any,
    ) -> str:
        """Add a person (of either sex, unaffected, with parents as father and mother)."""
        father, mother = parents or (None, None)
        id = f"p{len(self.people)}"
        chosen = self.sex() if sex is None else sex
        self.people.append(
            Person(id, sex=chosen, father=father, mother=mother, affected=affected, **more)
        )
        return id

    def pair(self, affected: bool | None = False, **more: Any) -> tuple[str, str]:
        """Add a father and a mother."""
        return self.add("male", affected=affected, **more), self.add(
            "female", affected=affected, **more
        )

    def of(self, id: str) -> Person:
        """Return a person by the id in the making."""
        return next(person for person in self.people if person.id == id)

    def change(self, id: str, **changes: Any) -> None:
        """Change a person."""
        self.people = [replace(p, **changes) if p.id == id else p for p in self.people]

    def partner(self, id: str, affected: bool | None = False, **more: Any) -> str:
        """Add a partner of the other sex who marries in, and make them a couple."""
        sex: Sex = "male" if self.of(id).sex == "female" else "female"
        partner = self.add(sex, affected=affected, **more)
        self.couples.append(self.couple(id, partner))
        return partner

    def couple(self, one: str, other: str) -> tuple[str, str]:
        """Return two people as (father, mother)."""
        return (one, other) if self.of(one).sex == "male" else (other, one)

    def children(
        self,
        parents: tuple[str, str],
        fewest: int,
        most: int,
        sex: Sex | None = None,
        affected: bool | None = False,
    ) -> None:
        """Add some children, from `fewest` to `most`."""
        for _ in range(self.dice.randint(fewest, most)):
            self.add(sex, parents, affected)

    def healthy_sibling(self, sex: Sex | None = None) -> tuple[tuple[str, str], str]:
        """Add unaffected parents, an affected child and an unaffected one.

        Returns the parents and the unaffected child.
        """
        parents = self.pair()
        self.add(parents=parents, affected=True)
        return parents, self.add(sex, parents)

    def x_linked_carrier(self, affected_son: bool = False) -> tuple[str, str]:
        """Add a woman known to be a carrier, her partner, and perhaps an affected son.

        Returns the couple as (father, mother).
        """
        mother = self.add("female", genotype=1)
        parents = (self.partner(mother), mother)
        if affected_son:
            self.add("male", parents, affected=True)
        return parents

    def test(self, name: str, sensitivity: str, specificity: str) -> None:
        """Add a test to the condition."""
        test = Test(name, sensitivity=quantity(sensitivity), specificity=quantity(specificity))
        self.condition = replace(self.condition, tests=(*(self.condition.tests or ()), test))

    def result(self, id: str, test: str, result: str) -> None:
        """Give a person a test result."""
        self.change(id, tests=(*self.of(id).tests, TestResult(test, result=result)))

    def ask(self, ask: str, **of: Any) -> None:
        """Ask a question."""
        self.questions.append(Question(ask, **of))

    def ask_with_child(
        self, person: str, parents: tuple[str, str], ask: str = "carrier", sex: Sex | None = None
    ) -> None:
        """Ask about a person, and whether the next child of `parents` will be affected."""
        self.ask(ask, person=person)
        self.ask("child_affected", parents=parents, sex=sex)

    def case(self) -> Case:
        """Return the case: names given, standard ids, the first person asked about marked."""
        pools = {sex: self.dice.sample(names, len(names)) for sex, names in PEOPLE.items()}
        people = [
            person
            if person.count or person.status == "pregnancy"
            else replace(person, name=pools[person.sex].pop())
            for person in self.people
        ]
        first = self.questions[0]
        asked = first.person or (first.people or first.parents or ("",))[0]
        if first.parents or first.people:
            family = [id for id in (first.people or first.parents or ()) if not self.of(id).founder]
            asked = family[0] if family else asked
        if self.of(asked).status == "pregnancy":
            asked = self.of(asked).mother or asked
        people = [replace(p, roles=("consultand",)) if p.id == asked else p for p in people]
        people = as_drawn(people, self.couples)
        couples = tuple(Couple(pair) for pair in self.couples)
        case = Case(self.condition, tuple(people), couples=couples, questions=tuple(self.questions))
        return renumber(case)
