"""The rows of a table: a person's own facts, those of alike children and of twins, and the rest."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction

from risk.genetics.founders import mutates
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.model.family import Birth
from risk.model.locus import Evidence
from risk.workings import (
    child_rows,
    conception,
    own_facts,
    twins,
    twinship,
)
from risk.workings.naming import MOST_NAMED
from risk.workings.own_rows import OwnRows
from risk.workings.reasons import Reasons
from risk.workings.step import Said, Value
from risk.workings.sums import Averages, sums_of, with_vanishing
from risk.workings.table import Source, Sources, Start, Table
from risk.workings.values import short
from risk.workings.weigh import Facts, Hypothesis, equal, order_of, share


class Rows(OwnRows):
    """Adds rows to tables, each with its sentence, for the reasons of one family."""

    def __init__(self, reasons: Reasons, sources: Sources) -> None:
        super().__init__(reasons)
        self.sources = sources
        #: See `_by_its_chances`.
        self._phenotypes: dict[Hashable, Evidence] = {}
        self.conception = conception.Conception(reasons)
        #: See `_of_relative`.
        self._told: dict[tuple[int, Facts, Facts, frozenset[Hypothesis]], Source] = {}

    def add_children(
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
            self.add_alike(table, told, frozenset(), beside)
            return
        group = [partner, *told]
        given = self.weigher.connected(group, side - table.known, {variable})
        certain = self.weigher.certain(partner, table.known | given)
        if certain is not None:
            if certain != 0:
                # The chances of the children follow from it as much as from the table's person.
                why = self.reasons.why_certain((partner,), table.known | given)
                table.say(why)
            self.add_alike(table, told, given, beside, None if certain else partner)
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
            source = self.sources.person(partner, of_partner)
        elif not from_population:
            source = self.sources.partner(variable, partner, table.known)
        known, couple = table.known | given, (variable, partner)
        averages = self.averages(draft.shown, (variable,), (partner,), known, everything)
        # What vanishes is told only where a sum goes by it.
        vanishing = from_population or with_vanishing(averages)
        told_before = bool(of_partner and source.reasons) and partner not in self.reasons.births
        below = self.by_own_genotype(table, couple, list(told), known, everything)
        if below is None:
            averages, below = {}, Source()
        shares = {}
        # Else they go by what the table's person has.
        if not self.weigher.small or self.weigher.independent(variable, partner, known):
            shares = self.reasons.shares(partner, table.known | of_partner, int(vanishing))
        why = child_rows.why_partner(
            self.words,
            variable,
            partner,
            shares,
            draft.shown,
            averages,
            tuple(told),
            everything,
            from_population=from_population,
            told_before=told_before,
            explained=bool(below.reasons),
            hidden=table.within,
        )
        reasons = [*source.reasons, *why[:-1], *below.reasons, *why[-1:]]
        text = child_rows.children_row(self.words, (variable,), tuple(told), everything, married)
        table.keep(draft, text, reasons, source.uses + below.uses)

    def add_alike(
        self,
        table: Table,
        told: dict[int, Facts],
        given: Facts,
        beside: Mapping[int, Facts],
        partner: int | None = None,
        *,
        others: bool = False,
    ) -> None:
        """Add a row for each group of children with alike facts and nothing below them.

        A child with descendants has one of its own, with what is known `beside` these.  It is said
        how a `partner` can be the one with a rare allele, of whom `given` tells.  `others` tells
        that the table has rows for further children.
        """
        groups: dict[Hashable, list[int]] = {}
        for child, paths in told.items():
            groups.setdefault(self._likeness(child, paths), []).append(child)
        for children in groups.values():
            new: Facts = frozenset().union(*(told[child] for child in children)) - table.known
            married = beside[children[0]] - table.known - given
            self._add_group(table, tuple(children), new, given, married, partner, others=others)

    def _add_group(
        self,
        table: Table,
        children: Scope,
        new: Facts,
        given: Facts,
        married: Facts,
        partner: int | None,
        *,
        others: bool,
    ) -> None:
        """Add a row for children of whom the same is known; see `add_alike`."""
        draft = table.weigh((given | married) - table.known, new)
        if draft is None:
            return
        values, variables = draft.shown, table.variables
        known = table.known | given | married
        own = new <= frozenset().union(*[self.weigher.facts_of[each] for each in children])
        averages: Averages = {}
        if not own or (len(variables) == 1 and not all(map(short, values.values()))):
            averages = self.averages(values, variables, children[:1], known, new)
        source, through = Source(), ""
        likely: dict[Hypothesis, Value] = {}
        if averages:
            likely = self.counted_chances(children[0], known, new, variables, values)
        if likely and not own and self.goes_by_child(variables, children[0], known, new, likely):
            through = child_rows.through_child(
                self.words,
                variables,
                children[0],
                values,
                averages,
                likely,
                self.weigher.certain(children[0], known | new),
                self.conception.arising(children[0], variables, known, averages),
                hidden=table.within,
            )
        if through:
            source = self._of_relative(children[0], known, new, likely)
        of_one = self._of_results(variables, children, values, known, new)
        couple, told, explained, rule = list[Said](), new, children, Said("")
        if averages and (own or through):
            both = self.reasons.births[children[0]].parents
            rule = conception.passing_rule(self.reasons, children, both, known)
        if len(variables) == 2:
            first = new & self.weigher.facts_of[children[0]]
            plain = conception.is_plain(self.reasons, children[0], first)
            # Of others than plain ones the first stands for all.
            group = children if plain else children[:1]
            if own:
                by_own = self.by_own_genotype(table, variables, group, known, new)
                couple += by_own.reasons if by_own else []
            if plain and couple:
                told, explained = first, children[:1]
            couple = couple or [conception.passing_rule(self.reasons, children, variables, known)]
        reasons = [
            *source.reasons,
            *couple,
            *child_rows.why_children(
                self.words,
                variables,
                explained,
                told,
                married,
                values,
                averages,
                of_one,
                through,
                self.weigher.weights(variables, known | new),
                rule,
                others=others,
                named=table.within,
            ),
            *(self._why_results(children[0], new) if of_one else ()),
        ]
        if partner is not None and (0,) in table.later and (0,) in values:
            if list(self.weigher.weights((partner,), known)) == [(0,)]:
                why_none = self.reasons.why_certain((partner,), known)
                counts = not equal(values[0,], self._without(variables, known, new, given))
                reasons[:0] = why_none if counts else []
            else:
                why = self._from_partner(table, partner, values, known, new, given)
                reasons.append(self.words.said(why, [*variables, partner], given))
        text = child_rows.children_row(self.words, variables, children, new, married)
        table.keep(draft, text, reasons, source.uses)

    def _of_results(
        self,
        parents: Scope,
        children: Scope,
        values: Mapping[Hypothesis, Value],
        known: Facts,
        new: Facts,
    ) -> Averages:
        """Return the chances of one of some children with results as sums over what it may have.

        Nothing where there are no results, or facts about more than these children.
        """
        one, *_ = children
        own = self.weigher.facts_of[one] & new
        if (
            len(parents) > 1
            or all(self.words.facts_kind(path) != "tests" for path in own)
            or not new <= frozenset().union(*[self.weigher.facts_of[each] for each in children])
            or any(person.count for person in self.words.people[one])
        ):
            return {}
        return self.averages(values, parents, (one,), known, own)

    def _why_results(self, child: int, new: Facts) -> list[Said]:
        """Tell where the chances of a child's results come from that are `new`."""
        found: list[Said] = []
        own = self.weigher.facts_of[child] & new
        tests = frozenset(path for path in own if self.words.facts_kind(path) == "tests")
        for alike in self.alike_results(tests):
            # The classes of a child's alleles depend on what its parents have.
            found += own_facts.of_result(self.words, min(alike), {})
        return found

    def _from_partner(
        self,
        table: Table,
        partner: int,
        values: Mapping[Hypothesis, Value],
        known: Facts,
        new: Facts,
        given: Facts,
    ) -> str:
        """Explain the chance of a row with no rare allele but in a partner.

        The row brings in `new` facts after those `known`, of which those `given` tell of the
        partner.
        """
        (variable,) = table.variables
        value = values.get((0,))
        if not self.weigher.small or not isinstance(value, (Term, Fraction)) or value == 1:
            return ""
        found = self.averages(values, table.variables, (partner,), known, new).get((0,))
        if not order_of(value):
            by_now = self.conception.of_partner(variable, partner, known)
            return child_rows.with_partner(self.words, partner, variable, by_now, found, value)
        if table.within:
            given |= self.weigher.facts_of[partner] & known
        terms = found.terms if found else []
        usual = self.reasons.shares(partner, known - given, 1).get(1)
        if len(terms) == 1 and usual is not None and not mutates(self.family.case.condition):
            ((weight, chance),) = terms
            factors = [usual, share(weight, usual), share(chance, Fraction(1))]
            # What several facts multiply by together nobody finds in a sentence.
            plain = len(given) <= 1 or factors[1] == 1
            if plain and isinstance(weight, Term) and weight.order:
                return child_rows.from_partner(self.words, partner, variable, given, factors, value)
        without = self._without(table.variables, known, new, given)
        if equal(value, without):
            return ""
        return child_rows.counted_without(self.words, variable, given, without)

    def _without(self, parents: Scope, known: Facts, new: Facts, given: Facts) -> Value:
        """Return the chance of facts with no allele in a parent, but for those `given`."""
        return self.weigher.ratios(parents, known - given, new).get((0,), 0)

    def by_own_genotype(
        self, table: Table, parents: Scope, children: Sequence[int], known: Facts, new: Facts
    ) -> Source | None:
        """Explain by what a child has the chance of what is known of it and below.

        None where a loop lets that follow from more than what these two have.
        """
        found: list[Said] = []
        uses: tuple[str, ...] = ()
        factors: list[Mapping[Hypothesis, Value]] = []
        all_told = True
        plain: dict[Hashable, list[int]] = {}
        # A table of the parents shows what is known of one child alone.
        hidden = table.within or len(children) > 1 or len(table.variables) == 1
        for child in children if len(children) <= MOST_NAMED else ():
            own = self.weigher.facts_of[child] & new
            told = self.reasons.told_from(child) & new
            if told != own:
                below = self._of_child_and_below(parents, child, known, told, hidden=hidden)
                if below is None:
                    return None
                weighed, source = below
                all_told = all_told and bool(source.reasons)
                found += source.reasons
                uses += source.uses
                factors.append(weighed)
            elif not own:
                continue
            elif conception.is_plain(self.reasons, child, own):
                plain.setdefault(self._likeness(child, own), []).append(child)
            elif self.family.case.person(self.words.id_of(child, None)).count:
                values = self.weigher.ratios(parents, known, own)
                found += child_rows.each_by_values(
                    self.words,
                    (child,),
                    parents,
                    own,
                    values,
                    {},
                    self.weigher.weights(parents, known | new),
                    named=table.within or len(children) > 1,
                )
            else:
                values = self.weigher.ratios((child,), known, own)
                averages = self._over_child(parents, child, known, values)
                weighed = {states: each.value for states, each in averages.items()}
                why = child_rows.by_own_genotype(
                    self.words, child, own, new, values, parents, weighed, averages, hidden=hidden
                )
                all_told = all_told and bool(why)
                found += why
                found += self._why_results(child, new) if why else []
                factors.append(weighed)
        for alike in plain.values():
            found += conception.by_parents(
                self.reasons,
                parents,
                alike,
                known,
                new,
                table.order,
                self.conception.conceived,
                named=table.within or len(children) > len(alike),
            )
        if found:
            found.append(conception.passing_rule(self.reasons, children, parents, known))
        if len(factors) == len(children) > 1 and all_told:
            whole = self.weigher.ratios(parents, known, new)
            multiplied = child_rows.multiplied(self.words, parents, factors, whole)
            found.append(self.words.said(multiplied, parents))
        return Source(uses, tuple(found))

    def _over_child(
        self, parents: Scope, child: int, known: Facts, values: Mapping[Hypothesis, Value]
    ) -> Averages:
        """Return the chances `values` by what a child has as sums by what its parents have."""
        weights = self.weigher.weights(parents, known)
        conceived = self.conception.in_proportion(child, parents, weights)
        return sums_of(
            (states, weight * chance, values.get((state,), 0))
            for states, weight in weights.items()
            for state, chance in conceived[states].items()
        )

    def _of_child_and_below(
        self, parents: Scope, child: int, known: Facts, told: Facts, *, hidden: bool
    ) -> tuple[Mapping[Hypothesis, Value], Source] | None:
        """Return the chances of what is `told` of a child and below by what both parents have.

        With them comes how they follow.  None where they do not by what the child may have alone.
        """
        likely = self.counted_chances(child, known, told)
        averages = self._over_child(parents, child, known, likely)
        weighed = {states: each.value for states, each in averages.items()}
        whole = self.weigher.ratios(parents, known, told)
        if not all(equal(value, whole.get(states, 0)) for states, value in weighed.items()):
            return None
        through = child_rows.through_child(
            self.words, parents, child, weighed, averages, likely, None, {}, hidden=hidden
        )
        if not through:
            return weighed, Source()
        uses, reasons = self._of_relative(child, known, told, likely)
        return weighed, Source(uses, (*reasons, self.words.said(through, [child])))

    def add_twin(self, table: Table, child: int, beside: Facts, new: Facts) -> None:
        """Add a row for a twin of unknown zygosity, and what is known below and beside the twin."""
        new = new - table.known
        if not new:
            return
        zygosity, stated = twins.stated_zygosity(self.family, child)
        (variable,) = table.variables
        married = beside - table.known
        draft = table.weigh(married, new)
        if draft is None:
            return
        known, three = table.known | married, (variable, zygosity, child)
        averages = self.averages(draft.shown, (variable,), (zygosity,), known, new)
        alike = twins.alike_now(self.reasons, table, zygosity, stated, draft.shown)
        begin = twinship.why_twin(self.words, child, alike)
        likely = self.counted_chances(child, known, new)
        source = self._of_relative(child, known, new, likely)
        apart = twins.as_siblings(self.reasons, three, known, new, draft.shown)
        people = child_rows.told_people(self.words, [child], new)
        why = twinship.by_zygosity(self.words, people, variable, draft.shown, averages, apart)
        # Else the twin's genotype says nothing of the other's where they are not monozygotic.
        differ = len({of.value for of in apart.values()}) > 1
        parents = twins.parents_without(self.reasons, variable, known) if differ else Said("")
        begun, worked = [self.words.said(text, [child]) for text in (begin, why)]
        text = self.words.facts_row(new | married)
        table.keep(draft, text, [begun, *source.reasons, parents, worked], source.uses)

    def _of_relative(
        self, relative: int, known: Facts, new: Facts, likely: Mapping[Hypothesis, Value]
    ) -> Source:
        """Tell how `likely` what is `new` of somebody and below is, by what that one may have."""
        key = relative, known, new, frozenset(likely)
        found = self._told.get(key)
        if found is None:
            found = self._told[key] = self._tell(relative, known, new, likely)
        return found

    def _tell(
        self, relative: int, known: Facts, new: Facts, likely: Mapping[Hypothesis, Value]
    ) -> Source:
        weigher = self.weigher
        own = weigher.facts_of[relative] & new
        # What only rules genotypes out needs no numbers.
        plain = frozenset(
            path
            for path in own
            if {*weigher.ratios((relative,), known, frozenset({path})).values()} <= {0, 1}
        )
        tests = frozenset(path for path in own - plain if self.words.facts_kind(path) == "tests")
        table = Table(weigher, (relative,), known | plain)
        table.start(Start("", ()))
        table.within = True
        table.later = likely
        affected = frozenset(filter(self.words.says_affected, plain))
        if affected and weigher.certain(relative, table.known) is None:
            table.say(self.ruled_out(relative, affected))
        for path in weigher.in_order(own - plain - tests):
            self.add_own(table, relative, frozenset({path}))
        for alike in self.alike_results(tests):
            self.add_own(table, relative, alike)
        for births in self.reasons.births_by_partner(relative):
            beside = dict.fromkeys([birth.child for birth in births], frozenset[str]())
            self.add_children(table, relative, births, frozenset(), beside, known | new)
        for twin in twins.second_twins(self.family, relative):
            self.add_twin(table, twin, frozenset(), new & self.reasons.told_from(twin))
        rows = table.rows[1:]
        factors = {each: [row.values[each] for row in rows] for each in likely if likely[each]}
        together = child_rows.together(self.words, relative, factors, likely)
        uses = tuple([use for row in rows for use in row.uses])
        return Source(uses, (*table.sentences, self.words.said(together, [relative])))

    def add_common(self, table: Table, common: list[Birth], facts: Facts) -> None:
        """Add rows for the common children of two people, and what is known below and beside them.

        Those with the same facts have one together.
        """
        pair = table.variables
        below = facts & set().union(*[self.reasons.told_from(birth.child) for birth in common])
        side = facts - below - table.known
        beside = self.reasons.by_marriage(
            pair, [birth.child for birth in common], below, side, table.known
        )
        known = table.known
        number = sum(not (self.reasons.told_from(birth.child) & facts) <= known for birth in common)
        for birth in common:
            told = (self.reasons.told_from(birth.child) & facts) - table.known
            if told:
                given = self.weigher.connected([birth.child], side - table.known, pair)
                alike = {birth.child: told}
                if told <= self.weigher.facts_of[birth.child]:
                    alike = self._alike_births(common, birth, facts, table.known)
                self.add_alike(table, alike, given, beside, others=number > len(alike))

    def _alike_births(
        self, common: list[Birth], like: Birth, facts: Facts, known: Facts
    ) -> dict[int, Facts]:
        """Return the children of a couple with the same facts as one of them."""

        def likeness(child: int) -> Hashable:
            return self._likeness(child, (self.reasons.told_from(child) & facts) - known)

        alike = likeness(like.child)
        return {
            birth.child: self.weigher.facts_of[birth.child] & facts
            for birth in common
            if likeness(birth.child) == alike
        }

    def _likeness(self, child: int, paths: Facts) -> Hashable:
        """Return what is the same for children of whom the same is known, and nobody below them.

        Sons and daughters are alike where their phenotypes have the same chances.
        """
        if not paths <= self.weigher.facts_of[child]:
            return child
        copies = self.family.copies[child]
        evidence = [self.weigher.facts[path].evidence for path in sorted(paths)]
        return copies, tuple([self._by_its_chances(copies, each) for each in evidence])

    def _by_its_chances(self, copies: int, evidence: Evidence) -> Evidence:
        """Return the first phenotype with the same chances as this, but for the sex."""
        if evidence.kind != "affected":
            return evidence
        found = self._phenotypes.get((copies, evidence))
        if found is None:
            chances = self.family.locus.fact_likelihood(copies, evidence)
            alike = copies, evidence.detail[1:], chances  # type: ignore[index]
            found = self._phenotypes.setdefault(alike, evidence)
            self._phenotypes[copies, evidence] = found
        return found
