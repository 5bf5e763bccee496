"""Every table of a working, re-checked row by row with the oracle.

`check_workings(case, object)` takes plain data: a case and what `explain --json` prints for it. It
knows the contract's form of a working and nothing of how workings are made.
"""

import copy
import json
import math
import re
from fractions import Fraction
from pathlib import Path

import oracle
import pytest
import strategies
from hypothesis import given, note
from hypothesis import strategies as st

from risk.actions import explain, ladder, solve
from risk.case.read import read_case
from risk.render.json import workings_json

CLOSE = Fraction(1, 10**9)
MOSTLY = st.sampled_from([True, True, True, False, None])


class Untrue(AssertionError):
    """A working that does not hold, with the place."""


def demand(condition, *where):
    if not condition:
        raise Untrue(" | ".join(str(w) for w in where))


def term(value):
    """A value as (power of e, coefficient); a decimal is only good to a few digits."""
    text = str(value)
    if "*e^" in text:
        coefficient, power = text.split("*e^")
        return int(power), Fraction(coefficient)
    return 0, Fraction(text)


def times(one, two):
    return one[0] + two[0], one[1] * two[1]


def normalised(terms):
    """Shares of the total in the limit e -> 0, or None where the total is zero."""
    powers = [power for power, coefficient in terms if coefficient]
    if not powers:
        return None
    least = min(powers)
    leading = [c if power == least else Fraction(0) for power, c in terms]
    return [c / sum(leading) for c in leading]


def limit(value):
    """A number in the limit e -> 0."""
    power, coefficient = term(value)
    if power < 0 and coefficient:
        raise Untrue(f"{value} grows beyond every number")
    return coefficient if power == 0 else Fraction(0)


def equal(one, two, exact):
    return one == two if exact else abs(one - two) <= CLOSE


def matcher(hypothesis, truth, mosaics):
    """A function of the oracle's states: does the hypothesis hold?"""

    def holds(states):
        for person, wanted in hypothesis.items():
            alleles, clone = states[person]
            if wanted == "mosaic":
                if not clone:
                    return False
                continue
            if clone and person in mosaics:
                return False
            if isinstance(wanted, list):
                names = ["normal" if a == oracle.NORMAL else truth.classes[a - 1] for a in alleles]
                if sorted(names) != sorted(wanted):
                    return False
            elif oracle.alleles_of((alleles, clone)) != wanted:
                return False
        return True

    return holds


def apart(hypotheses, truth):
    """The hypotheses as functions of the oracle's states."""
    mosaics = {p for h in hypotheses for p, state in h.items() if state == "mosaic"}
    return [matcher(h, truth, mosaics) for h in hypotheses]


NUMBER = r"\d+(?:\.\d+)?(?:/\d+)?%?(?: × 10[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)?"
PART = rf"(?:{NUMBER}|\({NUMBER}(?: [×+-] {NUMBER})*\))"
#: A sum or product of exact numbers, whole, with what it is said to be.
WORKED = re.compile(
    rf"(?<![\w.≈/ε%^²])(?<![×+/-] )({PART}(?: [×+/-] {PART})+) = ({NUMBER})"
    r"(?![\d/²³⁴⁻%]|\.\d| ε| × 10)"
)


