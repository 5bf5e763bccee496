"""A scene as SVG text.

Each person is a group ``data-person`` with the symbol (``data-part="symbol"``) and the texts
(``data-part="label"``); lines carry their role as ``data-part``.  Ink is `currentColor` and
paper ``var(--paper)``, so that an embedded drawing follows its page; a file that stands alone
brings both, light and dark.
"""

from __future__ import annotations

import base64
from dataclasses import replace
from functools import lru_cache
from html import escape
from pathlib import Path

from risk.fonts.metrics import joined, right_to_left, text_width
from risk.scene.shapes import LINE_ROLES, Circle, Line, Polygon, Scene, Shape, Text, Tone

FONT = "'Two-Thirds Sans','DejaVu Sans',sans-serif"
_FOLDER = Path(__file__).resolve().parent.parent / "fonts"
_FONT_CODES = "U+20-7E,U+A0-17F,U+386-3CE,U+2010-2027,U+2030-205E,U+2070-2089,U+20AC,U+2153-2265"


def to_svg(
    scene: Scene,
    *,
    prefix: str = "",
    standalone: bool = True,
    interactive: bool = False,
    embed_font: bool | None = None,
) -> str:
    """Return `scene` as an SVG document (or, not `standalone`, as an element for a page).

    `prefix` starts every id, so that several drawings can stand on one page.  `interactive`
    makes each person focusable.  The typeface is embedded where `standalone` unless
    `embed_font` says otherwise.
    """
    width, height = _number(scene.width), _number(scene.height)
    name, about = f"{prefix}title", f"{prefix}desc"
    parts = ['<?xml version="1.0" encoding="UTF-8"?>\n'] if standalone else []
    role = "graphics-document document" if interactive else "img"
    parts.append(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" '
        f'width="{width}" height="{height}" role="{role}" class="two-thirds" '
        f'aria-labelledby="{name} {about}">\n'
        f'<title id="{name}">{_escape(scene.title)}</title>\n'
        f'<desc id="{about}">{_escape(scene.desc)}</desc>\n'
    )
    parts.append(_style(scene, standalone, standalone if embed_font is None else embed_font))
    if standalone:
        parts.append(f'<rect class="sheet" width="{width}" height="{height}"/>\n')
    parts.append('<g fill="none" stroke="currentColor" aria-hidden="true">\n')
    lines = [s for s in scene.items if s.role in LINE_ROLES]
    parts += [_shape(s, part=not isinstance(s, Text)) for s in lines]
    parts.append("</g>\n")
    loose = [s for s in scene.items if s.role not in LINE_ROLES and s.person is None]
    parts += [_group("head", [s for s in loose if s.role == "title"])]
    parts += [_group("numerals", [s for s in loose if s.role == "numeral"])]
    parts += [
        _group("figure", [s for s in loose if s.role in ("axis", "grid", "series", "figure")])
    ]
    own: dict[str, list[Shape]] = {figure.person: [] for figure in scene.figures}
    for shape in scene.items:
        if shape.person is not None:
            own[shape.person].append(shape)
    for figure in scene.figures:
        parts.append(_person(figure.person, figure.words, own[figure.person], interactive))
    parts += [_group("key", [s for s in loose if s.role == "key"])]
    parts += [_group("caution", [s for s in loose if s.role == "caution"])]
    parts.append("</svg>\n")
    return "".join(parts)


def _person(person: str, words: str, shapes: list[Shape], interactive: bool) -> str:
    focus = ' tabindex="0" role="graphics-symbol img"' if interactive else ' role="img"'
    whole = [s.whole for s in shapes if isinstance(s, Text) and s.whole]
    title = "\n".join([words, *whole])
    parts = [
        f'<g data-person="{_escape(person)}"{focus} aria-label="{_escape(words)}">',
        f"<title>{_escape(title)}</title>\n",
    ]
    over = [s for s in shapes if s.role == "symbol" and isinstance(s, Text) and s.halo]
    symbol = [s for s in shapes if s.role == "symbol" and s not in over]
    parts.append('<g data-part="symbol">')
    parts += [_shape(s).rstrip("\n") for s in symbol]
    parts.append("</g>\n")
    parts += [_shape(s, part=True) for s in shapes if s.role == "mark"]
    # A sign with a halo stands on a slash, which is a mark.
    parts += [_shape(replace(s, role="mark"), part=True) for s in over]
    parts += [_shape(s, part=True) for s in shapes if s.role == "label"]
    parts.append("</g>\n")
    return "".join(parts)


