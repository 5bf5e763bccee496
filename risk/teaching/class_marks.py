"""Marking a whole class: a table of answers in, a table of verdicts and its summary out.

What a class hands in is messy: another separator, a decimal comma, blank lines, a case that
nobody set.  Each row is marked or says what is wrong with it; no row stops the others.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

from risk.case.model import Case
from risk.problems import InputError, Problem, RiskError, did_you_mean, shown
from risk.teaching.case_names import CaseNames, spaced
from risk.teaching.class_table import Answered
from risk.teaching.mark import Mark, mark
from risk.teaching.slips import NAMES
from risk.wording.questions import LETTERS, question_letter

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


def numbered(rows: Sequence[Answered]) -> bool:
    """Tell whether some row calls its question by a number, and not by a letter."""
    return bool(_numbers(rows))


def counted_from(
    rows: Sequence[Answered],
    cases: Mapping[str, Case] | CaseNames,
    from_one: str,
) -> int:
    """Return 0 where a row names question 0, else 1, the first number of every list on paper.

    Raises InputError where the numbers fit neither, so that one stray number does not give every
    answer of a class to the wrong question; `from_one` is how to have them counted from 1.
    """
    if 0 not in _numbers(rows):
        return 1
    case_of = _case_finder(rows, cases)
    asked = []
    for row in rows:
        try:
            asked.append((row.line, _written(row.question), len(case_of(row)[1].questions)))
        except InputError:
            continue
    if clash := _two_ways(asked):
        message = f"{clash}; mend the row that is wrong, or have all counted from 1 ({from_one})"
        raise InputError([Problem("", message)])
    return 0


def _two_ways(asked: Sequence[tuple[int, int, int]]) -> str:
    """Say which rows count questions from 0 and which from 1, where some do either; else "".

    Of each row that names a number: its line, that number, and how many questions the case has.
    """
    first = [line for line, number, _ in asked if number == 0]
    beyond = [(line, number) for line, number, many in asked if 0 < number == many]
    if not first or not beyond:
        return ""
    last = beyond[0][1]
    after = [line for line, number in beyond if number == last]
    return (
        f"{_lines(first)} question 0, and {_lines(after)} question {last} of a case that has "
        f"{last}: questions cannot be counted both from 0 and from 1"
    )


#: So many lines are named that count in a way of their own.
_MOST_LINES = 3


def _lines(lines: Sequence[int]) -> str:
    """Name the lines, with the verb: ``line 3 names``, ``lines 3, 5, 8 and 4 others name``."""
    if len(lines) == 1:
        return f"line {lines[0]} names"
    named = [str(line) for line in lines[:_MOST_LINES]]
    more = len(lines) - len(named)
    if more:
        named[-1] += f" and {more:,} other{'s' if more > 1 else ''}"
    return f"lines {', '.join(named)} name"


def _numbers(rows: Sequence[Answered]) -> set[int]:
    """Return the numbers that rows give their questions."""
    found = set()
    for row in rows:
        with suppress(InputError):
            found.add(_written(row.question))
    return found


def mark_class(
    rows: Sequence[Answered], cases: Mapping[str, Case] | CaseNames, count_from: int = 0
) -> tuple[Marked, ...]:
    """Mark every row; `cases` are the cases by name, a case by several if need be.

    A name is found whatever its capitals and with or without ``.json``.  An empty case stands
    for the only one there is, an empty question for the first.  A case named "" has no name of its
    own, and the one that the table gives it is taken.  Questions are numbered from `count_from`
    or called by the letters of a worksheet, (a), (b) and so on.
    """
    case_of = _case_finder(rows, cases)
    alone = _of_one_question(cases, count_from)
    return tuple(_marked(row, case_of, count_from, alone) for row in rows)


def _of_one_question(
    cases: Mapping[str, Case] | CaseNames, count_from: int
) -> dict[int, tuple[str, Case]]:
    """Return the cases with their first names by number, where several ask one question each."""
    named = cases.cases if isinstance(cases, CaseNames) else cases
    first = {id(case): (name, case) for name, case in reversed([*named.items()])}
    order = [first[place] for place in dict.fromkeys(map(id, named.values()))]
    if len(order) < 2 or any(len(case.questions) != 1 for _, case in order):
        return {}
    return dict(enumerate(order, count_from))


#: The first name of the case of a row, and that case; raises InputError where it is not clear.
CaseOf = Callable[[Answered], tuple[str, Case]]


def _case_finder(rows: Sequence[Answered], cases: Mapping[str, Case] | CaseNames) -> CaseOf:
    named = cases if isinstance(cases, CaseNames) else CaseNames(cases, {})
    names = {spaced(name): name for name in named.cases}
    for name in named.cases:
        names.setdefault(_plain(name), name)
    if only := _one_name(rows, named.cases):
        names.setdefault(_plain(only), "")
    first: dict[int, str] = {}
    for name, case in named.cases.items():
        first.setdefault(id(case), name)

    def case_of(row: Answered) -> tuple[str, Case]:
        case = _case(row, named, names, first)
        return first[id(case)], case

    return case_of


def _plain(name: str) -> str:
    return re.sub(r"\.jsonl?$", "", spaced(name)).strip()


def _one_name(rows: Sequence[Answered], cases: Mapping[str, Case]) -> str:
    """Return what a table calls the one case that has no name of its own; "" for several names."""
    called = {_plain(row.case): row.case for row in rows if row.case}
    return next(iter(called.values())) if "" in cases and len(called) == 1 else ""


def _marked(
    row: Answered, case_of: CaseOf, count_from: int, alone: Mapping[int, tuple[str, Case]]
) -> Marked:
    name, number = "", None
    try:
        if alone and not row.case.strip() and _numbers([row]):
            (name, case), number = _by_number(row, alone), 0
            return Marked(row, mark(case, row.answer, number), "", name, number)
        name, case = case_of(row)
        number = _question(row, len(case.questions), count_from)
        return Marked(row, mark(case, row.answer, number), "", name, number)
    except RiskError as error:
        problem = "; ".join(each.message for each in error.problems)
        return Marked(row, None, problem, name, number)


def _by_number(row: Answered, alone: Mapping[int, tuple[str, Case]]) -> tuple[str, Case]:
    """Return the case that a number alone means, with its name."""
    number = _written(row.question)
    if number not in alone:
        known = f"questions here are numbered {min(alone)} to {max(alone)}"
        raise InputError([Problem("question", f"there is no question {number}; {known}")])
    return alone[number]


def _case(
    row: Answered, named: CaseNames, names: Mapping[str, str], first: Mapping[int, str]
) -> Case:
    for name in (spaced(row.case), _plain(row.case)):
        if meant := named.unclear.get(name):
            message = f"{shown(row.case)} can mean {meant}: write one of these names"
            raise InputError([Problem("case", message)])
        if name and name in names:
            return named.cases[names[name]]
    if not spaced(row.case) and len(first) == 1:
        return next(iter(named.cases.values()))
    known = _known(list(first.values()))
    if not spaced(row.case):
        raise InputError([Problem("case", f"no case is given; {known}")])
    hint = did_you_mean(row.case, filter(None, names.values()))
    known = f" {known[0].upper()}{known[1:]}" if hint else f"; {known}"
    raise InputError([Problem("case", f"there is no case {shown(row.case)}{hint}{known}")])


#: So many cases are listed where one is not found.
_MOST_CASES = 12


def _known(names: Sequence[str]) -> str:
    """Say what the cases are called, each by its first name."""
    if not names:
        return "the files given hold no case"
    if names == [""]:
        return "there is one case here: leave the column case out, or empty"
    if len(names) == 1:
        return f"the only case is {names[0]}"
    several = list(names[:_MOST_CASES])
    if len(names) > _MOST_CASES:
        several.append(f"{len(names) - _MOST_CASES:,} more")
    return f"the cases are {', '.join(several[:-1])} and {several[-1]}"


def _question(row: Answered, many: int, count_from: int) -> int:
    """Return the number of the question, from 0, of a case that asks so `many`."""
    text = row.question.strip().lower()
    if letter := _LETTER.fullmatch(text):
        number = ord(letter[1]) - ord("a")
        last = question_letter(min(many, LETTERS) - 1)
        known = "lettered (a)" + (f" to {last}" if many > 1 else " only")
    elif not text:
        return 0
    else:
        number = _written(row.question) - count_from
        many_here = f"{count_from} to {many - 1 + count_from}"
        known = f"numbered {many_here if many > 1 else f'{count_from} only'}"
    if not 0 <= number < many:
        known = f"questions here are {known}" if many else "this case asks none"
        asked = f"({letter[1]})" if letter else str(number + count_from)
        raise InputError([Problem("question", f"there is no question {asked}; {known}")])
    return number


_LETTER = re.compile(r"(?:question |q)?\s*\(?([a-pr-z])\s*[.):]?")


def _written(question: str) -> int:
    """Return the number that a cell names, as it stands there."""
    text = question.strip().lower().removeprefix("question").removeprefix("q").strip(" .#()")
    if re.fullmatch(r"\d{1,6}(\.0+)?", text):
        return int(float(text))
    message = f"{shown(question)} is not the number of a question"
    raise InputError([Problem("question", message)])


def summarise(
    marked: Sequence[Marked],
    cases: Mapping[str, Case] | CaseNames,
    count_from: int,
    from_one: str,
) -> Summary:
    """Count verdicts and slips, in all and for each question; `cases` as in `mark_class`.

    `from_one` is how whoever reads the notes can have questions counted from 1.
    """
    questions: dict[tuple[str, int], list[Marked]] = {}
    named = cases.cases if isinstance(cases, CaseNames) else cases
    order = list(dict.fromkeys((*named, *(each.case for each in marked))))
    for each in marked:
        if each.mark is not None and each.number is not None:
            questions.setdefault((each.case, each.number), []).append(each)
    notes = [
        *_taken(marked, named),
        *_numbering(marked, named, count_from, from_one),
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
    only = _one_name([each.row for each in marked], cases)
    if only and _plain(only) not in map(_plain, cases):
        yield f"The table calls the case {shown(only)}. It was marked against the case chosen here."


def _numbering(
    marked: Sequence[Marked], cases: Mapping[str, Case], count_from: int, from_one: str
) -> Iterator[str]:
    """Say where the table seems to count its questions from 1, and they are taken from 0."""
    if count_from:
        return
    numbers, blank, beyond, asked = set(), False, False, []
    for each in marked:
        if each.case not in cases:
            continue
        many = len(cases[each.case].questions)
        if not each.row.question.strip():
            blank = blank or many > 1
            continue
        try:
            number = _written(each.row.question)
        except InputError:
            continue
        beyond = beyond or number == many
        numbers.add(number)
        asked.append((each.row.line, number, many))
    from_zero = sum(number == 0 for _, number, _ in asked)
    if 0 < from_zero < sum(number == many for _, number, many in asked):
        clash = _two_ways(asked)
        yield (
            f"{clash[:1].upper()}{clash[1:]}. They were counted from 0 here, so that these marks "
            f"seem to be of the wrong questions; mark again, counting from 1 ({from_one})."
        )
    elif numbers and 0 not in numbers and (beyond or not blank):
        yield (
            "Questions are numbered from 0 here, and no row of the table names question 0: its "
            "numbers seem to count from 1. If so, these marks are of the wrong questions; "
            f"mark again, counting from 1 ({from_one})."
        )


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
