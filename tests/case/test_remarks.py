"""Remarks: on what is allowed but hardly meant, and on nothing else."""

from __future__ import annotations

import json

import pytest

from risk.case.read import read_case
from risk.case.remarks import remarks
from risk.problems import shown
from tests.case.examples import GONE, ON_X, SMALL, WHOLE, changed


def remarked(data):
    return [(remark.path, remark.message) for remark in remarks(read_case(json.dumps(data)))]


def asking(base=SMALL, **question):
    return changed(base, ("questions", [question]))


def test_nothing_to_remark():
    assert remarked(SMALL) == []
    assert remarked(ON_X) == []


def test_an_empty_name_is_none():
    assert remarked(changed(SMALL, ("people[0].name", ""), ("people[1].name", ""))) == []


BY_AGE = asking(WHOLE, ask="will_be_affected", person="II-1", by_age=50)


@pytest.mark.parametrize(
    ("case", "path", "words"),
    [
        (changed(SMALL, ("people[2].count", 2)), "people[2].count", "drawn singly"),
        (changed(SMALL, ("people[5]", {"id": "X"})), "people[5]", "has no relatives here"),
        (changed(SMALL, ("questions", GONE)), "questions", "nothing is asked"),
        (
            changed(
                SMALL,
                ("condition.tests", [{"name": "t", "sensitivity": 1, "specificity": 0.5}]),
            ),
            "condition.tests[0].name",
            'nobody has a result of "t"',
        ),
        (
            changed(WHOLE, ("condition.tests[1].specificity", "1%"), ("questions", GONE)),
            "condition.tests[1]",
            "less than 1",
        ),
        (
            changed(SMALL, ("couples[0]", {"partners": ["I-2", "I-1"], "childless": "choice"}))
            | {"people": SMALL["people"][:4]},
            "couples[0].childless",
            "have children together",
        ),
        (
            asking(ask="will_be_affected", person="II-2", by_age=9),
            "questions[0].by_age",
            "without ages at onset",
        ),
        (
            changed(BY_AGE, ("questions[0].by_age", 61)),
            "questions[0].by_age",
            "after age 60.5",
        ),
        (
            changed(BY_AGE, ("questions[0].by_age", 30.25)),
            "questions[0].by_age",
            '"II-1" is unaffected at 30.25 already',
        ),
        (
            asking(ask="will_be_affected", person="II-1"),
            "questions[0].person",
            "is affected already",
        ),
        (
            asking(
                changed(SMALL, ("people[3].status", "deceased")),
                ask="will_be_affected",
                person="II-2",
            ),
            "questions[0].person",
            'whose status is "deceased"',
        ),
        (
            asking(
                changed(SMALL, ("people[4].status", "deceased")),
                ask="child_affected",
                parents=["II-2", "II-3"],
            ),
            "questions[0].parents[1]",
            "is deceased",
        ),
        (asking(ON_X, ask="carrier", person="I-1"), "questions[0].person", "the chance is 0"),
        (
            asking(ON_X, ask="child_carrier", parents=["I-1", "II-2"], sex="male"),
            "questions[0].sex",
            "the chance is 0",
        ),
        (
            asking(ON_X, ask="both_carriers", people=["II-2", "I-1"]),
            "questions[0].people[1]",
            "the chance is 0",
        ),
    ],
)
def test_remarks(case, path, words):
    found = remarked(case)
    matching = [message for where, message in found if where == path]
    assert len(matching) == 1, found
    assert words in matching[0]


def test_by_age_after_today_needs_no_remark():
    assert [path for path, _ in remarked(BY_AGE) if path.startswith("questions")] == []


@pytest.mark.parametrize("rates", [{}, {"maternal": 0, "paternal": "0"}])
def test_a_balance_without_new_mutations(rates):
    balance = {"mutation_selection_balance": {"fitness": 0}}
    base = changed(ON_X, ("condition.frequency", balance), ("condition.mutation", rates))
    (path, message), *_ = remarked(base)
    assert path == "condition.frequency.mutation_selection_balance"
    assert "state the rates of new mutation" in message
    assert remarked(changed(base, ("condition.mutation", {"maternal": "1/10000"}))) == []


