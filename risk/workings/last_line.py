"""The sentences before the last line of a working: what is multiplied, and where it comes from."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from fractions import Fraction

from risk.case.model import Condition, Person, Question
from risk.genetics.penetrance import chance_of_falling_ill, lifetime_penetrance
from risk.model.locus import age_value
from risk.wording.phrases import joined
from risk.wording.questions import affected_by, child_in_words
from risk.workings.child_rule import column
from risk.workings.naming import Naming
from risk.workings.next_child import Kind, copies_of_child, one_child, passed_on, several_children
from risk.workings.onset import by_age_in_words, chance_by_age
from risk.workings.population import NO_X_FOR_SONS
from risk.workings.step import Combination, Value
from risk.workings.values import short


def of_person(
    words: Naming, person: Person, question: Question, combine: Sequence[Combination]
) -> str:
    """Explain the last line of a question about becoming affected."""
    who = person.name or person.id
    if person.affected:
        return f"{who} is affected already, whatever the genotype"
    if person.affected is False and words.condition.onset is None:
        return f"{who} is unaffected, and without onset data that is taken to be for life"
    counted = [each for each in combine if each.product]
    if not counted:
        return _never_affected(words, person, question, combine)
    if all(each.chance == 1 for each in counted):
        whoever = _whoever(words, person, counted)
        if words.condition.onset is None:
            return f"{whoever} is affected for certain"
        if question.by_age:
            return f"{whoever} becomes affected by the age of {question.by_age} for certain"
        return f"{whoever} becomes affected sooner or later"
    until = f"by the age of {question.by_age}" if question.by_age else "at some time in life"
    last = "line" if len(counted) == 1 else "table"
    text = f"The last {last} multiplies by the chance of becoming affected {until}"
    if person.affected is None:
        return text + _share(words.condition, person, question, combine)
    given = f", given being unaffected at {person.age}"
    return text + given + _share(words.condition, person, question, combine)


def never_a_carrier(words: Naming, id: str) -> str:
    """Say why somebody with one copy of the locus cannot be a carrier."""
    return f"{words.name(id)} has one X chromosome, and so is never a carrier"


def _whoever(words: Naming, person: Person, cases: Sequence[Combination]) -> str:
    """Name all who have one of a person's possible genotypes: ``Whoever is a carrier``."""
    variable = words.family.variable[person.id]
    states = [state for each in cases for state in each.case.values()]
    return f"Whoever {' or '.join(words.has(variable, state, alone=True) for state in states)}"


def _never_affected(
    words: Naming, person: Person, question: Question, combine: Sequence[Combination]
) -> str:
    """Say why none of the genotypes that are possible leads to being affected as is asked."""
    condition, until = words.condition, question.by_age
    well_at = person.age if person.affected is False else None
    if well_at and until and until.value <= well_at.value:
        return f"Being unaffected at {well_at} rules out being affected by the age of {until}"
    states = [state for each in combine for state in each.case.values()]
    counts = {state if isinstance(state, int) else 0 for state in states}
    lifetime = lifetime_penetrance(condition, person.sex)
    if not any(lifetime[count] for count in counts):
        return f"{_whoever(words, person, combine)} is never affected"
    if well_at is None:
        return f"In the onset data nobody is affected by the age of {until}"
    to = f"between the ages of {well_at} and {until}" if until else f"after the age of {well_at}"
    return f"In the onset data nobody becomes affected {to}"


def _share(
    condition: Condition, person: Person, question: Question, combine: Sequence[Combination]
) -> str:
    """Return how that chance is made up, where it is made up at all."""
    counted = [each for each in combine if each.product]
    states = [state for each in counted for state in each.case.values()]
    how = by_age_in_words(condition, person.sex, question.by_age) if question.by_age else ""
    how = f". Here {how}" if how else ""
    if len(counted) > 1:
        return how + _what_is_left(condition, person, question, counted)
    if len(counted) != 1 or not isinstance(states[0], int):
        return how
    state, chance = states[0], counted[0].chance
    until = chance_of_falling_ill(condition, person.sex, None, age_value(question.by_age))[state]
    now = Fraction(0)
    if person.affected is False:
        now = chance_of_falling_ill(condition, person.sex, None, age_value(person.age))[state]
    if now:
        left = f"({until} - {now}) / (1 - {now}) = {chance}"
        age = question.by_age
        by = f"by {age}" if age else "at some time in life"
        if how and age and chance_by_age(condition, person.sex, age) == until:
            return f"{how}. The chance by {person.age} was {now}, so that from then on it is {left}"
        return (
            f"{how}: of those with this genotype {until} are affected {by} and {now} by "
            f"{person.age}, so that it is {left}"
        )
    return how


