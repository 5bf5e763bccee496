"""The sentences on rows for what is known of children and of those below them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.case.model import Person
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.number import whole_root
from risk.wording.phrases import joined, number_word, power
from risk.workings import origins, passing, row_chances
from risk.workings.naming import MOST_NAMED, Naming
from risk.workings.step import Said, State, Told, Value
from risk.workings.sums import Averages, Sum, heaviness
from risk.workings.table import product_of
from risk.workings.values import equation, product, short, value_word
from risk.workings.weigh import Facts, Hypothesis, Joint, equal, order_of, share, total

#: How a sentence goes on from what somebody may have to the chance of what is told.
_SO_IT_IS = "so that it is"
_SO_ALL_IS = "so that the chance of all this is"


def children_row(
    words: Naming,
    parents: Scope,
    children: Sequence[int],
    new: Facts,
    married: Facts = frozenset(),
) -> str:
    """Return the text of a row for facts about children of `parents` (and below them).

    `married` are facts about partners below and these partners' relatives.
    """
    people = [person for child in children for person in words.people[child]]
    number = sum(person.count or 1 for person in people)
    noun = _noun(people, number)
    details = {
        (words.facts[path].evidence.kind, words.predicate(words.facts[path])[0]) for path in new
    }
    own = all(words.family.variable[words.facts[path].person] in children for path in new)
    if own and len(details) == 1 and len(new) == len(people):
        kind, predicate = next(iter(details))
        if kind == "affected":
            what = predicate.removeprefix("is ")
            state, *at = what.split(" at ", 1)
            age = f" at {at[0]}" if at else ""
            return (
                f"{_article(number, state)}{state} {noun}{_of_twin(words, parents, children)}{age}"
            )
    if len(new | married) > 4:
        names = joined([person.name or person.id for person in people])
        below = "" if own else " and below"
        also = f", and of {_relatives(words, married)}" if married else ""
        return f"what is known of {names}{below}{also}"
    return words.facts_row(new | married)


def _of_twin(words: Naming, parents: Scope, children: Sequence[int]) -> str:
    """Return whose children these are, where the table's person is one of identical twins."""
    if len(parents) > 1 or len(words.people[parents[0]]) == 1:
        return ""
    return f" of {joined([*dict.fromkeys(words.parent(each, parents[0]) for each in children)])}"


def _relatives(words: Naming, facts: Facts) -> str:
    """Name the people of some facts, or count them where there are too many."""
    ids = dict.fromkeys(words.facts[path].person for path in words.in_order(facts))
    if len(ids) > MOST_NAMED:
        return f"{len(ids)} relatives by marriage"
    return joined([words.name(id) for id in ids])


def told_people(words: Naming, children: Sequence[int], facts: Facts) -> str:
    """Name the people of facts about children and those below them: ``Ray``.

    Where they are many: ``II-1 and those below``.
    """
    ids = dict.fromkeys(words.facts[path].person for path in words.in_order(facts))
    if len(ids) <= MOST_NAMED:
        return joined([words.name(id) for id in ids])
    names = joined([words.who(child) for child in children])
    below = any(words.family.variable[id] not in children for id in ids)
    return f"{names} and those below" if below else names


def _if_named(words: Naming, facts: Facts) -> Facts:
    """Return facts where `told_people` names all whom they are about."""
    return facts if len({words.facts[path].person for path in facts}) <= MOST_NAMED else frozenset()


def _article(number: int, word: str) -> str:
    if number > 1:
        return f"{number_word(number)} "
    return "an " if word[0] in "aeiou" else "a "


def _noun(people: Sequence[Person], number: int) -> str:
    sexes = {person.sex for person in people}
    one, many = {
        frozenset({"male"}): ("son", "sons"),
        frozenset({"female"}): ("daughter", "daughters"),
    }.get(frozenset(sexes), ("child", "children"))
    return one if number == 1 else many


