"""What conflicting facts leave of people's genotypes, as data."""

import json

from risk.case.read import read_case
from risk.model.family import Family
from risk.model.genotypes_left import (
    FromNowhere,
    OneBirth,
    OneGenotype,
    SiblingsTogether,
    why_none_is_left,
)

RECESSIVE = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/100"}}


def reason(condition, father, mother, **children):
    """Why what is known of two parents and their children cannot be."""
    people = [
        {"id": "I-1", "sex": "male", **father},
        {"id": "I-2", "sex": "female", **mother},
        *(
            {"id": id, "sex": "female", "father": "I-1", "mother": "I-2", **facts}
            for id, facts in children.items()
        ),
    ]
    family = Family(read_case(json.dumps({"version": 1, "condition": condition, "people": people})))
    return why_none_is_left(family, family.facts)


def test_a_child_without_alleles_of_an_affected_parent():
    """Recessive: the affected mother has two copies, and so every child of hers has one."""
    found = reason(RECESSIVE, {}, {"affected": True}, C={"genotype": 0})
    assert isinstance(found, OneBirth)
    mother, father = found.parents
    assert (found.child.people, found.child.counts) == (("C",), {0})
    assert (mother.people, mother.counts) == (("I-2",), {2})
    assert (father.counts, father.facts) == ({0, 1, 2}, ())


def test_a_founder_without_alleles_where_all_have_two():
    found = reason({**RECESSIVE, "frequency": {"allele": "1"}}, {"genotype": 0}, {})
    assert isinstance(found, OneGenotype)
    assert (found.left.counts, found.founders.counts) == ({0}, {2})


def test_an_allele_from_nowhere():
    condition = {**RECESSIVE, "frequency": {"allele": "0"}}
    assert reason(condition, {}, {"affected": True}) == FromNowhere()


def test_sisters_whom_no_two_parents_can_have():
    """On the X one sister needs a father with the allele, and the other one without."""
    on_x = {**RECESSIVE, "inheritance": "x_linked_recessive"}
    found = reason(on_x, {}, {}, A={"affected": True}, B={"genotype": 0})
    assert found == SiblingsTogether(("I-1", "I-2"), 2)


def test_no_reason_where_none_is_simple():
    assert reason(RECESSIVE, {"affected": False}, {}, A={"affected": True}) is None