def _what_is_left(
    condition: Condition, person: Person, question: Question, counted: Sequence[Combination]
) -> str:
    """Go on with the chances of each of several genotypes, for someone unaffected so far."""
    if person.affected is not False:
        return ""
    until = chance_of_falling_ill(condition, person.sex, None, age_value(question.by_age))
    now = chance_of_falling_ill(condition, person.sex, None, age_value(person.age))
    told: dict[str, list[str]] = {}
    for each in counted:
        (state,) = each.case.values()
        if not isinstance(state, int) or not now[state] or not short(each.chance):
            return ""
        worked = f"({until[state]} - {now[state]}) / (1 - {now[state]}) = {each.chance}"
        told.setdefault(worked, []).append(each.label)
    sums = [f"{worked} ({joined(labels)})" for worked, labels in told.items()]
    return (
        f". For each genotype the chance by then, less that by {person.age}, is divided by "
        f"that of being unaffected at {person.age}: {joined(sums)}"
    )


def of_pair(
    words: Naming,
    question: Question,
    combine: Sequence[Combination],
    child: Value | None,
    kinds: Sequence[Kind],
    certain: Collection[str],
    *,
    summed: bool,
) -> str:
    """Explain the last line of a question about two people or their children.

    `child` is the chance of one child, where the question is about several and only one pair of
    genotypes can have such children; `kinds` are the children of such a pair, or of all pairs
    where none can.  `certain` are those of whom the step has said what they have, and `summed`
    tells that a line's chance is a sum over what the father may have.
    """
    counted = [each for each in combine if each.product]
    if not combine:
        # In the rare limit only pairs that vanish beside the others may have children at all.
        return (
            "No child of such a pair is ever born alive: one who is has parents with genotypes "
            "that are vanishingly rare, and the chance is that of their children"
        )
    if not counted:
        return _never(words, question, combine, kinds)
    ids = list(counted[0].case)
    # What the father has on the X does not reach a son.
    sons = words.condition.x_linked and question.sex == "male"
    if len(counted) > 1:
        why = f" ({NO_X_FOR_SONS[:1].lower()}{NO_X_FOR_SONS[1:]})" if sons else ""
        each = [list(combination.case.values()) for combination in counted]
        mother = next((words.name(id) for id in ids if words.copies(id) == 2), "")
        which = f"genotype of {mother}{why}" if sons else "pair of genotypes"
        father = next((words.name(id) for id in ids if words.copies(id) == 1), "")
        its = f"its chance, added up over what {father} may have" if summed else "its chance"
        return f"For each {which}: {its}, times that of what is asked" + column(
            words, ids, each, question
        )
    (only,) = counted
    having = {id: state for id, state in only.case.items() if not sons or words.copies(id) == 2}
    named = [id for id in having if id not in certain] if only.weight != 1 else []
    states = {id: words.has(words.family.variable[id], having[id], alone=True) for id in named}
    needs = joined([f"{words.name(id)} {has}" for id, has in states.items()])
    if len(named) == 2 and len({*states.values()}) == 1:
        alike = words.has(words.family.variable[named[0]], having[named[0]], many=True)
        needs = f"{joined([words.name(id) for id in named])} {alike}"
    if question.people is not None:
        both = "are carriers" if words.condition.recessive else "have just one copy"
        product = f"The chance that both {both} is the product of their chances"
        return product if only.factors else ""
    begin = f"{_asked(words, question)} only if {needs}"
    if sons:
        begin = f"{NO_X_FOR_SONS}, so {begin}"
    then = "then " if named else ""
    if question.ask == "children_affected":
        text = several_children(
            words, [*only.case.values()], question, only.chance, child, kinds, then
        )
        return f"{begin}{text}" if named else _sentence_after(words, text)
    passed = passed_on(words, having, named, only.chance, kinds)
    if passed:
        text = f"{begin}{passed}"
    else:
        text = one_child(words, [*only.case.values()], question, only.chance, kinds, then)
        if named:
            text = f"{begin}{text}"
        else:
            # What the step has ended in is not said again.
            text = f"{NO_X_FOR_SONS}{text}" if sons else _sentence_after(words, text)
    if question.by_age is None or only.chance in (0, 1):
        return text
    how = by_age_in_words(words.condition, question.sex or "unknown", question.by_age)
    return f"{text}. Here {how}" if how else text


