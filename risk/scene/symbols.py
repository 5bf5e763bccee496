"""Each person's symbol and texts, drawn about (0, 0), with the space they take.

After Bennett et al., Am J Hum Genet 56:745-752 (1995), J Genet Couns 17:424-433 (2008) and
31:1238-1248 (2022): the newest wins, so a carrier has a keyed part with a pattern and no dot.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from risk.case.model import Case, Person, TestResult
from risk.fonts.metrics import text_width, wrap
from risk.scene.family import Family
from risk.scene.shapes import (
    Circle,
    Line,
    Point,
    Polygon,
    Role,
    Shape,
    Text,
    Tone,
    box_of,
    cut,
    hatch,
    union_box,
)

#: Half the side of a square and the radius of a circle.
RADIUS = 14.0
TEXT_SIZE = 10.0
LINE_HEIGHT = 12.5
TEXT_WIDTH = 92.0  # names and notes wrap at this width
WORD_WIDTH = 115.0  # or at that of a word up to this wide, which is not broken
LABEL_WIDTH = 104.0  # and labels at this: a fraction of fifteen signs, in bold, stays on one line
NAME_LINES, NOTE_LINES, RESULT_LINES = 4, 6, 3
LEAST_NAME, MOST_NAME = 8, 60  # letters of a test's name where it is cut for the result's sake
BRACKET = 6.0  # from a symbol to its brackets
SLASH = 6.0  # how far a slash reaches beyond the symbol
LOSS_HEIGHT, LOSS_HALF = 15.0, 9.0  # the small triangle
LOSS_RISE = 6.0  # its apex is this much above the other symbols: a shorter line
LOSS_SIGN, LOSS_SIGN_SIZE = -RADIUS - LOSS_RISE + LOSS_HEIGHT - 1.6, 9.0
HATCH_ANGLE, HATCH_SPACING = 45.0, 3.4
SIGN_SIZE, SIGN_DOWN = 11.5, 4.2  # of a sign inside a symbol: P, n or ?
SIGN_EDGE = 2.0  # what its room must have more than its width


@dataclass(frozen=True, slots=True)
class Drawn:
    """A person's shapes about (0, 0); the space to each side; the top where the line ends.

    `marks` are the names of the marks that the key has to explain; `words` is the accessible
    name.
    """

    shapes: tuple[Shape, ...]
    left: float
    right: float
    up: float
    down: float
    top: float
    marks: tuple[str, ...]
    words: str


def shape_of(person: Person) -> str:
    """Return ``square``, ``circle``, ``diamond``, or ``triangle`` for a pregnancy that ended."""
    if person.status in ("miscarriage", "termination"):
        return "triangle"
    if person.gender is not None:
        return {"man": "square", "woman": "circle", "nonbinary": "diamond"}[person.gender]
    return {"male": "square", "female": "circle", "unknown": "diamond"}[person.sex]


def side(shape: str, dy: float) -> float:
    """Return how far from its centre the outline is at the height `dy` below the centre."""
    if shape == "square":
        return RADIUS
    if shape == "circle":
        return math.sqrt(max(RADIUS**2 - dy**2, 0.0))
    if shape == "diamond":
        return max(RADIUS * 1.12 - abs(dy), 0.0)
    return LOSS_HALF * min(max((dy + RADIUS + LOSS_RISE) / LOSS_HEIGHT, 0.0), 1.0)


def top_of(shape: str) -> float:
    """Return the y at which an individual line meets a symbol about (0, 0)."""
    return {"diamond": -RADIUS * 1.12, "triangle": -RADIUS - LOSS_RISE}.get(shape, -RADIUS)


def corners(shape: str) -> list[Point]:
    """Return the outline as a convex polygon about (0, 0); a circle has 60 corners."""
    r = RADIUS
    if shape == "square":
        return [(-r, -r), (r, -r), (r, r), (-r, r)]
    if shape == "diamond":
        r *= 1.12
        return [(0, -r), (r, 0), (0, r), (-r, 0)]
    if shape == "triangle":
        top = top_of(shape)
        return [(0, top), (LOSS_HALF, top + LOSS_HEIGHT), (-LOSS_HALF, top + LOSS_HEIGHT)]
    turn = [math.tau * step / 60 for step in range(60)]
    return [(r * math.cos(a), r * math.sin(a)) for a in turn]


def outline(shape: str, fill: Tone, person: str | None, role: Role = "symbol") -> Shape:
    """Return the outline of a symbol about (0, 0)."""
    if shape == "circle":
        return Circle(0, 0, RADIUS, role, person, fill=fill)
    return Polygon(tuple(corners(shape)), role, person, fill=fill)


def carrier_part(shape: str, person: str | None, role: Role = "symbol") -> list[Shape]:
    """Return the patterned part of a carrier's symbol: its right half, hatched."""
    half = cut(corners(shape), 1, 0, 0)
    ys = [y for x, y in half if abs(x) < 1e-6]
    divide = Line(((0, min(ys)), (0, max(ys))), role, person, width=1.0)
    lines = hatch(half, HATCH_ANGLE, HATCH_SPACING)
    return [divide, *(Line(ends, role, person, width=1.0) for ends in lines)]


