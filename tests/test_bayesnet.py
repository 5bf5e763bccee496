"""pyAgrum as a second opinion: on the oracle (small families) and on the engine (large ones)."""

import json

import oracle
import pytest
import strategies
from bayesnet import Network

from risk.actions import solve
from risk.case.read import read_case

CLOSE = 1e-9


def settings(seed):
    """Features by turns, so that every combination of a few comes up."""
    return {
        "mode": strategies.MODES[seed % 4],
        "mutation": [None, "1/100", "1e-5"][seed % 3],
        "onset": seed % 2 == 1,
        "reduced": [None, "0.8", "1/2"][seed // 2 % 3],
        "twins": seed % 5,
        "frequency": ["1/10", "1/25", "1/200"][seed // 3 % 3],
    }


@pytest.mark.parametrize("seed", range(24))
def test_oracle_agrees_on_small_families(seed):
    case = strategies.random_family(seed, 6, loops=1, **settings(seed))
    truth = oracle.Oracle(oracle.load(json.dumps(case))).people_distributions()
    for name, chances in Network(case).marginals().items():
        assert chances == pytest.approx([float(x) for x in truth[name].values()], abs=CLOSE)


@pytest.mark.parametrize("seed", range(16))
def test_engine_agrees_on_middle_sized_families(seed):
    size = [50, 80, 120, 300][seed % 4]
    case = strategies.random_family(100 + seed, size, loops=seed % 5, **settings(seed))
    compare(case)


def compare(case):
    opinion = Network(case).marginals()
    for arithmetic in ("exact", "float"):
        solution = solve(read_case(json.dumps(case)), arithmetic)
        assert [person.id for person in solution.people] == list(opinion)
        for person in solution.people:
            got = [chance.value for chance in person.disease_alleles]
            assert got == pytest.approx(opinion[person.id], abs=CLOSE)
