"""The only place where random families come from.

`cases()` is a hypothesis strategy over the whole case file, for families small enough for the
oracle; it is built from small strategies so that a failing case shrinks to a readable one.
`random_family(seed, ...)` is a plain seeded generator for middle-sized and large families whose
evidence is always possible, because it is read off genotypes that were drawn first.

Both return cases as plain data, ready for `json.dumps`.
"""

from __future__ import annotations

import math
import random
from fractions import Fraction
from functools import cache

from hypothesis import strategies as st

RECESSIVE = ("autosomal_recessive", "x_linked_recessive")
DOMINANT = ("autosomal_dominant", "x_linked_dominant")
MODES = RECESSIVE + DOMINANT
BORN = ("alive", "deceased")

# ---------------------------------------------------------------- numbers


def spellings(value):
    """Every way in which the case file lets one write a fraction."""
    value = Fraction(value)
    ways = [f"{value.numerator}/{value.denominator}"]
    if value.denominator == 1:
        ways = [int(value), f"{value}.0", *ways]
    decimal = value * 10**8
    if decimal.denominator == 1 and Fraction(repr(float(value))) == value:
        ways += [float(value), repr(float(value)), f"{float(value * 100)!r}%"]
    if value:
        ways.append(f"{value.numerator} in {value.denominator}")
    return [way for way in ways if _same(way, value)]


def _same(way, value):
    text = str(way)
    if " in " in text or "/" in text:
        return True
    percent = text.endswith("%")
    return Fraction(text.rstrip("%")) / (100 if percent else 1) == value


@cache
def among(*values):
    """One of the values, in one of its spellings (as few draws as can be: they take the time)."""
    return st.sampled_from([way for value in values for way in spellings(value)])


@cache
def rarely(odds=8):
    """True now and then; shrinks to False."""
    return st.integers(0, odds - 1).map(lambda i: i == odds - 1)


@cache
def pick(*values):
    return st.sampled_from(values)


CHANCES = ("1", "0", "1/2", "1/4", "3/4", "9/10", "1/10", "1/3", "0.98", "1/25", "1/1000")
CHANCE = among(*CHANCES)
SURE = among("1", "1", "1", "1/2", "9/10", "1/3", "0")
SMALLS = ("1/10", "1/25", "1/100", "0.004", "1/1000", "1/7", "1/2")
SMALL = among(*SMALLS)
RATE = among("1/100", "1/1000", "0", "1/20", "0.00001")
WHETHER = st.booleans()
AGE = pick(*range(91), 0.5, 45.5, 72.25)


# ---------------------------------------------------------------- the condition


def frequencies(draw, mode):
    kinds = ["allele", "rare", "incidence", "root"]
    if mode in RECESSIVE:
        kinds.append("carrier")
    if mode.startswith("x_linked"):
        kinds += ["balance", "balance"]
    kind = draw(pick(*kinds))
    if kind == "rare":
        return {"allele": "rare"}
    if kind == "allele":
        more = among("0", "1/2", "1") if draw(rarely(6)) else SMALL
        return {"allele": draw(more)}
    if kind == "carrier":
        return {"carrier": draw(among("0", "1") if draw(rarely(8)) else SMALL)}
    if kind == "balance":
        fitness = draw(among("0", "1/2", "3/10", "9/10"))
        return {"mutation_selection_balance": {"fitness": fitness}}
    if kind == "root":  # no rational root: an irrational frequency on an autosome
        return {"incidence": draw(among("1/1000", "1/50", "0.003"))}
    root = Fraction(draw(pick(*SMALLS, "0", "1")))
    square = 1 - (1 - root) ** 2 if mode == "autosomal_dominant" else root**2
    return {"incidence": draw(among(square))}


def by_count(value):
    return st.fixed_dictionaries(dict.fromkeys(("0", "1", "2"), value))


def penetrances(draw, mode, by_sex):
    """Reduced penetrance, now and then with phenocopies or any table at all."""
    low = among("0") if not draw(rarely(3)) else among("1/100", "1/10", "0")
    middle = among("0") if mode in RECESSIVE and not draw(rarely(4)) else CHANCE

    def table(male_x):
        rows = {"0": draw(low), "1": draw(SURE if male_x else middle)}
        if not male_x:
            rows["2"] = draw(SURE)
        return rows

    if by_sex:
        male_x = mode.startswith("x_linked")
        return {"female": table(False), "male": table(male_x)}
    return table(False)


