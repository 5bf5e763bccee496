"""What is said to a student about each slip: which case was solved, and what was left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.kin import descendants_of
from risk.case.model import Case, Question
from risk.genetics.penetrance import phenotype_likelihood
from risk.number import Quantity
from risk.teaching.slip_kin import (
    affected_sibling,
    common_ancestors,
    healthy_siblings_above,
    twins_in_doubt,
)
from risk.teaching.slip_left_out import (
    beside_half_of_two_thirds,
    beside_the_affected,
    beside_the_half,
    tests_alone,
)
from risk.teaching.slip_penetrance import full_penetrance, penetrance_forgotten
from risk.teaching.slip_people import SETS, bare, kinds, size
from risk.teaching.slip_plain import PLAIN
from risk.teaching.slips import Slip
from risk.wording.phrases import joined, number_word


def said(slip: Slip) -> str:
    """Return two sentences: what the answer leaves out, and what to think of instead."""
    return PLAIN[slip.name] if slip.name in PLAIN else _TOLD[slip.name](slip)


def related(case: Case, question: Question, *, by_descent: bool) -> str:
    """Say that the chances of two relatives cannot be multiplied, and what to do instead.

    That may be to count `by_descent`, with the coefficient F.
    """
    other = (
        " Or tell the children both of whose copies descend from one copy of an ancestor's, a "
        "share F, from the others."
    )
    return (
        f"{_names(asked_about(question), case)} are related, so that their chances cannot be "
        "multiplied: write one table for the pairs of genotypes of the two, from their common "
        f"ancestors down.{other if by_descent else ''}"
    )


def _are(slip: Slip) -> str:
    return "are" if size(slip.chosen) > 1 else "is"


def _unaffected(slip: Slip) -> str:
    return (
        f"This is the answer without the fact that {who(slip)} {_are(slip)} unaffected. Being well "
        "is evidence too: it makes the genotypes that would have shown less likely."
    )


def _healthy_children(slip: Slip) -> str:
    case = slip.asked
    assert slip.case is not None
    entire = [id for id, number in slip.chosen if number == (case.person(id).count or 1)]
    tested = tests_alone(slip.case, case, entire)
    rest = tuple(pair for pair in slip.chosen if pair[0] not in tested)
    well = replace(slip, chosen=rest, people=tuple(id for id, _ in rest))
    without = [_test_results(tested, case)] if tested else []
    without += [f"{who(well)}, who {_are(well)} healthy"] if rest else []
    more = (
        " A healthy child says something about its parents too, though less than an affected one."
        if rest
        else " What a child's test says counts for its parents, too."
    )
    return f"This is the answer without {', and without '.join(without)}.{more}"


def _test_results(ids: tuple[str, ...], case: Case) -> str:
    several = sum(len(case.person(id).tests) for id in ids) > 1
    return f"the test {'results' if several else 'result'} of {_names(ids, case)}"


def _healthy_relatives(slip: Slip) -> str:
    return f"This is the answer without the fact that {who(slip)} {_are(slip)} unaffected. " + (
        "Being well counts, in whoever is asked about and in relatives too."
        if set(slip.people) & set(asked_about(slip.asked.questions[0]))
        else "A relative's being well counts too, and as a rule more, the closer the relative."
    )


def _tests(slip: Slip) -> str:
    tested = sum(person.count or 1 for person in slip.asked.people if person.tests)
    of = f" of {who(slip)}" if size(slip.chosen) < tested else ""
    return (
        f"This is the answer without the test results{of}. A result, good or bad, changes the odds."
    )


def _perfect_tests(slip: Slip) -> str:
    takes = "tests" if len(slip.people) > 1 else "test"
    return (
        f"This takes the negative {takes} of {who(slip)} to exclude the disease allele. A test "
        "that misses some who have it leaves a chance."
    )


def _positive(slip: Slip) -> str:
    one = size(slip.chosen) == 1
    return (
        f"This takes the positive {'test' if one else 'tests'} of {who(slip)} for proof of the "
        "disease allele. A test that is positive in some who do not have it leaves a chance that "
        "it errs."
    )


def _partner_certain(slip: Slip) -> str:
    case = slip.asked
    carrier = case.condition.recessive and all(
        case.condition.copies(case.person(id).sex) == 2 for id in slip.people
    )
    one = len(slip.people) == 1
    be = ("be a carrier" if one else "be carriers") if carrier else "have the disease allele"
    known = _before(slip)
    return (
        f"This takes {who(slip)} to {be} for sure. "
        f"{'What is known does not make that certain' if known else 'Nothing says so'}: for "
        f"someone without a family history the chance is that of the population{known}."
    )


def _partner_ignored(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to carry nothing. Someone without a family history can still have "
        f"the allele: the chance is that of the population{_before(slip)}."
    )


def _married_in(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to carry nothing. Whoever marries in can have the allele too, and "
        f"pass it on: the chance is that of the population{_before(slip)}."
    )


def _before(slip: Slip) -> str:
    """Return what the chance of the population is still to be changed by, or ""."""
    case = slip.asked
    tests = any(case.person(id).tests for id in slip.people)
    below = {each for id in slip.people for each in descendants_of(case, id)}
    children = any(case.person(id) != bare(case.person(id)) for id in below)
    what = ["test results"] if tests else []
    what += ["what is known of descendants"] if children else []
    return f", before {joined(what)} {'are' if tests else 'is'} counted" if what else ""


def _parents(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to have one copy for certain. Whether they are affected is not "
        "known, so that other genotypes are possible, too."
    )


def _half(slip: Slip) -> str:
    rates = slip.asked.condition.mutation
    new = rates is not None and any(
        isinstance(rate, Quantity) and rate.value for rate in (rates.maternal, rates.paternal)
    )
    several = len(slip.people) > 1
    child = "healthy children" if several else "the healthy child"
    return (
        f"This takes {who(slip)}, as {child} of two carriers, to carry with chance 1/2"
        f"{' each' if several else ''}. Such a child is{', but for new mutation,' if new else ''} "
        "one of three equally likely kinds, two of which carry: the fourth would be affected."
    )


def _transmission(slip: Slip) -> str:
    if len(slip.people) > 1:
        return (
            f"This belongs to another question: how likely it is that {who(slip)} both carry. Each "
            "child still has to receive the allele, from both of them."
        )
    return (
        f"This belongs to another question: how likely it is that {who(slip)} has the allele. Each "
        "child still has to receive it."
    )


def _carriers(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to have the disease allele for certain. What is known does not "
        "make that certain: how likely it is comes first, and the rest is multiplied by it."
    )


def _affected_for_carrier(slip: Slip) -> str:
    many = len(slip.people) > 1
    return (
        f"This takes {who(slip)} for {'carriers' if many else 'a carrier'}. Whoever is affected "
        "has two copies of the allele, and passes one on to every child."
    )


def _exactly(slip: Slip) -> str:
    case = slip.asked
    if (least := case.questions[0].at_least) is not None:
        return (
            f"This belongs to a question about exactly {least}. Here {least} or more are meant: "
            "add the chances of more."
        )
    return (
        f"This belongs to a question about {case.questions[0].exactly} or more. Here just so many "
        "are meant."
    )


def _plain_half(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    if all_copies := _without_normal_copy(asked, case):
        return (
            "This is the half with which a parent passes on one copy of two. "
            f"{_is_no_such(all_copies, case)}"
        )
    return (
        "This is the half with which a parent who has one copy passes it on, and no more. "
        f"{beside_the_half(case, asked[0])}"
    )


def _two_thirds(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    alone = tuple([id for id in asked if not affected_sibling(case, case.person(id))])
    if all_copies := _without_normal_copy(alone, case):
        return (
            f"This is the 2/3 of a healthy child of two carriers. {_is_no_such(all_copies, case)}"
        )
    return (
        "This is the 2/3 of a healthy child of two carriers, which is for whoever has an affected "
        f"brother or sister. Here no brother or sister of {_names(alone, case)} is known to be: "
        "ask first how likely the parents are to be carriers."
    )


def _unrelated(slip: Slip) -> str:
    case = slip.asked
    asked = asked_about(case.questions[0])
    above = tuple(common_ancestors(case, *asked))
    one = above[0] if set(above) & {*asked} else None
    descend = (
        f"One descends from the other, {_names((one,), case)}"
        if one
        else f"Both descend from {_names(above, case)}"
    )
    return (
        f"This takes {_names(asked, case)} for unrelated, and multiplies their chances. {descend}, "
        "so that what one has the other is likelier to have, too."
    )


def _two_q(slip: Slip) -> str:
    nothing = f" It also takes {who(slip)} to carry nothing." if slip.people else ""
    women = " women" if slip.asked.condition.x_linked else ""
    return (
        "This takes 2q for the chance of being a carrier, which is a good approximation where the "
        f"allele is rare. Exactly it is 2q(1 - q) of all{women}, and of those without two copies "
        f"that divided by 1 - q².{nothing}"
    )


def _only_affected(slip: Slip) -> str:
    return beside_the_affected(slip.asked)


def _descent(slip: Slip) -> str:
    well = any(person.affected is False for person in slip.asked.people)
    return (
        "This is F × q: it counts the children both of whose copies descend from one copy of a "
        "common ancestor's. The others, a share 1 - F, can have two copies of the allele as well, "
        "as any child of unrelated parents."
        + (" And that some are known to be well counts, too." if well else "")
    )


def _still_well(slip: Slip) -> str:
    case = slip.asked
    question = case.questions[0]
    (asked,) = asked_about(question)
    by = f"by {question.by_age}" if question.by_age is not None else "ever"
    age = case.person(asked).age
    return (
        f"This counts all with the genotype who are affected {by}. {_names((asked,), case)} is "
        f"well at {age}, and so none of those affected before: of those who are still well at "
        f"{age} take the share who are affected {by}."
    )


def _half_of_two_thirds(slip: Slip) -> str:
    case = slip.asked
    (asked,) = asked_about(case.questions[0])
    return beside_half_of_two_thirds(case, asked, healthy_siblings_above(case)[0])


def _unaffected_counted(slip: Slip) -> str:
    said = (
        "This counts the children who are not affected: it multiplies the chance of being "
        "affected where that of not being so belongs, and the reverse."
    )
    if slip.asked.questions[0].at_least == 1:
        said += " The opposite of at least one affected child is that every child is unaffected."
    return said


def _without_normal_copy(ids: tuple[str, ...], case: Case) -> dict[str, str]:
    """Return the parents who, being affected, pass the allele on surely, each with the child."""
    condition = case.condition
    found = {}
    for child in map(case.person, ids):
        for id in (child.mother, child.father):
            parent = None if id is None else case.person(id)
            if parent is None or not parent.affected:
                continue
            if condition.x_linked and child.sex == parent.sex == "male":
                continue  # who has no X from his father
            seen = phenotype_likelihood(condition, parent.sex, True, None)
            if not any(seen[: condition.copies(parent.sex)]):
                found[parent.id] = child.id
    return found


def _is_no_such(all_copies: Mapping[str, str], case: Case) -> str:
    """Say that a parent is no carrier, without what follows from it."""
    parent, child = (_names((id,), case) for id in next(iter(all_copies.items())))
    return (
        f"{parent} is affected, though, and has no copy without the allele: ask what {child} gets "
        "from such a parent."
    )


def _upside_down(slip: Slip) -> str:
    case = slip.asked
    assert slip.case is not None
    if slip.case.people == case.people:
        negative = "test of {} is" if len(slip.people) == 1 else "tests of {} are"
        return (
            f"The {negative.format(who(slip))} negative, and this counts the share of those with "
            "the allele whom it finds. The share that it misses belongs there."
        )
    then = " by then" if case.condition.onset is not None else ""
    return (
        f"{who(slip)} is well, and this counts the share of those with the genotype who are "
        f"affected{then}. The share who are not belongs there."
    )


def _zygosity(slip: Slip) -> str:
    case = slip.asked
    twins = joined([_names(ids, case) for ids in twins_in_doubt(case)], ", or ")
    return (
        f"This leaves the chance that {twins} are identical as it was at first. What is known of "
        "the family changes how likely that is: give both possibilities a row, and weigh them by "
        "how well they explain what is seen."
    )


def _identical(slip: Slip) -> str:
    return (
        f"This takes {who(slip)} to be identical for sure. They may be, but need not be: weigh "
        "both possibilities by how well they explain what is known."
    )


def _ordinary_siblings(slip: Slip) -> str:
    doubt = any(set(ids) & set(slip.people) for ids in twins_in_doubt(slip.asked))
    return (
        f"This takes {who(slip)} for ordinary siblings. "
        + ("They may be identical twins, who" if doubt else "Identical twins")
        + " have one genotype, so that what tells of one's genotype tells of the other's."
    )


def _step(slip: Slip) -> str:
    case = slip.asked
    if not slip.people and not case.condition.recessive:
        return (
            "This leaves out that a parent with one copy of the allele passes it on half of the "
            "time."
        )
    if not slip.people:
        return (
            "This counts what one parent passes on. The child needs the allele from both: each "
            "passing-on has its own half."
        )
    child, parent = (_names((id,), case) for id in slip.people)
    return (
        f"This takes {child} to have the genotype of {parent}. A parent with one copy "
        "of the allele passes it on half of the time."
    )


def _child_sex(slip: Slip) -> str:
    assert slip.case is not None
    sex = slip.case.questions[0].sex
    if sex is None:
        return (
            "This belongs to a question about any child. Here it is said which sex it has, so that "
            "children of the other sex do not count."
        )
    other = "son" if sex == "male" else "daughter"
    return f"This belongs to a question about a {other}. Here a child of either sex is meant."


def who(slip: Slip) -> str:
    """Return the names of those whom a slip is about; of alike people how many, if not all."""
    case = slip.asked
    if not slip.chosen or len(slip.people) > _MOST_NAMED:
        return _names(slip.people, case)
    chosen = dict(slip.chosen)
    named = []
    for kind in kinds(case, SETS[slip.name].of(case)):
        ids = [id for id, _ in kind]
        number = sum(chosen.get(id, 0) for id in ids)
        if len(kind) == 1 and 0 < number < size(kind):
            name, many = _names((ids[0],), case), size(kind)
            named.append(f"{number_word(number)} of the {number_word(many)} siblings {name}")
        elif 0 < number < size(kind):
            named.append(f"{number_word(number)} of {joined([_all_of(case, id) for id in ids])}")
        else:
            named += [_all_of(case, id) for id in ids if number]
    return joined(named)


def _all_of(case: Case, id: str) -> str:
    person = case.person(id)
    name = person.name or id
    return f"{name} ({number_word(person.count)} siblings)" if person.count else name


#: More people than this are counted, not named.
_MOST_NAMED = 6


def _names(ids: tuple[str, ...], case: Case) -> str:
    if len(ids) > _MOST_NAMED:
        return f"{sum(case.person(id).count or 1 for id in ids)} people"
    return joined([case.person(id).name or id for id in ids])


#: What is said of each slip that is not the same in any case.
_TOLD: Mapping[str, Callable[[Slip], str]] = {
    "ignored_unaffected": _unaffected,
    "ignored_tests": _tests,
    "perfect_tests": _perfect_tests,
    "positive_is_proof": _positive,
    "partner_certain": _partner_certain,
    "partner_ignored": _partner_ignored,
    "transmission_forgotten": _transmission,
    "full_penetrance": full_penetrance,
    "ignored_healthy_children": _healthy_children,
    "ignored_healthy_relatives": _healthy_relatives,
    "half_for_two_thirds": _half,
    "married_in_ignored": _married_in,
    "parents_certain": _parents,
    "ignored_identical_twins": _ordinary_siblings,
    "twins_certain": _identical,
    "zygosity_kept": _zygosity,
    "step_forgotten": _step,
    "child_sex": _child_sex,
    "plain_half": _plain_half,
    "two_thirds": _two_thirds,
    "likelihood_upside_down": _upside_down,
    "carriers_certain": _carriers,
    "affected_for_carrier": _affected_for_carrier,
    "exactly_for_at_least": _exactly,
    "unaffected_counted": _unaffected_counted,
    "kinship_ignored": _unrelated,
    "only_by_descent": _descent,
    "onset_from_birth": _still_well,
    "half_of_two_thirds": _half_of_two_thirds,
    "two_q": _two_q,
    "only_affected": _only_affected,
    "penetrance_forgotten": penetrance_forgotten,
}
