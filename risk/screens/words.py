"""Words of the pages: what fields, choices and places in the case file are called."""

from __future__ import annotations

import re

from risk.case.model import Case, Condition, Person, TestResult
from risk.problems import Problem
from risk.wording import family
from risk.wording.alleles import ALLELES
from risk.wording.assumptions import modifiers_in_short
from risk.wording.parameters import parameter_in_words
from risk.wording.phrases import capital

AFFECTED = {True: "Affected", False: "Unaffected", None: "Not known"}
SEX = {"female": "Female", "male": "Male", "unknown": "Not known"}
STATUS = {
    "alive": "Alive",
    "deceased": "Deceased",
    "pregnancy": "Pregnancy",
    "stillbirth": "Stillbirth",
    "miscarriage": "Miscarriage",
    "termination": "Termination",
}
GENDER = {None: "As the sex says", "woman": "Woman", "man": "Man", "nonbinary": "Nonbinary"}
GENOTYPE = dict(zip((None, 0, 1, 2), ("Not known", *map(capital, ALLELES)), strict=True))
ZYGOSITY = {"monozygotic": "Identical", "dizygotic": "Fraternal", "unknown": "Not known which"}
ADOPTED = {None: "No", "in": "Adopted into the family", "out": "Adopted out of the family"}
ROLES = {"proband": "Proband", "consultand": "Consultand"}
INHERITANCE = {mode: capital(said) for mode, said in family.INHERITANCE.items()}
QUESTIONS = {
    "carrier": "Is this person a carrier?",
    "disease_allele": "Does this person have any disease allele?",
    "genotype": "How many disease alleles does this person have?",
    "will_be_affected": "Will this person ever be affected?",
    "child_affected": "Will the next child of two people be affected?",
    "child_carrier": "Will the next child of two people be a carrier?",
    "both_carriers": "Are two people both carriers?",
    "children_affected": "How many of the next children will be affected?",
}

#: What the page Family calls the keys of a person; the others have the key's own name.
_PERSON_FIELDS = {
    "affected": "phenotype",
    "sex": "sex at birth",
    "father": "parents",
    "mother": "parents",
    "tests": "test results",
    "twin": "twins",
    "name": "alias",
    "count": "number of such siblings",
    "inbreeding": "inbreeding coefficient",
}

_KEY = re.compile(r"(\w*)(?:\[(\d+)\])?")
_PERSON_PATH = re.compile(r"people\[(\d+)\](?:\.(\w+))?")


def assumed(condition: Condition) -> str:
    """What the condition assumes in a few words: ``Autosomal recessive; carriers 1/25``."""
    frequency = condition.frequency
    if frequency.mutation_selection_balance is not None:
        common = "mutation and selection in balance"
    elif frequency.carrier is not None:
        women = " among women" if condition.x_linked else ""
        common = f"carriers{women} {frequency.carrier}"
    elif frequency.incidence is not None:
        males = " in males" if condition.x_linked else ""
        common = f"incidence{males} {frequency.incidence}"
    elif frequency.allele == "rare":
        common = (
            "a rare allele, so that whoever marries in is taken to carry nothing unless a fact "
            "says otherwise"
        )
    else:
        common = f"allele frequency {frequency.allele}"
    return "; ".join((family.condition_in_words(condition), common, *modifiers_in_short(condition)))


def title_of(person: Person) -> str:
    """What the panel of a person is called."""
    name = f"{person.name} ({person.id})" if person.name else person.id
    many = f", {person.count} alike" if person.count else ""
    return f"{name}{many}"


def place_of(case: Case, problem: Problem) -> tuple[str | None, str]:
    """The person a problem is about (or None) and the field, as far as the path tells."""
    match = _PERSON_PATH.match(problem.path)
    if match is None or int(match[1]) >= len(case.people):
        return None, problem.path.split(".")[0].split("[")[0]
    return case.people[int(match[1])].id, match[2] or ""


def placed(case: Case, problem: Problem) -> str:
    """A problem with its place, both as the pages name them: ``II-2, phenotype: ...``."""
    place, said = _place_in_words(case, problem), problem.message
    return f"{place}: {said}" if place else said


def _place_in_words(case: Case, problem: Problem) -> str:
    id, field = place_of(case, problem)
    if id is not None:
        return f"{id}, {_PERSON_FIELDS.get(field, field)}" if field else id
    try:
        return parameter_in_words(problem.path, case)
    except KeyError:
        key, index = _KEY.findall(problem.path.removeprefix("condition."))[0]
        return f"question {int(index) + 1}" if key == "questions" and index else key


def person_of_fact(fact: str) -> str:
    """The id of the person a fact is about: all of ``II-2.tests[0]`` before its last dot."""
    return fact.rpartition(".")[0]


def result_words(result: TestResult) -> str:
    """One test result: ``panel negative`` or ``panel finds 1``."""
    if result.found is not None:
        return f"{result.test} finds {result.found}"
    return f"{result.test} {result.result}"


def file_name(title: str | None) -> str:
    """A file name made of a case's title: letters, digits and hyphens."""
    words = re.findall(r"[A-Za-z0-9]+", title or "")
    return "-".join(words)[:50].lower() or "family"
