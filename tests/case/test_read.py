"""From text to case: what is not JSON, doubled keys, several problems at once, lines of cases."""

from __future__ import annotations

import json
import subprocess
import sys
from fractions import Fraction

import pytest

from risk.case.model import Person
from risk.case.read import read_case, read_unfinished
from risk.number import Quantity
from risk.problems import InputError
from tests.case.examples import GONE, ON_X, SMALL, WHOLE, changed, only_problem, problems

TEXT = json.dumps(SMALL, indent=1)


def places(case):
    return [path for path, _ in problems(case)]


# What is read ---------------------------------------------------------------------------------


def test_numbers_are_exact_and_keep_their_text():
    case = read_case(json.dumps(WHOLE))
    assert case.condition.frequency.allele == Quantity("0.02", Fraction(1, 50), quoted=False)
    assert case.condition.penetrance.male.one == Quantity("0.1%", Fraction(1, 1000))
    assert case.condition.penetrance.male.two == Quantity("9 in 10", Fraction(9, 10))
    assert case.people[2].age == Quantity("30.25", Fraction(121, 4), quoted=False)
    bare = TEXT.replace('"1/25"', "4.0e-2")
    assert read_case(bare).condition.frequency.carrier == Quantity("4.0e-2", Fraction(1, 25), False)


def test_what_is_absent_has_its_default():
    case = read_case(TEXT)
    assert case.people[0] == Person(id="I-1", sex="male")
    assert case.people[0].status == "alive"
    assert case.people[0].tests == ()
    assert case.condition.penetrance is None
    assert case.title is None
    assert (case.couples[0].separated, case.couples[0].childless) == (None, None)


def test_every_key_arrives():
    case = read_case(json.dumps(WHOLE))
    assert case.vignette == "They came\nto ask.\tMuch."
    assert [row.result for row in case.condition.tests[2].likelihood] == ["high", "low"]
    assert case.people[2].twin.monozygotic_chance.value == Fraction(1, 3)
    assert case.people[2].roles == ("proband", "consultand")
    assert case.people[2].tests[1].result == "negative"
    assert case.people[4].count == 3
    assert case.people[6].status == "pregnancy"
    assert case.couples[1].childless == "choice"
    assert case.questions[5].parents == ("II-4", "II-1")
    assert case.questions[9].exactly == 200


def test_text_bytes_marks_and_line_ends_are_the_same_case():
    case = read_case(TEXT)
    windows = TEXT.replace("\n", "\r\n")
    for same in (
        TEXT.encode(),
        "\ufeff" + TEXT,
        TEXT.encode("utf-8-sig"),
        windows,
        f"\n {TEXT}\n\n",
    ):
        assert read_case(same) == case


