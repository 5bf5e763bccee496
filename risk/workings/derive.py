"""Which tables make up a working, in which order, and what each row brings in.

The working of a question is derived from the person asked about upwards.  A person's table
starts from the parents (or the population), goes on with the person's own facts and ends with
those of the descendants.  Parents get a table of their own only where they are not certain, and
a joint table only where their children's facts tie them together.  Numbers come from
`risk.workings.weigh`, sentences from `risk.workings.words`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any, Literal

from risk.case.model import Case, Question
from risk.inference.arithmetic import Term
from risk.inference.eliminate import ratio
from risk.inference.plan import Scope
from risk.model.family import Birth, Family
from risk.model.locus import ArithmeticName
from risk.model.network import make_network
from risk.model.queries import child_event, children_event, parents_of, person_event
from risk.model.solve import answer, impossible, question_pair
from risk.workings.step import Combination, Row, State, Step, Value, Working
from risk.workings.weigh import Facts, Hypothesis, Joint, Weigher, equal, share, total
from risk.workings.words import Words, sentence

Kind = Literal["prior", "conditional"]


def explain(case: Case, arithmetic: ArithmeticName = "exact") -> tuple[Working, ...]:
    """Return the working of every question of `case`, in order; errors as in `solve`."""
    family = Family(case, floating=arithmetic == "float")
    pairs = [question_pair(family, question) for question in case.questions]
    network = make_network(family, groups=[pair for pair in pairs if pair is not None])
    if not network.possible:
        raise impossible(family)
    weigher = Weigher(family)
    workings = []
    for question, pair in zip(case.questions, pairs, strict=True):
        found = answer(network, question, pair)
        derivation = _Derivation(weigher, question, pair)
        words = derivation.words
        workings.append(
            Working(
                question,
                found.probability,
                found.distribution,
                tuple(derivation.steps),
                tuple(derivation.idle),
                tuple(words.fact_phrases(derivation.idle)),
                words.conclusion(question, found),
            )
        )
    return tuple(workings)


@dataclass(frozen=True, slots=True)
class _Source:
    """Where a distribution used by a row comes from: steps, and whether it has one of its own."""

    uses: tuple[str, ...]
    text: str


class _Table:
    """A table in the making: hypotheses and rows, each true given the facts of those before."""

    def __init__(self, weigher: Weigher, variables: Scope, facts: Facts, order: int = 0) -> None:
        self.weigher = weigher
        #: In a rare limit, the highest power of e that still matters.
        self.order = order
        self.variables = variables
        self.known = facts
        self.joints: list[Joint] = [weigher.joint(variables, facts)]
        self.rows: list[tuple[Kind, str, dict[Hypothesis, Value], Facts, tuple[str, ...]]] = []
        whole = total(self.joints[0].values())
        self._prior = {
            hypothesis: share(weight, whole) for hypothesis, weight in self.joints[0].items()
        }

    def start(self, text: str, uses: tuple[str, ...]) -> None:
        """Add the prior row."""
        self.rows.append(("prior", text, self._prior, self.known, uses))

    def ratios(self, given: Facts, new: Facts) -> dict[Hypothesis, Value] | None:
        """Return the chance of `new` under each hypothesis, given all before and `given`.

        None where it is the same under all hypotheses still possible.
        """
        before = self.weigher.joint(self.variables, self.known | given)
        after = self.weigher.joint(self.variables, self.known | given | new)
        values: dict[Hypothesis, Value] = {}
        for hypothesis in self._prior:
            if hypothesis in before:
                top = after.get(hypothesis)
                values[hypothesis] = share(top, before[hypothesis]) if top else Fraction(0)
        live = [value for hypothesis, value in values.items() if hypothesis in self.joints[-1]]
        if all(equal(value, live[0]) for value in live[1:]):
            return None
        # What is ruled out already gets the chance it would have without those facts.
        alone = self.weigher.joint(self.variables, given)
        with_new = self.weigher.joint(self.variables, given | new)
        for hypothesis in self._prior:
            if hypothesis not in values:
                top, bottom = with_new.get(hypothesis), alone.get(hypothesis)
                values[hypothesis] = share(top, bottom) if top and bottom else Fraction(0)
        return values

    def add(
        self,
        text: Callable[[dict[Hypothesis, Value]], str],
        given: Facts,
        new: Facts,
        uses: tuple[str, ...] = (),
    ) -> bool:
        """Add a row that brings in `new` (and `given`, which alone changes nothing).

        Returns False, adding nothing, where it makes no difference between hypotheses.
        """
        if not self._silent(given):
            given, new = frozenset(), given | new
        values = self.ratios(given, new)
        if values is None:
            return False
        facts = given | new
        before = self.joints[-1]
        self.known |= facts
        after = self.weigher.joint(self.variables, self.known)
        self.joints.append(after)
        counted = {**_orders(before, self.order), **_orders(after, self.order)}
        shown = {
            hypothesis: values[hypothesis] for hypothesis in sorted(counted, key=_hypothesis_order)
        }
        self.rows.append(("conditional", text(shown), values, facts, uses))
        return True

    def _silent(self, given: Facts) -> bool:
        if not given:
            return True
        before = self.weigher.posterior(self.variables, self.known)
        return self.weigher.same(before, self.weigher.posterior(self.variables, self.known | given))

    def kept(self) -> list[Hypothesis]:
        """Return the hypotheses that have a chance after at least one of the rows.

        Of those that vanish in a rare limit, the ones that still matter in the end.
        """
        live = {hypothesis for joint in self.joints for hypothesis in _limits(joint)}
        live |= _orders(self.joints[-1], self.order).keys()
        return sorted(live, key=_hypothesis_order)

    def step(
        self, id: str, people: tuple[str, ...], labels: Callable[[Hypothesis], str], text: str
    ) -> Step:
        """Return the finished step."""
        kept = self.kept()
        rows = tuple(
            Row(
                kind,
                words,
                tuple(values[hypothesis] for hypothesis in kept),
                tuple(path for path in self.weigher.facts if path in facts),
                uses,
            )
            for kind, words, values, facts, uses in self.rows
        )
        joint = []
        for place in range(len(kept)):
            product: Any = Fraction(1)
            for row in rows:
                product = product * row.values[place]
            joint.append(share(product, Fraction(1)))
        whole = total(joint)
        return Step(
            id,
            people,
            tuple(dict(zip(people, hypothesis, strict=True)) for hypothesis in kept),
            tuple(labels(hypothesis) for hypothesis in kept),
            rows,
            tuple(joint),
            tuple((share if self.order else ratio)(value, whole) for value in joint),
            text,
        )


def _limits(joint: Joint) -> Joint:
    """Return the hypotheses that have a chance (in the limit), with it."""
    whole = total(joint.values())
    chances = {hypothesis: ratio(weight, whole) for hypothesis, weight in joint.items()}
    return {hypothesis: chance for hypothesis, chance in chances.items() if chance}


def _orders(joint: Joint, most: int) -> dict[Hypothesis, int]:
    """Return the hypotheses whose chance is at most of this order of e, with the order."""
    whole = total(joint.values())
    orders = {}
    for hypothesis, weight in joint.items():
        value = share(weight, whole)
        orders[hypothesis] = value.order if isinstance(value, Term) else 0
    return {hypothesis: order for hypothesis, order in orders.items() if order <= most}


def _hypothesis_order(hypothesis: Hypothesis) -> tuple[float, ...]:
    return tuple(state if isinstance(state, int) else 0.5 for state in hypothesis)


class _Derivation:
    """The derivation of one question's working."""

    def __init__(self, weigher: Weigher, question: Question, pair: Scope | None) -> None:
        self.weigher = weigher
        self.family = weigher.family
        self.question = question
        self.words = Words(self.family)
        self.steps: list[Step] = []
        self._told: dict[tuple[Scope, Facts, int], _Source] = {}
        self._births = {birth.child: birth for birth in self.family.births}
        self._births_of: dict[int, list[Birth]] = {}
        for birth in self.family.births:
            for parent in birth.parents:
                self._births_of.setdefault(parent, []).append(birth)
        self._followers: dict[int, set[int]] = {}
        targets = pair or (self.family.variable[question.person or ""],)
        ordered = self._by_nearness(targets)
        facts = weigher.needed(tuple(dict.fromkeys(targets)), ordered)
        if pair is None:
            self._person_question(targets[0], facts)
        else:
            self._pair_question(pair, facts)
        used = {path for step in self.steps for row in step.rows for path in row.facts}
        #: Facts that change nothing here, in the order of the case.
        self.idle = [path for path in weigher.facts if path not in used]

    def _by_nearness(self, targets: Scope) -> list[str]:
        """Return all facts, those of people near the targets first."""
        family = self.family
        near: dict[int, set[int]] = {}
        for variable, parents in enumerate(family.parents):
            for parent in parents:
                near.setdefault(variable, set()).add(parent)
                near.setdefault(parent, set()).add(variable)
        distance = dict.fromkeys(targets, 0)
        waiting = list(targets)
        for variable in waiting:
            for other in sorted(near.get(variable, ())):
                if other not in distance:
                    distance[other] = distance[variable] + 1
                    waiting.append(other)
        far = len(family.copies)
        paths = list(self.weigher.facts)
        return sorted(
            paths,
            key=lambda path: distance.get(family.variable[self.weigher.facts[path].person], far),
        )

    # --- the question's own step ----------------------------------------------------------

    def _person_question(self, variable: int, facts: Facts) -> None:
        self._person(variable, facts, asked=True)
        if self.question.ask != "will_be_affected":
            return
        step = self.steps[-1]
        event = person_event(self.family, self.question)
        by_state = self._events_by_state(variable, lambda place: event(place).happens)
        (id,) = step.people
        found = [
            Combination(
                {id: state},
                weight,
                by_state[state],
                weight * by_state[state],
                (weight,),
                self.words.state(variable, state),
            )
            for state, weight in (
                (hypothesis[id], weight)
                for hypothesis, weight in zip(step.hypotheses, step.posterior, strict=True)
            )
            if weight
        ]
        combine = [each for each in found if each.product] or found
        self.steps[-1] = replace(step, combine=tuple(combine))

    def _events_by_state(self, variable: int, chance: Callable[[int], Any]) -> dict[State, Any]:
        listed = self.family.locus.listed[self.family.copies[variable]]
        return {self.weigher.state(variable, place): chance(place) for place in range(len(listed))}

    def _pair_question(self, pair: Scope, facts: Facts) -> None:
        question, family = self.question, self.family
        people = question.people or question.parents
        assert people is not None
        pair = (family.variable[people[0]], family.variable[people[1]])
        self._couple(pair, facts, people=people, asked=True)
        step = self.steps[-1]
        combine = tuple(self._combine(pair, people, step))
        text = f"{step.text} {sentence(self.words.combining(pair, question, combine))}".strip()
        self.steps[-1] = replace(step, combine=combine, text=text)

    def _combine(self, pair: Scope, people: tuple[str, str], step: Step) -> list[Combination]:
        chances: dict[Hypothesis, tuple[Any, Any]] = {}
        if self.question.people is not None:
            copies = [self.family.copies[variable] for variable in pair]
            for hypothesis in step.hypotheses:
                both = copies == [2, 2] and all(state == 1 for state in hypothesis.values())
                chances[tuple(hypothesis.values())] = (Fraction(both), Fraction(1))
        else:
            several = self.question.ask == "children_affected"
            event = (children_event if several else child_event)(self.family.locus, self.question)
            mother_first = parents_of(self.family, self.question) == people
            listed = [self.family.locus.listed[self.family.copies[v]] for v in pair]
            for one in range(len(listed[0])):
                for two in range(len(listed[1])):
                    key = (self.weigher.state(pair[0], one), self.weigher.state(pair[1], two))
                    if key not in chances:
                        child = event(one, two) if mother_first else event(two, one)
                        chances[key] = (child.happens, child.condition)
        marginals = [
            {h[0]: chance for h, chance in self.weigher.posterior((v,), self._all).items()}
            for v in pair
        ]
        born: Any = 0
        posterior = {
            tuple(hypothesis.values()): weight
            for hypothesis, weight in zip(step.hypotheses, step.posterior, strict=True)
        }
        for key, weight in posterior.items():
            born = born + weight * chances[key][1]
        found = []
        for key, weight in posterior.items():
            happens, condition = chances[key]
            if not weight or not condition:
                continue
            chance, live = ratio(happens, condition), ratio(weight * condition, born)
            factors = tuple(marginals[place].get(state, 0) for place, state in enumerate(key))
            product = factors[0] * factors[1]  # type: ignore[operator]
            found.append(
                Combination(
                    dict(zip(people, key, strict=True)),
                    live,
                    chance,
                    live * chance,
                    factors if equal(product, live) and pair[0] != pair[1] else (),
                    self.words.pair_state(pair, key, people),
                )
            )
        # Where the answer is 0, the cases say why.
        return [each for each in found if each.product] or found

    @property
    def _all(self) -> Facts:
        return frozenset(self.weigher.facts)

    # --- one person -----------------------------------------------------------------------

    def _followers_of(self, variable: int) -> set[int]:
        """Return all variables that depend on this one: descendants, and second twins."""
        found = self._followers.get(variable)
        if found is None:
            found = set()
            direct = [birth.child for birth in self._births_of.get(variable, ())]
            direct += [pair.second for pair in self.family.pairs if pair.first == variable]
            for child in direct:
                found |= {child} | self._followers_of(child)
            self._followers[variable] = found
        return found

    def _facts_of(self, variables: Iterable[int], facts: Facts) -> Facts:
        found: Facts = frozenset()
        for variable in variables:
            found |= self.weigher.facts_of[variable]
        return found & facts

    def _person(
        self, variable: int, facts: Facts, *, asked: bool = False, order: int = 0
    ) -> _Source:
        """Add a person's table given `facts`, unless it would say nothing of its own.

        In a rare limit `order` is the highest power of e that still matters to what follows.
        """
        key = ((variable,), facts, order)
        if key in self._told and not asked:
            return self._told[key]
        weigher = self.weigher
        below = self._facts_of(self._followers_of(variable), facts)
        own = weigher.facts_of[variable] & facts
        above = weigher.connected([variable], facts - below - own, ())
        side = facts - below - own - above
        status = frozenset(path for path in own if self._is_status(path))
        birth = self._births.get(variable)
        merged = (
            status
            if birth is None and self.words.population_is_unaffected(status)
            else (frozenset())
        )
        table = _Table(weigher, (variable,), above | merged, order)
        text, uses, sentences = self._prior(variable, above, merged, facts, order)
        table.start(text, uses)
        for path in self._in_order(own - merged - self._tests(own)):
            self._add_own(table, variable, frozenset({path}), sentences)
        for births in self._couples(variable):
            self._add_children(table, variable, births, side, sentences, facts)
        for births in self._second_twins(variable):
            self._add_group(
                table,
                births,
                below & self._facts_of({births} | self._followers_of(births), facts),
                frozenset(),
                (),
                sentences,
            )
        for path in self._in_order(self._tests(own)):
            self._add_own(table, variable, frozenset({path}), sentences)
        self._add_rest(table, facts, sentences)
        if len(table.rows) == 1 and not asked:
            source = _Source(uses, " ".join(self.words.inherited(variable, text, sentences)))
        else:
            id = f"s{len(self.steps) + 1}"
            words = self.words
            self.steps.append(
                table.step(
                    id,
                    (words.id_of(variable, self.question.person),),
                    lambda hypothesis: words.state(variable, hypothesis[0]),
                    words.step_text(variable, sentences),
                )
            )
            source = _Source((id,), "")
        self._told[key] = source
        return source

    def _is_status(self, path: str) -> bool:
        return self.weigher.facts[path].evidence.kind == "affected"

    def _tests(self, paths: Facts) -> Facts:
        return frozenset(
            path for path in paths if self.weigher.facts[path].evidence.kind == "tests"
        )

    def _in_order(self, paths: Facts) -> list[str]:
        return [path for path in self.weigher.facts if path in paths]

    def _add_own(self, table: _Table, variable: int, new: Facts, sentences: list[str]) -> None:
        """Add a row for facts about the person: phenotype, genotype, a test."""

        def text(values: dict[Hypothesis, Value]) -> str:
            sentences.append(self.words.why_own(variable, new, values))
            return self.words.own_row(variable, new)

        table.add(text, frozenset(), new)

    def _add_rest(self, table: _Table, facts: Facts, sentences: list[str]) -> None:
        """Add what the other rows left out, where that still changes something.

        It does only where loops let facts bear on the person in more than one way.
        """
        rest = facts - table.known
        if not rest:
            return
        now = self.weigher.posterior(table.variables, table.known)
        if self.weigher.same(now, self.weigher.posterior(table.variables, facts)):
            return

        def text(values: dict[Hypothesis, Value]) -> str:
            sentences.append(self.words.why_rest(rest))
            return self.words.rest_row(rest)

        table.add(text, frozenset(), rest)

    def _couples(self, variable: int) -> list[list[Birth]]:
        """Return the births of this parent, those with one and the same partner together."""
        groups: dict[int | None, list[Birth]] = {}
        for birth in self._births_of.get(variable, ()):
            partner = birth.father if birth.mother == variable else birth.mother
            groups.setdefault(partner, []).append(birth)
        return list(groups.values())

    def _second_twins(self, variable: int) -> list[int]:
        return [pair.second for pair in self.family.pairs if pair.first == variable]

    def _add_children(
        self,
        table: _Table,
        variable: int,
        births: list[Birth],
        side: Facts,
        sentences: list[str],
        facts: Facts,
    ) -> None:
        """Add rows for the children with one partner, and what is known below them."""
        told = {
            birth.child: self._facts_of({birth.child} | self._followers_of(birth.child), facts)
            - table.known
            for birth in births
        }
        told = {child: paths for child, paths in told.items() if paths}
        if not told:
            return
        partner = births[0].father if births[0].mother == variable else births[0].mother
        if partner is None:
            self._add_alike(table, told, frozenset(), (), sentences)
            return
        group = [partner, *told]
        given = self.weigher.connected(group, side - table.known, {variable})
        if self.weigher.certain(partner, table.known | given) is not None:
            self._add_alike(table, told, given, (), sentences)
            return
        uses: tuple[str, ...] = ()
        if given:
            uses = self._person(partner, given).uses
        everything: Facts = frozenset().union(*told.values())

        def text(values: dict[Hypothesis, Value]) -> str:
            sentences.append(
                self.words.why_children((variable,), tuple(told), everything, values, partner)
            )
            return self.words.children_row(tuple(told), everything, partner)

        table.add(text, given, everything, uses)

    def _add_alike(
        self,
        table: _Table,
        told: dict[int, Facts],
        given: Facts,
        uses: tuple[str, ...],
        sentences: list[str],
    ) -> None:
        """Add a row for each group of children with alike facts and nothing below them."""
        groups: dict[Any, list[int]] = {}
        for child, paths in told.items():
            alone = paths <= self.weigher.facts_of[child]
            details = tuple(self.weigher.facts[path].evidence for path in sorted(paths))
            key = (self.family.copies[child], details) if alone else child
            groups.setdefault(key, []).append(child)
        for children in groups.values():
            new: Facts = frozenset().union(*(told[child] for child in children)) - table.known

            def text(
                values: dict[Hypothesis, Value], children: list[int] = children, new: Facts = new
            ) -> str:
                sentences.append(
                    self.words.why_children(table.variables, tuple(children), new, values, None)
                )
                return self.words.children_row(tuple(children), new, None)

            table.add(text, given - table.known, new, uses)

    def _add_group(
        self,
        table: _Table,
        child: int,
        new: Facts,
        given: Facts,
        uses: tuple[str, ...],
        sentences: list[str],
    ) -> None:
        """Add a row for a twin of unknown zygosity, and what is known below the twin."""
        new = new - table.known
        if not new:
            return

        def text(values: dict[Hypothesis, Value]) -> str:
            sentences.append(self.words.why_twin(child))
            return self.words.twin_row(child, new)

        table.add(text, given, new, uses)

    # --- where a table starts -------------------------------------------------------------

    def _prior(
        self, variable: int, above: Facts, merged: Facts, facts: Facts, order: int
    ) -> tuple[str, tuple[str, ...], list[str]]:
        """Return the prior row's text, the steps it uses, and the sentences that explain it."""
        joint = self.weigher.joint((variable,), above)
        before = _orders(joint, 9)
        # Powers of e in the first row that the later facts bring to bear.
        order = max(
            before.get(hypothesis, 0)
            for hypothesis in _orders(self.weigher.joint((variable,), facts), order)
        )
        words, weigher = self.words, self.weigher
        birth = self._births.get(variable)
        if birth is None:
            sentence = words.why_population((variable,), merged)
            return words.population(variable, merged), (), [sentence]
        if any(pair.second == variable for pair in self.family.pairs):
            return words.twin_prior(variable), (), [words.why_twin_prior(variable, above)]
        if weigher.like_population(variable, above):
            reason = words.why_population((variable,), frozenset())
            return words.population(variable, frozenset()), (), [reason]
        if not above:
            return words.unknown_parents(variable), (), [words.why_unknown_parents(variable)]
        parents = birth.parents
        states = {
            parent: weigher.certain(parent, above)
            if len(_orders(weigher.joint((parent,), above), order)) == 1
            else None
            for parent in parents
        }
        open_ = [parent for parent in parents if states[parent] is None]
        if not open_:
            return words.from_certain(variable, states), (), self._why_certain(parents, above)
        if len(open_) == 1 or weigher.independent(parents[0], parents[1], above):
            uses: tuple[str, ...] = ()
            sentences = []
            for parent in parents:
                if states[parent] is None:
                    source = self._person(parent, above, order=order)
                    uses += source.uses
                    if source.text:
                        sentences.append(source.text)
                else:
                    sentences += self._why_certain((parent,), above)
            posteriors = {parent: self._shares(parent, above, order) for parent in open_}
            prior = self._shares(variable, above, order)
            sentences.append(words.why_parents(variable, posteriors, prior))
            return words.from_parents(variable, open_), uses, sentences
        pair = (min(parents), max(parents))
        sibling = self._telling_child(pair, above)
        if sibling is not None:
            reason = words.through_sibling(pair, sibling, above)
            return words.from_parents(variable, list(pair)), (), [reason]
        source = self._couple(pair, above)
        reason = words.why_joint_parents(variable)
        return words.from_parents(variable, list(pair)), source.uses, [reason]

    def _shares(self, variable: int, facts: Facts, order: int) -> dict[State, Value]:
        """Return the chance of each state of a variable, up to this order of e."""
        joint = self.weigher.joint((variable,), facts)
        whole = total(joint.values())
        return {h[0]: share(joint[h], whole) for h in _orders(joint, order)}

    def _telling_child(self, pair: Scope, facts: Facts) -> int | None:
        """Return a child through whom alone `facts` show that one of a couple has a rare allele.

        Each of the two then is the one with chance 1/2, which needs no table.
        """
        half = {(0, 1): Fraction(1, 2), (1, 0): Fraction(1, 2)}
        condition = self.family.case.condition
        if (
            condition.frequency.allele != "rare"
            or condition.mutation is not None
            or (not self.weigher.same(self.weigher.posterior(pair, facts), half))
        ):
            return None
        for birth in self._births_of.get(pair[0], ()):
            if pair[1] in birth.parents:
                below = {birth.child} | self._followers_of(birth.child)
                if facts <= self._facts_of(below, facts) and (
                    self.weigher.certain(birth.child, facts) == 1
                ):
                    return birth.child
        return None

    def _why_certain(self, variables: Scope, facts: Facts) -> list[str]:
        """Explain the certain genotypes of some people, those with one reason together."""
        weigher, words = self.weigher, self.words
        needed = {
            variable: weigher.needed((variable,), self._in_order(facts)) for variable in variables
        }
        reasons: dict[Facts, list[int]] = {}
        for variable in sorted(variables):
            own = needed[variable] if words.speaks_for_itself(needed[variable]) else None
            if own is None and needed[variable]:
                own = frozenset().union(
                    *(paths for paths in needed.values() if not words.speaks_for_itself(paths))
                )
            reasons.setdefault(own or frozenset(), []).append(variable)
        return [
            words.why_certain(
                {variable: weigher.certain(variable, facts) for variable in together}, told
            )
            for told, together in reasons.items()
        ]

    # --- two people jointly ---------------------------------------------------------------

    def _couple(
        self,
        pair: Scope,
        facts: Facts,
        *,
        people: tuple[str, str] | None = None,
        asked: bool = False,
    ) -> _Source:
        """Add a table of two people jointly given `facts`."""
        key = (pair, facts, 0)
        if key in self._told and not asked:
            return self._told[key]
        weigher, words = self.weigher, self.words
        one, two = pair
        sentences: list[str] = []
        if one == two or weigher.independent(one, two, facts):
            start = facts
        else:
            common = [birth for birth in self._births_of.get(one, ()) if two in birth.parents]
            below = self._facts_of(
                {v for birth in common for v in {birth.child} | self._followers_of(birth.child)},
                facts,
            )
            start = weigher.connected(pair, facts - below, ())
        uses: tuple[str, ...] = ()
        if one == two:
            uses = self._person(one, start, asked=True).uses
            text = words.same_genotype(pair)
        elif weigher.independent(one, two, start):
            if not start and all(self._births.get(variable) is None for variable in pair):
                sentences.append(words.why_population(pair, start))
            for variable in pair if not sentences else ():
                if weigher.certain(variable, start) is None:
                    source = self._person(variable, start)
                    uses += source.uses
                    if source.text:
                        sentences.append(source.text)
                else:
                    sentences += self._why_certain((variable,), start)
            text = words.apart(pair)
        else:
            sentences.append(words.why_tied(pair))
            text = words.tied(pair)
        table = _Table(weigher, pair, start)
        table.start(text, uses)
        if start != facts:
            side = facts - below - start
            for birth in common:
                told = (
                    self._facts_of({birth.child} | self._followers_of(birth.child), facts)
                    - table.known
                )
                if told:
                    given = weigher.connected([birth.child], side - table.known, pair)
                    alike = {birth.child: told}
                    if told <= weigher.facts_of[birth.child]:
                        alike = self._alike_births(common, birth, facts, table.known)
                    self._add_alike(table, alike, given, (), sentences)
        self._add_rest(table, facts, sentences)
        id = f"s{len(self.steps) + 1}"
        shown = people or (words.id_of(one, None), words.id_of(two, None))
        self.steps.append(
            table.step(
                id,
                shown,
                lambda hypothesis: words.pair_state(pair, hypothesis, shown),
                words.couple_text(shown, sentences),
            )
        )
        source = _Source((id,), "")
        self._told[key] = source
        return source

    def _alike_births(
        self, common: list[Birth], like: Birth, facts: Facts, known: Facts
    ) -> dict[int, Facts]:
        """Return the children of a couple with the same facts as one of them."""

        def details(child: int) -> tuple[Any, ...]:
            paths = self._facts_of({child} | self._followers_of(child), facts) - known
            if not paths <= self.weigher.facts_of[child]:
                return (child,)
            return tuple(self.weigher.facts[path].evidence for path in sorted(paths))

        return {
            birth.child: self.weigher.facts_of[birth.child] & facts
            for birth in common
            if self.family.copies[birth.child] == self.family.copies[like.child]
            and details(birth.child) == details(like.child)
        }
