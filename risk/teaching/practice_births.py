"""Templates of practice cases about children: of conditions on the X, unborn, and born alive."""

from __future__ import annotations

from random import Random

from risk.case.model import BySex, Sex
from risk.teaching.practice_draft import Draft, single, table

# --- level 1 ------------------------------------------------------------------------------


def dominant_on_the_x(dice: Random) -> Draft:
    """Somebody affected by a dominant condition on the X, and children or grandchildren."""
    draft = Draft(dice, "x_linked_dominant")
    old = draft.add(affected=True)
    parents = draft.couple(old, draft.partner(old))
    man = draft.of(old).sex == "male"
    if man and dice.random() < 0.5:
        # All daughters of an affected man are affected, and no son.
        daughter = draft.add("female", parents, affected=True)
        draft.children(parents, 0, 1, "male")
        mate = draft.partner(daughter)
        draft.ask("child_affected", parents=(mate, daughter), sex=_any_sex(dice))
    elif man:
        draft.children(parents, 0, 1, "male")
        draft.ask("child_affected", parents=parents)
    elif dice.random() < 0.5:
        draft.children(parents, 0, 2, affected=dice.random() < 0.5)
        draft.ask("child_affected", parents=parents, sex=_any_sex(dice))
    else:
        person = draft.add(parents=parents, affected=None)
        mate = draft.partner(person)
        draft.ask("disease_allele", person=person)
        draft.ask("child_affected", parents=draft.couple(person, mate))
    return draft


def _any_sex(dice: Random) -> Sex | None:
    return dice.choice(("female", "male", None))


def expected_child(dice: Random) -> Draft:
    """A child who is not born yet: of two carriers, of a carrier on the X, of somebody affected."""
    kind = dice.randint(0, 3)
    sex = _known_sex(dice)
    if kind == 0:
        draft = Draft(dice, "autosomal_recessive")
        parents = draft.pair(genotype=1)
        draft.couples.append(parents)
        draft.children(parents, 0, 1, affected=dice.random() < 0.5)
    elif kind == 1:
        draft = Draft(dice, "autosomal_dominant")
        old = draft.add(affected=True)
        parents = draft.couple(old, draft.partner(old))
    else:
        draft = Draft(dice, "x_linked_recessive")
        parents, sex = draft.x_linked_carrier(), "male"
        if kind == 3:
            daughter = draft.add("female", parents)
            parents = (draft.partner(daughter), daughter)
    child = draft.add(sex, parents, affected=None, status="pregnancy")
    draft.ask("genotype" if kind == 0 and dice.random() < 0.5 else "will_be_affected", person=child)
    return draft


def _known_sex(dice: Random) -> Sex:
    """Return a sex that may not be known yet."""
    return dice.choice(("female", "male", "unknown"))


def all_genotypes(dice: Random) -> Draft:
    """The chances of no disease allele, one and two: of a child, a sibling or a grandchild."""
    draft = Draft(dice, "autosomal_recessive")
    kind = dice.randint(0, 3)
    if kind == 0:
        parents = draft.pair(genotype=1)
        draft.couples.append(parents)
        draft.children(parents, 0, 1)
        asked = draft.add(parents=parents, affected=dice.choice((None, False)))
    elif kind == 1:
        one = draft.add(affected=True)
        parents = draft.couple(one, draft.partner(one, genotype=1))
        asked = draft.add(parents=parents, affected=None)
    elif kind == 2:
        one = draft.add(genotype=1)
        parents = draft.couple(one, draft.partner(one, genotype=0))
        asked = draft.add(parents=parents)
    else:
        parents = draft.pair()
        draft.add(parents=parents, affected=True)
        draft.children(parents, 0, 1)
        asked = draft.add(parents=parents, affected=dice.choice((None, False)))
    draft.ask("genotype", person=asked)
    return draft


# --- level 3 ------------------------------------------------------------------------------


def lethal_twice(dice: Random) -> Draft:
    """Two people with a dominant condition, two copies of which nobody is born with."""
    draft = Draft(dice, "autosomal_dominant", viability=table("1", "1", "0"))
    parents = draft.pair(affected=True)
    draft.couples.append(parents)
    for _ in range(dice.randint(0, 2)):
        draft.add(parents=parents, affected=dice.random() < 0.5)
    if dice.random() < 0.5:
        draft.ask("child_affected", parents=parents)
    else:
        number = dice.randint(2, 3)
        draft.ask("children_affected", parents=parents, of=number, exactly=dice.randint(1, number))
    return draft


def lethal_in_males(dice: Random) -> Draft:
    """A woman with a dominant condition on the X that no boy is born with, and her daughter."""
    draft = Draft(
        dice, "x_linked_dominant", viability=BySex(table("1", "1", "1"), single("1", "0"))
    )
    old = draft.add("female", affected=True)
    parents = (draft.partner(old), old)
    draft.children(parents, 0, 2, "male")
    if dice.random() < 0.5:
        draft.ask("child_affected", parents=parents)
        return draft
    daughter = draft.add("female", parents, affected=None)
    mate = draft.partner(daughter)
    draft.children((mate, daughter), 0, 2, "male")
    draft.ask_with_child(daughter, (mate, daughter), "disease_allele")
    return draft


def partly_lost(dice: Random) -> Draft:
    """A recessive condition with which some are not born alive."""
    share = dice.choice(("1/2", "1/3", "1/4"))
    draft = Draft(dice, "autosomal_recessive", viability=table("1", "1", share))
    parents, asked = draft.healthy_sibling()
    if dice.random() < 0.5:
        draft.couples.append(parents)
        draft.ask_with_child(asked, parents)
    else:
        mate = draft.partner(asked, genotype=1)
        draft.ask_with_child(asked, draft.couple(asked, mate))
    return draft


def phenocopy(dice: Random) -> Draft:
    """The affected child of somebody with a dominant allele, who need not have it for that."""
    share = dice.choice(("70%", "80%", "90%"))
    others = dice.choice(("1%", "2%", "5%", "10%"))
    draft = Draft(dice, "autosomal_dominant", penetrance=table(others, share, share))
    parent = draft.add(affected=True, genotype=1)
    couple = draft.couple(parent, draft.partner(parent, genotype=0))
    asked = draft.add(parents=couple, affected=dice.random() < 0.7)
    mate = draft.partner(asked, genotype=0)
    draft.children(draft.couple(asked, mate), 0, 1)
    draft.ask_with_child(asked, draft.couple(asked, mate), "disease_allele")
    return draft
