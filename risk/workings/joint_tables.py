"""Two people's joint table: where it starts, and its rows."""

from __future__ import annotations

from risk.inference.plan import Scope
from risk.model.family import Birth
from risk.workings import origins, own_facts, tied, two_people
from risk.workings.chosen_facts import ChosenFacts
from risk.workings.kinship import kinship
from risk.workings.rows import Rows
from risk.workings.step import Said
from risk.workings.table import Source, Sources, Start, Table
from risk.workings.twins import known_of_first, unsure_twins, why_twins
from risk.workings.weigh import Facts, Joint


class JointTables:
    """Makes tables of two people jointly, whose rows follow from `sources`."""

    def __init__(self, rows: Rows, chosen: ChosenFacts, sources: Sources) -> None:
        self.rows = rows
        self.chosen = chosen
        self.sources = sources
        self.reasons = rows.reasons
        self.words = rows.words
        self.weigher = rows.weigher
        self.family = rows.family

    def table(self, pair: Scope, facts: Facts, needless: Scope = ()) -> Table:
        """Return the table of two people given `facts`.

        Of him whose genotype is `needless` nothing is explained.
        """
        weigher = self.weigher
        one, two = pair
        common: list[Birth] = []
        start, left_out = facts, needless
        if one != two and not weigher.independent(one, two, facts):
            births = self.reasons.births_of.get(one, ())
            common = [birth for birth in births if two in birth.parents]
            below = facts & set().union(*[self.reasons.told_from(birth.child) for birth in common])
            start = weigher.connected(pair, facts - below, ())
            # What is known of their children tells of both.
            left_out = ()
            if start <= weigher.facts_of[one] | weigher.facts_of[two] and self._shared(pair):
                start = frozenset()
            # A child with two copies has one of each, so that what both have just multiplies.
            for birth in common:
                shown = start | self.reasons.showing_two(birth.child, facts)
                if shown != start and weigher.independent(one, two, shown):
                    start = shown
        prior = self._prior_of_two(pair, start, facts, left_out)
        table = Table(weigher, pair, start)
        table.start(prior)
        for variable in pair if one != two else ():
            self.rows.add_own_of_two(table, variable, facts)
        if start != facts:
            self.rows.add_common(table, common, facts)
        self.rows.add_rest(table, facts)
        return table

    def _prior_of_two(self, pair: Scope, start: Facts, facts: Facts, needless: Scope) -> Start:
        """Return what the first row says, which starts from the facts `start` of all `facts`."""
        weigher, words = self.weigher, self.words
        if pair[0] == pair[1]:
            uses = self.sources.person(pair[0], start, asked=True).uses
            return Start(two_people.SAME_GENOTYPE, [], uses)
        if not weigher.independent(pair[0], pair[1], start):
            twins = unsure_twins(self.family, pair)
            if twins is None:
                return self._through_ancestors(pair, start)
            alone = known_of_first(self.reasons, twins, start)
            uses = self.sources.person(twins.first, alone).uses if alone else ()
            why = why_twins(self.reasons, twins, pair, start)
            return Start(two_people.tied(words, pair), why, uses)
        sentences: list[Said] = []
        uses = ()
        explained = tuple([each for each in pair if each not in needless])
        if not start and all(self.reasons.births.get(variable) is None for variable in pair):
            same = len({self.family.copies[each] for each in explained}) == 1
            shares = self.reasons.shares(explained[0], start, 9) if same else None
            sentences += origins.why_population(words, explained, start, shares)
        order = self.reasons.order(pair, start, facts)
        open_ = [variable for variable in pair if len(weigher.upto(order, (variable,), start)) > 1]
        if not open_ and not sentences:
            sentences += self.reasons.why_certain(explained, start)
        for variable in explained if not sentences else ():
            if variable in open_:
                source = self._one_of_two(variable, start, order)
                uses += source.uses
                sentences.extend(source.reasons)
            else:
                sentences += self.reasons.why_certain((variable,), start)
        if not needless:
            sentences += tied.why_independent(
                self.reasons, pair, start, at_first=start != facts, always=not sentences
            )
        return Start(two_people.apart(words, pair), sentences, uses)

    def _through_ancestors(self, pair: Scope, start: Facts) -> Start:
        """Return what two people's joint table begins with.

        It follows from what their common ancestors have, where these are one or two.  Where
        nothing is known, how close the two are related says it shorter, but for the X.
        """
        words = self.words
        related = kinship(self.family, *pair)
        ancestors = related.ancestors if related else ()
        certain = [each for each in ancestors if self.weigher.certain(each, start) is not None]
        common = tuple([each for each in ancestors if each not in certain])
        cases = []
        untold = not start and not self.family.case.condition.x_linked
        if not untold and 0 < len(common) <= 2 and self.weigher.small:
            cases = tied.cases_of_ancestors(self.reasons, pair, common, start)
        if related is None or not cases:
            tied_by = words.said(two_people.why_tied(words, pair, start), pair, start)
            summed = [words.said(two_people.summed(words, pair, related))]
            how = summed if start else self._shared(pair)
            return Start(two_people.tied(words, pair), [tied_by, *how])
        sources = self.sources
        above = sources.couple(common, start) if common[1:] else sources.person(common[0], start)
        known = {
            v: tied.known_of(self.reasons, v, common, cases, start) for v in pair if v not in common
        }
        sentences = [
            words.said(two_people.why_tied(words, pair), pair),
            *self.reasons.why_certain(tuple(certain), start),
            *above.reasons,
        ]
        for variable, values in known.items():
            if values:
                told = self.reasons.told_from(variable) & start
                chances: Joint = {(state,): chance for state, chance in values.items()}
                sentences += own_facts.why_known(words, variable, told, chances)
        counting = tuple([each for each in known if known[each]])
        if counting:
            text = two_people.counted_once(words, counting, common)
            sentences.append(words.said(text, [*counting, *common]))
        both = self.weigher.posterior(pair, start).get((1, 1))
        text = two_people.by_ancestors(words, pair, related, common, cases, known, both)
        sentences.append(words.said(text, [*pair, *common]))
        return Start(two_people.tied(words, pair), sentences, above.uses)

    def _shared(self, pair: Scope) -> list[Said]:
        """Return how two relatives of whom nothing is known share copies, where that is all."""
        chances = self.weigher.posterior(pair, frozenset())
        return two_people.by_shared_copies(self.words, pair, chances)

    def _one_of_two(self, variable: int, start: Facts, order: int) -> Source:
        """Add the table of one of two independent people, of the facts that matter to it."""
        if order:
            return self.sources.person(variable, start, order=order)
        enough = self.chosen.enough(variable, start)
        return self.sources.person(variable, self.chosen.with_reasons((variable,), enough, start))
