"""Marking one typed answer: right, rounded, a slip with a name, or wrong.

The feedback names the slip and shows the row of the working at which the paths part.  It never
says the true answer, nor that a number is the answer to another question of the case, which the
student may still have to answer; whoever wants to show the true one has it in `Mark.true`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from typing import Literal

from risk.case.model import Case, Question
from risk.genetics.penetrance import viability_matters
from risk.model.answers import Answer
from risk.model.facts import facts_of
from risk.model.solve import answers
from risk.problems import InputError, Problem, RiskError
from risk.teaching.parting import Parting, follows_for_certain, where_paths_part
from risk.teaching.reading import StudentAnswer, read_answer
from risk.teaching.slip_answers import Chances, chances, given
from risk.teaching.slip_kind import Slip
from risk.teaching.slip_kinship import related
from risk.teaching.slip_names import names
from risk.teaching.slip_population import why_possible
from risk.teaching.slip_sets import size
from risk.teaching.slip_working import working_of
from risk.teaching.slips import KINDS, covered, is_near, slips, smallest
from risk.wording.questions import question_in_words

Verdict = Literal["right", "rounded", "slip", "wrong"]

#: An answer that several slips lead to is explained by this many; the others are only named.
_MOST_SAID = 2

#: What an answer is that the usual approximations lead to, in place of the exact one.
NEAR = "Near: the usual shortcut"

_NO_USUAL_SLIP = "None of the usual slips leads there."
_WRITE_THE_TABLE = (
    "Write the table of {} first, one row for each fact, and divide by the sum at its end."
)
_NOTHING_TO_DIVIDE = (
    "No table is needed here: write down the chances of each person on the way, from the "
    "parents or the population, and multiply."
)
_BORN_ALIVE = (
    "The question is about children born alive, which counts too: divide by the share who are."
)

_DIGITS_CUT_OFF = (
    "Not quite: these are the first digits of the answer, cut off instead of rounded. Round the "
    "last digit, or give a fraction."
)

_VERY_NEAR = (
    "Not quite: this is very near, but a fraction has to be equal, and of 1 in N the last digit "
    "too. Work it out to the end, or give a decimal of as many digits as you are sure of."
)
_LAST_DIGITS = (
    "Not quite: this is very near, but the last digits are not those of the answer. Keep "
    "fractions, or more digits, on the way and round once, at the end."
)
_FRACTION_ROUNDED = (
    "Not quite: a fraction is taken to be exact, and this one is rounded. Work it out to the end, "
    "or write about 1 in so many."
)
_ROUNDED_TOO_FAR = (
    "Not quite: in 1 in N the N is rounded too far. Give three digits of it, as in 1 in 2.67 or "
    "1 in 1,230, or a fraction."
)
_ODDS_ROUNDED = (
    "Not quite: odds are taken as they stand, and here a number in them is rounded. Give the "
    "chance as a fraction or a percentage."
)
_BACKWARDS = (
    "Not in this order: the first number is the chance of no disease allele, the last that of two."
)
_THOUSANDS = (
    "Not as it stands: a point before three digits is a decimal point here. Write thousands "
    "without it, like 1/2500."
)
#: Of what is right, rounded to a whole number, and is exactly where a slip leads, too.
_MAY_BE_ROUNDED = (
    "This may be the right answer rounded to a whole number: then give {}. Or it is exactly "
    "where a slip leads:"
)
_ROUNDED_AWAY = (
    "This rounds everything away. The chance is small but not 0; give at least one "
    "digit that is not 0, or a fraction."
)
_CANNOT_BE = "0 says that it cannot be, and nothing that is known rules it out."
_IS_CERTAIN = "1 says that it is certain, and nothing that is known makes it so."

_THREE = "the whole answer is three, for no copy, one and two, with semicolons between them"
#: How one number is understood where a question has three.
_ONE_OF_THREE = f"one number is read as the chance of at least one disease allele; {_THREE}"

_LIST = re.compile(r"\s*;\s*|,\s+")
#: Commas without spaces that cannot be decimal commas: between fractions, or three numbers.
_CLOSE_LIST = re.compile(r"\d+/\d+,\d+/\d+|[\d./]+,[\d./]+,[\d./]+")


@dataclass(frozen=True, slots=True)
class Mark:
    """What an answer is worth.

    `index` is the place of the question in its case and `read` how the answer was understood
    (three readings where it lists a distribution).  `true` is the answer of the engine, `exact`
    tells whether its chances are exact, and `vanishing` which of them are 0 only in a rare limit.
    `comment` is what there is to say beside the verdict, `slips` the names of every slip that
    leads to the answer, `parting` belongs to the first slip, or says what a certain answer follows
    from.  `unclear` tells of a slip that the answer may be the right one, rounded to a whole
    number, and `near` that it is a good approximation.
    """

    index: int
    read: tuple[StudentAnswer, ...]
    true: Chances
    exact: bool
    vanishing: tuple[bool, ...]
    verdict: Verdict = "wrong"
    comment: str = ""
    slips: tuple[str, ...] = ()
    parting: Parting | None = None
    unclear: bool = False
    near: bool = False

    @property
    def feedback(self) -> str:
        """A few sentences for the student, which need no verdict beside them."""
        start = "Right. " if self.verdict == "right" else ""
        if self.near and not self.unclear:
            start = f"{NEAR}. "
        return f"{start}{self.comment}".strip()


def mark(case: Case, answer: str, question: int = 0) -> Mark:
    """Mark `answer`, as a student typed it, to one question of `case`.

    A question about a genotype is answered with the chance of at least one disease allele, or
    with the whole distribution: the chances of 0, 1 and 2 disease alleles, in this order, with
    semicolons between them.  Raises InputError where the answer cannot be read, and as `solve`.
    """
    read = _read(answer, case.questions[question])
    if len(read) == 1:
        case = _asking_for_one(case, question)
    found = _solved(case, question)
    true = chances(found)
    bare = Mark(question, read, true, _exact(found), _vanishing(found))
    matches = [one.matches(value) for one, value in zip(read, true, strict=True)]
    exactly = False
    if all(matches):
        verdict: Verdict = "rounded" if "rounded" in matches else "right"
        leading = [
            slip
            for slip in (_slips(case, question) if verdict == "rounded" else ())
            if _leads_to(slip, read, true, exactly=True)
        ]
        # "1 in 10" may be meant as it stands, where a slip leads to just that.
        exactly = bool(leading) and all(one.form == "in" for one in read)
        if not exactly:
            return replace(bare, verdict=verdict, comment=_praise(verdict, read, leading))
    return _not_right(case, bare, exactly=exactly)


def _not_right(case: Case, bare: Mark, *, exactly: bool) -> Mark:
    """Complete the mark of an answer that is not right, or is `exactly` where a slip leads, too."""
    index, read, true = bare.index, bare.read, bare.true
    made = _made(case, bare, exactly=exactly)
    names = tuple(dict.fromkeys(slip.name for slip in made))
    exact_slips = {slip for slip in made if _leads_to(slip, read, true, exactly=True)}

    def order(slip: Slip) -> tuple[bool, bool, int]:
        return slip not in exact_slips, not _is_near(slip, read, true), -slip.kind.likely

    made.sort(key=order)
    rounded = [slip for slip in made if exact_slips and slip not in exact_slips]
    cut_off = _cut_off(read, true) and not exact_slips
    comment = _comment(case, bare, made, rounded, cut_off=cut_off)
    if not made:
        certain = set(true) <= {0, 1}
        parting = follows_for_certain(case, index) if certain else None
        return replace(bare, comment=comment, parting=parting)
    odds = all(one.odds_about(value) for one, value in zip(read, true, strict=True))
    unclear = exactly or (odds and bool(exact_slips))
    if unclear:
        better = "a fraction or a percentage" if odds else "one digit more, or a fraction"
        comment = f"{_MAY_BE_ROUNDED.format(better)} {comment}"
    parting, near = None, False
    if not cut_off:
        leads = made[0].result
        elsewhere = _elsewhere(case, case.questions[index])
        others = {chance for _, answer in elsewhere for chance in answer}
        parting = where_paths_part(made[0], true, leads, others)
        near = _is_near(made[0], read, true)
    return replace(
        bare,
        verdict="slip",
        comment=comment,
        slips=names,
        parting=parting,
        unclear=unclear,
        near=near,
    )


def _made(case: Case, bare: Mark, *, exactly: bool) -> list[Slip]:
    """Return the slips that lead to an answer, `exactly` or also at the digits given."""
    read, true = bare.read, bare.true
    made = [
        slip for slip in _slips(case, bare.index) if _leads_to(slip, read, true, exactly=exactly)
    ]
    made = [smallest(slip) for slip in made if not covered(slip, made)]
    made = [slip for slip in dict.fromkeys(made) if not covered(slip, made)]
    return sorted(made, key=lambda slip: (KINDS.index(slip.kind), *_nearness(slip, read)))


def _read(answer: str, question: Question) -> tuple[StudentAnswer, ...]:
    if question.ask == "genotype":
        answer = answer.strip()
        parts = [part for part in _LIST.split(answer) if part]
        if _CLOSE_LIST.fullmatch(answer):
            parts = answer.split(",")
        try:
            if len(parts) in (2, 3):
                # A male has one X, so that two numbers say all.
                parts += ["0"] * (3 - len(parts))
                parts = [re.sub(r"^\s*[012]\s*[:=]\s*", "", part) for part in parts]
                return tuple(map(read_answer, parts))
            one = read_answer(answer)
        except InputError as error:
            raise InputError([_with_semicolons(problem) for problem in error.problems]) from None
        return (replace(one, note="; ".join(filter(None, (one.note, _ONE_OF_THREE)))),)
    return (read_answer(answer),)


def _with_semicolons(problem: Problem) -> Problem:
    return Problem(problem.path, f"{problem.message}; {_THREE}")


# Cases are frozen, so the same question of the same case is solved once for a whole class.
@lru_cache(maxsize=512)
def _solved(case: Case, question: int) -> Answer:
    return answers(replace(case, questions=(case.questions[question],)))[0]


@lru_cache(maxsize=512)
def _slips(case: Case, question: int) -> tuple[Slip, ...]:
    return slips(case, question)


def _exact(found: Answer) -> bool:
    return all(chance.exact is not None for chance in given(found))


def _vanishing(found: Answer) -> tuple[bool, ...]:
    """Tell of each number of an answer whether it is 0 only in a rare limit."""
    return tuple(chance.vanishes for chance in given(found))


def _asking_for_one(case: Case, index: int) -> Case:
    """Return the case with a question that one number answers.

    One number about a genotype is the chance of at least one disease allele.
    """
    asked = case.questions[index]
    if asked.ask != "genotype":
        return case
    questions = list(case.questions)
    questions[index] = replace(asked, ask="disease_allele")
    return replace(case, questions=tuple(questions))


def _leads_to(slip: Slip, read: Sequence[StudentAnswer], true: Chances, *, exactly: bool) -> bool:
    """Tell whether an answer is that of a slip, `exactly` or also at the digits given."""
    result = slip.result
    if len(result) != len(read) or result == true:
        return False
    if slip.name == "percent_sign" and {one.form for one in read} != {
        "decimal" if result > true else "percent"
    }:
        return False  # a fraction has no percent sign to lose
    return all(
        one.value == value if exactly else one.matches(value) is not None
        for one, value in zip(read, result, strict=True)
    )


def _is_near(slip: Slip, read: Sequence[StudentAnswer], true: Chances) -> bool:
    """Tell whether an answer is that of an approximation, and near the true one."""
    return is_near(slip.kind, tuple(one.value for one in read), true)


def _nearness(slip: Slip, read: Sequence[StudentAnswer]) -> tuple[Fraction, int]:
    """Return how far a rounded answer is from a slip's, and how many people the slip takes."""
    apart = (abs(one.value - value) for one, value in zip(read, slip.result, strict=True))
    return sum(apart, Fraction(0)), size(slip.chosen)


