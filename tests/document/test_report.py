"""The case summary, read back: cautions, answers, people, assumptions and nothing untrue."""

import io
import json
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from strategies import cases, random_family

from risk import actions
from risk.case.write import write_case
from risk.caution import CAUTION
from risk.document.blocks import Beside, Figure, Paragraph, Table, flatten
from risk.document.report import Findings, Layout, case_report
from risk.model.answers import Chance
from risk.problems import ImpossibleEvidence
from risk.wording.assumptions import assumptions_of_case
from risk.wording.chances import chance_in_words
from tests.render.ink import ink_outside

#: No ink comes nearer to the edge of a page, in points.
EDGE = 28
FIXTURES = sorted(Path("fixtures").glob("*.json"))
NAMES = [path.stem for path in FIXTURES]


def case_of(path):
    return actions.load(path.read_bytes())


def pages_of(content):
    return [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(content)).pages]


def one_line(texts):
    return " ".join(" ".join(texts).split())


def chances_of(solution):
    for answer in solution.answers:
        yield from answer.distribution or (answer.probability,)


@pytest.mark.parametrize("path", FIXTURES, ids=NAMES)
def test_a_report_says_everything_about_its_case(path):
    case = case_of(path)
    pages = pages_of(actions.report([case], author="A. Student", date="1 March 2026"))
    text = one_line(pages)
    assert all(CAUTION in one_line([page]) for page in pages)
    assert "licensed genetic counsellor" in one_line(pages[:1])
    assert "local practice" in one_line(pages[:1])
    for part in (case.title, *case.vignette.split(), "A. Student", "1 March 2026"):
        assert part in text
    solution = actions.solve(case)
    for chance in chances_of(solution):
        words = chance_in_words(chance)
        assert words.percent in text
        assert words.one_in in text
        assert words.fraction is None or words.fraction in text
    words = set(text.split())
    assert [person.id for person in case.people if person.id not in words] == []
    for person in case.people:
        assert not person.name or person.name in text
    for each in assumptions_of_case(case):
        assert each.text in text
    for working in actions.explain(case):
        assert working.conclusion in text
    assert f"page {len(pages)} of {len(pages)}" in pages[-1]


@pytest.mark.parametrize("path", FIXTURES, ids=NAMES)
def test_a_blank_report_gives_no_answer_away(path):
    """None of the answers' fractions or percentages is there, unless the case itself says it."""
    case = case_of(path)
    text = one_line(pages_of(actions.report([case], blank=True)))
    assert "Answer, as a fraction" in text
    for chance in chances_of(actions.solve(case)):
        words = chance_in_words(chance)
        for form in (words.fraction, words.percent):
            if form and len(form) > 3 and form not in write_case(case):
                assert not re.search(rf"(?<![\w/.]){re.escape(form)}(?![\w/])", text), form


def with_other_answers(solution):
    """The solution with every number of it replaced."""
    other = Chance(0.123456, Fraction(123456, 1000000))
    return replace(
        solution,
        log_likelihood=-77.0,
        answers=tuple(
            replace(
                answer,
                probability=answer.probability and other,
                distribution=answer.distribution and tuple(other for _ in answer.distribution),
            )
            for answer in solution.answers
        ),
        people=tuple(
            each._replace(disease_alleles=tuple(other for _ in each.disease_alleles))
            for each in solution.people
        ),
    )


@pytest.mark.parametrize("working", [True, False])
@pytest.mark.parametrize(
    "source",
    [
        *(pytest.param(path.read_text(encoding="utf-8"), id=path.stem) for path in FIXTURES),
        *(pytest.param(json.dumps(random_family(i, 10 + i % 21)), id=f"{i}") for i in range(100)),
    ],
)
def test_a_blank_report_is_the_same_whatever_the_answers_are(source, working):
    """So nothing of them can be in its text, descriptions, bookmarks, metadata or pictures.

    The pages are made from the document and nothing else.
    """
    case = actions.load(source)
    solution = actions.solve(case)
    layout = Layout(blank=True, working=working)
    blank = case_report([Findings(case, solution)], layout)
    other = with_other_answers(solution)
    assert other != solution
    assert case_report([Findings(case, other)], layout) == blank
    answered = replace(layout, blank=False)
    if case.questions:
        assert case_report([Findings(case, other)], answered) != case_report(
            [Findings(case, solution)], answered
        )


