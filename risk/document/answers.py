"""The answers of a case as blocks: what `solve` shows, and how a report begins."""

from __future__ import annotations

from risk.case.model import Case
from risk.caution import CAUTION
from risk.document.blocks import (
    Block,
    Bullets,
    Caution,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.model.answers import Answer, Chance, PersonChances, Solution
from risk.wording.alleles import COPIES
from risk.wording.assumptions import assumptions_in_words
from risk.wording.chances import answer_in_words, chance_in_words, short_chance
from risk.wording.family import condition_in_words, family_in_words, title_in_words
from risk.wording.questions import NO_QUESTIONS, person_in_words, question_in_words


def solution_blocks(
    case: Case, solution: Solution, *, people: bool = False, whole: str = ""
) -> list[Block]:
    """Return the page of answers: the family, each question and its answer, the assumptions.

    With `people`, everybody's chances follow the questions.  `whole` is said where a fraction is
    too long to be shown.
    """
    blocks: list[Block] = [Heading(title_in_words(case), 1)]
    if case.vignette:
        blocks += [Paragraph(part) for part in case.vignette.split("\n\n") if part.strip()]
    blocks.append(
        Paragraph(f"{condition_in_words(case.condition)}. {family_in_words(case)}", style="note")
    )
    for number, answer in enumerate(solution.answers, start=1):
        blocks.append(answer_blocks(answer, case, f"{number}."))
    if not solution.answers:
        blocks.append(Paragraph(NO_QUESTIONS))
    if people or not solution.answers:
        blocks += [Heading("Everyone's chances"), people_table(case, solution.people)]
    blocks += [
        Heading("What this assumes"),
        Bullets(tuple(assumptions_in_words(case))),
    ]
    asked = [answer.probability for answer in solution.answers if answer.probability is not None]
    if whole and any(chance_in_words(chance).note for chance in asked):
        blocks.append(Paragraph(whole, style="note"))
    return [*blocks, Caution(CAUTION)]


def answer_blocks(answer: Answer, case: Case, marker: str = "") -> Together:
    """Return a question in words with its answer in each form."""
    question = Paragraph(question_in_words(answer.question, case), marker=marker)
    if answer.distribution is None:
        assert answer.probability is not None
        words = chance_in_words(answer.probability)
        outcome: list[Block] = [Paragraph(str(words), style="answer", indent=1)]
        if words.note:
            outcome.append(Paragraph(f"({words.note})", style="note", indent=1))
    else:
        rows = [
            TableRow((COPIES[alleles], answer_in_words(chance)))
            for alleles, chance in _possible(answer.distribution, case, answer.question.person)
        ]
        outcome = [Table(align=("left", "left"), header=(), rows=tuple(rows), grow=(1,), indent=1)]
    return Together((question, *outcome))


def people_table(case: Case, people: tuple[PersonChances, ...]) -> Table:
    """Return a table of the chances that each person has 0, 1 and 2 disease alleles."""
    return Table(
        align=("left", "right", "right", "right"),
        header=(("", *COPIES),),
        rows=tuple(
            TableRow((person_in_words(each.id, case), *map(short_chance, each.disease_alleles)))
            for each in people
        ),
        caption="The chance of each number of copies of the disease allele",
        ruled=True,
    )


def _possible(
    distribution: tuple[Chance, ...], case: Case, person: str | None
) -> list[tuple[int, Chance]]:
    """The entries that can be: a male has one X and so never two copies on it."""
    single = person is not None and case.condition.copies(case.person(person).sex) == 1
    return [(i, chance) for i, chance in enumerate(distribution) if not (single and i == 2)]
