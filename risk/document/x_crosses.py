"""Crosses at a gene on the X as blocks: proportions by sex, generations, offspring, fit."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.caution import CAUTION
from risk.document.blocks import (
    Align,
    Block,
    Caution,
    Heading,
    Paragraph,
    Table,
    TableRow,
    Together,
)
from risk.document.crosses import (
    brief,
    chi_square,
    count_text,
    fit_table,
    of_generation,
    proportions_row,
    simulation_blocks,
)
from risk.teaching.counts import Fit, Simulation
from risk.teaching.cross import Brood, Square
from risk.teaching.crossing import Cross
from risk.teaching.gene import Child
from risk.teaching.generations import Generation, Plan

_RIGHT: tuple[Align, ...] = ("right",)
_ONE = {"daughters": "daughter", "sons": "son"}


def x_title_of(cross: Cross) -> str:
    """Return the heading of a cross at a gene on the X."""
    square = cross.square
    return f"Cross on the X: mother {square.mother}, father {square.father}"


def x_cross_blocks(cross: Cross) -> list[Block]:
    """Return everything about a cross that follows its square, the caution last."""
    blocks: list[Block] = [*x_proportions(cross.square)]
    if cross.plan:
        blocks += _generation_blocks(cross, cross.plan)
    if cross.reciprocal:
        blocks += _reciprocal_blocks(*cross.reciprocal)
    if cross.simulation:
        blocks += _simulation_blocks(cross, cross.simulation)
    if cross.fit:
        blocks += _fit_blocks(cross.fit, cross.last)
    return [*blocks, Caution(CAUTION)]


def x_proportions(square: Square) -> list[Block]:
    """Return the proportions among daughters and among sons, as a table and in words."""
    rows: list[TableRow] = []
    for child in square.gene.children:
        brood = square.broods[child]
        rows.append(proportions_row(child.capitalize(), brood.genotypes))
        rows.append(proportions_row("", {str(k): share for k, share in brood.phenotypes.items()}))
    return [
        Table(align=("left", "left", "left"), header=(), rows=tuple(rows), grow=(1,)),
        Paragraph(broods_in_words(square.broods, square.gene.affected == "recessive")),
        Paragraph(
            f"Affected are those who show the {square.gene.affected} trait. The proportions are "
            f"those among daughters and among sons; {_of_all(square.affected)}.",
            style="note",
        ),
    ]


def broods_in_words(broods: Mapping[Child, Brood], recessive: bool) -> str:
    """Say how many daughters and sons are affected and, of a recessive trait, are carriers."""
    daughters, sons = broods["daughters"], broods["sons"]
    said = f"{_how_many(daughters.affected, 'daughters')} affected"
    if recessive and daughters.affected != 1:
        if not daughters.carriers:
            carriers = "none is a carrier"
        elif daughters.carriers == 1:
            carriers = "all are carriers"
        else:
            carriers = f"{_part(daughters.carriers)} are carriers"
        said += f", and {carriers}"
    return f"{said}. {_how_many(sons.affected, 'sons')} affected."


def cell_words(square: Square, genotype: str) -> str:
    """Say who a genotype of a square is: ``dominant``, or ``carrier daughter`` on the X."""
    return square.words[genotype]


def cell_filled(square: Square, genotype: str) -> bool:
    """Tell whether a cell is filled: what is recessive; on the X who is affected."""
    return square.is_affected(genotype)


def _how_many(share: Fraction, child: Child) -> str:
    if share == 0:
        return f"No {_ONE[child]} is"
    whole = f"All {child}" if share == 1 else f"{_part(share).capitalize()} of the {child}"
    return f"{whole} are"


def _part(share: Fraction) -> str:
    return "half" if share == Fraction(1, 2) else brief(share)


def _of_all(share: Fraction) -> str:
    if share in (0, 1):
        return f"{'all offspring are' if share else 'no offspring is'} affected"
    return f"of all offspring {brief(share)} are affected"


# --- generations ---------------------------------------------------------------------------------


def _generation_blocks(cross: Cross, plan: Plan) -> list[Block]:
    square = cross.square
    recurrent = square.gene.write(plan.recurrent) if plan.recurrent else ""
    return [
        Heading("Generations"),
        Paragraph(
            f"P: mother {square.mother}, father {square.father}. F1 are their offspring. "
            f"{_how(recurrent, plan)}{_counted_from(square)}"
        ),
        *_tables(cross.generations),
        *(Paragraph(text) for text in _in_words(square, cross.generations)),
        *(Paragraph(note, style="note") for note in _notes(plan)),
    ]


def _reciprocal_blocks(square: Square, generations: Sequence[Generation]) -> list[Block]:
    return [
        Heading("The reciprocal cross"),
        Paragraph(
            f"P the other way round: mother {square.mother}, father {square.father}. On an "
            "autosome this would change nothing; on the X sons have their mother's alleles only."
        ),
        *_tables(generations),
        *(Paragraph(text) for text in _in_words(square, generations)),
    ]


def _tables(generations: Sequence[Generation]) -> list[Block]:
    """One table of the daughters and one of the sons."""
    inbred = any(each.inbreeding is not None for each in generations)
    blocks: list[Block] = []
    for child in generations[0].broods:
        with_f = inbred and child == "daughters"
        head = [child, *generations[0].broods[child].genotypes, "affected"]
        rows = []
        for each in generations:
            brood: Brood = each.broods[child]
            shares = [*brood.genotypes.values(), brood.affected]
            shares += [each.inbreeding or Fraction(0)] if with_f else []
            rows.append(TableRow((each.name, *map(brief, shares))))
        head += ["F"] if with_f else []
        align: tuple[Align, ...] = ("left", *_RIGHT * (len(head) - 1))
        table = Table(align=align, header=(tuple(head),), rows=tuple(rows), grow=(), ruled=True)
        blocks.append(Together((table,)))
    return blocks


def _in_words(square: Square, generations: Sequence[Generation]) -> list[str]:
    if len(generations) > 2:
        return []
    recessive = square.gene.affected == "recessive"
    said = [(each.name, broods_in_words(each.broods, recessive)) for each in generations]
    return [f"{name}: {text[0].lower()}{text[1:]}" for name, text in said]


def _how(recurrent: str, plan: Plan) -> str:
    match plan.scheme:
        case "F2":
            return "F2 are the offspring of the daughters and sons of F1, mated at random."
        case "backcross":
            other = "daughters" if recurrent.endswith("Y") else "sons"
            return (
                f"BC1 are the offspring of the {other} of F1 and {recurrent}; the {other} of "
                f"each later generation are crossed with {recurrent} again."
            )
        case _:
            return "From F1 on a sister and a brother of each litter, drawn at random, are mated."


def _counted_from(square: Square) -> str:
    if square.rows[0] == square.rows[1]:
        return ""
    return (
        " Generations are counted from these two: if they are themselves F1, their offspring are "
        "what is otherwise called F2."
    )


def _notes(plan: Plan) -> list[str]:
    inbreeding = (
        "F, the inbreeding coefficient of the daughters, is the chance that their two alleles "
        "are copies of one allele of P, the two P taken as unrelated. A son has one X, so "
        "there is no F of sons."
    )
    genome = (
        "How much of the genome comes from the recurrent parent is not shown: on the X that "
        "differs between daughters and sons, and from the autosomes."
    )
    match plan.scheme:
        case "sibs":
            return [inbreeding]
        case "backcross":
            return [genome]
        case _:
            return []


# --- offspring drawn and counted -----------------------------------------------------------------


def _simulation_blocks(cross: Cross, drawn: Simulation) -> list[Block]:
    heading, *rest = simulation_blocks(drawn, cross.last)
    said = [
        f"{child.capitalize()} affected: {affected:,} of {number:,}."
        for child, (affected, number) in cross.drawn(drawn).items()
    ]
    text = f"{' '.join(said)} Which child is a daughter is left to chance, too."
    table, *more = rest
    return [heading, table, Paragraph(text), *more]


def _fit_blocks(fit: Fit, generation: str | None) -> list[Block]:
    assert fit.chi_square is not None
    assert fit.p is not None
    rows = [
        TableRow(
            (
                f"{child}, {kind}",
                f"{fit.observed[child, kind]:,}",
                count_text(expected),
                f"{float(fit.parts[child, kind]):.4f}",
            )
        )
        for (child, kind), expected in fit.expected.items()
    ]
    total = sum(fit.observed.values())
    rows.append(TableRow(("together", f"{total:,}", "", f"{fit.chi_square:.4f}"), "sum"))
    blocks: list[Block] = [
        Heading(f"Goodness of fit{of_generation(generation)}"),
        fit_table(rows),
        chi_square(fit.chi_square, fit.degrees_of_freedom, fit.p),
        Paragraph(
            "Half of the offspring are expected to be daughters: a poor fit may come from the "
            "numbers of the sexes as well as from the gene.",
            style="note",
        ),
    ]
    if fit.small:
        blocks.append(
            Paragraph(
                "Caution: an expected count is below 5, where the chi-square distribution is a "
                "poor guide.",
                style="note",
            )
        )
    return blocks
