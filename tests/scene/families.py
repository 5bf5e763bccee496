"""Random families for drawings: any shape of family, whether or not its facts make sense.

`tests.strategies` makes families for the engine; a drawing must also cope with what those
leave out, so these have many partners, marriages across rows, twins and every status.
"""

from __future__ import annotations

import random

from risk.case.model import Case, Condition, Couple, Frequency, Person, Twin
from risk.number import quantity

NAMES = (None, None, None, "Bo", "Alexandria", "Someone with a long alias", "Ελένη")
NOTES = ("asked by telephone", "a longer note that has to wrap over several lines")
RECESSIVE = Condition("autosomal_recessive", Frequency(carrier=quantity("1/25")))


class _Growth:
    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.people: list[dict[str, object]] = []
        self.couples: list[Couple] = []
        self.row: dict[str, int] = {}

    def add(
        self, row: int, sex: str | None = None, father: str | None = None, mother: str | None = None
    ) -> str:
        dice = self.dice
        id = f"p{len(self.people) + 1}"
        status = dice.choice(("alive",) * 7 + ("deceased",) * 2)
        facts: dict[str, object] = {
            "id": id,
            "sex": sex or dice.choice(("male", "female")),
            "father": father,
            "mother": mother,
            "affected": dice.choice((True, False, False, None)),
            "status": status,
            "name": dice.choice(NAMES),
        }
        if dice.random() < 0.2:
            facts.update(affected=False, genotype=1)
        if dice.random() < 0.4:
            facts["age"] = quantity(str(dice.randint(1, 95)))
        if dice.random() < 0.1:
            facts["note"] = dice.choice(NOTES)
        if dice.random() < 0.04:
            facts["roles"] = (dice.choice(("proband", "consultand")),)
        if dice.random() < 0.04:
            facts["adopted"] = dice.choice(("in", "out"))
        if dice.random() < 0.03:
            facts["gender"] = dice.choice(("woman", "man", "nonbinary"))
        self.people.append(facts)
        self.row[id] = row
        return id

    def sex(self, id: str) -> object:
        return self.people[int(id[1:]) - 1]["sex"]

    def children(self, father: str, mother: str, count: int) -> list[str]:
        dice, row = self.dice, max(self.row[father], self.row[mother]) + 1
        made = [self.add(row, None, father, mother) for _ in range(count)]
        if count > 1 and dice.random() < 0.2:
            first = dice.randrange(count - 1)
            size = 3 if count - first > 2 and dice.random() < 0.2 else 2
            zygosity = dice.choice(("monozygotic", "dizygotic", "unknown"))
            group = [self.people[int(id[1:]) - 1] for id in made[first : first + size]]
            for facts in group:
                facts["twin"] = Twin(f"t{made[first]}", zygosity)  # type: ignore[arg-type]
                facts["sex"] = group[0]["sex"]
        if dice.random() < 0.1:
            loss = self.people[int(self.add(row, "unknown", father, mother)[1:]) - 1]
            loss.update(
                status=dice.choice(("miscarriage", "termination", "pregnancy", "stillbirth"))
            )
            loss.pop("roles", None)
        return made

    def partner(self, id: str, related: bool) -> str:
        dice = self.dice
        other = "female" if self.sex(id) == "male" else "male"
        if related:
            facts = self.people[int(id[1:]) - 1]
            reach = 1 if dice.random() < 0.15 else 0
            known = [
                str(p["id"])
                for p in self.people
                if p["sex"] == other
                and abs(self.row[str(p["id"])] - self.row[id]) <= reach
                and p["status"] in ("alive", "deceased")
                and not (p["father"] is not None and p["father"] == facts["father"])
                and id not in (p["father"], p["mother"])
                and p["id"] not in (facts["father"], facts["mother"])
            ]
            if known:
                return dice.choice(known)
        if dice.random() < 0.15:
            above = self.row[id] - 1
            kin = self.children(
                self.add(above, "male"), self.add(above, "female"), dice.randint(1, 3)
            )
            for mate in kin:
                if self.sex(mate) == other and "twin" not in self.people[int(mate[1:]) - 1]:
                    return mate
        return self.add(self.row[id], other)


def grown(
    size: int, seed: int, *, related: float = 0.05, several: float = 0.1, title: str | None = None
) -> Case:
    """Return a family of about `size` people.

    `related` below 1 is the share of partners who are already in the family, from 1 on their
    number; `several` the share of people with two or three partners.
    """
    growth = _Growth(seed)
    dice = growth.dice
    waiting = growth.children(growth.add(0, "male"), growth.add(0, "female"), dice.randint(1, 5))
    loops = 0
    while len(growth.people) < size:
        if not waiting:
            waiting = [
                str(p["id"]) for p in growth.people if p["father"] and p["sex"] != "unknown"
            ][-4:]
            if not waiting:
                break
        id = waiting.pop(dice.randrange(len(waiting)) if dice.random() < 0.5 else 0)
        for _ in range(1 if dice.random() >= several else dice.randint(2, 3)):
            wanted = (
                dice.random() < related
                if related < 1
                else (loops < related and len(growth.people) > (loops + 1) * size / (related + 2))
            )
            before = len(growth.people)
            mate = growth.partner(id, wanted)
            loops += int(wanted and len(growth.people) == before)
            father, mother = (id, mate) if growth.sex(id) == "male" else (mate, id)
            count = dice.choice((0, 1, 2, 2, 3, 4, 5))
            if count:
                waiting += growth.children(father, mother, count)
            else:
                growth.couples.append(
                    Couple(
                        (father, mother),
                        separated=True if dice.random() < 0.3 else None,
                        childless=dice.choice((None, "choice", "infertility")),  # type: ignore[arg-type]
                    )
                )
    folk = tuple(Person(**facts) for facts in growth.people)  # type: ignore[arg-type]
    parents = {frozenset((p.father, p.mother)) for p in folk}
    couples = {
        frozenset(c.partners): c for c in growth.couples if frozenset(c.partners) not in parents
    }
    return Case(
        RECESSIVE, folk, title or f"A family of {len(folk)}", couples=tuple(couples.values())
    )
