"""The case files that slips stand for, edited by hand and solved by brute force.

What a slip is stands in the table of the documents; the edits below are written from its sentences
and share no code with `risk/teaching`.  Families too large for the oracle are solved by the engine,
which other tests hold against it.
"""

import copy
import itertools
import json
from fractions import Fraction as F

import oracle

from risk import actions
from risk.bundled import fixtures_folder
from risk.case.read import read_case
from risk.problems import RiskError
from risk.teaching.mark import mark
from risk.teaching.slip_answers import chances

CASES = {
    path.stem: path.read_text(encoding="utf-8") for path in sorted(fixtures_folder().glob("*.json"))
}
QUESTIONS = [
    (name, number)
    for name, text in CASES.items()
    for number in range(len(json.loads(text)["questions"]))
]
LARGEST_FOR_BRUTE_FORCE = 12


def by_brute_force(case):
    """The answer to the only question of a case, or None where the case cannot be."""
    if len(case["people"]) > LARGEST_FOR_BRUTE_FORCE:
        try:
            return chances(actions.solve(read_case(json.dumps(case))).answers[0])[0]
        except RiskError:
            return None
    try:
        return oracle.Oracle(oracle.load(json.dumps(case))).answers()[0]
    except oracle.Impossible:
        return None


def people_of(case):
    return {person["id"]: person for person in case["people"]}


def asked(case):
    question = case["questions"][0]
    return question.get("parents") or question.get("people") or [question["person"]]


def below(case, ids):
    """Descendants of some people."""
    found = set()
    while True:
        more = {
            p["id"] for p in case["people"] if {p.get("father"), p.get("mother")} & (found | ids)
        }
        if more <= found:
            return found
        found |= more


def edited(case, change):
    new = copy.deepcopy(case)
    change(new)
    return new


def without(ids, *keys):
    def change(case):
        for person in case["people"]:
            if person["id"] in ids:
                for key in keys:
                    person.pop(key, None)

    return change


def numbers(case, ids):
    """Every choice of some, but not all, of the people of some records, where these are few."""
    people = people_of(case)
    many = [people[id].get("count", 1) for id in ids]
    every = list(itertools.product(*(range(number + 1) for number in many)))[1:-1]
    return [dict(zip(ids, each, strict=True)) for each in every] if len(every) <= 30 else []


def of_some(chosen, change):
    """The change of so many of the people of each record, the others being as they are."""

    def of(case):
        for person in list(case["people"]):
            left = chosen.get(person["id"], 0)
            kept = person.get("count", 1) - left
            if left and kept:
                other = {**person, "id": person["id"] + " too"}
                case["people"].append(other)
                for each, number in ((person, kept), (other, left)):
                    each.pop("count", None)
                    each.update({"count": number} if number > 1 else {})
                change(other)
            elif left:
                change(person)

    return of


def lose(*keys):
    def change(person):
        for key in keys:
            person.pop(key, None)

    return change


def have(number):
    return lambda person: person.update(genotype=number)


#: What the table says is done to each person, of the slips about sets of people.
DONE = {
    "ignored_unaffected": lose("affected"),
    "ignored_tests": lose("tests"),
    "perfect_tests": have(0),
    "partner_certain": have(1),
    "partner_ignored": have(0),
    "ignored_healthy_children": lose("affected", "genotype", "tests"),
    "ignored_healthy_relatives": lose("affected"),
    "married_in_ignored": have(0),
    "parents_certain": have(1),
}


def genotype(id, number):
    def change(case):
        people_of(case)[id]["genotype"] = number

    return change


def condition(**changes):
    def change(case):
        for key, value in changes.items():
            if value is None:
                case["condition"].pop(key, None)
            else:
                case["condition"][key] = value

    return change


def question(**new):
    def change(case):
        case["questions"] = [new]

    return change


