"""The working of each question: which facts it needs, its steps, its last line.

The working is derived from the people asked about upwards (`risk.workings.steps`).  Numbers come
from `risk.workings.weigh`, names from `risk.workings.naming`, and sentences from the modules that
take it as `words`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import Any

from risk.case.model import Case, Question
from risk.genetics.genotypes import is_carrier
from risk.inference.arithmetic import ratio
from risk.inference.plan import Scope
from risk.model.locus import ArithmeticName
from risk.model.queries import Event, child_event, parents_of, person_event
from risk.model.solve import answer, possible_network
from risk.problems import TooLarge
from risk.workings import origins, whole_steps
from risk.workings.kinship import kinship, lines_of
from risk.workings.last_line import never_a_carrier, of_pair, of_person
from risk.workings.next_child import (
    Kind,
    kinds_of_children,
    pair_with_born,
    pairs_with_born,
)
from risk.workings.population import how_frequent, with_kinship
from risk.workings.step import Combination, Lines, State, Step, Working
from risk.workings.steps import Steps
from risk.workings.weigh import MOSAIC, Facts, Hypothesis, Weigher, equal, total


def explain(case: Case, arithmetic: ArithmeticName = "exact") -> tuple[Working, ...]:
    """Return the working of every question of `case`, in order; errors as in `solve`."""
    try:
        return _explained(case, arithmetic)
    except RecursionError:
        # One generation's table asks for the table of the one before.
        raise TooLarge(
            "the working would lead through hundreds of generations, too many to go through one "
            "by one; solving the case gives the answer without it"
        ) from None


def _explained(case: Case, arithmetic: ArithmeticName) -> tuple[Working, ...]:
    network, pairs = possible_network(case, arithmetic)
    family = network.family
    asked = [family.variable[each.person] for each in case.questions if each.person is not None]
    steps = Steps(Weigher(family, [pair for pair in pairs if pair is not None], asked))
    workings = []
    for question, pair in zip(case.questions, pairs, strict=True):
        found = answer(network, question, pair)
        certain = found.probability is not None and found.probability.value in (0, 1)
        derivation = _Derivation(steps, question, pair, certain=certain)
        workings.append(
            Working(
                question,
                found.probability,
                found.distribution,
                tuple(derivation.steps),
                tuple(derivation.idle),
                tuple(whole_steps.idle_phrases(steps.words, derivation.idle, derivation.used)),
                whole_steps.conclusion(steps.words, question, found),
            )
        )
    return tuple(workings)


#: Questions that ask what somebody has, and not what passes on or follows from it.
_OF_GENOTYPES = ("carrier", "disease_allele", "genotype", "both_carriers")


def _alike(events: Sequence[Event]) -> bool:
    """Tell whether it is certain in each of these cases, or impossible in each."""
    return not any(each.happens for each in events) or not any(each.fails for each in events)


def _weights(step: Step) -> dict[Hypothesis, Any]:
    """Return the chance of each hypothesis of a finished table."""
    pairs = zip(step.hypotheses, step.posterior, strict=True)
    return {tuple(hypothesis.values()): weight for hypothesis, weight in pairs}


class _Derivation:
    """The derivation of one question's working."""

    def __init__(
        self, steps: Steps, question: Question, pair: Scope | None, *, certain: bool
    ) -> None:
        self.weigher = weigher = steps.weigher
        self.family = weigher.family
        self.question = question
        self.words = steps.words
        steps.asked = question.person
        targets = pair or (self.family.variable[question.person or ""],)
        people = question.people or question.parents
        enough = self._settling_facts() if certain else None
        if enough is not None:
            last = steps.settled(targets[0], enough)
        else:
            ordered = steps.chosen.by_nearness(targets)
            # Of identical twins' facts those of the one asked about come first.
            ordered.sort(key=lambda path: weigher.facts[path].person != question.person)
            needed = weigher.needed(tuple(dict.fromkeys(targets)), ordered)
            steps.chosen.counted = targets, needed
            needless = self._needless(targets)
            asked = [each for each in targets if each not in needless]
            facts = steps.chosen.with_reasons(asked, needed, frozenset(ordered))
            if people is None:
                last = steps.person(targets[0], facts, asked=True)
            else:
                # In the order of the question; `pair` has the mother first.
                pair = (self.family.variable[people[0]], self.family.variable[people[1]])
                last = steps.couple(pair, facts, people=people, needless=self._needless(pair))
        #: The steps of the working, the question's own as the last.
        self.steps = steps.leading_to(*last.uses)
        if people is not None and pair is not None:
            self._combine_pair(pair, people)
        elif question.ask == "will_be_affected":
            self._combine_person(targets[0])
        elif question.ask == "carrier" and self.family.copies[targets[0]] == 1:
            closing = self.words.sentence(never_a_carrier(self.words, question.person or ""))
            self.steps[-1] = replace(self.steps[-1], closing=closing)
        if question.ask in _OF_GENOTYPES and enough is None:
            self._tell_mosaics()
        self.steps = list(map(self.words.brief, self.steps))
        used = {path for step in self.steps for row in step.rows for path in row.facts}
        if enough is not None:
            self.steps[-1] = replace(self.steps[-1], plain=True)
            used = set(enough)
        if question.ask == "will_be_affected":
            # Where it tells no genotypes apart, it still says what is left to happen.
            used.add(f"{question.person}.affected")
        if people is not None:
            used -= self._of_needless(targets, used)
        #: Facts that change nothing here, in the order of the case.
        self.idle = [path for path in weigher.facts if path not in used]
        self.used = frozenset(used & weigher.facts.keys())

    def _settling_facts(self) -> Facts | None:
        """Return those of the person's own facts with which the answer is 0 or 1, whatever else
        is known; None where there are none such, or these leave one genotype alone.

        None are needed where the question alone settles it, as by the phenotype that it goes by
        or, of a man on the X, by the one copy that he has.
        """
        question, locus = self.question, self.family.locus
        if question.person is None:
            return None
        variable = self.family.variable[question.person]
        copies = self.family.copies[variable]
        event = person_event(self.family, question)
        events = [event(place) for place in range(len(locus.listed[copies]))]
        if _alike(events):
            return frozenset()
        if (
            question.ask == "will_be_affected"
            or self.weigher.certain(variable, self._all) is not None
        ):
            return None
        for path in self.weigher.in_order(self.weigher.facts_of[variable]):
            likely = locus.fact_likelihood(copies, self.weigher.facts[path].evidence)
            states = {
                self.weigher.state(variable, place) for place, chance in enumerate(likely) if chance
            }
            left = [each for each, chance in zip(events, likely, strict=True) if chance]
            if _alike(left) and len(states) > 1 and MOSAIC not in states:
                return frozenset({path})
        return None

    def _needless(self, targets: Scope) -> Scope:
        """Return the father, where sons are asked about and what he has does not reach them."""
        if self.question.parents is None or self.question.sex != "male":
            return ()
        return tuple(each for each in targets if self.family.copies[each] == 1)

    def _of_needless(self, targets: Scope, used: set[str]) -> Facts:
        """Return those facts of the last table that tell only of a father who is needless."""
        before = {path for step in self.steps[:-1] for row in step.rows for path in row.facts}
        given = frozenset(self.steps[-1].rows[0].facts) - before
        found: Facts = frozenset()
        for father in self._needless(targets):
            mother = tuple([each for each in targets if each != father])
            own, known = self.weigher.facts_of[father] & given, frozenset(used)
            if own and self.weigher.alike(mother, known - own, known):
                found |= own
        return found

    def _combine_person(self, variable: int) -> None:
        """Add the last line of a question about becoming affected."""
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
        person = self.family.case.person(id)
        last = of_person(self.words, person, self.question, combine)
        self.steps[-1] = replace(step, combine=tuple(combine), closing=self.words.sentence(last))

    def _tell_mosaics(self) -> None:
        """Say in the last step how its germline mosaics count, if there may be any."""
        step = self.steps[-1]
        results = zip(step.hypotheses, step.posterior, strict=True)
        if any(chance and MOSAIC in hypothesis.values() for hypothesis, chance in results):
            closing = f"{step.closing} {self.words.sentence(origins.MOSAICS_HAVE_NONE)}"
            self.steps[-1] = replace(step, closing=closing.strip())

    def _events_by_state(self, variable: int, chance: Callable[[int], Any]) -> dict[State, Any]:
        listed = self.family.locus.listed[self.family.copies[variable]]
        return {self.weigher.state(variable, place): chance(place) for place in range(len(listed))}

    def _combine_pair(self, pair: Scope, people: tuple[str, str]) -> None:
        """Add the last line of a question about two people or their children."""
        question = self.question
        step = self.steps[-1]
        combine = tuple(self._combine(pair, people, step))
        lines = self._lines(pair, people, combine)
        kinds = self._kinds(pair, lines)
        child = self._one_child(pair, lines)
        variables = zip(people, pair, strict=True)
        certain = [
            id for id, each in variables if self.weigher.certain(each, self._all) is not None
        ]
        # Cases of a father who is tied to the mother are added up, and not known from a step.
        summed = len(lines) < len(combine) and not any(each.factors for each in combine)
        last = of_pair(self.words, question, lines, child, kinds, certain, summed=summed)
        born = self.words.sentence(self._among_the_born(pair, step, lines))
        closing = f"{self._of_relatives(pair, combine)}{self.words.sentence(last)} {born}".strip()
        self.steps[-1] = replace(step, combine=combine, lines=lines, closing=closing)

    def _lines(
        self, pair: Scope, people: tuple[str, str], combine: tuple[Combination, ...]
    ) -> tuple[Combination, ...]:
        """Return the cases, of a son on the X those with one and the same mother together."""
        if not self.family.case.condition.x_linked or self.question.sex != "male":
            return combine
        place = next(p for p, variable in enumerate(pair) if self.family.copies[variable] == 2)
        groups: dict[State, list[Combination]] = {}
        for each in combine:
            groups.setdefault(each.case[people[place]], []).append(each)
        name = self.words.name(people[place])
        return tuple(
            replace(
                group[0],
                weight=total(each.weight for each in group),
                product=total(each.product for each in group),
                factors=(),
                label=f"{name} {self.words.state(pair[place], state)}",
            )
            for state, group in groups.items()
        )

    def _of_relatives(self, pair: Scope, combine: tuple[Combination, ...]) -> str:
        """Return how the chance follows from F, where two related parents have no other history."""
        related = kinship(self.family, *pair)
        if related is None or any(row.facts for row in self.steps[-1].rows):
            return ""
        chance = total(each.product for each in combine)
        formula = with_kinship(
            self.family.case.condition, self.question, related.coefficient, chance
        )
        if not formula:
            return ""
        lines = self.words.sentence(lines_of(self.words, related))
        begin = f"{how_frequent(self.family.case.condition)}; a"
        if Lines(tuple(sorted(pair))) in [said.topic for said in self.steps[-1].reasons]:
            lines, begin = "", "Straight from F a"
        begin = self.words.sentence(f"{begin} child's chance is {formula}, as by the table")
        return f"{lines} {begin} "

    def _one_child(self, pair: Scope, combine: tuple[Combination, ...]) -> Any:
        """Return the chance of one child, of the one pair of genotypes that counts."""
        counted = [each for each in combine if each.product]
        if self.question.ask != "children_affected" or len(counted) != 1:
            return None
        states = tuple(counted[0].case.values())
        child = self._children(pair, Question("child_affected"))[states]
        return ratio(child[0], child[1])

    def _kinds(self, pair: Scope, combine: tuple[Combination, ...]) -> tuple[Kind, ...]:
        """Return the kinds of next children, of the one pair of genotypes that counts.

        Where none counts, they are those of all pairs.
        """
        counted = [each for each in combine if each.product]
        if len(counted) > 1 or self.question.parents is None:
            return ()
        kinds: list[Kind] = []
        for each in counted or combine:
            places = []
            for variable, state in zip(pair, each.case.values(), strict=True):
                listed = range(len(self.family.locus.listed[self.family.copies[variable]]))
                places.append(next(p for p in listed if self.weigher.state(variable, p) == state))
            if parents_of(self.family, self.question) != self.question.parents:
                places.reverse()
            kinds += kinds_of_children(self.family.locus, self.question, places[0], places[1])
        return tuple(kinds)

    def _combine(self, pair: Scope, people: tuple[str, str], step: Step) -> list[Combination]:
        chances: dict[Hypothesis, tuple[Any, Any]] = {}
        if self.question.people is not None:
            copies = [self.family.copies[variable] for variable in pair]
            for hypothesis in step.hypotheses:
                both = all(map(is_carrier, copies, hypothesis.values()))
                chances[tuple(hypothesis.values())] = (Fraction(both), Fraction(1))
        else:
            chances = self._children(pair, self.question)
        posterior = _weights(step)
        born = total(weight * chances[pairing][1] for pairing, weight in posterior.items())
        found = []
        for pairing, weight in posterior.items():
            happens, condition = chances[pairing]
            if not weight or not condition:
                continue
            chance, live = ratio(happens, condition), ratio(weight * condition, born)
            found.append(
                Combination(
                    dict(zip(people, pairing, strict=True)),
                    live,
                    chance,
                    live * chance,
                    self._factors(pair, pairing, live),
                    self.words.pair_state(pair, pairing, people),
                )
            )
        # Where the answer is 0, the cases say why.
        return [each for each in found if each.product] or found

    def _factors(self, pair: Scope, pairing: Hypothesis, chance: Any) -> tuple[Any, ...]:
        """Return each of two people's chances of a pair of genotypes, if `chance` multiplies them.

        Empty where it does not.
        """
        factors = tuple(
            self.weigher.posterior((variable,), self._all).get((state,), 0)
            for variable, state in zip(pair, pairing, strict=True)
        )
        product = factors[0] * factors[1]  # type: ignore[operator]
        return factors if equal(product, chance) and pair[0] != pair[1] else ()

    def _among_the_born(self, pair: Scope, step: Step, lines: tuple[Combination, ...]) -> str:
        """Return how the chances of the pairs change as their children are born alive."""
        counted = [each for each in lines if each.product]
        if self.question.parents is None or not counted:
            return ""
        several = self.question.ask == "children_affected"
        one = Question("child_affected") if several else self.question
        born = {pairing: ratio(child[1], 1) for pairing, child in self._children(pair, one).items()}
        weights: dict[Any, Any] = {}
        for pairing, weight in _weights(step).items():
            weights[born[pairing]] = weights.get(born[pairing], 0) + weight
        number = self.question.of or 1
        if len(counted) > 1:
            return pairs_with_born(weights, number)
        (only,) = counted
        pairing = tuple(only.case.values())
        # Of a son on the X those with one and the same mother count together.
        whole = total(weight * each**number for each, weight in weights.items())
        before = only.weight * whole / born[pairing] ** number
        factors = self._factors(pair, pairing, before)
        return pair_with_born(weights, number, before, factors, born[pairing], only.weight)

    def _children(self, pair: Scope, question: Question) -> dict[Hypothesis, tuple[Any, Any]]:
        """Return for each pair of states the chances of such live-born children, and of any."""
        event = child_event(self.family.locus, question)
        mother_first = parents_of(self.family, self.question) == self.question.parents
        listed = [self.family.locus.listed[self.family.copies[v]] for v in pair]
        chances: dict[Hypothesis, tuple[Any, Any]] = {}
        for one in range(len(listed[0])):
            for two in range(len(listed[1])):
                key = (self.weigher.state(pair[0], one), self.weigher.state(pair[1], two))
                if key not in chances:
                    child = event(one, two) if mother_first else event(two, one)
                    chances[key] = (child.happens, child.condition)
        return chances

    @property
    def _all(self) -> Facts:
        return frozenset(self.weigher.facts)
