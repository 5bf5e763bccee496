"""The logic of the pages, run without a browser."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest

from risk import actions
from risk.case import edit
from risk.case.model import (
    Case,
    Condition,
    Frequency,
    Inheritance,
    Mutation,
    Question,
    SelectionBalance,
    Test,
    TestResult,
)
from risk.case.write import write_case
from risk.model.answers import Chance
from risk.number import quantity
from risk.workings.step import Rung

testing = pytest.importorskip("streamlit.testing.v1", reason="streamlit is not installed")

from risk.screens import evidence, frequencies  # noqa: E402
from risk.screens.plain import plain  # noqa: E402
from risk.screens.questions import chance_html  # noqa: E402

APP = str(Path(__file__).resolve().parents[2] / "app.py")


def healthy_brother() -> Case:
    """Worked example 4: unaffected brother of an affected girl, unrelated partner."""
    condition = Condition("autosomal_recessive", Frequency(carrier=quantity("1/25")))
    case, _ = edit.add_children(edit.two_parents(condition, False), "I-1", sex="female")
    case = edit.change_person(case, "II-1", affected=True)
    case, _ = edit.add_siblings(case, "II-1", sex="male", affected=False)
    case, _ = edit.add_partner(case, "II-2")
    case = edit.change_person(case, "II-3", affected=False)
    case = edit.add_question(case, Question("carrier", person="II-2"))
    return edit.add_question(case, Question("child_affected", parents=("II-2", "II-3")))


def open_app(case: Case | None = None, selected: str | None = None):  # type: ignore[no-untyped-def]
    """The first page of the app, perhaps with a case open."""
    app = testing.AppTest.from_file(APP, default_timeout=30)
    app.run()
    if case is not None:
        app.session_state["history"] = [app.session_state["history"][0], case]
        app.session_state["at"] = 1
        app.session_state["selected"] = selected
        app.run()
    assert not app.exception
    return app


def page_of(module: str, case: Case, **state: object):  # type: ignore[no-untyped-def]
    """One page by itself, with a case open."""

    def draw(module: str) -> None:
        from importlib import import_module

        import_module(f"risk.screens.{module}").page()

    app = testing.AppTest.from_function(draw, default_timeout=60, kwargs={"module": module})
    start = {"history": [case], "at": 0, "saved": case, "selected": None, "refused": {}}
    for key, value in {**start, "notice": None, "keep": True, "then_selected": {}, **state}.items():
        app.session_state[key] = value
    app.run()
    return app


def case_of(app) -> Case:  # type: ignore[no-untyped-def]
    return app.session_state["history"][app.session_state["at"]]  # type: ignore[no-any-return]


def press(app, label: str):  # type: ignore[no-untyped-def]
    """Press the button with this label."""
    (button,) = [each for each in app.button if each.label == label]
    button.click().run()
    assert not app.exception
    return app


def unfold_files(app):  # type: ignore[no-untyped-def]
    """Open the menu File."""
    app.session_state["file menu"] = True
    return app.run()


def htmls(app) -> str:  # type: ignore[no-untyped-def]
    return "".join(each.proto.body for each in app.get("html"))


def test_an_empty_page_offers_a_start_and_carries_the_caution() -> None:
    app = open_app()
    assert "Two unaffected parents" in [button.label for button in app.button]
    assert "licensed genetic counsellor" in htmls(app)
    assert "not medical advice" in htmls(app)


def test_another_child_is_one_more_press_and_undo_goes_back() -> None:
    app = press(press(open_app(), "Two unaffected parents"), "Daughter")
    assert app.session_state["selected"] == "I-2"
    assert [p.id for p in case_of(app).people] == ["I-1", "I-2", "II-1"]
    press(app, "Undo")
    assert [p.id for p in case_of(app).people] == ["I-1", "I-2"]
    press(app, "Redo")
    assert [p.id for p in case_of(app).people] == ["I-1", "I-2", "II-1"]
    press(app, "Undo")
    press(app, "Son")
    assert [b.disabled for b in app.button if b.label == "Redo"] == [True]


def test_a_family_that_grows_upwards_is_counted_from_its_new_top() -> None:
    """The one who was selected stays selected, and one undo takes all of it back."""
    app = press(open_app(), "Two unaffected parents")
    assert app.session_state["selected"] == "I-2"
    press(app, "Sister")
    assert [p.id for p in case_of(app).people] == ["II-1", "II-2", "I-1", "I-2", "II-3"]
    assert app.session_state["selected"] == "II-2"
    assert case_of(app).person("II-2").mother == "I-2"
    press(app, "Undo")
    assert [p.id for p in case_of(app).people] == ["I-1", "I-2"]
    assert app.session_state["selected"] == "I-2"
    press(app, "Parents")
    assert [p.id for p in case_of(app).people] == ["II-1", "II-2", "I-1", "I-2"]
    assert app.session_state["selected"] == "II-2"


def test_parents_added_by_mistake_are_taken_off_alone() -> None:
    """Her children stay, she stays selected, and one undo brings the parents back."""
    app = open_app(healthy_brother(), "I-2")
    press(app, "Parents")
    assert app.session_state["selected"] == "II-2"
    press(app, plain("Remove only the parents of II-2: I-1 and I-2"))
    assert case_of(app) == healthy_brother()
    assert app.session_state["selected"] == "I-2"
    press(app, "Undo")
    assert app.session_state["selected"] == "II-2"
    app.session_state["selected"] = "III-1"
    app.run()
    press(app, plain("Not the child of II-1 and II-2"))
    assert case_of(app).person("III-1").founder
    assert len(case_of(app).people) == 7


def test_whoever_relatives_are_added_to_stays_selected() -> None:
    """Also after a partner; children are then the new partner's, not those of the one before."""
    app = open_app(healthy_brother(), "II-2")
    app.session_state["further"] = True
    app.run()
    for relative in ("Partner", "Daughter", "Son", "Sister", "Identical"):
        press(app, relative)
        assert app.session_state["selected"] == "II-2", relative
    case = case_of(app)
    assert [p.id for p in case.people if p.mother == "II-4"] == ["III-1", "III-2"]
    press(app, "Partner")
    press(app, "Son")
    assert case_of(app).people[-1].mother == case_of(app).people[-2].id


