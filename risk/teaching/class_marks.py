"""Marking a whole class: a table of answers in, a table of verdicts and its summary out.

What a class hands in is messy: another separator, a decimal comma, blank lines, a case that
nobody set.  Each row is marked or says what is wrong with it; no row stops the others.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from risk.case.model import Case
from risk.problems import RiskError, in_one_line, shown
from risk.teaching.case_names import CaseNames, CaseOf, case_finder, one_name, plain
from risk.teaching.class_table import Answered
from risk.teaching.mark import Mark, mark
from risk.teaching.question_numbers import no_question, numbering, numbers, question_of, written
from risk.teaching.slips import NAMES
from risk.wording.impossible import conflicts_in_words

#: Verdicts in the order of a summary; ``not marked`` is a row with a problem.
VERDICTS = ("right", "rounded", "slip", "wrong", "not marked")


@dataclass(frozen=True, slots=True)
class Marked:
    """A row with its mark, or with the problem that kept it from being marked.

    `case` is the first name of the case, whichever its row calls it by, and `number` the
    question from 0; "" and None where they are not clear.
    """

    row: Answered
    mark: Mark | None = None
    problem: str = ""
    case: str = ""
    number: int | None = None

    @property
    def verdict(self) -> str:
        return self.mark.verdict if self.mark else "not marked"


@dataclass(frozen=True, slots=True)
class Summary:
    """How a class did: how many answers of each verdict, and how many show each slip.

    `verdicts` and `slips` list (name, number) with only what occurs, slips the most frequent
    first.  `questions` has the same for each (case, question), cases in the order in which they
    were given and questions from 0.  `notes` say what seems wrong with the table as a whole, and
    `count_from` is the number that the first question of a case was taken to have.
    """

    students: int
    answers: int
    verdicts: tuple[tuple[str, int], ...]
    slips: tuple[tuple[str, int], ...]
    questions: tuple[tuple[str, str, Summary], ...] = ()
    notes: tuple[str, ...] = ()
    count_from: int = 0

    @property
    def right(self) -> int:
        """How many answers are right, also at the digits given."""
        verdicts = dict(self.verdicts)
        return verdicts.get("right", 0) + verdicts.get("rounded", 0)


def mark_class(
    rows: Sequence[Answered], cases: CaseNames, count_from: int = 0
) -> tuple[Marked, ...]:
    """Mark every row; `cases` are the cases by name, a case by several if need be.

    A name is found whatever its capitals and with or without ``.json``.  An empty case stands
    for the only one there is, an empty question for the first.  A case named "" has no name of its
    own, and the one that the table gives it is taken.  Questions are numbered from `count_from`
    or called by the letters of a worksheet, (a), (b) and so on.
    """
    case_of = case_finder(rows, cases)
    alone = _of_one_question(cases.cases, count_from)
    return tuple(_marked(row, case_of, count_from, alone) for row in rows)


def _of_one_question(cases: Mapping[str, Case], count_from: int) -> dict[int, tuple[str, Case]]:
    """Return the cases with their first names by number, where several ask one question each."""
    first = {id(case): (name, case) for name, case in reversed([*cases.items()])}
    order = [first[place] for place in dict.fromkeys(map(id, cases.values()))]
    if len(order) < 2 or any(len(case.questions) != 1 for _, case in order):
        return {}
    return dict(enumerate(order, count_from))


def _marked(
    row: Answered, case_of: CaseOf, count_from: int, alone: Mapping[int, tuple[str, Case]]
) -> Marked:
    name, number = "", None
    try:
        if alone and not row.case.strip() and numbers([row]):
            (name, case), number = _by_number(row, alone), 0
        else:
            name, case = case_of(row)
            number = question_of(row, len(case.questions), count_from)
        with conflicts_in_words(case):
            return Marked(row, mark(case, row.answer, number), "", name, number)
    except RiskError as error:
        problem = in_one_line((each.message for each in error.problems), error.conflict)
        return Marked(row, None, problem, name, number)


def _by_number(row: Answered, alone: Mapping[int, tuple[str, Case]]) -> tuple[str, Case]:
    """Return the case that a number alone means, with its name."""
    number = written(row.question)
    if number not in alone:
        known = f"questions here are numbered {min(alone)} to {max(alone)}"
        raise no_question(str(number), known)
    return alone[number]


def summarise(
    marked: Sequence[Marked],
    cases: CaseNames,
    count_from: int,
    from_one: str,
) -> Summary:
    """Count verdicts and slips, in all and for each question; `cases` as in `mark_class`.

    `from_one` is how whoever reads the notes can have questions counted from 1.
    """
    questions: dict[tuple[str, int], list[Marked]] = {}
    named = cases.cases
    order = list(dict.fromkeys((*named, *(each.case for each in marked))))
    for each in marked:
        if each.mark is not None and each.number is not None:
            questions.setdefault((each.case, each.number), []).append(each)
    asked = [(each.row, len(named[each.case].questions)) for each in marked if each.case in named]
    notes = [
        *_taken(marked, named),
        *numbering(asked, count_from, from_one),
        *_doubled(marked, count_from),
    ]
    summary = _count(
        marked,
        tuple(
            (name, str(number), _count(rows))
            for (name, number), rows in sorted(
                questions.items(), key=lambda item: (order.index(item[0][0]), item[0][1])
            )
        ),
        tuple(notes),
    )
    return replace(summary, count_from=count_from)


def _taken(marked: Sequence[Marked], cases: Mapping[str, Case]) -> Iterator[str]:
    """Say which name was taken to be that of the one case that has none, or another title."""
    only = one_name([each.row for each in marked], cases)
    if only and plain(only) not in map(plain, cases):
        yield f"The table calls the case {shown(only)}. It was marked against the case chosen here."


#: So many students with several answers to a question are named.
_MOST_NAMED = 10


def _doubled(marked: Sequence[Marked], count_from: int) -> Iterator[str]:
    """Name the students with several answers to one question; every answer is counted."""
    lines: dict[tuple[str, str, int], list[str]] = {}
    for each in marked:
        if each.row.student and each.number is not None:
            key = (each.row.student, each.case, each.number)
            lines.setdefault(key, []).append(str(each.row.line))
    several = [(key, where) for key, where in lines.items() if len(where) > 1]
    for (student, case, number), where in several[:_MOST_NAMED]:
        of = f" of {case}" if case else ""
        yield (
            f"{student} has {len(where)} answers to question {number + count_from}{of}: lines "
            f"{', '.join(where)}. Each is counted."
        )
    more = len(several) - _MOST_NAMED
    if more == 1:
        yield "So has one other."
    elif more > 1:
        yield f"So have {more:,} others."


def _count(
    marked: Sequence[Marked],
    questions: tuple[tuple[str, str, Summary], ...] = (),
    notes: tuple[str, ...] = (),
) -> Summary:
    verdicts = Counter(each.verdict for each in marked)
    slips = Counter(name for each in marked if each.mark for name in each.mark.slips)
    return Summary(
        len({each.row.student for each in marked}),
        len(marked),
        tuple((name, verdicts[name]) for name in VERDICTS if verdicts[name]),
        tuple(
            sorted(
                ((name, slips[name]) for name in NAMES if slips[name]),
                key=lambda pair: (-pair[1], NAMES.index(pair[0])),
            )
        ),
        questions,
        notes,
    )


#: The columns of a table of marks.
MARK_COLUMNS = ("student", "case", "question", "answer", "verdict", "slips", "feedback", "problem")


def marks_table(marked: Sequence[Marked]) -> str:
    """Return the marks as comma-separated values, a row for each row of the table of answers.

    Cells that a spreadsheet would take for a formula get an apostrophe in front.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(MARK_COLUMNS)
    for each in marked:
        row = each.row
        slips = " ".join(each.mark.slips) if each.mark else ""
        feedback = each.mark.feedback if each.mark else ""
        cells = (row.student, row.case, row.question, row.answer, each.verdict, slips, feedback)
        writer.writerow([inert(cell) for cell in (*cells, each.problem)])
    return text.getvalue()


def inert(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell[:1] in "=+-@\t" and cell else cell