# What is not JSON -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "the file is empty"),
        (" \n\t ", "the file is empty"),
        ("\ufeff", "the file is empty"),
        ("case", "not JSON at column 1: a value is expected"),
        ('{"version": 1', "not JSON at column 14: a comma or a closing bracket is expected"),
        ('{"version": 1', "the line ends too early: } is missing at its end"),
        ('{"title": "[{", "a": [1, {"b":\n', "column 31: a value is expected"),
        ('{"title": "[{", "a": [1, {"b":\n', "the line ends too early: }]} is missing"),
        ('{"title": "[{",\n "a": [1, {"b":\n', "line 2, column 16: a value is expected"),
        ('{"title": "[{",\n "a": [1, {"b":\n', "the file ends too early: }]} is missing"),
        ('{"a": ' + "[" * 9, "; the line ends too early"),
        ('{"version": 1,}', "column 14: the comma before the closing bracket is one too many"),
        ('{"version": 1, }', "column 14: the comma before the closing bracket is one too many"),
        ('{"people": [1, 2\n, ]}', "line 2, column 1: the comma before the closing bracket is"),
        ('{"people": [,]}', "column 13: the comma before the closing bracket is one too many"),
        ("{1: 1}", "not JSON at column 2: a key in double quotes is expected"),
        ('{"version" 1}', "a colon is expected after a key"),
        ('{"version":\n1 "title": ""}', "line 2, column 3: a comma or a closing bracket"),
        ('{"version": 1} {}', "the JSON object ends before here, but more follows"),
        ('{"title": "a\nb"}', "write a line break as \\n"),
        ('{"title": "a}', "has no closing double quote"),
        ('{"title": "\\x41"}', "a backslash that starts no known escape"),
        ('{"version": 01}', "not JSON at column 14"),
        ('{"version": -}', "a value is expected"),
        ('{"version": 1} // note', "more follows"),
        ("\x00", "a value is expected"),
        ("[" * 100_000, "nested too deeply"),
        ("[" * 100_000 + "]" * 100_000, "nested too deeply"),
        ('{"a":' * 100_000 + "1" + "}" * 100_000, "nested too deeply"),
    ],
)
def test_what_is_not_json(text, words):
    where, message = only_problem(text)
    assert where == ""
    assert words in message
    assert problems(text.encode()) == [(where, message)]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b'{"title": "caf\xe9"}', "it holds the byte 0xe9; save it as UTF-8"),
        (b'{\n"title": "caf\xe9"}', "line 2 holds the byte 0xe9; save it as UTF-8"),
        (b"\xff\n", "it holds the byte 0xff"),
        (TEXT.encode("utf-16"), "it looks like UTF-16"),
        (b"\xed\xa0\x80", "not UTF-8"),  # half a character, which UTF-8 does not hold
        (bytes(range(256)), "not UTF-8"),
    ],
)
def test_what_is_not_utf_8(content, words):
    where, message = only_problem(content)
    assert where == ""
    assert words in message


def test_deep_nesting_inside_a_case():
    for depth in (900, 100_000):
        deep = json.dumps(SMALL)[:-1] + ', "x": ' + "[" * depth + "]" * depth + "}"
        assert len(problems(deep)) == 1


MANY = {
    "a number without end": f'{{"version": {"9" * 5_000_000}}}',
    "a text without end": json.dumps({**SMALL, "title": "x" * 5_000_000 + "\x01"}),
    "an id without end": json.dumps(changed(SMALL, ("people[4].id", "x" * 5_000_000))),
    "nothing but brackets": "[" * 5_000_000,
    "nothing but spaces": " " * 5_000_000,
    "nothing but zeros": "\0" * 5_000_000,
    "a list of numbers": f"[{'1,' * 500_000}1]",
    "people who are numbers": f'{{"version":1,"people":[{"1," * 500_000}1]}}',
    "a hundred thousand people who are numbers": f'{{"version":1,"people":[{"1," * 100_000}1]}}',
    "keys nobody knows": json.dumps({f"k{i}": 1 for i in range(100_000)}),
    "one key over and over": "{" + '"k": 1, ' * 200_000 + '"k": 1}',
    "results nobody knows": json.dumps(
        changed(SMALL, ("people[0].tests", [{"test": "t"}] * 50_000))
    ),
    "parents who do not exist": json.dumps(
        {**SMALL, "people": [{"id": f"p{i}", "father": "x", "mother": "y"} for i in range(20_000)]}
    ),
    "twins without parents": json.dumps(
        {
            **SMALL,
            "people": [
                {"id": f"p{i}", "twin": {"group": "a", "zygosity": "unknown"}}
                for i in range(20_000)
            ],
        }
    ),
}


@pytest.mark.parametrize("name", MANY)
def test_megabytes_of_junk(name):
    found = problems(MANY[name])
    assert 0 < len(found) <= 1001
    assert max(len(message) for _, message in found) < 400
    assert max(len(path) for path, _ in found) < 400


