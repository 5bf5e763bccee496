"""How the answers of a case change as one of its values does.

Every point is the case with that value, read and solved like any other, so a value that makes no
sense or that the family contradicts is said of that point and does not stop the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, log

from risk.case.model import Case, Question
from risk.case.parameter import Parameter
from risk.model import solve
from risk.model.answers import Answer
from risk.model.locus import ArithmeticName
from risk.number import read_number, written_like
from risk.problems import InputError, Problem, RiskError, in_one_line
from risk.wording.impossible import conflicts_in_words

#: More points than this are no curve that anyone looks at.
MOST_POINTS = 100_000


@dataclass(frozen=True, slots=True)
class VariedPoint:
    """The answers at one value; `number` is its exact value (None for a word like ``rare``).

    `own` tells whether it is the value of the case itself.  Where the case cannot be solved
    with it, `answers` is empty, `problems` says why, and `status` is the exit status that
    solving it alone would have; `conflict` are the facts that then cannot all be true.
    """

    value: str
    number: Fraction | None
    own: bool
    answers: tuple[Answer, ...] = ()
    problems: tuple[Problem, ...] = ()
    status: int = 0
    conflict: tuple[str, ...] = ()

    @property
    def reason(self) -> str:
        """The problems, with the facts in conflict."""
        return in_one_line(map(str, self.problems), self.conflict)


@dataclass(frozen=True, slots=True)
class Variation:
    """The answers of a case along values of one parameter (or of several set alike).

    `own` is the value in the case, None where it has none there.
    """

    parameters: tuple[str, ...]
    own: str | None
    questions: tuple[Question, ...]
    points: tuple[VariedPoint, ...]


def vary(
    case: Case,
    parameter: str | Sequence[str],
    values: Sequence[str] = (),
    arithmetic: ArithmeticName = "exact",
) -> Variation:
    """Return the answers of `case` with each of `values` at `parameter` (see `Parameter`).

    Several parameters are all given the same value.  Without values, one that can take only a
    few (a fact, a test result) takes each of them.  Raises InputError where there is no such
    parameter, or no values where some are needed; what is wrong at one point is said there.
    """
    names = (parameter,) if isinstance(parameter, str) else tuple(parameter)
    if not names:
        raise InputError([Problem("parameter", "name the value of the case that is to change")])
    found = [Parameter(case, name) for name in names]
    values = tuple(value.strip() for value in values) or found[0].choices
    if not values:
        mend = f"give the values that {found[0].name} is to take"
        raise InputError([Problem("values", mend)])
    if len(values) > MOST_POINTS:
        raise InputError(
            [Problem(found[0].name, f"{len(values):,} values are more than {MOST_POINTS:,}")]
        )
    owns = {each.own for each in found}
    own = found[0].own if len(owns) == 1 else None
    points = tuple(_point(found, value, own, arithmetic) for value in values)
    return Variation(tuple(each.name for each in found), own, case.questions, points)


def _point(
    parameters: list[Parameter],
    value: str,
    own: str | None,
    arithmetic: ArithmeticName,
) -> VariedPoint:
    number = number_of(value)
    same = own is not None and (value == own or (number is not None and number == number_of(own)))
    try:
        changed = parameters[0].case_with(value)
        for each in parameters[1:]:
            changed = Parameter(changed, each.name).case_with(value)
        with conflicts_in_words(changed):
            answers = solve.answers(changed, arithmetic)
    except RiskError as error:
        return VariedPoint(value, number, same, (), error.problems, error.status, error.conflict)
    return VariedPoint(value, number, same, answers)


def number_of(text: str) -> Fraction | None:
    """Return the number that a value is, None for a word like ``rare``."""
    try:
        return read_number(text)
    except ValueError:
        return None


def spaced(start: str, stop: str, steps: int, *, log: bool = False) -> tuple[str, ...]:
    """Return `steps` values from `start` to `stop`, both included, written like `start`.

    Evenly spaced and exact; with `log`, each is the same multiple of the one before, to six
    digits.  Raises InputError naming ``start``, ``stop``, ``steps`` or ``log``.
    """
    problems, ends = [], []
    for name, text in (("start", start), ("stop", stop)):
        try:
            ends.append(read_number(text))
        except ValueError as error:
            problems.append(Problem(name, str(error)))
    if not 2 <= steps <= MOST_POINTS:
        problems.append(Problem("steps", f"{steps} is not a number from 2 to {MOST_POINTS:,}"))
    if log and len(ends) == 2 and min(ends) <= 0:
        problems.append(Problem("log", "both ends must be above 0, as 0 is never reached"))
    if problems:
        raise InputError(problems)
    first, last = ends
    texts = []
    for i in range(steps):
        if log and 0 < i < steps - 1:
            texts.append(_rounded(_between(first, last, i / (steps - 1)), start))
        else:
            texts.append(written_like(first + (last - first) * Fraction(i, steps - 1), start))
    return (start.strip(), *texts[1:-1], stop.strip())


def _between(first: Fraction, last: Fraction, part: float) -> float:
    """Return first to the power of 1 - `part`, times last to that of `part`."""
    # In logarithms, since last / first may lie beyond floats.
    one, other = (log(end.numerator) - log(end.denominator) for end in (first, last))
    return exp(one + (other - one) * part)


def _rounded(value: float, like: str) -> str:
    return f"{value * 100:.6g}%" if "%" in like else f"{value:.6g}"
