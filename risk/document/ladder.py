"""The evidence ladder as blocks: one rung a row, with a bar that shows how the chance moves."""

from __future__ import annotations

from collections.abc import Sequence

from risk.case.model import Case, Question
from risk.document.blocks import Block, Heading, Paragraph, Table, TableRow
from risk.model.answers import Chance
from risk.wording.chances import chance_in_words
from risk.wording.questions import question_in_words
from risk.workings.ladder import followed
from risk.workings.step import Rung
from risk.workings.values import value_word

#: Signs of the longest bar.
_LONGEST_BAR = 12


def ladder_blocks(rungs: Sequence[Rung], question: Question, case: Case) -> list[Block]:
    """Return the ladder of one question: what is known, the chance then, and its bar.

    The longest bar stands for the largest chance of the ladder, and the page says which that is;
    a chance too small for a sign has a dot.
    """
    most = max((rung.chance for rung in rungs), key=lambda chance: chance.value)
    largest = most.value or 1.0
    rows = []
    for rung in rungs:
        words = chance_in_words(rung.chance, about="")
        bar = "#" * round(rung.chance.value / largest * _LONGEST_BAR)
        bar = bar or ("." if rung.chance.value else "")
        exact = rung.chance.exact
        number = "" if exact is None else value_word(exact)
        rows.append(TableRow((rung.text, number, words.percent, f"|{bar}")))
    return [
        Heading(question_in_words(followed(question), case), 2),
        Paragraph(_note(most, small=any(row.cells[-1] == "|." for row in rows)), style="note"),
        Table(
            align=("left", "right", "right", "left"),
            header=(),
            rows=tuple(rows),
            caption="The chance as the facts become known",
            indent=1,
        ),
    ]


def _note(most: Chance, *, small: bool) -> str:
    note = "The chance after each thing that becomes known, from the top."
    if most.value:
        note += f" The longest bar is {chance_in_words(most).percent}"
        note += "; a dot is a chance too small for a bar." if small else "."
    return note