def test_what_is_left_out_is_counted():
    where, message = problems(MANY["parents who do not exist"])[-1]
    assert where == ""
    assert message == "39,003 more problems are not shown"  # 40,000, a couple and a question of two
    assert "such problems in all" in problems(MANY["keys nobody knows"])[0][1]


def test_larger_than_any_family():
    assert "larger than 64 MB" in only_problem(b" " * 64_000_001)[1]


# Doubled keys ---------------------------------------------------------------------------------


def test_doubled_keys_are_named_wherever_they_stand():
    text = json.dumps(WHOLE)
    for path, before in {
        "title": '"title": "Every key"',
        "condition": '"condition": {',
        "condition.frequency.allele": '"allele": 0.02',
        "condition.penetrance.male.2": '"2": "9 in 10"',
        "condition.tests[2].likelihood.low.2": '"2": 0}',
        "people[2].twin.zygosity": '"zygosity": "unknown", "monozygotic_chance": "1/3"}, "roles"',
        "people[4].count": '"count": 3',
        "questions[8].of": '"of": 3',
    }.items():
        assert text.count(before) == 1
        key = path.rsplit(".", 1)[-1]
        again = text.replace(before, f'"{key}": 1, {before}')
        assert ("this key is given twice; keep one of them") in dict(problems(again))[path]
        assert places(again) == [path]


def test_doubled_results_of_a_likelihood():
    table = '"high": {"0": 1, "1": 1, "2": 1}, '
    text = json.dumps(WHOLE).replace('"high": {', table + '"high": {')
    assert only_problem(text)[0] == "condition.tests[2].likelihood.high"


def test_doubled_keys_come_with_all_else():
    text = json.dumps(changed(SMALL, ("people[3].sex", "femal"), ("people[2].father", "I-9")))
    text = text.replace('"inheritance"', '"inheritance": "x", "inheritance"')
    assert places(text) == ["condition.inheritance", "people[2].father", "people[3].sex"]


# All problems at once -------------------------------------------------------------------------


