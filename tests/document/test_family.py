"""The family as a table: what is known of a person is said in the words of the other pages."""

import pytest

from risk.case.family import NOT_BORN
from risk.case.model import Person, TestResult
from risk.document.family import other_facts
from risk.wording.parameters import value_in_words


@pytest.mark.parametrize("status", NOT_BORN)
def test_who_was_not_born_is_called_as_in_messages(status):
    assert other_facts(Person("A", status=status)) == [NOT_BORN[status]]


@pytest.mark.parametrize("found", range(3))
def test_a_result_is_told_as_where_it_is_varied(found):
    said = value_in_words("A.tests[0].found", str(found))
    assert other_facts(Person("A", tests=(TestResult("panel", found),))) == [f"panel: {said}"]


def test_a_gender_is_named_as_the_case_file_spells_it():
    assert other_facts(Person("A", gender="nonbinary")) == ["a nonbinary person"]
    assert other_facts(Person("A", gender="woman")) == ["a woman"]
