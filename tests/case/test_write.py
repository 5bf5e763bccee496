"""Writing loses nothing, comes in the documented order and reads well."""

from __future__ import annotations

import json
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from strategies import cases

from risk.case.model import Case, Condition, Frequency, Person
from risk.case.read import read_case
from risk.case.write import write_case, write_case_line
from risk.number import Quantity, quantity
from tests.case.examples import ON_X, SMALL, WHOLE, changed


def read(case):
    return read_case(json.dumps(case))


def test_every_key_and_every_text_of_a_number_comes_back():
    for data in (SMALL, WHOLE, ON_X):
        case = read(data)
        assert read_case(write_case(case)) == case
        assert read_case(write_case_line(case)) == case
    again = json.loads(write_case(read(WHOLE)))
    del again["people"][6]["sex"], WHOLE_PLAIN["people"][6]["sex"]
    assert again == WHOLE_PLAIN


#: What is written of `WHOLE`: defaults are left out, the other values are the same.
WHOLE_PLAIN = changed(WHOLE)
del WHOLE_PLAIN["people"][0]["affected"]


def test_numbers_keep_their_spelling():
    for text in ("0.0400", "4e-2", "4E-02", '"4%"', '"1 in 25"', '" 1/25"', '"0.04"'):
        source = json.dumps(SMALL).replace('"1/25"', text)
        assert f'{{"carrier": {text}}}' in write_case(read_case(source))
        assert f'{{"carrier": {text}}}' in write_case_line(read_case(source))


def test_numbers_made_in_code_are_valid_json():
    frequency = Frequency(allele=Quantity("1/25", quantity("1/25").value, quoted=False))
    person = Person("X", age=quantity("30"), inbreeding=quantity("1/16"))
    case = Case(Condition("autosomal_recessive", frequency), (person,))
    text = write_case(case)
    assert json.loads(text)["condition"]["frequency"] == {"allele": "1/25"}
    assert json.loads(text)["people"] == [
        {"id": "X", "sex": "unknown", "age": 30, "inbreeding": "1/16"}
    ]
    assert read_case(text).people[0].age.value == 30


def test_keys_come_in_the_documented_order():
    shuffled = json.loads(json.dumps(WHOLE, sort_keys=True))
    written = json.loads(write_case(read(shuffled)))
    assert list(written) == [
        "version", "title", "vignette", "condition", "people", "couples", "questions",
    ]  # fmt: skip
    assert list(written["condition"]) == [
        "name", "inheritance", "frequency", "mutation", "penetrance", "onset", "viability",
        "variants", "tests", "germline_mosaicism",
    ]  # fmt: skip
    assert list(written["people"][2]) == [
        "id", "sex", "father", "mother", "affected", "age", "tests", "twin", "roles", "note",
    ]  # fmt: skip
    assert write_case(read(shuffled)) == write_case(read(changed(shuffled)))


def test_defaults_are_left_out_but_not_the_sex():
    case = read(
        changed(
            SMALL,
            ("people[4]", {"id": "II-3", "status": "alive", "tests": [], "affected": None}),
            ("couples", []),
        )
    )
    written = json.loads(write_case(case))
    assert written["people"][4] == {"id": "II-3", "sex": "unknown"}
    assert "couples" not in written
    assert "title" not in written


def test_the_layout_is_one_short_thing_a_line():
    text = write_case(read(SMALL))
    assert text.endswith("}\n")
    assert '    {"id": "I-1", "sex": "male"},\n' in text
    assert '  "couples": [{"partners": ["II-2", "II-3"]}],\n' in text
    assert max(map(len, text.splitlines())) <= 110
    assert "\n" not in write_case_line(read(SMALL))


def test_text_of_any_language_and_line_separators():
    title = "Зорт \U0001f984 \u2028 \u2029 é"
    case = read(changed(SMALL, ("title", title)))
    for text in (write_case(case), write_case_line(case)):
        assert "Зорт" in text
        assert len(text.splitlines()) == text.count("\n") + (text[-1] != "\n")
        assert read_case(text).title == title


@given(cases())
def test_any_case_comes_back(data):
    case = read(data)
    assert read_case(write_case(case)) == case
    assert read_case(write_case_line(case)) == case


TEXT = st.text(
    st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\ufffe\uffff"), max_size=30
)


@given(TEXT, TEXT.filter(lambda text: 0 < len(text) <= 40))
def test_any_text_comes_back(text, id):
    case = read(SMALL)
    first = replace(case.people[4], name=text, note=f"{text}\n\t{text}")
    case = replace(case, title=text, vignette=text + "\n", people=(*case.people[:4], first))
    assert read_case(write_case(case)) == case
    one = replace(case, people=(Person(id),), couples=(), questions=())
    assert read_case(write_case(one)) == one
    assert read_case(write_case_line(one)) == one
