"""Being affected and being born alive, given the number of disease alleles."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import ByAlleles, BySex, Condition, OnsetPoint, Sex

#: Full penetrance, by how many disease alleles are enough.
_FULL = {
    1: (Fraction(0), Fraction(1), Fraction(1)),
    2: (Fraction(0), Fraction(0), Fraction(1)),
}


def _numbers(table: ByAlleles) -> tuple[Fraction, ...]:
    two = () if table.two is None else (table.two.value,)
    return (table.zero.value, table.one.value, *two)


def _by_sex(table: ByAlleles | BySex, sex: Sex) -> tuple[Fraction, ...]:
    if isinstance(table, ByAlleles):
        return _numbers(table)
    if sex == "unknown":
        raise ValueError("a table by sex needs the sex")
    return _numbers(table.female if sex == "female" else table.male)


def lifetime_penetrance(condition: Condition, sex: Sex) -> tuple[Fraction, ...]:
    """Return the lifetime chance of being affected with 0, 1 (and 2) disease alleles.

    Without `penetrance` in the condition: full penetrance as the mode of inheritance says, and
    no phenocopies.  A male on the X has one copy, so that one disease allele is enough.
    """
    if condition.penetrance is not None:
        return _by_sex(condition.penetrance, sex)
    return _FULL[condition.enough(sex)]


def share_by_age(onset: tuple[OnsetPoint, ...] | None, age: Fraction | None) -> Fraction:
    """Return the share of those ever affected who are affected by `age`, in years.

    Linear between the points, 0 at age 0, flat after the last; 1 without onset data or age.
    """
    if onset is None or age is None:
        return Fraction(1)
    before_age, before = Fraction(0), Fraction(0)
    for point in onset:
        if age < point.age.value:
            rise = (age - before_age) / (point.age.value - before_age)
            return before + rise * (point.cumulative.value - before)
        before_age, before = point.age.value, point.cumulative.value
    return before


def phenotype_likelihood(
    condition: Condition, sex: Sex, affected: bool, age: Fraction | None
) -> tuple[Fraction, ...]:
    """Return the chance of the phenotype with 0, 1 (and 2) disease alleles.

    An affected person counts with the lifetime penetrance; an unaffected one has escaped so
    far: 1 - penetrance x share affected by `age`.
    """
    lifetime = lifetime_penetrance(condition, sex)
    if affected:
        return lifetime
    share = share_by_age(condition.onset, age)
    return tuple(1 - chance * share for chance in lifetime)


def chance_of_falling_ill(
    condition: Condition, sex: Sex, unaffected_at: Fraction | None, by_age: Fraction | None
) -> tuple[Fraction, ...]:
    """Return the chance of falling ill and not being so yet, with 0, 1 (and 2) disease alleles.

    Falling ill by `by_age` (None: ever) and after `unaffected_at` (None: nothing is known).
    This is joint with being unaffected until then, not conditional on it.
    """
    until = share_by_age(condition.onset, by_age)
    already = Fraction(0)
    if unaffected_at is not None:
        already = share_by_age(condition.onset, unaffected_at)
    more = max(until - already, Fraction(0))
    return tuple(chance * more for chance in lifetime_penetrance(condition, sex))


def live_birth(condition: Condition, sex: Sex) -> tuple[Fraction, ...]:
    """Return the chance of live birth with 0, 1 (and 2) disease alleles.

    Someone of unknown sex is female or male with equal chance at conception.
    """
    table = condition.viability
    if table is None:
        return (Fraction(1),) * (condition.copies(sex) + 1)
    if isinstance(table, BySex) and sex == "unknown":
        pairs = zip(_numbers(table.female), _numbers(table.male), strict=True)
        chances = tuple((female + male) / 2 for female, male in pairs)
    else:
        chances = _by_sex(table, sex)
    return chances


def viability_matters(condition: Condition) -> bool:
    """Tell whether some genotype is not always born alive."""
    return condition.viability is not None and any(
        chance != 1 for sex in ("female", "male") for chance in _by_sex(condition.viability, sex)
    )