def _group(name: str, shapes: list[Shape]) -> str:
    if not shapes:
        return ""
    return f'<g class="{name}">\n' + "".join(_shape(s) for s in shapes) + "</g>\n"


def _paint(tone: Tone) -> str:
    return {"ink": "currentColor", "paper": "var(--paper,#fff)", "none": "none"}[tone]


def _shape(shape: Shape, part: bool = False) -> str:
    data = f' data-part="{shape.role}"' if part else ""
    if isinstance(shape, Text):
        return _text(shape, data)
    look = f' stroke="{_paint(shape.stroke)}" stroke-width="{_number(shape.width)}"'
    if isinstance(shape, Line):
        dash = f' stroke-dasharray="{" ".join(map(_number, shape.dash))}"' if shape.dash else ""
        if len(shape.points) == 2:
            (x1, y1), (x2, y2) = shape.points
            return (
                f'<line{data} x1="{_number(x1)}" y1="{_number(y1)}" x2="{_number(x2)}" '
                f'y2="{_number(y2)}"{look}{dash}/>\n'
            )
        return f'<polyline{data} points="{_points(shape.points)}" fill="none"{look}{dash}/>\n'
    look = f' fill="{_paint(shape.fill)}"' + look
    if isinstance(shape, Circle):
        return (
            f'<circle{data} cx="{_number(shape.x)}" cy="{_number(shape.y)}" '
            f'r="{_number(shape.radius)}"{look}/>\n'
        )
    assert isinstance(shape, Polygon)
    return f'<polygon{data} points="{_points(shape.points)}"{look}/>\n'


def _text(text: Text, data: str) -> str:
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    look = ' font-weight="bold"' if text.bold else ""
    look += f' fill="{_paint(text.fill)}"'
    if text.halo:
        back: Tone = "paper" if text.fill == "ink" else "ink"
        look += f' stroke="{_paint(back)}" stroke-width="3" paint-order="stroke"'
        look += ' stroke-linejoin="round"'
    width = text.measure
    if right_to_left(text.text):  # its first letter says how the whole runs, not the page
        look += ' unicode-bidi="plaintext"'
        width = min(width, text_width(joined(text.text), text.size, text.bold))
    turn = f' transform="rotate(-90 {_number(text.x)} {_number(text.y)})"' if text.turned else ""
    return (
        f'<text{data} x="{_number(text.x)}" y="{_number(text.y)}" font-size="{_number(text.size)}"'
        f'{anchor}{look}{turn} textLength="{_number(width)}" '
        f'lengthAdjust="spacingAndGlyphs">{_escape(text.text)}</text>\n'
    )


def _style(scene: Scene, standalone: bool, embed: bool) -> str:
    rules = []
    if embed:
        weights = {s.bold for s in scene.items if isinstance(s, Text)}
        for bold in sorted(weights):
            rules.append(
                "@font-face{font-family:'Two-Thirds Sans';"
                f"font-weight:{'bold' if bold else 'normal'};unicode-range:{_FONT_CODES};"
                f"src:url(data:font/woff;base64,{_face(bold)}) format('woff')}}"
            )
    rules.append(f".two-thirds text{{font-family:{FONT};font-kerning:none;white-space:pre}}")
    rules.append(
        ".two-thirds [data-person]:focus-visible{outline:2px solid currentColor;outline-offset:4px}"
    )
    if standalone:
        rules.append(".two-thirds{color:#111;--paper:#fff}.two-thirds .sheet{fill:var(--paper)}")
        rules.append(
            "@media (prefers-color-scheme:dark){.two-thirds{color:#f2f2f2;--paper:#16181c}}"
        )
    return "<style>" + "\n".join(rules) + "</style>\n"


@lru_cache(maxsize=2)
def _face(bold: bool) -> str:
    name = "TwoThirdsSans-Bold.woff" if bold else "TwoThirdsSans-Regular.woff"
    return base64.b64encode((_FOLDER / name).read_bytes()).decode("ascii")


def _points(points: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{_number(x)},{_number(y)}" for x, y in points)


def _number(value: float) -> str:
    """Two decimals at most, never an exponent or a negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def _escape(text: str) -> str:
    clean = "".join(c for c in text if c in "\n\t" or (ord(c) >= 32 and c not in "\ufffe\uffff"))
    return escape(clean, quote=False).replace('"', "&quot;")
