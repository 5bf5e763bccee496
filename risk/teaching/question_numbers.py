"""What the rows of a table of answers call their questions, and from which number they count."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress

from risk.problems import InputError, Problem, shown
from risk.teaching.case_names import CaseNames, case_finder, unclear_heading
from risk.teaching.class_table import Answered
from risk.wording.questions import LETTERS, question_letter

_LETTER = re.compile(r"(?:question |q)?\s*\(?([a-pr-z])\s*[.):]?")


def question_of(row: Answered, many: int, count_from: int) -> int:
    """Return the number of the question, from 0, of a case that asks so `many`."""
    text = row.question.strip().lower()
    if letter := _LETTER.fullmatch(text):
        number = ord(letter[1]) - ord("a")
        last = question_letter(min(many, LETTERS) - 1)
        known = "lettered (a)" + (f" to {last}" if many > 1 else " only")
    elif not text and row.heading and many > 1:
        # Its cells may hold the answer to any of them, or to several.
        raise InputError([unclear_heading(row, f"none of the {many} questions of that problem")])
    elif not text:
        return 0
    else:
        number = written(row.question) - count_from
        many_here = f"{count_from} to {many - 1 + count_from}"
        known = f"numbered {many_here if many > 1 else f'{count_from} only'}"
    if not 0 <= number < many:
        known = f"questions here are {known}" if many else "this case asks none"
        asked = f"({letter[1]})" if letter else str(number + count_from)
        raise no_question(asked, known)
    return number


def no_question(asked: str, known: str) -> InputError:
    """Return the error that there is no such question; `known` says which there are."""
    return InputError([Problem("question", f"there is no question {asked}; {known}")])


def written(question: str) -> int:
    """Return the number that a cell names, as it stands there."""
    text = question.strip().lower().removeprefix("question").removeprefix("q").strip(" .#()")
    if re.fullmatch(r"\d{1,6}(\.0+)?", text):
        return int(float(text))
    message = f"{shown(question)} is not the number of a question"
    raise InputError([Problem("question", message)])


def numbers(rows: Sequence[Answered]) -> set[int]:
    """Return the numbers that rows give their questions."""
    found = set()
    for row in rows:
        with suppress(InputError):
            found.add(written(row.question))
    return found


def numbered(rows: Sequence[Answered]) -> bool:
    """Tell whether some row calls its question by a number, and not by a letter."""
    return bool(numbers(rows))


def counted_from(rows: Sequence[Answered], cases: CaseNames, from_one: str) -> int:
    """Return 0 where a row names question 0, else 1, the first number of every list on paper.

    Raises InputError where the numbers fit neither, so that one stray number does not give every
    answer of a class to the wrong question; `from_one` is how to have them counted from 1.
    """
    if 0 not in numbers(rows):
        return 1
    case_of = case_finder(rows, cases)
    asked = []
    for row in rows:
        try:
            asked.append((row.line, written(row.question), len(case_of(row)[1].questions)))
        except InputError:
            continue
    if clash := _two_ways(asked):
        message = f"{clash}; mend the row that is wrong, or have all counted from 1 ({from_one})"
        raise InputError([Problem("", message)])
    return 0


def numbering(
    asked: Sequence[tuple[Answered, int]], count_from: int, from_one: str
) -> Iterator[str]:
    """Say where a table seems to count its questions from 1, and they are taken from 0.

    `asked` are its rows, each with how many questions its case has.
    """
    if count_from:
        return
    blank = any(many > 1 and not row.question.strip() for row, many in asked)
    named = [(row.line, number, many) for row, many in asked for number in numbers([row])]
    found = {number for _, number, _ in named}
    from_zero = sum(number == 0 for _, number, _ in named)
    if 0 < from_zero < sum(number == many for _, number, many in named):
        clash = _two_ways(named)
        yield (
            f"{clash[:1].upper()}{clash[1:]}. They were counted from 0 here, so that these marks "
            f"seem to be of the wrong questions; mark again, counting from 1 ({from_one})."
        )
    elif found and 0 not in found and (not blank or any(n == many for _, n, many in named)):
        yield (
            "Questions are numbered from 0 here, and no row of the table names question 0: its "
            "numbers seem to count from 1. If so, these marks are of the wrong questions; "
            f"mark again, counting from 1 ({from_one})."
        )


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
