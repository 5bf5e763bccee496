"""Templates of practice cases of levels 1 and 2: Mendel, and what healthy people tell.

A template takes dice and returns a draft.  What the dice decide (sexes, numbers, who is whose
relative, the frequency) makes the many cases of one idea.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from risk.case.model import Sex
from risk.teaching.practice_draft import Draft

Template = Callable[[Random], Draft]

CARRIERS = ("1/15", "1/20", "1/25", "1/30", "1/40", "1/50")


# --- level 1: one fact, and Mendel --------------------------------------------------------


def two_carriers(dice: Random) -> Draft:
    """Two known carriers and their next child."""
    draft = Draft(dice, "autosomal_recessive")
    parents = draft.pair(genotype=1)
    draft.couples.append(parents)
    for _ in range(dice.randint(0, 2)):
        draft.add(parents=parents, affected=None)
    draft.ask(dice.choice(("child_affected", "child_carrier")), parents=parents)
    return draft


def several_children(dice: Random) -> Draft:
    """Two known carriers and their next few children."""
    draft = Draft(dice, "autosomal_recessive")
    parents = draft.pair(genotype=1)
    draft.couples.append(parents)
    number = dice.randint(2, 5)
    counted = dice.randint(0, 2)
    if counted and dice.random() < 0.5:
        draft.ask("children_affected", parents=parents, of=number, at_least=1)
    else:
        draft.ask("children_affected", parents=parents, of=number, exactly=counted)
    return draft


def affected_and_carrier(dice: Random) -> Draft:
    """Somebody affected with a known carrier."""
    draft = Draft(dice, "autosomal_recessive")
    one = draft.add(affected=True)
    other = draft.partner(one, genotype=1)
    draft.ask(dice.choice(("child_affected", "child_carrier")), parents=draft.couple(one, other))
    return draft


def affected_parent_recessive(dice: Random) -> Draft:
    """The child or grandchild of somebody affected."""
    draft = Draft(dice, "autosomal_recessive")
    old = draft.add(affected=True)
    partner = draft.partner(old)
    child = draft.add(parents=draft.couple(old, partner))
    if dice.random() < 0.3:
        mate = draft.partner(child, genotype=1)
        draft.ask("child_affected", parents=draft.couple(child, mate))
        return draft
    mate = draft.partner(child)
    grandchild = draft.add(parents=draft.couple(child, mate))
    draft.ask("carrier", person=grandchild)
    return draft


def healthy_sibling(dice: Random) -> Draft:
    """The healthy sibling of somebody affected."""
    draft = Draft(dice, "autosomal_recessive")
    parents = draft.pair()
    for _ in range(dice.randint(1, 2)):
        draft.add(parents=parents, affected=True)
    for _ in range(dice.randint(0, 2)):
        draft.add(parents=parents)
    asked = draft.add(parents=parents)
    draft.ask("carrier", person=asked)
    return draft


def dominant_line(dice: Random) -> Draft:
    """The child, or unexamined child and grandchild, of somebody affected."""
    draft = Draft(dice, "autosomal_dominant")
    old = draft.add(affected=True)
    partner = draft.partner(old)
    parents = draft.couple(old, partner)
    if dice.random() < 0.4:
        for _ in range(dice.randint(0, 2)):
            draft.add(parents=parents, affected=dice.random() < 0.5)
        draft.ask("child_affected", parents=parents)
        return draft
    person = draft.add(parents=parents, affected=None)
    for _ in range(dice.randint(0, 1)):
        draft.add(parents=parents, affected=dice.random() < 0.5)
    mate = draft.partner(person)
    draft.ask("disease_allele", person=person)
    draft.ask("child_affected", parents=draft.couple(person, mate))
    return draft


def two_affected_dominant(dice: Random) -> Draft:
    """Several children of one affected parent."""
    draft = Draft(dice, "autosomal_dominant")
    old = draft.add(affected=True)
    parents = draft.couple(old, draft.partner(old))
    number = dice.randint(2, 4)
    if dice.random() < 0.5:
        draft.ask("children_affected", parents=parents, of=number, at_least=1)
    else:
        exactly = dice.randint(0, number)
        draft.ask("children_affected", parents=parents, of=number, exactly=exactly)
    return draft


def carrier_mother(dice: Random) -> Draft:
    """A woman known to be a carrier on the X: son, daughter, granddaughter."""
    draft = Draft(dice, "x_linked_recessive")
    mother = draft.add("female", genotype=1)
    father = draft.partner(mother)
    parents = (father, mother)
    kind = dice.randint(0, 2)
    for _ in range(dice.randint(0, 2)):
        draft.add("male", parents=parents, affected=dice.random() < 0.5)
    if kind == 0:
        sex: Sex | None = dice.choice(("male", None))
        draft.ask("child_affected", parents=parents, sex=sex)
        if dice.random() < 0.5:
            draft.ask("child_carrier", parents=parents, sex="female")
    else:
        daughter = draft.add("female", parents=parents)
        draft.ask("carrier", person=daughter)
        if kind == 2:
            mate = draft.partner(daughter)
            draft.ask("child_affected", parents=(mate, daughter), sex="male")
    return draft


def affected_grandfather(dice: Random) -> Draft:
    """The daughter of an affected man, and her children."""
    draft = Draft(dice, "x_linked_recessive")
    old = draft.add("male", affected=True)
    wife = draft.partner(old)
    daughter = draft.add("female", parents=(old, wife))
    for _ in range(dice.randint(0, 2)):
        draft.add("male", parents=(old, wife))
    husband = draft.partner(daughter)
    if dice.random() < 0.5:
        granddaughter = draft.add("female", parents=(husband, daughter))
        draft.ask("carrier", person=granddaughter)
    else:
        sex: Sex | None = dice.choice(("male", None))
        draft.ask("child_affected", parents=(husband, daughter), sex=sex)
    return draft


# --- level 2: healthy relatives, and the population ---------------------------------------


def sibling_and_population(dice: Random) -> Draft:
    """The healthy sibling of somebody affected, with a partner from the population."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    parents = draft.pair()
    draft.add(parents=parents, affected=True)
    asked = draft.add(parents=parents)
    mate = draft.partner(asked)
    draft.ask("child_affected", parents=draft.couple(asked, mate))
    return draft


