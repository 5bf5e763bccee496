"""The sentences on where a table starts: the population, the parents, a certain genotype."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.genetics.founders import allele_frequency, mutates, mutation_rates
from risk.genetics.penetrance import lifetime_penetrance
from risk.inference.arithmetic import Term
from risk.inference.plan import Scope
from risk.number import Quantity
from risk.wording.phrases import joined
from risk.workings.kinship import ancestors_in_words, kinship, lines_of
from risk.workings.naming import Naming
from risk.workings.passing import by_passing
from risk.workings.population import NO_X_FOR_SONS, among_others, how_common, how_frequent
from risk.workings.step import Certain, Lines, Population, Said, State, Transmission, Value
from risk.workings.values import HALF, equation, short, value_word
from risk.workings.weigh import MOSAIC, Facts

#: The text of the prior row of someone of whose parents nothing is known.
UNKNOWN_PARENTS = "from the parents"
#: How a germline mosaic counts where it is asked who has the allele.
MOSAICS_HAVE_NONE = (
    "a germline mosaic has the allele in eggs or sperm alone, and so counts here as having no copy"
)


def population_is_unaffected(words: Naming, status: Facts) -> bool:
    """Tell whether the frequency is that among unaffected people, and this is one.

    With full penetrance from birth on these are the people with at most one copy, whoever is born
    alive.  Of children of relatives more have two.
    """
    condition = words.condition
    if condition.penetrance is not None or condition.onset is not None:
        return False
    if condition.frequency.carrier is None or len(status) != 1:
        return False
    (path,) = status
    inbreeding = words.case.person(words.facts[path].person).inbreeding
    return (
        words.facts_kind(path) == "affected"
        and not words.says_affected(path)
        and not (inbreeding and inbreeding.value)
    )


def population(merged: Facts) -> str:
    """Return the text of a founder's prior row."""
    return "unaffected, population" if merged else "population"


def why_population(
    words: Naming, variables: Scope, merged: Facts, shares: Mapping[State, Value] | None = None
) -> list[Said]:
    """Explain the prior row of a founder (with `shares` its chances), or of two together."""
    names = joined([words.who(variable) for variable in sorted(variables)])
    comes = f"{names} {'comes' if len(variables) == 1 else 'come'} from the population"
    frequency = words.condition.frequency
    if merged and frequency.carrier is not None:
        (variable,) = variables
        if words.one_copy(variable):
            known = f"{names} is unaffected and so has no copy of the allele"
        else:
            people = "women" if words.condition.x_linked else "people"
            known = f"{frequency.carrier} of unaffected {people} are carriers"
            if words.condition.viability is not None:
                those = f"{people} with at most one copy"
                known = f"{frequency.carrier} of {those} are carriers, and so of the unaffected"
        known += among_others(words.condition, shares, "the allele")
        nothing = f"Nothing is known of {names}'s parents"
        return [Said(f"{nothing}; {known}", Population(known), f"{nothing}, either")]
    copies = sorted({words.family.copies[variable] for variable in variables})
    inbred = [words.people[variable][0].inbreeding for variable in sorted(variables)]
    stated = {each.value if each else Fraction(0) for each in inbred}
    if len(stated) > 1:
        alone = [why_population(words, (each,), merged, shares) for each in sorted(variables)]
        return [said for each in alone for said in each]
    (related,) = stated
    whose = names if len(variables) == 1 else f"each of {names}"
    told, like = [how_common(words.condition, copies, shares, related, x) for x in (whose, "")]
    return [_common(comes, told, like)]


def _common(comes: str, how: str, like: str = "") -> Said:
    """Return that people come from the population, and how common genotypes are there.

    Of others who are `like` them the same could be said.
    """
    return Said(comes + how, Population(like or how), brief=comes)