def in_part(case):
    """Yield (slip, edited case) of some, not all, of those of whom a slip can be made."""
    people, who = people_of(case), asked(case)
    kin = [id for id in people if id in below(case, set(who)) - set(who)]
    tested = [id for id, p in people.items() if p.get("tests")]
    groups = {
        "ignored_tests": tested,
        "perfect_tests": [
            id for id in whose_test_is_negative(people) if not people[id].get("genotype")
        ],
        "ignored_healthy_children": [id for id in kin if people[id].get("affected") is False],
    }
    for slip, ids in groups.items():
        for chosen in numbers(case, ids):
            yield slip, edited(case, of_some(chosen, DONE[slip]))


def whose_test_is_negative(people):
    return [
        id
        for id, p in people.items()
        if any(t.get("result") == "negative" or t.get("found") == 0 for t in p.get("tests", []))
    ]


def edits(case):
    """Yield (slip, edited case) for every sentence of the table that an edit expresses."""
    who, people, rules = asked(case), people_of(case), case["condition"]
    recessive = rules["inheritance"].endswith("recessive")
    well = [id for id in who if people[id].get("affected") is False]
    for group in (well, *([[id] for id in well] if len(well) == 2 else [])):
        yield "ignored_unaffected", edited(case, without(set(group), "affected"))
    kin = below(case, set(who)) - set(who)
    yield "ignored_children", edited(case, without(kin, "affected", "genotype", "tests"))

    well_kin = {id for id in kin if people[id].get("affected") is False}
    facts = ("affected", "genotype", "tests")
    if any(people[id].get(key) not in (None, []) for id in kin - well_kin for key in facts):
        yield "ignored_healthy_children", edited(case, without(well_kin, *facts))

    line = set(who)
    for _ in people:
        line |= {
            people[id][role] for id in line for role in ("father", "mother") if role in people[id]
        }
    line -= set(who)
    side = below(case, line) - line - set(who) - kin
    singles = [{id} for id in line]
    for group in (*singles, line, side, line | set(who), line | side, line | side | set(who) | kin):
        healthy = {id for id in group if people[id].get("affected") is False}
        if healthy - set(who):
            yield "ignored_healthy_relatives", edited(case, without(healthy, "affected"))
    twins = {id for id, p in people.items() if "twin" in p}
    groups = {people[id]["twin"]["group"] for id in twins}
    unsure = {id for id in twins if people[id]["twin"]["zygosity"] == "unknown"}
    unsure = {id for id in unsure if people[id]["twin"].get("monozygotic_chance") not in (0, "0")}
    if unsure and len(groups) == 1 and len({people[id]["sex"] for id in unsure}) == 1:
        yield "twins_certain", edited(case, let_twins_be("monozygotic"))
    same = {id for id in twins if people[id]["twin"]["zygosity"] != "dizygotic"}
    yield "ignored_identical_twins", edited(case, without(same, "twin"))
    asks = case["questions"][0]
    if asks["ask"] == "child_affected":
        for sex in ("female", "male") if "sex" not in asks else (None,):
            other = {key: value for key, value in asks.items() if key != "sex"}
            yield "child_sex", edited(case, question(**other, **({"sex": sex} if sex else {})))
    lasting = {key: value for key, value in asks.items() if key != "by_age"}
    yield "ignored_by_age", edited(case, question(**lasting))

    between = {id for id in kin if below(case, {id}) & set(who)}

    def gone(new):
        without(kin, "affected", "genotype", "tests")(new)
        left = kin - between
        new["people"] = [p for p in new["people"] if p["id"] not in left]
        new["couples"] = [c for c in new.get("couples", []) if not left & set(c["partners"])]

    if "viability" in rules or "mutation_selection_balance" in rules["frequency"]:
        yield "ignored_children", edited(case, gone)
    yield "ignored_tests", edited(case, without(set(people), "tests"))
    negative = whose_test_is_negative(people)
    if negative:

        def surely(new):
            for test in new["condition"]["tests"]:
                if "sensitivity" in test:
                    test["sensitivity"] = "1"

        yield "perfect_tests", edited(case, surely)
        if not any(people[id].get("genotype") for id in negative):
            sure = case
            for id in negative:
                sure = edited(sure, genotype(id, 0))
            yield "perfect_tests", sure
    partners = who
    if len(who) == 1:
        children = [p for p in case["people"] if who[0] in (p.get("father"), p.get("mother"))]
        partners = {p[role] for p in children for role in ("father", "mother")} - set(who)
        for couple in case.get("couples", []):
            if who[0] in couple["partners"]:
                partners |= set(couple["partners"]) - set(who)
    founders = [
        id
        for id in sorted(partners)
        if "father" not in people[id]
        and not people[id].get("affected")
        and "genotype" not in people[id]
    ]
    for id in founders:
        yield "partner_certain", edited(case, genotype(id, 1))
        yield "partner_ignored", edited(case, genotype(id, 0))
    if "parents" in case["questions"][0]:
        if rules["inheritance"] == "autosomal_recessive":
            yield "transmission_forgotten", edited(case, question(ask="both_carriers", people=who))
            ill = [
                id for id in who if people[id].get("affected") or people[id].get("genotype") == 2
            ]
            if len(ill) == 1:
                (id,) = set(who) - set(ill)
                yield "transmission_forgotten", edited(case, question(ask="carrier", person=id))
        else:
            mothers = [id for id in who if people[id]["sex"] == "female"]
            for id in mothers if recessive else who:
                for ask in ("disease_allele", "carrier"):
                    yield "transmission_forgotten", edited(case, question(ask=ask, person=id))
    frequency = rules["frequency"]
    if recessive and "carrier" in frequency:
        c = F(frequency["carrier"])
        q = c / (2 - c)
        yield "allele_for_carrier", edited(case, condition(frequency={"carrier": str(q)}))
    if "penetrance" in rules:
        yield "full_penetrance", edited(case, condition(penetrance=None))
        if "onset" in rules:
            both = edited(case, condition(penetrance=None, onset=None))
            yield "full_penetrance", both
            yield "ignored_age", both
    if "viability" in rules:
        yield "ignored_viability", edited(case, condition(viability=None))
    if "onset" in rules:
        yield "ignored_age", edited(case, condition(onset=None))


