"""The sentences on where a table starts: the population, the parents, a twin, a certain genotype.

Words follow the mode of inheritance and the sex.  Numbers come in as values, as `words` has it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.genetics.founders import mutates, mutation_rates
from risk.genetics.penetrance import lifetime_penetrance
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.number import Quantity
from risk.wording.phrases import joined, number_word
from risk.workings.kinship import Kinship, kinship, sum_of_paths
from risk.workings.naming import Naming
from risk.workings.passing import by_passing
from risk.workings.population import NO_X_FOR_SONS, among_others, how_common
from risk.workings.step import State, Transmission, Value
from risk.workings.values import HALF, short, value_word
from risk.workings.weigh import MOSAIC, Facts


class Origins(Naming):
    """Sentences about the first rows of tables."""

    def population_is_unaffected(self, status: Facts) -> bool:
        """Tell whether the frequency is that among unaffected people, and this is one."""
        condition = self.condition
        return (
            condition.frequency.carrier is not None
            and condition.penetrance is None
            and condition.viability is None
            and len(status) == 1
            and self.facts[next(iter(status))].evidence.detail[1] is False  # type: ignore[index]
        )

    def population(self, merged: Facts) -> str:
        """Return the text of a founder's prior row."""
        return "unaffected, population" if merged else "population"

    def why_population(
        self, variables: Scope, merged: Facts, shares: Mapping[State, Value] | None = None
    ) -> str:
        """Explain the prior row of a founder (with `shares` its chances), or of two together."""
        names = joined([self.who(variable) for variable in sorted(variables)])
        comes = f"{names} {'comes' if len(variables) == 1 else 'come'} from the population"
        frequency = self.condition.frequency
        if merged and frequency.carrier is not None:
            (variable,) = variables
            if self.one_copy(variable):
                known = f"{names} is unaffected and so has no copy of the allele"
            else:
                people = "women" if self.condition.x_linked else "people"
                known = f"{frequency.carrier} of unaffected {people} are carriers"
            mosaics = among_others(self.condition, shares, "the allele")
            return f"Nothing is known of {names}'s parents; {known}{mosaics}"
        copies = sorted({self.family.copies[variable] for variable in variables})
        inbred = [self.people[variable][0].inbreeding for variable in sorted(variables)]
        stated = {each.value if each else Fraction(0) for each in inbred}
        if len(stated) > 1:
            alone = [self.why_population((each,), merged, shares) for each in sorted(variables)]
            return ". ".join(alone)
        return comes + how_common(self.condition, copies, shares, *stated)

    def why_like_population(
        self, variable: int, shares: Mapping[State, Value], *, vanishing: bool
    ) -> str:
        """Explain someone with parents of whom nothing is known that matters here.

        In a rare limit `vanishing` tells whether the allele counts although it is rare.
        """
        who = self.who_does(variable, "is", "are")
        begin = f"{NO_X_FOR_SONS}, and" if self.one_copy(variable) else ""
        parents = self.sentence(f"{begin} {self._idle_above(variable)}".strip()).rstrip(".")
        common = how_common(self.condition, [self.family.copies[variable]], shares)
        if self.condition.frequency.allele == "rare" and not vanishing:
            common = f", where the allele is rare, and so carries nothing{self._without_it()}"
        return f"{parents}, so that {who} as anyone from the population{common}"

    def _idle_above(self, variable: int) -> str:
        """Say that what is known of the parents changes nothing, or that nothing is known."""
        parents = self.family.parents[variable]
        told = {self.family.variable[fact.person] for fact in self.facts.values()}
        whose = f"{self.who(variable)}'s parents" if len(parents) > 1 else self.who(parents[0])
        if told.intersection(parents):
            return f"what is known of {whose} makes no difference here"
        if told.intersection(self.family.ancestry(parents)):
            return f"what is known of {self.who(variable)}'s ancestors makes no difference here"
        return f"nothing that matters here is known of {whose}"

    def unknown_parents(self) -> str:
        """Return the text of the prior row of someone of whose parents nothing is known."""
        return "parents: nothing that matters"

    def why_unknown_parents(
        self, variable: int, shares: Mapping[State, Value] | None = None
    ) -> str:
        """Explain someone of whose parents nothing is known, though they may be related."""
        parents = self.family.parents[variable]
        related = kinship(self.family, *parents) if len(parents) == 2 else None
        if related is None or not shares or self.condition.x_linked:
            return f"{self._idle_above(variable)}{self._new_in_child(variable)}"
        copies = [self.family.copies[variable]]
        common = how_common(self.condition, copies, shares, related.coefficient)
        return (
            f"Nothing that matters is known of {self.who(variable)}'s parents, but that they have "
            f"the common {self.ancestors(related)}. "
            f"{self.lines_of(related)}. {self.sentence(common[2:])}"
        )

    def _new_in_child(self, variable: int) -> str:
        """Go on with how new mutation alone brings the allele, where nobody else has it."""
        frequency = self.condition.frequency.allele
        u, v = mutation_rates(self.condition)
        nobody = isinstance(frequency, Quantity) and not frequency.value
        if not nobody or not isinstance(u, Fraction) or not isinstance(v, Fraction):
            return ""
        if self.condition.germline_mosaicism is not None or not u + v:
            return ""
        begin = ". Nobody in the population has the allele, so that it comes by new mutation only"
        if self.one_copy(variable):
            return f"{begin}, in u = {u} of eggs"
        return (
            f"{begin}, in u = {u} of eggs and v = {v} of sperm: one copy with chance "
            f"u(1 - v) + v(1 - u), two with uv"
        )

    def ancestors(self, related: Kinship) -> str:
        """Name common ancestors: ``ancestors I-1 and I-2``."""
        noun = "ancestor" if len(related.ancestors) == 1 else "ancestors"
        return f"{noun} {joined(self.names(related.ancestors))}"

    def lines_of(self, related: Kinship) -> str:
        """Tell along which paths two people are related, and what F follows for their child."""
        first = related.paths[0]
        path = " - ".join([self.who(each) for each in first])
        others = len(related.paths) - 1
        more = f"{number_word(others)} other paths" if others > 1 else "other path"
        also = f" (and so on the {more})" if others else ""
        own = "" if related.plain else ", more where an ancestor's own parents are related"
        return (
            f"A copy that the one passes on and a copy that the other does descend from one and "
            f"the same copy of an ancestor's with chance F: on the path {path} each of the "
            f"{number_word(len(first))} "
            f"people adds a factor of 1/2{also}, so that "
            f"F = {sum_of_paths(related.paths)}{own} = {related.coefficient}"
        )

    def from_certain(self, states: Mapping[int, State | None]) -> str:
        """Return the text of the prior row of a child of parents whose genotypes are certain."""
        parents = list(states)
        if (
            len(parents) == 2
            and states[parents[0]] == states[parents[1]] == 1
            and self.condition.recessive
            and not self.condition.x_linked
        ):
            return "from two carriers"
        words = []
        for place, (parent, state) in enumerate(states.items()):
            if state == 0 and len(parents) == 2 and any(states.values()):
                continue
            role = ("mother", "father")[place]
            words.append(
                f"a carrier {role}"
                if self.called_carrier(parent, state)
                else f"a {role} who {self.has(parent, state)}"
                if state == MOSAIC
                else f"a {role} with {self.has(parent, state).split(' ', 1)[1]}"
            )
        return "from " + joined(words)

    def why_certain(
        self,
        states: Mapping[int, State | None],
        facts: Facts,
        not_two: Sequence[int] = (),
    ) -> str:
        """Explain why people's genotypes are certain, for one and the same reason.

        `not_two` are those whom `facts` leave a second allele, were it not for its being rare.
        """
        names = joined([self.who(variable) for variable in states])
        if not facts:
            return self._nothing_from_population(list(states))
        told = self.told(facts)
        kinds = {self.has(variable, state) for variable, state in states.items()}
        if len(kinds) == 1:
            variable, state = next(iter(states.items()))
            having = self.has(variable, state, many=len(states) > 1)
            why = ""
            if state == 1 and not_two and self.condition.frequency.allele == "rare":
                two = "with two copies" if self.condition.recessive else "two"
                some = joined([self.who(each) for each in not_two])
                whose = "" if len(not_two) == len(states) else f"{some} "
                why = f" ({whose}not {two}, the allele being rare)"
            if state == 1:
                told += self._in_a_loop(list(states), facts)
            return f"{told}, so {names} {having} for certain{why}"
        certain = [f"{self.who(v)} {self.has(v, state)}" for v, state in states.items()]
        return f"{told}, so for certain {joined(certain)}"

    def _in_a_loop(self, variables: Sequence[int], facts: Facts) -> str:
        """Go on with why an affected child of relatives makes carriers of those between them.

        Empty where the allele is not rare, or nobody of `variables` is between such parents.
        """
        condition = self.condition
        if condition.frequency.allele != "rare" or not condition.recessive or condition.x_linked:
            return ""
        for path in self.in_order(facts):
            id = self.facts[path].person
            parents = self.family.parents[self.family.variable[id]]
            if not self.says_affected(path) or len(parents) != 2 or {*parents} & {*variables}:
                continue
            related = kinship(self.family, *parents)
            through = [
                each
                for each in variables
                if related is not None and all(each in line[1:-1] for line in related.paths)
            ]
            if related is None or not through:
                continue
            noun, *_ = self.ancestors(related).split(" ", 1)
            one = joined(self.names(related.ancestors), " or ")
            between = [each for each in through if each not in related.ancestors]
            way = f", one of them through {joined([self.who(each) for each in between])}"
            return (
                f", and as the allele is rare both copies of {self.name(id)}'s descend from one "
                f"and the same copy, of {one} (the common {noun} of the parents)"
                f"{way if between else ''}"
            )
        return ""

    def _without_it(self) -> str:
        """Go on with why being affected tells nothing of a rare allele, if others can be so."""
        ids = [fact.person for path, fact in self.facts.items() if self.says_affected(path)]
        affected = {
            id: lifetime_penetrance(self.condition, self.case.person(id).sex)[0] for id in ids
        }
        if not affected or not all(affected.values()):
            return ""
        verb = "is" if len(affected) == 1 else "are"
        return (
            f". That {joined([self.name(id) for id in affected])} {verb} affected tells nothing of "
            f"it: people without the allele can be affected, too, and beside them those with so "
            f"rare an allele vanish"
        )

    def _nothing_from_population(self, variables: Sequence[int]) -> str:
        """Explain why people have no allele as others in the population, with no fact to say so."""
        names, many = joined([self.who(variable) for variable in variables]), len(variables) > 1
        comes = f"{names} {'come' if many else 'comes'} from the population"
        if any(self.family.parents[variable] for variable in variables):
            comes = f"{names} {'are' if many else 'is'} as anyone from the population"
        frequency = self.condition.frequency
        if frequency.allele == "rare":
            carry = "carry" if many else "carries"
            why = self._without_it()
            return f"{comes}, where the allele is rare, and so {carry} nothing{why}"
        if frequency.mutation_selection_balance is not None and mutates(self.condition):
            return f"{comes}, where the allele is as rare as new mutation, a vanishing chance"
        return f"{comes}, where nobody has the allele"

    def mosaics_have_none(self) -> str:
        """Return how a germline mosaic counts where it is asked who has the allele."""
        return (
            "a germline mosaic has the allele in eggs or sperm alone, and so counts here as "
            "having no copy"
        )

    def speaks_for_itself(self, facts: Facts) -> bool:
        """Tell whether facts are one known genotype, which needs no reasoning."""
        return len(facts) == 1 and self.facts_kind(next(iter(facts))) == "genotype"

    def from_parents(self, child: int, parents: Sequence[int]) -> str:
        """Return the text of the prior row of a child of uncertain parents."""
        return "from " + joined([self.parent(child, each) for each in parents])

    def why_parents(
        self,
        variable: int,
        posteriors: Mapping[int, Mapping[State, Value]],
        prior: Mapping[State, Value],
        passing: Mapping[int, Transmission],
    ) -> str:
        """Explain how a child's `prior` comes from what the uncertain parents may have.

        `passing` tells of each parent who may pass the allele on how that comes about.
        """
        parts = []
        for parent, chances in posteriors.items():
            shown = [
                f"{self.has(parent, state, alone=True)} with chance {value_word(chance)}"
                for state, chance in chances.items()
                if state != 0 and short(chance)
            ]
            if shown and len(shown) == sum(1 for state in chances if state != 0):
                parts.append(f"{self.parent(variable, parent)} {joined(shown)}")
        if len(posteriors) == len(parts) == 1:
            ((parent, chances),) = posteriors.items()
            passed = prior.get(1)
            if (
                set(chances) == {0, 1}
                and not self.one_copy(parent)
                and (isinstance(chances[1], Fraction) and passed == chances[1] * Fraction(1, 2))
            ):
                return (
                    f"{parts[0]}, and then passes it on with chance 1/2: "
                    f"{chances[1]} × 1/2 = {passed}"
                )
        if len(posteriors) == len(parts) == 1 and mutates(self.condition):
            chance, gained = chances.get(1), prior.get(1)
            one = set(chances) <= {0, 1} and not self.one_copy(parent)
            if one and chance is not None and gained and short(gained):
                half = chance * HALF if isinstance(chance, Term) else Fraction(chance) / 2
                return (
                    f"{parts[0]}; passed on with chance 1/2 that is {value_word(half)}, and with "
                    f"new mutation in the egg or the sperm {value_word(gained)}"
                )
        worked = by_passing(
            self.who_does(variable, "has", "have"),
            {self.parent(variable, parent): terms for parent, terms in passing.items()},
            prior,
            one_copy=self.one_copy(variable),
            mutating=any(
                isinstance(rate, Fraction) and rate for rate in mutation_rates(self.condition)
            ),
        )
        if worked:
            return ". ".join([joined(parts), worked]) if parts else worked
        rules = [joined(parts)] if parts else []
        rules += [self._passes_it_on(posteriors) or "the parents pass it on with different chances"]
        return (
            f"{'; '.join(rules)}, so that what {self.who_does(variable, 'gets', 'get')} is weighed "
            "by what the parents may have"
            + (", with new mutation added" if mutates(self.condition) else "")
        )

    def _passes_it_on(self, posteriors: Mapping[int, Mapping[State, Value]]) -> str:
        """Return with what chance those of several states pass the allele on, as one clause."""
        listed = [(parent, state) for parent, chances in posteriors.items() for state in chances]
        mosaic = self.condition.germline_mosaicism
        rules = []
        if any(state == 1 and not self.one_copy(parent) for parent, state in listed):
            rules.append("a parent with one copy passes it on with chance 1/2")
        if any(state == 1 and self.one_copy(parent) for parent, state in listed):
            rules.append("a father with the allele passes it on to every daughter")
        if mosaic is not None and any(state == MOSAIC for _, state in listed):
            rules.append(f"a germline mosaic passes it on with chance {mosaic.gametes}")
        return joined(rules)

    def why_joint_parents(self, variable: int) -> str:
        """Say that a child's chances follow from the joint table of its parents."""
        return (
            f"The parents' genotypes are tied together by what is known of their children; what "
            f"{self.who_does(variable, 'gets', 'get')} is weighed by what both may have"
        )

    def through_sibling(
        self, pair: Scope, child: int, paths: Facts, sibling: int | None = None
    ) -> str:
        """Explain one carrier among a child's parents where the allele is rare.

        To a `sibling` it makes no difference which of them it is, but on the X.
        """
        which = ", either with chance 1/2"
        if sibling is not None and not self.condition.x_linked:
            who = self.who_does(sibling, "gets", "get")
            which = f"; whichever of them it is, {who} it with chance 1/2"
        names = joined(self.names(sorted(pair)))
        told = f"{self.told(paths)}{self._in_a_loop([child], paths)}"
        return (
            f"{told}, so {self.who(child)} {self.has(child, 1)} for certain; as the "
            f"allele is rare, just one of the parents, {names}, has it{which}"
        )

    def one_of_two(self, pair: Scope) -> str:
        """Return the text of the first row of one of a couple of whom one has a rare allele."""
        return f"{joined(self.names(sorted(pair)), ' or ')} has the allele"

    def inherited(self, variable: int, text: str, sentences: Sequence[str]) -> list[str]:
        """Explain someone who needs no table, having no facts that matter beside the prior."""
        reasons = [self.sentence(each) for each in sentences]
        if not self.family.parents[variable]:
            return reasons
        child = {"female": "daughter", "male": "son"}.get(self.sex(variable), "child")
        return [
            self.sentence(f"{self.who(variable)} is a {child} of {text.removeprefix('from ')}"),
            *reasons,
        ]