def why_like_population(
    words: Naming, variable: int, shares: Mapping[State, Value], *, vanishing: bool
) -> Said:
    """Explain someone with parents of whom nothing is known that matters here.

    In a rare limit `vanishing` tells whether the allele counts although it is rare.
    """
    who = words.who_does(variable, "is", "are")
    begin = f"{NO_X_FOR_SONS}, and" if words.one_copy(variable) else ""
    parents = words.sentence(f"{begin} {_idle_above(words, variable)}".strip()).rstrip(".")
    common = how_common(words.condition, [words.family.copies[variable]], shares)
    if words.condition.frequency.allele == "rare" and not vanishing:
        common = f", where the allele is rare, and so carries nothing{_without_it(words)}"
    text = f"{parents}, so that {who} as anyone from the population{common}"
    return words.said(text, [variable], topic=Population(common))


def _idle_above(words: Naming, variable: int) -> str:
    """Say that what is known of the parents changes nothing, or that nothing is known."""
    parents = words.family.parents[variable]
    told = {words.family.variable[fact.person] for fact in words.facts.values()}
    whose = f"{words.who(variable)}'s parents" if len(parents) > 1 else words.who(parents[0])
    if told.intersection(parents):
        return f"what is known of {whose} makes no difference here"
    if told.intersection(words.family.ancestry(parents)):
        return f"what is known of {words.who(variable)}'s ancestors makes no difference here"
    return f"nothing that matters here is known of {whose}"


def why_unknown_parents(
    words: Naming, variable: int, shares: Mapping[State, Value] | None = None
) -> list[Said]:
    """Explain someone of whose parents nothing is known, though they may be related."""
    parents = words.family.parents[variable]
    related = kinship(words.family, *parents) if len(parents) == 2 else None
    if related is None or not shares or words.condition.x_linked:
        text = f"{_idle_above(words, variable)}{_new_in_child(words, variable)}"
        return [words.said(text, [variable])]
    copies = [words.family.copies[variable]]
    who = words.who(variable)
    common = how_common(words.condition, copies, shares, related.coefficient, who)
    text = (
        f"Nothing that matters is known of {words.who(variable)}'s parents, but that they have "
        f"the common {ancestors_in_words(words, related)}"
    )
    lines = Said(lines_of(words, related), Lines(tuple(sorted(parents))))
    return [words.said(text, [variable]), lines, Said(common[2:])]


def _new_in_child(words: Naming, variable: int) -> str:
    """Go on with how new mutation alone brings the allele, where nobody else has it."""
    frequency = words.condition.frequency.allele
    u, v = mutation_rates(words.condition)
    nobody = isinstance(frequency, Quantity) and not frequency.value
    if not nobody or not isinstance(u, Fraction) or not isinstance(v, Fraction):
        return ""
    if words.condition.germline_mosaicism is not None or not u + v:
        return ""
    begin = ". Nobody in the population has the allele, so that it comes by new mutation only"
    if words.one_copy(variable):
        return f"{begin}, in u = {u} of eggs"
    return (
        f"{begin}, in u = {u} of eggs and v = {v} of sperm: one copy with chance "
        f"u(1 - v) + v(1 - u), two with uv"
    )


def from_certain(words: Naming, states: Mapping[int, State | None]) -> str:
    """Return the text of the prior row of a child of parents whose genotypes are certain."""
    parents = list(states)
    if (
        len(parents) == 2
        and states[parents[0]] == states[parents[1]] == 1
        and words.condition.recessive
        and not words.condition.x_linked
    ):
        return "from two carriers"
    roles = []
    for place, (parent, state) in enumerate(states.items()):
        if state == 0 and len(parents) == 2 and any(states.values()):
            continue
        role = ("mother", "father")[place]
        roles.append(
            f"a carrier {role}"
            if words.called_carrier(parent, state)
            else f"a {role} who {words.has(parent, state)}"
            if state == MOSAIC
            else f"a {role} with {words.has(parent, state).split(' ', 1)[1]}"
        )
    return "from " + joined(roles)


