"""Named ways of going wrong, each as the answer of a changed case.

A slip says which case somebody solved instead of the one that was asked.  The changed case is
solved by the same engine, so no formula stands here twice.  Some slips change the case as a whole
(`slip_changes`), others a set of people (`slip_people`); a few are read off the working
(`slip_readings`), `complement` is one minus the true answer, and `percent_sign` a hundred times or
a hundredth of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import prod

from risk.case.edit import asked_about
from risk.case.model import Case
from risk.model.solve import answers
from risk.problems import RiskError
from risk.teaching.slip_answers import Chances, chances
from risk.teaching.slip_changes import CHANGES
from risk.teaching.slip_people import SETS, Chosen, one_less, size, smaller, splits, within
from risk.teaching.slip_readings import READINGS

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
    "affected_for_carrier",
)
#: From this one on a slip that leads to certainty is none: nobody forgets a half on the way to 1.
_NOT_CERTAIN = NAMES.index("ignored_healthy_children")
#: Those that leave out that somebody is unaffected, or more: the first is the simplest.
_FORGETTING = ("ignored_unaffected", "ignored_healthy_children", "ignored_healthy_relatives")
#: Those that leave out that others are.
_HEALTHY = _FORGETTING[1:]
#: Of these, some of several people are only said to be forgotten where that is felt.
_FELT = (
    *("ignored_tests", "perfect_tests", "ignored_healthy_children"),
    *("half_for_two_thirds", "parents_certain"),
)
#: Those that are named where nothing but the chance of the opposite leads to the same number.
_LAST = (
    *("plain_half", "half_of_two_thirds"),
    *("odds_for_chance", "only_affected", "rare_allele"),
)
#: Those that leave a factor out.
_LARGER = ("step_forgotten", "transmission_forgotten")
#: Why a parent may have been taken for a carrier for certain.
_REASONS = {"partner_certain", "positive_is_proof", "mutation_forgotten", "mosaicism_forgotten"}
#: What moves an answer by no more than this share of it is not felt.
_SLIGHT = Fraction(1, 20)
#: So many smaller sets of the same people are tried one by one.
_MOST_TRIED = 128


@dataclass(frozen=True, slots=True)
class Slip:
    """A slip and the answer that it leads to.

    `asked` is the true case with the one question that was asked, and `case` the changed one; it
    is None where nothing was changed but the working was left too early.  `people` are those whose
    facts or genotypes were changed; of a slip about a set of people `chosen` says how many of each
    record these are, and `split` whether some of alike people are among them and others are not.
    """

    name: str
    result: Chances
    asked: Case = field(compare=False)
    case: Case | None = None
    people: tuple[str, ...] = ()
    chosen: Chosen = ()
    split: bool = False


def slips(case: Case, question: int = 0) -> tuple[Slip, ...]:
    """Return the slips that can be made in one question of `case`, with their results.

    A slip is left out where it changes nothing (its result is the true answer) or makes no sense
    (the changed case cannot be).  One that can be understood in several ways (of which parent is
    it forgotten that they are unaffected?) comes once for each.  A question about a genotype
    gives the chances of 0, 1 and 2 disease alleles.  Raises as `solve` for the case itself.
    """
    asked = replace(case, questions=(case.questions[question],))
    true = chances(answers(asked)[0])
    found: dict[tuple[str, Chances], Slip] = {}
    for slip in _all(asked, true):
        # A product of densities may be more than 1; nobody gives that as a chance.
        if slip.result == true or any(value > 1 for value in slip.result):
            continue
        if NAMES.index(slip.name) >= _NOT_CERTAIN and set(slip.result) <= {0, 1}:
            continue
        same = [each for each in found.values() if each.result == slip.result]
        if _has_simpler(slip, same):
            continue
        if not covered(slip, same):
            key = (slip.name, slip.result)
            if key not in found or (found[key].split and not slip.split):
                found[key] = slip
    return tuple(found.values())


def _has_simpler(slip: Slip, others: Iterable[Slip]) -> bool:
    """Tell whether some of `others`, with the same result, say more plainly what was done.

    1/2 for 2/3, of the one person asked about, is to forget that they are well; and a parent is
    taken for a carrier for some reason.  At least one of two in one order is the chance of one.
    A plain half, that of 2/3, and what leaves out more than one thing, is what is left where
    nothing else leads there.
    """
    names = {each.name for each in others}
    if slip.name == "carriers_certain":
        return bool(names & _REASONS)
    if slip.name == "order_forgotten":
        return "one_child" in names
    if slip.name in _LAST:
        return bool(names - {"complement"})
    if slip.name == "step_forgotten" and not slip.people:
        return "transmission_forgotten" in names
    alone = slip.people == (slip.asked.questions[0].person,)
    return slip.name == "half_for_two_thirds" and alone and "ignored_unaffected" in names


def covered(slip: Slip, others: Iterable[Slip]) -> bool:
    """Tell whether some of `others`, with the same result, do the same with fewer people.

    What was done with the rest then makes no difference.  But where only some of alike people are
    among the fewer, and all of them among the others, it is chance that both lead there.  Who is
    healthy among the children is forgotten with whatever else is known of these.
    """
    names = {slip.name}
    if slip.name in _HEALTHY and any(
        each.name == "ignored_children" and {*slip.people} <= {*each.people} for each in others
    ):
        return True
    if slip.name == "ignored_healthy_relatives":
        names.update(_FORGETTING)
    return any(
        each.name in names
        and each.chosen
        and within(each.chosen, slip.chosen)
        and (slip.split or not each.split)
        for each in others
    )


def smallest(slip: Slip) -> Slip:
    """Return a slip about a set of people with as few of them as lead to its result.

    Whoever was asked about is remembered first.
    """
    if slip.case is None or size(slip.chosen) < 2:
        return slip
    asked = asked_about(slip.case.questions[0])
    start = replace(slip.asked, questions=slip.case.questions)
    many = prod(number + 1 for _, number in slip.chosen) > _MOST_TRIED

    def order(chosen: Chosen) -> tuple[int, int]:
        return size(chosen), len({*asked} & {id for id, _ in chosen})

    while True:
        fewer = one_less(slip.chosen) if many else smaller(slip.chosen)
        found = (_of(slip.name, start, chosen) for chosen in sorted(fewer, key=order))
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
    if slip.name == "ignored_healthy_relatives" or (part and slip.name in _FELT):
        return all(abs(value - right) <= right * _SLIGHT for value, right in pairs)
    # To pass an allele on, or one half more, makes a chance smaller and never larger.
    return slip.name in _LARGER and len(pairs) == 1 and slip.result < true


def _all(case: Case, true: Chances) -> Iterator[Slip]:
    for name in NAMES:
        if name == "complement":
            if len(true) == 1:
                yield Slip(name, (1 - true[0],), case)
        elif name == "percent_sign" and len(true) == 1:
            yield from (Slip(name, (value,), case) for value in (true[0] * 100, true[0] / 100))
        found: list[tuple[Slip, bool]] = []
        if name in SETS:
            made = ((_of(name, case, each), part) for each, part in SETS[name].chosen(case))
            found += [(slip, part) for slip, part in made if slip]
        if name in CHANGES:
            made = (
                (_solved(Slip(name, (), case, changed, people)), False)
                for changed, people in CHANGES[name](case)
                if changed != case
            )
            found += [(slip, part) for slip, part in made if slip]
        if name in READINGS:
            # What is read off may be a chance of what cannot be: no child of theirs is born.
            with suppress(RiskError):
                found += [(Slip(name, result, case), False) for result in READINGS[name](case)]
        yield from (slip for slip, part in found if not _unlikely(slip, true, part))


def _of(name: str, case: Case, chosen: Chosen) -> Slip | None:
    """Return a slip made of the people chosen; None where it changes nothing or cannot be."""
    changed = SETS[name].made(case, chosen)
    people = tuple(id for id, _ in chosen)
    if changed == case:
        return None
    return _solved(Slip(name, (), case, changed, people, chosen, splits(case, SETS[name], chosen)))


def _solved(slip: Slip) -> Slip | None:
    assert slip.case is not None
    try:
        return replace(slip, result=chances(answers(slip.case)[0]))
    except RiskError:
        # What contradicts itself is no case that anybody could have solved by mistake.
        return None
