"""What Two-Thirds does, as plain functions from values to values.

The command line, the app and notebooks stand on these, and nothing below imports them.  Each
function imports what it needs when it is called, so that a small job starts fast.  All of them
raise `risk.problems.RiskError` (with the exit status it leads to) for what a user can mend.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from os import PathLike
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal, get_args

if TYPE_CHECKING:
    from pandas import DataFrame

    from risk.case.model import Case
    from risk.document.blocks import Document
    from risk.document.report import Dependence, Findings
    from risk.model.answers import Chance, Solution
    from risk.problems import Problem
    from risk.render.pdf_sheets import PageSize
    from risk.scene.shapes import Scene
    from risk.teaching.case_names import CaseNames
    from risk.teaching.class_marks import Marked, Summary
    from risk.teaching.crossing import Cross
    from risk.teaching.frequency_tree import FrequencyTree
    from risk.teaching.mark import Mark
    from risk.teaching.slip_kind import Slip
    from risk.teaching.testcross import ParentChances
    from risk.teaching.vary import Variation
    from risk.wording.labels import Labels
    from risk.workings.step import Rung, Working

#: ``exact`` answers with fractions where the inputs allow it; ``float`` is for huge families.
Arithmetic = Literal["exact", "float"]
#: What maps a function over work, in order, as `map` does.
Each = Callable[[Callable[[Any], Any], Iterable[Any]], Iterable[Any]]
#: What hears of signs of a document that no face has.
Warn = Callable[[str], None]
#: In larger families the tables of dependences are computed in floating point.
_EXACT_DEPENDENCES = 60


def load(content: bytes | str) -> Case:
    """Read and validate the case file `content` (JSON text, or its UTF-8 bytes).

    Raises `InputError` with every problem found.
    """
    from risk.case.read import read_case

    return read_case(content)


def read(path: str | PathLike[str]) -> Case:
    """Read and validate the case file at `path`.

    Raises `InputError` with every problem found, or when the file cannot be read.
    """
    from risk.problems import InputError, Problem

    try:
        with open(path, "rb") as file:
            content = file.read()
    except OSError as error:
        raise InputError([Problem(str(path), error.strerror or str(error))]) from None
    return load(content)


def example(name: str) -> Case:
    """Return the bundled case `name`, such as ``"healthy-sister"``."""
    from risk.bundled import bundled_cases
    from risk.problems import InputError, Problem, did_you_mean, shown

    cases = bundled_cases()
    if name not in cases:
        message = f"no bundled case {shown(name)}{did_you_mean(name, cases)}"
        raise InputError([Problem("", message)])
    return read(cases[name])


def check(content: bytes | str) -> tuple[Problem, ...]:
    """Return everything that is wrong with the case file `content`; empty where nothing is."""
    from risk.problems import InputError

    try:
        load(content)
    except InputError as error:
        return error.problems
    return ()


def remarks(case: Case) -> tuple[Problem, ...]:
    """Return what is worth a second look in a sound case, though nothing is wrong with it."""
    from risk.case.remarks import remarks as look

    return tuple(look(case))


def solve(case: Case, arithmetic: Arithmetic = "exact") -> Solution:
    """Answer every question of `case`, and every person's chances given all the evidence.

    Raises `ImpossibleEvidence` when the facts cannot all be true, and `TooLarge` when the
    family is too interlocked to solve exactly.
    """
    from risk.model.solve import solve as solve_case
    from risk.wording.impossible import conflicts_in_words

    _known("arithmetic", arithmetic, get_args(Arithmetic))
    with conflicts_in_words(case):
        return solve_case(case, arithmetic)


def _known(argument: str, word: str, known: Iterable[str]) -> None:
    """Raise `InputError` where `word` is none of the words that `argument` can be."""
    from risk.problems import InputError, Problem, did_you_mean, shown

    words = list(known)
    if word not in words:
        mend = did_you_mean(word, words) or f"; it can be {' or '.join(words)}"
        raise InputError([Problem(argument, f"there is no {shown(word)}{mend}")])


def _question(case: Case, index: int) -> int:
    """Return `index`; raises `InputError` where it is the number of no question of `case`."""
    from risk.problems import InputError, Problem

    many = len(case.questions)
    if 0 <= index < many:
        return index
    numbered = f"this case asks {many}: the first has the number 0, the last {many - 1}"
    if many < 2:
        numbered = "this case asks one, whose number is 0" if many else "this case asks none"
    raise InputError([Problem("question", f"there is no question {index}; {numbered}")])


def answers_table(case: Case, solution: Solution | None = None) -> DataFrame:
    """Return the answers of `case` as a pandas table; see `risk.render.frame.answers_frame`."""
    from risk.render.frame import answers_frame

    return answers_frame(case, solution or solve(case))


def people_table(case: Case, solution: Solution | None = None) -> DataFrame:
    """Return everyone's chances as a pandas table; see `risk.render.frame.people_frame`."""
    from risk.render.frame import people_frame

    return people_frame(solution or solve(case))


