"""What becomes of a cross in later generations: F2, repeated back cross, selfing, sib mating.

P are the two parents, F1 their offspring.  Proportions are those expected, as exact fractions,
with no selection, no mutation and any number of offspring.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import product
from typing import Literal

from risk.genetics.genotypes import Genotype
from risk.problems import InputError, Problem, did_you_mean
from risk.teaching.cross import Offspring, broods
from risk.teaching.gene import Child, Parents, Shares, read_genotype, read_recurrent

Scheme = Literal["F2", "backcross", "selfing", "sibs"]
#: How often a mother of one genotype is mated with a father of another, and what they have.
Pairs = Mapping[tuple[Genotype, Genotype], Fraction]
Litters = Mapping[tuple[Genotype, Genotype], Shares]

#: Most generations followed: by then less than 1e-4 of what there was is still heterozygous
#: even under sib mating, and a fraction still fits on a line or two.
MOST_GENERATIONS = 50

_FORMS = "F2, backcross:AA:3, selfing:5 or sibs:5"
_HALF = Fraction(1, 2)


@dataclass(frozen=True, slots=True)
class Plan:
    """How to go on after F1: a scheme, for how many generations, and back to which parent."""

    scheme: Scheme
    generations: int = 1
    recurrent: Genotype | None = None


@dataclass(frozen=True, slots=True)
class Generation(Offspring):
    """The expected proportions in one generation.

    `inbreeding` (selfing and sib mating only) is Wright's coefficient F: the chance that the two
    alleles of an individual (on the X, of a daughter: a son has one) are copies of one allele of
    P, where the two P are taken as unrelated and not inbred.  `recurrent_share` (back cross to
    one of the P on an autosome only) is the share of the genome expected from the recurrent
    parent, on average and where nothing is selected.  Both are None elsewhere.
    """

    name: str
    inbreeding: Fraction | None = None
    recurrent_share: Fraction | None = None

    @property
    def homozygous(self) -> Fraction:
        """The share that is homozygous, of either kind, at a gene on an autosome."""
        return sum(
            (share for kind, share in self.genotypes.items() if kind[0] == kind[1]), Fraction(0)
        )


def read_plan(text: str, on_x: bool, parents: Parents | None) -> Plan:
    """Read ``F2``, ``backcross:AA:3``, ``selfing:5`` (not on the X) or ``sibs:5``.

    The recurrent parent must share the gene of `parents`; None, where these could not be read,
    leaves that unchecked.  Raises `InputError` with the path ``then``.
    """
    scheme, *rest = (part.strip() for part in text.strip().split(":"))
    if on_x and scheme.lower().startswith("selfing"):
        raise _wrong("nobody with an X and a Y fertilises itself; the nearest is sibs, like sibs:5")
    match scheme.lower(), rest:
        case "f2", []:
            return Plan("F2")
        case "backcross", [parent, count]:
            recurrent = None
            if parents:
                recurrent = read_recurrent(parent, parents, "then")
            elif not on_x:
                read_genotype(parent, "then")
            return Plan("backcross", _count(count), recurrent)
        case "selfing", [count]:
            return Plan("selfing", _count(count))
        case "sibs", [count]:
            return Plan("sibs", _count(count))
    if scheme.lower() == "backcross":
        example = f"backcross:{parents.gene.letter * 2 if parents and not on_x else 'AA'}:1"
        raise _wrong(f"{text[:40]!r} is not understood: back to whom, how often? Like {example}")
    near = did_you_mean(scheme, ("F2", "backcross", "selfing", "sibs"))
    raise _wrong(f"{text[:40]!r} is not understood; write {_FORMS}{near}")


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST_GENERATIONS):
        raise _wrong(f"{text[:20]!r} is not a number of generations from 1 to {MOST_GENERATIONS}")
    return int(text)


def _wrong(message: str) -> InputError:
    return InputError([Problem("then", message)])


def follow(parents: Parents, plan: Plan) -> tuple[Generation, ...]:
    """Return F1 and the generations after it.

    * ``F2``: the F1 intercrossed at random.  Where the F1 are all alike that is also what selfing
      gives.
    * ``backcross``: every individual of a generation crossed with the recurrent parent, again and
      again: BC1, BC2, ...; on the X the sons with a woman, the daughters with a man.
    * ``selfing``: every individual fertilises itself: F2, F3, ...
    * ``sibs``: pairs of brother and sister, drawn at random from each litter: F2, F3, ...
    """
    gene, mother, father = parents
    women, men = gene.listed(gene.children[0]), gene.listed(gene.children[-1])
    litters = {(one, two): gene.litter(one, two) for one, two in product(women, men)}
    # Half of the donor's part is replaced at each back cross.  That holds only where the
    # recurrent parent is one of the P; to any other genotype nothing is recovered.
    recovered = not gene.on_x and plan.recurrent in (mother, father)
    inbred = plan.scheme in ("selfing", "sibs")
    before, inbreeding = Fraction(0), Fraction(0)
    pairs: Pairs = {(mother, father): Fraction(1)}
    generations: list[Generation] = []
    for number in range(plan.generations + 1):
        born = _born(pairs, litters)
        generations.append(
            Generation(
                broods(gene, born),
                f"BC{number}" if number and plan.scheme == "backcross" else f"F{number + 1}",
                inbreeding if inbred else None,
                1 - _HALF ** (number + 1) if recovered else None,
            )
        )
        pairs = _sibs(pairs, litters) if plan.scheme == "sibs" else _mated(plan, born)
        before, inbreeding = inbreeding, _inbreeding(plan.scheme, before, inbreeding)
    return tuple(generations)


def _born(pairs: Pairs, litters: Litters) -> Shares:
    born: dict[Child, dict[Genotype, Fraction]] = {}
    for pair, weight in pairs.items():
        for child, shares in litters[pair].items():
            group = born.setdefault(child, dict.fromkeys(shares, Fraction(0)))
            for kind, share in shares.items():
                group[kind] += weight * share
    return born


def _mated(plan: Plan, born: Shares) -> Pairs:
    """Return the pairs of the next generation where all of this one are mated alike."""
    mothers, fathers = _sexes(born)
    if plan.scheme == "selfing":
        return {(kind, kind): share for kind, share in mothers.items()}
    if plan.recurrent:
        again = {plan.recurrent: Fraction(1)}
        mothers, fathers = (again, fathers) if plan.recurrent in mothers else (mothers, again)
    return _at_random(mothers, fathers)


def _sibs(pairs: Pairs, litters: Litters) -> Pairs:
    """Return pairs of a sister and a brother of one litter."""
    sibs: dict[tuple[Genotype, Genotype], Fraction] = {}
    for parents, weight in pairs.items():
        for pair, chance in _at_random(*_sexes(litters[parents])).items():
            if chance:
                sibs[pair] = sibs.get(pair, Fraction(0)) + weight * chance
    return sibs


def _at_random(
    mothers: Mapping[Genotype, Fraction], fathers: Mapping[Genotype, Fraction]
) -> dict[tuple[Genotype, Genotype], Fraction]:
    return {(one, two): mothers[one] * fathers[two] for one in mothers for two in fathers}


def _sexes(born: Shares) -> tuple[Mapping[Genotype, Fraction], Mapping[Genotype, Fraction]]:
    """Return those who become mothers and fathers, on an autosome the same."""
    groups = tuple(born.values())
    return groups[0], groups[-1]


def _inbreeding(scheme: Scheme, before: Fraction, inbreeding: Fraction) -> Fraction:
    """Return F of the next generation, from F of this one and of that `before`."""
    if scheme == "selfing":
        # Selfing brings together two draws of the same two alleles: the same copy with 1/2,
        # and else alike by descent as far as the parent's two were.
        return (1 + inbreeding) / 2
    # Two draws of sibs are from the same grandparent with 1/2, then the same copy with 1/2 or
    # else alike by descent with F; or from both, alike with F'.  So F'' = (1 + 2F' + F)/4.
    # On the X, of a sister's two alleles one is the mother's, as the brother's only one is: the
    # same copy with 1/2, else related as the mother's two are.  The other is the father's, and
    # related to the brother's as the two parents are: F'' = (1 + F)/4 + F'/2, the same.
    return (1 + 2 * inbreeding + before) / 4
