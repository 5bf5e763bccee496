"""The slips about who of those with the genotype is affected, by which age, and is born alive."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from risk.case.edit import asked_about
from risk.case.kin import children_of
from risk.case.model import (
    ByAlleles,
    BySex,
    Case,
    Condition,
    Question,
    ResultLikelihood,
    Sex,
    Test,
    TestResult,
)
from risk.genetics.penetrance import (
    lifetime_penetrance,
    live_birth,
    phenotype_likelihood,
    share_by_age,
    viability_matters,
)
from risk.model.facts import facts_of
from risk.model.locus import age_value
from risk.number import quantity
from risk.teaching.slip_answers import Chances, with_question
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import names
from risk.teaching.slip_working import working_of

# --- penetrance ---------------------------------------------------------------------------


def _full_penetrance(case: Case) -> Changed:
    condition = case.condition
    if condition.penetrance is None:
        return
    full = replace(condition, penetrance=None)
    yield replace(case, condition=full), ()
    if condition.onset is not None:
        yield _ageless(replace(case, condition=full)), ()
    phenocopies = _risen(condition.penetrance, condition.recessive)
    yield replace(case, condition=replace(condition, penetrance=phenocopies)), ()


def _risen(table: ByAlleles | BySex, recessive: bool) -> ByAlleles | BySex:
    """Return the table with 1 for those at risk, and whatever it says of the others."""
    if isinstance(table, BySex):
        return BySex(_all_affected(table.female, recessive), _all_affected(table.male, recessive))
    return _all_affected(table, recessive)


def _all_affected(table: ByAlleles, recessive: bool) -> ByAlleles:
    sure = quantity("1")
    if table.two is None:
        return replace(table, one=sure)
    return replace(table, one=table.one if recessive else sure, two=sure)


def _without_exceptions(slip: Slip) -> str:
    """Say what full penetrance leaves out, of that which the slip does leave out."""
    case = slip.asked
    assert slip.case is not None
    everything = slip.case.condition.penetrance is None
    said = []
    if _reduced(case):
        said.append(
            "This takes everyone with the genotype to be affected sooner or later. Here some never "
            f"are{_weaker(case, affected=False) or ': multiply by the share who are'}."
        )
    if everything and _carriers_affected(case):
        said.append(f"This takes carriers never to be affected. {_so_many_carriers(case)}")
    if everything and _phenocopies(case):
        said.append(
            "This takes nobody to be affected but those with the genotype. Here others are, too"
            f"{_weaker(case, affected=True) or ': add their share'}."
        )
    return " ".join(said)


def _weaker(case: Case, *, affected: bool) -> str:
    """Return that somebody's being affected, or well, tells less, where it tells anything."""
    idle = working_of(case).no_difference
    counts = any(
        fact.evidence.kind == "affected"
        and case.person(fact.person).affected is affected
        and fact.path not in idle
        for fact in facts_of(case)
    )
    seen = "affected" if affected else "well"
    return f", so that being {seen} is weaker evidence" if counts else ""


def _so_many_carriers(case: Case) -> str:
    shares = {table.one for table in _two_copies(case)}
    if len(shares) > 1 or case.condition.onset is not None:
        return "Here some of them are, so that a carrier's being well is evidence, too."
    (share,) = shares
    child = f"a carrier {'daughter' if case.condition.x_linked else 'child'} counts {share}"
    well = f"a carrier's being well counts {1 - share.value}"
    asks_child = case.questions[0].parents is not None
    return f"Here {share} of them are, so that {f'{child}, and {well}' if asks_child else well}."


def _penetrance_forgotten(case: Case) -> Changed:
    """Yield the case in which whoever is asked about falls ill with every genotype at risk.

    What the phenotypes of the others say stays: as results with the same likelihoods.
    """
    condition, question = case.condition, case.questions[0]
    if question.ask not in ("will_be_affected", "child_affected", "children_affected"):
        return
    if question.person is not None and case.person(question.person).affected:
        return
    if condition.penetrance is None and condition.onset is None:
        return
    seen = _as_results(case, ("affected",))
    if seen is not None:
        full = replace(seen.condition, penetrance=None, onset=None)
        yield replace(seen, condition=full), asked_about(question)


def _as_results(case: Case, kinds: tuple[str, ...]) -> Case | None:
    """Return the case with the phenotypes, and live births, of all as results of tests.

    Each result has the chance of what is seen, whatever the condition is changed to.  None where
    that would bring in another fact.
    """
    condition = case.condition
    tests, people = list(condition.tests or ()), {person.id: person for person in case.people}
    for fact in facts_of(case):
        if fact.evidence.kind not in kinds:
            continue
        person, of = people[fact.person], case.person(fact.person)
        if fact.evidence.kind == "born":
            chances = live_birth(condition, of.sex)
        else:
            assert of.affected is not None
            if condition.frequency.mutation_selection_balance is not None and (
                of.sex == "male" and children_of(case, of.id)
            ):
                return None  # a father of unknown phenotype would count as one more fact
            chances = phenotype_likelihood(condition, of.sex, of.affected, age_value(of.age))
            person = replace(person, affected=None)
        numbers = [quantity(str(chance)) for chance in (*chances, chances[-1])[:3]]
        name = f"{fact.path}\n"  # no test of a file has a line break in its name
        tests.append(Test(name, likelihood=(ResultLikelihood("seen", ByAlleles(*numbers)),)))
        results = (*person.tests, TestResult(name, result="seen"))
        people[person.id] = replace(person, tests=results)
    changed = replace(case, people=tuple(people.values()))
    return replace(changed, condition=replace(condition, tests=tuple(tests) or None))