@pytest.mark.parametrize("page", ["a4", "letter"])
@pytest.mark.parametrize("path", FIXTURES, ids=NAMES)
def test_nothing_is_painted_beyond_the_margins(path, page):
    assert ink_outside(actions.report([case_of(path)], page=page), EDGE) == []


def test_a_summary_is_a_page_and_keeps_answers_and_caution():
    case = case_of(Path("fixtures/negative-test.json"))
    (page,) = pages_of(actions.report([case], working=False))
    text = one_line([page])
    assert CAUTION in text
    for chance in chances_of(actions.solve(case)):
        assert chance_in_words(chance).fraction in text
    for each in assumptions_of_case(case):
        assert each.text in text
    assert "The working" not in text


@pytest.mark.parametrize("page", ["a4", "letter"])
@pytest.mark.parametrize("path", FIXTURES, ids=NAMES)
def test_no_page_of_a_report_is_two_thirds_empty(path, page):
    """Nor is a table alone on a page: the working comes last, of which a page holds several.

    The last page of a long document, which type is not made smaller for, may hold less.
    """
    document = pypdfium2.PdfDocument(actions.report([case_of(path)], page=page))
    upright = [each for each in document if each.get_width() <= each.get_height()]
    for each in upright:
        picture = each.render(scale=0.5, grayscale=True).to_pil()
        inner = picture.crop((0, 0, picture.width, picture.height - 41))  # without the foot
        *_, bottom = inner.point(lambda grey: 255 * (grey < 200)).getbbox()
        long_end = each is upright[-1] and len(document) > 6
        assert bottom > inner.height * (0.2 if long_end else 0.4)


def test_a_narrow_tree_stands_beside_the_story_and_its_key_names_the_condition():
    (path,) = (path for path in FIXTURES if path.stem == "negative-test")
    case = case_of(path)
    blocks = case_report([Findings(case, actions.solve(case))], Layout()).blocks
    (beside,) = (b for b in blocks if isinstance(b, Beside) and b.figure is not None)
    assert beside.blocks[0] == Paragraph(case.vignette)
    assert "Two negative" in beside.figure.description
    key = next(b for b in blocks if isinstance(b, Figure))
    assert case.condition.name.split()[0] in key.description


def test_many_cases_make_one_document_each_on_a_page_of_its_own():
    cases = [case_of(path) for path in FIXTURES[:3]]
    content = actions.report(cases, working=False)
    pages = pages_of(content)
    first = [i for case in cases for i, page in enumerate(pages) if case.vignette[:30] in page]
    assert len(first) == len(set(first)) == 3
    titles = [each.title for each in pypdf.PdfReader(io.BytesIO(content)).outline[0::2]]
    assert titles == [case.title for case in cases]


def test_equal_arguments_give_equal_bytes_and_the_date_is_only_what_is_given():
    case = case_of(Path("fixtures/twins.json"))
    first = actions.report([case], date="2026-03-01")
    assert first == actions.report([case], date="2026-03-01")
    assert first != actions.report([case], date="2026-03-02")
    assert not re.search(r"20\d\d-\d\d-\d\d", one_line(pages_of(actions.report([case]))))


def test_the_tree_has_a_description_in_words():
    case = case_of(Path("fixtures/healthy-sister.json"))
    document = case_report([Findings(case, actions.solve(case))], Layout())
    tree = next(block for block in flatten(document.blocks) if isinstance(block, Figure))
    assert "people" in tree.description
    assert case.title in tree.description