def viabilities(draw, mode, by_sex):
    def table(male_x):
        rows = {"0": draw(among("1", "1", "9/10")), "1": draw(SURE)}
        if not male_x:
            rows["2"] = draw(SURE)
        return rows

    if by_sex:
        return {"female": table(False), "male": table(mode.startswith("x_linked"))}
    return table(False)


def onsets(draw):
    ages = sorted(draw(st.sets(st.integers(1, 80), min_size=1, max_size=3)))
    shares = sorted(Fraction(draw(pick(*CHANCES))) for _ in ages)
    return [
        {"age": age, "cumulative": draw(among(share))}
        for age, share in zip(ages, shares, strict=True)
    ]


def assays(draw, variants):
    """The tests of a case: at most two, of any kind."""
    found = []
    for i in range(draw(st.integers(0, 2))):
        name = f"test {i + 1}"
        kinds = ["accuracy", "likelihood"] + (["detects"] * 2 if variants else [])
        kind = draw(pick(*kinds))
        if kind == "accuracy":
            accuracy = among("9/10", "0.95", "1", "1/2", "0")
            found.append(
                {
                    "name": name,
                    "sensitivity": draw(accuracy),
                    "specificity": draw(among("1", "0.98", "9/10")),
                }
            )
        elif kind == "likelihood":
            density = among("1", "1/3", "2/3", "0", "5/2", "0.02", "12")
            results = ["high", "low", "middle"][: draw(st.integers(1, 3))]
            found.append(
                {"name": name, "likelihood": {r: draw(by_count(density)) for r in results}}
            )
        else:
            names = [v["name"] for v in variants]
            seen = draw(st.sets(st.sampled_from(names), min_size=1))
            found.append({"name": name, "detects": sorted(seen)})
    return found


@st.composite
def conditions(draw, mode=None):
    mode = mode or draw(pick(*MODES))
    frequency = frequencies(draw, mode)
    condition = {"inheritance": mode, "frequency": frequency}
    balance = "mutation_selection_balance" in frequency
    if balance or draw(rarely(3)):
        if frequency.get("allele") != "rare" and draw(WHETHER):
            condition["mutation"] = {"maternal": "rare", "paternal": "rare"}
        else:
            rates = among("1/100", "1/1000", "0") if balance else RATE
            condition["mutation"] = {
                "maternal": draw(rates),
                "paternal": draw(rates),
            }
            if draw(rarely(6)):
                del condition["mutation"][draw(pick("maternal", "paternal"))]
    if draw(rarely(2)):
        condition["penetrance"] = penetrances(draw, mode, draw(rarely(3)))
    if draw(rarely(3)):
        condition["onset"] = onsets(draw)
    if draw(rarely(4)):
        condition["viability"] = viabilities(draw, mode, draw(rarely(2)))
    if draw(rarely(4)):
        shares = draw(
            st.sampled_from(
                [["9/10", "1/10"], ["1/2", "1/2"], ["0.7", "0.2", "0.1"], ["1"], ["1", "0"]]
            )
        )
        condition["variants"] = [
            {"name": name, "share": share}
            for name, share in zip(["common", "scarce", "private"], shares, strict=False)
        ]
    if draw(rarely(5)):
        condition["germline_mosaicism"] = {
            "prior": draw(among("1/100", "1/10", "0", "1/2", "1")),
            "gametes": draw(among("1/4", "1/2", "1/10", "1")),
        }
    tests = assays(draw, condition.get("variants"))
    if tests:
        condition["tests"] = tests
    if draw(rarely(8)):
        condition["name"] = "An invented condition"
    return condition


def most_people(condition, rows):
    """How many people the oracle can enumerate under a condition, within a number of rows."""
    classes = len(condition.get("variants", "1"))
    pairs = (classes + 1) * (classes + 2) / 2
    founder = pairs + (classes if "germline_mosaicism" in condition else 0)
    opened = "mutation" in condition or "germline_mosaicism" in condition
    child = pairs if opened else min(pairs, 2.5)
    size = math.log(rows) / math.log((founder + child) / 2)
    return max(2, min(9, int(size)))


# ---------------------------------------------------------------- the family

STEP = st.tuples(
    pick("child", "child", "child", "founder", "twin", "several"),
    st.integers(0, 5),
    st.integers(0, 5),
    pick("female", "male", "unknown"),
)


