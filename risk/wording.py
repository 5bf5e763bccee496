"""The sentences that every face of the product shares: questions, chances and assumptions.

Plain text in, plain text out: it words what a case says and what an answer is, and works
nothing out.  Lengths are free; the renderers wrap.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal, localcontext
from fractions import Fraction

from risk.case.model import (
    BySex,
    Case,
    Condition,
    Frequency,
    Mutation,
    Person,
    Question,
    Test,
    Variant,
)
from risk.model.answers import Chance
from risk.number import Quantity

#: A fraction of more characters than this is not printed in a sentence.
LONGEST_FRACTION = 40

#: A smaller chance is only said to be smaller than this.
_LEAST_PICTURED = Fraction(1, 10**9)

#: How far ``1 in N`` may be off, as a share of the chance.
_NEAR = Fraction(6, 100)

_INHERITANCE = {
    "autosomal_recessive": "autosomal recessive",
    "autosomal_dominant": "autosomal dominant",
    "x_linked_recessive": "X-linked recessive",
    "x_linked_dominant": "X-linked dominant",
}

_FULL_PENETRANCE = {
    "autosomal_recessive": "Everyone with two copies of the disease allele is affected.",
    "autosomal_dominant": "Everyone with one or two copies of the disease allele is affected.",
    "x_linked_recessive": (
        "Every male with the disease allele is affected, and every female with two copies of it."
    ),
    "x_linked_dominant": "Everyone with one or two copies of the disease allele is affected.",
}


# --- people and questions -----------------------------------------------------------------


def person_in_words(id: str, case: Case) -> str:
    """Name a person: ``Mira (II-2)``, or the id alone where there is no name."""
    person = case.person(id)
    called = f"{person.name} ({id})" if person.name and person.name != id else id
    return f"any one of {called}" if person.count else called


def question_in_words(question: Question, case: Case) -> str:
    """Ask the question: ``What is the chance that Mira (II-2) is a carrier?``"""
    if question.ask == "genotype":
        who = person_in_words(_asked(question), case)
        return f"How many copies of the disease allele does {who} have?"
    return f"What is the chance that {event_in_words(question, case)}?"


def event_in_words(question: Question, case: Case) -> str:
    """Say what the asked chance is the chance of: ``Mira (II-2) is a carrier``."""
    condition = case.condition
    if question.person is not None:
        who = person_in_words(question.person, case)
        person = case.person(question.person)
        if question.ask == "carrier":
            return f"{who} {_carries_one(condition)}"
        if question.ask == "disease_allele":
            if condition.x_linked and person.sex == "male":
                return f"{who} has the disease allele"
            return f"{who} has at least one copy of the disease allele"
        return f"{who} {_will_be_affected(person, question)}"
    if question.people is not None:
        first, second = (person_in_words(id, case) for id in question.people)
        plural = "are both carriers" if condition.recessive else "both have one disease allele"
        return f"{first} and {second} {plural}"
    first, second = (person_in_words(id, case) for id in question.parents or ("?", "?"))
    child = {"female": "daughter", "male": "son"}.get(question.sex or "", "child")
    age = f" by the age of {question.by_age}" if question.by_age else ""
    if question.ask == "children_affected":
        return f"{_so_many(question)} of {first} and {second} {_verb(question)} affected"
    if question.ask == "child_carrier":
        return f"the next {child} of {first} and {second} {_carries_one(condition)}"
    return f"the next {child} of {first} and {second} is affected{age}"


def _asked(question: Question) -> str:
    return question.person or "?"


def _carries_one(condition: Condition) -> str:
    if condition.recessive:
        return "is a carrier"
    return "has exactly one copy of the disease allele"


def _will_be_affected(person: Person, question: Question) -> str:
    if person.affected:
        return "is affected"
    when = f"by the age of {question.by_age}" if question.by_age else "at some time in life"
    if person.affected is None:
        return f"is affected {when}" if question.by_age else "is affected, now or later in life"
    known = f", being unaffected at {person.age}" if person.age is not None else ""
    return f"will be affected {when}{known}"


def _so_many(question: Question) -> str:
    n = question.of or 0
    children = "the next child" if n == 1 else f"the next {_count(n)} children"
    if question.at_least is not None:
        return f"at least {_count(question.at_least)} of {children}"
    if not question.exactly:
        return f"none of {children}"
    return f"exactly {_count(question.exactly)} of {children}"


def _verb(question: Question) -> str:
    number = question.at_least if question.at_least is not None else question.exactly
    return "is" if number == 1 or not number else "are"


# --- the family ---------------------------------------------------------------------------


def family_in_words(case: Case) -> str:
    """Count the family and its evidence in a sentence or two."""
    people = case.people
    counted = sum(person.count or 1 for person in people)
    parts = []
    for affected, word in ((True, "affected"), (False, "unaffected")):
        number = sum(person.count or 1 for person in people if person.affected is affected)
        if number:
            parts.append(f"{number} {word}")
    unknown = sum(person.count or 1 for person in people if person.affected is None)
    if unknown:
        parts.append(f"{unknown} of unknown phenotype")
    text = f"A family of {_plural(counted, 'person', 'people')}: {_join(parts)}."
    tested = sum(person.count or 1 for person in people if person.tests)
    typed = sum(person.count or 1 for person in people if person.genotype is not None)
    more = []
    if tested:
        more.append(f"{_plural(tested, 'person has', 'people have')} a test result")
    if typed:
        more.append(f"the genotype of {_plural(typed, 'person', 'people')} is known")
    return f"{text} {_capital(_join(more))}." if more else text


def title_in_words(case: Case) -> str:
    """Name the case: its title, or its number of people where it has none."""
    counted = sum(person.count or 1 for person in case.people)
    return case.title or f"A family of {_plural(counted, 'person', 'people')}"


def condition_in_words(condition: Condition) -> str:
    """Name the condition and its inheritance."""
    mode = _INHERITANCE[condition.inheritance]
    return f"{condition.name}: {mode}" if condition.name else _capital(mode)


# --- chances ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class ChanceWords:
    """A chance in the three forms that students compare.

    `fraction` is None where the exact value is not known or too long to print; in the second
    case `note` says how long.  `percent` and `one_in` say "about" where they are rounded.
    """

    fraction: str | None
    percent: str
    one_in: str
    note: str = ""

    def __str__(self) -> str:
        forms = [self.fraction, self.percent, self.one_in]
        return ", ".join(form for form in forms if form)


def answer_in_words(chance: Chance) -> str:
    """Put a chance on one line: ``2/3, about 66.7%, 2 in 3``."""
    return str(chance_in_words(chance))


def short_chance(chance: Chance, longest: int = 15) -> str:
    """Put a chance into a small space: the fraction, or where too long the rounded percentage."""
    words = chance_in_words(chance)
    if words.fraction and len(words.fraction) <= longest:
        return words.fraction
    return words.percent.removeprefix("about ")


def chance_in_words(chance: Chance) -> ChanceWords:
    """Put a chance into words, in each of its forms."""
    exact = chance.exact
    number = chance.value if exact is None else exact
    if number == 0:
        return ChanceWords("0", "0%", "impossible under these assumptions")
    if exact == 1:
        return ChanceWords("1", "100%", "certain under these assumptions")
    if exact is None:
        # A float of 1 may be rounded, so it is not called certain.
        shown = min(chance.value, 1 - 1e-15)
        return ChanceWords(None, percent(shown), one_in(shown))
    if _digits(exact) > LONGEST_FRACTION:
        note = f"an exact fraction of {_digits(exact):,} digits, which --json prints"
        return ChanceWords(None, percent(number), one_in(number), note)
    return ChanceWords(str(exact), percent(number), one_in(number))


def frequency_in_words(chance: Chance, question: Question, case: Case) -> str:
    """Put a chance as so many of so many: ``Of 150 couples like these two, in 1 ...``."""
    number = Fraction(chance.value) if chance.exact is None else chance.exact
    if number in (0, 1):
        return f"That is {'none' if not number else 'all'} of any number of such families."
    whole = _pictured(number)
    some = round(number * whole)
    about = "" if some == number * whole else "about "
    ones = "is one" if some == 1 else "are ones"
    event = event_in_words(question, case)
    return f"Of {whole:,} such families, {about}{some:,} {ones} where {event}."


def _pictured(share: Fraction) -> int:
    """Return of how many to tell a share: exactly so many, of a round number where it can be."""
    bottom = share.denominator
    hundreds = math.lcm(bottom, 100)
    if share.numerator == 1 and 100 <= bottom <= 10**6:
        return bottom
    if hundreds <= 1000:
        return hundreds
    if bottom < 100:
        return 10 * bottom
    whole: int = 10 ** max(3, 1 - _magnitude(share))
    while round(share * whole) >= whole:
        whole *= 10
    return whole


def percent(value: float | Fraction) -> str:
    """Return the value as a percentage with three digits that matter, ``about 66.7%``.

    What is neither impossible nor certain is never called 0% or 100%: near either end the
    digits go on until they tell, down to a ten-thousandth of a percent.
    """
    share = Fraction(value) * 100
    if share.denominator == 1:
        return f"{share}%"
    if share < Fraction(1, 10_000):
        return "less than 0.0001%"
    if share > 100 - Fraction(1, 10_000):
        return "more than 99.9999%"
    rest = min(share, 100 - share)
    digits = 3 if share < 99 else 2
    places = max(digits - 1 - _magnitude(share if share < 99 else rest), 0)
    rounded = _round(share, places)
    text = f"{rounded:f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return f"{text}%" if Fraction(rounded) == share else f"about {text}%"


def one_in(value: float | Fraction) -> str:
    """Return the value as a frequency that can be pictured: ``2 in 3``, ``about 1 in 1,450``.

    Simple fractions stay as they are; others below a fifth become ``1 in N`` where a whole N comes
    near, or else so many in a hundred (or in a thousand and so on, near certainty).
    """
    share = Fraction(value)
    if 0 < share < _LEAST_PICTURED:
        return f"less than 1 in {int(1 / _LEAST_PICTURED):,}"
    if 1 > share > 1 - _LEAST_PICTURED:
        return f"more than {int(1 / _LEAST_PICTURED) - 1:,} in {int(1 / _LEAST_PICTURED):,}"
    simple = isinstance(value, Fraction) and (value.denominator <= 20 or value.numerator == 1)
    if simple and share.denominator < 10**7:
        return f"{share.numerator:,} in {share.denominator:,}"
    significant = _round(1 / share, 0)
    if share < Fraction(1, 5) and abs(1 / Fraction(significant) - share) < share * _NEAR:
        if significant >= 1000:
            significant = _round(1 / share, 2 - _magnitude(1 / share))
        about = "" if Fraction(significant) == 1 / share else "about "
        return f"{about}1 in {significant:,f}"
    whole = 100
    while round(share * whole) >= whole and whole < 10**9:
        whole *= 10
    part = share * whole
    about = "" if part.denominator == 1 else "about "
    return f"{about}{min(round(part), whole - 1):,} in {whole:,}"


def _magnitude(share: Fraction) -> int:
    """The power of ten of the first digit that matters: 0 for 3.2, -2 for 0.032."""
    guess = math.floor(math.log10(share.numerator) - math.log10(share.denominator))
    while Fraction(10) ** (guess + 1) <= share:
        guess += 1
    while Fraction(10) ** guess > share:
        guess -= 1
    return guess


def _round(share: Fraction, places: int) -> Decimal:
    with localcontext(Context(prec=60, rounding=ROUND_HALF_EVEN)):
        unit = Decimal(1).scaleb(-places)
        whole = Decimal(round(share * Fraction(10) ** places))
        return whole * unit


def _digits(exact: Fraction) -> int:
    bits = max(exact.numerator.bit_length(), exact.denominator.bit_length())
    if bits < 4000:
        return len(str(exact.numerator)) + len(str(exact.denominator))
    log2 = math.log10(2)
    lengths = (exact.numerator.bit_length(), exact.denominator.bit_length())
    return sum(int(length * log2) + 1 for length in lengths)


# --- assumptions --------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Assumption:
    """One assumption: its topic, a sentence, and whether the case says so or it is a default."""

    topic: str
    text: str
    given: bool


def assumptions_in_words(condition: Condition) -> list[str]:
    """Return every assumption that entered the answers, one sentence or two each."""
    return [f"{each.topic}: {each.text}" for each in assumptions(condition)]


def assumptions(condition: Condition) -> tuple[Assumption, ...]:
    """Return every assumption that entered, also those by default, in a fixed order."""
    return (
        Assumption("Inheritance", f"{_INHERITANCE[condition.inheritance]}, one gene.", True),
        Assumption("Frequency", _frequency(condition.frequency, condition), True),
        Assumption("New mutation", _mutation(condition.mutation), condition.mutation is not None),
        Assumption("Penetrance", _penetrance(condition), condition.penetrance is not None),
        Assumption("Age", _onset(condition), condition.onset is not None),
        Assumption("Live birth", _viability(condition), condition.viability is not None),
        *(
            (Assumption("Variants", _variants(condition.variants), True),)
            if condition.variants
            else ()
        ),
        *(Assumption("Test", _test(test), True) for test in condition.tests or ()),
        Assumption("Germline mosaicism", _mosaicism(condition), bool(condition.germline_mosaicism)),
        Assumption(
            "Family",
            "The parents named are the genetic parents. Founders (those without parents here) "
            "are not related to each other.",
            False,
        ),
    )


def _frequency(frequency: Frequency, condition: Condition) -> str:
    if frequency.allele == "rare":
        return (
            "The disease allele is rare: the answers are the limit as its frequency goes to 0, "
            "so that whoever marries in carries nothing, and whoever is affected had the allele "
            "from somewhere."
        )
    if isinstance(frequency.allele, Quantity):
        if not frequency.allele.value:
            return "No founder has the disease allele (frequency 0)."
        return (
            f"A copy of the gene in the population is the disease allele with chance "
            f"{frequency.allele}; founders are in Hardy-Weinberg proportions."
        )
    if frequency.carrier is not None:
        who = "female founder" if condition.x_linked else "founder"
        if condition.penetrance is None:
            return f"An unaffected {who} is a carrier with chance {frequency.carrier}."
        return (
            f"A {who} with at most one copy of the disease allele has one with chance "
            f"{frequency.carrier}."
        )
    if frequency.incidence is not None:
        what = {
            "autosomal_recessive": "two copies of the disease allele",
            "autosomal_dominant": "at least one copy of the disease allele",
        }.get(condition.inheritance)
        if what is None:
            return f"At conception {frequency.incidence} of males have the disease allele."
        return (
            f"At conception {frequency.incidence} of people have {what}; founders are in "
            f"Hardy-Weinberg proportions."
        )
    balance = frequency.mutation_selection_balance
    assert balance is not None
    children = (
        "affected males have no children"
        if not balance.fitness.value
        else f"affected males have {balance.fitness} times as many children as others"
    )
    return (
        f"New mutation and selection are in balance: {children}, and the disease allele is as "
        f"common as new mutation keeps it."
    )


def _mutation(mutation: Mutation | None) -> str:
    if mutation is None:
        return "None: an allele never changes from parent to child."
    if mutation.maternal == "rare" or mutation.paternal == "rare":
        return (
            "Rare, and as frequent in eggs as in sperm: the answers are the limit as the rate "
            "goes to 0."
        )
    return (
        f"A normal allele becomes the disease allele in {mutation.maternal or 0} of eggs and "
        f"{mutation.paternal or 0} of sperm."
    )


def _penetrance(condition: Condition) -> str:
    given = condition.penetrance
    if given is None:
        full = _FULL_PENETRANCE[condition.inheritance]
        return f"{full} Nobody else is."
    return f"The lifetime chance of being affected is {_by_alleles(given)}."


def _by_alleles(table: object) -> str:
    if isinstance(table, BySex):
        return f"in females {_by_alleles(table.female)}; in males {_by_alleles(table.male)}"
    zero, one, two = (getattr(table, name) for name in ("zero", "one", "two"))
    if zero.value == one.value and (two is None or two.value == zero.value):
        return f"{zero} whatever the genotype"
    if two is None:
        return f"{zero} without and {one} with the disease allele"
    if one.value == two.value:
        return f"{zero} with no disease allele and {one} with one or two"
    if zero.value == one.value:
        return f"{zero} with no or one disease allele and {two} with two"
    return f"{zero} with no, {one} with one and {two} with two disease alleles"


def _onset(condition: Condition) -> str:
    if not condition.onset:
        return "Not considered: an unaffected person is taken never to become affected."
    points = [
        f"{_share(point.cumulative)} are by the age of {point.age}"
        for point in condition.onset
        if point.age.value or point.cumulative.value
    ]
    return f"Of those who will ever be affected, {_join(points)}; evenly between these ages."


def _share(share: Quantity) -> str:
    if share.value in (0, 1):
        return "all" if share.value else "none"
    return share.text


def _viability(condition: Condition) -> str:
    if condition.viability is None:
        return "Every genotype is equally likely to be born alive."
    return f"The chance of live birth is {_by_alleles(condition.viability)}."


def _variants(variants: Sequence[Variant]) -> str:
    classes = _join([f'{variant.share} are "{variant.name}"' for variant in variants])
    return f"Of the disease alleles, {classes}."


def _test(test: Test) -> str:
    if test.detects is not None:
        classes = _join([f'"{name}"' for name in test.detects]) or "none"
        return f'"{test.name}" finds disease alleles of class {classes}, without error.'
    if test.likelihood is not None:
        results = _join(
            [
                f'"{each.result}" has chance {_by_alleles(each.likelihood)}'
                for each in test.likelihood
            ],
            "; ",
        )
        return f'"{test.name}": {results}.'
    assert test.sensitivity is not None and test.specificity is not None
    found = "everyone" if test.sensitivity.value == 1 else f"{test.sensitivity} of those"
    wrong = (
        "never positive in those without"
        if test.specificity.value == 1
        else f"negative in {test.specificity} of those without (specificity)"
    )
    return f'"{test.name}" is positive in {found} with a disease allele (sensitivity) and {wrong}.'


def _mosaicism(condition: Condition) -> str:
    mosaic = condition.germline_mosaicism
    if mosaic is None:
        return "None."
    return (
        f"A founder without the disease allele is a germline mosaic with chance {mosaic.prior}: "
        f"unaffected, but with the allele in {mosaic.gametes} of eggs or sperm."
    )


# --- small words --------------------------------------------------------------------------


_SMALL = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")


def _count(number: int) -> str:
    return _SMALL[number] if number < len(_SMALL) else f"{number:,}"


def _plural(number: int, one: str, many: str) -> str:
    return f"{number:,} {one if number == 1 else many}"


def _join(parts: Sequence[str], last: str = " and ") -> str:
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + last + parts[-1] if last == " and " else last.join(parts)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
