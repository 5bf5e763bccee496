"""Crosses as blocks: proportions, generations, drawn and counted offspring, the test cross."""

from __future__ import annotations

from collections.abc import Mapping
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
from risk.document.cross_words import (
    brief,
    broods_in_words,
    drawn_by_sex,
    how,
    note,
    of_all,
    recurrent,
)
from risk.number import half_up
from risk.teaching.counts import Fit, RunningPoint, Simulation
from risk.teaching.cross import Square, ratio
from risk.teaching.crossing import Cross
from risk.teaching.gene import Child, Gene
from risk.teaching.generations import Generation, Plan
from risk.teaching.testcross import ParentChances
from risk.wording.chances import powers_of_ten
from risk.workings.values import value_word

_RIGHT: tuple[Align, ...] = ("right",)
#: Sizes at which the running share of dominant offspring is listed.
_LISTED = 8


def title_of(cross: Cross) -> str:
    """Return the heading of a cross."""
    square = cross.square
    where = " on the X" if square.by_sex else ""
    return f"Cross{where}: mother {square.mother}, father {square.father}"


def cross_blocks(cross: Cross) -> list[Block]:
    """Return everything about a cross that follows its square, the caution last."""
    blocks = _proportions(cross.square)
    if cross.plan:
        blocks += _generation_blocks(cross, cross.plan)
    if cross.reciprocal:
        blocks += _reciprocal_blocks(*cross.reciprocal)
    if cross.simulation:
        blocks += _simulation_blocks(cross, cross.simulation)
    if cross.fit:
        blocks += _fit_blocks(cross.fit, cross)
    return [*blocks, Caution(CAUTION)]


def parent_blocks(chances: ParentChances) -> list[Block]:
    """Return the working of a test cross, its conclusion and the caution."""
    step = chances.step
    rows = [TableRow((row.text, *map(value_word, row.values), "")) for row in step.rows]
    joint, posterior = map(value_word, step.joint), map(value_word, step.posterior)
    rows.append(TableRow(("joint", *joint, f"sum {value_word(step.total)}"), "sum"))
    rows.append(TableRow(("posterior", *posterior, ""), "result"))
    return [
        Heading("Test cross: is the dominant parent heterozygous?", 1),
        Paragraph(
            f"A mother that shows the dominant trait, {' or '.join(chances.kinds)}, has sons, or "
            "children with a father who shows the recessive one, X^a Y."
            if chances.on_x
            else "A parent that shows the dominant trait, Aa or AA, is crossed with a homozygous "
            "recessive one, aa."
        ),
        Paragraph(step.text),
        Table(
            align=("left", "right", "right", "left"),
            header=(("", *chances.kinds, ""),),
            rows=tuple(rows),
        ),
        Paragraph(chances.conclusion, style="answer"),
        Caution(CAUTION),
    ]


def _proportions(square: Square) -> list[Block]:
    """Return the proportions of genotypes and phenotypes; on the X also in words."""
    rows: list[TableRow] = []
    for child, brood in square.broods.items():
        names = (child.capitalize(), "") if square.by_sex else ("Genotypes", "Phenotypes")
        rows.append(_proportions_row(names[0], brood.genotypes))
        rows.append(_proportions_row(names[1], {str(k): s for k, s in brood.phenotypes.items()}))
    table = Table(align=("left", "left", "left"), header=(), rows=tuple(rows), grow=(1,))
    if not square.by_sex:
        return [table]
    words = broods_in_words(square, square.gene)
    return [table, Paragraph(words), Paragraph(of_all(square), style="note")]


def _proportions_row(name: str, shares: Mapping[str, Fraction]) -> TableRow:
    """Return a row of proportions with their ratio, or what all are."""
    listed = ", ".join(f"{kind} {share}" for kind, share in shares.items())
    alike = [kind for kind, share in shares.items() if share == 1]
    summary = f"all {alike[0]}" if alike else f"ratio {ratio(shares.values())}"
    return TableRow((name, listed, summary))


# --- generations ---------------------------------------------------------------------------------