def test_what_is_known_of_new_people_is_said_once_for_many() -> None:
    app = press(open_app(), "Two unaffected parents")
    for word, affected in (("Affected", True), ("Unaffected", False), ("Not known", None)):
        app.button_group(key="new people").set_value(word).run()
        press(press(app, "Son"), "Daughter")
        assert [p.affected for p in case_of(app).people[-2:]] == [affected, affected]
    app.button_group(key="new people").set_value("Affected").run()
    press(app, "Brother")  # of a founder: her parents, of whom nothing is known, come with him
    added = case_of(app).people[-3:]
    assert [p.affected for p in added] == [None, None, True]


def test_whoever_comes_along_with_a_relative_is_named_as_open() -> None:
    """Healthy parents of an affected brother make 2/3; parents of whom nothing is said do not."""
    app = press(open_app(), "One woman")
    app.button_group(key="new people").set_value("Affected").run()
    press(app, "Brother")
    said = spoken(app)
    assert "II-2 is added, and with that I-1 and I-2. Whether I-1 and I-2 are affected" in said
    assert "Left open: whether II-1, I-1 and I-2 are affected." in said
    press(app, "Son")
    said = spoken(app)
    assert "III-1 is added, and with that II-3. Whether II-3 is affected is open" in said
    press(app, "Daughter")
    assert "III-2 is added. II-1 has 2 parents" in spoken(app)


def test_a_story_says_what_has_been_changed_since_it_came() -> None:
    """The healthy sister's says that her parents are well, also of a family changed since."""
    app = open_app(actions.example("healthy-sister"), "I-1")
    note = "The story is of the case as it was opened. Changed since: "
    assert note not in spoken(app)
    app.button_group[0].set_value("Not known").run()
    assert f"{note}phenotype of I-1." in spoken(app)
    press(app, "Undo")
    assert note not in spoken(app)
    press(app, plain("Remove I-1 and with them II-1, II-2, II-3"))
    assert note in spoken(app)
    assert "2 questions" in " ".join(each.value for each in app.info)
    # What somebody writes here is of the family as they have it.
    own = replace(case_of(app), vignette="Perrin asks.")
    app.session_state["history"] = [*app.session_state["history"][:3], own, replace(own, people=())]
    app.session_state["at"] = 3
    app.run()
    assert note not in spoken(app)


def spoken(app) -> str:  # type: ignore[no-untyped-def]
    """The words of a page outside its fields, as they are read."""
    return " ".join(each.value.replace("\\", "") for each in (*app.markdown, *app.caption))


def test_the_selection_follows_a_person_through_renumbering() -> None:
    case = edit.rename(healthy_brother(), "II-2", "II-7")
    app = open_app(case, "II-7")
    app.session_state["table"] = True
    app.run()
    press(app, "Renumber everyone (I-1, I-2, II-1 ...)")
    assert app.session_state["selected"] == "II-2"


def test_a_vanishing_chance_is_not_called_impossible() -> None:
    """A partner of whom nothing is known carries a rare allele with a chance that goes to 0."""
    case = replace(healthy_brother(), condition=RARE)
    page = htmls(open_app(edit.add_question(case, Question("carrier", person="II-3"))))
    assert "vanishing in the rare limit" in page
    assert "impossible" not in page
    certain = edit.change_person(healthy_brother(), "II-3", genotype=0)
    assert "impossible" in htmls(open_app(certain))
    assert "vanishing" in htmls(page_of("evidence", case))
    # What would show how large it is stands beside it, and not where nothing vanishes.
    hint = "when a frequency is given on the page Condition"
    vanishing = edit.add_question(case, Question("carrier", person="II-3"))
    assert hint in spoken(open_app(vanishing))
    alone = replace(vanishing, questions=vanishing.questions[-1:])
    assert all(hint in spoken(page_of(module, alone)) for module in ("answer", "evidence"))
    assert hint not in spoken(open_app(certain))


@pytest.mark.parametrize(
    ("inheritance", "frequency", "cause"),
    [
        (
            "x_linked_recessive",
            Frequency(mutation_selection_balance=SelectionBalance(quantity("0"))),
            "no disease allele is left at balance",
        ),
        ("autosomal_recessive", Frequency(allele=quantity("0")), "nobody here can have it"),
        ("autosomal_dominant", Frequency(carrier=None, allele="rare"), ""),
    ],
)
def test_impossible_evidence_comes_with_its_cause_where_one_is_known(
    inheritance: Inheritance, frequency: Frequency, cause: str
) -> None:
    """The third family is impossible only by full penetrance: an affected child of the healthy."""
    case = edit.change_person(healthy_brother(), "II-1", sex="male")
    app = open_app(replace(case, condition=Condition(inheritance, frequency)))
    cannot = "this cannot be true. Take it back" if cause else "these facts cannot all be true"
    assert any(cannot in each.value for each in app.error)
    if not cause:
        assert any("there is none to pass on" in each.value for each in app.markdown)
    said = " ".join(each.value for each in app.warning).replace("\\", "")
    assert ("This is why" in said, cause in said) == (bool(cause), True)
    ways = [b for b in app.button if b.label == "To the page Condition"]
    assert len(ways) == bool(cause)
    if ways:
        ways[0].click().run()
        assert [each.value for each in app.title] == ["Condition"]


@pytest.mark.parametrize("module", ["family", "answer"])
def test_a_question_about_a_child_that_cannot_be_live_born_is_named(module: str) -> None:
    """A child of parents with 0 and 2 alleles has just one, which nobody is born with here."""
    case = actions.load(
        """{"version": 1, "condition": {"inheritance": "autosomal_recessive",
            "frequency": {"allele": "1/10"}, "viability": {"0": 1, "1": 0, "2": 1}},
            "people": [{"id": "a", "sex": "male", "genotype": 0},
                       {"id": "A", "sex": "female", "genotype": 2}],
            "questions": [{"ask": "child_affected", "parents": ["a", "A"]}]}"""
    )
    app = page_of(module, case)
    said = " ".join(each.value for each in (*app.markdown, *app.error)).replace("\\", "")
    assert "no child of a and A can be live-born" in said
    assert "the viability is 0" in said
    assert "a is known to have no disease allele and A is known to have two" in said
    assert not any("family is impossible" in each.value for each in app.error)


def test_a_person_who_stands_for_several_is_not_offered_a_partner() -> None:
    case, (brothers,) = edit.add_siblings(healthy_brother(), "II-2", number=3, alike=True)
    app = open_app(case, brothers)
    grey = {b.label for b in app.button if b.disabled}
    assert {"Partner", "Daughter", "Son"} <= grey
    assert any("stands for 3 people" in each.value.replace("\\", "") for each in app.caption)


