"""One table in the making: rows are added, and each stays true given the facts before it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from fractions import Fraction
from math import prod
from typing import Any, Literal, NamedTuple, Protocol

from risk.inference.arithmetic import ratio
from risk.inference.plan import Scope
from risk.workings.step import Row, Said, Step, Topic, Value
from risk.workings.weigh import Facts, Hypothesis, Joint, Weigher, equal, share, total


class Source(NamedTuple):
    """What a row follows from: steps that it uses, and what is said where there is no such step."""

    uses: tuple[str, ...] = ()
    reasons: tuple[Said, ...] = ()


class Sources(Protocol):
    """Makes the steps that rows follow from."""

    def person(self, variable: int, facts: Facts, *, asked: bool = False, order: int = 0) -> Source:
        """Return what follows from one person's table given `facts`."""

    def partner(self, variable: int, partner: int, known: Facts) -> Source:
        """Return what a row on children begins with of a partner."""

    def couple(self, pair: Scope, facts: Facts) -> Source:
        """Return what follows from the joint table of two people given `facts`."""


class Start(NamedTuple):
    """The prior row of a table: what it says, its reasons, and the steps that it uses."""

    text: str
    reasons: Sequence[Said]
    uses: tuple[str, ...] = ()


class Draft(NamedTuple):
    """A row that is weighed: the facts that it brings in, and their chance by hypothesis.

    `shown` are the chances that sentences tell.
    """

    facts: Facts
    values: dict[Hypothesis, Value]
    shown: dict[Hypothesis, Value]


class Entry(NamedTuple):
    """A row that is kept."""

    kind: Literal["prior", "conditional"]
    text: str
    values: dict[Hypothesis, Value]
    facts: Facts
    uses: tuple[str, ...]
    reasons: tuple[Said, ...]


