"""The story of a practice case, told from the case itself so that the two cannot differ.

First the condition, then the family from the person asked about outwards, each person with what
is known of them, then the questions.  Nothing is said that the case does not hold, and all that the
templates of `practice` may put into one: of a table by sex the males who are not born alive, of
mutation and selection in balance that affected men have no children, and so on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from risk.case.kin import children_of, partners_of, twin_groups
from risk.case.model import ByAlleles, BySex, Case, Condition, Frequency, Person, Question, Test
from risk.genetics.founders import mutates
from risk.model.solve import answers
from risk.number import Quantity, quantity
from risk.problems import RiskError
from risk.teaching.numerals import in_words
from risk.wording.alleles import ALLELES
from risk.wording.assumptions import mutation_in_words
from risk.wording.family import INHERITANCE
from risk.wording.phrases import joined
from risk.wording.questions import person_in_words


def vignette(case: Case) -> str:
    """Return the story of a case in three paragraphs; everyone but a `count` has a name."""
    family = _Family(case)
    paragraphs = (
        condition_sentences(case.condition, rarity_matters=rarity_matters(case)),
        family.sentences(),
        question_sentences(case),
    )
    return "\n\n".join(" ".join(sentences) for sentences in paragraphs)


# --- the condition ------------------------------------------------------------------------


def rarity_matters(case: Case) -> bool:
    """Tell whether the answers depend, or may depend, on a rare allele's being so."""
    if case.condition.frequency.allele != "rare":
        return False
    frequent = replace(case.condition, frequency=Frequency(allele=quantity("1/3")))
    try:
        same = answers(replace(case, condition=frequent)) == answers(case)
        return not (case.questions and same)
    except RiskError:
        return True


def condition_sentences(condition: Condition, *, rarity_matters: bool = True) -> list[str]:
    """Return what is known of the condition; that it is rare only where that matters."""
    name = condition.name or "The condition"
    said = [f"{name} is an {INHERITANCE[condition.inheritance]} condition."]
    said += _penetrance(condition)
    said += _onset(condition)
    said += _viability(condition)
    if rarity_matters or condition.frequency.allele != "rare":
        said += _frequency(condition)
    said += _mutation(condition)
    if condition.variants:
        shares = [f"{_share(each.share)} are {each.name}" for each in condition.variants]
        said.append(f"Of the disease alleles, {joined(shares)}.")
    for test in condition.tests or ():
        said.append(_test(test, condition))
    mosaicism = condition.germline_mosaicism
    if mosaicism is not None:
        said.append(
            "Someone who lacks the disease allele, and whose parents are not in this story, is a "
            f"germline mosaic with chance {mosaicism.prior}: never affected, but with the allele "
            f"in {_share(mosaicism.gametes)} of eggs or sperm."
        )
        said.append("A mosaic does not count as a carrier.")
    return said


def _share(number: Quantity) -> str:
    return number.text


def _penetrance(condition: Condition) -> list[str]:
    table = condition.penetrance
    if not isinstance(table, ByAlleles) or table.two is None:
        return []
    who = "with two disease alleles" if condition.recessive else "who have the disease allele"
    said = [f"Only {_share(table.two)} of those {who} ever become affected"]
    if table.zero.value:
        said.append(f"and so do {_share(table.zero)} of those without it")
    return [", ".join(said) + "."]


def _onset(condition: Condition) -> list[str]:
    if not condition.onset:
        return []
    points = []
    for point in condition.onset:
        value = point.cumulative.value
        share = "none" if not value else "all" if value == 1 else point.cumulative.text
        points.append(f"{share} are by the age of {point.age}")
    told = f"Of those who will ever be affected, {joined(points)}"
    told += "; between these ages the share rises evenly."
    if condition.penetrance is not None:
        return [told]
    who = "with two disease alleles" if condition.recessive else "who has the disease allele"
    return [f"Everyone {who} will be affected sooner or later.", told]


def _viability(condition: Condition) -> list[str]:
    table = condition.viability
    if isinstance(table, BySex):
        # Only of those who are no longer born: males with the one copy that they can have.
        lost = "No male who has the disease allele is born alive, but females are."
    elif table is not None and table.two is not None:
        who = "with two disease alleles"
        if table.two.value:
            lost = f"Of those conceived {who} only {_share(table.two)} are born alive."
        else:
            lost = f"Nobody {who} is born alive."
    else:
        return []
    return [lost, "The questions are about children born alive."]