def family(inheritance, frequency, people, ask, **more):
    """A case with one question about one person, as plain data."""
    return {
        "version": 1,
        "condition": {"inheritance": inheritance, "frequency": frequency, **more},
        "people": people,
        "questions": [ask],
    }


def one(id, parents=(), **facts):
    found = {"id": id, "sex": "male" if id[0] == "m" else "female", **facts}
    return found | dict(zip(("father", "mother"), parents, strict=False))


WELL, ILL = {"affected": False}, {"affected": True}
SIBS = [
    *(one("m1", **WELL), one("f1", **WELL)),
    *(one("m2", ("m1", "f1"), **ILL), one("f2", ("m1", "f1"), **WELL)),
]


def marked(plain, slip, changed):
    """The mark of an answer that the brute force finds for the case somebody solved instead."""
    value = by_brute_force(changed)
    assert value != by_brute_force(plain)
    got = mark(read_case(json.dumps(plain)), str(value))
    assert slip in got.slips, value
    return got.feedback


def healthy_sons(*records):
    """A woman whose brother is affected on the X, and her healthy sons."""
    people = [one("m1"), one("f1"), one("m2", ("m1", "f1"), **ILL), one("f2", ("m1", "f1"))]
    people += [one("m9"), *(one(f"m{3 + n}", ("m9", "f2"), **each) for n, each in
                            enumerate(records))]  # fmt: skip
    ask = {"ask": "carrier", "person": "f2"}
    return family("x_linked_recessive", {"allele": "rare"}, people, ask)


def twin_sisters(chance=None, **other):
    """The healthy sister of an affected boy, and her twin, of whom something is known."""
    twin = {
        "group": "a",
        "zygosity": "unknown",
        **({"monozygotic_chance": chance} if chance else {}),
    }
    people = [*SIBS[:3], {**SIBS[3], "twin": twin}]
    people.append({**one("f3", ("m1", "f1")), **other, "twin": twin})
    return family(
        "autosomal_recessive", {"carrier": "1/50"}, people, {"ask": "carrier", "person": "f2"}
    )


ZYGOSITIES = ("monozygotic", "dizygotic")


def let_twins_be(zygosity):
    def change(case):
        for person in case["people"]:
            if "twin" in person:
                person["twin"] = {"group": person["twin"]["group"], "zygosity": zygosity}

    return change
