"""Every assumption that entered the answers, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from risk.case.kin import related_only_in_drawing, twin_groups
from risk.case.model import (
    ByAlleles,
    BySex,
    Case,
    Condition,
    Frequency,
    Mutation,
    Test,
    Variant,
)
from risk.genetics.founders import mutates
from risk.model.family import twin_chance
from risk.number import Quantity
from risk.wording.family import INHERITANCE
from risk.wording.phrases import joined
from risk.wording.questions import person_in_words

_FULL_PENETRANCE = {
    "autosomal_recessive": "Everyone with two copies of the disease allele is affected.",
    "autosomal_dominant": "Everyone with one or two copies of the disease allele is affected.",
    "x_linked_recessive": (
        "Every male with the disease allele is affected, and every female with two copies of it."
    ),
    "x_linked_dominant": "Everyone with one or two copies of the disease allele is affected.",
}
#: Whom an incidence counts, on an autosome.
_AT_RISK = {"autosomal_recessive": "two copies", "autosomal_dominant": "at least one copy"}


@dataclass(frozen=True, slots=True)
class Assumption:
    """One assumption: its topic, a sentence, and whether the case says so or it is a default."""

    topic: str
    text: str
    given: bool


def assumptions_in_words(case: Case) -> list[str]:
    """Return what the condition and the family assume, one sentence or two each."""
    return [
        f"{each.topic}: {each.text}"
        for each in (*assumptions(case.condition), *family_assumptions(case))
    ]


def assumptions(condition: Condition) -> tuple[Assumption, ...]:
    """Return every assumption that entered, also those by default, in a fixed order."""
    return (
        Assumption("Inheritance", f"{INHERITANCE[condition.inheritance]}, one gene.", True),
        Assumption("Frequency", _frequency(condition.frequency, condition), True),
        Assumption("New mutation", mutation_in_words(condition), condition.mutation is not None),
        Assumption("Penetrance", _penetrance(condition), condition.penetrance is not None),
        Assumption("Age", _onset(condition), condition.onset is not None),
        Assumption("Live birth", _viability(condition), condition.viability is not None),
        *(
            (Assumption("Variants", _variants(condition.variants), True),)
            if condition.variants
            else ()
        ),
        *(Assumption("Test", _test(test), True) for test in condition.tests or ()),
        Assumption("Germline mosaicism", _mosaicism(condition), bool(condition.germline_mosaicism)),
        Assumption(
            "Family",
            "The parents named are the genetic parents. Founders (those without parents here) "
            "are not related to each other.",
            False,
        ),
    )


def assumptions_of_case(case: Case) -> tuple[Assumption, ...]:
    """Return `assumptions` and what else any calculation for this family takes for granted."""
    condition = case.condition
    every = list(assumptions(condition))
    if not condition.variants:
        every.append(Assumption("Variants", "All disease alleles count as one class.", False))
    independent = "Given the genotypes, whether one person is affected tells nothing of another"
    every.append(Assumption("Phenotypes", f"{independent}, not even of a twin.", False))
    if condition.onset:
        text = "An affected person counts with the lifetime chance, whatever the age."
        every.append(Assumption("Age of the affected", text, False))
    if condition.tests:
        text = "Given the genotypes, one result tells nothing of another."
        every.append(Assumption("Results", text, False))
    if condition.viability is not None:
        text = "Everybody in the family was born alive, except where it is said otherwise."
        every.append(Assumption("Births", text, False))
    inbred = [person.id for person in case.people if person.inbreeding is not None]
    if inbred:
        text = f"The parents of {joined(inbred)} were related, as far as is said there; no others."
        every.append(Assumption("Inbreeding", text, True))
    else:
        text = "The parents of founders were not related."
        every.append(Assumption("Inbreeding", text, False))
    every += family_assumptions(case)
    text = "How the family came to notice is given no weight."
    return (*every, Assumption("Coming to notice", text, False))


def modifiers_in_short(condition: Condition) -> list[str]:
    """Name in a few words each what is given beside inheritance and frequency, in fixed order."""
    found = []
    mutation = condition.mutation
    if mutation is not None and mutates(condition):
        if "rare" in (mutation.maternal, mutation.paternal):
            found.append("rare new mutation")
        else:
            found.append(f"new mutation in {_rates(mutation)}")
    if condition.penetrance is not None:
        found.append(f"penetrance {_by_alleles_in_short(condition.penetrance)}")
    if condition.onset:
        last = condition.onset[-1]
        found.append(f"ages at onset, {_share(last.cumulative)} by {last.age}")
    if condition.viability is not None:
        found.append(f"live birth {_by_alleles_in_short(condition.viability)}")
    if condition.variants:
        classes = joined([f'"{each.name}"' for each in condition.variants])
        found.append(f"variant classes {classes}")
    if condition.tests:
        tests = joined([f'"{each.name}"' for each in condition.tests])
        found.append(f"{'tests' if len(condition.tests) > 1 else 'test'} {tests}")
    if condition.germline_mosaicism is not None:
        found.append(f"germline mosaicism of founders, chance {condition.germline_mosaicism.prior}")
    return found


def family_assumptions(case: Case) -> list[Assumption]:
    """What is taken of related partners and of twins, where there are any."""
    return [*_related_partners(case), *_twins(case)]


def _related_partners(case: Case) -> list[Assumption]:
    """Of partners who are said to be related, and no more: that it does not count."""
    return [
        Assumption(
            "Related partners",
            f"{joined([person_in_words(id, case) for id in couple.partners])} are drawn as related "
            "but count as unrelated, as the tree does not show how they are related.",
            False,
        )
        for _, couple in related_only_in_drawing(case)
    ]


def _twins(case: Case) -> list[Assumption]:
    found: list[Assumption] = []
    for twin, members in twin_groups(case):
        chance = twin_chance(members, twin)
        if chance and not found:
            text = "Monozygotic (identical) twins have one and the same genotype."
            found.append(Assumption("Twins", text, False))
        if chance and twin.zygosity == "unknown":
            who = joined([person_in_words(person.id, case) for person in members])
            given = twin.monozygotic_chance
            text = f"{who} are monozygotic with chance {given or f'{chance}, as none is stated'}."
            found.append(Assumption("Twins", text, given is not None))
    return found


def _frequency(frequency: Frequency, condition: Condition) -> str:
    if frequency.allele == "rare":
        return (
            "The disease allele is rare: the answers are the limit as its frequency goes to 0, "
            "so that whoever marries in carries nothing, unless something else is known, and "
            "whoever is affected had the allele from somewhere."
        )
    if isinstance(frequency.allele, Quantity):
        if not frequency.allele.value:
            return "No founder has the disease allele (frequency 0)."
        return (
            f"A copy of the gene in the population is the disease allele with chance "
            f"{frequency.allele}; founders are in Hardy-Weinberg proportions."
        )
    if frequency.carrier is not None:
        who = "female founder" if condition.x_linked else "founder"
        if condition.penetrance is None:
            return f"An unaffected {who} is a carrier with chance {frequency.carrier}."
        return (
            f"A {who} with at most one copy of the disease allele has one with chance "
            f"{frequency.carrier}."
        )
    if frequency.incidence is not None:
        if condition.x_linked:
            return f"At conception {frequency.incidence} of males have the disease allele."
        return (
            f"At conception {frequency.incidence} of people have "
            f"{_AT_RISK[condition.inheritance]} of the disease allele; founders are in "
            f"Hardy-Weinberg proportions."
        )
    balance = frequency.mutation_selection_balance
    assert balance is not None
    children = (
        "affected males have no children"
        if not balance.fitness.value
        else f"affected males have {balance.fitness} times as many children as others"
    )
    return (
        f"New mutation and selection are in balance: {children}, and the disease allele is as "
        f"common as new mutation keeps it."
    )


def mutation_in_words(condition: Condition) -> str:
    """Say how often an allele changes, if it ever does."""
    mutation = condition.mutation
    if mutation is None or not mutates(condition):
        return "None: an allele never changes from parent to child."
    if mutation.maternal == "rare" or mutation.paternal == "rare":
        return (
            "Rare, and as frequent in eggs as in sperm: the answers are the limit as the rate "
            "goes to 0."
        )
    return f"A normal allele becomes the disease allele in {_rates(mutation)}."


def _rates(mutation: Mutation) -> str:
    """Both rates as shares, of which neither is ``"rare"``: ``1e-5 of eggs and no sperm``."""
    rates = []
    for rate, where in ((mutation.maternal, "eggs"), (mutation.paternal, "sperm")):
        given = isinstance(rate, Quantity) and rate.value
        rates.append(f"{rate} of {where}" if given else f"no {where}")
    return joined(rates)


def _penetrance(condition: Condition) -> str:
    given = condition.penetrance
    if given is None:
        full = _FULL_PENETRANCE[condition.inheritance]
        if condition.onset is not None:
            full = full.replace("is affected", "becomes affected some day")
        return f"{full} Nobody else is."
    return f"The lifetime chance of being affected is {_by_alleles(given)}."


def _by_alleles(table: ByAlleles | BySex) -> str:
    if isinstance(table, BySex):
        return f"in females {_by_alleles(table.female)}; in males {_by_alleles(table.male)}"
    zero, one, two = table.zero, table.one, table.two
    if zero.value == one.value and (two is None or two.value == zero.value):
        return f"{zero} whatever the genotype"
    if two is None:
        return f"{zero} without and {one} with the disease allele"
    if one.value == two.value:
        return f"{zero} with no disease allele and {one} with one or two"
    if zero.value == one.value:
        return f"{zero} with no or one disease allele and {two} with two"
    return f"{zero} with no, {one} with one and {two} with two disease alleles"


def _by_alleles_in_short(table: ByAlleles | BySex) -> str:
    return "by sex and genotype" if isinstance(table, BySex) else _by_alleles(table)


def _onset(condition: Condition) -> str:
    if not condition.onset:
        return "Not considered: an unaffected person is taken never to become affected."
    stated = [point for point in condition.onset if point.age.value]
    if not stated:
        return "Of those who will ever be affected, none are at birth, and no more is stated."
    points = [f"{_share(point.cumulative)} are by the age of {point.age}" for point in stated]
    between = " and between these ages" if len(stated) > 1 else ""
    after = ""
    if stated[-1].cumulative.value != 1:
        after = f" and stays as it is after the age of {stated[-1].age}"
    return (
        f"Of those who will ever be affected, {joined(points)}; the share rises evenly from none "
        f"at birth{between}{after}."
    )


def _share(share: Quantity) -> str:
    if share.value in (0, 1):
        return "all" if share.value else "none"
    return share.text


def _viability(condition: Condition) -> str:
    if condition.viability is None:
        return "Every genotype is equally likely to be born alive."
    return f"The chance of live birth is {_by_alleles(condition.viability)}."


def _variants(variants: Sequence[Variant]) -> str:
    classes = joined([f'{variant.share} are "{variant.name}"' for variant in variants])
    return f"Of the disease alleles, {classes}."


def _test(test: Test) -> str:
    if test.detects is not None:
        classes = joined([f'"{name}"' for name in test.detects]) or "none"
        return f'"{test.name}" finds disease alleles of class {classes}, without error.'
    if test.likelihood is not None:
        results = "; ".join(
            f'"{each.result}" has chance {_by_alleles(each.likelihood)}' for each in test.likelihood
        )
        return f'"{test.name}": {results}.'
    assert test.sensitivity is not None and test.specificity is not None
    found = "everyone" if test.sensitivity.value == 1 else f"{test.sensitivity} of those"
    wrong = (
        "never positive in those without"
        if test.specificity.value == 1
        else f"negative in {test.specificity} of those without (specificity)"
    )
    return f'"{test.name}" is positive in {found} with a disease allele (sensitivity) and {wrong}.'


def _mosaicism(condition: Condition) -> str:
    mosaic = condition.germline_mosaicism
    if mosaic is None:
        return "None."
    return (
        f"A founder without the disease allele is a germline mosaic with chance {mosaic.prior}: "
        f"unaffected, but with the allele in {mosaic.gametes} of eggs or sperm."
    )
