"""Worksheets and their key, read back: problems whole, answers only in the key."""

import io
import re
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest

from risk import actions
from risk.case.write import write_case
from risk.caution import CAUTION
from risk.document.blocks import Bullets, Figure, FillIn, flatten
from risk.document.report import Layout
from risk.document.worksheet import worksheet
from risk.render import pdf_blocks
from risk.wording.chances import answer_in_words, chance_in_words
from risk.wording.questions import question_in_words
from tests.workings import families

PATHS = sorted(Path("fixtures").glob("*.json"))
NAMES = [path.stem for path in PATHS]
CASES = [actions.load(path.read_bytes()) for path in PATHS]


@pytest.fixture(scope="module")
def pages():
    sheet, key = actions.worksheet(CASES), actions.answer_key(CASES)
    return {
        name: [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
        for name, content in (("sheet", sheet), ("key", key))
    }


def one_line(texts):
    return " ".join(" ".join(texts).split())


def test_every_page_of_both_has_the_caution(pages):
    for name in ("sheet", "key"):
        assert all(CAUTION in one_line([page]) for page in pages[name])
    assert "licensed genetic counsellor" in one_line(pages["sheet"][:1])


@pytest.mark.parametrize(("stated", "said"), [("1/3", "1/3."), (None, "1/2, as none is stated.")])
def test_the_chance_of_identical_twins_is_among_what_may_be_assumed(stated, said):
    # Without it nobody could solve the problem by hand.
    twin = {"group": "t", "zygosity": "unknown"} | (
        {"monozygotic_chance": stated} if stated else {}
    )
    people = [
        families.person("I-1", "male"),
        families.person("I-2", "female"),
        families.person("II-1", "female", ("I-1", "I-2"), affected=True),
        families.person("II-2", "female", ("I-1", "I-2"), affected=False, twin=twin),
        families.person("II-3", "female", ("I-1", "I-2"), affected=False, twin=twin),
    ]
    asked = [{"ask": "carrier", "person": "II-2"}]
    twins = families.case("autosomal_recessive", {"carrier": "1/50"}, people, asked)
    lines = [
        block
        for block in flatten(worksheet([twins], Layout()).blocks)
        if isinstance(block, Bullets)
    ]
    assert f"Twins: II-2 and II-3 are monozygotic with chance {said}" in lines[0].items


def test_the_sheet_states_every_problem_and_question(pages):
    text = one_line(pages["sheet"])
    for number, case in enumerate(CASES, 1):
        assert f"{number}. {case.title}" in text
        assert one_line([case.vignette]) in text
        for question in case.questions:
            assert question_in_words(question, case) in text
    words = set(text.split())
    for case in CASES:
        assert [person.id for person in case.people if person.id not in words] == []


def test_the_sheet_gives_no_answer_away(pages):
    text = one_line(pages["sheet"])
    said = "".join(write_case(case) for case in CASES)
    for case in CASES:
        for answer in actions.solve(case).answers:
            for chance in answer.distribution or (answer.probability,):
                fraction = chance_in_words(chance).fraction
                if fraction and len(fraction) > 3 and fraction not in said:
                    assert not re.search(rf"(?<![\w/.]){re.escape(fraction)}(?![\w/])", text)


def test_the_key_answers_every_question_and_shows_its_working(pages):
    text = one_line(pages["key"])
    for case in CASES:
        for answer, working in zip(actions.solve(case).answers, actions.explain(case), strict=True):
            for chance in answer.distribution or (answer.probability,):
                assert answer_in_words(chance) in text
            assert working.conclusion in text
            for step in working.steps:  # what was said before is said once
                said = re.split(r"(?<=\.) (?=[A-Z])", step.text)
                assert all(sentence in text for sentence in said)


def test_each_problem_has_its_tree_and_each_question_room_and_a_line_for_the_answer():
    blocks = list(flatten(worksheet(CASES, Layout()).blocks))
    figures = [block for block in blocks if isinstance(block, Figure)]
    assert len(figures) == len(CASES) + 1  # and one key of signs for all
    with_key = [f for f in figures if any(shape.role == "key" for shape in f.scene.items)]
    assert with_key == figures[:1]  # before the first problem
    assert not any(shape.role == "caution" for f in figures for shape in f.scene.items)
    questions = sum(len(case.questions) for case in CASES)
    lines = [block for block in blocks if isinstance(block, FillIn)]
    assert sum(block.label == "Answer:" for block in lines) == questions
    assert sum(block.lines >= 4 for block in lines) == questions


def test_a_problem_stands_on_one_page_with_its_tree(pages):
    apart = {"island-family"}  # too wide a tree: on a page of its own, the next
    for number, (name, case) in enumerate(zip(NAMES, CASES, strict=True), 1):
        heading = f"{number}. {case.title}"
        at, page = next(
            (i, one_line([page]))
            for i, page in enumerate(pages["sheet"])
            if heading in one_line([page])
        )
        for question in case.questions:
            assert question_in_words(question, case) in page
        drawn = one_line([pages["sheet"][at + 1]]) if name in apart else page
        assert {person.id for person in case.people} <= set(drawn.split()), name


def test_both_are_the_same_bytes_again_in_either_format():
    cases = CASES[:3]
    for make in (actions.worksheet, actions.answer_key):
        for size in ("a4", "letter"):
            assert make(cases, page=size) == make(cases, page=size)
        assert make(cases, page="a4") != make(cases, page="letter")


def test_a_heading_of_the_key_stays_with_its_working():
    """Also where a note on what vanishes stands between the two."""
    cases = actions.practice(level=4, seed=1, count=8)
    pages = pypdf.PdfReader(io.BytesIO(actions.answer_key(cases))).pages
    texts = [one_line([page.extract_text()]) for page in pages]
    notes = [
        text.split("stands for a vanishing quantity")[1] for text in texts if "stands for" in text
    ]
    assert notes
    assert all(re.search(r"\bjoint\b", rest) for rest in notes)


def parted(cases):
    """The questions whose working goes on on the next page of the key."""
    pages = pypdf.PdfReader(io.BytesIO(actions.answer_key(cases))).pages
    texts = [one_line([page.extract_text()]) for page in pages]
    found = set()
    for number, case in enumerate(cases, 1):
        for letter, working in zip("ab", actions.explain(case), strict=True):
            asked = f"{number} ({letter}) {question_in_words(working.question, case)}"
            if not [text for text in texts if asked in text and working.conclusion in text]:
                found.add((number, letter))
    return found


def test_the_working_of_a_question_is_not_parted_where_a_page_has_room_for_it(monkeypatch):
    cases = actions.practice(level=4, seed=1, count=8)
    kept = parted(cases)
    monkeypatch.setattr(pdf_blocks, "_TALL_GROUP", 0)
    assert len(parted(cases) - kept) >= 2
    monkeypatch.setattr(pdf_blocks, "_TALL_GROUP", 1)
    monkeypatch.setattr(pdf_blocks, "_MOST_EMPTY_OF_ONE", 1)
    assert not parted(cases)


def test_a_case_that_asks_nothing_says_so():
    silent = replace(CASES[0], questions=())
    for make in (actions.worksheet, actions.answer_key):
        for cases in ([silent], [silent, CASES[1]]):
            pages = pypdf.PdfReader(io.BytesIO(make(cases))).pages
            text = one_line([page.extract_text() for page in pages])
            assert text.count("This case asks no questions.") == 1


@pytest.mark.parametrize("level", [2, 3, 4])
def test_problems_begin_on_the_first_page_and_fill_the_others(level):
    """Each takes most of a page; heading, caution and key used to take one by themselves."""
    content = actions.worksheet(actions.practice(level=level, seed=41, count=4))
    texts = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    assert len(texts) == 4
    assert "1. " in texts[0] and "(a) " in texts[0]
    # Of the hardest the key would take a page more before them.
    assert ("stands after the last problem" in one_line(texts[:1])) == (level > 3)
    if level > 3:
        assert texts[3].index("(a) ") < texts[3].index("Key")


def test_that_the_allele_is_rare_may_be_assumed_only_where_the_answers_need_it():
    """A sibling's chance goes by the affected one alone, a nephew's by the partner, too."""
    people = [
        families.person("I-1", "male", affected=False),
        families.person("I-2", "female", affected=False),
        families.person("II-1", "male", ("I-1", "I-2"), affected=True),
        families.person("II-2", "female", ("I-1", "I-2"), affected=False),
        families.person("II-3", "male", affected=False),
        families.person("III-1", "male", ("II-3", "II-2")),
    ]
    rare = ("autosomal_recessive", {"allele": "rare"}, people)
    given = []
    for asked in ("II-2", "III-1"):
        case = families.case(*rare, [{"ask": "carrier", "person": asked}])
        blocks = flatten(worksheet([case], Layout()).blocks)
        given.append(next(each.items for each in blocks if isinstance(each, Bullets)))
    assert [len(each) for each in given] == [1, 2]
    assert "Frequency: The disease allele is rare" in given[1][1]
