"""A working as plain data: tables of hypotheses, rows and products that anyone can check.

A `Step` is one table over the genotypes of one person (or jointly of a few).  After any row
the running product of the rows so far, normalised, is the probability of the hypotheses given
all facts of those rows.  `Working.steps` come in an order in which each uses only earlier ones.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Literal, NamedTuple

from risk.case.model import Question
from risk.inference.arithmetic import Term
from risk.model.answers import Chance

#: An exact fraction, a float (where some input is irrational) or a leading term (rare limit).
Value = Fraction | float | Term

#: One person's genotype in a hypothesis: a number of disease alleles, a tuple of allele classes
#: (where variant classes matter), or "mosaic".
State = int | tuple[str, ...] | str

#: For each state that a parent may have: its chance, and that a gamete then has the allele.
Transmission = tuple[tuple[Value, Value], ...]


@dataclass(frozen=True, slots=True)
class Population:
    """A topic: how common genotypes are, in words that go on with a sentence."""

    how: str


@dataclass(frozen=True, slots=True)
class Certain:
    """A topic: what some variables have for certain, and by which facts."""

    states: frozenset[tuple[int, State | None]]
    by: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Identical:
    """A topic: that the people of a variable are identical twins."""

    variable: int


@dataclass(frozen=True, slots=True)
class Accuracy:
    """A topic: how often a test is right."""

    test: str


@dataclass(frozen=True, slots=True)
class Told:
    """A topic: the facts that a row brings in."""

    facts: frozenset[str]


@dataclass(frozen=True, slots=True)
class Lines:
    """A topic: the lines by which two variables are related."""

    pair: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Passing:
    """A topic: what a child of two variables gets from each."""

    parents: tuple[int, ...]


Topic = Population | Certain | Identical | Accuracy | Told | Lines | Passing


class Said(NamedTuple):
    """What is said of a row, in a sentence or more.

    Whether a topic was told of before is seen by its `topic`, and not by its words.  `again`
    stands instead where a table has told of the topic before, and `brief` is the text without
    what it tells of the topic, where another step can be named for that.  `twins` are the
    variables of the identical twins whom it names together.
    """

    text: str
    topic: Topic | None = None
    again: str | None = None
    brief: str = ""
    twins: frozenset[int] = frozenset()

    def __repr__(self) -> str:
        # Without the topic: sets are written in another order each time.
        return f"Said({self.text!r})"


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a table: one idea, its value under each hypothesis, the facts it brings in.

    `reasons` are why its values are what they are; none where others say it.
    """

    kind: Literal["prior", "conditional"]
    text: str
    values: tuple[Value, ...]
    facts: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    reasons: tuple[Said, ...] = ()

    @property
    def reason(self) -> str:
        """The reasons as text."""
        return in_a_row(self.reasons)


@dataclass(frozen=True, slots=True)
class Combination:
    """One case of the last line of a question about children or couples.

    `factors` are the earlier results whose product `weight` is, where it is such a product
    (``2/3`` and ``1/241``); empty where it is not.  `label` says the case in words.
    """

    case: Mapping[str, State]
    weight: Value
    chance: Value
    product: Value
    factors: tuple[Value, ...] = ()
    label: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One table.  `labels` says each hypothesis in words, in the order of `hypotheses`.

    After the reasons of its rows, `closing` says what is said of no row, such as how the question's
    own last line is formed, and `later` which facts only later steps of the working use.
    With `plain` the text says all that the question needs, so that no table is shown.
    `lines` are the cases of `combine` as they are shown: those together that differ only in what
    cannot reach the child.
    `brief` are one or two sentences: where the table begins, and the closing or what comes next.
    """

    id: str
    people: tuple[str, ...]
    hypotheses: tuple[Mapping[str, State], ...]
    labels: tuple[str, ...]
    rows: tuple[Row, ...]
    joint: tuple[Value, ...]
    posterior: tuple[Value, ...]
    closing: str = ""
    combine: tuple[Combination, ...] | None = None
    later: str = ""
    lines: tuple[Combination, ...] = ()
    plain: bool = False
    brief: str = ""

    @property
    def reasons(self) -> tuple[Said, ...]:
        """The reasons of the rows."""
        return tuple([said for row in self.rows for said in row.reasons])

    @property
    def opening(self) -> str:
        """The reasons of the rows as text."""
        return in_a_row(self.reasons)

    @property
    def text(self) -> str:
        """What explains the step."""
        return " ".join(self.sentences)

    @property
    def sentences(self) -> tuple[str, ...]:
        """The text as what is said of each row and then of none."""
        reasons = [said.text for said in self.reasons]
        return (*reasons, self.closing) if self.closing else tuple(reasons)

    @property
    def of_table(self) -> tuple[str, ...]:
        """What is said of the table, as `sentences`."""
        count = len(self.reasons)
        return self.sentences[:count] if self.combine is not None and count else self.sentences

    def renumbered(self, ids: Mapping[str, str]) -> Step:
        """Return the step with other ids, its own and those of the steps it uses."""
        rows = tuple(
            replace(row, uses=tuple(ids[use] for use in row.uses)) if row.uses else row
            for row in self.rows
        )
        return replace(self, id=ids[self.id], rows=rows)

    @property
    def total(self) -> Value:
        """The sum of `joint`, by which the posterior is divided."""
        total: Any = 0
        for value in self.joint:
            total = total + value
        return total if isinstance(total, Term) else total + Fraction(0)


@dataclass(frozen=True, slots=True)
class Working:
    """The working of one question.

    `no_difference` lists the paths of facts that change nothing here, `idle` the same in words,
    alike ones together.  `conclusion` is the closing sentence with the answer.
    """

    question: Question
    probability: Chance | None
    distribution: tuple[Chance, ...] | None
    steps: tuple[Step, ...]
    no_difference: tuple[str, ...] = ()
    idle: tuple[str, ...] = ()
    conclusion: str = ""


@dataclass(frozen=True, slots=True)
class AncestorsCase:
    """What common ancestors may have, with its chance, and then the chances of two relatives.

    Of the `hypotheses` each leaves the relatives the same chances: `states` gives these for each
    of the two, who are independent of each other.  `passing` tells for each of them, by parent,
    with what chances the allele is passed on; nothing where the hypotheses differ in it.
    """

    hypotheses: tuple[tuple[State, ...], ...]
    chance: Value
    states: tuple[dict[State, Value], dict[State, Value]]
    passing: tuple[Mapping[int, Transmission], Mapping[int, Transmission]] = ({}, {})


@dataclass(frozen=True, slots=True)
class Rung:
    """One rung of an evidence ladder: the facts newly known and the chance after them."""

    facts: tuple[str, ...]
    text: str
    chance: Chance


def in_a_row(reasons: Iterable[Said]) -> str:
    """Return the texts of reasons, one after the other."""
    return " ".join([said.text for said in reasons])
