"""Where the paths part: the line that is shown, and that it never holds the answer."""

import json
import re
from fractions import Fraction as F

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


def child_of_a_carrier_perhaps():
    """Two questions about f3, a granddaughter of an affected man whose daughter is well.

    By hand: f2 is well with 1/2 x 2/5 of those with the allele and 1/2 of the others, and has it
    with 2/7; f3 has it with 1/7, and is affected with 3/5 of that.
    """
    people = [one("m1", **ILL), one("f1"), one("f2", ("m1", "f1"), **WELL), one("m2")]
    people.append(one("f3", ("m2", "f2")))
    ask = {"ask": "will_be_affected", "person": "f3"}
    penetrance = {"0": 0, "1": "3/5", "2": "3/5"}
    plain = family("autosomal_dominant", {"allele": "rare"}, people, ask, penetrance=penetrance)
    plain["questions"].insert(0, {"ask": "disease_allele", "person": "f3"})
    return plain


def test_the_answer_to_another_question_is_not_given_away():
    plain = child_of_a_carrier_perhaps()
    both = read_case(json.dumps(plain))
    assert actions.mark(both, "1/7", 0).verdict == "right"
    assert actions.mark(both, "3/35", 1).verdict == "right"
    got = actions.mark(both, "1/7", 1)
    assert got.slips == ("penetrance_forgotten",)
    assert got.feedback.startswith("This belongs to another question: how likely the genotype is.")
    assert got.parting is not None
    assert got.parting.step == ""  # which says 2/7 x 1/2 = 1/7
    # Where nothing else is asked, the sentence of the working is shown.
    del plain["questions"][0]
    assert "1/7" in parting(plain, "1/7").step


def test_no_line_of_the_working_holds_the_answer_to_another_question():
    examples = ("healthy-sister", "island-family", "reduced-penetrance", "late-onset")
    for case in (*map(actions.example, examples), *actions.practice(2, 1, 6)):
        true = [each.probability.exact for each in actions.solve(case).answers]
        for number in range(len(true)):
            others = {value for n, value in enumerate(true) if n != number} - {
                F(1, 2),
                F(1, 4),
                true[number],
            }
            for slip in actions.slips(case, number):
                found = actions.mark(case, str(slip.result[0]), number).parting
                if found is not None:
                    assert not others & {*found.values}, (case.title, number, slip.name)
                    said = {F(part) for part in re.findall(r"\d+/\d+", found.step)}
                    assert not others & said, (case.title, number, slip.name)


def test_a_line_is_shown_where_no_case_was_changed():
    people = [one("m1"), one("f1"), one("m2", ("m1", "f1")), one("f3", ("m1", "f1"))]
    people += [one("f2"), one("m3"), one("m4", ("m2", "f2")), one("f4", ("m3", "f3"))]
    ask = {"ask": "child_affected", "parents": ["m4", "f4"]}
    cousins = family("autosomal_recessive", {"allele": "1/100"}, people, ask)
    for answer in ("1/10000", "1/1600"):
        assert parting(cousins, answer).text == "m4 and f4, jointly"
    # What the healthy sister of an affected boy passes on, and then what m3 may.
    people = [one("m1"), one("f1"), *SIBS[2:], one("m3", **WELL), one("m4", ("m3", "f2"), **WELL)]
    ask = {"ask": "carrier", "person": "m4"}
    nephew = family("autosomal_recessive", {"carrier": "1/5"}, people, ask)
    found = parting(nephew, "1/3")
    assert found.text == "from f2 and m3"
    # The half of an affected father's child: what comes after it counts.
    people = [one("m1", **ILL), one("f1"), one("f2", ("m1", "f1"), **WELL, age=50)]
    curve = [{"age": 40, "cumulative": "1/2"}, {"age": 60, "cumulative": "9/10"}]
    curve.append({"age": 80, "cumulative": 1})
    ask = {"ask": "will_be_affected", "person": "f2", "by_age": 60}
    late = family("autosomal_dominant", {"allele": "rare"}, people, ask, onset=curve)
    assert parting(late, "27/130").text == "the chance of being affected, if that is so"
