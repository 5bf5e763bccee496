"""The sentences of workings: who, which fact, and why this number.

Words follow the mode of inheritance, the sex, the kind of test and the age.  Numbers come in as
values; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.case.model import Person, Question
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.model.answers import Answer
from risk.wording import answer_in_words, event_in_words, person_in_words
from risk.workings.naming import Naming, joined, number_word, sentence
from risk.workings.step import Combination, State, Value
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

    def population(self, variable: int, merged: Facts) -> str:
        """Return the text of a founder's prior row."""
        return "unaffected, population" if merged else "population"

    def why_population(self, variables: Scope, merged: Facts) -> str:
        """Explain the prior row of a founder, or of two together."""
        names = joined([self.who(variable) for variable in sorted(variables)])
        comes = f"{names} {'comes' if len(variables) == 1 else 'come'} from the population"
        frequency = self.condition.frequency
        if merged and frequency.carrier is not None:
            return (
                f"Nothing is known of {names}'s parents; {frequency.carrier} of unaffected "
                f"people are carriers"
            )
        if frequency.allele == "rare":
            return (
                f"{comes}, where the allele is rare: one copy has the vanishing chance 2e, two "
                f"copies its square"
                if not self._one_copy(variables[0])
                else f"{comes}, where the allele is rare and has the vanishing chance e"
            )
        if frequency.mutation_selection_balance is not None:
            return f"{comes}, where new mutation balances selection"
        return f"{comes}: the first row is its mixture of genotypes"

    def unknown_parents(self, variable: int) -> str:
        """Return the text of the prior row of someone of whose parents nothing is known."""
        return "parents: nothing known"

    def why_unknown_parents(self, variable: int) -> str:
        return f"Nothing that matters is known of {self.who(variable)}'s parents"

    def twin_prior(self, variable: int) -> str:
        return "from the parents and the twin"

    def why_twin_prior(self, variable: int, above: Facts) -> str:
        known = f" ({self._told(above)})" if above else ""
        return (
            f"{self.who(variable)} is a twin of unknown zygosity: with the chance of being "
            f"monozygotic the genotype is the twin's, otherwise that of any sibling{known}"
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
            return f"{told}, so {names} {having} for certain"
        certain = [f"{self.who(v)} {self.has(v, state)}" for v, state in states.items()]
        return f"{told}, so for certain {joined(certain)}"

    def speaks_for_itself(self, facts: Facts) -> bool:
        """Tell whether facts are one known genotype, which needs no reasoning."""
        return len(facts) == 1 and self.facts_kind(next(iter(facts))) == "genotype"

    def facts_kind(self, path: str) -> str:
        """Return the kind of a fact: affected, genotype, tests, born or fathered."""
        return self._facts[path].evidence.kind

    def from_parents(self, variable: int, parents: Sequence[int]) -> str:
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
                    f"{chances[1]} x 1/2 = {passed}"
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
        if not self.family.parents[variable]:
            return [sentence(each) for each in sentences]
        return [
            sentence(f"{self.who(variable)}, {text}, has no facts of {self._their(variable)} own")
        ]

    def _their(self, variable: int) -> str:
        return {"female": "her", "male": "his"}.get(self.sex(variable), "their")

    # --- conditional rows -----------------------------------------------------------------

    def own_row(self, variable: int, new: Facts) -> str:
        """Return the text of a row for a fact about the person of the table."""
        return joined(self.fact_phrases(self._in_order(new)))

    def why_own(self, variable: int, new: Facts, values: Mapping[Hypothesis, Value]) -> str:
        """Explain a row for a fact about the person of the table."""
        said = joined(self.fact_phrases(self._in_order(new)))
        gone = [h for h, value in values.items() if not value]
        kept = [h for h, value in values.items() if value]
        if gone and kept and all(values[h] == 1 for h in kept):
            out = joined([self.has(variable, h[0]).split(" ", 1)[1] for h in gone])
            return f"{said}, which rules out {'being ' if out[:2] == 'a ' else ''}{out}"
        return f"{said}{self._chances(variable, values)}"

    def _chances(self, variable: int, values: Mapping[Hypothesis, Value]) -> str:
        """Return the chances of a row in words, where they are short."""
        shown = [
            f"{value_word(value)} {self._with(variable, hypothesis[0])}"
            for hypothesis, value in values.items()
            if _short(value)
        ]
        if len(shown) == len(values) <= 3:
            return f": the chance of that is {joined(shown)}"
        return ""

    def children_row(self, children: Sequence[int], new: Facts, partner: int | None) -> str:
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
    ) -> str:
        """Explain a row for facts about children; `partner` is an uncertain other parent."""
        people = [person for child in children for person in self._people[child]]
        number = sum(person.count or 1 for person in people)
        names = joined([person.name or person.id for person in people])
        own = all(self.family.variable[self._facts[path].person] in children for path in new)
        alone = len(parents) == 1
        if partner is not None:
            return (
                f"What {self.who(partner)} has is not certain, so the row averages over it, in "
                f"the proportions that hold for {self.who(partner)} without these children"
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
                        " x ".join([str(root)] * number) if number <= 5 else f"{root}^{number}"
                    )
                    given = self._with(parents[0], hypothesis[0]) if alone else "here"
                    return (
                        f"The children are independent given their parents' genotypes, each with "
                        f"chance {root} {given}: {product} = {value}"
                    )
        row = self.children_row(children, new, None)
        return (
            f"{row}{self._chances(parents[0], values)}"
            if alone
            else (
                "Given both parents' genotypes the children are independent, each row a child's or "
                "several alike children's"
            )
        )

    def twin_row(self, child: int, new: Facts) -> str:
        return joined(self.fact_phrases(self._in_order(new)))

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

    def same_genotype(self, pair: Scope) -> str:
        return "the same genotype"

    def apart(self, pair: Scope) -> str:
        one, two = pair
        return f"{self.who(one)} and {self.who(two)}, independent of each other"

    def tied(self, pair: Scope) -> str:
        return f"{joined([self.who(variable) for variable in pair])}, jointly"

    def why_tied(self, pair: Scope) -> str:
        return (
            f"{joined([self.who(variable) for variable in pair])} are tied together, by common "
            f"ancestors or by facts about common relatives, so that one table is about both"
        )

    # --- whole steps ----------------------------------------------------------------------

    def step_text(self, variable: int, sentences: Sequence[str]) -> str:
        """Return the sentences of a step."""
        return " ".join(sentence(each) for each in dict.fromkeys(sentences) if each)

    def couple_text(self, shown: Sequence[str], sentences: Sequence[str]) -> str:
        """Return the sentences of a step about two people."""
        text = [sentence(each) for each in dict.fromkeys(sentences) if each]
        return " ".join(text) or sentence(f"{joined(list(shown))} together")

    def still_to_come(self, person: Person, question: Question) -> str:
        """Explain the last line of a question about becoming affected."""
        who = person.name or person.id
        if person.affected:
            return f"{who} is affected already, whatever the genotype"
        until = f"by the age of {question.by_age}" if question.by_age else "at some time in life"
        if person.affected is None:
            return f"The last line multiplies by the chance of being affected {until}"
        if self.condition.onset is None:
            return f"{who} is unaffected, and without onset data that is taken to be for life"
        return (
            f"The last line multiplies by the chance of becoming affected {until}, given being "
            f"unaffected at {person.age}"
        )

    def combining(self, pair: Scope, question: Question, combine: Sequence[Combination]) -> str:
        """Explain the last line: which genotypes are needed, and what is multiplied."""
        counted = [each for each in combine if each.product]
        if not counted:
            return "No pair of genotypes that is possible here leads to this"
        if len(counted) == 1:
            # What the father has on the X does not reach a son.
            sons = self.condition.x_linked and question.sex == "male"
            needs = joined(
                [
                    f"{self.who(variable)} {self.has(variable, state)}"
                    for variable, state in zip(pair, counted[0].case.values(), strict=True)
                    if not sons or not self._one_copy(variable)
                ]
            )
            multiply = "the chances multiply" if counted[0].factors else "that has the chance below"
            if question.people is not None:
                return f"What is asked is that {needs}: {multiply}"
            return f"This can only be where {needs}: {multiply}"
        return "For each pair of genotypes: its chance, times that of what is asked"

    def conclusion(self, question: Question, found: Answer) -> str:
        """Return the closing sentence."""
        if found.probability is not None:
            event = event_in_words(question, self.case)
            return sentence(f"{event}: chance {answer_in_words(found.probability)}")
        assert found.distribution is not None and question.person is not None
        who = person_in_words(question.person, self.case)
        chances = [
            f"{number_word(count)} with chance {answer_in_words(chance)}"
            for count, chance in enumerate(found.distribution)
            if chance.value
        ]
        return sentence(f"{who} has so many disease alleles: {'; '.join(chances)}")


def _short(value: Value) -> bool:
    return not isinstance(value, float) and len(str(value)) < 16


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