class Table:
    """A table in the making: hypotheses and rows, each true given the facts of those before."""

    def __init__(self, weigher: Weigher, variables: Scope, facts: Facts, order: int = 0) -> None:
        self.weigher = weigher
        #: In a rare limit, the highest power of e that still matters in the end.
        self.order = order
        #: Hypotheses that vanish at first and count later on, so that sentences name them.
        self.later: Collection[Hypothesis] = ()
        #: Whether the rows are told within a row of another table, and so by names.
        self.within = False
        self.variables = variables
        self.known = facts
        self._joint: Joint = weigher.weights(variables, facts)
        #: Hypotheses that have a chance (in the limit) after at least one of the rows.
        self._live = set(weigher.possible(variables, facts))
        self.rows: list[Entry] = []
        #: What is to be said with the next row.
        self._waiting: list[Said] = []
        whole = total(self._joint.values())
        self._prior = {
            hypothesis: share(weight, whole) for hypothesis, weight in self._joint.items()
        }

    def start(self, start: Start) -> None:
        """Add the prior row."""
        text, reasons, uses = start
        self.rows.append(Entry("prior", text, self._prior, self.known, uses, tuple(reasons)))

    def say(self, reasons: Sequence[Said]) -> None:
        """Have something said with the next row, or with the last where none comes."""
        self._waiting += reasons

    @property
    def sentences(self) -> list[Said]:
        """All that is said of the rows so far, and waits for the next."""
        return [*[said for row in self.rows for said in row.reasons], *self._waiting]

    def reasons(self) -> list[list[Said]]:
        """Return for each row what is said of it, each said once."""
        known: set[Said] = set()
        topics: set[Topic] = set()
        found: list[list[Said]] = []
        *rows, last = [row.reasons for row in self.rows]
        for row in [*rows, [*last, *self._waiting]]:
            kept = []
            for said in row:
                if said in known or not said.text:
                    continue
                known.add(said)
                if said.again is not None and said.topic in topics:
                    kept += [said._replace(text=said.again, brief="")] * bool(said.again)
                    continue
                kept.append(said)
                if said.topic is not None:
                    topics.add(said.topic)
            found.append(kept)
        return found

    def ratios(self, given: Facts, new: Facts) -> dict[Hypothesis, Value] | None:
        """Return the chance of `new` under each hypothesis, given all before and `given`.

        None where it is the same under all hypotheses still possible.
        """
        values = self.weigher.ratios(self.variables, self.known | given, new)
        live = [value for hypothesis, value in values.items() if hypothesis in self._joint]
        if all(equal(value, live[0]) for value in live[1:]):
            return None
        if len(values) < len(self._prior):
            # What is ruled out already gets the chance it would have without those facts.
            alone = self.weigher.ratios(self.variables, given, new)
            for hypothesis in self._prior:
                values.setdefault(hypothesis, alone.get(hypothesis, Fraction(0)))
        return values

    def weigh(self, given: Facts, new: Facts) -> Draft | None:
        """Return a row that brings in `new` (and `given`, which alone changes nothing).

        None where it makes no difference between hypotheses.
        """
        if not self._silent(given):
            given, new = frozenset(), given | new
        values = self.ratios(given, new)
        if values is None:
            return None
        facts = given | new
        counted = {*self._counted(self.known), *self._counted(self.known | facts)}
        counted |= values.keys() & set(self.later)
        shown = {
            hypothesis: values[hypothesis] for hypothesis in sorted(counted, key=hypothesis_order)
        }
        return Draft(facts, values, shown)

    def keep(
        self, draft: Draft, text: str, reasons: Sequence[Said], uses: Sequence[str] = ()
    ) -> None:
        """Add a row that was weighed, with what it says, its reasons and the steps it uses."""
        self.known |= draft.facts
        self._joint = self.weigher.weights(self.variables, self.known)
        self._live.update(self.weigher.possible(self.variables, self.known))
        said = (*self._waiting, *reasons)
        self._waiting = []
        used = tuple(dict.fromkeys(uses))
        self.rows.append(Entry("conditional", text, draft.values, draft.facts, used, said))

    def _silent(self, given: Facts) -> bool:
        if not given:
            return True
        return self.weigher.alike(self.variables, self.known, self.known | given)

    def kept(self) -> list[Hypothesis]:
        """Return the hypotheses that have a chance after at least one of the rows.

        Of those that vanish in a rare limit, the ones that still matter in the end.
        """
        return sorted(self._live.union(self._counted(self.known)), key=hypothesis_order)

    def _counted(self, facts: Facts) -> Collection[Hypothesis]:
        """Return the hypotheses with a chance given `facts`, as far as it matters in the end."""
        return self.weigher.upto(self.order, self.variables, facts)

    def step(
        self,
        id: str,
        people: tuple[str, ...],
        labels: Callable[[Hypothesis], str],
        reasons: Sequence[Sequence[Said]],
    ) -> Step:
        """Return the finished step, with the reasons of each row."""
        kept = self.kept()
        rows = tuple(
            Row(
                row.kind,
                row.text,
                tuple([row.values[hypothesis] for hypothesis in kept]),
                tuple(self.weigher.in_order(row.facts)),
                row.uses,
                tuple(why),
            )
            for row, why in zip(self.rows, reasons, strict=True)
        )
        joint = [product_of([row.values[place] for row in rows]) for place in range(len(kept))]
        whole = total(joint)
        return Step(
            id,
            people,
            tuple(dict(zip(people, hypothesis, strict=True)) for hypothesis in kept),
            tuple(labels(hypothesis) for hypothesis in kept),
            rows,
            tuple(joint),
            tuple((share if self.order else ratio)(value, whole) for value in joint),
        )


def product_of(values: Sequence[Value]) -> Value:
    """Return the product of some values, of which a leading term without e is a fraction."""
    if {*map(type, values)} == {Fraction}:
        # In lowest terms once, and not after each factor.
        fractions: Any = values
        tops = prod([value.numerator for value in fractions])
        return Fraction(tops, prod([value.denominator for value in fractions]))
    product: Any = Fraction(1)
    for value in values:
        product = product * value
    return share(product, Fraction(1))


def hypothesis_order(hypothesis: Hypothesis) -> tuple[float, ...]:
    return tuple(state if isinstance(state, int) else 0.5 for state in hypothesis)
