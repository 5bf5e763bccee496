"""The sentences about a cross: who is affected, how generations come about, what they tell."""

from __future__ import annotations

from fractions import Fraction

from risk.number import half_up
from risk.teaching.counts import Simulation
from risk.teaching.cross import Offspring, Square
from risk.teaching.crossing import Cross
from risk.teaching.gene import Child, Gene
from risk.teaching.generations import Plan
from risk.wording.chances import powers_of_ten
from risk.wording.phrases import power

#: A longer fraction is shown as a decimal.
_LONGEST = 9


def brief(share: Fraction) -> str:
    """Return a share as it stands in a table: a short fraction, or a decimal."""
    text = str(share)
    if len(text) <= _LONGEST:
        return text
    if share > Fraction(99999, 100000):
        return ">0.99999"
    small = share <= Fraction(1, 10000)
    return f"≈{powers_of_ten(f'{float(share):.1e}') if small else half_up(share, 5)}"


# --- daughters and sons --------------------------------------------------------------------------


def broods_in_words(offspring: Offspring, gene: Gene) -> str:
    """Say how many daughters and sons are affected and, of a recessive trait, are carriers."""
    daughters, sons = offspring.broods["daughters"], offspring.broods["sons"]
    said = f"{_how_many(daughters.affected, 'daughters')} affected"
    if gene.affected == "recessive" and daughters.affected != 1:
        if not daughters.carriers:
            carriers = "none is a carrier"
        elif daughters.carriers == 1:
            carriers = "all are carriers"
        else:
            carriers = f"{_part(daughters.carriers)} are carriers"
        said += f", and {carriers}"
    return f"{said}. {_how_many(sons.affected, 'sons')} affected."


def of_all(square: Square) -> str:
    """Say who counts as affected on the X, and how many of all offspring are."""
    share = square.affected
    if share in (0, 1):
        whole = f"{'all offspring are' if share else 'no offspring is'} affected"
    else:
        whole = f"of all offspring {brief(share)} are affected"
    return (
        f"Affected are those who show the {square.gene.affected} trait. The proportions are "
        f"those among daughters and among sons; {whole}."
    )


def _how_many(share: Fraction, child: Child) -> str:
    if share == 0:
        return f"No {child.removesuffix('s')} is"
    whole = f"All {child}" if share == 1 else f"{_part(share).capitalize()} of the {child}"
    return f"{whole} are"


def _part(share: Fraction) -> str:
    return "half" if share == Fraction(1, 2) else brief(share)


def drawn_by_sex(cross: Cross, drawn: Simulation) -> str:
    """Say how many of the daughters and of the sons drawn are affected."""
    said = [
        f"{child.capitalize()} affected: {affected:,} of {number:,}."
        for child, (affected, number) in cross.drawn(drawn).items()
    ]
    return f"{' '.join(said)} Which child is a daughter is left to chance, too."


# --- generations ---------------------------------------------------------------------------------


def how(cross: Cross, plan: Plan) -> str:
    """Say which generations are followed and how each comes about."""
    square = cross.square
    return (
        f"P: mother {square.mother}, father {square.father}. F1 are their offspring. "
        f"{_mated(cross, plan)}{_counted_from(square)}"
    )


def _mated(cross: Cross, plan: Plan) -> str:
    gene, parent = cross.square.gene, recurrent(cross, plan)
    match plan.scheme:
        case "F2" if gene.on_x:
            return "F2 are the offspring of the daughters and sons of F1, mated at random."
        case "F2":
            alike = 1 in cross.generations[0].genotypes.values()
            same = " (all alike, so selfing them gives the same)" if alike else ""
            return f"F2 are the offspring of F1 mated at random with each other{same}."
        case "backcross" if gene.on_x:
            other = "daughters" if parent.endswith("Y") else "sons"
            return (
                f"BC1 are the offspring of the {other} of F1 and {parent}; the {other} of "
                f"each later generation are crossed with {parent} again."
            )
        case "backcross":
            known = "the recurrent parent " if _recovered(cross) else ""
            return (
                f"BC1 are the offspring of F1 and {known}{parent}; each "
                f"later generation is crossed with {parent} again."
            )
        case "selfing":
            return "From F1 on every individual fertilises itself."
        case "sibs":
            pair = "a sister and a brother" if gene.on_x else "a brother and a sister"
            return f"From F1 on {pair} of each litter, drawn at random, are mated."


def recurrent(cross: Cross, plan: Plan) -> str:
    """Return the recurrent parent as it is written, where there is one."""
    return cross.square.gene.write(plan.recurrent) if plan.recurrent else ""


def _recovered(cross: Cross) -> bool:
    return cross.generations[0].recurrent_share is not None


def _counted_from(square: Square) -> str:
    """Say what heterozygous P may be, since a class calls their offspring F2 if they are F1."""
    if square.rows[0] == square.rows[1]:
        return ""
    of = ""
    if not square.by_sex:
        if square.mother != square.father:
            return ""
        of = f", of {square.rows[0] * 2} and {square.rows[1] * 2}"
    return (
        f" Generations are counted from these two: if they are themselves F1{of}, their offspring "
        "are what is otherwise called F2."
    )


def note(cross: Cross, plan: Plan) -> str:
    """Return what is to be known of the generations, or nothing."""
    on_x = cross.square.gene.on_x
    inbreeding = (
        "F, the inbreeding coefficient, is the chance that the two alleles of an individual are "
        "copies of one allele of P, the two P taken as unrelated and not inbred."
    )
    match plan.scheme:
        case "F2":
            return ""
        case "backcross" if on_x:
            return (
                "How much of the genome comes from the recurrent parent is not shown: on the X "
                "that differs between daughters and sons, and from the autosomes."
            )
        case "backcross" if _recovered(cross):
            return (
                "The last column is the share of the genome that is expected to come from the "
                f"recurrent parent, where nothing is selected: 1 - {power('(1/2)', 'n+1')} in BCn, "
                "on average. Selecting for an allele of the other parent keeps what is linked to "
                "it, too."
            )
        case "backcross":
            return (
                f"{recurrent(cross, plan)} is neither of the parents P, so there is no share of "
                "the genome to recover."
            )
        case "selfing":
            return f"The heterozygous share halves in each generation. {inbreeding}"
        case "sibs" if on_x:
            return (
                "F, the inbreeding coefficient of the daughters, is the chance that their two "
                "alleles are copies of one allele of P, the two P taken as unrelated. A son has "
                "one X, so there is no F of sons."
            )
        case "sibs":
            return (
                "Sib mating works as selfing does, but more slowly: in the long run about 19% of "
                f"what is still heterozygous is lost in each generation. {inbreeding}"
            )
