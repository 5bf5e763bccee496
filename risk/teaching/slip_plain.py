"""What is said of those slips of which the same is true in any case."""

from __future__ import annotations

from risk.case.model import Condition

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


#: What is said of any case.
PLAIN = {
    "ignored_children": (
        "This is the answer without what is known of the children and their descendants. How a "
        "child turned out, one way or the other, can say something about its parents."
    ),
    "complement": "This is the chance of the opposite of what is asked.",
    "joint_not_divided": (
        "This is a joint probability that was not divided by the sum of the joint "
        "probabilities. What is known has happened, so that the cases left must add up to 1."
    ),
    "allele_for_carrier": (
        "This takes the frequency of the allele for that of carriers. Whoever has two copies of "
        "the gene has two chances to have the allele, so that carriers are up to twice as "
        "frequent as the allele."
    ),
    "ignored_age": (
        "This leaves the age of onset out. Someone who is well but young may still become affected."
    ),
    "ignored_viability": (
        "This counts every conception. Here some genotypes are not always born alive, and "
        "whoever is asked about is live-born: leave out the share that is lost, and divide "
        "by what remains."
    ),
    "mutation_forgotten": f"This leaves new mutation out. {_BY_MUTATION}",
    "mosaicism_forgotten": f"This leaves germline mosaicism out. {_BY_MOSAICISM}",
    "ignored_by_age": (
        "This belongs to a question about ever being affected. Here an age is meant, and by then "
        "only a share are affected."
    ),
    "likelihood_for_posterior": (
        "This takes the chance of what is seen, if the hypothesis holds, for that of the "
        "hypothesis. It is still to be multiplied by the prior and divided by the sum over all "
        "hypotheses."
    ),
    "one_child": "This belongs to a question about one child. Here several are meant.",
    "children_multiplied": (
        "This multiplies the chance of one child by the number of children, and so counts those "
        "families twice or more in which several are affected."
    ),
    "children_independent": (
        "This takes the chance of each child to stay the same whatever the others have. One "
        "affected child tells of the parents: work the chance out for each pair of genotypes of "
        "the parents, and weigh these."
    ),
    "order_forgotten": (
        "This counts one order of the children, in which it is settled which of them are affected. "
        "It may be any of them: multiply by the number of ways to choose them."
    ),
    "rare_allele": (
        "This takes everyone to carry nothing who need not have the allele, as if it were so rare "
        "that nobody else does. That is a first approximation: others, such as those who marry in, "
        "can have it too, with the chance of the population."
    ),
    "odds_for_chance": (
        "These are the odds: those with what is asked to those without. The chance is their share "
        "of both together."
    ),
    "not_all_for_none": (
        "This is the chance that not every child is affected. Here none shall be, and the families "
        "in which some are do not count."
    ),
    "percent_sign": (
        "The digits are those of the answer, but 0.5 is 50%, and 0.5% is 0.005: look at the "
        "percent sign again."
    ),
}
