"""Linear programmes: the least cost against scipy's own solver, and nothing said meanwhile."""

from __future__ import annotations

import itertools
import random
import subprocess
import sys

import numpy as np
import pytest
from scipy.optimize import linprog

from risk.scene.programme import Programme

WORDY = """
from risk.scene.programme import Programme
programme = Programme()
programme.at_most([(programme.variable(1.0), -1.0)], -3.0)
print(programme.solve())
"""


@pytest.mark.parametrize("seed", range(30))
def test_the_least_cost_is_scipy_s(seed: int) -> None:
    """Rows of people with distances and gaps, as drawings ask for, by the interior-point method
    of scipy 1.17 (`linprog(method="highs-ipm")`), which knows nothing of a simplex."""
    dice = random.Random(seed)
    count = dice.randint(2, 12)
    programme = Programme()
    at = [programme.variable() for _ in range(count)]
    rows: list[tuple[list[float], float]] = []
    for a, b in itertools.pairwise(at):
        gap = dice.uniform(1, 5)
        programme.at_most([(a, 1.0), (b, -1.0)], -gap)
        rows.append(([float(i == a) - float(i == b) for i in range(count)], -gap))
    wishes = [
        (dice.sample(at, 2), dice.uniform(0.1, 9), dice.uniform(-3, 20))
        for _ in range(dice.randint(1, 10))
    ]
    for (a, b), weight, target in wishes:
        programme.distance([(a, 1.0), (b, -1.0)], weight, target)
    fixed = dice.choice(at)
    # The same variable twice in one sum: 3/2 x = 150.
    programme.equals_to([(fixed, 1.0), (fixed, 0.5)], 150.0)
    found = programme.solve()

    whole = count + len(wishes)
    cost = [0.0] * count + [weight for _, weight, _ in wishes]
    matrix = [[*row, *[0.0] * len(wishes)] for row, _ in rows]
    bounds = [bound for _, bound in rows]
    for number, ((a, b), _, target) in enumerate(wishes):
        for sign in (1.0, -1.0):
            line = [0.0] * whole
            line[a], line[b], line[count + number] = sign, -sign, -1.0
            matrix.append(line)
            bounds.append(sign * target)
    equal = [1.5 if i == fixed else 0.0 for i in range(whole)]
    expected = linprog(
        cost, A_ub=np.array(matrix), b_ub=bounds, A_eq=[equal], b_eq=[150.0], method="highs-ipm"
    )
    assert expected.status == 0
    assert float(np.dot(programme.cost, found)) == pytest.approx(expected.fun, abs=1e-6)
    assert found[fixed] == pytest.approx(100.0)


def test_the_same_programme_has_the_same_solution() -> None:
    """Also where many are as good."""

    def once() -> list[float]:
        programme = Programme()
        at = [programme.variable() for _ in range(40)]
        for a, b in itertools.pairwise(at):
            programme.distance([(a, 1.0), (b, -1.0)], 1.0, 3.0)
        return programme.solve()

    assert once() == once()


@pytest.mark.parametrize("bounds", [(-1.0, 3.0), (5.0, -6.0)])
def test_contradicting_demands_are_an_error(bounds: tuple[float, float]) -> None:
    programme = Programme()
    x = programme.variable(1.0)
    programme.at_most([(x, 1.0)], bounds[0])
    programme.at_most([(x, -1.0)], bounds[1])
    with pytest.raises(ValueError, match="no least cost"):
        programme.solve()


def test_the_solver_says_nothing_of_itself() -> None:
    """Standard output is for the answer alone (`draw -o -` writes a picture there)."""
    done = subprocess.run([sys.executable, "-c", WORDY], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("[3.0]\n", "")