def test_undo_is_offered_after_somebody_was_removed() -> None:
    app = open_app(healthy_brother(), "I-2")
    press(app, plain("Remove I-2 and with them II-1, II-2, II-3"))
    assert [person.id for person in case_of(app).people] == ["I-1"]
    said = " ".join(each.value for each in app.info).replace("\\", "")
    assert (
        "I-2, II-1, II-2 and II-3 are removed, and with that 2 questions. Undo brings all back."
        in said
    )
    press(app, "Undo")
    assert case_of(app) == healthy_brother()


def test_people_are_chosen_by_their_aliases() -> None:
    case, _ = edit.add_partner(healthy_brother(), "II-2")
    case = edit.change_person(edit.change_person(case, "II-3", name="Rosa"), "I-2", name="Ada")
    app = open_app(case, "II-2")
    labels = {each.label: each.options for each in app.selectbox}
    assert "Rosa (II-3)" in labels["Children with"]
    assert "Ada (I-2)" in labels["Partner from the family"]
    chosen = next(each for each in app.selectbox if each.label == "Children with")
    chosen.set_value("II-3").run()
    press(app, "Son")
    assert case_of(app).people[-1].father == "II-2" and case_of(app).people[-1].mother == "II-3"


@pytest.mark.parametrize("module", ["family", "evidence"])
def test_a_question_is_a_heading(module: str) -> None:
    app = page_of(module, healthy_brother())
    headings = [each.value.replace("\\", "") for each in (*app.header, *app.subheader)]
    assert any("is a carrier?" in heading for heading in headings)


def test_a_question_about_sons_is_one_press_where_sexes_differ() -> None:
    case = replace(healthy_brother(), condition=replace(RARE, inheritance="x_linked_recessive"))
    case = edit.change_person(case, "II-1", sex="male")
    app = open_app(case, "II-2")
    next(b for b in app.button if b.key == "ask|Next son with II-3 affected?").click().run()
    assert case_of(app).questions[-1] == Question(
        "child_affected", parents=("II-3", "II-2"), sex="male"
    )


def test_mother_and_father_are_asked_for_by_name() -> None:
    app = open_app(healthy_brother(), "II-2")
    app.session_state["another question"] = True
    app.run()
    app.selectbox("q|ask").set_value("child_carrier").run()
    assert not app.exception
    lists = {box.label: (box.value, box.options) for box in app.selectbox}
    assert lists["Mother"] == ("II-3", ["I-2", "II-1", "II-3"])
    assert lists["Father"] == ("II-2", ["I-1", "II-2"])


def test_a_test_without_its_numbers_is_refused_by_the_name_of_the_field() -> None:
    app = page_of("condition", healthy_brother())
    next(t for t in app.text_input if t.label == "Name of the test").set_value("panel").run()
    press(app, "Add the test")
    assert any("Sensitivity: type a number" in e.value.replace("\\", "") for e in app.error)


def test_ways_lead_to_other_pages() -> None:
    """To the person of a fact, to the tests, from a practice case to the family."""
    impossible = edit.change_person(healthy_brother(), "I-1", genotype=0)
    app = page_of("answer", impossible)
    next(b for b in app.button if b.label == "Show").click().run()
    assert app.session_state["go to"] == "family"
    assert app.session_state["selected"] in {"I-1", "II-1"}
    app = page_of("practice", healthy_brother())
    press(app, "Take this case to the other pages")
    assert app.session_state["go to"] == "family"


def test_forgetting_is_asked_about() -> None:
    app = unfold_files(open_app(healthy_brother()))
    press(press(app, "Forget this family"), "No, keep it")
    assert case_of(app) == healthy_brother()
    press(press(app, "Forget this family"), "Yes, forget it")
    assert not case_of(app).people


def test_answers_stand_beside_the_family() -> None:
    page = htmls(open_app(healthy_brother()))
    assert '<span class="figure">2/3</span>' in page
    assert '<span class="figure">1/150</span>' in page


def test_what_is_assumed_stands_beside_the_answers() -> None:
    app = open_app(healthy_brother())
    said = " ".join(each.value for each in app.caption).replace("\\", "")
    assert "Assumed: Autosomal recessive; carriers 1/25." in said
    app = open_app(actions.example("late-onset"))
    said = " ".join(each.value for each in app.caption).replace("\\", "")
    assert "unless a fact says otherwise; ages at onset, all by 70." in said


def test_mutation_beside_a_rare_allele_is_remarked_where_the_answer_stands() -> None:
    case = healthy_brother()
    condition = replace(RARE, mutation=Mutation(quantity("1e-5"), quantity("1e-5")))
    app = open_app(replace(case, condition=condition))
    assert any("comes from a new mutation" in each.value for each in app.warning)
    assert not open_app(replace(case, condition=RARE)).warning


@pytest.mark.parametrize("module", ["family", "answer"])
def test_partners_related_by_word_alone_are_remarked_where_the_answers_stand(module: str) -> None:
    case = edit.change_couple(healthy_brother(), "II-2", "II-3", consanguineous=True)
    (warning,) = page_of(module, case).warning
    assert "are drawn as related but count as unrelated" in warning.value
    assert "the inbreeding coefficient is for" in warning.value.replace("\\", "")
    assert not page_of(module, healthy_brother()).warning


def test_ages_that_cannot_be_are_remarked_where_the_answers_stand() -> None:
    case = healthy_brother()
    for id, age in (("I-1", "20"), ("II-2", "30")):
        case = edit.change_person(case, id, age=quantity(age))
    (warning,) = page_of("answer", case).warning
    assert "one of the ages is wrong" in warning.value


def test_an_age_given_to_a_living_twin_is_given_to_the_other() -> None:
    case, (twin,) = edit.add_twin(healthy_brother(), "II-2", "dizygotic")
    app = open_app(case, "II-2")
    next(each for each in app.text_input if each.label == "Age in years").set_value("30").run()
    assert [str(case_of(app).person(id).age) for id in ("II-2", twin)] == ["30", "30"]


