"""The case summary: everything about a case in the order in which a reader needs it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from risk.case.model import Case
from risk.caution import CAUTION, CAUTION_LONG
from risk.document.blocks import (
    Align,
    Beside,
    Block,
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
from risk.document.family import as_printed, family_table
from risk.document.pictures import chance_picture
from risk.document.sources import case_version, sources_blocks
from risk.document.working import workings_blocks
from risk.model.answers import Answer, Chance, Solution
from risk.scene.tree import draw_key, draw_tree
from risk.version import __version__
from risk.wording.alleles import COPIES
from risk.wording.assumptions import assumptions_of_case
from risk.wording.chances import chance_in_words, fraction_and_percent
from risk.wording.family import condition_in_words, family_in_words, title_of
from risk.wording.phrases import capital
from risk.wording.questions import NO_QUESTIONS, question_in_words
from risk.workings.step import Working

_RIGHT: tuple[Align, ...] = ("right",)
#: Answers beside one another in a table of dependences; more would not be compared.
_MOST_ANSWERS = 5
#: The names of several cases are their title up to so many characters, the room of a page's foot.
_LONGEST_NAMES = 80
#: Longest fraction in such a table.
_SHORT_FRACTION = 12
#: A picture that is wider, in points, stands below the words.
_WIDEST_BESIDE = 220.0
#: A tree of at most the first width, in points, stands beside the story.  One of up to the second
#: has this share of the page's width, a wider one as much more as it is wider.
_WIDEST_TREE, _NARROW_TREE, _TREE_SHARE = 320.0, 260.0, 0.42
#: Lines for a working of one's own, and how many of them there are at least.
_WORKING_LINES, _LEAST_LINES = 7, 5
#: What a reader must know before using a page, beside `CAUTION_LONG`.
_MODEL_CAUTION = (
    "The assumptions listed here are those of the exercise; where they are wrong for a family, "
    "the numbers are wrong too."
)


@dataclass(frozen=True, slots=True)
class Dependence:
    """How the answers change with one input: its name and the answers at some of its values.

    `rows` are (value in words, whether it is the case's own, a chance for each question); a
    chance is None where the value makes the evidence impossible, or the question has none.
    """

    name: str
    rows: tuple[tuple[str, bool, tuple[Chance | None, ...]], ...]


@dataclass(frozen=True, slots=True)
class Findings:
    """A case with everything that was worked out about it, and the name of its `file`."""

    case: Case
    solution: Solution
    workings: tuple[Working, ...] = ()
    dependences: tuple[Dependence, ...] = ()
    file: str = ""


@dataclass(frozen=True, slots=True)
class Layout:
    """What to print: `blank` leaves answers to fill in, without `working` it is a summary."""

    working: bool = True
    blank: bool = False
    title: str = ""
    author: str = ""
    date: str = ""


def case_report(findings: Sequence[Findings], layout: Layout) -> Document:
    """Return the report of one case, or of several, each beginning a new page."""
    several = len(findings) != 1
    title = layout.title or _names([title_of(each.case) for each in findings])
    blocks: list[Block] = [Caution(f"{CAUTION_LONG} {_MODEL_CAUTION}")]
    for i, each in enumerate(findings):
        if several:
            if i:
                blocks.append(PageBreak())
            blocks.append(Heading(title_of(each.case), 1))
            blocks.append(Paragraph(case_version(each.case), style="note"))
        blocks += _case(each, layout)
    return Document(
        title=title,
        blocks=tuple(blocks),
        byline=byline(layout, "" if several else case_version(findings[0].case)),
        footer=CAUTION,
        subject="Genetic risk in a family: an exercise, not medical advice",
        author=layout.author,
        most_pages=0 if layout.working else len(findings),
    )


def _names(titles: Sequence[str]) -> str:
    """Name one case, and several where that is short; else say how many they are."""
    names = "; ".join(titles)
    short = titles and len(names) <= _LONGEST_NAMES
    return names if short or len(titles) == 1 else f"{len(titles)} cases"


def byline(layout: Layout, about: str = "") -> tuple[str, ...]:
    """Return author and date, as far as they are given, and the program with what is `about`."""
    who = " · ".join(part for part in (layout.author, layout.date) if part)
    program = f"Made with Two-Thirds {__version__}, a risk calculator for teaching"
    made = f"{program} · {about}" if about else program
    return (who, made) if who else (made,)


def _case(each: Findings, layout: Layout) -> list[Block]:
    case, printed = each.case, as_printed(each.case)
    blocks = story_and_tree(
        case,
        Paragraph(f"{condition_in_words(case.condition)}. {family_in_words(case)}", style="note"),
        title=title_of(case),
        most_height=0.5 if layout.working else 0.3,
    )
    blocks.append(Heading("Questions" if layout.blank else "Answers"))
    if not each.solution.answers:
        blocks.append(Paragraph(NO_QUESTIONS))
    if layout.working or layout.blank:
        for number, answer in enumerate(each.solution.answers, 1):
            blocks += _question(answer, printed, number, layout)
    elif each.solution.answers:
        blocks.append(_answers_in_short(each, printed))
    if layout.working:
        blocks += [Heading("The family"), family_table(case)]
        blocks += [Heading("What this assumes"), _assumption_table(printed)]
        if not layout.blank:
            blocks += _dependences(each)
        blocks += sources_blocks(case, each.file)
        if not layout.blank:
            blocks += _workings(each, printed)
    else:
        blocks += [Heading("What this assumes"), *_assumptions_in_short(printed)]
    return blocks


def story_and_tree(
    case: Case, *more: Block, title: str, most_height: float, key: bool = True
) -> list[Block]:
    """Return the story, what `more` is told, and the drawn family, with its `key` if wanted.

    `title` names the family where the drawing is on a sheet of its own.
    A narrow tree stands beside the story.  The caution is not repeated in the drawing: every
    page carries it.
    """
    told = [Paragraph(case.vignette), *more] if case.vignette else list(more)
    tree = draw_tree(case, show_title=False, show_key=False, show_caution=False)
    beside = bool(case.vignette) and tree.width <= _WIDEST_TREE
    if key and not beside:
        tree = draw_tree(case, show_title=False, show_caution=False)
    figure = Figure(
        tree,
        description=f"{tree.title}. {tree.desc}".strip(". "),
        most_height=most_height,
        may_turn=True,
        title=title,
    )
    if not beside:
        return [*told, figure]
    below = [key_figure([case])] if key else []
    share = _TREE_SHARE * max(1, tree.width / _NARROW_TREE)
    return [Beside(tuple(told), figure, share), *below]


def key_figure(cases: Sequence[Case]) -> Figure:
    """Return one key of signs for the trees of some cases, of one at least."""
    key = draw_key(cases)
    return Figure(key, f"{key.title}. {key.desc}")


def _question(answer: Answer, case: Case, number: int, layout: Layout) -> list[Block]:
    asked = Heading(f"{number}. {question_in_words(answer.question, case)}", 3)
    if layout.blank:
        lines: list[Block] = (
            [FillIn("Working", _WORKING_LINES, _LEAST_LINES)] if layout.working else []
        )
        return [Together((asked, *lines, FillIn("Answer, as a fraction and as a percentage")))]
    if answer.distribution is not None:
        return [Together((asked, _distribution(answer.distribution)))]
    assert answer.probability is not None
    words = chance_in_words(answer.probability)
    forms = (
        ("as a fraction", words.fraction),
        ("as a percentage", words.percent),
        ("as a frequency", words.one_in),
    )
    table = Table(
        align=("left", "left"),
        header=(),
        rows=tuple(
            TableRow((form, text), "result" if form == "as a fraction" else "plain")
            for form, text in forms
            if text
        ),
        grow=(1,),
        ruled=True,
    )
    note = (Paragraph(words.note, style="note"),) if words.note else ()
    picture = chance_picture(answer.probability)
    if picture is None or picture.scene.width > _WIDEST_BESIDE:
        below = () if picture is None else (picture,)
        return [Together((Beside((asked, table, *note)), *below))]
    return [Together((Beside((asked, table, *note), picture),))]


def _answers_in_short(each: Findings, case: Case) -> Table:
    """All answers in one table; a distribution takes a row for each number of alleles."""
    rows = []
    for number, answer in enumerate(each.solution.answers, 1):
        asked = f"{number}. {question_in_words(answer.question, case)}"
        outcomes = (
            [(asked, answer.probability)]
            if answer.probability is not None
            else [
                (f"{asked} {capital(copies)}.", chance)
                for copies, chance in zip(COPIES, answer.distribution or (), strict=False)
            ]
        )
        for text, chance in outcomes:
            words = chance_in_words(chance)
            rows.append(TableRow((text, words.fraction or "—", words.percent, words.one_in)))
    return Table(
        align=("left", "left", "left", "left"),
        header=(("asked", "fraction", "percentage", "frequency"),),
        rows=tuple(rows),
        grow=(0,),
        ruled=True,
    )


def _distribution(chances: Sequence[Chance]) -> Table:
    rows = []
    for copies, chance in zip(COPIES, chances, strict=False):
        words = chance_in_words(chance)
        rows.append(TableRow((copies, words.fraction or "—", words.percent, words.one_in)))
    return Table(
        align=("left", "left", "left", "left"),
        header=(("", "as a fraction", "as a percentage", "as a frequency"),),
        rows=tuple(rows),
        grow=(2, 3),
    )


def _assumption_table(case: Case) -> Table:
    return Table(
        align=("left", "left", "left"),
        header=(("about", "assumed", ""),),
        rows=tuple(
            TableRow((each.topic, each.text, "" if each.given else "by default"))
            for each in assumptions_of_case(case)
        ),
        grow=(1,),
        ruled=True,
    )


def _assumptions_in_short(case: Case) -> list[Block]:
    every = assumptions_of_case(case)
    given = " ".join(f"{each.topic}: {each.text}" for each in every if each.given)
    defaults = " ".join(f"{each.topic}: {each.text}" for each in every if not each.given)
    return [Paragraph(given), Paragraph(f"By default: {defaults}", style="note")]


def _workings(each: Findings, case: Case) -> list[Block]:
    if not each.workings:
        return []
    blocks: list[Block] = [Heading("The working")]
    for working in workings_blocks(each.workings, case, level=3):
        blocks += working
    return blocks


def _dependences(each: Findings) -> list[Block]:
    if not each.dependences:
        return []
    asked = [i for i, answer in enumerate(each.solution.answers) if answer.probability is not None]
    shown = asked[:_MOST_ANSWERS]
    if not shown:
        return []
    opening: list[Block] = [
        Heading("How the answers depend on what is least certain"),
        Paragraph(
            "Each table changes one number of the exercise and leaves all else as it is. The "
            "answers are numbered as the questions; the row in bold is the exercise itself."
        ),
    ]
    blocks: list[Block] = []
    for dependence in each.dependences:
        rows = tuple(
            TableRow(
                (value, *(fraction_and_percent(chances[i], _SHORT_FRACTION) for i in shown)),
                "result" if own else "plain",
            )
            for value, own, chances in dependence.rows
        )
        table = Table(
            align=("left", *_RIGHT * len(shown)),
            header=((dependence.name, *(f"answer {i + 1}" for i in shown)),),
            rows=rows,
            grow=(0,),
            ruled=True,
        )
        blocks.append(Together((*opening, table)))
        opening = []
    return blocks
