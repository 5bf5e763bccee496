"""What pages keep while their user is elsewhere, and what practice and a class are told."""

from __future__ import annotations

from dataclasses import replace

import pytest

from risk import actions
from risk.case.model import Person, Question
from risk.case.numbering import standard_ids
from risk.screens import results
from risk.teaching.case_names import Listed
from tests.scene.families import grown
from tests.scene.quality import moved
from tests.screens.test_screens import (
    case_of,
    healthy_brother,
    htmls,
    open_app,
    page_of,
    press,
    testing,
    unfold_files,
)


def visit(app, module: str):  # type: ignore[no-untyped-def]
    """Go to another page within the session."""
    app.session_state["module"] = module
    app.run()
    assert not app.exception


def session_of_pages():  # type: ignore[no-untyped-def]
    """A session in which a test goes from page to page."""

    def draw() -> None:
        from importlib import import_module

        import streamlit

        import_module(f"risk.screens.{streamlit.session_state.module}").page()

    app = testing.AppTest.from_function(draw, default_timeout=60)
    case = healthy_brother()
    state = {"history": [case], "at": 0, "saved": case, "selected": None, "refused": {}}
    for key, value in {**state, "notice": None, "keep": True, "then_selected": {}}.items():
        app.session_state[key] = value
    visit(app, "report")
    return app


def test_what_is_said_on_the_report_page_stands_after_a_visit_elsewhere() -> None:
    app = session_of_pages()
    app.text_input("report author").set_value("Ada").run()
    app.text_input("report date").set_value("1 May").run()
    app.toggle("report working").set_value(False).run()
    app.segmented_control("report paper").set_value("Letter").run()
    visit(app, "family")
    visit(app, "report")
    assert app.text_input("report author").value == "Ada"
    assert app.text_input("report date").value == "1 May"
    assert app.toggle("report working").value is False
    assert app.segmented_control("report paper").value == "Letter"


def test_forgetting_the_family_forgets_who_drew_it_up() -> None:
    app = session_of_pages()
    app.text_input("report author").set_value("Ada").run()
    visit(app, "family")
    press(unfold_files(app), "Forget this family")
    press(app, "Yes, forget it")
    app.session_state["history"] = [healthy_brother()]
    visit(app, "report")
    assert app.text_input("report author").value == ""


def test_forgetting_the_family_forgets_the_version_kept_of_it() -> None:
    app = session_of_pages()
    app.session_state["kept version"] = healthy_brother()
    visit(app, "family")
    press(unfold_files(app), "Forget this family")
    press(app, "Yes, forget it")
    assert "kept version" not in app.session_state


def test_forgetting_the_family_forgets_the_frequency_that_its_mode_laid_aside() -> None:
    app = session_of_pages()

    def warned() -> str:
        visit(app, "condition")
        mode = next(each for each in app.segmented_control if each.label == "Inheritance")
        mode.set_value("Autosomal dominant").run()
        return " ".join(each.value for each in app.warning)

    assert "carrier frequency" in warned()
    visit(app, "family")
    press(unfold_files(app), "Forget this family")
    press(app, "Yes, forget it")
    assert not warned()


def test_what_new_people_are_stands_after_a_visit_elsewhere() -> None:
    app = session_of_pages()
    app.session_state["selected"] = "I-1"
    visit(app, "family")
    app.segmented_control("new people").set_value("Unaffected").run()
    visit(app, "condition")
    visit(app, "family")
    assert app.segmented_control("new people").value == "Unaffected"
    press(app, "Daughter")
    assert case_of(app).people[-1].affected is False


def test_another_family_begins_with_new_people_of_whom_nothing_is_known() -> None:
    app = session_of_pages()
    app.session_state["selected"] = "I-1"
    visit(app, "family")
    app.segmented_control("new people").set_value("Affected").run()
    press(unfold_files(app), "Start anew")
    press(app, "One woman")
    assert app.segmented_control("new people").value == "Not known"
    press(app, "Daughter")
    assert case_of(app).people[-1].affected is None


