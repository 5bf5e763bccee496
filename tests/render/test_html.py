"""Blocks as HTML: what a page does with tables of which one continues the other."""

import pytest

from risk.document.blocks import Bullets, Paragraph, Table, TableRow
from risk.render.html import blocks_to_html


@pytest.mark.parametrize(("number", "tables"), [("73644/81067", 1), ("1" * 80, 2)])
def test_a_table_that_continues_another_is_one_with_it_where_a_page_has_room(number, tables):
    first, further = (
        Table(
            ("left", "right"),
            (("", head),),
            (TableRow(("Oz carrier, Pia carrier", number)),),
            continues=head == "result",
        )
        for head in ("joint", "result")
    )
    html = blocks_to_html([first, further])
    assert html.count("<table>") == html.count("Oz carrier, Pia carrier") == tables
    assert html.index("joint") < html.index("result")


def test_a_short_formula_stays_on_one_line() -> None:
    said = "so negative in 1 - 9/10 = 1/10 of them"
    for block in (Paragraph(said), Bullets((said,))):
        html = blocks_to_html([block])
        assert (
            "in 1\N{NO-BREAK SPACE}-\N{WORD JOINER}\N{NO-BREAK SPACE}9/10\N{NO-BREAK SPACE}="
            in html
        )
        assert "1/10 of them<" in html