def check_sums(text):
    """Every sum and product of exact numbers in a text; returns how many there are."""

    def exact(number):
        digits, _, raised = number[0].partition(" × 10")
        power = int(raised.translate(str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")) or 0)
        whole = 100 if digits.endswith("%") else 1
        return f"(Fraction('{digits.rstrip('%')}') / {whole} * Fraction(10) ** {power})"

    sums = list(WORKED.finditer(text))
    for found in sums:
        one, two = (re.sub(NUMBER, exact, side).replace("×", "*") for side in found.groups())
        demand(eval(one) == eval(two), "untrue sum", found[0], text)
    return len(sums)


def check_step(step, truth, earlier, exact):
    """One table: form, every prefix of its rows, joint and posterior."""
    name, hypotheses, rows = step["id"], step["hypotheses"], step["rows"]
    demand(name not in earlier, name, "id given twice")
    demand(step["text"].strip(), name, "no text")
    # One or two sentences, as the file format says; the rest stands by row.
    ends = re.findall(r"[.?!](?= [A-Z]|$)", step["text"])
    demand(len(ends) in (1, 2), name, "sentences", step["text"])
    reasons = [said for row in rows for said in row["reasons"]]
    for said in (step["text"], *reasons, step["closing"]):
        check_sums(said)
    demand(step["people"] and len(set(step["people"])) == len(step["people"]), name, "people")
    demand(len({json.dumps(h, sort_keys=True) for h in hypotheses}) == len(hypotheses), name)
    demand(all(sorted(h) == sorted(step["people"]) for h in hypotheses), name, "hypotheses")
    demand(
        [r["kind"] for r in rows] == ["prior"] + ["conditional"] * (len(rows) - 1), name, "kinds"
    )
    holds, known = apart(hypotheses, truth), []
    about = frozenset(step["people"])
    running = [(0, Fraction(1))] * len(hypotheses)
    for number, row in enumerate(rows):
        where = (name, f"row {number}", row["text"])
        demand(row["text"].strip(), *where, "no text")
        demand(len(row["values"]) == len(hypotheses), *where, "number of values")
        demand(set(row["uses"]) <= set(earlier), *where, "uses what is not earlier")
        for fact in row["facts"]:
            demand(fact in truth.evidence, *where, "no such fact", fact)
            demand(fact not in known, *where, "fact brought in twice", fact)
            known.append(fact)
        running = [times(r, term(v)) for r, v in zip(running, row["values"], strict=True)]
        shares, true = normalised(running), truth.chances(holds, known, about=about)
        demand(shares is not None, *where, "all zero")
        demand(equal(sum(true), 1, exact), *where, "hypotheses left out that are possible", true)
        agree = all(equal(a, b, exact) for a, b in zip(shares, true, strict=True))
        demand(agree, *where, "untrue: shown", *map(str, shares), "true", *map(str, true))
    joint = [term(value) for value in step["joint"]]
    for got, wanted in zip(joint, running, strict=True):
        demand(got[1] == wanted[1] == 0 or got[0] == wanted[0], name, "joint power")
        small = CLOSE * max(abs(wanted[1]), Fraction(1, 10**300))
        demand(abs(got[1] - wanted[1]) <= (0 if exact else small), name, "joint")
    posterior = [limit(value) for value in step["posterior"]]
    for got, wanted in zip(posterior, normalised(joint), strict=True):
        demand(equal(got, wanted, exact), name, "posterior", got, wanted)
    return known


def check_answer(working, truth, exact):
    """The last step against the answer, and the answer against the oracle."""
    question, last = working["question"], working["steps"][-1]
    wanted = truth.answer(question)
    if isinstance(wanted, dict):
        shown = working["exact"] if exact else working["distribution"]
        shown = {n: Fraction(str(shown.get(n, 0))) for n in wanted}
    else:
        wanted = {"": wanted}
        shown = {"": Fraction(str(working["exact"] if exact else working["probability"]))}
    for key, value in wanted.items():
        demand(equal(shown[key], value, exact), question, "answer", shown, wanted)
    if last.get("combine") is not None:
        check_combine(last["combine"], question, wanted[""], truth, exact)
        return
    demand("person" in question or question["ask"] == "both_carriers", question, "no combine")
    people = [question["person"]] if "person" in question else question["people"]
    found = dict.fromkeys(wanted, Fraction(0))
    for hypothesis, value in zip(last["hypotheses"], last["posterior"], strict=True):
        counts = [alleles_in(hypothesis[person]) for person in people]
        if question["ask"] == "genotype":
            found[str(counts[0])] += limit(value)
        elif question["ask"] == "disease_allele":
            found[""] += limit(value) * (counts[0] >= 1)
        elif question["ask"] == "will_be_affected":
            raise Untrue(f"{question} | the posterior of genotypes is not this answer")
        else:
            two = all(not truth.on_x or truth.people[p].sex == "female" for p in people)
            found[""] += limit(value) * (two and all(n == 1 for n in counts))
    for key, value in wanted.items():
        demand(equal(found[key], value, exact), question, "last posterior", found, wanted)


def alleles_in(state):
    if isinstance(state, int):
        return state
    return 0 if state == "mosaic" else sum(name != "normal" for name in state)


def check_combine(combine, question, answer, truth, exact):
    """Cases, weights given everything, chances of the event, products and their sum."""
    demand(combine, question, "nothing to combine")
    cases = [line["case"] for line in combine]
    demand(len({json.dumps(c, sort_keys=True) for c in cases}) == len(cases), question, "cases")
    holds = apart(cases, truth)
    demand(all(c.keys() == cases[0].keys() for c in cases), question, "people of the cases")

    def values(states, order):
        born, event = truth.event(question, states, order)
        true = [h(states) for h in holds]
        return [born] + [born * int(t) for t in true] + [event * int(t) for t in true]

    sums = truth.average(values)[1:]
    weights, events = sums[: len(cases)], sums[len(cases) :]
    total = Fraction(0)
    for line, weight, event in zip(combine, weights, events, strict=True):
        where = (question, line)
        demand(equal(limit(line["weight"]), weight, exact), *where, "weight", weight)
        product = times(term(line["weight"]), term(line["chance"]))
        got = term(line["product"])
        demand(got[1] == product[1] == 0 or got[0] == product[0], *where, "power of the product")
        demand(equal(got[1], product[1], exact), *where, "product", product)
        if weight:
            demand(equal(limit(line["chance"]), event / weight, exact), *where, event / weight)
        total += limit(line["product"])
    demand(equal(total, answer, exact), question, "sum of products", total, answer)


def check_workings(case, shown):
    """Raise `Untrue` unless the workings of a case hold (both as plain data)."""
    truth = oracle.Oracle(oracle.load(json.dumps(case)))
    demand(len(shown["workings"]) == len(truth.questions), "number of workings")
    for question, working in zip(truth.questions, shown["workings"], strict=True):
        asked = {k: v for k, v in working["question"].items() if v is not None}
        demand(plain(asked) == plain(question), "question", asked, question)
        earlier = []
        for step in working["steps"]:
            check_step(step, truth, earlier, truth.exact)
            earlier.append(step["id"])
        check_answer(working, truth, truth.exact)
        last = working["steps"][-1]
        if last.get("combine") is None:
            true = truth.chances(apart(last["hypotheses"], truth))
            for value, wanted in zip(last["posterior"], true, strict=True):
                demand(
                    equal(limit(value), wanted, truth.exact), question, "given all facts", wanted
                )
        idle = working.get("no_difference", [])
        demand(set(idle) <= set(truth.evidence), question, "no such fact", idle)
        rest = [fact for fact in truth.evidence if fact not in idle]
        # (An unaffected person's own later chance has the fact in its question.)
        demand(truth.answer(question, rest) == truth.answer(question), question, "matters", idle)


def plain(question):
    return {k: str(v) if k == "by_age" else v for k, v in question.items()}


# ------------------------------------------------ the checker itself, on a working written by hand

CASE = {
    "version": 1,
    "condition": {"inheritance": "autosomal_recessive", "frequency": {"carrier": "1/25"}},
    "people": [
        {"id": "I-1", "sex": "male", "genotype": 1},
        {"id": "I-2", "sex": "female", "genotype": 1},
        {"id": "II-2", "sex": "female", "father": "I-1", "mother": "I-2", "affected": False},
        {"id": "II-3", "sex": "male", "affected": True},
        {
            "id": "III-1",
            "sex": "male",
            "father": "II-3",
            "mother": "II-2",
            "affected": False,
            "count": 3,
        },
    ],
    "questions": [
        {"ask": "carrier", "person": "II-2"},
        {"ask": "child_affected", "parents": ["II-2", "II-3"]},
    ],
}
# Two carriers' healthy daughter: 1/3 and 2/3; three healthy sons by an affected man: 1 and 1/8.
STEP = {
    "id": "s1",
    "people": ["II-2"],
    "text": "Is she a carrier?",
    "hypotheses": [{"II-2": 0}, {"II-2": 1}],
    "rows": [
        {
            "kind": "prior",
            "text": "healthy child of two carriers",
            "values": ["1/3", "2/3"],
            "facts": ["I-1.genotype", "I-2.genotype", "II-2.affected"],
            "uses": [],
            "reasons": [],
        },
        {
            "kind": "conditional",
            "text": "three unaffected sons",
            "values": ["1", "1/8"],
            "facts": ["II-3.affected", "III-1.affected"],
            "uses": [],
            "reasons": ["Each son escapes with 1/2: 1/2 × 1/2 × 1/2 = 1/8."],
        },
    ],
    "joint": ["1/3", "1/12"],
    "posterior": ["4/5", "1/5"],
    "closing": "",
}
COMBINE = [{"case": {"II-2": 1}, "weight": "1/5", "chance": "1/2", "product": "1/10"}]
WORKINGS = {
    "workings": [
        {"question": CASE["questions"][0], "probability": 0.2, "exact": "1/5", "steps": [STEP]},
        {
            "question": CASE["questions"][1],
            "probability": 0.1,
            "exact": "1/10",
            "steps": [{**STEP, "combine": COMBINE}],
        },
    ]
}


def test_a_true_working_passes():
    check_workings(CASE, WORKINGS)


def spoil(path, value):
    spoilt = copy.deepcopy(WORKINGS)
    place = spoilt
    for key in path[:-1]:
        place = place[key]
    place[path[-1]] = value
    return spoilt


FIRST = ("workings", 0, "steps", 0)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ((*FIRST, "rows", 0, "values"), ["1/2", "1/2"]),
        ((*FIRST, "rows", 1, "values"), ["1", "1/4"]),
        ((*FIRST, "rows", 1, "facts"), ["III-1.affected"]),
        ((*FIRST, "rows", 1, "facts"), ["II-3.affected", "III-1.affected", "II-2.affected"]),
        ((*FIRST, "rows", 1, "facts"), ["II-3.affected", "III-1.affected", "III-1.tests[0]"]),
        ((*FIRST, "rows", 0, "uses"), ["s1"]),
        ((*FIRST, "hypotheses"), [{"II-2": 0}, {"II-2": 2}]),
        ((*FIRST, "joint"), ["1/3", "1/6"]),
        ((*FIRST, "posterior"), ["2/3", "1/3"]),
        ((*FIRST, "text"), ""),
        ((*FIRST, "text"), "Each with 1/2: 1/2 × 1/2 = 1/3."),
        ((*FIRST, "text"), "One. Two. And a third sentence."),
        ((*FIRST, "rows", 1, "reasons"), ["Each with 1/2: 1/2 × 1/2 = 1/3."]),
        ((*FIRST, "closing"), "Each with 1/2: 1/2 × 1/2 = 1/3."),
        (("workings", 0, "exact"), "1/4"),
        (("workings", 0, "no_difference"), ["III-1.affected"]),
        (("workings", 1, "steps", 0, "combine", 0, "weight"), "1/4"),
        (("workings", 1, "steps", 0, "combine", 0, "chance"), "1/4"),
        (("workings", 1, "steps", 0, "combine", 0, "product"), "1/20"),
        (("workings", 1, "steps", 0, "combine"), []),
        (("workings", 1, "steps", 0, "combine"), None),
    ],
)
def test_an_untrue_working_is_found_out(path, value):
    with pytest.raises(Untrue):
        check_workings(CASE, spoil(path, value))