def slash(
    shape: str, person: str | None, reach: float = RADIUS + SLASH, role: Role = "mark"
) -> Line:
    """Return the slash of someone who died, from lower left to upper right; the small triangle's
    is as long as that needs."""
    if shape == "triangle":
        top = top_of(shape)
        return Line(
            ((-LOSS_HALF - 3, top + LOSS_HEIGHT + 4), (LOSS_HALF + 3, top - 2)), role, person
        )
    return Line(((-reach, reach), (reach, -reach)), role, person)


def brackets(person: str | None, role: Role = "mark") -> list[Shape]:
    """Return the square brackets of someone adopted in or out."""
    wide, high, tip = RADIUS + BRACKET, RADIUS + 4.0, 5.0
    return [
        Line(
            (
                (s * (wide - tip), -high),
                (s * wide, -high),
                (s * wide, high),
                (s * (wide - tip), high),
            ),
            role,
            person,
        )
        for s in (-1.0, 1.0)
    ]


def arrow(person: str | None, with_p: bool, role: Role = "mark", left: float = 0) -> list[Shape]:
    """Return the arrow of a proband (with P) or a consultand, from the lower left."""
    tip = (-RADIUS - 2.0 - left, RADIUS * 0.62)
    tail = (tip[0] - 14, tip[1] + 14)
    head = ((tip[0] - 2.2, tip[1] + 7.4), tip, (tip[0] - 7.4, tip[1] + 2.2))
    shapes: list[Shape] = [
        Line((tail, tip), role, person, width=1.6),
        Polygon(head, role, person, width=1.0, fill="ink"),
    ]
    if with_p:
        shapes.append(_text("P", tail[0] - 5, tail[1] + 3, role, person, bold=True))
    return shapes


def _text(
    text: str,
    x: float,
    y: float,
    role: Role,
    person: str | None = None,
    *,
    bold: bool = False,
    size: float = TEXT_SIZE,
    fill: Tone = "ink",
    halo: bool = False,
    whole: str | None = None,
) -> Text:
    width = text_width(text, size, bold)
    return Text(x, y, text, size, width, role, person, "middle", bold, fill, halo, whole)


def is_carrier(person: Person, case: Case, inferred: frozenset[str]) -> bool:
    """Whether the symbol is marked: one allele of two, known or certain, in someone who is not
    known to be affected."""
    two = case.condition.copies(person.sex) == 2
    return two and not person.affected and (person.genotype == 1 or person.id in inferred)