def _asked(words: Naming, question: Question) -> str:
    """Return what is asked of the next child: ``a son is affected``."""
    every = question.exactly == question.of
    if question.ask == "children_affected" and not question.at_least and not every:
        # Of other parents all children may be affected, and not only none.
        return "what is asked is possible"
    so = f"is {affected_by(question)}"
    if question.ask == "child_carrier":
        so = "is a carrier" if words.condition.recessive else "has just one copy"
    return f"a {child_in_words(question, words.condition)} {so}"


def _sentence_after(words: Naming, text: str) -> str:
    """Return what goes on with a sentence as one of its own."""
    return words.sentence(text.lstrip(",; ").removeprefix("and ")).rstrip(".")


def _never(
    words: Naming, question: Question, combine: Sequence[Combination], kinds: Sequence[Kind]
) -> str:
    """Say why no pair of genotypes that is possible has such a child, or is what is asked."""
    condition = words.condition
    ids = list(combine[0].case)
    possible = {id: {each.case[id] for each in combine} for id in ids}
    free = [id for id in ids if possible[id] == {0}]
    nobody = joined([f"{words.name(id)} has no copy of the allele" for id in free])
    if question.people is not None:
        asked = "carriers" if condition.recessive else "people with just one copy"
        not_so = [id for id in ids if 1 not in possible[id] or words.copies(id) == 1]
        names = joined([words.name(id) for id in not_so], " and ")
        who = f"{names} cannot be" if not_so else "they cannot be together"
        return f"What is asked is that both are {asked}, which {who}"
    no_x = condition.x_linked and question.sex != "female"
    mother = next((words.name(id) for id in free if no_x and words.copies(id) == 2), None)
    if mother and question.sex == "male":
        return f"{NO_X_FOR_SONS}, and {mother} has no copy of the allele"
    if len(free) == 2:
        return f"{nobody}, so that there is none to pass on"
    needs_two = condition.recessive and condition.penetrance is None
    if free and question.ask != "child_carrier" and needs_two and (mother or not no_x):
        child = f"a {'daughter' if condition.x_linked else 'child'}"
        begin = f"{NO_X_FOR_SONS}, " if no_x else ""
        return (
            f"{begin}{child} is affected only with two copies, one from each parent, and {nobody}"
        )
    return _no_such_kind(condition, question, kinds)


def _no_such_kind(condition: Condition, question: Question, kinds: Sequence[Kind]) -> str:
    """Say what all children of the possible pairs have in common, so that it is never asked."""
    so = affected_by(question)
    never, no_others = f", who are never {so}", f", and no others are {so}"
    if question.ask == "child_carrier":
        never = no_others = ""
    conceived = [kind for kind in kinds if kind.conceived]
    asked = [kind for kind in conceived if kind.chance]
    if not asked:
        return f"The two can have only {_children(condition, conceived)}{never}"
    if not any(kind.born for kind in asked):
        return f"{_children(condition, asked)} are never born alive{no_others}"
    if all(kind.chance == 1 for kind in conceived if kind.born):
        return f"Every {child_in_words(question, condition)} who is born to the two is affected"
    return "With each of these pairs of genotypes all children born are affected, or none"


def _children(condition: Condition, kinds: Sequence[Kind]) -> str:
    """Return these kinds of children: ``daughters with one copy and sons with the allele``."""
    called = {"female": "daughters", "male": "sons", "unknown": "children"}
    found = [
        f"{called[kind.sex]} with {copies_of_child(condition, kind.sex, kind.alleles)}"
        for kind in kinds
    ]
    return joined([*dict.fromkeys(found)])
