"""A second opinion on families too large to enumerate: the same definitions as a Bayesian network
for pyAgrum (https://pyagrum.gitlab.io, lazy propagation, floats).

One node a person (numbered by position in the file): the number of disease alleles. It knows one
class of allele and no mosaicism; rates must be numbers, not `rare`. Shares no code with `risk/`
or with the oracle.
"""

from __future__ import annotations

import itertools
from fractions import Fraction

import pyagrum as gum


def real(value):
    """Any spelling of a number, as a float."""
    text = str(value)
    if text.endswith("%"):
        return real(text[:-1]) / 100
    for mark in (" in ", "/"):
        if mark in text:
            top, bottom = text.split(mark)
            return float(Fraction(top) / Fraction(bottom))
    return float(text)


class Network:
    """The network of a case (plain data); `marginals()` solves it."""

    def __init__(self, case):
        self.condition = case["condition"]
        self.mode = self.condition["inheritance"]
        self.on_x = self.mode.startswith("x_linked")
        mutation = self.condition.get("mutation", {})
        self.maternal = real(mutation.get("maternal", 0))
        self.paternal = real(mutation.get("paternal", 0))
        self.people = [
            (copy, person) for person in case["people"] for copy in range(person.get("count", 1))
        ]
        self.node = {p["id"]: i for i, (copy, p) in enumerate(self.people) if copy == 0}
        self.parents = {p.get("father") for _, p in self.people}
        self.net = gum.BayesNet()
        for i in range(len(self.people)):
            self.net.add(gum.LabelizedVariable(f"n{i}", "", self._size(i)), i)
        self.groups = {}
        for i, (_, person) in enumerate(self.people):
            if "father" in person:
                self._inherits(i, person)
            else:
                self.net.cpt(i).fillWith(self._founder(person))

    def _size(self, i):
        return 2 if self._male_x(self.people[i][1]) else 3

    def _male_x(self, person):
        return self.on_x and person.get("sex") == "male"

    def _founder(self, person):
        frequency = self.condition["frequency"]
        male = self._male_x(person)
        if "mutation_selection_balance" in frequency:
            f = real(frequency["mutation_selection_balance"]["fitness"])
            women = 2 * (self.maternal + self.paternal + f * self.maternal) / (1 - f)
            men = women / 2 + self.maternal
            return [1 - men, men] if male else [1 - women, women, 0]
        if "carrier" in frequency:
            q = real(frequency["carrier"]) / (2 - real(frequency["carrier"]))
        elif "incidence" in frequency:
            i = real(frequency["incidence"])
            dominant = self.mode == "autosomal_dominant"
            q = i if self.on_x else 1 - (1 - i) ** 0.5 if dominant else i**0.5
        else:
            q = real(frequency["allele"])
        if male:
            return [1 - q, q]
        f = real(person.get("inbreeding", 0))
        p = 1 - q
        return [f * p + (1 - f) * p * p, 2 * (1 - f) * p * q, f * q + (1 - f) * q * q]

    def _inherits(self, i, person):
        """Tables of a child; identical twins copy the first of their group."""
        father, mother = self.node[person["father"]], self.node[person["mother"]]
        twin = person.get("twin")
        first = self.groups.setdefault(twin["group"], (i, None)) if twin else (i, None)
        above = [father, mother]
        chance = 0.0
        if first[0] != i:
            chance = {"monozygotic": 1.0, "dizygotic": 0.0}.get(twin["zygosity"])
            if chance is None:
                chance = real(twin.get("monozygotic_chance", "1/2"))
                sexes = {
                    p.get("sex", "unknown")
                    for _, p in self.people
                    if p.get("twin", {}).get("group") == twin["group"]
                }
                chance = 0.0 if {"female", "male"} <= sexes else chance
        if 0 < chance < 1:
            if first[1] is None:
                zygosity = self.net.add(
                    gum.LabelizedVariable(f"z{first[0]}", "", 2), len(self.people) + first[0]
                )
                self.net.cpt(zygosity).fillWith([1 - chance, chance])
                first = self.groups[twin["group"]] = (first[0], zygosity)
            above += [first[0], first[1]]
        elif chance == 1:
            above = [first[0]]
        for node in above:
            self.net.addArc(node, i)
        names = [self.net.variable(node).name() for node in above]
        sizes = [self.net.variable(node).domainSize() for node in above]
        for states in itertools.product(*map(range, sizes)):
            given = dict(zip(names, states, strict=True))
            if chance == 1 or (len(states) == 4 and states[3] == 1):
                copied = states[0] if chance == 1 else states[2]
                row = [float(n == copied) for n in range(self._size(i))]
            else:
                row = self._meiosis(i, person, father, states[0], states[1])
            self.net.cpt(i)[given] = row

    def _meiosis(self, i, person, father, from_father, from_mother):
        m = from_mother / 2
        m = m + (1 - m) * self.maternal
        if self._male_x(person):
            return [1 - m, m]
        f = from_father / (self._size(father) - 1)
        f = f + (1 - f) * self.paternal
        return [(1 - m) * (1 - f), m * (1 - f) + f * (1 - m), m * f]

    def _table(self, key, sex, n, male_x):
        table = self.condition.get(key)
        if table is None:
            if key == "viability":
                return 1.0
            return float(n >= (1 if male_x or self.mode.endswith("dominant") else 2))
        if "0" in table:
            return real(table[str(n)])
        if sex not in table:
            return (real(table["female"][str(n)]) + real(table["male"][str(n)])) / 2
        return real(table[sex][str(n)])

    def _share(self, age):
        points = self.condition.get("onset")
        if points is None or age is None:
            return 1.0
        x, y = 0.0, 0.0
        for point in points:
            after, share = real(point["age"]), real(point["cumulative"])
            if age <= after:
                return share if after == x else y + (share - y) * (age - x) / (after - x)
            x, y = after, share
        return y

    def likelihood(self, i):
        """Chance of everything known of one person, by number of disease alleles."""
        person = self.people[i][1]
        male, sex = self._male_x(person), person.get("sex", "unknown")
        values = []
        for n in range(self._size(i)):
            value = 1.0
            affected = person.get("affected")
            ill = self._table("penetrance", sex, n, male) if affected is not None else 0
            if affected is True:
                value *= ill
            elif affected is False:
                age = person.get("age")
                value *= 1 - ill * self._share(None if age is None else real(age))
            if person.get("genotype") is not None:
                value *= n == person["genotype"]
            if person.get("status", "alive") in ("alive", "deceased"):
                value *= self._table("viability", sex, n, male)
            balance = self.condition["frequency"].get("mutation_selection_balance")
            if balance and affected is None and person["id"] in self.parents and n:
                value *= real(balance["fitness"])
            for result in person.get("tests", []):
                value *= self._assay(result, n)
            values.append(value)
        return values

    def _assay(self, result, n):
        test = next(t for t in self.condition["tests"] if t["name"] == result["test"])
        if "likelihood" in test:
            return real(test["likelihood"][result["result"]][str(n)])
        positive = real(test["sensitivity"]) if n else 1 - real(test["specificity"])
        return positive if result["result"] == "positive" else 1 - positive

    def marginals(self):
        """The chance of 0, 1, 2 disease alleles of every person, given all evidence."""
        engine = gum.LazyPropagation(self.net)
        for i in range(len(self.people)):
            values = self.likelihood(i)
            if max(values) == 0:
                raise ValueError(f"impossible: {self.people[i][1]['id']}")
            if min(values) < max(values):
                engine.addEvidence(i, [value / max(values) for value in values])
        engine.makeInference()
        found = {}
        for name, i in self.node.items():
            chances = engine.posterior(i).tolist()
            found[name] = chances + [0.0] * (3 - len(chances))
        return found