def why_certain(
    words: Naming,
    states: Mapping[int, State | None],
    facts: Facts,
    not_two: Sequence[int] = (),
    fathers: Sequence[str] = (),
    through: Sequence[str] = (),
    but_rare: Sequence[int] = (),
) -> Said:
    """Explain why people's genotypes are certain, for one and the same reason.

    `not_two` are those whom `facts` leave a second allele, were it not for its being rare,
    `fathers` names one who is seen to have given the allele to his daughter, and `through` those
    through whom it came to others; `but_rare` are all who could have more or fewer alleles.
    """
    names = joined([words.who(variable) for variable in states])
    if not facts:
        return _nothing_from_population(words, list(states))
    told = words.told(facts) + childless(words, facts)
    loop = _in_a_loop(words, [each for each in states if states[each] == 1], facts)
    if through and not loop:
        told += f"; as the allele is rare, it came through {joined(through)}"
        not_two = ()
    topic = Certain(frozenset(states.items()), facts)
    kinds = {words.has(variable, state) for variable, state in states.items()}
    rare = words.condition.frequency.allele == "rare"
    one_copy = len(kinds) == 1 and 1 in states.values()
    if rare and but_rare and not through and not loop and not (one_copy and not_two):
        told += ", and the allele is rare"
    so = "".join([f"{each} has the allele, which every daughter gets, and " for each in fathers])
    if len(kinds) == 1:
        variable, state = next(iter(states.items()))
        having = words.has(variable, state, many=len(states) > 1)
        why = ""
        if state == 1 and not_two and rare:
            two = "with two copies" if words.condition.recessive else "two"
            some = joined([words.who(each) for each in not_two])
            whose = "" if len(not_two) == len(states) else f"{some} "
            why = f" ({whose}not {two}, the allele being rare)"
        told += loop
        return words.said(f"{told}, so {so}{names} {having} for certain{why}", states, facts, topic)
    certain = [f"{words.who(v)} {words.has(v, state)}" for v, state in states.items()]
    return words.said(f"{told}, so {so}for certain {joined(certain)}", states, facts, topic)


def childless(words: Naming, facts: Facts) -> str:
    """Go on after facts with why somebody's having children tells of his genotype, if it does."""
    balance = words.condition.frequency.mutation_selection_balance
    if balance is None or balance.fitness.value:
        return ""
    kinds = {words.facts_kind(path) for path in facts}
    if "fathered" not in kinds:
        return ""
    none = "none" if len(kinds) == 1 else "no children"
    return f", and men with the allele have {none} (fitness 0)"


def _in_a_loop(words: Naming, variables: Sequence[int], facts: Facts) -> str:
    """Go on with why an affected child of relatives makes carriers of those between them.

    Empty where the allele is not rare, or nobody of `variables` is between such parents.
    """
    condition = words.condition
    if condition.frequency.allele != "rare" or not condition.recessive or condition.x_linked:
        return ""
    for path in words.in_order(facts):
        id = words.facts[path].person
        parents = words.family.parents[words.family.variable[id]]
        if not words.says_affected(path) or len(parents) != 2 or {*parents} & {*variables}:
            continue
        related = kinship(words.family, *parents)
        through = [
            each
            for each in variables
            if related is not None and all(each in line[1:-1] for line in related.paths)
        ]
        if related is None or not through:
            continue
        noun, *_ = ancestors_in_words(words, related).split(" ", 1)
        one = joined(words.names(related.ancestors), " or ")
        between = [each for each in through if each not in related.ancestors]
        way = f", one of them through {joined([words.who(each) for each in between])}"
        return (
            f", and as the allele is rare both copies of {words.name(id)}'s descend from one "
            f"and the same copy, of {one} (the common {noun} of the parents)"
            f"{way if between else ''}"
        )
    return ""


def _without_it(words: Naming) -> str:
    """Go on with why being affected tells nothing of a rare allele, if others can be so."""
    ids = [fact.person for path, fact in words.facts.items() if words.says_affected(path)]
    affected = {
        id: lifetime_penetrance(words.condition, words.case.person(id).sex)[0] for id in ids
    }
    if not affected or not all(affected.values()):
        return ""
    verb = "is" if len(affected) == 1 else "are"
    return (
        f". That {joined([words.name(id) for id in affected])} {verb} affected tells nothing of "
        f"it: people without the allele can be affected, too, and beside them those with so "
        f"rare an allele vanish"
    )


