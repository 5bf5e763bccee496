"""Documents as pages: read back with pypdf, rendered with pdfium, and checked for what is lost."""

import re
import unicodedata

import pypdf
import pypdfium2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from risk.document.blocks import (
    Beside,
    Bullets,
    Caution,
    Figure,
    FillIn,
    Heading,
    PageBreak,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.render.pdf import document_to_pdf, warnings_of
from risk.render.pdf_sheets import PAGES
from risk.scene.shapes import Scene, Text
from risk.scene.tree import draw_tree
from tests.render.ink import ink_outside
from tests.render.pages import FOOT, document, drawing, long_table, reader, text_of
from tests.scene.families import grown

#: The lowest line of the foot stands this far from the edge; nothing comes nearer.
EDGE = 28
HOSTILE = [
    "<b>bold</b> & <font size=40>huge</font> <br/> <para> &amp; &#65;",
    "x" * 500,
    "]]> <!-- % \\ ( ) << >> /Type stream endobj",
    "Ἀθηνᾶ Μυρτώ, Ж щ ё Ђ, Ångström Łódź ẞ Ǆ",
    "{0} %s $HOME `ls` ../../etc/passwd",
    "e\u0301 combining, \u200bzero width\u200b, \u2066isolate\u2069, soft\u00adhyphen",
    "\u202ereversed",
]


def squeezed(text):
    return unicodedata.normalize("NFC", "".join(text.split()))


def test_a_formula_is_not_broken_at_its_signs():
    formula = "1 - (1 - a)(1 - b) = 3/4"
    texts = [f"{'m' * (3 * each)} so that it has chance {formula}" for each in range(24)]
    content = document_to_pdf(document(*map(Paragraph, texts)))
    lines = text_of(content).replace("\N{NO-BREAK SPACE}", " ").splitlines()
    assert sum(formula in line for line in lines) == len(texts)


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_every_page_has_the_foot_and_its_number(size):
    pages = reader(document_to_pdf(document(long_table(150)), size)).pages
    assert len(pages) > 2
    for number, page in enumerate(pages, 1):
        assert FOOT in page.extract_text()
        assert f"page {number} of {len(pages)}" in page.extract_text()
        assert tuple(map(float, page.mediabox[2:])) == pytest.approx(PAGES[size], abs=0.1)


def test_a_long_table_repeats_its_header_and_loses_no_row():
    pages = reader(document_to_pdf(document(long_table(150)))).pages
    for page in pages:
        assert page.extract_text().count("what is known") == 1
    text = "\n".join(page.extract_text() for page in pages).split()
    assert [word for word in text if word.startswith("V-")] == [f"V-{i}" for i in range(150)]


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_text_is_shown_as_it_is_wherever_it_stands(hostile):
    blocks = [
        Heading(hostile),
        Paragraph(hostile, marker="1", lead=hostile),
        Caution(hostile),
        Bullets((hostile,)),
        FillIn(hostile),
        Table(("left", "right"), ((hostile, "n"),), (TableRow((hostile, hostile), "result"),)),
    ]
    content = document_to_pdf(document(*blocks, title=hostile, author=hostile))
    shown = "".join(
        sign for sign in squeezed(hostile) if unicodedata.category(sign) not in {"Cf", "Cc"}
    )
    found = squeezed(text_of(content))
    assert found.count(shown[:60]) >= 8
    assert ink_outside(content, EDGE) == []
    assert reader(content).metadata.title == hostile


def test_missing_signs_are_shown_by_code_and_explained():
    text = text_of(document_to_pdf(document(Paragraph("a 🧬 b 家"))))
    assert "a [U+1F9EC] b [U+5BB6]" in text
    assert "[U+1F9EC] is dna double helix" in " ".join(text.split())
    assert "shown by code" not in text_of(document_to_pdf(document(Paragraph("plain é Ж α"))))


def test_a_line_never_ends_within_the_code_of_a_sign():
    """In a narrow column; a word that is wider than its column is parted anywhere."""
    names = ("家系図家系図", "Zoë家系", "🧬mutation家系")
    rows = tuple(TableRow((name, *["word " * 20] * 6)) for name in names)
    table = Table(("left",) * 7, (), rows, grow=tuple(range(7)))
    text = text_of(document_to_pdf(document(table)))
    assert len(re.findall(r"U\+[0-9A-F]{4,5}\b", text.split("Signs")[0])) == 11
    assert "[U+5BB6 U+7CFB" in text_of(document_to_pdf(document(Paragraph("家系"))))


def test_missing_signs_are_warned_of_wherever_they_stand():
    picture = Scene(50, 50, (Text(9, 9, "系", 10.0, 22.0, "label"),))
    whole = document(Heading("🧬"), Together((long_table(2, "家"), Figure(picture, "One"))))
    (warning,) = warnings_of(whole)
    assert "lack 🧬 家 系:" in warning
    assert warnings_of(document(Heading("مريم é Ж"))) == ()


@pytest.mark.parametrize("name", ["מרים", "مريم", "مريم (II-2) and Ada", "Ada and דוד", "عبد الله"])
def test_right_to_left_names_are_in_visual_order_with_their_text_kept(name):
    """Every letter is there (in its joined form), and the structure holds the logical text."""
    content = document_to_pdf(document(Paragraph(name), Heading(name)))
    letters = sorted(unicodedata.normalize("NFKC", squeezed(text_of(content))))
    missing = [sign for sign in squeezed(name) if sign not in letters and sign not in "()"]
    assert not missing
    assert "U+" not in text_of(content)
    actual = [each["/ActualText"] for each in elements(content) if "/ActualText" in each]
    assert actual.count(name) == 2


def test_an_english_sentence_that_begins_with_a_hebrew_name_runs_from_left_to_right():
    text = text_of(document_to_pdf(document(Paragraph("דוד comes from the population."))))
    assert text.index("comes") > text.index("דוד"[::-1]) and "population." in text
    text = text_of(document_to_pdf(document(Paragraph("Ada דוד בן מרים"))))
    assert text.index("Ada") > text.index("דוד"[::-1])


def elements(content):
    """Every structure element, parents first."""
    found = []

    def walk(node):
        node = node.get_object()
        if isinstance(node, pypdf.generic.DictionaryObject):
            if "/S" in node:
                found.append(node)
            children = node.get("/K", [])
            for child in children if isinstance(children, list) else [children]:
                if not isinstance(child, int):
                    walk(child)

    walk(reader(content).trailer["/Root"]["/StructTreeRoot"])
    return found


def test_the_file_is_tagged_in_reading_order_with_language_and_title():
    content = document_to_pdf(
        document(Heading("One", 1), Paragraph("text"), Bullets(("item",)), long_table(90))
    )
    root = reader(content).trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"] is True or root["/MarkInfo"]["/Marked"] == True  # noqa: E712
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    kinds = [each["/S"] for each in elements(content)]
    assert kinds[:7] == ["/Document", "/H1", "/H2", "/P", "/L", "/LI", "/LBody"]
    assert kinds.count("/TR") == 91
    assert kinds.count("/TH") == 3
    headers = [each for each in elements(content) if each["/S"] == "/TH"]
    # The mark of the first page; what is painted again on further pages is decoration.
    assert [isinstance(each["/K"], int) for each in headers] == [True, True, True]
    assert kinds.count("/TD") == 270


def test_each_mark_on_a_page_belongs_to_one_element_and_all_else_is_decoration():
    content = document_to_pdf(document(Paragraph("words " * 2000), long_table(60), FillIn("x", 3)))
    pdf = reader(content)
    numbers = pdf.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    owners = {numbers[i]: numbers[i + 1].get_object() for i in range(0, len(numbers), 2)}
    for page in pdf.pages:
        data = page.get_contents().get_data()
        assert data.count(b" BDC") == len(owners[page["/StructParents"]])
        assert data.count(b" BDC") + data.count(b" BMC") == data.count(b"EMC")


def test_headings_become_bookmarks_with_their_levels_and_pages():
    pdf = reader(
        document_to_pdf(
            document(Heading("One", 1), Heading("Part", 2), PageBreak(), Heading("Two", 1))
        )
    )
    one, parts, two = pdf.outline
    assert (one.title, parts[0].title, two.title) == ("One", "Part", "Two")
    assert [pdf.get_destination_page_number(each) for each in (one, two)] == [0, 1]


def test_all_faces_are_embedded_as_subsets():
    content = document_to_pdf(
        document(
            Paragraph("x ἄ Ж مريم", style="note"),
            long_table(3),
            Caution("c"),
            Figure(drawing(100.0, 80.0), "Two people"),
            Beside((Paragraph("x"),), Figure(drawing(100.0, 80.0), "Two people")),
            FillIn("x"),
        )
    )
    fonts = [
        font.get_object()
        for page in reader(content).pages
        for font in page["/Resources"]["/Font"].values()
    ]
    assert fonts
    for font in fonts:
        assert "+" in font["/BaseFont"], font["/BaseFont"]
        assert "/FontFile2" in font["/FontDescriptor"]
        assert "/ToUnicode" in font
    assert len(content) < 300_000


def test_the_same_document_gives_the_same_bytes():
    blocks = [Heading("H"), Paragraph("مريم 🧬 é"), long_table(50), FillIn("x", 2)]
    assert document_to_pdf(document(*blocks)) == document_to_pdf(document(*blocks))


@pytest.mark.parametrize("rows", range(30, 46, 3))
def test_no_row_goes_to_the_next_page_alone(rows):
    pages = reader(document_to_pdf(document(long_table(rows)))).pages
    assert all(page.extract_text().count("V-") != 1 for page in pages)


def test_a_cell_higher_than_a_page_is_continued():
    tall = Table(("left", "left"), (("a", "b"),), (TableRow(("x", "word " * 3000)),), grow=(1,))
    content = document_to_pdf(document(tall))
    assert text_of(content).count("word") == 3000
    assert ink_outside(content, EDGE) == []


def test_a_group_larger_than_a_page_is_broken_rather_than_lost():
    group = Together((Heading("Head", 3), *(Paragraph(f"paragraph{i}. " * 40) for i in range(12))))
    text = text_of(document_to_pdf(document(group)))
    assert all(text.count(f"paragraph{i}.") == 40 for i in range(12))


def test_a_heading_is_never_the_last_line_of_a_page():
    """Wherever the page ends, the words under a heading are on the heading's page."""
    for lines in range(37, 50, 2):
        filler = [Paragraph("line")] * lines
        step = (Paragraph("body " * 30, marker="1"), *[Paragraph("more")] * 4)
        note = Paragraph("note", style="note")
        for after in (
            (Paragraph("body " * 40),),
            (long_table(30, "body"),),
            (Together(step),),
            (note, Together(step)),
            (note, long_table(30, "body")),
            (Together((Paragraph("body"), Together(step)), whole=True),),
        ):
            pages = reader(
                document_to_pdf(document(*filler, Heading("HEAD"), Heading("SUB", 3), *after))
            ).pages
            (page,) = [page.extract_text() for page in pages if "HEAD" in page.extract_text()]
            assert "body" in page.split("HEAD", 1)[1]


@pytest.mark.parametrize(
    "size", [(100, 80), (500, 300), (900, 400), (1500, 500), (6000, 900), (300, 2000), (40000, 500)]
)
def test_drawings_fit_their_page_and_stay_readable(size):
    figure = Figure(drawing(*map(float, size)), "Two people", "caption", may_turn=True)
    content = document_to_pdf(document(Paragraph("before"), figure, Paragraph("after")))
    assert ink_outside(content, EDGE) == []
    (element,) = [each for each in elements(content) if each["/S"] == "/Figure"]
    assert element["/Alt"] == "Two people"
    text = text_of(content)
    assert text.index("before") < text.index("after")
    assert "II-2" in text
    pages = [pypdfium2.PdfDocument(content)[i] for i in range(len(reader(content).pages))]
    heights = [
        text_page.get_charbox(i)[3] - text_page.get_charbox(i)[1]
        for text_page in (page.get_textpage() for page in pages)
        for i in range(text_page.count_chars())
        if text_page.get_text_range(i, 1) == "I"
    ]
    assert min(heights) > 4.5  # a capital of 7 points


@pytest.mark.parametrize("outer", [lambda block: block, lambda block: Together((block,))])
@pytest.mark.parametrize("words", [1, 60, 3000])
def test_words_beside_a_drawing_keep_both(outer, words):
    inner = (Heading("Asked", 3), long_table(3), Together((Paragraph("word " * words),)))
    figure = Figure(drawing(300.0, 200.0), "Two people", "caption")
    blocks = [outer(Beside(inner, figure)), outer(Beside(inner)), Paragraph("after")]
    content = document_to_pdf(document(*blocks))
    text = text_of(content)
    assert text.count("word") == 2 * words
    assert text.count("V-2") == 2
    assert text.count("II-2") == text.count("caption") == 1
    assert words > 100 or len(reader(content).pages) == 1
    assert ink_outside(content, EDGE) == []


def test_a_wish_for_few_pages_is_met_by_smaller_type_or_given_up():
    just_over = [Paragraph("line")] * 42
    pages = {
        wish: len(reader(document_to_pdf(document(*just_over, most_pages=wish))).pages)
        for wish in (0, 1)
    }
    assert pages == {0: 2, 1: 1}
    many = document(*[Paragraph("line")] * 300, most_pages=1)
    assert document_to_pdf(many) == document_to_pdf(document(*[Paragraph("line")] * 300))


def test_a_last_page_with_little_on_it_is_drawn_in():
    """Slightly smaller type saves the page; where it does not, or saves none, type stays."""

    def made(lines, *more):
        pages = reader(document_to_pdf(document(*[Paragraph("line")] * lines, *more))).pages
        sizes = []
        pages[0].extract_text(visitor_text=lambda *of: sizes.append(round(of[4], 2)))
        assert sum(page.extract_text().count("line") for page in pages) == lines
        return len(pages), 10.6 in sizes

    kinds = [made(lines) for lines in range(34, 46, 2)]
    assert list(dict.fromkeys(kinds)) == [(1, True), (1, False), (2, True)]
    chapters = PageBreak(), Paragraph("more")  # a chapter ends where it ends
    assert made(38, *chapters) == (3, True)


def test_fewer_lines_to_write_on_draw_in_a_last_page_with_little_on_it():
    """Three places of seven lines at 22 points; with two lines less each, 132 points go."""

    def made(lines, least):
        place = FillIn("Working", 7, least), FillIn("Answer")
        groups = [Together((Heading(f"({i})", 3), *place)) for i in range(3)]
        more = [Paragraph("line")] * lines
        pages = reader(document_to_pdf(document(*groups, *more))).pages
        sizes = []
        pages[0].extract_text(visitor_text=lambda *of: sizes.append(round(of[4], 2)))
        assert sum(page.extract_text().count("line") for page in pages) == lines
        return len(pages), 10.6 in sizes

    assert [made(lines, 7)[0] for lines in (2, 4, 8)] == [1, 2, 2]
    assert [made(lines, 5) for lines in (2, 4, 8, 14)] == [(1, True)] * 3 + [(2, True)]


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("people", [40, 90])
def test_a_large_tree_is_in_parts_on_pages_that_can_be_printed(size, people):
    """It used to be on one page of up to A0, in the midst of a handout."""
    scene = draw_tree(grown(people, 1), show_title=False, show_caution=False)
    figure = Figure(scene, "A family", "", may_turn=True, title="The Hallans")
    content = document_to_pdf(document(Paragraph("before"), figure, Paragraph("after")), size)
    pages = reader(content).pages
    for page in pages:
        measures = sorted((float(page.mediabox.width), float(page.mediabox.height)))
        assert measures == pytest.approx(PAGES[size], abs=0.1)
    texts = [page.extract_text() for page in pages]
    count = len(texts) - 1
    assert count > 1
    told = f"stands in {count} parts with marks to join: pages 2 to {count + 1}."
    assert told in " ".join(texts[0].split())
    for number, text in enumerate(texts[1:], 1):
        assert f"The Hallans (part {number} of {count})" in text
    shown = set("".join(texts).split())
    assert {id for id, *_ in scene.anchors} <= shown
    (element,) = [each for each in elements(content) if each["/S"] == "/Figure"]
    assert (element["/Alt"], len(element["/K"])) == ("A family", count)
    assert ink_outside(content, EDGE) == []


def test_a_key_on_a_page_of_its_own_is_no_part_of_the_drawing():
    whole = grown(24, 3, related=0.12, several=0.2)
    scene = draw_tree(whole, show_title=False, show_caution=False)
    figure = Figure(scene, "A family", "", may_turn=True, title="The Hallans")
    pages = reader(document_to_pdf(document(Paragraph("before"), figure))).pages
    before, tree, key = (" ".join(page.extract_text().split()) for page in pages)
    assert "of its own (landscape): page 2. Its key follows it." in before
    assert "The Hallans" in tree and "part" not in tree
    assert "The Hallans (key)" in key


@pytest.mark.parametrize("lines", [5, 35, 400])
def test_a_drawing_on_a_sheet_of_its_own_is_named_there_and_found_by_its_page(lines):
    """The words before it, and a drawing after it, each tell its page in a document of several."""
    wide = Figure(drawing(780.0, 400.0), "", may_turn=True, title="The Hallans")
    other = Figure(drawing(790.0, 300.0), "", may_turn=True, title="The Ostins")
    blocks = [wide, *[Paragraph("line")] * lines, PageBreak(), other]
    texts = [page.extract_text() for page in reader(document_to_pdf(document(*blocks))).pages]
    for title in ("The Hallans", "The Ostins"):
        (page,) = [i for i, text in enumerate(texts, 1) if title in text]
        assert any(f"of its own (landscape): page {page}." in text for text in texts)
    assert "further on" not in "".join(texts)


ANY = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)


@settings(max_examples=20)
@given(st.lists(st.tuples(ANY, ANY), min_size=1, max_size=4))
def test_no_text_breaks_the_pages(pairs):
    blocks = [
        block
        for left, right in pairs
        for block in (
            Heading(left),
            Paragraph(right, marker="1"),
            Table(("left", "right"), ((left, right),), (TableRow((right, left), "result"),)),
        )
    ]
    content = document_to_pdf(document(*blocks, title=pairs[0][0]))
    assert len(reader(content).pages) >= 1
    assert ink_outside(content, EDGE) == []


def test_an_id_is_never_broken_at_its_hyphen():
    """Wherever the line ends, in a paragraph and in a narrow column."""
    sentence = "of III-14 and II-3 (Ada) "
    paragraphs = [Paragraph("x" * n + " " + sentence * 12) for n in range(1, 12)]
    cells = [TableRow(("y" * n + " " + sentence * 3, "z " * 60)) for n in range(1, 12)]
    content = document_to_pdf(
        document(*paragraphs, Table(("left", "left"), (), tuple(cells), grow=(0, 1)))
    )
    words = text_of(content).split()
    assert words.count("III-14") == words.count("II-3") == 11 * 12 + 11 * 3
