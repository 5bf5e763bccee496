"""The inputs of a case that are least certain, and the case with each of them changed.

Frequencies differ between populations, tests are less perfect than their leaflets, and the
share of silent carriers is seldom known: the first numbers that a reader should doubt.  Each
function returns changed cases only; what they lead to is solved by the one engine.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import partial

from risk.case.condition_checks import check_condition
from risk.case.kin import twin_groups
from risk.case.model import ByAlleles, Case, Condition, Frequency, Mutation
from risk.model.family import twin_chance
from risk.number import Quantity, quantity, written_like

#: Factors by which a frequency or a rate is changed; 1 is the case's own.
_FACTORS = (Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(2), Fraction(4))
#: Factors for what is lacking to certainty, the share that a test misses or that stays silent.
_LACKING = (Fraction(2), Fraction(1), Fraction(1, 2), Fraction(1, 10))
#: What a perfect number is compared with.
_BELOW_PERFECT = ("0.9", "0.95", "0.99")
#: Allele frequencies that the rare limit is compared with.
_RARE_AGAINST = ("1/10000", "1/1000", "1/100")
#: More than these would fill a page and teach nothing.
_MOST_INPUTS = 4


#: A value in words, whether it is the case's own, and the case with it.
Variant = tuple[str, bool, Case]


@dataclass(frozen=True, slots=True)
class Uncertain:
    """One input and the values that are tried for it."""

    name: str
    variants: tuple[Variant, ...]


def uncertain_inputs(case: Case) -> tuple[Uncertain, ...]:
    """Return the least certain inputs of a case, the most doubtful first, at most four."""
    found = [
        *_zygosity(case),
        *_frequency(case),
        *_tests(case),
        *_penetrance(case),
        *_mutation(case),
    ]
    found = [replace(each, variants=tuple(_allowed(each.variants))) for each in found]
    return tuple(each for each in found if len(each.variants) > 1)[:_MOST_INPUTS]


def _allowed(variants: Iterable[Variant]) -> Iterator[Variant]:
    """Yield the variants that a case file may hold: one number can be too much beside others."""
    for variant in variants:
        _, own, case = variant
        if own or not any(check_condition(case.condition)):
            yield variant


def _condition(case: Case, condition: Condition) -> Case:
    return replace(case, condition=condition)


def _written(value: Fraction, like: Quantity) -> Quantity:
    return quantity(written_like(value, like.text))


def _scaled(own: Quantity, most: Fraction) -> Iterator[tuple[Quantity, bool]]:
    for factor in _FACTORS:
        value = own.value * factor
        if factor == 1:
            yield own, True
        elif 0 < value < most:
            yield _written(value, own), False


def _short_of_one(own: Quantity) -> Iterator[tuple[Quantity, bool]]:
    """Values on either side of a number that falls short of 1, or below it where it does not."""
    if own.value == 1:
        yield from ((quantity(text), False) for text in _BELOW_PERFECT)
        yield own, True
        return
    for factor in _LACKING:
        value = 1 - (1 - own.value) * factor
        if factor == 1:
            yield own, True
        elif value > 0:
            yield _written(value, own), False


def _variants(
    values: Iterable[tuple[Quantity, bool]], change: Callable[[Quantity], Case]
) -> tuple[Variant, ...]:
    return tuple((value.text, own, change(value)) for value, own in values)


def _frequency(case: Case) -> Iterator[Uncertain]:
    condition, frequency = case.condition, case.condition.frequency

    def put(changed: Frequency) -> Case:
        return _condition(case, replace(condition, frequency=changed))

    if frequency.allele == "rare":
        others = tuple(
            (text, False, put(Frequency(allele=quantity(text)))) for text in _RARE_AGAINST
        )
        yield Uncertain("frequency of the disease allele", (("rare", True, case), *others))
    elif isinstance(frequency.allele, Quantity) and frequency.allele.value:
        yield Uncertain(
            "frequency of the disease allele",
            _variants(_scaled(frequency.allele, Fraction(1)), lambda q: put(Frequency(allele=q))),
        )
    elif frequency.carrier is not None and frequency.carrier.value:
        yield Uncertain(
            "frequency of carriers",
            _variants(_scaled(frequency.carrier, Fraction(1)), lambda q: put(Frequency(carrier=q))),
        )
    elif frequency.incidence is not None and frequency.incidence.value:
        yield Uncertain(
            "incidence at conception",
            _variants(
                _scaled(frequency.incidence, Fraction(1)), lambda q: put(Frequency(incidence=q))
            ),
        )


def _zygosity(case: Case) -> Iterator[Uncertain]:
    """The chance of being identical, of each group of twins whose zygosity is unknown."""
    for twin, group in twin_groups(case):
        if 0 < twin_chance(group, twin) < 1:
            own = twin.monozygotic_chance or quantity(str(twin_chance(group, twin)))
            names = " and ".join(person.name or person.id for person in group)
            variants = tuple(
                (value.text, mine, case if mine else _with_twins(case, twin.group, value))
                for value, mine in _scaled(own, Fraction(1))
            )
            yield Uncertain(f"chance that {names} are identical", variants)


def _with_twins(case: Case, group: str, chance: Quantity) -> Case:
    people = tuple(
        replace(person, twin=replace(person.twin, monozygotic_chance=chance))
        if person.twin is not None and person.twin.group == group
        else person
        for person in case.people
    )
    return replace(case, people=people)


def _tests(case: Case) -> Iterator[Uncertain]:
    """What a negative result owes to the sensitivity, and a positive one to the specificity."""
    results = {(each.test, each.result) for person in case.people for each in person.tests}
    for at, test in enumerate(case.condition.tests or ()):
        for result, key in (("negative", "sensitivity"), ("positive", "specificity")):
            own = getattr(test, key)
            if own is not None and (test.name, result) in results:
                change = partial(_with_test, case, at, key)
                yield Uncertain(f"{key} of {test.name}", _variants(_short_of_one(own), change))


def _with_test(case: Case, at: int, key: str, value: Quantity) -> Case:
    tests = list(case.condition.tests or ())
    tests[at] = replace(tests[at], **{key: value})  # type: ignore[arg-type]
    return _condition(case, replace(case.condition, tests=tuple(tests)))


def _penetrance(case: Case) -> Iterator[Uncertain]:
    table = case.condition.penetrance
    if not isinstance(table, ByAlleles):
        return
    key = "two" if case.condition.recessive else "one"
    own = getattr(table, key)
    if own is None or not own.value:
        return
    alike = [name for name in ("one", "two") if getattr(table, name) == own]

    def put(value: Quantity) -> Case:
        changed = replace(table, **dict.fromkeys(alike, value))
        return _condition(case, replace(case.condition, penetrance=changed))

    yield Uncertain("penetrance", _variants(_short_of_one(own), put))


def _mutation(case: Case) -> Iterator[Uncertain]:
    mutation = case.condition.mutation
    if mutation is None:
        return
    rates = [rate for rate in (mutation.maternal, mutation.paternal) if isinstance(rate, Quantity)]
    if not rates or all(not rate.value for rate in rates):
        return

    def times(rate: object, factor: Fraction) -> Quantity | None:
        if not isinstance(rate, Quantity):
            return None
        return rate if factor == 1 else _written(rate.value * factor, rate)

    variants = []
    for factor in (Fraction(1, 10), Fraction(1), Fraction(10)):
        changed = Mutation(times(mutation.maternal, factor), times(mutation.paternal, factor))
        if any(rate.value * factor > Fraction(1, 2) for rate in rates):
            continue
        name = {Fraction(1, 10): "a tenth", Fraction(1): "as given"}.get(factor, "ten times")
        changed_case = _condition(case, replace(case.condition, mutation=changed))
        variants.append((name, factor == 1, changed_case))
    yield Uncertain("rate of new mutation", tuple(variants))