def test_all_problems_come_in_file_order():
    case = changed(
        WHOLE,
        ("titel", 1),
        ("condition.inheritance", "recessive"),
        ("condition.penetrance.male.0", 2),
        ("condition.tests[1].specificity", GONE),
        ("people[0].inbreeding", -1),
        ("people[2].tests[1].result", "maybe"),
        ("people[3].father", "I-9"),
        ("people[4].age", GONE),
        ("couples[0].partners[1]", "II-9"),
        ("questions[0].person", 7),
        ("questions[3].person", "II-7"),
        ("questions[9].exactly", 201),
    )
    expected = [
        "condition.inheritance",
        "condition.penetrance.male.0",
        "condition.tests[1].specificity",
        "people[0].inbreeding",
        "people[2].tests[1].result",
        "people[3].father",
        "people[4].age",
        "couples[0].partners[1]",
        "questions[0].person",
        "questions[3].person",
        "questions[9].exactly",
        "titel",
    ]
    assert places(case) == expected
    backwards = {key: case[key] for key in reversed(case)}
    assert places(backwards) == [
        *expected[11:],
        *expected[8:11],
        *expected[7:8],
        *expected[3:7],
        *expected[:3],
    ]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        # A part with a fault is no ground for others ...
        ([("people[0].id", 7)], ["people[0].id"]),
        ([("people[0].id", GONE)], ["people[0].id"]),
        ([("people[0]", "I-1")], ["people[0]"]),
        ([("people[0].father", 7)], ["people[0].father"]),
        ([("people[2].father", 7)], ["people[2].father"]),
        ([("people[2].mother", None)], ["people[2].mother"]),
        ([("people[2].twin", {"group": "a"})], ["people[2].twin.zygosity"]),
        ([("condition", None)], ["condition"]),
        ([("condition.tests", None)], ["condition.tests"]),
        ([("condition.tests[0].detects", None)], ["condition.tests[0].detects"]),
        ([("condition.variants", None)], ["condition.variants"]),
        ([("condition.variants[0].share", "x")], ["condition.variants[0].share"]),
        ([("condition.frequency", "1/25")], ["condition.frequency"]),
        ([("condition.frequency.allele", "x")], ["condition.frequency.allele"]),
        ([("condition.inheritance", "x")], ["condition.inheritance"]),
        ([("condition.onset[1].age", "x")], ["condition.onset[1].age"]),
        ([("people", {})], ["people"]),
        ([("people", [])], ["people"]),
        ([("couples", 7)], ["couples"]),
        ([("questions[8].of", 0)], ["questions[8].of"]),
        # ... but what is sound is still checked.
        (
            [("people[0].sex", "mal"), ("people[2].father", "I-9")],
            ["people[0].sex", "people[2].father"],
        ),
        (
            [("people[3].age", "x"), ("people[3].father", "I-9")],
            ["people[3].father", "people[3].age"],
        ),
        ([("people[0].id", 7), ("people[2].mother", "II-4")], ["people[0].id", "people[2].mother"]),
        (
            [("version", 2), ("questions[0].person", "X-1"), ("questions[1].person", 1)],
            ["version", "questions[0].person", "questions[1].person"],
        ),
        (
            [("condition.inheritance", 1), ("condition.onset[2].age", 3), ("people[0].sex", 1)],
            ["condition.inheritance", "condition.onset[2].age", "people[0].sex"],
        ),
        # A wrong number, or key, of a test hides neither its name nor its kind ...
        (
            [
                ("condition.frequency.allele", "4 percent"),
                ("condition.tests[1].sensitivity", 95),
                ("people[2].tests[1].test", "Blood"),
                ("people[2].tests[1].result", "neg"),
            ],
            [
                "condition.frequency.allele",
                "condition.tests[1].sensitivity",
                "people[2].tests[1].test",
                "people[2].tests[1].result",
            ],
        ),
        (
            [
                ("condition.tests[2].likelihood.high.1", -1),
                ("people[2].tests[2].result", "higher"),
                ("people[2].tests[0].test", "pannel"),
            ],
            [
                "condition.tests[2].likelihood.high.1",
                "people[2].tests[0].test",
                "people[2].tests[2].result",
            ],
        ),
        # (a wrong number in what is left out for another fault, too) ...
        (
            [
                ("condition.tests[2].likelihood.high", {"0": 1}),
                ("condition.tests[2].likelihood.low.1", -1),
            ],
            [
                "condition.tests[2].likelihood.high.1",
                "condition.tests[2].likelihood.high.2",
                "condition.tests[2].likelihood.low.1",
            ],
        ),
        (
            [("condition.tests[0].detect", 1), ("people[2].tests[0].test", "x")],
            ["condition.tests[0].detect", "people[2].tests[0].test"],
        ),
        # ... but what results a test has may hang on the key, or on its name.
        (
            [
                ("condition.tests", [{"name": "panel", "detect": ["common"]}]),
                ("people[2].tests", [{"test": "panel", "found": 0}]),
            ],
            ["condition.tests[0].detect"],
        ),
        ([("condition.tests[1].name", 7)], ["condition.tests[1].name"]),
        # A wrong result hides no other, nor its own test.
        (
            [("people[2].tests[0].found", 7), ("people[2].tests[1].result", "neg")],
            ["people[2].tests[0].found", "people[2].tests[1].result"],
        ),
        (
            [("people[2].tests[0]", {"test": "x", "found": 7}), ("people[2].tests[1].test", 1)],
            ["people[2].tests[0].test", "people[2].tests[0].found", "people[2].tests[1].test"],
        ),
        # Classes are known by name though a share is wrong.
        (
            [("condition.variants[0].share", 9), ("condition.tests[0].detects[0]", "comon")],
            ["condition.variants[0].share", "condition.tests[0].detects[0]"],
        ),
        # That there is a penetrance by sex, or an onset, is known though a number is wrong.
        (
            [("condition.penetrance.male.1", 7), ("people[6].affected", True)],
            ["condition.penetrance.male.1", "people[6].sex"],
        ),
        (
            [("condition.onset[1].cumulative", 7), ("people[3].affected", False)],
            ["condition.onset[1].cumulative", "people[3].age"],
        ),
        # People of a question are known though its kind or a number is wrong.
        (
            [("questions[0]", {"ask": "carier", "person": "II-9"})],
            ["questions[0].ask", "questions[0].person"],
        ),
        (
            [
                ("questions[8].of", 0),
                ("questions[8].parents", ["II-1", "II-3"]),
                ("questions[8].at_least", 3),
                ("people[4].sex", "female"),
            ],
            ["questions[8].parents", "questions[8].of"],
        ),
        ([("questions[0]", {"ask": "carrier", "persn": "II-1"})], ["questions[0].persn"]),
        (
            [("couples[0].maried", True), ("couples[0].partners", ["II-1", "X"])],
            ["couples[0].partners[1]", "couples[0].maried"],
        ),
        # An unknown key is no sign that the key it stands for is missing.
        (
            [("people[2].father", GONE), ("people[2].fater", "I-1")],
            ["people[2].fater"],
        ),
        ([("people[2].age", GONE), ("people[2].agee", 30)], ["people[2].agee"]),
    ],
)
def test_faults_of_shape_do_not_hide_or_set_off_others(changes, expected):
    assert places(changed(WHOLE, *changes)) == expected


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        # The other parent, and what hangs on there being parents.
        (
            [("people[2].father", 7), ("people[2].mother", "II-4")],
            ["people[2].father", "people[2].mother"],
        ),
        (
            [("people[2].mother", 7), ("people[2].father", "I-9")],
            ["people[2].father", "people[2].mother"],
        ),
        (
            [("people[2].fater", "I-1"), ("people[2].father", GONE), ("people[2].mother", "I-9")],
            ["people[2].mother", "people[2].fater"],
        ),
        (
            [("people[2].father", 7), ("people[2].count", 2), ("people[2].inbreeding", "1/8")],
            ["people[2].father", "people[2].count", "people[2].inbreeding"],
        ),
        # A group of twins, though one zygosity cannot be read.
        (
            [("people[2].twin.zygosity", "mono"), ("people[2].twin.group", "b")],
            ["people[2].twin.group", "people[2].twin.zygosity", "people[3].twin.group"],
        ),
        (
            [("people[2].twin.colour", 1), ("people[2].twin.zygosity", "monozygotic")],
            [
                "people[2].twin.monozygotic_chance",
                "people[2].twin.colour",
                "people[3].twin.zygosity",
            ],
        ),
        # What does not hang on the mode of inheritance.
        (
            [
                ("condition.inheritance", "recessive"),
                ("condition.frequency", {"allele": "0.02", "incidence": "0.0004"}),
                ("condition.penetrance.female.2", GONE),
            ],
            ["condition.inheritance", "condition.frequency", "condition.penetrance.female.2"],
        ),
        # An order and a sum, as far as their numbers can be read.
        (
            [("condition.onset[2].cumulative", 7), ("condition.onset[0].cumulative", "1%")],
            ["condition.onset[0].cumulative", "condition.onset[2].cumulative"],
        ),
        (
            [("condition.onset[2].age", "old"), ("condition.onset[2].cumulative", "1%")],
            ["condition.onset[2].age", "condition.onset[2].cumulative"],
        ),
        (
            [("condition.onset[0].age", -1), ("condition.onset[0].cumulative", "1%")],
            ["condition.onset[0].age"],
        ),
        (
            [("condition.onset[1].years", 20), ("people[4].age", GONE)],
            ["condition.onset[1].years", "people[4].age"],
        ),
        (
            [("condition.variants[0].share", "9"), ("condition.variants[1].name", "common")],
            ["condition.variants[0].share", "condition.variants[1].name"],
        ),
        # The name of a test of which something else is wrong.
        (
            [
                ("condition.tests[2].reagent", 1),
                ("condition.tests[2].name", "panel"),
                ("people[2].tests[2].test", "panel"),
                ("people[2].tests[2].result", GONE),
                ("people[2].tests[2].found", 0),
            ],
            ["condition.tests[2].name", "condition.tests[2].reagent"],
        ),
        # Questions: keys that are missing, too many, or too large.
        (
            [("questions[9].sex", "boy"), ("questions[9].of", GONE)],
            ["questions[9].of", "questions[9].sex"],
        ),
        (
            [("questions[8].of", 0), ("questions[8].exactly", 1)],
            ["questions[8].of", "questions[8].exactly"],
        ),
        (
            [("questions[8].at_least", 4), ("questions[8].exactly", 1)],
            ["questions[8].at_least", "questions[8].exactly"],
        ),
        (
            [("questions[8].ask", "children"), ("questions[8].parents", ["II-1"])],
            ["questions[8].ask", "questions[8].parents"],
        ),
        # Nothing is said of what may follow from the fault alone.
        ([("people[0].mother", 7)], ["people[0].mother"]),
        ([("people[2].twin.zygosity", "mono")], ["people[2].twin.zygosity"]),
        ([("questions[8].of", 0), ("questions[8].at_least", 9)], ["questions[8].of"]),
    ],
)
def test_two_faults_at_one_place_are_told_in_one_round(changes, expected):
    assert sorted(places(changed(WHOLE, *changes))) == sorted(expected)