def test_people_who_exchange_their_ids_in_the_table_stay_who_is_selected() -> None:
    """II-1, an affected girl, is selected; II-2 is her unaffected brother."""

    def exchange() -> None:
        import streamlit

        from risk.screens import people_table, session

        state = streamlit.session_state
        at = [person.id for person in session.case().people].index
        cells = {at("II-1"): {"id": "II-2"}, at("II-2"): {"id": "II-1"}}
        state.grid_base, state.grid_key = session.case(), "grid"
        state.grid = {"edited_rows": cells}
        people_table._edited()

    app = testing.AppTest.from_function(exchange)
    state = {"history": [healthy_brother()], "at": 0, "then_selected": {}, "selected": "II-1"}
    for key, value in state.items():
        app.session_state[key] = value
    app.run()
    assert not app.exception
    chosen = case_of(app).person(app.session_state["selected"])
    assert (chosen.id, chosen.sex, chosen.affected) == ("II-2", "female", True)


def class_of(table: str):  # type: ignore[no-untyped-def]
    """The page after a class's answers to the family's two questions (2/3 and 1/150)."""
    app = page_of("practice", healthy_brother())
    app.radio("class case").set_value("The case of the page Family").run()
    app.file_uploader[0].set_value(("class.csv", table.encode(), "text/csv")).run()
    assert not app.exception
    return app


@pytest.mark.parametrize(
    ("numbers", "said"),
    [
        ((1, 2), "No row names question 0, so questions are counted from 1."),
        ((0, 1), "A row names question 0, so questions are counted from 0."),
    ],
)
def test_a_table_says_by_its_numbers_from_where_it_counts(numbers, said) -> None:  # type: ignore[no-untyped-def]
    first, second = numbers
    app = class_of(f"student,question,answer\nAda,{first},2/3\nAda,{second},1/150\n")
    assert htmls(app).count(">Right<") == 2
    assert said in [each.value for each in app.markdown]
    assert any(each.value.startswith(f"{first} \\(a\\)") for each in app.markdown)
    assert not app.warning


def test_a_count_that_seems_wrong_names_the_choice_of_the_page() -> None:
    app = class_of("student,question,answer\nAda,1,2/3\nAda,2,1/150\n")
    app.radio("class count").set_value("0").run()
    (warning,) = [each.value.replace("\\", "") for each in app.warning]
    assert 'counting from 1 ("The first question is number": 1)' in warning
    assert "--count" not in warning


def test_an_empty_answer_clears_what_was_said_of_the_one_before() -> None:
    app = practice("1/1000")
    assert app.error or app.warning
    answer(app, "")
    assert [each.value for each in app.info] == ["There is no answer yet\\."]
    assert not app.error
    assert not app.warning


def test_a_long_session_tells_questions_solved_and_how_many_answers_it_lists() -> None:
    """21 wrong answers and a right one to a single question."""
    app = practice("1/1000")
    for number in range(20):
        answer(app, f"1/{2000 + number}")
    (case,) = actions.practice(1, 1, 1)
    truth = actions.solve(case).answers[0].probability
    assert truth is not None
    answer(app, str(truth.exact))
    said = [each.value for each in app.markdown]
    assert "Questions solved: 1 of 1 tried. 1 of 22 answers right." in said
    assert "The last 20 answers, the newest first:" in said
    assert htmls(app).count(">Not right") == 19


def test_at_the_end_of_the_hints_the_buttons_lead_back() -> None:
    """They are pressed on: a button that is disabled takes the keyboard's place with it."""
    app = practice("1/1000")
    before = htmls(app)
    press(app, "The whole working")
    whole = htmls(app)
    press(app, "From the first row")
    assert len(before) < len(htmls(app)) < len(whole)
    press(press(app, "The whole working"), "Hide the working")
    assert htmls(app) == before


