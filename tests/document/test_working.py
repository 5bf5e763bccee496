"""Workings laid out as blocks: every number shown, the sum said, and never too wide."""

from dataclasses import replace
from fractions import Fraction as F

import pytest

from risk import actions
from risk.bundled import bundled_cases
from risk.case.model import Case, Condition, Frequency, Person, Question
from risk.document.blocks import Paragraph, Table, flatten
from risk.document.working import working_blocks, working_stages
from risk.inference.arithmetic import Term
from risk.model.answers import Chance
from risk.number import quantity
from risk.render.text_blocks import blocks_to_text, plain_signs, text_width
from risk.workings.step import Combination, Row, Said, Step, Working
from risk.workings.values import value_word
from tests.workings.families import case, person

ASKED = Question("child_affected", parents=("II-2", "II-3"))
CASE = Case(
    Condition("autosomal_recessive", Frequency(carrier=quantity("1/25"))),
    (
        Person("I-1", "male"),
        Person("I-2", "female"),
        Person("II-2", "female", name="Mira", father="I-1", mother="I-2"),
        Person("II-3", "male", name="Joren"),
    ),
    questions=(ASKED,),
)
WORDS = ("no allele", "carrier", "affected")

# Two carriers' unaffected daughter and her partner after a negative test: the fractions are those
# of common practice (1/4 : 1/2 with the affected ruled out; 24/25 : 1/25 x 1/10), by hand.
MIRA = Step(
    "s1",
    ("II-2",),
    tuple({"II-2": n} for n in range(3)),
    WORDS,
    (
        Row("prior", "from two carriers", (F(1, 4), F(1, 2), F(1, 4))),
        Row("conditional", "Mira is unaffected", (F(1), F(1), F(0)), ("II-2.affected",)),
    ),
    (F(1, 4), F(1, 2), F(0)),
    (F(1, 3), F(2, 3), F(0)),
    "Both her parents are carriers.",
)
JOREN = Step(
    "s2",
    ("II-3",),
    tuple({"II-3": n} for n in range(2)),
    WORDS[:2],
    (
        Row("prior", "population", (F(24, 25), F(1, 25))),
        Row("conditional", "test negative", (F(1), F(1, 10)), ("II-3.tests[0]",), ("s1",)),
    ),
    (F(24, 25), F(1, 250)),
    (F(240, 241), F(1, 241)),
    "Joren (II-3) has no family history.",
)
BOTH = Combination(
    {"II-2": 1, "II-3": 1},
    F(2, 723),
    F(1, 4),
    F(1, 1446),
    (F(2, 3), F(1, 241)),
    "Mira carrier, Joren carrier",
)
NEITHER = Combination({"II-2": 0, "II-3": 1}, F(1, 723), F(0), F(0))
CHILD = Step("s3", (), (), (), (), (), (), "Both must carry and pass it on.", (BOTH, NEITHER))
WORKING = Working(
    ASKED,
    Chance(1 / 1446, F(1, 1446)),
    None,
    (MIRA, JOREN, CHILD),
    ("I-1.affected",),
    ("I-1 is unaffected",),
    "The chance is 1/1446.",
)


def text_of(working, **options):
    return blocks_to_text(working_blocks(working, CASE, **options))


def lines_with(text, words):
    return [line.split() for line in text.splitlines() if words in line]


def test_tables_show_each_row_the_joint_its_sum_and_the_result():
    text = text_of(WORKING)
    assert lines_with(text, "from two carriers") == [
        ["from", "two", "carriers", "1/4", "1/2", "1/4"]
    ]
    assert ["joint", "1/4", "1/2", "0", "sum", "3/4"] in lines_with(text, "joint")
    assert lines_with(text, "Mira (II-2)  ")[-1] == ["Mira", "(II-2)", "1/3", "2/3", "0"]
    assert ["joint", "24/25", "1/250", "sum", "241/250"] in lines_with(text, "joint")


