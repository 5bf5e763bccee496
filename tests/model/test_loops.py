"""Families whose loops interlock, against pyAgrum (a second opinion from outside the project)."""

import json

import pytest
import strategies
from bayesnet import Network

import risk.model.solve
import risk.workings.weigh
from risk.actions import explain, solve
from risk.case.read import read_case
from risk.inference import condition
from risk.inference.condition import Conditioned
from risk.model import network, partial
from risk.model.family import Family
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


def looped(seed, people, loops, **options):
    return strategies.random_family(seed, people, loops=loops, **options)


HARD = {"people": 30, "loops": 8, "told": 0.3}
CUT = [
    looped(3, mode="autosomal_recessive", **HARD),
    looped(2, 30, 6, mode="autosomal_recessive", mutation="1/1000"),
    looped(3, 30, 6, mode="autosomal_dominant", reduced="0.8", onset=True),
    looped(3, mode="x_linked_recessive", mutation="1/1000", twins=2, **HARD),
    looped(11, mode="autosomal_recessive", **HARD),
]
CUT[-1]["condition"] |= {
    "frequency": {"allele": "rare"},
    "penetrance": {"0": 0, "1": "1/10", "2": "1/2"},
}


def asking_pairs(case):
    """The case with questions about one person, about two, and about a couple's children."""
    people = case["people"]
    couples = [[p["father"], p["mother"]] for p in people if "father" in p]
    case["questions"] = [
        {"ask": "carrier", "person": people[-1]["id"]},
        {"ask": "both_carriers", "people": [people[0]["id"], people[-1]["id"]]},
        {"ask": "child_affected", "parents": couples[-1]},
        {"ask": "children_affected", "parents": couples[0], "of": 2, "at_least": 1},
    ]
    return read_case(json.dumps(case))


@pytest.mark.parametrize("data", CUT)
@pytest.mark.parametrize("arithmetic", ["exact", "float"])
def test_people_held_fixed_change_no_answer(data, arithmetic, monkeypatch):
    """With the bound so low that some must be: fractions equal, floats to 1e-12."""
    case = asking_pairs(data)
    monkeypatch.setattr(partial, "MOST_ENTRIES", 0)  # workings from a network for each question
    whole, workings = solve(case, arithmetic), explain(case, arithmetic)
    kept = network.make_network
    fixed = []

    def spying(*args, **options):
        made = kept(*args, **options)
        fixed.append(isinstance(made.plan, Conditioned))
        return made

    monkeypatch.setattr(network, "MOST_ENTRIES", 10)
    monkeypatch.setattr(condition, "_SMALL", 0)
    for module in (risk.model.solve, risk.workings.weigh):
        monkeypatch.setattr(module, "make_network", spying)
    cut = solve(case, arithmetic)
    assert any(fixed)
    if whole.log_likelihood is None:
        assert cut.log_likelihood is None
    else:
        assert cut.log_likelihood == pytest.approx(whole.log_likelihood, abs=1e-12)
    fixed.clear()
    again = explain(case, arithmetic)
    assert any(fixed)
    if arithmetic == "exact":
        assert cut.answers == whole.answers
        assert cut.people == whole.people
        assert again == workings
        return
    for one, two in zip(cut.people, whole.people, strict=True):
        for a, b in zip(one.disease_alleles, two.disease_alleles, strict=True):
            assert a.value == pytest.approx(b.value, abs=1e-12)
    for one, two in zip(again, workings, strict=True):
        assert one.probability.value == pytest.approx(two.probability.value, abs=1e-12)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_three_hundred_people_with_fifty_marriages_between_relatives(seed):
    """Refused once; now the tables fit, with a few people held fixed where they must be."""
    case = read_case(json.dumps(looped(seed, 300, 50, mode="autosomal_recessive")))
    made = network.make_network(Family(case))
    made.check_size()
    assert made.plan.cost <= network.MOST_WORK


def test_a_population_that_marries_at_random_is_too_large():
    case = strategies.random_family(5, 1500, loops=200, mode="autosomal_recessive")
    with pytest.raises(TooLarge, match=r"the largest table would have [\d,]+ entries"):
        solve(read_case(json.dumps(case)))
