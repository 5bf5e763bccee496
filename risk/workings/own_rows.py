"""The rows of a table that are about the person's own facts, and what all rows share."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Mapping
from fractions import Fraction

from risk.inference.plan import Scope
from risk.workings import own_facts, whole_steps
from risk.workings.reasons import Reasons
from risk.workings.step import Said, Value
from risk.workings.sums import Averages, sums_of
from risk.workings.table import Table
from risk.workings.weigh import Facts, Hypothesis, Joint, equal, orders_upto


class OwnRows:
    """Adds rows for a person's own facts, and for what is left."""

    def __init__(self, reasons: Reasons) -> None:
        self.reasons = reasons
        self.weigher = reasons.weigher
        self.family = reasons.family
        self.words = reasons.words

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
        worked = self._of_one_class(variable, draft.shown, table.known, new) if because else ""
        why = own_facts.why_own(
            self.words, variable, new, draft.shown, because, parent, averages, worked
        )
        table.keep(draft, self.words.facts_row(new), why)

    def _of_one_class(
        self, variable: int, values: Mapping[Hypothesis, Value], known: Facts, new: Facts
    ) -> str:
        """Return the chance of a result with one allele as a sum over what the parents have.

        Empty but where the allele is a relative's unless both parents are carriers, and then is
        so with chance 1/2.
        """
        parents = self._unsure_parents(variable, known)
        (path, *_) = new
        if len(parents) != 2:
            return ""
        found = self.averages(values, (variable,), parents, known, new).get((1,))
        return own_facts.of_one_class(self.words, path, found) if found else ""

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

    def counted_chances(
        self,
        relative: int,
        known: Facts,
        new: Facts,
        parents: Scope = (),
        cases: Collection[Hypothesis] = ((),),
    ) -> dict[Hypothesis, Value]:
        """Return the chances of what is `new` by what somebody has, where that does not vanish.

        It does not where it counts in one of the `cases` of what the parents have.
        """
        if not self.family.locus.rare:
            parents, cases = (), ((),)
        counted: set[Hypothesis] = set()
        for facts in (known, known | new):
            by_case: dict[Hypothesis, Joint] = {each: {} for each in cases}
            for each, weight in self.weigher.weights((*parents, relative), facts).items():
                if each[:-1] in by_case:
                    by_case[each[:-1]][each[-1:]] = weight
            counted = counted.union(*[orders_upto(weights, 0) for weights in by_case.values()])
        likely = self.weigher.ratios((relative,), known, new)
        return {each: chance for each, chance in likely.items() if each in counted}

    def goes_by_child(
        self,
        parents: Scope,
        child: int,
        known: Facts,
        new: Facts,
        likely: Mapping[Hypothesis, Value],
    ) -> bool:
        """Tell whether the `likely` chances of facts by what a child has are so for any parents.

        Through a loop what the parents have may bear on them, too.
        """
        both = self.weigher.ratios((*parents, child), known, new)
        return all(equal(chance, likely.get(each[-1:], chance)) for each, chance in both.items())

    def ruled_out(self, variable: int, facts: Facts) -> list[Said]:
        """Say which genotypes some of a person's own facts rule out; nothing without any."""
        if not facts:
            return []
        likely = self.weigher.ratios((variable,), frozenset(), facts)
        possible: Joint = {each: Fraction(bool(chance)) for each, chance in likely.items()}
        return own_facts.why_own(self.words, variable, facts, possible)
