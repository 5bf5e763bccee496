"""The twelve families of the gallery: each is hard for a drawing in its own way.

`python -m tests.scene.gallery` draws them into ``docs/gallery/trees``.  All are invented.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from risk.case.model import Case, Condition, Couple, Frequency, Person, TestResult, Twin
from risk.number import quantity

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "gallery" / "trees"
SEX = {"m": "male", "f": "female", "u": "unknown"}


def person(text: str, **more: object) -> Person:
    """``"II-2 f I-1 I-2"``: id, sex, father, mother; ``+`` affected, ``-`` not, ``?`` unknown."""
    id, sex, *parents = text.split()
    affected = {"+": True, "?": None}.get(sex[-1], False)
    father, mother = parents if parents else (None, None)
    return Person(
        id,
        SEX[sex[0]],
        father=father,
        mother=mother,
        **{"affected": affected, **more},  # type: ignore[arg-type]
    )


def case(
    title: str,
    *people: Person,
    couples: tuple[Couple, ...] = (),
    mode: str = "autosomal_recessive",
    vignette: str | None = None,
    name: str | None = None,
) -> Case:
    """A case about these people."""
    condition = Condition(mode, Frequency(carrier=quantity("1/25")), name=name)  # type: ignore[arg-type]
    return Case(condition, people, title, vignette, couples)


def people(text: str) -> tuple[Person, ...]:
    """Several people, one a line."""
    return tuple(person(line) for line in text.strip().splitlines())


def smallest() -> list[Case]:
    return [
        case("One person", person("I-1 f+")),
        case(
            "A couple without children",
            *people("I-1 m\nI-2 f"),
            couples=(Couple(("I-1", "I-2"), childless="choice"),),
        ),
        case("Two people who are not related", *people("I-1 m?\nI-2 f?")),
    ]


def sibships() -> list[Case]:
    ten = ["I-1 m", "I-2 f"]
    for n in range(10):
        ten.append(f"II-{2 * n + 1} {'fm'[n % 2]}{'+' if n == 3 else ''} I-1 I-2")
        ten.append(f"II-{2 * n + 2} {'mf'[n % 2]}?")
    pairs = tuple(Couple((f"II-{2 * n + 1}", f"II-{2 * n + 2}")) for n in range(10))
    many = [
        "I-1 m",
        "I-2 f",
        *(f"II-{n + 1} {'mf'[n % 3 == 0]}{'+' if n in (4, 11) else ''} I-1 I-2" for n in range(25)),
    ]
    counted = [
        *people("I-1 m\nI-2 f\nII-1 f+ I-1 I-2"),
        person("II-2 m I-1 I-2", count=14),
        person("II-3 f I-1 I-2", count=10),
    ]
    return [
        case("A trio", *people("I-1 m\nI-2 f\nII-1 f+ I-1 I-2")),
        case("Ten siblings with partners", *people("\n".join(ten)), couples=pairs),
        case("Twenty-five children, singly", *people("\n".join(many))),
        case("Twenty-five children, counted", *counted),
    ]


def partners() -> list[Case]:
    return [
        case(
            "Three partners, children by each; her second partner is her first's brother",
            *people("""
I-1 m
I-2 f
II-1 m I-1 I-2
II-2 f
II-3 m I-1 I-2
II-4 m
III-1 f II-1 II-2
III-2 m+ II-1 II-2
III-3 f II-3 II-2
III-4 m II-4 II-2
III-5 f II-4 II-2"""),
        )
    ]


def cousins() -> list[Case]:
    return [
        case(
            "First cousins marry: two brothers' children",
            *people("""
I-1 m
I-2 f
II-1 f
II-2 m I-1 I-2
II-3 m I-1 I-2
II-4 f
III-1 f II-2 II-1
III-2 m II-2 II-1
III-3 f+ II-2 II-1
III-4 m II-3 II-4
III-5 f II-3 II-4
III-6 m II-3 II-4
IV-1 f+ III-2 III-5
IV-2 m III-2 III-5"""),
        )
    ]


def double_cousins() -> list[Case]:
    return [
        case(
            "Double first cousins: two brothers marry two sisters",
            *people("""
I-1 m
I-2 f
I-3 m
I-4 f
II-1 m I-1 I-2
II-2 f I-3 I-4
II-3 m I-1 I-2
II-4 f I-3 I-4
III-1 f II-1 II-2
III-2 m II-1 II-2
III-3 f II-3 II-4
III-4 m II-3 II-4
IV-1 f+ III-2 III-3"""),
        )
    ]


def half_siblings() -> list[Case]:
    return [
        case(
            "Half-siblings by father and by mother; a pair of half-siblings have a child",
            *people("""
I-1 f
I-2 m
I-3 f
I-4 m
II-1 m I-2 I-1
II-2 f I-2 I-1
II-3 f I-2 I-3
II-4 m I-4 I-3
II-5 f I-4 I-3
III-1 f+ II-1 II-3"""),
        )
    ]


def across() -> list[Case]:
    return [
        case(
            "Uncle and niece",
            *people("""