def test_an_answer_held_back_is_held_back_of_the_next_case_too() -> None:
    """Nothing gives it away before the switch is seen to be on."""
    app = session_of_pages()
    visit(app, "answer")
    app.toggle("slowly").set_value(True).run()
    visit(app, "family")
    app.session_state["history"] = [actions.example("healthy-sister")]
    visit(app, "answer")
    assert app.toggle("slowly").value is True
    assert "The answer comes with the last step." in [each.value for each in app.caption]
    assert 'class="figure"' not in htmls(app)


def test_a_step_past_the_last_of_a_working_does_nothing() -> None:
    app = page_of("answer", healthy_brother(), slowly=True)
    while any(each.label == "One more" for each in app.button):
        press(app, "One more")
    last = htmls(app)
    press(app, "That is all")
    assert htmls(app) == last
    (more,) = [each for each in app.button if each.label == "That is all"]
    assert not more.disabled


def practice(text: str):  # type: ignore[no-untyped-def]
    """The practice page after an answer to the first question of its first case."""
    app = page_of("practice", healthy_brother())
    answer(app, text)
    return app


def answer(app, text: str) -> None:  # type: ignore[no-untyped-def]
    next(each for each in app.text_input if each.key.startswith("typed")).set_value(text)
    next(each for each in app.button if each.label == "Mark it").click().run()
    assert not app.exception


def test_an_answer_to_the_case_of_one_topic_is_not_in_the_field_of_another() -> None:
    app = practice("1/1000")
    app.selectbox("practice topic").set_value("siblings").run()
    assert [each.value for each in app.text_input if each.key.startswith("typed")] == [""]


def test_what_was_typed_into_crosses_is_there_after_another_page() -> None:
    app = session_of_pages()
    visit(app, "crosses")
    app.number_input("dominant|counts").set_value(60).run()
    app.selectbox("then|counts").set_value("Sib mating").run()
    app.number_input("n|counts").set_value(5).run()
    app.select_slider("offspring").set_value(40).run()
    app.number_input("seed").set_value(8).run()
    app.text_input("prior").set_value("1/3").run()
    app.session_state["crosses tab"] = "Counts"
    app.run()
    visit(app, "report")
    visit(app, "crosses")
    assert app.number_input("dominant|counts").value == 60
    assert app.selectbox("then|counts").value == "Sib mating"
    assert app.number_input("n|counts").value == 5
    assert app.select_slider("offspring").value == 40
    assert app.number_input("seed").value == 8
    assert app.text_input("prior").value == "1/3"
    assert app.session_state["crosses tab"] == "Counts"


def test_a_class_and_its_marks_are_there_after_another_page() -> None:
    app = session_of_pages()
    visit(app, "practice")
    app.radio("class case").set_value("The case of the page Family").run()
    table = b"student,question,answer\nAda,1,2/3\n"
    app.file_uploader[0].set_value(("class.csv", table, "text/csv")).run()
    app.session_state["practice tab"] = "A whole class's answers"
    app.run()
    visit(app, "report")
    visit(app, "practice")
    assert app.session_state["practice tab"] == "A whole class's answers"
    assert app.radio("class case").value == "The case of the page Family"
    assert htmls(app).count(">Right<") == 1
    press(app, "Take them away")
    assert ">Right<" not in htmls(app)


def test_whoever_has_a_worksheet_comes_with_the_answers_to_it() -> None:
    listed = (Listed("", None, healthy_brother()),)
    app = page_of("practice", healthy_brother(), problems=listed)
    assert app.radio("class case").value == "The problems of the worksheet"
    app.radio("class case").set_value("The practice case").run()
    assert app.run().radio("class case").value == "The practice case"


def family_page(case):  # type: ignore[no-untyped-def]
    """The page Family, which first calls what a test puts at "first" with the session."""

    def draw() -> None:
        import streamlit

        from risk.screens import family, session

        streamlit.session_state["first"](session)
        family.page()

    app = testing.AppTest.from_function(draw, default_timeout=60)
    state = {"history": [case], "at": 0, "saved": case, "selected": None, "refused": {}}
    more = {"notice": None, "keep": True, "then_selected": {}, "first": lambda session: None}
    for key, value in {**state, **more}.items():
        app.session_state[key] = value
    app.run()
    return app


