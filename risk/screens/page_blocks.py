"""Blocks of a document on a page of the app."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from risk.document.blocks import Block
from risk.render.html import blocks_to_html, table_to_html


def show_blocks(blocks: Sequence[Block]) -> None:
    """Show blocks on the page."""
    st.html(f'<div class="tt-doc">{blocks_to_html(blocks)}</div>')


def table_html(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """A table of plain texts as HTML, the first column naming each row."""
    return f'<div class="tt-doc">{table_to_html(header, rows)}</div>'
