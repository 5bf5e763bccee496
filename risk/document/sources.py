"""Where the numbers of a case come from, as far as the case says."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterator

from risk.case.model import Case
from risk.case.write import write_case_line
from risk.document.blocks import Block, Bullets, Heading, Paragraph, Together

#: What gives a reference away: an address, an identifier, a word for it, a name with its year.
_REFERENCE = re.compile(
    r"https?://|www\.|\bdoi\b|\bPMID\b|\bISBN\b|\bet al\b|\b(?:sources?|references?)\b\s*:"
    r"|\([^()]*\b(?:1[89]|20)\d\d\b[^()]*\)",
    re.IGNORECASE,
)
_SENTENCES = re.compile(r"(?<=[.!?])\s+(?=[A-Z])")


def sources_blocks(case: Case, file: str = "") -> list[Block]:
    """Return the part on sources: the case file, and every sentence of it that names a source."""
    called = f' "{file}"' if file else ""
    blocks: list[Block] = [
        Paragraph(
            f"The numbers are those of the case file{called} (version {case.version}, fingerprint "
            f'{fingerprint(case)}) and, where "by default" stands beside an assumption, those of '
            f"the program."
        )
    ]
    named = tuple(f"{where}: {text}" for where, text in references(case))
    if named:
        blocks += [Paragraph("The case file names these:"), Bullets(named)]
    else:
        blocks.append(Paragraph("The case file names no source for its numbers.", style="note"))
    return [Together((Heading("Sources"), *blocks))]


def case_version(case: Case) -> str:
    """Say which case file this was made from, so that a print can be told from a later one."""
    return f"case file version {case.version}, fingerprint {fingerprint(case)}"


def fingerprint(case: Case) -> str:
    """Return twelve digits that differ where anything in the case does."""
    return hashlib.sha256(write_case_line(case).encode()).hexdigest()[:12]


def references(case: Case) -> Iterator[tuple[str, str]]:
    """Yield (where, text) for each text of the case that names a source, as it is written.

    The case file has no place of its own for sources, so its texts are searched for what looks
    like a reference; of a longer text only the sentences that do are given.
    """
    for where, text in _texts(case):
        for sentence in _SENTENCES.split(" ".join(text.split())):
            if _REFERENCE.search(sentence):
                yield where, sentence


def _texts(case: Case) -> Iterator[tuple[str, str]]:
    condition = case.condition
    if case.title:
        yield "title", case.title
    if case.vignette:
        yield "vignette", case.vignette
    if condition.name:
        yield "condition", condition.name
    for test in condition.tests or ():
        yield "test", test.name
    for variant in condition.variants or ():
        yield "variant", variant.name
    for person in case.people:
        if person.note:
            yield person.id, person.note