def trees(draw, most, sexes_known):
    """People, sexes, parents. Any two of opposite sex may have children: loops are common."""
    people = [{"id": "I-1", "sex": "male"}, {"id": "I-2", "sex": "female"}]
    last, size, groups = None, 2, 0
    least = draw(st.integers(0, most - 2))
    for kind, i, j, sex in draw(st.lists(STEP, min_size=least, max_size=most - 2)):
        if size >= most:
            break
        person = {"id": f"P-{len(people) + 1}"}
        person["sex"] = "female" if sex == "unknown" and (sexes_known or kind == "founder") else sex
        size += 1
        if kind != "founder":
            able = [p for p in people if "count" not in p and p["sex"] != "unknown"]
            fathers = [p["id"] for p in able if p["sex"] == "male"]
            mothers = [p["id"] for p in able if p["sex"] == "female"]
            person |= {"father": fathers[i % len(fathers)], "mother": mothers[j % len(mothers)]}
            if kind == "several" and size < most:
                person["count"] = 2 if size + 1 == most else draw(st.integers(2, 3))
                size += person["count"] - 1
            elif kind == "twin" and last is not None and "count" not in last:
                person |= {"father": last["father"], "mother": last["mother"]}
                if "twin" not in last:
                    groups += 1
                    zygosity = draw(pick("unknown", "dizygotic", "monozygotic"))
                    last["twin"] = {"group": f"twins {groups}", "zygosity": zygosity}
                    if zygosity == "unknown" and draw(WHETHER):
                        last["twin"]["monozygotic_chance"] = draw(CHANCE)
                if last["twin"]["zygosity"] == "monozygotic":
                    person["sex"] = last["sex"]
                person["twin"] = dict(last["twin"])
            last = person
        people.append(person)
    return people


def evidence(draw, condition, person, is_parent, sexed):
    """Facts about one person (changes the person)."""
    male_x = condition["inheritance"].startswith("x_linked") and person["sex"] == "male"
    if not is_parent and draw(rarely(6)):
        lost = pick("pregnancy", "stillbirth", "miscarriage", "termination")
        person["status"] = draw(lost)
    elif draw(rarely(8)):
        person["status"] = draw(pick(*BORN))
    if person["sex"] != "unknown" or not sexed:
        affected = draw(pick("absent", False, False, True, None))
        if affected != "absent":
            person["affected"] = affected
    onset = "onset" in condition
    if (onset and person.get("affected") is False) or draw(rarely(6)):
        person["age"] = draw(AGE)
    if draw(rarely(10)):
        person["genotype"] = draw(st.integers(0, 1 if male_x else 2))
    results = []
    for test in condition.get("tests", []):
        if not draw(rarely(3)):
            continue
        result = {"test": test["name"]}
        if "detects" in test:
            result["found"] = draw(st.integers(0, 1 if male_x else 2))
        elif "likelihood" in test:
            result["result"] = draw(pick(*sorted(test["likelihood"])))
        else:
            result["result"] = draw(pick("negative", "positive"))
        results += [result] * (2 if draw(rarely(10)) else 1)
    if results:
        person["tests"] = results
    if "father" not in person and draw(rarely(10)):
        person["inbreeding"] = draw(among("1/16", "0.25", "1/64", "0", "1"))
    if draw(rarely(15)):
        person |= draw(
            st.sampled_from(
                [
                    {"name": "Pip", "gender": "nonbinary"},
                    {"note": "moved away\nlong ago"},
                    {"adopted": "in"},
                    {} if "count" in person else {"roles": ["proband", "consultand"]},
                ]
            )
        )


def question(draw, condition, people):
    sexed = needs_sex(condition)
    known = [p["id"] for p in people if p["sex"] != "unknown"]
    anyone = [p["id"] for p in people]
    lost = {p["id"] for p in people if p.get("status", "alive") not in BORN}
    men = [p["id"] for p in people if p["sex"] == "male" and p["id"] not in lost]
    women = [p["id"] for p in people if p["sex"] == "female" and p["id"] not in lost]
    ask = draw(
        pick(
            "carrier",
            "child_affected",
            "will_be_affected",
            "genotype",
            "disease_allele",
            "child_carrier",
            "both_carriers",
            "children_affected",
        )
    )
    by_age = {}
    if draw(WHETHER if "onset" in condition else rarely(8)):
        by_age = {"by_age": draw(st.integers(0, 90))}
    if ask in ("carrier", "genotype", "disease_allele"):
        return {"ask": ask, "person": draw(pick(*anyone))}
    if ask == "will_be_affected":
        person = draw(pick(*(known if sexed else anyone)))
        return {"ask": ask, "person": person, **by_age}
    if ask == "both_carriers":
        one = draw(pick(*anyone))
        two = draw(pick(*(i for i in anyone if i != one)))
        return {"ask": ask, "people": [one, two]}
    parents = [draw(pick(*men)), draw(pick(*women))]
    asked = {"ask": ask, "parents": parents[::-1] if draw(WHETHER) else parents}
    if ask == "children_affected":
        n = draw(st.integers(1, 4))
        return asked | {
            "of": n,
            draw(pick("at_least", "exactly")): draw(st.integers(0, n)),
        }
    if ask == "child_affected":
        asked |= by_age
    if draw(WHETHER):
        asked["sex"] = draw(pick("female", "male"))
    return asked