def _from_genotype_to_affected(slip: Slip) -> str:
    """Say what belongs between having the genotype and being affected."""
    case = slip.asked
    left = [
        "Not everyone who has it is affected, or not by then: multiply by the share who are."
        if _reduced(case) or case.condition.onset is not None
        else "",
        "Some carriers are affected, too: add their share." if _carriers_affected(case) else "",
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
        _values(_all_affected(table, case.condition.recessive)) != _values(table)
        for table in _tables(case)
    )


def _values(table: ByAlleles) -> list[Fraction]:
    numbers = (table.zero, table.one, table.two)
    return [number.value for number in numbers if number is not None]


def _phenocopies(case: Case) -> bool:
    """Tell whether somebody without the disease allele can be affected."""
    return any(table.zero.value for table in _tables(case))


def _carriers_affected(case: Case) -> bool:
    """Tell whether one copy of a recessive allele can be enough, beside one without it."""
    return case.condition.recessive and any(table.one.value for table in _two_copies(case))


def _two_copies(case: Case) -> list[ByAlleles]:
    return [table for table in _tables(case) if table.two is not None]


# --- age ----------------------------------------------------------------------------------


def _ignored_age(case: Case) -> Changed:
    if case.condition.onset is None:
        return
    yield _ageless(case), ()
    if case.condition.penetrance is not None:
        yield _ageless(replace(case, condition=replace(case.condition, penetrance=None))), ()


def _ageless(case: Case) -> Case:
    return replace(case, condition=replace(case.condition, onset=None))


def _ignored_by_age(case: Case) -> Changed:
    yield replace(case, questions=(replace(case.questions[0], by_age=None),)), ()


def _onset_from_birth(case: Case) -> Iterator[Chances]:
    """Yield the chance of ever having been affected by an age, of somebody who is still well."""
    question, condition = case.questions[0], case.condition
    if question.ask != "will_be_affected" or question.person is None:
        return
    person = case.person(question.person)
    if condition.onset is None or person.affected is not False or person.age is None:
        return
    numbers = with_question(case, Question("genotype", person=person.id))
    share = share_by_age(condition.onset, age_value(question.by_age))
    ever = lifetime_penetrance(condition, person.sex)
    parts = (number * chance * share for number, chance in zip(numbers, ever, strict=False))
    yield (sum(parts, Fraction(0)),)


def _still_well(slip: Slip) -> str:
    case = slip.asked
    question = case.questions[0]
    (asked,) = asked_about(question)
    by = f"by {question.by_age}" if question.by_age is not None else "ever"
    age = case.person(asked).age
    return (
        f"This counts all with the genotype who are affected {by}. {names((asked,), case)} is "
        f"well at {age}, and so none of those affected before: of those who are still well at "
        f"{age} take the share who are affected {by}."
    )


# --- live birth ---------------------------------------------------------------------------


def _ignored_viability(case: Case) -> Changed:
    yield replace(case, condition=replace(case.condition, viability=None)), ()


def _births_not_divided(case: Case) -> Changed:
    """Yield the case in which a child who is not born alive counts as one who is not affected."""
    condition, question = case.condition, case.questions[0]
    if question.ask not in ("child_affected", "children_affected"):
        return
    seen = _as_results(case, ("affected", "born")) if viability_matters(condition) else None
    if seen is not None:
        both = BySex(_affected_and_born(condition, "female"), _affected_and_born(condition, "male"))
        yield replace(seen, condition=replace(seen.condition, viability=None, penetrance=both)), ()


def _affected_and_born(condition: Condition, sex: Sex) -> ByAlleles:
    pairs = zip(lifetime_penetrance(condition, sex), live_birth(condition, sex), strict=False)
    numbers = [quantity(str(ill * born)) for ill, born in pairs]
    return ByAlleles(*numbers[: condition.copies(sex) + 1])


KINDS = (
    SlipKind(
        name="full_penetrance",
        short="took the penetrance to be full",
        words=_without_exceptions,
        changes=_full_penetrance,
        to_certainty=True,
    ),
    SlipKind(
        name="penetrance_forgotten",
        short="took having the genotype for being affected",
        words=_from_genotype_to_affected,
        changes=_penetrance_forgotten,
        parts_at="passed on",
    ),
    SlipKind(
        name="ignored_age",
        short="forgot the age of onset",
        words=(
            "This leaves the age of onset out. Someone who is well but young may still "
            "become affected."
        ),
        changes=_ignored_age,
        to_certainty=True,
    ),
    SlipKind(
        name="ignored_by_age",
        short="took being affected ever for being affected by an age",
        words=(
            "This belongs to a question about ever being affected. Here an age is meant, and by "
            "then only a share are affected."
        ),
        changes=_ignored_by_age,
    ),
    SlipKind(
        name="onset_from_birth",
        short="took the share of all for that of those still well",
        words=_still_well,
        reads=_onset_from_birth,
        parts_at="passed on",
    ),
    SlipKind(
        name="ignored_viability",
        short="forgot that some genotypes are not always born alive",
        words=(
            "This counts every conception. Here some genotypes are not always born alive, and "
            "whoever is asked about is live-born: leave out the share that is lost, and divide "
            "by what remains."
        ),
        changes=_ignored_viability,
    ),
    SlipKind(
        name="births_not_divided",
        short="did not divide by the share born alive",
        words=(
            "This is the share of all who are conceived. The question is about children born "
            "alive: divide by the share who are."
        ),
        changes=_births_not_divided,
        parts_at="passed on",
    ),
)
