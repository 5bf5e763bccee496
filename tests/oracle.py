"""Brute force over the whole joint table of a family, from the definitions of the case file.

It shares no code with `risk/` and is meant to be read, not to be fast: every person's genotype is
drawn allele by allele, parents before children, and every complete assignment of genotypes to
people with a chance above zero is one row. Answers are sums over rows.

All numbers are `Fraction`s. A `rare` limit is a polynomial in the small quantity e, cut off after
a power that is raised until the evidence has a chance above zero (so nothing relevant is cut).
An irrational root is taken to 60 decimals.

Where the definitions leave room, this is how they are read:

- a mosaic founder's allele class is one clone: drawn once, by share; her gametes carry it with
  g + (1 - g) * (mutation to that class); in phenotype and tests she has no disease allele;
- a new mutation's class is drawn by share;
- inbreeding F: with chance F both alleles are one by descent (of one class); on the X it
  concerns females; under mutation-selection balance it changes nothing;
- the birth factor is of everyone `alive` or `deceased`; a person of unknown sex (and a child asked
  about without sex) was conceived with either sex at 1/2;
- answers about children are given that all n of them are born alive;
- an affected person `will_be_affected` for certain; an unaffected one only after the present age;
  without `onset`, whoever will be affected always was;
- carriers have two copies of the locus: no male is one on the X, and `child_carrier` is about
  daughters there;
- `count: n` is n sibs, each with all the facts; the answer is about one of them.
"""

from __future__ import annotations

import json
import math
from collections import defaultdict
from fractions import Fraction
from itertools import combinations, product

UNIT = Fraction(1)
HALF = Fraction(1, 2)
NORMAL = 0  # allele classes are 1, 2, ...


class Impossible(Exception):
    """The evidence has probability zero."""


def load(text):
    """A case as plain data; decimals stay text, so that they can be read exactly."""
    return json.loads(text, parse_float=str)


def number(value):
    """0.04, "4%", "1/25" and "1 in 25" as an exact fraction."""
    text = str(value).strip()
    if text.endswith("%"):
        return number(text[:-1]) / 100
    for mark in (" in ", "/"):
        if mark in text:
            top, bottom = text.split(mark)
            return Fraction(top.strip()) / Fraction(bottom.strip())
    return Fraction(text)


