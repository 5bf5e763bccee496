"""The SVG as XML: what the public contract promises, and that nothing in it is unsafe."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.case.model import Case
from risk.render.svg import to_svg
from risk.scene.shapes import LINE_ROLES, Scene, Text
from risk.scene.tree import draw_tree
from tests.scene.families import RECESSIVE, grown
from tests.scene.gallery import gallery, person

SVG = "{http://www.w3.org/2000/svg}"


def parsed(scene: Scene, **options: object) -> ElementTree.Element:
    return ElementTree.fromstring(to_svg(scene, **options))  # type: ignore[arg-type]


def test_title_and_description_come_first_and_are_referred_to() -> None:
    case = gallery()["04-cousins"]
    root = parsed(draw_tree(case), prefix="one-")
    title, desc = root[0], root[1]
    assert (title.tag, desc.tag) == (f"{SVG}title", f"{SVG}desc")
    assert title.text == case.title
    assert "Affected: III-3, IV-1." in str(desc.text)
    assert root.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert title.get("id") == "one-title"


@pytest.mark.parametrize("name", sorted(gallery()))
def test_every_person_is_a_group_with_one_symbol_and_the_texts(name: str) -> None:
    case = gallery()[name]
    scene = draw_tree(case)
    groups = parsed(scene).findall(f".//{SVG}g[@data-person]")
    assert sorted(g.get("data-person", "") for g in groups) == sorted(p.id for p in case.people)
    for group in groups:
        assert len(group.findall(".//*[@data-part='symbol']")) == 1
        told = [t.text for t in group.findall(f"{SVG}text[@data-part='label']")]
        id = group.get("data-person")
        assert told == [
            s.text
            for s in scene.items
            if isinstance(s, Text) and s.person == id and s.role == "label"
        ]
        assert group.get("aria-label")


def test_a_sign_in_the_symbol_of_someone_who_died_stands_on_the_slash() -> None:
    folk = person("a m+", status="deceased", count=12), person("b f?", status="deceased")
    for group in parsed(draw_tree(Case(RECESSIVE, folk))).findall(f".//{SVG}g[@data-person]"):
        painted = [shape.tag.removeprefix(SVG) for shape in group.iter() if shape.tag != f"{SVG}g"]
        assert painted[1:] == [painted[1], "line", "text", "text"]


def test_lines_carry_their_part_and_are_hidden_from_screen_readers() -> None:
    root = parsed(draw_tree(gallery()["05-double-cousins"]))
    lines = root.find(f"{SVG}g[@aria-hidden='true']")
    assert lines is not None
    assert {line.get("data-part") for line in lines} == set(LINE_ROLES)
    assert not lines.findall(".//*[@data-person]")


def test_people_come_generation_by_generation() -> None:
    groups = parsed(draw_tree(gallery()["08-generations-b"])).findall(f".//{SVG}g[@data-person]")
    order = [g.get("data-person", "").split("-")[0] for g in groups]
    assert list(dict.fromkeys(order)) == ["I", "II", "III", "IV", "V", "VI", "VII"]
    assert order == sorted(order, key=["I", "II", "III", "IV", "V", "VI", "VII"].index)


def test_people_can_be_focused_where_the_drawing_is_interactive_and_only_there() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    still, live = parsed(scene), parsed(scene, interactive=True)
    assert still.get("role") == "img"
    assert live.get("role") == "graphics-document document"
    assert not still.findall(".//*[@tabindex]")
    people = live.findall(f".//{SVG}g[@data-person]")
    assert all(p.get("tabindex") == "0" for p in people)
    assert {p.get("role") for p in people} == {"graphics-symbol img"}


@given(st.text(min_size=1, max_size=40))
def test_any_text_is_escaped(text: str) -> None:
    case = Case(RECESSIVE, (person("a f", name=text, note=text),), title=text, vignette=text)
    root = parsed(draw_tree(case))
    assert len(root.findall(f".//{SVG}g[@data-person]")) == 1
    assert not root.findall(f".//{SVG}script")


def test_two_drawings_on_a_page_share_no_id() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    ids = [
        {node.get("id") for node in parsed(scene, prefix=p).iter() if node.get("id")} for p in "ab"
    ]
    assert ids[0]
    assert not ids[0] & ids[1]


def test_nothing_is_fetched_from_elsewhere() -> None:
    text = to_svg(draw_tree(gallery()["10-every-status"]))
    assert "http" not in text.replace("http://www.w3.org/2000/svg", "")


def test_the_same_family_gives_the_same_bytes() -> None:
    assert to_svg(draw_tree(grown(40, 1))) == to_svg(draw_tree(grown(40, 1)))


def test_numbers_are_short_and_plain() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    text = to_svg(replace(scene, width=100.126), embed_font=False)
    assert 'width="100.13"' in text
    numbers = re.findall(r'\b(?:x1|y1|x2|y2|cx|cy|r|x|y)="([^"]*)"', text)
    assert numbers
    assert all(re.fullmatch(r"-?\d+(\.\d{1,2})?", number) for number in numbers)
