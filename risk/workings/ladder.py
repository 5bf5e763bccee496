"""The evidence ladder: the asked chance as the facts become known, one after another."""

from __future__ import annotations

from collections.abc import Sequence

from risk.case.model import Case, Question
from risk.model.answers import Chance
from risk.model.facts import Fact
from risk.model.family import Family
from risk.model.network import make_network
from risk.model.solve import answer, impossible, question_pair
from risk.problems import InputError, Problem, did_you_mean, shown_path
from risk.workings.step import Rung
from risk.workings.words import Words


def ladder(
    case: Case, question: int = 0, order: Sequence[str] | None = None, *, alone: bool = False
) -> tuple[Rung, ...]:
    """Return the rungs of a question's ladder, from nothing known to all facts known.

    `order` lists paths of facts as the class is to hear them; facts left out follow in the
    order of the case, None is that order throughout.  Alike facts about siblings or a couple
    make one rung together unless `alone`.  A question about a genotype shows the chance of at
    least one disease allele.  Errors as in `solve`, and InputError for an unknown fact.
    """
    family = Family(case)
    asked = case.questions[question]
    if asked.ask == "genotype":
        asked = Question("disease_allele", person=asked.person)
    paths = [fact.path for fact in family.facts]
    chosen = list(dict.fromkeys(order or ()))
    unknown = [path for path in chosen if path not in set(paths)]
    if unknown:
        raise InputError(
            Problem(
                shown_path(path),
                "no such fact in this case"
                + (did_you_mean(path, paths) or "; its facts are " + ", ".join(paths[:20])),
            )
            for path in unknown
        )
    facts = {fact.path: fact for fact in family.facts}
    sequence = [facts[path] for path in chosen]
    sequence += [fact for fact in family.facts if fact.path not in set(chosen)]
    words = Words(family)
    rungs = [Rung((), "nothing known about anyone", _chance(family, asked, frozenset()))]
    known: list[str] = []
    for group in _alike(family, sequence, alone):
        new = [fact.path for fact in group]
        known += new
        text = "; ".join(words.fact_phrases(new))
        rungs.append(Rung(tuple(new), text, _chance(family, asked, frozenset(known))))
    return tuple(rungs)


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
    """Tell whether two facts say the same of two siblings, or of two founders."""
    parents = [family.parents[family.variable[fact.person]] for fact in (one, two)]
    same = one.evidence.kind == two.evidence.kind and _said(one) == _said(two)
    return same and parents[0] == parents[1]


def _said(fact: Fact) -> object:
    """What a fact says, whoever's it is and of whichever sex."""
    detail = fact.evidence.detail
    return detail[1:] if isinstance(detail, tuple) and fact.evidence.kind == "affected" else detail


def _chance(family: Family, question: Question, facts: frozenset[str]) -> Chance:
    pair = question_pair(family, question)
    network = make_network(family, facts, groups=[pair] if pair is not None else ())
    if not network.possible:
        raise impossible(family)
    found = answer(network, question, pair, facts)
    assert found.probability is not None
    return found.probability