# --- what is said -------------------------------------------------------------------------


def _praise(verdict: Verdict, read: Sequence[StudentAnswer], leading: Sequence[Slip]) -> str:
    """Return what is said of a right answer; `leading` are slips that lead to a rounded one."""
    notes = _notes(read)
    if verdict == "right":
        return notes.strip()
    if leading:
        slip = max(leading, key=lambda slip: slip.kind.likely).kind.short
        return (
            "Right at the digits given, but it is also exactly the answer of whoever "
            f"{slip}: give the fraction, or one digit more.{notes}"
        )
    return f"Right at the digits given; an exact answer is a fraction.{notes}"


def _notes(read: Sequence[StudentAnswer]) -> str:
    return "".join(f" ({one.note[:1].upper()}{one.note[1:]}.)" for one in read if one.note)


def _comment(
    case: Case, bare: Mark, made: Sequence[Slip], rounded: Sequence[Slip], *, cut_off: bool
) -> str:
    """Return what is said of an answer; to some of the slips `made` only a `rounded` one leads."""
    read, question = bare.read, case.questions[bare.index]
    parts = []
    first = {slip.name: slip for slip in reversed(made)}
    ordered = [first[name] for name in dict.fromkeys(slip.name for slip in made)]
    many = 1 if made and _is_near(made[0], read, bare.true) else _MOST_SAID
    if cut_off:
        parts.append(_DIGITS_CUT_OFF)
        # Few digits are near to many slips, of which none is as likely.
        many = 0
    for slip in ordered[:many]:
        start = ("Or, rounded: " if slip in rounded else "Or: ") if parts else ""
        parts.append(start + slip.said)
    for start, several in (
        ("The same number", [slip for slip in ordered[many:] if slip not in rounded]),
        ("Rounded, the same number", [slip for slip in ordered[many:] if slip in rounded]),
    ):
        if several:
            parts.append(
                f"{start} comes to whoever {', or '.join(slip.kind.short for slip in several)}."
            )
    if not parts:
        parts.append(_no_slip(read, bare.true, case))
        if parts[-1] == _NO_USUAL_SLIP and (other := _other_question(case, question, read)):
            parts[-1] = other
        elif parts[-1] == _NO_USUAL_SLIP:
            parts += _hints(case, bare.index)
    return " ".join(parts) + _notes(read)


