"""What is said to a student about each slip: which case was solved, and what was left out."""

from __future__ import annotations

from dataclasses import replace

from risk.case.edit import asked_about
from risk.case.model import Case, Question
from risk.teaching.slip_kin import twins_in_doubt
from risk.teaching.slip_people import SETS, kinds, size
from risk.teaching.slips import Slip
from risk.wording.phrases import joined, number_word

#: A slip in a few words, for tables and summaries.
SHORT = {
    "ignored_unaffected": "forgot that someone asked about is unaffected",
    "ignored_children": "forgot the children and what is known of them",
    "ignored_tests": "forgot the test results",
    "perfect_tests": "took a negative test for proof",
    "complement": "gave the chance of the opposite",
    "joint_not_divided": "did not divide by the sum",
    "partner_certain": "took the partner for a carrier for sure",
    "partner_ignored": "took the partner to carry nothing",
    "transmission_forgotten": "forgot what is passed on to the child",
    "allele_for_carrier": "took the allele frequency for the carrier frequency",
    "full_penetrance": "took the penetrance to be full",
    "ignored_age": "forgot the age of onset",
    "ignored_healthy_children": "forgot the healthy children alone",
    "ignored_viability": "forgot that some genotypes are not always born alive",
    "ignored_healthy_relatives": "forgot that relatives are unaffected",
    "mutation_forgotten": "forgot new mutation",
    "married_in_ignored": "took somebody who married in to carry nothing",
    "parents_certain": "took the parents for carriers and no more",
    "half_for_two_thirds": "took 1/2 for the 2/3 of a healthy sibling",
    "ignored_identical_twins": "forgot that twins are identical, or may be",
    "zygosity_kept": "left the chance of identical twins as it was before the evidence",
    "step_forgotten": "left out one step of passing on (a factor of a half)",
    "child_sex": "mixed up the chance of a son or daughter and of any child",
    "penetrance_forgotten": "gave the chance of the genotype, not of being affected",
    "ignored_by_age": "took being affected ever for being affected by an age",
    "likelihood_for_posterior": "gave the chance of what is seen, without the prior",
    "percent_sign": "lost a percent sign, or put one too many",
}


def said(slip: Slip, case: Case, question: Question) -> str:
    """Return two sentences: what the answer leaves out, and what to think of instead."""
    case = replace(case, questions=(question,))
    who = _who(slip, case)
    if slip.name == "transmission_forgotten":
        return _transmission(slip, who)
    if slip.name == "step_forgotten":
        return _step(slip, case)
    if slip.name == "child_sex":
        return _child_sex(slip)
    if slip.name == "zygosity_kept":
        return _zygosity(case)
    if slip.name == "ignored_identical_twins":
        return _ordinary_siblings(slip, who, case)
    several = max(len(slip.people), size(slip.chosen)) > 1
    are = "are" if several else "is"
    tested = sum(person.count or 1 for person in case.people if person.tests)
    of = f" of {who}" if size(slip.chosen) < tested else ""
    texts = {
        "ignored_unaffected": (
            f"This is the answer without the fact that {who} {are} unaffected. Being well is "
            "evidence too: it makes the genotypes that would have shown less likely."
        ),
        "ignored_children": (
            "This is the answer without what is known of the children and their descendants. "
            "Every child that turned out one way or the other says something about its parents."
        ),
        "ignored_tests": (
            f"This is the answer without the test results{of}. A result, good or bad, changes the "
            "odds."
        ),
        "perfect_tests": (
            f"This takes the negative test of {who} to exclude the disease allele. The test "
            "misses some who have it, so that a chance remains."
        ),
        "complement": "This is the chance of the opposite of what is asked.",
        "joint_not_divided": (
            "This is a joint probability that was not divided by the sum of the joint "
            "probabilities. What is known has happened, so that the cases left must add up to 1."
        ),
        "partner_certain": (
            f"This takes {who} to be a carrier for sure. Nothing says so: for someone without a "
            "family history the chance is that of the population."
        ),
        "partner_ignored": (
            f"This takes {who} to carry nothing. Someone without a family history can still "
            "have the allele, with the chance that the population has."
        ),
        "allele_for_carrier": (
            "This takes the frequency of the allele for that of carriers. A person has two "
            "copies of the gene, so that carriers are about twice as frequent as the allele."
        ),
        "full_penetrance": (
            "This takes everyone with the genotype to be affected sooner or later. Here some "
            "never are, so that being well is weaker evidence."
        ),
        "ignored_age": (
            "This leaves the age of onset out. Someone who is well but young may still become "
            "affected."
        ),
        "ignored_healthy_children": (
            f"This is the answer without {who}, who {are} healthy. A healthy child says something "
            "about its parents too, though less than an affected one."
        ),
        "ignored_viability": (
            "This counts every conception. Here some genotypes are not always born alive, and "
            "whoever is asked about is live-born: leave out the share that is lost, and divide "
            "by what remains."
        ),
        "ignored_healthy_relatives": (
            f"This is the answer without the fact that {who} {are} unaffected. "
            + (
                "To be well counts, of whoever is asked about and of relatives too."
                if set(slip.people) & set(asked_about(question))
                else "A relative's being well counts too, and more so the nearer it is to whoever "
                "is asked about."
            )
        ),
        "married_in_ignored": (
            f"This takes {who} to carry nothing. Whoever marries in can have the allele too, with "
            "the chance that the population has, and pass it on."
        ),
        "parents_certain": (
            f"This takes {who} to have one copy for certain. Whether they are affected is not "
            "known, so that other genotypes are possible, too."
        ),
        "mutation_forgotten": (
            "This leaves new mutation out. An allele can be new in whoever has it, and then the "
            "parents need not have it."
        ),
        "half_for_two_thirds": (
            f"This takes {who} to carry with chance 1/2. The healthy child of two carriers is one "
            "of three equally likely kinds, two of which carry: the fourth would be affected."
        ),
        "penetrance_forgotten": (
            "This is the chance of having the genotype. Not everyone who has it is affected, or "
            "not by then: multiply by the share who are."
        ),
        "ignored_by_age": (
            "This is the chance of ever being affected. The question asks about an age, and by "
            "then only a share are affected."
        ),
        "likelihood_for_posterior": (
            "This is the chance of what is seen if the hypothesis holds. It is still to be "
            "multiplied by the prior and divided by the sum over all hypotheses."
        ),
        "percent_sign": (
            "The digits are those of the answer, but 0.5 is 50%, and 0.5% is 0.005: look at the "
            "percent sign again."
        ),
    }
    return texts[slip.name]


