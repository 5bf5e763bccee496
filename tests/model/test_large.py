"""Families of thousands of people, in floats."""

import json

import pytest

from risk import actions
from risk.inference.arithmetic import FLOAT
from risk.inference.eliminate import Passing
from risk.inference.levels import LevelPassing
from risk.model.family import Family
from risk.model.network import make_network
from risk.problems import ImpossibleEvidence
from tests.bench.families import KINDS, kindred


@pytest.mark.parametrize("kind", KINDS)
def test_many_at_a_time_are_as_one_at_a_time(kind):
    case = actions.load(json.dumps(kindred(3, 5500, **KINDS[kind])))
    network = make_network(Family(case, floating=True))
    passing = network.passing()
    assert isinstance(passing, LevelPassing)
    plain = Passing(network.plan, network.scopes, network.tables, FLOAT)
    for one, other in zip(passing.marginals(), plain.marginals(), strict=True):
        assert one == pytest.approx([value * sum(one) / sum(other) for value in other], rel=1e-9)


def test_what_cannot_be_true_is_said_of_a_large_family_too():
    data = kindred(3, 5500, mode="autosomal_recessive")
    children = {person["id"]: person for person in data["people"] if "father" in person}
    child = next(iter(children.values()))
    for person in data["people"]:
        if person["id"] in (child["father"], child["mother"], child["id"]):
            person["genotype"] = 0 if person is child else 2
            person.pop("affected", None)
            person.pop("tests", None)
    with pytest.raises(ImpossibleEvidence):
        actions.solve(actions.load(json.dumps(data)), "float")
