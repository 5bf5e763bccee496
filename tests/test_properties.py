"""Changes of a case that must leave the answers as they were, and laws that must hold of them.

Nothing here is compared with the oracle: these are properties of the engine alone, exact wherever
the inputs are rational.
"""

import copy
import json
import math
import random

import strategies
from hypothesis import assume, given, note
from hypothesis import strategies as st

from risk.actions import solve
from risk.case.read import read_case
from risk.model.answers import Answer
from risk.problems import ImpossibleEvidence, InputError

CLOSE = 1e-12


def solution(case, arithmetic="exact"):
    """The solution of a case given as plain data; None where its evidence is impossible."""
    text = json.dumps(case)
    note(text)
    try:
        return solve(read_case(text), arithmetic)
    except ImpossibleEvidence:
        return None


def parts(answer):
    return answer.distribution if answer.probability is None else (answer.probability,)


def alike(one, two):
    """Whether two lists of chances are the same: as fractions, or to 1e-12 where irrational."""
    assert len(one) == len(two)
    for a, b in zip(one, two, strict=True):
        assert (a.exact is None) == (b.exact is None)
        assert abs(a.value - b.value) <= CLOSE
        assert a.exact == b.exact


def unchanged(before, after, names=None):
    """Answers, people (under new names) and likelihood of two solutions are the same."""
    assert (before is None) == (after is None)
    if before is None:
        return
    for one, two in zip(before.answers, after.answers, strict=True):
        alike(parts(one), parts(two))
    later = {person.id: person.disease_alleles for person in after.people}
    for person in before.people:
        alike(person.disease_alleles, later[(names or {}).get(person.id, person.id)])
    one, two = before.log_likelihood, after.log_likelihood
    assert (one is None) == (two is None)
    if one is not None:
        assert abs(one - two) <= CLOSE * max(1, abs(one))


@given(strategies.cases(), st.sampled_from(["exact", "float"]))
def test_a_chance_that_vanishes_in_a_rare_limit_is_above_0_before_it(case, arithmetic):
    """And one that is 0 there without vanishing is 0 at a small frequency, or rate, as well."""
    condition = case["condition"]
    if condition["frequency"].get("allele") == "rare":
        frequency = {"frequency": {"allele": "1/1000000"}}
    else:
        condition.setdefault("mutation", {"maternal": "rare", "paternal": "rare"})
        frequency = {}
        assume("rare" in condition["mutation"].values())
    before = {**case, "condition": {**condition, **frequency}}
    if not frequency:
        before["condition"]["mutation"] = {"maternal": "1/1000000", "paternal": "1/1000000"}
    try:
        limit, near = solution(case, arithmetic), solution(before)
    except InputError:
        assume(False)
    assert (limit is None) == (near is None)
    assume(limit is not None)
    pairs = [
        *zip(limit.answers, near.answers, strict=True),
        *(
            (Answer(None, None, a.disease_alleles), Answer(None, None, b.disease_alleles))
            for a, b in zip(limit.people, near.people, strict=True)
        ),
    ]
    for one, two in pairs:
        for chance, other in zip(parts(one), parts(two), strict=True):
            if not chance.value:
                assert chance.vanishes == (
                    other.exact != 0 if other.exact is not None else other.value > 0
                )
            else:
                assert not chance.vanishes


def renamed(case, names):
    """The case with other ids."""
    case = copy.deepcopy(case)
    for person in case["people"]:
        for key in {"id", "father", "mother"} & person.keys():
            person[key] = names[person[key]]
    for question in case["questions"]:
        if "person" in question:
            question["person"] = names[question["person"]]
        for key in {"parents", "people"} & question.keys():
            question[key] = [names[i] for i in question[key]]
    return case


# Where adding relatives must change nothing
def quiet(condition):
    loud = {"viability", "mutation", "germline_mosaicism"} & condition.keys()
    return not loud and "mutation_selection_balance" not in condition["frequency"]


QUIET = strategies.conditions().filter(quiet)


@given(strategies.cases(), st.integers(0, 10**6))
def test_names_and_order_of_people_do_not_matter(case, seed):
    dice = random.Random(seed)
    ids = [person["id"] for person in case["people"]]
    fresh = [f"X{i}" for i in range(len(ids))]
    dice.shuffle(fresh)
    names = dict(zip(ids, fresh, strict=True))
    other = renamed(case, names)
    dice.shuffle(other["people"])
    unchanged(solution(case), solution(other), names)


@given(strategies.cases())
def test_count_is_so_many_sibs(case):
    assume(any("count" in person for person in case["people"]))
    split = copy.deepcopy(case)
    for person in list(split["people"]):
        for i in range(1, person.pop("count", 1)):
            split["people"].append({**copy.deepcopy(person), "id": f"{person['id']} no {i + 1}"})
    unchanged(solution(case), solution(split))


@given(strategies.cases(QUIET), st.integers(0, 9), st.sampled_from(["female", "male"]))
def test_a_relative_of_whom_nothing_is_known_changes_nothing(case, i, sex):
    fertile = [
        p
        for p in case["people"]
        if "count" not in p
        and p["sex"] != "unknown"
        and p.get("status", "alive") in strategies.BORN
    ]
    one = fertile[i % len(fertile)]
    other = next(p for p in fertile if p["sex"] != one["sex"])
    father, mother = (one, other) if one["sex"] == "male" else (other, one)
    more = copy.deepcopy(case)
    more["people"] += [
        {"id": "new", "sex": sex, "father": father["id"], "mother": mother["id"]},
        {"id": "stranger", "sex": sex},
    ]
    unchanged(solution(case), solution(more))