def test_carriers_by_inference_are_drawn_where_everyones_chance_is() -> None:
    """As `draw --risk carrier` does; a tree without chances shows only what the case says."""
    from risk.screens import questions, results

    case = healthy_brother()  # whose parents have an affected child
    labels = questions.carrier_labels(case)
    assert labels.carriers == {"I-1", "I-2"}
    said = [words for _, words in results.signs(case, labels)]
    assert "chance of being a carrier, given all facts" in said
    assert [each for each in said if each.startswith("carrier (one disease")]
    plain_signs = [words for _, words in results.signs(case)]
    assert not [each for each in plain_signs if each.startswith("carrier (one disease")]
    assert results.drawn(case, labels) != results.drawn(case)


def test_a_man_on_the_x_has_the_chance_of_the_allele_under_him() -> None:
    """As in the drawing of the command: 1/2, since a brother is affected and fathers give no X."""
    from risk.screens import questions

    case = edit.change_person(healthy_brother(), "II-2", affected=None)
    case = edit.change_person(case, "II-1", sex="male")
    condition = Condition("x_linked_recessive", RARE.frequency)
    labels = questions.carrier_labels(replace(case, condition=condition))
    assert dict(labels.texts)["II-2"] == "allele 1/2"
    assert labels.mean.endswith("allele: a male's chance of it")


def test_a_chance_that_vanishes_with_the_allele_leads_to_the_frequency() -> None:
    case = replace(healthy_brother(), condition=RARE)
    told = "when a frequency is given on the page Condition"
    carrier, child = case.questions
    for questions, led in (((child,), True), ((carrier,), False)):
        app = page_of("answer", replace(case, questions=questions))
        assert any(told in each.value for each in app.caption) == led
    app = page_of("answer", replace(healthy_brother(), questions=(child,)))
    assert not any(told in each.value for each in app.caption)
    # An affected person is no carrier at any frequency.
    app = page_of("answer", replace(case, questions=(Question("carrier", person="II-1"),)))
    assert not any(told in each.value for each in app.caption)
    assert "vanishing" not in htmls(app) and "impossible" in htmls(app)
    # Where it is the mutation that is rare a carrier frequency would not help.
    condition = Condition(
        "autosomal_dominant", Frequency(allele=quantity("0")), mutation=Mutation("rare", "rare")
    )
    parents = edit.two_parents(condition, False)
    asked = (Question("child_affected", parents=("I-2", "I-1")),)
    app = page_of("answer", replace(parents, questions=asked))
    assert "vanishing" in " ".join(each.value for each in app.get("html"))
    assert not any(told in each.value for each in app.info)


def test_what_stands_under_a_symbol_is_short_and_says_that_it_is_rounded() -> None:
    from risk.screens import questions

    case = healthy_brother()
    unknown = edit.change_person(case, "II-3", affected=None)
    condition = replace(case.condition, frequency=Frequency(allele=quantity("0.0123457")))
    labels = dict(questions.carrier_labels(replace(unknown, condition=condition)).texts)
    assert labels["II-2"] == "≈66.7%"  # 2/3 is not written beside what is rounded
    assert labels["II-3"] == "≈2.44%"  # 2q(1 - q) = 0.02438656...


def test_a_long_fraction_leaves_the_first_place_to_the_percentage() -> None:
    page = chance_html(Chance(0.00001999980, Fraction(99999, 5000000000)))
    assert page.startswith('<span class="figure">about 0.002%</span>')
    assert "99999/5000000000" in page
    long = chance_html(Chance(0.5, Fraction(10**50 + 1, 2 * 10**50 + 1)))
    assert "too long to show here; the page Report has it in its file of answers" in long
    assert '<span class="figure">19/308</span>' in chance_html(Chance(19 / 308, Fraction(19, 308)))


@pytest.mark.parametrize("module", ["answer", "evidence"])
def test_another_question_is_chosen_and_stays_chosen(module: str) -> None:
    app = page_of(module, healthy_brother())
    assert "What is the chance that II-2 is a carrier?" in _questions_shown(app)
    app.radio("question choice").set_value(1).run()
    assert not app.exception
    assert app.radio("question choice").value == 1
    assert "What is the chance that the next child of II-2 and II-3 is affected?" in (
        _questions_shown(app)
    )
    app.run()
    assert app.radio("question choice").value == 1


def _questions_shown(app) -> str:  # type: ignore[no-untyped-def]
    shown = (*app.header, *app.subheader, *app.markdown)
    return (" ".join(each.value for each in shown) + htmls(app)).replace("\\", "")


def test_a_bad_age_is_refused_at_its_field_and_keeps_what_was_typed() -> None:
    app = open_app(healthy_brother(), "II-2")
    field = next(each for each in app.text_input if each.label == "Age in years")
    field.set_value("old").run()
    assert case_of(app) == healthy_brother()
    again = next(each for each in app.text_input if each.label == "Age in years")
    assert again.value == "old"
    assert any("is not an age" in error.value.replace("\\", "") for error in app.error)
    for wrong in ("1/2", "-3", "200", "50%", "007"):
        again.set_value(wrong).run()
        assert case_of(app) == healthy_brother()
        assert app.error
    again.set_value(" 30 ").run()
    age = case_of(app).person("II-2").age
    assert age is not None
    assert age.text == "30"
    assert actions.load(write_case(case_of(app))) == case_of(app)  # it opens again as it was
    assert not app.error


def test_so_many_siblings_alike_are_as_many_as_the_file_can_state() -> None:
    case, _ = edit.add_children(healthy_brother(), "I-1", sex="female")
    field = "field|II-4|count"
    app = open_app(case, "II-4")
    app.session_state["more|II-4|False"] = True
    app.run()
    for wrong in ("1", "5000", "0000029999999", "2.5", "4%", "three"):
        app.text_input(field).set_value(wrong).run()
        assert case_of(app) == case, wrong
        assert any("empty it for one person" in each.value for each in app.error), wrong
    app.text_input(field).set_value(" 1000 ").run()
    assert case_of(app).person("II-4").count == 1000
    assert actions.load(write_case(case_of(app))) == case_of(app)


def test_an_impossible_family_names_the_facts_and_one_can_be_taken_back() -> None:
    case = edit.change_person(healthy_brother(), "I-1", genotype=0)
    app = open_app(case)
    assert any("impossible" in error.value for error in app.error)
    said = " ".join(each.value for each in app.markdown).replace("\\", "")
    assert "I-1 is known to have no disease allele" in said
    assert "II-1 is affected" in said
    next(b for b in app.button if b.key == "take back|I-1.genotype").click().run()
    assert case_of(app) == healthy_brother()
    assert not app.error


