"""Rules within the condition: which keys go together and what their numbers add up to."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from risk.case.balance import carriers_at_balance
from risk.case.model import ByAlleles, BySex, Condition, Frequency, Mutation, Test
from risk.number import Quantity
from risk.problems import Problem, did_you_mean, shown

_FREQUENCIES = ("allele", "carrier", "incidence", "mutation_selection_balance")


def check_condition(condition: Condition) -> Iterator[Problem]:
    """Yield every problem of a condition, in the order of the documented keys."""
    yield from _frequency(condition)
    yield from _mutation(condition)
    yield from _table("condition.penetrance", condition.penetrance, condition)
    yield from _onset(condition)
    yield from _table("condition.viability", condition.viability, condition)
    yield from _variants(condition)
    yield from _tests(condition)


# Frequency and mutation -----------------------------------------------------------------------


def _frequency(condition: Condition) -> Iterator[Problem]:
    frequency = condition.frequency
    path = "condition.frequency"
    given = [key for key in _FREQUENCIES if getattr(frequency, key) is not None]
    if len(given) != 1:
        what = f"{' and '.join(given)} are given" if given else "nothing is given"
        yield Problem(path, f"{what}; give exactly one of {', '.join(_FREQUENCIES)}")
        return
    if frequency.carrier is not None and not condition.recessive:
        yield Problem(
            f"{path}.carrier",
            "only for recessive conditions (who carries a dominant allele is at risk); give "
            "allele or incidence",
        )
    if frequency.mutation_selection_balance is not None:
        if condition.x_linked:
            yield from _balance(frequency, condition.mutation)
        else:
            yield Problem(
                f"{path}.mutation_selection_balance",
                "only for x-linked conditions; give allele, carrier or incidence",
            )


def _balance(frequency: Frequency, mutation: Mutation | None) -> Iterator[Problem]:
    """The share of female carriers at the balance must be a chance.

    That of affected males, half of it plus u, is then at most 1 as well: u is no more than 1/2.
    """
    assert frequency.mutation_selection_balance is not None
    fitness = frequency.mutation_selection_balance.fitness.value
    maternal, paternal = (_rate(mutation, side) for side in ("maternal", "paternal"))
    if maternal is None or paternal is None or not 0 <= fitness < 1:
        return
    carriers = carriers_at_balance(maternal, paternal, fitness)
    if carriers > 1:
        yield Problem(
            "condition.frequency.mutation_selection_balance",
            "these mutation rates and this fitness would make the share of female carriers "
            f"{_short(carriers)}, more than 1; lower one of them",
        )


def _rate(mutation: Mutation | None, side: str) -> Fraction | None:
    """Return a mutation rate, 0 by default; None for the limit "rare"."""
    rate = getattr(mutation, side, None)
    if rate is None:
        return Fraction(0)
    return rate.value if isinstance(rate, Quantity) else None


def _mutation(condition: Condition) -> Iterator[Problem]:
    mutation = condition.mutation
    if mutation is None:
        return
    rare = [side for side in ("maternal", "paternal") if getattr(mutation, side) == "rare"]
    if len(rare) == 1:
        other = "paternal" if rare == ["maternal"] else "maternal"
        yield Problem(
            f"condition.mutation.{other}",
            f'the {rare[0]} rate is "rare", so this one must be "rare" too, or both are numbers',
        )
    if rare and condition.frequency.allele == "rare":
        yield Problem(
            "condition.mutation",
            "rare new mutation does not go with a rare disease allele: which of the two vanishes "
            "first would not be defined; give a number for one of them",
        )


# Penetrance, viability, onset -----------------------------------------------------------------


def _table(path: str, table: ByAlleles | BySex | None, condition: Condition) -> Iterator[Problem]:
    if isinstance(table, ByAlleles):
        if table.two is None:
            yield Problem(f"{path}.2", "this key is needed")
    elif table is not None:
        if table.female.two is None:
            yield Problem(f"{path}.female.2", "this key is needed")
        if condition.x_linked and table.male.two is not None:
            yield Problem(
                f"{path}.male.2",
                "a male has one X chromosome, so no such entry in an x-linked condition; leave it "
                "out",
            )
        elif not condition.x_linked and table.male.two is None:
            yield Problem(f"{path}.male.2", "this key is needed in an autosomal condition")


def _onset(condition: Condition) -> Iterator[Problem]:
    before = None
    for index, point in enumerate(condition.onset or ()):
        path = f"condition.onset[{index}]"
        if before is None:
            if point.age.value == 0 and point.cumulative.value != 0:
                yield Problem(
                    f"{path}.cumulative",
                    f"{point.cumulative} at age 0, but the curve starts at 0 at age 0",
                )
        else:
            if point.age.value <= before.age.value:
                yield Problem(
                    f"{path}.age", f"age {point.age} does not come after {before.age}; ages rise"
                )
            if point.cumulative.value < before.cumulative.value:
                yield Problem(
                    f"{path}.cumulative",
                    f"{point.cumulative} is less than {before.cumulative} before it; shares never "
                    "fall",
                )
        before = point


# Variants and tests ---------------------------------------------------------------------------

#: What stands in a working where the name of a class may stand, and what it means there.
_OTHER_STATES = {"normal": "an allele that is not a disease allele", "mosaic": "a germline mosaic"}


def _variants(condition: Condition) -> Iterator[Problem]:
    if condition.variants is None:
        return
    seen: set[str] = set()
    for index, variant in enumerate(condition.variants):
        if variant.name in seen:
            yield Problem(
                f"condition.variants[{index}].name", f"{shown(variant.name)} is already a class"
            )
        if variant.name in _OTHER_STATES:
            yield Problem(
                f"condition.variants[{index}].name",
                f"{shown(variant.name)} is {_OTHER_STATES[variant.name]} in workings; give the "
                "class another name",
            )
        seen.add(variant.name)
    total = sum((variant.share.value for variant in condition.variants), Fraction(0))
    if total != 1:
        yield Problem(
            "condition.variants",
            f"the shares add to {_short(total)}, not to 1; add a class for the rest or mend a "
            "share",
        )


def _short(value: Fraction) -> str:
    text = str(value)
    return text if len(text) <= 20 else f"about {float(value):.6g}"


def _tests(condition: Condition) -> Iterator[Problem]:
    seen: set[str] = set()
    classes = None
    if condition.variants is not None:
        classes = [variant.name for variant in condition.variants]
    for index, test in enumerate(condition.tests or ()):
        path = f"condition.tests[{index}]"
        if test.name in seen:
            yield Problem(
                f"{path}.name", f"{shown(test.name)} is already the name of a test; give another"
            )
        seen.add(test.name)
        yield from _test(path, test, classes)


def _test(path: str, test: Test, classes: list[str] | None) -> Iterator[Problem]:
    kinds = {
        "detects": test.detects is not None,
        "sensitivity with specificity": test.sensitivity is not None
        or test.specificity is not None,
        "likelihood": test.likelihood is not None,
    }
    given = [kind for kind, holds in kinds.items() if holds]
    if len(given) != 1:
        what = f"{' and '.join(given)} are given" if given else "how it works is not said"
        yield Problem(path, f"{what}; give exactly one of {', '.join(kinds)}")
        return
    if test.sensitivity is None and test.specificity is not None:
        yield Problem(f"{path}.sensitivity", "needed together with specificity")
    if test.specificity is None and test.sensitivity is not None:
        yield Problem(f"{path}.specificity", "needed together with sensitivity")
    for index, name in enumerate(test.detects or ()):
        if classes is None:
            yield Problem(
                f"{path}.detects[{index}]",
                f"no class {shown(name)}, as the condition has no variants; add the classes and "
                "their shares, or give sensitivity and specificity instead",
            )
        elif name not in classes:
            hint = did_you_mean(name, classes)
            yield Problem(
                f"{path}.detects[{index}]",
                f"no variant class {shown(name)}"
                f"{hint or '; there: ' + ', '.join(map(shown, classes))}",
            )
    for row in test.likelihood or ():
        if row.likelihood.two is None:
            yield Problem(f"{path}.likelihood.{row.result}.2", "this key is needed")