def explain(case: Case, arithmetic: Arithmetic = "exact") -> tuple[Working, ...]:
    """Return the working of every question of `case`, in order; errors as `solve`."""
    from risk.wording.impossible import conflicts_in_words
    from risk.workings.derive import explain as explain_case

    _known("arithmetic", arithmetic, get_args(Arithmetic))
    with conflicts_in_words(case):
        return explain_case(case, arithmetic)


#: What `draw` can write under each person, and the question that answers it.
RISKS: Mapping[str, str] = MappingProxyType(
    {
        "carrier": "carrier",
        "disease_allele": "disease_allele",
        "affected": "will_be_affected",
    }
)


def draw(case: Case, risk: str | None = None) -> Scene:
    """Return the family tree; with `risk` (of `RISKS`), each person's chance under the symbol.

    Where `risk` is given, people who are carriers for certain are marked as such, and the errors
    are those of `solve`.
    """
    from risk.scene.tree import draw_tree

    if risk is None:
        return draw_tree(case)
    _known("risk", risk, RISKS)
    labels, carriers = _risks(case, risk)
    lines = {id: (text,) for id, text in labels.texts.items()}
    return draw_tree(
        case,
        labels=lines,
        labels_heard=labels.words,
        labels_mean=labels.means,
        carriers=carriers,
    )


def _risks(case: Case, risk: str) -> tuple[Labels, frozenset[str]]:
    """Return each person's chance in words, and who is a carrier for certain."""
    from dataclasses import replace

    from risk.case.model import Question
    from risk.model.answers import certain_carriers
    from risk.wording.labels import answer_labels, carrier_labels

    ask = RISKS[risk]
    questions = () if ask == "carrier" else tuple(Question(ask, person=p.id) for p in case.people)
    solution = solve(replace(case, questions=questions))
    if ask == "carrier":
        labels = carrier_labels(case, solution.people)
    else:
        answered = zip(case.people, solution.answers, strict=True)
        found = {p.id: a.probability for p, a in answered if a.probability is not None}
        labels = answer_labels(ask, found)
    return labels, certain_carriers(case, solution.people)


def cross(
    mother: str,
    father: str,
    *,
    affected: str | None = None,
    then: str | None = None,
    offspring: int | None = None,
    seed: int = 0,
    observed: str | None = None,
) -> Cross:
    """Cross two genotypes such as ``Aa``, or on the X ``X^A X^a`` and ``X^A Y``; follow them.

    `affected` is the trait that a condition on the X is: ``recessive`` (unless said) or
    ``dominant``.  `then` is ``F2``, ``backcross:AA:3``, ``selfing:5`` or ``sibs:5``; `offspring`
    draws so many of the last generation with `seed`; `observed` (``305:95``, dominant before
    recessive; on the X four counts, of daughters and then of sons) tests counts of it for fit.
    Raises `InputError` with every problem found, each named by its argument, and
    `ImpossibleEvidence` for counts that the cross cannot give.
    """
    from risk.teaching import crossing

    return crossing.cross(
        mother,
        father,
        affected=affected,
        then=then,
        offspring=offspring,
        seed=seed,
        observed=observed,
    )


def infer_parent(observed: str, prior: str = "1/2", *, on_x: bool = False) -> ParentChances:
    """Return the chances that a dominant parent is heterozygous, given its offspring.

    `observed` counts the offspring with a homozygous recessive parent (``8:0``, dominant before
    recessive) and `prior` is the chance, before them, that the parent is heterozygous; with `on_x`
    this is a mother and the gene on the X (see `risk.teaching.testcross.infer_parent`).  Raises
    `InputError`, and `ImpossibleEvidence` for a recessive offspring that the prior rules out.
    """
    from risk.teaching import testcross

    return testcross.infer_parent(*testcross.read_test(observed, prior), on_x)


def cross_figure(crossed: Cross) -> Scene:
    """Draw the Punnett square; where offspring were drawn, their share as they are born."""
    from risk.document.cross_figure import running_scene, square_scene

    if crossed.simulation is None:
        return square_scene(crossed.square)
    return running_scene(crossed.simulation, crossed.expected.phenotypes["dominant"])