def test_sums_in_a_text_are_worked_out_again():
    text = "With 1 - 1/2 × 80% = 3/5, so (1/4 + 1/2) × 3/5 = 0.45. By 1/4 / (19/40) = 10/19, too."
    assert check_sums(text) == 3
    assert check_sums("Here 1/50000 × 0.4 = 8 × 10⁻⁶ and 2 × 10⁻⁵ × 1/2 = 1/100000.") == 2
    assert not check_sums("With 2ε × 1/4 = 1/2 ε and 1/3 × ≈0.25 = 1/12 nothing exact is said.")
    for untrue in (
        "1/4 / (19/40) = 1/19",
        "1 - 1/2 × 80% = 2/5",
        "3/4 + 1/4 × 1/2 = 7",
        "1 / 4 = 25 × 10⁻³",
    ):
        with pytest.raises(Untrue):
            check_sums(f"So it is {untrue}.")


def test_leading_terms_cancel():
    assert normalised([(1, Fraction(4)), (1, Fraction(2)), (2, Fraction(9))]) == [
        Fraction(2, 3),
        Fraction(1, 3),
        0,
    ]
    assert term("4*e^1") == (1, 4)
    assert term("1/3*e^2") == (2, Fraction(1, 3))
    assert math.isclose(term(0.25)[1], 0.25)


