"""The rows of a table: a person's own facts, those of alike children and of twins, and the rest."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from fractions import Fraction
from typing import Any

from risk.genetics.founders import mutates
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.model.family import Birth
from risk.model.locus import Evidence
from risk.workings import (
    child_rows,
    conception,
    own_facts,
    row_chances,
    twins,
    twinship,
    whole_steps,
)
from risk.workings.naming import MOST_NAMED
from risk.workings.reasons import Reasons
from risk.workings.step import Said, State, Value
from risk.workings.sums import Averages, sums_of
from risk.workings.table import Source, Start, Table
from risk.workings.values import short
from risk.workings.weigh import Facts, Hypothesis, Joint, equal, share


class Rows:
    """Adds rows to tables, each with its sentence, for the reasons of one family."""

    def __init__(self, reasons: Reasons, derive: Callable[[int, int, Facts], Source]) -> None:
        self.reasons = reasons
        #: Derives what a partner may have; see `Sources.partner`.
        self._derive = derive
        self.weigher = reasons.weigher
        self.family = reasons.family
        self.words = reasons.words
        #: See `_by_its_chances`.
        self._phenotypes: dict[Hashable, Evidence] = {}
        #: See `_conceived`.
        self._children: dict[tuple[int, Hypothesis], dict[State, Any]] = {}

    def add_own(self, table: Table, variable: int, new: Facts) -> None:
        """Add a row for a fact about the person, or results that say the same."""
        draft = table.weigh(frozenset(), new)
        if draft is None:
            return
        because = self.reasons.other_results(variable, table.known, new)
        parents: Scope = ()
        averages: Averages = {}
        if self.family.case.person(self.words.id_of(variable, None)).count:
            parents = self._unsure_parents(variable, table.known)
            averages = self.averages(draft.shown, (variable,), parents, table.known, new)
        parent = parents[0] if len(parents) == 1 else None
        why = own_facts.why_own(self.words, variable, new, draft.shown, because, parent, averages)
        table.keep(draft, self.words.facts_row(new), why)

    def alike_results(self, tests: Facts) -> list[Facts]:
        """Return the facts about one person's results, those that say the same together."""
        found: dict[Hashable, set[str]] = {}
        for path in self.weigher.in_order(tests):
            found.setdefault(self.weigher.facts[path].evidence, set()).add(path)
        return list(map(frozenset, found.values()))

    def add_own_of_two(self, table: Table, variable: int, facts: Facts) -> None:
        """Add a row for each fact about one of two relatives that the table does not start from."""
        place = table.variables.index(variable)
        for path in self.weigher.in_order(self.weigher.facts_of[variable] & facts - table.known):
            new, known = frozenset({path}), self.weigher.facts_of[variable] & table.known
            draft = table.weigh(frozenset(), new)
            if draft is None:
                continue
            own = self.weigher.ratios((variable,), known, new)
            # Where alleles are of several classes, one relative's tell of the other's.
            alone = all(equal(value, own[each[place],]) for each, value in draft.shown.items())
            why = own_facts.why_known(self.words, variable, new, own) if alone else []
            table.keep(draft, self.words.facts_row(new), why)

    def _unsure_parents(self, variable: int, facts: Facts) -> Scope:
        """Return the parents who are not certain given `facts`."""
        birth = self.reasons.births.get(variable)
        parents = birth.parents if birth else ()
        return tuple([each for each in parents if self.weigher.certain(each, facts) is None])

    def add_rest(self, table: Table, facts: Facts) -> None:
        """Add what the other rows left out, where that still changes something.

        It does only where loops let facts bear on the person in more than one way.
        """
        rest = facts - table.known
        if not rest or self.weigher.alike(table.variables, table.known, facts):
            return
        draft = table.weigh(frozenset(), rest)
        if draft is not None:
            why = self.words.said(whole_steps.why_rest(self.words, rest), told=rest)
            table.keep(draft, whole_steps.rest_row(rest), [why])

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
        own = new <= self.weigher.facts_of[children[0]]
        averages: Averages = {}
        if not own or (len(variables) == 1 and not all(map(short, values.values()))):
            averages = self.averages(values, variables, children[:1], known, new)
        source, below = Source(), list[Said]()
        if not own:
            source, below = self._by_partner(children[0], known, new, averages)
        of_one = self._of_results(variables, children, values, known, new)
        certain = self.weigher.certain(children[0], known | new)
        couple, told, explained = list[Said](), new, children
        if len(variables) == 2:
            first = new & self.weigher.facts_of[children[0]]
            plain = conception.is_plain(self.reasons, children[0], first)
            # Of others than plain ones the first stands for all.
            group = children if plain else children[:1]
            couple = self.by_own_genotype(variables, group, known, new)
            if plain and couple:
                told, explained = first, children[:1]
            couple = couple or [conception.passing_rule(self.reasons, variables, known)]
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
                certain,
                others=others,
            ),
            *below,
            *(self._why_results(children[0], new) if of_one else ()),
        ]
        if partner is not None and (0,) in table.later:
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
        """Explain the vanishing chance of a row with no rare allele but in a partner.

        The row brings in `new` facts after those `known`, of which those `given` tell of the
        partner.
        """
        (variable,) = table.variables
        value = values.get((0,))
        if not self.weigher.small or not isinstance(value, Term) or not value.order:
            return ""
        found = self.averages(values, table.variables, (partner,), known, new).get((0,))
        terms = found.terms if found else []
        usual = self.reasons.shares(partner, known - given, 1).get(1)
        if len(terms) == 1 and usual is not None and not mutates(self.family.case.condition):
            ((weight, chance),) = terms
            factors = [usual, share(weight, usual), share(chance, Fraction(1))]
            # What several facts multiply by together nobody finds in a sentence.
            plain = len(given) <= 1 or factors[1] == 1
            if plain and isinstance(weight, Term) and weight.order:
                return child_rows.from_partner(self.words, partner, variable, given, factors, value)
        without = self.weigher.ratios(table.variables, known - given, new).get((0,), 0)
        if equal(value, without):
            return ""
        return child_rows.counted_without(self.words, variable, given, without)

    def by_own_genotype(
        self, parents: Scope, children: Sequence[int], known: Facts, new: Facts
    ) -> list[Said]:
        """Explain by what a child has the chance of what is known of it alone, of each of a few."""
        found: list[Said] = []
        one, factors = (1, 0), []
        all_told = True
        plain: dict[Hashable, list[int]] = {}
        for child in children if len(children) <= MOST_NAMED else ():
            own = self.weigher.facts_of[child] & new
            if not own or self.reasons.told_from(child) & new != own:
                continue
            if conception.is_plain(self.reasons, child, own):
                plain.setdefault(self._likeness(child, own), []).append(child)
            elif not self.family.case.person(self.words.id_of(child, None)).count:
                values = self.weigher.ratios((child,), known, own)
                products = [
                    (states, chance, values.get((state,), 0))
                    for states in self.weigher.weights(parents, known)
                    for state, chance in self._conceived(child, parents, states).items()
                ]
                averages = sums_of(products)
                weighed = {states: each.value for states, each in averages.items()}
                told = child_rows.by_own_genotype(
                    self.words, child, own, new, values, parents, weighed, averages
                )
                all_told = all_told and bool(told)
                found += told
                found += self._why_results(child, new) if told else []
                factors.append(weighed.get(one, 0))
        for alike in plain.values():
            found += conception.by_parents(
                self.reasons, parents, alike, known, new, self._conceived
            )
        if found:
            found.append(conception.passing_rule(self.reasons, parents, known))
        if len(factors) == len(children) > 1 and all_told:
            whole = self.weigher.ratios(parents, known, new).get(one, 0)
            multiplied = child_rows.multiplied(self.words, parents, one, factors, whole)
            found.append(self.words.said(multiplied, parents))
        return found

    def _by_partner(
        self, child: int, known: Facts, new: Facts, averages: Averages
    ) -> tuple[Source, list[Said]]:
        """Tell of the chances that `averages` over a child multiply how they follow from what
        the one partner may have with whom the child has children that `new` is about.

        With it comes where what the partner may have is derived.
        """
        partners = {
            parent
            for birth in self.reasons.births_of.get(child, ())
            for parent in birth.parents
            if parent != child and self.reasons.told_from(birth.child) & new
        }
        if len(partners) != 1 or not averages:
            return Source(), []
        (partner,) = partners
        used = {chance for each in averages.values() for _, chance in each.weights}
        chances = self.weigher.ratios((child,), known, new)
        values = {state: chance for state, chance in chances.items() if chance in used}
        sums = self.averages(values, (child,), (partner,), known, new)
        worked = child_rows.by_partner(self.words, child, partner, values, sums)
        if not worked:
            return Source(), []
        return self._derive(child, partner, known), [self.words.said(worked, [child, partner])]

    def averages(
        self,
        values: Mapping[Hypothesis, Value],
        variables: Scope,
        others: Scope,
        known: Facts,
        new: Facts,
    ) -> Averages:
        """Return a row as sums over what some others may have, if some are worth showing."""
        if not others or all(value in (0, 1) for value in values.values()):
            return {}
        weigher = self.weigher
        if not weigher.small:
            return {}
        joint = weigher.weights((*variables, *others), known)
        chances = weigher.ratios((*variables, *others), known, new)
        size = len(variables)
        return sums_of([(each[:size], joint[each], chances[each]) for each in joint])

    def by_both(self, child: int, parents: Scope, facts: Facts) -> str:
        """Go on with what a child gets as sums over what both its parents may have."""
        gets = self.weigher.posterior((child,), facts)
        weights = self.weigher.weights(parents, facts)
        chances = [
            (weight, self._conceived(child, parents, states)) for states, weight in weights.items()
        ]
        products = [
            (state, weight, conceived.get(state[0], 0))
            for state in gets
            for weight, conceived in chances
        ]
        worked = row_chances.averaged(self.words, child, gets, sums_of(products), most=3)
        rule = conception.passing_rule(self.reasons, parents, facts).text
        return f"{worked}. {rule}" if rule else worked

    def _conceived(self, child: int, parents: Scope, states: Hypothesis) -> dict[State, Any]:
        """Return the chances of a child's genotypes at conception, by what its parents have."""
        birth, copies, weigher = self.reasons.births[child], self.family.copies, self.weigher
        of = dict(zip(parents, states, strict=True))
        key = copies[child], tuple([of[parent] for parent in birth.parents])
        found = self._children.get(key)
        if found is None:
            found = self._children[key] = {}
            locus = self.family.locus
            mother, *father = [
                next(p for p, _ in enumerate(locus.listed[copies[v]]) if weigher.state(v, p) == s)
                for v, s in zip(birth.parents, key[1], strict=True)
            ]
            chances = locus.children(copies[child], mother, father[0] if father else None)
            for place, chance in enumerate(chances):
                if chance:
                    state = weigher.state(child, place)
                    found[state] = found.get(state, 0) + chance
        return found

    def ruled_out(self, variable: int, facts: Facts) -> list[Said]:
        """Say which genotypes some of a person's own facts rule out; nothing without any."""
        if not facts:
            return []
        likely = self.weigher.ratios((variable,), frozenset(), facts)
        possible: Joint = {each: Fraction(bool(chance)) for each, chance in likely.items()}
        return own_facts.why_own(self.words, variable, facts, possible)

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
        source = self._of_twin(child, known, new)
        apart = twins.as_siblings(self.reasons, three, known, new, draft.shown)
        why = twinship.by_zygosity(self.words, child, variable, draft.shown, averages, apart)
        begun, worked = [self.words.said(text, [child]) for text in (begin, why)]
        text = self.words.facts_row(new | married)
        table.keep(draft, text, [begun, *source.reasons, worked], source.uses)

    def _of_twin(self, twin: int, known: Facts, new: Facts) -> Source:
        """Tell the chances of what is known of a twin and below, by what the twin may have."""
        weigher = self.weigher
        own, plain = weigher.facts_of[twin] & new, set()
        for path in own:
            # What only rules genotypes out needs no numbers.
            likely = weigher.ratios((twin,), known, frozenset({path}))
            if all(chance in (0, 1) for chance in likely.values()):
                plain.add(path)
        table = Table(weigher, (twin,), known | plain)
        table.start(Start(twinship.TWIN_PRIOR, ()))
        for births in self.reasons.births_by_partner(twin):
            told = {birth.child: self.reasons.told_from(birth.child) & new for birth in births}
            told = {child: paths for child, paths in told.items() if paths}
            partners = tuple([each for each in births[0].parents if each != twin])
            if not told:
                continue
            if all(weigher.certain(each, known) is not None for each in partners):
                table.say(self.reasons.why_certain(partners, known) if partners else [])
                self.add_alike(table, told, frozenset(), dict.fromkeys(told, frozenset()))
            else:
                below: Facts = frozenset().union(*told.values())
                values = weigher.ratios((twin,), table.known, below)
                table.say(own_facts.why_known(self.words, twin, below, values))
        for alike in self.alike_results(own - plain):
            self.add_own(table, twin, alike)
        uses = tuple([use for row in table.rows for use in row.uses])
        return Source(uses, tuple(table.sentences))

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
