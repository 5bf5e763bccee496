"""Which facts are enough, and whether each of them counts, asked of the weights themselves."""

import json
from random import Random

import pytest
import strategies
from hypothesis import assume, given
from hypothesis import strategies as st

from risk import actions
from risk.case.read import read_case
from risk.model import partial
from risk.model.family import Family
from risk.model.network import make_network
from risk.problems import TooLarge
from risk.workings import weigh
from risk.workings.weigh import Weigher


@pytest.fixture
def met(monkeypatch):
    """Checks each answer of `Weigher.needed_above`; holds them, in the order of asking."""
    answers = []
    original = Weigher.needed_above

    def checked(self, one, facts, of, known):
        found = original(self, one, facts, of, known)
        if found is not None:
            # All facts say no more, and each of these says something.
            assert self.alike((one,), found, facts)
            for path in found:
                assert not self.alike((one,), found, found - {path}), path
        answers.append(found)
        return found

    monkeypatch.setattr(Weigher, "needed_above", checked)
    return answers


def explained(seed, people, loops, twins, frequency):
    """Explain questions about four people of a family from a seed, under full penetrance.

    That and common alleles make some genotypes certain, which hides what is behind.
    """
    data = strategies.random_family(
        seed, people, loops=loops, twins=twins, frequency=frequency, told=0.8
    )
    ids = [person["id"] for person in data["people"]]
    asked = (ids[-1], ids[-2], ids[0], ids[len(ids) // 2])
    data["questions"] = [{"ask": "carrier", "person": id} for id in asked]
    actions.explain(actions.load(json.dumps(data)))


def test_what_follows_from_the_question_is_what_trying_would_find(met):
    """Facts that count for the question and bear on it through one parent count for the parent."""
    given(
        st.integers(0, 10**6),
        st.integers(8, 30),
        st.integers(0, 4),
        st.integers(0, 2),
        st.sampled_from(["1/3", "1/10"]),
    )(explained)()
    assert max(len(found) for found in met if found is not None) > 3


@pytest.mark.parametrize(
    ("seed", "people", "loops", "twins", "frequency"),
    [
        (18, 28, 2, 0, "1/10"),
        (236, 26, 2, 2, "1/10"),
        (236, 26, 4, 2, "1/3"),
        (278, 28, 2, 2, "1/3"),
    ],
)
def test_what_bears_on_the_question_in_another_way_too(met, seed, people, loops, twins, frequency):
    """A fact may count for the question only by the other way, and for the parent not at all."""
    explained(seed, people, loops, twins, frequency)
    assert None in met


def test_nothing_follows_where_vanishing_chances_may_count():
    """In a rare limit what changes nothing near by may change what is asked."""
    data = strategies.random_family(3, 20, mode="autosomal_recessive")
    data["condition"]["frequency"] = {"allele": "rare"}
    family = Family(actions.load(json.dumps(data)))
    last = family.variable[data["people"][-1]["id"]]
    weigher = Weigher(family, [], [last])
    paths = frozenset(weigher.facts)
    assert weigher.needed_above(0, paths, (last,), paths) is None


def in_one_line(generations, asked):
    """A line of sons, the first one affected, and the working of a question about one of them."""
    people = [{"id": "A0", "sex": "male", "affected": True}, {"id": "B0", "sex": "female"}]
    for at in range(1, generations):
        parents = {"father": f"A{at - 1}", "mother": f"B{at - 1}"}
        people += [{"id": f"A{at}", "sex": "male", **parents}, {"id": f"B{at}", "sex": "female"}]
    data = {
        "version": 1,
        "condition": {
            "inheritance": "autosomal_recessive",
            "frequency": {"allele": "1/10"},
        },
        "people": people,
        "questions": [{"ask": "disease_allele", "person": asked}],
    }
    return actions.explain(actions.load(json.dumps(data)))


def test_a_line_of_any_length_seen_from_above():
    [working] = in_one_line(1500, "A1")
    assert working.probability.exact == 1


def test_a_line_too_long_to_go_through_is_refused_in_words():
    assert in_one_line(30, "A29")
    with pytest.raises(TooLarge, match="hundreds of generations"):
        in_one_line(1500, "A1499")


@given(strategies.cases(asked=1))
def test_what_is_told_of_facts_without_asking_the_engine(case):
    """What a fact rules out of its own person's genotypes, and whose facts tell of whom."""
    family = Family(read_case(json.dumps(case)))
    assume(make_network(family).possible)
    weigher = Weigher(family, [], range(len(family.copies)))
    for path, fact in weigher.facts.items():
        variable = family.variable[fact.person]
        usual = weigher.weights((variable,), frozenset()).keys()
        left = weigher.weights((variable,), frozenset({path})).keys()
        assert usual & weigher.ruled_out(variable, [path]) == usual - left
    for variable in range(len(family.copies)):
        owners = {path: family.variable[fact.person] for path, fact in weigher.facts.items()}
        below = {path for path, one in owners.items() if variable in family.ancestry([one])}
        assert weigher.told_from(variable) == below


def mating(people, generations, seed=1):
    """A population that mates at random, and nobody but founders is unknown, all unaffected."""
    dice = Random(seed)
    sexes = ["male" if place % 2 else "female" for place in range(people)]
    family = [[{"id": f"0-{n}", "sex": sex} for n, sex in enumerate(sexes)]]
    for generation in range(1, generations):
        mothers, fathers = family[-1][::2], family[-1][1::2]
        family.append(
            [
                {
                    "id": f"{generation}-{n}",
                    "sex": sex,
                    "affected": False,
                    "mother": dice.choice(mothers)["id"],
                    "father": dice.choice(fathers)["id"],
                }
                for n, sex in enumerate(sexes)
            ]
        )
    condition = {"inheritance": "autosomal_recessive", "frequency": {"carrier": "1/25"}}
    members = [person for row in family for person in row]
    return Family(read_case(json.dumps({"version": 1, "condition": condition, "people": members})))


def test_where_few_facts_cut_little_it_is_not_tried_whether_they_suffice(monkeypatch):
    """Of 112 people in many loops 16 facts took 100 times as long as all of them, and 1 GB."""
    made = []

    def counted(family, facts, **more):
        made.append(make_network(family, facts, **more))
        return made[-1]

    monkeypatch.setattr(weigh, "make_network", counted)
    monkeypatch.setattr(partial, "MOST_ENTRIES", 0)
    family = mating(8, 6)
    asked = (family.variable["5-0"],)

    def looked_at(most):
        monkeypatch.setattr(weigh, "_MOST_OF_A_LOOK", most)
        made.clear()
        weigher = Weigher(family, [], asked)
        assert weigher.needed(asked, list(weigher.facts))
        return max(network.plan.cost for network in made)

    all_facts = make_network(family, list(Weigher(family, [], asked).facts), last=asked).plan.cost
    assert looked_at(all_facts) <= all_facts < looked_at(10**9)
