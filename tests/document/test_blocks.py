"""The records of a document: that a table is a rectangle, and the order of reading."""

import pytest

from risk.document.blocks import (
    Beside,
    Figure,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
    flatten,
)
from risk.scene.shapes import Scene

FIGURE = Figure(Scene(10, 10, ()), "a drawing")


@pytest.mark.parametrize(
    ("header", "rows"),
    [((("a",),), ()), ((), (TableRow(("a", "b", "c")),))],
)
def test_a_table_with_ragged_rows_is_refused(header, rows):
    with pytest.raises(ValueError, match="cells in a table of 2 columns"):
        Table(align=("left", "left"), header=header, rows=rows)


def test_groups_are_read_through_in_order():
    heading, first, second = Heading("h"), Paragraph("1"), Paragraph("2")
    grouped = [heading, Together((first, Beside((second,), FIGURE)))]
    assert list(flatten(grouped)) == [heading, first, second, FIGURE]