def test_dependences_are_the_engine_s_answers_to_the_changed_case():
    """Doubling the carrier frequency in the table is solving the case with it doubled."""
    source = json.loads(Path("fixtures/negative-test.json").read_text())
    table = actions.dependences(actions.load(json.dumps(source)))[0]
    assert table.name == "frequency of carriers"
    assert [(text, own) for text, own, _ in table.rows] == [
        ("1/100", False),
        ("1/50", False),
        ("1/25", True),
        ("2/25", False),
        ("4/25", False),
    ]
    for text, _, chances in table.rows:
        source["condition"]["frequency"]["carrier"] = text
        expected = actions.solve(actions.load(json.dumps(source))).answers
        assert chances == tuple(answer.probability for answer in expected)


def test_the_row_of_the_case_itself_shows_the_answers():
    for path in FIXTURES:
        case = case_of(path)
        answers = tuple(answer.probability for answer in actions.solve(case).answers)
        for each in actions.dependences(case):
            assert [chances for _, own, chances in each.rows if own] == [answers], path


def test_more_answers_than_a_table_can_hold_are_left_out_of_it():
    source = json.loads(Path("fixtures/island-family.json").read_text())
    source["questions"] *= 4
    case = actions.load(json.dumps(source))
    findings = Findings(case, actions.solve(case), (), actions.dependences(case))
    tables = [
        block
        for block in flatten(case_report([findings], Layout()).blocks)
        if isinstance(block, Table) and block.header and "frequency of carriers" in block.header[0]
    ]
    assert [len(table.align) for table in tables] == [6]


@pytest.mark.parametrize("seed", range(8))
def test_random_families_are_reported_without_a_fault(seed):
    family = random_family(seed, 24)
    case = actions.load(json.dumps(family))
    pages = pages_of(actions.report([case]))
    words = set(" ".join(pages).split())
    assert [person.id for person in case.people if person.id not in words] == []
    assert all(CAUTION in one_line([page]) for page in pages)


@settings(max_examples=15)
@given(cases())
def test_whatever_a_case_file_can_say_is_reported(source):
    """Every question has its answer and every person a place on the pages."""
    case = actions.load(json.dumps(source))
    try:
        solution = actions.solve(case)
    except ImpossibleEvidence:
        return
    content = actions.report([case])
    text = one_line(pages_of(content))
    for chance in chances_of(solution):
        words = chance_in_words(chance)
        assert words.percent in text
        assert words.fraction is None or words.fraction in text
    words = set(text.split())
    assert [person.id for person in case.people if person.id not in words] == []


@pytest.mark.parametrize("working", [True, False])
def test_a_long_fraction_is_never_broken(working):
    """Forty signs are the longest that are printed; half a number on a line would be another."""
    source = json.loads(Path("fixtures/healthy-sister.json").read_text(encoding="utf-8"))
    source["condition"]["frequency"] = {"carrier": "98765432109876543/9999999999999999967"}
    source["questions"] = [
        {"ask": "child_affected", "parents": ["II-3", "II-2"]},
        {"ask": "genotype", "person": "II-3"},
    ]
    case = actions.load(json.dumps(source))
    fractions = [chance_in_words(chance).fraction for chance in chances_of(actions.solve(case))]
    assert max(map(len, filter(None, fractions))) > 35
    lines = "\n".join(pages_of(actions.report([case], working=working))).splitlines()
    for fraction in filter(None, fractions):
        assert any(fraction in line for line in lines)


def test_hostile_names_go_through_the_whole_report():
    """Markup, a word of 300 letters, right-to-left, lacking signs: all shown as they are."""
    source = json.loads(Path("fixtures/negative-test.json").read_text(encoding="utf-8"))
    names = ["<b>Ada</b> & <para>", "w" * 300, "\u05de\u05e8\u05d9\u05dd", "🧬 Ж", "Ἀθηνᾶ"]
    for person, name in zip(source["people"], names, strict=True):
        person |= {"name": name, "note": "<i>note</i> " + "long " * 200}
    source |= {"title": "<h1>Title</h1>", "vignette": "one\n\n<script>two</script>\tthree"}
    text = one_line(pages_of(actions.report([actions.load(json.dumps(source))], author="<a>")))
    for shown in ("<b>Ada</b> & <para>", "[U+1F9EC] Ж", "Ἀθηνᾶ", "<h1>Title</h1>", "<a>"):
        assert shown in text
    assert "one <script>two</script> three" in text
    assert text.count("w") >= 300
    assert text.count("long") >= 1000
    assert "is dna double helix" in text
    assert "1/5784" in text


