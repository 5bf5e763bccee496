"""The sentences on rows for what is known of the person of a table: phenotype, genotype, tests."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import cast

from risk.case.model import TestResult
from risk.genetics.founders import mutates
from risk.inference.arithmetic import Term
from risk.wording.phrases import joined, number_word
from risk.workings.assays import result_in_words
from risk.workings.naming import Naming
from risk.workings.onset import by_age_in_words, chance_by_age
from risk.workings.step import Value
from risk.workings.sums import Averages, Sum
from risk.workings.values import HALF, bits, by_case, chance_word, short, value_word
from risk.workings.weigh import MOSAIC, Facts, Hypothesis, equal

#: How many cases of a sum are named.
_MOST_ALIKE = 3


class OwnFacts(Naming):
    """Sentences about a person's own facts."""

    def why_own(
        self,
        variable: int,
        new: Facts,
        values: Mapping[Hypothesis, Value],
        said: Sequence[str],
        because: Facts = frozenset(),
        parent: int | None = None,
        averages: Averages | None = None,
    ) -> str:
        """Explain a row for a fact about the person of the table.

        `said` are the sentences before.  `because` are facts by which the class of a single
        allele has other chances than usual, `parent` is the only one who is not certain, and
        `averages` are over what that one may have.
        """
        told = joined(self.fact_phrases(self.in_order(new)))
        values = self._exact(variable, new, values)
        gone = [h for h, value in values.items() if not value]
        kept = [h for h, value in values.items() if value]
        if gone and kept and all(values[h] == 1 for h in kept):
            if gone == [(1,), (2,)]:
                return f"{told}, which rules out the allele"
            out = joined([self.has(variable, h[0]).split(" ", 1)[1] for h in gone])
            being = "being " if out[:2] == "a " else "having " if out[:2] == "no" else ""
            return f"{told}, which rules out {being}{out}"
        if {self.facts_kind(path) for path in new} == {"fathered"} and short(values.get((1,), 0.0)):
            return (
                f"{told}: men with the allele have {value_word(values[1,])} of the children that "
                "others have (fitness), and that is its weight in the row"
            )
        escaped = all(
            self.facts_kind(path) == "affected" and not self.says_affected(path) for path in new
        )
        others = sum((person.count or 1) - 1 for person in self.people[variable])
        # A row about several is not what is left of 1 for one of them.
        escaped = escaped and not others
        why = f"{self._chances(variable, values, escaped=escaped)}{self._onset(new)}"
        if why and len(new) == 1 and self.facts_kind(next(iter(new))) == "tests":
            (result,) = [self.facts[path].evidence.detail for path in new]
            others_told = self._told_of_each(because)
            one, two = values.get((1,)), values.get((2,))
            tested = result_in_words(
                self.condition, cast(TestResult, result), one, two, others_told, said
            )
            why += f". {self.sentence(tested)}" if tested else ""
        if others:
            other = self._others(others, values, parent)
            if averages:
                other += self.averaged(variable, values, averages)
            why = f"{why.rstrip('.')}. {self.sentence(other)}"
        return f"{told}{why}" if why else ""

    def why_known(
        self,
        variable: int,
        told: Facts,
        values: Mapping[Hypothesis, Value],
        said: Sequence[str],
    ) -> str:
        """Explain the chances `values` of what is `told` of someone, and of those below."""
        if len(told) == 1 and self.family.variable[self.facts[next(iter(told))].person] == variable:
            return self.why_own(variable, told, values, said)
        why = self._chances(variable, values)
        return f"What is known ({self.told(told)}){why}" if why else ""

    def _exact(
        self, variable: int, new: Facts, values: Mapping[Hypothesis, Value]
    ) -> Mapping[Hypothesis, Value]:
        """Return the chances of somebody's phenotype as the fractions that they are.

        They are floats where the frequency of the allele is irrational.
        """
        evidence = [self.facts[path].evidence for path in new]
        if len(evidence) != 1 or evidence[0].kind != "affected":
            return values
        copies, exact = self.family.copies[variable], dict(values)
        chances = self.family.locus.fact_likelihood(copies, evidence[0])
        for genotype, chance in zip(self.family.locus.listed[copies], chances, strict=True):
            state = (MOSAIC if genotype.mosaic else genotype.disease_alleles,)
            if state in exact and equal(exact[state], chance):
                exact[state] = chance
        return exact

    def _others(self, number: int, values: Mapping[Hypothesis, Value], parent: int | None) -> str:
        """Say how the alike siblings of the one in the table enter a row about all of them."""
        some = "one counts" if number == 1 else f"{number_word(number)} count"
        are = f"the other {some} in this row, too"
        kept = [value for value in values.values() if value]
        if all(equal(value, kept[0]) for value in kept):
            return f"{are}, alike whatever this one has"
        whose = "the parents" if parent is None else self.who(parent)
        return f"{are}, averaged over what {whose} may have, of which this one's genotype tells"

    def averaged(
        self,
        variable: int,
        values: Mapping[Hypothesis, Value],
        averages: Averages,
        most: int = 5,
    ) -> str:
        """Return the sums that the values of a row are, to go on with; see `_worked`."""

        def case(alike: Sequence[Hypothesis]) -> str:
            return joined([self.with_state(variable, each[0]) for each in alike], " or ")

        return self._worked(values, averages, case, most)

    def _worked(
        self,
        values: Mapping[Hypothesis, Value],
        averages: Averages,
        case: Callable[[Sequence[Hypothesis]], str],
        most: int,
    ) -> str:
        """Return values of a row as sums, each with its `case`: ``3/4 + 1/4 × 1/2 = 7/8``.

        Where they have more than so many terms, it is the one that takes most.
        """
        groups: list[tuple[list[Hypothesis], Value, Sum]] = []
        for hypothesis, value in values.items():
            each = averages.get(hypothesis)
            if each is None or value == 1 or each.trivial:
                continue
            for alike, known, sum_ in groups:
                if known == value and sum_.same_as(each):
                    alike.append(hypothesis)
                    break
            else:
                groups.append(([hypothesis], value, each))
        groups = [each for each in groups if len(each[0]) <= _MOST_ALIKE]
        if not groups:
            return ""
        rest = ""
        if len(groups) > 1 and sum([len(each.weights) for _, _, each in groups]) > most:
            groups = [max(groups, key=lambda each: (len(each[2].weights), bits(each[1])))]
            rest = ", and the others likewise"
        return f": {joined([f'{case(own)} {_sum(of, value)}' for own, value, of in groups])}{rest}"

    def _told_of_each(self, paths: Facts) -> str:
        """Return facts person by person: ``Bo is affected and has one allele found (panel)``."""
        told = []
        for id in dict.fromkeys(self.facts[path].person for path in self.in_order(paths)):
            own = [path for path in self.in_order(paths) if self.facts[path].person == id]
            told += self.fact_phrases(own)
        return "; ".join(told)

    def _onset(self, new: Facts, value: Value | None = None) -> str:
        """Go on with how the chance of being unaffected at an age comes about, if it is one age.

        `value` is that of a child of a parent with one copy.
        """
        ages = {}
        for path in new:
            fact = self.facts[path]
            person = self.case.person(fact.person)
            if fact.evidence.kind != "affected" or person.affected or person.age is None:
                return ""
            ages[person.sex, person.age.value] = person.age
        # Sons and daughters of one age may have the same chances.
        texts = {by_age_in_words(self.condition, sex, age) for (sex, _), age in ages.items()}
        (text, *others) = texts or {""}
        if others or not text:
            return ""
        (sex, _), age = next(iter(ages.items()))
        chance = chance_by_age(self.condition, sex, age)
        if chance and isinstance(value, Fraction) and value == 1 - chance * HALF:
            text += f". Half the children get the allele: 1 - 1/2 × {chance} = {value}"
        return f". Here {text}"

    def _chances(
        self, variable: int, values: Mapping[Hypothesis, Value], *, escaped: bool = False
    ) -> str:
        """Return the chances of a row in words, where they are short.

        With `escaped` a chance is shown as what is left of 1: being unaffected so far.
        """
        shown: list[tuple[str, str]] = []
        for hypothesis, value in values.items():
            number = value_word(value)
            if escaped and isinstance(value, Fraction) and HALF <= value < 1:
                number = f"1 - {1 - value} = {number}"
            if isinstance(value, Fraction) and not short(value):
                number = f"1 - {1 - value}"
            if isinstance(value, Term) and value.order and mutates(self.condition):
                number += " (by new mutation)"
            shown.append((number, self.with_state(variable, hypothesis[0])))
        if len(shown) <= 3 and all(map(_plain, values.values())):
            return f": the chance of that is {by_case(shown)}"
        return ""


def _sum(of: Sum, value: Value) -> str:
    """Return a sum of products with its value."""
    products = [
        " × ".join([chance_word(number) for number in term if number != 1]) or "1"
        for term in of.terms
    ]
    return f"{' + '.join(products)} = {chance_word(value)}"


def _plain(value: Value) -> bool:
    """Tell whether a chance can be told as a short number, or as what is left of 1 beside one."""
    return short(value) or (isinstance(value, Fraction) and value >= HALF and short(1 - value))
