"""The peer: the same marginals by pyAgrum (https://pyagrum.gitlab.io), a C++ library, in floats.

It is called as well as we know how: node ids are given (found by name, adding nodes is
quadratic), one table a kind of birth is filled from a flat list, evidence is scaled so that its
largest entry is 1 (products of many small ones underflow otherwise), and inference is
Shafer-Shenoy with every marginal asked for.  `python -m tests.bench.peer CASES.jsonl` is a whole
program: it reads cases, one a line, and prints everyone's chances.
"""

# ruff: noqa: T201 - a program that prints

from __future__ import annotations

import itertools
import json
import sys

import pyagrum as gum

from tests.bayesnet import Network


class Peer(Network):
    """`tests.bayesnet.Network`, with each table worked out once and filled in one call."""

    def __init__(self, case):
        self._filled = {}
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

    def infer(self):
        """Every person's chances of 0, 1, 2 disease alleles, given all evidence."""
        engine = gum.ShaferShenoyInference(self.net)
        for i in range(len(self.people)):
            values = self.likelihood(i)
            if min(values) < max(values):
                engine.addEvidence(i, [value / max(values) for value in values])
        engine.makeInference()
        return {name: engine.posterior(i).tolist() for name, i in self.node.items()}


def main(path):
    with open(path, encoding="utf-8") as lines:
        for line in lines:
            print(json.dumps(Peer(json.loads(line)).infer()))


if __name__ == "__main__":
    main(sys.argv[1])
