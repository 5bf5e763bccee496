"""Changing the condition of a case: pure functions from a `Case` to a new one."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from risk.case.model import ByAlleles, BySex, Case, Condition, Frequency, Inheritance
from risk.number import quantity


def change_condition(case: Case, **changes: Any) -> Case:
    """Set fields of the condition."""
    return replace(case, condition=replace(case.condition, **changes))


def set_inheritance(case: Case, inheritance: Inheritance, former: Condition | None = None) -> Case:
    """Change the mode of inheritance.

    A form of frequency which the new mode does not have becomes ``"rare"`` (0 where mutation
    is ``"rare"``), and the tables by sex get or lose the entry for males with two alleles.  What
    another mode had lost so of a `former` condition is taken again (see `laid_aside`).
    """
    new = _with_inheritance(case.condition, inheritance)
    if former is not None:
        again = _with_inheritance(former, inheritance)
        waiting = laid_aside(case.condition, former)
        new = replace(new, **{field: getattr(again, field) for field in waiting})
    return replace(case, condition=new)


def laid_aside(condition: Condition, former: Condition) -> tuple[str, ...]:
    """Name what a `former` condition had that the mode of `condition` cannot have.

    What somebody has set since is not among it.
    """
    fitted = _with_inheritance(former, condition.inheritance)
    return tuple(
        field
        for field in ("frequency", "penetrance", "viability")
        if getattr(former, field) != getattr(fitted, field) == getattr(condition, field)
    )


def _with_inheritance(old: Condition, inheritance: Inheritance) -> Condition:
    new = replace(old, inheritance=inheritance)
    if (new.frequency.carrier is not None and not new.recessive) or (
        new.frequency.mutation_selection_balance is not None and not new.x_linked
    ):
        rare = new.mutation is not None and "rare" in (new.mutation.maternal, new.mutation.paternal)
        zero = quantity("0")
        new = replace(new, frequency=Frequency(allele=zero if rare else "rare"))
    if new.x_linked != old.x_linked:
        new = replace(
            new,
            penetrance=_fit_males(new.penetrance, new.x_linked),
            viability=_fit_males(new.viability, new.x_linked),
        )
    return new


def rename_test(case: Case, old: str, new: str) -> Case:
    """Rename a test, in the results too."""
    tests = tuple(
        replace(test, name=new) if test.name == old else test for test in case.condition.tests or ()
    )
    people = tuple(
        replace(p, tests=tuple(replace(r, test=new) if r.test == old else r for r in p.tests))
        for p in case.people
    )
    return change_condition(replace(case, people=people), tests=tests)


def remove_test(case: Case, name: str) -> Case:
    """Take a test away, with its results."""
    tests = tuple(test for test in case.condition.tests or () if test.name != name)
    people = tuple(
        replace(p, tests=tuple(r for r in p.tests if r.test != name)) for p in case.people
    )
    return change_condition(replace(case, people=people), tests=tests or None)


def _fit_males(table: ByAlleles | BySex | None, x_linked: bool) -> ByAlleles | BySex | None:
    if not isinstance(table, BySex):
        return table
    male = replace(table.male, two=None if x_linked else table.male.two or table.male.one)
    return replace(table, male=male)
