"""Small documents for the tests of pages, and how their pages are read back."""

import io

import pypdf

from risk.document.blocks import Document, Table, TableRow
from risk.scene.shapes import Circle, Line, Scene, Text

FOOT = "For teaching only: not medical advice."


def document(*blocks, title="A title", **options):
    return Document(title=title, blocks=tuple(blocks), footer=FOOT, **options)


def reader(content):
    return pypdf.PdfReader(io.BytesIO(content))


def text_of(content):
    return "\n".join(page.extract_text() for page in reader(content).pages)


def long_table(rows, cell="fact"):
    return Table(
        align=("left", "left", "right"),
        header=(("person", "what is known", "chance"),),
        rows=tuple(TableRow((f"V-{i}", f"{cell} {i}", "1/4")) for i in range(rows)),
        grow=(1,),
        ruled=True,
    )


def drawing(width, height):
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height), (0.0, 0.0))
    return Scene(
        width,
        height,
        (
            Line(corners, "grid"),
            Circle(width / 2, height / 2, 14, "symbol"),
            Text(width / 2, height - 8, "II-2", 10.0, 22.0, "label", anchor="middle"),
        ),
    )
