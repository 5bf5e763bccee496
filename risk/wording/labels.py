"""What stands under the people of a tree: a chance in the few characters there is room for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from risk.case.model import Case, Condition
from risk.model.answers import Chance, PersonChances
from risk.wording.chances import chance_in_words

#: A working may show a chance of the same person from before all facts were used.
_GIVEN_ALL = ", given all facts"
#: What the answer to this question about a person is called.
_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "disease_allele": "chance of having the disease allele",
        "will_be_affected": "chance of being affected in life",
    }
)
#: Before a man's chance of the allele, which stands in place of a carrier's.
_ALLELE = "allele"
#: A fraction of more characters is too long to compare with the others of a tree.
_LONGEST = 9


@dataclass(frozen=True, slots=True)
class Labels:
    """What stands under people, by id; the same with what it is, to be heard; and for the key."""

    texts: dict[str, str]
    words: dict[str, str]
    means: str


def answer_labels(ask: str, chances: Mapping[str, Chance]) -> Labels:
    """Return the labels of people of whom this question has these answers."""
    texts = _alike(chances)
    return Labels(texts, _heard(_NAMES[ask], texts), f"{_NAMES[ask]}{_GIVEN_ALL}")


def carrier_labels(case: Case, people: Iterable[PersonChances]) -> Labels:
    """Return everyone's chance of exactly one disease allele.

    Whoever has one copy of the gene in all has the chance of the allele instead, said to be that:
    a bare 0 would puzzle there, as it would of somebody who has two alleles for certain.
    """
    sexes = {person.id: person.sex for person in case.people}
    certain: dict[str, str] = {}
    chances: dict[str, Chance] = {}
    males: set[str] = set()
    for each in people:
        copies = case.condition.copies(sexes[each.id])
        most = each.disease_alleles[copies]
        if most.value == 1:
            certain[each.id] = "two copies" if copies == 2 else "has the allele"
        else:
            chances[each.id] = each.disease_alleles[1]
            males |= {each.id} if copies == 1 else set()
    texts = _alike(chances)
    name = carrier_in_words(case.condition)
    heard = _heard(name, texts) | _heard(
        _NAMES["disease_allele"], {id: text for id, text in texts.items() if id in males}
    )
    doubtful = {id for id in males if chances[id].value}
    texts.update({id: f"{_ALLELE} {texts[id]}" for id in doubtful})
    means = f"{name}{_GIVEN_ALL}" + f"; {_ALLELE}: a male's chance of it" * bool(doubtful)
    return Labels(texts | certain, heard | certain, means)


def _alike(chances: Mapping[str, Chance]) -> dict[str, str]:
    """Write chances as fractions, or, where one has none or too long a one, all as percentages:
    the chances of one family are there to be compared."""
    said = {id: chance_in_words(chance, "≈") for id, chance in chances.items()}
    if all(words.fraction and len(words.fraction) <= _LONGEST for words in said.values()):
        return {id: str(words.fraction) for id, words in said.items()}
    return {id: words.percent for id, words in said.items()}


def _heard(name: str, texts: Mapping[str, str]) -> dict[str, str]:
    """The chances of this name as they are to be heard."""
    return {id: f"{name} {text.replace('≈', 'about ')}" for id, text in texts.items()}


def carrier_in_words(condition: Condition) -> str:
    """Name the chance of one disease allele of two; "carrier" is a word of recessive conditions."""
    if condition.recessive:
        return "chance of being a carrier"
    return "chance of exactly one disease allele"
