"""The sentences of workings: who, which fact, and why this number.

Words follow the mode of inheritance, the sex, the kind of test and the age.  Numbers come in as
values; nothing is worked out here.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import cast

from risk.case.model import BySex, Person, Question, Sex, TestResult
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.model.answers import Answer, Chance
from risk.wording.chances import chance_in_words
from risk.wording.phrases import joined, number_word
from risk.wording.questions import event_in_words, person_in_words
from risk.workings.assays import result_in_words
from risk.workings.kinship import kinship
from risk.workings.naming import sentence
from risk.workings.onset import by_age_in_words, chance_by_age
from risk.workings.origins import Origins
from risk.workings.step import State, Value
from risk.workings.values import HALF, short, value_word
from risk.workings.weigh import Averages, Facts, Hypothesis, equal


class Words(Origins):
    """Sentences about one family."""

    # --- conditional rows -----------------------------------------------------------------

    def facts_row(self, new: Facts) -> str:
        """Return the text of a row that brings in these facts, as they are."""
        return joined(self.fact_phrases(self._in_order(new)))

    def why_own(
        self,
        variable: int,
        new: Facts,
        values: Mapping[Hypothesis, Value],
        because: Facts = frozenset(),
    ) -> str:
        """Explain a row for a fact about the person of the table.

        `because` are facts by which the class of a single allele has other chances than usual.
        """
        said = joined(self.fact_phrases(self._in_order(new)))
        gone = [h for h, value in values.items() if not value]
        kept = [h for h, value in values.items() if value]
        if gone and kept and all(values[h] == 1 for h in kept):
            out = joined([self.has(variable, h[0]).split(" ", 1)[1] for h in gone])
            being = "being " if out[:2] == "a " else "having " if out[:2] == "no" else ""
            return f"{said}, which rules out {being}{out}"
        escaped = all(self.facts_kind(path) == "affected" for path in new)
        others = sum((person.count or 1) - 1 for person in self._people[variable])
        # A row about several is not what is left of 1 for one of them.
        escaped = escaped and not others
        why = f"{self._chances(variable, values, escaped=escaped)}{self._onset(new)}"
        if why and len(new) == 1 and self.facts_kind(next(iter(new))) == "tests":
            (result,) = [self._facts[path].evidence.detail for path in new]
            told = self._told_of_each(because)
            one = values.get((1,))
            tested = result_in_words(self.condition, cast(TestResult, result), one, told)
            why += f". {sentence(tested)}" if tested else ""
        if others:
            why = f"{why.rstrip('.')}. {sentence(self._others(others, values))}"
        return f"{said}{why}" if why else ""

    @staticmethod
    def _others(number: int, values: Mapping[Hypothesis, Value]) -> str:
        """Say how the alike siblings of the one in the table enter a row about all of them."""
        some = "one counts" if number == 1 else f"{number_word(number)} count"
        are = f"the other {some} in this row, too"
        kept = [value for value in values.values() if value]
        if all(equal(value, kept[0]) for value in kept):
            return f"{are}, alike whatever this one has"
        return f"{are}, averaged over what the parents may have, of which this one's genotype tells"

    def _told_of_each(self, paths: Facts) -> str:
        """Return facts person by person: ``Bo is affected and has one allele found (panel)``."""
        told = []
        for id in dict.fromkeys(self._facts[path].person for path in self._in_order(paths)):
            own = [path for path in self._in_order(paths) if self._facts[path].person == id]
            first, *more = self.fact_phrases(own)
            name = self.case.person(id).name or id
            told.append(joined([first, *(each.removeprefix(f"{name} ") for each in more)]))
        return "; ".join(told)

    def _onset(self, new: Facts, value: Value | None = None) -> str:
        """Go on with how the chance of being unaffected at an age comes about, if it is one age.

        `value` is that of a child of a parent with one copy.
        """
        ages = {}
        for path in new:
            fact = self._facts[path]
            person = self.case.person(fact.person)
            if fact.evidence.kind != "affected" or person.affected or person.age is None:
                return ""
            ages[person.sex, person.age.value] = person.age
        if len(ages) != 1:
            return ""
        (((sex, _), age),) = ages.items()
        text = by_age_in_words(self.condition, sex, age)
        if not text:
            return ""
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
        shown = []
        for hypothesis, value in values.items():
            number = value_word(value)
            if escaped and isinstance(value, Fraction) and HALF <= value < 1:
                number = f"1 - {1 - value} = {number}"
            if isinstance(value, Term) and value.order and self.condition.mutation is not None:
                number += " (by new mutation)"
            shown.append(f"{number} {self._with(variable, hypothesis[0])}")
        if len(shown) <= 3 and all(short(value) for value in values.values()):
            return f": the chance of that is {joined(shown)}"
        return ""

    def children_row(
        self, children: Sequence[int], new: Facts, married: Facts = frozenset()
    ) -> str:
        """Return the text of a row for facts about children (and below them).

        `married` are facts about partners below and these partners' relatives.
        """
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
        if len(new | married) > 4:
            names = joined([person.name or person.id for person in people])
            below = "" if own else " and below"
            also = f", and of {self._relatives(married)}" if married else ""
            return f"what is known of {names}{below}{also}"
        return self.facts_row(new | married)

    def _relatives(self, facts: Facts) -> str:
        """Name the people of some facts, or count them where there are too many."""
        ids = dict.fromkeys(self._facts[path].person for path in self._in_order(facts))
        if len(ids) > _MOST_LEFT:
            return f"{len(ids)} relatives by marriage"
        return joined([self._name(id) for id in ids])

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
        married: Facts,
        values: Mapping[Hypothesis, Value],
        averages: Averages,
    ) -> str:
        """Explain a row for facts about children; `averages` are over what a child may have.

        `married` are facts about partners below and these partners' relatives.
        """
        people = [person for child in children for person in self._people[child]]
        number = sum(person.count or 1 for person in people)
        names = joined([person.name or person.id for person in people])
        own = all(self.family.variable[self._facts[path].person] in children for path in new)
        alone = len(parents) == 1
        if not own:
            also = f", with what is known of {self._relatives(married)}," if married else ""
            return (
                f"What is known below{also} counts through {names}: the row averages over what "
                f"{names} may have{self._averaged(parents[0], values, averages)}"
            )
        if number > 1:
            for hypothesis, value in values.items():
                root = whole_root(value, number) if isinstance(value, Fraction) else None
                if root is not None and 0 < root < 1:
                    product = (
                        " × ".join([str(root)] * number) if number <= 5 else f"{root}^{number}"
                    )
                    worked = self._half(new, people[0].sex, root) if alone else ""
                    return (
                        f"Each {self._noun(people, 1)} {self._says(new)} with chance "
                        f"{worked}{root} if {self._both_have(parents, hypothesis)}, independently "
                        f"of the others: {product} = {value}"
                    )
        if not alone:
            return (
                "If we knew what both parents have, their children would be independent of each "
                "other, so that each brings a row of the table (alike ones share one)"
            )
        why = f"{self._chances(parents[0], values)}{self._onset(new, values.get((1,)))}"
        one = values.get((1,))
        worked = self._half(new, people[0].sex, one) if isinstance(one, Fraction) else ""
        if why and worked:
            why += f". Half the children get the allele: {worked}{one}"
        return f"{self.children_row(children, new)}{why}" if why else ""

    def _both_have(self, parents: Scope, hypothesis: Hypothesis) -> str:
        """Return a hypothesis about one parent or two: ``I-1 and I-2 are both carriers``."""
        having = {self.has(*each) for each in zip(parents, hypothesis, strict=True)}
        if len(parents) == 2 and len(having) == 1 and parents[0] != parents[1]:
            names = joined([self.who(parent) for parent in parents])
            return f"{names} {self.has(parents[0], hypothesis[0], many=True)}"
        return joined(
            [
                f"{self.who(parent)} {self.has(parent, state)}"
                for parent, state in zip(parents, hypothesis, strict=True)
            ]
        )

    def _half(self, new: Facts, sex: Sex, value: Fraction) -> str:
        """Return the sum that the chance of a child's phenotype is: ``1 - 1/2 × 80% = ``.

        Empty but for a child who gets the allele with chance 1/2 from a parent with one copy, and
        nothing from the other, and falls ill with less than certainty.
        """
        condition = self.condition
        table = condition.penetrance
        usual = condition.mutation is None and condition.viability is None
        if table is None or not usual or condition.onset is not None:
            return ""
        if isinstance(table, BySex):
            if sex == "unknown":
                return ""
            table = table.female if sex == "female" else table.male
        if not 0 < table.one.value < 1 or table.zero.value:
            return ""
        product = f"1/2 × {table.one} = "
        if {self.facts_kind(path) for path in new} != {"affected"}:
            return ""
        affected = {self.case.person(self._facts[path].person).affected for path in new}
        if affected == {False} and value == 1 - HALF * table.one.value:
            return f"1 - {product}"
        return product if affected == {True} and value == HALF * table.one.value else ""

    def why_partner(
        self,
        variable: int,
        partner: int,
        shares: Mapping[State, Value],
        values: Mapping[Hypothesis, Value],
        averages: Averages,
        said: Sequence[str],
        *,
        from_population: bool,
    ) -> str:
        """Explain a row for children whose other parent, the partner, is not certain.

        `shares` are the chances of what the partner may have, `averages` the row as sums over it,
        and `said` the sentences before.
        """
        who = self.who(partner)
        known = [
            f"{self.has(partner, state)} with chance {value_word(chance)}"
            for state, chance in shares.items()
            if state != 0 and short(chance)
        ]
        begin = f"What {who} has is not certain"
        if from_population:
            begin = self.why_population((partner,), frozenset(), shares)
            comes = f"{who} comes from the population"
            if any(begin.removeprefix(comes) in each for each in said):
                begin = f"{comes}, too"
            begin = f"{begin}. What {who} has is not certain"
        elif known:
            begin = f"{begin} ({who} {joined(known)})"
        averaged = self._averaged(variable, values, averages)
        return f"{begin}, so the row averages over it{averaged}"

    def _averaged(
        self, variable: int, values: Mapping[Hypothesis, Value], averages: Averages
    ) -> str:
        """Return the sums that the values of a row are, where these are short, to go on with."""
        sums = []
        for hypothesis, value in values.items():
            terms = averages.get(hypothesis, [])
            numbers = [number for term in terms for number in term]
            trivial = len(terms) == 1 and 1 in numbers
            if value == 1 or trivial or not 0 < len(terms) <= _MOST_TERMS:
                continue
            if any(not short(each, _LONG_TERM) for each in [*numbers, value]):
                continue
            products = [
                " × ".join([value_word(number) for number in term if number != 1]) or "1"
                for term in terms
            ]
            given = self._with(variable, hypothesis[0])
            sums.append(f"{given} {' + '.join(products)} = {value_word(value)}")
        return f": {joined(sums)}" if 0 < len(sums) <= _MOST_TERMS else ""

    def _says(self, new: Facts) -> str:
        """Return what alike facts say of one person: ``is unaffected``."""
        predicates = {self._predicate(self._facts[path])[0] for path in new}
        return predicates.pop() if len(predicates) == 1 else "is so"

    def why_twin(
        self,
        child: int,
        stated: Fraction,
        variable: int,
        values: Mapping[Hypothesis, Value],
        averages: Averages,
    ) -> str:
        """Explain a row for a twin, monozygotic by the case with the chance `stated`.

        `averages` are over being monozygotic or not.
        """
        return (
            f"{self.who(child)} is the twin: with chance {stated} they are monozygotic and the "
            f"genotypes are the same, otherwise they are those of any two siblings"
            f"{self._averaged(variable, values, averages)}"
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

    def why_apart(
        self, pair: Scope, between: Mapping[int, State] | None = None, *, at_first: bool = False
    ) -> str:
        """Say that two people are independent; `at_first`: before their children are counted.

        `between` are people of certain genotypes through whom alone the two are related.
        """
        one, two = [self.who(variable) for variable in pair]
        before = " before their children are counted" if at_first else ""
        nothing = f"hat {one} has says nothing more about {two}{before}"
        if not between:
            return f"W{nothing}"
        related = kinship(self.family, *pair)
        names = joined([self.who(each) for each in between])
        through = f"{names}, through whom they are related,"
        if related is not None and set(between) == set(related.ancestors):
            through = f"their common {self.ancestors(related)}"
        if len(between) <= 2 and len({self.has(*each) for each in between.items()}) == 1:
            having = self.has(*next(iter(between.items())), many=len(between) > 1)
            return f"As {through} {having} for certain, w{nothing}"
        each = joined([f"{self.who(v)} {self.has(v, state)}" for v, state in between.items()])
        return f"As {through} are certain ({each}), w{nothing}"

    def why_tied(self, pair: Scope, facts: Facts) -> str:
        """Say why one table is about two people, which starts with what these `facts` tell."""
        names = joined([self.who(variable) for variable in pair])
        related = kinship(self.family, *pair)
        by = "facts about common relatives"
        if related:
            by = f"their common {self.ancestors(related)}"
        whole = f"; it starts from what is known of the family ({self._told(facts)})"
        return (
            f"{names} are tied together by {by}, so that one table is about both"
            f"{whole if facts else ''}"
        )

    # --- whole steps ----------------------------------------------------------------------

    def left_for_later(self, facts: Facts, steps: Sequence[int]) -> str:
        """Say that facts about somebody's descendants come in only with these later steps."""
        where = f"step{'s' if len(steps) > 1 else ''} {joined([str(each) for each in steps])}"
        if len(facts) <= _MOST_LEFT:
            return f"That {self._told(facts)} is not used yet; it comes in {where}"
        owners = {self._facts[path].person for path in facts}
        about = f"{len(owners)} relatives" if len(owners) > 1 else self._name(*owners)
        return f"{len(facts)} facts about {about} are not used yet; they come in {where}"

    def _name(self, id: str) -> str:
        person = self.case.person(id)
        return person.name or person.id

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
            f"{_COPIES[count]} with chance {_readable(chance)}"
            for count, chance in enumerate(found.distribution)
            if chance.value
        ]
        chances[0] = chances[0].replace(" with", " of the disease allele with", 1)
        return sentence(f"{who} has {'; '.join(chances)}")


#: Characters of a number in such a product.
_LONG_TERM = 11
#: How many products a sentence adds up, and how many such sums it holds.
_MOST_TERMS = 3
_COPIES = ("no copy", "one copy", "two copies")
#: Characters of a fraction with which a sentence does not begin.
_LONG_FRACTION = 15
#: How many facts that come later are named; more are only counted.
_MOST_LEFT = 3
#: How many facts that make no difference are named; more are only counted.
MOST_IDLE = 12


def _readable(chance: Chance) -> str:
    """Return a chance in words, a long fraction behind what can be read of it."""
    words = chance_in_words(chance)
    if words.fraction is None or len(words.fraction) <= _LONG_FRACTION:
        return str(words)
    return f"{str(words).removeprefix(words.fraction + ', ')} (exactly {words.fraction})"


def whole_root(value: Fraction, degree: int) -> Fraction | None:
    """Return the rational root of this degree, or None; used to write powers as products."""
    parts = []
    for number in (value.numerator, value.denominator):
        root = round(number ** (1 / degree)) if number < 10**300 else 0
        if root**degree != number:
            return None
        parts.append(root)
    return Fraction(parts[0], parts[1])
