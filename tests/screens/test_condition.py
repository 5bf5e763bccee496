"""The page Condition: each key of the condition is set, changed, refused and taken back by its
field.  What a field makes is compared with the condition as a case file would state it."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from risk import actions
from risk.case.checks import check_case
from risk.case.model import Case, Condition, Frequency, Variant
from risk.case.write import write_case
from risk.number import quantity
from risk.screens.condition import FORMS
from risk.screens.words import assumed
from tests.screens.test_screens import case_of, healthy_brother, page_of, press

RARE = Condition("autosomal_recessive", Frequency(allele="rare"))
X_LINKED = replace(RARE, inheritance="x_linked_recessive")
BASE = {"inheritance": "autosomal_recessive", "frequency": {"allele": "rare"}}


class Page:
    """The page with a condition, and acts on its fields by their labels."""

    def __init__(self, condition: Condition = RARE) -> None:
        case = replace(healthy_brother(), condition=condition)
        self.app: Any = page_of("condition", case)
        assert not self.app.exception

    @property
    def case(self) -> Case:
        return case_of(self.app)

    def condition(self) -> dict[str, Any]:
        """The condition as the case file states it; the file can be opened again."""
        text = write_case(self.case)
        assert set(actions.check(text)) == set(check_case(self.case))
        return json.loads(text)["condition"]  # type: ignore[no-any-return]

    def write(self, label: str, value: str, at: int = 0) -> None:
        fields = [t for t in (*self.app.text_input, *self.app.text_area) if t.label == label]
        fields[at].set_value(value).run()
        assert not self.app.exception

    def choose(self, label: str, value: str, at: int = 0) -> None:
        groups = [g for g in (*self.app.button_group, *self.app.radio) if g.label == label]
        groups[at].set_value(value).run()
        assert not self.app.exception

    def frequency(self, form: str) -> None:
        self.app.radio("frequency choice").set_value(form).run()
        assert not self.app.exception

    def refuses(self, label: str, value: str, said: str, at: int = 0) -> None:
        """The field says why, keeps what was typed, and the condition stays."""
        before = self.case
        self.write(label, value, at)
        assert self.case == before
        assert said in self.errors()
        again = [t for t in (*self.app.text_input, *self.app.text_area) if t.label == label]
        assert again[at].value == value

    def errors(self) -> str:
        return " ".join(each.value for each in self.app.error).replace("\\", "")


def test_name() -> None:
    page = Page()
    page.write("Name of the condition", "Marsh fever")
    assert page.condition() == {"name": "Marsh fever", **BASE}
    page.write("Name of the condition", "")
    assert page.condition() == BASE


@pytest.mark.parametrize(
    ("words", "mode"),
    [
        ("Autosomal dominant", "autosomal_dominant"),
        ("X-linked recessive", "x_linked_recessive"),
        ("X-linked dominant", "x_linked_dominant"),
    ],
)
def test_inheritance(words: str, mode: str) -> None:
    page = Page()
    page.choose("Inheritance", words)
    assert page.condition() == {**BASE, "inheritance": mode}
    page.choose("Inheritance", "Autosomal recessive")
    assert page.condition() == BASE


def test_the_answers_stand_beside_what_changes_them() -> None:
    page = Page(replace(RARE, frequency=Frequency(carrier=quantity("1/25"))))
    assert [each.value for each in page.app.header] == ["The answers"]
    assert len(page.app.subheader) == 2
    assert "1/150" in " ".join(each.value for each in page.app.get("html"))
    page.write("Carriers, like 1/25 or 4%", "1/50")
    assert "1/300" in " ".join(each.value for each in page.app.get("html"))
    # Where the condition makes the family impossible, that is said here, with its cause.
    page.frequency("allele")
    page.write("Allele frequency q, like 0.01 (0 is allowed)", "0")
    assert "impossible under the condition" in page.errors()
    assert any("This is why" in each.value for each in page.app.warning)
    assert not any(each.label == "To the page Condition" for each in page.app.button)


def test_a_frequency_that_a_mode_lacks_is_laid_aside_and_comes_back() -> None:
    page = Page(replace(RARE, frequency=Frequency(carrier=quantity("1/25"))))
    assert not page.app.warning
    for mode in ("Autosomal dominant", "X-linked dominant"):
        page.choose("Inheritance", mode)
        assert page.condition()["frequency"] == {"allele": "rare"}
        (said,) = [each.value.replace("\\", "") for each in page.app.warning]
        assert "(carrier frequency, 1/25)" in said and "laid aside" in said
    page.choose("Inheritance", "Autosomal recessive")
    assert page.condition() == {**BASE, "frequency": {"carrier": "1/25"}}
    assert not page.app.warning


@pytest.mark.parametrize(
    ("form", "label", "typed", "stated", "condition"),
    [
        ("carrier", "Carriers, like 1/25 or 4%", "4%", {"carrier": "4%"}, RARE),
        ("incidence", "Incidence, like 1/2500", "1 in 2500", {"incidence": "1 in 2500"}, RARE),
        (
            "allele",
            "Allele frequency q, like 0.01 (0 is allowed)",
            "0",
            {"allele": "0"},
            RARE,
        ),
        (
            "balance",
            "Fitness of affected males, from 0 to less than 1",
            "0",
            {"mutation_selection_balance": {"fitness": "0"}},
            X_LINKED,
        ),
    ],
)
def test_frequency(
    form: str, label: str, typed: str, stated: dict[str, Any], condition: Condition
) -> None:
    page = Page(condition)
    page.frequency(form)
    assert page.case.condition == condition  # it waits for its number
    page.refuses(label, "often", "is not a number")
    page.refuses(label, "-1", "is not a fitness" if form == "balance" else "is outside 0 to 1")
    page.refuses(label, "25", "25")  # perhaps meant in percent
    page.write(label, typed)
    assert page.condition()["frequency"] == stated
    page.frequency("rare")
    assert page.condition()["frequency"] == {"allele": "rare"}


def test_on_the_x_carriers_are_women_and_incidence_counts_males() -> None:
    """The case file: c is the chance of a female founder, and q the incidence in males."""
    for condition, whose, born in (
        (RARE, "unaffected people", "many are"),
        (X_LINKED, "unaffected women", "many males are"),
    ):
        page = Page(condition)
        captions = dict(zip(FORMS, page.app.radio("frequency choice").proto.captions, strict=False))
        assert f"So many {whose} of the population are carriers" in captions["carrier"]
        assert f"So {born} conceived" in captions["incidence"]
        # As what is assumed says beside it.
        assert "marries in carries nothing unless something else is known" in captions["rare"]
    page.frequency("carrier")
    page.write("Carriers among women, like 1/25 or 4%", "1/100")
    assert page.condition()["frequency"] == {"carrier": "1/100"}
    assert assumed(page.case.condition).endswith("; carriers among women 1/100")
    page.frequency("incidence")
    page.write("Incidence in males, like 1/2500", "1/5000")
    assert assumed(page.case.condition).endswith("; incidence in males 1/5000")


def test_forms_of_the_frequency_that_a_mode_does_not_have_are_not_offered() -> None:
    assert list(Page().app.radio("frequency choice").options) == [
        "Rare: as most hand calculations assume",
        "Carrier frequency",
        "Incidence at conception",
        "Allele frequency",
    ]
    dominant = replace(RARE, inheritance="autosomal_dominant")
    assert len(Page(dominant).app.radio("frequency choice").options) == 3
    assert len(Page(X_LINKED).app.radio("frequency choice").options) == 5


@pytest.mark.parametrize(("field", "at"), [("penetrance", 0), ("viability", 1)])
def test_tables_by_number_of_alleles(field: str, at: int) -> None:
    full = {"0": "0", "1": "0", "2": "1"} if field == "penetrance" else dict.fromkeys("012", "1")
    page = Page()
    page.choose("Table", "One table", at)
    assert page.condition() == {**BASE, field: full}
    for label, value in (("No allele", "1%"), ("One", "0.5"), ("Two", "4/5")):
        page.write(label, value)
    assert page.condition() == {**BASE, field: {"0": "1%", "1": "0.5", "2": "4/5"}}
    page.refuses("Two", "", "a number is needed here")
    page.refuses("One", "half", "is not a number")
    page.refuses("One", "80", "is outside 0 to 1")
    page.choose("Table", "By sex", at)
    assert page.condition() == {**BASE, field: {"female": full, "male": full}}
    page.write("One", "0.1", 0)
    page.write("Two", "0.9", 1)
    by_sex = {"female": {**full, "1": "0.1"}, "male": {**full, "2": "0.9"}}
    assert page.condition() == {**BASE, field: by_sex}
    page.choose("Table", "Full, as the inheritance says" if at == 0 else "1 for everyone", at)
    assert page.condition() == BASE


@pytest.mark.parametrize(("field", "at"), [("penetrance", 0), ("viability", 1)])
def test_males_on_the_x_have_no_two_alleles(field: str, at: int) -> None:
    page = Page(X_LINKED)
    page.choose("Table", "By sex", at)
    table = page.condition()[field]
    assert sorted(table["female"]) == ["0", "1", "2"]
    assert sorted(table["male"]) == ["0", "1"]
    page.write("One", "0.7", 1)
    assert page.condition()[field]["male"]["1"] == "0.7"
    assert page.condition()[field]["female"] == table["female"]
    page.choose("Inheritance", "Autosomal recessive")
    assert sorted(page.condition()[field]["male"]) == ["0", "1", "2"]


def test_onset() -> None:
    page = Page(replace(RARE, inheritance="autosomal_dominant"))
    page.write("Age: share", "30: 5%\n70: 1")
    points = [{"age": 0, "cumulative": "0"}, {"age": 30, "cumulative": "5%"}]
    assert page.condition()["onset"] == [*points, {"age": 70, "cumulative": "1"}]
    assert len(page.app.get("arrow_vega_lite_chart")) + len(page.app.get("vega_lite_chart")) == 1
    page.refuses("Age: share", "30 5%", "is not of the form")
    page.refuses("Age: share", "thirty: 5%", "is not an age")
    page.refuses("Age: share", "1/2: 5%", "is not an age")
    page.refuses("Age: share", "300: 5%", "is not an age")
    page.refuses("Age: share", "30: 5", "is outside 0 to 1")
    page.write("Age: share", "30: 50%\n70: 5%")  # can be stated, and is said to be wrong
    assert page.condition()["onset"][1]["cumulative"] == "50%"
    assert page.errors()
    page.write("Age: share", "")
    assert "onset" not in page.condition()
    # The field is in order; that two unaffected parents have an affected son is now impossible.
    assert [error.value.split(":")[0] for error in page.app.error] == [
        "This family is impossible under the condition as it is set"
    ]


def test_mutation() -> None:
    page = Page(replace(RARE, frequency=Frequency(allele=quantity("0"))))
    page.choose("New mutation", "Rates")
    page.write("In eggs", "1e-6")
    page.write("In sperm", "1 in 100000")
    assert page.condition()["mutation"] == {"maternal": "1e-6", "paternal": "1 in 100000"}
    page.refuses("In eggs", "few", "is not a number")
    page.refuses("In eggs", "2", "is outside 0 to 1")
    page.write("In sperm", "")
    assert page.condition()["mutation"] == {"maternal": "1e-6", "paternal": "0"}
    page.choose("New mutation", "Rare, as a limit")
    assert page.condition()["mutation"] == {"maternal": "rare", "paternal": "rare"}
    page.choose("New mutation", "None")
    assert "mutation" not in page.condition()


def test_two_limits_at_once_are_said_to_be_undefined() -> None:
    page = Page()
    page.choose("New mutation", "Rare, as a limit")
    assert "rare" in page.errors()


def test_variant_classes() -> None:
    page = Page()
    page.write("Class: share", "common: 70%\nother: 3/10")
    shares = [{"name": "common", "share": "70%"}, {"name": "other", "share": "3/10"}]
    assert page.condition() == {**BASE, "variants": shares}
    page.refuses("Class: share", "common 70%", "is not of the form")
    page.refuses("Class: share", "common: 70", "is outside 0 to 1")
    page.write("Class: share", "common: 70%\nother: 20%")
    assert "the shares add to 9/10" in page.errors()
    page.write("Class: share", "")
    assert page.condition() == BASE


def test_mosaicism() -> None:
    page = Page()
    box = next(c for c in page.app.checkbox if c.label.startswith("Consider"))
    box.check().run()
    page.write("Chance that a founder is a mosaic", "1/100")
    page.write("Share of their gametes", "1/3")
    assert page.condition() == {**BASE, "germline_mosaicism": {"prior": "1/100", "gametes": "1/3"}}
    page.refuses("Share of their gametes", "a third", "is not a number")
    page.refuses("Chance that a founder is a mosaic", "2", "is outside 0 to 1")
    next(c for c in page.app.checkbox if c.label.startswith("Consider")).uncheck().run()
    assert page.condition() == BASE


def test_a_test_with_rates() -> None:
    page = Page()
    page.write("Name of the test", "panel")
    page.write("Sensitivity of the test", "0.9")
    page.write("Specificity of the test", "99%")
    press(page.app, "Add the test")
    made = {"name": "panel", "sensitivity": "0.9", "specificity": "99%"}
    assert page.condition() == {**BASE, "tests": [made]}
    (said,) = [each.value for each in page.app.caption if "Nobody has a result" in each.value]
    assert "Add a test result" in said
    page.write("Sensitivity", "4/5")
    page.write("Specificity", "1")
    page.refuses("Sensitivity", "good", "is not a number")
    page.refuses("Sensitivity", "90", "is outside 0 to 1")
    page.refuses("Specificity", "", "a number is needed here")
    page.write("Name", "screen")
    made = {"name": "screen", "sensitivity": "4/5", "specificity": "1"}
    assert page.condition() == {**BASE, "tests": [made]}
    press(page.app, "Remove screen and its results")
    assert page.condition() == BASE


def test_a_new_test_has_no_false_positives_unless_a_specificity_is_typed() -> None:
    """Problems seldom give one; that an empty field is 1 stands below it."""
    page = Page()
    page.write("Name of the test", "panel")
    page.write("Sensitivity of the test", "0.9")
    assert any("left empty is taken as that" in each.value for each in page.app.caption)
    press(page.app, "Add the test")
    made = {"name": "panel", "sensitivity": "0.9", "specificity": "1"}
    assert page.condition() == {**BASE, "tests": [made]}


def test_a_test_that_detects_some_classes() -> None:
    variants = tuple(Variant(name, quantity("1/2")) for name in ("common", "other"))
    page = Page(replace(RARE, variants=variants))
    page.choose("Kind", "detects")
    page.write("Name of the test", "panel")
    page.app.multiselect("new test|detects").set_value(["common"]).run()
    press(page.app, "Add the test")
    assert page.condition()["tests"] == [{"name": "panel", "detects": ["common"]}]
    page.choose("Finds alleles of these classes", ["common", "other"])  # type: ignore[arg-type]
    assert page.condition()["tests"] == [{"name": "panel", "detects": ["common", "other"]}]


def test_a_test_with_any_result() -> None:
    page = Page()
    page.choose("Kind", "likelihood")
    page.write("Name of the test", "enzyme")
    label = "Results, one a line: chance with 0, 1, 2 alleles"
    page.write(label, "normal: 1, 1/3, 0\nlow: 0, 2/3, 1")
    press(page.app, "Add the test")
    table = {"normal": {"0": "1", "1": "1/3", "2": "0"}, "low": {"0": "0", "1": "2/3", "2": "1"}}
    assert page.condition()["tests"] == [{"name": "enzyme", "likelihood": table}]
    edit = "Result: chance with 0, 1, 2 alleles"
    page.refuses(edit, "normal: 1", "needs three numbers")
    page.refuses(edit, "normal: 1, 0, -1", "is negative")
    page.refuses(edit, "normal", "is not of the form")
    page.write(edit, "high: 5, 1/3, 0.1")
    table = {"high": {"0": "5", "1": "1/3", "2": "0.1"}}
    assert page.condition()["tests"] == [{"name": "enzyme", "likelihood": table}]


@pytest.mark.parametrize(
    ("name", "rate", "said"),
    [
        ("", "0.9", "a test needs a name"),
        ("panel", "", "Sensitivity: type a number"),
        ("panel", "most", "is not a number"),
        ("panel", "90", "is outside 0 to 1"),
    ],
)
def test_a_new_test_that_is_not_whole_is_not_added(name: str, rate: str, said: str) -> None:
    page = Page()
    page.write("Name of the test", name)
    page.write("Sensitivity of the test", rate)
    page.write("Specificity of the test", "1")
    press(page.app, "Add the test")
    assert page.condition() == BASE
    assert said in page.errors()


def test_two_tests_have_two_names() -> None:
    page = Page()
    for name in ("panel", "panel"):
        page.write("Name of the test", name)
        page.write("Sensitivity of the test", "0.9")
        page.write("Specificity of the test", "1")
        press(page.app, "Add the test")
    assert [test["name"] for test in page.condition()["tests"]] == ["panel"]
    assert 'another test is called "panel"' in page.errors()


def test_what_nobody_chose_changes_nothing() -> None:
    """None is what a row of choices says that the browser shows anew, and empty."""
    page = Page()
    before = page.case
    page.choose("Inheritance", None)  # type: ignore[arg-type]
    assert page.case == before
    (shown,) = [g for g in page.app.button_group if g.label == "Inheritance"]
    assert shown.value == "Autosomal recessive"
