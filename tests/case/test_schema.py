"""The shape of every key: what is accepted, and what is said of anything else, and where."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings
from strategies import cases

from risk.case.schema import json_schema
from tests.case.examples import GONE, ON_X, SMALL, WHOLE, changed, only_problem, problems

PUBLISHED = json.loads(Path("docs/case-schema.json").read_text(encoding="utf-8"))
SCHEMA = jsonschema.Draft202012Validator(PUBLISHED)

P = "condition.penetrance"
TEXTS = ["title", "vignette", "condition.name", "people[1].name", "people[2].note"]
NAMES = [
    "condition.variants[0].name",
    "condition.tests[0].name",
    "condition.tests[0].detects[0]",
    "people[2].tests[0].test",
    "people[2].tests[1].result",
    "people[2].twin.group",
    "people[2].id",
    "people[2].father",
    "people[2].mother",
    "couples[0].partners[0]",
    "questions[0].person",
    "questions[5].parents[1]",
    "questions[7].people[0]",
]
RATES = [
    "condition.frequency.allele",
    "condition.mutation.maternal",
    "condition.mutation.paternal",
    "condition.penetrance.female.0",
    "condition.penetrance.male.2",
    "condition.onset[1].cumulative",
    "condition.viability.1",
    "condition.variants[1].share",
    "condition.tests[1].sensitivity",
    "condition.tests[1].specificity",
    "condition.germline_mosaicism.prior",
    "condition.germline_mosaicism.gametes",
    "people[0].inbreeding",
    "people[2].twin.monozygotic_chance",
]
AGES = ["condition.onset[1].age", "people[2].age", "questions[4].by_age", "questions[5].by_age"]
WHOLE_NUMBERS = [
    ("version", 1, 1),
    ("people[3].genotype", 0, 2),
    ("people[2].tests[0].found", 0, 2),
    ("people[4].count", 2, 1000),
    ("questions[8].of", 1, 1000),
    ("questions[8].at_least", 0, 1000),
    ("questions[9].exactly", 0, 1000),
]
FLAGS = ["people[2].affected", "couples[0].consanguineous", "couples[0].separated"]
CHOICES = [
    "condition.inheritance",
    "people[0].sex",
    "people[1].gender",
    "people[0].status",
    "people[1].adopted",
    "people[2].roles[1]",
    "people[2].twin.zygosity",
    "couples[1].childless",
    "questions[0].ask",
    "questions[5].sex",
]
LISTS = [
    "people",
    "couples",
    "questions",
    "condition.onset",
    "condition.variants",
    "condition.tests",
    "condition.tests[0].detects",
    "people[2].tests",
    "people[2].roles",
    "couples[0].partners",
    "questions[5].parents",
    "questions[7].people",
]
OBJECTS = [
    "condition",
    "condition.frequency",
    "condition.mutation",
    "condition.penetrance",
    "condition.penetrance.male",
    "condition.onset[1]",
    "condition.viability",
    "condition.variants[0]",
    "condition.tests[1]",
    "condition.tests[2].likelihood",
    "condition.tests[2].likelihood.low",
    "condition.germline_mosaicism",
    "people[0]",
    "people[2].tests[0]",
    "people[2].twin",
    "couples[0]",
    "questions[0]",
]
NEEDED = [
    "version",
    "condition",
    "condition.inheritance",
    "condition.frequency",
    "condition.penetrance.female",
    "condition.penetrance.male.1",
    "condition.onset[1].age",
    "condition.onset[1].cumulative",
    "condition.viability.0",
    "condition.viability.2",
    "condition.variants[0].name",
    "condition.variants[0].share",
    "condition.tests[0].name",
    "condition.tests[2].likelihood.high.0",
    "condition.tests[2].likelihood.high.2",
    "condition.germline_mosaicism.prior",
    "condition.germline_mosaicism.gametes",
    "people",
    "people[0].id",
    "people[2].tests[0].test",
    "people[2].twin.group",
    "people[2].twin.zygosity",
    "couples[0].partners",
    "questions[0].ask",
]


def places(found):
    return [path for path, _ in found]


def test_the_examples_are_accepted_by_reader_and_published_schema():
    for case in (SMALL, WHOLE, ON_X):
        assert problems(case) == []
        SCHEMA.validate(case)


def test_published_schema_is_current_and_describes_every_key():
    assert json_schema() == PUBLISHED, "run: python -m risk.case.schema > docs/case-schema.json"
    bare = []

    def look(schema, path):
        for key, inner in schema.get("properties", {}).items():
            if not inner.get("description"):
                bare.append(f"{path}.{key}")
        for key, inner in schema.items():
            parts = inner if isinstance(inner, list) else [inner]
            for part in (part for part in parts if isinstance(part, dict)):
                look(part, f"{path}.{key}")

    jsonschema.Draft202012Validator.check_schema(PUBLISHED)
    look(PUBLISHED, "")
    assert bare == []


@settings(max_examples=40)
@given(cases())
def test_published_schema_accepts_random_families(case):
    SCHEMA.validate(case)


def both_refuse(case, path, words, *, published=True):
    """The reader names `path` (and nothing else), and the published schema refuses as well."""
    where, message = only_problem(case)
    assert where == path
    assert words in message
    assert SCHEMA.is_valid(case) is not published


@pytest.mark.parametrize("path", NEEDED)
def test_needed_keys(path):
    both_refuse(changed(WHOLE, (path, GONE)), path, "this key is needed")


# In a likelihood any name is that of a result.
@pytest.mark.parametrize("path", [path for path in OBJECTS if not path.endswith("likelihood")])
def test_unknown_keys(path):
    """A key that no known one resembles, under each object."""
    case = changed(WHOLE, (f"{path}.zzzzz", 1))
    both_refuse(case, f"{path}.zzzzz", "unknown key; known here: ")


@pytest.mark.parametrize(
    ("path", "nearest"),
    [
        ("titel", "title"),
        ("person", "people"),
        ("individuals", "people"),
        ("people[0].Dad", "father"),
        ("people[0].phenotype", "affected"),
        ("people[0].comment", "note"),
        ("comment", "vignette"),
        ("condition.inheritence", "inheritance"),
        ("condition.frequency.carier", "carrier"),
        ("condition.mutation.maternel", "maternal"),
        ("condition.germline_mosaicism.gamete", "gametes"),
        ("condition.tests[1].sensitivty", "sensitivity"),
        ("people[0].Father", "father"),
        ("people[0].effected", "affected"),
        ("people[2].twin.zygozity", "zygosity"),
        ("couples[0].partner", "partners"),
        ("questions[0].persons", "person"),
        ("questions[8].atleast", "at_least"),
    ],
)
def test_unknown_keys_get_the_nearest_known_one(path, nearest):
    both_refuse(changed(WHOLE, (path, 1)), path, f'unknown key; did you mean "{nearest}"?')


@pytest.mark.parametrize(
    ("path", "value", "mend"),
    [
        ("people[0].unaffected", True, 'write "affected": false'),
        ("people[0].unaffected", False, 'write "affected": true'),
        ("people[0].healthy", "yes", 'write "affected": false, or "affected": true for its'),
        ("people[0].Not affected", True, 'write "affected": false'),
        ("people[0].ill", True, 'write "affected": true'),
        ("people[0].deceased", True, 'write "status": "deceased"'),
        ("people[0].alive", False, 'write "status": "deceased"'),
        ("people[0].carrier", True, 'write "genotype": 1 of somebody known for certain'),
        ("people[0].negative", True, 'write "tests": [{"test": NAME, "result": "negative"}]'),
        ("people[0].partner", "I-2", 'stands under "couples"'),
        ("people[2].tests[1].positive", False, 'write "result": "negative"'),
        ("people[2].twin.identical", True, 'write "zygosity": "monozygotic"'),
        ("condition.tests[1].false_positive", 0.1, 'write "specificity": one minus'),
        ("condition.frequency.prevalence", 0.1, 'write "incidence"'),
        ("condition.mutation.male", 0.1, 'did you mean "paternal"?'),
        ("condition.carrier_frequency", 0.1, 'write "frequency": {"carrier": NUMBER}'),
        ("couples[0].unrelated", True, 'write "consanguineous": false'),
        ("couples[0].married", True, "leave it out"),
        ("questions[8].at_most", 1, 'ask for "at_least" one more than that'),
    ],
)
def test_a_key_that_means_another_thing_than_the_nearest_one_is_told_what_to_write(
    path, value, mend
):
    (found,) = problems(changed(WHOLE, (path, value)))
    assert found[0] == path
    assert found[1].startswith("unknown key; ")
    assert mend in found[1]


def test_words_that_only_look_like_a_key_are_not_taken_for_it():
    for path in ("people[0].share", "couples[0].rate", "questions[0].pregnancy"):
        (found,) = problems(changed(WHOLE, (path, True)))
        assert "unknown key; known here: " in found[1]


WRONG = {
    "a number": 7,
    "a text": "seven",
    "true": True,
    "null": None,
    "a list": [],
    "an object": {},
}


@pytest.mark.parametrize("kind", ["a number", "true", "null", "a list", "an object"])
@pytest.mark.parametrize("path", TEXTS + NAMES)
def test_texts_are_texts(path, kind):
    found = problems(changed(WHOLE, (path, WRONG[kind])))
    assert places(found) == [path]
    assert "where a text in double quotes is expected" in found[0][1]
    assert not SCHEMA.is_valid(changed(WHOLE, (path, WRONG[kind])))


@pytest.mark.parametrize("kind", ["a text", "true", "null", "a list", "an object"])
@pytest.mark.parametrize("path", RATES)
def test_rates_are_numbers(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "like 0.04")


@pytest.mark.parametrize("kind", ["a text", "true", "null", "a list", "an object"])
@pytest.mark.parametrize("path", AGES)
def test_ages_are_bare_numbers(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "where an age in years is expected")
    both_refuse(changed(WHOLE, (path, "30")), path, 'the text "30" where an age in years')


@pytest.mark.parametrize("kind", ["a text", "true", "null", "a list", "an object"])
@pytest.mark.parametrize(("path", "least", "most"), WHOLE_NUMBERS)
def test_whole_numbers(path, least, most, kind):
    case = changed(WHOLE, (path, WRONG[kind]))
    both_refuse(case, path, "where a whole number is expected")
    for wrong in (least - 1, most + 1, 10**40, -5):
        assert places(problems(changed(WHOLE, (path, wrong)))) == [path]
        assert not SCHEMA.is_valid(changed(WHOLE, (path, wrong)))
    both_refuse(changed(WHOLE, (path, most + 0.5)), path, "is not a whole number")


@pytest.mark.parametrize("kind", ["a number", "a text", "a list", "an object"])
@pytest.mark.parametrize("path", FLAGS)
def test_flags(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "where true or false is expected")


@pytest.mark.parametrize("path", FLAGS[1:])
def test_only_affected_may_be_null(path):
    both_refuse(changed(WHOLE, (path, None)), path, "null where true or false is expected (leave")
    assert problems(changed(WHOLE, ("people[2].affected", None))) == []


@pytest.mark.parametrize("kind", list(WRONG))
@pytest.mark.parametrize("path", CHOICES)
def test_choices(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "one of ")


@pytest.mark.parametrize(
    ("path", "word", "nearest"),
    [
        ("condition.inheritance", "autosomal-recessive", "autosomal_recessive"),
        ("condition.inheritance", "x_linked_recesive", "x_linked_recessive"),
        ("people[0].sex", "Male", "male"),
        ("people[0].status", "dead", "deceased"),
        ("people[0].status", "died", "deceased"),
        ("people[2].roles[0]", "probant", "proband"),
        ("people[2].twin.zygosity", "monozygous", "monozygotic"),
        ("questions[0].ask", "carriers", "carrier"),
        ("questions[5].sex", "femal", "female"),
    ],
)
def test_choices_get_the_nearest_known_one(path, word, nearest):
    both_refuse(changed(WHOLE, (path, word)), path, f'did you mean "{nearest}"?')


@pytest.mark.parametrize(
    ("path", "value", "mend"),
    [
        ("people[0].gender", "male", '; the key "sex" says that'),
        ("people[0].status", "affected", '; the key "affected" says that'),
        ("people[0].affected", "False", "true or false is expected; write false without quotes"),
        ("people[2].age", "42", "an age in years is expected; write 42 without quotes"),
        ("people[2].age", "old", "an age in years is expected, like 42"),
        ("people[4].count", "3", "a whole number is expected; write 3 without quotes"),
        ("questions[7].people", "II-1", 'one person names it by the key "person"'),
        ("questions[7].people", ["II-1"], 'one person names it by the key "person"'),
    ],
)
def test_what_stands_at_the_wrong_key_or_in_quotes_is_told_its_mend(path, value, mend):
    both_refuse(changed(WHOLE, (path, value)), path, mend)


@pytest.mark.parametrize("kind", ["a number", "a text", "true", "null", "an object"])
@pytest.mark.parametrize("path", LISTS)
def test_lists(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "where a list in square brackets is exp")


@pytest.mark.parametrize("kind", ["a number", "a text", "true", "null", "a list"])
@pytest.mark.parametrize("path", OBJECTS)
def test_objects(path, kind):
    both_refuse(changed(WHOLE, (path, WRONG[kind])), path, "where an object in braces is expected")


@pytest.mark.parametrize("kind", ["a number", "a text", "true", "null", "a list"])
def test_the_whole_file_is_an_object(kind):
    where, message = only_problem(json.dumps(WRONG[kind]))
    assert where == ""
    assert "where an object in braces is expected" in message
    assert not SCHEMA.is_valid(WRONG[kind])


@pytest.mark.parametrize(
    "path",
    [
        "people",
        "condition.onset",
        "condition.variants",
        "condition.tests[0].detects",
        "couples[0].partners",
        "questions[5].parents",
    ],
)
def test_lists_that_may_not_be_empty(path):
    both_refuse(changed(WHOLE, (path, [])), path, "nothing is in here, but at least ")


def test_pairs_are_two():
    for path in ("couples[0].partners", "questions[5].parents", "questions[7].people"):
        both_refuse(changed(WHOLE, (path, ["I-1"])), path, "1 item here, but at least 2 expected")
        three = changed(WHOLE, (path, ["I-1", "I-2", "II-1"]))
        both_refuse(three, path, "3 items here, but at most 2 expected")


def test_a_likelihood_needs_a_result():
    case = changed(WHOLE, ("condition.tests[2].likelihood", {}), ("people[2].tests[2]", GONE))
    both_refuse(case, "condition.tests[2].likelihood", "nothing is in here, but at least 1")


# Texts ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("character", ["\x00", "\x07", "\x1b", "\x7f", "\x85", "\ufffe", "\uffff"])
@pytest.mark.parametrize("path", TEXTS + NAMES)
def test_no_control_characters(path, character):
    case = changed(WHOLE, (path, f"ab{character}"))
    where, message = only_problem(case)
    assert where == path
    assert f"(\\u{ord(character):04x}) at 3" in message
    assert character not in message
    assert not SCHEMA.is_valid(case)


@pytest.mark.parametrize("character", ["\n", "\t", "\r"])
@pytest.mark.parametrize("path", TEXTS + NAMES)
def test_line_breaks_only_in_vignette_and_note(path, character):
    case = changed(WHOLE, (path, f"ab{character}"))
    allowed = path in ("vignette", "people[2].note")
    assert SCHEMA.is_valid(case) is allowed
    assert places(problems(case)) == ([] if allowed else [path])


@pytest.mark.parametrize("half", [chr(0xD800), chr(0xDFFF)])
@pytest.mark.parametrize("path", TEXTS + NAMES)
def test_no_lone_surrogates(path, half):
    where, message = only_problem(changed(WHOLE, (path, f"a{half}b")))
    assert where == path
    assert "holds half a character" in message
    message.encode()  # can be printed


def test_paired_surrogates_are_a_character():
    text = json.dumps(changed(SMALL, ("title", "a \U0001f984")), ensure_ascii=True)
    assert "\\ud83e\\udd84" in text
    assert problems(text) == []


def test_control_characters_in_keys():
    bad = changed(WHOLE, ("condition.tests[2].likelihood.a\x01", {"0": 1, "1": 1, "2": 1}))
    where, message = only_problem(bad)
    assert where == "condition.tests[2].likelihood.a\\x01"
    assert "control character" in message
    where, message = only_problem({**SMALL, "a\x1b[1m": 1})
    assert "\x1b" not in where + message
    where, message = only_problem({**SMALL, "a\ud800": 1})
    (where + message).encode()


def test_control_characters_in_quoted_numbers():
    for path in RATES:
        case = changed(WHOLE, (path, "1\n/2"))
        assert "control character" in only_problem(case)[1]


def test_ids_have_at_most_forty_characters():
    long = "\u00e9" * 40
    case = changed(SMALL, ("people[4].id", long), ("couples", GONE))
    assert problems(case) == []
    both_refuse(
        changed(case, ("people[4].id", long + "x")), "people[4].id", "longer than 40 characters"
    )
    both_refuse(changed(case, ("people[4].id", "")), "people[4].id", "this text is empty")
    for path in ("title", "people[1].name", "vignette", "people[2].note"):
        assert problems(changed(WHOLE, (path, ""))) == []
        assert problems(changed(WHOLE, (path, "x" * 5000))) == []


# Numbers --------------------------------------------------------------------------------------


@pytest.mark.parametrize("wrong", [1.5, -0.01, "101%", "3/2", "-1/2", "1.0000001", 10**40, "1e300"])
@pytest.mark.parametrize("path", RATES)
def test_rates_lie_within_0_and_1(path, wrong):
    mend = '; for 1.5 in 100 write "1.5%"' if wrong == 1.5 else ""
    if path.startswith("people["):
        mend += f' (person "{WHOLE["people"][int(path[7])]["id"]}")'
    assert only_problem(changed(WHOLE, (path, wrong))) == (
        path,
        f'"{wrong}" is outside 0 to 1{mend}'
        if isinstance(wrong, str)
        else f"{json.dumps(wrong)[:40]} is outside 0 to 1{mend}",
    )


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("NaN", '"NaN" is not a number'),
        ("Infinity", '"Infinity" is not a number'),
        ("-Infinity", '"-Infinity" is not a number'),
        ("1e-999999999", "too small a number"),
        ("1e999999999", "more than 300 digits"),
        ("9" * 100_000, "100000 characters is too long"),
        ("0." + "1" * 100_000, "characters is too long"),
        ('"1/0"', '"1/0" divides by zero'),
        ('"0 in 0"', "divides by zero"),
        ('""', '"" is not a number'),
        ('"1/2/3"', 'is not a number; write it like 0.04, "4%", "1/25" or "1 in 25"'),
        ('"0,04"', '"0,04" is not a number; write 0.04 (a comma is not read)'),
        ('"4 percent"', '"4 percent" is not a number; write "4%"'),
        ('"1 out of 25"', '"1 out of 25" is not a number; write "1 in 25"'),
        ('"one in four"', "is not a number"),
        ('"0x1p-3"', "is not a number"),
        ('"1_000/2_000"', "is not a number"),
        ('"\u0661/\u0662"', "is not a number"),
        ('"4 %%"', "is not a number"),
        ('"1/4%"', "is not a number"),
        ('"1e-999999999"', "too small a number"),
        ('"1/1e999999999"', "more than 300 digits"),
    ],
)
@pytest.mark.parametrize("path", ["condition.frequency.allele", "people[0].inbreeding"])
def test_numbers_that_are_none(path, text, words):
    case = json.dumps(changed(WHOLE, (path, "HERE"))).replace('"HERE"', text)
    where, message = only_problem(case)
    assert where == path
    assert words in message
    assert len(message) < 200


@pytest.mark.parametrize("right", [0, 1, 0.5, 1e-300, "0", "1", "100%", "1/25", "1 in 25", " 4 % "])
@pytest.mark.parametrize(
    "path", ["condition.penetrance.female.0", "people[0].inbreeding", "condition.viability.1"]
)
def test_numbers_that_are_some(path, right):
    case = changed(WHOLE, (path, right))
    assert problems(case) == []
    SCHEMA.validate(case)


def test_ages_lie_within_a_life():
    for path in AGES:
        for wrong in (-1, 151, 150.5, 10**40):
            where, message = only_problem(changed(WHOLE, (path, wrong)))
            assert where == path
            assert "is not an age; 0 to 150 years" in message
    assert problems(changed(WHOLE, ("people[2].age", 150), ("questions[4].by_age", 0))) == []


def test_likelihoods_have_no_upper_bound():
    path = "condition.tests[2].likelihood.high.1"
    assert problems(changed(WHOLE, (path, "1e200"))) == []
    assert problems(changed(WHOLE, (path, 0))) == []
    both_refuse(changed(WHOLE, (path, -0.5)), path, "-0.5 is negative")
    assert only_problem(changed(WHOLE, (path, "high"))) == (
        path,
        '"high" is not a number; write it like 0.04, "4%", "1/25" or "1 in 25"',
    )


def test_fitness_is_below_1():
    balance = {"mutation_selection_balance": {"fitness": "99%"}}
    case = changed(ON_X, ("condition.frequency", balance))
    assert problems(case) == []
    path = "condition.frequency.mutation_selection_balance.fitness"
    for wrong in (1, "1", "100%", -0.1, 2):
        where, message = only_problem(changed(case, (path, wrong)))
        assert where == path
        assert "less than 1" in message
    both_refuse(changed(case, (path, GONE)), path, "needed")
    both_refuse(changed(case, (path, "rare")), path, "not a number")


def test_rare_is_a_word_of_two_places_only():
    for path in RATES:
        right = path in RATES[:3]
        found = places(problems(changed(WHOLE, (path, "rare"))))
        if not right:
            assert found == [path]
    assert problems(changed(SMALL, ("condition.frequency", {"allele": "rare"}))) == []
    assert only_problem(changed(SMALL, ("condition.frequency", {"allele": "Rare"})))[0] == (
        "condition.frequency.allele"
    )
    both_refuse(
        changed(SMALL, ("condition.frequency", {"carrier": "rare"})),
        "condition.frequency.carrier",
        '"rare" is not a number',
    )


@pytest.mark.parametrize("text", ["NaN", "Infinity"])
@pytest.mark.parametrize(
    ("path", "wanted"),
    [
        ("version", "a whole number is expected, like 1"),
        ("people[2].count", "a whole number is expected, like 2"),
        ("people[2].age", "an age in years is expected, like 42"),
    ],
)
def test_what_is_no_chance_is_not_told_how_chances_are_written(path, wanted, text):
    case = json.dumps(changed(SMALL, (path, "HERE"))).replace('"HERE"', text)
    where, message = only_problem(case)
    assert (where, message.removesuffix(' (person "II-1")')) == (path, f"{text} where {wanted}")


def test_version_1_is_the_only_one():
    only = "; write 1, the only one that is read here"
    both_refuse(changed(SMALL, ("version", 2)), "version", f"2 where 1 is expected{only}")
    both_refuse(changed(SMALL, ("version", 1.5)), "version", f"1.5 is not a whole number{only}")
    both_refuse(changed(SMALL, ("version", "1")), "version", "whole number is expected")
    assert problems(changed(SMALL, ("version", 1.0))) == []
