"""Templates of practice cases of levels 3 and 4: tests, penetrance, age, cousins and more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from random import Random

from risk.case.model import (
    Frequency,
    Mosaicism,
    Mutation,
    OnsetPoint,
    ResultLikelihood,
    SelectionBalance,
    Test,
    TestResult,
    Twin,
    Variant,
)
from risk.number import quantity
from risk.teaching.practice_births import lethal_in_males, lethal_twice, partly_lost, phenocopy
from risk.teaching.practice_draft import Draft, age, table
from risk.teaching.practice_easy import CARRIERS, Template

_SENSITIVE = ("75%", "80%", "90%", "95%")
_SPECIFIC = ("1", "1", "95%", "98%")
_PENETRANT = ("50%", "60%", "75%", "80%", "90%")
_CURVES = (
    ((20, "0"), (40, "25%"), (60, "75%"), (80, "1")),
    ((30, "0"), (50, "50%"), (70, "1")),
    ((20, "0"), (30, "10%"), (50, "60%"), (70, "1")),
    ((40, "0"), (60, "40%"), (80, "1")),
)
#: By so many years a parent is older than a child.
_APART = (22, 25, 28, 31)


def _curve(dice: Random) -> tuple[OnsetPoint, ...]:
    return tuple(OnsetPoint(age(years), quantity(share)) for years, share in dice.choice(_CURVES))


def _with_panel(dice: Random, shares: Sequence[int]) -> Draft:
    """Return an empty family with two classes of allele, of which the panel finds the common."""
    share = dice.choice(shares)
    return Draft(
        dice,
        "autosomal_recessive",
        dice.choice(CARRIERS),
        variants=(
            Variant("common", quantity(f"{share}%")),
            Variant("rarer", quantity(f"{100 - share}%")),
        ),
        tests=(Test("panel", detects=("common",)),),
    )


# --- level 3 ------------------------------------------------------------------------------


def tested_sibling(dice: Random) -> Draft:
    """The healthy sibling of somebody affected, with a negative carrier test."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    draft.test("carrier test", dice.choice(_SENSITIVE), dice.choice(_SPECIFIC))
    _, asked = draft.healthy_sibling()
    mate = draft.partner(asked)
    who = dice.randint(0, 2)
    if who != 1:
        draft.result(asked, "carrier test", "negative")
    if who != 0:
        draft.result(mate, "carrier test", "negative")
    draft.ask_with_child(asked if who != 1 else mate, draft.couple(asked, mate))
    return draft


