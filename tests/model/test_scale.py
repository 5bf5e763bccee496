"""Test results whose likelihoods are given on any scale: only their ratios count.

That a constant factor of a likelihood changes no posterior is Bayes' theorem.
"""

import json
from fractions import Fraction
from math import isclose, log

import pytest

from risk import actions
from risk.problems import TooLarge

#: 1/3000 is no square, so that everything is in floats; 1/2500 is one.
IRRATIONAL, RATIONAL = {"incidence": "1/3000"}, {"incidence": "1/2500"}


def family(frequency, scale, daughters=17):
    """A couple whose daughters have a result of likelihood 1 : 2 : 3."""
    parents = [{"id": "I-1", "sex": "male"}, {"id": "I-2", "sex": "female"}]
    born = [
        {
            "id": f"II-{number}",
            "sex": "female",
            "father": "I-1",
            "mother": "I-2",
            "tests": [{"test": "density", "result": "seen"}],
        }
        for number in range(1, daughters + 1)
    ]
    likelihood = {"seen": {"0": f"1{scale}", "1": f"2{scale}", "2": f"3{scale}"}}
    return actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": frequency,
                    "tests": [{"name": "density", "likelihood": likelihood}],
                },
                "people": [*parents, *born],
                "questions": [
                    {"ask": "carrier", "person": "II-1"},
                    {"ask": "both_carriers", "people": ["I-1", "I-2"]},
                ],
            }
        )
    )


@pytest.mark.parametrize("scale", ["e-20", "e20", "e-250", "e250"])
@pytest.mark.parametrize(
    ("frequency", "arithmetic"),
    [(IRRATIONAL, "exact"), (RATIONAL, "float"), (RATIONAL, "exact")],
    ids=["irrational", "float", "exact"],
)
def test_a_scale_changes_no_answer(frequency, arithmetic, scale):
    usual = actions.solve(family(frequency, ""), arithmetic)
    scaled = actions.solve(family(frequency, scale), arithmetic)
    for one, two in zip(usual.answers, scaled.answers, strict=True):
        assert isclose(one.probability.value, two.probability.value, rel_tol=1e-12)
    times = 17 * int(scale[1:]) * log(10)
    assert isclose(scaled.log_likelihood, usual.log_likelihood + times, rel_tol=1e-12)


def test_a_scale_changes_no_working_that_floats_can_hold():
    """Five results of 1e-20 make chances of 1e-100."""
    usual = actions.explain(family(IRRATIONAL, "", 5))
    scaled = actions.explain(family(IRRATIONAL, "e-20", 5))
    for one, two in zip(usual, scaled, strict=True):
        assert one.no_difference == two.no_difference
        pairs = zip(one.steps[-1].posterior, two.steps[-1].posterior, strict=True)
        assert all(isclose(a, b, rel_tol=1e-9) for a, b in pairs)


def test_a_working_beyond_floats_is_refused_with_the_mend():
    with pytest.raises(TooLarge, match="nearer to 1"):
        actions.explain(family(IRRATIONAL, "e-20"))
    assert actions.explain(family(RATIONAL, "e-20"))


def test_facts_too_unlikely_for_floats_are_not_called_a_contradiction():
    """The father needs an allele, against two results that are 1e200 times likelier without."""
    likelihood = {"seen": {"0": "1", "1": "1e-200", "2": "1e-200"}}
    result = {"test": "density", "result": "seen"}
    case = actions.load(
        json.dumps(
            {
                "version": 1,
                "condition": {
                    "inheritance": "autosomal_recessive",
                    "frequency": {"allele": "1/100"},
                    "tests": [{"name": "density", "likelihood": likelihood}],
                },
                "people": [
                    {"id": "I-1", "sex": "male", "tests": [result, result]},
                    {"id": "I-2", "sex": "female"},
                    {"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2", "genotype": 2},
                ],
                "questions": [{"ask": "carrier", "person": "I-2"}],
            }
        )
    )
    [answer] = actions.solve(case).answers
    assert answer.probability.exact == Fraction(99, 100)
    with pytest.raises(TooLarge, match="use exact arithmetic"):
        actions.solve(case, "float")


@pytest.mark.parametrize("frequency", [{"allele": "1/10"}, {"incidence": "1/2000"}])
def test_what_is_certain_has_the_logarithm_zero(frequency):
    people = [{"id": "I-1", "sex": "female"}, {"id": "I-2", "sex": "male"}]
    people += [{"id": "II-1", "sex": "male", "mother": "I-1", "father": "I-2"}]
    condition = {"inheritance": "x_linked_recessive", "frequency": frequency}
    case = {"version": 1, "condition": condition, "people": people}
    assert actions.solve(actions.load(json.dumps(case))).log_likelihood == 0


def test_the_logarithm_of_what_is_nearly_certain_has_all_its_digits():
    """One unaffected man: 1 - q^2, whose logarithm is -q^2 but for -q^4 / 2."""
    condition = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/1000000"}}
    people = [{"id": "I-1", "sex": "male", "affected": False}]
    case = {"version": 1, "condition": condition, "people": people}
    found = actions.solve(actions.load(json.dumps(case))).log_likelihood
    assert found == pytest.approx(-1e-12, rel=1e-11)