def test_on_the_x_a_wrong_inheritance_sets_off_nothing():
    assert places(changed(ON_X, ("condition.inheritance", "x"))) == ["condition.inheritance"]


IDS = '"I-1", "I-2", "II-1", "II-2", "II-3"'


def test_messages_say_place_fault_and_mend():
    case = changed(SMALL, ("people[3].father", "I-9"), ("condition.frequency.carrier", "5/4"))
    with pytest.raises(InputError) as caught:
        read_case(json.dumps(case))
    assert caught.value.status == 2
    assert str(caught.value).splitlines() == [
        'condition.frequency.carrier: "5/4" is outside 0 to 1',
        f'people[3].father: no person "I-9"; did you mean "I-1"? (there are {IDS}) (person "II-2")',
    ]


def test_messages_name_the_person_where_the_place_only_counts():
    changes = (("people[3].affected", "no"), ("people[4].id", ""), ("people[0].age", -1))
    with pytest.raises(InputError) as caught:
        read_case(json.dumps(changed(SMALL, *changes)))
    first, third, fourth = caught.value.problems
    assert (first.path, third.path, fourth.path) == (
        "people[0].age",
        "people[3].affected",
        "people[4].id",
    )
    assert first.message.endswith(' (person "I-1")')
    assert third.message.endswith(' (person "II-2")')
    assert "(person" not in fourth.message  # the id itself is at fault