@given(strategies.cases(QUIET), st.integers(0, 9))
def test_drawing_the_parents_of_a_founder_changes_nothing(case, i):
    more = copy.deepcopy(case)
    founders = [p for p in more["people"] if "father" not in p and "inbreeding" not in p]
    assume(founders)
    founder = founders[i % len(founders)]
    founder |= {"father": "his", "mother": "her"}
    more["people"] += [{"id": "his", "sex": "male"}, {"id": "her", "sex": "female"}]
    unchanged(solution(case), solution(more))


@given(strategies.cases(), st.integers(0, 9))
def test_bayes_rule(case, i):
    """P(x) = P(x | affected) P(affected) + P(x | not) P(not), with each factor from its own run."""
    condition = case["condition"]
    assume("onset" not in condition)
    assume("mutation_selection_balance" not in condition["frequency"])
    people = [p for p in case["people"] if p["sex"] != "unknown" and "count" not in p]
    person = people[i % len(people)]
    person.pop("affected", None)
    asked = {"ask": "will_be_affected", "person": person["id"]}
    case["questions"] = [{"ask": "disease_allele", "person": p["id"]} for p in case["people"]]
    unknown = solution({**case, "questions": [*case["questions"], asked]})
    assume(unknown is not None)
    chance = parts(unknown.answers[-1])[0]
    mixed = [0] * len(case["questions"])
    for affected in (True, False):
        person["affected"] = affected
        told = solution(case)
        weight = chance if affected else None
        value = chance.value if affected else 1 - chance.value
        exact = None if chance.exact is None else chance.exact if affected else 1 - chance.exact
        if told is None:
            # Impossible, or (in a rare limit) of vanishing chance at most
            assert exact == 0 or abs(value) <= CLOSE, weight
            continue
        if exact == 0:
            assert told.log_likelihood is None, "possible only in a limit"
            continue
        for k, answer in enumerate(told.answers):
            got = parts(answer)[0]
            mixed[k] += value * got.value if exact is None else exact * got.exact
        if unknown.log_likelihood is not None and value > 1e-6:
            difference = told.log_likelihood - unknown.log_likelihood
            assert math.isclose(difference, math.log(value), abs_tol=1e-9)
    for total, answer in zip(mixed, unknown.answers, strict=False):
        whole = parts(answer)[0]
        if chance.exact is None:
            assert abs(total - whole.value) <= 1e-10
        else:
            assert total == whole.exact


def rare(condition):
    return condition["frequency"].get("allele") == "rare" or (
        condition.get("mutation", {}).get("maternal") == "rare"
    )


@given(strategies.cases(strategies.conditions().filter(rare)))
def test_rare_is_the_limit_of_ever_smaller_numbers(case):
    limit = solution(case)

    def at(small):
        other = copy.deepcopy(case)
        if other["condition"]["frequency"].get("allele") == "rare":
            other["condition"]["frequency"]["allele"] = small
        else:
            other["condition"]["mutation"] = {"maternal": small, "paternal": small}
        return solution(other)

    # Rates of 1e-4 and tests a thousand to one stand beside the small quantity: 1e-8 is not yet
    # small enough for the distance to be in proportion to it in every family.
    near, nearer = at("1e-10"), at("1e-12")
    assert (limit is None) == (near is None) == (nearer is None)
    assume(limit is not None)
    assert limit.log_likelihood is None
    for wanted, one, two in zip(limit.answers, near.answers, nearer.answers, strict=True):
        for a, b, c in zip(parts(wanted), parts(one), parts(two), strict=True):
            # The distance shrinks like the small quantity itself.
            assert abs(c.value - a.value) <= abs(b.value - a.value) / 50 + 1e-9
            assert abs(c.value - a.value) <= 1e-3


@given(strategies.cases(), st.sampled_from([("monozygotic", 1), ("dizygotic", 0)]))
def test_certain_zygosity_is_a_chance_of_one_or_none(case, kind):
    zygosity, chance = kind
    twins = [p for p in case["people"] if "twin" in p]
    assume(twins)
    for group in {p["twin"]["group"] for p in twins}:
        members = [p for p in twins if p["twin"]["group"] == group]
        mixed = len({p["sex"] for p in members}) > 1
        for person in members:
            person["twin"] = {"group": group, "zygosity": "dizygotic" if mixed else zygosity}
    before = solution(case)
    for person in twins:
        group = person["twin"]["group"]
        if person["twin"]["zygosity"] == zygosity:
            person["twin"] = {"group": group, "zygosity": "unknown", "monozygotic_chance": chance}
    unchanged(before, solution(case))


@given(strategies.cases())
def test_parents_in_either_order(case):
    other = copy.deepcopy(case)
    for question in other["questions"]:
        for key in {"parents", "people"} & question.keys():
            question[key] = question[key][::-1]
    unchanged(solution(case), solution(other))


@given(strategies.cases())
def test_a_fact_learnt_twice_is_no_news_when_certain(case):
    """Stating a genotype that is already certain changes nothing but the names of facts."""
    before = solution(case)
    assume(before is not None)
    other = copy.deepcopy(case)
    sure = {
        person.id: n
        for person in before.people
        for n, chance in enumerate(person.disease_alleles)
        if chance.exact == 1 and before.log_likelihood is not None
    }
    assume(sure)
    for person in other["people"]:
        if person["id"] in sure:
            person["genotype"] = sure[person["id"]]
    unchanged(before, solution(other))