def test_problems_of_the_case_have_a_way_to_the_person() -> None:
    case = healthy_brother()
    condition = replace(case.condition, inheritance="x_linked_recessive")
    case = edit.change_person(replace(case, condition=condition), "II-1", sex="unknown")
    app = open_app(case)
    assert any("No answers yet" in each.value for each in app.warning)
    next(b for b in app.button if b.label == "Show").click().run()
    assert app.session_state["selected"] == "II-1"
    assert any("sex" in error.value for error in app.error)


def test_what_many_people_lack_is_said_once_with_a_way_to_each() -> None:
    """With ages at onset everybody unaffected needs an age."""
    case = actions.example("late-onset")
    people = tuple(replace(person, age=None) for person in case.people)
    app = open_app(replace(case, people=people))
    said = [each.value for each in app.markdown if "ages of onset" in each.value]
    assert len(said) == 1
    lacking = [person.id for person in people if person.affected is False]
    assert len(lacking) > 2
    labels = [b.label.replace("\\", "") for b in app.button]
    assert labels.count("Show") == 1
    first = labels.index("Show")
    assert labels[first + 1 : first + len(lacking)] == lacking[1:]
    app.button[first + 1].click().run()
    assert app.session_state["selected"] == lacking[1]


def test_the_frequency_waits_for_its_number() -> None:
    app = page_of("condition", replace(healthy_brother(), condition=RARE))
    assert not app.exception
    app.radio("frequency choice").set_value("carrier").run()
    assert case_of(app).condition == RARE
    next(t for t in app.text_input if t.label.startswith("Carriers")).set_value("4%").run()
    assert case_of(app).condition.frequency == Frequency(carrier=quantity("4%"))


RARE = Condition("autosomal_recessive", Frequency(allele="rare"))


def test_every_key_of_the_condition_has_its_field() -> None:
    """Set each by its field and find it in the case."""
    app = page_of("condition", replace(healthy_brother(), condition=RARE))

    def text(label: str, value: str, at: int = 0) -> None:
        fields = [t for t in (*app.text_input, *app.text_area) if t.label == label]
        fields[at].set_value(value).run()
        assert not app.exception
        assert not app.session_state["refused"]

    def option(label: str, value: str, at: int = 0) -> None:
        groups = [g for g in (*app.button_group, *app.radio) if g.label == label]
        groups[at].set_value(value).run()
        assert not app.exception

    text("Name of the condition", "Marsh fever")
    option("Inheritance", "X-linked recessive")
    option("Table", "By sex", 0)
    text("One", "0.1", 0)
    text("Age: share", "30: 5%\n70: 1")
    option("New mutation", "Rates")
    text("In eggs", "1e-6")
    text("In sperm", "2e-6")
    text("Class: share", "common: 70%\nother: 30%")
    option("Table", "One table", 1)
    next(c for c in app.checkbox if c.label.startswith("Consider")).check().run()
    text("Chance that a founder is a mosaic", "1/100")
    text("Share of their gametes", "1/3")
    text("Name of the test", "panel")
    text("Sensitivity of the test", "0.9")
    text("Specificity of the test", "1")
    press(app, "Add the test")
    app.radio("frequency choice").set_value("balance").run()
    text("Fitness of affected males, from 0 to less than 1", "0.5")
    condition = case_of(app).condition
    assert condition.name == "Marsh fever"
    assert condition.inheritance == "x_linked_recessive"
    assert condition.penetrance.female.one.text == "0.1"  # type: ignore[union-attr]
    assert [p.age.text for p in condition.onset or ()] == ["0", "30", "70"]
    assert condition.mutation is not None
    assert str(condition.mutation.paternal) == "2e-6"
    assert [v.name for v in condition.variants or ()] == ["common", "other"]
    assert condition.viability is not None
    assert str(condition.germline_mosaicism.gametes) == "1/3"  # type: ignore[union-attr]
    assert condition.tests == (
        Test("panel", sensitivity=quantity("0.9"), specificity=quantity("1")),
    )
    assert condition.frequency.mutation_selection_balance is not None


def negative_brother() -> Case:
    test = Test("panel", sensitivity=quantity("0.9"), specificity=quantity("1"))
    case = healthy_brother()
    case = replace(case, condition=replace(case.condition, tests=(test,)))
    return edit.add_result(case, "II-2", TestResult("panel", result="negative"))