def _nothing_from_population(words: Naming, variables: Sequence[int]) -> Said:
    """Explain why people have no allele as others in the population, with no fact to say so."""
    names, many = joined([words.who(variable) for variable in variables]), len(variables) > 1
    frequency = words.condition.frequency
    how = ", where nobody has the allele"
    if frequency.allele == "rare":
        carry = "carry" if many else "carries"
        how = f", where the allele is rare, and so {carry} nothing{_without_it(words)}"
    elif frequency.mutation_selection_balance is not None and mutates(words.condition):
        how = ", where the allele is as rare as new mutation, a vanishing chance"
    if any(words.family.parents[variable] for variable in variables):
        verb = "are" if many else "is"
        return words.said(f"{names} {verb} as anyone from the population{how}", variables)
    return _common(f"{names} {'come' if many else 'comes'} from the population", how)


def speaks_for_itself(words: Naming, facts: Facts) -> bool:
    """Tell whether facts are one known genotype, which needs no reasoning."""
    return len(facts) == 1 and words.facts_kind(next(iter(facts))) == "genotype"


def from_parents(words: Naming, child: int, parents: Sequence[int]) -> str:
    """Return the text of the prior row of a child of uncertain parents."""
    return "from " + joined([words.parent(child, each) for each in parents])


def why_parents(
    words: Naming,
    variable: int,
    posteriors: Mapping[int, Mapping[State, Value]],
    prior: Mapping[State, Value],
    passing: Mapping[int, Transmission],
    told: Sequence[int] = (),
) -> str:
    """Explain how a child's `prior` comes from what the uncertain parents may have.

    `passing` tells of each parent who may pass the allele on how that comes about, and `told` are
    those whose chances the sentences before tell.
    """
    parts, new = [], []
    for parent, chances in posteriors.items():
        shown = [
            f"{words.has(parent, state, alone=True)} with chance {value_word(chance)}"
            for state, chance in chances.items()
            if state != 0 and short(chance)
        ]
        if shown and len(shown) == sum(1 for state in chances if state != 0):
            parts.append(f"{words.parent(variable, parent)} {joined(shown)}")
            new += [] if parent in told else parts[-1:]
    if len(posteriors) == len(parts) == 1:
        ((parent, chances),) = posteriors.items()
        passed = prior.get(1)
        if (
            set(chances) == {0, 1}
            and not words.one_copy(parent)
            and (isinstance(chances[1], Fraction) and passed == chances[1] * Fraction(1, 2))
        ):
            return (
                f"{parts[0]}, and then passes it on with chance 1/2: {chances[1]} × 1/2 = {passed}"
            )
    if len(posteriors) == len(parts) == 1 and mutates(words.condition):
        chance, gained = chances.get(1), prior.get(1)
        one = set(chances) <= {0, 1} and not words.one_copy(parent)
        if one and chance is not None and gained and short(gained):
            half = chance * HALF if isinstance(chance, Term) else Fraction(chance) / 2
            return (
                f"{parts[0]}; passed on with chance 1/2 that is {value_word(half)}, and with "
                f"new mutation in the egg or the sperm {value_word(gained)}"
            )
    worked = by_passing(
        words.who_does(variable, "has", "have"),
        {words.parent(variable, parent): terms for parent, terms in passing.items()},
        prior,
        one_copy=words.one_copy(variable),
        mutating=any(
            isinstance(rate, Fraction) and rate for rate in mutation_rates(words.condition)
        ),
    )
    if worked:
        return ". ".join([joined(new), worked]) if new else worked
    rules = [joined(parts)] if parts else []
    rules += [_passes_it_on(words, posteriors) or "the parents pass it on with different chances"]
    return (
        f"{'; '.join(rules)}, so that what {words.who_does(variable, 'gets', 'get')} is weighed "
        "by what the parents may have"
        + (", with new mutation added" if mutates(words.condition) else "")
    )


def _passes_it_on(words: Naming, posteriors: Mapping[int, Mapping[State, Value]]) -> str:
    """Return with what chance those of several states pass the allele on, as one clause."""
    listed = [(parent, state) for parent, chances in posteriors.items() for state in chances]
    mosaic = words.condition.germline_mosaicism
    rules = []
    if any(state == 1 and not words.one_copy(parent) for parent, state in listed):
        rules.append("a parent with one copy passes it on with chance 1/2")
    if any(state == 1 and words.one_copy(parent) for parent, state in listed):
        rules.append("a father with the allele passes it on to every daughter")
    if mosaic is not None and any(state == MOSAIC for _, state in listed):
        rules.append(f"a germline mosaic passes it on with chance {mosaic.gametes}")
    return joined(rules)