def root(value):
    """The square root: exact where it is rational (second value True), else to 60 decimals."""
    top, bottom = math.isqrt(value.numerator), math.isqrt(value.denominator)
    if top * top == value.numerator and bottom * bottom == value.denominator:
        return Fraction(top, bottom), True
    scale = 10**60
    return Fraction(math.isqrt(value.numerator * scale**2 // value.denominator), scale), False


class Series:
    """A polynomial in the small quantity e, cut off after e**order."""

    def __init__(self, terms):
        self.terms = tuple(terms)

    def _like(self, other):
        if isinstance(other, Series):
            return other.terms
        return (Fraction(other),) + (Fraction(0),) * (len(self.terms) - 1)

    def __add__(self, other):
        return Series(a + b for a, b in zip(self.terms, self._like(other), strict=True))

    def __mul__(self, other):
        if not isinstance(other, Series):
            return Series(a * other for a in self.terms)
        size = len(self.terms)
        terms = [Fraction(0)] * size
        for i, a in enumerate(self.terms):
            if a:
                for j in range(size - i):
                    terms[i + j] += a * other.terms[j]
        return Series(terms)

    __radd__, __rmul__ = __add__, __mul__

    def __sub__(self, other):
        return self + -1 * Series(self._like(other))

    def __rsub__(self, other):
        return -1 * self + other

    def __bool__(self):
        return any(self.terms)


def ratio(top, bottom):
    """top / bottom, in the limit e -> 0. `top` is never the larger of the two."""
    if not isinstance(bottom, Series):
        return (top.terms[0] if isinstance(top, Series) else top) / bottom
    first = next(i for i, term in enumerate(bottom.terms) if term)
    return (top.terms[first] if isinstance(top, Series) else top) / bottom.terms[first]


class Person:
    def __init__(self, record, name, first):
        self.id, self.first, self.record = name, first, record
        self.sex = record.get("sex", "unknown")
        self.father, self.mother = record.get("father"), record.get("mother")
        self.affected = record.get("affected")
        self.age = None if record.get("age") is None else number(record["age"])
        twin = record.get("twin")
        self.group = twin and twin["group"]


def alleles_of(state):
    """How many disease alleles a genotype holds. A genotype is (alleles, class of the clone)."""
    return sum(1 for allele in state[0] if allele != NORMAL)


class Oracle:
    """Everything the definitions say about one case (a dict from `load`)."""

    def __init__(self, case):
        self.case = case
        self.condition = condition = case["condition"]
        self.mode = condition["inheritance"]
        self.on_x = self.mode.startswith("x_linked")
        self.questions = case.get("questions", [])
        self.people = {}
        self.copies = defaultdict(list)
        for record in case["people"]:
            for i in range(record.get("count", 1)):
                name = record["id"] if i == 0 else f"{record['id']} copy {i}"
                self.people[name] = Person(record, name, record["id"])
                self.copies[record["id"]].append(name)
        self.line = self._parents_first()
        self.fathers = {p.father for p in self.people.values()}
        variants = condition.get("variants") or [{"name": None, "share": 1}]
        self.classes = [v["name"] for v in variants]
        self.shares = [number(v["share"]) for v in variants]
        mosaicism = condition.get("germline_mosaicism") or {"prior": 0, "gametes": 0}
        self.mosaic, self.clone = number(mosaicism["prior"]), number(mosaicism["gametes"])
        self.exact = True
        mutation = condition.get("mutation") or {}
        if mutation == "rare":
            mutation = {"maternal": "rare", "paternal": "rare"}
        self.mutation = (mutation.get("maternal", 0), mutation.get("paternal", 0))
        self.balance = condition["frequency"].get("mutation_selection_balance")
        self.rare = "rare" in (*self.mutation, condition["frequency"].get("allele"))
        if "incidence" in condition["frequency"]:
            self.allele_frequency(0)  # finds out whether the root is rational
        self.evidence = self._facts()
        self._tables = {}
        self._children = {}

    def _parents_first(self):
        line = []
        while len(line) < len(self.people):
            line += [
                p
                for p in self.people.values()
                if p not in line
                and all(x is None or self.people[x] in line for x in (p.father, p.mother))
            ]
        return line

    # What the numbers of the condition are, at one cut-off

    def _small(self, value, order):
        if value == "rare":
            if order is None:  # a number as good as any for asking what is possible at all
                return Fraction(1, 10**12)
            return Series(Fraction(i == 1) for i in range(order + 1))
        return number(value)

    def rates(self, order):
        return tuple(self._small(rate, order) for rate in self.mutation)

    def allele_frequency(self, order):
        frequency = self.condition["frequency"]
        if "allele" in frequency:
            return self._small(frequency["allele"], order)
        if "carrier" in frequency:
            carrier = number(frequency["carrier"])
            return carrier / (2 - carrier)
        incidence = number(frequency["incidence"])
        if self.on_x:
            return incidence
        dominant = self.mode == "autosomal_dominant"
        value, exact = root(1 - incidence if dominant else incidence)
        self.exact = self.exact and exact
        return 1 - value if dominant else value

    # Genotypes

    def founder(self, person, order):
        """Genotypes of a founder at conception, with their chances."""
        chances = defaultdict(Fraction)
        male_x = self.on_x and person.sex == "male"
        shares = list(enumerate(self.shares, start=1))
        if self.balance is not None:
            fitness = number(self.balance["fitness"])
            maternal, paternal = self.rates(order)
            carriers = (maternal + paternal + fitness * maternal) * (2 / (1 - fitness))
            at_risk = carriers * HALF + maternal if male_x else carriers
            normal = ((NORMAL,), 0) if male_x else ((NORMAL, NORMAL), 0)
            chances[normal] += 1 - at_risk
            for k, share in shares:
                chances[((k,), 0) if male_x else ((NORMAL, k), 0)] += at_risk * share
        else:
            q = self.allele_frequency(order)
            pool = [(NORMAL, 1 - q)] + [(k, q * share) for k, share in shares]
            if male_x:
                for allele, chance in pool:
                    chances[((allele,), 0)] += chance
            else:
                inbred = number(person.record.get("inbreeding") or 0)
                for one, chance in pool:
                    chances[((one, one), 0)] += chance * inbred
                    for other, chance_too in pool:
                        pair = tuple(sorted((one, other)))
                        chances[(pair, 0)] += chance * chance_too * (1 - inbred)
        if self.mosaic:
            for state in [s for s in chances if not alleles_of(s)]:
                whole = chances[state]
                chances[state] = whole * (1 - self.mosaic)
                for k, share in shares:
                    chances[(state[0], k)] += whole * (self.mosaic * share)
        return [(state, chance) for state, chance in chances.items() if chance]

    def gamete(self, state, rate):
        """The allele in one gamete."""
        alleles, clone = state
        chances = defaultdict(Fraction)
        for allele in alleles:
            whole = Fraction(1, len(alleles))
            if allele != NORMAL:
                chances[allele] += whole
                continue
            if clone:
                chances[clone] += whole * self.clone
                whole = whole * (1 - self.clone)
            chances[NORMAL] += whole * (1 - rate)
            for k, share in enumerate(self.shares, start=1):
                chances[k] += whole * (rate * share)
        return [(allele, chance) for allele, chance in chances.items() if chance]

    def child(self, father, mother, sex, order):
        """Genotypes of a child at conception."""
        male_x = self.on_x and sex == "male"
        key = (father, mother, male_x, order)
        if key not in self._children:
            maternal, paternal = self.rates(order)
            chances = defaultdict(Fraction)
            for one, chance in self.gamete(mother, maternal):
                if male_x:
                    chances[((one,), 0)] += chance
                    continue
                for other, chance_too in self.gamete(father, paternal):
                    chances[(tuple(sorted((one, other))), 0)] += chance * chance_too
            self._children[key] = [(s, chance) for s, chance in chances.items() if chance]
        return self._children[key]

    # Phenotype, birth, tests

    def by_genotype(self, key, sex, state):
        """Penetrance or viability of a genotype."""
        table = self.condition.get(key)
        n = alleles_of(state)
        if table is None:
            if key == "viability":
                return UNIT
            needed = 1 if self.mode.endswith("dominant") or len(state[0]) == 1 else 2
            return Fraction(n >= needed)
        if "0" in table:
            return number(table[str(n)])
        if sex == "unknown":
            return sum(number(table[s][str(n)]) for s in ("female", "male")) / 2
        return number(table[sex][str(n)])

    def share_by(self, age):
        """Of those who will ever be affected, the share affected by an age (None: ever)."""
        onset = self.condition.get("onset")
        if onset is None or age is None:
            return UNIT
        before, done = Fraction(0), Fraction(0)
        for point in onset:
            after, share = number(point["age"]), number(point["cumulative"])
            if age <= after:
                if after == before:
                    return share
                return done + (share - done) * (age - before) / (after - before)
            before, done = after, share
        return done

    def later(self, person, state, by_age, known):
        """Chance of a person, of this genotype, of (ever) being affected (by an age)."""
        lifetime = self.by_genotype("penetrance", person.sex, state)
        by = None if by_age is None else number(by_age)
        if not known or person.affected is None:
            return lifetime * self.share_by(by)
        if person.affected:
            return UNIT
        now = self.share_by(person.age)
        if by is not None and person.age is not None and by <= person.age:
            return Fraction(0)
        return lifetime * (self.share_by(by) - now) / (1 - lifetime * now)

    def test_chance(self, person, result, state):
        """Chance of a test result given the genotype."""
        test = next(t for t in self.condition["tests"] if t["name"] == result["test"])
        if "detects" in test:
            seen = {self.classes.index(name) + 1 for name in test["detects"]}
            return Fraction(sum(allele in seen for allele in state[0]) == result["found"])
        if "likelihood" in test:
            return number(test["likelihood"][result["result"]][str(alleles_of(state))])
        positive = (
            number(test["sensitivity"]) if alleles_of(state) else 1 - number(test["specificity"])
        )
        return positive if result["result"] == "positive" else 1 - positive

    def _facts(self):
        """Each fact: its path, and what it says of the genotype of each person it is about."""
        facts = {}

        def add(person, name, chance):
            facts.setdefault(f"{person.first}.{name}", []).append((person.id, chance))

        viability = self.condition.get("viability")
        tables = (
            [] if viability is None else [viability] if "0" in viability else viability.values()
        )
        risky = any(number(v) != 1 for table in tables for v in table.values())
        for p in self.people.values():
            if p.affected is not None:
                now = UNIT if p.affected else self.share_by(p.age)

                def phenotype(state, p=p, now=now):
                    seen = self.by_genotype("penetrance", p.sex, state) * now
                    return seen if p.affected else 1 - seen

                add(p, "affected", phenotype)
            if p.record.get("genotype") is not None:
                add(p, "genotype", lambda s, p=p: Fraction(alleles_of(s) == p.record["genotype"]))
            for i, result in enumerate(p.record.get("tests", [])):
                add(p, f"tests[{i}]", lambda s, p=p, r=result: self.test_chance(p, r, s))
            if risky and p.record.get("status", "alive") in ("alive", "deceased"):
                add(p, "born", lambda s, p=p: self.by_genotype("viability", p.sex, s))
            if self.balance is not None and p.affected is None and p.id in self.fathers:
                fitness = number(self.balance["fitness"])
                add(p, "fathered", lambda s, f=fitness: f if alleles_of(s) else UNIT)
        return facts

    # The joint table

    def zygosities(self):
        """Ways in which the twin groups are monozygotic or not: (set of the former, chance)."""
        ways = []
        for group in sorted({p.group for p in self.people.values() if p.group}):
            members = [p for p in self.people.values() if p.group == group]
            kind = members[0].record["twin"]
            chance = {"monozygotic": UNIT, "dizygotic": Fraction(0)}.get(kind["zygosity"])
            if chance is None:
                chance = number(kind.get("monozygotic_chance", HALF))
                if {p.sex for p in members} >= {"female", "male"}:
                    chance = Fraction(0)
            ways.append([w for w in ((group, chance), (None, 1 - chance)) if w[1]])
        for choice in product(*ways):
            yield (
                {group for group, _ in choice if group},
                math.prod((c for _, c in choice), start=UNIT),
            )

    def table(self, facts, order, about=None):
        """Rows (chance with these facts, {person: genotype}) of the whole joint table.

        `about` names the people that matter, if not all do: the others are left out unless
        someone who matters, or of whom a fact tells, descends from them (their rows add to one).
        """
        key = (frozenset(facts), order, about)
        if key in self._tables:
            return self._tables[key]
        told = defaultdict(list)
        for fact in facts:
            for person, chance in self.evidence[fact]:
                told[person].append(chance)
        rows, line = [], self.line
        if about is not None:
            needed = {*about, *told}
            for p in reversed(self.line):
                if p.id in needed and p.father is not None:
                    needed |= {p.father, p.mother}
            line = [p for p in self.line if p.id in needed]

        def grow(i, states, weight, same):
            if i == len(line):
                rows.append((weight, dict(states)))
                return
            p = line[i]
            twin = next((t for t in line[:i] if p.group in same and t.group == p.group), None)
            if twin is not None:
                options = [(states[twin.id], UNIT)]
            elif p.father is None:
                options = self.founder(p, order)
            else:
                options = self.child(states[p.father], states[p.mother], p.sex, order)
            for state, chance in options:
                now = weight * chance
                for fact in told[p.id]:
                    if now:
                        now = now * fact(state)
                if now:
                    states[p.id] = state
                    grow(i + 1, states, now, same)

        for same, chance in self.zygosities():
            grow(0, {}, chance, same)
        self._tables[key] = rows
        return rows

    def all_facts(self, facts=None):
        return list(self.evidence) if facts is None else list(facts)

    def average(self, values, facts=None, about=None):
        """Sums of several functions of a row over the table, divided by the sum of the first.

        `values(states, order)` gives a list; its first entry is the weight of the condition.
        """
        facts = self.all_facts(facts)
        if self.rare and not self.table(facts, None, about):
            raise Impossible(sorted(facts))
        for order in range(4 * len(self.people) + 8 if self.rare else 1):
            sums = None
            for weight, states in self.table(facts, order, about):
                terms = [weight * value for value in values(states, order)]
                sums = terms if sums is None else [a + b for a, b in zip(sums, terms, strict=True)]
            if sums is not None and sums[0]:
                return [ratio(value, sums[0]) for value in sums]
        raise Impossible(sorted(facts))  # or that the children asked about are born alive

    def possible(self, facts=None):
        return bool(self.table(self.all_facts(facts), None if self.rare else 0))

    def log_likelihood(self):
        """Natural logarithm of the chance of all facts; None in a rare limit."""
        if self.rare:
            return None
        total = sum((weight for weight, _ in self.table(self.all_facts(), 0)), Fraction(0))
        if not total:
            raise Impossible
        # The two logarithms nearly cancel for likelihoods near 1: use the difference there.
        near = total - 1
        if abs(near) < HALF:
            return math.log1p(float(near))
        return math.log(total.numerator) - math.log(total.denominator)

    def chances(self, hypotheses, facts=None, children=None, about=None):
        """P(each hypothesis | facts); a hypothesis is a function of the states.

        `children` (a question) adds that the children it asks about are born alive; `about`
        names the people whose genotypes the hypotheses look at (default: all).
        """

        def values(states, order):
            given = UNIT if children is None else self.event(children, states, order)[0]
            return [given] + [given * int(h(states)) for h in hypotheses]

        return self.average(values, facts, about)[1:]

    # Answers

    def people_distributions(self, facts=None):
        ids = list(self.copies)
        cells = [(i, n) for i in ids for n in (0, 1, 2)]

        def values(states, order):
            return [UNIT] + [Fraction(alleles_of(states[i]) == n) for i, n in cells]

        found = dict(zip(cells, self.average(values, facts)[1:], strict=True))
        return {i: {str(n): found[i, n] for n in (0, 1, 2)} for i in ids}

    def next_child(self, question, states, order):
        """(chance to be born alive, and that with the event asked about) of one child."""
        one, two = (self.people[i] for i in question["parents"])
        father, mother = (two, one) if one.sex == "female" or two.sex == "male" else (one, two)
        sexes = [question["sex"]] if question.get("sex") else ["female", "male"]
        carrier = question["ask"] == "child_carrier"
        if carrier and self.on_x:
            sexes = [s for s in sexes if s == "female"]
        born, event = UNIT * 0, UNIT * 0
        for sex in sexes:
            for state, chance in self.child(states[father.id], states[mother.id], sex, order):
                alive = chance * self.by_genotype("viability", sex, state) * Fraction(1, len(sexes))
                if carrier:
                    seen = Fraction(alleles_of(state) == 1)
                else:
                    by = question.get("by_age")
                    lifetime = self.by_genotype("penetrance", sex, state)
                    seen = lifetime * self.share_by(None if by is None else number(by))
                born, event = born + alive, event + alive * seen
        return born, event

    def event(self, question, states, order, facts=None):
        """(weight of the condition, that with the event) of a question, for one row."""
        ask = question["ask"]
        if "person" in question:
            person, state = self.people[question["person"]], states[question["person"]]
            if ask == "will_be_affected":
                known = f"{person.first}.affected" in self.all_facts(facts)
                return UNIT, self.later(person, state, question.get("by_age"), known)
            if ask == "disease_allele":
                return UNIT, Fraction(alleles_of(state) >= 1)
            return UNIT, Fraction(alleles_of(state) == 1 and len(state[0]) == 2)
        if ask == "both_carriers":
            pair = [states[i] for i in question["people"]]
            return UNIT, Fraction(all(alleles_of(s) == 1 and len(s[0]) == 2 for s in pair))
        if ask == "child_carrier" and self.on_x and question.get("sex") == "male":
            return UNIT, Fraction(0)
        born, hit = self.next_child(question, states, order)
        if ask != "children_affected":
            return born, hit
        n = question["of"]
        least, most = (
            (question["at_least"], n) if "at_least" in question else (question["exactly"],) * 2
        )
        ways = [UNIT * math.comb(n, k) for k in range(n + 1)]
        powers = [[UNIT], [UNIT]]
        for _ in range(n):
            powers[0].append(powers[0][-1] * hit)
            powers[1].append(powers[1][-1] * (born - hit))
        event = UNIT * 0
        for k in range(least, most + 1):
            event = event + powers[0][k] * powers[1][n - k] * ways[k]
        whole = UNIT
        for _ in range(n):
            whole = whole * born
        return whole, event

    def answer(self, question, facts=None):
        """The exact answer to a question: a fraction, or a distribution of fractions."""
        if question["ask"] == "genotype":
            return self.people_distributions(facts)[question["person"]]
        return self.average(lambda s, order: list(self.event(question, s, order, facts)), facts)[1]

    def answers(self):
        return [self.answer(question) for question in self.questions]

    def is_conflict(self, facts):
        """Whether facts are impossible together, and any one left out makes them possible."""
        smaller = combinations(facts, len(facts) - 1) if facts else ()
        return not self.possible(facts) and all(self.possible(s) for s in smaller)
