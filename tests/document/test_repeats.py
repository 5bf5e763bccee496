"""Steps that repeat one of an earlier question: named instead of shown, and truly the same."""

import json
import re
from dataclasses import replace
from fractions import Fraction as F
from pathlib import Path

import pytest
from strategies import random_family

from risk import actions
from risk.case.model import Case, Condition, Frequency, Person, Question
from risk.document.blocks import Heading, Paragraph, Table, flatten
from risk.document.repeats import repeats
from risk.document.working import working_blocks, workings_blocks
from risk.model.answers import Chance
from risk.number import quantity
from risk.workings.step import Combination, Population, Row, Said, Step, Working
from tests.document.reading import SAME_TABLE, all_of, paragraphs_of, said_of
from tests.workings.families import case, person

NAMES = [path.stem for path in sorted(Path("fixtures").glob("*.json"))]
#: A line that stands for a step: who it is about, the question, the step, the results.
REFERENCE = re.compile(r"As in question (\d+), step (\d+)(?:, so far)?[.:]")

CASE = Case(
    Condition("autosomal_recessive", Frequency(carrier=quantity("1/25"))),
    (Person("A", "female", name="Ada"), Person("B", "male"), Person("C", "female")),
)


def step(id, person, *uses, values=(F(2, 3), F(1, 3)), combine=None):
    return Step(
        id,
        (person,),
        ({person: 0}, {person: 1}),
        ("no allele", "carrier"),
        (Row("prior", "from the family", values, uses=uses),),
        values,
        values,
        f"About {person}.",
        combine,
    )


def with_reasons(step, *reasons):
    """The step with these reasons of its first row."""
    return replace(step, rows=(replace(step.rows[0], reasons=reasons), *step.rows[1:]))


def working(*steps):
    question = Question("carrier", person=steps[-1].people[0])
    return Working(question, Chance(1 / 3, F(1, 3)), None, steps, conclusion="It is 1/3.")


def test_a_step_is_a_repeat_where_it_and_the_steps_that_it_uses_are_the_same():
    """B uses A; a third question has the same B from another A, which is not the same B."""
    first = working(step("s1", "A"), step("s2", "B", "s1"))
    again = working(step("s1", "C"), step("s2", "A"), step("s3", "B", "s2"))
    other = working(step("s1", "A", values=(F(1, 2), F(1, 2))), step("s2", "B", "s1"))
    assert repeats([first, again, other], ["one", "two", "three"]) == [
        {},
        {"s2": ("one, step 1", ""), "s3": ("one, step 2", "")},
        {},
    ]


def test_within_one_working_nothing_is_a_repeat():
    assert repeats([working(step("s1", "A"), step("s2", "A"))], ["one"]) == [{}]


def test_the_last_line_of_a_question_about_children_is_always_shown():
    sum_ = (Combination({"A": 1}, F(1, 3), F(1, 4), F(1, 12), (), "Ada carrier"),)
    asked = working(step("s1", "B"), step("s2", "A", combine=sum_))
    assert repeats([asked, asked], ["one", "two"])[1] == {"s1": ("one, step 1", "")}


def test_a_sentence_more_or_less_is_no_reason_to_repeat_a_table():
    sum_ = (Combination({"A": 1}, F(1, 3), F(1, 4), F(1, 12), (), "Ada carrier"),)
    plain = step("s1", "A")
    two = replace(plain, rows=(*plain.rows, Row("fact", "Ada is well", (F(1), F(1)))))
    two = replace(with_reasons(two, Said("About A.")), closing="")
    last = replace(two, closing="The last line multiplies.", combine=sum_)
    short, long_ = working(two), working(replace(two, closing="And of B."))
    assert repeats([short, working(last)], ["one", "two"])[1] == {
        "s1": ("one, step 1", "The last line multiplies.")
    }
    assert repeats([long_, short], ["one", "two"])[1] == {"s1": ("one, step 1", "")}
    other = working(with_reasons(two, Said("About Ada.")))
    assert repeats([short, other], ["one", "two"])[1] == {}
    (*_, blocks) = workings_blocks([short, working(last)], CASE)
    assert not any(isinstance(block, Table) for block in flatten(blocks))
    told = [block.text for block in flatten(blocks) if isinstance(block, Paragraph)]
    assert "step 1: no allele 2/3, carrier 1/3. The last line multiplies." in told[0]
    assert "1/3 × 1/4 = 1/3" in told[1]


