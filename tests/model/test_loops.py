"""Families whose loops interlock, against pyAgrum (a second opinion from outside the project)."""

import json

import pytest
import strategies
from bayesnet import Network

from risk.actions import solve
from risk.case.read import read_case
from risk.problems import TooLarge

CONDITION = {
    "inheritance": "autosomal_recessive",
    "frequency": {"allele": "1/50"},
    "mutation": {"maternal": "1/10000", "paternal": "1/10000"},
}


class Kindred:
    """People added one by one; `case()` has the last one affected and tests nobody."""

    def __init__(self):
        self.people = []

    def add(self, sex, father=None, mother=None):
        id = f"N{len(self.people) + 1}"
        parents = {} if father is None else {"father": father, "mother": mother}
        self.people.append({"id": id, "sex": sex, **parents})
        return id

    def couple(self):
        return self.add("male"), self.add("female")

    def case(self):
        self.people[-1]["affected"] = True
        for person in self.people[-9:-1]:
            person["affected"] = False
        ask = [{"ask": "carrier", "person": self.people[0]["id"]}]
        return {"version": 1, "condition": CONDITION, "people": self.people, "questions": ask}


def double_cousins():
    """Two brothers marry two sisters; their children marry, and so do the grandchildren."""
    family = Kindred()
    one, two = family.couple(), family.couple()
    brothers = [family.add("male", *one) for _ in range(2)]
    sisters = [family.add("female", *two) for _ in range(2)]
    for _ in range(4):
        couples = list(zip(brothers, sisters, strict=True))
        brothers = [family.add("male", *couples[0]) for _ in range(2)]
        sisters = [family.add("female", *couples[1]) for _ in range(2)]
    family.add("female", brothers[0], sisters[0])
    return family.case()


def uncles_and_nieces():
    """In every generation a man marries his sister's daughter."""
    family = Kindred()
    father, mother = family.couple()
    for _ in range(6):
        uncle = family.add("male", father, mother)
        sister = family.add("female", father, mother)
        niece = family.add("female", family.add("male"), sister)
        father, mother = uncle, niece
    family.add("male", father, mother)
    return family.case()


def cousins_for_six_generations():
    """Four sibships of two brothers and two sisters a generation, each marrying into the next."""
    family = Kindred()
    couples = [family.couple() for _ in range(4)]
    for _ in range(5):
        sibships = [
            [family.add(sex, *couple) for sex in ("male", "female", "male", "female")]
            for couple in couples
        ]
        couples = [(sibships[place][0], sibships[place - 1][1]) for place in range(4)]
    family.add("male", *couples[0])
    return family.case()


@pytest.mark.parametrize(
    "kindred", [double_cousins, uncles_and_nieces, cousins_for_six_generations]
)
@pytest.mark.parametrize("arithmetic", ["exact", "float"])
def test_interlocked_loops_are_solved(kindred, arithmetic):
    case = kindred()
    opinion = Network(case).marginals()
    solution = solve(read_case(json.dumps(case)), arithmetic)
    for person in solution.people:
        chances = [chance.value for chance in person.disease_alleles]
        assert chances == pytest.approx(opinion[person.id], abs=1e-9)


def test_six_generations_are_about_a_hundred_people():
    assert 85 <= len(cousins_for_six_generations()["people"]) <= 110


def test_a_population_that_marries_at_random_is_too_large():
    case = strategies.random_family(5, 1500, loops=200, mode="autosomal_recessive")
    with pytest.raises(TooLarge, match=r"the largest table would have [\d,]+ entries"):
        solve(read_case(json.dumps(case)))
