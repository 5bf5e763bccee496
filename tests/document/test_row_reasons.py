"""The reason of each row stands by itself where a step says much, and with no other row."""

import json
import re

import pytest

from risk import actions
from risk.document.blocks import Paragraph, Table, Together, flatten
from risk.document.working import LONGEST_PARAGRAPH, working_blocks
from risk.wording.phrases import capital
from risk.workings.step import Row, Said
from risk.workings.values import column_words
from tests.document.reading import FILES, SAME_TABLE, all_of, families, paragraphs_of, said_of
from tests.document.test_repeats import restored
from tests.document.test_working import CASE, MIRA, WORKING, replace
from tests.workings.families import case, person

CASES = [pytest.param(path.read_text(), id=str(path.stem)) for path in FILES] + [
    pytest.param(json.dumps(family), id=f"random {i}") for i, family in enumerate(families())
]
#: A sentence that tells why a row about somebody's own fact has its values.
OWN_FACT = re.compile(
    r"(?:^|(?<=\. ))([^.;:,]+?) (?:is (?:un)?affected(?: at \d+)?|tested [^:,.]+)[:,] "
)


@pytest.mark.parametrize("source", CASES)
def test_a_reason_stands_with_the_row_that_it_is_about(source):
    """Who is the subject of it has a fact in the row; what a row says begins its own reason."""
    case = actions.load(source)
    ids = {called: each.id for each in case.people for called in (each.id, each.name) if called}
    for step in [step for working in actions.explain(case) for step in working.steps]:
        labels = [capital(row.text, case.called) for row in step.rows]
        for row in step.rows:
            for who in OWN_FACT.findall(row.reason) if row.kind == "conditional" else ():
                if who in ids:
                    assert ids[who] in {fact.split(".")[0] for fact in row.facts}, row
            for label in {*labels} - {capital(row.text, case.called)}:
                assert not re.search(rf"(^|\. ){re.escape(label)}[,:] ", row.reason), (label, row)


@pytest.mark.parametrize("source", CASES)
def test_the_paragraphs_of_a_step_say_its_text_and_those_of_a_row_its_reason(source):
    case = actions.load(source)
    for working in actions.explain(case):
        paragraphs = paragraphs_of(working_blocks(working, case))
        for number, step in enumerate(working.steps, 1):
            here = [each for each in paragraphs[str(number)] if not SAME_TABLE.match(each[1])]
            said = said_of(here, step, case.called)
            assert said.endswith(step.closing)
            assert all_of(step) in restored(said, working.steps)
            reasons = [row.reason for row in step.rows if row.reason]
            others = [each for each in (step.closing, step.later) if each]
            lettered = [text for letter, text in here if letter]
            assert len(lettered) in (0, len(step.rows))
            if lettered:
                assert len(here) == 1 + len(lettered) + len(others)
            elif len(said) <= LONGEST_PARAGRAPH:
                assert len(here) in (1, 1 + bool(step.closing))
            elif not step.plain:
                assert len(here) in (1, 1 + bool(step.closing), len(reasons) + len(others))


@pytest.mark.parametrize("source", CASES)
def test_a_table_has_its_reasons_before_it_and_what_is_said_of_no_row_behind_it(source):
    """Its reasons under letters where its columns have letters, however short they are."""
    case = actions.load(source)
    for working in actions.explain(case):
        groups = [each for each in working_blocks(working, case) if isinstance(each, Together)]
        for step, group in zip(working.steps, groups, strict=True):
            told = list(flatten([group]))
            tables = [place for place, each in enumerate(told) if isinstance(each, Table)]
            heads = {head for place in tables for head in told[place].header[0]}
            before = told[: min(tables, default=0)]
            assert {each for each in heads if re.fullmatch(r"[A-Z]\d?", each)} <= {
                each.marker for each in before
            }
            if before and step.closing and "chance of this" not in told[len(before)].header[0]:
                assert not any(each.text.endswith(step.closing) for each in before)


