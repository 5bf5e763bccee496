"""Answers as pandas tables, for notebooks and for further sums.

Exact chances are `fractions.Fraction` objects (None where there is no exact value), so that
sums of a column stay exact.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from risk.case.model import Case
from risk.model.answers import Chance, Solution
from risk.wording.chances import answer_in_words
from risk.wording.questions import event_in_words, question_in_words

if TYPE_CHECKING:
    import pandas as pd


def answers_frame(case: Case, solution: Solution) -> pd.DataFrame:
    """Return a row for each answer: its question's number and kind, the chance, the words.

    A question about a genotype gives three rows, for no, one and two copies.
    """
    import pandas as pd

    rows = []
    for number, answer in enumerate(solution.answers):
        question = answer.question
        if answer.probability is not None:
            rows.append(
                _row(number, question.ask, event_in_words(question, case), answer.probability)
            )
        for copies, chance in enumerate(answer.distribution or ()):
            words = f"{question_in_words(question, case)} {copies}"
            rows.append(_row(number, question.ask, words, chance))
    columns = ["question", "ask", "of", "probability", "exact", "in_words"]
    return pd.DataFrame(rows, columns=columns)


def people_frame(solution: Solution) -> pd.DataFrame:
    """Return a row for each person: the chances of no, one and two disease alleles."""
    import pandas as pd

    rows = [
        {
            "id": person.id,
            **{str(i): chance.value for i, chance in enumerate(person.disease_alleles)},
            **{f"exact_{i}": chance.exact for i, chance in enumerate(person.disease_alleles)},
        }
        for person in solution.people
    ]
    columns = ["0", "1", "2", "exact_0", "exact_1", "exact_2"]
    return pd.DataFrame(rows, columns=["id", *columns]).set_index("id")


def _row(number: int, ask: str, words: str, chance: Chance) -> dict[str, object]:
    return {
        "question": number,
        "ask": ask,
        "of": words,
        "probability": chance.value,
        "exact": chance.exact,
        "in_words": answer_in_words(chance),
    }