def standing(app) -> dict[str, float]:  # type: ignore[no-untyped-def]
    assert not app.exception
    return dict(app.session_state["standing"])


def test_a_family_that_grows_stays_where_it_stands() -> None:
    case = grown(30, 4)
    parents = next((p.father, p.mother) for p in case.people if p.father is not None)
    child = Person("new", "female", father=parents[0], mother=parents[1])
    larger = replace(case, people=(*case.people, child))
    app = family_page(case)
    before = standing(app)
    app.session_state["history"], app.session_state["at"] = [case, larger], 1
    app.run()
    after = standing(app)
    assert set(after) == {*before, "new"}
    alone = dict(results.drawn_after(larger)[1])
    assert moved(before, after) < 0.1 < 0.5 < moved(before, alone)
    for at, then in ((0, before), (1, after)):  # undone, and done again
        app.session_state["at"] = at
        app.run()
        assert standing(app) == then
    names = standard_ids(larger)
    app.session_state["first"] = lambda session: session.renumber()
    app.run()
    followed = app.session_state["stood"][app.session_state["history"][-1]]
    assert dict(followed) == {names[id]: x for id, x in after.items()}


@pytest.mark.parametrize("page", ["answer", "evidence"])
def test_a_family_that_grew_stands_alike_on_other_pages(page, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    case = grown(30, 4)
    parents = next((p.father, p.mother) for p in case.people if p.father is not None)
    child = Person("new", "female", father=parents[0], mother=parents[1])
    asked = Question("carrier", person="new")
    larger = replace(case, people=(*case.people, child), questions=(asked,))
    app = session_of_pages()
    app.session_state["history"], app.session_state["at"] = [case, larger], 0
    visit(app, "family")
    app.session_state["at"] = 1
    visit(app, "family")
    drawn = []
    monkeypatch.setattr(results, "drawn_after", lambda *given: drawn.append(given) or ("", ()))
    visit(app, page)
    stood = app.session_state["stood"][larger]
    assert stood
    assert [given[2] for given in drawn] == [stood]


def test_another_family_is_drawn_by_itself() -> None:
    case, other = grown(30, 4), grown(30, 5)
    assert {p.id for p in case.people} & {p.id for p in other.people}
    app = family_page(case)
    app.session_state["first"] = lambda session: session.replace_all(other)
    app.run()
    assert standing(app) == dict(results.drawn_after(other)[1])


def test_undo_and_redo_pressed_faster_than_the_page_is_drawn_change_nothing_else() -> None:
    """The browser sends along what its fields showed before the first press was drawn."""
    app = open_app(healthy_brother(), "II-2")
    age, phenotype = "field|II-2|age", "field|II-2|affected"
    for years in ("30", "31", "32"):
        app.text_input(age).set_value(years).run()
    app.segmented_control(phenotype).set_value("Affected").run()
    steps = app.session_state["history"]

    def quickly(label: str, shown: str) -> None:
        app.text_input(age).set_value(shown)
        app.segmented_control(phenotype).set_value("Affected")
        press(app, label)

    for label, shown, left in (
        ("Undo", "32", "32"),
        ("Undo", "32", "31"),
        ("Undo", "32", "30"),
        ("Undo", "31", ""),
        ("Redo", "32", "30"),
        ("Redo", "", "31"),
        ("Redo", "30", "32"),
    ):
        quickly(label, shown)
        assert app.text_input(age).value == left
        assert app.session_state["history"] == steps
    # What is typed is an edit, also where Undo comes with it, and so is what stood there before.
    app.text_input(age).set_value("77")
    press(app, "Undo")
    ages = [str(case.person("II-2").age) for case in app.session_state["history"][1:]]
    assert "77" in ages
    app.text_input(age).set_value("30").run()
    assert str(case_of(app).person("II-2").age) == "30"