@pytest.mark.parametrize("source", CASES)
def test_the_letter_of_a_reason_stands_over_the_numbers_of_its_row(source):
    case = actions.load(source)
    for working in actions.explain(case):
        blocks = list(flatten(working_blocks(working, case)))
        number = 0
        for place, block in enumerate(blocks):
            if isinstance(block, Paragraph) and block.marker and not block.indent:
                number = int(block.marker)
            if not (isinstance(block, Paragraph) and block.indent and block.marker):
                continue
            row = working.steps[number - 1].rows[ord(block.marker) - ord("A")]
            tables = [each for each in blocks[place:] if isinstance(each, Table)]
            column = next(
                [line.cells[table.header[0].index(block.marker)] for line in table.rows]
                for table in tables
                if block.marker in table.header[0]
            )
            shown = [value for value, cell in zip(row.values, column, strict=False) if cell != "–"]
            cells = [cell for cell in column[: len(row.values)] if cell != "–"]
            assert cells == column_words(shown)


def lettered(**texts):
    """Mira's table with so many rows that it is on its side, with these reasons by label."""
    rows = (
        *(Row("prior", "from two carriers", (), reasons=(Said("Both parents are carriers."),)),),
        *(
            Row("conditional", label.replace("_", " "), (), reasons=(Said(why),) if why else ())
            for label, why in texts.items()
        ),
    )
    wide = tuple("long-name-of-a-hypothesis" * 2 for _ in range(3))
    rows = tuple([replace(row, values=MIRA.rows[0].values) for row in rows])
    step = replace(MIRA, labels=wide, rows=rows, closing="")
    return working_blocks(replace(WORKING, steps=(step,)), CASE, heading=False)


def test_long_reasons_have_the_letter_of_their_row():
    why = "Mira is unaffected, which rules out two copies of the allele. " + "It is so. " * 30
    blocks = lettered(Mira_is_unaffected=why.strip(), an_affected_son="II-9 is affected.", rest="")
    assert paragraphs_of(blocks)["1"] == [
        ("", ""),
        ("A", "From two carriers. Both parents are carriers."),
        ("B", why.strip()),
        ("C", "An affected son. II-9 is affected."),
        ("D", "Rest."),
    ]


def test_short_reasons_have_letters_too_and_what_a_row_is_stands_once():
    son = "I-1 is affected. An affected son: the chance is 1/2."
    blocks = lettered(Mira_is_unaffected="Mira is unaffected.", an_affected_son=son)
    assert paragraphs_of(blocks)["1"] == [
        ("", ""),
        ("A", "From two carriers. Both parents are carriers."),
        ("B", "Mira is unaffected."),
        ("C", son),
    ]


def test_how_the_last_line_is_formed_stands_between_the_table_and_it():
    """Two cousins of whom both are unaffected."""
    people = [
        *(person("I-1", "male"), person("I-2", "female")),
        *(person("II-1", "male"), person("II-4", "male")),
        *(person(id, "female", ("I-1", "I-2")) for id in ("II-2", "II-3")),
        person("Oz", "male", ("II-1", "II-2"), affected=False),
        person("Pia", "female", ("II-4", "II-3"), affected=False),
    ]
    asked = [{"ask": "child_affected", "parents": ["Oz", "Pia"]}]
    family = case("autosomal_recessive", {"carrier": "1/20"}, people, asked)
    (working,) = actions.explain(family)
    told = list(flatten(working_blocks(working, family, heading=False)))
    last = max(place for place, block in enumerate(told) if isinstance(block, Table))
    heads = [block for block in told[:last] if isinstance(block, Paragraph)]
    assert [block.marker for block in heads] == list("1ABC")
    assert heads[1].text.startswith("Oz and Pia, jointly. Oz and Pia are tied together by")
    assert heads[2].text == "Oz is unaffected, which rules out two copies of the allele."
    assert heads[3].text == "Pia is unaffected, which rules out two copies of the allele."
    assert told[last + 1].text.startswith(
        "A child is affected only if Oz and Pia are both carriers"
    )
    assert told[last + 2].style == "result"