I-1 m
I-2 f
II-1 m I-1 I-2
II-2 f I-1 I-2
II-3 m
III-1 f II-3 II-2
III-2 m II-3 II-2
IV-1 m+ II-1 III-1"""),
        ),
        case(
            "Grandfather and granddaughter",
            *people("""
I-1 m
I-2 f
II-1 m I-1 I-2
II-2 f
III-1 f II-1 II-2
III-2 m II-1 II-2
IV-1 f+ I-1 III-1"""),
        ),
        case(
            "Father and son marry mother and daughter",
            *people("""
I-1 m
I-2 f
I-3 m
I-4 f
II-1 m I-1 I-2
II-2 f I-3 I-4
III-1 f II-1 I-4
III-2 m+ I-1 II-2"""),
        ),
    ]


def generations() -> list[Case]:
    six = ["I-1 m", "I-2 f", "II-1 m I-1 I-2", "II-2 f I-1 I-2", "II-3 f", "II-4 m"]
    pair = (("II-1", "II-3"), ("II-4", "II-2"))
    numeral = ("III", "IV", "V", "VI")
    for step, head in enumerate(numeral):
        (a, b), (c, d) = pair
        six += [
            f"{head}-1 f {a} {b}",
            f"{head}-2 m {a} {b}",
            f"{head}-3 f {c} {d}",
            f"{head}-4 m+ {c} {d}",
        ]
        if step < 3:
            six += [f"{head}-6 f?"]
            pair = ((f"{head}-2", f"{head}-3"), (f"{head}-4", f"{head}-6"))
    long = ["I-1 m", "I-2 f", "II-1 m I-1 I-2", "II-2 f", "II-3 f I-1 I-2", "II-4 m"]
    left, right = ("II-1", "II-2"), ("II-4", "II-3")
    for head in ("III", "IV", "V"):
        long += [
            f"{head}-1 m {left[0]} {left[1]}",
            f"{head}-2 f",
            f"{head}-3 m",
            f"{head}-4 f {right[0]} {right[1]}",
        ]
        left, right = (f"{head}-1", f"{head}-2"), (f"{head}-3", f"{head}-4")
    long += [f"VI-1 m {left[0]} {left[1]}", f"VI-2 f {right[0]} {right[1]}", "VII-1 f+ VI-1 VI-2"]
    return [
        case("Six generations with a cousin marriage in each", *people("\n".join(six))),
        case(
            "Two fourth cousins marry",
            *people("\n".join(long)),
            couples=(Couple(("VI-1", "VI-2"), consanguineous=True),),
        ),
    ]


def twins() -> list[Case]:
    folk = list(
        people("""
