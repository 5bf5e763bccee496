"""Why a file cannot be read as JSON, in words; only loaded where one cannot.

The decoder says where it stopped and what it missed there.  What people really did (a word
processor bent the quotation marks, a fraction stands without any) shows in the text around that
place, and is what they are told.
"""

from __future__ import annotations

import re
import unicodedata
from json import JSONDecodeError

#: What other files begin with, each byte as the character of its number, and what they are.
_OTHER_FILES = {
    "%PDF-": "a PDF",
    "PK\x03\x04": "a ZIP archive (or a document or spreadsheet of an office program)",
    "\x89PNG": "a PNG picture",
    "\xff\xd8\xff": "a JPEG picture",
    "\x1f\x8b": "a compressed file",
    "{\\rtf": "a document of a word processor (rich text)",
    "<": "a web page or another text in angle brackets",
}

#: Text of one or two bytes a character, most of them small, with the other bytes 0.
_WIDE = re.compile(r"\0{0,3}[^\0]\0|\0[^\0]\0[^\0]")


def not_text(source: bytes, error: UnicodeDecodeError) -> str:
    """Say why these bytes are no text in UTF-8, and the mend."""
    start = source[:8].decode("latin-1")
    if other := _other_file(start):
        return other
    mend = "save it as UTF-8"
    if start.startswith(("\xff\xfe", "\xfe\xff")) or _WIDE.match(start):
        mend = "it looks like UTF-16; save it as UTF-8"
    line = source.count(b"\n", 0, error.start) + 1
    where = f"line {line}" if b"\n" in source.rstrip() else "it"
    byte = f"0x{source[error.start]:02x}"
    return f"the file is not UTF-8 text: {where} holds the byte {byte}; {mend}"


def not_json(error: JSONDecodeError) -> str:
    """Say where a text stops being JSON, why, and the mend."""
    # Where all ends too early, that is at the end of its last line, and not below.
    doc = error.doc.rstrip(" \t\r\n")
    error = JSONDecodeError(error.msg, doc, min(error.pos, len(doc)))
    if other := _other_file(error.doc):
        return other
    if _WIDE.match(error.doc):
        return "the file is not UTF-8 text: it looks like UTF-16; save it as UTF-8"
    if error.msg.startswith("Extra data") and error.colno == 1 and error.doc[error.pos] == "{":
        return (
            f"several cases, the second at {_place(error)}, where one is asked for; put the one "
            "that is meant in a file of its own"
        )
    looks = (_bent_at_the_end, _cut_off, _trailing_comma, _wrong_sign, _bare_number, _bare_word)
    for look in looks:
        if (fault := look(error)) is not None:
            start, mend = fault
            return f"not JSON at {_place(JSONDecodeError('', error.doc, start))}: {mend}"
    for begins, mend in _MENDS.items():
        if error.msg.startswith(begins):
            return f"not JSON at {_place(error)}: {mend}{_ends_early(error)}"
    return f"not JSON at {_place(error)}: {error.msg}"


def _other_file(start: str) -> str:
    for begins, name in _OTHER_FILES.items():
        if start.startswith(begins):
            return f"this is {name}, not a case file, which is a text in JSON"
    return ""


def _place(error: JSONDecodeError) -> str:
    """Return the line and column; of what is one line, as a case of a stream, the column."""
    line = f"line {error.lineno}, " if "\n" in error.doc else ""
    return f"{line}column {error.colno}"


def _too_early(error: JSONDecodeError) -> str:
    whole = "file" if "\n" in error.doc else "line"
    return f"; the {whole} ends too early"


#: Ways of not being JSON that people meet, by the start of what the decoder says.
_MENDS = {
    "Expecting property name": "a key in double quotes is expected",
    "Expecting ':'": "a colon is expected after a key",
    "Expecting ','": "a comma or a closing bracket is expected",
    "Expecting value": "a value is expected (a text in double quotes, a number, true, false, "
    "null, a list or an object)",
    "Extra data": "the JSON object ends before here, but more follows",
    "Invalid control character": "a line break, tab or other control character stands inside a "
    "text; write a line break as \\n",
    "Invalid \\": "a backslash that starts no known escape; write \\\\ for a backslash",
}