def test_facts_that_are_not_shown_make_no_other_step():
    asked = working(step("s1", "A"))
    (row,) = asked.steps[0].rows
    other = working(replace(asked.steps[0], rows=(replace(row, facts=("B.affected",)),)))
    assert repeats([asked, other], ["one", "two"])[1] == {"s1": ("one, step 1", "")}


def test_a_repeat_is_one_line_with_its_results_and_the_numbers_of_those_that_lead_to_it():
    asked = working(step("s1", "A"), step("s2", "B", "s1", values=(F(1), F(0))))
    first, again = workings_blocks([asked, replace(asked)], CASE, names=["the first", "the second"])
    assert any(isinstance(block, Table) for block in flatten(first))
    texts = [block for block in flatten(again) if isinstance(block, Paragraph)]
    assert [(each.marker, each.lead, each.text) for each in texts] == [
        ("1–2", "B.", "As in the first, step 2: no allele 1."),
        ("", "", "It is 1/3."),
    ]


def test_questions_are_counted_where_there_are_several():
    asked = working(step("s1", "A"))

    def headings(workings):
        shown = workings_blocks(workings, CASE)
        return [b.text for blocks in shown for b in flatten(blocks) if isinstance(b, Heading)]

    assert headings([asked]) == ["What is the chance that Ada (A) is a carrier?"]
    assert [text[:8] for text in headings([asked, asked])] == ["1. What ", "2. What "]


def cases():
    for name in NAMES:
        yield pytest.param(Path(f"fixtures/{name}.json").read_text(), id=name)
    for seed in range(12):
        loops = {"loops": 1, "mode": "autosomal_recessive"} if seed % 3 == 0 else {}
        yield pytest.param(json.dumps(random_family(seed, 20, **loops)), id=f"random {seed}")


def restored(text, steps):
    """The texts that one with references to what is said of the population may stand for."""
    same = re.search(r"(?<= from the population), with the same chances(?=\.)", text)
    if same is not None:
        told = re.findall(r" from the population([:,] .+?)(?=\. |\.$)", text[: same.start()])
        whole = [f"{text[: same.start()]}{each}{text[same.end() :]}" for each in told]
        return [each for one in whole for each in restored(one, steps)]
    found = re.search(
        r"(?<= from the population), with the chances that step (\d+) begins with(?=\.)", text
    )
    if found is None:
        return [text]
    told = re.findall(
        r" from the population([:,] .+?)(?=\. |\.$)", all_of(steps[int(found[1]) - 1])
    )
    whole = [f"{text[: found.start()]}{each}{text[found.end() :]}" for each in told]
    return [each for one in whole for each in restored(one, steps)]


def steps_of(blocks):
    """The paragraph with which each step begins."""
    return [b for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker and not b.indent]


@pytest.mark.parametrize("source", list(cases()))
def test_every_reference_leads_to_a_step_with_the_same_people_and_results(source):
    """Read from the blocks: the step referred to is shown in full, and nothing is lost."""
    case = actions.load(source)
    workings = actions.explain(case)
    shown = workings_blocks(workings, case)
    for place, (asked, blocks) in enumerate(zip(workings, shown, strict=True)):
        told = paragraphs_of(blocks)
        counted = []
        for line in steps_of(blocks):
            first, _, last = line.marker.partition("–")
            counted += range(int(first), int(last or first) + 1)
            here = asked.steps[counted[-1] - 1]
            found = REFERENCE.match(line.text)
            if found is None:
                assert not last
                said = said_of(told[line.marker], here, case.called)
                assert all_of(here) in restored(said, asked.steps)
                continue
            question, number = int(found[1]) - 1, int(found[2]) - 1
            assert question < place
            there = workings[question].steps[number]
            assert (there.people, there.posterior) == (here.people, here.posterior)
            said, table = [" ".join(each.of_table) for each in (here, there)]
            assert here.text.startswith(table) or table.startswith(said)
            assert (", so far" in found[0]) == bool(here.later)
            more = here.text.removeprefix(table if here.text.startswith(table) else said)
            assert line.text.endswith(more.strip() or ".")
            full = working_blocks(workings[question], case)
            (shown_there,) = [b for b in steps_of(shown[question]) if b.marker == str(number + 1)]
            said = said_of(paragraphs_of(shown[question])[str(number + 1)], there, case.called)
            assert all_of(there) in restored(said, workings[question].steps)
            assert shown_there in list(flatten(full))
            # Those that lead to it here lead to it there, too.
            leading = [each.people for each in asked.steps[int(first) - 1 : int(last or first) - 1]]
            assert all(each in [s.people for s in workings[question].steps] for each in leading)
        assert counted == list(range(1, len(asked.steps) + 1))