# ------------------------------------------------------------------------------ the real workings


@given(strategies.cases(asked=2))
def test_workings_of_random_families(case):
    text = json.dumps(case)
    note(text)
    truth = oracle.Oracle(oracle.load(text))
    try:
        truth.answers()
    except oracle.Impossible:
        return
    check_workings(case, workings_json(explain(read_case(text))))


@st.composite
def rare_dominant(draw):
    """Both grandparents affected, so that a child may have two copies, however rare one is."""
    condition = {
        "inheritance": draw(st.sampled_from(["autosomal_dominant", "x_linked_dominant"])),
        "frequency": {"allele": "rare"},
    }
    if draw(st.booleans()):
        condition["viability"] = {"0": "1", "1": "1", "2": "0"}
    people = [
        {"id": "I-1", "sex": "male", "affected": draw(MOSTLY)},
        {"id": "I-2", "sex": "female", "affected": draw(MOSTLY)},
    ]
    parents = {"father": "I-1", "mother": "I-2"}
    for n in range(draw(st.integers(1, 2))):
        child = {"id": f"II-{n}", "sex": "female", **parents, "affected": draw(MOSTLY)}
        people += [child, {"id": f"II-{n}b", "sex": "male", "affected": draw(st.booleans())}]
        for k in range(draw(st.integers(0, 3))):
            grandchild = {"id": f"III-{n}{k}", "sex": draw(st.sampled_from(["male", "female"]))}
            grandchild |= {"father": f"II-{n}b", "mother": f"II-{n}"}
            people.append(grandchild | {"affected": draw(st.booleans())})
    questions = [
        {"ask": "genotype", "person": "II-0"},
        {"ask": "child_affected", "parents": ["II-0b", "II-0"]},
    ]
    return {"version": 1, "condition": condition, "people": people, "questions": questions}


