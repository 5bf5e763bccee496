"""The sentences of workings: who, which fact, and why this number.

Words follow the mode of inheritance, the sex, the kind of test and the age.  Numbers come in as
values.  A rule that leads to one, such as a product with 1/2, is said only where it gives that.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from risk.case.model import Question
from risk.inference.plan import Scope
from risk.model.answers import Answer, Chance
from risk.wording.alleles import COPIES
from risk.wording.chances import chance_in_words
from risk.wording.phrases import joined
from risk.wording.questions import event_in_words, person_in_words
from risk.workings.kinship import Kinship, ancestors_in_words, kinship, lines_of
from risk.workings.naming import MOST_NAMED, Naming
from risk.workings.passing import just_one, passed_on
from risk.workings.population import NO_X_FOR_SONS, with_shared_copy
from risk.workings.step import AncestorsCase, State, Value
from risk.workings.values import chance_word
from risk.workings.weigh import Facts, Joint


class Words(Naming):
    """Sentences about one family."""

    def all_known(self) -> str:
        return "all that is known"

    def rest_row(self, rest: Facts) -> str:
        return f"everything else known ({len(rest)} fact{'s' if len(rest) > 1 else ''})"

    def why_rest(self, rest: Facts) -> str:
        return (
            f"The family is tied together in a loop, so what remains ({self.told(rest)}) bears "
            f"on more than one side at once; its chance is worked out over the whole loop"
        )

    # --- two people -----------------------------------------------------------------------

    def same_genotype(self) -> str:
        return "the same genotype"

    def apart(self, pair: Scope) -> str:
        return f"{joined(self.names(pair))}, independent of each other"

    def tied(self, pair: Scope) -> str:
        return f"{joined(self.names(pair))}, jointly"

    def why_apart(
        self, pair: Scope, between: Mapping[int, State] | None = None, *, at_first: bool = False
    ) -> str:
        """Say that two people are independent; `at_first`: before their children are counted.

        `between` are people of certain genotypes through whom alone the two are related.
        """
        nothing = self._nothing_more(pair, at_first=at_first)
        if not between:
            return self.sentence(nothing)
        related = kinship(self.family, *pair)
        names = joined([self.who(each) for each in between])
        through = f"{names}, through whom they are related,"
        if related is not None and set(between) == set(related.ancestors):
            through = f"their common {ancestors_in_words(self, related)}"
        if len(between) <= 2 and len({self.has(*each) for each in between.items()}) == 1:
            having = self.has(*next(iter(between.items())), many=len(between) > 1)
            return f"As {through} {having} for certain, {nothing}"
        each = joined([f"{self.who(v)} {self.has(v, state)}" for v, state in between.items()])
        return f"As {through} are certain ({each}), {nothing}"

    def why_parted(self, pair: Scope, why: Sequence[str], *, at_first: bool = False) -> str:
        """Say that two relatives are independent, with the reasons `why`, as `why_apart` does."""
        return f"{self.sentence('; '.join(why))} So {self._nothing_more(pair, at_first=at_first)}"

    def why_multiplied(self, pair: Scope, told: Facts) -> str:
        """Say why two parents are independent although `told` is known of their children."""
        one, two = self.names(pair)
        condition = self.condition
        needs_both = condition.recessive and condition.penetrance is None
        ids = dict.fromkeys(self.facts[path].person for path in self.in_order(told))
        names = joined([self.name(id) for id in ids]) if len(ids) <= MOST_NAMED else "the children"
        what = f"of what is known of {names}"
        if needs_both and all(map(self.says_affected, told)):
            what = f"that {names} got the allele from both {one} and {two}"
        return (
            f"The chance {what} is a product, of one factor for each parent, so that "
            f"{self._nothing_more(pair, at_first=False)}"
        )

    def _nothing_more(self, pair: Scope, *, at_first: bool) -> str:
        one, two = self.names(pair)
        before = " before their children are counted" if at_first else ""
        return f"what {one} has says nothing more about {two}{before}"

    def no_x_from_fathers(self, pair: Scope) -> str:
        """Say that relatives have no X of a common ancestor's."""
        names = joined([self.who(variable) for variable in pair])
        return f"{NO_X_FOR_SONS}, so that {names} have no X of a common ancestor's"

    def counted_once(self, pair: Scope, common: Scope) -> str:
        """Say that what is known of two people counts for their ancestors, and then for them."""
        names, ancestors = [joined([self.who(each) for each in group]) for group in (pair, common)]
        return (
            f"What is known of {names} has told what {ancestors} may have; now it tells what "
            f"{names} may have in each case of these, so that nothing counts twice"
        )

    def one_of_a_couple(self, couple: Scope) -> str:
        """Say that what a child gets of the one allele of a couple tells nothing beyond it."""
        names = joined(self.names(couple))
        return (
            f"just one of {names} has the allele, and whichever it is, each of their children gets "
            "it with the same chance, independently of the others"
        )

    def why_tied(self, pair: Scope, facts: Facts | None = None) -> str:
        """Say why two people are not independent.

        One table is about both where it starts with what these `facts` tell.
        """
        names = joined(self.names(pair))
        related = kinship(self.family, *pair)
        by = "facts about common relatives"
        if related:
            by = f"their common {ancestors_in_words(self, related)}"
        text = f"{names} are tied together by {by}"
        above = [each for each in pair if related and each in related.ancestors]
        if above:
            below = joined([self.who(each) for each in pair if each not in above])
            text = f"{self.who(above[0])} is an ancestor of {below}"
        if facts is None:
            return text
        return f"{text}, so that one table is about both{self.starting(facts)}"

    def by_ancestors(
        self,
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
        one, two = self.names(pair)
        names = joined(self.names(common))
        ends = {*pair, *related.ancestors}
        lines = [each for each in related.paths[0] if each not in ends]
        begin = (
            f"If we knew what {names} {'has' if len(common) == 1 else 'have'}, what {one} has "
            f"would say nothing more about {two}"
        )
        above = [each for each in pair if each in common]
        if above:
            below = joined([self.who(each) for each in pair if each not in common])
            begin = f"What {below} may have goes by what {self.who(above[0])} has"
        if lines:
            line = f"line{'s' if len(lines) > 1 else ''}"
            down = joined([self.who(each) for each in lines])
            begin += f", and the chances go down the {line} of {down}"
        possible = [hypothesis for case in cases for hypothesis in case.hypotheses]
        sums: set[str] = set()
        told = [
            f"if {self.one_of(common, case.hypotheses, possible)} (chance "
            f"{chance_word(case.chance)}), {self._with_chances(pair, common, case, known, sums)}"
            for case in cases
        ]
        worked = self._sum_of_cases(pair, cases, both) if both else ""
        return f"{begin}: {'; '.join(told)}{worked}"

    def _sum_of_cases(self, pair: Scope, cases: Sequence[AncestorsCase], both: Value) -> str:
        """Go on with the sum that the chance of one allele in `both` of two people is."""
        terms = []
        for case in cases:
            chances = [states.get(1, 0) for states in case.states]
            if all(chances):
                factors = [
                    chance_word(case.chance),
                    *(chance_word(each) for each in chances if each != 1),
                ]
                terms.append(" × ".join(factors))
        more = any(2 in states for case in cases for states in case.states)
        return (
            f". So the chance that {self.both_have(pair, (1, 1))} is "
            f"{' + '.join(terms)} = {chance_word(both)}"
            + (", and so on for every other pair of genotypes" if more else "")
        )

    def _with_chances(
        self,
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
        related = kinship(self.family, *pair)
        between = {each for path in related.paths for each in path} if related else set()
        for place, variable in enumerate(pair):
            if variable in common:
                continue
            states, passing = case.states[place], case.passing[place]
            worked = ""
            likely = known.get(variable)
            if likely is not None and 0 < states.get(1, 0) < 1 and 2 not in states:  # type: ignore[operator]
                worked = just_one(list(passing.values()), likely, states[1])
            by_line = sorted(passing, key=lambda parent: parent not in between)
            for parent, terms in [(each, passing[each]) for each in by_line if worked]:
                names = passed.setdefault(passed_on(terms)[0], [])
                name = self.parent(variable, parent)
                names += [name] * (name not in names)
            told[variable] = joined(
                [
                    f"{self.has(variable, state)} "
                    + (
                        "for certain"
                        if chance == 1
                        else f"with chance {worked or chance_word(chance)}"
                    )
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
            each = joined([self.who(each) for each in pair])
            return f"each of {each} {told[pair[0]]}{also}"
        return joined([f"{self.who(variable)} {what}" for variable, what in told.items()]) + also

    def summed(self, pair: Scope, related: Kinship | None) -> str:
        """Say that a joint table is a sum that is too long to be told."""
        paths = related.paths if related else ()
        between = dict.fromkeys(each for path in paths for each in path if each not in pair)
        whom = "their relatives"
        if 0 < len(between) <= MOST_BETWEEN:
            whom = joined([self.who(each) for each in between])
        return (
            f"The table is the sum over all that {whom} may have, of the chance of that with all "
            f"that is known of the family; it is exact, and too long a sum to be written out here"
        )

    def with_shared_copy(self, pair: Scope, chances: Joint) -> str:
        """Return how the `chances` of two relatives follow from one shared copy, if they do."""
        related = kinship(self.family, *pair)
        if related is None:
            return ""
        names = joined(self.names(pair))
        how = with_shared_copy(self.condition, names, related.coefficient, chances)
        return f"{lines_of(self, related)}. {self.sentence(how)}" if how else ""

    # --- whole steps ----------------------------------------------------------------------

    def left_for_later(self, facts: Facts, steps: Sequence[int], again: Sequence[int] = ()) -> str:
        """Say that facts about somebody's descendants come in only with these later steps.

        `again` are steps before with a table of the same person in which some of them count.
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
            return f"{anew}That {self.told(facts)} is not used yet; it comes in {where}"
        owners = {self.facts[path].person for path in facts}
        about = f"{len(owners)} people" if len(owners) > 1 else self.name(*owners)
        return f"{anew}{len(facts)} facts about {about} are not used yet; they come in {where}"

    def idle_phrases(self, paths: Sequence[str]) -> list[str]:
        """Return facts that change nothing in words, or count them where there are too many."""
        if len(paths) <= MOST_IDLE:
            return self.fact_phrases(paths)
        people = {self.facts[path].person for path in paths}
        return [f"{len(paths)} facts about {len(people)} people"]

    def conclusion(self, question: Question, found: Answer) -> str:
        """Return the closing sentence."""
        if found.probability is not None:
            event = event_in_words(question, self.case)
            return self.sentence(f"{event}: chance {_readable(found.probability)}")
        assert found.distribution is not None and question.person is not None
        who = person_in_words(question.person, self.case)
        chances = [
            f"{COPIES[count]} with chance {_readable(chance)}"
            for count, chance in enumerate(found.distribution)
            if chance.value
        ]
        chances[0] = chances[0].replace(" with", " of the disease allele with", 1)
        return self.sentence(f"{who} has {'; '.join(chances)}")


#: Characters of a fraction with which a sentence does not begin.
_LONG_FRACTION = 15
#: How many people between two relatives are named; more are only counted.
MOST_BETWEEN = 6
#: How many facts that make no difference are named; more are only counted.
MOST_IDLE = 12


def _readable(chance: Chance) -> str:
    """Return a chance in words, a long fraction behind what can be read of it.

    With it stands the decimal that it is in a table.
    """
    words = chance_in_words(chance)
    if words.fraction is None or len(words.fraction) <= _LONG_FRACTION:
        return str(words)
    number = chance_word(Fraction(words.fraction))
    return f"{str(words).removeprefix(words.fraction + ', ')} (exactly {words.fraction} = {number})"
