"""The evidence ladder as blocks: rungs in order, bars in proportion, the asked chance last."""

from pathlib import Path

import pytest

from risk import actions
from risk.document.blocks import Paragraph, Table
from risk.document.ladder import ladder_blocks
from risk.problems import InputError
from tests.workings.families import case, person

FIXTURES = Path(__file__).parents[2] / "fixtures"


def _table(name, order=None):
    case = actions.load((FIXTURES / name).read_bytes())
    rungs = actions.ladder(case, 0, order)
    (table,) = (b for b in ladder_blocks(rungs, case.questions[0], case) if isinstance(b, Table))
    return [row.cells for row in table.rows]


def test_the_ladder_of_the_healthy_sister_ends_at_two_thirds():
    # Common practice: 1/2 once the parents are known carriers, 2/3 once she is known healthy.
    rows = _table("healthy-sister.json")
    assert rows[0][0] == "nothing known about anyone"
    assert [fraction for _, fraction, _, _ in rows][-3:] == ["1/2", "2/3", "2/3"]


def test_bars_are_in_proportion_to_the_largest_chance():
    for _, fraction, _, bar in _table("healthy-sister.json"):
        top, _, bottom = fraction.partition("/")
        assert len(bar) - 1 == round(int(top) / int(bottom or 1) / (2 / 3) * 12)


def test_the_page_says_what_the_longest_bar_is_and_no_chance_is_invisible():
    case = actions.example("healthy-sister")
    blocks = ladder_blocks(actions.ladder(case, 1), case.questions[1], case)
    (table,) = (block for block in blocks if isinstance(block, Table))
    # 1/2401 is less than half a sign where 25/2401 has twelve.
    assert table.rows[0].cells[1::2] == ("1/2401", "|.")
    (note,) = (block.text for block in blocks if isinstance(block, Paragraph))
    assert "The longest bar is about 1.04%; a dot is a chance too small for a bar." in note


def test_the_class_hears_the_facts_in_the_order_asked_for():
    rows = _table("healthy-sister.json", ["II-2.affected"])
    assert rows[1][0] == "Tova is unaffected"


def test_a_fact_that_is_not_there_gets_the_nearest():
    case = actions.example("healthy-sister")
    with pytest.raises(InputError, match=r'did you mean "II-1\.affected"'):
        actions.ladder(case, 0, ["II-1.afected"])
    with pytest.raises(InputError, match="its facts are "):
        actions.ladder(case, 0, ["?"])
    with pytest.raises(InputError, match=r'did you mean "II-2\.affected"'):
        actions.ladder(case, 0, ["Tova.affected"])


def test_without_an_order_the_ladder_is_told_as_a_story():
    # Those affected first, as they are why the family asks; then relatives who are not; then the
    # descendants of the asked woman.  The last rung is common practice for three healthy sons:
    # 1/2 to 1/9, as each halves the odds.
    rows = _table("healthy-sons.json")
    assert [row[0] for row in rows][:4] == [
        "nothing known about anyone",
        "II-1 is affected",
        "III-1 is affected",
        "I-1 and I-2 are unaffected",
    ]
    assert [row[1] for row in rows][:4] == ["0", "1/4", "1/2", "1/2"]
    assert rows[-1][:2] == ("IV-1 (three siblings) are unaffected", "1/9")


@pytest.mark.parametrize("path", sorted(FIXTURES.glob("*.json")), ids=lambda path: path.stem)
def test_test_results_come_last_and_affected_people_first(path):
    case = actions.load(path.read_bytes())
    affected = {f"{person.id}.affected" for person in case.people if person.affected}
    for number in range(len(case.questions)):
        told = [fact for rung in actions.ladder(case, number) for fact in rung.facts]
        tests = [".tests[" in fact for fact in told]
        assert tests == sorted(tests)
        known = [fact in affected for fact in told if ".genotype" not in fact]
        assert known == sorted(known, reverse=True)


def test_a_fraction_too_long_to_read_is_a_decimal_and_no_cell_is_blank():
    # The fractions grow with every result.
    odd = {"name": "screen", "sensitivity": "0.123456789", "specificity": "0.987654321"}
    result = {"tests": [{"test": "screen", "result": "positive"}] * 3}
    family = case(
        "autosomal_recessive",
        {"carrier": "1/25"},
        [person("Ann", "female", affected=False, **result)],
        [{"ask": "carrier", "person": "Ann"}],
        tests=[odd],
    )
    rungs = actions.ladder(family, 0, None)
    (table,) = (b for b in ladder_blocks(rungs, family.questions[0], family) if hasattr(b, "rows"))
    shown = [row.cells[1] for row in table.rows]
    assert all(0 < len(each) <= 15 for each in shown)
    assert shown[1] == "1/25"
    # Three results, each 0.123456789 / 0.012345679 ≈ 10 times as likely of a carrier: 1000 to 24.
    assert shown[-1].startswith("≈0.9765")
