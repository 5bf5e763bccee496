"""The steps of a working: one person's table, two people's, and what they start from.

A person's table starts from the parents (or the population), goes on with the person's own facts
and ends with those of the descendants.  Parents get a table of their own only where they are not
certain, and a joint table only where their children's facts tie them together.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from risk.inference.plan import Scope
from risk.model.family import Birth, TwinPair
from risk.workings import child_rows, origins, own_facts, tied, twinship, two_people, whole_steps
from risk.workings.kinship import kinship
from risk.workings.reasons import Reasons
from risk.workings.rows import Rows
from risk.workings.step import Certain, Said, State, Step, Topic
from risk.workings.sums import with_vanishing
from risk.workings.table import Source, Start, Table
from risk.workings.values import short
from risk.workings.weigh import Facts, Hypothesis, Joint, Weigher

#: Characters of a chance that is found by hand from a fact or two.
_BY_HAND = 9


class Steps:
    """The steps of all workings of a case, each made once, whichever questions need it."""

    def __init__(self, weigher: Weigher) -> None:
        self.weigher = weigher
        self.family = weigher.family
        self.reasons = Reasons(weigher)
        self.rows = Rows(self.reasons, self._derive)
        self.words = self.reasons.words
        #: Id of the person whom the present question is about, if it is one.
        self.asked: str | None = None
        #: The variables that it is about, and `Weigher.needed` of them.
        self.counted: tuple[Scope, Facts] = (), frozenset()
        self._made: dict[str, Step] = {}
        #: Steps by what they are about, the people shown, the facts, the order of e, and those of
        #: whom nothing is explained.
        self._ids: dict[tuple[Scope, tuple[str, ...], Facts, int, Scope], str] = {}
        self._told: dict[tuple[Scope, str, Facts, int], Source] = {}

    def leading_to(self, id: str) -> list[Step]:
        """Return the steps that one needs, and itself as the last, numbered ``s1``, ``s2``."""
        ids: dict[str, str] = {}
        waiting = [id]
        while waiting:
            step = self._made[waiting[-1]]
            missing = [use for row in step.rows for use in row.uses if use not in ids]
            if missing:
                waiting += reversed(missing)
            else:
                ids.setdefault(waiting.pop(), f"s{len(ids) + 1}")
        return [self._made[old].renumbered(ids) for old in ids]

    # --- one person -----------------------------------------------------------------------

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
            table = self._person_table(variable, facts, order)
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

    def _person_table(self, variable: int, facts: Facts, order: int) -> Table:
        """Return a person's table."""
        weigher, words, reasons = self.weigher, self.words, self.reasons
        own = weigher.facts_of[variable] & facts
        below = (reasons.told_from(variable) & facts) - own
        twins = reasons.second_twins(variable)
        children = [birth.child for birth in reasons.births_of.get(variable, ())]
        through_parents = reasons.told_by_twin(variable, facts)
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
        table = Table(weigher, (variable,), above | merged, order)
        table.later = weigher.upto(order, (variable,), facts)
        table.start(self._prior(variable, above, merged, facts, order))
        for path in weigher.in_order(own - merged - tests):
            self.rows.add_own(table, variable, frozenset({path}))
        beside = reasons.by_marriage((variable,), [*children, *twins], below, side, table.known)
        for births in reasons.births_by_partner(variable):
            self._add_children(table, variable, births, side, beside, facts)
        for twin in twins:
            new = below & reasons.told_from(twin)
            self.rows.add_twin(table, twin, beside[twin], new)
        for alike in self.rows.alike_results(tests):
            self.rows.add_own(table, variable, alike)
        self.rows.add_rest(table, facts)
        return table

    def _add_children(
        self,
        table: Table,
        variable: int,
        births: list[Birth],
        side: Facts,
        beside: Mapping[int, Facts],
        facts: Facts,
    ) -> None:
        """Add rows for the children with one partner, and what is known below and `beside` them."""
        told = {
            birth.child: (self.reasons.told_from(birth.child) & facts) - table.known
            for birth in births
        }
        told = {child: paths for child, paths in told.items() if paths}
        if not told:
            return
        partner = births[0].father if births[0].mother == variable else births[0].mother
        if partner is None:
            self.rows.add_alike(table, told, frozenset(), beside)
            return
        group = [partner, *told]
        given = self.weigher.connected(group, side - table.known, {variable})
        certain = self.weigher.certain(partner, table.known | given)
        if certain is not None:
            if certain != 0:
                # The chances of the children follow from it as much as from the table's person.
                why = self.reasons.why_certain((partner,), table.known | given)
                table.say(why)
            self.rows.add_alike(table, told, given, beside, None if certain else partner)
            return
        of_partner = given
        from_population = (
            not given
            and partner not in self.reasons.births
            and self.weigher.like_population(partner, table.known)
        )
        everything: Facts = frozenset().union(*told.values())
        married: Facts = frozenset().union(*[beside[each] for each in told]) - table.known - given
        given |= married
        draft = table.weigh(given, everything)
        if draft is None:
            return
        source = Source()
        if of_partner:
            source = self.person(partner, of_partner)
        elif not from_population:
            source = self._derive(variable, partner, table.known)
        known, couple = table.known | given, (variable, partner)
        averages = self.rows.averages(draft.shown, (variable,), (partner,), known, everything)
        # What vanishes is told only where a sum goes by it.
        vanishing = from_population or with_vanishing(averages)
        told_before = bool(of_partner and source.reasons) and partner not in self.reasons.births
        reasons = [
            *source.reasons,
            *child_rows.why_partner(
                self.words,
                variable,
                partner,
                self.reasons.shares(partner, table.known | of_partner, int(vanishing)),
                draft.shown,
                averages,
                tuple(told),
                everything,
                from_population=from_population,
                told_before=told_before,
            ),
            *self.rows.by_own_genotype(couple, list(told), known, everything),
        ]
        text = child_rows.children_row(self.words, (variable,), tuple(told), everything, married)
        table.keep(draft, text, reasons, source.uses)

    def _derive(self, variable: int, partner: int, known: Facts) -> Source:
        """Return what a row on children begins with of a partner, of whom it is what is `known`.

        Nothing where what the partner has goes by what `variable` has, and sentences where somebody
        from the population has short chances by own facts alone.
        """
        weigher, words = self.weigher, self.words
        if not weigher.small or not weigher.independent(variable, partner, known):
            return Source()
        enough = self._enough(partner, known)
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
        return self.person(partner, self.reasons.with_reasons((partner,), enough, known))

    # --- where a table starts -------------------------------------------------------------

    def _prior(self, variable: int, above: Facts, merged: Facts, facts: Facts, order: int) -> Start:
        """Return what the prior row of somebody says, who is known by the facts `above`."""
        order = self.reasons.order((variable,), above, facts, order)
        birth = self.reasons.births.get(variable)
        if birth is None:
            return self._of_founder(variable, above, merged, order)
        twins = self.reasons.twins_of(variable, above)
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
        chances = self.reasons.zygosity(twins, variable, above)
        certain = all(self.weigher.certain(each, above) is not None for each in parents)
        why = self.reasons.why_certain(parents, above) if certain else []
        uses = self._table_of_first(twins, above) if variable == twins.second else ()
        told = bool(uses) or any(
            isinstance(each.topic, Certain) and each.topic.by == above for each in why
        )
        text = twinship.why_twin_prior(
            words, variable, frozenset() if told else above, *chances, told_of_one=bool(uses)
        )
        return Start(twinship.TWIN_PRIOR, [*why, words.said(text, [variable])], uses)

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
                source = self.person(parent, above, order=order)
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
        source = self.couple(pair, above)
        why = origins.why_joint_parents(self.words, variable)
        why += self.rows.by_both(variable, pair, above)
        return Start(text, [self.words.said(why, [variable])], source.uses)

    # --- two people jointly ---------------------------------------------------------------

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
        weigher, words = self.weigher, self.words
        one, two = pair
        shown = people or (words.id_of(one, None), words.id_of(two, None))
        made = self._ids.get((pair, shown, facts, 0, needless))
        if made is not None:
            return Source((made,))
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
        prior = self._prior_of_two(pair, start, facts, left_out)
        table = Table(weigher, pair, start)
        table.start(prior)
        for variable in pair if one != two else ():
            self.rows.add_own_of_two(table, variable, facts)
        if start != facts:
            self.rows.add_common(table, common, facts)
        self.rows.add_rest(table, facts)
        return self._finish(
            table,
            shown,
            facts,
            lambda hypothesis: words.pair_state(pair, hypothesis, shown),
            needless,
        )

    def _shared(self, pair: Scope) -> list[Said]:
        """Return how two relatives of whom nothing is known share copies, where that is all."""
        chances = self.weigher.posterior(pair, frozenset())
        return two_people.by_shared_copies(self.words, pair, chances)

    def _prior_of_two(self, pair: Scope, start: Facts, facts: Facts, needless: Scope) -> Start:
        """Return what the first row says, which starts from the facts `start` of all `facts`."""
        weigher, words = self.weigher, self.words
        if pair[0] == pair[1]:
            uses = self.person(pair[0], start, asked=True).uses
            return Start(two_people.SAME_GENOTYPE, [], uses)
        if not weigher.independent(pair[0], pair[1], start):
            twins = self.reasons.unsure_twins(pair)
            if twins is None:
                return self._through_ancestors(pair, start)
            why = self.reasons.why_twins(pair, start)
            return Start(two_people.tied(words, pair), why, self._table_of_first(twins, start))
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

    def _table_of_first(self, twins: TwinPair, facts: Facts) -> tuple[str, ...]:
        """Return the step of the first of two twins, by `facts` but those of the second.

        There is none where nothing is known of the first alone.
        """
        alone = facts - self.reasons.told_from(twins.second)
        if not alone & self.reasons.told_from(twins.first):
            return ()
        return self.person(twins.first, alone).uses

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
        above = self.couple(common, start) if len(common) == 2 else self.person(common[0], start)
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

    def _one_of_two(self, variable: int, start: Facts, order: int) -> Source:
        """Add the table of one of two independent people, of the facts that matter to it."""
        if order:
            return self.person(variable, start, order=order)
        enough = self._enough(variable, start)
        return self.person(variable, self.reasons.with_reasons((variable,), enough, start))

    def _enough(self, variable: int, facts: Facts) -> Facts:
        """Return those of `facts` that fix what somebody may have."""
        enough = self.weigher.needed_above(variable, facts, *self.counted)
        if enough is None:
            near = [path for path in self.reasons.by_nearness((variable,)) if path in facts]
            enough = self.weigher.needed((variable,), near)
        return enough
