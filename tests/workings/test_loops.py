"""What is said of loops: where the family has one, and nowhere else."""

import json
from fractions import Fraction

import pytest
import strategies
from hypothesis import given, note

from risk import actions
from risk.problems import ImpossibleEvidence
from tests.workings.families import case, person

SAID = "tied together in a loop"


def loop_free(family):
    """Whether lines of descent tie no two people together in two ways.

    A graph of people and couples, an edge from each couple to its partners and to its children,
    is a forest if no edge joins what was joined before.  Identical twins are one person.
    """
    one_of = {}
    for each in family["people"]:
        twin = each.get("twin", {})
        alike = twin.get("zygosity") == "monozygotic"
        one_of[each["id"]] = ("twins", twin["group"]) if alike else each["id"]
    edges = set()
    for each in family["people"]:
        if "father" in each:
            couple = (one_of[each["father"]], one_of[each["mother"]])
            edges |= {(couple, end) for end in (*couple, one_of[each["id"]])}
    above = {}

    def top(node):
        while node in above:
            node = above[node]
        return node

    for one, other in sorted(edges, key=str):
        one, other = top(one), top(other)
        if one == other:
            return False
        above[one] = other
    return True


def texts(family):
    """Everything that is said in the steps of a family's workings; nothing of an impossible one."""
    try:
        workings = actions.explain(actions.load(json.dumps(family)))
    except ImpossibleEvidence:
        return ""
    return " ".join(step.text for working in workings for step in working.steps)


def test_what_is_known_of_a_niece_and_her_father_is_a_row_of_her_grandfather():
    """I-1's daughter II-2 has an unaffected daughter of II-4, and nobody is related to anybody.

    With the frequency 1/100 an unaffected II-4 is a carrier with chance 2/101, so that a carrier's
    child with him is unaffected with chance 99/101 + 2/101 × 3/4 = 201/202.  Of I-1's children
    with the carrier I-2 half, or if he is one a quarter, carry nothing and half are carriers:
    1/2 + 1/2 × 201/202 = 403/404 and 1/4 + 1/2 × 201/202 = 151/202.
    """
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False, genotype=1),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-4", "male", affected=False),
        person("III-2", "female", ("II-4", "II-2"), affected=False),
    ]
    asked = [{"ask": "carrier", "person": "II-1"}]
    (working,) = actions.explain(
        case("autosomal_recessive", {"allele": "1/100"}, people, asked),
    )
    step = working.steps[0]
    assert step.people == ("I-1",)
    row = step.rows[-1]
    assert "II-4 is unaffected, which rules out two copies of the allele. III-2" in step.text
    assert row.text == "II-2, II-4 and III-2 are unaffected"
    assert {"II-2.affected", "II-4.affected", "III-2.affected"} <= set(row.facts)
    assert row.values[:2] == (Fraction(403, 404), Fraction(151, 202))
    assert (
        "II-4 is a carrier with chance 2/101, so that the chance of all this is "
        "99/101 + 2/101 × 3/4 = 201/202 if II-2 is a carrier. "
        "Weighed by what II-2 may have: if I-1 has no copy of the allele "
        "1/2 + 1/2 × 201/202 = 403/404"
    ) in step.text
    assert SAID not in step.text


