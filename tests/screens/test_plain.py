"""Texts of users never become markup: not in Markdown, not in HTML."""

from __future__ import annotations

import re
from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from risk.document.blocks import Bullets, Heading, Paragraph, Table, TableRow
from risk.render.html import blocks_to_html, table_to_html
from risk.screens.plain import escape, plain

HOSTILE = (
    "<script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "[link](http://example.org)",
    "![picture](http://example.org/a.png)",
    "http://example.org www.example.org a@example.org",
    ":red[colour] :material/home: :smile:",
    "$x^2$ **bold** _slanted_ `code` ~~gone~~",
    "# heading",
    '"><svg onload=alert(1)>',
)


class Names(HTMLParser):
    """Collects the names of the elements of a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: set[str] = set()
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.add(tag)
        assert not [name for name, _ in attrs if name.startswith("on")]

    def handle_data(self, data: str) -> None:
        self.text += data


def test_every_sign_of_markdown_is_escaped() -> None:
    for text in HOSTILE:
        bare = re.sub(r"\\.", "", plain(text))
        assert not re.search(r"[\\`*_{}\[\]()<>#$:~^=&@/|!]", bare)


@given(st.text(max_size=60))
def test_escaped_text_reads_back(text: str) -> None:
    """What a reader of Markdown sees is the text, spaces apart and but for word joiners."""
    seen = re.sub(r"\\(.)", r"\1", plain(text)).replace("\u2060", "")
    assert seen == " ".join(text.replace("\u2060", "").split())


def test_blocks_of_hostile_texts_hold_only_our_own_elements() -> None:
    for text in HOSTILE:
        row = TableRow((text, text))
        blocks = [
            Heading(text),
            Paragraph(text, lead=text, marker=text),
            Bullets((text,)),
            Table(("left", "right"), ((text, text),), (row,), caption=text),
        ]
        names = Names()
        names.feed(blocks_to_html(blocks))
        ours = {"h3", "p", "span", "strong", "ul", "li", "table", "caption", "thead", "tbody"}
        assert names.found <= ours | {"div", "tr", "th", "td"}
        assert text in names.text


def test_a_table_of_texts_names_its_rows_and_columns() -> None:
    names = Names()
    names.feed(table_to_html(["a", "b"], [["<1>", "2"]]))
    assert "<1>" in names.text
    assert '"' not in escape('"')
