"""What workings call people, genotypes and facts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

from risk.case.model import Case, Person, TestResult
from risk.inference.plan import Scope
from risk.model.facts import Fact
from risk.model.family import Family
from risk.wording.phrases import joined, number_word
from risk.workings.step import State
from risk.workings.weigh import MOSAIC, Facts, Hypothesis

#: How many facts a sentence names before it only counts them.
_MOST_NAMED = 8


def sentence(text: str) -> str:
    """Return the text with a capital and a full stop."""
    return text[:1].upper() + text[1:].rstrip(".") + "." if text else ""


class Naming:
    """Names and phrases for one family."""

    def __init__(self, family: Family) -> None:
        self.family = family
        self.case: Case = family.case
        self.condition = family.case.condition
        self._people: dict[int, list[Person]] = {}
        for person in family.case.people:
            self._people.setdefault(family.variable[person.id], []).append(person)
        self._facts = {fact.path: fact for fact in family.facts}

    # --- people and genotypes -------------------------------------------------------------

    def id_of(self, variable: int, preferred: str | None) -> str:
        """Return the id of the person of a variable; of monozygotic twins the one preferred."""
        ids = [person.id for person in self._people[variable]]
        return preferred if preferred in ids else ids[0]

    def who(self, variable: int) -> str:
        """Return the name of the person of a variable, or the id; twins have both."""
        return joined([person.name or person.id for person in self._people[variable]])

    def sex(self, variable: int) -> str:
        return self._people[variable][0].sex

    def _one_copy(self, variable: int) -> bool:
        return self.family.copies[variable] == 1

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

    def has(self, variable: int, state: State | None, *, many: bool = False) -> str:
        """Return what a person (or several alike) is or has: ``is a carrier``."""
        if state == MOSAIC:
            return "are both germline mosaics" if many else "is a germline mosaic"
        if state == 1 and self.condition.recessive and not self._one_copy(variable):
            return "are both carriers" if many else "is a carrier"
        what = (
            "the allele"
            if self._one_copy(variable)
            else {1: "one copy of the allele", 2: "two copies of the allele"}.get(
                state if isinstance(state, int) else 0, ""
            )
        )
        if state == 0:
            what = "no copy of the allele"
        return f"both have {what}" if many else f"has {what}"

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
        names = [self.case.person(id).name or id for id in shown]
        return ", ".join(
            f"{name} {self.state(variable, state)}"
            for name, variable, state in zip(names, pair, hypothesis, strict=True)
        )

    # --- facts ----------------------------------------------------------------------------

    def _predicate(self, fact: Fact) -> tuple[str, str]:
        """Return what a fact says, of one person and of several."""
        evidence = fact.evidence
        if evidence.kind == "affected":
            _, affected, age = cast(tuple[str, bool, object], evidence.detail)
            word = "affected" if affected else "unaffected"
            at = f" at {self.case.person(fact.person).age}" if age is not None else ""
            return f"is {word}{at}", f"are {word}{at}"
        if evidence.kind == "genotype":
            known = {0: "to have no disease allele", 2: "to have two disease alleles"}.get(
                evidence.detail,
                "to have one disease allele",  # type: ignore[call-overload]
            )
            if (
                evidence.detail == 1
                and self.condition.recessive
                and not self._one_copy(self.family.variable[fact.person])
            ):
                return "is known to be a carrier", "are known to be carriers"
            return f"is known {known}", f"are known {known}"
        if evidence.kind == "tests":
            return self._result(evidence.detail)  # type: ignore[arg-type]
        if evidence.kind == "born":
            return "was born alive", "were born alive"
        return "has children", "have children"

    def _result(self, result: TestResult) -> tuple[str, str]:
        if result.found is not None:
            alleles = "allele" if result.found < 2 else "alleles"
            said = f"{number_word(result.found)} {alleles} found ({result.test})"
            return f"has {said}", f"have {said}"
        said = f"tested {result.result} ({result.test})"
        return said, said

    def fact_phrases(self, paths: Iterable[str]) -> list[str]:
        """Return facts in words, alike ones together: ``I-1 and I-2 are unaffected``."""
        groups: dict[tuple[str, str], list[str]] = {}
        several: set[str] = set()
        for path in paths:
            fact = self._facts[path]
            person = self.case.person(fact.person)
            if person.count:
                several.add(fact.person)
            groups.setdefault(self._predicate(fact), []).append(fact.person)
        phrases = []
        for (one, many), ids in groups.items():
            plural = len(ids) > 1 or ids[0] in several
            names = [self._all_of(self.case.person(id)) for id in ids]
            phrases.append(f"{joined(names)} {many if plural else one}")
        return phrases

    @staticmethod
    def _all_of(person: Person) -> str:
        """Return a person's name, or ``IV-1 (three siblings)`` for one that stands for several."""
        name = person.name or person.id
        if not person.count:
            return name
        return f"{name} ({number_word(person.count)} siblings)"

    def _in_order(self, paths: Facts) -> list[str]:
        return [path for path in self._facts if path in paths]

    def _told(self, paths: Facts) -> str:
        """Return facts in one clause, or count them where there are too many."""
        if len(paths) > _MOST_NAMED:
            owners = {self._facts[path].person for path in paths}
            return f"{len(paths)} facts about {len(owners)} relatives are known"
        return joined(self.fact_phrases(self._in_order(paths)))
