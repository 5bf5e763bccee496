"""Text of users and files made safe for the places where Streamlit reads Markdown or HTML."""

from __future__ import annotations

import re

import streamlit as st

from risk.problems import Problem
from risk.render.html import escape

__all__ = ["escape", "plain", "say"]

_SIGNS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|$:~^=&@/\"'])")
#: What a page would make a link, an icon or a smiley of, even where its signs are escaped: a colon
#: with something after it (``http://``, ``:smile:``), an at sign, ``www``; and the pairs of signs
#: that it would make an arrow, a dash or another sign of.
_LINKS = re.compile(r"(?i)(\\:(?=\S)|\\@|www|\\<(?=\\[-=])|\\-(?=\\[->])|\\[>~](?=\\=))")


def plain(text: str) -> str:
    """Return Markdown that shows `text` as it is: no markup, no link, no icon.

    Every sign that could begin markup is escaped.  An invisible word joiner breaks what would
    become a link or a smiley all the same; it goes along when such a text is copied, so it
    stands nowhere else.
    """
    escaped = _SIGNS.sub(r"\\\1", " ".join(text.split()))
    return _LINKS.sub(lambda match: match[0] + "\u2060", escaped)


def say(problem: Problem) -> None:
    """Say what is wrong beside its field, so that its place goes without saying."""
    st.error(plain(problem.message), icon=":material/error:")
