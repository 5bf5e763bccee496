"""Practice cases: solved by brute force, told in full, bounded by level, the same for a seed."""

import json
import os
import re
import subprocess
import sys
from fractions import Fraction as F
from pathlib import Path

import oracle
import pytest

from risk import actions
from risk.case.read import read_case
from risk.case.write import write_case_line
from risk.number import quantity
from risk.problems import InputError
from risk.scene.shapes import box_of
from risk.teaching.names import CONDITIONS, PEOPLE
from risk.teaching.practice import BOUNDS, LEVELS, likeness, practice, within_reach

LEVEL_AND_TOPIC = [(level, topic) for level, topics in LEVELS.items() for topic in topics]
#: Larger families are left to the engine's own tests; the joint table would be too long.
LARGEST_FOR_BRUTE_FORCE = 12


def sets(each):
    """`each` cases of every level and topic, with their level."""
    return [
        (level, topic, case)
        for level, topic in LEVEL_AND_TOPIC
        for case in practice(level, 11, each, topic)
    ]


@pytest.fixture(scope="module")
def cases():
    return sets(10)


def own_answers(case):
    """The exact answers of the product: a fraction, or three of a genotype."""
    return [
        [chance.exact for chance in answer.distribution]
        if answer.probability is None
        else answer.probability.exact
        for answer in actions.solve(case).answers
    ]


def test_answers_are_those_of_brute_force(cases):
    solved = 0
    for _, _, case in cases:
        line = write_case_line(case)
        assert read_case(line) == case
        if sum(person.count or 1 for person in case.people) > LARGEST_FOR_BRUTE_FORCE:
            continue
        truth = oracle.Oracle(oracle.load(line)).answers()
        assert own_answers(case) == [
            each if isinstance(each, F) else [*each.values()] for each in truth
        ]
        solved += 1
    assert solved >= 200
    assert solved >= 0.9 * len(cases)