I-1 m
I-2 f
I-3 m
I-4 f
II-1 f I-1 I-2
II-2 f I-1 I-2
II-3 m
II-4 m I-1 I-2
II-5 f I-1 I-2
II-6 f I-1 I-2
II-7 m I-1 I-2
II-9 m I-1 I-2
II-10 f I-3 I-4
II-11 m I-1 I-2
III-1 f II-3 II-2
III-2 m II-9 II-10
III-3 f II-9 II-10""")
    )
    kinds = {
        "II-1": ("a", "monozygotic"),
        "II-2": ("a", "monozygotic"),
        "II-4": ("b", "dizygotic"),
        "II-5": ("b", "dizygotic"),
        "II-7": ("c", "unknown"),
        "II-9": ("c", "unknown"),
        "II-11": ("c", "unknown"),
    }
    from dataclasses import replace

    folk = [
        replace(p, twin=Twin(*kinds[p.id])) if p.id in kinds else p  # type: ignore[arg-type]
        for p in folk
    ]
    folk.append(person("II-12 m I-3 I-4"))
    folk.append(person("II-13 f"))
    folk.append(person("III-4 f II-12 II-13"))
    folk.append(person("IV-1 f+ III-2 III-4"))
    return [
        case(
            "A sibship with two pairs of twins and triplets; a child of one marries a cousin", *folk
        )
    ]


def every_status() -> list[Case]:
    q = quantity
    folk = (
        person("I-1 m?", status="deceased", age=q("81")),
        person("I-2 f", status="deceased", age=q("74"), genotype=1),
        person("I-3 m"),
        person("I-4 f"),
        person("II-1 m I-1 I-2", age=q("50"), adopted="out"),
        person(
            "II-2 f+ I-1 I-2",
            age=q("48"),
            roles=("proband", "consultand"),
            name="Alias Rose",
            tests=(TestResult("sweat test", result="positive"),),
        ),
        person("II-3 m", gender="woman", age=q("47"), genotype=0),
        person(
            "II-4 f I-1 I-2",
            gender="nonbinary",
            age=q("45"),
            note="Lives abroad; to be asked again about the panel.",
        ),
        person("II-5 m"),
        person("II-6 m I-1 I-2", age=q("44"), genotype=1, roles=("consultand",)),
        person("II-7 f"),
        person("II-8 f I-1 I-2", count=3),
        person("II-9 f+ I-1 I-2", count=2),
        person("III-1 f II-6 II-7", adopted="in"),
        person("III-2 m II-6 II-7", status="stillbirth"),
        person("III-3 u II-6 II-7", status="miscarriage"),
        person("III-4 f+ II-6 II-7", status="miscarriage"),
        person("III-5 u II-6 II-7", status="termination"),
        person("III-6 u? II-6 II-7", status="pregnancy"),
        person("III-7 u? II-6 II-7"),
    )
    couples = (
        Couple(("II-2", "II-3"), separated=True),
        Couple(("II-4", "II-5"), childless="choice"),
        Couple(("I-3", "I-4"), childless="infertility"),
        Couple(("II-6", "II-7"), separated=True),
    )
    return [
        case(
            "Every mark in use",
            *folk,
            couples=couples,
            name="cystic fibrosis",
            vignette="An invented family that needs every sign of the drawing once.",
        )
    ]


def joined() -> list[Case]:
    lines = []
    for side, (a, b) in enumerate((("m", "f"), ("f", "m"))):
        k = side * 4
        lines += [
            f"I-{k + 1} m",
            f"I-{k + 2} f",
            f"I-{k + 3} m",
            f"I-{k + 4} f",
            f"II-{k + 1} m I-{k + 1} I-{k + 2}",
            f"II-{k + 2} m I-{k + 1} I-{k + 2}",
            f"II-{k + 3} f I-{k + 3} I-{k + 4}",
            f"II-{k + 4} m I-{k + 3} I-{k + 4}",
            f"III-{k + 1} {a} II-{k + 2} II-{k + 3}",
            f"III-{k + 2} {b} II-{k + 2} II-{k + 3}",
            f"III-{k + 3} {b}",
            f"IV-{k + 1} {a} "
            + (f"III-{k + 1} III-{k + 3}" if a == "m" else f"III-{k + 3} III-{k + 1}"),
            f"IV-{k + 2} {b} "
            + (f"III-{k + 1} III-{k + 3}" if a == "m" else f"III-{k + 3} III-{k + 1}"),
        ]
    lines += ["V-1 f+ IV-1 IV-5"]
    uneven = """
I-1 m
I-2 f
II-1 m I-1 I-2
II-2 f
III-1 m II-1 II-2
III-2 f II-1 II-2
III-3 f
IV-1 m III-1 III-3
III-4 m
III-5 f
IV-2 f III-4 III-5
IV-3 m III-4 III-5
V-1 m+ IV-1 IV-2"""
    return [
        case("Two families of four generations, joined at the bottom", *people("\n".join(lines))),
        case("A line of four generations joined to one of two", *people(uneven)),
    ]


def awkward() -> list[Case]:
    folk = (
        person("I-1 m", name="An alias of sixty letters, which is about as long as they get"),
        person("I-2 f", name="Ελένη", note='Greek & <angle> "quotes"'),
        person("II-1 m I-1 I-2", name="سمير"),
        person("II-2 f+ I-1 I-2", name="小明"),
        person("II-3 m I-1 I-2", name="🙂 smile"),
        person("II-4 f I-1 I-2", name="Donaudampfschifffahrtsgesellschaftskapitänswitwe"),
        person("an-id-of-forty-letters-0123456789-abcdef f"),
        person("III-1 m II-1 an-id-of-forty-letters-0123456789-abcdef"),
    )
    return [case("Awkward texts: long, Greek, Arabic, Chinese, emoji, <&>", *folk)]


def large() -> list[Case]:
    from tests.scene.families import grown

    return [grown(200, seed=11, related=10, title="Two hundred people with ten loops")]


GALLERY: dict[str, Callable[[], list[Case]]] = {
    "01-smallest": smallest,
    "02-sibships": sibships,
    "03-partners": partners,
    "04-cousins": cousins,
    "05-double-cousins": double_cousins,
    "06-half-siblings": half_siblings,
    "07-across": across,
    "08-generations": generations,
    "09-twins": twins,
    "10-every-status": every_status,
    "11-joined": joined,
    "12-awkward": awkward,
    "12-large": large,
}


def gallery() -> dict[str, Case]:
    """All families by the name of their picture."""
    return {
        name if len(cases) == 1 else f"{name}-{'abcd'[number]}": one
        for name, make in GALLERY.items()
        for cases in [make()]
        for number, one in enumerate(cases)
    }


def main() -> None:
    """Draw the gallery."""
    from risk.render.png import to_png
    from risk.render.svg import to_svg
    from risk.scene.tree import draw_tree

    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, one in gallery().items():
        scene = draw_tree(one)
        (FOLDER / f"{name}.svg").write_text(
            to_svg(scene, prefix=f"{name}-", embed_font=False), "utf-8"
        )
        (FOLDER / f"{name}.png").write_bytes(to_png(scene, 108))


if __name__ == "__main__":
    main()
