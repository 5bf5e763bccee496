"""Where the paths part: the line that is shown, and that it never holds the answer."""

import json

from risk import actions
from risk.case.read import read_case
from risk.document.marks import mark_blocks
from risk.render.text_blocks import blocks_to_text
from tests.teaching.slip_cases import ILL, SIBS, WELL, family, one


def parting(plain, answer):
    found = actions.mark(read_case(json.dumps(plain)), answer).parting
    assert found is not None
    return found


def page(plain, answer):
    case = read_case(json.dumps(plain))
    return " ".join(blocks_to_text(mark_blocks(actions.mark(case, answer), case), 400).split())


def test_the_table_of_whoever_was_left_undivided_is_shown():
    # Carriers: Ludo 1/25 x 1/10 = 1/250 of 241/250, Kaia 1/2 x 1/10 = 1/20 of 3/10.
    tested = actions.example("negative-test")
    for answer, name, carrier in (
        ("1/6000", "Ludo", "1/250"),  # 1/250 x 1/6 x 1/4
        ("1/19280", "Kaia", "1/20"),  # 1/241 x 1/20 x 1/4
        ("1/20000", "Ludo", "1/250"),  # both: 1/250 x 1/20 x 1/4
    ):
        mark = actions.mark(tested, answer, 2)
        assert mark.slips == ("joint_not_divided",)
        assert mark.parting is not None
        assert f"{name} tested negative" in mark.parting.step
        assert str(dict(zip(mark.parting.labels, mark.parting.values, strict=True))["carrier"]) == (
            carrier
        )


def test_of_a_certain_answer_only_the_facts_are_shown():
    # The unaffected mother of an affected boy, without new mutation.
    people = [one("m1", **WELL), one("f1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    ask = {"ask": "carrier", "person": "f1"}
    sure = family("x_linked_recessive", {"allele": "1/100"}, people, ask)
    found = parting(sure, "2/101")  # of the population, who are well: 2pq / (1 - q^2)
    assert (found.step, found.text, found.labels) == ("", "m2 is affected", ())
    text = page(sure, "2/101")
    assert "Ask what follows from this: m2 is affected." in text
    assert "certain" not in text


def test_what_an_earlier_row_rules_out_is_not_shown():
    # f2 is well, so that "affected" has no number in the row of her test.
    people = [*SIBS[:3], {**SIBS[3], "tests": [{"test": "t", "result": "negative"}]}]
    test = {"name": "t", "sensitivity": "9/10", "specificity": "99/100"}
    ask = {"ask": "carrier", "person": "f2"}
    tested = family("autosomal_recessive", {"carrier": "1/50"}, people, ask, tests=[test])
    found = parting(tested, "2/3")
    assert found.labels == ("no allele", "carrier")
    assert [str(value) for value in found.values] == ["99/100", "1/10"]


def test_twins_taken_for_siblings_are_shown_the_row_of_the_other_twin():
    # An affected sister makes both parents carriers: 1/4 for any sister of hers.
    twin = {"group": "a", "zygosity": "unknown"}
    people = [one("m1", **WELL), one("f1", **WELL), one("f2", ("m1", "f1"), twin=twin)]
    people.append(one("f3", ("m1", "f1"), twin=twin, **ILL))
    ask = {"ask": "will_be_affected", "person": "f2"}
    twins = family("autosomal_recessive", {"carrier": "1/50"}, people, ask)
    # 1/2 + 1/2 x 1/4 = 5/8 stands in that row, and is the answer: its numbers are not shown.
    found = parting(twins, "1/4")
    assert (found.text, found.values) == ("from the parents and the twin", ())
    twins["questions"] = [{"ask": "genotype", "person": "f2"}]
    found = parting(twins, "1/4; 1/2; 1/4")
    assert (found.text, found.values) == ("from the parents and the twin", ())


def test_new_mutation_forgotten_is_shown_the_row_of_the_affected_son():
    people = [one("m1", **WELL), one("f1", **WELL), one("m2", ("m1", "f1"), **ILL)]
    balance = family(
        "x_linked_recessive",
        {"mutation_selection_balance": {"fitness": 0}},
        people,
        {"ask": "carrier", "person": "f1"},
        mutation={"maternal": "rare", "paternal": "rare"},
    )
    assert parting(balance, "1").text == "an affected son"
