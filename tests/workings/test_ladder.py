"""Which facts make one rung of an evidence ladder."""

import pytest

from risk.workings.ladder import ladder
from tests.workings.families import case, person

UNAFFECTED = [
    person("A", "male", affected=False),
    person("B", "female", affected=False),
    person("X", "male", affected=False),
    person("Y", "female", affected=False),
]
CHILDREN = [
    person("C", "female", ("A", "B")),
    person("Z", "male", ("X", "Y")),
]


def rungs(mode, people, question):
    return [rung.text for rung in ladder(case(mode, {"allele": "1/100"}, people, [question]))][1:]


@pytest.mark.parametrize("mode", ["autosomal_recessive", "x_linked_recessive"])
def test_two_couples_who_are_not_related_are_two_rungs(mode):
    asked = {"ask": "child_affected", "parents": ["Z", "C"]}
    found = rungs(mode, [*UNAFFECTED, *CHILDREN], asked)
    assert found == ["A and B are unaffected", "X and Y are unaffected"]


def test_siblings_are_one_rung_and_half_siblings_are_not():
    """On the X sons have the mother's allele alone, but half brothers are no sibship."""
    brothers = [person(id, "male", ("A", "B"), affected=False) for id in ("D", "E")]
    half = person("F", "male", ("X", "B"), affected=False)
    asked = {"ask": "carrier", "person": "B"}
    parents = [person("A", "male"), person("B", "female"), person("X", "male")]
    found = rungs("x_linked_recessive", [*parents, *brothers, half], asked)
    assert found == ["D and E are unaffected", "F is unaffected"]
