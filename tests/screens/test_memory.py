"""What pages remember: by content alone, and not more than so many people."""

from __future__ import annotations

import gc
import weakref
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace

import pytest

from risk.case.model import Case, Condition, Frequency, Person
from risk.screens import memory

BARE = Case(Condition("autosomal_recessive", Frequency(allele="rare")), ())


def family(people: int, name: str = "") -> Case:
    return replace(BARE, title=name, people=tuple(Person(f"I-{n}") for n in range(1, people + 1)))


class Made:
    """A result that can be watched."""


def test_equal_cases_share_and_other_cases_or_arguments_do_not() -> None:
    asked = []

    @memory.remembered
    def ask(case: Case, word: str = "", *, loud: bool = False) -> Made:
        asked.append((case.title, word, loud))
        return Made()

    first = ask(family(2, "a"), "x")
    assert ask(family(2, "a"), "x") is first
    assert ask(family(2, "b"), "x") is not first
    assert ask(family(2, "a"), "y") is not first
    assert ask(family(2, "a"), "x", loud=True) is not first
    assert len(asked) == 4


def test_the_people_remembered_are_bounded_and_the_oldest_go_first(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(memory, "MOST_PEOPLE", 100)

    @memory.remembered
    def ask(case: Case) -> Made:
        return Made()

    held = [weakref.ref(ask(family(30, str(n)))) for n in range(5)]
    gc.collect()
    assert [each() is not None for each in held] == [False, False, True, True, True]
    ask(family(30, "2"))
    large = ask(family(1000))
    assert ask(family(1000)) is large
    gc.collect()
    assert [each() for each in held] == [None] * 5


def test_what_raises_is_asked_again() -> None:
    asked = []

    @memory.remembered
    def ask(case: Case) -> Made:
        asked.append(case)
        raise ValueError

    for _ in range(2):
        with pytest.raises(ValueError):  # noqa: PT011
            ask(BARE)
    assert len(asked) == 2


def test_threads_get_what_belongs_to_their_case() -> None:
    @memory.remembered
    def ask(case: Case) -> str | None:
        return case.title

    names = [str(n % 7) for n in range(400)]
    with ThreadPoolExecutor(8) as threads:
        assert list(threads.map(lambda name: ask(family(600, name)), names)) == names
