"""The engine against the oracle, on random families over the whole case file.

Exact answers must be the very same fractions; floats agree to 1e-12. `TWOTHIRDS_TESTS=thorough`
runs thousands of families (see `conftest.py`).
"""

import json

import oracle
import pytest
import strategies
from hypothesis import given, note

from risk.actions import solve
from risk.case.read import read_case
from risk.problems import ImpossibleEvidence

CLOSE = 1e-12


def parts(answer):
    """An answer's chances in order, whether it is one or a distribution."""
    return answer.distribution if answer.probability is None else (answer.probability,)


def expected_parts(answer):
    return list(answer.values()) if isinstance(answer, dict) else [answer]


def same(wanted, got, exact):
    """Whether chances are the expected fractions, exactly where they can be."""
    assert len(got) in (len(wanted), len(wanted) - 1)  # a male on the X may lack the entry for 2
    for fraction, chance in zip(wanted, got, strict=False):
        assert abs(float(fraction) - chance.value) <= CLOSE
        if exact:
            assert chance.exact == fraction
        elif exact is False:
            assert chance.exact is None


def agree(case):
    """Compare one case (plain data); True where its evidence is possible."""
    text = json.dumps(case)
    note(text)
    truth = oracle.Oracle(oracle.load(text))
    read = read_case(text)
    try:
        answers, people = truth.answers(), truth.people_distributions()
    except oracle.Impossible:
        for arithmetic in ("exact", "float"):
            with pytest.raises(ImpossibleEvidence) as caught:
                solve(read, arithmetic)
            if not truth.possible():
                assert truth.is_conflict(caught.value.conflict), caught.value.conflict
        return False
    for arithmetic in ("exact", "float"):
        solution = solve(read, arithmetic)
        exact = truth.exact if arithmetic == "exact" else None
        assert len(answers) == len(solution.answers)
        for wanted, answer in zip(answers, solution.answers, strict=True):
            same(expected_parts(wanted), parts(answer), exact)
        assert list(people) == [person.id for person in solution.people]
        for person in solution.people:
            same(list(people[person.id].values()), person.disease_alleles, exact)
        likelihood = truth.log_likelihood()
        if likelihood is None:
            assert solution.log_likelihood is None
        else:
            assert abs(likelihood - solution.log_likelihood) <= CLOSE * max(1, abs(likelihood))
    return True


@given(strategies.cases())
def test_random_families(case):
    agree(case)


@pytest.mark.parametrize("mode", strategies.MODES)
@given(strategies.st.data())
def test_every_mode(mode, data):
    agree(data.draw(strategies.cases(strategies.conditions(mode))))