def _cut_off(read: Sequence[StudentAnswer], true: Chances) -> bool:
    pairs = list(zip(read, true, strict=True))
    if any(one.rounds_away(value) for one, value in pairs):
        return False
    return all(one.cut_off(value) or one.matches(value) for one, value in pairs)


def _elsewhere(case: Case, asked: Question) -> list[tuple[Question, Chances]]:
    """Return the other questions of a case that have an answer, with it."""
    found = []
    for number, question in enumerate(case.questions):
        if question != asked:
            with suppress(RiskError):
                found.append((question, chances(_solved(case, number))))
    return found


def _on_the_way(case: Case, asked: Question) -> list[tuple[Question, Chances]]:
    """Return whether each parent carries, with its answer, where a child needs two alleles.

    Many a student stops there.
    """
    if not case.condition.recessive or case.condition.x_linked:
        return []
    each = [Question("carrier", person=id) for id in asked.parents or ()]
    return [
        (question, chances(_solved(replace(case, questions=(question,)), 0))) for question in each
    ]


def _other_question(case: Case, asked: Question, read: Sequence[StudentAnswer]) -> str:
    """Return what is said of a number that answers another question, or "".

    That is one of the case, or one that has to be answered on the way.
    """
    if len(read) != 1 or read[0].value in (0, 1) or not read[0].of_two_digits:
        return ""
    for question, (chance, *more) in [*_elsewhere(case, asked), *_on_the_way(case, asked)]:
        if not more and read[0].matches(chance):
            return f"This belongs to another question. {question_in_words(question, case)}"
    return ""