def test_answers_are_no_certainties_and_workings_can_be_done_by_hand(cases):
    for level, _, case in cases:
        bounds = BOUNDS[level]
        for answer in own_answers(case):
            chances = answer if isinstance(answer, list) else [answer]
            assert all(chance < 1 for chance in chances)
            assert chances[len(chances) // 2] > 0
            assert all(chance.denominator <= bounds.denominator for chance in chances)
        for working in actions.explain(case):
            assert len(working.steps) <= bounds.steps
            assert sum(len(step.rows) for step in working.steps) <= bounds.rows


def sentences(story):
    return [each for each in re.split(r"(?<=[.?])\s+", story) if each]


def clauses(story, name):
    """The pieces of sentences that speak of a person.

    A list ("Tova has a brother, Nico, who is affected; and ...") speaks of those listed.
    """
    listing = r"\b(?:has|have) (?=(?:a|two|three|four) (?:brother|sister|son|daughter))"
    pieces = [
        piece for each in sentences(story) for piece in re.split(rf"; | and \w+'s |{listing}", each)
    ]
    return [piece for piece in pieces if re.search(rf"\b{name}\b(?!')", piece)]


def says(case, person, what):
    """Whether some clause about the person says `what` (a pattern)."""
    return any(re.search(what, piece) for piece in clauses(case.vignette, person.name))


def test_stories_state_every_fact_and_no_other(cases):
    for _, _, case in cases:
        story, condition = case.vignette, case.condition
        plain = condition.name.removesuffix(" (invented)")
        assert story.startswith(f"{plain} is ")
        for person in case.people:
            assert person.count is None
            if person.status == "pregnancy":
                kind = {"female": "girl", "male": "boy"}.get(person.sex, "child")
                assert f"are expecting a {kind} ({person.id})." in story
                assert (person.name, person.affected, person.tests) == (None, None, ())
                continue
            assert re.search(rf"\b{person.name}\b", story), person
            affected = says(case, person, rf"\b(has|have) {re.escape(plain)}")
            well = says(case, person, r"\b(is|are) unaffected")
            told = {True: (True, False), False: (False, True), None: (False, False)}
            assert (affected, well) == told[person.affected], (story, person)
            if condition.onset and person.affected is False:
                assert says(case, person, rf"at the age of {person.age}\b")
            shown = says(case, person, "been shown")
            assert shown == (person.genotype is not None), (story, person)
            if person.genotype == 1 and condition.recessive:
                assert says(case, person, "to be a carrier")
            if person.genotype == 0:
                assert says(case, person, "not to have the disease allele")
            for result in person.tests:
                if result.found is None:
                    assert says(case, person, rf"{result.result} {result.test}")
                else:
                    count = {0: "no", 1: "one"}[result.found]
                    assert says(case, person, rf"the {result.test}, which found {count} disease")
            if not person.tests:
                assert not says(case, person, "carrier test|the panel|enzyme level")
        if condition.frequency.carrier is not None:
            many = condition.frequency.carrier.value.denominator
            assert re.search(rf"1 unaffected (person|woman) in {many}\b", story)
        numbers = [p.cumulative for p in condition.onset or ()]
        numbers += [v.share for v in condition.variants or ()]
        for test in condition.tests or ():
            numbers += [n for n in (test.sensitivity, test.specificity) if n and n.value != 1]
            for row in test.likelihood or ():
                numbers += [row.likelihood.zero, row.likelihood.one]
        if condition.penetrance:
            numbers += [condition.penetrance.zero, condition.penetrance.two]
        if condition.viability:
            assert "born alive. The questions are about children born alive." in story or (
                "No male who has the disease allele is born alive" in story
            )
            numbers.append(getattr(condition.viability, "two", None) or quantity("0"))
        if condition.germline_mosaicism:
            numbers += [condition.germline_mosaicism.prior, condition.germline_mosaicism.gametes]
        for number in numbers:
            assert number.value in (0, 1) or number.text in story, (number, story)
        assert story.endswith("?")
        # Nothing of the answer, and no words left empty.
        for exact in own_answers(case):
            assert isinstance(exact, list) or exact.denominator < 60 or str(exact) not in story
        assert not re.search(r"  |\bNone\b|\(\)|,\.|;\.|\.\.", story), story


def test_stories_name_parents_and_children_as_the_tree_does(cases):
    for _, _, case in cases:
        story = case.vignette
        names = {person.id: person.name for person in case.people}
        people = {person.name: person for person in case.people}
        for child, rest in re.findall(r"(\w+)'s parents,? (?:are )?([^.;]*)", story):
            both = re.match(r"(\w+) and (\w+)", rest).groups()
            person = people[child]
            assert {names[person.father], names[person.mother]} == set(both)
        for child, word, parent in re.findall(r"(\w+)'s (father|mother) (\w+)", story):
            assert names[getattr(people[child], word)] == parent
        listed = r"((?:a|two|three|four) [^.]*)"
        for one, other, rest in re.findall(rf"(\w+) and (\w+) have {listed}", story):
            for name in re.findall(r"\b[A-Z]\w+", rest):
                if name in people:
                    child = people[name]
                    assert {names[child.father], names[child.mother]} == {one, other}
        siblings = r"((?:a|two|three|four) (?:brother|sister)[^.]*)"
        for one, rest in re.findall(rf"(\w+) has {siblings}", story):
            for name in re.findall(r"\b[A-Z]\w+", rest):
                if name in people:
                    assert people[name].father == people[one].father


def test_no_two_cases_of_a_set_are_alike():
    for level in LEVELS:
        found = practice(level, 3, 25)
        assert len({likeness(case) for case in found}) == 25
        assert len({case.vignette for case in found}) == 25


def test_names_and_order_of_siblings_do_not_make_another_case():
    case = practice(2, 1, 1, "population")[0]
    other = json.loads(write_case_line(case))
    for i, person in enumerate(other["people"]):
        person["name"] = f"N{i}"
    other["people"].reverse()
    other["condition"]["name"] = "another"
    assert likeness(read_case(json.dumps(other))) == likeness(case)


def test_the_same_seed_gives_the_same_cases_whatever_the_hash_seed():
    program = (
        "from risk.teaching.practice import practice\n"
        "from risk.case.write import write_case_line\n"
        "for level in (1, 2, 3, 4):\n"
        "    for case in practice(level, 7, 4):\n"
        "        print(write_case_line(case))\n"
    )
    outputs = set()
    for seed in ("0", "4711"):
        done = subprocess.run(
            [sys.executable, "-c", program],
            env={**os.environ, "PYTHONHASHSEED": seed},
            cwd=Path(__file__).parents[2],
            capture_output=True,
            text=True,
            check=True,
        )
        outputs.add(done.stdout)
    assert len(outputs) == 1
    assert len(outputs.pop().splitlines()) == 16
    assert practice(2, 7, 5) != practice(2, 8, 5)
    assert practice(2, 7, 8)[:5] == practice(2, 7, 5)


def test_topics_are_kept_and_every_idea_of_a_level_comes_up():
    for level, topic in LEVEL_AND_TOPIC:
        modes = {case.condition.inheritance for case in practice(level, 5, 4, topic)}
        if topic == "x-linked":
            assert modes <= {"x_linked_recessive", "x_linked_dominant"}
        if topic == "dominant":
            assert modes == {"autosomal_dominant"}
    assert all(case.condition.tests for case in practice(3, 5, 4, "tests"))
    assert all(case.condition.penetrance for case in practice(3, 5, 4, "penetrance"))
    assert all(case.condition.onset for case in practice(3, 5, 4, "age"))
    assert all(any(p.twin for p in case.people) for case in practice(4, 5, 4, "twins"))


@pytest.mark.parametrize(
    ("level", "count", "topic", "path"),
    [
        (0, 1, None, "level"),
        (5, 1, None, "level"),
        (1, 0, None, "count"),
        (1, 501, None, "count"),
        (1, 1, "tests", "topic"),
        (4, 1, "twinz", "topic"),
        (4, 60, "mutation", "count"),
    ],
)
def test_what_there_is_not_is_said(level, count, topic, path):
    with pytest.raises(InputError) as caught:
        practice(level, 1, count, topic)
    (problem,) = caught.value.problems
    assert problem.path == path


def test_a_case_out_of_reach_is_not_given():
    hard = actions.example("island-family")
    assert within_reach(hard, 4) is None
    certain = actions.example("new-mutation")
    assert within_reach(certain, 1) is None
    sister = actions.example("healthy-sister")
    assert within_reach(sister, 1) == (F(2, 3), F(1, 150))


def test_names_are_invented_and_enough():
    for sex in ("female", "male"):
        assert len(set(PEOPLE[sex])) == len(PEOPLE[sex]) >= 40
    assert not set(PEOPLE["female"]) & set(PEOPLE["male"])
    assert len({name for names in CONDITIONS.values() for name in names}) >= 20


@pytest.mark.parametrize("level", [1, 2, 3, 4])
def test_the_men_of_founder_couples_have_the_lower_numbers(level):
    for seed in range(20):
        for case in practice(level, seed=seed, count=3):
            place = {person.id: at for at, person in enumerate(case.people)}
            founders = {person.id for person in case.people if person.founder}
            for person in case.people:
                couples = {(p.father, p.mother) for p in case.people}
                several = (
                    sum(bool({person.father, person.mother} & {*pair}) for pair in couples) > 1
                )
                # Somebody with two partners stands between them.
                if {person.father, person.mother} <= founders and not several:
                    assert place[person.father] < place[person.mother]


def aunts(case):
    """People who are a couple with the child of a sibling."""
    of = {person.id: (person.father, person.mother) for person in case.people}
    return [
        one
        for couple in case.couples
        for one, other in (couple.partners, couple.partners[::-1])
        for parent in of[other]
        if parent and of[parent][0] and of[parent] == of[one]
    ]


@pytest.mark.parametrize("level", LEVELS)
def test_each_generation_is_numbered_from_left_to_right_as_drawn(level):
    for seed in range(5):
        for case in practice(level, seed=seed, count=4):
            if aunts(case):
                continue  # where generations mix, not every order can be drawn
            left = {
                shape.person: box_of(shape)[0]
                for shape in actions.draw(case).items
                if shape.role == "symbol"
            }
            rows = {}
            for id in left:
                generation, number = id.rsplit("-", 1)
                rows.setdefault(generation, []).append((int(number), left[id]))
            for row in rows.values():
                xs = [x for _, x in sorted(row)]
                assert xs == sorted(xs), (seed, case.title)


def test_an_aunt_and_her_nephew_are_said_to_be_that_before_their_children():
    found = [
        (case, one)
        for case in practice(4, seed=1, count=12, topic="cousins")
        for one in aunts(case)
    ]
    assert found
    for case, id in found:
        one = case.person(id)
        kind = "uncle" if one.sex == "male" else "aunt"
        told = re.search(rf"{one.name} is (\w+)'s {kind}, and the two are a couple", case.vignette)
        assert told
        assert case.vignette.count(" are a couple") == 1
        children = re.search(rf"{one.name} and {told[1]} have ", case.vignette)
        assert children is None or told.start() < children.start()
        (other,) = (
            partner
            for couple in case.couples
            if id in couple.partners
            for partner in couple.partners
            if partner != id
        )
        # The generation below is numbered as such.
        assert other.startswith("III-")
        assert id.startswith("II-")


def test_parents_are_old_enough(cases):
    pairs = 0
    for _, _, case in cases:
        for child in case.people:
            for parent in (child.father, child.mother):
                if parent and child.age and case.person(parent).age:
                    assert case.person(parent).age.value - child.age.value >= 18, case.title
                    pairs += 1
    assert pairs >= 20


def test_stories_say_what_the_answers_depend_on(cases):
    rare = 0
    for _, _, case in cases:
        story, condition = case.vignette, case.condition
        if condition.onset and condition.penetrance is None:
            assert "Everyone who has the disease allele will be affected sooner or later." in story
        if condition.germline_mosaicism:
            assert "A mosaic does not count as a carrier." in story
        # Each question is one by itself, and no sentence asks for two events at once.
        assert story.count("?") == len(case.questions)
        assert not re.search(r", and that [^?]+\?", story)
        # How common an allele is only matters where somebody might have it.
        if condition.frequency.allele == "rare":
            frequency = {"allele": "1/7"}
            other = json.loads(write_case_line(case))
            other["condition"]["frequency"] = frequency
            same = own_answers(read_case(json.dumps(other))) == own_answers(case)
            assert ("is so rare" in story) != same
            rare += 1
    assert rare >= 100


def test_of_two_partners_the_parent_of_a_half_sibling_is_a_former_one():
    for case in practice(2, 1, 6, "siblings") + practice(2, 1, 6, "population"):
        couples = {(p.father, p.mother) for p in case.people if p.father} | {
            couple.partners for couple in case.couples
        }
        partners = [id for couple in couples for id in couple]
        twice = any(partners.count(id) > 1 for id in partners)
        assert ("former partner" in case.vignette) == twice


def test_a_level_is_not_one_idea_again_and_again():
    """A large set takes its templates by turns, as long as these have different cases."""
    many = practice(1, 1, 120)
    of_several = sum(case.questions[0].ask == "children_affected" for case in many)
    assert of_several <= 30
    modes = {case.condition.inheritance for case in many}
    assert modes == {*CONDITIONS}
    assert any(case.questions[0].ask == "genotype" for case in many)
    assert any(p.status == "pregnancy" for case in many for p in case.people)
    third = practice(3, 1, 60)
    assert any(case.condition.viability for case in third)
    assert any(case.condition.penetrance and case.condition.penetrance.zero.value for case in third)
