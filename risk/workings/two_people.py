"""The sentences on two people: why they are independent, or what their joint table follows from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import prod

from risk.inference.plan import Scope
from risk.wording.phrases import joined
from risk.workings.kinship import Kinship, ancestors_in_words, kinship, lines_of, sharing_both
from risk.workings.naming import MOST_NAMED, Naming
from risk.workings.passing import just_one, passed_on
from risk.workings.population import NO_X_FOR_SONS, with_shared_copies
from risk.workings.step import AncestorsCase, Lines, Said, State, Value
from risk.workings.values import equation, product, value_word
from risk.workings.weigh import Facts, Joint

#: How many people between two relatives are named; more are only counted.
_MOST_BETWEEN = 6
#: The text of the first row of a table of identical twins.
SAME_GENOTYPE = "the same genotype"


def apart(words: Naming, pair: Scope) -> str:
    """Return the text of the first row of two people who are independent."""
    return f"{joined(words.names(pair))}, independent of each other"


def tied(words: Naming, pair: Scope) -> str:
    """Return the text of the first row of two people who are not."""
    return f"{joined(words.names(pair))}, jointly"


def why_apart(
    words: Naming,
    pair: Scope,
    between: Mapping[int, State] | None = None,
    *,
    at_first: bool = False,
) -> str:
    """Say that two people are independent; `at_first`: before their children are counted.

    `between` are people of certain genotypes through whom alone the two are related.
    """
    nothing = _nothing_more(words, pair, at_first=at_first)
    if not between:
        return words.sentence(nothing)
    related = kinship(words.family, *pair)
    names = joined([words.who(each) for each in between])
    through = f"{names}, through whom they are related,"
    if related is not None and set(between) == set(related.ancestors):
        through = f"their common {ancestors_in_words(words, related)}"
    if len(between) <= 2 and len({words.has(*each) for each in between.items()}) == 1:
        having = words.has(*next(iter(between.items())), many=len(between) > 1)
        return f"As {through} {having} for certain, {nothing}"
    each = joined([f"{words.who(v)} {words.has(v, state)}" for v, state in between.items()])
    return f"As {through} are certain ({each}), {nothing}"


def why_parted(words: Naming, pair: Scope, why: Sequence[str], *, at_first: bool = False) -> str:
    """Say that two relatives are independent, with the reasons `why`, as `why_apart` does."""
    return f"{words.sentence('; '.join(why))} So {_nothing_more(words, pair, at_first=at_first)}"


def why_multiplied(words: Naming, pair: Scope, told: Facts) -> str:
    """Say why two parents are independent although `told` is known of their children."""
    one, two = words.names(pair)
    condition = words.condition
    needs_both = condition.recessive and condition.penetrance is None
    ids = dict.fromkeys(words.facts[path].person for path in words.in_order(told))
    names = joined([words.name(id) for id in ids]) if len(ids) <= MOST_NAMED else "the children"
    what = f"of what is known of {names}"
    if needs_both and all(map(words.says_affected, told)):
        what = f"that {names} got the allele from both {one} and {two}"
    return (
        f"The chance {what} is a product, of one factor for each parent, so that "
        f"{_nothing_more(words, pair, at_first=False)}"
    )


def _nothing_more(words: Naming, pair: Scope, *, at_first: bool) -> str:
    one, two = words.names(pair)
    before = " before their children are counted" if at_first else ""
    return f"what {one} has says nothing more about {two}{before}"


def no_x_from_fathers(words: Naming, pair: Scope) -> str:
    """Say that relatives have no X of a common ancestor's."""
    names = joined([words.who(variable) for variable in pair])
    return f"{NO_X_FOR_SONS}, so that {names} have no X of a common ancestor's"


def counted_once(words: Naming, pair: Scope, common: Scope) -> str:
    """Say that what is known of two people counts for their ancestors, and then for them."""
    names, ancestors = [joined([words.who(each) for each in group]) for group in (pair, common)]
    return (
        f"What is known of {names} has told what {ancestors} may have; now it tells what "
        f"{names} may have in each case of these, so that nothing counts twice"
    )


def one_of_a_couple(words: Naming, couple: Scope) -> str:
    """Say that what a child gets of the one allele of a couple tells nothing beyond it."""
    names = joined(words.names(couple))
    return (
        f"just one of {names} has the allele, and whichever it is, each of their children gets "
        "it with the same chance, independently of the others"
    )


def why_tied(words: Naming, pair: Scope, facts: Facts | None = None) -> str:
    """Say why two people are not independent.

    They are taken together where a table starts with what these `facts` tell.
    """
    names = joined(words.names(pair))
    related = kinship(words.family, *pair)
    by = "facts about common relatives"
    if related:
        by = f"their common {ancestors_in_words(words, related)}"
    text = f"{names} are tied together by {by}"
    above = [each for each in pair if related and each in related.ancestors]
    if above:
        below = joined([words.who(each) for each in pair if each not in above])
        text = f"{words.who(above[0])} is an ancestor of {below}"
    if facts is None:
        return text
    return f"{text}, so that both are taken together{words.starting(facts)}"


