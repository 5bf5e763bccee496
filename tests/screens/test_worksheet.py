"""The tab A worksheet of the page Practice: several problems put together, and their PDFs."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from risk import actions
from risk.bundled import bundled_cases
from risk.case.model import Case
from risk.case.write import write_case, write_case_line

testing = pytest.importorskip("streamlit.testing.v1", reason="streamlit is not installed")

from risk.screens import problem_set  # noqa: E402
from tests.screens.test_screens import RARE, case_of, healthy_brother, page_of, press  # noqa: E402

TAB = {"practice tab": "A worksheet"}


def worksheet_page(case: Case | None = None, **state: object):  # type: ignore[no-untyped-def]
    app = page_of("practice", case or Case(RARE, ()), **TAB, **state)
    assert not app.exception
    return app


def titles(app) -> list[str | None]:  # type: ignore[no-untyped-def]
    return [each.case.title for each in app.session_state["problems"]]


def upload(app, *files: tuple[str, bytes]):  # type: ignore[no-untyped-def]
    given = [(name, content, "application/json") for name, content in files]
    app.file_uploader[0].set_value(given).run()
    assert not app.exception
    return app


def downloads(app) -> list[str]:  # type: ignore[no-untyped-def]
    return [each.label for each in app.download_button]


def test_problems_come_from_practice_an_example_the_family_and_files() -> None:
    family = replace(healthy_brother(), title="A brother")
    app = worksheet_page(family)
    app.number_input("sheet count").set_value(2).run()
    app.segmented_control("sheet level").set_value(2).run()
    app.number_input("sheet seed").set_value(7).run()
    press(app, "Add practice cases")
    app.selectbox("sheet example").set_value("healthy-sister").run()
    press(app, "Add the family of the page Family")
    lines = "".join(f"{write_case_line(case)}\n" for case in actions.practice(1, 3, 2))
    upload(app, ("more.jsonl", lines.encode()), ("twins.json", write_case(example()).encode()))
    assert [each.case for each in app.session_state["problems"]] == [
        *actions.practice(2, 7, 2),
        actions.example("healthy-sister"),
        family,
        *actions.practice(1, 3, 2),
        example(),
    ]
    files = [(each.path, each.line) for each in app.session_state["problems"]]
    assert files[2:] == [
        ("healthy-sister.json", None),
        ("", None),
        ("more.jsonl", 1),
        ("more.jsonl", 2),
        ("twins.json", None),
    ]
    said = [re.sub("[\\\\\u2060]", "", each.value) for each in app.markdown]
    assert [text.rpartition(", ")[2] for text in said if text.endswith(("json)", "jsonl:2)"))] == [
        "healthy-sister.json)",
        "more.jsonl:2)",
        "twins.json)",
    ]


def example() -> Case:
    return actions.example("twins")


def test_all_examples_are_added_at_once_by_the_names_of_their_files() -> None:
    """As `twothirds mark fixtures/*.json` takes them."""
    app = worksheet_page()
    app.selectbox("sheet example").set_value("twins").run()
    (button,) = [each for each in app.button if each.label.startswith("Add all")]
    button.click().run()
    assert not app.exception
    added = {each.path: each.case for each in app.session_state["problems"]}
    every = [path.name for path in bundled_cases().values()]
    assert [*added] == ["twins.json", *(name for name in every if name != "twins.json")]
    assert all(case == actions.example(name.removesuffix(".json")) for name, case in added.items())


def test_what_is_there_already_is_not_added_twice() -> None:
    app = worksheet_page(healthy_brother())
    press(app, "Add the family of the page Family")
    press(app, "Add the family of the page Family")
    assert len(app.session_state["problems"]) == 1
    assert any("there already" in each.value for each in app.info)
    press(app, "Add the family of the page Family")
    press(app, "Remove all")
    assert not any("there already" in each.value for each in app.info)


def test_problems_are_put_in_order_and_taken_off() -> None:
    app = worksheet_page()
    press(app, "Add practice cases")
    one, two, three = titles(app)
    app.button("problem Up|2").click().run()
    assert titles(app) == [one, three, two]
    app.button("problem Down|0").click().run()
    assert titles(app) == [three, one, two]
    app.button("problem remove|1").click().run()
    assert titles(app) == [three, two]
    assert app.button("problem Up|0").disabled
    assert app.button("problem Down|1").disabled


def test_problems_removed_all_at_once_come_back_as_they_were() -> None:
    app = worksheet_page()
    press(app, "Add practice cases")
    before = app.session_state["problems"]
    press(app, "Remove all")
    press(app, "Bring the removed problems back")
    assert app.session_state["problems"] == before
    press(app, "Remove all")
    assert "problems removed" not in forgotten(app).session_state


def test_a_problem_can_be_opened_on_the_other_pages() -> None:
    """What undo brings back is said where there is a family to bring back."""
    for family in (None, healthy_brother()):
        app = worksheet_page(family)
        press(app, "Add practice cases")
        app.button("problem show|1").click().run()
        assert case_of(app) == app.session_state["problems"][1].case
        assert app.session_state["go to"] == "family"
        assert ("Undo brings" in app.session_state["notice"]) == bool(family)
        assert not app.exception


def test_a_file_with_problems_is_refused_whole_with_each_of_them() -> None:
    good, bad = write_case_line(healthy_brother()), '{"version": 1}'
    app = upload(worksheet_page(), ("exam.jsonl", f"{good}\n{bad}\n".encode()))
    assert "problems" not in app.session_state
    (said,) = [re.sub("[\\\\\u2060]", "", each.value) for each in app.error]
    assert said.startswith("No file was added.")
    assert "exam.jsonl:2: condition" in said
    upload(app, ("exam.jsonl", f"{good}\n".encode()))
    assert not app.error
    assert len(app.session_state["problems"]) == 1


def test_a_topic_has_only_so_many_cases_and_the_page_says_so() -> None:
    app = worksheet_page()
    app.selectbox("sheet topic").set_value("mendel").run()
    app.number_input("sheet count").set_value(20).run()
    for seed in (1, 2, 3):
        app.number_input("sheet seed").set_value(seed).run()
        press(app, "Add practice cases")
    assert len(app.session_state["problems"]) == len(set(map(repr, app.session_state["problems"])))
    app.segmented_control("sheet level").set_value(3).run()
    assert not app.exception  # a topic of level 1 only
    assert app.selectbox("sheet topic").value == "any topic"


def test_a_worksheet_has_so_many_problems_at_most() -> None:
    app = worksheet_page()
    app.number_input("sheet count").set_value(20).run()
    for level in (1, 2, 3):
        app.segmented_control("sheet level").set_value(level).run()
        press(app, "Add practice cases")
    assert len(app.session_state["problems"]) == problem_set.MOST
    assert any("20 were left out" in each.value for each in app.info)


def test_the_pages_are_those_of_the_command(tmp_path: Path) -> None:
    app = worksheet_page()
    press(app, "Add practice cases")
    assert "Download the key" not in downloads(app)
    app.text_input("sheet title").set_value("Homework 3").run()
    app.text_input("sheet author").set_value("Ada").run()
    app.text_input("sheet date").set_value("1 May").run()
    press(app, "Make the worksheet and the key")
    assert {"Download the worksheet", "Download the key"} <= set(downloads(app))
    lines = "".join(f"{write_case_line(each)}\n" for each in actions.practice(1, 1, 3))
    (tmp_path / "cases.jsonl").write_text(lines, encoding="utf-8")
    command = [sys.executable, "-m", "risk", "worksheet", "cases.jsonl", "-o", "sheet.pdf"]
    command += ["--key", "key.pdf", "--title", "Homework 3", "--author", "Ada", "--date", "1 May"]
    subprocess.run(command, cwd=tmp_path, check=True)
    made = app.session_state["printed"]
    assert made.sheet == (tmp_path / "sheet.pdf").read_bytes()
    assert made.key == (tmp_path / "key.pdf").read_bytes()
    # What is on the page no longer is what was printed.
    app.button("problem Up|1").click().run()
    assert "Download the key" not in downloads(app)


def test_a_problem_without_an_answer_leaves_the_key_out_and_is_named() -> None:
    case = healthy_brother()
    people = tuple(
        replace(person, affected=True, genotype=0) if person.id == "II-1" else person
        for person in case.people
    )
    app = worksheet_page(replace(case, people=people))
    press(app, "Add practice cases")
    press(app, "Add the family of the page Family")
    press(app, "Make the worksheet and the key")
    assert "Download the worksheet" in downloads(app)
    assert "Download the key" not in downloads(app)
    (said,) = [each.value for each in app.error]
    assert "There is no key." in said
    assert "Problem 4" in said


def test_a_practice_case_goes_to_the_worksheet_and_leaves_the_family_alone() -> None:
    app = page_of("practice", healthy_brother())
    press(app, "Put it on the worksheet")
    press(app, "Next case")
    press(app, "Put it on the worksheet")
    assert titles(app) == [actions.practice(1, seed, 1)[0].title for seed in (1, 2)]
    assert app.session_state["history"] == [healthy_brother()]


def carried(text: str, **state: object):  # type: ignore[no-untyped-def]
    """A session that begins with what a browser has kept, and what it then gives to be kept."""

    def carry(text: str) -> None:
        import streamlit as st

        from risk.screens import problem_set, session

        session.open_session()
        if text:
            problem_set.bring_back(text)
        st.session_state["written"] = problem_set.written()

    visit = testing.AppTest.from_function(carry, kwargs={"text": text})
    for key, value in state.items():
        visit.session_state[key] = value
    return visit.run()


def test_a_worksheet_that_a_browser_has_kept_is_as_it_was() -> None:
    app = worksheet_page()
    press(app, "Add practice cases")
    upload(app, ("more.jsonl", f"{write_case_line(example())}\n".encode()))
    app.text_input("sheet title").set_value("Homework 3").run()
    app.segmented_control("sheet paper").set_value("Letter").run()
    before = {key: app.session_state[key] for key in ("problems", "settings")}
    text = carried("", **before).session_state["written"]
    back = carried(text)
    assert back.session_state["written"] == text
    again = worksheet_page(**{key: back.session_state[key] for key in ("problems", "settings")})
    assert again.session_state["problems"] == before["problems"]
    assert again.text_input("sheet title").value == "Homework 3"
    assert again.segmented_control("sheet paper").value == "Letter"


@pytest.mark.parametrize(
    "text", ["{", "[]", '{"problems": [["", null, "{}"]], "said": {}}', '{"problems": [1]}']
)
def test_what_is_no_worksheet_is_refused(text: str) -> None:
    app = carried(text)
    assert app.exception
    assert "problems" not in app.session_state


def test_what_is_too_large_to_be_kept_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    app = worksheet_page()
    press(app, "Add practice cases")
    assert not [each for each in app.caption if "A reload of the page loses" in each.value]
    monkeypatch.setattr(problem_set, "MOST_KEPT", 1000)
    app.run()
    assert [each for each in app.caption if "A reload of the page loses" in each.value]


def test_forgetting_the_family_forgets_the_worksheet() -> None:
    app = worksheet_page(healthy_brother())
    press(app, "Add the family of the page Family")
    assert "problems" not in forgotten(app).session_state


def forgotten(app):  # type: ignore[no-untyped-def]
    """A session with the problems of `app`, and with those it removed, after forgetting."""

    def forget() -> None:
        from risk.screens import session

        session.forget_settings()

    forgetting = testing.AppTest.from_function(forget)
    for key in ("problems", "problems removed"):
        if key in app.session_state:
            forgetting.session_state[key] = app.session_state[key]
    forgetting.run()
    assert not forgetting.exception
    return forgetting