def test_a_repeated_step_with_more_to_come_says_so_far_and_lists_it_no_more():
    first = replace(step("s1", "A"), later="That Cy is well is not used yet; it comes in step 2.")
    asked = working(first, step("s2", "B"))
    (_, again) = workings_blocks([asked, asked], CASE)
    told = [block.text for block in flatten(again) if isinstance(block, Paragraph)]
    assert "As in question 1, step 1, so far: no allele 2/3, carrier 1/3." in told
    assert not any("not used yet" in text for text in told)


def test_how_common_genotypes_are_is_said_once_in_a_working():
    common = (
        "comes from the population: the frequency of the allele is q = 1/50; anyone, affected or "
        "not, is a carrier with chance 2q(1 - q) = 49/1250"
    )

    def told_of(id, person, *more):
        topic = Population(common.removeprefix("comes from the population"))
        begin = f"{person} comes from the population"
        first = Said(f"{person} {common}.", topic, brief=begin)
        return with_reasons(replace(step(id, person), closing=""), first, *map(Said, more))

    steps = [
        told_of("s1", "A", "An affected son: the chance of that is 1/2."),
        told_of("s2", "B", "A comes from the population, too."),
        told_of("s3", "C"),
    ]
    blocks = flatten(working_blocks(working(*steps), CASE))
    told = [block.text for block in blocks if isinstance(block, Paragraph) and block.text]
    assert told[0].startswith(steps[0].opening)
    assert told[1] == (
        "B comes from the population, with the chances that step 1 begins with. "
        "A comes from the population, too."
    )
    assert told[2] == "C comes from the population, with the chances that step 1 begins with."


def test_a_text_that_only_begins_like_another_is_no_repeat():
    """What is said of "Al. And of Bo" is not what is said of Al, and something more."""
    plain = step("s1", "A")
    two = replace(plain, rows=(*plain.rows, Row("conditional", "well", (F(1), F(1)))), closing="")
    short, long_ = [
        working(with_reasons(two, Said(f"It counts for {name}."))) for name in ("Al", "Al. Bo")
    ]
    assert repeats([short, long_], ["one", "two"])[1] == {}


