"""The slips of questions about children: how many, which of them, and of which sex."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from math import comb
from typing import Literal

from risk.case.kin import descendants_of
from risk.case.model import Case, Question
from risk.genetics.penetrance import viability_matters
from risk.teaching.slip_answers import Chances, with_question
from risk.teaching.slip_kin import bare
from risk.teaching.slip_kind import Changed, Slip, SlipKind

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


def _exactly_for_at_least(case: Case) -> Changed:
    question = case.questions[0]
    if question.ask == "children_affected":
        other = replace(question, at_least=question.exactly, exactly=question.at_least)
        yield replace(case, questions=(other,)), ()


def _exactly(slip: Slip) -> str:
    case = slip.asked
    if (least := case.questions[0].at_least) is not None:
        return (
            f"This belongs to a question about exactly {least}. Here {least} or more are meant: "
            "add the chances of more."
        )
    return (
        f"This belongs to a question about {case.questions[0].exactly} or more. Here just so many "
        "are meant."
    )


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


def _well_for_affected(slip: Slip) -> str:
    said = (
        "This counts the children who are not affected: it multiplies the chance of being "
        "affected where that of not being so belongs, and the reverse."
    )
    if slip.asked.questions[0].at_least == 1:
        said += " The opposite of at least one affected child is that every child is unaffected."
    return said


def _not_all_for_none(case: Case) -> Iterator[Chances]:
    """Yield the chance that not every child is affected, where none shall be."""
    question = case.questions[0]
    if question.ask == "children_affected" and question.exactly == 0:
        (every,) = with_question(case, replace(question, exactly=question.of))
        yield (1 - every,)


def _child_sex(case: Case) -> Changed:
    question = case.questions[0]
    if question.ask == "will_be_affected" and question.person is not None:
        # Of somebody of whom nothing is known but the sex, as of a boy who is not born yet.
        person = case.person(question.person)
        below = descendants_of(case, person.id)
        alone = person == bare(person) and person.twin is None and not below
        if alone and not person.founder and not viability_matters(case.condition):
            parents = (person.father or "", person.mother or "")
            child = Question("child_affected", parents=parents, by_age=question.by_age)
            yield replace(case, questions=(child,)), ()
    if question.ask != "child_affected":
        return
    sexes: tuple[Literal["female", "male"] | None, ...] = (None, "female", "male")
    for sex in sexes:
        # One sex taken for the other is no slip of the arithmetic.
        if question.sex is None or sex is None:
            yield replace(case, questions=(replace(question, sex=sex),)), ()


def _of_which_sex(slip: Slip) -> str:
    assert slip.case is not None
    sex = slip.case.questions[0].sex
    if sex is None:
        return (
            "This belongs to a question about any child. Here it is said which sex it has, so that "
            "children of the other sex do not count."
        )
    other = "son" if sex == "male" else "daughter"
    return f"This belongs to a question about a {other}. Here a child of either sex is meant."


KINDS = (
    SlipKind(
        name="one_child",
        short="took one child for several",
        words="This belongs to a question about one child. Here several are meant.",
        reads=_one_child,
    ),
    SlipKind(
        name="children_multiplied",
        short="multiplied the chance of one child by the number of children",
        words=(
            "This multiplies the chance of one child by the number of children, and so counts "
            "those families twice or more in which several are affected."
        ),
        reads=_children_multiplied,
    ),
    SlipKind(
        name="children_independent",
        short="took the children not to tell of each other's chances",
        words=(
            "This takes the chance of each child to stay the same whatever the others have. One "
            "affected child tells of the parents: work the chance out for each pair of genotypes "
            "of the parents, and weigh these."
        ),
        reads=_children_independent,
    ),
    SlipKind(
        name="order_forgotten",
        short="counted one order of the children alone",
        words=(
            "This counts one order of the children, in which it is settled which of them are "
            "affected. It may be any of them: multiply by the number of ways to choose them."
        ),
        reads=_order_forgotten,
        # At least one of two, in one order, is the chance of one.
        gives_way_to=("one_child",),
    ),
    SlipKind(
        name="exactly_for_at_least",
        short="took exactly so many for at least so many, or the reverse",
        words=_exactly,
        changes=_exactly_for_at_least,
    ),
    SlipKind(
        name="unaffected_counted",
        short="counted unaffected children for affected ones",
        words=_well_for_affected,
        reads=_unaffected_counted,
    ),
    SlipKind(
        name="not_all_for_none",
        short="took not all affected for none affected",
        words=(
            "This is the chance that not every child is affected. Here none shall be, and the "
            "families in which some are do not count."
        ),
        reads=_not_all_for_none,
    ),
    SlipKind(
        name="child_sex",
        short="mixed up the chance of a son or daughter and of any child",
        words=_of_which_sex,
        changes=_child_sex,
    ),
)
