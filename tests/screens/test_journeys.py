"""Textbook cases from an empty page by clicking, as a student would; the answers read off it.

The cases and their answers are those of the worked examples in tests/handbook; the numbers of
clicks and fields are what the app promises.
"""

from __future__ import annotations

import pytest

from tests.screens.visitor import Visitor

pytestmark = pytest.mark.browser

#: The choice of what is known of everybody who is added.
NEW = "New people are"


def test_brother_of_an_affected_girl_in_at_most_13_acts(visitor: Visitor) -> None:
    """Worked example 4: carrier 2/3, child affected 1/150 (carriers 1/25, partner unaffected)."""
    visitor.press("Two unaffected parents")
    visitor.choose("Affected", NEW)
    visitor.press("Daughter")
    visitor.choose("Unaffected", NEW)
    visitor.press("Son")
    visitor.person("II-2")
    visitor.press("Carrier?")
    visitor.press("Partner")
    visitor.press("Next child with II-3 affected?")
    visitor.go("Condition")
    visitor.press_text("Carrier frequency")
    visitor.write("1/25", "Carriers, like 1/25 or 4%")
    visitor.go("Family")
    visitor.expects("2/3", "1/150")
    assert visitor.acts <= 13


def test_first_cousins_in_at_most_21_acts(visitor: Visitor) -> None:
    """Worked example 9: the cousin carries 1/4, child affected 1/24 (rare allele)."""
    grow_cousins(visitor)
    visitor.expects("1/4", "1/24")
    assert visitor.acts <= 21


def grow_cousins(visitor: Visitor) -> None:
    visitor.press("Two parents")  # the grandparents, of whom nothing is known
    visitor.choose("Unaffected", NEW)
    visitor.press("Son")
    visitor.press("Son")
    visitor.person("II-1")
    visitor.press("Partner")
    visitor.choose("Affected", NEW)
    visitor.press("Daughter")
    visitor.choose("Unaffected", NEW)
    visitor.press("Son")
    visitor.person("II-2")
    visitor.press("Partner")
    visitor.press("Daughter")
    visitor.person("III-3")
    visitor.press("Carrier?")
    visitor.pick("III-2", "Partner from the family")
    visitor.press("Next child with III-2 affected?")


def test_woman_of_thirty_with_an_affected_father(visitor: Visitor) -> None:
    """Worked example 12: 19/39 (late onset: 0.05 by 30, everyone by 70)."""
    visitor.press("One man")
    visitor.choose("Affected", "Phenotype")
    visitor.press("Daughter")
    visitor.person("II-1")
    visitor.choose("Unaffected", "Phenotype")
    visitor.write("30", "Age in years")
    visitor.press("Carrier?")
    visitor.person("I-2")
    visitor.choose("Unaffected", "Phenotype")
    visitor.write("75", "Age in years")
    visitor.go("Condition")
    visitor.choose("Autosomal dominant", "Inheritance")
    visitor.unfold("Age at onset")
    visitor.write("30: 0.05\n70: 1", "Age: share")
    visitor.go("Family")
    visitor.expects("19/39")


def test_three_unaffected_sons(visitor: Visitor) -> None:
    """Worked example 16: carrier 1/9, next son affected 1/18 (X-linked, mother a carrier)."""
    visitor.go("Condition")
    visitor.choose("X-linked recessive", "Inheritance")
    visitor.go("Family")
    visitor.press("One woman")
    visitor.unfold("More about I-1")
    visitor.pick("One disease allele", "Genotype known for certain")
    visitor.press("Daughter")
    visitor.person("II-1")
    visitor.choose("Unaffected", "Phenotype")
    visitor.choose("Unaffected", NEW)
    visitor.press("Partner")
    visitor.unfold("A twin, or several at once")
    visitor.radio("Sons")
    visitor.press("Add them")
    visitor.press("Carrier?")
    visitor.unfold("Ask another question")
    visitor.pick("Will the next child of two people be affected?", "Question")
    visitor.radio("Son")
    visitor.press("Ask")
    visitor.expects("1/9", "1/18")