def _ends_early(error: JSONDecodeError) -> str:
    """Say which brackets are open still, where the text just stops."""
    if not error.msg.startswith("Expecting") or error.doc[error.pos :].strip():
        return ""
    still_open: list[str] = []
    for sign in re.findall(r"[][{}]", _TEXT.sub("", error.doc)):
        if sign in "[{":
            still_open.append(sign)
        else:
            still_open.pop()  # the decoder has read as far as here, so that each has its own
    missing = "".join("]" if sign == "[" else "}" for sign in reversed(still_open))
    # Of a file that is cut off in the middle nobody wants to count them.
    if not 0 < len(missing) <= _FEW_BRACKETS:
        return _too_early(error) if missing else ""
    return f"{_too_early(error)}: {missing} is missing at its end"


#: So many missing brackets are shown.
_FEW_BRACKETS = 8


# What people did: each of these finds its place and mend, or None -------------------------------

Fault = tuple[int, str] | None

_BENT = "“”„‟«»‘’‚‛‹›″′`´＂"
_TEXT = re.compile(r'"(?:[^"\\]|\\.)*+"?+', re.DOTALL)
_BENT_END = re.compile(rf"[{_BENT}](?=\s*+(?:[,:}}\]]|$))")
_WORD = re.compile(r"[^\W\d][\w-]*")
#: What the decoder cannot read of a text because the file ends: blank space, part of an escape.
_LAST_BIT = re.compile(r"(?:\\|\\?u[0-9a-fA-F]{0,3})?\s*\Z")
#: What JSON calls the words that other languages have, in small letters.
_CONSTANTS = {
    "true": "true",
    "yes": "true",
    "false": "false",
    "no": "false",
    "null": "null",
    "none": "null",
    "nil": "null",
    "undefined": "null",
}


def _bent(sign: str) -> str:
    which = "double" if sign == "'" else "straight double"
    why = "" if sign == "'" else "; a plain text editor leaves it straight"
    return (
        f'the quotation mark {sign} stands where the {which} one belongs; write " on both sides '
        f"of every key and text{why}"
    )


def _bent_at_the_end(error: JSONDecodeError) -> Fault:
    """Find a text that began with a straight quotation mark and was to end with a bent one."""
    doc, at = error.doc, error.pos
    if error.msg.startswith("Unterminated"):
        start, stop = at, len(doc)
    elif error.msg.startswith(("Expecting ','", "Expecting ':'", "Invalid control")):
        if error.msg.startswith("Expecting") and doc.startswith('"', at):
            return None  # another text begins here: only a comma or a colon is missing
        start, stop = 0, 0
        for text in _TEXT.finditer(doc, 0, at):
            start, stop = text.span()
        if doc[stop:at].strip():
            return None  # a number, a word, a list or an object came last
    else:
        return None
    end = _BENT_END.search(doc, start, stop)
    return None if end is None else (end.start(), _bent(end[0]))


def _trailing_comma(error: JSONDecodeError) -> Fault:
    """Find a comma before a closing bracket: older decoders stop at the bracket, new ones at it."""
    doc, at = error.doc, error.pos
    if not error.msg.startswith(("Expecting property", "Expecting value", "Illegal trailing")):
        return None
    comma = at if doc.startswith(",", at) else len(doc[:at].rstrip()) - 1
    if comma < 0 or doc[comma] != "," or doc[comma + 1 :].lstrip()[:1] not in ("}", "]"):
        return None
    return comma, "the comma before the closing bracket is one too many"


