"""How each student of a class did over all questions that were asked, and one who practises."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from risk.case.model import Case
from risk.teaching.class_marks import VERDICTS, Marked, inert


@dataclass(frozen=True, slots=True)
class Attempt:
    """One answer to a practice case: what was typed, the value read, and its mark."""

    level: int
    seed: int
    topic: str | None
    question: int
    answer: str
    value: object
    verdict: str
    slips: tuple[str, ...]

    @property
    def right(self) -> bool:
        """Whether it is right, also at the digits given."""
        return self.verdict in ("right", "rounded")

    @property
    def about(self) -> tuple[object, ...]:
        """The question answered."""
        return self.level, self.seed, self.topic, self.question


def counts(attempt: Attempt, before: Sequence[Attempt]) -> bool:
    """Tell whether an answer counts as a try, after those given before.

    The same value counts once, and none does after a right answer to the question.
    """
    same = [each for each in before if each.about == attempt.about]
    return not any(each.right or each.value == attempt.value for each in same)


@dataclass(frozen=True, slots=True)
class Score:
    """The verdicts on one student's answers, and how many of the questions have no answer.

    Of several answers to one question the last counts.  `verdicts` lists (name, number) with only
    what occurs; an answer that cannot be read is ``not marked``, and so is one of which it is not
    clear to which question it is: it is not counted as a missing answer, too.
    """

    student: str
    verdicts: tuple[tuple[str, int], ...]
    unanswered: int
    questions: int

    @property
    def right(self) -> int:
        """How many are right, also at the digits given."""
        verdicts = dict(self.verdicts)
        return verdicts.get("right", 0) + verdicts.get("rounded", 0)


def scores(marked: Sequence[Marked], cases: Sequence[Case]) -> tuple[Score, ...]:
    """Return the score of each student, in the order of the table, over all questions of `cases`.

    Students are told apart by what they are called in the table, to the letter.
    """
    questions = sum(len(case.questions) for case in cases)
    last: dict[str, dict[object, Marked]] = {}
    for row, each in enumerate(marked):
        place = row if each.number is None else (each.case, each.number)
        last.setdefault(each.row.student, {})[place] = each
    found = []
    for student, answers in last.items():
        verdicts = Counter(each.verdict for each in answers.values())
        counts = tuple((name, verdicts[name]) for name in VERDICTS if verdicts[name])
        found.append(Score(student, counts, max(questions - len(answers), 0), questions))
    return tuple(found)


#: The columns of a table of scores.
SCORE_COLUMNS = ("student", "right", "questions", "slip", "wrong", "not marked", "no answer")


def score_rows(found: Sequence[Score]) -> list[tuple[str, ...]]:
    """Return the scores as rows of texts, as `SCORE_COLUMNS` names them."""
    rows = []
    for each in found:
        verdicts = dict(each.verdicts)
        others = (verdicts.get(name, 0) for name in ("slip", "wrong", "not marked"))
        numbers = (each.right, each.questions, *others, each.unanswered)
        rows.append((each.student, *map(str, numbers)))
    return rows


def scores_table(found: Sequence[Score]) -> str:
    """Return the scores as comma-separated values, a row for each student."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(SCORE_COLUMNS)
    writer.writerows([inert(cell) for cell in row] for row in score_rows(found))
    return text.getvalue()
