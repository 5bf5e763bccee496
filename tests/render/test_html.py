"""Blocks as HTML: what a page does with tables of which one continues the other."""

import pytest

from risk.document.blocks import Table, TableRow
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