@pytest.mark.parametrize("name", ["\u5bb6\u65cf", "\u0930\u093e\u091c\u0947\u0936 2"])
def test_whose_name_no_face_has_is_called_by_id_in_sentences(name):
    """The codes of the signs stand once, in the table of the family."""
    source = json.loads(Path("fixtures/negative-test.json").read_text(encoding="utf-8"))
    for person in source["people"]:
        person["name"] = name
    case = actions.load(json.dumps(source))
    words = one_line(pages_of(actions.report([case])))
    code = f"[U+{ord(name[0]):04X}"
    assert words.count(code) == len(source["people"]) + 1  # and where the codes are explained
    assert "II-3 is a carrier" in words
    for content in (actions.worksheet([case]), actions.answer_key([case])):
        assert one_line(pages_of(content)).count(code) <= len(source["people"]) + 1


def test_two_hundred_people_with_hostile_names_are_all_there():
    """In a family so large the drawing has a sheet of its own, and nothing is cut off."""
    source = random_family(3, 200)
    names = [
        "<b>x</b>",
        "\u05d3\u05d5\u05d3",
        "w" * 90,
        "\u5bb6\u65cf",
        "\U0001f9ec",
        "&amp;",
        "O'Neil \\",
    ]
    for i, person in enumerate(source["people"]):
        person["name"] = f"{names[i % len(names)]} {i}"
    case = actions.load(json.dumps(source))
    content = actions.report([case])
    pages = pages_of(content)
    text = one_line(pages)
    words = set(text.split())
    assert [person.id for person in case.people if person.id not in words] == []
    assert text.count("<b>x</b>") >= 29  # in the table; in the drawing lines may break
    assert "[U+5BB6 U+65CF]" in text and "[U+1F9EC]" in text
    assert "is dna double helix" in text and "In drawings they are shown as \ufffd." in text
    assert all(CAUTION in one_line([page]) for page in pages)
    assert ink_outside(content, EDGE) == []


def test_several_cases_are_named_where_there_is_room_for_their_names():
    titles = ["Runa, a healthy sister", "Two carriers", "Ninja and her very long story" * 2]
    one = actions.example("healthy-sister")
    named = [replace(one, title=title) for title in titles]
    for chosen, title in ((named[:2], "; ".join(titles[:2])), (named, "3 cases")):
        pages = pages_of(actions.report(chosen))
        assert one_line(pages).startswith(title)
        assert all(title in page.splitlines()[-2:] for page in pages)


def test_one_case_has_its_title_however_long_that_is():
    """It used to be called "1 cases"."""
    title = "Runa, a healthy sister, and her very long story " * 3
    pages = pages_of(actions.report([replace(actions.example("healthy-sister"), title=title)]))
    assert one_line(pages).startswith(title.strip())


def test_a_wide_tree_takes_a_page_of_the_paper_chosen_where_it_can_be_read_there():
    """With its key, in the report as on the worksheet; the caution takes one line of the foot."""
    island = actions.example("island-family")
    for content in (actions.report([island]), actions.worksheet([island])):
        pages = pypdf.PdfReader(io.BytesIO(content)).pages
        assert {tuple(sorted(map(round, page.mediabox[2:]))) for page in pages} == {(595, 842)}
        turned = [page for page in pages if page.mediabox[2] > page.mediabox[3]]
        assert ["Five generations of an island family" in p.extract_text() for p in turned] == [
            True
        ]
        assert all(CAUTION in page.extract_text().splitlines() for page in pages)
