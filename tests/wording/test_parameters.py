"""Values of a case in words: as a reader of the plot would call them."""

import pytest

from risk import actions
from risk.wording.parameters import parameter_in_words


@pytest.mark.parametrize(
    ("path", "words"),
    [
        ("condition.frequency.carrier", "carrier frequency"),
        ("condition.mutation.paternal", "rate of new mutation in sperm"),
        ("condition.penetrance.1", "penetrance with one copy of the disease allele"),
        ("condition.viability.male.0", "viability with no copies of the disease allele, males"),
        ("II-2.age", "age of II-2"),
        ("people[1].age", "age of I-2"),
        ("questions[0].by_age", "questions[0].by_age"),
    ],
)
def test_names_of_values(path, words):
    assert parameter_in_words(path, actions.example("healthy-sister")) == words


def test_a_test_is_called_by_its_name():
    case = actions.example("negative-test")
    name = case.condition.tests[0].name
    assert parameter_in_words("condition.tests[0].sensitivity", case) == f"sensitivity of {name}"