def test_what_is_ruled_out_has_no_numbers_any_more():
    # Whatever is said of a hypothesis after its chance became 0 would change nothing.
    tested = Row("conditional", "test negative", (F(1), F(1, 10), F(9800, 29403)))
    joint = (F(1, 4), F(1, 20), F(0))
    step = replace(MIRA, rows=(*MIRA.rows, tested), joint=joint, posterior=(F(5, 6), F(1, 6), F(0)))
    text = text_of(replace(WORKING, steps=(step, *WORKING.steps[1:])))
    assert ["test", "negative", "1", "1/10", "-"] in lines_with(text, "test negative")
    assert ["Mira", "is", "unaffected", "1", "1", "0"] in lines_with(text, "Mira is unaffected")
    assert ["joint", "1/4", "1/20", "0", "sum", "3/10"] in lines_with(text, "joint")


def test_a_row_names_the_step_it_comes_from():
    assert "uses step 1" in lines_to_one(text_of(WORKING), "test negative")


def lines_to_one(text, words):
    (line,) = [line for line in text.splitlines() if words in line]
    return line


def test_a_single_combination_is_one_line_of_calculation():
    assert "2/3 x 1/241 x 1/4 = 1/1446" in text_of(WORKING)


def test_several_combinations_are_a_table_that_leaves_out_what_adds_nothing():
    more = replace(
        BOTH, case={"II-2": 2, "II-3": 1}, factors=(), label="Mira affected, Joren carrier"
    )
    several = replace(WORKING, steps=(MIRA, JOREN, replace(CHILD, combine=(BOTH, more, NEITHER))))
    tables = [b for b in flatten(working_blocks(several, CASE)) if isinstance(b, Table)]
    assert [row.cells[0] for row in tables[-1].rows] == [
        "Mira carrier, Joren carrier",
        "Mira affected, Joren carrier",
        "together",
    ]
    assert tables[-1].rows[0].cells[1:] == ("2/3 × 1/241 = 2/723", "1/4", "1/1446")
    assert tables[-1].rows[-1].cells[-1] == "1/1446"


def test_question_first_conclusion_last_then_what_made_no_difference():
    blocks = working_blocks(WORKING, CASE)
    assert blocks[0].text.startswith("What is the chance that the next child of Mira (II-2)")
    *_, conclusion, idle = flatten(blocks)
    assert conclusion == Paragraph("The chance is 1/1446.", style="answer", indent=1)
    assert "I-1 is unaffected" in idle.text
    assert working_blocks(WORKING, CASE, heading=False) == blocks[1:]


def test_one_row_that_adds_up_to_one_needs_no_joint():
    prior = replace(
        MIRA, rows=MIRA.rows[:1], joint=MIRA.rows[0].values, posterior=MIRA.rows[0].values
    )
    assert "joint" not in text_of(replace(WORKING, steps=(prior,)))


@pytest.mark.parametrize("hypotheses", [2, 4, 7, 15])
@pytest.mark.parametrize("digits", [1, 6, 9, 40])
@pytest.mark.parametrize("rows", [1, 3, 9, 30])
def test_every_layout_shows_every_value_within_eighty_columns(hypotheses, digits, rows):
    """Whatever its size, a table fits, and no value that is short enough to show is lost."""
    numbers = [F(1, 10 ** (digits - 1) + 7 * i + 1) for i in range(hypotheses)]
    step = replace(
        MIRA,
        hypotheses=tuple({"II-2": i} for i in range(hypotheses)),
        labels=tuple(f"class {i} of alleles" for i in range(hypotheses)),
        rows=tuple(
            Row("conditional" if i else "prior", f"the idea of row {i}", tuple(numbers))
            for i in range(rows)
        ),
        joint=tuple(number**rows for number in numbers),
        posterior=tuple(numbers),
    )
    text = text_of(replace(WORKING, steps=(step,)))
    assert max(text_width(line) for line in text.splitlines()) <= 80
    for number in numbers:
        shown = plain_signs(value_word(number))
        assert text.count(shown) >= rows, shown
    for i in range(rows):
        assert f"he idea of row {i}" in " ".join(text.split())