def _transmission(slip: Slip, who: str) -> str:
    if len(slip.people) > 1:
        return (
            f"This is the chance that {who} both carry. Each child still has to receive the "
            "allele, from both of them."
        )
    return f"This is the chance that {who} has the allele. Each child still has to receive it."


def _zygosity(case: Case) -> str:
    twins = joined([_names(ids, case) for ids in twins_in_doubt(case)], ", or ")
    return (
        f"This leaves the chance that {twins} are identical as it was at first. What is known of "
        "the family changes how likely that is: give both possibilities a row, and weigh them by "
        "how well they explain what is seen."
    )


def _ordinary_siblings(slip: Slip, who: str, case: Case) -> str:
    doubt = any(set(ids) & set(slip.people) for ids in twins_in_doubt(case))
    return (
        f"This takes {who} for ordinary siblings. "
        + ("They may be identical twins, who" if doubt else "Identical twins")
        + " have one genotype, so that what tells of one's genotype tells of the other's."
    )


def _step(slip: Slip, case: Case) -> str:
    if not slip.people:
        return (
            "This counts what one parent passes on. The child needs the allele from both: each "
            "passing-on has its own half."
        )
    child, parent = (_names((id,), case) for id in slip.people)
    return (
        f"This takes {child} to have the genotype of {parent}. A parent passes on one of two "
        "alleles, so that this step halves the chance."
    )


def _child_sex(slip: Slip) -> str:
    assert slip.case is not None
    sex = slip.case.questions[0].sex
    if sex is None:
        return (
            "This is the chance of any child. The question says which sex the child has, so that "
            "the half for its sex is not to be counted."
        )
    other = "son" if sex == "male" else "daughter"
    return f"This is the chance of a {other}. The question asks about a child of either sex."


def _who(slip: Slip, case: Case) -> str:
    """Return the names of those whom a slip is about; of alike people how many, if not all."""
    if not slip.chosen or len(slip.people) > _MOST_NAMED:
        return _names(slip.people, case)
    chosen = dict(slip.chosen)
    named = []
    for kind in kinds(case, SETS[slip.name].of(case)):
        ids = [id for id, _ in kind]
        number = sum(chosen.get(id, 0) for id in ids)
        if 0 < number < size(kind):
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