def _frequency(condition: Condition) -> list[str]:
    frequency = condition.frequency
    if frequency.allele == "rare":
        rare = "The disease allele is so rare that someone from another family can be taken not to"
        return [f"{rare} have it, unless something else is known."]
    if frequency.carrier is not None:
        value = frequency.carrier.value
        who = "unaffected woman" if condition.x_linked else "unaffected person"
        if value.numerator == 1:
            return [f"In the population 1 {who} in {value.denominator} is a carrier."]
        return [f"In the population an {who} is a carrier with chance {frequency.carrier}."]
    if frequency.mutation_selection_balance is not None:
        return ["Affected men have no children; new mutation keeps up the number of carriers."]
    return [f"The disease allele has the frequency {frequency.allele}."]


def _mutation(condition: Condition) -> list[str]:
    mutation = condition.mutation
    if mutation is None or not mutates(condition):
        return []
    if mutation.maternal == "rare":
        return ["New mutations are rare, and as frequent in eggs as in sperm."]
    return [mutation_in_words(condition)]


def _test(test: Test, condition: Condition) -> str:
    if test.detects is not None:
        return (
            f"The {test.name} finds {joined(test.detects)} alleles, without error, and no others."
        )
    if test.likelihood is not None:
        said = []
        for row in test.likelihood:
            zero, one = row.likelihood.zero, row.likelihood.one
            said.append(f"{row.result} in {_share(one)} of carriers and {_share(zero)} of others")
        return f"In women the {test.name} is {joined(said)}."
    assert test.sensitivity is not None
    assert test.specificity is not None
    wrong = 1 - test.specificity.value
    others = (
        "and never positive in anyone else"
        if not wrong
        else (f"and negative in {test.specificity} of everyone else")
    )
    who = "carriers" if condition.recessive else "those who have the disease allele"
    return f"The {test.name} is positive in {test.sensitivity} of {who} {others}."


# --- people -------------------------------------------------------------------------------


