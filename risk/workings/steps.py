"""The steps of a working, each made once: one person's, a partner's, two people's jointly.

Parents get a table of their own only where they are not certain, and a joint table only where their
children's facts tie them together.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial, reduce
from operator import or_

from risk.inference.plan import Scope
from risk.workings import origins, own_facts, twinship, whole_steps
from risk.workings.chosen_facts import ChosenFacts
from risk.workings.joint_tables import JointTables
from risk.workings.person_tables import PersonTables
from risk.workings.reasons import Reasons
from risk.workings.rows import Rows
from risk.workings.step import Said, Step, Topic
from risk.workings.table import Source, Start, Table
from risk.workings.twins import second_twins
from risk.workings.values import short
from risk.workings.weigh import Facts, Hypothesis, Weigher

#: Characters of a chance that is found by hand from a fact or two.
_BY_HAND = 9


class Steps:
    """The steps of all workings of a case, each made once, whichever questions need it."""

    def __init__(self, weigher: Weigher) -> None:
        self.weigher = weigher
        self.family = weigher.family
        self.reasons = Reasons(weigher)
        self.words = self.reasons.words
        self.chosen = ChosenFacts(self.reasons)
        self.rows = Rows(self.reasons, self)
        self.people = PersonTables(self.rows, self)
        self.couples = JointTables(self.rows, self.chosen, self)
        #: Id of the person whom the present question is about, if it is one.
        self.asked: str | None = None
        self._made: dict[str, Step] = {}
        #: Steps by what they are about, the people shown, the facts, the order of e, and those of
        #: whom nothing is explained.
        self._ids: dict[tuple[Scope, tuple[str, ...], Facts, int, Scope], str] = {}
        self._told: dict[tuple[Scope, str, Facts, int], Source] = {}

    def leading_to(self, id: str) -> list[Step]:
        """Return the steps that one needs, and itself as the last, numbered ``s1``, ``s2``.

        They say which facts about descendants come in later.
        """
        ids: dict[str, str] = {}
        waiting = [id]
        while waiting:
            step = self._made[waiting[-1]]
            missing = [use for row in step.rows for use in row.uses if use not in ids]
            if missing:
                waiting += reversed(missing)
            else:
                ids.setdefault(waiting.pop(), f"s{len(ids) + 1}")
        return self._with_what_is_left([self._made[old].renumbered(ids) for old in ids])

    def _with_what_is_left(self, steps: Sequence[Step]) -> list[Step]:
        """Return the steps of a working, saying which facts about descendants come in later.

        Said where these change the chances of the step, which are then not to be taken for those
        that all facts together leave.
        """
        # Each step is compared with the rows of all others: facts as bits, which is half the work.
        bits = self.weigher.bits
        brought = [
            (number, bits(frozenset(row.facts)))
            for number, step in enumerate(steps, 1)
            for row in step.rows
            if row.kind == "conditional"
        ]
        found: list[Step] = []
        for number, step in enumerate(steps, 1):
            people = tuple([self.family.variable[id] for id in step.people])
            used: Facts = frozenset().union(*[row.facts for row in step.rows])
            used_bits = known = bits(used)
            below = 0
            for each in people:
                known |= bits(self.weigher.facts_of[each])
                below |= bits(self.reasons.told_from(each))
            rest = below & ~known
            bringing = [(later, row) for later, row in brought if later > number and rest & row]
            left = self.weigher.facts_in(reduce(or_, [row for _, row in bringing], 0) & rest)
            if not left:
                found.append(step)
                continue
            from_here = [row for later, row in brought if later >= number]
            in_the_end = self.weigher.facts_in(reduce(or_, from_here, used_bits))
            if not self.weigher.alike(people, used, in_the_end):
                before = enumerate(steps[: number - 1], 1)
                twins = {twin for each in people for twin in second_twins(self.family, each)}
                sentence = whole_steps.left_for_later(
                    self.words,
                    left,
                    list(dict.fromkeys([later for later, _ in bringing])),
                    [earlier for earlier, each in before if each.people == step.people],
                    "the twin and descendants" if twins - {*people} else "descendants",
                )
                step = replace(step, later=self.words.sentence(sentence))
            found.append(step)
        return found

    def person(self, variable: int, facts: Facts, *, asked: bool = False, order: int = 0) -> Source:
        """Add a person's table given `facts`, unless it would say nothing of its own.

        In a rare limit `order` is the highest power of e that still matters to what follows.
        """
        words = self.words
        shown = words.id_of(variable, self.asked)
        key = ((variable,), shown, facts, order)
        if key in self._told and not asked:
            return self._told[key]
        id = self._ids.get(((variable,), (shown,), facts, order, ()))
        made = self._made.get(id or "")
        if id is not None and made and (asked or len(made.rows) > 1 or len(made.labels) > 1):
            return Source((id,))
        if certain := self.reasons.settling(variable, facts, order):
            table = Table(self.weigher, (variable,), certain, order)
            table.start(Start("certain", self.reasons.why_certain((variable,), certain)))
        elif told := self.reasons.from_descendants(variable, facts):
            table = Table(self.weigher, (variable,), told[2], order)
            reason = origins.through_sibling(words, *told)
            table.start(Start(origins.one_of_two(words, told[0]), [reason]))
        else:
            table = self.people.table(variable, facts, order)
        if len(table.rows) == 1 and not asked:
            (row,) = table.rows
            reasons = origins.inherited(words, variable, row.text, table.sentences)
            source = Source(row.uses, reasons)
            self._told[key] = source
            return source
        return self._finish(
            table,
            (shown,),
            facts,
            lambda hypothesis: words.state(variable, hypothesis[0]),
        )

    def settled(self, variable: int, enough: Facts) -> Source:
        """Add a table of all that is known of somebody, of whom `enough` is all that matters."""
        words = self.words
        table = Table(self.weigher, (variable,), frozenset(self.weigher.facts))
        table.start(Start(whole_steps.ALL_KNOWN, self.rows.ruled_out(variable, enough)))
        return self._finish(
            table,
            (words.id_of(variable, self.asked),),
            table.known,
            lambda hypothesis: words.state(variable, hypothesis[0]),
            (variable,),
        )

    def partner(self, variable: int, partner: int, known: Facts) -> Source:
        """Return what a row on children begins with of a partner, of whom it is what is `known`.

        Nothing where what the partner has goes by what `variable` has, and sentences where somebody
        from the population has short chances by own facts alone.
        """
        weigher, words = self.weigher, self.words
        if not weigher.small or not weigher.independent(variable, partner, known):
            return Source()
        enough = self.chosen.enough(partner, known)
        if not enough:
            return Source()
        alone = partner not in self.reasons.births and enough <= weigher.facts_of[partner]
        if alone and not origins.population_is_unaffected(words, enough):
            shares = self.reasons.shares(partner, known, 0)
            if all(short(chance, _BY_HAND) for chance in shares.values()):
                before: Facts = frozenset()
                why: list[Said] = []
                for path in weigher.in_order(enough):
                    new = frozenset([path])
                    likely = weigher.ratios((partner,), before, new)
                    why += own_facts.why_own(words, partner, new, likely)
                    before |= new
                return Source((), tuple(why))
        return self.person(partner, self.chosen.with_reasons((partner,), enough, known))

    def couple(
        self,
        pair: Scope,
        facts: Facts,
        *,
        people: tuple[str, str] | None = None,
        needless: Scope = (),
    ) -> Source:
        """Add a table of two people jointly given `facts`, shown by these ids.

        Of him whose genotype is `needless` nothing is explained.
        """
        words = self.words
        one, two = pair
        shown = people or (words.id_of(one, None), words.id_of(two, None))
        made = self._ids.get((pair, shown, facts, 0, needless))
        if made is not None:
            return Source((made,))
        return self._finish(
            self.couples.table(pair, facts, needless),
            shown,
            facts,
            lambda hypothesis: words.pair_state(pair, hypothesis, shown),
            needless,
        )

    def _finish(
        self,
        table: Table,
        people: tuple[str, ...],
        facts: Facts,
        labels: Callable[[Hypothesis], str],
        needless: Scope = (),
    ) -> Source:
        """Keep a finished table as a step."""
        id = f"s{len(self._made) + 1}"
        uses = [use for row in table.rows for use in row.uses]
        reasons = [list(map(self.words.finished, row)) for row in table.reasons()]
        if self.words.twins:
            told = [said for row in reasons for said in row]
            reasons[0][:0] = twinship.of_identical(
                self.words, table.variables, told, partial(self._topics_before, uses)
            )
        self._made[id] = table.step(id, people, labels, reasons)
        self._ids[table.variables, people, facts, table.order, needless] = id
        return Source((id,))

    def _topics_before(self, uses: Sequence[str]) -> set[Topic | None]:
        """Return the topics of steps and of all that these use."""
        found: set[Topic | None] = set()
        seen: set[str] = set()
        waiting = list(uses)
        while waiting:
            id = waiting.pop()
            if id not in seen:
                seen.add(id)
                for row in self._made[id].rows:
                    found |= {said.topic for said in row.reasons}
                    waiting += row.uses
        return found