def by_ancestors(
    words: Naming,
    pair: Scope,
    related: Kinship,
    common: Scope,
    cases: Sequence[AncestorsCase],
    known: Mapping[int, Mapping[State, Value] | None],
    both: Value | None,
) -> str:
    """Say how the chances of two people follow from what `common` ancestors have.

    `known` are the chances of what is known of the two and those below, by their own genotype,
    and `both` is the chance that each of the two has one allele, if that is possible.
    """
    one, two = words.names(pair)
    names = joined(words.names(common))
    ends = {*pair, *related.ancestors}
    lines = [each for each in related.paths[0] if each not in ends]
    begin = (
        f"If we knew what {names} {'has' if len(common) == 1 else 'have'}, what {one} has "
        f"would say nothing more about {two}"
    )
    above = [each for each in pair if each in common]
    if above:
        below = joined([words.who(each) for each in pair if each not in common])
        begin = f"What {below} may have goes by what {words.who(above[0])} has"
    if lines:
        line = f"line{'s' if len(lines) > 1 else ''}"
        down = joined([words.who(each) for each in lines])
        begin += f", and the chances go down the {line} of {down}"
    possible = [hypothesis for case in cases for hypothesis in case.hypotheses]
    sums: set[str] = set()
    told = [
        f"if {words.one_of(common, case.hypotheses, possible)} (chance "
        f"{value_word(case.chance)}), {_with_chances(words, pair, common, case, known, sums)}"
        for case in cases
    ]
    worked = _sum_of_cases(words, pair, cases, both) if both else ""
    return f"{begin}: {'; '.join(told)}{worked}"


def _sum_of_cases(words: Naming, pair: Scope, cases: Sequence[AncestorsCase], both: Value) -> str:
    """Go on with the sum that the chance of one allele in `both` of two people is."""
    terms = []
    for case in cases:
        chances = [states.get(1, 0) for states in case.states]
        if all(chances):
            terms.append(product([case.chance, *chances]))
    more = any(2 in states for case in cases for states in case.states)
    return (
        f". So the chance that {words.both_have(pair, (1, 1))} is "
        f"{equation(' + '.join(terms), both)}"
        + (", and so on for every other pair of genotypes" if more else "")
    )


def _with_chances(
    words: Naming,
    pair: Scope,
    common: Scope,
    case: AncestorsCase,
    known: Mapping[int, Mapping[State, Value] | None],
    sums: set[str],
) -> str:
    """Return what two people may have in a case: ``Lea is a carrier with chance 1/4``.

    `sums` are those that were told before, of which only the result is said again.
    """
    told: dict[int, str] = {}
    passed: dict[str, list[str]] = {}
    related = kinship(words.family, *pair)
    between = {each for path in related.paths for each in path} if related else set()
    for place, variable in enumerate(pair):
        if variable in common:
            continue
        states, passing = case.states[place], case.passing[place]
        worked = ""
        likely = known.get(variable)
        if likely is not None and 0 < states.get(1, 0) < 1 and 2 not in states:  # type: ignore[operator]
            worked = just_one(list(passing.values()), likely, states[1])
        by_line = sorted(passing, key=lambda parent: (parent not in between, parent))
        for parent, terms in [(each, passing[each]) for each in by_line if worked]:
            names = passed.setdefault(passed_on(terms)[0], [])
            name = words.parent(variable, parent)
            names += [name] * (name not in names)
        told[variable] = joined(
            [
                f"{words.has(variable, state)} "
                + ("for certain" if chance == 1 else f"with chance {worked or value_word(chance)}")
                for state, chance in states.items()
                if state != 0 or chance == 1
            ]
        )
    by = [
        f"{worked.rsplit(' = ')[-1] if worked in sums else worked} by {joined(names)}"
        for worked, names in passed.items()
    ]
    sums.update(passed)
    also = f" (the allele being passed on with chance {joined(by)})" if by else ""
    if len(told) == 2 and len(set(told.values())) == 1:
        each = joined([words.who(each) for each in pair])
        return f"each of {each} {told[pair[0]]}{also}"
    return joined([f"{words.who(variable)} {what}" for variable, what in told.items()]) + also


def summed(words: Naming, pair: Scope, related: Kinship | None) -> str:
    """Say that a joint table is a sum that is too long to be told."""
    paths = related.paths if related else ()
    between = dict.fromkeys(each for path in paths for each in path if each not in pair)
    whom = "their relatives"
    if 0 < len(between) <= _MOST_BETWEEN:
        whom = joined([words.who(each) for each in between])
    return (
        f"The table is the sum over all that {whom} may have, of the chance of that with all "
        f"that is known of the family; it is exact, and too long a sum to be written out here"
    )


def by_shared_copies(words: Naming, pair: Scope, chances: Joint) -> list[Said]:
    """Return how the `chances` of two relatives follow from shared copies, if they do."""
    related = kinship(words.family, *pair)
    if related is None:
        return []
    names = joined(words.names(pair))
    both, told = Fraction(0), []
    for way in sharing_both(words.family, *pair):
        factors = [chance for _, chance in way]
        both += prod(factors)
        whose = [joined(words.names(tuple(dict.fromkeys(parents)))) for parents, _ in way]
        from_ = joined([f"those from {each}" for each in whose], " as well as ")
        told.append(f"{equation(product(factors), prod(factors))} ({from_})")
    how = with_shared_copies(words.condition, names, related.coefficient, both, chances)
    if not how:
        return []
    lines = words.said(lines_of(words, related), pair, topic=Lines(tuple(sorted(pair))))
    found = [lines, words.said(how, pair)]
    if told:
        also = f"Both copies of {names} are the same by descent with chance {' and '.join(told)}"
        found.insert(1, words.said(also, pair))
    return found