def test_a_vanishing_quantity_is_explained_once_where_it_occurs():
    rare = replace(
        MIRA, rows=(Row("prior", "founder", (Term(0, F(1)), Term(1, F(2)), Term(2, F(1)))),)
    )
    text = text_of(replace(WORKING, steps=(rare, replace(rare, id="s9"))))
    assert text.count("vanishing quantity") == 1
    assert "vanishing" not in text_of(WORKING)
    # A third hypothesis, which the prior rules out, has a dash for its vanishing value.
    sick = Row("conditional", "Mira is unaffected", (F(1), F(1), Term(1, F(1))), ("II-2.affected",))
    prior = Row("prior", "from two carriers", (F(1, 3), F(2, 3), F(0)))
    ruled_out = replace(MIRA, rows=(prior, sick), joint=(F(1, 3), F(2, 3), F(0)))
    text = text_of(replace(WORKING, steps=(ruled_out, *WORKING.steps[1:])))
    assert "Mira is unaffected" in text
    assert "vanishing" not in text


def test_nothing_in_the_blocks_is_a_number_of_its_own_making():
    """Every fraction in the tables stands in the records (or is the sum, which `Step` has)."""
    known = {value_word(v) for s in (MIRA, JOREN) for r in s.rows for v in r.values}
    known |= {value_word(v) for s in (MIRA, JOREN) for v in (*s.joint, *s.posterior, s.total)}
    tables = [b for b in flatten(working_blocks(WORKING, CASE)) if isinstance(b, Table)]
    cells = [cell for table in tables for row in table.rows for cell in row.cells]
    fractions = {word for cell in cells for word in cell.split() if "/" in word}
    assert fractions <= known
    assert fractions


def test_a_step_about_one_of_several_begins_as_a_sentence():
    sisters = Person("II-2", "female", father="I-1", mother="I-2", count=2)
    case = replace(CASE, people=(*CASE.people[:2], sisters, CASE.people[3]))
    working = Working(Question("carrier", person="II-2"), Chance(2 / 3, F(2, 3)), None, (MIRA,))
    blocks = [flatten(working_blocks(working, each, heading=False)) for each in (CASE, case)]
    leads = [first.lead for first, *_ in blocks]
    assert leads == ["Mira (II-2).", "A given one of the two siblings II-2."]


@pytest.mark.parametrize("ids", [("Ab", "Ac", "Ad", "A"), ("X-1", "X-2", "X-3", "X")])
def test_a_step_names_its_person_where_the_text_begins_with_a_longer_name(ids):
    father, mother, brother, sister = ids
    people = [
        person(father, "male", affected=False),
        person(mother, "female", affected=False),
        person(brother, "male", (father, mother), affected=True),
        person(sister, "female", (father, mother), affected=False),
    ]
    asked = [{"ask": "carrier", "person": sister}]
    family = case("autosomal_recessive", {"carrier": "1/25"}, people, asked)
    (working,) = actions.explain(family)
    first, *_ = flatten(working_blocks(working, family, heading=False))
    assert working.steps[0].text.startswith(f"{father} and {mother} are unaffected")
    assert first.lead == f"{sister}."


def test_a_rounded_product_has_one_sign_before_it():
    """1/3 × 1/12345678901234567 is no fraction that anybody would multiply further."""
    long = F(1, 12345678901234567)
    one = replace(BOTH, factors=(F(1, 3), long), weight=long / 3)
    rounded = Chance(float(long / 3), long / 3)
    for combine in ((one,), (one, one)):
        step = replace(CHILD, combine=combine)
        said = text_of(replace(WORKING, probability=rounded, steps=(MIRA, JOREN, step)))
        assert " ~ 2.7" in " ".join(said.split())
        assert "= ~" not in said