def draw_person(
    person: Person,
    case: Case,
    family: Family,
    labels: Sequence[str],
    inferred: frozenset[str],
    heard: str | None = None,
) -> Drawn:
    """Draw one person about (0, 0); `heard` is what the labels are in the person's words."""
    id, shape = person.id, shape_of(person)
    marks = [shape]
    shapes: list[Shape] = [outline(shape, "ink" if person.affected else "paper", id)]
    carrier = is_carrier(person, case, inferred)
    if person.affected:
        marks.append("affected")
    elif carrier:
        shapes += carrier_part(shape, id)
        marks += ["carrier"] if person.affected is False else ["carrier", "carrier?"]
    elif person.affected is False:
        marks.append("unaffected")
    dead = person.status in ("deceased", "stillbirth", "termination")
    if dead:
        shapes.append(slash(shape, id, RADIUS + SLASH + (BRACKET if person.adopted else 0.0)))
    if person.status != "alive":
        marks.append(person.status)
    inside, below = _inside(person, shape, carrier)
    if inside:
        shapes.append(_sign(inside, shape, person, carrier, halo=dead))
        marks += ["?"] if inside == "?" else []
    if person.count:
        marks.append("count")
    if person.adopted:
        shapes += brackets(id)
        marks.append(f"adopted {person.adopted}")
    if person.roles:
        aside = BRACKET * (bool(person.adopted) + dead)  # clear of brackets and slash
        shapes += arrow(id, "proband" in person.roles, left=aside)
        marks += person.roles[:1] if "proband" not in person.roles else ["proband"]
    if person.adopted and len({p.adopted for p in case.people if p.adopted}) > 1:
        below = [*below, f"adopted {person.adopted}"]  # the brackets are the same
    lines = _lines(person, shape, carrier, below, labels)
    start = max([RADIUS + 7.0, *(box_of(s)[3] + 3.0 for s in shapes if _may_meet(s))])
    for number, (text, bold, whole) in enumerate(lines):
        y = start + 0.78 * TEXT_SIZE + number * LINE_HEIGHT
        shapes.append(_text(text, 0, y, "label", id, bold=bold, whole=whole))
    if any(text.startswith(("AMAB", "AFAB")) for text, *_ in lines):
        marks.append("assigned")
    box = union_box([box_of(s) for s in shapes])
    return Drawn(
        tuple(shapes),
        -box[0],
        box[2],
        -box[1],
        box[3],
        top_of(shape),
        tuple(dict.fromkeys(marks)),
        words(person, case, family, carrier, labels if heard is None else [heard]),
    )


def _may_meet(shape: Shape) -> bool:
    return shape.role in ("mark", "symbol")


def _inside(person: Person, shape: str, carrier: bool) -> tuple[str, list[str]]:
    """The one sign inside the symbol, where it has room, and in words below what else there is."""
    signs = [str(person.count)] if person.count else []
    signs += ["P"] if person.status == "pregnancy" else []
    signs += ["?"] if person.affected is None else []
    words = [{"?": "status not known", "P": "P"}.get(sign, f"n = {sign}") for sign in signs]
    if signs and text_width(signs[0], SIGN_SIZE, True) + SIGN_EDGE <= _room(shape, carrier):
        return signs[0], words[1:]
    return "", words


def _room(shape: str, carrier: bool) -> float:
    """The width that a sign inside a symbol has; in a carrier's that of the half without hatching.

    The small triangle has room for one sign, and in half of it for none.
    """
    if shape == "triangle":
        return 0.0 if carrier else SIGN_SIZE
    return side(shape, SIGN_DOWN) * (1 if carrier else 2)


def _sign(sign: str, shape: str, person: Person, carrier: bool, halo: bool) -> Text:
    """Return the sign inside a symbol; in the small triangle it stands on the foot."""
    small = shape == "triangle"
    x = -_room(shape, carrier) / 2 if carrier else 0.0
    y, size = (LOSS_SIGN, LOSS_SIGN_SIZE) if small else (SIGN_DOWN, SIGN_SIZE)
    fill: Tone = "paper" if person.affected else "ink"
    return _text(sign, x, y, "symbol", person.id, bold=True, size=size, fill=fill, halo=halo)


def _lines(
    person: Person, shape: str, carrier: bool, below: Sequence[str], labels: Sequence[str]
) -> list[tuple[str, bool, str | None]]:
    """Texts below the symbol: alias, age, evaluation, risk, number, note; as the standard orders
    them.  Each is (text, bold, the whole text where this is its first of several lines)."""
    lines: list[tuple[str, bool, str | None]] = []

    def add(text: str, bold: bool = False, most: int = 3, full: str = "") -> None:
        parts = wrap(text, LABEL_WIDTH if bold else _width(text), TEXT_SIZE, bold, most)
        whole = (full or text) if parts != [full or text] else None
        lines.extend((part, bold, whole if n == 0 else None) for n, part in enumerate(parts))

    told = {"square": "male", "circle": "female"}.get(shape)
    if person.sex != "unknown" and told != person.sex and shape != "triangle":
        add("AMAB" if person.sex == "male" else "AFAB")
    if shape == "triangle" and person.sex != "unknown":
        add(person.sex)
    if person.name and person.name != person.id:
        add(person.name, most=NAME_LINES)
    if person.status == "stillbirth":
        add("SB")
    if person.age is not None:
        add(f"{'d. ' if person.status == 'deceased' else ''}{person.age.text} y")
    for text in below:
        add(text)
    for result in person.tests:
        add(_in_room(result), most=NOTE_LINES, full=_told(result))
    if person.genotype is not None and not carrier:
        add(_alleles(person.genotype))
    for label in labels:
        add(label, bold=True)
    add(person.id)
    if person.note:
        add(person.note, most=NOTE_LINES)
    return lines


