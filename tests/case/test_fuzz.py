"""Whatever comes in, reading gives a case or says what is wrong; it never breaks."""

from __future__ import annotations

import copy
import json

from hypothesis import given
from hypothesis import strategies as st

from risk.case.model import Case
from risk.case.read import read_case
from risk.case.write import write_case
from risk.problems import InputError
from tests.case.examples import ON_X, SMALL, WHOLE

WORDS = [
    "", "rare", "I-1", "II-1", "I-9", "1/0", "4%", "NaN", "\x00", "\ud800", "[key]", "a.b[0]",
    "by sex", "0", "2", "people", "female", "male", "unknown", "x_linked_recessive",
    "pregnancy", "x" * 50,
]  # fmt: skip
LEAVES = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 3),
    st.sampled_from([10**40, 1.5, -0.5, 1e-300, 151, 1001]),
    st.sampled_from(WORDS),
    st.text(max_size=5),
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


def outcome(source):
    """Read `source`; return the case, or the problems after checking that they can be shown."""
    case = error = None
    try:
        case = read_case(source)
    except InputError as caught:
        error = caught
    if error is not None:
        assert error.problems
        assert len(set(error.problems)) == len(error.problems)
        for problem in error.problems:
            assert problem.message
            assert str(problem).isprintable()
            str(problem).encode()
            assert len(str(problem)) < 600
        return error.problems
    assert isinstance(case, Case)
    assert read_case(write_case(case)) == case
    return case


def spots(value, found):
    """Collect every list and object in `value`, with the keys or indices of its items."""
    if isinstance(value, dict | list):
        keys = list(value) if isinstance(value, dict) else list(range(len(value)))
        found += [(value, key) for key in keys]
        for key in keys:
            spots(value[key], found)
    return found


@st.composite
def broken_cases(draw):
    """A sound case with a few values replaced, taken away, doubled, added or swapped."""
    case = copy.deepcopy(draw(st.sampled_from([SMALL, WHOLE, ON_X])))
    for _ in range(draw(st.integers(1, 4))):
        found = spots(case, [])
        if not found:
            break
        place, key = draw(st.sampled_from(found))
        how = draw(st.sampled_from(["replace", "replace", "take", "add", "double", "swap"]))
        if how == "replace":
            place[key] = draw(VALUES)
        elif how == "take":
            del place[key]
        elif how == "add" and isinstance(place, dict):
            other, its = draw(st.sampled_from(found))
            place[draw(st.sampled_from(WORDS)) if isinstance(its, int) else its] = draw(VALUES)
        elif how == "double" and isinstance(place, list):
            place.append(copy.deepcopy(place[key]))
        elif how == "swap":
            other, its = draw(st.sampled_from(found))
            place[key] = copy.deepcopy(other[its])
    return case


@given(broken_cases())
def test_broken_cases(case):
    outcome(json.dumps(case))


@given(VALUES)
def test_any_json(value):
    assert not isinstance(outcome(json.dumps(value)), Case)


@given(st.binary(max_size=200))
def test_any_bytes(content):
    assert not isinstance(outcome(content), Case)


@given(st.text(max_size=200))
def test_any_text(text):
    assert not isinstance(outcome(text), Case)


@given(st.data())
def test_damaged_text(data):
    """Bytes of a case file cut, overwritten and doubled."""
    content = bytearray(json.dumps(data.draw(st.sampled_from([SMALL, WHOLE, ON_X]))).encode())
    for _ in range(data.draw(st.integers(1, 5))):
        if not content:
            break
        place = data.draw(st.integers(0, len(content) - 1))
        how = data.draw(st.sampled_from(["cut", "write", "double", "end"]))
        if how == "cut":
            del content[place : place + data.draw(st.integers(1, 20))]
        elif how == "write":
            content[place] = data.draw(st.integers(0, 255))
        elif how == "double":
            end = place + data.draw(st.integers(1, 60))
            content[place:place] = content[place:end]
        else:
            del content[place:]
    outcome(bytes(content))


def test_a_person_that_is_no_object_has_one_problem():
    """Found by ``python -m tests.fuzz reader``: its sex was missed too, where there can be none."""
    case = copy.deepcopy(ON_X)
    case["people"].append(["II-9"])
    (problem,) = outcome(json.dumps(case))
    assert problem.path == f"people[{len(case['people']) - 1}]"
    assert problem.message == "a list where an object in braces is expected"


def test_an_empty_key_is_seen_in_the_path():
    """Found by ``python -m tests.fuzz reader``: its place read as that of a list."""
    (problem, *_) = outcome('{"": [{"mother": 1, "mother": 2}]}')
    assert problem.path == '""[0].mother'