def why_joint_parents(words: Naming, variable: int) -> str:
    """Say that a child's chances follow from the joint table of its parents."""
    return (
        f"The parents' genotypes are tied together by what is known of their children; what "
        f"{words.who_does(variable, 'gets', 'get')} is weighed by what both may have"
    )


def through_sibling(
    words: Naming, pair: Scope, child: int, paths: Facts, sibling: int | None = None
) -> Said:
    """Explain one carrier among a child's parents where the allele is rare.

    To a `sibling` it makes no difference which of them it is, but on the X.
    """
    which = ", either with chance 1/2"
    if sibling is not None and not words.condition.x_linked:
        who = words.who_does(sibling, "gets", "get")
        which = f"; whichever of them it is, {who} it with chance 1/2"
    names = joined(words.names(sorted(pair)))
    told = f"{words.told(paths)}{_in_a_loop(words, [child], paths)}"
    text = (
        f"{told}, so {words.who(child)} {words.has(child, 1)} for certain; as the "
        f"allele is rare, just one of the parents, {names}, has it{which}"
    )
    about = [child] if sibling is None else [child, sibling]
    return words.said(text, about, paths, Certain(frozenset({(child, 1)}), paths))


def by_shared_copies(
    words: Naming, variable: int, pair: Scope, sibling: int, prior: Mapping[State, Value]
) -> str:
    """Explain the `prior` of someone by a `sibling` with one allele, of parents of whom nothing
    else is known.  Empty where it does not follow.
    """
    q = allele_frequency(words.condition)
    if not isinstance(q, Fraction) or not short(q):
        return ""
    one, two = words.names(sorted(pair))
    who, like = words.who(variable), words.who(sibling)
    worked = by_passing(
        words.who_does(variable, "has", "have"),
        {
            f"the parent from whom {like} has it": ((HALF, Fraction(1)), (HALF, q)),
            "the other parent": ((HALF, q),),
        },
        prior,
        one_copy=words.one_copy(variable),
        mutating=False,
    )
    if not worked:
        return ""
    return (
        f"{like} has the allele from one of the parents, {one} or {two}, of whom nothing else is "
        f"known. Each of them passes on to {who} the same copy as to {like} with chance 1/2, and "
        f"otherwise the other copy, which is as anyone's: {how_frequent(words.condition)}. So "
        f"{worked}"
    )


def passed_on_to_a_child(
    words: Naming, variable: int, child: int, shares: Mapping[State, Value]
) -> Said | None:
    """Explain what someone from the population has, with these `shares`, by a `child` with two
    copies.  None where it does not follow from the frequency alone.
    """
    q = allele_frequency(words.condition)
    if not isinstance(q, Fraction) or not short(q) or shares != {1: 1 - q, 2: q}:
        return None
    who, common = words.who(variable), how_frequent(words.condition)
    has = (
        f"{words.has(variable, 1)} with chance 1 - q = {1 - q} and {words.has(variable, 2)} with "
        f"chance {equation('q', q)}"
    )
    begin = f"{who} passed one of them on"
    return words.said(
        f"{begin}, and the other copy of {who}'s is as anyone's: {common}; so {who} {has}",
        [variable, child],
        topic=Population(common),
        again=f"{begin}, too, and so {has}",
    )


def one_of_two(words: Naming, pair: Scope) -> str:
    """Return the text of the first row of one of a couple of whom one has a rare allele."""
    return f"{joined(words.names(sorted(pair)), ' or ')} has the allele"


def inherited(
    words: Naming, variable: int, text: str, sentences: Sequence[Said]
) -> tuple[Said, ...]:
    """Explain someone who needs no table, having no facts that matter beside the prior."""
    if not words.family.parents[variable]:
        return tuple(sentences)
    child = {"female": "daughter", "male": "son"}.get(words.sex(variable), "child")
    text = f"{words.who(variable)} is a {child} of {text.removeprefix('from ')}"
    return words.said(text, [variable]), *sentences
