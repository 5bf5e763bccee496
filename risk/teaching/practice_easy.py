"""Templates of practice cases of levels 1 and 2: Mendel, and what healthy people tell.

A template takes dice and returns a draft.  What the dice decide (sexes, numbers, who is whose
relative, the frequency) makes the many cases of one idea.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random

from risk.case.model import Sex
from risk.teaching.practice_births import all_genotypes, dominant_on_the_x, expected_child
from risk.teaching.practice_draft import Draft

Template = Callable[[Random], Draft]

CARRIERS = ("1/15", "1/20", "1/25", "1/30", "1/40", "1/50")


# --- level 1: one fact, and Mendel --------------------------------------------------------


def two_carriers(dice: Random) -> Draft:
    """Two known carriers and their next child."""
    draft = Draft(dice, "autosomal_recessive")
    parents = draft.pair(genotype=1)
    draft.couples.append(parents)
    draft.children(parents, 0, 2, affected=None)
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
    draft.children(parents, 1, 2, affected=True)
    draft.children(parents, 0, 2)
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
    parents = draft.x_linked_carrier()
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
    draft.children((old, wife), 0, 2, "male")
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
    _, asked = draft.healthy_sibling()
    mate = draft.partner(asked)
    draft.ask("child_affected", parents=draft.couple(asked, mate))
    return draft


def uncle_or_aunt(dice: Random) -> Draft:
    """The nephew or niece of somebody affected, with a partner from the population."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    _, parent = draft.healthy_sibling()
    mate = draft.partner(parent, genotype=0)
    asked = draft.add(parents=draft.couple(parent, mate))
    partner = draft.partner(asked)
    draft.ask_with_child(asked, draft.couple(asked, partner))
    return draft


def two_families(dice: Random) -> Draft:
    """Two healthy people who each have an affected sibling."""
    draft = Draft(dice, "autosomal_recessive")
    asked = []
    for sex in draft.sexes():
        _, sibling = draft.healthy_sibling(sex)
        asked.append(sibling)
    couple = draft.couple(asked[0], asked[1])
    draft.couples.append(couple)
    if dice.random() < 0.5:
        draft.ask("both_carriers", people=couple)
    draft.ask("child_affected", parents=couple)
    return draft


def healthy_children(dice: Random) -> Draft:
    """The sibling of somebody affected, a known carrier as partner, and healthy children."""
    draft = Draft(dice, "autosomal_recessive")
    _, asked = draft.healthy_sibling()
    couple = draft.couple(asked, draft.partner(asked, genotype=1))
    draft.children(couple, 1, 3)
    draft.ask_with_child(asked, couple)
    return draft


def affected_child(dice: Random) -> Draft:
    """The healthy sibling of an affected child, and the next one."""
    draft = Draft(dice, "autosomal_recessive", dice.choice(CARRIERS))
    parents = draft.pair()
    draft.couples.append(parents)
    draft.add(parents=parents, affected=True)
    draft.children(parents, 0, 2)
    healthy = draft.add(parents=parents)
    draft.ask_with_child(healthy, parents)
    return draft


def healthy_sons(dice: Random) -> Draft:
    """The daughter of a carrier on the X, who has healthy sons."""
    draft = Draft(dice, "x_linked_recessive")
    grandparents = draft.x_linked_carrier()
    if dice.random() < 0.6:
        draft.add("male", grandparents, affected=dice.random() < 0.7)
    asked = draft.add("female", grandparents)
    couple = (draft.partner(asked), asked)
    draft.children(couple, 1, 4, "male")
    draft.ask_with_child(asked, couple, sex=dice.choice(("male", None)))
    return draft


def sister_of_uncle(dice: Random) -> Draft:
    """A woman whose mother's brother is affected and whose own brothers are not."""
    draft = Draft(dice, "x_linked_recessive")
    mother = draft.add("female", draft.x_linked_carrier(affected_son=True))
    parents = (draft.partner(mother), mother)
    draft.children(parents, 1, 3, "male")
    asked = draft.add("female", parents)
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
    draft.ask_with_child(asked, draft.couple(asked, draft.partner(asked)))
    return draft


LEVEL_1: Mapping[str, tuple[Template, ...]] = {
    "mendel": (two_carriers, affected_and_carrier, affected_parent_recessive, expected_child),
    "several children": (several_children, two_affected_dominant),
    "siblings": (healthy_sibling,),
    "dominant": (dominant_line, two_affected_dominant),
    "x-linked": (carrier_mother, affected_grandfather, dominant_on_the_x),
    "genotypes": (all_genotypes,),
}

LEVEL_2: Mapping[str, tuple[Template, ...]] = {
    "population": (sibling_and_population, uncle_or_aunt, half_sibling),
    "siblings": (two_families, affected_child, half_sibling),
    "children": (healthy_children, healthy_sons),
    "x-linked": (healthy_sons, sister_of_uncle),
}
