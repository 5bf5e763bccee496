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
from risk.workings.step import Combination, Row, Step, Working
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
    last = replace(two, text="About A. The last line multiplies.", combine=sum_)
    short, long_ = working(two), working(replace(two, text="About A. And of B."))
    assert repeats([short, working(last)], ["one", "two"])[1] == {
        "s1": ("one, step 1", "The last line multiplies.")
    }
    assert repeats([long_, short], ["one", "two"])[1] == {"s1": ("one, step 1", "")}
    other = working(replace(two, text="About Ada."))
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


def test_a_repeat_is_one_line_with_its_results_and_keeps_its_number():
    asked = working(step("s1", "A"), step("s2", "B", "s1", values=(F(1), F(0))))
    first, again = workings_blocks([asked, replace(asked)], CASE, names=["the first", "the second"])
    assert any(isinstance(block, Table) for block in flatten(first))
    texts = [block for block in flatten(again) if isinstance(block, Paragraph)]
    assert [(each.marker, each.lead, each.text) for each in texts] == [
        ("1", "Ada (A).", "As in the first, step 1: no allele 2/3, carrier 1/3."),
        ("2", "B.", "As in the first, step 2: no allele 1."),
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
    found = re.search(
        r"(?<= from the population), with the chances that step (\d+) begins with(?=\.)", text
    )
    if found is None:
        return [text]
    told = re.findall(
        r" from the population([:,] .+?)(?=\. |\.$)", steps[int(found[1]) - 1].whole_text
    )
    whole = [f"{text[: found.start()]}{each}{text[found.end() :]}" for each in told]
    return [each for one in whole for each in restored(one, steps)]


@pytest.mark.parametrize("source", list(cases()))
def test_every_reference_leads_to_a_step_with_the_same_people_and_results(source):
    """Read from the blocks: the step referred to is shown in full, and nothing is lost."""
    case = actions.load(source)
    workings = actions.explain(case)
    shown = workings_blocks(workings, case)
    for place, (asked, blocks) in enumerate(zip(workings, shown, strict=True)):
        markers = [b for b in flatten(blocks) if isinstance(b, Paragraph) and b.marker]
        assert [b.marker for b in markers] == [str(i + 1) for i in range(len(asked.steps))]
        for here, line in zip(asked.steps, markers, strict=True):
            found = REFERENCE.match(line.text)
            if found is None:
                assert here.whole_text in restored(line.text, asked.steps)
                continue
            question, number = int(found[1]) - 1, int(found[2]) - 1
            assert question < place
            there = workings[question].steps[number]
            assert (there.people, there.posterior) == (here.people, here.posterior)
            assert here.text.startswith(there.text) or there.text.startswith(here.text)
            assert (", so far" in found[0]) == bool(here.later)
            assert line.text.endswith(here.text.removeprefix(there.text).strip() or ".")
            full = working_blocks(workings[question], case)
            told = [b for b in flatten(shown[question]) if isinstance(b, Paragraph) and b.marker]
            assert there.whole_text in restored(told[number].text, workings[question].steps)
            assert told[number] in list(flatten(full))


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
    steps = [
        replace(step("s1", "A"), text=f"A {common}. An affected son: the chance of that is 1/2."),
        replace(step("s2", "B"), text=f"B {common}. A comes from the population, too."),
        replace(step("s3", "C"), text=f"C {common}."),
    ]
    blocks = working_blocks(working(*steps), CASE)
    told = [block.text for block in flatten(blocks) if isinstance(block, Paragraph)]
    assert told[0] == steps[0].text
    assert told[1] == (
        "B comes from the population, with the chances that step 1 begins with. "
        "A comes from the population, too."
    )
    assert told[2] == "C comes from the population, with the chances that step 1 begins with."


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