def why_children(
    words: Naming,
    parents: Scope,
    children: Sequence[int],
    new: Facts,
    married: Facts,
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    of_one: Averages,
    through: str,
    weights: Joint,
    rule: Said,
    *,
    others: bool,
    named: bool,
) -> list[Said]:
    """Explain a row for facts about children; `averages` are over what a child may have.

    `of_one` are those of one child with results.  `through` is what `through_child` says, and
    `weights` are in proportion to what the parents may have after the row.  `married` are facts
    about partners below and these partners' relatives.  `rule` says what a child of the two gets
    where new mutation takes part.  `others` tells that the table has other rows for children of
    two parents.  They are `named` within the row of another table.
    """
    people = [person for child in children for person in words.people[child]]
    number = sum(words.people[child][0].count or 1 for child in children)
    names = joined([person.name or person.id for person in people])
    own = all(words.family.variable[words.facts[path].person] in children for path in new)
    alone = len(parents) == 1
    if not own:
        if through:
            return [words.said(through, children), rule]
        also = f", with what is known of {_relatives(words, married)}," if married else ""
        text = f"What is known of {told_people(words, children, new)}{also} counts through {names}"
        return [words.said(text, children, _if_named(words, new))]
    if number > 1:
        each = each_by_values(words, children, parents, new, values, of_one, weights, named=named)
        if each:
            # How new mutation enters the chance of one is said with it, if that is short.
            return [each[0], *(each[1:] or [rule])]
    if not alone:
        text = (
            "If we knew what both parents have, their children would be independent of each "
            "other, so that each counts in the table on its own (alike ones together)"
        )
        return [Said(text)] * others
    row = words.facts_row(new) if named else children_row(words, parents, children, new)
    one = values.get((1,))
    if of_one and row_chances.by_half(words, new, one):
        of_one = {}
    why = row_chances.in_words(words, parents[0], values, parent=True, averages=of_one)
    why += row_chances.by_age(words, new, one)
    worked = passing.half(words, new, people[0].sex, one) if isinstance(one, Fraction) else ""
    if averages and not why:
        if all(sum_.trivial for sum_ in averages.values()):
            # Nothing is averaged over: only one genotype of the child has what is known of it.
            if number > 1:
                return [rule]
            chances = {
                states: None if isinstance(value, Term) else Fraction(value)
                for states, value in values.items()
            }
            of_child = each_of(words, children, parents, new, chances, {}, weights, named=named)
            return [*of_child, rule]
        why = f": its chance is averaged over what {names} may have"
        why += _averaged(words, parents, values, averages)
        return [words.said(f"{row}{why}", children), rule]
    if not why:
        return []
    found = [words.said(f"{row}{why}", told=new)]
    found += passing.with_mutation(words, parents[0], values)
    if worked:
        found.append(Said(f"Half the children get the allele: {worked}{one}"))
    return found


def each_by_values(
    words: Naming,
    children: Sequence[int],
    parents: Scope,
    new: Facts,
    values: Mapping[Hypothesis, Value],
    of_one: Averages,
    weights: Joint,
    *,
    named: bool,
) -> list[Said]:
    """Explain the `values` of a row for alike children by the chances of one; see `each_of`."""
    number = sum(words.people[child][0].count or 1 for child in children)
    roots = {
        hypothesis: whole_root(value, number) if isinstance(value, Fraction) else None
        for hypothesis, value in values.items()
    }
    return each_of(words, children, parents, new, roots, of_one, weights, named=named)


