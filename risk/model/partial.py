"""A family under any part of its facts, from one plan: for those who ask again and again.

`risk.model.network` makes factors for one set of facts and cuts them to what is possible then.
Here genotypes are cut only to what is possible whatever is known, so that one plan, and most of
the messages along it, serve every part of the facts.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from functools import cached_property
from itertools import product
from typing import Any

from risk.inference.arithmetic import whole_product
from risk.inference.lacking import Change, Lacking
from risk.inference.messages import Bits, Messages, Total
from risk.inference.order import places
from risk.inference.plan import Scope, make_plan
from risk.model.family import Family
from risk.model.locus import Evidence
from risk.model.network import possible_states
from risk.model.tables import Scaled, factors_of

#: Entries of all tables of the plan, beyond which a plan for each part of the facts is faster,
#: because the facts then cut more than can be kept.
MOST_ENTRIES = 200_000


class PartialFacts:
    """The variables of a family that matter to some of them, under any part of the facts.

    `pairs` are those pairs of variables whose joint distribution will be asked for, beside
    parents of one child; `others` are single variables.
    """

    def __init__(self, family: Family, pairs: Collection[Scope], others: Iterable[int]) -> None:
        self._family = family
        #: Bit of each fact, by its path.
        self.bit: dict[str, Bits] = {}
        self._facts: list[list[tuple[Bits, Evidence]]] = [[] for _ in family.copies]
        for place, fact in enumerate(family.facts):
            self.bit[fact.path] = bit = 1 << place
            self._facts[family.variable[fact.person]].append((bit, fact.evidence))
        asked = {*others, *(variable for pair in pairs for variable in pair)}
        kept = family.ancestry([*asked, *(family.variable[fact.person] for fact in family.facts)])
        self._place = {variable: place for place, variable in enumerate(kept)}
        self._domains = possible_states(family, [0] * len(family.copies), kept)
        self._states = [places(domain) for domain in self._domains]
        #: Places in the plan of variables whose combinations were asked for.
        self._own: dict[Scope, Scope] = {}
        self._scopes: list[Scope] = []
        self._parts: list[Bits] = []
        #: Variable, function of `risk.model.tables` and its further arguments, of each factor.
        self._makers: list[tuple[int, Callable[..., Scaled], tuple[Any, ...]]] = []
        self._tables: dict[tuple[int, Bits], tuple[Any, Any]] = {}
        for told, make, details, scope in factors_of(family, self._domains, self._facts):
            self._scopes.append(self._undecided(scope) or (self._place[scope[0]],))
            self._parts.append(sum([bit for bit, _ in self._facts[told]]))
            self._makers.append((told, make, details))
        groups = [self._undecided(tuple(dict.fromkeys(pair))) for pair in pairs]
        plan = make_plan([len(self._states[variable]) for variable in kept], self._scopes, groups)
        #: Whether the plan is small enough to be of use.
        self.small = plan.cost <= MOST_ENTRIES
        self._plan = plan

    @cached_property
    def _messages(self) -> Messages:
        # Not where the plan is too large to be of use: to lay its ways takes minutes then.
        return Messages(
            self._plan, self._scopes, self._parts, self._factor, self._family.locus.arithmetic
        )

    @cached_property
    def _lacking(self) -> Lacking:
        return Lacking(self._messages)

    def combinations(self, variables: Scope) -> list[tuple[int, ...]] | None:
        """Return the combinations of these variables' states, in the order of `weights`.

        States are positions of genotypes.  None where the plan does not reach so far.
        """
        if not self.small or not self._place.keys() >= set(variables):
            return None
        distinct = tuple(dict.fromkeys(variables))
        own = self._undecided(distinct) or (self._place[distinct[0]],)
        if not self._messages.together(own):
            return None
        self._own[variables] = own
        chosen = product(*[self._states[variable] for variable in distinct])
        if len(distinct) == len(variables):
            return list(chosen)
        order = [distinct.index(variable) for variable in variables]
        return [tuple([states[place] for place in order]) for states in chosen]

    def weights(self, variables: Scope, facts: Bits) -> Total:
        """Return the chance of the facts joint with each of the `combinations`, asked for before.

        The chances are ``table * top / bottom`` of what is returned.
        """
        return self._messages.joint(self._own[variables], facts)

    def changes(self, variables: Scope, facts: Bits) -> Iterator[Change]:
        """Yield what becomes of `weights` with one fact less: see `Lacking.changes`."""
        return self._lacking.changes(self._own[variables], facts)

    @property
    def shared(self) -> Bits:
        """The facts that `changes` leaves out."""
        return self._messages.shared

    def _undecided(self, scope: Scope) -> Scope:
        states, place = self._states, self._place
        return tuple([place[variable] for variable in scope if len(states[variable]) > 1])

    def _factor(self, index: int, facts: Bits) -> tuple[Any, Any]:
        """Return a factor's table under some facts, and the product of its denominators."""
        key = (index, facts & self._parts[index])
        found = self._tables.get(key)
        if found is None:
            locus = self._family.locus
            told, make, details = self._makers[index]
            known = 0
            for bit, evidence in self._facts[told]:
                if bit & facts:
                    known = locus.key_with(known, evidence)
            kind = (self._family.copies[told], known, *details)
            table, denominators = locus.cut.get(kind) or make(locus, *kind)
            found = self._tables[key] = (table, whole_product(denominators))
        return found
