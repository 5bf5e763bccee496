"""The evidence ladder: the asked chance as the facts become known, one after another.

Each rung is the answer to the case without the facts not yet told.  What no key of a person
states but the tree does, a live birth (``born``) or, under mutation-selection balance, that a man
has children (``fathered``), therefore holds from the first rung on: a man with children counts by
the fitness of the affected until his phenotype is told, and then by that.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from risk.case.called import did_you_mean_a_name
from risk.case.kin import descendants_of, partners_of
from risk.case.model import Case, Question
from risk.model.answers import Chance
from risk.model.conflict import impossible
from risk.model.facts import Fact, facts_of
from risk.model.family import Family
from risk.model.network import make_network
from risk.model.queries import question_pair
from risk.model.solve import answer
from risk.problems import InputError, Problem, shown_path
from risk.workings.naming import Naming
from risk.workings.step import Rung


def ladder(
    case: Case, question: int = 0, order: Sequence[str] | None = None, *, alone: bool = False
) -> tuple[Rung, ...]:
    """Return the rungs of a question's ladder, from nothing known to all facts known.

    `order` lists paths of facts as the class is to hear them; facts left out follow as a story
    is told: who is affected, relatives who are not, descendants who are not, test results, each
    in the order of the case.  Alike facts about siblings or a couple make one rung together
    unless `alone`.  `followed` says what chance it is.  Errors as in `solve`, and InputError for
    an unknown fact.
    """
    family = Family(case)
    asked = followed(case.questions[question])
    paths = [fact.path for fact in family.facts]
    chosen = list(dict.fromkeys(order or ()))
    unknown = [path for path in chosen if path not in set(paths)]
    if unknown:
        raise InputError(
            Problem(
                shown_path(path),
                "no such fact in this case"
                + (
                    did_you_mean_a_name(path, case.people, paths)
                    or "; its facts are " + ", ".join(paths[:20])
                ),
            )
            for path in unknown
        )
    facts = {fact.path: fact for fact in family.facts}
    sequence = [facts[path] for path in chosen]
    sequence += [fact for fact in _story(family, asked) if fact.path not in set(chosen)]
    sequence = [fact for fact in sequence if fact.evidence.kind not in _OF_THE_TREE]
    words = Naming(family)
    tree = _Tree(family)
    nothing = "nothing known but the tree" if tree.facts else "nothing known about anyone"
    rungs = [Rung((), nothing, tree.chance(asked, ()))]
    known: list[str] = []
    for group in _alike(family, sequence, alone):
        new = [fact.path for fact in group]
        known += new
        text = "; ".join(words.fact_phrases(new))
        rungs.append(Rung(tuple(new), text, tree.chance(asked, known)))
    return tuple(rungs)


def followed(question: Question) -> Question:
    """Return the question whose one chance a ladder follows: of a genotype, at least one copy."""
    if question.ask == "genotype":
        return Question("disease_allele", person=question.person)
    return question


def _story(family: Family, asked: Question) -> list[Fact]:
    """Put the facts into the order in which a family's story is told.

    Those who are affected (or of a genotype with a disease allele) come first, for before them
    there is often nothing to tell; what the asked person's descendants escaped comes after all
    that is known above them.
    """
    ids = (asked.person, *(asked.people or ()), *(asked.parents or ()))
    below = {each for id in ids if id is not None for each in descendants_of(family.case, id)}

    def part(fact: Fact) -> int:
        if fact.evidence.kind == "tests":
            return 3
        person = family.case.person(fact.person)
        if person.affected if fact.evidence.kind == "affected" else person.genotype:
            return 0
        return 2 if fact.person in below else 1

    return sorted(family.facts, key=part)


def _alike(family: Family, facts: Sequence[Fact], alone: bool) -> list[list[Fact]]:
    """Put facts that follow each other, say the same and are of one couple or sibship together."""
    groups: list[list[Fact]] = []
    for fact in facts:
        if groups and not alone and _goes_with(family, groups[-1][-1], fact):
            groups[-1].append(fact)
        else:
            groups.append([fact])
    return groups


def _goes_with(family: Family, one: Fact, two: Fact) -> bool:
    """Tell whether two facts say the same of two siblings, or of two founders who are a couple."""
    if one.evidence.kind != two.evidence.kind or _said(one) != _said(two):
        return False
    first, second = [family.people[fact.person] for fact in (one, two)]
    if first.father is None and second.father is None:
        return first.id == second.id or second.id in partners_of(family.case, first.id)
    return (first.father, first.mother) == (second.father, second.mother)


def _said(fact: Fact) -> object:
    """What a fact says, whoever's it is and of whichever sex."""
    detail = fact.evidence.detail
    return detail[1:] if isinstance(detail, tuple) and fact.evidence.kind == "affected" else detail


#: Kinds of facts that no key of a person states.
_OF_THE_TREE = ("born", "fathered")


class _Tree:
    """A family, and what its tree says of it before any fact is told."""

    def __init__(self, family: Family) -> None:
        self.family = self._wider = family
        self.facts = [fact for fact in family.facts if fact.evidence.kind in _OF_THE_TREE]
        #: Fathers of known phenotype who count by the fitness until it is told.
        self._until_told: list[Fact] = []
        case = family.case
        if case.condition.frequency.mutation_selection_balance is None:
            return
        silent = tuple(replace(person, affected=None) for person in case.people)
        fathers = [
            fact
            for fact in facts_of(replace(case, people=silent))
            if fact.evidence.kind == "fathered"
        ]
        stated = {fact.path for fact in self.facts}
        self._until_told = [fact for fact in fathers if fact.path not in stated]
        if self._until_told:
            self.facts += self._until_told
            self._wider = Family(case)
            self._wider.facts += self._until_told

    def chance(self, question: Question, told: Sequence[str]) -> Chance:
        """Return the chance given the tree and the facts told.

        A father who is affected may have children who rule out a fitness of 0: where the facts
        contradict the fitness, it does not count before his phenotype is told either.
        """
        later = {fact.path for fact in self._until_told}
        standing = {fact.path for fact in self.facts} - later
        waiting = {fact.path for fact in self._until_told if f"{fact.person}.affected" not in told}
        for paths in (frozenset({*standing, *waiting, *told}), frozenset({*standing, *told})):
            family = self._wider if waiting & paths else self.family
            pair = question_pair(family, question)
            network = make_network(family, paths, groups=[pair] if pair is not None else ())
            if network.possible:
                found = answer(network, question, pair, paths)
                assert found.probability is not None
                return found.probability
        raise impossible(self.family.case)
