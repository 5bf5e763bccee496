"""Named ways of going wrong, each as the answer of a changed case.

A slip says which case somebody solved instead of the one that was asked.  The changed case is
solved by the same engine, so no formula stands here twice.  What each slip is stands in the file
of its theme; here is which of them can be made in a case.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import replace
from fractions import Fraction
from math import prod

from risk.case.edit import asked_about
from risk.case.model import Case
from risk.model.solve import answers
from risk.problems import RiskError
from risk.teaching import (
    slip_arithmetic,
    slip_children,
    slip_facts,
    slip_granted,
    slip_kinship,
    slip_penetrance,
    slip_population,
    slip_siblings,
    slip_steps,
    slip_tests,
    slip_twins,
)
from risk.teaching.slip_answers import Chances, chances, given
from risk.teaching.slip_kind import Slip, SlipKind
from risk.teaching.slip_sets import Chosen, one_less, size, smaller, splits, within

#: Every slip, in the order in which they are looked for and reported.
NAMES = (
    *("ignored_unaffected", "ignored_children", "ignored_tests", "perfect_tests", "complement"),
    *("joint_not_divided", "partner_certain", "partner_ignored", "transmission_forgotten"),
    *("allele_for_carrier", "full_penetrance", "ignored_age", "mutation_forgotten"),
    *("twins_certain", "mosaicism_forgotten", "positive_is_proof"),
    *("ignored_healthy_children", "ignored_viability", "ignored_healthy_relatives"),
    *("half_for_two_thirds", "married_in_ignored", "parents_certain"),
    *(
        "ignored_identical_twins",
        "zygosity_kept",
        "step_forgotten",
        "child_sex",
        "penetrance_forgotten",
        "ignored_by_age",
    ),
    *("plain_half", "likelihood_upside_down", "likelihood_for_posterior", "percent_sign"),
    *("carriers_certain", "one_child", "children_multiplied", "children_independent"),
    *("order_forgotten", "exactly_for_at_least", "unaffected_counted", "two_thirds"),
    *("kinship_ignored", "only_by_descent", "onset_from_birth", "half_of_two_thirds"),
    *("two_q", "not_all_for_none", "odds_for_chance", "only_affected", "rare_allele"),
    *("affected_for_carrier", "births_not_divided", "perfect_specificity"),
    *("rare_in_family", "plain_balance", "grandsons_as_sons", "prior_alone"),
)
#: What is to be known of each of them.
KINDS = tuple(
    sorted(
        (
            *slip_facts.KINDS,
            *slip_tests.KINDS,
            *slip_granted.KINDS,
            *slip_siblings.KINDS,
            *slip_steps.KINDS,
            *slip_twins.KINDS,
            *slip_kinship.KINDS,
            *slip_population.KINDS,
            *slip_penetrance.KINDS,
            *slip_children.KINDS,
            *slip_arithmetic.KINDS,
        ),
        key=lambda kind: NAMES.index(kind.name),
    )
)
#: What whoever makes a slip did, by its name.
SHORT = {kind.name: kind.short for kind in KINDS}
#: What moves an answer by no more than this share of it is not felt.
_SLIGHT = Fraction(1, 20)
#: What share of a chance floats may lose.
_LOST = Fraction(1, 10**12)
#: So many smaller sets of the same people are tried one by one.
_MOST_TRIED = 128


def slips(case: Case, question: int = 0) -> tuple[Slip, ...]:
    """Return the slips that can be made in one question of `case`, with their results.

    A slip is left out where it changes nothing (its result is the true answer) or makes no sense
    (the changed case cannot be).  One that can be understood in several ways (of which parent is
    it forgotten that they are unaffected?) comes once for each.  A question about a genotype
    gives the chances of 0, 1 and 2 disease alleles.  Raises as `solve` for the case itself.
    """
    asked = replace(case, questions=(case.questions[question],))
    answer = answers(asked)[0]
    true = chances(answer)
    lost = 0 if all(chance.exact is not None for chance in given(answer)) else _LOST
    found: dict[tuple[str, Chances], Slip] = {}
    for slip in _all(asked, true):
        # A product of densities may be more than 1; nobody gives that as a chance.
        if _same(slip.result, true, lost) or any(value > 1 for value in slip.result):
            continue
        if not slip.kind.to_certainty and set(slip.result) <= {0, 1}:
            continue
        same = [each for each in found.values() if each.result == slip.result]
        near = is_near(slip.kind, slip.result, true)
        if _has_simpler(slip, [each for each in same if each.kind.approximation or not near]):
            continue
        if not covered(slip, same):
            key = (slip.name, slip.result)
            if key not in found or (found[key].split and not slip.split):
                found[key] = slip
    return tuple(found.values())


def _same(result: Chances, true: Chances, lost: Fraction | int) -> bool:
    return all(abs(one - value) <= value * lost for one, value in zip(result, true, strict=True))


def is_near(kind: SlipKind, result: Chances, true: Chances) -> bool:
    """Tell whether a slip is an approximation, and what it leads to is near the true answer."""
    pairs = zip(result, true, strict=True)
    return kind.approximation and all(abs(one - value) <= value * _SLIGHT for one, value in pairs)


def _has_simpler(slip: Slip, others: Iterable[Slip]) -> bool:
    """Tell whether some of `others`, with the same result, say more plainly what was done."""
    names = {each.name for each in others}
    if slip.kind.last:
        return bool(names - {"complement"})
    simpler = slip.kind.gives_way_to
    return not names.isdisjoint(simpler(slip) if callable(simpler) else simpler)


def covered(slip: Slip, others: Iterable[Slip]) -> bool:
    """Tell whether some of `others`, with the same result, do the same with fewer people.

    What was done with the rest then makes no difference.  But where only some of alike people are
    among the fewer, and all of them among the others, it is chance that both lead there.  Who is
    healthy among the children is forgotten with whatever else is known of these.
    """
    names = (slip.name, *slip.kind.includes)
    return any(
        {*slip.people} <= {*each.people}
        if each.name in slip.kind.part_of
        else each.name in names
        and each.chosen
        and within(each.chosen, slip.chosen)
        and (slip.split or not each.split)
        for each in others
    )


def smallest(slip: Slip) -> Slip:
    """Return a slip about a set of people with as few of them as lead to its result.

    Whoever was asked about is remembered first.
    """
    if size(slip.chosen) < 2:
        return slip
    asked = asked_about(slip.asked.questions[0])
    many = prod(number + 1 for _, number in slip.chosen) > _MOST_TRIED

    def order(chosen: Chosen) -> tuple[int, int]:
        return size(chosen), len({*asked} & {id for id, _ in chosen})

    while True:
        fewer = one_less(slip.chosen) if many else smaller(slip.chosen)
        found = (_of(slip.kind, slip.asked, chosen) for chosen in sorted(fewer, key=order))
        less = next((each for each in found if each and _like(each, slip)), None)
        if less is None:
            return slip
        slip = less
        if not many:
            return slip


def _like(few: Slip, many: Slip) -> bool:
    return few.result == many.result and (many.split or not few.split)


def _unlikely(slip: Slip, true: Chances, part: bool) -> bool:
    """Tell whether a slip leads where nobody gets to by it.

    That is nearly to the truth by forgetting relatives, or a `part` of those who might be
    forgotten, who hardly matter; and below the truth by leaving out a half.
    """
    pairs = list(zip(slip.result, true, strict=True))
    felt = slip.kind.felt
    if felt == "always" or (part and felt == "in part"):
        return all(abs(value - right) <= right * _SLIGHT for value, right in pairs)
    # To pass an allele on, or one half more, makes a chance smaller and never larger.
    return slip.kind.a_factor and len(pairs) == 1 and slip.result < true


def _all(case: Case, true: Chances) -> Iterator[Slip]:
    for kind in KINDS:
        for slip, part in _of_kind(kind, case, true):
            if not _unlikely(slip, true, part):
                yield slip


def _of_kind(kind: SlipKind, case: Case, true: Chances) -> Iterator[tuple[Slip, bool]]:
    """Yield what can be done wrong in this way, and whether of a part of those it might be."""
    if kind.of_true:
        yield from ((Slip(kind, result, case), False) for result in kind.of_true(true))
    if kind.sets:
        for chosen, part in kind.sets.chosen(case):
            if slip := _of(kind, case, chosen):
                yield slip, part
    if kind.changes:
        for changed, people in kind.changes(case):
            if changed != case and (slip := _solved(Slip(kind, (), case, changed, people))):
                yield slip, False
    if kind.reads:
        # What is read off may be a chance of what cannot be: no child of theirs is born.
        with suppress(RiskError):
            yield from [(Slip(kind, result, case), False) for result in kind.reads(case)]


def _of(kind: SlipKind, case: Case, chosen: Chosen) -> Slip | None:
    """Return a slip made of the people chosen; None where it changes nothing or cannot be."""
    assert kind.sets is not None
    changed = kind.sets.made(case, chosen)
    people = tuple(id for id, _ in chosen)
    if changed == case:
        return None
    split = splits(case, kind.sets, chosen)
    return _solved(Slip(kind, (), case, changed, people, chosen, split))


def _solved(slip: Slip) -> Slip | None:
    assert slip.case is not None
    try:
        return replace(slip, result=chances(answers(slip.case)[0]))
    except RiskError:
        # What contradicts itself is no case that anybody could have solved by mistake.
        return None
