"""Text of users and files made safe for the places where Streamlit reads Markdown or HTML."""

from __future__ import annotations

import re

from risk.render.html import escape

__all__ = ["escape", "plain"]

_SIGNS = re.compile(r"([\\`*_{}\[\]()<>#+\-.!|$:~^=&@/\"'])")
_LINKS = re.compile(r"(?i)(\\[:@.])|(www)")


def plain(text: str) -> str:
    """Return Markdown that shows `text` as it is: no markup, no link, no icon.

    Every sign that could begin markup is escaped; an invisible word joiner breaks what would
    become a link by itself.
    """
    escaped = _SIGNS.sub(r"\\\1", " ".join(text.split()))
    return _LINKS.sub(lambda match: match[0] + "\u2060", escaped)