@given(rare_dominant())
def test_workings_where_a_rare_allele_comes_from_both_sides(case):
    test_workings_of_random_families.hypothesis.inner_test(case)


def _without(case, facts):
    """The case file without these facts: what it would be had nobody told them."""
    case = copy.deepcopy(case)
    people = {person["id"]: person for person in case["people"]}
    for fact in sorted(facts, reverse=True):  # of results the last first
        who, _, what = fact.rpartition(".")
        if what.startswith("tests["):
            del people[who]["tests"][int(what[6:-1])]
        else:
            people[who].pop(what, None)
    return case


def _of_the_tree(fact):
    return fact.endswith((".born", ".fathered"))


@given(strategies.cases(asked=1), st.randoms(use_true_random=False), st.booleans())
def test_every_rung_of_the_evidence_ladder(case, dice, alone):
    """A rung is the answer to the case without the facts not yet told, in any order of them."""
    text = json.dumps(case)
    note(text)
    truth = oracle.Oracle(oracle.load(text))
    question = dict(truth.questions[0])
    if question["ask"] == "genotype":
        question["ask"] = "disease_allele"
    try:
        final = truth.answer(question)
    except oracle.Impossible:
        return
    facts = list(truth.evidence)
    dice.shuffle(facts)
    left = [fact for fact in facts if not _of_the_tree(fact)]
    for rung in ladder(read_case(text), 0, facts, alone=alone):
        left = [fact for fact in left if fact not in rung.facts]
        edited = oracle.Oracle(oracle.load(json.dumps(_without(case, left))))
        try:
            wanted = edited.answer(question)
        except oracle.Impossible:
            # An affected father whom a fitness of 0 rules out until his phenotype is told.
            wanted = truth.answer(question, [fact for fact in facts if fact not in left])
        assert abs(float(wanted) - rung.chance.value) <= 1e-12, rung
        assert rung.chance.exact == (wanted if truth.exact else None), rung
    assert not left
    assert wanted == final


@pytest.mark.parametrize("fitness", [0, "1/3"])
def test_a_father_counts_by_the_fitness_until_his_phenotype_is_told(fitness):
    # At a fitness of 0 as Haldane's rule has it (from memory): the mother of an isolated case
    # is a carrier with chance 2/3, whether or not the men who had children were looked at.
    case = json.loads(Path("fixtures/lethal-balance.json").read_text(encoding="utf-8"))
    case["condition"]["frequency"] = {"mutation_selection_balance": {"fitness": fitness}}
    text, told = json.dumps(case), ["III-1.affected", "I-1.affected", "II-1.affected"]
    rungs = ladder(read_case(text), 0, told, alone=True)
    left = [f"{person['id']}.affected" for person in case["people"]]
    for rung in rungs:
        left = [fact for fact in left if fact not in rung.facts]
        edited = read_case(json.dumps(_without(case, left)))
        assert rung.chance.exact == solve(edited).answers[0].probability.exact
    if not fitness:
        assert [str(rung.chance.exact) for rung in rungs[:4]] == ["0", "2/3", "2/3", "2/3"]
