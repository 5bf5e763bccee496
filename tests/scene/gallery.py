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


def people(text: str) -> tuple[Person, ...]:
    """Several people, with a comma or a new line between them."""
    return tuple(person(one) for one in text.replace("\n", ",").split(",") if one.strip())


def case(
    title: str,
    *folk: Person | str,
    couples: tuple[Couple, ...] = (),
    mode: str = "autosomal_recessive",
    vignette: str | None = None,
    name: str | None = None,
) -> Case:
    """A case about these people; a text stands for several."""
    everyone = (p for each in folk for p in (people(each) if isinstance(each, str) else [each]))
    condition = Condition(mode, Frequency(carrier=quantity("1/25")), name=name)  # type: ignore[arg-type]
    return Case(condition, tuple(everyone), title, vignette, couples)


def smallest() -> list[Case]:
    return [
        case("One person", "I-1 f+"),
        case(
            "A couple without children",
            "I-1 m, I-2 f",
            couples=(Couple(("I-1", "I-2"), childless="choice"),),
        ),
        case("Two people who are not related", "I-1 m?, I-2 f?"),
    ]


def sibships() -> list[Case]:
    ten = ["I-1 m", "I-2 f"]
    for n in range(10):
        ten.append(f"II-{2 * n + 1} {'fm'[n % 2]}{'+' if n == 3 else ''} I-1 I-2")
        ten.append(f"II-{2 * n + 2} {'mf'[n % 2]}?")
    pairs = tuple(Couple((f"II-{2 * n + 1}", f"II-{2 * n + 2}")) for n in range(10))
    many = (
        f"II-{n + 1} {'mf'[n % 3 == 0]}{'+' if n in (4, 11) else ''} I-1 I-2" for n in range(25)
    )
    return [
        case("A trio", "I-1 m, I-2 f, II-1 f+ I-1 I-2"),
        case("Ten siblings with partners", *ten, couples=pairs),
        case("Twenty-five children, singly", "I-1 m, I-2 f", *many),
        case(
            "Twenty-five children, counted",
            "I-1 m, I-2 f, II-1 f+ I-1 I-2",
            person("II-2 m I-1 I-2", count=14),
            person("II-3 f I-1 I-2", count=10),
        ),
    ]


def partners() -> list[Case]:
    return [
        case(
            "Three partners, children by each; her second partner is her first's brother",
            """
                I-1 m, I-2 f
                II-1 m I-1 I-2, II-2 f, II-3 m I-1 I-2, II-4 m
                III-1 f II-1 II-2, III-2 m+ II-1 II-2, III-3 f II-3 II-2, III-4 m II-4 II-2
                III-5 f II-4 II-2
            """,
        )
    ]


def cousins() -> list[Case]:
    return [
        case(
            "First cousins marry: two brothers' children",
            """
                I-1 m, I-2 f
                II-1 f, II-2 m I-1 I-2, II-3 m I-1 I-2, II-4 f
                III-1 f II-2 II-1, III-2 m II-2 II-1, III-3 f+ II-2 II-1, III-4 m II-3 II-4
                III-5 f II-3 II-4, III-6 m II-3 II-4
                IV-1 f+ III-2 III-5, IV-2 m III-2 III-5
            """,
        )
    ]


def double_cousins() -> list[Case]:
    return [
        case(
            "Double first cousins: two brothers marry two sisters",
            """
                I-1 m, I-2 f, I-3 m, I-4 f
                II-1 m I-1 I-2, II-2 f I-3 I-4, II-3 m I-1 I-2, II-4 f I-3 I-4
                III-1 f II-1 II-2, III-2 m II-1 II-2, III-3 f II-3 II-4, III-4 m II-3 II-4
                IV-1 f+ III-2 III-3
            """,
        )
    ]


def half_siblings() -> list[Case]:
    return [
        case(
            "Half-siblings by father and by mother; a pair of half-siblings have a child",
            """
                I-1 f, I-2 m, I-3 f, I-4 m
                II-1 m I-2 I-1, II-2 f I-2 I-1, II-3 f I-2 I-3, II-4 m I-4 I-3, II-5 f I-4 I-3
                III-1 f+ II-1 II-3
            """,
        )
    ]


def across() -> list[Case]:
    return [
        case(
            "Uncle and niece",
            """
                I-1 m, I-2 f
                II-1 m I-1 I-2, II-2 f I-1 I-2, II-3 m
                III-1 f II-3 II-2, III-2 m II-3 II-2
                IV-1 m+ II-1 III-1
            """,
        ),
        case(
            "Grandfather and granddaughter",
            """
                I-1 m, I-2 f
                II-1 m I-1 I-2, II-2 f
                III-1 f II-1 II-2, III-2 m II-1 II-2
                IV-1 f+ I-1 III-1
            """,
        ),
        case(
            "Father and son marry mother and daughter",
            """
                I-1 m, I-2 f, I-3 m, I-4 f
                II-1 m I-1 I-2, II-2 f I-3 I-4
                III-1 f II-1 I-4, III-2 m+ I-1 II-2
            """,
        ),
    ]


