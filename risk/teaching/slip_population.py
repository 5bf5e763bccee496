"""The slips about where the allele comes from: the population, new mutation, germline mosaicism."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from risk.case.kin import descendants_of
from risk.case.model import (
    ByAlleles,
    Case,
    Condition,
    Frequency,
    Mutation,
    Question,
    ResultLikelihood,
    SelectionBalance,
    Test,
    TestResult,
)
from risk.genetics.founders import allele_frequency
from risk.inference.arithmetic import Term
from risk.model.facts import facts_of
from risk.number import quantity
from risk.teaching.slip_answers import Chances, with_question
from risk.teaching.slip_kin import bare, changed_people, married_in, partners_without_history
from risk.teaching.slip_kind import Changed, Slip, SlipKind
from risk.teaching.slip_names import names, who
from risk.wording.phrases import joined

_BY_MUTATION = "An allele can be new in whoever has it, and then the parents need not have it."
_BY_MOSAICISM = (
    "A parent without the allele elsewhere may have it in some eggs or sperm, so that an affected "
    "child does not prove that a parent has it."
)


def why_possible(condition: Condition) -> str:
    """Say by which way, easily forgotten, somebody can have an allele nobody is known to have."""
    if condition.germline_mosaicism is not None:
        return _BY_MOSAICISM
    return _BY_MUTATION if condition.mutation is not None else ""


# --- the population -----------------------------------------------------------------------


def _allele_for_carrier(case: Case) -> Changed:
    condition = case.condition
    if not condition.recessive or condition.frequency.mutation_selection_balance is not None:
        return
    q = allele_frequency(condition)
    if isinstance(q, Term) or not q:
        return
    text = str(q) if isinstance(q, Fraction) else f"{q:.17g}"
    frequency = Frequency(carrier=quantity(text))
    yield replace(case, condition=replace(condition, frequency=frequency)), ()


#: What a founder has who is taken for a carrier or not, and for nothing else.
_ONE_AT_MOST = Test(
    "one copy at most\n",  # no test of a file has a line break in its name
    likelihood=(ResultLikelihood("yes", ByAlleles(quantity("1"), quantity("1"), quantity("0"))),),
)


def _two_q(case: Case) -> Changed:
    """Yield the case in which a founder carries with 2q, and has no two copies of the allele.

    That is also done where whoever marries in above those asked about is taken to carry nothing.
    """
    condition = case.condition
    given = condition.frequency.incidence is not None or condition.frequency.allele is not None
    if not condition.recessive or not given:
        return
    q = allele_frequency(condition)
    if isinstance(q, Term) or not 0 < 2 * q < 1:
        return
    free = [p for p in case.people if p.founder and not p.affected and p.genotype is None]
    # Males with one X have the allele with q, which stays.
    single = any(condition.copies(p.sex) == 1 and p.affected is None for p in free)
    full = condition.penetrance is None and condition.onset is None
    if single or (condition.x_linked and not full):
        return
    text = str(2 * q) if isinstance(q, Fraction) else f"{2 * q:.17g}"
    frequent = replace(condition, frequency=Frequency(carrier=quantity(text)))
    changed, unsure = case, [p.id for p in free if p.affected is None or not full]
    if unsure:
        frequent = replace(frequent, tests=(*(condition.tests or ()), _ONE_AT_MOST))
        result = TestResult(_ONE_AT_MOST.name, result="yes")
        changed = changed_people(case, unsure, lambda p: replace(p, tests=(*p.tests, result)))
    changed = replace(changed, condition=frequent)
    yield changed, ()
    ids = married_in(case)
    yield changed_people(changed, ids, lambda p: replace(p, genotype=0)), ids


def _two_q_in_words(slip: Slip) -> str:
    nothing = f" It also takes {who(slip)} to carry nothing." if slip.people else ""
    women = " women" if slip.asked.condition.x_linked else ""
    return (
        "This takes 2q for the chance of being a carrier, which is a good approximation where the "
        f"allele is rare. Exactly it is 2q(1 - q) of all{women}, and of those without two copies "
        f"that divided by 1 - q².{nothing}"
    )


def _rare_allele(case: Case) -> Changed:
    """Yield the case in which nobody has the allele who need not have it."""
    condition = case.condition
    given = condition.frequency.mutation_selection_balance is None
    if given and condition.mutation is None and condition.germline_mosaicism is None:
        yield replace(case, condition=replace(condition, frequency=Frequency(allele="rare"))), ()


def _rare_in_family(case: Case) -> Iterator[Chances]:
    """Yield the chance of a child where the family alone is taken to have a rare allele.

    The partner from another family is a carrier with the chance of the population, as given or 2q.
    """
    question, condition = case.questions[0], case.condition
    if question.ask != "child_affected" or not condition.recessive or condition.x_linked:
        return
    partners = partners_without_history(case, question)
    if len(partners) != 1 or descendants_of(case, partners[0]):
        return
    partner = case.person(partners[0])
    if not partner.founder:
        return
    carrier = changed_people(case, partners, lambda person: replace(bare(person), genotype=1))
    asked = Question("carrier", person=partner.id)
    alone = Case(condition, (partner,), questions=(asked,))
    for rare, _ in _rare_allele(carrier):
        (of_carrier,) = with_question(rare, question)
        for one in dict.fromkeys((alone, *(changed for changed, _ in _two_q(alone)))):
            (chance,) = with_question(one, asked)
            yield (chance * of_carrier,)


def _family_alone(slip: Slip) -> str:
    (partner,) = partners_without_history(slip.asked, slip.asked.questions[0])
    return (
        "This takes nobody in the family to have the allele who need not have it, and "
        f"{names((partner,), slip.asked)} to be a carrier as anyone in the population is. It "
        "leaves out that others, such as those who marry in, can have it, too."
    )


# --- new alleles --------------------------------------------------------------------------


def _mutation_forgotten(case: Case) -> Changed:
    """Yield the case without new mutation, and with a rare allele where it set the frequency."""
    condition = case.condition
    if condition.mutation is None:
        return
    frequency = condition.frequency
    if frequency.mutation_selection_balance is not None:
        frequency = Frequency(allele="rare")
    yield replace(case, condition=replace(condition, mutation=None, frequency=frequency)), ()


def _mosaicism_forgotten(case: Case) -> Changed:
    """Yield the case without germline mosaicism, and the one in which new mutation is rare.

    In the latter the allele of an affected child is new, and no other child has it.
    """
    condition = replace(case.condition, germline_mosaicism=None)
    yield replace(case, condition=condition), ()
    if case.condition.germline_mosaicism is not None:
        frequency = condition.frequency
        if frequency.allele == "rare":
            frequency = Frequency(allele=quantity("0"))
        new = replace(condition, frequency=frequency, mutation=Mutation("rare", "rare"))
        yield replace(case, condition=new), ()


def _plain_balance(case: Case) -> Changed:
    """Yield the cases in which affected men have no children, the sexes mutate alike, or both."""
    condition = case.condition
    if condition.frequency.mutation_selection_balance is None or condition.mutation is None:
        return
    childless = Frequency(mutation_selection_balance=SelectionBalance(quantity("0")))
    alike = Mutation("rare", "rare")
    for frequency in (childless, condition.frequency):
        for mutation in (alike, condition.mutation):
            yield (
                replace(case, condition=replace(condition, frequency=frequency, mutation=mutation)),
                (),
            )


def _as_in_the_textbook(slip: Slip) -> str:
    assert slip.case is not None
    own, other = slip.asked.condition, slip.case.condition
    balance, rates = own.frequency.mutation_selection_balance, own.mutation
    assert balance is not None
    assert rates is not None
    taken, here = [], []
    if own.frequency is not other.frequency and balance.fitness.value:
        taken.append("affected men to have no children")
        here.append(f"their fitness is {balance.fitness}")
    if rates != other.mutation:
        taken.append("new mutation to be rare and as frequent in eggs as in sperm")
        here.append(
            f"the rate of new mutation is {rates.maternal} in eggs and {rates.paternal} in sperm"
        )
    return (
        f"This takes {joined(taken, ', and ')}, as is usual for an isolated case. Here "
        f"{joined(here)}, which changes how many mothers carry."
    )


def _who_is_affected(slip: Slip) -> list[str]:
    """Return the facts that somebody is affected."""
    return [
        fact.path
        for fact in facts_of(slip.asked)
        if fact.evidence.kind == "affected" and slip.asked.person(fact.person).affected
    ]


KINDS = (
    SlipKind(
        name="allele_for_carrier",
        short="took the allele frequency for the carrier frequency",
        words=(
            "This takes the frequency of the allele for that of carriers. Whoever has two copies "
            "of the gene has two chances to have the allele, so that carriers are up to twice as "
            "frequent as the allele."
        ),
        changes=_allele_for_carrier,
        to_certainty=True,
    ),
    SlipKind(
        name="two_q",
        short="took 2q for the carrier frequency",
        words=_two_q_in_words,
        changes=_two_q,
        likely=2,
        approximation=True,
    ),
    SlipKind(
        name="rare_allele",
        short="took all others to carry nothing, as if the allele were rare",
        words=(
            "This takes everyone to carry nothing who need not have the allele, as if it were so "
            "rare that nobody else does. That is a first approximation: others, such as those who "
            "marry in, can have it too, with the chance of the population."
        ),
        changes=_rare_allele,
        last=True,
        approximation=True,
    ),
    SlipKind(
        name="rare_in_family",
        short="took the family for the only one with the allele, but for a partner",
        words=_family_alone,
        reads=_rare_in_family,
        last=True,
        approximation=True,
    ),
    SlipKind(
        name="mutation_forgotten",
        short="forgot new mutation",
        words=f"This leaves new mutation out. {_BY_MUTATION}",
        changes=_mutation_forgotten,
        forgets=_who_is_affected,
        to_certainty=True,
    ),
    SlipKind(
        name="plain_balance",
        short="took affected men to have no children, or mutation to be as frequent in both sexes",
        words=_as_in_the_textbook,
        changes=_plain_balance,
        approximation=True,
    ),
    SlipKind(
        name="mosaicism_forgotten",
        short="forgot germline mosaicism",
        words=f"This leaves germline mosaicism out. {_BY_MOSAICISM}",
        changes=_mosaicism_forgotten,
        forgets=_who_is_affected,
        to_certainty=True,
    ),
)
