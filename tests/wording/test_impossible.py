"""What is said of evidence that is impossible, wherever it is met."""

import json

import pytest

from risk import actions
from risk.problems import ImpossibleEvidence

RECESSIVE = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
#: Who has just one allele is not born alive.
LETHAL = {"0": "1", "1": "0", "2": "1"}


def case(people, questions, **condition):
    return actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {**RECESSIVE, **condition},
                "people": people,
                "questions": questions,
            }
        )
    )


#: Two parents, and a child whom they cannot have.
IMPOSSIBLE = case(
    [
        {"id": "I-1", "sex": "male", "genotype": 0},
        {"id": "I-2", "sex": "female"},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "affected": True},
    ],
    [{"ask": "carrier", "person": "I-2"}],
)
#: Two parents who have no live-born child: it would have one allele of its mother.
CHILDLESS = case(
    [{"id": "I-1", "sex": "male", "genotype": 0}, {"id": "I-2", "sex": "female", "genotype": 2}],
    [
        {"ask": "disease_allele", "person": "I-2"},
        {"ask": "child_affected", "parents": ["I-1", "I-2"]},
    ],
    viability=LETHAL,
)


@pytest.mark.parametrize(
    "ask",
    [
        actions.solve,
        actions.explain,
        actions.ladder,
        actions.slips,
        lambda case: actions.mark(case, "1/2"),
    ],
)
def test_every_action_says_why_the_facts_cannot_be(ask):
    with pytest.raises(ImpossibleEvidence) as raised:
        ask(IMPOSSIBLE)
    assert str(raised.value) == (
        "II-1 is affected and so has two disease alleles, but I-1 is known to have no disease "
        "allele: of two alleles, one comes from each parent. These facts cannot all be true "
        "together under the model of the case; take any one of them back, and all that is left "
        "can be"
    )
    assert raised.value.conflict == ("I-1.genotype", "II-1.affected")


def test_a_question_without_an_answer_is_called_by_its_own_number():
    """Also where it alone is asked of the engine, as in marking."""
    with pytest.raises(ImpossibleEvidence, match="no child of I-1 and I-2") as raised:
        actions.mark(CHILDLESS, "1/2", 1)
    assert raised.value.path == "questions[1]"


def test_a_question_without_an_answer_keeps_no_other_from_being_marked():
    assert actions.mark(CHILDLESS, "1/2", 0).verdict == "wrong"


def test_a_row_of_a_class_names_the_facts_in_conflict():
    table = b"student,case,question,answer\na,x,0,1/2\n"
    (row,), _ = actions.mark_class(table, {"x": IMPOSSIBLE})
    assert row.problem.endswith("all that is left can be: I-1.genotype, II-1.affected")