def generations() -> list[Case]:
    six = ["I-1 m, I-2 f, II-1 m I-1 I-2, II-2 f I-1 I-2, II-3 f, II-4 m"]
    left, right = "II-1 II-3", "II-4 II-2"
    for head in ("III", "IV", "V", "VI"):
        six += [f"{head}-1 f {left}, {head}-2 m {left}, {head}-3 f {right}, {head}-4 m+ {right}"]
        if head != "VI":
            six += [f"{head}-6 f?"]
            left, right = f"{head}-2 {head}-3", f"{head}-4 {head}-6"
    long = ["I-1 m, I-2 f, II-1 m I-1 I-2, II-2 f, II-3 f I-1 I-2, II-4 m"]
    left, right = "II-1 II-2", "II-4 II-3"
    for head in ("III", "IV", "V"):
        long += [f"{head}-1 m {left}, {head}-2 f, {head}-3 m, {head}-4 f {right}"]
        left, right = f"{head}-1 {head}-2", f"{head}-3 {head}-4"
    long += [f"VI-1 m {left}, VI-2 f {right}, VII-1 f+ VI-1 VI-2"]
    return [
        case("Six generations with a cousin marriage in each", *six),
        case(
            "Two fourth cousins marry",
            *long,
            couples=(Couple(("VI-1", "VI-2"), consanguineous=True),),
        ),
    ]


def twins() -> list[Case]:
    one, two = Twin("a", "monozygotic"), Twin("b", "dizygotic")
    triplet = Twin("c", "unknown")
    return [
        case(
            "A sibship with two pairs of twins and triplets; a child of one marries a cousin",
            "I-1 m, I-2 f, I-3 m, I-4 f",
            person("II-1 f I-1 I-2", twin=one),
            person("II-2 f I-1 I-2", twin=one),
            "II-3 m",
            person("II-4 m I-1 I-2", twin=two),
            person("II-5 f I-1 I-2", twin=two),
            "II-6 f I-1 I-2",
            person("II-7 m I-1 I-2", twin=triplet),
            person("II-9 m I-1 I-2", twin=triplet),
            "II-10 f I-3 I-4",
            person("II-11 m I-1 I-2", twin=triplet),
            "III-1 f II-3 II-2, III-2 m II-9 II-10, III-3 f II-9 II-10",
            "II-12 m I-3 I-4, II-13 f, III-4 f II-12 II-13, IV-1 f+ III-2 III-4",
        )
    ]


def every_status() -> list[Case]:
    q = quantity
    folk = (
        person("I-1 m?", status="deceased", age=q("81")),
        person("I-2 f", status="deceased", age=q("74"), genotype=1),
        "I-3 m, I-4 f",
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
        "II-5 m",
        person("II-6 m I-1 I-2", age=q("44"), genotype=1, roles=("consultand",)),
        "II-7 f",
        person("II-8 f I-1 I-2", count=3),
        person("II-9 f+ I-1 I-2", count=2),
        person("III-1 f II-6 II-7", adopted="in"),
        person("III-2 m II-6 II-7", status="stillbirth"),
        person("III-3 u II-6 II-7", status="miscarriage"),
        person("III-4 f+ II-6 II-7", status="miscarriage"),
        person("III-5 u II-6 II-7", status="termination"),
        person("III-6 u? II-6 II-7", status="pregnancy"),
        "III-7 u? II-6 II-7",
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
    both = []
    for k, a, b in ((0, "m", "f"), (4, "f", "m")):
        one, two, three, four = range(k + 1, k + 5)
        parents = f"II-{two} II-{three}"
        couple = f"III-{one} III-{three}" if a == "m" else f"III-{three} III-{one}"
        both += [
            f"I-{one} m, I-{two} f, I-{three} m, I-{four} f",
            f"II-{one} m I-{one} I-{two}, II-{two} m I-{one} I-{two}",
            f"II-{three} f I-{three} I-{four}, II-{four} m I-{three} I-{four}",
            f"III-{one} {a} {parents}, III-{two} {b} {parents}, III-{three} {b}",
            f"IV-{one} {a} {couple}, IV-{two} {b} {couple}",
        ]
    return [
        case("Two families of four generations, joined at the bottom", *both, "V-1 f+ IV-1 IV-5"),
        case(
            "A line of four generations joined to one of two",
            """
                I-1 m, I-2 f
                II-1 m I-1 I-2, II-2 f
                III-1 m II-1 II-2, III-2 f II-1 II-2, III-3 f
                IV-1 m III-1 III-3
                III-4 m, III-5 f
                IV-2 f III-4 III-5, IV-3 m III-4 III-5
                V-1 m+ IV-1 IV-2
            """,
        ),
    ]


def awkward() -> list[Case]:
    folk = (
        person("I-1 m", name="An alias of sixty letters, which is about as long as they get"),
        person("I-2 f", name="Ελένη", note='Greek & <angle> "quotes"'),
        person("II-1 m I-1 I-2", name="سمير"),
        person("II-2 f+ I-1 I-2", name="小明"),
        person("II-3 m I-1 I-2", name="🙂 smile"),
        person("II-4 f I-1 I-2", name="Donaudampfschifffahrtsgesellschaftskapitänswitwe"),
        "an-id-of-forty-letters-0123456789-abcdef f",
        "III-1 m II-1 an-id-of-forty-letters-0123456789-abcdef",
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
