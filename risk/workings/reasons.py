"""What tables are made from: who descends from whom, and why a genotype is certain."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.genetics.founders import mutates
from risk.inference.plan import Scope
from risk.model.family import Birth
from risk.workings import origins
from risk.workings.naming import Naming
from risk.workings.step import Certain, Said, State, Transmission, Value
from risk.workings.table import product_of
from risk.workings.weigh import (
    Facts,
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

    def order(self, variables: Scope, before: Facts, after: Facts, order: int = 0) -> int:
        """Return the highest power of e in `before` that counts `after`, to the power `order`."""
        if not self.family.locus.rare:
            return 0
        orders = orders_upto(self.weigher.weights(variables, before), 9)
        kept = self.weigher.upto(order, variables, after)
        return max(orders.get(hypothesis, 0) for hypothesis in kept)

    def births_by_partner(self, variable: int) -> list[list[Birth]]:
        """Return the births of this parent, those with one and the same partner together."""
        groups: dict[int | None, list[Birth]] = {}
        for birth in self.births_of.get(variable, ()):
            partner = birth.father if birth.mother == variable else birth.mother
            groups.setdefault(partner, []).append(birth)
        return list(groups.values())

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
        """Return the couple that someone from the population is of, and its `telling_child`.

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

        In a rare limit that is one fact about the person or those below, which has the allele show,
        or what shows that it came down through the person.
        """
        weigher = self.weigher
        if len(weigher.weights((variable,), facts)) == 1:
            return facts
        if not order and weigher.certain(variable, facts):
            for path in self.weigher.in_order(facts & self.told_from(variable)):
                if weigher.alike((variable,), facts, frozenset({path})):
                    return frozenset({path})
            needed = weigher.needed((variable,), weigher.in_order(facts))
            if self._came_through(variable, needed):
                return needed
        return frozenset()

    def showing_two(self, variable: int, facts: Facts) -> Facts:
        """Return those of `facts` about somebody alone, if they leave two alleles only."""
        own = self.weigher.facts_of[variable] & facts
        if self.family.copies[variable] != 2 or not own:
            return frozenset()
        # A look at these facts alone, which is quick: in a large family few show anything.
        if (0,) not in self.weigher.ruled_out(variable, own):
            return frozenset()
        return own if self.weigher.certain(variable, own) == 2 else frozenset()

    def _came_through(self, variable: int, told: Facts) -> bool:
        """Tell whether somebody's one rare allele is seen by affected people below and others.

        `told` are what is needed for that.
        """
        if self.family.case.condition.frequency.allele != "rare":
            return False
        affected = frozenset([path for path in told if self.words.says_affected(path)])
        below = affected & self.told_from(variable)
        return (
            bool(below and affected - below)
            and not below & self.weigher.facts_of[variable]
            and self.weigher.certain(variable, told) == 1
        )

    def _parents_above(self, variable: int, told: Facts) -> list[str]:
        """Name somebody as the parent of those of whom facts are `told`, of twins these alone."""
        children = [birth.child for birth in self.births_of.get(variable, ())]
        below = [each for each in children if self.told_from(each) & told]
        return [*dict.fromkeys(self.words.parent(each, variable) for each in below)]

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
            through = [
                name
                for each in together
                if self._came_through(each, needed[each])
                for name in self._parents_above(each, needed[each])
            ]
            open_ = [each for each in together if len(weigher.weights((each,), told)) > 1]
            why = origins.why_certain(words, states, told, not_two, fathers[:1], through, open_)
            found.append(why)
        return found

    def _fathers(self, daughter: int, told: Facts) -> list[str]:
        """Name a father on the X who is seen by others than himself to have the allele."""
        others = told - self.told_from(daughter)
        birth = self.births.get(daughter)
        father = birth.father if birth and others else None
        if (
            father is None
            or self.family.copies[father] != 1
            or self.weigher.facts_of[father] & told
            or self.weigher.certain(father, others) != 1
        ):
            return []
        return [self.words.parent(daughter, father)]
