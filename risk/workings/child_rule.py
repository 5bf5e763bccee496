"""The rule for a next child's chance where several pairs of genotypes can have it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from math import comb
from typing import Any

from risk.case.model import Condition, Question, Sex
from risk.genetics.founders import mutation_rates
from risk.genetics.penetrance import viability_matters
from risk.model.queries import asked_of_children
from risk.wording.phrases import joined, number_word, power
from risk.wording.questions import affected_by
from risk.workings.naming import Naming
from risk.workings.next_child import copies_of_child
from risk.workings.onset import by_age_in_words
from risk.workings.step import State
from risk.workings.values import by_case, value_word
from risk.workings.weigh import MOSAIC


def column(
    words: Naming, ids: Sequence[str], states: Sequence[Sequence[State]], question: Question
) -> str:
    """Explain the chances of a next child where several pairs of genotypes can have one.

    `ids` are the two people, `states` those of the pairs that count.
    """
    condition = words.condition
    if question.ask == "children_affected":
        one = column(words, ids, states, replace(question, ask="child_affected"))
        return f"{one}; with p for the chance that one child is affected, {_of_many(question)}"
    if question.ask not in ("child_affected", "child_carrier"):
        return ""
    if condition.x_linked:
        return _column_on_the_x(words, ids, states, question)
    present = {state for each in states for state in each}
    passing = _passing(condition, present, mutation_rates(condition))
    text = (
        f"; with a and b for the chances that the two pass the allele on ({'; '.join(passing)}) a "
    )
    if _falls_ill_for_sure(condition, question):
        rule = "ab" if condition.recessive else _EITHER
        return f"{text}child is affected with chance {rule}"
    if question.ask == "child_carrier" and not viability_matters(condition):
        return f"{text}child has just one copy with chance {_JUST_ONE}"
    return (
        f"{text}child is conceived with one copy with chance {_JUST_ONE} and with two copies with "
        f"chance ab{_after_conception(words, question)}"
    )


def passing_rule(
    words: Naming, parents: Sequence[int], hypotheses: Iterable[Sequence[State]]
) -> str:
    """Say what a child of two copies gets, where new mutation or a mosaic takes part.

    `hypotheses` are what the two may have.
    """
    condition, names = words.condition, joined(words.names(parents))
    rates = mutation_rates(condition)
    stated = any(isinstance(rate, Fraction) and rate for rate in rates)
    listed = list(hypotheses)
    present = {state for each in listed for state in each}
    if not (stated or MOSAIC in present):
        return ""
    if not stated:
        rates = (0, 0)
    begin = (
        f"With a and b for the chances that {names} pass the allele on "
        f"({'; '.join(_passing(condition, present, rates))}), a child"
    )
    if condition.x_linked:
        two_x = [words.family.copies[parent] == 2 for parent in parents]
        letters, gets = _passing_on_the_x(words, words.names(parents), two_x, listed, rates)
        begin = f"With {letters}, a daughter"
        if not gets:
            return f"{begin} has one copy with chance a, else none"
    return (
        f"{begin} has no copy with chance (1 - a)(1 - b), two copies with ab and one copy with "
        f"the rest"
    )


def _passing_on_the_x(
    words: Naming,
    names: Sequence[str],
    two_x: Sequence[bool],
    states: Sequence[Sequence[State]],
    rates: Sequence[Any],
    *,
    daughters: bool = True,
) -> tuple[str, bool]:
    """Say what a and b stand for on the X, and whether `daughters` may have the allele by b.

    Of the parents with these `names` the mother has `two_x`; `states` are those of the pairs.
    """
    at, (maternal, paternal) = list(two_x).index(True), rates
    hers = _passing(words.condition, {each[at] for each in states}, (maternal, 0))
    his = _passing(words.condition, {each[1 - at] for each in states}, (0, paternal), copies=1)
    text = f"a for the chance that {names[at]} passes the allele on ({'; '.join(hers) or 0})"
    if daughters and his:
        text += f" and b for the chance that {names[1 - at]} does ({'; '.join(his)})"
    return text, bool(his)


def _after_conception(words: Naming, question: Question) -> str:
    """Go on from a child's copies at conception to what is asked, of those born alive."""
    condition = words.condition
    numbers = asked_of_children(words.family.locus, question)
    called = {"female": "a daughter", "male": "a son"}
    if not condition.x_linked and len(set(numbers.values())) == 1:
        called = dict.fromkeys(called, "it")
        numbers = dict([*numbers.items()][:1])
    said, also = [], "with just one copy"
    if not condition.x_linked and len(numbers) > 1:
        said.append("Sons and daughters are equally likely")
    if question.ask == "child_affected":
        so = affected_by(question)
        also = f"and {so}"
        said += [
            f"The chance that {called[sex]} is {so} is {_by_copies(condition, sex, chances)}"
            for sex, (chances, _) in numbers.items()
        ]
    if question.ask == "child_affected" and question.by_age is not None:
        by_age = question.by_age
        shares = dict.fromkeys([by_age_in_words(condition, sex, by_age) for sex in numbers])
        said += [f"Here {share}" for share in shares if share]
    if viability_matters(condition):
        said += [
            f"The chance that {called[sex]} is born alive is {_by_copies(condition, sex, born)}"
            for sex, (_, born) in numbers.items()
        ]
        said.append(
            f"Of those born, the chance is that of being born alive {also}, divided by that of "
            "being born alive"
        )
    return "".join(f". {each}" for each in said)


