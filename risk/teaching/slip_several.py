"""The slips of questions about several children, made of the answers to other questions."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from math import comb

from risk.case.model import Case, Question
from risk.teaching.slip_answers import Chances, with_question

#: So many children are counted one way by one.
_MOST_CHILDREN = 12


def _one_child(case: Case) -> Iterator[Chances]:
    """Yield the chance of one child (to be unaffected, where none shall be) instead of several."""
    question = case.questions[0]
    if question.ask == "children_affected":
        one = replace(question, of=1, at_least=None, exactly=0 if question.exactly == 0 else 1)
        yield with_question(case, one)


def _children_multiplied(case: Case) -> Iterator[Chances]:
    """Yield so many times the chance of one child, where one of several is asked about."""
    question = case.questions[0]
    if 1 in (question.at_least, question.exactly):
        assert question.of is not None
        yield from ((question.of * one,) for (one,) in _one_child(case))


def _wanted_numbers(question: Question) -> range:
    """Return the numbers of affected children that are asked about."""
    assert question.of is not None
    if question.exactly is not None:
        return range(question.exactly, question.exactly + 1)
    assert question.at_least is not None
    return range(question.at_least, question.of + 1)


def _children_independent(case: Case) -> Iterator[Chances]:
    """Yield the chance of so many children if one told nothing of the parents of the others."""
    question = case.questions[0]
    if question.ask == "children_affected":
        (one,) = with_question(case, Question("child_affected", parents=question.parents))
        many = question.of or 0
        parts = (
            comb(many, number) * one**number * (1 - one) ** (many - number)
            for number in _wanted_numbers(question)
        )
        yield (sum(parts, Fraction(0)),)


def _order_forgotten(case: Case) -> Iterator[Chances]:
    """Yield the chance that the affected children are certain ones: the first, say."""
    question = case.questions[0]
    if question.ask != "children_affected" or (question.of or 0) > _MOST_CHILDREN:
        return
    total = Fraction(0)
    for number in _wanted_numbers(question):
        exactly = replace(question, at_least=None, exactly=number)
        (chance,) = with_question(case, exactly)
        total += chance / comb(question.of or 0, number)
    yield (total,)


def _unaffected_counted(case: Case) -> Iterator[Chances]:
    """Yield the chance that as many children are unaffected as are asked to be affected."""
    question = case.questions[0]
    if question.ask != "children_affected":
        return
    assert question.of is not None
    if question.exactly is not None:
        other = replace(question, exactly=question.of - question.exactly)
    else:
        # At least so many well are not more affected than the others.
        assert question.at_least is not None
        other = replace(question, at_least=question.of - question.at_least + 1)
    (chance,) = with_question(case, other)
    yield (chance if question.exactly is not None else 1 - chance,)


def _not_all_for_none(case: Case) -> Iterator[Chances]:
    """Yield the chance that not every child is affected, where none shall be."""
    question = case.questions[0]
    if question.ask == "children_affected" and question.exactly == 0:
        (every,) = with_question(case, replace(question, exactly=question.of))
        yield (1 - every,)


#: What each slip about several children comes to, by its name.
SEVERAL: Mapping[str, Callable[[Case], Iterator[Chances]]] = {
    "one_child": _one_child,
    "children_multiplied": _children_multiplied,
    "children_independent": _children_independent,
    "order_forgotten": _order_forgotten,
    "unaffected_counted": _unaffected_counted,
    "not_all_for_none": _not_all_for_none,
}
