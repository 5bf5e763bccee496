"""What is said of the slips about penetrance: who of those at risk is affected, and who else."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import ByAlleles, BySex, Case
from risk.teaching.slip_changes import risen
from risk.teaching.slips import Slip


def full_penetrance(slip: Slip) -> str:
    """Say what full penetrance leaves out."""
    if not _reduced(slip.asked):
        return (
            "This takes nobody to be affected but those with the genotype. Here others are, too, "
            "so that being affected is weaker evidence."
        )
    return (
        "This takes everyone with the genotype to be affected sooner or later. Here some never "
        "are, so that being well is weaker evidence."
    )


def penetrance_forgotten(slip: Slip) -> str:
    """Say what belongs between having the genotype and being affected."""
    case = slip.asked
    left = [
        "Not everyone who has it is affected, or not by then: multiply by the share who are."
        if _reduced(case) or case.condition.onset is not None
        else "",
        "Some who do not have it are affected, too: add their share." if _phenocopies(case) else "",
    ]
    start = "This belongs to another question: how likely the genotype is."
    return " ".join(filter(None, (start, *left)))


def _tables(case: Case) -> list[ByAlleles]:
    table = case.condition.penetrance
    if isinstance(table, BySex):
        return [table.female, table.male]
    return [] if table is None else [table]


def _reduced(case: Case) -> bool:
    """Tell whether some of those at risk are never affected."""
    return any(
        _values(risen(table, case.condition.recessive)) != _values(table) for table in _tables(case)
    )


def _values(table: ByAlleles) -> list[Fraction]:
    numbers = (table.zero, table.one, table.two)
    return [number.value for number in numbers if number is not None]


def _phenocopies(case: Case) -> bool:
    """Tell whether somebody who is not at risk can be affected."""
    recessive = case.condition.recessive
    return any(
        table.zero.value or (recessive and table.two is not None and table.one.value)
        for table in _tables(case)
    )