def each_of(
    words: Naming,
    children: Sequence[int],
    parents: Scope,
    new: Facts,
    chances: Mapping[Hypothesis, Fraction | None],
    of_one: Averages,
    weights: Joint,
    *,
    named: bool,
) -> list[Said]:
    """Explain what `new` says of alike children, from the chances of one, which are multiplied.

    Of several chances the one that counts most by the `weights` is worked out, and that of a
    carrier for one parent; it stands for all where they are many.
    """
    # Identical twins are one child for this.
    number = sum(words.people[child][0].count or 1 for child in children)
    people = [person for child in children for person in words.people[child]]
    alike: dict[Fraction, list[Hypothesis]] = {}
    for hypothesis, root in chances.items():
        if root is not None and 0 < root < 1:
            alike.setdefault(root, []).append(hypothesis)
    left_out = len(alike) - 1 if len(alike) > MOST_NAMED else 0
    if not alike or (left_out and number == 1):
        return []
    whose = {root: f"if {words.one_of(parents, alike[root], chances)}" for root in alike}
    if number == 1:
        each = [f"{value_word(root)} {whose[root]}" for root in alike]
        row = words.facts_row(new) if named else children_row(words, parents, children, new)
        rest = {chance for chance in chances.values() if chance not in alike}
        others = f", else {rest.pop()}" if rest in ({0}, {1}) else ""
        return [words.said(f"{row}: the chance of that is {joined(each)}{others}", parents, new)]
    carrier = next((root for root in alike if (1,) in alike[root]), None)
    heaviest = max(
        alike, key=lambda root: heaviness(total([weights.get(each, 0) for each in alike[root]]))
    )
    shown = heaviest if carrier is None else carrier
    if left_out:
        alike = {shown: alike[shown]}
    worked = dict.fromkeys(alike, "")
    if len(parents) == 1:
        worked = {root: passing.half(words, new, people[0].sex, root) for root in alike}
    if of_one and row_chances.by_half(words, new, carrier):
        of_one = {}
    for root, (first, *_) in alike.items():
        sum_ = of_one.get(first)
        if sum_ and not sum_.trivial and short(root) and equal(sum_.value, root):
            worked[root] = row_chances.in_sum(sum_, root).removesuffix(str(root))
    each = [f"{worked[root]}{value_word(root)} {whose[root]}" for root in alike]
    times = power(f"({value_word(shown)})", number)
    if number <= 5:
        times = " × ".join([value_word(shown)] * number)
    begin = f"Each {_noun(people, 1)} {_says(words, new)} with chance"
    if named:
        begin = f"{words.facts_row(new)}, each with chance"
    text = f"{begin} {joined(each)}, independently of the others: {equation(times, shown**number)}"
    text += row_chances.likewise(left_out)
    found = [words.said(text + row_chances.by_age(words, new, carrier), parents)]
    if len(parents) == 1:
        found += passing.with_mutation(words, parents[0], chances)
    return found


def through_child(
    words: Naming,
    parents: Scope,
    child: int,
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    likely: Mapping[Hypothesis, Value],
    certain: State | None,
    arising: Mapping[State, str],
    *,
    hidden: bool,
) -> str:
    """Tell the `averages` of a row over what a child may have through whom its facts count.

    `likely` are the chances of these facts by what the child has, who is `certain` after them.
    Of a parent with no allele a child has what is `arising`.  Empty where they are no sums.
    `hidden` are sums that no table shows.
    """
    one = _only_telling(likely)

    def case(alike: Sequence[Hypothesis]) -> str | None:
        if len(alike) > row_chances.MOST_ALIKE and not words.together(parents, alike, values):
            return None
        begin = f"if {words.one_of(parents, alike, values)}"
        if one is None:
            return begin
        of = averages[alike[0]]
        weight = next((weight for weight, chance in of.weights if chance == likely[one]), 0)
        if not weight:
            return None
        has = share(weight, of.whole)
        how = "for certain" if has == 1 else f"with chance {value_word(has)}"
        return f"{how} {begin}, {_SO_IT_IS}"

    most = 5 if len(parents) == 1 else 4
    worked = row_chances.as_sums(
        values, averages, case, most, trivial=one is not None, hidden=hidden
    )
    if not worked or one is None:
        may = f"weighed by what {words.who(child)} may have{worked}"
        new = [
            f"{words.who(child)} {words.has(child, state)} {arising[state]} if "
            f"{words.both_have(parents, (0,))}; "
            for (state,) in likely
            if state in arising
        ]
        return "".join(new) + may if worked else ""
    has = f"{words.who(child)} {words.has(child, one[0])}"
    alone = certain == one[0] and all(not likely[each] for each in likely if each != one)
    begin = f"This can only be where {has}," if alone else has
    return f"{begin} {worked.removeprefix(': ').replace(_SO_IT_IS, _SO_ALL_IS, 1)}"


