"""What workings call people, genotypes and facts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from risk.case.model import Case, Person
from risk.genetics.genotypes import is_carrier
from risk.inference.plan import Scope
from risk.model.facts import Fact
from risk.model.family import Family
from risk.wording.alleles import COPIES
from risk.wording.facts import fact_phrases, predicate
from risk.wording.phrases import capital, joined
from risk.workings.step import State
from risk.workings.weigh import MOSAIC, Facts, Hypothesis

#: How many facts a sentence names before it only counts them.
_MOST_NAMED = 8


class Naming:
    """Names and phrases for one family."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.case: Case = family.case
        self.condition = family.case.condition
        self._people: dict[int, list[Person]] = {}
        for person in family.case.people:
            self._people.setdefault(family.variable[person.id], []).append(person)
        #: The ids of couples by their variables: of identical twins only one is of a couple.
        self._couples: dict[frozenset[int], tuple[str, str]] = {}
        born = [(each.father, each.mother) for each in self.case.people]
        asked = [each.parents or each.people or (None, None) for each in self.case.questions]
        for one, two in (*born, *asked):
            if one is not None and two is not None:
                variables = frozenset((family.variable[one], family.variable[two]))
                self._couples.setdefault(variables, (one, two))
        self._facts = {fact.path: fact for fact in family.facts}
        self._rank = {path: place for place, path in enumerate(self._facts)}
        #: Of names only those that a capital would change.
        self._small = [each for each in self.case.called if each[:1] != each[:1].upper()]

    def sentence(self, text: str) -> str:
        """Return the text with a capital, unless it begins with a name, and a full stop.

        What a sum only nearly comes to has one sign before it.
        """
        return capital(text.replace("= ≈", "≈ "), self._small).rstrip(".") + "." if text else ""

    # --- people and genotypes -------------------------------------------------------------

    def id_of(self, variable: int, preferred: str | None) -> str:
        """Return the id of the person of a variable; of monozygotic twins the one preferred."""
        ids = [person.id for person in self._people[variable]]
        return preferred if preferred in ids else ids[0]

    def who(self, variable: int) -> str:
        """Return the name of the person of a variable, or the id; twins have both."""
        return joined([person.name or person.id for person in self._people[variable]])

    def parent(self, child: int, variable: int) -> str:
        """Return the name of a child's parent, and not that of the parent's identical twin."""
        born = self._people[child][0]
        return next(
            each.name or each.id
            for each in self._people[variable]
            if each.id in (born.father, born.mother)
        )

    def who_does(self, variable: int, one: str, several: str) -> str:
        """Return the name of a person with the verb, or of twins with theirs: ``II-2 has``."""
        return f"{self.who(variable)} {several if self._twins(variable) else one}"

    def is_couple(self, people: Sequence[int]) -> bool:
        """Tell whether these are two people who have a child, or are asked about together."""
        return frozenset(people) in self._couples

    def names(self, people: Sequence[int]) -> list[str]:
        """Return the names of some people, of a couple without those of their identical twins."""
        couple = self._couples.get(frozenset(people), ())
        found = {self.family.variable[id]: self.name(id) for id in couple}
        return [found[each] if len(found) == 2 else self.who(each) for each in people]

    def _twins(self, variable: int) -> bool:
        return len(self._people[variable]) > 1

    def name(self, id: str) -> str:
        """Return the name of one person, or the id."""
        person = self.case.person(id)
        return person.name or person.id

    def copies(self, id: str) -> int:
        """Return how many copies of the locus one person has."""
        return self.family.copies[self.family.variable[id]]

    def sex(self, variable: int) -> str:
        return self._people[variable][0].sex

    def _one_copy(self, variable: int) -> bool:
        return self.family.copies[variable] == 1

    def _carrier(self, variable: int, state: State | None) -> bool:
        """Whether that is called a carrier, a word of recessive conditions."""
        return self.condition.recessive and is_carrier(self.family.copies[variable], state)

    def state(self, variable: int, state: State) -> str:
        """Return the heading for a number of disease alleles in this person."""
        if state == MOSAIC:
            return "mosaic"
        if state == 0:
            return "no allele"
        if self._one_copy(variable):
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
        if self._carrier(variable, state):
            one = "are carriers" if twins else "is a carrier"
            return "are both carriers" if many else one
        copies = f"{COPIES[state]} of the allele" if isinstance(state, int) else ""
        what = "the allele" if state != 0 and self._one_copy(variable) else copies
        return f"both have {what}" if many else f"{'have' if twins else 'has'} {what}"

    def _with(self, variable: int, state: State) -> str:
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

    # --- facts ----------------------------------------------------------------------------

    def _predicate(self, fact: Fact) -> tuple[str, str]:
        return predicate(fact, self.case)

    def fact_phrases(self, paths: Iterable[str]) -> list[str]:
        """Return facts in words, alike ones together: ``I-1 and I-2 are unaffected``."""
        return fact_phrases([self._facts[path] for path in paths], self.case)

    def known_genotypes(self, variables: Iterable[int]) -> str:
        """Return that these people's genotypes are known, if all of them are, else nothing."""
        found = []
        for variable in variables:
            paths = [f"{person.id}.genotype" for person in self._people[variable]]
            known = [path for path in paths if path in self._facts]
            if not known:
                return ""
            found += known
        return joined(self.fact_phrases(sorted(found, key=self._rank.__getitem__)))

    def _in_order(self, paths: Facts) -> list[str]:
        return sorted(paths, key=self._rank.__getitem__)

    def _told(self, paths: Facts) -> str:
        """Return facts in one clause, or count them where there are too many."""
        if len(paths) > _MOST_NAMED:
            owners = {self._facts[path].person for path in paths}
            return f"{len(paths)} facts about {len(owners)} relatives are known"
        return joined(self.fact_phrases(self._in_order(paths)))

    def starting(self, facts: Facts) -> str:
        """Go on with the facts that a table starts from, if there are any."""
        return f"; it starts from what is known of the family ({self._told(facts)})" * bool(facts)
