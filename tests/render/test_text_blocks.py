"""Blocks as text: aligned, within the width, nothing lost."""

import re
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk import actions
from risk.document.blocks import (
    Bullets,
    Caution,
    FillIn,
    Heading,
    PageBreak,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.render.text_blocks import blocks_to_text, plain_signs, text_width, wrap

TEXT = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=80)
CELL = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=30)


@st.composite
def tables(draw):
    columns = draw(st.integers(1, 6))
    cells = st.tuples(*[CELL] * columns)
    rows = draw(st.lists(cells, min_size=1, max_size=5))
    return Table(
        align=tuple(draw(st.sampled_from(["left", "right", "center"])) for _ in range(columns)),
        header=tuple(draw(st.lists(cells, max_size=1))),
        rows=tuple(TableRow(row) for row in rows),
        grow=tuple(draw(st.sets(st.integers(0, columns - 1)))),
        indent=draw(st.integers(0, 1)),
        ruled=draw(st.booleans()),
    )


BLOCKS = st.one_of(
    st.builds(Heading, TEXT, st.integers(1, 3)),
    st.builds(Paragraph, TEXT, marker=st.sampled_from(["", "1", "12"]), lead=CELL),
    st.builds(Bullets, st.lists(TEXT, min_size=1, max_size=3).map(tuple)),
    st.builds(Caution, TEXT),
    st.builds(FillIn, TEXT, st.integers(1, 3)),
    st.just(PageBreak()),
    tables(),
)


def signs(text):
    return Counter("".join(plain_signs(text).split()))


@given(st.lists(BLOCKS, max_size=4), st.integers(40, 120))
def test_no_line_is_wider_than_asked_for(blocks, width):
    for block in blocks:
        text = blocks_to_text([block], width)
        # A long number widens its line, in a table its column.
        for part in [text] if isinstance(block, Table) else text.split("\n"):
            assert max(map(text_width, part.split("\n"))) <= width or re.search("[0-9]{9}", part)


@given(tables())
def test_a_table_loses_no_sign_of_its_cells(table):
    cells = [cell for row in table.rows for cell in row.cells] + [
        cell for row in table.header for cell in row
    ]
    asked = sum(map(signs, cells), Counter())
    shown = signs(blocks_to_text([table]))
    assert asked <= shown
    assert set(shown - asked) <= ({"-"} if table.ruled else set())


def test_columns_are_aligned_as_asked():
    table = Table(
        align=("left", "right", "center"),
        header=(("who", "chance", "note"),),
        rows=(TableRow(("a", "1/2", "x")), TableRow(("long name", "10/241", "y"))),
    )
    assert blocks_to_text([table]).splitlines() == [
        "who         chance   note",
        "a              1/2    x",
        "long name   10/241    y",
    ]


def test_a_cell_of_two_people_is_broken_between_them():
    """And as any other where that would take more lines."""
    rows = ("II-2 no allele, II-3 carrier", "a, II-2 is unaffected and II-3 is affected")
    table = Table(align=("left",), header=(), rows=tuple([TableRow((row,)) for row in rows]))
    assert blocks_to_text([table], 22).splitlines() == [
        "II-2 no allele,",
        "II-3 carrier",
        "a, II-2 is unaffected",
        "and II-3 is affected",
    ]


def test_a_marked_paragraph_hangs_and_its_table_moves_in():
    step = Together(
        (
            Paragraph("word " * 30, marker="1", lead="Mira."),
            Table(align=("left",), header=(), rows=(TableRow(("row",)),), indent=1),
        )
    )
    lines = blocks_to_text([step]).splitlines()
    assert lines[0].startswith("1  Mira. word")
    assert lines[1].startswith("   word")
    assert lines[-1] == "     row"


@pytest.mark.parametrize(
    ("text", "width"), [("Ångström", 8), ("家族", 4), ("e\u0301", 1), ("🧬", 2), ("", 0)]
)
def test_width_on_a_terminal(text, width):
    assert text_width(text) == width


def test_long_words_are_broken_and_nothing_is_lost():
    assert wrap("a " + "x" * 25 + " b", 10) == ["a", "x" * 10, "x" * 10, "xxxxx b"]


