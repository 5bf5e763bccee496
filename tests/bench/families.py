"""The families that are timed: one connected kindred each, from a seed, with possible evidence."""

from __future__ import annotations

from tests.strategies import random_family

#: What each kind of family asks of the engine, as options of `random_family`.
KINDS = {
    "unlooped": {"mode": "autosomal_recessive"},
    "cousin marriages": {"mode": "autosomal_recessive", "cousins": 50},
    "dominant with onset": {"mode": "autosomal_dominant", "onset": True, "reduced": "0.8"},
    "X-linked with mutation": {"mode": "x_linked_recessive", "mutation": "1/10000"},
}


def kindred(seed, people, **options):
    """A family of `people` people (or one fewer) in one piece, as plain data ready for JSON.

    `random_family` ends with partners who have no children yet, each a family of their own.
    Here it grows some more, and children are taken, with what parents they need, while they fit.
    """
    case = random_family(seed, int(people * 1.8) + 20, **options)
    founders = {person["id"] for person in case["people"] if "father" not in person}
    taken = set()
    for person in case["people"]:
        parents = {person.get("father"), person.get("mother")}
        missing = parents - taken
        fresh = missing & founders
        fits = len(taken) + 1 + len(fresh) <= people
        if "father" in person and fits and missing == fresh:
            taken |= {person["id"], *fresh}
    kept = [person for person in case["people"] if person["id"] in taken]
    case["people"] = kept
    case["questions"] = [{"ask": "carrier", "person": p["id"]} for p in kept[-3:]]
    case["questions"].append({"ask": "genotype", "person": kept[0]["id"]})
    return case


def pieces(case):
    """How many families a case is made of that share nobody."""
    leader = {person["id"]: person["id"] for person in case["people"]}

    def find(id):
        while leader[id] != id:
            leader[id] = leader[leader[id]]
            id = leader[id]
        return id

    for person in case["people"]:
        if "father" in person:
            for parent in (person["father"], person["mother"]):
                leader[find(parent)] = find(person["id"])
    return len({find(id) for id in leader})


def bits(solution):
    """The length of the longest denominator among a solution's fractions, in bits."""
    return max(
        (
            chance.exact.denominator.bit_length()
            for person in solution.people
            for chance in person.disease_alleles
            if chance.exact is not None
        ),
        default=0,
    )
