"""A family as a drawing: people to rows, rows to coordinates, coordinates to shapes.

The drawing follows the published standard of the trade (Bennett et al. 1995, 2008, 2022; see
`risk.scene.symbols`).  No probability is computed here: what is to be written under the symbols
comes in as text.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from risk.case.model import Case
from risk.case.numbering import roman
from risk.caution import CAUTION
from risk.fonts.metrics import lacking, text_width, wrap
from risk.scene.family import Family, family_of
from risk.scene.key import fits_sample, key_shapes, sign_scenes
from risk.scene.lines import Heights, heights, lines, measures
from risk.scene.place import Plan, far_apart, place
from risk.scene.rows import NOWHERE, rows_of
from risk.scene.shapes import Figure, Role, Scene, Shape, Text, box_of, moved, union_box
from risk.scene.symbols import Drawn, draw_person, label_lines
from risk.scene.tracks import channels
from risk.scene.walk import Place

MARGIN = 18.0
EDGE = 4.0  # round a tree without title, key and caution
NUMERAL_SIZE, TITLE_SIZE, REASON_SIZE, CAUTION_SIZE = 12.0, 15.0, 10.0, 9.5
NUMERAL_GAP = 16.0
LEAST_WIDTH = 430.0  # so that title, key and caution line have room
MOST_TEXT_WIDTH = 510.0  # so that it fits a sheet of paper upright
SHORTER = 100.0  # lines must become so much shorter for parents to leave the middle
NO_LABELS: Mapping[str, Sequence[str]] = MappingProxyType({})
NOT_OTHERWISE: Mapping[str, str] = MappingProxyType({})


def draw_tree(
    case: Case,
    *,
    labels: Mapping[str, Sequence[str]] = NO_LABELS,
    labels_heard: Mapping[str, str] = NOT_OTHERWISE,
    labels_mean: str = "",
    carriers: frozenset[str] = frozenset(),
    show_key: bool = True,
    show_title: bool = True,
    show_caution: bool = True,
    previous: Mapping[str, float] = NOWHERE,
) -> Scene:
    """Return the drawing of a valid case's family.

    `labels` gives lines of text to write under people (risks, already as words), `labels_heard`
    what is said in their place to those who do not see where they stand, and `labels_mean` what
    the key says of them; `carriers` the people who are certain, by
    inference, to carry exactly one disease allele.  `previous` gives the x of people in an
    earlier drawing of the family, near which they stay.  Without `show_caution` the page must
    carry the caution itself.
    """
    family = family_of(case)
    row, places = rows_of(case, previous)
    drawn = {
        id: draw_person(
            person, case, family, label_lines(labels, id), carriers, labels_heard.get(id)
        )
        for id, person in family.people.items()
    }
    plan, at, tree = _laid_out(family, row, places, drawn, previous)
    reading = [str(item.ref) for line in plan.rows for item in line if item.kind == "person"]
    for id in reading:
        x, y = plan.person[id].x, at.centre[row[id]]
        tree += [moved(shape, x, y) for shape in drawn[id].shapes]
    tree += _numerals(plan, at.centre)
    title = case.title or "Family tree"
    body, dx, dy, width, height = _framed(
        case,
        tree,
        title if show_title else "",
        _marks(family, drawn) if show_key else set(),
        _label(labels, labels_mean) if show_key else None,
        show_caution,
    )
    anchors = tuple((id, plan.person[id].x + dx, at.centre[row[id]] + dy) for id in reading)
    figures = tuple(Figure(id, drawn[id].words) for id in reading)
    return Scene(
        width,
        height,
        tuple(body),
        title,
        _description(case, plan, family),
        figures,
        anchors,
        _warnings(tree),
    )


def _laid_out(
    family: Family,
    row: dict[str, int],
    places: list[list[Place]],
    drawn: Mapping[str, Drawn],
    previous: Mapping[str, float],
) -> tuple[Plan, Heights, list[Shape]]:
    """Where everybody stands, and all lines between them.

    Partners whom their children draw far apart, as those who have children with others may be,
    stand close where that makes the lines clearly shorter and lets no more of them cross.
    """

    def attempt(loose: frozenset[int]) -> tuple[Plan, Heights, list[Shape]]:
        plan = place(family, row, places, drawn, previous, loose)
        nets = channels(plan, family.twins)
        at = heights(plan, drawn, nets)
        return plan, at, lines(family, plan, drawn, nets, at)

    best = attempt(frozenset())
    if far := far_apart(best[0]):
        other = attempt(far)
        (hops, length), (other_hops, other_length) = measures(best[2]), measures(other[2])
        if other_hops <= hops and other_length < length - SHORTER:
            return other
    return best


def draw_key(cases: Sequence[Case]) -> Scene:
    """Return one key for the drawings of several cases, of one case at least.

    Only the key of a single case names its condition.
    """
    marks: set[str] = set()
    shown = cases[0]
    for case in cases:
        family = family_of(case)
        drawn = {
            id: draw_person(p, case, family, (), frozenset()) for id, p in family.people.items()
        }
        found = _marks(family, drawn)
        shown = case if "carrier" in found - marks else shown
        marks |= found
    if len(cases) > 1:
        shown = replace(shown, condition=replace(shown.condition, name=None))
    shapes = key_shapes(marks, shown, 2.0, 2.0, MOST_TEXT_WIDTH)
    box = union_box([box_of(shape) for shape in shapes])
    words = " ".join(shape.text for shape in shapes if isinstance(shape, Text))
    return Scene(box[2] + 2, box[3] + 2, tuple(shapes), "Key of signs", words, (), (), ())


def draw_signs(
    case: Case,
    *,
    labels: Mapping[str, Sequence[str]] = NO_LABELS,
    labels_mean: str = "",
    carriers: frozenset[str] = frozenset(),
) -> tuple[Scene, ...]:
    """Return the key of the drawing that `draw_tree` makes of the same, an entry a scene.

    The title of a scene says what its sign means.
    """
    family = family_of(case)
    drawn = {
        id: draw_person(p, case, family, label_lines(labels, id), carriers)
        for id, p in family.people.items()
    }
    return sign_scenes(_marks(family, drawn), case, _label(labels, labels_mean))


def _numerals(plan: Plan, centre: list[float]) -> list[Shape]:
    """Roman numerals at the left; where ids carry a numeral, the one that most of a row have.

    Where two rows would have the same they are counted from the top.
    """
    shapes: list[Shape] = []
    texts = []
    for number, line in enumerate(plan.rows):
        votes: dict[str, int] = {}
        for item in line:
            head, dash, tail = str(item.ref).partition("-")
            if (
                item.kind == "person"
                and dash
                and tail.isdigit()
                and (not head.strip("IVXLC") or not head.strip("0"))
            ):
                votes[head] = votes.get(head, 0) + 1
        texts.append(max(votes, key=lambda v: votes[v]) if votes else roman(number + 1))
    if len(set(texts)) < len(texts):
        texts = [roman(number + 1) for number in range(len(texts))]
    for number, text in enumerate(texts):
        width = text_width(text, NUMERAL_SIZE, True)
        shapes.append(
            Text(
                -NUMERAL_GAP,
                centre[number] + 0.36 * NUMERAL_SIZE,
                text,
                NUMERAL_SIZE,
                width,
                "numeral",
                anchor="end",
                bold=True,
            )
        )
    return shapes


def _marks(family: Family, drawn: Mapping[str, Drawn]) -> set[str]:
    marks = {mark for d in drawn.values() for mark in d.marks}
    for couple in family.partnerships:
        if couple.related:
            marks.add("related")
        if couple.about is not None:
            marks |= {"separated"} if couple.about.separated else set()
            marks |= {couple.about.childless} if couple.about.childless else set()
    for group in family.twins.values():
        twin = family.people[group[0]].twin
        assert twin is not None
        marks |= {twin.zygosity} | ({f"{twin.zygosity} several"} if len(group) > 2 else set())
    return marks


def _framed(
    case: Case,
    tree: list[Shape],
    title: str,
    marks: set[str],
    label: tuple[str, str] | None,
    show_caution: bool,
) -> tuple[list[Shape], float, float, float, float]:
    """Put title and reason above the tree, key and caution below; return also the shift."""
    box = union_box([box_of(shape) for shape in tree])
    tree_width = box[2] - box[0]
    if not (title or marks or label or show_caution):  # the tree alone, with no paper round it
        body = [moved(shape, EDGE - box[0], EDGE - box[1]) for shape in tree]
        height = box[3] - box[1]
        return body, EDGE - box[0], EDGE - box[1], tree_width + 2 * EDGE, height + 2 * EDGE
    width = max(tree_width, LEAST_WIDTH)
    head: list[Shape] = []
    y = MARGIN

    def paragraph(text: str, size: float, role: Role, bold: bool = False) -> None:
        nonlocal y
        for part in wrap(text, min(width, MOST_TEXT_WIDTH), size, bold):
            y += size
            head.append(Text(MARGIN, y, part, size, text_width(part, size, bold), role, bold=bold))
            y += 0.3 * size

    if title:
        paragraph(title, TITLE_SIZE, "title", bold=True)
        if case.vignette:
            y += 3
            paragraph(case.vignette, REASON_SIZE, "title")
        y += 12
    dx = MARGIN - box[0] + (width - tree_width) / 2
    dy = y - box[1]
    body = [moved(shape, dx, dy) for shape in tree]
    y += box[3] - box[1] + 16
    foot = key_shapes(marks, case, MARGIN, y, width, label)
    if foot:
        y = union_box([box_of(shape) for shape in foot])[3] + 10
    for part in wrap(CAUTION, width, CAUTION_SIZE) if show_caution else ():
        y += CAUTION_SIZE
        foot.append(Text(MARGIN, y, part, CAUTION_SIZE, text_width(part, CAUTION_SIZE), "caution"))
        y += 3
    return [*head, *body, *foot], dx, dy, width + 2 * MARGIN, y + MARGIN - 6


def _label(labels: Mapping[str, Sequence[str]], mean: str) -> tuple[str, str] | None:
    """What the key says of the labels: one as a sample, a short one that is a number, and words."""
    said = [lines[0] for lines in labels.values() if lines]
    if not said or not mean:
        return None
    numbers = [text for text in said if any(map(str.isdigit, text)) and " " not in text]
    uncertain = [text for text in numbers if text not in ("0", "1", "0%", "100%")]
    shortest = min(uncertain or numbers or said, key=len)
    return (shortest if fits_sample(shortest) else "%"), mean


def _description(case: Case, plan: Plan, family: Family) -> str:
    """The family in a few sentences: size, generations, who is affected, who asks."""
    people = list(family.people.values())
    total = sum(person.count or 1 for person in people)
    rows = len(plan.rows)
    who = "person" if total == 1 else "people"
    parts = [f"Family tree of {total} {who} in {rows} generation{'' if rows == 1 else 's'}."]
    affected = [person.id for person in people if person.affected]
    what = f" by {case.condition.name}" if case.condition.name else ""
    parts.append(f"Affected{what}: {', '.join(affected)}." if affected else "Nobody is affected.")
    for role in ("proband", "consultand"):
        named = [person.id for person in people if role in person.roles]
        if named:
            parts.append(f"{role.capitalize()}: {', '.join(named)}.")
    related = [" and ".join(c.partners) for c in family.partnerships if c.related]
    if related:
        parts.append(f"Related partners: {'; '.join(related)}.")
    return " ".join(parts)


def _warnings(tree: list[Shape]) -> tuple[str, ...]:
    lost = dict.fromkeys(c for s in tree if isinstance(s, Text) for c in lacking(s.text))
    if not lost:
        return ()
    shown = f"the bundled typeface lacks {' '.join(lost)}: an SVG shows them in another typeface"
    return (f"{shown}, a PDF or PNG \N{REPLACEMENT CHARACTER} in their place",)