def _generation_blocks(cross: Cross, plan: Plan) -> list[Block]:
    said = note(cross, plan)
    return [
        Heading("Generations"),
        Paragraph(how(cross, plan)),
        *_tables(cross.square.gene, cross.generations, recurrent(cross, plan)),
        *([Paragraph(said, style="note")] if said else []),
    ]


def _reciprocal_blocks(square: Square, generations: tuple[Generation, ...]) -> list[Block]:
    return [
        Heading("The reciprocal cross"),
        Paragraph(
            f"P the other way round: mother {square.mother}, father {square.father}. On an "
            "autosome this would change nothing; on the X sons have their mother's alleles only."
        ),
        *_tables(square.gene, generations),
    ]


def _tables(gene: Gene, generations: tuple[Generation, ...], parent: str = "") -> list[Block]:
    """Return a table of each group of children; on the X two generations also in words."""
    blocks: list[Block] = []
    for child in gene.children:
        columns = [_columns(each, child, parent) for each in generations]
        head = (child if gene.on_x else "", *columns[0])
        rows = tuple(
            TableRow((each.name, *map(brief, shares.values())))
            for each, shares in zip(generations, columns, strict=True)
        )
        align: tuple[Align, ...] = ("left", *_RIGHT * len(columns[0]))
        table = Table(align=align, header=(head,), rows=rows, grow=(), ruled=True)
        blocks.append(Together((table,)))
    if gene.on_x and len(generations) == 2:
        for each in generations:
            said = broods_in_words(each, gene)
            blocks.append(Paragraph(f"{each.name}: {said[0].lower()}{said[1:]}"))
    return blocks


def _columns(each: Generation, child: Child, parent: str) -> dict[str, Fraction]:
    brood = each.broods[child]
    columns = dict(brood.genotypes)
    if each.by_sex:
        columns["affected"] = brood.affected
    else:
        columns["dominant"] = brood.phenotypes["dominant"]
    if each.inbreeding is not None and not each.by_sex:
        columns["homozygous"] = each.homozygous
    if each.inbreeding is not None and child != "sons":
        columns["F"] = each.inbreeding
    if each.recurrent_share is not None:
        columns[f"genome of {parent}"] = each.recurrent_share
    return columns


# --- offspring drawn and counted -----------------------------------------------------------------


def _simulation_blocks(cross: Cross, drawn: Simulation) -> list[Block]:
    """Return the drawn offspring: the table of genotypes after the heading, the band, the run."""
    rows = [
        TableRow((kind, str(count), _count_text(drawn.expected[kind])))
        for kind, count in drawn.genotypes.items()
    ]
    inside = drawn.low <= drawn.phenotypes["dominant"] <= drawn.high
    dominant, recessive = drawn.phenotypes["dominant"], drawn.phenotypes["recessive"]
    last = drawn.running[-1]
    return [
        Heading(
            f"{drawn.offspring:,} offspring{_of_generation(cross.last)} drawn by chance, "
            f"seed {drawn.seed}"
        ),
        Table(
            align=("left", "right", "right"),
            header=(("", "drawn", "expected"),),
            rows=tuple(rows),
            ruled=True,
        ),
        *([Paragraph(drawn_by_sex(cross, drawn))] if cross.square.by_sex else []),
        Paragraph(
            f"Dominant to recessive: {dominant:,} to {recessive:,}. At least 95 of 100 crosses "
            f"of this size give from {drawn.low:,} to {drawn.high:,} dominant offspring "
            f"({_percent(last.low)} to {_percent(last.high)}) by chance alone; this one is "
            f"{'inside' if inside else 'outside'}.{_leaving_in_words(drawn)}"
        ),
        Table(
            align=("right", "right", "right"),
            header=(("offspring so far", "dominant", "95% by chance"),),
            rows=tuple(
                TableRow(
                    (
                        f"{point.offspring:,}",
                        _percent(point.dominant),
                        f"{_percent(point.low)} to {_percent(point.high)}",
                    )
                )
                for point in _thinned(drawn)
            ),
            caption="The share of dominant offspring comes close to what is expected only "
            "with large numbers:",
            grow=(),
            ruled=True,
        ),
    ]


