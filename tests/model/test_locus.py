"""What the tables of a condition keep, so that every family with it has it at hand."""

import json

from strategies import random_family

from risk.case.read import read_case
from risk.model.family import Family


def test_chances_of_a_fact_and_of_children_are_worked_out_once():
    family = Family(read_case(json.dumps(random_family(1, 20))))
    again = Family(read_case(json.dumps(random_family(1, 20))))
    for one, two in zip(family.facts, again.facts, strict=True):
        copies = family.copies[family.variable[one.person]]
        chances = family.locus.fact_likelihood(copies, one.evidence)
        assert again.locus.fact_likelihood(copies, two.evidence) is chances
    assert family.locus.children(2, 1, 0) is again.locus.children(2, 1, 0)
