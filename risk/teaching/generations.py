"""What becomes of a cross in later generations: F2, repeated back cross, selfing, sib mating.

P are the two parents, F1 their offspring.  Proportions are those expected, as exact fractions,
with no selection, no mutation and any number of offspring.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import islice
from types import MappingProxyType
from typing import Literal, TypeVar

from risk.problems import InputError, Problem, did_you_mean
from risk.teaching.cross import (
    Phenotype,
    Square,
    gametes,
    genotypes_of,
    join,
    phenotypes,
    punnett,
    read_genotype,
)

Scheme = Literal["F2", "backcross", "selfing", "sibs"]

#: Most generations followed: by then less than 1e-4 of what there was is still heterozygous
#: even under sib mating, and a fraction still fits on a line or two.
MOST_GENERATIONS = 50

_FORMS = "F2, backcross:AA:3, selfing:5 or sibs:5"
_HALF = Fraction(1, 2)
_Key = TypeVar("_Key")


@dataclass(frozen=True, slots=True)
class Plan:
    """How to go on after F1: a scheme, for how many generations, and back to which parent."""

    scheme: Scheme
    generations: int = 1
    recurrent: str | None = None


@dataclass(frozen=True, slots=True)
class Generation:
    """The expected proportions in one generation.

    `inbreeding` (selfing and sib mating only) is Wright's coefficient F: the chance that the two
    alleles of an individual are copies of one allele of P, where the two P are taken as unrelated
    and not inbred.  `recurrent_share` (back cross to one of the P only) is the share of the
    genome expected from the recurrent parent, on average and where nothing is selected.
    Both are None elsewhere.
    """

    name: str
    genotypes: Mapping[str, Fraction]
    phenotypes: Mapping[Phenotype, Fraction]
    inbreeding: Fraction | None = None
    recurrent_share: Fraction | None = None

    @property
    def homozygous(self) -> Fraction:
        """The share that is homozygous, of either kind."""
        return sum(
            (share for kind, share in self.genotypes.items() if kind[0] == kind[1]), Fraction(0)
        )


def read_plan(
    text: str, gene: str | None = None, read: Callable[[str, str], str] = read_genotype
) -> Plan:
    """Read ``F2``, ``backcross:AA:3``, ``selfing:5`` or ``sibs:5``.

    `gene` is any genotype of the gene crossed, which the recurrent parent must share; None
    leaves that unchecked.  `read` reads the recurrent parent.  Raises `InputError` with the path
    ``then``.
    """
    scheme, *rest = (part.strip() for part in text.strip().split(":"))
    match scheme.lower(), rest:
        case "f2", []:
            return Plan("F2")
        case "backcross", [parent, count]:
            recurrent = read(parent, "then")
            if gene and recurrent[0].upper() != gene[0].upper():
                raise _wrong(f"{recurrent} is not of the same gene as {gene}")
            return Plan("backcross", _count(count), recurrent)
        case "selfing", [count]:
            return Plan("selfing", _count(count))
        case "sibs", [count]:
            return Plan("sibs", _count(count))
    if scheme.lower() == "backcross":
        example = f"backcross:{gene[0].upper() * 2 if gene else 'AA'}:1"
        raise _wrong(f"{text[:40]!r} is not understood: back to whom, how often? Like {example}")
    near = did_you_mean(scheme, ("F2", "backcross", "selfing", "sibs"))
    raise _wrong(f"{text[:40]!r} is not understood; write {_FORMS}{near}")


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text[:9]) <= MOST_GENERATIONS):
        raise _wrong(f"{text[:20]!r} is not a number of generations from 1 to {MOST_GENERATIONS}")
    return int(text)


def _wrong(message: str) -> InputError:
    return InputError([Problem("then", message)])


def follow(square: Square, plan: Plan) -> tuple[Generation, ...]:
    """Return F1 and the generations after it.

    * ``F2``: the F1 intercrossed at random.  Where the F1 are all alike that is also what selfing
      gives.
    * ``backcross``: every individual of a generation crossed with the recurrent parent, again and
      again: BC1, BC2, ...
    * ``selfing``: every individual fertilises itself: F2, F3, ...
    * ``sibs``: pairs of brother and sister, drawn at random from each litter: F2, F3, ...
    """
    match plan.scheme:
        case "F2":
            first = Generation("F1", square.genotypes, square.phenotypes)
            return first, _generation("F2", intercross(square.genotypes))
        case "backcross":
            assert plan.recurrent is not None
            return tuple(islice(_backcrosses(square, plan.recurrent), plan.generations + 1))
        case "selfing":
            return tuple(islice(_selfings(square), plan.generations + 1))
        case "sibs":
            return tuple(islice(_sib_matings(square), plan.generations + 1))


def intercross(shares: Mapping[str, Fraction]) -> Mapping[str, Fraction]:
    """Mate a generation at random with itself and return the proportions of its offspring."""
    return _mate(shares, shares)


def _mate(
    mothers: Mapping[str, Fraction], fathers: Mapping[str, Fraction]
) -> Mapping[str, Fraction]:
    eggs, sperm = _gamete_pool(mothers), _gamete_pool(fathers)
    children = dict.fromkeys(mothers, Fraction(0))
    for egg, one in eggs.items():
        for seed, other in sperm.items():
            children[join(egg, seed)] += one * other
    return MappingProxyType(children)


def _gamete_pool(shares: Mapping[str, Fraction]) -> dict[str, Fraction]:
    pool: dict[str, Fraction] = {}
    for genotype, share in shares.items():
        for allele in gametes(genotype):
            pool[allele] = pool.get(allele, Fraction(0)) + share * _HALF
    return pool


def _only(genotype: str) -> Mapping[str, Fraction]:
    return {kind: Fraction(kind == genotype) for kind in genotypes_of(genotype)}


def _generation(
    name: str,
    shares: Mapping[str, Fraction],
    inbreeding: Fraction | None = None,
    recurrent_share: Fraction | None = None,
) -> Generation:
    return Generation(name, shares, phenotypes(shares), inbreeding, recurrent_share)


def _backcrosses(square: Square, recurrent: str) -> Iterator[Generation]:
    shares = square.genotypes
    # Half of the donor's part is replaced at each back cross.  That holds only where the
    # recurrent parent is one of the P; to any other genotype nothing is recovered.
    donor = _HALF if recurrent in (square.mother, square.father) else None
    yield _generation("F1", shares, recurrent_share=None if donor is None else 1 - donor)
    number = 1
    while True:
        shares = _mate(shares, _only(recurrent))
        donor = None if donor is None else donor / 2
        yield _generation(
            f"BC{number}", shares, recurrent_share=None if donor is None else 1 - donor
        )
        number += 1


def _selfings(square: Square) -> Iterator[Generation]:
    shares = square.genotypes
    inbreeding, number = Fraction(0), 1
    offspring = {kind: punnett(kind, kind).genotypes for kind in shares}
    while True:
        yield _generation(f"F{number}", shares, inbreeding)
        shares = _mix(shares, offspring)
        # Selfing brings together two draws of the same two alleles: the same copy with 1/2,
        # and else alike by descent as far as the parent's two were.
        inbreeding, number = (1 + inbreeding) / 2, number + 1


def _sib_matings(square: Square) -> Iterator[Generation]:
    kinds = genotypes_of(square.mother)
    litters = {(one, two): punnett(one, two).genotypes for one in kinds for two in kinds}
    parents = {(square.mother, square.father): Fraction(1)}
    before, inbreeding, number = Fraction(0), Fraction(0), 1
    while True:
        yield _generation(f"F{number}", _mix(parents, litters), inbreeding)
        sibs: dict[tuple[str, str], Fraction] = {}
        for pair, weight in parents.items():
            litter = litters[pair]
            for one in kinds:
                for two in kinds:
                    chance = weight * litter[one] * litter[two]
                    if chance:
                        sibs[one, two] = sibs.get((one, two), Fraction(0)) + chance
        parents = sibs
        # Two draws of sibs are from the same grandparent with 1/2, then the same copy with 1/2 or
        # else alike by descent with F; or from both, alike with F'.  So F'' = (1 + 2F' + F)/4.
        before, inbreeding, number = inbreeding, (1 + 2 * inbreeding + before) / 4, number + 1


def _mix(
    weights: Mapping[_Key, Fraction], tables: Mapping[_Key, Mapping[str, Fraction]]
) -> Mapping[str, Fraction]:
    mixed: dict[str, Fraction] = {}
    for key, weight in weights.items():
        for kind, share in tables[key].items():
            mixed[kind] = mixed.get(kind, Fraction(0)) + weight * share
    return MappingProxyType(mixed)
