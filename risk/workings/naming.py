"""What workings call people, genotypes and facts.

The functions that make sentences take a `Naming` as `words`.  Words follow the mode of inheritance,
the sex, the kind of test and the age.  Numbers come in as values.  A rule that leads to one, such
as a product with 1/2, is said only where it gives that.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import replace
from itertools import islice

from risk.case.model import Case, Person
from risk.genetics.genotypes import is_carrier
from risk.inference.plan import Scope
from risk.model.facts import Fact
from risk.model.family import Family
from risk.wording.alleles import COPIES
from risk.wording.facts import fact_phrases, predicate
from risk.wording.phrases import capital, joined, sentence_ends
from risk.workings.step import Said, State, Step, Topic
from risk.workings.weigh import MOSAIC, Facts, Hypothesis

#: How many people, or facts, are named; more are only counted.
MOST_NAMED = 3
#: How many facts are told one by one before a sentence only counts them.
_MOST_TOLD = 8


class Naming:
    """Names and phrases for one family: its people, what they have, what is known of them."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.case: Case = family.case
        self.condition = family.case.condition
        #: The people of each variable: one, or identical twins.
        self.people: dict[int, list[Person]] = {}
        for person in family.case.people:
            self.people.setdefault(family.variable[person.id], []).append(person)
        #: The variables of identical twins.
        self.twins = [each for each, people in self.people.items() if len(people) > 1]
        #: The ids of couples by their variables: of identical twins only one is of a couple.
        self._couples: dict[frozenset[int], tuple[str, str]] = {}
        born = [(each.father, each.mother) for each in self.case.people]
        asked = [each.parents or each.people or (None, None) for each in self.case.questions]
        for one, two in (*born, *asked):
            if one is not None and two is not None:
                variables = frozenset((family.variable[one], family.variable[two]))
                self._couples.setdefault(variables, (one, two))
        #: The facts by their paths, in the order of the case.
        self.facts = {fact.path: fact for fact in family.facts}
        self._phrases: dict[tuple[str, ...], list[str]] = {}
        #: See `names` and `both_have`.
        self._names: dict[tuple[int, ...], list[str]] = {}
        self._having: dict[tuple[Scope, Hypothesis], str] = {}
        self._rank = {path: place for place, path in enumerate(self.facts)}
        #: Of names only those that a capital would change.
        self._small = [each for each in self.case.called if each[:1] != each[:1].upper()]
        tests, variants = self.condition.tests or (), self.condition.variants or ()
        named = [*[test.name for test in tests], *[variant.name for variant in variants]]
        results = [result.result for test in tests for result in test.likelihood or ()]
        #: Names with a full stop, as inside ``St. John``, that ends no sentence.
        self._with_stops = [
            each
            for each in (*self.case.called, *named, *results)
            if " " in each and any(sentence_ends(each))
        ]

    def sentence(self, text: str) -> str:
        """Return the text with a capital, unless it begins with a name, and a full stop."""
        return capital(text, self._small).rstrip(".") + "." if text else ""

    def finished(self, said: Said) -> Said:
        """Return what is said as sentences of their own."""
        text, topic, again, brief, twins = said
        text = self.sentence(text)
        return Said(text, topic, again, text[: len(brief)], twins)

    def brief(self, step: Step) -> Step:
        """Return the step with its first two sentences, or the first and the first of its end."""
        reasons = [said.text for said in step.reasons]
        text = " ".join([*reasons[:1], step.closing] if step.closing else reasons)
        second = next(islice(sentence_ends(text, self._with_stops), 1, None), None)
        return replace(step, brief=text[:second])

    def said(
        self,
        text: str,
        about: Collection[int] = (),
        told: Facts = frozenset(),
        topic: Topic | None = None,
        again: str | None = None,
    ) -> Said:
        """Return what is said about these variables, telling these facts."""
        if not self.twins:
            return Said(text, topic, again)
        # Who is known together with the identical twin is named with that one, too.
        known = {self.facts[path].person for path in told}
        named = [
            each
            for each in self.twins
            if each in about or {person.id for person in self.people[each]} <= known
        ]
        return Said(text, topic, again, twins=frozenset(named))

    # --- people and genotypes -------------------------------------------------------------

    def id_of(self, variable: int, preferred: str | None) -> str:
        """Return the id of the person of a variable; of monozygotic twins the one preferred."""
        ids = [person.id for person in self.people[variable]]
        return preferred if preferred in ids else ids[0]

    def who(self, variable: int) -> str:
        """Return the name of the person of a variable, or the id; twins have both."""
        return joined([person.name or person.id for person in self.people[variable]])

    def parent(self, child: int, variable: int) -> str:
        """Return the name of a child's parent, and not that of the parent's identical twin."""
        born = self.people[child][0]
        return next(
            each.name or each.id
            for each in self.people[variable]
            if each.id in (born.father, born.mother)
        )

    def who_does(self, variable: int, one: str, several: str) -> str:
        """Return the name of a person with the verb, or of twins with theirs: ``II-2 has``."""
        return f"{self.who(variable)} {several if self._twins(variable) else one}"

    def _is_couple(self, people: Sequence[int]) -> bool:
        """Tell whether these are two people who have a child, or are asked about together."""
        return frozenset(people) in self._couples

    def names(self, people: Sequence[int]) -> list[str]:
        """Return the names of some people, of a couple without those of their identical twins."""
        found = self._names.get(tuple(people))
        if found is None:
            ids = self._couples.get(frozenset(people), ())
            couple = {self.family.variable[id]: self.name(id) for id in ids}
            names = [couple[each] if len(couple) == 2 else self.who(each) for each in people]
            found = self._names[tuple(people)] = names
        return found

    def _twins(self, variable: int) -> bool:
        return variable in self.twins

    def name(self, id: str) -> str:
        """Return the name of one person, or the id."""
        person = self.case.person(id)
        return person.name or person.id

    def copies(self, id: str) -> int:
        """Return how many copies of the locus one person has."""
        return self.family.copies[self.family.variable[id]]

    def sex(self, variable: int) -> str:
        return self.people[variable][0].sex

    def one_copy(self, variable: int) -> bool:
        """Tell whether somebody has one copy of the locus, as a man has of the X."""
        return self.family.copies[variable] == 1

    def called_carrier(self, variable: int, state: State | None) -> bool:
        """Tell whether that is called a carrier, a word of recessive conditions."""
        return self.condition.recessive and is_carrier(self.family.copies[variable], state)

    def state(self, variable: int, state: State) -> str:
        """Return the heading for a number of disease alleles in this person."""
        if state == MOSAIC:
            return "mosaic"
        if state == 0:
            return "no allele"
        if self.one_copy(variable):
            return "has the allele"
        if state == 1:
            return "carrier" if self.condition.recessive else "one copy"
        full = self.condition.recessive and self.condition.penetrance is None
        return "affected" if full and not self.condition.x_linked else "two copies"

    def has(
        self, variable: int, state: State | None, *, many: bool = False, alone: bool = False
    ) -> str:
        """Return what a person (or several alike) is or has: ``is a carrier``.

        Monozygotic twins are told together, but `alone` where one of them is named.
        """
        twins = self._twins(variable) and not (many or alone)
        if state == MOSAIC:
            one = "are germline mosaics" if twins else "is a germline mosaic"
            return "are both germline mosaics" if many else one
        if self.called_carrier(variable, state):
            one = "are carriers" if twins else "is a carrier"
            return "are both carriers" if many else one
        copies = f"{COPIES[state]} of the allele" if isinstance(state, int) else ""
        what = "the allele" if state != 0 and self.one_copy(variable) else copies
        return f"both have {what}" if many else f"{'have' if twins else 'has'} {what}"

    def with_state(self, variable: int, state: State) -> str:
        """Return a hypothesis behind a number: ``for a carrier``, ``with no allele``."""
        label = self.state(variable, state)
        return {
            "carrier": "for a carrier",
            "mosaic": "for a germline mosaic",
            "no allele": "with no allele",
            "has the allele": "with the allele",
            "affected": "with two copies",
        }.get(label, f"with {label}")

    def pair_state(self, pair: Scope, hypothesis: Hypothesis, shown: Sequence[str]) -> str:
        """Return the heading for a hypothesis about two people."""
        return ", ".join(
            f"{self.name(id)} {self.state(variable, state)}"
            for id, variable, state in zip(shown, pair, hypothesis, strict=True)
        )

    def one_of(
        self,
        people: Scope,
        hypotheses: Sequence[Hypothesis],
        possible: Collection[Hypothesis],
    ) -> str:
        """Return what people have in any of some cases: ``just one of I-1 and I-2 is a carrier``.

        Or ``at least one``.  `possible` are all the cases.
        """
        found = self.together(people, hypotheses, possible)
        return found or joined([self.both_have(people, each) for each in hypotheses], " or ")

    def together(
        self,
        people: Scope,
        hypotheses: Sequence[Hypothesis],
        possible: Collection[Hypothesis],
    ) -> str:
        """Return some cases as one, as `one_of` does; empty where they have no such name."""
        names = joined(self.names(people))
        found = set(hypotheses)
        # Beside a carrier the other may have two copies.
        unclear = any(set(each) == {1, 2} for each in possible)
        if found - {(1, 1)} == {(0, 1), (1, 0)} and not (unclear and len(found) == 2):
            some = "just" if len(found) == 2 else "at least"
            but = " and neither has two copies" * unclear
            return f"{some} one of {names} {self.has(people[0], 1, alone=True)}{but}"
        alike = len(people) == 2 and len({self.family.copies[each] for each in people}) == 1
        if alike and len(found) > 3 and found == {each for each in possible if 1 in each}:
            return f"at least one of {names} {self.has(people[0], 1, alone=True)}"
        if len(people) == 2 and found == {(0, 2), (1, 2), (2, 0), (2, 1)}:
            return f"just one of {names} {self.has(people[0], 2, alone=True)}"
        (first, *_) = hypotheses
        if len(people) == len(found) == 2 and found == {first, first[::-1]}:
            less, more = sorted(first, key=str)
            one, other = [self.has(people[0], each, alone=True) for each in (more, less)]
            if less == 0 and one.endswith("of the allele"):
                other = "none"
            return f"one of {names} {one} and the other {other}"
        return ""

    def both_have(self, parents: Scope, hypothesis: Hypothesis) -> str:
        """Return a hypothesis about one parent or two: ``I-1 and I-2 are both carriers``."""
        found = self._having.get((parents, hypothesis))
        if found is None:
            found = self._having[parents, hypothesis] = self._both_have(parents, hypothesis)
        return found

    def _both_have(self, parents: Scope, hypothesis: Hypothesis) -> str:
        names, couple = self.names(parents), self._is_couple(parents)
        having = [self.has(*each, alone=couple) for each in zip(parents, hypothesis, strict=True)]
        if len(parents) == 2 and len(set(having)) == 1 and parents[0] != parents[1]:
            return f"{joined(names)} {self.has(parents[0], hypothesis[0], many=True)}"
        return joined([" ".join(each) for each in zip(names, having, strict=True)])

    # --- facts ----------------------------------------------------------------------------

    def predicate(self, fact: Fact) -> tuple[str, str]:
        """Return what a fact says of one person and of several: ``is affected``."""
        return predicate(fact, self.case)

    def fact_phrases(self, paths: Iterable[str]) -> list[str]:
        """Return facts in words, alike ones together: ``I-1 and I-2 are unaffected``."""
        told = tuple(paths)
        found = self._phrases.get(told)
        if found is None:
            facts = [self.facts[path] for path in told]
            found = self._phrases[told] = fact_phrases(facts, self.case)
        return found

    def facts_row(self, new: Facts) -> str:
        """Return the text of a row that brings in these facts, as they are."""
        return joined(self.fact_phrases(self.in_order(new)))

    def facts_kind(self, path: str) -> str:
        """Return the kind of a fact: affected, genotype, tests, born or fathered."""
        return self.facts[path].evidence.kind

    def says_affected(self, path: str) -> bool:
        """Tell whether a fact is that somebody is affected."""
        person = self.case.person(self.facts[path].person)
        return self.facts_kind(path) == "affected" and person.affected is True

    def same_of_twin(self, path: str, used: Facts) -> str:
        """Return the fact that says the same of an identical twin, if it is one of those `used`."""
        said, variable = self.facts[path], self.family.variable[self.facts[path].person]
        for other in self.in_order(used) if self._twins(variable) else ():
            fact = self.facts[other]
            alike = self.family.variable[fact.person] == variable
            if alike and self.predicate(fact) == self.predicate(said):
                return self.facts_row(frozenset([other]))
        return ""

    def in_order(self, paths: Facts) -> list[str]:
        """Return facts in the order of the case."""
        return sorted(paths, key=self._rank.__getitem__)

    def told(self, paths: Facts) -> str:
        """Return facts in one clause, or count them where there are too many."""
        if len(paths) > _MOST_TOLD:
            owners = {self.facts[path].person for path in paths}
            return f"{len(paths)} facts about {len(owners)} relatives are known"
        return joined(self.fact_phrases(self.in_order(paths)))

    def starting(self, facts: Facts) -> str:
        """Go on with the facts from which people are taken together, if there are any."""
        return f", from what is known of the family ({self.told(facts)})" * bool(facts)