def test_a_frequency_of_zero_without_any_way_for_the_allele_to_arise():
    path = "condition.frequency.allele"
    none = changed(SMALL, ("condition.frequency", {"allele": 0}))
    assert [where for where, _ in remarked(none)] == [path]
    assert "nobody here can have it" in remarked(none)[0][1]
    still = {"prior": 0, "gametes": "1/2"}
    assert path in dict(remarked(changed(none, ("condition.germline_mosaicism", still))))
    for key, value in (
        ("mutation", {"maternal": "1/100000"}),
        ("mutation", {"maternal": "rare", "paternal": "rare"}),
        ("germline_mosaicism", {"prior": "1/1000", "gametes": "1/2"}),
        ("frequency", {"allele": "1/1000000"}),
    ):
        assert remarked(changed(none, (f"condition.{key}", value))) == []


@pytest.mark.parametrize("rates", [{}, {"maternal": 0}, {"maternal": "rare", "paternal": "rare"}])
def test_a_rare_allele_beside_mutation_rates(rates):
    """As q goes to 0 with u fixed, an affected boy's mother carries with chance q/u: never."""
    rare = changed(ON_X, ("condition.frequency", {"allele": "rare"}))
    stated = changed(rare, ("condition.mutation", {"maternal": "1/100000"}))
    (found,) = [each for each in remarked(stated) if each[0] == "condition.mutation"]
    assert "comes from a new mutation" in found[1]
    if "rare" not in rates.values():  # which two limits together would be an error
        other = changed(rare, ("condition.mutation", rates))
        assert [each for each in remarked(other) if each[0] == "condition.mutation"] == []
    common = changed(stated, ("condition.frequency", {"allele": "1/1000"}))
    assert [each for each in remarked(common) if each[0] == "condition.mutation"] == []


COUSINS = [
    {"id": "I-1", "sex": "male"},
    {"id": "I-2", "sex": "female"},
    *({"id": f"II-{n}", "sex": "female", "father": "I-1", "mother": "I-2"} for n in (1, 2)),
    *({"id": f"II-{n}", "sex": "male"} for n in (3, 4)),
    {"id": "III-1", "sex": "female", "father": "II-3", "mother": "II-1"},
    {"id": "III-2", "sex": "male", "father": "II-4", "mother": "II-2"},
]


def couple(*partners, **facts):
    couples = [{"partners": list(partners), **facts}]
    return remarked({**SMALL, "people": COUSINS, "couples": couples, "questions": [ABOUT_A_COUSIN]})


ABOUT_A_COUSIN = {"ask": "carrier", "person": "III-1"}


def test_partners_who_are_related_by_word_alone():
    (found,) = couple("II-3", "II-2", consanguineous=True)
    assert found[0] == "couples[0].consanguineous"
    assert '"II-3" and "II-2" are drawn as related but count as unrelated' in found[1]
    assert "add their common ancestors" in found[1]
    assert couple("III-1", "III-2", consanguineous=True) == []  # cousins
    assert couple("III-2", "I-2", consanguineous=True) == []  # one descends from the other
    assert couple("II-3", "II-2", consanguineous=False) == []
    assert couple("II-3", "II-2") == []


def ages(child, parent, **facts):
    """What is remarked on the ages of a child and its father, of whom this is known too."""
    people = [
        {"id": "I-1", "sex": "male", **({"age": parent} if parent is not None else {}), **facts},
        {"id": "I-2", "sex": "female"},
        {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "age": child},
    ]
    return remarked({**SMALL, "people": people, "couples": [], "questions": [QUESTION]})


QUESTION = {"ask": "carrier", "person": "II-1"}


@pytest.mark.parametrize("child", [60, 50])
def test_a_child_as_old_as_a_living_parent(child):
    (found,) = ages(child, 50)
    assert found == (
        "people[2].age",
        f'"II-1" is {child}, and "I-1", a living parent, is 50; one of the ages is wrong',
    )


