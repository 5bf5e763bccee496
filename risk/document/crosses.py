"""Crosses as blocks: proportions, generations, drawn and counted offspring, the test cross."""

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
from risk.document.working import value_text
from risk.number import half_up
from risk.teaching.counts import Fit, RunningPoint, Simulation
from risk.teaching.cross import Square, ratio
from risk.teaching.crossing import Cross
from risk.teaching.generations import Generation, Plan
from risk.teaching.testcross import ParentChances
from risk.wording.phrases import power

_RIGHT: tuple[Align, ...] = ("right",)
#: A longer fraction is shown as a decimal in the table of generations.
_LONGEST = 9
#: Sizes at which the running share of dominant offspring is listed.
_LISTED = 8


def title_of(cross: Cross) -> str:
    """Return the heading of a cross."""
    return f"Cross: mother {cross.square.mother}, father {cross.square.father}"


def cross_blocks(cross: Cross) -> list[Block]:
    """Return everything about a cross that follows its square, the caution last."""
    blocks: list[Block] = [proportions_table(cross.square)]
    if cross.plan:
        blocks += _generation_blocks(cross, cross.plan)
    if cross.simulation:
        blocks += simulation_blocks(cross.simulation, cross.last)
    if cross.fit:
        blocks += _fit_blocks(cross.fit, cross.last)
    return [*blocks, Caution(CAUTION)]


def parent_blocks(chances: ParentChances) -> list[Block]:
    """Return the working of a test cross, its conclusion and the caution."""
    step = chances.step
    rows = [TableRow((row.text, *map(value_text, row.values), "")) for row in step.rows]
    joint, posterior = map(value_text, step.joint), map(value_text, step.posterior)
    rows.append(TableRow(("joint", *joint, f"sum {value_text(step.total)}"), "sum"))
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


def proportions_table(square: Square) -> Table:
    """Return the proportions of genotypes and phenotypes, with their ratios."""
    shows = {str(kind): share for kind, share in square.phenotypes.items()}
    return Table(
        align=("left", "left", "left"),
        header=(),
        rows=(
            proportions_row("Genotypes", square.genotypes),
            proportions_row("Phenotypes", shows),
        ),
        grow=(1,),
    )


def proportions_row(name: str, shares: Mapping[str, Fraction]) -> TableRow:
    """Return a row of proportions with their ratio, or what all are."""
    listed = ", ".join(f"{kind} {share}" for kind, share in shares.items())
    alike = [kind for kind, share in shares.items() if share == 1]
    summary = f"all {alike[0]}" if alike else f"ratio {ratio(shares.values())}"
    return TableRow((name, listed, summary))


def _generation_blocks(cross: Cross, plan: Plan) -> list[Block]:
    inbred = any(each.inbreeding is not None for each in cross.generations)
    recovered = any(each.recurrent_share is not None for each in cross.generations)
    head = ["", *cross.square.genotypes, "dominant"]
    head += ["homozygous", "F"] if inbred else []
    head += [f"genome of {_recurrent(cross, plan)}"] if recovered else []
    rows = [TableRow(_generation_row(each, inbred, recovered)) for each in cross.generations]
    return [
        Heading("Generations"),
        Paragraph(
            f"P: mother {cross.square.mother}, father {cross.square.father}. F1 are their "
            f"offspring. {_how(cross, plan, recovered)}{_counted_from(cross.square)}"
        ),
        Together(
            (
                Table(
                    align=("left", *_RIGHT * (len(head) - 1)),
                    header=(tuple(head),),
                    rows=tuple(rows),
                    grow=(),
                    ruled=True,
                ),
            )
        ),
        *(Paragraph(note, style="note") for note in _notes(cross, plan, recovered)),
    ]


def _generation_row(each: Generation, inbred: bool, recovered: bool) -> tuple[str, ...]:
    shares = [*each.genotypes.values(), each.phenotypes["dominant"]]
    if inbred:
        shares += [each.homozygous, each.inbreeding or Fraction(0)]
    if recovered:
        shares.append(each.recurrent_share or Fraction(0))
    return each.name, *map(brief, shares)


def brief(share: Fraction) -> str:
    """Return a share as it stands in a table: a short fraction, or a decimal."""
    text = str(share)
    if len(text) <= _LONGEST:
        return text
    if share > Fraction(99999, 100000):
        return ">0.99999"
    return f"≈{half_up(share, 5)}" if share > Fraction(1, 10000) else f"≈{float(share):.1e}"


def _how(cross: Cross, plan: Plan, recovered: bool) -> str:
    match plan.scheme:
        case "F2":
            alike = 1 in cross.generations[0].genotypes.values()
            same = " (all alike, so selfing them gives the same)" if alike else ""
            return f"F2 are the offspring of F1 mated at random with each other{same}."
        case "backcross":
            known = "the recurrent parent " if recovered else ""
            parent = _recurrent(cross, plan)
            return (
                f"BC1 are the offspring of F1 and {known}{parent}; each "
                f"later generation is crossed with {parent} again."
            )
        case "selfing":
            return "From F1 on every individual fertilises itself."
        case "sibs":
            return "From F1 on a brother and a sister of each litter, drawn at random, are mated."


def _recurrent(cross: Cross, plan: Plan) -> str:
    return cross.square.gene.write(plan.recurrent) if plan.recurrent else ""


