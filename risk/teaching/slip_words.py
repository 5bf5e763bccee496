"""What is said to a student about each slip: which case was solved, and what was left out."""

from __future__ import annotations

from risk.case.model import Case, Question
from risk.teaching.slips import Slip
from risk.wording.phrases import joined

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
}


def said(slip: Slip, case: Case, question: Question) -> str:
    """Return two sentences: what the answer leaves out, and what to think of instead."""
    who = _names(slip.people, case)
    several = len(slip.people) > 1
    are = "are" if several else "is"
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
            "This is the answer without the test results. A result, good or bad, changes the odds."
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
        "transmission_forgotten": _transmission(slip, who),
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
    }
    return texts[slip.name]


def _transmission(slip: Slip, who: str) -> str:
    if len(slip.people) > 1:
        return (
            f"This is the chance that {who} both carry. Each child still has to receive the "
            "allele, from both of them."
        )
    return f"This is the chance that {who} has the allele. Each child still has to receive it."


def _names(ids: tuple[str, ...], case: Case) -> str:
    return joined([case.person(id).name or id for id in ids])