def test_a_number_is_never_broken():
    number = "10000199999/2000000000"
    assert wrap(f"exactly ({number}).", 10) == ["exactly", f"({number})."]
    table = Table(
        align=("left", "right", "right"),
        header=(("", "chance of this", "product"),),
        rows=(TableRow(("a couple of many words", number + " x 1 = 1", number)),),
        grow=(0, 1),
    )
    for width in (20, 40, 60, 80):
        lines = blocks_to_text([table], width).splitlines()
        assert sum(line.count(number) for line in lines) == 2
        assert width < 50 or max(map(len, lines)) <= width


@pytest.mark.parametrize("name", ["new-mutation", "lethal-balance", "twins"])
def test_the_numbers_of_a_working_stand_whole_within_eighty_columns(name):
    from risk.document.working import workings_blocks

    case = actions.load(Path(f"fixtures/{name}.json").read_bytes())
    blocks = workings_blocks(actions.explain(case), case)
    wide = blocks_to_text(blocks, 300)
    numbers = re.findall(r"[0-9]+/[0-9]+", wide)
    narrow = blocks_to_text(blocks, 80)
    assert sorted(re.findall(r"[0-9]+/[0-9]+", narrow)) == sorted(numbers)
    assert max(map(text_width, narrow.splitlines())) <= 80


def test_a_short_sum_stays_on_one_line_and_a_long_one_may_break():
    text = "A carrier passes it on with chance 1/2, and so both do: (1/2 × 1/2 = 1/4)."
    assert "(1/2 x 1/2 = 1/4)." in wrap(text, 64)[-1]
    lines = wrap("so that it is 1/2 × 1/2 × 1/2 × 1/2 × 1/2 = 1/32", 32)
    assert len(lines) == 2
    assert max(map(text_width, lines)) <= 32


@pytest.mark.parametrize(
    "formula", ["1 - (1 - a)(1 - b)", "a(1 - b) + b(1 - a)", "1 - (6/7)^2 = 13/49", "F = 1/16"]
)
@pytest.mark.parametrize("before", range(4, 40, 3))
def test_a_formula_is_not_broken_at_its_signs(formula, before):
    lines = wrap(f"{'a' * before} with chance {formula}, as was said.", 44)
    assert sum(formula in line for line in lines) == 1


def test_a_long_formula_is_broken_before_its_result_and_outside_brackets():
    whole = "1/200000 x 1/30000 + (1 - 1/200000) x 1/1000 = 200029/200000000"
    lines = wrap(f"that is {whole}", 40)
    assert "= 200029/200000000" in lines[-1]
    assert any("(1 - 1/200000)" in line for line in lines)
    assert "".join(" ".join(lines).split()) == "".join(f"that is {whole}".split())
    assert max(map(len, wrap(f"that is {whole}", 10))) <= len("= 200029/200000000")


@given(TEXT, st.integers(10, 40))
def test_breaking_lines_loses_no_sign(text, width):
    signs = "".join(" ".join(wrap(text, width)).split())
    assert signs == "".join(plain_signs(text).split())


@pytest.mark.parametrize("width", range(12, 60))
def test_an_id_is_never_broken_at_its_hyphen(width):
    text = "The next child of III-14 and II-3 (Ada) is affected; IV-102 is not."
    lines = wrap(text, width)
    assert not any(line.endswith("-") for line in lines)
    assert " ".join(lines) == text


@pytest.mark.parametrize(
    ("printed", "typed"),
    [
        ("q²(1 - F)", "q^2(1 - F)"),
        ("(3/4)¹²", "(3/4)^12"),
        ("(1/2)ⁿ⁺¹", "(1/2)^(n+1)"),
        ("≈2 × 10⁻¹⁰", "~2 x 10^-10"),
        ("pᵏ", "p^k"),
    ],
)
def test_a_printed_power_has_a_caret_on_a_terminal(printed, typed):
    assert plain_signs(printed) == typed


def test_lettered_paragraphs_under_a_marked_one_follow_it_without_a_blank_line():
    step = Paragraph("", marker="1", lead="Ada.")
    rows = [Paragraph("why " * 30, marker="A", indent=1), Paragraph("Well.", marker="B", indent=1)]
    assert blocks_to_text([step, *rows, Paragraph("More.", indent=1)]).splitlines() == [
        "1  Ada.",
        "   A  " + " ".join(["why"] * 18),
        "      " + " ".join(["why"] * 12),
        "   B  Well.",
        "",
        "   More.",
    ]
