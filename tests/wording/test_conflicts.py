"""Why evidence is impossible, in words."""

import json
from dataclasses import replace
from functools import partial

import pytest
from hypothesis import given

from risk import actions
from risk.case.model import Question
from risk.problems import ImpossibleEvidence, TooLarge
from risk.wording.conflicts import why_impossible
from tests import strategies

RECESSIVE = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/100"}}
DOMINANT = {**RECESSIVE, "inheritance": "autosomal_dominant"}
ON_X = {**RECESSIVE, "inheritance": "x_linked_recessive"}


def message(condition, father, mother, **children):
    """What `solve` says of two parents and their children, which cannot be."""
    people = [
        {"id": "I-1", "sex": "male", **father},
        {"id": "I-2", "sex": "female", **mother},
        *(
            {"id": id, "sex": "female", "father": "I-1", "mother": "I-2", **facts}
            for id, facts in children.items()
        ),
    ]
    case = actions.load(json.dumps({"version": 1, "condition": condition, "people": people}))
    with pytest.raises(ImpossibleEvidence) as raised:
        actions.solve(case)
    return str(raised.value)


AFFECTED, UNAFFECTED = {"affected": True}, {"affected": False}


def test_a_founder_who_would_have_what_no_founder_has():
    said = message({**DOMINANT, "frequency": {"allele": "1"}}, UNAFFECTED, {})
    assert said.startswith(
        "I-1 is unaffected and so has no disease allele, but a founder has two disease alleles "
        "under this condition."
    )


def test_an_id_at_the_beginning_stays_as_it_is():
    case = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {**RECESSIVE, "viability": {"0": "0", "1": "0", "2": "0"}},
                "people": [{"id": "a", "sex": "male"}, {"id": "A", "sex": "female"}],
            }
        )
    )
    with pytest.raises(ImpossibleEvidence, match=r"^a was born alive"):
        actions.solve(case)


def test_an_affected_child_of_two_unaffected_of_a_dominant_condition():
    said = message(DOMINANT, UNAFFECTED, UNAFFECTED, A=AFFECTED)
    assert said.startswith(
        "A is affected and so has at least one disease allele, but I-1 and I-2 are unaffected and "
        "so have no disease allele: there is none to pass on, and none arises anew. These facts "
        "cannot all be true together"
    )


def test_somebody_who_stands_for_several_has_the_verb_of_several():
    said = message(DOMINANT, {"genotype": 2}, {}, A={**UNAFFECTED, "count": 2})
    assert said.startswith("A (two siblings) are unaffected and so have no disease allele, but I-1")
    said = message({**DOMINANT, "frequency": {"allele": 1}}, {}, {}, A={**UNAFFECTED, "count": 2})
    assert said.startswith("A (two siblings) are unaffected and so have no disease allele, but no")


def test_an_unaffected_child_of_two_affected_of_a_recessive_condition():
    said = message(RECESSIVE, AFFECTED, AFFECTED, A=UNAFFECTED)
    assert "each parent passes one on for certain. These facts" in said


def test_a_parent_who_has_nothing_to_give():
    said = message(RECESSIVE, {"genotype": 0}, {}, A=AFFECTED)
    assert "but I-1 is known to have no disease allele: of two alleles, one comes from each" in said


def test_father_and_daughter_on_the_x():
    said = message(ON_X, UNAFFECTED, {}, A=AFFECTED)
    assert "a father passes his X on to every daughter" in said


def test_mother_and_son_on_the_x():
    said = message(ON_X, {}, {"genotype": 2}, A={**UNAFFECTED, "sex": "male"})
    assert "a son has his one X from his mother" in said


def test_no_allele_is_left_at_balance_without_new_mutation():
    balance = {"mutation_selection_balance": {"fitness": "1/2"}}
    said = message({**ON_X, "frequency": balance}, {}, {}, A={**AFFECTED, "sex": "male"})
    assert said.startswith("Without new mutations no disease allele is left at balance")
    assert "This cannot be true" in said


def test_no_founder_has_an_allele_of_frequency_0():
    said = message({**RECESSIVE, "frequency": {"allele": 0}}, {}, {}, A=AFFECTED)
    assert said.startswith("No founder has the disease allele (its frequency is 0)")


def test_a_founder_has_no_allele_that_only_arises_anew():
    new = {"maternal": "1/1000", "paternal": "1/1000"}
    never = {**DOMINANT, "frequency": {"allele": 0}, "mutation": new}
    said = message(never, AFFECTED, {})
    assert "has at least one disease allele, but a founder has no disease allele under" in said


def test_two_facts_about_one_person():
    said = message(RECESSIVE, {**AFFECTED, "genotype": 1}, {})
    assert "I-1 is affected and is known to be a carrier, which no genotype allows together" in said


def test_identical_twins_have_one_genotype():
    twin = {"twin": {"group": "t", "zygosity": "monozygotic"}}
    said = message(RECESSIVE, {}, {}, A={**AFFECTED, **twin}, B={**UNAFFECTED, **twin})
    assert "identical twins have one and the same genotype" in said


def test_siblings_whom_no_two_parents_can_have():
    said = message(ON_X, {}, {}, A=AFFECTED, B={"genotype": 0})
    assert "no genotypes of I-1 and I-2 allow for both" in said


def test_a_grandchild_through_somebody_of_whom_nothing_is_known():
    people = [
        {"id": "I-1", "sex": "male", "affected": False},
        {"id": "I-2", "sex": "female", "affected": False},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2"},
        {"id": "II-2", "sex": "female", "affected": False},
        {"id": "III-1", "sex": "male", "father": "II-1", "mother": "II-2", "affected": True},
    ]
    case = actions.load(json.dumps({"version": 1, "condition": DOMINANT, "people": people}))
    question = Question("disease_allele", person="III-1")
    case = replace(case, questions=(question,))
    for job in (actions.solve, actions.explain, partial(actions.mark, answer="1/2")):
        with pytest.raises(ImpossibleEvidence) as raised:
            job(case)
        said = str(raised.value)
        assert "II-1 and II-2 have no disease allele, as I-1, I-2 and II-2 are" in said


def test_a_line_longer_than_python_recurses():
    people = [{"id": "m0", "sex": "male"}, {"id": "w0", "sex": "female"}]
    for n in range(1, 1200):
        people.append({"id": f"m{n}", "sex": "male", "father": f"m{n - 1}", "mother": f"w{n - 1}"})
        people.append({"id": f"w{n}", "sex": "female"})
    people[-2]["affected"] = people[-1]["affected"] = False
    child = {"id": "child", "sex": "male", "father": "m1199", "mother": "w1199", "affected": True}
    case = {"version": 1, "condition": DOMINANT, "people": [*people, child]}
    with pytest.raises(ImpossibleEvidence, match="there is none to pass on"):
        actions.solve(actions.load(json.dumps(case)))


def test_words_and_structure_stay_apart():
    """The reason is part of the first line; facts follow, one a line, as documented."""
    said = message(DOMINANT, UNAFFECTED, UNAFFECTED, A=AFFECTED)
    assert "\n" not in said


@given(strategies.cases())
def test_a_reason_is_one_clause_or_nothing(data):
    case = actions.load(json.dumps(data))
    try:
        actions.solve(case)
    except ImpossibleEvidence as error:
        if error.conflict:
            why = why_impossible(case, error.conflict)
            assert why == why.strip().rstrip(".")
            people = {path.rsplit(".", 1)[0] for path in error.conflict}
            named = {case.person(id).name or id for id in people}
            assert not why or all(name in why for name in named)
    except TooLarge:
        pass
