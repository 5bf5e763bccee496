"""A smallest set of facts that cannot all be true, as data."""

import json
import pickle

import pytest

from risk import actions
from risk.case.model import Question
from risk.model import solve
from risk.model.conflict import Contradiction
from risk.problems import ImpossibleEvidence, Problem, TooLarge

RECESSIVE = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}


def conflict(people, condition=RECESSIVE):
    case = actions.load(json.dumps({"version": 1, "condition": condition, "people": people}))
    with pytest.raises(ImpossibleEvidence) as raised:
        actions.solve(case)
    return raised.value.conflict


def trio(**child):
    return [
        {"id": "I-1", "sex": "male", "genotype": 0},
        {"id": "I-2", "sex": "female", "affected": False},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", **child},
        {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2", "affected": False},
    ]


def test_an_affected_child_of_a_parent_without_the_allele():
    assert conflict(trio(affected=True)) == ("I-1.genotype", "II-1.affected")


def two_families(second):
    """An affected child of unaffected parents under dominant inheritance, who has a sister."""
    people = [
        {"id": "I-1", "sex": "male", "affected": False},
        {"id": "I-2", "sex": "female", "affected": False},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "affected": True},
        {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2", **second},
    ]
    condition = {"inheritance": "autosomal_dominant", "frequency": {"allele": "1/10"}}
    case = actions.load(json.dumps({"version": 1, "condition": condition, "people": people}))
    with pytest.raises(ImpossibleEvidence) as raised:
        actions.solve(case)
    return raised.value


@pytest.mark.parametrize(
    ("second", "enough", "words"),
    [
        (
            {"affected": False},
            ("I-1.affected", "I-2.affected", "II-1.affected"),
            "take any one of them back, and all that is left can be",
        ),
        (
            {"affected": True},
            ("I-1.affected", "I-2.affected"),
            "it is enough to take back I-1.affected or I-2.affected",
        ),
        (
            {"genotype": 2},  # of whom both parents have the allele, so that one does not suffice
            (),
            "take one of them back, and see what else conflicts",
        ),
    ],
)
def test_which_facts_are_enough_to_take_back(second, enough, words):
    error = two_families(second)
    assert set(error.enough) == set(enough)
    assert words in str(error)


def test_one_fact_can_be_impossible_by_itself():
    never = {**RECESSIVE, "frequency": {"allele": 0}}
    assert conflict([{"id": "I-1", "sex": "male", "affected": True}], never) == ("I-1.affected",)


def test_the_fewest_facts_are_named_though_more_conflict_as_well():
    people = trio(affected=True)
    people[2]["genotype"] = 1  # affected with one copy only: two facts of one person
    assert len(conflict(people)) == 2


def test_a_family_too_interlocked_says_how_large():
    people = [{"id": f"A{i}", "sex": "male" if i % 2 else "female"} for i in range(30)]
    generation = [person["id"] for person in people]
    for level in range(5):
        born = []
        for i in range(30):
            mother, father = generation[(2 * i) % 30], generation[(2 * i + 7 + 2 * level) % 30 | 1]
            people.append(
                {
                    "id": f"B{level}-{i}",
                    "sex": "male" if i % 2 else "female",
                    "mother": mother,
                    "father": father,
                }
            )
            born.append(f"B{level}-{i}")
        generation = born
    case = actions.load(json.dumps({"version": 1, "condition": RECESSIVE, "people": people}))
    with pytest.raises(TooLarge, match="largest table would have"):
        actions.solve(case)


def without_child(people, question, **condition):
    """The error of a question about a child that cannot be live-born; asked second of two."""
    asked = [{"ask": "carrier", "person": "I-2"}, {"ask": "child_affected", **question}]
    case = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {**RECESSIVE, **condition},
                "people": people,
                "questions": asked,
            }
        )
    )
    for ask in (actions.solve, actions.explain):
        with pytest.raises(ImpossibleEvidence) as raised:
            ask(case)
    return raised.value, case


COUPLE = {"parents": ["I-1", "I-2"]}
LETHAL = {"0": "1", "1": "0", "2": "1"}


def test_the_facts_by_which_no_child_can_be_live_born():
    """A child of parents with 0 and 2 alleles has 1, which LETHAL rules out."""
    people = [
        {"id": "I-1", "sex": "male", "genotype": 0},
        {"id": "I-2", "sex": "female", "name": "Mo", "affected": True},
        {"id": "I-3", "sex": "male", "affected": False},
    ]
    error, _ = without_child(people, COUPLE, viability=LETHAL)
    assert error.conflict == error.enough == ("I-1.genotype", "I-2.affected")
    assert error.problems == (
        Problem(
            "questions[1]",
            "no child of I-1 and Mo can be live-born, so there is no chance to give: "
            "the viability is 0 for every genotype that is possible by these facts; leave "
            "the question out, or take back I-1.genotype or I-2.affected",
        ),
    )


def test_no_fact_is_named_where_no_child_of_any_parents_can_be_live_born():
    """Every egg mutates, so that every son has the allele, and no such son is live-born."""
    on_x = {"inheritance": "x_linked_recessive", "frequency": {"allele": "0"}}
    people = [{"id": "I-1", "sex": "male"}, {"id": "I-2", "sex": "female", "affected": False}]
    viability = {"female": {"0": "1", "1": "1", "2": "1"}, "male": {"0": "1", "1": "0"}}
    mutation = {"maternal": "1", "paternal": "0"}
    son = {**COUPLE, "sex": "male"}
    error, case = without_child(people, son, **on_x, mutation=mutation, viability=viability)
    assert error.conflict == ()
    assert str(error).startswith("no son of I-1 and I-2 can be live-born")
    assert "whatever is known of the two; leave the question out" in str(error)
    with pytest.raises(Contradiction) as raised:
        solve.answers(case)
    whole = pickle.loads(pickle.dumps(raised.value))
    assert whole.question == Question("child_affected", parents=("I-1", "I-2"), sex="male")
    assert (whole.conflict, whole.enough, whole.status) == ((), (), 3)


def test_the_engine_tells_what_conflicts_and_leaves_the_words_to_others():
    case = actions.load(
        json.dumps({"version": 1, "condition": RECESSIVE, "people": trio(affected=True)})
    )
    with pytest.raises(Contradiction) as raised:
        solve.solve(case)
    assert raised.value.conflict == raised.value.enough == ("I-1.genotype", "II-1.affected")
    assert raised.value.question is None
