"""Blocks of a document on a page of the app."""

from __future__ import annotations

import re
from collections.abc import Sequence

import streamlit as st

from risk.document.blocks import Block
from risk.render.html import blocks_to_html, table_to_html

_ID = re.compile(r"(?<![\w-])(?:0+|[IVXLCDM]+)-[1-9]\d*(?![\w-])")


def show_blocks(blocks: Sequence[Block]) -> None:
    """Show blocks on the page."""
    st.html(f'<div class="tt-doc">{_ids_whole(blocks_to_html(blocks))}</div>')


def table_html(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table of plain texts as HTML, the first column naming each row."""
    return f'<div class="tt-doc">{_ids_whole(table_to_html(header, rows))}</div>'


def _ids_whole(html: str) -> str:
    """The same with each id like ``II-2`` kept on one line, in texts and not in tags."""
    parts = re.split(r"(<[^>]*>)", html)
    parts[::2] = [_ID.sub(r'<span class="tt-id">\g<0></span>', text) for text in parts[::2]]
    return "".join(parts)
