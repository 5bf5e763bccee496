"""What a page must not part, and what fills it: groups, tables that continue, problems."""

from dataclasses import replace

from risk.document.blocks import (
    Beside,
    Figure,
    FillIn,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.render.pdf import document_to_pdf
from tests.render.pages import document, drawing, long_table, reader, text_of


def bands(count, rows, cell):
    """A table whose columns are continued in further ones, with a sum in the last."""
    return tuple(
        Table(
            ("left", "right", "right"),
            (("", f"head{band}a", f"head{band}b"),),
            (
                *(TableRow((f"row{i}", cell, cell)) for i in range(rows)),
                *([TableRow(("sum", "", "total"), "sum")] if band == count - 1 else []),
            ),
            indent=1,
            strong=(2,) if band else (),
            continues=band > 0,
        )
        for band in range(count)
    )


def test_tables_that_continue_one_another_stand_side_by_side_where_there_is_room():
    text = text_of(document_to_pdf(document(Together(bands(2, 5, "1/25")))))
    assert [text.count(f"row{i}") for i in range(5)] == [1] * 5
    assert text.count("1/25") == 5 * 4
    assert text.index("head0b") < text.index("head1a") < text.index("row0") < text.index("total")
    wide = text_of(document_to_pdf(document(Together(bands(2, 5, "123456789/987654321987654321")))))
    assert wide.count("row0") == 2
    other = (*bands(1, 5, "1/25"), replace(bands(1, 5, "1/25")[0], continues=False))
    assert text_of(document_to_pdf(document(Together(other)))).count("row0") == 2


def test_no_page_ends_between_tables_that_continue_one_another_if_one_can_hold_them():
    """Unless more than about half of the page before them would be left empty."""
    tables = Together(bands(2, 16, "123456789/987654321987654321"))
    for lines in (0, 1, 6, 10, 20, 24, 28, 32):
        blocks = (*[Paragraph("line")] * lines, tables)
        pages = [page.extract_text() for page in reader(document_to_pdf(document(*blocks))).pages]
        (page,) = [page for page in pages if "head0a" in page]
        parted = 5 < lines < 15
        assert ("head1a" in page) is not parted
        assert ("line" in page) is (lines == 1 or parted)


def test_words_go_on_to_the_next_page_rather_than_leave_much_of_one_empty():
    """A step with a long list of reasons used to leave what stood before it on a page alone."""
    reasons = [Paragraph("reason " * 90, marker=letter, indent=1) for letter in "ABCDE"]
    last = Paragraph("leads to it", indent=1)
    step = Together((Paragraph("step", marker="1"), *reasons, last, bands(1, 9, "1/25")[0]))
    for lines, parted in ((3, True), (20, True), (32, False)):
        blocks = (*[Paragraph("line")] * lines, Heading("HEAD"), step)
        pages = [page.extract_text() for page in reader(document_to_pdf(document(*blocks))).pages]
        assert ("HEAD" in pages[0]) is parted
        (page,) = [page for page in pages if "HEAD" in page]
        assert "step" in page and "reason" in page
        (page,) = [page for page in pages if "head0a" in page]
        assert "leads to it" in page


def test_what_leads_to_a_table_is_on_its_page():
    """The second of two tables of a tall group goes to a new page, with the words before it."""
    one, two = bands(1, 16, "1/25")[0], replace(bands(1, 16, "1/49")[0], continues=False)
    group = Together((one, Paragraph("leads to it", indent=1), two))
    for lines in range(0, 32, 4):
        blocks = (*[Paragraph("line")] * lines, group)
        pages = [page.extract_text() for page in reader(document_to_pdf(document(*blocks))).pages]
        assert all(("leads to it" in page) == ("1/49" in page) for page in pages)


def test_what_follows_a_table_goes_over_rather_than_take_the_table_along():
    """A step used to leave its first reason alone on a page that had room for its table, too."""
    reasons = (Paragraph("reason " * 40, marker="A", indent=1), Paragraph("last reason", indent=1))
    for lines in (6, 2):
        after = [Paragraph(f"ending {i}", indent=1) for i in range(lines)]
        step = Together((*reasons, bands(1, 9, "1/25")[0], *after, Paragraph("answer")))
        seen = set()
        for above in range(14, 34):
            blocks = (*[Paragraph("line")] * above, step)
            pages = reader(document_to_pdf(document(*blocks))).pages
            texts = [page.extract_text() for page in pages]
            (page,) = [page for page in texts if "head0a" in page]
            assert "last reason" in page
            seen.add("ending 0" in page and "answer" in page)
            assert any("ending 0" in page and "answer" in page for page in texts)
        assert seen == ({True, False} if lines == 6 else {True})


def test_long_words_before_a_table_begin_on_the_page_before_it():
    """They went over as a whole, with the short line before them, and left half a page empty."""
    words = " ".join(f"w{i}" for i in range(330))
    short = Paragraph("short", marker="B", indent=1)
    step = Together((short, Paragraph(words, marker="C", indent=1), bands(1, 9, "1/25")[0]))
    for above, parted in ((2, False), (20, True)):
        blocks = (*[Paragraph("line")] * above, step)
        pages = reader(document_to_pdf(document(*blocks))).pages
        first, *others = [page.extract_text() for page in pages]
        assert ("w100" in first) and ("head0a" in first) is not parted
        assert " ".join([first, *others]).count("w329") == 1
        if parted:
            (last,) = others
            assert "w329" in last and "head0a" in last


def test_words_of_several_pages_before_a_table_end_with_it():
    step = Together((Paragraph("word " * 3000, marker="A", indent=1), bands(1, 9, "1/25")[0]))
    *others, last = reader(document_to_pdf(document(step))).pages
    assert len(others) > 2 and "word word" in last.extract_text()
    assert "head0a" in last.extract_text()


def problem(questions, least=2, most=0):
    asked = (
        Together((Heading(f"({i}) asked", 3), FillIn("", 4, least, most), FillIn("Answer:")))
        for i in range(questions)
    )
    return Together((Heading("HEAD"), Paragraph("told " * 10), *asked), whole=True)


def test_a_whole_group_keeps_a_page_to_itself_with_fewer_lines_if_need_be():
    filler = [Paragraph("line")] * 15
    pages = [p.extract_text() for p in reader(document_to_pdf(document(*filler, problem(4)))).pages]
    assert len(pages) == 2
    assert all(f"({i}) asked" in pages[1] for i in range(4))
    filler = [Paragraph("line")] * 20
    pages = [reader(document_to_pdf(document(*filler, problem(2, n)))).pages for n in (2, 4)]
    assert [len(each) for each in pages] == [1, 2]


def test_a_whole_group_leaves_lines_out_where_the_next_one_then_shares_its_page():
    """Where it would not, neither does without any."""

    def dotted(*blocks):
        pages = reader(document_to_pdf(document(*blocks))).pages
        return [page.get_contents().get_data().count(b" l ") for page in pages]

    (alone,) = dotted(problem(3))
    (shared,) = dotted(problem(3), problem(3))
    assert alone < shared < 2 * alone
    first, second = dotted(*[Paragraph("line")] * 4, problem(3), problem(3))
    assert first == alone
    assert second > shared / 2


def dotted(*blocks):
    """How many dotted lines each page has."""
    pages = reader(document_to_pdf(document(*blocks))).pages
    return [page.get_contents().get_data().count(b"[1 2] 0 d") for page in pages]


def test_lines_to_write_on_grow_into_what_a_problem_leaves_empty_on_its_page():
    """As far as the problem wishes, leaving room for the next problem and what comes after all."""
    assert dotted(problem(2)) == [2 * (4 + 1)]
    assert dotted(problem(2, most=9)) == [2 * (9 + 1)]
    (full,) = dotted(problem(2, most=40))
    assert 20 < full < 40
    (shared,) = dotted(problem(2, most=40), problem(2, most=40))
    assert full - 8 < shared <= full
    key = Figure(drawing(100.0, 80.0), "Key")
    (less,) = dotted(problem(2, most=40), key)
    assert full - 8 <= less < full
    # A problem that is parted has the usual lines.
    assert sum(dotted(problem(12, most=40))) == 12 * (4 + 1)


def test_a_problem_is_parted_rather_than_most_of_a_page_left_empty():
    for lines, parted in ((5, True), (20, False)):
        blocks = (*[Paragraph("line")] * lines, problem(5, 4))
        first = reader(document_to_pdf(document(*blocks))).pages[0].extract_text()
        assert ("(0) asked" in first) is parted


def test_a_figure_stands_at_the_end_where_that_saves_a_page():
    key = Figure(drawing(300.0, 230.0), "Key", elsewhere="see the end")
    for problems, moved in (((3, 5), False), ((6, 4), True)):
        content = document_to_pdf(document(key, *map(problem, problems)))
        text = text_of(content)
        assert ("see the end" in text) is moved
        assert (text.rindex("asked") < text.index("II-2")) is moved
        assert len(reader(content).pages) == 2


def test_a_group_beside_a_picture_stands_below_it_where_that_is_lower():
    """What follows then begins higher: many lines beside a low picture leave room below that."""

    def left(lines, height):
        told, group = Paragraph("told " * 8 * lines), Together((Paragraph("grouped"),))
        picture = Figure(drawing(100.0, height), "Two people")
        page = reader(document_to_pdf(document(Beside((told, group), picture, 0.4)))).pages[0]
        places = {}
        page.extract_text(
            visitor_text=lambda text, from_, at, *_: places.setdefault(
                text.strip()[:7], from_[4] + at[4]
            )
        )
        return places["grouped"] == places["told to"]

    assert not left(12, 40.0)
    assert left(1, 200.0)


def test_a_whole_group_that_no_page_holds_is_parted_before_its_groups():
    pages = [p.extract_text() for p in reader(document_to_pdf(document(problem(12)))).pages]
    assert len(pages) > 1
    for i in range(12):
        (page,) = [page for page in pages if f"({i}) asked" in page]
        assert "Answer:" in page.split(f"({i}) asked")[1]


def test_a_problem_that_no_page_holds_is_told_on_one_page_with_what_comes_last():
    """The tree used to go with the first question, and what may be assumed stayed behind."""
    heading, told, *asked = problem(6, 4).blocks
    for lines in (8, 25):
        filler = [Paragraph("line")] * lines
        group = Together((heading, told, long_table(4), Paragraph("last"), *asked), whole=True)
        pages = [p.extract_text() for p in reader(document_to_pdf(document(*filler, group))).pages]
        (page,) = [page for page in pages if "HEAD" in page]
        assert "told" in page
        assert "last" in page


def test_what_no_page_holds_begins_where_it_stands():
    whole = problem(6)
    heading, told, *asked = whole.blocks
    story = (heading, long_table(30), told)
    blocks = (*[Paragraph("line")] * 10, Together((*story, *asked), whole=True))
    pages = [page.extract_text() for page in reader(document_to_pdf(document(*blocks))).pages]
    assert "HEAD" in pages[0]
    (page,) = [page for page in pages if "told" in page]
    assert "(0) asked" in page  # what is told last stays with the first question