def _cut_off(error: JSONDecodeError) -> Fault:
    """Find a text, or a word of JSON's own, in the middle of which the file ends."""
    doc, at = error.doc, error.pos
    start, ends = at, f"{_too_early(error)}, in the middle of it"
    if error.msg.startswith("Expecting value"):
        start, _ = _first_sign(error)
        word = doc[start : start + 6].rstrip()
        begun = [each for each in ("true", "false", "null") if word and each.startswith(word)]
        return (start, f"{begun[0]} is begun here{ends}") if begun and word not in begun else None
    if error.msg.startswith(("Invalid control", "Invalid \\")) and _LAST_BIT.match(doc, at):
        start = max([text.start() for text in _TEXT.finditer(doc, 0, at)], default=at)
    elif not error.msg.startswith("Unterminated"):
        return None
    if doc.rstrip().endswith(("}", "]")):
        ends = ""  # all is there but the quotation mark
    return start, f"the text that starts here has no closing double quote{ends}"


def _wrong_sign(error: JSONDecodeError) -> Fault:
    """Find a sign that JSON does not have where a value, key, colon or comma belongs."""
    start, sign = _first_sign(error)
    if not sign or not error.msg.startswith("Expecting"):
        return None
    if sign in _BENT + "'":
        return start, _bent(sign)
    # A text that begins so is rather a heading of Markdown.
    hash_sign = sign == "#" and error.doc[:start].strip() != ""
    if hash_sign or error.doc.startswith(("//", "/*"), start):
        return start, "JSON has no comments; take it out"
    if not sign.isascii() and unicodedata.category(sign) in ("Zs", "Zl", "Zp", "Cf"):
        mend = "an invisible character stands here; remove it or write an ordinary space"
        return start, f"{mend} (U+{ord(sign):04X})"
    return None


def _bare_number(error: JSONDecodeError) -> Fault:
    """Find a number that JSON has only as a text, or that is written with a decimal comma."""
    start, _ = _first_sign(error)
    before = error.doc[max(0, start - 50) : start]
    after = error.doc[start : start + 50]
    if error.msg.startswith("Expecting ','"):
        begun = re.search(r"-?[\d.]+(?:[eE][+-]?\d+)?\s*$", before, re.ASCII)
        rest = re.match(r"(?:/\s*|in\s+)[\d.]+|%", after, re.ASCII)
        if begun and rest:
            number = " ".join((begun[0] + rest[0]).split())
            return start - len(begun[0]), f'such a number stands in double quotes; write "{number}"'
    if error.msg.startswith("Expecting property name"):
        begun = re.search(r"(-?\d+),$", before, re.ASCII)
        rest = re.match(r"\d+", after, re.ASCII)
        if begun and rest:
            mend = f"a number has a decimal point and no comma; write {begun[1]}.{rest[0]}"
            return start - len(begun[0]), mend
    if error.msg.startswith("Expecting value"):
        rest = re.match(r"[+.][\d.]+", after, re.ASCII)
        if rest:
            number = rest[0].lstrip("+")
            mend = f"0{number}" if number.startswith(".") else number
            return start, f"a number begins with a digit; write {mend}"
    return None


def _bare_word(error: JSONDecodeError) -> Fault:
    """Find a word without quotation marks, among them what other languages call true and false."""
    start, _ = _first_sign(error)
    word = _WORD.match(error.doc[start : start + 41])
    if word is None or len(word[0]) > 40 or not error.doc[:start].strip():
        return None
    if error.msg.startswith("Expecting property name"):
        return start, f'a key stands in double quotes; write "{word[0]}"'
    if not error.msg.startswith("Expecting value"):
        return None
    constant = _CONSTANTS.get(word[0].lower())
    if constant is None:
        return start, f'a text stands in double quotes; write "{word[0]}"'
    mend = f"{word[0]} is not JSON; write {constant}"
    return start, f"{mend}, or leave the key out" if constant == "null" else mend


def _first_sign(error: JSONDecodeError) -> tuple[int, str]:
    """Return where the first sign stands that is no plain space, from the decoder's place on."""
    found = re.compile(r"[^ \t\r\n]").search(error.doc, error.pos)
    return (len(error.doc), "") if found is None else (found.start(), found[0])
