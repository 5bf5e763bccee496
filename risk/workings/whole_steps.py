"""The sentences on whole steps and workings: what remains, comes later or is idle, and the end."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from risk.case.model import Question
from risk.model.answers import Answer, Chance
from risk.wording.alleles import COPIES
from risk.wording.chances import SHORT_FRACTION, chance_in_words, equals
from risk.wording.phrases import joined
from risk.wording.questions import event_in_words, person_in_words
from risk.workings.naming import MOST_NAMED, Naming
from risk.workings.values import value_word
from risk.workings.weigh import Facts

#: How many facts that make no difference are named; more are only counted.
_MOST_IDLE = 12
#: The text of the row of a table of all facts.
ALL_KNOWN = "all that is known"


def rest_row(rest: Facts) -> str:
    """Return the text of a row for what all the others left out."""
    return f"everything else known ({len(rest)} fact{'s' if len(rest) > 1 else ''})"


def why_rest(words: Naming, rest: Facts) -> str:
    """Explain a row for what all the others left out."""
    return (
        f"The family is tied together in a loop, so what remains ({words.told(rest)}) bears "
        f"on more than one side at once; its chance is worked out over the whole loop"
    )


def left_for_later(
    words: Naming,
    facts: Facts,
    steps: Sequence[int],
    again: Sequence[int] = (),
    whose: str = "descendants",
) -> str:
    """Say that facts about somebody's descendants come in only with these later steps.

    `again` are steps before with a table of the same person; `whose` names the descendants.
    """
    listed = joined([str(each) for each in steps])
    if len(steps) > 2 and steps[-1] - steps[0] == len(steps) - 1:
        listed = f"{steps[0]} to {steps[-1]}"
    where = f"step{'s' if len(steps) > 1 else ''} {listed}"
    anew = ""
    if again:
        anew = (
            f"This table starts anew beside that of step {again[-1]}, so that no fact counts "
            f"twice in what follows from it. "
        )
    if len(facts) <= MOST_NAMED:
        return f"{anew}That {words.told(facts)} is not used yet; it comes in {where}"
    return f"{anew}{len(facts)} facts about {whose} are not used yet; they come in {where}"


def idle_phrases(words: Naming, paths: Sequence[str], used: Facts) -> list[str]:
    """Return facts that change nothing in words, or count them where there are too many.

    Of an identical twin it is said where a fact that is `used` says the same of the other.
    """
    if len(paths) <= _MOST_IDLE:
        twins = {path: same for path in paths if (same := words.same_of_twin(path, used))}
        told = [
            f"{words.facts_row(frozenset([path]))} (which says the same as that {same})"
            for path, same in twins.items()
        ]
        return [*words.fact_phrases(path for path in paths if path not in twins), *told]
    people = {words.facts[path].person for path in paths}
    return [f"{len(paths)} facts about {len(people)} people"]


def conclusion(words: Naming, question: Question, found: Answer) -> str:
    """Return the closing sentence."""
    if found.probability is not None:
        event = event_in_words(question, words.case)
        return words.sentence(f"{event}: chance {_readable(found.probability)}")
    assert found.distribution is not None and question.person is not None
    who = person_in_words(question.person, words.case)
    chances = [
        f"{COPIES[count]} with chance {_readable(chance)}"
        for count, chance in enumerate(found.distribution)
        if chance.value
    ]
    chances[0] = chances[0].replace(" with", " of the disease allele with", 1)
    return words.sentence(f"{who} has {'; '.join(chances)}")


def _readable(chance: Chance) -> str:
    """Return a chance in words, a long fraction behind what can be read of it.

    With it stands the decimal that it is in a table.
    """
    words = chance_in_words(chance)
    if words.fraction is None or len(words.fraction) <= SHORT_FRACTION:
        return str(words)
    number = equals(value_word(Fraction(words.fraction)))
    return f"{str(words).removeprefix(words.fraction + ', ')} (exactly {words.fraction} {number})"
