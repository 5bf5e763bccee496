"""The slips about tests: left out, taken for proof, or read the wrong way round."""

from __future__ import annotations

from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.model import ByAlleles, Case, Person, ResultLikelihood, Test, TestResult
from risk.genetics.penetrance import phenotype_likelihood
from risk.model.locus import age_value
from risk.number import quantity
from risk.teaching.slip_kin import changed_people, having
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import who
from risk.teaching.slip_sets import Ids, SetSlip, one_or_all, size
from risk.wording.phrases import joined


def _tested(case: Case) -> Ids:
    return tuple(person.id for person in case.people if person.tests)


def _without_tests(slip: Slip) -> str:
    tested = sum(person.count or 1 for person in slip.asked.people if person.tests)
    of = f" of {who(slip)}" if size(slip.chosen) < tested else ""
    return (
        f"This is the answer without the test results{of}. A result, good or bad, changes the odds."
    )


# --- taken for proof ----------------------------------------------------------------------


def _negative(case: Case) -> Ids:
    """Return who has a negative test result, or one that found nothing."""
    return tuple(
        person.id
        for person in case.people
        if any(each.result == "negative" or each.found == 0 for each in person.tests)
    )


def _excluded(case: Case) -> Ids:
    return tuple(id for id in _negative(case) if not case.person(id).genotype)


def _perfect_tests(case: Case) -> Changed:
    ids = _negative(case)
    if not ids:
        return
    tests = tuple(
        test if test.sensitivity is None else replace(test, sensitivity=quantity("1"))
        for test in case.condition.tests or ()
    )
    yield replace(case, condition=replace(case.condition, tests=tests)), ids


def _negative_for_proof(slip: Slip) -> str:
    takes = "tests" if len(slip.people) > 1 else "test"
    return (
        f"This takes the negative {takes} of {who(slip)} to exclude the disease allele. A test "
        "that misses some who have it leaves a chance."
    )


def _negative_of_fallible(case: Case) -> Ids:
    """Return who has a negative result of a test that is positive in some without the allele."""
    return tuple(
        person.id
        for person in case.people
        if any(each.result == "negative" and _may_err(case, each.test) for each in person.tests)
    )


def _with_specific_tests(case: Case) -> Case:
    """Return the case with another test for each, always negative without the allele."""
    tests = case.condition.tests or ()
    more = [
        replace(test, name=_specific(test.name), specificity=quantity("1"))
        for test in tests
        if test.specificity is not None
    ]
    return replace(case, condition=replace(case.condition, tests=(*tests, *more)))


def _specific(test: str) -> str:
    return f"{test} specific\n"  # no test of a file has a line break in its name


def _negative_in_specific(person: Person) -> Person:
    results = [
        replace(each, test=_specific(each.test)) if each.result == "negative" else each
        for each in person.tests
    ]
    return replace(person, tests=tuple(results))


def _all_negative(slip: Slip) -> str:
    case = slip.asked
    taken = {
        each.test
        for id in slip.people
        for each in case.person(id).tests
        if each.result == "negative" and _may_err(case, each.test)
    }
    shares = [f"{test.specificity}" for test in case.condition.tests or () if test.name in taken]
    negative = "negative test" if len(slip.people) == 1 else "negative tests"
    return (
        "This takes everyone without the disease allele to test negative; only "
        f"{joined(list(dict.fromkeys(shares)))} of them do, which counts in the {negative} of "
        f"{who(slip)}."
    )


def _positive(case: Case) -> Ids:
    """Return who has a positive result of a test that may err, and is not affected."""
    return tuple(
        person.id
        for person in case.people
        if person.genotype is None
        and not person.affected
        and any(each.result == "positive" and _may_err(case, each.test) for each in person.tests)
    )


def _may_err(case: Case, name: str) -> bool:
    tests = case.condition.tests or ()
    return any(
        test.name == name and test.specificity is not None and test.specificity.value < 1
        for test in tests
    )


def _positive_for_proof(slip: Slip) -> str:
    one = size(slip.chosen) == 1
    return (
        f"This takes the positive {'test' if one else 'tests'} of {who(slip)} for proof of the "
        "disease allele. A test that is positive in some who do not have it leaves a chance that "
        "it errs."
    )


# --- the wrong way round ------------------------------------------------------------------


def _likelihood_upside_down(case: Case) -> Changed:
    """Yield the case in which being well counts as being affected would, and the test as found.

    Only of those at risk, of whom a share is seen to be well; whoever is never affected stays so.
    """
    condition, question = case.condition, case.questions[0]
    if question.ask == "will_be_affected":
        return
    for id in asked_about(question):
        person = case.person(id)
        if person.affected is not False:
            continue
        if condition.frequency.mutation_selection_balance is not None and person.sex == "male":
            continue  # a father of unknown phenotype would count as one more fact
        seen = phenotype_likelihood(condition, person.sex, False, age_value(person.age))
        if seen[0] != 1 or all(chance in (0, 1) for chance in seen):
            continue
        turned = [chance if chance in (0, 1) else 1 - chance for chance in seen]
        numbers = [quantity(str(chance)) for chance in (*turned, turned[-1])[:3]]
        test = Test(f"{id} turned\n", likelihood=(ResultLikelihood("seen", ByAlleles(*numbers)),))
        results = (*person.tests, TestResult(test.name, result="seen"))
        other = replace(person, affected=None, tests=results)
        tests = (*(condition.tests or ()), test)
        changed = changed_people(case, (id,), lambda _, put=other: put)  # type: ignore[misc]
        yield replace(changed, condition=replace(condition, tests=tests)), (id,)
    for test in condition.tests or ():
        who = [(p.id, r) for p in case.people for r in p.tests if r.test == test.name]
        if test.sensitivity is None or any(result.result != "negative" for _, result in who):
            continue
        other_test = replace(test, sensitivity=quantity(str(1 - test.sensitivity.value)))
        tests = tuple(other_test if each == test else each for each in condition.tests or ())
        ids = tuple(dict.fromkeys(id for id, _ in who))
        yield replace(case, condition=replace(condition, tests=tests)), ids


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


KINDS = (
    SlipKind(
        name="ignored_tests",
        short="forgot the test results",
        words=_without_tests,
        sets=SetSlip(lambda person: replace(person, tests=()), _tested),
        forgets=("tests",),
        to_certainty=True,
        felt="in part",
    ),
    SlipKind(
        name="perfect_tests",
        short="took a negative test for proof",
        words=_negative_for_proof,
        sets=SetSlip(having(0), _excluded),
        changes=_perfect_tests,
        forgets=("tests",),
        to_certainty=True,
        felt="in part",
    ),
    SlipKind(
        name="positive_is_proof",
        short="took a positive test for proof",
        words=_positive_for_proof,
        sets=SetSlip(having(1), _positive),
        forgets=("tests",),
        to_certainty=True,
        likely=1,
    ),
    SlipKind(
        name="perfect_specificity",
        short="took everyone without the allele to test negative",
        words=_all_negative,
        sets=SetSlip(
            _negative_in_specific, _negative_of_fallible, one_or_all, ready=_with_specific_tests
        ),
        parts_at="fact",
        forgets=("tests",),
    ),
    SlipKind(
        name="likelihood_upside_down",
        short="counted the chance of the opposite of what is seen",
        words=_upside_down,
        changes=_likelihood_upside_down,
    ),
)
