"""What the blocks of a working say of each step, read back as a reader finds it."""

import re
from pathlib import Path

from strategies import MODES, random_family

from risk.document.blocks import Paragraph, flatten
from risk.wording.phrases import capital

#: Case files that are worked out by hand somewhere.
FILES = sorted([*Path("fixtures").glob("*.json"), *Path("tests/handbook").glob("[0-9]*.json")])


#: Stands for a table that is shown with the step that it names.
SAME_TABLE = re.compile(r"The table is that of step (\d+): ")


def families():
    """A few random ones of each mode: without loops, with cousins who marry, and with twins."""
    for seed, mode in enumerate(MODES * 3):
        more = ({}, {"loops": 1}, {"twins": 2})[seed // len(MODES)]
        yield random_family(seed, 12, mode=mode, **more)


def paragraphs_of(blocks):
    """The paragraphs of each step by its marker, as pairs of a letter (or none) and a text."""
    found = {}
    number = ""
    for block in flatten(blocks):
        if not isinstance(block, Paragraph) or block.style != "normal":
            continue
        if not block.indent:
            number = block.marker
        found.setdefault(number, []).append((block.marker if block.indent else "", block.text))
    return found


def all_of(step):
    """All that is said of a step, as one text."""
    return " ".join(filter(None, (step.text, step.later)))


def said_of(paragraphs, step, names):
    """What the paragraphs of a step say together, without what the lettered rows are.

    Nor where its table is shown.
    """
    said = []
    for letter, text in paragraphs:
        if SAME_TABLE.match(text):
            continue
        if letter:
            label = re.escape(capital(step.rows[ord(letter) - ord("A")].text, names))
            text = re.sub(r" \((from|uses) steps? [\d, ]+\)|^Uses steps? [\d, ]+\. ", "", text)
            text = re.sub(rf"{label}\.( |$)", "", text, count=1)
        said.append(text)
    return " ".join(filter(None, said))