def _no_slip(read: Sequence[StudentAnswer], true: Chances, case: Case) -> str:
    if any(one.rounds_away(value) for one, value in zip(read, true, strict=True)):
        return _ROUNDED_AWAY
    if len(read) == 1 and read[0].value == 0:
        return f"{_CANNOT_BE} {why_possible(case.condition)}".rstrip()
    if len(read) == 1 and read[0].value == 1:
        return _IS_CERTAIN
    if len(read) == 1 and read[0].one_in_too_few_digits(true[0]):
        return _ROUNDED_TOO_FAR
    if len(read) == 1 and read[0].odds_about(true[0]):
        return _ODDS_ROUNDED
    if all(one.nearly(value) or one.matches(value) for one, value in zip(read, true, strict=True)):
        return _VERY_NEAR if all(one.half_unit is None for one in read) else _LAST_DIGITS
    if len(read) == 1 and read[0].fraction_rounded(true[0]):
        return _FRACTION_ROUNDED
    if len(read) == 1 and read[0].form != "odds" and read[0].other == true[0]:
        return _THOUSANDS
    if len(read) == 1 and read[0].other == true[0]:
        return f"Not as it stands: {read[0].note}. Do you mean that? Odds are not chances."
    backwards = zip(read, reversed(true), strict=True)
    if len(read) == 3 and all(one.matches(value) for one, value in backwards):
        return _BACKWARDS
    if len(read) == 3 and sum(one.value for one in read) != 1:
        return "The chances of 0, 1 and 2 disease alleles add up to 1."
    return _NO_USUAL_SLIP


def _hints(case: Case, index: int) -> list[str]:
    """Say what to write, and which facts not to count: counting one is a slip without a name."""
    question = case.questions[index]
    working = working_of(replace(case, questions=(question,)))
    certain = set(chances(_solved(case, index))) <= {0, 1}
    rows = [step for step in working.steps if len(step.rows) > 1]
    hints = [_WRITE_THE_TABLE.format(names(rows[0].people, case))] if rows else []
    born = question.parents is not None and viability_matters(case.condition)
    known = {slip.name for slip in _slips(case, index)}
    if "kinship_ignored" in known:
        idle = len(facts_of(case)) == len(working.no_difference)
        hints.append(related(case, question, by_descent=idle and "only_by_descent" in known))
    elif not rows and not certain and not born:
        hints.append(_NOTHING_TO_DIVIDE)
    if working.idle:
        hints.append(f"Makes no difference here: {'; '.join(working.idle)}.")
    return [*hints, _BORN_ALIVE] if born else hints
