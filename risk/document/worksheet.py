"""Worksheets for a class, and their key: problems with trees and room, and worked solutions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from risk.case.model import Case
from risk.caution import CAUTION, CAUTION_LONG
from risk.document.blocks import (
    Block,
    Bullets,
    Caution,
    Document,
    FillIn,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.document.family import as_printed, family_table
from risk.document.marks import problem_label
from risk.document.report import Findings, Layout, byline, key_figure, story_and_tree
from risk.document.working import workings_blocks
from risk.model.answers import Answer
from risk.teaching.practice_words import rarity_matters
from risk.wording.alleles import distribution_in_words
from risk.wording.assumptions import assumptions, family_assumptions
from risk.wording.chances import answer_in_words
from risk.wording.family import title_of
from risk.wording.questions import NO_QUESTIONS, question_in_words, question_letter

#: Lines to write on for the working of each question, and how few and how many a page may have.
_WORKING_LINES, _LEAST_LINES, _MOST_LINES = 4, 2, 9
#: The share of a page's height that the tree of a problem may take.
_TREE = 0.3
_KEY_AT_THE_END = "What the signs of the trees mean stands after the last problem."
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
        blocks.append(replace(key_figure(cases), elsewhere=_KEY_AT_THE_END))
    blocks += [_problem(case, number) for number, case in enumerate(cases, 1)]
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
        TableRow((problem_label(i, j), question_in_words(answer.question, case), _answer(answer)))
        for i, each in enumerate(findings, 1)
        for case in (as_printed(each.case),)
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
    ]
    for i, each in enumerate(findings, 1):
        case = as_printed(each.case)
        problem: list[Block] = [Heading(f"{i}. {title_of(each.case)}", 1)]
        if each.case.vignette:
            problem.append(Paragraph(each.case.vignette, style="note"))
        labels = [problem_label(i, j) for j, _ in enumerate(each.workings)]
        workings = workings_blocks(each.workings, case, names=labels, heading=False)
        for label, working, shown in zip(labels, each.workings, workings, strict=True):
            asked = f"{label} {question_in_words(working.question, case)}"
            blocks.append(Together((*problem, Heading(asked, 2), *shown)))
            problem = []
        if problem:
            blocks.append(Together((*problem, Paragraph(NO_QUESTIONS))))
    return Document(
        title=f"Answers: {layout.title or _TITLE}",
        blocks=tuple(blocks),
        byline=byline(layout),
        footer=CAUTION,
        subject=_SUBJECT,
        author=layout.author,
    )


def _problem(case: Case, number: int) -> Block:
    """Story, tree beside it where that is narrow, and questions, on one page where they fit."""
    # What related partners and twins are taken for is needed also where it is a default.
    assumed = [each for each in assumptions(case.condition) if each.given]
    if case.condition.frequency.allele == "rare" and not rarity_matters(case):
        assumed = [each for each in assumed if each.topic != "Frequency"]
    printed = as_printed(case)
    assumed += family_assumptions(printed)
    given = tuple(f"{each.topic}: {each.text}" for each in assumed)
    told = () if case.vignette else (family_table(case),)
    may = Together((Paragraph("You may assume:", style="note"), Bullets(given)))
    asked = [
        Together(
            (
                Heading(f"{question_letter(i)} {question_in_words(question, printed)}", 3),
                FillIn("", _WORKING_LINES, _LEAST_LINES, _MOST_LINES),
                FillIn("Answer:"),
            )
        )
        for i, question in enumerate(case.questions)
    ]
    title = f"{number}. {title_of(case)}"
    story = story_and_tree(case, *told, may, title=title, most_height=_TREE, key=False)
    silent = () if case.questions else (Paragraph(NO_QUESTIONS),)
    return Together((Heading(title, 1), *story, *asked, *silent), whole=True)


def _answer(answer: Answer) -> str:
    if answer.distribution is None:
        assert answer.probability is not None
        return answer_in_words(answer.probability)
    return distribution_in_words(answer.distribution)