def test_a_message_that_names_the_person_does_not_name_them_again():
    with pytest.raises(InputError) as caught:
        read_case(json.dumps(changed(SMALL, ("people[3].father", "I-2"))))
    ((problem),) = caught.value.problems
    assert problem.message.count('"II-2"') <= 1


def test_reading_loads_no_more_than_it_needs():
    code = (
        "import sys, risk.case.read as r; r.read_case(sys.stdin.read());"
        "heavy = {'pydantic', 'numpy', 'pandas', 'risk.case.faults'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    run = subprocess.run(
        [sys.executable, "-c", code], input=TEXT, capture_output=True, text=True, check=True
    )
    assert run.stdout.strip() == "[]"


@pytest.mark.parametrize(
    ("content", "name"),
    [
        # The first bytes as the formats' own specifications and RFC 1952 have them.
        (b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n", "a PDF"),
        (b"PK\x03\x04\x14\x00", "a ZIP archive"),
        (b"\x89PNG\r\n\x1a\n", "a PNG picture"),
        (b"\xff\xd8\xff\xe0", "a JPEG picture"),
        (b"\x1f\x8b\x08\x00", "a compressed file"),
    ],
)
def test_files_of_other_kinds_are_named(content, name):
    with pytest.raises(InputError, match=f"this is {name}.*, not a case file"):
        read_case(content)


@pytest.mark.parametrize(
    ("path", "word", "meant"),
    [
        *(("sex", word, "male") for word in ("M", "m", "man")),
        *(("sex", word, "female") for word in ("F", "f", "woman")),
        ("inheritance", "AR", "autosomal_recessive"),
        ("inheritance", "AD", "autosomal_dominant"),
        ("inheritance", "XLR", "x_linked_recessive"),
        ("inheritance", "X-LD", "x_linked_dominant"),
    ],
)
def test_short_forms_get_the_word_that_is_meant(path, word, meant):
    data = {
        "version": 1,
        "condition": {"inheritance": "autosomal_recessive", "frequency": {"allele": 0}},
        "people": [{"id": "I-1", "sex": "male"}],
    }
    place = data["condition"] if path == "inheritance" else data["people"][0]
    place[path] = word
    with pytest.raises(InputError, match=f'did you mean "{meant}"'):
        read_case(json.dumps(data))


def test_a_file_of_several_cases_is_told_from_a_broken_one():
    with pytest.raises(InputError, match="several cases, the second at line 2, column 1"):
        read_case(f"{json.dumps(SMALL)}\n{json.dumps(SMALL)}\n")


# What is not finished -------------------------------------------------------------------------

AGES = ("condition.onset", [{"age": 0, "cumulative": 0}, {"age": 70, "cumulative": 1}])
BALANCE = ("condition.frequency", {"mutation_selection_balance": {"fitness": 0}})
WRONG_TEST = ("people[2].tests", [{"test": "blood", "result": "positive"}])


@pytest.mark.parametrize(
    "lack",
    [AGES, BALANCE, WRONG_TEST, ("people[0].sex", "female"), ("people[0].status", "stillbirth")],
)
def test_a_family_that_lacks_something_can_be_read_to_be_mended(lack):
    data = changed(SMALL, lack)
    assert problems(data)
    assert len(read_unfinished(json.dumps(data)).people) == 5


@pytest.mark.parametrize(
    "fault",
    [
        ("people[0].id", "I-2"),
        ("people[0].colour", "red"),
        ("people[2].father", "I-9"),
        ("people[2].father", GONE),
        ("people[2].father", "II-1"),
        ("people[2].mother", "I-1"),
        ("couples[0].partners", ["II-2", "II-2"]),
        ("couples[0].partners", ["II-2", "II-9"]),
        ("questions[0].person", "II-9"),
        ("questions[0].person", GONE),
        ("questions[0].ask", "colour"),
        ("questions[0]", {"ask": "children_affected", "parents": ["I-2", "I-1"], "of": 2}),
        ("condition.frequency", {}),
        ("condition.tests", [{"name": "blood"}]),
        ("condition.tests", [{"name": "blood", "sensitivity": 1}]),
    ],
)
def test_what_has_no_family_to_draw_is_refused_as_ever(fault):
    text = json.dumps(changed(SMALL, fault))
    with pytest.raises(InputError) as refused:
        read_case(text)
    with pytest.raises(InputError) as also:
        read_unfinished(text)
    assert also.value.problems == refused.value.problems


def test_a_doubled_key_is_refused_also_in_what_is_not_finished():
    text = TEXT.replace('"sex": "male"', '"sex": "male", "sex": "female"', 1)
    with pytest.raises(InputError):
        read_unfinished(text)