def test_ages_that_can_be_so():
    assert ages(49, 50) == []
    assert ages(60, None) == []
    # The age of the dead is that at death, so that a child may have grown older since.
    assert ages(60, 50, status="deceased") == []


def twins_remarked(first, second, **facts):
    """What is remarked on the ages of two twins, of the first of whom this is known too."""
    born = {"father": "I-1", "mother": "I-2", "twin": {"group": "1", "zygosity": "dizygotic"}}
    people = [
        {"id": "I-1", "sex": "male"},
        {"id": "I-2", "sex": "female"},
        {"id": "II-1", "sex": "male", "age": first, **born, **facts},
        {"id": "II-2", "sex": "male", **({"age": second} if second is not None else {}), **born},
    ]
    return remarked({**SMALL, "people": people, "couples": [], "questions": [QUESTION]})


def test_twins_of_whom_one_is_older():
    said = '"II-{}" is 31, and "II-{}", a living twin, is 30; one of the ages is wrong'
    assert twins_remarked(31, 30) == [("people[2].age", said.format(1, 2))]
    assert twins_remarked(30, 31) == [("people[3].age", said.format(2, 1))]
    assert twins_remarked(31, 30, status="deceased") == [("people[2].age", said.format(1, 2))]


def test_ages_that_twins_can_have():
    assert twins_remarked(30, 30) == []
    assert twins_remarked(30, None) == []
    assert twins_remarked(30, 31, status="deceased") == []  # 30 at death, a while ago


def ids_remarked(*ids):
    people = [{"id": id} for id in ids]
    asked = [{"ask": "carrier", "person": id} for id in ids]
    data = changed(SMALL, ("people", people), ("couples", GONE), ("questions", asked))
    return remarked(data)


@pytest.mark.parametrize(
    ("one", "other", "difference"),
    [
        ("a", "A", "capitals"),
        ("I-1", "I-1 ", "spaces"),
        ("I 1", "I\u00a01", "spaces"),
        ("I-1", "I-1\u200b", "characters that cannot be seen"),
        ("I-1", "\u202eI-1", "characters that cannot be seen"),
        ("\u00e9", "e\u0301", "how a letter is composed"),
        ("i 1", "I  1", "what can hardly be seen: capitals, spaces and the like"),
    ],
)
def test_ids_that_look_alike_are_both_named(one, other, difference):
    ((path, words),) = ids_remarked(one, "X", other)
    assert path == "people[2].id"
    both = f"{shown(one)} and {shown(other)} are two people whose ids differ only in {difference};"
    assert words.startswith(both)


@pytest.mark.parametrize(
    ("id", "words"),
    [
        ("  ", "shows nothing"),
        ("\u200b", "shows nothing"),
        ("\u3164", "shows nothing"),
        ("I-9 ", "begins or ends with a space"),
        ("I-9\u200b", "cannot be seen, U+200B"),
        ("\u202eI-9", "cannot be seen, U+202E"),
    ],
)
def test_an_id_that_is_not_seen_as_it_is(id, words):
    ((path, said),) = ids_remarked("I-1", id)
    assert path == "people[1].id"
    assert words in said


def test_ids_of_any_script_and_of_signs_of_several_parts_need_no_remark():
    family = "\U0001f469\u200d\U0001f467"
    assert (
        ids_remarked("I-1", "I-2", "\u0416-1", family, "\u2764\ufe0f", "\u0645\u06cc\u200c\u062e")
        == []
    )


def test_a_name_that_is_also_anothers_name_or_id():
    data = changed(SMALL, ("people[0].name", "Ann"), ("people[1].name", "Ann"))
    found = [remark for remark in remarked(data) if remark[0].endswith(".name")]
    assert [path for path, _ in found] == ["people[0].name", "people[1].name"]
    data = changed(SMALL, ("people[0].name", SMALL["people"][1]["id"]))
    ((path, words),) = remarked(data)
    assert (path, "sentences do not tell the two apart" in words) == ("people[0].name", True)
    assert remarked(changed(SMALL, ("people[0].name", SMALL["people"][0]["id"]))) == []