def needs_sex(condition):
    """Whether phenotypes need the sex of a person."""
    return condition["inheritance"].startswith("x_linked") or "female" in condition.get(
        "penetrance", {}
    )


@st.composite
def cases(draw, condition=None, most=None, asked=3):
    """Cases over the whole case file, of 2 to 9 people; the evidence may be impossible."""
    condition = draw(conditions() if condition is None else condition)
    size = min(most or 9, most_people(condition, 12000 if draw(rarely(8)) else 2000))
    people = trees(draw, size, condition["inheritance"].startswith("x_linked"))
    parents = {p.get(role) for p in people for role in ("father", "mother")} | {"I-1", "I-2"}
    for person in people:
        evidence(draw, condition, person, person["id"] in parents, needs_sex(condition))
    case = {
        "version": 1,
        "condition": condition,
        "people": people,
        "questions": [
            question(draw, condition, people) for _ in range(draw(st.integers(1, asked)))
        ],
    }
    if draw(rarely(10)):
        case |= {"title": "A family", "vignette": "They came\nto ask."}
    return case


# ---------------------------------------------------------------- larger families


def random_family(
    seed, people, *, mode=None, reduced=None, loops=0, cousins=0, twins=0, told=0.6, **more
):
    """A family of about `people` people, grown couple by couple, from a seed.

    `loops` couples are cousins or more distant relatives of one generation, as early as can be;
    `cousins` couples are first cousins, spread over the family; `twins` sibships get twins of
    random zygosity; `told` is the share of people with a known phenotype (and half as
    many have a test). `reduced` is the penetrance; `simple_condition` takes the rest.
    """
    dice = random.Random(seed)
    condition = simple_condition(mode or dice.choice(MODES), reduced, **more)
    kindred = Kindred(dice, condition, people, loops, cousins)
    kindred.grow()
    kindred.make_twins(twins)
    kindred.tell(told, Fraction(str(reduced)) if reduced is not None else 1)
    members = kindred.members
    return {
        "version": 1,
        "condition": condition,
        "people": members,
        "questions": [{"ask": "carrier", "person": p["id"]} for p in members[-3:]]
        + [{"ask": "genotype", "person": members[0]["id"]}],
    }


def simple_condition(mode, reduced, mutation=None, onset=False, tests=True, frequency="1/10"):
    """A condition without phenocopies; `mutation` is a rate for both sexes."""
    condition = {"inheritance": mode, "frequency": {"allele": frequency}}
    if reduced is not None:
        full = str(Fraction(str(reduced)))
        penetrance = {"0": 0, "1": full if mode in DOMINANT else 0, "2": full}
        if mode == "x_linked_recessive":
            penetrance = {"female": penetrance, "male": {"0": 0, "1": full}}
        condition["penetrance"] = penetrance
    if mutation is not None:
        condition["mutation"] = {"maternal": mutation, "paternal": mutation}
    if onset:
        condition["onset"] = [
            {"age": 20, "cumulative": "1/10"},
            {"age": 70, "cumulative": "9/10"},
        ]
    if tests:
        condition["tests"] = [{"name": "panel", "sensitivity": "9/10", "specificity": "0.98"}]
    return condition