def report(
    cases: Sequence[Case],
    *,
    working: bool = True,
    blank: bool = False,
    page: PageSize = "a4",
    title: str = "",
    author: str = "",
    date: str = "",
    files: Sequence[str] = (),
    each: Each = map,
    warn: Warn | None = None,
) -> bytes:
    """Return the summary of one case, or of several in one document, as a PDF.

    Without `working` it is a summary of a page or so; `blank` leaves lines in the place of the
    answers.  `date`, `author` and `files`, the name of each case's file, are printed as given, so
    that equal arguments give equal bytes.  `each` is what maps the work over the cases (several
    processes, for one), and `warn` hears of signs that no face has.  Errors as `solve`.
    """
    from risk.document.report import Layout, case_report

    full = working and not blank
    work = partial(findings, working=full, dependence=full)
    found = list(each(work, zip(cases, files or [""] * len(cases), strict=True)))
    layout = Layout(working=working, blank=blank, title=title, author=author, date=date)
    return _pdf(case_report(found, layout), page, warn)


def _pdf(document: Document, page: PageSize, warn: Warn | None) -> bytes:
    from risk.render.pdf import document_to_pdf, warnings_of
    from risk.render.pdf_sheets import PAGES

    _known("page", page, PAGES)
    content = document_to_pdf(document, page)
    if warn:
        for warning in warnings_of(document):
            warn(warning)
    return content


def findings(
    case_of_file: tuple[Case, str], *, working: bool = True, dependence: bool = True
) -> Findings:
    """Return what a page says about one case, with the name of its file; errors as `solve`."""
    from risk.document.family import as_printed
    from risk.document.report import Findings

    case, file = case_of_file
    return Findings(
        case,
        solve(case),
        explain(as_printed(case)) if working else (),
        dependences(case) if dependence else (),
        file,
    )


def dependences(case: Case) -> tuple[Dependence, ...]:
    """Return how the answers change with the least certain inputs of `case`.

    An input that changes no answer is left out.
    """
    from risk.document.report import Dependence
    from risk.teaching.uncertain import uncertain_inputs

    found = (
        Dependence(each.name, tuple((text, own, _chances(it)) for text, own, it in each.variants))
        for each in uncertain_inputs(case)
    )
    return tuple(each for each in found if len({chances for _, _, chances in each.rows}) > 1)


def _chances(case: Case) -> tuple[Chance | None, ...]:
    """The chance of each question; None where it has none or the facts have become impossible.

    Large families are solved in floating point: nobody reads their fractions in a table.
    """
    from risk.model.solve import answers
    from risk.problems import ImpossibleEvidence

    arithmetic: Arithmetic = "exact" if len(case.people) <= _EXACT_DEPENDENCES else "float"
    try:
        return tuple(answer.probability for answer in answers(case, arithmetic))
    except ImpossibleEvidence:
        return tuple(None for _ in case.questions)


def worksheet(
    cases: Sequence[Case],
    *,
    page: PageSize = "a4",
    title: str = "",
    author: str = "",
    date: str = "",
    warn: Warn | None = None,
) -> bytes:
    """Return the cases as printed problems, with room to write, as a PDF; `warn` as `report`."""
    from risk.document.report import Layout
    from risk.document.worksheet import worksheet as problems

    return _pdf(problems(cases, Layout(title=title, author=author, date=date)), page, warn)


def answer_key(
    cases: Sequence[Case],
    *,
    page: PageSize = "a4",
    title: str = "",
    author: str = "",
    date: str = "",
    each: Each = map,
    warn: Warn | None = None,
) -> bytes:
    """Return the answers to the problems of `worksheet` with their workings, as a PDF.

    `each`, `warn` and errors as for `report`.
    """
    from risk.document.report import Layout
    from risk.document.worksheet import answer_key as key

    found = list(each(partial(findings, dependence=False), [(case, "") for case in cases]))
    return _pdf(key(found, Layout(title=title, author=author, date=date)), page, warn)


def frequency_trees(case: Case) -> tuple[FrequencyTree, ...]:
    """Return a tree of whole people for each result of a test with sensitivity and specificity.

    See `risk.teaching.frequency_tree.frequency_trees`; errors as `solve`.
    """
    from risk.teaching.frequency_tree import frequency_trees as of_case
    from risk.wording.impossible import conflicts_in_words

    with conflicts_in_words(case):
        return of_case(case)