class _Family:
    """Tells who is who, each person once, from the first person asked about outwards."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.told: set[str] = set()
        #: The couples of whom it has been said that they are such.
        self.couples: set[frozenset[str]] = set()
        self.said: list[str] = []
        centre = [person for person in case.people if "consultand" in person.roles]
        self.centre = centre[0] if centre else case.people[0]

    def sentences(self) -> list[str]:
        """Return the sentences about everyone."""
        self.told.add(self.centre.id)
        known = _predicate([self.centre], self.case)
        if known:
            self.said.append(f"{self.name(self.centre)} {known}.")
        else:
            self.said.append(f"Whether {self.name(self.centre)} is affected is not known.")
        self._kin(self.centre)
        self._descendants(self.centre)
        for id in partners_of(self.case, self.centre.id):
            self._kin(self.case.person(id))
        for person in self.case.people:
            if person.id not in self.told:
                raise ValueError(f"{person.id} is tied to nobody")
        self._twins()
        return self.said

    def _tie(self, one: Person, other: Person) -> str:
        """Return two people; and that one is the other's uncle or aunt, where that is so."""
        for elder, younger in ((one, other), (other, one)):
            parents = [self.case.person(up) for up in (younger.father, younger.mother) if up]
            if any(_common_parents(elder, parent) for parent in parents):
                of = "uncle" if elder.sex == "male" else "aunt"
                return f"{self.name(elder)} is {self.name(younger)}'s {of}, and the two"
        return f"{self.name(one)} and {self.name(other)}"

    def name(self, person: Person) -> str:
        return person.name or person.id

    def _kin(self, person: Person) -> None:
        """Tell of parents, siblings and theirs, and of their parents in turn."""
        waiting = [person]
        for each in waiting:
            if each.father is None or each.mother is None:
                continue
            father, mother = self.case.person(each.father), self.case.person(each.mother)
            if father.id not in self.told and mother.id not in self.told:
                self._parents(each, father, mother)
            elif father.id not in self.told or mother.id not in self.told:
                raise ValueError(f"half of {each.id}'s parents are told of")
            siblings = [
                child
                for child in children_of(self.case, father.id)
                if child.mother == mother.id and child.id not in self.told
            ]
            if siblings:
                self._siblings(each, siblings)
                for sibling in siblings:
                    self._descendants(sibling)
            for parent in (father, mother):
                self._descendants(parent)
            waiting += [father, mother]

    def _parents(self, child: Person, father: Person, mother: Person) -> None:
        self.told |= {father.id, mother.id}
        self.couples.add(frozenset((father.id, mother.id)))
        both, one, two = (
            _predicate(each, self.case) for each in ([father, mother], [father], [mother])
        )
        name, f, m = self.name(child), self.name(father), self.name(mother)
        if not one and not two:
            self.said.append(
                f"{name}'s parents are {f} and {m}; whether they are affected is not known."
            )
        elif one == two:
            self.said.append(f"{name}'s parents, {f} and {m}, {both}.")
        else:
            parts = [
                f"{who} {called} {known or 'may or may not be affected'}"
                for who, called, known in (("father", f, one), ("mother", m, two))
            ]
            self.said.append(f"{name}'s {parts[0]}, and {name}'s {parts[1]}.")

    def _siblings(self, person: Person, siblings: Sequence[Person]) -> None:
        self.told |= {sibling.id for sibling in siblings}
        words = self._listed(siblings, ("brother", "sister", "sibling"))
        self.said.append(f"{self.name(person)} has {words}.")

    def _descendants(self, person: Person) -> None:
        """Tell of partners and children, and of their children in turn."""
        for id in partners_of(self.case, person.id):
            partner = self.case.person(id)
            known = partner.id in self.told
            children = [
                child
                for child in children_of(self.case, person.id)
                if id in (child.father, child.mother) and child.id not in self.told
            ]
            self._partner(person, partner, known)
            self.told |= {child.id for child in children}
            couple = f"{self.name(person)} and {self.name(partner)}"
            if born := [child for child in children if child.status != "pregnancy"]:
                words = self._listed(born, ("son", "daughter", "child"))
                self.said.append(f"{couple} have {words}.")
            if expected := [child for child in children if child.status == "pregnancy"]:
                unborn = joined([f"a {_unborn(child)} ({child.id})" for child in expected])
                self.said.append(f"{couple} are expecting {unborn}.")
            if children:
                for child in children:
                    self._descendants(child)

    def _partner(self, person: Person, partner: Person, known: bool) -> None:
        pair = frozenset((person.id, partner.id))
        former = "former " if any(person.id in each for each in self.couples) else ""
        if known:
            if pair not in self.couples:
                self.said.append(f"{self._tie(person, partner)} are a couple.")
            self.couples.add(pair)
            return
        self.couples.add(pair)
        self.told.add(partner.id)
        predicate = _predicate([partner], self.case)
        who = f"{self.name(person)}'s {former}partner"
        stranger = "" if partner.father else ", who comes from another family"
        if predicate:
            comma = "," if stranger else ""
            self.said.append(f"{who} {self.name(partner)}{stranger}{comma} {predicate}.")
        else:
            self.said.append(
                f"{who} is {self.name(partner)}{stranger}, of whom nothing more is known."
            )

    def _listed(self, people: Sequence[Person], words: tuple[str, str, str]) -> str:
        """Return ``a brother, Nico, who is affected, and two sisters, ...``."""
        groups: dict[tuple[str, str], list[Person]] = {}
        for person in people:
            predicate = _predicate([person], self.case)
            groups.setdefault((person.sex, predicate), []).append(person)
        parts = []
        for (sex, predicate), alike in groups.items():
            number = sum(person.count or 1 for person in alike)
            noun = words[{"male": 0, "female": 1}.get(sex, 2)]
            names = [person.name for person in alike if person.name]
            many = _predicate(alike, self.case) if number > 1 else predicate
            text = f"a {noun}" if number == 1 else f"{in_words(number)} {_plural(noun)}"
            if names:
                text += f", {joined(names)}"
            text += f", who {many}" if many else ", of whom nothing more is known"
            parts.append(text)
        return parts[0] if len(parts) == 1 else "; ".join(parts[:-1]) + "; and " + parts[-1]

    def _twins(self) -> None:
        for twin, group in twin_groups(self.case):
            names = joined([self.name(person) for person in group])
            if twin.zygosity == "unknown":
                chance = twin.monozygotic_chance
                self.said.append(
                    f"{names} are twins; before anything else is known, they are identical with "
                    f"chance {chance or '1/2'}."
                )
            else:
                kind = "identical" if twin.zygosity == "monozygotic" else "fraternal"
                self.said.append(f"{names} are {kind} twins.")