def _leaving_in_words(drawn: Simulation) -> str:
    """Say how often a whole run leaves the band on its way; nothing where it cannot.

    The sentence begins with a space.
    """
    each = " That holds at each number of offspring by itself: followed from the first to the last,"
    if drawn.leaving is None:
        return f"{each} more of such runs are outside at one number or another."
    if not drawn.leaving:
        return ""
    of_hundred = 100 * drawn.leaving
    often = "fewer than 1" if of_hundred < 1 else f"about {half_up(of_hundred)}"
    return (
        f"{each} {often} of 100 runs of {drawn.offspring:,} are outside at one number or another."
    )


def _of_generation(generation: str | None) -> str:
    """Return the name of a generation in brackets, where there is one."""
    return f" ({generation})" if generation else ""


def _thinned(drawn: Simulation) -> list[RunningPoint]:
    """Return a few of the running points at even steps, the last one among them."""
    points = drawn.running
    if len(points) <= _LISTED:
        return list(points)
    steps = [round(i * (len(points) - 1) / (_LISTED - 1)) for i in range(_LISTED)]
    return [points[i] for i in steps]


def _fit_blocks(fit: Fit, cross: Cross) -> list[Block]:
    heading = Heading(f"Goodness of fit{_of_generation(cross.last)}")
    if fit.chi_square is None or fit.p is None:
        return [
            heading,
            Paragraph(
                "This cross can give only one phenotype, and only that one was counted: the "
                "counts agree with it, whatever their number, and there is nothing to test."
            ),
        ]
    by_sex = cross.square.by_sex
    freedom = fit.degrees_of_freedom
    degrees = "degree" if freedom == 1 else "degrees"
    blocks: list[Block] = [heading, _fit_table(fit, by_sex)]
    if by_sex:
        blocks.append(
            Paragraph(
                "Half of the offspring are expected to be daughters: a poor fit may come from the "
                "numbers of the sexes as well as from the gene.",
                style="note",
            )
        )
    blocks.append(
        Paragraph(
            f"Chi-square {fit.chi_square:.4f} with {freedom} {degrees} of freedom, "
            f"p = {powers_of_ten(f'{fit.p:.3g}')}: {_verdict(fit.p)}",
            style="answer",
        )
    )
    if fit.small:
        exact = ""
        if fit.exact_p is not None:
            p = powers_of_ten(f"{fit.exact_p:.3g}")
            exact = f" The exact binomial test is good here too: p = {p}."
        blocks.append(
            Paragraph(
                "Caution: an expected count is below 5, where the chi-square distribution is a "
                f"poor guide.{exact}",
                style="note",
            )
        )
    return blocks


def _fit_table(fit: Fit, by_sex: bool) -> Table:
    """Return observed and expected counts, with what each adds to chi-square."""
    counted = "{:,}" if by_sex else "{}"
    rows = [
        TableRow(
            (
                f"{child}, {kind}" if by_sex else kind,
                counted.format(fit.observed[child, kind]),
                _count_text(expected),
                f"{float(fit.parts[child, kind]):.4f}",
            )
        )
        for (child, kind), expected in fit.expected.items()
    ]
    total = counted.format(sum(fit.observed.values()))
    rows.append(TableRow(("together", total, "", f"{fit.chi_square:.4f}"), "sum"))
    return Table(
        align=("left", "right", "right", "right"),
        header=(("", "observed", "expected", "(O - E)² / E"),),
        rows=tuple(rows),
        ruled=True,
    )


def _verdict(p: float) -> str:
    """Say what a p of the test of fit means, and what it does not."""
    if p < 0.05:
        return (
            "if the expected proportions held, counts as far from them as these or farther would "
            "be rare (below the customary 0.05), which speaks against them."
        )
    return (
        "if the expected proportions hold, counts as far from them as these or farther are "
        "nothing unusual (not below the customary 0.05). That does not prove the proportions."
    )


def _count_text(expected: Fraction) -> str:
    """Return an expected count, with two decimals where it is not whole."""
    return str(expected) if expected.denominator == 1 else f"{half_up(expected, 2):,}"


def _percent(share: Fraction) -> str:
    return f"{half_up(100 * share, 1)}%"
