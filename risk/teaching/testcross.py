"""The test cross as Bayes' rule: is a dominant parent heterozygous?

A parent that shows the dominant trait is crossed with a homozygous recessive one.  If it is
heterozygous each offspring is dominant with chance 1/2, and else with chance 1 (both read off the
Punnett square); the offspring are independent given the parent.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from risk.model.answers import Chance
from risk.number import read_number
from risk.problems import ImpossibleEvidence, InputError, Problem
from risk.teaching.counts import read_counts
from risk.teaching.cross import punnett
from risk.teaching.gene import CHILDREN
from risk.teaching.numerals import in_words
from risk.wording.chances import answer_in_words
from risk.workings.step import Row, Step

#: Most offspring of one test cross; the exact chance is then 300 digits long.
MOST_OFFSPRING = 1000
#: The prior where nothing is said: as likely heterozygous as homozygous dominant.
EVEN = Fraction(1, 2)

_UNKNOWN, _TESTER = ("Aa", "AA"), "aa"
_UNKNOWN_ON_X, _TESTER_ON_X = ("X^A X^a", "X^A X^A"), "X^a Y"
_PARENT = "parent"


@dataclass(frozen=True, slots=True)
class Observed:
    """Offspring counted by what they show."""

    dominant: int
    recessive: int

    @property
    def total(self) -> int:
        return self.dominant + self.recessive


@dataclass(frozen=True, slots=True)
class ParentChances:
    """What the offspring of a test cross say about the parent: exact chances that add up to 1.

    `step` is the table behind them; its hypotheses are heterozygous (one recessive allele) and
    homozygous dominant (none), in this order.
    """

    observed: Observed
    prior: Fraction
    heterozygous: Fraction
    homozygous_dominant: Fraction
    step: Step
    conclusion: str
    on_x: bool = False

    @property
    def kinds(self) -> tuple[str, str]:
        """The genotypes between which the offspring tell, in the order of the step."""
        return _UNKNOWN_ON_X if self.on_x else _UNKNOWN


def infer_parent(observed: Observed, prior: Fraction = EVEN, on_x: bool = False) -> ParentChances:
    """Return the chances that a dominant parent is heterozygous, given its offspring.

    `observed` counts the offspring of the cross with a homozygous recessive parent, and `prior`
    is the chance, before they are seen, that the parent is heterozygous.  With `on_x` the parent
    is a mother, the gene on the X, and the offspring those of a father with the recessive trait,
    or sons of any father.  Raises `InputError`
    (path ``test`` or ``prior``) for more than `MOST_OFFSPRING` or a prior outside 0..1, and
    `ImpossibleEvidence` where a recessive offspring is seen of a parent that cannot have one.
    """
    problems = []
    if observed.total > MOST_OFFSPRING:
        problems.append(
            Problem("test", f"{observed.total:,} offspring; at most {MOST_OFFSPRING:,} are taken")
        )
    if not 0 <= prior <= 1:
        problems.append(Problem("prior", f"{prior} is not a chance; it must lie from 0 to 1"))
    if problems:
        raise InputError(problems)
    priors = (prior, 1 - prior)
    tester = _TESTER_ON_X if on_x else _TESTER
    likelihoods = tuple(
        _likelihood(parent, tester, observed) for parent in (_UNKNOWN_ON_X if on_x else _UNKNOWN)
    )
    joint = tuple(before * chance for before, chance in zip(priors, likelihoods, strict=True))
    total = sum(joint)
    if not total:
        raise ImpossibleEvidence(
            "a homozygous dominant parent has no recessive offspring, and the prior leaves "
            "nothing else",
            ("prior", "test"),
        )
    heterozygous, homozygous = (product / total for product in joint)
    seen = offspring_in_words(observed)
    if observed.dominant and observed.recessive:
        seen += ", in one order"
    step = Step(
        id="s1",
        people=(_PARENT,),
        hypotheses=({_PARENT: 1}, {_PARENT: 0}),
        labels=("heterozygous", "homozygous dominant"),
        rows=(
            Row("prior", "prior, before any offspring", priors),
            Row("conditional", seen, likelihoods, facts=("test",)),
        ),
        joint=joint,
        posterior=(heterozygous, homozygous),
        closing=_explanation(observed, prior, on_x),
    )
    conclusion = _conclusion(heterozygous)
    return ParentChances(observed, prior, heterozygous, homozygous, step, conclusion, on_x)


def read_test(observed: str, prior: str) -> tuple[Observed, Fraction]:
    """Read the offspring (``8:0``) and the prior (``1/2``, ``50%``) of a test cross.

    Raises `InputError` with the paths ``test`` and ``prior``.
    """
    problems: list[Problem] = []
    counts, chance = Observed(0, 0), EVEN
    try:
        counts = Observed(*read_counts(observed, "test", CHILDREN[False]).values())
    except InputError as error:
        problems.extend(error.problems)
    try:
        chance = read_number(prior)
    except ValueError as error:
        problems.append(Problem("prior", str(error)))
    if problems:
        raise InputError(problems)
    return counts, chance


def offspring_in_words(observed: Observed) -> str:
    """Say the offspring as a row of a working does: "eight dominant offspring and no ..."."""
    dominant, recessive = observed.dominant, observed.recessive
    if not observed.total:
        return "no offspring yet"
    if not recessive:
        return f"{in_words(dominant)} dominant offspring and no recessive one"
    if not dominant:
        return f"{in_words(recessive)} recessive offspring and no dominant one"
    return f"{in_words(dominant)} dominant and {in_words(recessive)} recessive offspring"


def _likelihood(parent: str, tester: str, observed: Observed) -> Fraction:
    """Return the chance of these offspring in any one order; the number of orders cancels.

    On the X daughters and sons of this tester show the same proportions.
    """
    shows = punnett(parent, tester).phenotypes
    return shows["dominant"] ** observed.dominant * shows["recessive"] ** observed.recessive


def _explanation(observed: Observed, prior: Fraction, on_x: bool) -> str:
    chances = (
        "A heterozygous parent passes the dominant allele to an offspring with chance 1/2, "
        "a homozygous dominant one always; the tester passes only the recessive allele."
    )
    if on_x:
        chances = (
            "A heterozygous mother passes the dominant allele to a child with chance 1/2, a "
            "homozygous dominant one always; to a son the father gives no X, and to a daughter a "
            "father with the recessive trait only the recessive allele."
        )
    if observed.recessive:
        order = (
            " The chance of the offspring is that of one order of them: how many orders there "
            "are is the same for both parents, and divides out."
        )
        return (
            f"{chances} A recessive offspring got a recessive allele from this parent"
            f"{'' if on_x else ' too'}, so one is enough.{order if observed.dominant else ''}"
        )
    if observed.dominant and prior in (0, 1):
        return f"{chances} The prior is certain, so no number of offspring changes it."
    if observed.dominant:
        return (
            f"{chances} Each dominant offspring makes the heterozygote less likely, and no "
            "number of them rules it out."
        )
    return chances


def _conclusion(heterozygous: Fraction) -> str:
    if heterozygous == 1:
        return "The parent is heterozygous for certain."
    if heterozygous == 0:
        return "The parent is homozygous dominant for certain."
    chance = answer_in_words(Chance(float(heterozygous), heterozygous))
    return f"The chance that the parent is heterozygous is {chance}."
