"""Questions in words, of whom they ask, and what of so many families an answer means."""

from __future__ import annotations

from fractions import Fraction

from risk.case.model import Case, Condition, Person, Question
from risk.model.answers import Chance
from risk.number import half_up
from risk.wording.chances import pictured
from risk.wording.phrases import number_word

#: So many questions of a case have a letter.
LETTERS = 26
NO_QUESTIONS = "This case asks no questions."


def person_in_words(id: str, case: Case) -> str:
    """Name a person: ``Mira (II-2)``, or the id alone where there is no name.

    Of several in one record any would do, but it is one and the same: not at least one of them.
    """
    person = case.person(id)
    called = f"{person.name} ({id})" if person.name and person.name != id else id
    if person.count is None or person.count == 1:
        return called
    return f"a given one of the {number_word(person.count)} siblings {called}"


def question_in_words(question: Question, case: Case) -> str:
    """Ask the question: ``What is the chance that Mira (II-2) is a carrier?``"""
    if question.ask == "genotype":
        who = person_in_words(_asked(question), case)
        return f"How many copies of the disease allele does {who} have?"
    return f"What is the chance that {event_in_words(question, case)}?"


def question_letter(index: int) -> str:
    """Return what a question of a case is called: ``(a)``, ``(b)``; after (z) its number."""
    return f"({chr(ord('a') + index)})" if index < LETTERS else f"({index + 1})"


def event_in_words(question: Question, case: Case) -> str:
    """Say what the asked chance is the chance of: ``Mira (II-2) is a carrier``."""
    condition = case.condition
    if question.person is not None:
        who = person_in_words(question.person, case)
        person = case.person(question.person)
        if question.ask == "carrier":
            return f"{who} {_carries_one(condition)}"
        if question.ask == "disease_allele":
            if condition.copies(person.sex) == 1:
                return f"{who} has the disease allele"
            return f"{who} has at least one copy of the disease allele"
        return f"{who} {_will_be_affected(person, question)}"
    if question.people is not None:
        first, second = (person_in_words(id, case) for id in question.people)
        plural = "are both carriers" if condition.recessive else "both have one disease allele"
        return f"{first} and {second} {plural}"
    first, second = (person_in_words(id, case) for id in question.parents or ("?", "?"))
    child = child_in_words(question, condition)
    if question.ask == "children_affected":
        if question.of == 1 and question.exactly == 0:
            return f"the next child of {first} and {second} is unaffected"
        return f"{_so_many(question)} of {first} and {second} {_verb(question)} affected"
    if question.ask == "child_carrier":
        return f"the next {child} of {first} and {second} {_carries_one(condition)}"
    return f"the next {child} of {first} and {second} is {affected_by(question)}"


def child_in_words(question: Question, condition: Condition) -> str:
    """Name the next child asked about: of carriers on the X only a daughter can be one."""
    if question.ask == "child_carrier" and condition.x_linked and question.sex is None:
        return "daughter"
    return {"female": "daughter", "male": "son"}.get(question.sex or "", "child")


def _asked(question: Question) -> str:
    return question.person or "?"


def _carries_one(condition: Condition) -> str:
    if condition.recessive:
        return "is a carrier"
    return "has exactly one copy of the disease allele"


def _will_be_affected(person: Person, question: Question) -> str:
    if person.affected:
        return "is affected"
    when = f"by the age of {question.by_age}" if question.by_age else "at some time in life"
    if person.affected is None:
        return f"is affected {when}" if question.by_age else "is affected, now or later in life"
    known = f", being unaffected at {person.age}" if person.age is not None else ""
    return f"will be affected {when}{known}"


def _so_many(question: Question) -> str:
    n = question.of or 0
    if n == 1 and (question.at_least or question.exactly):
        return "the next child"
    children = "the next child" if n == 1 else f"the next {number_word(n)} children"
    if n and n in (question.at_least, question.exactly):
        return f"{'both' if n == 2 else 'all'} of {children}"
    if question.at_least is not None:
        least = number_word(question.at_least) if question.at_least else "none"
        return f"at least {least} of {children}"
    if not question.exactly:
        return f"none of {children}"
    return f"exactly {number_word(question.exactly)} of {children}"


def _verb(question: Question) -> str:
    number = question.at_least if question.at_least is not None else question.exactly
    return "is" if number == 1 or not number else "are"


def frequency_in_words(chance: Chance, question: Question, case: Case) -> str:
    """Put a chance as so many of so many: ``Of 150 couples like these two, in 1 ...``."""
    number = Fraction(chance.value) if chance.exact is None else chance.exact
    if number in (0, 1):
        return f"That is {'none' if not number else 'all'} of any number of such families."
    whole = pictured(number)
    some = int(half_up(number * whole))
    about = "" if some == number * whole else "about "
    ones = "is one" if some == 1 else "are ones"
    event = event_in_words(question, case)
    return f"Of {whole:,} such families, {about}{some:,} {ones} where {event}."


def affected_by(question: Question) -> str:
    """Return ``affected``, with ``by the age of 40`` where the question names an age."""
    return "affected" + (f" by the age of {question.by_age}" if question.by_age else "")