def _only_telling(likely: Mapping[Hypothesis, Value]) -> Hypothesis | None:
    """Return the one hypothesis by which some facts are not certain, or are possible, if any."""
    for usual in (1, 0):
        others = [each for each, chance in likely.items() if chance != usual]
        if len(others) == 1:
            return others[0]
    return None


def together(
    words: Naming,
    person: int,
    factors: Mapping[Hypothesis, Sequence[Value]],
    likely: Mapping[Hypothesis, Value],
) -> str:
    """Say what the chances of several rows about a person, the `factors`, are together."""
    shown = []
    for hypothesis, each in factors.items():
        counted, whole = [value for value in each if value != 1], likely[hypothesis]
        if len(counted) < 2:
            continue
        if not all(map(short, counted)) or not equal(product_of(counted), whole):
            return ""
        case = f"if {words.both_have((person,), hypothesis)}"
        shown.append(f"{equation(product(counted), whole)} {case}")
    return f"Together that is {joined(shown)}" if shown else ""


def by_own_genotype(
    words: Naming,
    child: int,
    own: Facts,
    new: Facts,
    values: Mapping[Hypothesis, Value],
    parents: Scope,
    weighed: Mapping[Hypothesis, Value],
    averages: Averages,
    *,
    hidden: bool,
) -> list[Said]:
    """Say with what chance facts about a child are so by its `own` genotype, if not plain.

    Rows about both parents, or averaged over one, weigh these by what a child may have: so
    `weighed`, of which `averages` are the sums, which may be `hidden`: no table shows them.
    `new` is all that such a row brings in.
    """
    kinds, affected = set(map(words.facts_kind, own)), any(map(words.says_affected, own))
    escaped = kinds == {"affected"} and not affected
    chances = row_chances.in_words(words, child, values, escaped=escaped, told=own)
    if not chances:
        return []
    status = frozenset([path for path in own if words.facts_kind(path) == "affected"])
    text = (
        f"{words.facts_row(own)}{chances}, weighed by what a child of the two may have"
        f"{_averaged(words, parents, weighed, averages, hidden=hidden)}"
    )
    age = row_chances.by_age(words, status).removeprefix(". ")
    return [words.said(text, parents, own), Said(age, Told(new))]


def multiplied(
    words: Naming,
    parents: Scope,
    factors: Sequence[Mapping[Hypothesis, Value]],
    whole: Mapping[Hypothesis, Value],
) -> str:
    """Say that the chances of several children multiply where the first parent has one copy.

    Empty where no product is the `whole`, or short.
    """
    begin = ""
    counts: dict[State, str] = {0: "none", 1: "one", 2: "two"}
    if not words.condition.recessive and {two for _, two in whole} <= counts.keys():
        one, two = words.names(parents)
        begin = f" if {one} {words.has(parents[0], 1, alone=True)} and {two}"
    shown = []
    for states, value in whole.items():
        each = [chances.get(states, 0) for chances in factors]
        counted = [chance for chance in each if chance != 1]
        if states[0] == 1 and value and len(counted) > 1 and equal(product_of(each), value):
            said = equation(product(counted), value)
            case = counts[states[1]] if begin else f"if {words.both_have(parents, states)}"
            shown.append(f"{case} {said}")
    return f"Of several children these chances multiply:{begin} {joined(shown)}" if shown else ""


def _averaged(
    words: Naming,
    parents: Scope,
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    *,
    after: bool = False,
    hidden: bool = False,
) -> str:
    """Return the sums that the values of a row are by what parents have, as `as_sums` does.

    The parents are named, as the row is about others.
    """

    def case(alike: Sequence[Hypothesis]) -> str | None:
        if len(alike) > row_chances.MOST_ALIKE and not words.together(parents, alike, values):
            return None
        return f"if {words.one_of(parents, alike, values)}"

    most = 5 if len(parents) == 1 else 4
    return row_chances.as_sums(values, averages, case, most, after=after, hidden=hidden)