def test_what_comes_in_through_two_children_is_said_to_be_in_a_loop():
    """Cousins have a child, so that each of their uncertain other parents bears on both lines."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-1", "I-2"), affected=False),
        person("II-3", "female", affected=False),
        person("II-4", "male", affected=False),
        person("III-1", "male", ("II-1", "II-3"), affected=False),
        person("III-2", "female", ("II-4", "II-2"), affected=False),
        person("IV-1", "male", ("III-1", "III-2"), affected=False),
    ]
    parts = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/100"}}
    family = {
        "version": 1,
        "condition": parts,
        "people": people,
        "questions": [{"ask": "genotype", "person": "I-1"}],
    }
    assert not loop_free(family)
    said = "The family is tied together in a loop, so what remains (II-3 and II-4 are unaffected)"
    assert said in texts(family)
    assert loop_free(family | {"people": people[:-1]})


def test_a_loop_that_certain_people_cut_is_none():
    """Double cousins, and II-5 makes carriers of I-1 and I-2, so that II-1 and II-4 are with 2/3.

    A carrier's child with one of these is unaffected with 1/3 + 2/3 × 3/4 = 5/6; so each of the
    two children of I-3 and I-4 counts with 1/2 + 1/2 × 5/6 = 11/12, or with 1/4 + 1/2 × 5/6 = 2/3.
    """
    people = [
        *[person(f"I-{n}", "male" if n % 2 else "female", affected=False) for n in (1, 2, 3, 4)],
        person("II-1", "male", ("I-1", "I-2"), affected=False),
        person("II-2", "female", ("I-3", "I-4"), affected=False),
        person("II-3", "male", ("I-3", "I-4"), affected=False),
        person("II-4", "female", ("I-1", "I-2"), affected=False),
        person("II-5", "female", ("I-1", "I-2"), affected=True),
        person("III-1", "male", ("II-1", "II-2"), affected=False),
        person("III-2", "female", ("II-3", "II-4"), affected=False),
    ]
    asked = [{"ask": "child_affected", "parents": ["III-1", "III-2"]}]
    (working,) = actions.explain(case("autosomal_recessive", {"carrier": "1/40"}, people, asked))
    *of_partners, step = working.steps[:3]
    assert step.people == ("I-3", "I-4")
    values = tuple(Fraction(each) for each in ("1", "11/12", "11/12", "2/3"))
    assert [row.values for row in step.rows[1:]] == [values, values]
    assert [each.people for each in of_partners] == [("II-1",), ("II-4",)]
    assert [row.uses for row in step.rows[1:]] == [(each.id,) for each in of_partners]
    assert SAID not in step.text


@pytest.mark.parametrize("twins", [0, 2])
def test_no_loop_is_spoken_of_where_there_is_none(twins):
    found = 0
    for seed in range(60):
        family = strategies.random_family(seed, 8 + seed % 12, twins=twins, told=0.8)
        if loop_free(family):
            found += 1
            assert SAID not in texts(family), seed
    assert found > 40


@given(strategies.cases(asked=2))
def test_no_loop_is_spoken_of_in_small_families_of_any_kind(family):
    note(json.dumps(family))
    if loop_free(family):
        assert SAID not in texts(family)


def test_the_only_affected_child_of_cousins_makes_carriers_through_the_loop():
    """The rare allele came once into the family, by I-1 or I-2, and through II-1 and II-3."""
    healthy = {"affected": False}
    people = [
        person("I-1", "male", **healthy),
        person("I-2", "female", **healthy),
        person("II-1", "male", ("I-1", "I-2"), **healthy),
        person("II-2", "female"),
        person("II-3", "female", ("I-1", "I-2"), **healthy),
        person("II-4", "male"),
        person("III-1", "male", ("II-1", "II-2"), **healthy),
        person("III-2", "female", ("II-4", "II-3"), **healthy),
        person("III-3", "male", ("II-1", "II-2")),
        person("IV-1", "male", ("III-1", "III-2"), affected=True),
        person("IV-2", "male", ("III-1", "III-2")),
    ]
    asked = [{"ask": "carrier", "person": id} for id in ("IV-2", "III-3", "I-1")]
    found = actions.explain(case("autosomal_recessive", {"allele": "rare"}, people, asked))
    texts = [working.steps[-1].text for working in found]
    loop = (
        "II-1 is unaffected and IV-1 is affected, and as the allele is rare both copies of IV-1's "
        "descend from one and the same copy, of I-1 or I-2 (the common ancestors of the parents), "
        "one of them through II-1, so II-1 is a carrier for certain"
    )
    assert "III-1 and III-2 are unaffected and IV-1 is affected, so III-1 and III-2" in texts[0]
    assert texts[1].startswith(f"{loop}.")
    assert texts[2] == (
        f"{loop}; as the allele is rare, just one of the parents, I-1 and I-2, has it, either "
        "with chance 1/2."
    )
    # What no sentence names makes no difference.
    assert [sorted(each.no_difference) for each in found] == [
        [f"{id}.affected" for id in ids]
        for ids in (
            ("I-1", "I-2", "II-1", "II-3"),
            ("I-1", "I-2", "II-3", "III-1", "III-2"),
            ("I-1", "I-2", "II-3", "III-1", "III-2"),
        )
    ]
