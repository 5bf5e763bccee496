"""One person's table: where it starts, and its rows.

It starts from the parents (or the population), goes on with the person's own facts and ends with
those of the descendants.
"""

from __future__ import annotations

from collections.abc import Mapping

from risk.genetics.founders import mutates
from risk.inference.plan import Scope
from risk.model.family import Birth, TwinPair
from risk.workings import origins, tied, twinship
from risk.workings.rows import Rows
from risk.workings.step import Certain, Said, State
from risk.workings.table import Sources, Start, Table
from risk.workings.twins import known_of_first, second_twins, told_by_twin, twins_of, zygosity
from risk.workings.weigh import Facts


class PersonTables:
    """Makes tables of one person, whose rows follow from `sources`."""

    def __init__(self, rows: Rows, sources: Sources) -> None:
        self.rows = rows
        self.sources = sources
        self.reasons = rows.reasons
        self.words = rows.words
        self.weigher = rows.weigher
        self.family = rows.family

    def table(self, variable: int, facts: Facts, order: int) -> Table:
        """Return a person's table."""
        weigher, words, reasons = self.weigher, self.words, self.reasons
        own = weigher.facts_of[variable] & facts
        below = (reasons.told_from(variable) & facts) - own
        twins = second_twins(self.family, variable)
        children = [birth.child for birth in reasons.births_of.get(variable, ())]
        through_parents = told_by_twin(reasons, variable, facts)
        if through_parents:
            below -= through_parents
            twins = []
        above = weigher.connected([variable], facts - below - own, ())
        side = facts - below - own - above
        status = frozenset(path for path in own if words.facts_kind(path) == "affected")
        tests = frozenset(path for path in own if words.facts_kind(path) == "tests")
        birth = reasons.births.get(variable)
        of_population = birth is None and origins.population_is_unaffected(words, status)
        merged = status if of_population else frozenset()
        start = self._passed_on_to_a_child(variable, facts) if not above else None
        if start is not None:
            above, merged = start[1], frozenset()
        table = Table(weigher, (variable,), above | merged, order)
        table.later = weigher.upto(order, (variable,), facts)
        prior = start[0] if start else self._prior(variable, above, merged, facts, order)
        table.start(prior)
        for path in weigher.in_order(own - merged - tests):
            self.rows.add_own(table, variable, frozenset({path}))
        beside = reasons.by_marriage((variable,), [*children, *twins], below, side, table.known)
        for births in reasons.births_by_partner(variable):
            self.rows.add_children(table, variable, births, side, beside, facts)
        for twin in twins:
            new = below & reasons.told_from(twin)
            self.rows.add_twin(table, twin, beside[twin], new)
        for alike in self.rows.alike_results(tests):
            self.rows.add_own(table, variable, alike)
        self.rows.add_rest(table, facts)
        return table

    def _prior(self, variable: int, above: Facts, merged: Facts, facts: Facts, order: int) -> Start:
        """Return what the prior row of somebody says, who is known by the facts `above`."""
        order = self.reasons.order((variable,), above, facts, order)
        birth = self.reasons.births.get(variable)
        if birth is None:
            return self._of_founder(variable, above, merged, order)
        twins = twins_of(self.reasons, variable, above)
        if twins is not None:
            return self._of_twin(variable, twins, birth.parents, above)
        shares = self.reasons.shares
        if self.weigher.like_population(variable, above):
            alike = origins.why_like_population(
                self.words, variable, shares(variable, above, 9), vanishing=order > 0
            )
            return Start(origins.population(frozenset()), [alike])
        if not above:
            why = origins.why_unknown_parents(self.words, variable, shares(variable, above, 9))
            return Start(origins.UNKNOWN_PARENTS, why)
        states = {
            parent: self.weigher.certain(parent, above)
            if len(self.weigher.upto(order, (parent,), above)) == 1
            else None
            for parent in birth.parents
        }
        open_ = [parent for parent in birth.parents if states[parent] is None]
        if not open_:
            return self._from_certain(variable, states, above, order)
        pair = (min(birth.parents), max(birth.parents))
        if len(open_) == 1 or self.weigher.independent(*pair, above):
            return self._from_independent(birth, states, above, order)
        return self._from_couple(variable, pair, above)

    def _of_founder(self, variable: int, above: Facts, merged: Facts, order: int) -> Start:
        """Begin with the population, of which `merged` is taken to be so."""
        words, weigher = self.words, self.weigher
        if not above | merged and not order and len(weigher.upto(0, (variable,), above)) == 1:
            why = [origins.why_certain(words, {variable: 0}, above)]
        else:
            shares = self.reasons.shares(variable, above | merged, 9)
            why = origins.why_population(words, (variable,), merged, shares)
        return Start(origins.population(merged), why)

    def _of_twin(self, variable: int, twins: TwinPair, parents: Scope, above: Facts) -> Start:
        """Begin with the parents and the twin, of unknown zygosity."""
        words = self.words
        chances = zygosity(self.reasons, twins, variable, above)
        certain = all(self.weigher.certain(each, above) is not None for each in parents)
        why = self.reasons.why_certain(parents, above) if certain else []
        alone = known_of_first(self.reasons, twins, above)
        second = variable == twins.second
        uses = self.sources.person(twins.first, alone).uses if second and alone else ()
        told = frozenset[str]().union(
            *[each.topic.by for each in why if isinstance(each.topic, Certain)]
        )
        left = frozenset() if uses else above - told
        text = twinship.why_twin_prior(words, variable, left, *chances, told_of_one=bool(uses))
        return Start(twinship.TWIN_PRIOR, [*why, words.said(text, [variable])], uses)

    def _passed_on_to_a_child(self, variable: int, facts: Facts) -> tuple[Start, Facts] | None:
        """Begin with a child that has two copies by its own facts, which are returned with it.

        One of them comes from somebody of the population, whose other copy is as anyone's.
        """
        if variable in self.reasons.births or not self._from_anyone((variable,)):
            return None
        for birth in self.reasons.births_of.get(variable, ()):
            child = birth.child
            own = self.reasons.showing_two(child, facts)
            if not own:
                continue
            shares = self.reasons.shares(variable, own, 0)
            text = origins.passed_on_to_a_child(self.words, variable, child, shares)
            if text is not None:
                why = self.reasons.why_certain((child,), own)
                row = f"passes the allele on to {self.words.who(child)}"
                return Start(row, [*why, text]), own
        return None

    def _from_certain(
        self, variable: int, states: Mapping[int, State | None], above: Facts, order: int
    ) -> Start:
        """Begin with parents whose `states` are certain."""
        words, weigher = self.words, self.weigher
        why = self.reasons.why_certain(tuple(states), above)
        if len(weigher.upto(order, (variable,), above)) == 1:
            state = weigher.certain(variable, above)
            text = f"So {words.who(variable)} {words.has(variable, state)} for certain"
            topic = Certain(frozenset({(variable, state)}), above)
            why.append(words.said(text, [variable], topic=topic))
        return Start(origins.from_certain(words, states), why)

    def _from_independent(
        self, birth: Birth, states: Mapping[int, State | None], above: Facts, order: int
    ) -> Start:
        """Begin with parents who say nothing of each other; some of their `states` are certain."""
        words, reasons, variable = self.words, self.reasons, birth.child
        uses, why, founders = tuple[str, ...](), list[Said](), tuple[int, ...]()
        open_ = [parent for parent, state in states.items() if state is None]
        for parent in states:
            if parent in open_:
                source = self.sources.person(parent, above, order=order)
                uses += source.uses
                why += source.reasons
                founders += (parent,) * (not source.uses and parent not in reasons.births)
            else:
                why += reasons.why_certain((parent,), above)
        posteriors = {parent: reasons.shares(parent, above, order) for parent in open_}
        prior = reasons.shares(variable, above, order)
        if len(open_) == 2:
            why += tied.why_independent(reasons, birth.parents, above)
        passing = reasons.passing(birth, above)
        text = origins.why_parents(words, variable, posteriors, prior, passing, founders)
        row = origins.from_parents(words, variable, [each for each in states if states[each] != 0])
        return Start(row, [*why, words.said(text, [variable])], uses)

    def _from_couple(self, variable: int, pair: Scope, above: Facts) -> Start:
        """Begin with parents who are tied together."""
        text = origins.from_parents(self.words, variable, list(pair))
        sibling = self.reasons.telling_child(pair, above)
        if sibling is not None:
            return Start(text, [origins.through_sibling(self.words, pair, *sibling, variable)])
        shared = self._by_shared_copies(variable, pair, above)
        if shared:
            return Start(text, shared)
        source = self.sources.couple(pair, above)
        why = origins.why_joint_parents(self.words, variable)
        why += self.rows.conception.by_both(variable, pair, above)
        return Start(text, [self.words.said(why, [variable])], source.uses)

    def _by_shared_copies(self, variable: int, pair: Scope, above: Facts) -> list[Said]:
        """Return how a child of two people from the population gets what a sibling shows of them.

        That is where nothing else is known of the two, and the sibling has one allele for certain.
        """
        births = [
            birth.child for birth in self.reasons.births_of[pair[0]] if birth.child != variable
        ]
        known = [each for each in births if self.reasons.told_from(each) & above]
        if len(known) != 1 or not self._from_anyone(pair):
            return []
        (sibling,) = known
        if self.weigher.certain(sibling, above) != 1:
            return []
        if self.weigher.connected(pair, above, {sibling}):
            return []
        prior = self.reasons.shares(variable, above, 0)
        text = origins.by_shared_copies(self.words, variable, pair, sibling, prior)
        if not text:
            return []
        why = self.reasons.why_certain((sibling,), above)
        return [*why, self.words.said(text, [variable, sibling, *pair])]

    def _from_anyone(self, people: Scope) -> bool:
        """Tell whether each copy that people have is the allele with chance q, and is passed on so.

        They come from the population, of whose genotypes none is rarer or commoner than by q.
        """
        condition, family = self.family.case.condition, self.family
        frequency = condition.frequency
        return (
            frequency.allele != "rare"
            and frequency.mutation_selection_balance is None
            and condition.germline_mosaicism is None
            and not mutates(condition)
            and all(family.copies[each] == 2 and each not in self.reasons.births for each in people)
            and not any(dict(family.founders).get(each) for each in people)
        )