class Kindred:
    """People, and what alleles they carry, which are drawn as each is added."""

    def __init__(self, dice, condition, people, loops, cousins):
        self.dice, self.condition, self.people = dice, condition, people
        self.loops, self.cousins = loops, cousins  # how many are still to come
        self.spread = 8 * cousins / people
        self.on_x = condition["inheritance"].startswith("x_linked")
        self.q = float(Fraction(condition["frequency"]["allele"]))
        self.rate = float(Fraction(str(condition.get("mutation", {}).get("maternal", 0))))
        self.members, self.carried = [], {}

    def add(self, sex, father=None, mother=None):
        person = {"id": f"N{len(self.members) + 1}", "sex": sex}
        male_x = self.on_x and sex == "male"
        if father is None:
            alleles = [int(self.dice.random() < self.q) for _ in range(1 if male_x else 2)]
        else:
            person |= {"father": father["id"], "mother": mother["id"]}
            from_parents = [mother] if male_x else [mother, father]
            alleles = [self.dice.choice(self.carried[p["id"]]) for p in from_parents]
            alleles = [int(a or self.dice.random() < self.rate) for a in alleles]
        self.carried[person["id"]] = alleles
        self.members.append(person)
        return person

    def grow(self):
        couples = [self.founders()]
        while self.room():
            couples = self.couples_of(self.children_of(couples)) or [self.founders()]

    def room(self):
        return len(self.members) < self.people

    def founders(self):
        return self.add("male"), self.add("female")

    def children_of(self, couples):
        children = []
        for father, mother in couples:
            for _ in range(self.dice.randint(1, 4)):
                if self.room():
                    children.append(self.add(self.dice.choice(("female", "male")), father, mother))
        return children

    def couples_of(self, single):
        """The couples (father, mother) that these people found; at least one if there is room."""
        couples = []
        while single and self.room():
            one = single.pop(0)
            other = self.partner(one, single, needed=not couples)
            if other:
                couples.append((one, other) if one["sex"] == "male" else (other, one))
        return couples

    def partner(self, one, single, needed):
        """A relative taken from `single`, somebody new, or nobody unless `needed`."""
        others = []
        if self.loops or self.cousins:
            others = [p for p in single if p["sex"] != one["sex"] and p["father"] != one["father"]]
        if self.loops and others and self.dice.random() < 0.5:
            other = self.dice.choice(others)
            self.loops -= 1
        elif (
            self.cousins
            and self.dice.random() < self.spread
            and (near := [p for p in others if self.related(one, p)])
        ):
            other = self.dice.choice(near)
            self.cousins -= 1
        elif needed or self.dice.random() < 0.7:
            return self.add("male" if one["sex"] == "female" else "female")
        else:
            return None
        single.remove(other)
        return other

    def related(self, one, other):
        """Whether two people have a grandparent in common."""
        above = []
        for person in (one, other):
            parents = [self.members[int(person[role][1:]) - 1] for role in ("father", "mother")]
            above.append({p.get(role) for p in parents for role in ("father", "mother")} - {None})
        return above[0] & above[1]

    def make_twins(self, most):
        sibs = {}
        for person in self.members:
            if "father" in person:
                sibs.setdefault((person["father"], person["mother"]), []).append(person)
        several = [sibship for sibship in sibs.values() if len(sibship) > 1]
        for group, (one, other, *_) in enumerate(several[:most]):
            zygosity = self.dice.choice(["unknown", "monozygotic", "dizygotic"])
            if one["sex"] != other["sex"]:
                zygosity = "dizygotic"
            for person in (one, other):
                person["twin"] = {"group": f"twins {group}", "zygosity": zygosity}
            if zygosity != "dizygotic":
                self.carried[other["id"]] = self.carried[one["id"]]

    def tell(self, told, full):
        """Say what is known of people, where the penetrance is `full`."""
        # Twins' genotypes were changed after their children's: tell phenotypes of no descendant.
        shaken = {p["id"] for p in self.members if "twin" in p}
        for person in self.members:
            if {person.get("father"), person.get("mother")} & shaken:
                shaken.add(person["id"])
        onset, dice = "onset" in self.condition, self.dice
        for person in self.members:
            alleles = self.carried[person["id"]]
            one_is_enough = self.condition["inheritance"] in DOMINANT or len(alleles) == 1
            falls_ill = sum(alleles) >= (1 if one_is_enough else 2) and dice.random() < full
            age = dice.randint(5, 85)
            late = min(1.0, max(0.0, age / 200 if age < 20 else 0.1 + 0.8 * (age - 20) / 50))
            if dice.random() < told and person["id"] not in shaken:
                person["affected"] = falls_ill and (not onset or dice.random() < late)
                if onset:
                    person["age"] = age
            if "tests" in self.condition and dice.random() < told / 2:
                positive = dice.random() < (0.9 if any(alleles) else 0.02)
                result = "positive" if positive else "negative"
                person["tests"] = [{"test": "panel", "result": result}]