def screened_couple(dice: Random) -> Draft:
    """A known carrier whose partner from the population is tested."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    specific = dice.choice(("90%", "95%", "98%"))
    draft.test("carrier test", dice.choice(_SENSITIVE), specific)
    one = draft.add(genotype=1)
    other = draft.partner(one)
    draft.result(other, "carrier test", dice.choice(("negative", "positive")))
    draft.ask_with_child(other, draft.couple(one, other))
    return draft


def missing_alleles(dice: Random) -> Draft:
    """A known carrier whose partner has a test that finds most alleles, but not all."""
    draft = _with_panel(dice, (80, 85, 90, 95))
    one = draft.add(genotype=1)
    other = draft.partner(one, tests=(TestResult("panel", found=0),))
    draft.ask_with_child(other, draft.couple(one, other))
    return draft


def enzyme_level(dice: Random) -> Draft:
    """A woman at risk on the X, with a measurement and healthy sons."""
    low = dice.choice(("60%", "70%", "80%"))
    rest = f"{100 - int(low[:-1])}%"
    wrong = dice.choice(("5%", "10%"))
    right = f"{100 - int(wrong[:-1])}%"
    measure = Test(
        "enzyme level",
        likelihood=(
            ResultLikelihood("low", table(wrong, low, low)),
            ResultLikelihood("normal", table(right, rest, rest)),
        ),
    )
    draft = Draft(dice, "x_linked_recessive", tests=(measure,))
    asked = draft.add("female", draft.x_linked_carrier(affected_son=True))
    draft.result(asked, "enzyme level", dice.choice(("normal", "normal", "low")))
    return _with_sons(draft, asked, 3)


def silent_allele(dice: Random) -> Draft:
    """The healthy child of somebody with a dominant condition that skips people."""
    share = dice.choice(_PENETRANT)
    draft = Draft(dice, "autosomal_dominant", penetrance=table("0", share, share))
    parent = draft.add(affected=True)
    partner = draft.partner(parent)
    asked = draft.add(parents=draft.couple(parent, partner))
    mate = draft.partner(asked)
    couple = draft.couple(asked, mate)
    draft.children(couple, 0, 2)
    draft.ask_with_child(asked, couple, "disease_allele")
    return draft


def silent_grandparent(dice: Random) -> Draft:
    """The grandchild of somebody affected, whose parent is well."""
    share = dice.choice(_PENETRANT)
    draft = Draft(dice, "autosomal_dominant", penetrance=table("0", share, share))
    old = draft.add(affected=True)
    parent = draft.add(parents=draft.couple(old, draft.partner(old)))
    asked = draft.add(
        parents=draft.couple(parent, draft.partner(parent)),
        affected=dice.choice((False, None)),
    )
    draft.ask("disease_allele", person=asked)
    if draft.of(asked).affected is None:
        draft.ask("will_be_affected", person=asked)
    return draft


def well_so_far(dice: Random) -> Draft:
    """The child of somebody with a condition of later life, well at an age."""
    draft = Draft(dice, "autosomal_dominant", onset=_curve(dice))
    parent = draft.add(affected=True)
    years = dice.choice((40, 45, 50, 55, 60))
    partner = draft.partner(parent, age=age(years + dice.choice(_APART)))
    asked = draft.add(parents=draft.couple(parent, partner), age=age(years))
    draft.ask("disease_allele", person=asked)
    if dice.random() < 0.5:
        draft.ask("will_be_affected", person=asked, by_age=age(years + dice.choice((10, 20))))
    else:
        mate = draft.partner(asked, age=age(years - dice.choice((0, 2, 4))))
        draft.ask("child_affected", parents=draft.couple(asked, mate))
    return draft


def cousins(dice: Random) -> Draft:
    """First cousins, one of whose relatives is affected."""
    draft = Draft(dice, "autosomal_recessive")
    old = draft.pair()
    where = dice.randint(0, 1)
    one, other = draft.add(parents=old), draft.add(parents=old)
    if where == 0:
        draft.add(parents=old, affected=True)
    asked, cousin = _cousins(draft, one, other, affected_sibling=where == 1)
    draft.ask_with_child(asked if where else cousin, draft.couple(asked, cousin))
    return draft


def _cousins(draft: Draft, one: str, other: str, affected_sibling: bool = False) -> tuple[str, str]:
    """Give two siblings partners and a child each, who are a couple; return the two children."""
    first, second = draft.partner(one), draft.partner(other)
    sexes = draft.sexes()
    left, right = draft.couple(one, first), draft.couple(other, second)
    if affected_sibling:
        draft.add(parents=left, affected=True)
    asked, cousin = draft.add(sexes[0], left), draft.add(sexes[1], right)
    draft.couples.append(draft.couple(asked, cousin))
    return asked, cousin


def tested_daughter(dice: Random) -> Draft:
    """A woman at risk on the X with a negative carrier test, and her brothers or sons."""
    draft = Draft(dice, "x_linked_recessive")
    draft.test("carrier test", dice.choice(_SENSITIVE), dice.choice(("1", "95%")))
    asked = draft.add("female", draft.x_linked_carrier(affected_son=True))
    draft.result(asked, "carrier test", "negative")
    return _with_sons(draft, asked, 2)


def _with_sons(draft: Draft, asked: str, most: int) -> Draft:
    """Give a woman a partner and unaffected sons, and ask about her and the next child."""
    couple = (draft.partner(asked), asked)
    draft.children(couple, 0, most, "male")
    draft.ask_with_child(asked, couple, sex=draft.dice.choice(("male", None)))
    return draft


# --- level 4 ------------------------------------------------------------------------------


def balance(dice: Random) -> Draft:
    """An isolated affected boy under mutation-selection balance, and healthy brothers."""
    frequency = Frequency(mutation_selection_balance=SelectionBalance(quantity("0")))
    mutation = Mutation("rare", "rare")
    draft = Draft(dice, "x_linked_recessive", frequency, mutation=mutation)
    mother = draft.add("female")
    parents = (draft.partner(mother), mother)
    draft.add("male", parents, affected=True)
    draft.children(parents, 0, 3, "male")
    if dice.random() < 0.6:
        sister = draft.add("female", parents)
        draft.ask("carrier", person=mother)
        draft.ask("carrier", person=sister)
    else:
        draft.ask_with_child(mother, parents, sex=dice.choice(("male", None)))
    return draft


def typed_family(dice: Random) -> Draft:
    """An affected person with one common and one rarer allele; the sibling's test finds none."""
    draft = _with_panel(dice, (80, 85, 90))
    parents = draft.pair()
    draft.add(parents=parents, affected=True, tests=(TestResult("panel", found=1),))
    asked = draft.add(parents=parents, tests=(TestResult("panel", found=0),))
    tested = (TestResult("panel", found=0),) if dice.random() < 0.7 else ()
    mate = draft.partner(asked, tests=tested)
    draft.ask_with_child(asked, draft.couple(asked, mate))
    return draft


