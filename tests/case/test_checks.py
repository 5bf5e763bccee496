"""Rules across the keys of a case: each fault is named once, at its place; nothing sound is."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from risk.case.checks import check_case
from risk.case.model import Case, Question
from risk.case.read import read_case
from tests.case.examples import GONE, ON_X, SMALL, WHOLE, changed, only_problem, problems

CHILD = {"id": "C", "sex": "female", "father": "I-1", "mother": "I-2"}
BOY = {**CHILD, "id": "B", "sex": "male"}
ACCURACY = {"name": "blood", "sensitivity": "90%", "specificity": 1}


def with_twins(*members, base=SMALL):
    """The small case with twins added, each given as changes to a plain child."""
    case = base
    for number, member in enumerate(members):
        person = {**CHILD, "id": f"T-{number}", **member}
        case = changed(case, (f"people[{5 + number}]", person))
    return case


def twin(zygosity="monozygotic", group="a", **more):
    return {"twin": {"group": group, "zygosity": zygosity, **more}}


def with_condition(*changes, base=SMALL):
    return changed(base, *((f"condition.{path}", value) for path, value in changes))


def asking(base=SMALL, **question):
    return changed(base, ("questions", [question]))


# Each of these changes makes one fault: the case, its place, and words of the message.
FAULTS = {
    # people: ids and parents
    "doubled id": (
        changed(SMALL, ("people[4].id", "I-1"), ("couples", GONE)),
        "people[4].id",
        '"I-1" is already the id of people[0]',
    ),
    "unknown father": (
        changed(SMALL, ("people[3].father", "I-9")),
        "people[3].father",
        'no person "I-9"; did you mean "I-1"? (there are "I-1", "I-2", "II-1", "II-2", "II-3")',
    ),
    "a name in the place of an id": (
        changed(SMALL, ("people[0].name", "Abel"), ("people[3].father", "abel")),
        "people[3].father",
        'no person "abel"; did you mean "I-1"? ("Abel" is "I-1") (there are',
    ),
    "unknown father where only women have a near id": (
        changed(
            SMALL,
            ("people[0].id", "Tom"),
            ("people[2]", {**CHILD, "id": "Ida", "sex": "female", "father": "I-9"}),
            ("people[3].father", "Tom"),
            ("people[4].id", "Jan"),
            ("couples[0].partners[1]", "Jan"),
        ),
        "people[2].father",
        'no person "I-9" (there are',
    ),
    "unknown mother where only a woman's child has a near id": (
        changed(
            SMALL,
            ("people[1].id", "Eva"),
            ("people[2].mother", "II-1."),
            ("people[3]", {**CHILD, "id": "Ida", "mother": "Eva"}),
            ("people[4].id", "Jan"),
            ("couples", GONE),
            ("questions[0].person", "Ida"),
        ),
        "people[2].mother",
        'no person "II-1." (there are',
    ),
    "unknown mother": (
        changed(SMALL, ("people[2].mother", "I-2 ")),
        "people[2].mother",
        'no person "I-2 "; did you mean "I-2"?',
    ),
    "father without mother": (
        changed(SMALL, ("people[3].mother", GONE)),
        "people[3].mother",
        "give both or neither",
    ),
    "mother without father": (
        changed(SMALL, ("people[3].father", GONE)),
        "people[3].father",
        "a parent who is not known is added as a person of whom nothing is known",
    ),
    "female father": (
        changed(
            SMALL,
            ("people[3].father", "II-2"),
            ("people[3].id", "X"),
            ("people[5]", {**CHILD, "id": "II-2"}),
            ("questions[0].person", "X"),
            ("couples", GONE),
        ),
        "people[3].father",
        '"II-2" is female and cannot be a father; name another father or mend the sex',
    ),
    "male mother": (
        changed(SMALL, ("people[3].mother", "II-1")),
        "people[3].mother",
        '"II-1" is male and cannot be a mother',
    ),
    "one person as both parents": (
        changed(SMALL, ("people[3].mother", "I-1")),
        "people[3].mother",
        '"I-1" is given as both parents',
    ),
    "father here and mother there": (
        changed(
            SMALL,
            ("people[0].sex", "unknown"),
            ("people[5]", {"id": "C", "father": "II-3", "mother": "I-1"}),
        ),
        "people[5].mother",
        '"I-1" is the father of "II-1", so not a mother',
    ),
    "own parent": (
        changed(SMALL, ("people[2].father", "II-1")),
        "people[2].father",
        '"II-1" would be their own ancestor: "II-1", child of "II-1"; name another father',
    ),
    "own grandparent": (
        changed(SMALL, ("people[0].father", "II-1"), ("people[0].mother", "I-2")),
        "people[0].father",
        '"I-1", child of "II-1", child of "I-1"',
    ),
    "own ancestor through mothers": (
        changed(
            SMALL,
            ("people[1].mother", "II-2"),
            ("people[1].father", "II-3"),
        ),
        "people[1].mother",
        '"I-2", child of "II-2", child of "I-2"',
    ),
    # people: facts
    "unaffected without age": (
        with_condition(("onset", [{"age": 40, "cumulative": 1}])),
        "people[3].age",
        "give the age in years, or leave it not known whether affected",
    ),
    "inbreeding of a child": (
        changed(SMALL, ("people[3].inbreeding", "1/16")),
        "people[3].inbreeding",
        "only for founders",
    ),
    "genotype 2 of a male on the X": (
        changed(ON_X, ("people[0].genotype", 2)),
        "people[0].genotype",
        "at most 1",
    ),
    "found 2 in a male on the X": (
        changed(ON_X, ("people[0].tests", [{"test": "panel", "found": 2}])),
        "people[0].tests[0].found",
        "at most 1",
    ),
    "unknown sex on the X": (
        changed(ON_X, ("people[0].sex", GONE)),
        "people[0].sex",
        "an x-linked condition needs the sex of everyone",
    ),
    "unknown sex, phenotype known, penetrance by sex": (
        changed(WHOLE, ("people[6].affected", True)),
        "people[6].sex",
        'penetrance differs by sex and whether "III-1" is affected is known',
    ),
    "unknown sex, phenotype asked about, penetrance by sex": (
        changed(WHOLE, ("questions[3].person", "III-1")),
        "people[6].sex",
        "is asked about",
    ),
    "a role twice": (
        changed(SMALL, ("people[3].roles", ["proband", "consultand", "proband"])),
        "people[3].roles[2]",
        '"proband" is given twice',
    ),
    # people: test results
    "unknown test": (
        changed(WHOLE, ("people[3].tests", [{"test": "Panel", "found": 0}])),
        "people[3].tests[0].test",
        'no test "Panel" under condition.tests (there: "panel", "blood", "enzyme")',
    ),
    "a result without any test": (
        changed(SMALL, ("people[3].tests", [{"test": "panel", "found": 0}])),
        "people[3].tests[0].test",
        "(there: none)",
    ),
    "result of a counting test": (
        changed(WHOLE, ("people[2].tests[0].result", "negative")),
        "people[2].tests[0].result",
        "reports found, not result",
    ),
    "counting test without number": (
        changed(WHOLE, ("people[2].tests[0].found", GONE)),
        "people[2].tests[0].found",
        "needs the number found",
    ),
    "number of a test with results": (
        changed(WHOLE, ("people[2].tests[1].found", 1)),
        "people[2].tests[1].found",
        "reports result, not found",
    ),
    "no result": (
        changed(WHOLE, ("people[2].tests[1].result", GONE)),
        "people[2].tests[1].result",
        'needs a result: "positive" or "negative"',
    ),
    "unknown result": (
        changed(WHOLE, ("people[2].tests[1].result", "neg")),
        "people[2].tests[1].result",
        '"neg" is no result of "blood"; give "positive" or "negative"',
    ),
    "unknown named result": (
        changed(WHOLE, ("people[2].tests[2].result", "positive")),
        "people[2].tests[2].result",
        '"positive" is no result of "enzyme"; give "high" or "low"',
    ),
    # people: several at once
    "several without parents": (
        changed(SMALL, ("people[5]", {"id": "C", "count": 2})),
        "people[5].count",
        "has no parents here",
    ),
    "several with children": (
        changed(
            SMALL,
            ("people[2].count", 2),
            ("people[5]", {**CHILD, "father": "II-1", "mother": "II-2"}),
        ),
        "people[2].count",
        "has children",
    ),
    "several with a role": (
        changed(SMALL, ("people[2].count", 2), ("people[2].roles", ["proband"])),
        "people[2].count",
        "has a role",
    ),
    "several with a partner": (
        changed(SMALL, ("people[3].count", 2)),
        "people[3].count",
        "is in a couple",
    ),
    "several twins with a role": (
        with_twins(twin() | {"count": 2, "roles": ["proband"]}, twin()),
        "people[5].count",
        "is a twin and has a role",
    ),
    # twins
    "a twin alone": (
        with_twins(twin()),
        "people[5].twin.group",
        'only "T-0" is in twin group "a"',
    ),
    "a twin without parents": (
        changed(
            with_twins(twin(), twin(), twin()),
            ("people[6].father", GONE),
            ("people[6].mother", GONE),
        ),
        "people[6].twin",
        "twins need their father and mother",
    ),
    "twins of other parents": (
        with_twins(twin(), twin() | {"father": "II-3"}),
        "people[6].twin.group",
        '"T-0" of the same group has other parents',
    ),
    "twins of two zygosities": (
        with_twins(twin(), twin("dizygotic")),
        "people[6].twin.zygosity",
        '"T-0" of the same group has "monozygotic"',
    ),
    "monozygotic twins of two sexes": (
        with_twins(twin(), twin() | {"sex": "male"}),
        "people[6].twin.zygosity",
        '"T-1" and "T-0" differ in sex',
    ),
    "monozygotic triplets of two sexes": (
        with_twins(twin() | {"sex": "unknown"}, twin() | {"sex": "male"}, twin()),
        "people[7].twin.zygosity",
        '"T-2" and "T-1" differ in sex',
    ),
    "a chance where zygosity is known": (
        with_twins(twin(monozygotic_chance="1/3"), twin()),
        "people[5].twin.monozygotic_chance",
        "only with unknown zygosity",
    ),
    "twins of two chances": (
        with_twins(twin("unknown", monozygotic_chance="1/3"), twin("unknown")),
        "people[6].twin.monozygotic_chance",
        '"T-0" of the same group has 1/3',
    ),
    "twins of a chance and the default": (
        with_twins(twin("unknown"), twin("unknown", monozygotic_chance="1/3")),
        "people[6].twin.monozygotic_chance",
        "which means 1/2",
    ),
    # couples
    "unknown partner": (
        changed(SMALL, ("couples[0].partners[1]", "II-33")),
        "couples[0].partners[1]",
        'no person "II-33"; did you mean "II-3"?',
    ),
    "a couple of one": (
        changed(SMALL, ("couples[0].partners[1]", "II-2")),
        "couples[0].partners[1]",
        "two people are needed",
    ),
    "a couple twice": (
        changed(SMALL, ("couples[1]", {"partners": ["II-3", "II-2"]})),
        "couples[1].partners",
        "this couple is already couples[0]",
    ),
    # the condition
    "no frequency": (
        with_condition(("frequency", {})),
        "condition.frequency",
        "nothing is given; give exactly one of allele, carrier, incidence, mutation_selection_bal",
    ),
    "two frequencies": (
        with_condition(("frequency.allele", 0.1)),
        "condition.frequency",
        "allele and carrier are given; give exactly one of",
    ),
    "carrier of a dominant allele": (
        with_condition(("inheritance", "autosomal_dominant")),
        "condition.frequency.carrier",
        "only for recessive conditions",
    ),
    "carrier of a dominant allele on the X": (
        with_condition(
            ("inheritance", "x_linked_dominant"), ("frequency", {"carrier": 0}), base=ON_X
        ),
        "condition.frequency.carrier",
        "only for recessive conditions",
    ),
    "balance on an autosome": (
        with_condition(("frequency", {"mutation_selection_balance": {"fitness": 0}})),
        "condition.frequency.mutation_selection_balance",
        "only for x-linked conditions",
    ),
    # 2 (u + v + f u) / (1 - f) = 2 (0.2 + 0.2 + 0.1) / 0.5 = 2
    "more carriers than women": (
        with_condition(
            ("frequency", {"mutation_selection_balance": {"fitness": 0.5}}),
            ("mutation", {"maternal": 0.2, "paternal": 0.2}),
            base=ON_X,
        ),
        "condition.frequency.mutation_selection_balance",
        "share of female carriers 2, more than 1",
    ),
    "one rate rare": (
        with_condition(("mutation", {"maternal": "rare", "paternal": "1e-5"})),
        "condition.mutation.paternal",
        'the maternal rate is "rare", so this one must be "rare" too',
    ),
    "one rate rare, the other not given": (
        with_condition(("mutation", {"paternal": "rare"})),
        "condition.mutation.maternal",
        "must be",
    ),
    "allele and mutation rare": (
        with_condition(
            ("frequency", {"allele": "rare"}),
            ("mutation", {"maternal": "rare", "paternal": "rare"}),
        ),
        "condition.mutation",
        "which of the two vanishes first would not be defined",
    ),
    "penetrance of a male with two on the X": (
        changed(ON_X, ("condition.penetrance.male.2", 1)),
        "condition.penetrance.male.2",
        "a male has one X chromosome",
    ),
    "viability of a male with two on the X": (
        with_condition(
            ("viability", {s: {"0": 1, "1": 1, "2": 0} for s in ("female", "male")}), base=ON_X
        ),
        "condition.viability.male.2",
        "a male has one X chromosome",
    ),
    "penetrance of a male without two on an autosome": (
        changed(WHOLE, ("condition.penetrance.male.2", GONE)),
        "condition.penetrance.male.2",
        "this key is needed",
    ),
    "onset at birth": (
        changed(WHOLE, ("condition.onset[0].cumulative", "1%")),
        "condition.onset[0].cumulative",
        "1% at age 0, but the curve starts at 0",
    ),
    "onset ages fall": (
        changed(WHOLE, ("condition.onset[2].age", 19)),
        "condition.onset[2].age",
        "age 19 does not come after 20",
    ),
    "onset ages stay": (
        changed(WHOLE, ("condition.onset[2].age", 20.0)),
        "condition.onset[2].age",
        "ages rise",
    ),
    "onset shares fall": (
        changed(WHOLE, ("condition.onset[2].cumulative", "1/21")),
        "condition.onset[2].cumulative",
        "1/21 is less than 5% before it",
    ),
    "classes add to less than 1": (
        changed(WHOLE, ("condition.variants[1].share", "1/11")),
        "condition.variants",
        "the shares add to 109/110, not to 1",
    ),
    "classes add to more than 1": (
        changed(WHOLE, ("condition.variants[1].share", 0.1000000001)),
        "condition.variants",
        "not to 1",
    ),
    "a class twice": (
        changed(
            WHOLE,
            ("condition.variants[1].name", "common"),
        ),
        "condition.variants[1].name",
        '"common" is already a class',
    ),
    "a class called as workings call an allele that is none": (
        changed(WHOLE, ("condition.variants[1].name", "normal")),
        "condition.variants[1].name",
        '"normal" is an allele that is not a disease allele in workings; give the class another',
    ),
    "a class called as workings call a mosaic": (
        changed(WHOLE, ("condition.variants[1].name", "mosaic")),
        "condition.variants[1].name",
        '"mosaic" is a germline mosaic in workings; give the class another name',
    ),
    "a test twice": (
        changed(WHOLE, ("condition.tests[3]", ACCURACY)),
        "condition.tests[3].name",
        '"blood" is already the name of a test',
    ),
    "a test of no kind": (
        with_condition(("tests", [{"name": "t"}])),
        "condition.tests[0]",
        "give exactly one of detects, sensitivity with specificity, likelihood",
    ),
    "a test of two kinds": (
        changed(WHOLE, ("condition.tests[0].sensitivity", 1)),
        "condition.tests[0]",
        "detects and sensitivity with specificity are given",
    ),
    "sensitivity alone": (
        with_condition(("tests", [{"name": "t", "sensitivity": 1}])),
        "condition.tests[0].specificity",
        "needed together with sensitivity",
    ),
    "specificity alone": (
        with_condition(("tests", [{"name": "t", "specificity": 1}])),
        "condition.tests[0].sensitivity",
        "needed together with specificity",
    ),
    "an unknown class": (
        changed(WHOLE, ("condition.tests[0].detects[1]", "scarse")),
        "condition.tests[0].detects[1]",
        'no variant class "scarse"; did you mean "scarce"?',
    ),
    "a class without any classes": (
        with_condition(("tests", [{"name": "t", "detects": ["common"]}])),
        "condition.tests[0].detects[0]",
        "as the condition has no variants; add the classes",
    ),
    # questions
    "no person": (
        asking(ask="carrier"),
        "questions[0].person",
        'a question "carrier" needs this key',
    ),
    "unknown person": (
        asking(ask="genotype", person="II-9"),
        "questions[0].person",
        'no person "II-9"; did you mean',
    ),
    "no parents": (
        asking(ask="child_affected"),
        "questions[0].parents",
        '"child_affected" needs this key',
    ),
    "no people": (asking(ask="both_carriers"), "questions[0].people", "needs this key"),
    "a sex of no child": (
        asking(ask="carrier", person="II-2", sex="female"),
        "questions[0].sex",
        '"carrier" takes no such key, but person',
    ),
    "an age too many": (
        asking(ask="child_carrier", parents=["II-2", "II-3"], by_age=3),
        "questions[0].by_age",
        '"child_carrier" takes no such key, but parents, sex',
    ),
    "a number too many": (
        asking(ask="child_affected", parents=["II-2", "II-3"], of=3),
        "questions[0].of",
        "takes no such key",
    ),
    "sex of several": (
        asking(ask="children_affected", parents=["II-2", "II-3"], of=3, exactly=1, sex="male"),
        "questions[0].sex",
        "takes no such key",
    ),
    "no number of children": (
        asking(ask="children_affected", parents=["II-2", "II-3"], exactly=1),
        "questions[0].of",
        "needs this key",
    ),
    "neither at least nor exactly": (
        asking(ask="children_affected", parents=["II-2", "II-3"], of=1),
        "questions[0].at_least",
        "either this key or exactly is needed",
    ),
    "at least and exactly": (
        asking(ask="children_affected", parents=["II-2", "II-3"], of=2, at_least=1, exactly=1),
        "questions[0].exactly",
        "not together with at_least",
    ),
    "more than all children": (
        asking(ask="children_affected", parents=["II-2", "II-3"], of=2, at_least=3),
        "questions[0].at_least",
        "3 of 2 children",
    ),
    "exactly more than all": (
        asking(ask="children_affected", parents=["II-2", "II-3"], of=1, exactly=2),
        "questions[0].exactly",
        "2 of 1 children",
    ),
    "one person as a pair": (
        asking(ask="both_carriers", people=["II-2", "II-2"]),
        "questions[0].people[1]",
        "stands here twice",
    ),
    "one parent as two": (
        asking(ask="child_affected", parents=["II-2", "II-2"]),
        "questions[0].parents[1]",
        "two people are needed",
    ),
    "an unknown parent": (
        asking(ask="child_affected", parents=["II-2", "III-2"]),
        "questions[0].parents[1]",
        'no person "III-2"; did you mean "II-2"?',
    ),
    "two fathers": (
        asking(ask="child_affected", parents=["II-1", "II-3"]),
        "questions[0].parents",
        '"II-1" and "II-3" are both male',
    ),
    "two mothers": (
        asking(ask="child_carrier", parents=["II-2", "I-2"]),
        "questions[0].parents",
        "are both female",
    ),
    "two fathers by use": (
        asking(
            changed(SMALL, ("people[0].sex", "unknown")),
            ask="child_affected",
            parents=["I-1", "II-3"],
        ),
        "questions[0].parents",
        "are both fathers elsewhere in the family",
    ),
    "mother or father, where mutation differs": (
        asking(
            changed(
                SMALL,
                ("people[3].sex", "unknown"),
                ("people[4].sex", "unknown"),
                ("condition.mutation", {"maternal": 0.1}),
            ),
            ask="child_affected",
            parents=["II-2", "II-3"],
        ),
        "questions[0].parents",
        'give the sex of "II-2" or "II-3"',
    ),
}
for status in ("pregnancy", "stillbirth", "miscarriage", "termination"):
    FAULTS |= {
        f"{status} as father": (
            changed(SMALL, ("people[0].status", status), ("people[3]", {"id": "II-2"})),
            "people[2].father",
            "cannot have a partner or children",
        ),
        f"{status} as partner": (
            changed(SMALL, ("people[4].status", status)),
            "couples[0].partners[1]",
            "cannot have a partner or children",
        ),
        f"{status} as parent of the asked child": (
            asking(
                changed(SMALL, ("people[4].status", status), ("couples", GONE)),
                ask="children_affected",
                parents=["II-2", "II-3"],
                of=1,
                exactly=1,
            ),
            "questions[0].parents[1]",
            "cannot have a partner or children",
        ),
    }


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_is_named_once(name):
    case, path, words = FAULTS[name]
    where, message = only_problem(case)
    assert where == path
    assert words in message


def at_balance(fitness, **mutation):
    return with_condition(
        ("frequency", {"mutation_selection_balance": {"fitness": fitness}}),
        ("mutation", mutation),
        base=ON_X,
    )


#: Sound cases that a stricter reader might refuse.
ALLOWED = {
    "parents after their children": changed(SMALL, ("people", SMALL["people"][::-1])),
    "parents of unknown sex": changed(SMALL, ("people[0].sex", "unknown"), ("people[1].sex", GONE)),
    "a sister and a brother as parents": changed(
        SMALL, ("people[5]", {**CHILD, "father": "II-1", "mother": "II-2"})
    ),
    "a mother and her son as parents": changed(
        SMALL, ("people[5]", {**CHILD, "father": "II-1", "mother": "I-2"})
    ),
    "people without relatives": changed(SMALL, ("people[5]", {"id": "X"})),
    "one person": asking(
        {**SMALL, "people": [{"id": "X"}], "couples": []}, ask="carrier", person="X"
    ),
    "no questions and no couples": {k: SMALL[k] for k in ("version", "condition", "people")},
    "empty questions and couples": {**SMALL, "questions": [], "couples": []},
    "empty tests": changed(SMALL, ("people[0].tests", []), ("condition.tests", [])),
    "no roles": changed(SMALL, ("people[0].roles", [])),
    "one mutation rate": with_condition(("mutation", {"maternal": "1e-5"})),
    "no mutation rate": with_condition(("mutation", {})),
    "mutation rare": with_condition(("mutation", {"maternal": "rare", "paternal": "rare"})),
    "balance without mutation": with_condition(
        ("frequency", {"mutation_selection_balance": {"fitness": 0}}), base=ON_X
    ),
    # 2 (1/4 + 1/4) = 1
    "balance where every woman carries": at_balance(0, maternal="1/4", paternal="1/4"),
    # 2 (1/3 + 1/6) / (1/2) = 2 would be too many, 2 (1/6 + 1/12) / (1/2) = 1
    "balance with fitness at the edge": at_balance("1/2", maternal="1/6"),
    "balance in the limit": at_balance("0.9", maternal="rare", paternal="rare"),
    "flat penetrance on the X": with_condition(("penetrance", {"0": 0, "1": 1, "2": 1}), base=ON_X),
    "carrier frequency on the X": with_condition(("frequency", {"carrier": "1/50"}), base=ON_X),
    "incidence of a dominant condition": with_condition(
        ("inheritance", "autosomal_dominant"), ("frequency", {"incidence": "1/3"})
    ),
    "penetrance 0": with_condition(("penetrance", {"0": 0, "1": 0, "2": 0})),
    "viability 0": with_condition(("viability", {"0": 0, "1": 0, "2": 0})),
    "onset after a while": with_condition(
        ("onset", [{"age": 20, "cumulative": "1/2"}, {"age": 30, "cumulative": "1/2"}])
    )
    | {"people": SMALL["people"][:3], "couples": [], "questions": []},
    "onset of nobody": with_condition(("onset", [{"age": 0, "cumulative": 0}]))
    | {"people": SMALL["people"][:3], "couples": [], "questions": []},
    "affected or unknown without age": with_condition(("onset", [{"age": 9, "cumulative": 1}]))
    | {"people": SMALL["people"][:3], "couples": [], "questions": []},
    "a class with no share": with_condition(
        ("variants", [{"name": "a", "share": 1}, {"name": "b", "share": 0}])
    ),
    "three thirds": with_condition(("variants", [{"name": n, "share": "1/3"} for n in "abc"])),
    "a test that nobody had": with_condition(("tests", [ACCURACY])),
    "the same test twice": with_condition(("tests", [ACCURACY]))
    | {
        "people": [
            *SMALL["people"][:4],
            {
                "id": "II-3",
                "tests": [{"test": "blood", "result": r} for r in ("positive", "negative")],
            },
        ]
    },
    "sensitivity 0": with_condition(("tests", [{**ACCURACY, "sensitivity": 0}])),
    "a likelihood of 0 only": with_condition(
        ("tests", [{"name": "t", "likelihood": {"r": {"0": 0, "1": 0, "2": 0}}}])
    ),
    "results with any name": with_condition(
        ("tests", [{"name": "t", "likelihood": {"a.b[0] ü": {"0": 1, "1": 0, "2": 0}}}])
    ),
    "facts that cannot both be true": changed(
        SMALL, ("people[2].genotype", 0), ("people[3].genotype", 2)
    ),
    "genotype 1 of a male on the X": changed(ON_X, ("people[0].genotype", 1)),
    "penetrance by sex, unknown sex, unknown phenotype": WHOLE,
    "viability by sex, unknown sex": with_condition(
        ("viability", {s: {"0": 1, "1": 1, "2": 0} for s in ("female", "male")})
    )
    | {"people": [*SMALL["people"][:4], {"id": "II-3", "sex": "unknown", "affected": False}]},
    "inbreeding of a male founder on the X": changed(ON_X, ("people[0].inbreeding", "1/8")),
    "twins of two sexes, zygosity unknown": with_twins(
        twin("unknown"), twin("unknown") | {"sex": "male"}
    ),
    "twins of two sexes, dizygotic": with_twins(
        twin("dizygotic"), twin("dizygotic") | {"sex": "male"}
    ),
    "monozygotic twins, one sex not known": with_twins(twin(), twin() | {"sex": "unknown"}),
    "triplets": with_twins(twin(), twin(), twin()),
    "two groups of twins": with_twins(twin(), twin(), twin(group="b"), twin(group="b")),
    "twins of unlike ages and fates": with_twins(
        twin() | {"age": 3, "status": "deceased"}, twin() | {"age": 60}
    ),
    "a chance and its default": with_twins(
        twin("unknown", monozygotic_chance="50%"), twin("unknown")
    ),
    "several affected": changed(SMALL, ("people[2].count", 1000)),
    "several pregnancies": changed(
        SMALL, ("people[2].count", 2), ("people[2].status", "miscarriage")
    ),
    "a couple of one sex": changed(SMALL, ("couples[0].partners", ["II-1", "II-3"])),
    "a couple with children": changed(
        SMALL, ("couples[1]", {"partners": ["I-1", "I-2"], "childless": "choice"})
    ),
    "two probands": changed(
        SMALL, ("people[2].roles", ["proband"]), ("people[3].roles", ["proband"])
    ),
    "a deceased parent": asking(
        changed(SMALL, ("people[4].status", "deceased")),
        ask="child_affected",
        parents=["II-3", "II-2"],
    ),
    "a child of siblings": asking(ask="child_affected", parents=["II-1", "II-2"]),
    "a child of parents who have some": asking(ask="child_carrier", parents=["I-2", "I-1"]),
    "a child of one of several": asking(
        changed(SMALL, ("people[2].count", 2)), ask="child_affected", parents=["II-1", "II-2"]
    ),
    "a child of people of unknown sex": asking(
        changed(
            SMALL,
            ("people[3].sex", "unknown"),
            ("people[4].sex", "unknown"),
            ("condition.mutation", {"maternal": "0.1", "paternal": "1/10"}),
        ),
        ask="child_affected",
        parents=["II-2", "II-3"],
    ),
    "one sex tells the other, where mutation differs": asking(
        changed(SMALL, ("people[3].sex", "unknown"), ("condition.mutation", {"maternal": 0.1})),
        ask="child_affected",
        parents=["II-2", "II-3"],
    ),
    "use as a father tells, where mutation differs": asking(
        changed(
            SMALL,
            ("people[0].sex", "unknown"),
            ("people[4].sex", "unknown"),
            ("condition.mutation", {"maternal": 0.1}),
        ),
        ask="child_affected",
        parents=["I-1", "II-3"],
    ),
    "a carrier who is a man on the X": asking(ON_X, ask="carrier", person="I-1"),
    "a son who carries on the X": asking(
        ON_X, ask="child_carrier", parents=["I-1", "II-2"], sex="male"
    ),
    "both of one sex": asking(ask="both_carriers", people=["II-1", "I-1"]),
    "by age without onset": asking(ask="will_be_affected", person="II-2", by_age=50),
    "the same question twice": changed(SMALL, ("questions[1]", SMALL["questions"][0])),
    "at least none": asking(ask="children_affected", parents=["I-1", "I-2"], of=1, at_least=0),
    "all of very many": asking(
        ask="children_affected", parents=["I-1", "I-2"], of=1000, exactly=1000
    ),
    "about a miscarriage": asking(
        changed(SMALL, ("people[2].status", "miscarriage")), ask="will_be_affected", person="II-1"
    ),
}


@pytest.mark.parametrize("name", ALLOWED)
def test_sound_cases_are_accepted(name):
    assert problems(ALLOWED[name]) == []


def places(case):
    return [path for path, _ in problems(case)]


def test_one_fault_does_not_set_off_others():
    # An unknown parent is no cycle, and a doubled id names nobody else's parents.
    assert places(changed(SMALL, ("people[2].father", "Q"), ("people[0].father", "Q2"))) == [
        "people[0].father",
        "people[0].mother",
        "people[2].father",
    ]
    assert places(changed(SMALL, ("people[1].id", "I-1"))) == [
        "people[1].id",
        "people[2].mother",
        "people[3].mother",
    ]
    assert places(changed(SMALL, ("people[3].mother", "Q"), ("people[3].father", "Q"))) == [
        "people[3].father",
        "people[3].mother",
    ]


def test_problems_of_a_case_made_in_code_come_in_order():
    case = read_case(json.dumps(WHOLE))
    people = list(case.people)
    people[3] = replace(people[3], twin=replace(people[3].twin, zygosity="dizygotic"))
    people[5] = replace(people[5], father="Q", mother="R")
    couples = (replace(case.couples[1], partners=("II-2", "II-2")),)
    questions = (Question("carrier"), Question("no such question"))
    condition = replace(case.condition, variants=case.condition.variants[:1])
    found = check_case(Case(condition, tuple(people), couples=couples, questions=questions))
    assert [problem.path for problem in found] == [
        "condition.variants",
        "people[3].twin.zygosity",
        "people[3].twin.monozygotic_chance",
        "people[5].father",
        "people[5].mother",
        "couples[0].partners[1]",
        "questions[0].person",
        "questions[1].ask",
    ]
    assert check_case(case) == []


def test_a_mother_and_a_father_in_each_others_place_are_to_be_exchanged():
    case = changed(SMALL, ("people[3].father", "I-2"), ("people[3].mother", "I-1"))
    assert problems(case) == [
        (
            "people[3].father",
            '"I-2" is female and cannot be a father; exchange father and mother (person "II-2")',
        ),
        (
            "people[3].mother",
            '"I-1" is male and cannot be a mother; exchange father and mother (person "II-2")',
        ),
    ]


def test_every_circle_of_ancestors_is_named():
    case = changed(
        SMALL,
        ("people[0].father", "II-1"),
        ("people[0].mother", "I-2"),
        ("people[5]", {"id": "A", "sex": "male", "father": "B", "mother": "I-2"}),
        ("people[6]", {"id": "B", "sex": "male", "father": "A", "mother": "I-2"}),
        ("people[7]", {"id": "C", "sex": "male", "father": "A", "mother": "I-2"}),
    )
    mend = "; one of these steps is wrong: give that child another father or mother"
    assert problems(case) == [
        (
            "people[0].father",
            '"I-1" would be their own ancestor: "I-1", child of "II-1", child of "I-1"' + mend,
        ),
        (
            "people[5].father",
            '"A" would be their own ancestor: "A", child of "B", child of "A"' + mend,
        ),
    ]


def test_a_long_circle_is_cut_short():
    people = [
        {"id": f"P{i}", "sex": "male", "father": f"P{(i + 1) % 50}", "mother": "M"}
        for i in range(50)
    ]
    case = {**SMALL, "people": [*people, {"id": "M"}], "couples": [], "questions": []}
    where, message = only_problem(case)
    assert where == "people[0].father"
    assert "..." in message
    assert len(message) < 270


def test_a_line_of_thousands_is_no_circle():
    people = [
        {"id": f"P{i}", "sex": "male", "father": f"P{i + 1}", "mother": f"M{i}"}
        for i in range(3000)
    ]
    mothers = [{"id": f"M{i}"} for i in range(3000)]
    case = {**SMALL, "people": [*people, {"id": "P3000"}, *mothers], "couples": [], "questions": []}
    assert problems(case) == []


def test_order_of_people_changes_only_the_places():
    case = changed(SMALL, ("people[3].father", "I-2"), ("people[2].mother", "Q"))
    backwards = changed(case, ("people", case["people"][::-1]))
    assert {message for _, message in problems(backwards)} == {
        message.replace(
            '(there are "I-1", "I-2", "II-1", "II-2", "II-3")',
            '(there are "II-3", "II-2", "II-1", "I-2", "I-1")',
        )
        for _, message in problems(case)
    }
