"""The sentences of workings: who, which fact, and why this number.

Words follow the mode of inheritance, the sex, the kind of test and the age.  Numbers come in as
values; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

from risk.case.model import Person, Question
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.model.answers import Answer, Chance
from risk.wording.chances import chance_in_words
from risk.wording.phrases import joined, number_word
from risk.wording.questions import event_in_words, person_in_words
from risk.workings.naming import Naming, sentence
from risk.workings.step import State, Value
from risk.workings.weigh import MOSAIC, Facts, Hypothesis


class Words(Naming):
    """Sentences about one family."""

    # --- the prior row --------------------------------------------------------------------

    def population_is_unaffected(self, status: Facts) -> bool:
        """Tell whether the frequency is that among unaffected people, and this is one."""
        condition = self.condition
        return (
            condition.frequency.carrier is not None
            and condition.penetrance is None
            and condition.viability is None
            and len(status) == 1
            and self._facts[next(iter(status))].evidence.detail[1] is False  # type: ignore[index]
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
        frequency, one_copy = self.condition.frequency, self._one_copy(variables[0])
        if merged and frequency.carrier is not None:
            return (
                f"Nothing is known of {names}'s parents; {frequency.carrier} of unaffected "
                f"people are carriers"
            )
        if frequency.allele == "rare":
            if one_copy:
                return f"{comes}, where the allele is rare and has the vanishing chance e"
            return (
                f"{comes}, where the allele is rare: one copy has the vanishing chance 2e, two "
                f"copies its square"
            )
        balance = frequency.mutation_selection_balance
        if balance is None:
            return f"{comes}; the first row says how common each genotype is there"
        begin = f"{comes}, where new mutation balances selection"
        if not shares or not _short(shares.get(1, 0.0)):
            return begin
        mutation, f = self.condition.mutation, balance.fitness
        both = " (both e here)" if mutation and mutation.maternal == "rare" else ""
        carrier = f"2(u + v + {f}u)/(1 - {f})" if f.value else "2(u + v)"
        who = (
            f"a man has the allele with half of {carrier}, plus u"
            if one_copy
            else (f"a woman is a carrier with chance {carrier}")
        )
        return (
            f"{begin}: with new mutation at rate u in eggs and v in sperm{both}, {who} = "
            f"{value_word(shares[1])}"
        )

    def unknown_parents(self) -> str:
        """Return the text of the prior row of someone of whose parents nothing is known."""
        return "parents: nothing known"

    def why_unknown_parents(self, variable: int) -> str:
        return f"Nothing that matters is known of {self.who(variable)}'s parents"

    def twin_prior(self) -> str:
        return "from the parents and the twin"

    def why_twin_prior(
        self,
        variable: int,
        above: Facts,
        stated: Fraction,
        chances: Mapping[tuple[bool, State], Any],
    ) -> str:
        """Explain a twin's prior row.

        `stated` is the chance of being monozygotic by the case, `chances` are those of being so
        or not with each genotype, given what is known.
        """
        known = f" ({self._told(above)})" if above else ""
        begin = f"{self.who(variable)} is a twin of unknown zygosity{known}"
        follows = "the genotype is the twin's, otherwise that of any sibling"
        alike = sum([chance for (same, _), chance in chances.items() if same], Fraction(0))
        if not all(_short(chance) for chance in [alike, *chances.values()]) or not 0 < alike < 1:
            return f"{begin}: with the chance of being monozygotic {follows}"
        now = "" if alike == stated else f" ({stated} before that was known)"
        sums = []
        for state in sorted({state for _, state in chances}, key=str):
            parts = [(alike, chances.get((True, state))), (1 - alike, chances.get((False, state)))]
            products = [f"{weight} × {chance / weight}" for weight, chance in parts if chance]
            whole = sum([chance for _, chance in parts if chance], Fraction(0))
            sums.append(f"{self.state(variable, state)} {' + '.join(products)} = {whole}")
        return (
            f"{begin}: with chance {alike}{now} of being monozygotic {follows}: {'; '.join(sums)}"
        )

    def from_certain(self, variable: int, states: Mapping[int, State | None]) -> str:
        """Return the text of the prior row of a child of parents whose genotypes are certain."""
        parents = list(states)
        if (
            len(parents) == 2
            and states[parents[0]] == states[parents[1]] == 1
            and (self.condition.recessive and not self.condition.x_linked)
        ):
            return "from two carriers"
        words = []
        for place, (parent, state) in enumerate(states.items()):
            if state == 0 and len(parents) == 2 and any(states.values()):
                continue
            role = ("mother", "father")[place]
            carrier = state == 1 and self.condition.recessive and not self._one_copy(parent)
            words.append(
                f"a carrier {role}"
                if carrier
                else f"a {role} who {self.has(parent, state)}"
                if state == MOSAIC
                else f"a {role} with {self.has(parent, state).removeprefix('has ')}"
            )
        return "from " + joined(words)

    def why_certain(self, states: Mapping[int, State | None], facts: Facts) -> str:
        """Explain why people's genotypes are certain, for one and the same reason."""
        names = joined([self.who(variable) for variable in states])
        if not facts:
            verb = "comes" if len(states) == 1 else "come"
            verb += " from the population"
            if self.condition.frequency.allele == "rare":
                carry = "carries" if len(states) == 1 else "carry"
                return f"{names} {verb}, where the allele is rare, and so {carry} nothing"
            return f"{names} {verb}, where the chance of having the allele is nil or vanishing"
        told = self._told(facts)
        if len(states) == 1 and self.speaks_for_itself(facts):
            return told
        kinds = {self.has(variable, state) for variable, state in states.items()}
        if len(kinds) == 1:
            variable, state = next(iter(states.items()))
            having = self.has(variable, state, many=len(states) > 1)
            rare = not self.condition.recessive and self.condition.frequency.allele == "rare"
            why = " (not two, the allele being rare)" if rare and state == 1 else ""
            return f"{told}, so {names} {having} for certain{why}"
        certain = [f"{self.who(v)} {self.has(v, state)}" for v, state in states.items()]
        return f"{told}, so for certain {joined(certain)}"

    def speaks_for_itself(self, facts: Facts) -> bool:
        """Tell whether facts are one known genotype, which needs no reasoning."""
        return len(facts) == 1 and self.facts_kind(next(iter(facts))) == "genotype"

    def facts_kind(self, path: str) -> str:
        """Return the kind of a fact: affected, genotype, tests, born or fathered."""
        return self._facts[path].evidence.kind

    def from_parents(self, parents: Sequence[int]) -> str:
        """Return the text of the prior row of a child of uncertain parents."""
        return "from " + joined([self.who(parent) for parent in parents])

    def why_parents(
        self,
        variable: int,
        posteriors: Mapping[int, Mapping[State, Value]],
        prior: Mapping[State, Value],
    ) -> str:
        """Explain how a child's `prior` comes from what the uncertain parents may have."""
        parts = []
        for parent, chances in posteriors.items():
            shown = [
                f"{self.has(parent, state)} with chance {value_word(chance)}"
                for state, chance in chances.items()
                if state != 0 and _short(chance)
            ]
            if shown and len(shown) == sum(1 for state in chances if state != 0):
                parts.append(f"{self.who(parent)} {joined(shown)}")
        if len(posteriors) == len(parts) == 1:
            ((parent, chances),) = posteriors.items()
            passed = prior.get(1)
            if (
                set(chances) == {0, 1}
                and not self._one_copy(parent)
                and (isinstance(chances[1], Fraction) and passed == chances[1] * Fraction(1, 2))
            ):
                return (
                    f"{parts[0]}, and then passes it on with chance 1/2: "
                    f"{chances[1]} × 1/2 = {passed}"
                )
        if len(posteriors) == len(parts) == 1 and self.condition.mutation is not None:
            chance, gained = chances.get(1), prior.get(1)
            one = set(chances) <= {0, 1} and not self._one_copy(parent)
            if one and chance is not None and gained and _short(gained):
                half = chance * _HALF if isinstance(chance, Term) else Fraction(chance) / 2
                return (
                    f"{parts[0]}; passed on with chance 1/2 that is {value_word(half)}, and with "
                    f"new mutation in the egg or the sperm {value_word(gained)}"
                )
        begin = f"{joined(parts)}; a" if parts else "A"
        return (
            f"{begin} parent with one copy passes it on with chance 1/2, and the first row "
            f"weighs what {self.who(variable)} gets by what the parents may have"
            + (", and adds new mutation" if self.condition.mutation is not None else "")
        )

    def why_joint_parents(self, variable: int) -> str:
        return (
            f"The parents' genotypes are tied together by what is known of their children; the "
            f"first row weighs what {self.who(variable)} gets by what both may have"
        )

    def through_sibling(self, pair: Scope, child: int, paths: Facts) -> str:
        """Explain one carrier among a child's parents where the allele is rare."""
        names = joined([self.who(variable) for variable in sorted(pair)])
        return (
            f"{self._told(paths)}, so {self.who(child)} {self.has(child, 1)} for certain; as the "
            f"allele is rare, just one of the parents, {names}, has it, either with chance 1/2"
        )

    def inherited(self, variable: int, text: str, sentences: Sequence[str]) -> list[str]:
        """Explain someone who needs no table, having no facts that matter beside the prior."""
        reasons = [sentence(each) for each in sentences]
        if not self.family.parents[variable]:
            return reasons
        child = {"female": "daughter", "male": "son"}.get(self.sex(variable), "child")
        nothing = (
            f"{self.who(variable)} is a {child} of {text.removeprefix('from ')}, and nothing else "
            f"known about {self._them(variable)} counts here"
        )
        return [sentence(nothing), *reasons]

    def _them(self, variable: int) -> str:
        return {"female": "her", "male": "him"}.get(self.sex(variable), "them")

    # --- conditional rows -----------------------------------------------------------------

    def facts_row(self, new: Facts) -> str:
        """Return the text of a row that brings in these facts, as they are."""
        return joined(self.fact_phrases(self._in_order(new)))

    def why_own(self, variable: int, new: Facts, values: Mapping[Hypothesis, Value]) -> str:
        """Explain a row for a fact about the person of the table."""
        said = joined(self.fact_phrases(self._in_order(new)))
        gone = [h for h, value in values.items() if not value]
        kept = [h for h, value in values.items() if value]
        if gone and kept and all(values[h] == 1 for h in kept):
            out = joined([self.has(variable, h[0]).split(" ", 1)[1] for h in gone])
            return f"{said}, which rules out {'being ' if out[:2] == 'a ' else ''}{out}"
        escaped = all(self.facts_kind(path) == "affected" for path in new)
        return f"{said}{self._chances(variable, values, escaped=escaped)}"

    def _chances(
        self, variable: int, values: Mapping[Hypothesis, Value], *, escaped: bool = False
    ) -> str:
        """Return the chances of a row in words, where they are short.

        With `escaped` a chance is shown as what is left of 1: being unaffected so far.
        """
        shown = []
        for hypothesis, value in values.items():
            number = value_word(value)
            if escaped and isinstance(value, Fraction) and _HALF <= value < 1:
                number = f"1 - {1 - value} = {number}"
            if isinstance(value, Term) and value.order and self.condition.mutation is not None:
                number += " (by new mutation)"
            shown.append(f"{number} {self._with(variable, hypothesis[0])}")
        if len(shown) <= 3 and all(_short(value) for value in values.values()):
            return f": the chance of that is {joined(shown)}"
        return ""

    def children_row(self, children: Sequence[int], new: Facts) -> str:
        """Return the text of a row for facts about children (and below them)."""
        people = [person for child in children for person in self._people[child]]
        number = sum(person.count or 1 for person in people)
        noun = self._noun(people, number)
        details = {
            (self._facts[path].evidence.kind, self._predicate(self._facts[path])[0]) for path in new
        }
        own = all(self.family.variable[self._facts[path].person] in children for path in new)
        if own and len(details) == 1 and len(new) == len(people):
            kind, predicate = next(iter(details))
            if kind == "affected":
                what = predicate.removeprefix("is ")
                if " at " in what:
                    state, age = what.split(" at ", 1)
                    return f"{self._article(number, state)}{state} {noun} at {age}"
                return f"{self._article(number, what)}{what} {noun}"
        if len(new) > 4:
            return f"what is known of {joined([person.name or person.id for person in people])}" + (
                "" if own else " and below"
            )
        return joined(self.fact_phrases(self._in_order(new)))

    @staticmethod
    def _article(number: int, word: str) -> str:
        if number > 1:
            return f"{number_word(number)} "
        return "an " if word[0] in "aeiou" else "a "

    @staticmethod
    def _noun(people: Sequence[Person], number: int) -> str:
        sexes = {person.sex for person in people}
        one, many = {
            frozenset({"male"}): ("son", "sons"),
            frozenset({"female"}): ("daughter", "daughters"),
        }.get(frozenset(sexes), ("child", "children"))
        return one if number == 1 else many

    def why_children(
        self,
        parents: Scope,
        children: Sequence[int],
        new: Facts,
        values: Mapping[Hypothesis, Value],
        partner: int | None,
        shares: Mapping[State, Value],
    ) -> str:
        """Explain a row for facts about children.

        `partner` is an uncertain other parent and `shares` are the chances of what it has.
        """
        people = [person for child in children for person in self._people[child]]
        number = sum(person.count or 1 for person in people)
        names = joined([person.name or person.id for person in people])
        own = all(self.family.variable[self._facts[path].person] in children for path in new)
        alone = len(parents) == 1
        if partner is not None:
            known = [
                f"{self.has(partner, state)} with chance {value_word(chance)}"
                for state, chance in shares.items()
                if state != 0 and _short(chance)
            ]
            return f"What {self.who(partner)} has is not certain, so the row averages over it" + (
                f": {self.who(partner)} {joined(known)}" if known else ""
            )
        if not own:
            return (
                f"What is known below counts through {names}: the row averages over what "
                f"{names} may have"
            )
        if number > 1:
            for hypothesis, value in values.items():
                root = whole_root(value, number) if isinstance(value, Fraction) else None
                if root is not None and 0 < root < 1:
                    product = (
                        " × ".join([str(root)] * number) if number <= 5 else f"{root}^{number}"
                    )
                    given = (
                        f"if {self.who(parents[0])} {self.has(parents[0], hypothesis[0])}"
                        if alone
                        else "here"
                    )
                    return (
                        f"Each {self._noun(people, 1)} {self._says(new)} with chance {root} "
                        f"{given}, independently of the others: {product} = {value}"
                    )
        row = self.children_row(children, new)
        return (
            f"{row}{self._chances(parents[0], values)}"
            if alone
            else (
                "If we knew what both parents have, their children would be independent of each "
                "other: they (alike ones together) bring a row each"
            )
        )

    def _says(self, new: Facts) -> str:
        """Return what alike facts say of one person: ``is unaffected``."""
        predicates = {self._predicate(self._facts[path])[0] for path in new}
        return predicates.pop() if len(predicates) == 1 else "is so"

    def why_twin(self, child: int) -> str:
        return (
            f"{self.who(child)} is the twin: with the chance of being monozygotic the genotypes "
            f"are the same, otherwise they are those of any two siblings"
        )

    def rest_row(self, rest: Facts) -> str:
        return f"everything else known ({len(rest)} fact{'s' if len(rest) > 1 else ''})"

    def why_rest(self, rest: Facts) -> str:
        return (
            f"The family is tied together in a loop, so what remains ({self._told(rest)}) bears "
            f"on more than one side at once; its chance is worked out over the whole loop"
        )

    # --- two people -----------------------------------------------------------------------

    def same_genotype(self) -> str:
        return "the same genotype"

    def apart(self, pair: Scope) -> str:
        one, two = pair
        return f"{self.who(one)} and {self.who(two)}, independent of each other"

    def tied(self, pair: Scope) -> str:
        return f"{joined([self.who(variable) for variable in pair])}, jointly"

    def why_same(self, pair: Scope) -> str:
        return f"{self.who(pair[0])} have one and the same genotype"

    def why_apart(self, pair: Scope, *, at_first: bool) -> str:
        """Say that two people are independent; `at_first`: before their children are counted."""
        one, two = [self.who(variable) for variable in pair]
        before = " before their children are counted" if at_first else ""
        return f"What {one} has says nothing about {two}{before}"

    def why_tied(self, pair: Scope) -> str:
        return (
            f"{joined([self.who(variable) for variable in pair])} are tied together, by common "
            f"ancestors or by facts about common relatives, so that one table is about both"
        )

    # --- whole steps ----------------------------------------------------------------------

    def step_text(self, sentences: Sequence[str]) -> str:
        """Return the sentences of a step, each said once."""
        return " ".join(sentence(each) for each in dict.fromkeys(sentences) if each)

    def idle_phrases(self, paths: Sequence[str]) -> list[str]:
        """Return facts that change nothing in words, or count them where there are too many."""
        if len(paths) <= MOST_IDLE:
            return self.fact_phrases(paths)
        people = {self._facts[path].person for path in paths}
        return [f"{len(paths)} facts about {len(people)} people"]

    def conclusion(self, question: Question, found: Answer) -> str:
        """Return the closing sentence."""
        if found.probability is not None:
            event = event_in_words(question, self.case)
            return sentence(f"{event}: chance {_readable(found.probability)}")
        assert found.distribution is not None and question.person is not None
        who = person_in_words(question.person, self.case)
        chances = [
            f"{number_word(count)} with chance {_readable(chance)}"
            for count, chance in enumerate(found.distribution)
            if chance.value
        ]
        return sentence(f"{who} has so many disease alleles: {'; '.join(chances)}")