def ladder(
    case: Case, question: int = 0, order: Sequence[str] | None = None, *, alone: bool = False
) -> tuple[Rung, ...]:
    """Return the evidence ladder of one question; see `risk.workings.ladder.ladder`."""
    from risk.wording.impossible import conflicts_in_words
    from risk.workings.ladder import ladder as climb

    with conflicts_in_words(case):
        return climb(case, _question(case, question), order, alone=alone)


def vary(
    case: Case,
    parameter: str | Sequence[str],
    values: Sequence[str] = (),
    arithmetic: Arithmetic = "exact",
) -> Variation:
    """Return the answers of `case` with each of `values` in the place that `parameter` names.

    `parameter` is a path of the case file (``condition.frequency.carrier``, ``II-2.age``) or a
    fact (``II-2.tests[0]``), which without `values` takes all it can.  Several are set alike.
    Raises `InputError` for a path that is not there; what is wrong at one value is said there.
    """
    from risk.teaching.vary import vary as vary_case

    _known("arithmetic", arithmetic, get_args(Arithmetic))
    return vary_case(case, parameter, values, arithmetic)


def spaced(start: str, stop: str, steps: int, *, log: bool = False) -> tuple[str, ...]:
    """Return `steps` values from `start` to `stop` for `vary`; see `risk.teaching.vary.spaced`."""
    from risk.teaching.vary import spaced as space

    return space(start, stop, steps, log=log)


def parameters(case: Case) -> list[str]:
    """Return the paths that `vary` can change in this case."""
    from risk.case.parameter import parameters as of_case

    return of_case(case)


def variation_figure(variation: Variation, case: Case, *, log: bool = False) -> Scene:
    """Plot a variation of `case`; raises `InputError` where there is nothing to plot."""
    from risk.document.variation import variation_scene

    return variation_scene(variation, case, log=log)


def slips(case: Case, question: int = 0) -> tuple[Slip, ...]:
    """Return the slips that can be made in a question; see `risk.teaching.slips.slips`."""
    from risk.teaching.slips import slips as of_case
    from risk.wording.impossible import conflicts_in_words

    with conflicts_in_words(case):
        return of_case(case, _question(case, question))


def mark(case: Case, answer: str, question: int = 0) -> Mark:
    """Mark an answer as a student typed it; see `risk.teaching.mark.mark`.

    Raises `InputError` where the answer cannot be read or there is no such question, and as
    `solve`.
    """
    from risk.teaching.mark import mark as mark_answer
    from risk.wording.impossible import conflicts_in_words

    with conflicts_in_words(case):
        return mark_answer(case, answer, _question(case, question))


def mark_class(
    content: bytes,
    cases: Mapping[str, Case] | CaseNames,
    count_from: int | None = 0,
    from_one: str = "count_from=1",
) -> tuple[tuple[Marked, ...], Summary]:
    """Mark a table of answers (CSV with student, case, question, answer), and summarise it.

    One student a row is read too; see `risk.teaching.class_table.read_answers`.
    `cases` are the cases by the names that the table may call them, and `count_from` is the number
    of a case's first question in the table; None takes 0 where a row names question 0, else 1.
    Where 1 seems to be meant and 0 is said, a note names `from_one` as the way to have it.  A row
    that cannot be marked says why; raises `InputError` where the table as a whole cannot be read,
    or None is given and some rows count from 0, others from 1.
    """
    from risk.teaching import class_marks
    from risk.teaching.case_names import CaseNames
    from risk.teaching.class_table import read_answers
    from risk.teaching.question_numbers import counted_from

    named = cases if isinstance(cases, CaseNames) else CaseNames(cases)
    rows = read_answers(content)
    first = counted_from(rows, named, from_one) if count_from is None else count_from
    marked = class_marks.mark_class(rows, named, first)
    return marked, class_marks.summarise(marked, named, first, from_one)


def slips_figure(summary: Summary) -> Scene:
    """Draw which slips a class makes as a chart of bars."""
    from risk.document.mark_figure import slips_scene

    return slips_scene(summary)


def practice(level: int, seed: int, count: int = 1, topic: str | None = None) -> tuple[Case, ...]:
    """Return `count` practice cases of a level (1 to 4), the same for the same seed.

    No two of them are alike.  Raises `InputError` for a level or topic that there is not, and
    where fewer different cases of the kind exist.
    """
    from risk.teaching.practice import practice as make

    return make(level, seed, count, topic)


def topics(level: int) -> tuple[str, ...]:
    """Return the topics of practice cases of a level."""
    from risk.teaching.practice import topics as of_level

    return of_level(level)
