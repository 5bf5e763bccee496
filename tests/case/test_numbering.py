"""Numbers of a family that grew above its generation I."""

from __future__ import annotations

from dataclasses import replace

from risk.case import edit
from risk.case.model import Case, Condition, Frequency
from risk.case.numbering import ids_from_first, standard_ids
from risk.scene.shapes import Text
from risk.scene.tree import draw_tree

RARE = Condition("autosomal_recessive", Frequency(allele="rare"))


def grown_upwards() -> Case:
    """Two parents, and twice parents above the mother."""
    case, _ = edit.add_children(edit.two_parents(RARE), "I-2", sex="male")
    case, (_, mother) = edit.add_parents(case, "I-2")
    return edit.add_parents(case, mother)[0]


def test_generations_are_counted_from_the_new_top() -> None:
    case = grown_upwards()
    assert [p.id for p in case.people] == ["I-1", "I-2", "II-1", "0-1", "0-2", "00-1", "00-2"]
    new, names = edit.number_from_first(case)
    ids = ["III-1", "III-2", "IV-1", "II-1", "II-2", "I-1", "I-2"]
    assert [p.id for p in new.people] == ids
    assert names["0-2"] == "II-2"
    assert new.person("III-2").mother == "II-2"
    assert edit.number_from_first(new) == (new, {})


def test_everyone_is_numbered_anew_generation_by_generation() -> None:
    """In file order: two parents and their son, then the mother's parents and grandparents."""
    ids = ["III-1", "III-2", "IV-1", "II-1", "II-2", "I-1", "I-2"]
    assert list(standard_ids(grown_upwards()).values()) == ids


def test_ids_of_ones_own_and_gaps_stay() -> None:
    case = edit.rename(edit.rename(grown_upwards(), "II-1", "Ada"), "I-1", "I-7")
    new, _ = edit.number_from_first(case)
    assert [p.id for p in new.people][:3] == ["III-7", "III-2", "Ada"]


def test_a_family_of_which_a_text_speaks_is_left_as_it_is() -> None:
    assert ids_from_first(replace(grown_upwards(), vignette="I-2 comes to ask.")) == {}
    assert ids_from_first(edit.two_parents(RARE)) == {}


def test_drawn_numerals_never_repeat() -> None:
    def numerals(case: Case) -> list[str]:
        shapes = draw_tree(case).items
        return [s.text for s in shapes if isinstance(s, Text) and s.role == "numeral"]

    assert numerals(grown_upwards()) == ["00", "0", "I", "II"]
    case = edit.rename(grown_upwards(), "00-1", "Ada")
    case = edit.rename(edit.rename(case, "00-2", "Bo"), "I-2", "Cy")
    assert len(set(numerals(case))) == 4
    case = edit.rename(edit.rename(case, "0-1", "II-7"), "0-2", "II-8")
    assert numerals(case) == ["I", "II", "III", "IV"]