def _by_copies(condition: Condition, sex: Sex, chances: Sequence[Fraction]) -> str:
    """Return the chance with each number of copies: ``1 with no copy and 1/2 with one copy``."""
    return by_case(
        [
            (str(chance), f"with {copies_of_child(condition, sex, count)}")
            for count, chance in enumerate(chances)
        ]
    )


def _of_many(question: Question) -> str:
    """Return the chance that so many of several children are affected, each with chance p."""
    number, count = question.of or 0, question.exactly
    many = number_word(number)
    if number == 1:
        return f"it is {'affected with p' if count != 0 else 'unaffected with 1 - p'}"
    if question.at_least == 1:
        return f"at least one of {many} is affected with chance 1 - {power('(1 - p)', number)}"
    if count is None and question.at_least != number:
        each = f"{power('p', 'k')} × {power('(1 - p)', f'{number}-k')}"
        ways = f"times the ways to choose k of {many}"
        added = f"added up from {question.at_least} to {number}"
        return f"k of {many} are with {each} {ways}, {added}"
    if count == 0:
        return f"none of {many} is affected with chance {power('(1 - p)', number)}"
    if count is None or count == number:
        all_of_them = "both" if number == 2 else f"all {many}"
        return f"{all_of_them} are affected with chance {power('p', number)}"
    return (
        f"{number_word(count)} of {many} can be chosen in {comb(number, count):,} ways, "
        f"each with chance {power('p', count)} × {power('(1 - p)', number - count)}"
    )


#: Of two alleles, passed on with chances a and b: at least one of them, and just one.
_EITHER, _JUST_ONE = "1 - (1 - a)(1 - b)", "a(1 - b) + b(1 - a)"


def _falls_ill_for_sure(condition: Condition, question: Question) -> bool:
    """Whether those with enough copies, and nobody else, are the ones asked about."""
    return (
        question.ask == "child_affected"
        and condition.penetrance is None
        and condition.viability is None
        and question.by_age is None
    )


def _passing(
    condition: Condition, present: set[State], rates: Sequence[Any], copies: int = 2
) -> list[str]:
    """Return with what chance each genotype of one parent or of both passes the allele on.

    `rates` are those of new mutation in eggs and in sperm, 0 for a parent who is not meant.
    """
    mosaic = condition.germline_mosaicism
    alone = f"{'a carrier' if condition.recessive else 'one copy'}: 1/2"
    passing = [
        words_of
        for state, words_of in (
            (1, alone if copies == 2 else "with the allele: 1"),
            (2, "two copies: 1"),
            (MOSAIC, f"a germline mosaic: {mosaic.gametes}" if mosaic else ""),
        )
        if state in present
    ]
    shares = [
        f"{value_word(rate)} of {cells}"
        for rate, cells in zip(rates, ("eggs", "sperm"), strict=True)
        if rate
    ]
    if shares:
        passing.append(f"a normal allele changes into it by new mutation in {joined(shares)}")
    return passing


def _column_on_the_x(
    words: Naming, ids: Sequence[str], states: Sequence[Sequence[State]], question: Question
) -> str:
    """The same on the X, of which a son has his mother's alone."""
    condition = words.condition
    sons = question.ask == "child_affected" and question.sex != "female"
    daughters = question.sex != "male"
    letters, his = _passing_on_the_x(
        words,
        [words.name(id) for id in ids],
        [words.copies(id) == 2 for id in ids],
        states,
        mutation_rates(condition),
        daughters=daughters,
    )
    text = f"; with {letters}"
    parts, then = [], ""
    if _falls_ill_for_sure(condition, question):
        text += ", "
        some = _EITHER if his else "a"
        if condition.recessive:
            some = "ab" if his else "0"
        if sons and daughters and some == "a":
            return f"{text}a child is affected with chance a"
        if sons:
            parts.append("a son is affected with chance a")
        if daughters:
            verb = "" if sons else " is affected"
            parts.append(f"a daughter{verb} with chance {some}")
    else:
        text += ", at conception "
        then = _after_conception(words, question)
        if sons:
            parts.append("a son has the allele with chance a")
        if daughters:
            both = f"{_JUST_ONE} and two with ab" if his else "a"
            parts.append(f"a daughter has one copy with chance {both}")
    likely = "; both sexes are equally likely" if sons and daughters else ""
    return f"{text}{joined(parts)}{likely}{then}"