def test_a_row_of_facts_says_that_it_uses_a_step_and_not_that_the_facts_come_from_it():
    # The partner's chances are those of the step; in the lettered row the facts stand last.
    said = Said("What Bo has is not certain. Mira is tested negative: the chance of that is 1/10.")
    cases = [
        (said, "Uses step 1. What Bo has is not certain. Mira is tested negative: the chance"),
        (Said("Mira is tested negative: so 1/10."), "Mira is tested negative (uses step 1): so"),
        (Said("What Bo has counts."), "Mira is tested negative (uses step 1). What Bo has counts."),
    ]
    for reason, shown in cases:
        values = tuple(F(1, 10**9 + n) for n in range(3))
        row = Row("conditional", "Mira is tested negative", values, (), (MIRA.id,), (reason,))
        step = replace(MIRA, id="s2", rows=(MIRA.rows[0], *[row] * 4))
        blocks = working_blocks(replace(WORKING, steps=(MIRA, step, CHILD)), CASE)
        told = [each.text for each in flatten(blocks) if isinstance(each, Paragraph)]
        assert any(text.startswith(shown) for text in told), told
    upright = replace(MIRA, id="s2", rows=(MIRA.rows[0], replace(row, values=(F(1),) * 3)))
    text = text_of(replace(WORKING, steps=(MIRA, upright, CHILD)))
    assert "uses step 1" in lines_to_one(text, "tested negative")


def test_a_chance_of_one_is_no_factor_of_a_pairs_chance():
    # Two people of whom one is a known carrier: the other's chances are those of the pair.
    people = [person("I-1", "male", genotype=1), person("I-2", "female")]
    asked = [{"ask": "child_affected", "parents": ["I-1", "I-2"]}]
    one = case("autosomal_recessive", {"allele": "1/10"}, people, asked)
    (working,) = actions.explain(one)
    (table,) = [each for each in flatten(working_blocks(working, one)) if isinstance(each, Table)]
    assert [row.cells[1] for row in table.rows] == ["9/50", "1/100", ""]


@pytest.mark.parametrize("name", bundled_cases())
def test_a_working_that_grows_becomes_the_whole(name):
    case = actions.example(name)
    for working in actions.explain(case):
        stages = working_stages(working, case)
        assert list(flatten(working_blocks(working, case, heading=False))) == stages[-1]
        lengths = [len(blocks_to_text(stage)) for stage in stages]
        assert lengths == sorted(set(lengths))


def test_of_a_working_that_grows_the_reason_of_a_row_comes_with_it():
    """Neither before nor after it; where rows go down, and where they are columns with letters."""
    case = actions.example("healthy-sister")
    stages = [" ".join(stage.split()) for stage in grown(case)]
    for at, (row, reason) in enumerate(
        (
            ("from two carriers 1/4", "so I-1 and I-2 are both carriers for certain."),
            ("Tova is unaffected 1 ", "which rules out two copies"),
        )
    ):
        for words in (row, reason):
            assert [words in stage for stage in stages[:2]] == [at == 0, True]
    one, two = grown(actions.example("germline-mosaic"))[:2]
    assert ("\n   B  An affected son" in one, "\n   B  An affected son" in two) == (False, True)
    assert (one.count("~0.100018"), two.count("~0.100018")) == (0, 3)


def grown(case):
    return [blocks_to_text(stage) for stage in working_stages(actions.explain(case)[0], case)]


def test_a_table_has_no_more_rows_across_than_fit_with_their_powers_of_ten():
    """A terminal gives an exponent a sign of its own."""
    people = [
        *(person("I-1", "male"), person("I-2", "female", affected=True)),
        *(person("II-1", "male"), person("II-2", "female", ("I-1", "I-2"), affected=False, age=60)),
        person("III-1", "female", ("II-1", "II-2"), affected=False, age=30),
    ]
    late = case(
        "autosomal_dominant",
        {"allele": "1/500"},
        people,
        [{"ask": "disease_allele", "person": "III-1"}],
        penetrance={"0": "1/10", "1": "4/5", "2": "4/5"},
        onset=[{"age": age, "cumulative": part} for age, part in ((40, "1/4"), (60, "3/4"))],
    )
    text = blocks_to_text([b for w in actions.explain(late) for b in working_blocks(w, late)])
    assert "     two copies   ~7.67186 x 10^-6     17/20   ~6.52108 x 10^-6\n" in text
    assert "     two copies   ~6.65087 x 10^-6\n" in text
