"""The slips that leave out what is known of people: that they are well, or all of it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

from risk.case.edit import asked_about, lone_twins, without
from risk.case.kin import ancestors, descendants_of
from risk.case.model import Case
from risk.genetics.penetrance import viability_matters
from risk.model.facts import facts_of
from risk.teaching.slip_answers import with_question
from risk.teaching.slip_kin import bare, below, changed_people, healthy, not_known
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import are, names, who
from risk.teaching.slip_sets import Chosen, Ids, SetSlip, one_or_all, some, whole
from risk.teaching.slip_working import working_of
from risk.wording.phrases import joined

#: More people than this are not named.
_MOST_NAMED = 6


# --- of those asked about -----------------------------------------------------------------


def _unaffected(case: Case) -> Ids:
    return tuple(id for id in asked_about(case.questions[0]) if case.person(id).affected is False)


def _without_being_well(slip: Slip) -> str:
    return (
        f"This is the answer without the fact that {who(slip)} {are(slip)} unaffected. Being well "
        "is evidence too: it makes the genotypes that would have shown less likely."
    )


# --- of their descendants -----------------------------------------------------------------


def _ignored_children(case: Case) -> Changed:
    ids = below(case)
    if not ids:
        return
    unknown = changed_people(case, ids, bare)
    yield unknown, ids
    balance = case.condition.frequency.mutation_selection_balance
    if viability_matters(case.condition) or balance is not None:
        # To have been born, or to have had children, is a fact that goes with the person.
        # Those through whom one asked about descends from another stay, without their facts.
        asked = set(asked_about(case.questions[0]))
        gone = {id for id in ids if not set(descendants_of(case, id)) & asked}
        yield lone_twins(without(unknown, gone)), ids


def _healthy_children(case: Case) -> Ids:
    return healthy(case, below(case))


def _beside_others(case: Case, ids: Ids) -> list[Chosen]:
    """Return sets of healthy descendants; all of them only if something is known of others, too.

    Otherwise to forget all of them is to forget the children.
    """
    found = some(case, ids)
    others = set(below(case)) - set(ids)
    known = any(case.person(id) != bare(case.person(id)) for id in others)
    return found if known else found[:-1]


def _without_children(slip: Slip) -> str:
    case = slip.asked
    assert slip.case is not None
    entire = [id for id, number in slip.chosen if number == (case.person(id).count or 1)]
    tested = _tests_alone(slip.case, case, entire)
    rest = tuple(pair for pair in slip.chosen if pair[0] not in tested)
    well = replace(slip, chosen=rest, people=tuple(id for id, _ in rest))
    left = [_test_results(tested, case)] if tested else []
    left += [f"{who(well)}, who {are(well)} healthy"] if rest else []
    more = (
        " A healthy child says something about its parents too, though less than an affected one."
        if rest
        else " What a child's test says counts for its parents, too."
    )
    return f"This is the answer without {', and without '.join(left)}.{more}"


def _tests_alone(changed: Case, case: Case, ids: Collection[str]) -> tuple[str, ...]:
    """Return those of whom `changed` lacks test results that count, and nothing else that does.

    In `case` they are known to be well, which makes no difference to the answer.
    """
    (question,) = changed.questions
    result = with_question(changed, question)
    found = []
    for id in ids:
        if not case.person(id).tests:
            continue
        well = changed_people(changed, (id,), lambda person: replace(person, affected=False))
        if with_question(well, question) == result:
            changed = well
            found.append(id)
    return tuple(found)


def _test_results(ids: tuple[str, ...], case: Case) -> str:
    several = sum(len(case.person(id).tests) for id in ids) > 1
    return f"the test {'results' if several else 'result'} of {names(ids, case)}"


# --- of relatives -------------------------------------------------------------------------


def _healthy_relatives(case: Case) -> Ids:
    asked = asked_about(case.questions[0])
    line = ancestors(case, asked)
    side = {each for one in line for each in descendants_of(case, one)}
    return healthy(case, {*line, *side, *asked, *below(case)})


def _beside_and_above(case: Case, ids: Ids) -> Iterator[Chosen]:
    """Yield relatives in the line of descent or beside it, and some of those beside it."""
    asked = asked_about(case.questions[0])
    line = set(ancestors(case, asked))
    side = set(ids) - {*asked, *line, *below(case)}
    groups: list[Ids] = [(id,) for id in ids if id in line]
    groups += [healthy(case, each) for each in (line, side, {*line, *asked}, {*line, *side})]
    for each in dict.fromkeys((*groups, ids)):
        if not set(each) <= set(asked):
            yield whole(case, each)
    yield from some(case, healthy(case, side))


def _without_relatives(slip: Slip) -> str:
    return f"This is the answer without the fact that {who(slip)} {are(slip)} unaffected. " + (
        "Being well counts, in whoever is asked about and in relatives too."
        if set(slip.people) & set(asked_about(slip.asked.questions[0]))
        else "A relative's being well counts too, and as a rule more, the closer the relative."
    )


# --- of all who are not affected ----------------------------------------------------------


def _only_affected(case: Case) -> Changed:
    """Yield the case in which it is known who is affected, and what genotypes are certain."""
    if not any(person.affected for person in case.people):
        return
    everyone = [person.id for person in case.people]
    changed = changed_people(
        case, everyone, lambda person: replace(person, affected=person.affected or None, tests=())
    )
    yield changed, ()


def _beside_the_affected(slip: Slip) -> str:
    """Say what else counts where a student counted who is affected, and nothing else."""
    case = slip.asked
    (asked,) = case.questions
    ill = [person for person in case.people if person.affected]
    isolated = (
        case.condition.x_linked
        and case.condition.frequency.mutation_selection_balance is not None
        and [person.mother for person in ill] == [asked.person]
    )
    given = "of the mother of an isolated case" if isolated else "given who is affected"
    known = [person.name or person.id for person in case.people if _counts_besides(case, person.id)]
    of = f" of {joined(known)}" if 0 < len(known) <= _MOST_NAMED else ""
    return f"This is the chance {given}, and no more. What else is known{of} counts, too."


def _prior_alone(case: Case) -> Changed:
    """Yield the case in which nothing is known of one person asked about, and of descendants."""
    question = case.questions[0]
    if question.person is None or case.person(question.person).affected:
        return
    ids = (question.person, *below(case))
    yield changed_people(case, ids, bare), ids


def _before_what_is_known(slip: Slip) -> str:
    case = slip.asked
    known = [case.person(id).name or id for id in slip.people if _counts_besides(case, id)]
    of = f" of {joined(known)}" if 0 < len(known) <= _MOST_NAMED else ""
    return (
        f"This is the chance of {names(slip.people[:1], case)} from the family above alone. What "
        f"is known{of} counts, too."
    )


def _counts_besides(case: Case, id: str) -> bool:
    """Tell whether somebody is known to be well, or has a test result, and that counts."""
    kinds = ("tests",) if case.person(id).affected else ("affected", "tests")
    idle = working_of(case).no_difference
    return any(
        fact.person == id and fact.evidence.kind in kinds and fact.path not in idle
        for fact in facts_of(case)
    )


KINDS = (
    SlipKind(
        name="ignored_unaffected",
        short="forgot that someone asked about is unaffected",
        words=_without_being_well,
        sets=SetSlip(not_known, _unaffected, one_or_all),
        forgets=("affected",),
        to_certainty=True,
    ),
    SlipKind(
        name="ignored_children",
        short="forgot the children and what is known of them",
        words=(
            "This is the answer without what is known of the children and their descendants. How a "
            "child turned out, one way or the other, can say something about its parents."
        ),
        changes=_ignored_children,
        forgets=("affected", "genotype", "tests", "born"),
        to_certainty=True,
    ),
    SlipKind(
        name="ignored_healthy_children",
        short="forgot the healthy children alone",
        words=_without_children,
        sets=SetSlip(bare, _healthy_children, _beside_others),
        forgets=("affected", "genotype", "tests", "born"),
        part_of=("ignored_children",),
        felt="in part",
    ),
    SlipKind(
        name="ignored_healthy_relatives",
        short="forgot that relatives are unaffected",
        words=_without_relatives,
        sets=SetSlip(not_known, _healthy_relatives, _beside_and_above),
        forgets=("affected",),
        includes=("ignored_unaffected", "ignored_healthy_children"),
        part_of=("ignored_children",),
        felt="always",
    ),
    SlipKind(
        name="prior_alone",
        short="counted nothing of whoever is asked about, and of the children",
        words=_before_what_is_known,
        changes=_prior_alone,
        forgets=("affected", "genotype", "tests", "born"),
        last=True,
    ),
    SlipKind(
        name="only_affected",
        short="counted who is affected, and nothing else",
        words=_beside_the_affected,
        changes=_only_affected,
        last=True,
    ),
)