def silent_and_late(dice: Random) -> Draft:
    """A condition that comes late and not to everyone; a child, and perhaps a grandchild."""
    share = dice.choice(_PENETRANT)
    draft = Draft(
        dice, "autosomal_dominant", penetrance=table("0", share, share), onset=_curve(dice)
    )
    parent = draft.add(affected=True)
    years = dice.choice((50, 55, 60))
    partner = draft.partner(parent, age=age(years + dice.choice(_APART)))
    child = draft.add(parents=draft.couple(parent, partner), age=age(years))
    mate = draft.partner(child, age=age(years - 2))
    draft.ask("disease_allele", person=child)
    if dice.random() < 0.5:
        young = dice.choice((25, 30))
        grandchild = draft.add(parents=draft.couple(child, mate), age=age(young))
        draft.ask("disease_allele", person=grandchild)
    else:
        draft.ask("child_affected", parents=draft.couple(child, mate))
    return draft


def mosaic_mother(dice: Random) -> Draft:
    """An isolated affected boy, whose mother is a carrier or a germline mosaic."""
    mosaicism = Mosaicism(
        quantity(dice.choice(("1/50", "1/100", "1/200"))),
        quantity(dice.choice(("1/5", "1/4", "1/10"))),
    )
    draft = Draft(
        dice,
        "x_linked_recessive",
        dice.choice(("1/50", "1/100", "1/200")),
        germline_mosaicism=mosaicism,
    )
    mother = draft.add("female")
    parents = (draft.partner(mother), mother)
    draft.add("male", parents, affected=True)
    draft.children(parents, 0, 2, "male")
    draft.ask_with_child(mother, parents, sex="male")
    return draft


def tested_cousins(dice: Random) -> Draft:
    """First cousins with an affected relative, one of whom has a negative carrier test."""
    draft = Draft(dice, "autosomal_recessive")
    draft.test("carrier test", dice.choice(_SENSITIVE), "1")
    old = draft.pair()
    draft.add(parents=old, affected=True)
    one, other = draft.add(parents=old), draft.add(parents=old)
    asked, cousin = _cousins(draft, one, other)
    draft.result(dice.choice((asked, cousin, one)), "carrier test", "negative")
    draft.ask_with_child(asked, draft.couple(asked, cousin))
    return draft


def uncle_and_niece(dice: Random) -> Draft:
    """Cousins' parents' generation mixed: somebody with the child of an own sibling."""
    draft = Draft(dice, "autosomal_recessive")
    old = draft.pair()
    draft.add(parents=old, affected=True)
    sexes = draft.sexes()
    asked = draft.add(sexes[0], parents=old)
    sibling = draft.add(parents=old)
    mate = draft.partner(sibling)
    young = draft.add(sexes[1], parents=draft.couple(sibling, mate))
    couple = draft.couple(asked, young)
    draft.couples.append(couple)
    draft.children(couple, 0, 1)
    draft.ask_with_child(young, couple)
    return draft


def unlike_twins(dice: Random) -> Draft:
    """Twins who may or may not be identical, one of whom is known to be a carrier."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    chance = dice.choice(("1/2", "1/3", "2/5"))
    parents = draft.pair()
    draft.add(parents=parents, affected=True)
    twin = Twin("1", "unknown", quantity(chance))
    sex = draft.sex()
    draft.add(sex, parents=parents, genotype=1, twin=twin)
    asked = draft.add(sex, parents=parents, twin=twin)
    draft.ask_with_child(asked, draft.couple(asked, draft.partner(asked)))
    return draft


def tested_parents(dice: Random) -> Draft:
    """The sibling of somebody affected with a negative test, a partner and healthy children."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    draft.test("carrier test", dice.choice(_SENSITIVE), "1")
    _, asked = draft.healthy_sibling()
    draft.result(asked, "carrier test", "negative")
    couple = draft.couple(asked, draft.partner(asked, genotype=dice.choice((None, 1))))
    draft.children(couple, 1, 3)
    draft.ask_with_child(asked, couple)
    return draft


LEVEL_3: Mapping[str, tuple[Template, ...]] = {
    "tests": (tested_sibling, screened_couple, tested_daughter, missing_alleles, enzyme_level),
    "penetrance": (silent_allele, silent_grandparent, phenocopy),
    "age": (well_so_far,),
    "x-linked": (enzyme_level, tested_daughter),
    "cousins": (cousins,),
    "live birth": (lethal_twice, lethal_in_males, partly_lost),
}

LEVEL_4: Mapping[str, tuple[Template, ...]] = {
    "mutation": (balance,),
    "variants": (typed_family,),
    "age": (silent_and_late,),
    "penetrance": (silent_and_late,),
    "mosaicism": (mosaic_mother,),
    "cousins": (tested_cousins, uncle_and_niece),
    "twins": (unlike_twins,),
    "tests": (tested_parents, tested_cousins),
    "x-linked": (balance, mosaic_mother),
}
