"""A family under some facts as factors, with the plan of their elimination."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Any

from risk.inference.arithmetic import FLOAT, LEADING, POSSIBLE, Arithmetic, Table, whole_product
from risk.inference.condition import Conditioned, ConditionedPassing, plan_within
from risk.inference.eliminate import Passing
from risk.inference.order import places
from risk.inference.plan import Plan, Scope, make_plan
from risk.model.family import Family
from risk.model.tables import factors_of, supported
from risk.problems import TooLarge

#: Entries that all tables of one plan may have at a time, and that all runs along a plan may go
#: through together, where variables are held fixed to make the tables smaller.  Of small numbers:
#: 4 million fill up to 0.8 GB, and 60 million take about a minute.
MOST_ENTRIES = 4_000_000
MOST_WORK = 60_000_000
#: Bits of numbers that make an entry count double: it takes twice the time then, and twice the
#: memory.  A number has half the bits of the product of all denominators, or a little more.
_BITS_THAT_DOUBLE = 640
#: What an entry counts for in a rare limit.
_WEIGHT_OF_TERMS = 8
#: Buckets from which floats go level by level: numpy alone takes a tenth of a second to load.
_MANY_BUCKETS = 5000
#: Variables of the largest family whose plan is kept.  Plans depend on shapes alone, so a family
#: asked about again, with other values or one fact more, mostly has the plan that it had.
_LARGEST_KEPT = 1000

if TYPE_CHECKING:
    from risk.inference.levels import LevelPassing

    AnyPassing = Passing | ConditionedPassing | LevelPassing

_kept_places = lru_cache(maxsize=4096)(places)
_kept_plan = lru_cache(maxsize=64)(plan_within)


def make_network(
    family: Family,
    facts: Collection[str] | None = None,
    groups: Iterable[Scope] = (),
    last: Scope = (),
) -> Network:
    """Return a family's network under the facts with these paths (None: all of them).

    `groups` are sets of variables whose joint distribution will be asked for.  With `last` the
    network has only what matters to those variables under the facts (they, the people of the
    facts, and the ancestors of both), for `Network.weights`.
    """
    made = _under(family, facts, last)
    if made.possible_at_sight:
        made.make_plan(groups, last)
    return made


def entries_at_sight(family: Family, facts: Collection[str], last: Scope) -> int:
    """Return how many entries the tables of such a network have by the first plan at hand."""
    made = _under(family, facts, last)
    return make_plan(*made.shapes((), last)).cost if made.possible_at_sight else 0


def _under(family: Family, facts: Collection[str] | None, last: Scope) -> Network:
    """Return a network with its factors, but without a plan."""
    known = family.facts
    if facts is not None:
        known = [fact for fact in known if fact.path in facts]
    keys = family.keys(known)
    kept: Sequence[int] = range(len(family.copies))
    if last:
        kept = family.ancestry([*last, *(family.variable[fact.person] for fact in known)])
    made = Network(family, kept, possible_states(family, keys, kept))
    if made.possible_at_sight:
        made.add_factors(keys)
    return made


def possible_states(family: Family, keys: Sequence[int], kept: Sequence[int]) -> list[int]:
    """Return for each variable kept a mask of its possible states (0: impossible).

    What the evidence rules out is followed along the births until nothing changes.
    """
    locus, copies, births = family.locus, family.copies, family.births
    domains = [0] * len(copies)
    likelihood = locus.likelihood
    for variable in kept:
        many = copies[variable]
        domains[variable] = likelihood(many, keys[variable]).mask if many else 3
    for variable, inbreeding in family.founders:
        if domains[variable]:
            domains[variable] &= locus.founder(copies[variable], inbreeding).mask
    waiting = []
    queued = [False] * len(births)
    born = locus.born_mask
    for place, birth in enumerate(births):
        if domains[birth[0]]:
            domains[birth[0]] &= born[copies[birth[0]]]
            waiting.append(place)
            queued[place] = True
    waiting.reverse()
    known = locus.supported
    while waiting:
        place = waiting.pop()
        queued[place] = False
        child, mother, father, _ = births[place]
        old = (domains[child], domains[mother], 0 if father is None else domains[father])
        key = (copies[child], *old)
        new = known.get(key) or supported(locus, *key)
        if new == old:
            continue
        domains[child], domains[mother] = new[0], new[1]
        if father is not None:
            domains[father] = new[2]
        if not new[0]:
            break
        for changed, one, two in zip((child, mother, father), old, new, strict=True):
            if one != two and changed is not None:
                for other in family.touching[changed]:
                    if not queued[other] and domains[births[other][0]]:
                        queued[other] = True
                        waiting.append(other)
    return domains


class Network:
    """Factors over the possible genotypes of a family under some facts, and their plan.

    `states[v]` lists the positions (in `Locus.listed`) of variable v's possible genotypes; all
    is empty when the facts are found impossible at once.
    """

    def __init__(self, family: Family, kept: Sequence[int], domains: list[int]) -> None:
        self.family = family
        self.kept = kept
        self.possible_at_sight = all(domains[variable] for variable in kept)
        self.domains = domains
        #: Place of each variable among those kept, by which the plan knows it.
        self._place = {variable: place for place, variable in enumerate(kept)}
        self.states = list(map(_kept_places, domains))
        self._is_undecided = [len(states) > 1 for states in self.states]
        self.scopes: list[Scope] = []
        self.tables: list[Table] = []
        #: Denominators of the tables' numbers.
        self.denominators: list[int] = []
        self.plan: Plan | Conditioned | None = None
        self._passing: AnyPassing | None = None

    def add_factors(self, keys: Sequence[int]) -> None:
        """Add the factors, each with the evidence about its person."""
        family, place = self.family, self._place
        locus, copies, cut = family.locus, family.copies, family.locus.cut
        for told, make, details, scope in factors_of(family, self.domains, keys):
            kind = (copies[told], keys[told], *details)
            values, denominators = cut.get(kind) or make(locus, *kind)
            self.denominators.extend(denominators)
            self.scopes.append(self._undecided(scope) or (place[scope[0]],))
            self.tables.append(values)

    def _undecided(self, scope: Scope) -> Scope:
        """Return the places of those variables of `scope` with more than one possible state.

        The others need not tie variables together, so that certain genotypes cut loops.
        """
        place, is_undecided = self._place, self._is_undecided
        return tuple([place[variable] for variable in scope if is_undecided[variable]])

    def make_plan(self, groups: Iterable[Scope], last: Scope) -> None:
        """Plan the elimination; see `risk.inference.plan.make_plan`."""
        weight = self._weight_of_an_entry()
        self._most_entries = MOST_ENTRIES / weight
        plan = _kept_plan if len(self.kept) <= _LARGEST_KEPT else plan_within
        shapes = self.shapes(groups, last)
        self.plan, self._within = plan(*shapes, self._most_entries, MOST_WORK / weight)

    def shapes(
        self, groups: Iterable[Scope], last: Scope
    ) -> tuple[tuple[int, ...], tuple[Scope, ...], tuple[Scope, ...], Scope]:
        """Return what a plan is made of: see `risk.inference.plan.make_plan`."""
        return (
            tuple([len(self.states[variable]) for variable in self.kept]),
            tuple(self.scopes),
            tuple([self._undecided(tuple(dict.fromkeys(group))) for group in groups]),
            self._undecided(tuple(dict.fromkeys(last))),
        )

    def _weight_of_an_entry(self) -> int:
        """Return how many small numbers one number of the tables is worth."""
        arithmetic = self.family.locus.arithmetic
        if arithmetic is FLOAT:
            return 1
        bits = sum([number.bit_length() for number in self.denominators])
        return (1 + bits // _BITS_THAT_DOUBLE) * (_WEIGHT_OF_TERMS if arithmetic is LEADING else 1)

    def passing(self, arithmetic: Arithmetic | None = None) -> AnyPassing:
        """Return the messages passed in the family's arithmetic (or another, made anew)."""
        if arithmetic is not None:
            return self._pass(arithmetic)
        if self._passing is None:
            self.check_size()
            self._passing = self._pass(self.family.locus.arithmetic)
        return self._passing

    def _pass(self, arithmetic: Arithmetic) -> AnyPassing:
        plan, scopes, tables = self.plan, self.scopes, self.tables
        assert plan is not None, "the facts are impossible"
        if isinstance(plan, Conditioned):
            return ConditionedPassing(plan, scopes, tables, arithmetic)
        if arithmetic is FLOAT and len(plan.scopes) >= _MANY_BUCKETS:
            from risk.inference.levels import LevelPassing, levels_of

            levels = levels_of(plan)
            if levels is not None:
                return LevelPassing(plan, scopes, tables, levels)
        return Passing(plan, scopes, tables, arithmetic)

    def check_size(self) -> None:
        """Raise TooLarge where the plan's tables would not fit."""
        plan = self.plan
        assert plan is not None
        if not self._within:
            raise TooLarge(
                "the loops of this family interlock too tightly to be solved exactly: the "
                f"largest table would have {plan.largest:,} entries and all together "
                f"{plan.cost:,}; at most {int(self._most_entries):,} are held at a time, and "
                "holding people's genotypes fixed in turn would take too long"
            )

    @property
    def possible(self) -> bool:
        """Whether the facts can all be true together."""
        if not self.possible_at_sight:
            return False
        if self._passing is not None:
            return self._passing.possible
        self.check_size()
        return self.passing(POSSIBLE).possible

    def weighed(self, variable: int) -> Table:
        """Return the weight of each of `states[variable]`; those that are alike share a list."""
        return self.passing().marginal(self._place[variable])

    def all_weighed(self) -> Mapping[int, Table]:
        """Return `weighed` of every variable."""
        return dict(zip(self.kept, self.passing().marginals(), strict=True))

    def marginal(self, variable: int) -> list[tuple[int, Any]]:
        """Return (position of the genotype, weight) for the possible states of `variable`."""
        return list(zip(self.states[variable], self.weighed(variable), strict=True))

    def joint(self, one: int, two: int) -> list[tuple[int, int, Any]]:
        """Return (position, position, weight) for the possible states of two variables."""
        passing = self.passing()
        if one == two:
            return [(place, place, weight) for place, weight in self.marginal(one)]
        first, second = self.states[one], self.states[two]
        if len(first) == 1:
            return [(first[0], place, weight) for place, weight in self.marginal(two)]
        if len(second) == 1:
            return [(place, second[0], weight) for place, weight in self.marginal(one)]
        table = iter(passing.joint((self._place[one], self._place[two])))
        return [(place, other, next(table)) for place in first for other in second]

    def weights(self, variables: Scope) -> tuple[dict[tuple[int, ...], Any], Any, Any]:
        """Return the chance of the facts joint with each combination of these variables' states.

        For a network made with these variables as `last`.  The chance is a weight times the first
        of two numbers that are returned beside the weights, by the second.  Keys are positions of
        genotypes, and what is impossible is left out.
        """
        if not self.possible_at_sight:
            return {}, 1, 1
        passing = self.passing()
        if not passing.possible:
            return {}, 1, 1
        own = self._undecided(tuple(dict.fromkeys(variables)))
        table = passing.joint(own) if own else [1]
        top = whole_product((*passing.roots, *passing.divided))
        bottom = whole_product((sum(table), *self.denominators))
        distinct = [self.kept[place] for place in own]
        found: dict[tuple[int, ...], Any] = {}
        combinations = product(*(self.states[variable] for variable in distinct))
        for chosen_places, weight in zip(combinations, table, strict=True):
            if weight:
                chosen = dict(zip(distinct, chosen_places, strict=True))
                key = tuple(
                    [
                        chosen[variable] if variable in chosen else self.states[variable][0]
                        for variable in variables
                    ]
                )
                found[key] = weight
        return found, top, bottom