def _common_parents(one: Person, other: Person) -> bool:
    return one.father is not None and one.father == other.father


def _predicate(people: Sequence[Person], case: Case) -> str:
    """Return what is known of one person or of several alike: ``is unaffected``, ``have ...``."""
    first = people[0]
    several = len(people) > 1 or bool(first.count)
    one_copy = case.condition.copies(first.sex) == 1
    condition = case.condition
    parts = []
    if first.affected:
        parts.append(f"{'have' if several else 'has'} {condition.name or 'the condition'}")
    elif first.affected is False:
        at = f" at the age of {first.age}" if condition.onset and first.age is not None else ""
        parts.append(f"{'are' if several else 'is'} unaffected{at}")
    if first.genotype is not None:
        been = "have been shown" if several else "has been shown"
        one = "to be a carrier" if condition.recessive else "to have one copy of the disease allele"
        what = {
            0: "not to have the disease allele",
            1: "to have the disease allele" if one_copy else one,
            2: "to have two copies of the disease allele",
        }[first.genotype]
        parts.append(f"{been} {what}")
    parts += [_result(result.test, result.result, result.found, several) for result in first.tests]
    return joined(parts)


def _result(test: str, result: str | None, found: int | None, several: bool) -> str:
    have = "have" if several else "has"
    if found is not None:
        return f"{have} had the {test}, which found {ALLELES[found]}"
    return f"{have} a {result} {test}"


# --- questions ----------------------------------------------------------------------------


def _unborn(person: Person) -> str:
    return {"female": "girl", "male": "boy"}.get(person.sex, "child")


def question_sentences(case: Case) -> list[str]:
    """Ask each question in a sentence of its own: two joined would ask for both events at once."""
    return [_question_sentence(question, case) for question in case.questions]


def _question_sentence(question: Question, case: Case) -> str:
    if question.ask == "genotype":
        who = _called(question.person or "", case)
        return f"How likely is each number of disease alleles that {who} can have: none, one, two?"
    return f"How likely is it that {_event(question, case)}?"


def _called(id: str, case: Case) -> str:
    person = case.person(id)
    if person.status == "pregnancy":
        return f"the {_unborn(person)} they are expecting"
    return person.name or person_in_words(id, case)


def _event(question: Question, case: Case) -> str:
    def name(id: str) -> str:
        return _called(id, case)

    recessive = case.condition.recessive
    one_copy = "is a carrier" if recessive else "has one copy of the disease allele"
    if question.person is not None:
        who = name(question.person)
        if question.ask == "carrier":
            return f"{who} {one_copy}"
        if question.ask == "disease_allele":
            return f"{who} has the disease allele"
        age = f"by the age of {question.by_age}" if question.by_age else "at some time in life"
        return f"{who} will be affected {age}"
    if question.people is not None:
        first, second = map(name, question.people)
        return f"{first} and {second} are both carriers"
    first, second = map(name, question.parents or ("", ""))
    child = {"female": "daughter", "male": "son"}.get(question.sex or "", "child")
    if question.ask == "children_affected":
        of, number = question.of or 0, question.exactly
        if number is None:
            number = question.at_least or 0
            how = f"at least {in_words(number)}"
        else:
            how = {0: "none", of: "both" if of == 2 else "all"}.get(
                number, f"exactly {in_words(number)}"
            )
        are = "is" if number == 1 or how == "none" else "are"
        return f"{how} of the next {in_words(of)} children of {first} and {second} {are} affected"
    if question.ask == "child_carrier":
        return f"the next {child} of {first} and {second} {one_copy}"
    age = f" by the age of {question.by_age}" if question.by_age else ""
    return f"the next {child} of {first} and {second} will be affected{age}"


def _plural(noun: str) -> str:
    return "children" if noun == "child" else f"{noun}s"
