"""What stands under the people of a tree: a chance in the few characters there is room for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from risk.case.model import Case, Condition
from risk.model.answers import PersonChances
from risk.wording.chances import SHORT_FRACTION, short_chance

#: A working may show a chance of the same person from before all facts were used.
_GIVEN_ALL = ", given all facts"
#: What a label means, where it is the answer to this question about the person.
MEANS: Mapping[str, str] = MappingProxyType(
    {
        "disease_allele": f"chance of having the disease allele{_GIVEN_ALL}",
        "will_be_affected": f"chance of being affected in life{_GIVEN_ALL}",
    }
)
#: Before a man's chance of the allele, which stands in place of a carrier's.
_ALLELE = "allele"


def carrier_labels(
    case: Case, people: Iterable[PersonChances], longest: int = SHORT_FRACTION
) -> tuple[dict[str, str], str]:
    """Return everyone's chance of exactly one disease allele by id, and what the labels mean.

    Whoever has one copy of the gene in all has the chance of the allele instead, said to be that:
    a bare 0 would puzzle there, as it would of somebody who has two alleles for certain.
    Fractions of more than `longest` characters become percentages.
    """
    sexes = {person.id: person.sex for person in case.people}
    labels: dict[str, str] = {}
    males = False
    for each in people:
        copies = case.condition.copies(sexes[each.id])
        most = each.disease_alleles[copies]
        if most.value == 1:
            labels[each.id] = "two copies" if copies == 2 else "has the allele"
        elif copies == 2:
            labels[each.id] = short_chance(each.disease_alleles[1], longest)
        elif most.value:
            labels[each.id] = f"{_ALLELE} {short_chance(most, longest)}"
            males = True
        else:
            labels[each.id] = short_chance(most, longest)
    means = f"{carrier_in_words(case.condition)}{_GIVEN_ALL}"
    return labels, f"{means}; {_ALLELE}: a male's chance of it" if males else means


def carrier_in_words(condition: Condition) -> str:
    """Name the chance of one disease allele of two; "carrier" is a word of recessive conditions."""
    if condition.recessive:
        return "chance of being a carrier"
    return "chance of exactly one disease allele"
