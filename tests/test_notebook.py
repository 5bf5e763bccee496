"""Results in a notebook: they are the records of the actions, and show themselves."""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest

import risk
from risk import actions
from risk.caution import CAUTION
from risk.problems import InputError

CASE = risk.example("healthy-sister")


def test_the_names_offered_are_there_and_typed() -> None:
    assert set(risk.__all__) <= set(dir(risk))
    for name in risk.__all__:
        assert getattr(risk, name) is not None
    with pytest.raises(AttributeError, match="'risk' has no attribute 'sovle'"):
        _ = risk.sovle
    with pytest.raises(ImportError):
        from risk import sovle  # noqa: F401
    stub = Path(risk.__file__).with_suffix(".pyi").read_text(encoding="utf-8")
    given = {line for line in ast.walk(ast.parse(stub)) if isinstance(line, ast.ImportFrom)}
    assert {each.name for line in given for each in line.names} == set(risk.__all__)


def test_answers_are_those_of_the_action_and_carry_their_case() -> None:
    solved, plain = risk.solve(CASE), actions.solve(CASE)
    assert (solved.answers, solved.people) == (plain.answers, plain.people)
    assert list(solved.table()["exact"]) == [Fraction(2, 3), Fraction(1, 150)]
    assert solved.people_table().loc["II-2", "exact_1"] == Fraction(2, 3)


def test_workings_and_ladders_are_sequences_of_the_records() -> None:
    assert tuple(risk.explain(CASE)) == actions.explain(CASE)
    order = ["II-1.affected"]
    rungs = risk.ladder(CASE, 0, order)
    assert tuple(rungs) == actions.ladder(CASE, 0, order)
    assert list(rungs.table()["exact"])[-1] == Fraction(2, 3)


def test_workings_and_ladders_are_copied_with_what_they_are_about() -> None:
    workings, rungs = copy.deepcopy((risk.explain(CASE), risk.ladder(CASE, 1)))
    assert (workings, workings.case) == (risk.explain(CASE), CASE)
    assert (rungs, rungs.case, rungs.question) == (risk.ladder(CASE, 1), CASE, 1)


@pytest.mark.parametrize(
    "page",
    [
        risk.solve(CASE),
        risk.explain(CASE),
        risk.ladder(CASE),
        risk.vary(CASE, "condition.frequency.carrier", ["1/50", "1/25"]),
        risk.mark(CASE, "1/2"),
    ],
    ids=lambda page: type(page).__name__,
)
def test_pages_show_themselves_with_the_caution(page: object) -> None:
    shown = page._repr_html_()  # type: ignore[attr-defined]
    assert "<table>" in shown or "<p" in shown
    assert CAUTION in shown
    assert CAUTION in " ".join(str(page).split())
    ElementTree.fromstring(f"<div>{shown}</div>")  # well-formed, so nothing leaks into the page


def test_printing_a_working_prints_the_tables() -> None:
    assert "Tova (II-2)                1/3       2/3          0" in str(risk.explain(CASE))


def test_pictures_show_themselves_and_are_saved(tmp_path: Path) -> None:
    tree = risk.draw(CASE, "carrier")
    root = ElementTree.fromstring(tree._repr_svg_())
    people = {each.get("data-person") for each in root.iter() if each.get("data-person")}
    assert people == {person.id for person in CASE.people}
    for name, start in (("t.svg", b"<?xml"), ("t.pdf", b"%PDF"), ("t.png", b"\x89PNG")):
        tree.save(tmp_path / name)
        assert (tmp_path / name).read_bytes().startswith(start)
    with pytest.raises(InputError, match=r"\.svg, \.pdf or \.png"):
        tree.save(tmp_path / "t.gif")
    assert not (tmp_path / "t.gif").exists()


def test_crosses_and_curves_are_pictures() -> None:
    for picture in (
        risk.draw_cross("Aa", "Aa"),
        risk.draw_cross("X^A X^a", "X^A Y"),
        risk.vary(CASE, "condition.frequency.carrier", ["1/50", "1/25"]).plot(log=True),
    ):
        ElementTree.fromstring(picture._repr_svg_())


def test_a_mark_says_what_the_action_says() -> None:
    marked, plain = risk.mark(CASE, "1/2"), actions.mark(CASE, "1/2")
    assert (marked.verdict, marked.slips) == (plain.verdict, plain.slips)
    assert marked.feedback == plain.feedback


@pytest.mark.parametrize(
    ("said", "call"),
    [
        (
            'risk: there is no "afected"; did you mean "affected"?',
            lambda: risk.draw(CASE, "afected"),
        ),
        (
            'arithmetic: there is no "xyz"; it can be exact or float',
            lambda: risk.solve(CASE, "xyz"),  # type: ignore[arg-type]
        ),
        ('arithmetic: there is no "flo', lambda: risk.explain(CASE, "flo")),  # type: ignore[arg-type]
        (
            'arithmetic: there is no "Exact"; did you mean "exact"?',
            lambda: risk.vary(CASE, "condition.frequency.carrier", ["1/2"], "Exact"),  # type: ignore[arg-type]
        ),
        ("question: there is no question 9; this case asks 2", lambda: risk.ladder(CASE, 9)),
        ("question: there is no question -1; this case asks 2", lambda: actions.slips(CASE, -1)),
        ("question: there is no question 2; this case asks 2", lambda: risk.mark(CASE, "1/2", 2)),
        ('page: there is no "a5"', lambda: actions.worksheet([CASE], page="a5")),  # type: ignore[arg-type]
    ],
)
def test_a_word_or_a_number_that_there_is_not_is_a_problem_of_its_argument(
    said: str, call: Callable[[], object]
) -> None:
    with pytest.raises(InputError) as caught:
        call()
    assert str(caught.value).startswith(said)


def test_everything_offered_says_what_it_does() -> None:
    for name in set(risk.__all__) - {"__version__"}:
        assert getattr(risk, name).__doc__, name
