"""The peer: the same marginals by pyAgrum (https://pyagrum.gitlab.io), a C++ library, in floats.

It is called as well as we know how: node ids are given (found by name, adding nodes is
quadratic), one table a kind of birth is filled from a flat list, evidence is scaled so that it is
1 on average over the population, and inference is Shafer-Shenoy with every marginal asked for.
(Messages are not scaled there: where the largest entry of each is 1, the evidence of 10,000 people
has a chance of about e^-1500, which underflows, and is then called impossible.)

`python -m tests.bench.peer CASES.jsonl` is a whole program: it reads cases, one a line, and prints
everyone's chances.
"""

# ruff: noqa: T201 - a program that prints

from __future__ import annotations

import itertools
import json
import operator
import sys
from fractions import Fraction

import pyagrum as gum

from tests.bayesnet import Network


class Peer(Network):
    """`tests.bayesnet.Network`, with each table worked out once and filled in one call."""

    def __init__(self, case):
        self._filled = {}
        self._frequency = float(Fraction(case["condition"]["frequency"]["allele"]))
        super().__init__(case)

    def _inherits(self, i, person):
        if "twin" in person:
            super()._inherits(i, person)
            return
        father, mother = self.node[person["father"]], self.node[person["mother"]]
        above = [mother] if self._size(i) == 2 else [father, mother]
        for node in above:
            self.net.addArc(node, i)
        kind = (self._size(i), self._size(father))
        if kind not in self._filled:
            fathers = range(self._size(father)) if len(above) == 2 else [0]
            # The child's states run fastest, then the first parent's.
            self._filled[kind] = [
                chance
                for from_mother, from_father in itertools.product(range(3), fathers)
                for chance in self._meiosis(i, person, father, from_father, from_mother)
            ]
        self.net.cpt(i).fillWith(self._filled[kind])

    def _scaled(self, values):
        """Evidence that is 1 on average over the population, so that products of many stay near 1.

        What leaves one genotype only must have a 1 there: it is taken as an observation.
        """
        if sum(value > 0 for value in values) == 1:
            return [float(value > 0) for value in values]
        q = self._frequency
        population = [1 - q, q] if len(values) == 2 else [(1 - q) ** 2, 2 * q * (1 - q), q * q]
        mean = sum(map(operator.mul, values, population))
        return [value / mean for value in values]

    def infer(self):
        """Every person's chances of 0, 1, 2 disease alleles, given all evidence."""
        engine = gum.ShaferShenoyInference(self.net)
        for i in range(len(self.people)):
            values = self.likelihood(i)
            if min(values) < max(values):
                engine.addEvidence(i, self._scaled(values))
        engine.makeInference()
        return {name: engine.posterior(i).tolist() for name, i in self.node.items()}


def main(path):
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            print(json.dumps(Peer(json.loads(line)).infer()))


if __name__ == "__main__":
    main(sys.argv[1])