def why_partner(
    words: Naming,
    variable: int,
    partner: int,
    shares: Mapping[State, Value],
    values: Mapping[Hypothesis, Value],
    averages: Averages,
    children: Sequence[int],
    new: Facts,
    *,
    from_population: bool,
    told_before: bool,
    explained: bool,
    hidden: bool,
) -> list[Said]:
    """Explain a row for `new` facts about children whose other parent, the partner, is not certain.

    `shares` are the chances of what the partner may have, and `averages` the row as sums over it;
    `told_before` tells that the sentence before says them, and `explained` that those before it
    tell of the children.  `hidden` are sums that no table shows.
    """
    who = words.names((partner, variable))[0]
    known = [
        f"{words.has(partner, state, alone=True)} with chance {value_word(chance)}"
        for state, chance in shares.items()
        if state != 0
    ]
    found: list[Said] = []
    if from_population:
        for said in origins.why_population(words, (partner,), frozenset(), shares):
            found.append(said._replace(again=f"{said.brief}, too"))
    told = from_population or told_before
    begins = len(known) == 1 or (known and not told)
    averaged = _averaged(words, (variable,), values, averages, after=bool(begins), hidden=hidden)
    people = told_people(words, children, new)
    text = f"Weighed by what {who} may have{averaged}"
    if begins:
        of = "all this" if explained else f"what is known of {people}"
        text = f"{who} {joined(known)}, so that the chance of {of} is {averaged.removeprefix(': ')}"
    if not averaged:
        also = f" ({who} {joined(known)})"
        text = (
            f"What {who} has is not certain{also * bool(known and not told)}, so the chance of "
            f"what is known of {people} is averaged over it"
        )
    named = _if_named(words, new)
    return [*found, words.said(text, [partner, *(() if named else children)], named)]


def from_partner(
    words: Naming, partner: int, variable: int, given: Facts, factors: Sequence[Value], value: Value
) -> str:
    """Explain the `value` of a row for the children of someone with no allele.

    `factors` are the chance that the partner has the rare allele, what the facts `given` about
    the partner multiply it by, and the chance of what is known of the children then.
    """
    usual, by, _ = factors
    one, who = words.names((variable, partner))
    counted = [each for each in factors if each != 1]
    if not all(map(short, [*counted, value])):
        return ""
    times = f" (times {value_word(by)}, as {words.told(given)})" if by in counted else ""
    return (
        f"With no allele in {one} it comes from {who}, who has it with chance "
        f"{value_word(usual)}{times}: {' × '.join(map(value_word, counted))} = "
        f"{value_word(value)}"
    )


def with_partner(
    words: Naming,
    partner: int,
    variable: int,
    has: Value | None,
    of: Sum | None,
    value: Value,
) -> str:
    """Explain the `value` of a row for the children of someone with no allele, as a sum `of` which.

    By the rows before, which are about other children, the partner `has` one copy with a chance.
    """
    if has is None or of is None or of.trivial or order_of(has) or not short(value):
        return ""
    one, who = words.names((variable, partner))
    return (
        f"With no allele in {one} the rows before leave it to {who} with chance "
        f"{value_word(has)}: {row_chances.in_sum(of, value)}"
    )


def counted_without(words: Naming, variable: int, given: Facts, without: Value) -> str:
    """Say how facts enter the chance of a row for somebody with no allele.

    They are those `given` of a partner, and `without` is that chance had nobody told them.
    """
    told, none = words.told(given), words.with_state(variable, 0)
    would = f", which would be {value_word(without)} without that" if short(without) else ""
    return f"That {told} counts in the chance {none}{would}"


def _says(words: Naming, new: Facts) -> str:
    """Return what alike facts say of one person: ``is unaffected``."""
    predicates = {words.predicate(words.facts[path])[0] for path in new}
    return predicates.pop() if len(predicates) == 1 else "is so"
