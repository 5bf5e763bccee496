"""Which of the known facts a table is made with: those that it needs, and the reasons one sees."""

from __future__ import annotations

from collections.abc import Sequence, Set
from functools import cached_property

from risk.inference.plan import Scope
from risk.model.locus import Evidence
from risk.workings.origins import population_is_unaffected
from risk.workings.reasons import Reasons
from risk.workings.weigh import Facts, Hypothesis


class ChosenFacts:
    """The choice of facts for the tables of a question, by what these must tell."""

    def __init__(self, reasons: Reasons) -> None:
        self.reasons = reasons
        self.weigher = reasons.weigher
        self.family = reasons.family
        #: The variables that the present question is about, and `Weigher.needed` of them.
        self.counted: tuple[Scope, Facts] = (), frozenset()

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
        """Return all facts, those of people near the targets first, and what they are known to
        have before all that it can be inferred from.
        """
        family, near = self.family, self._near
        distance = dict.fromkeys(targets, 0)
        waiting = list(targets)
        for variable in waiting:
            for other in near[variable]:
                if other not in distance:
                    distance[other] = distance[variable] + 1
                    waiting.append(other)
        far = len(family.copies)

        def place(path: str) -> tuple[int, bool]:
            variable = family.variable[self.weigher.facts[path].person]
            return distance.get(variable, far), self.reasons.words.facts_kind(path) != "genotype"

        return sorted(self.weigher.facts, key=place)

    def enough(self, variable: int, facts: Facts) -> Facts:
        """Return those of `facts` that fix what somebody may have."""
        enough = self.weigher.needed_above(variable, facts, *self.counted)
        if enough is None:
            near = [path for path in self.by_nearness((variable,)) if path in facts]
            enough = self.weigher.needed((variable,), near)
        return enough

    def with_reasons(self, variables: Sequence[int], facts: Facts, known: Facts) -> Facts:
        """Return `facts`, and what makes no difference beside them but is the reason one sees.

        `facts` are those of `known` that are enough for the chances of `variables`.
        """
        facts |= self._men_without(variables) | self._affected_parents(variables, facts, known)
        facts |= self._which_parent(variables, facts, known)
        facts |= self._unaffected_parents(variables, facts)
        facts |= self._known_to_have_none(variables, facts)
        return (facts | self._of_population(variables, facts)) & known

    def _of_population(self, variables: Sequence[int], facts: Facts) -> Facts:
        """Return that people from the population are unaffected, whose frequency is that of such.

        Children or tests can rule out two copies as well, but so the first row is that frequency.
        """
        found: Facts = frozenset()
        if any(not status <= facts for status in self._with_their_frequency.values()):
            for variable in self._uncertain_around(variables, facts):
                found |= self._with_their_frequency.get(variable, frozenset())
        targets = tuple(dict.fromkeys(variables))
        return found if self.weigher.alike(targets, facts, facts | found) else frozenset()

    def _uncertain_around(self, variables: Sequence[int], facts: Facts) -> list[int]:
        """Return those of whom the working of `variables` asks what they have.

        They are the parents of such people, and the other parents of those below them of whom
        `facts` tell.  Behind somebody who is certain nobody is asked about.
        """
        births, births_of = self.reasons.births, self.reasons.births_of
        found, passed, waiting = list[int](), set[int](), list(dict.fromkeys(variables))
        for variable in waiting:  # which grows
            if self.weigher.certain(variable, facts) is not None:
                continue
            found.append(variable)
            parents = [*births[variable].parents] if variable in births else []
            below = [variable]
            for parent in below:  # which grows
                for birth in births_of.get(parent, ()):
                    if birth.child not in passed and self.reasons.told_from(birth.child) & facts:
                        passed.add(birth.child)
                        below.append(birth.child)
                        parents += birth.parents
            waiting += [each for each in dict.fromkeys(parents) if each not in waiting]
        return found

    @cached_property
    def _with_their_frequency(self) -> dict[int, Facts]:
        """The fact that people from the population are unaffected, where the frequency is of such.

        Nobody where each look takes long.
        """
        words, found = self.reasons.words, dict[int, Facts]()
        if words.condition.frequency.carrier is None or not self.weigher.small:
            return found
        for variable, own in enumerate(self.weigher.facts_of):
            status = frozenset([path for path in own if words.facts_kind(path) == "affected"])
            if variable not in self.reasons.births and population_is_unaffected(words, status):
                found[variable] = status
        return found

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

    def _known_to_have_none(self, variables: Sequence[int], facts: Facts) -> Facts:
        """Return that somebody from the population is known to have no allele, where it is rare.

        Nobody else from there has any either, but whoever reads of them knows why these have none.
        """
        if not self._without_allele:
            return frozenset()
        found, waiting = frozenset[str](), list(dict.fromkeys(variables))
        for variable in waiting:  # which grows
            found |= self._without_allele.get(variable, frozenset())
            if self.weigher.certain(variable, facts) is None and variable in self.reasons.births:
                parents = self.reasons.births[variable].parents
                waiting += [each for each in parents if each not in waiting]
        targets = tuple(dict.fromkeys(variables))
        return found if self.weigher.alike(targets, facts, facts | found) else frozenset()

    @cached_property
    def _without_allele(self) -> dict[int, Facts]:
        """The fact that people from the population are known to have no allele that is rare."""
        if self.family.case.condition.frequency.allele != "rare":
            return {}
        return {
            self.family.variable[fact.person]: frozenset({path})
            for path, fact in self.weigher.facts.items()
            if fact.evidence == Evidence("genotype", 0)
            and self.family.variable[fact.person] not in self.reasons.births
        }

    def _affected_parents(self, variables: Sequence[int], facts: Facts, known: Facts) -> Facts:
        """Return that parents of `variables` are affected, where `facts` say nothing above these.

        It is where a rare allele comes from, also where an affected twin alone would tell that it
        is in the family.  Beside two affected parents more may count than beside none, whose
        child has one copy rather than two; then all of `known` that counts is returned, too.
        """
        found: Facts = frozenset()
        if self.family.case.condition.frequency.allele != "rare":
            return found
        for variable in set(variables) & self.reasons.births.keys():
            above = facts - self.reasons.told_from(variable)
            if self.weigher.connected([variable], above, ()):
                continue
            affected: Facts = frozenset()
            for parent in self.reasons.births[variable].parents:
                own = self.weigher.facts_of[parent] & known
                status = frozenset([path for path in own if self.reasons.words.says_affected(path)])
                if status and self.weigher.certain(parent, status):
                    affected |= status
            if self.weigher.alike((variable,), facts, facts | affected):
                found |= affected
            elif self.weigher.small:
                found |= self._counting_beside(variable, affected, known)
        return found

    def _which_parent(self, variables: Sequence[int], facts: Facts, known: Facts) -> Facts:
        """Return that somebody is affected, where it tells which parent has a rare allele.

        To a child it makes no difference which of them it is, where one of them is.
        """
        reasons = self.reasons
        found: Facts = frozenset()
        for variable in set(variables) & reasons.births.keys():
            pair = tuple(sorted(reasons.births[variable].parents))
            if len(pair) != 2 or reasons.telling_child(pair, facts) is None:
                continue
            for path in self.by_nearness(pair):
                more = facts | {path}
                if (
                    path in known - facts
                    and reasons.words.says_affected(path)
                    and any(self.weigher.certain(each, more) == 1 for each in pair)
                    and self.weigher.alike((variable,), facts, more)
                ):
                    found |= {path}
                    break
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
            told = self.reasons.told_from(variable) & facts
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
        """The fact that parents are unaffected, and the genotypes that it rules out.

        Or their genotypes, where these are known.
        """
        words, weigher = self.reasons.words, self.weigher
        found: dict[int, tuple[Facts, Set[Hypothesis]]] = {}
        for variable in self.reasons.births_of:
            kinds = {words.facts_kind(path): path for path in weigher.facts_of[variable]}
            own = [kinds[kind] for kind in ("genotype", "affected") if kind in kinds][:1]
            if own and not words.says_affected(own[0]):
                found[variable] = frozenset(own), weigher.ruled_out(variable, own)
        return found