def test_the_picture_says_what_is_so_in_how_many_families() -> None:
    """One of six such brothers carries the allele, as the next test counts."""
    said = [element.value for element in page_of("answer", negative_brother()).markdown]
    assert any("In 1 of 6 families with the same facts" in text for text in said)


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (Fraction(0), "In no families with the same facts II-2 is a carrier."),
        (Fraction(1), "In all families with the same facts II-2 is a carrier."),
        (Fraction(1, 1450), "In 1 of 1,450 families with the same facts II-2 is a carrier."),
        (Fraction(999, 1000), "In 999 of 1,000 families with the same facts II-2 is a carrier."),
    ],
)
def test_the_sentence_reads_well_at_either_end(
    chance: Fraction, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr(frequencies.st, "markdown", said.append)
    monkeypatch.setattr(frequencies.st, "caption", lambda text: None)
    monkeypatch.setattr(frequencies.parts, "picture", lambda *args, **options: None)
    question = Question("carrier", person="II-2")
    frequencies.show_crowd(Chance(float(chance), chance), question, negative_brother())
    assert said == [f"**{plain(words)}**"]


def test_a_test_result_becomes_a_tree_of_whole_people() -> None:
    """Of 15 such brothers 10 carry; 1 of these and all 5 others test negative: 1 of 6."""
    page = htmls(page_of("answer", negative_brother()))
    assert "10 have a disease allele" in page
    assert "Of 6 with a negative result, 1 has a disease allele." in page
    assert '<span class="figure">1/6</span>' in page


def test_the_working_can_come_step_by_step() -> None:
    app = page_of("answer", healthy_brother())
    whole = htmls(app)
    app.toggle("slowly").set_value(True).run()
    part = htmls(app)
    assert len(part) < len(whole)
    press(app, "One more")
    assert len(htmls(app)) > len(part)


def test_a_working_that_comes_step_by_step_gives_its_answer_with_the_last_step() -> None:
    """Not before: neither as numbers, nor as a crowd, as people tested or below the symbols."""
    app = page_of("answer", negative_brother())
    signs = ('class="figure">1/6<', "1 has a disease allele")
    titles = {"As a picture", "The test, in whole people", "Everyone's chance of being a carrier"}
    whole = htmls(app)
    assert all(sign in whole for sign in signs)
    assert titles <= headings(app)
    app.toggle("slowly").set_value(True).run()
    while any(each.label == "One more" for each in app.button):
        assert not any(sign in htmls(app) for sign in signs)
        assert not titles & headings(app)
        press(app, "One more")
    assert all(sign in htmls(app) for sign in signs)
    assert titles <= headings(app)


def headings(app) -> set[str]:  # type: ignore[no-untyped-def]
    return {each.value.removeprefix("## ") for each in app.markdown}


def test_a_ladder_without_bars_names_no_length_of_bars() -> None:
    nothing = Rung((), "nothing known about anyone", Chance(0.0, Fraction(0)))
    assert evidence._scale([nothing])[1] == ""
    assert evidence._scale([nothing, replace(nothing, chance=Chance(0.04))])[1] == "to 5%"


def test_in_large_type_nothing_is_offered_to_be_taken_next_once_all_is_known() -> None:
    app = page_of("evidence", healthy_brother(), projector=True)
    offer = "Take one of these next."
    assert offer in [each.value for each in app.caption]
    press(app, "Everything")
    assert offer not in [each.value for each in app.caption]


def test_in_large_type_the_fields_for_guesses_keep_their_room_while_nothing_is_asked() -> None:
    app = page_of("evidence", healthy_brother(), projector=True)
    assert [each.disabled for each in app.number_input] == [True] * 3
    press(app, "Next fact")
    assert [each.disabled for each in app.number_input] == [False] * 3
    app.toggle("guess first").set_value(False).run()
    press(app, "Reveal")
    assert not app.number_input
    assert not page_of("evidence", healthy_brother()).number_input


def test_evidence_goes_forward_asks_and_goes_back() -> None:
    app = page_of("evidence", healthy_brother())
    first = htmls(app)
    press(app, "Next fact")
    assert any("What happens to the chance" in each.value.replace("\\", "") for each in app.info)
    next(n for n in app.number_input if n.label == "Rises").set_value(12).run()
    next(t for t in app.text_input if t.label == "Or a number").set_value("most").run()
    press(app, "Reveal")
    assert htmls(app) != first
    said = " ".join(each.value.replace("\\", "") for each in app.info)
    assert "12 of 12 had it right" in said
    assert 'The guess "most" could not be read' in said
    press(app, "Back")
    assert htmls(app) == first
    press(app, "Everything")
    assert '<span class="figure">2/3</span>' in htmls(app)


def test_a_fact_that_begins_with_an_id_keeps_it_as_it_is_written() -> None:
    case = edit.rename(healthy_brother(), "II-1", "c1")
    app = page_of("evidence", case)
    offered = [b.label for b in app.button if b.key and b.key.startswith("reveal|")]
    assert any(label.startswith("c1 is affected") for label in offered)


def test_evidence_on_a_genotype_names_the_one_chance_that_it_follows() -> None:
    """Its figures are of at least one copy, and never of how many copies there are."""
    case = replace(healthy_brother(), questions=(Question("genotype", person="II-2"),))
    app = page_of("evidence", case)
    chance = "What is the chance that II-2 has at least one copy of the disease allele?"
    assert [each.value.replace("\\", "") for each in app.header] == [chance]
    assert any("How many copies" in each.value for each in app.caption)
    assert "chance that II-2 has at least one copy" in app.get("bidi_component")[-1].proto.json


def test_facts_can_be_revealed_in_any_order() -> None:
    app = page_of("evidence", healthy_brother())
    app.toggle("guess first").set_value(False).run()
    hidden = [b for b in app.button if b.key and b.key.startswith("reveal|")]
    hidden[-1].click().run()
    hidden = [b for b in app.button if b.key and b.key.startswith("reveal|")]
    hidden[0].click().run()
    show = app.session_state["show"]
    assert len(show.revealed) == 2
    press(app, "Everything")
    assert '<span class="figure">2/3</span>' in htmls(app)


def test_empty_cells_of_the_people_table_are_empty() -> None:
    app = open_app(healthy_brother())
    app.session_state["table"] = app.session_state["edit as table"] = True
    grid = app.run().dataframe[0].proto
    assert (grid.HasField("placeholder"), grid.placeholder) == (True, "")


def test_what_if_draws_a_curve_and_compares_two_versions() -> None:
    app = page_of("what_if", negative_brother())
    assert not app.exception
    # Two questions, each on a scale of its own.
    assert len(app.get("arrow_vega_lite_chart")) + len(app.get("vega_lite_chart")) == 2
    app.selectbox("vary what").set_value("Result of II-2 in panel").run()
    assert not app.exception
    page = htmls(app)
    assert "negative (as it stands)" in page
    assert "no result" in page
    app.segmented_control("what if view").set_value("Two versions side by side").run()
    press(app, "Keep this version")
    assert app.session_state["kept version"] == negative_brother()
    # Numbers stand below people in both trees, so both have a key that says what they are.
    key = re.compile(r"words\W+chance of being a carrier")
    trees = [str(each.proto) for each in app.get("bidi_component")]
    assert [len(key.findall(tree)) for tree in trees] == [1, 1]


def test_what_if_begins_with_the_ages_where_there_are_any_and_no_title_fixes_what_varies() -> None:
    case = actions.example("late-onset")
    app = page_of("what_if", case)
    (vary,) = app.selectbox
    assert vary.options[:3] == ["Age of II-1", "Age of III-1", "Allele frequency"]
    assert "Share affected by the age of 30" in vary.options
    app.selectbox(key="vary what").select("III-1.age").run()
    assert "being unaffected at the varied age" in spoken(app)
    assert "being unaffected at 30" not in spoken(app)
    app.selectbox(key="vary what").select("III-1.affected").run()
    assert "unaffected at" not in htmls(app)


def test_what_if_draws_a_point_where_there_is_one_value() -> None:
    app = page_of("what_if", negative_brother())
    app.selectbox("vary what").set_value("Carrier frequency").run()
    app.text_input("from|condition.frequency.carrier").set_value("1/2").run()
    curves = [*app.get("arrow_vega_lite_chart"), *app.get("vega_lite_chart")]
    assert '"point": true' not in curves[0].proto.spec
    app.text_input("to|condition.frequency.carrier").set_value("0.5").run()
    assert not app.exception
    points = [*app.get("arrow_vega_lite_chart"), *app.get("vega_lite_chart")]
    assert '"point": true' in points[0].proto.spec
    # Certain carriers' son, unaffected and negative: 1/4 : 1/2 x 1/10.
    assert any("for 1/2 alone: 1/6" in each.value.replace("\\", "") for each in app.caption)


def test_what_if_takes_a_list_of_values() -> None:
    app = page_of("what_if", healthy_brother())
    path = "condition.frequency.carrier"
    app.text_input(f"values|{path}").set_value("1/25, 1/50,1/100").run()
    assert not app.exception
    # The sister's 2/3, the partner's, and the quarter of carriers' children: 1/6 of the partner's.
    page = htmls(app)
    for child in ("1/150", "1/300", "1/600"):
        assert f">{child}, " in page
    assert page.count("<tr") == 4
    app.text_input(f"values|{path}").set_value("1/25; much").run()
    assert any("No answer for 1 of the 2 values" in each.value for each in app.warning)
    app.text_input(f"values|{path}").set_value("").run()
    assert not app.exception and any(each.label == "The numbers" for each in app.expander)
    # 0 has no place on a scale in powers of ten.
    path = "condition.mutation.maternal"
    app.selectbox("vary what").set_value(path).run()
    app.text_input(f"values|{path}").set_value("0; 1/1000").run()
    assert not app.exception and not app.warning
    assert "1/150" in htmls(app) and '"type": "log"' not in str(app.get("vega_lite_chart"))


def test_what_if_says_what_differs_between_two_versions() -> None:
    kept = healthy_brother()
    condition = replace(kept.condition, frequency=Frequency(carrier=quantity("1/50")))
    case, _ = edit.add_siblings(replace(kept, condition=condition), "II-1", sex="male")
    view = "Two versions side by side"
    app = page_of("what_if", case, **{"kept version": kept, "what if": view})
    page = " ".join(re.sub("<[^>]*>", " ", htmls(app)).split())
    assert "Carrier frequency 1/25 1/50" in page
    assert "II-4 not in the family in the family" in page
    press(app, "Keep this version")
    assert app.caption[0].value == "The two are the same, so far."


def test_what_if_says_which_values_have_no_answer_and_which_change_nothing() -> None:
    app = page_of("what_if", negative_brother())
    app.selectbox("vary what").set_value("Carrier frequency").run()
    app.text_input("from|condition.frequency.carrier").set_value("2").run()
    app.text_input("to|condition.frequency.carrier").set_value("1/2").run()
    assert not app.exception
    (warning,) = [each.value for each in app.warning]
    assert "outside 0 to 1" in warning
    assert "condition" not in warning
    # Certain carriers' son, unaffected and negative: 1/4 : 1/2 x 1/10, whatever the frequency.
    assert any(
        "same for every value drawn: 1/6" in each.value.replace("\\", "") for each in app.caption
    )


def test_what_if_says_facts_and_inheritance_in_words() -> None:
    app = page_of("what_if", negative_brother())
    for what, own in (
        ("Phenotype of II-1", "affected"),
        ("Genotype of II-1", "not known"),
        ("Inheritance", "autosomal recessive"),
    ):
        app.selectbox("vary what").set_value(what).run()
        assert not app.exception
        assert f"{own} (as it stands)" in htmls(app)


def test_two_results_of_one_test_are_varied_each_by_itself() -> None:
    case = edit.add_result(negative_brother(), "II-2", TestResult("panel", result="positive"))
    app = page_of("what_if", case)
    for number, own in ((1, "negative"), (2, "positive")):
        app.selectbox("vary what").set_value(f"Result {number} of II-2 in panel").run()
        assert not app.exception
        assert f"{own} (as it stands)" in htmls(app)


def test_crosses_fill_the_square_cell_by_cell() -> None:
    app = page_of("crosses", healthy_brother())
    assert not app.exception
    empty = htmls(app)
    for _ in range(4):
        press(app, "Fill the next cell")
    assert htmls(app).count("Aa") > empty.count("Aa")
    assert "1/257" in htmls(app)  # test cross, 8 dominant offspring: (1/2)^8 : 1


def test_a_report_reminds_of_a_title_and_a_story_until_there_are_both() -> None:
    def said(case: Case) -> str:
        return " ".join(each.value for each in page_of("report", case).caption).replace("\\", "")

    case = healthy_brother()
    assert 'printed as "Autosomal recessive". It has no story.' in said(case)
    titled = replace(case, title="A brother")
    assert said(titled).startswith("It has no story. Write one at")
    assert "story" not in said(replace(titled, vignette="Ada asks."))


def test_the_tabs_of_crosses_have_headings_of_one_level_and_begin_with_a_usual_run() -> None:
    app = page_of("crosses", healthy_brother())
    press(app, "Fill all")
    assert set(re.findall(r"<h(\d)>", htmls(app))) == {"2"}
    drawn = actions.cross("Aa", "Aa", offspring=160, seed=app.number_input("seed").value)
    assert drawn.simulation is not None
    assert all(p.low <= p.dominant <= p.high for p in drawn.simulation.running)
    assert "(F1)" not in htmls(app)


def test_a_gene_on_the_x_goes_through_all_tabs() -> None:
    app = page_of("crosses", healthy_brother())
    app.segmented_control("place of the gene").set_value("On the X").run()
    assert not app.exception
    press(app, "Fill the next cell")
    assert '>X<sup>A</sup> X<sup>A</sup></span><span class="who">unaffected daughter' in htmls(app)
    press(app, "Fill all")
    said = htmls(app)
    assert "No daughter is affected, and half are carriers. Half of the sons are affected." in said
    assert "The reciprocal cross" in said
    assert "Sons affected:" in said
    assert "with 2 degrees of freedom" in said
    assert "1/257" in said
    assert "X^" not in said
    assert set(re.findall(r"<h(\d)>", said)) == {"2"}
    app.segmented_control("trait on X").set_value("dominant").run()
    app.segmented_control("father on X|square").set_value("X^a Y").run()
    assert app.segmented_control("father on X|counts").value == "X^a Y"
    press(app, "Fill all")
    assert "Half of the daughters are affected. Half of the sons are affected." in htmls(app)
    app.segmented_control("place of the gene").set_value("On an autosome").run()
    assert not app.exception
    assert app.segmented_control("mother|square").value == "Aa"


def test_what_counts_say_stands_before_the_table_it_comes_from() -> None:
    app = page_of("crosses", healthy_brother())
    app.segmented_control("place of the gene").set_value("On the X").run()
    counts = {"Daughters, dominant": 6, "Sons, dominant": 3, "Sons, recessive": 2}
    for label, count in counts.items():
        (field,) = [each for each in app.number_input if each.label == label]
        field.set_value(count).run()
    said = htmls(app).partition("Goodness of fit")[2]
    order = ("degrees of freedom", "Caution: an expected", "observed", "Half of the offspring")
    places = [said.index(each) for each in order]
    assert places == sorted(places)


@pytest.mark.parametrize("scheme", range(5))
def test_every_way_to_go_on_is_shown_on_the_x(scheme: int) -> None:
    app = page_of("crosses", healthy_brother())
    app.segmented_control("place of the gene").set_value("On the X").run()
    for tab in ("generations", "counts"):
        box = app.selectbox(f"then on X|{tab}")
        box.set_value(box.options[scheme]).run()
        assert not app.exception


def test_the_parents_of_the_square_go_to_the_other_tabs() -> None:
    app = page_of("crosses", healthy_brother())
    tabs = ("generations", "offspring", "counts")
    app.segmented_control("mother|offspring").set_value("AA").run()
    assert app.segmented_control("mother|square").value == "Aa"
    app.segmented_control("father|square").set_value("aa").run()
    assert not app.exception
    for where in tabs:
        assert app.segmented_control(f"mother|{where}").value == "Aa"
        assert app.segmented_control(f"father|{where}").value == "aa"
    app.segmented_control("mother|counts").set_value("AA").run()
    assert app.segmented_control("mother|counts").value == "AA"


@pytest.mark.parametrize(
    "module", ["condition", "answer", "evidence", "what_if", "practice", "crosses", "report"]
)
def test_every_page_draws_with_and_without_a_family(module: str) -> None:
    assert not page_of(module, healthy_brother()).exception
    assert not page_of(module, Case(RARE, ())).exception


def test_practice_marks_an_answer_and_gives_hints_row_by_row() -> None:
    from risk import actions

    app = page_of("practice", Case(RARE, ()))
    (case,) = actions.practice(1, 1, 1)
    truth = actions.solve(case).answers[0].probability
    assert truth is not None

    def answer(text: str) -> None:
        next(t for t in app.text_input if t.label.startswith("Your answer")).set_value(text)
        next(b for b in app.button if b.label == "Mark it").click().run()
        assert not app.exception

    assert any(each.value == "Level 1: one fact and Mendel." for each in app.caption)
    answer(str(truth.exact))
    assert any(each.value.startswith("Right") for each in app.success)
    answer("none")
    assert any(each.value.startswith("Not read") for each in app.error)
    assert len(app.session_state["course"].attempts) == 1
    answer(str(truth.exact))  # pressed again, after a right answer, and in another form
    answer("1/1000")
    answer(f"{float(truth.exact):.6f}")
    assert len(app.session_state["course"].attempts) == 1
    before = htmls(app)
    next(b for b in app.button if b.key == "hint|0").click().run()
    first = htmls(app)
    next(b for b in app.button if b.key == "hint|0").click().run()
    assert len(before) < len(first) < len(htmls(app))
    press(app, "Next case")
    assert app.session_state["course"].seed == 2
    assert any("1 of 1 answers right" in each.value for each in app.markdown)
    for wrong in ("1/1000", "1/1000", "0.1%", "1/999", "1 in 1000"):
        answer(wrong)
    assert any("1 of 3 answers right" in each.value for each in app.markdown)


def test_a_class_is_marked_from_a_table() -> None:
    app = page_of("practice", healthy_brother())
    assert not app.exception
    app.radio("class case").set_value("The case of the page Family").run()
    table = "student,question,answer\nAda,0,2/3\nBo,0,1/2\nCy,1,1 in 150\n=evil,0,0.67\n"
    app.file_uploader[0].set_value(("class.csv", table.encode(), "text/csv")).run()
    assert not app.exception
    page = htmls(app)
    assert "ignored" not in page.split("Ada")[0]
    assert page.count(">Right<") == 2
    assert page.count(">Right, rounded<") == 1
    assert page.count(">Not right: a known slip<") == 1
    (slips,) = [each.value for each in app.markdown if "forgot" in each.value]
    assert slips.startswith("forgot that someone asked about is unaffected")


def test_a_stray_question_number_in_a_class_is_refused_by_its_line() -> None:
    app = page_of("practice", healthy_brother())
    app.radio("class case").set_value("The case of the page Family").run()
    table = "student,question,answer\nAda,1,2/3\nAda,2,1/150\nBo,1,2/3\nCy,0,2/3\n"
    app.file_uploader[0].set_value(("class.csv", table.encode(), "text/csv")).run()
    (error,) = app.error
    assert "line 5 names question 0, and line 3 names question 2" in error.value.replace("\\", "")
    app.radio("class count").set_value("1").run()
    assert not app.error
    assert htmls(app).count(">Right<") == 3


def test_a_class_whose_table_has_a_column_for_the_case_and_letters_for_questions() -> None:
    app = page_of("practice", healthy_brother())
    app.radio("class case").set_value("The case of the page Family").run()
    table = "student,case,question,answer\nAda,co,a,2/3\nBo,co,b,1/150\n"
    app.file_uploader[0].set_value(("class.csv", table.encode(), "text/csv")).run()
    assert htmls(app).count(">Right<") == 2
    assert any("The table calls the case" in each.value for each in app.warning)
    # No row has a number, so that nothing is to be said of them.
    assert not any("question 0" in each.value for each in app.markdown)


def test_an_example_that_has_gone_or_was_spoilt_is_refused_and_nothing_is_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from risk import bundled

    spoilt = tmp_path / "twins.json"
    spoilt.write_text("{", encoding="utf-8")
    held = dict(bundled.bundled_cases())
    app = unfold_files(open_app(healthy_brother()))
    for gone in ({**held, "twins": tmp_path / "nowhere.json"}, {**held, "twins": spoilt}):
        monkeypatch.setattr(bundled, "bundled_cases", lambda gone=gone: gone)
        app.selectbox("example|menu").set_value("twins").run()
        assert not app.exception
        assert any("twins was not opened" in each.value for each in app.error)
        assert case_of(app) == healthy_brother()
    monkeypatch.undo()
    app.selectbox("example|menu").set_value("twins").run()
    assert not app.error
    assert case_of(app) == actions.example("twins")
