"""The sentences of workings: who, which fact, and why this number."""

from pathlib import Path

import pytest

from risk import actions
from tests.workings.families import person, told

ROOT = Path(__file__).parents[2]


def steps(name, question=0):
    case = actions.load((ROOT / name).read_bytes())
    return actions.explain(case)[question].steps


def test_the_healthy_sib_is_one_table_and_says_why_both_parents_are_carriers():
    (step,) = steps("tests/handbook/04.json")
    assert "so I-1 and I-2 are both carriers for certain" in step.text
    assert "which rules out two copies of the allele" in step.text
    assert [row.text for row in step.rows] == ["from two carriers", "II-2 is unaffected"]


def test_three_healthy_sons_are_one_row_and_the_product_is_shown():
    (step,) = steps("tests/handbook/16.json")
    assert step.rows[1].text == "three unaffected sons"
    assert "1/2 × 1/2 × 1/2 = 1/8" in step.text


def test_the_marriage_of_cousins_needs_no_table_of_the_grandparents():
    people = [step.people for step in steps("tests/handbook/09.json", 1)]
    assert people == [("III-2",), ("III-3",), ("III-2", "III-3")]


def test_vanishing_chances_are_shown_where_they_decide():
    texts = [step.text for step in steps("fixtures/lethal-balance.json")]
    assert any("is a carrier with chance 2ε" in text for text in texts)


def test_the_last_line_says_which_parents_can_have_such_a_child():
    last = steps("tests/handbook/04.json", 1)[-1]
    assert "II-2 and II-3 are both carriers and both pass the allele on" in last.text
    assert "1/2 × 1/2 = 1/4" in last.text


def test_several_children_are_worked_out_from_one():
    (step,) = steps("tests/handbook/06.json")
    assert "Each child is affected with chance 1/2 × 1/2 = 1/4 and unaffected with" in step.text
    assert "1 - (3/4)⁴ = 175/256" in step.text


def test_the_cousins_chain_is_told_from_the_affected_child_down():
    (step,) = steps("tests/handbook/09.json")
    assert "III-1 is affected, so II-1 is a carrier for certain" in step.text
    assert "1/2 × 1/2 = 1/4" in step.text


def test_the_balance_of_mutation_and_selection_is_worked_out():
    texts = [step.text for step in steps("fixtures/lethal-balance.json")]
    assert any("2(u + v) = 4ε" in text for text in texts)


@pytest.mark.parametrize("path", sorted(ROOT.glob("fixtures/*.json")), ids=lambda p: p.stem)
def test_no_sentence_is_broken(path):
    """Sentences end once, begin with a capital or an id, and leave no gap."""
    for working in actions.explain(actions.load(path.read_bytes())):
        for text in [*(step.text for step in working.steps), working.conclusion]:
            assert text.endswith(".")
            assert ".." not in text
            assert "  " not in text
            assert "None " not in text.removeprefix("None of")
            assert " ," not in text


def test_a_twins_row_is_worked_out():
    """1/3 identical: affected as the twin is, with 2/3 as any child of two carriers is."""
    (step,) = steps("fixtures/twins.json")
    assert "affected 1/3 × 1 + 2/3 × 1/4 = 1/2" in step.text
    assert "carrier 2/3 × 1/2 = 1/3" in step.text


def test_long_fractions_follow_what_can_be_read():
    first, _ = actions.explain(actions.load((ROOT / "fixtures/new-mutation.json").read_bytes()))
    assert "affected by new mutation only" in first.steps[-1].text
    assert first.conclusion.endswith(
        "about 1 in 50,000 (exactly 199999/10000000000 = 1.99999 × 10⁻⁵)."
    )


def test_many_facts_without_effect_are_counted():
    path = ROOT / "fixtures/island-family.json"
    last = actions.explain(actions.load(path.read_bytes()))[-1]
    assert len(last.no_difference) == 30
    assert last.idle == ("30 facts about 30 people",)


def test_an_unaffected_man_from_the_population_is_said_to_be_one_where_it_decides():
    # In the limit he has no allele whatever is known of him; but his wife's chance of having
    # one is vanishing too, and there his being unaffected counts.
    texts = [step.text for step in steps("fixtures/lethal-balance.json")]
    assert any("I-1 is unaffected, so I-1 has no copy of the allele" in text for text in texts)
    assert not any("I-1 comes from the population" in text for text in texts)


def test_a_third_of_the_children_of_a_woman_whose_affected_sons_die_is_derived():
    (step,) = steps("fixtures/male-lethal.json")
    assert (
        "a daughter with no copy, a daughter with one copy, a son with no copy or a son with the "
        "allele, all equally likely, and then is born alive with chance 1, 1, 1 and 0: in all "
        "1/4 + 1/4 + 1/4 = 3/4. Of all conceived 1/4 are affected and born alive, which is "
        "(1/4) / (3/4) = 1/3 of those born."
    ) in step.text


def test_a_named_result_is_tested_for():
    texts = [row.text for step in steps("fixtures/enzyme-level.json") for row in step.rows]
    assert 'Runa has the enzyme level result "normal"' in texts


def test_signs_in_a_name_stay_as_they_are():
    parents = [person("I-1", "male", name="Who = ≈ 3"), person("I-2", "female")]
    child = person("II-1", "female", ("I-1", "I-2"), affected=True)
    asked = [{"ask": "carrier", "person": "I-1"}]
    (text,) = told("autosomal_recessive", {"carrier": "1/25"}, [*parents, child], asked)
    assert "Who = ≈ 3" in text