def uncle_or_aunt(dice: Random) -> Draft:
    """The nephew or niece of somebody affected, with a partner from the population."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    old = draft.pair()
    draft.add(parents=old, affected=True)
    parent = draft.add(parents=old, affected=False)
    mate = draft.partner(parent, genotype=0)
    asked = draft.add(parents=draft.couple(parent, mate))
    draft.ask("carrier", person=asked)
    partner = draft.partner(asked)
    draft.ask("child_affected", parents=draft.couple(asked, partner))
    return draft


def two_families(dice: Random) -> Draft:
    """Two healthy people who each have an affected sibling."""
    draft = Draft(dice, "autosomal_recessive")
    asked = []
    for sex in draft.sexes():
        parents = draft.pair()
        draft.add(parents=parents, affected=True)
        asked.append(draft.add(sex, parents=parents))
    couple = draft.couple(asked[0], asked[1])
    draft.couples.append(couple)
    if dice.random() < 0.5:
        draft.ask("both_carriers", people=couple)
    draft.ask("child_affected", parents=couple)
    return draft


def healthy_children(dice: Random) -> Draft:
    """The sibling of somebody affected, a known carrier as partner, and healthy children."""
    draft = Draft(dice, "autosomal_recessive")
    parents = draft.pair()
    draft.add(parents=parents, affected=True)
    asked = draft.add(parents=parents)
    mate = draft.partner(asked, genotype=1)
    couple = draft.couple(asked, mate)
    for _ in range(dice.randint(1, 3)):
        draft.add(parents=couple)
    draft.ask("carrier", person=asked)
    draft.ask("child_affected", parents=couple)
    return draft


def affected_child(dice: Random) -> Draft:
    """The healthy sibling of an affected child, and the next one."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    parents = draft.pair()
    draft.couples.append(parents)
    draft.add(parents=parents, affected=True)
    for _ in range(dice.randint(0, 2)):
        draft.add(parents=parents)
    healthy = draft.add(parents=parents)
    draft.ask("carrier", person=healthy)
    draft.ask("child_affected", parents=parents)
    return draft


def healthy_sons(dice: Random) -> Draft:
    """The daughter of a carrier on the X, who has healthy sons."""
    draft = Draft(dice, "x_linked_recessive")
    grandmother = draft.add("female", genotype=1)
    grandfather = draft.partner(grandmother)
    if dice.random() < 0.6:
        draft.add("male", parents=(grandfather, grandmother), affected=dice.random() < 0.7)
    asked = draft.add("female", parents=(grandfather, grandmother))
    husband = draft.partner(asked)
    for _ in range(dice.randint(1, 4)):
        draft.add("male", parents=(husband, asked))
    draft.ask("carrier", person=asked)
    draft.ask("child_affected", parents=(husband, asked), sex=dice.choice(("male", None)))
    return draft


def sister_of_uncle(dice: Random) -> Draft:
    """A woman whose mother's brother is affected and whose own brothers are not."""
    draft = Draft(dice, "x_linked_recessive")
    grandmother = draft.add("female", genotype=1)
    grandfather = draft.partner(grandmother)
    draft.add("male", parents=(grandfather, grandmother), affected=True)
    mother = draft.add("female", parents=(grandfather, grandmother))
    father = draft.partner(mother)
    for _ in range(dice.randint(1, 3)):
        draft.add("male", parents=(father, mother))
    asked = draft.add("female", parents=(father, mother))
    draft.ask("carrier", person=mother)
    draft.ask("carrier", person=asked)
    return draft


def half_sibling(dice: Random) -> Draft:
    """Somebody whose half-sibling is affected."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    shared = draft.add()
    first = draft.partner(shared)
    draft.add(parents=draft.couple(shared, first), affected=True)
    second = draft.partner(shared, genotype=0)
    asked = draft.add(parents=draft.couple(shared, second))
    mate = draft.partner(asked)
    draft.ask("carrier", person=asked)
    draft.ask("child_affected", parents=draft.couple(asked, mate))
    return draft


LEVEL_1: Mapping[str, tuple[Template, ...]] = {
    "mendel": (two_carriers, affected_and_carrier, affected_parent_recessive),
    "several children": (several_children, two_affected_dominant),
    "siblings": (healthy_sibling,),
    "dominant": (dominant_line, two_affected_dominant),
    "x-linked": (carrier_mother, affected_grandfather),
}

LEVEL_2: Mapping[str, tuple[Template, ...]] = {
    "population": (sibling_and_population, uncle_or_aunt, half_sibling),
    "siblings": (two_families, affected_child, half_sibling),
    "children": (healthy_children, healthy_sons),
    "x-linked": (healthy_sons, sister_of_uncle),
}
