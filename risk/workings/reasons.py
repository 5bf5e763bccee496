"""What steps are made from: who descends from whom, and why a genotype is certain."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace
from fractions import Fraction
from functools import cached_property, reduce
from operator import or_

from risk.genetics.founders import mutates
from risk.inference.plan import Scope
from risk.model.family import Birth, TwinPair
from risk.workings import origins, twinship, whole_steps
from risk.workings.naming import Naming
from risk.workings.step import Certain, Said, State, Step, Transmission, Value
from risk.workings.table import product_of
from risk.workings.weigh import (
    Facts,
    Hypothesis,
    Joint,
    Weigher,
    equal,
    orders_upto,
    plain,
    same,
    share,
    total,
)


class Reasons:
    """A family's descents, facts and certainties, with the words for them."""

    def __init__(self, weigher: Weigher) -> None:
        self.weigher = weigher
        self.family = weigher.family
        self.words = Naming(self.family)
        #: The births by the child, and those of each parent.
        self.births = {birth.child: birth for birth in self.family.births}
        self.births_of: dict[int, list[Birth]] = {}
        for birth in self.family.births:
            for parent in birth.parents:
                self.births_of.setdefault(parent, []).append(birth)
        self._facts_from: dict[int, Facts] = {}

    def told_from(self, variable: int) -> Facts:
        """Return all facts of a variable and of those that depend on it.

        These are the descendants, and of a twin the second twins.
        """
        found = self._facts_from.get(variable)
        if found is None:
            found = self._facts_from[variable] = self.weigher.told_from(variable)
        return found

    def shares(self, variable: int, facts: Facts, order: int) -> dict[State, Value]:
        """Return the chance of each state of a variable, up to this order of e."""
        joint = self.weigher.weights((variable,), facts)
        whole = total(joint.values())
        counted = self.weigher.upto(order, (variable,), facts)
        return {hypothesis[0]: share(joint[hypothesis], whole) for hypothesis in counted}

    def passing(self, birth: Birth, facts: Facts) -> dict[int, Transmission]:
        """Return for each parent of a child how likely each state is given `facts`, and how likely
        a gamete then has a disease allele; parents that never pass one on are left out.
        """
        found = {}
        for parent in birth.parents:
            terms = self.terms(birth, parent, self.shares(parent, facts, 9))
            if terms:
                found[parent] = terms
        return found

    def terms(self, birth: Birth, parent: int, shares: Mapping[State, Value]) -> Transmission:
        """Return for each state of a parent its chance, one of `shares`, and that it is passed on.

        Without those that never pass an allele on.
        """
        gametes = self.family.locus.gametes(self.family.copies[parent], parent == birth.mother)
        passed = {
            self.weigher.state(parent, place): plain(total(alleles[1:]))
            for place, alleles in enumerate(gametes)
        }
        return tuple([(chance, passed[s]) for s, chance in shares.items() if passed[s]])

    def twins_of(self, variable: int, facts: Facts) -> TwinPair | None:
        """Return the twins of unknown zygosity of whom somebody is the second, or the first where
        `facts` above include the second's.
        """
        for pair in self.family.pairs:
            if pair.second == variable:
                return pair
            if pair.first == variable and self.told_from(pair.second) & facts:
                return pair
        return None

    def told_by_twin(self, variable: int, facts: Facts) -> Facts:
        """Return those facts about a first twin's one other twin, and about those below, by which
        both parents are certain, and are not without; nothing where there are none.
        """
        twins = self.second_twins(variable)
        if len(twins) != 1:
            return frozenset()
        children = [birth.child for birth in self.births_of.get(variable, ())]
        theirs = (self.told_from(twins[0]) & facts).difference(*map(self.told_from, children))
        parents = self.births[variable].parents
        with_them = facts - self.told_from(variable) | theirs
        certain = [
            all(self.weigher.certain(each, known) is not None for each in parents)
            for known in (with_them, with_them - theirs)
        ]
        return theirs if certain == [True, False] else frozenset()

    def zygosity(
        self, twins: TwinPair, twin: int, facts: Facts
    ) -> tuple[Fraction, dict[tuple[bool, State], Value]]:
        """Return the chance by the case that `twins` are monozygotic, and given `facts` the chances
        of being so (or not) with each genotype of one `twin`.
        """
        zygosity, stated = self.stated_zygosity(twins.second)
        joint = self.weigher.posterior((zygosity, twin), facts)
        return stated, {(alike == 1, state): chance for (alike, state), chance in joint.items()}

    def stated_zygosity(self, twin: int) -> tuple[int, Fraction]:
        """Return the variable of a second twin's zygosity, and the chance of being monozygotic."""
        (zygosity,) = (pair.zygosity for pair in self.family.pairs if pair.second == twin)
        return zygosity, dict(self.family.zygosities)[zygosity]

    def unsure_twins(self, pair: Scope) -> TwinPair | None:
        """Return the twins of unknown zygosity that two people are, if they are."""
        return next((each for each in self.family.pairs if {*each[:2]} == {*pair}), None)

    def why_twins(self, pair: Scope, facts: Facts) -> list[Said]:
        """Explain what two twins of unknown zygosity have, from `facts` about them and others."""
        twins = self.unsure_twins(pair)
        assert twins is not None
        zygosity, stated = self.stated_zygosity(twins.second)
        weigher = self.weigher
        theirs = self.told_from(twins.first) & facts
        above = facts - theirs
        parents = self.births[twins.first].parents
        certain = all(weigher.certain(each, above) is not None for each in parents)
        chances = weigher.posterior((zygosity, *pair), facts)
        prior = weigher.posterior((twins.first,), above)
        seconds = self.told_from(twins.second) & facts
        likely = [
            weigher.ratios((zygosity, twins.first), above, theirs),
            weigher.ratios((twins.first,), above, theirs - seconds),
            weigher.ratios((twins.second,), above, seconds),
        ]
        both = {each[1:]: chance for each, chance in likely[0].items() if each[0] == 1}
        sums = [
            [(chance, known.get(each, Fraction(0))) for each, chance in prior.items()]
            for known in (both, *likely[1:])
        ]
        starting: Facts = frozenset() if certain else facts
        together = twinship.why_together(self.words, pair, stated, starting)
        now = twinship.twins_now(
            self.words, stated, theirs, weigher.ratios((zygosity,), above, theirs), sums
        )
        return [
            self.words.said(together, told=starting),
            *(self.why_certain(parents, above) if certain else ()),
            self.words.said(now, told=theirs),
            Said(twinship.why_twins(self.words, pair, chances)),
        ]

    def telling_child(self, pair: Scope, facts: Facts) -> tuple[int, Facts] | None:
        """Return a child through whom alone `facts` show that one of a couple has a rare allele,
        and which of them do so.

        Each of the two then is the one with chance 1/2, which needs no table.
        """
        half: Joint = {(0, 1): Fraction(1, 2), (1, 0): Fraction(1, 2)}
        condition = self.family.case.condition
        if (
            condition.frequency.allele != "rare"
            or mutates(condition)
            or not same(self.weigher.posterior(pair, facts), half)
        ):
            return None
        for birth in self.births_of.get(pair[0], ()):
            if pair[1] in birth.parents:
                told = self.told_from(birth.child) & facts
                if (
                    told
                    and self.weigher.certain(birth.child, told) == 1
                    and same(self.weigher.posterior(pair, told), half)
                ):
                    return birth.child, told
        return None

    def from_descendants(self, variable: int, facts: Facts) -> tuple[Scope, int, Facts] | None:
        """Return the couple that someone from the population is of, and its `_telling_child`.

        Only where that child's descendants tell, whose chances a table would not derive.
        """
        if variable in self.births:
            return None
        for births in self.births_by_partner(variable):
            pair = tuple(sorted(births[0].parents))
            found = self.telling_child(pair, facts) if len(pair) == 2 else None
            if found is not None and not found[1] <= self.weigher.facts_of[found[0]]:
                return pair, *found
        return None

    def settling(self, variable: int, facts: Facts, order: int) -> Facts:
        """Return those facts by which a genotype is certain so that it needs no table, if any.

        In a rare limit that is one fact about the person or those below, which has the allele show.
        """
        weigher = self.weigher
        if len(weigher.weights((variable,), facts)) == 1:
            return facts
        if not order and weigher.certain(variable, facts):
            for path in self.weigher.in_order(facts & self.told_from(variable)):
                if weigher.alike((variable,), facts, frozenset({path})):
                    return frozenset({path})
        return frozenset()

    def order(self, variables: Scope, before: Facts, after: Facts, order: int = 0) -> int:
        """Return the highest power of e in `before` that counts `after`, to the power `order`."""
        if not self.family.locus.rare:
            return 0
        orders = orders_upto(self.weigher.weights(variables, before), 9)
        kept = self.weigher.upto(order, variables, after)
        return max(orders.get(hypothesis, 0) for hypothesis in kept)

    def with_what_is_left(self, steps: Sequence[Step]) -> list[Step]:
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
                below |= bits(self.told_from(each))
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
                twins = {twin for each in people for twin in self.second_twins(each)}
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

    def births_by_partner(self, variable: int) -> list[list[Birth]]:
        """Return the births of this parent, those with one and the same partner together."""
        groups: dict[int | None, list[Birth]] = {}
        for birth in self.births_of.get(variable, ()):
            partner = birth.father if birth.mother == variable else birth.mother
            groups.setdefault(partner, []).append(birth)
        return list(groups.values())

    def second_twins(self, variable: int) -> list[int]:
        """Return the second twins of unknown zygosity of whom this is the first."""
        return [pair.second for pair in self.family.pairs if pair.first == variable]

    def by_marriage(
        self, parents: Scope, children: Sequence[int], below: Facts, side: Facts, known: Facts
    ) -> dict[int, Facts]:
        """Return for each child the facts on the side that bear on its parents through it alone.

        They are those of partners of the child or of its descendants, and of these partners'
        relatives; `below` are the facts of all the children and their descendants.  What comes in
        through two of the children is the first's where beside it, and what is `known`, their rows
        say nothing of each other; else it is left out, for neither's row holds all of it.
        """
        found: dict[int, Facts] = {}
        # What is known below a second twin of unknown zygosity is below the first, too.
        second = {pair.second for pair in self.family.pairs if pair.first in children}
        for child in children:
            if child in second:
                found[child] = frozenset()
                continue
            told = self.told_from(child) & below
            found[child] = frozenset()
            if side and told:
                closed = {*parents, *self.family.parents[child]} - {child}
                found[child] = self.weigher.connected([child], side | told, closed) & side
        times = Counter(path for facts in found.values() for path in facts)
        shared = frozenset([path for path, number in times.items() if number > 1])
        if not shared:
            return found
        first = next(child for child in found if found[child] & shared)
        apart = {child: facts - shared for child, facts in found.items()}
        if self.weigher.small:
            parts = [(self.told_from(child) & below) | apart[child] for child in apart]
            if self._multiplied(parents, known | shared, parts):
                apart[first] |= shared
        return apart

    def _multiplied(self, variables: Scope, known: Facts, told: Sequence[Facts]) -> bool:
        """Tell whether the chance of all that is `told` is that of each part, multiplied."""
        parts = [self.weigher.ratios(variables, known, each) for each in told]
        whole = self.weigher.ratios(variables, known, frozenset().union(*told))
        return all(equal(whole[each], product_of([x[each] for x in parts])) for each in whole)

    @cached_property
    def _near(self) -> list[list[int]]:
        """The parents and children of each variable, and what else ties two of them."""
        near: list[set[int]] = [set() for _ in self.family.copies]
        for variable, parents in enumerate(self.family.parents):
            near[variable].update(parents)
            for parent in parents:
                near[parent].add(variable)
        return [sorted(each) for each in near]

    def by_nearness(self, targets: Scope) -> list[str]:
        """Return all facts, those of people near the targets first."""
        family, near = self.family, self._near
        distance = dict.fromkeys(targets, 0)
        waiting = list(targets)
        for variable in waiting:
            for other in near[variable]:
                if other not in distance:
                    distance[other] = distance[variable] + 1
                    waiting.append(other)
        far = len(family.copies)
        paths = list(self.weigher.facts)
        return sorted(
            paths,
            key=lambda path: distance.get(family.variable[self.weigher.facts[path].person], far),
        )

    def with_reasons(self, variables: Sequence[int], facts: Facts, known: Facts) -> Facts:
        """Return `facts`, and what makes no difference beside them but is the reason one sees.

        `facts` are those of `known` that are enough for the chances of `variables`.
        """
        facts |= self._men_without(variables) | self._affected_parents(variables, facts, known)
        return (facts | self._unaffected_parents(variables, facts)) & known

    def _men_without(self, variables: Sequence[int]) -> Facts:
        """Return that men close to `variables` are unaffected, where it leaves them no allele.

        On the X that is the reason one sees, also where new mutation is so rare that it would
        make no difference to leave it out.
        """
        family = self.family
        found: Facts = frozenset()
        if family.case.condition.frequency.mutation_selection_balance is None:
            return found
        for variable in {*variables, *(each for one in variables for each in family.parents[one])}:
            if family.copies[variable] == 1 and not family.parents[variable]:
                status = self.weigher.facts_of[variable]
                if status and list(self.weigher.weights((variable,), status)) == [(0,)]:
                    found |= status
        return found

    def _affected_parents(self, variables: Sequence[int], facts: Facts, known: Facts) -> Facts:
        """Return that parents of `variables` are affected, where `facts` say nothing above these.

        It is where a rare allele comes from, also where an affected twin alone would tell that it
        is in the family.  Beside two affected parents more may count than beside none, whose
        child has one copy rather than two; then all of `known` that counts is returned, too.
        """
        found: Facts = frozenset()
        if self.family.case.condition.frequency.allele != "rare":
            return found
        for variable in set(variables) & self.births.keys():
            above = facts - self.told_from(variable)
            if self.weigher.connected([variable], above, ()):
                continue
            affected: Facts = frozenset()
            for parent in self.births[variable].parents:
                own = self.weigher.facts_of[parent] & known
                status = frozenset([path for path in own if self.words.says_affected(path)])
                if status and self.weigher.certain(parent, status):
                    affected |= status
            if self.weigher.alike((variable,), facts, facts | affected):
                found |= affected
            elif self.weigher.small:
                found |= self._counting_beside(variable, affected, known)
        return found

    def _counting_beside(self, variable: int, kept: Facts, known: Facts) -> Facts:
        """Return `kept` and what else of `known` the chances of a variable need beside it."""
        needed = known
        for path in reversed(self.by_nearness((variable,))):
            without = needed - {path}
            if path not in kept and self.weigher.alike((variable,), known, without):
                needed = without
        return needed

    def _unaffected_parents(self, variables: Sequence[int], facts: Facts) -> Facts:
        """Return that parents are unaffected to whom `facts` leave more alleles than that does.

        It makes no difference, but nobody is to be counted with alleles who is known not to have
        them.  That a carrier is unaffected is the reason one sees also where the allele is
        rare and a second one too unlikely to count.  Of people behind ancestors who are certain
        the working of `variables` says nothing, and where the allele is rare behind anybody.
        """
        condition, weigher = self.family.case.condition, self.weigher
        rare = condition.frequency.allele == "rare"
        if self.family.locus.rare and not rare:
            # Where new mutation is vanishing, two alleles are more so.
            return frozenset()
        unaffected = {}
        for variable, (status, gone) in self._by_being_unaffected.items():
            told = self.told_from(variable) & facts
            # Daughters can tell of their father's one X as much as his own health does.
            before = facts if self.family.copies[variable] == 2 else facts - told
            if (
                told
                and not weigher.facts_of[variable] & facts
                and gone & weigher.weights((variable,), before).keys()
                and (not rare or weigher.certain(variable, facts) == 1)
            ):
                unaffected[variable] = status
        if not unaffected:
            return frozenset()
        known = [self.family.variable[weigher.facts[path].person] for path in facts]
        certain = {
            each
            for each in self.family.ancestry([*variables, *([*unaffected, *known] if rare else [])])
            if self.family.copies[each] and weigher.certain(each, facts) is not None
        }
        found: Facts = frozenset().union(
            *[
                weigher.connected(variables, facts | status, certain - {variable}) & status
                for variable, status in unaffected.items()
            ]
        )
        targets = tuple(dict.fromkeys(variables))
        return found if rare or weigher.alike(targets, facts, facts | found) else frozenset()

    @cached_property
    def _by_being_unaffected(self) -> dict[int, tuple[Facts, Set[Hypothesis]]]:
        """The fact that parents are unaffected, and the genotypes that it rules out."""
        words, weigher = self.words, self.weigher
        found: dict[int, tuple[Facts, Set[Hypothesis]]] = {}
        for variable in self.births_of:
            own = [p for p in weigher.facts_of[variable] if words.facts_kind(p) == "affected"]
            if own and not words.says_affected(own[0]):
                found[variable] = frozenset(own), weigher.ruled_out(variable, own)
        return found

    def other_results(self, variable: int, known: Facts, new: Facts) -> Facts:
        """Return what is `known` of those by whose results the class of one allele is less open.

        Nothing where `new` is no result, or would have the same chances without them.
        """
        kind = self.words.facts_kind
        if not self.family.case.condition.variants or {kind(path) for path in new} != {"tests"}:
            return frozenset()
        usual = self.weigher.ratios((variable,), known, new).get((1,), 0)
        owner = {path: self.weigher.facts[path].person for path in known}
        others: set[str] = set()
        for path in known:
            if kind(path) == "tests":
                without = self.weigher.ratios((variable,), known - {path}, new).get((1,), 0)
                if not equal(without, usual):
                    others.add(owner[path])
        return frozenset(path for path in known if owner[path] in others)

    def why_certain(self, variables: Scope, facts: Facts) -> list[Said]:
        """Explain the certain genotypes of some people, those with one reason together."""
        weigher, words = self.weigher, self.words
        needed = {
            variable: weigher.needed((variable,), weigher.in_order(facts)) for variable in variables
        }
        for variable, enough in needed.items():
            # What is vanishing at first may count further on; then a fact of theirs rules it out.
            said = weigher.facts_of[variable] & facts
            vanishing = said and not enough and variable not in self.births
            if vanishing and len(weigher.weights((variable,), said)) == 1:
                needed[variable] = said
            elif (
                said
                and (2,) in weigher.weights((variable,), enough)
                and (2,) not in weigher.weights((variable,), said)
            ):
                needed[variable] = enough | said
        known = {each for each in variables if origins.speaks_for_itself(words, needed[each])}
        stated: Facts = frozenset().union(*(needed[each] for each in known))
        others: Facts = frozenset().union(*needed.values()) - stated
        reasons: dict[Facts, list[int]] = {}
        for variable in sorted(set(variables) - known):
            reasons.setdefault(others if needed[variable] else needed[variable], []).append(
                variable
            )
        found = []
        if stated:
            own = [each for each in known if needed[each] <= weigher.facts_of[each]]
            states = {variable: weigher.certain(variable, facts) for variable in own}
            topic = Certain(frozenset(states.items()), stated)
            found.append(words.said(words.facts_row(stated), told=stated, topic=topic))
        for told, together in reasons.items():
            states = {variable: weigher.certain(variable, facts) for variable in together}
            not_two = [each for each in together if (2,) in weigher.weights((each,), told)]
            fathers = [name for each in together for name in self._fathers(each, needed[each])]
            found.append(origins.why_certain(words, states, told, not_two, fathers[:1]))
        return found

    def _fathers(self, daughter: int, told: Facts) -> list[str]:
        """Name a father on the X who is seen by others than himself to have the allele."""
        others = told - self.told_from(daughter)
        return [
            self.words.parent(daughter, father)
            for father in (self.family.parents[daughter] if others else ())
            if self.family.copies[father] == 1
            and not self.weigher.facts_of[father] & told
            and self.weigher.certain(father, others) == 1
        ]
