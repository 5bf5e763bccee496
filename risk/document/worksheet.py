"""Worksheets for a class, and their key: problems with trees and room, and worked solutions."""

from __future__ import annotations

from collections.abc import Sequence

from risk.case.model import Case
from risk.caution import CAUTION, CAUTION_LONG
from risk.document.blocks import (
    Block,
    Bullets,
    Caution,
    Document,
    Figure,
    FillIn,
    Heading,
    PageBreak,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.document.family import family_table
from risk.document.report import Findings, Layout, byline, title_of, tree_blocks
from risk.document.working import workings_blocks
from risk.model.answers import Answer
from risk.scene.tree import draw_key
from risk.wording.assumptions import assumptions
from risk.wording.chances import answer_in_words
from risk.wording.questions import question_in_words

#: Lines to write on for the working of each question.
_WORKING_LINES = 4
#: The share of a page that the tree of a problem may take: two questions fit beneath.
_TREE = 0.25
_NOTHING_ASKED = "This case asks no questions."
_TITLE = "Exercises in genetic risk"
_SUBJECT = "Exercises in genetic risk: not medical advice"


def worksheet(cases: Sequence[Case], layout: Layout) -> Document:
    """Return the problems: vignette, tree, what may be assumed, questions, room to write."""
    blocks: list[Block] = [
        Table(
            align=("left", "left", "left"),
            header=(),
            rows=(TableRow(("Name: " + "_" * 28, "Class: " + "_" * 12, "Date: " + "_" * 12)),),
            grow=(0,),
            indent=1,
        ),
        Caution(f"{CAUTION_LONG} The families here are made up for practice."),
    ]
    if cases:
        key = draw_key(cases)
        blocks.append(Together((Figure(key, f"{key.title}. {key.desc}"),)))
    for number, case in enumerate(cases, 1):
        blocks += _problem(case, number)
    return Document(
        title=layout.title or _TITLE,
        blocks=tuple(blocks),
        byline=byline(layout),
        footer=CAUTION,
        subject=_SUBJECT,
        author=layout.author,
    )


def answer_key(findings: Sequence[Findings], layout: Layout) -> Document:
    """Return the answers in brief on one table, then the working of every problem."""
    rows = tuple(
        TableRow((_label(i, j), question_in_words(answer.question, each.case), _answer(answer)))
        for i, each in enumerate(findings, 1)
        for j, answer in enumerate(each.solution.answers)
    )
    blocks: list[Block] = [
        Caution(CAUTION),
        Heading("The answers in brief"),
        Table(
            align=("left", "left", "left"),
            header=(("", "asked", "answer"),),
            rows=rows,
            grow=(1, 2),
            ruled=True,
        ),
        PageBreak(),
    ]
    for i, each in enumerate(findings, 1):
        problem: list[Block] = [Heading(f"{i}. {title_of(each.case)}", 1)]
        if each.case.vignette:
            problem.append(Paragraph(each.case.vignette, style="note"))
        labels = [_label(i, j) for j, _ in enumerate(each.workings)]
        workings = workings_blocks(each.workings, each.case, names=labels, heading=False)
        for label, working, (first, *rest) in zip(labels, each.workings, workings, strict=True):
            asked = f"{label} {question_in_words(working.question, each.case)}"
            blocks += [Together((*problem, Heading(asked, 2), first)), *rest]
            problem = []
        if problem:
            blocks.append(Together((*problem, Paragraph(_NOTHING_ASKED))))
    return Document(
        title=f"Answers: {layout.title or _TITLE}",
        blocks=tuple(blocks),
        byline=byline(layout),
        footer=CAUTION,
        subject=_SUBJECT,
        author=layout.author,
    )


def _problem(case: Case, number: int) -> list[Block]:
    told = (Paragraph(case.vignette),) if case.vignette else ()
    heading = Heading(f"{number}. {title_of(case)}", 1)
    tree = tree_blocks(case, _TREE, bare=True)
    asked = [
        Together(
            (
                Heading(f"{_letter(i)} {question_in_words(question, case)}", 3),
                FillIn("", _WORKING_LINES),
                FillIn("Answer:"),
            )
        )
        for i, question in enumerate(case.questions)
    ]
    given = tuple(
        f"{each.topic}: {each.text}" for each in assumptions(case.condition) if each.given
    )
    told_else = () if case.vignette else (family_table(case),)
    story = (
        heading,
        *told,
        *told_else,
        Together((Paragraph("You may assume:", style="note"), Bullets(given))),
    )
    asking = (*tree, *asked[:1])  # a question stays with the tree that it is about
    # The first problem shares its page with the head of the sheet, so it may be parted.
    opening = [*story, Together(asking)] if number == 1 else [Together((*story, *asking))]
    silent = () if case.questions else (Paragraph("This case asks no questions."),)
    return [*opening, *asked[1:], *silent]


def _letter(index: int) -> str:
    """(a), (b) and so on; numbers where a case asks more than the alphabet has letters."""
    return f"({chr(ord('a') + index)})" if index < 26 else f"({index + 1})"


def _label(problem: int, index: int) -> str:
    return f"{problem} {_letter(index)}"


def _answer(answer: Answer) -> str:
    if answer.distribution is None:
        assert answer.probability is not None
        return answer_in_words(answer.probability)
    copies = ("none", "one", "two")
    return "; ".join(
        f"{name}: {answer_in_words(chance)}"
        for name, chance in zip(copies, answer.distribution, strict=False)
    )