_HALF = Fraction(1, 2)
#: Characters of a fraction with which a sentence does not begin.
_LONG_FRACTION = 15
#: How many facts that make no difference are named; more are only counted.
MOST_IDLE = 12


def _short(value: Value) -> bool:
    return not isinstance(value, float) and len(str(value)) < 16


def _readable(chance: Chance) -> str:
    """Return a chance in words, a long fraction behind what can be read of it."""
    words = chance_in_words(chance)
    if words.fraction is None or len(words.fraction) <= _LONG_FRACTION:
        return str(words)
    return f"{str(words).removeprefix(words.fraction + ', ')} (exactly {words.fraction})"


def value_word(value: Value) -> str:
    """Return a short value as a sentence says it: ``2/3``, ``3e``."""
    if isinstance(value, Term) and value.order:
        number = "" if value.coefficient == 1 else str(value.coefficient)
        power = "e" if value.order == 1 else f"e^{value.order}"
        return f"{number} {power}" if "/" in number else f"{number}{power}"
    return str(value)


def whole_root(value: Fraction, degree: int) -> Fraction | None:
    """Return the rational root of this degree, or None; used to write powers as products."""
    parts = []
    for number in (value.numerator, value.denominator):
        root = round(number ** (1 / degree)) if number < 10**300 else 0
        if root**degree != number:
            return None
        parts.append(root)
    return Fraction(parts[0], parts[1])
