"""A variation as blocks and as a plot: the answers along the values of one parameter."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from risk.case.model import Case, Question
from risk.case.parameter import Parameter
from risk.caution import CAUTION
from risk.document.blocks import Align, Block, Bullets, Caution, Heading, Paragraph, Table, TableRow
from risk.model.answers import Answer, Chance
from risk.number import Quantity, exact_text
from risk.problems import InputError, Problem
from risk.scene.chart import Series, line_chart
from risk.scene.shapes import Scene
from risk.teaching.vary import Variation, VariedPoint, number_of
from risk.wording.alleles import COPIES
from risk.wording.chances import fraction_and_percent, percent
from risk.wording.family import title_of
from risk.wording.parameters import parameter_in_words
from risk.wording.questions import NO_QUESTIONS, event_in_words, question_in_words

#: A text table shows all of so many points; of more, about so many evenly spread.
_MOST_ROWS = 40
#: What words say for an age that varies.
_VARIED = Quantity("the varied age", Fraction(0))
_LEFT: tuple[Align, ...] = ("left",)


def variation_blocks(variation: Variation, case: Case) -> list[Block]:
    """Return the page of a variation: a table of the answers, and what could not be solved."""
    parameter = " and ".join(variation.parameters)
    columns = [words for words, _ in _columns(variation, case)]
    letters = [f"({i})" for i in range(1, len(columns) + 1)]
    blocks: list[Block] = [
        Heading(title_of(case), 1),
        Paragraph(f"How the answers change with {parameter}{_own(variation)}."),
        Bullets(tuple(f"{sign} {words}" for sign, words in zip(letters, columns, strict=True))),
    ]
    if not columns:
        return [*blocks, Paragraph(NO_QUESTIONS), Caution(CAUTION)]
    shown = _thinned(variation)
    align: tuple[Align, ...] = ("right", *_LEFT * len(columns))
    blocks.append(
        Table(
            align=align,
            header=((_head(variation.parameters[0]), *letters),),
            rows=tuple(
                TableRow(
                    (
                        point.value + (" (case)" if point.own else ""),
                        *map(fraction_and_percent, _chances(point, len(columns))),
                    )
                )
                for point in shown
            ),
            grow=tuple(range(1, len(columns) + 1)),
            caption=f"The answers for values of {parameter}",
            ruled=True,
        )
    )
    if len(shown) < len(variation.points):
        blocks.append(
            Paragraph(
                f"{len(shown)} of {len(variation.points):,} points; CSV and JSON list all.",
                style="note",
            )
        )
    failed = [point for point in variation.points if point.problems]
    if failed:
        blocks += [Heading("Not solved"), Bullets(tuple(map(_failure, failed[:_MOST_ROWS])))]
    return [*blocks, Caution(CAUTION)]


def _head(path: str) -> str:
    """Name a parameter above its values, by the end of its path: ``penetrance, 1 copy``."""
    whole, _, last = path.rpartition(".")
    if not last.isdigit():
        return last
    kind, _, sex = whole.removeprefix("condition.").partition(".")
    return f"{kind}, {last} {'copy' if last == '1' else 'copies'}{f', {sex}' if sex else ''}"


def _own(variation: Variation) -> str:
    if variation.own is None:
        return ", which this case does not give"
    return f", which is {variation.own} in this case"


def _failure(point: VariedPoint) -> str:
    return f"{point.value}: {point.reason}"


def _thinned(variation: Variation) -> list[VariedPoint]:
    points = list(variation.points)
    if len(points) <= _MOST_ROWS:
        return points
    places = {round(i * (len(points) - 1) / (_MOST_ROWS - 1)) for i in range(_MOST_ROWS)}
    return [point for i, point in enumerate(points) if i in places or point.own]


def _columns(variation: Variation, case: Case) -> list[tuple[str, int]]:
    """Return a heading and the number of the question for each column of chances."""
    found: list[tuple[str, int]] = []
    for number, question in enumerate(case.questions):
        words = varied_in_words(question_in_words, number, variation, case)
        if question.ask == "genotype":
            found += [(f"{words} {copies.capitalize()}.", number) for copies in COPIES]
        else:
            found.append((words, number))
    return found


def varied_in_words(
    in_words: Callable[[Question, Case], str], number: int, variation: Variation, case: Case
) -> str:
    """Put a question of the case, or its event, into words that hold for every value."""
    told = _without_varied_facts(variation, case)
    words = in_words(told.questions[number], told)
    return words.replace(f"the age of {_VARIED}", _VARIED.text)


def _without_varied_facts(variation: Variation, case: Case) -> Case:
    """Return the case in words, with ``the varied age`` for each age that varies.

    Of whom the phenotype varies nothing is said of it.
    """
    people, questions = list(case.people), list(case.questions)
    for name in variation.parameters:
        match Parameter(case, name).steps:
            case ("people", int(place), "age") if people[place].age is not None:
                people[place] = replace(people[place], age=_VARIED)
            case ("people", int(place), "affected"):
                people[place] = replace(people[place], affected=None)
            case ("questions", int(place), "by_age") if questions[place].by_age is not None:
                questions[place] = replace(questions[place], by_age=_VARIED)
    return replace(case, people=tuple(people), questions=tuple(questions))


def _chances(point: VariedPoint, columns: int) -> list[Chance | None]:
    found: list[Chance | None] = []
    for answer in point.answers:
        found += answer_chances(answer)
    return found or [None] * columns


def answer_chances(answer: Answer) -> list[Chance | None]:
    """Return the chance of an answer, or the three of a distribution."""
    return [answer.probability] if answer.distribution is None else list(answer.distribution)


# --- tables and plots ---------------------------------------------------------------------


def variation_csv(variation: Variation, case: Case) -> str:
    """Return the points as comma-separated values.

    A column for the value as given, one for it as a decimal, two for each chance (decimal and
    exact fraction), and one for problems.  The first row names the columns.
    """
    columns = _columns(variation, case)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    heads = [head for words, _ in columns for head in (words, f"{words} (exact)")]
    writer.writerow([" and ".join(variation.parameters), "decimal", *heads, "problem"])
    for point in variation.points:
        cells: list[str] = []
        for chance in _chances(point, len(columns)):
            exact = None if chance is None else chance.exact
            cells.append("" if chance is None else repr(chance.value))
            cells.append("" if exact is None else exact_text(exact))
        decimal = "" if point.number is None else repr(float(point.number))
        writer.writerow([point.value, decimal, *cells, point.reason])
    return text.getvalue()


def variation_scene(variation: Variation, case: Case, *, log: bool = False) -> Scene:
    """Plot the chances against the values; raises InputError where there is nothing to plot."""
    columns = _columns(variation, case)
    numbers = [point for point in variation.points if point.number is not None]
    solved = [point for point in numbers if point.answers]
    parameter = " and ".join(variation.parameters)
    if not columns or len(solved) < 2:
        raise InputError(
            [Problem(parameter, "a plot needs a question and at least two solved values")]
        )
    if log and any(point.number is not None and point.number <= 0 for point in numbers):
        raise InputError([Problem("log", "a logarithmic axis needs values above 0")])
    ordered = sorted(numbers, key=lambda point: point.number or 0)
    values = [(point, _chances(point, len(columns))) for point in ordered]
    series = [
        Series(
            _event(words, number, variation, case),
            tuple(
                (float(point.number or 0), None if chances[i] is None else chances[i].value)  # type: ignore[union-attr]
                for point, chances in values
            ),
        )
        for i, (words, number) in enumerate(columns)
    ]
    title = title_of(case)
    one = f": {series[0].name}" if len(series) == 1 else ""
    own = None if variation.own is None else number_of(variation.own)
    return line_chart(
        series,
        " and ".join(parameter_in_words(name, case) for name in variation.parameters),
        "chance",
        log_x=log,
        y_text=lambda share: percent(Fraction(f"{share:.6g}"), about=""),
        mark=None if own is None else (float(own), f"{variation.own} (case)"),
        title=title + one,
        desc=_description(series, parameter),
    )


def _event(words: str, number: int, variation: Variation, case: Case) -> str:
    if case.questions[number].ask == "genotype":
        return words
    return varied_in_words(event_in_words, number, variation, case)


def _description(series: list[Series], parameter: str) -> str:
    parts = []
    for one in series:
        known = [(x, y) for x, y in one.points if y is not None]
        (first, low), (last, high) = known[0], known[-1]
        parts.append(
            f"The chance that {one.name} goes from {low:.4g} at {first:.4g} to {high:.4g} at "
            f"{last:.4g}."
        )
    return f"Chances against {parameter}. {' '.join(parts)}"