def _counted_from(square: Square) -> str:
    """Say what two heterozygous P may be, since a class calls their offspring F2 if they are F1."""
    one, other = square.mother, square.father
    if one != other or one[0] == one[1]:
        return ""
    return (
        f" Generations are counted from these two: if they are themselves F1, of {one[0] * 2} and "
        f"{one[1] * 2}, their offspring are what is otherwise called F2."
    )


def _notes(cross: Cross, plan: Plan, recovered: bool) -> list[str]:
    inbreeding = (
        "F, the inbreeding coefficient, is the chance that the two alleles of an individual are "
        "copies of one allele of P, the two P taken as unrelated and not inbred."
    )
    share = (
        "The last column is the share of the genome that is expected to come from the recurrent "
        f"parent, where nothing is selected: 1 - {power('(1/2)', 'n+1')} in BCn, on average. "
        "Selecting for an "
        "allele of the other parent keeps what is linked to it, too."
    )
    neither = (
        f"{_recurrent(cross, plan)} is neither of the parents P, so there is no share of the "
        "genome to recover."
    )
    slower = (
        "Sib mating works as selfing does, but more slowly: in the long run about 19% of what is "
        f"still heterozygous is lost in each generation. {inbreeding}"
    )
    match plan.scheme:
        case "F2":
            return []
        case "backcross":
            return [share if recovered else neither]
        case "selfing":
            return [f"The heterozygous share halves in each generation. {inbreeding}"]
        case "sibs":
            return [slower]


def simulation_blocks(drawn: Simulation, generation: str | None) -> list[Block]:
    """Return the drawn offspring: the table of genotypes after the heading, the band, the run."""
    rows = [
        TableRow((kind, str(count), count_text(drawn.expected[kind])))
        for kind, count in drawn.genotypes.items()
    ]
    inside = drawn.low <= drawn.phenotypes["dominant"] <= drawn.high
    dominant, recessive = drawn.phenotypes["dominant"], drawn.phenotypes["recessive"]
    last = drawn.running[-1]
    return [
        Heading(
            f"{drawn.offspring:,} offspring{of_generation(generation)} drawn by chance, "
            f"seed {drawn.seed}"
        ),
        Table(
            align=("left", "right", "right"),
            header=(("", "drawn", "expected"),),
            rows=tuple(rows),
            ruled=True,
        ),
        Paragraph(
            f"Dominant to recessive: {dominant:,} to {recessive:,}. At least 95 of 100 crosses "
            f"of this size give from {drawn.low:,} to {drawn.high:,} dominant offspring "
            f"({_percent(last.low)} to {_percent(last.high)}) by chance alone; this one is "
            f"{'inside' if inside else 'outside'}.{leaving_in_words(drawn)}"
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


def leaving_in_words(drawn: Simulation) -> str:
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


def of_generation(generation: str | None) -> str:
    """Return the name of a generation in brackets, where there is one."""
    return f" ({generation})" if generation else ""


def _thinned(drawn: Simulation) -> list[RunningPoint]:
    """Return a few of the running points at even steps, the last one among them."""
    points = drawn.running
    if len(points) <= _LISTED:
        return list(points)
    steps = [round(i * (len(points) - 1) / (_LISTED - 1)) for i in range(_LISTED)]
    return [points[i] for i in steps]


def _fit_blocks(fit: Fit, generation: str | None) -> list[Block]:
    heading = Heading(f"Goodness of fit{of_generation(generation)}")
    if fit.chi_square is None or fit.p is None:
        return [
            heading,
            Paragraph(
                "This cross can give only one phenotype, and only that one was counted: the "
                "counts agree with it, whatever their number, and there is nothing to test."
            ),
        ]
    rows = [
        TableRow(
            (key[1], str(fit.observed[key]), count_text(count), f"{float(fit.parts[key]):.4f}")
        )
        for key, count in fit.expected.items()
    ]
    total = str(sum(fit.observed.values()))
    rows.append(TableRow(("together", total, "", f"{fit.chi_square:.4f}"), "sum"))
    blocks: list[Block] = [
        heading,
        fit_table(rows),
        chi_square(fit.chi_square, fit.degrees_of_freedom, fit.p),
    ]
    if fit.small:
        blocks.append(
            Paragraph(
                "Caution: an expected count is below 5, where the chi-square distribution is a "
                f"poor guide. The exact binomial test is good here too: p = {fit.exact_p:.3g}.",
                style="note",
            )
        )
    return blocks


def fit_table(rows: Sequence[TableRow]) -> Table:
    """Return the table of observed and expected counts, with what each adds to chi-square."""
    return Table(
        align=("left", "right", "right", "right"),
        header=(("", "observed", "expected", "(O - E)² / E"),),
        rows=tuple(rows),
        ruled=True,
    )


def chi_square(value: float, freedom: int, p: float) -> Paragraph:
    """Return the line that says how well counts fit, of so many degrees of freedom."""
    degrees = "degree" if freedom == 1 else "degrees"
    return Paragraph(
        f"Chi-square {value:.4f} with {freedom} {degrees} of freedom, p = {p:.3g}: {verdict(p)}",
        style="answer",
    )


def verdict(p: float) -> str:
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


def count_text(expected: Fraction) -> str:
    """Return an expected count, with two decimals where it is not whole."""
    return str(expected) if expected.denominator == 1 else f"{half_up(expected, 2):,}"


def _percent(share: Fraction) -> str:
    return f"{half_up(100 * share, 1)}%"