def _told(result: TestResult, name: str = "") -> str:
    """A result after the name of its test, or after this `name`."""
    if result.found is None:
        said = result.result
    else:
        said = "none found" if result.found == 0 else f"{result.found} found"
    return f"{name or result.test}: {said}"


def _in_room(result: TestResult) -> str:
    """The same in few lines: of a long name the end goes, of the result, the evidence, nothing."""
    text = _told(result)
    for keep in range(min(len(result.test), MOST_NAME), LEAST_NAME, -1):
        if len(wrap(text, _width(text), TEXT_SIZE)) <= RESULT_LINES:
            break
        text = _told(result, f"{_cut(result.test[:keep])}…")
    return text


def _cut(name: str) -> str:
    """A name without its last letter, or up to the word that has this where that keeps much."""
    start = max(map(name[:-1].rfind, " -/_"))
    return (name[:start] if start > max(LEAST_NAME, len(name) / 3) else name[:-1]).rstrip(" -/_")


def _width(text: str) -> float:
    """The width at which a text wraps: a word, or a part up to a mark, is broken only if long."""
    widths = [text_width(part, TEXT_SIZE) for part in re.split(r"(?<=[-/_])|\s+", text)]
    return max([TEXT_WIDTH, *(width for width in widths if width <= WORD_WIDTH)])


def words(person: Person, case: Case, family: Family, carrier: bool, labels: Sequence[str]) -> str:
    """Return the person in words, for those who do not see the drawing."""
    kind = {"square": "man", "circle": "woman", "diamond": "person", "triangle": "pregnancy"}[
        shape_of(person)
    ]
    if person.gender == "nonbinary":
        kind = "nonbinary person"
    parts = [person.id]
    if person.name and person.name != person.id:
        parts.append(person.name)
    parts.append(f"{person.count} of them, each a {kind}" if person.count else kind)
    if person.status != "alive":
        parts.append(
            {"deceased": "died", "pregnancy": "not yet born"}.get(person.status, person.status)
        )
    if person.age is not None:
        parts.append(f"{person.age.text} years")
    parts.append(
        {True: "affected", False: "unaffected", None: "not known whether affected"}[person.affected]
    )
    if carrier:
        parts.append(carrier_words(case, told=False))
    elif person.genotype is not None:
        parts.append(_alleles(person.genotype))
    parts += [_told(result) for result in person.tests]
    if person.twin:
        many = len(family.twins.get(person.id, ()))
        kind = {3: "triplet", 4: "quadruplet"}.get(many, f"one of {many}" if many > 4 else "twin")
        parts.append(twin_words(person.twin.zygosity, kind, several=many > 2))
    if person.adopted:
        parts.append(f"adopted {person.adopted}")
    parts += person.roles
    parts += labels
    text = ", ".join(parts)
    if person.id in family.parents:
        text += f"; child of {person.father} and {person.mother}"
    partners = [couple.other(person.id) for couple in family.unions[person.id]]
    if partners:
        text += f"; partner of {' and of '.join(partners)}"
    return text + (f"; note: {person.note}" if person.note else "")


def _alleles(number: int) -> str:
    return ("no disease allele", "1 disease allele", "2 disease alleles")[number]


def carrier_words(case: Case, *, told: bool = True) -> str:
    """Return what the patterned part means under the case's mode of inheritance.

    `told`: it also tells that its bearers are not affected.
    """
    if case.condition.recessive:
        return "carrier (one disease allele)"
    return "has the disease allele" + ", not affected" * told


def twin_words(zygosity: str, kind: str, *, several: bool) -> str:
    """Name twins of a zygosity, or of `several` each: three from two eggs are called neither."""
    if zygosity == "unknown":
        return f"{kind} of unknown zygosity"
    if several and zygosity == "dizygotic":
        return f"{kind}, not identical"
    return f"{zygosity} {kind}"


def label_lines(labels: Mapping[str, Sequence[str]], id: str) -> tuple[str, ...]:
    """Return the extra lines of text for a person."""
    return tuple(labels.get(id, ()))