def test_a_reference_to_an_identical_twin_names_the_other():
    """Cy's mother Bea has her table in another question, under the name of her twin Ann."""
    same = {"twin": {"group": "t", "zygosity": "monozygotic"}}
    people = [
        person("I-1", "male", genotype=1),
        person("I-2", "female", genotype=1),
        person("Ann", "female", ("I-1", "I-2"), **same),
        person("Bea", "female", ("I-1", "I-2"), affected=False, **same),
        person("Dan", "male", genotype=0),
        person("Cy", "male", ("Dan", "Bea")),
    ]
    asked = [{"ask": "carrier", "person": each} for each in ("Ann", "Cy")]
    family = case("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    (_, blocks) = workings_blocks(actions.explain(family), family)
    first = next(b for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker == "1")
    assert first.lead == "Ann, the identical twin of Bea."
    assert first.text.startswith("As in question 1, step 1: ")


def test_a_table_is_shown_once_whichever_question_about_it_comes_first():
    """Of two parents with a child: are both carriers, and two questions about a next."""
    people = [
        person("I-1", "male", affected=False),
        person("I-2", "female", affected=False),
        person("II-1", "male", ("I-1", "I-2"), affected=False),
    ]
    asked = [
        {"ask": "child_affected", "parents": ["I-1", "I-2"]},
        {"ask": "both_carriers", "people": ["I-1", "I-2"]},
        {"ask": "child_carrier", "parents": ["I-1", "I-2"]},
    ]
    family = case("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    workings = actions.explain(family)
    assert [len(each.steps[-1].rows) for each in workings] == [2, 2, 2]
    first, *others = workings_blocks(workings, family)
    assert sum(isinstance(block, Table) for block in flatten(first)) == 1
    both, child = [
        [b.text for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker]
        for blocks in others
    ]
    assert both == ["As in question 1, step 1."]
    assert child[0].startswith("As in question 1, step 1. For each pair of genotypes: its chance")
    # The sum over the pairs of genotypes is the question's own.
    assert [sum(isinstance(b, Table) for b in flatten(blocks)) for blocks in others] == [0, 1]


def test_long_reasons_without_a_table_are_said_once_and_no_sentence_twice_in_them():
    """Half siblings of an affected mother and two fathers from the population."""
    people = [
        person("Cora", "female", affected=True),
        *(person("I-1", "male"), person("I-3", "male")),
        person("Dan", "male", ("I-1", "Cora")),
        person("Eva", "female", ("I-3", "Cora")),
    ]
    asked = [
        {"ask": "child_affected", "parents": ["Dan", "Eva"]},
        {"ask": "both_carriers", "people": ["Dan", "Eva"]},
    ]
    family = case("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    first, again = [
        [b.text for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker]
        for blocks in workings_blocks(actions.explain(family), family)
    ]
    assert first[0].count("Cora is affected, so Cora has two copies") == 1
    assert first[0].count("2q(1 - q)") == 1
    assert "I-3 comes from the population, with the same chances." in first[0]
    assert len(again) == 1
    assert again[0] == (
        "As in question 1, step 1. The chance that both are carriers is the product of their "
        "chances."
    )


def test_a_step_that_something_shown_uses_keeps_its_line():
    """B is used by C, which is shown, and A only by B: A and B are one line."""
    first = working(step("s1", "A"), step("s2", "B", "s1"))
    again = working(step("s1", "A"), step("s2", "B", "s1"), step("s3", "C", "s2"))
    other = working(step("s1", "A"), step("s2", "B", "s1"), step("s3", "C", "s1", "s2"))
    shown = workings_blocks([first, again, other], CASE)
    markers = [
        [b.marker for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker]
        for blocks in shown
    ]
    assert markers == [["1", "2"], ["1–2", "3"], ["1", "2", "3"]]


def test_two_people_with_the_same_table_have_it_once_in_a_working():
    """Two couples with an affected child each, and their healthy children."""
    people = [
        *(
            person(f"{id}{role}", "male" if role == "F" else "female", affected=False)
            for id in "AB"
            for role in "FM"
        ),
        *(person(f"{id}1", "female", (f"{id}F", f"{id}M"), affected=True) for id in "AB"),
        person("Noel", "male", ("AF", "AM"), affected=False),
        person("Pia", "female", ("BF", "BM"), affected=False),
    ]
    asked = [{"ask": "child_affected", "parents": ["Noel", "Pia"]}]
    family = case("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    (blocks,) = workings_blocks(actions.explain(family), family)
    shown = list(flatten(blocks))
    assert sum(isinstance(block, Table) for block in shown) == 1
    texts = [block.text for block in shown if isinstance(block, Paragraph)]
    assert "The table is that of step 1: no allele 1/3, carrier 2/3." in texts


@pytest.mark.parametrize("source", list(cases()))
def test_a_table_that_stands_for_another_has_its_numbers(source):
    case = actions.load(source)
    workings = actions.explain(case)
    for working, blocks in zip(workings, workings_blocks(workings, case), strict=True):
        told = paragraphs_of(blocks)
        for number, texts in told.items():
            for found in filter(None, (SAME_TABLE.match(text) for _, text in texts)):
                one, other = [working.steps[int(n) - 1] for n in (number, found[1])]
                assert [row.values for row in one.rows] == [row.values for row in other.rows]
                assert one.labels == other.labels
                assert not any(SAME_TABLE.match(text) for _, text in told[found[1]])
