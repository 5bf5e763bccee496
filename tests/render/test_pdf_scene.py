"""PDFs of drawings, read back with pypdf: sheets, texts, their places and sizes."""

from __future__ import annotations

import io
import json
import unicodedata
from dataclasses import replace
from typing import Any, Literal

import pytest
from pypdf import PdfReader

from risk import actions
from risk.caution import CAUTION
from risk.fonts.metrics import text_width
from risk.render.pdf_scene import EDGE, LEAST_TEXT, to_pdf
from risk.render.pdf_sheets import PAGES
from risk.scene.shapes import Scene, Text
from risk.scene.tree import draw_tree
from tests.scene.families import grown
from tests.scene.gallery import gallery


def read(data: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(data))


def pieces(page: Any) -> list[tuple[str, float, float, float]]:
    """Every text of a page with its place and its printed size."""
    found: list[tuple[str, float, float, float]] = []

    def visit(text: str, matrix: list[float], place: list[float], _: object, size: float) -> None:
        if text.strip():
            scale = abs(matrix[3] or matrix[1])
            x = place[4] * matrix[0] + matrix[4]
            y = place[5] * matrix[3] + matrix[5]
            found.append((text.strip(), x, y, size * scale))

    page.extract_text(visitor_text=visit)
    return found


def squeezed(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize("name", sorted(gallery()))
def test_every_text_is_on_a_sheet_and_none_smaller_than_nine_points(name: str) -> None:
    scene = draw_tree(gallery()[name])
    pages = read(to_pdf(scene)).pages
    told = squeezed("".join(page.extract_text() for page in pages))
    for shape in scene.items:
        if isinstance(shape, Text) and shape.role == "label" and shape.text.isascii():
            assert squeezed(shape.text) in told
    sizes = [size for page in pages for *_, size in pieces(page)]
    assert min(sizes) >= LEAST_TEXT - 0.01


def test_the_standard_says_its_scale_and_every_sheet_has_the_caution() -> None:
    for case in (gallery()["04-cousins"], grown(120, 2)):
        pages = read(to_pdf(draw_tree(case))).pages
        for number, page in enumerate(pages, 1):
            text = " ".join(page.extract_text().split())
            assert "Scale 100 %" in text
            assert " ".join(CAUTION.split()) in text
            if len(pages) > 1:
                assert f"Sheet {number} of {len(pages)}" in text


@pytest.mark.parametrize("page", ["a4", "letter"])
def test_sheets_have_the_size_asked_for(page: str) -> None:
    scene = draw_tree(grown(60, 4))
    for sheet in read(to_pdf(scene, page)).pages:  # type: ignore[arg-type]
        size = sorted((float(sheet.mediabox.width), float(sheet.mediabox.height)))
        assert size == pytest.approx(PAGES[page], abs=0.01)


@pytest.mark.parametrize("seed", range(4))
def test_everybody_stands_whole_on_a_sheet_of_a_wide_drawing(seed: int) -> None:
    """All texts of a person are on one sheet together, and nobody is left out."""
    scene = draw_tree(grown(90, seed))
    pages = read(to_pdf(scene)).pages
    assert len(pages) > 1
    told = [squeezed(page.extract_text()) for page in pages]
    for id, _, _ in scene.anchors:
        words = [
            squeezed(s.text)
            for s in scene.items
            if isinstance(s, Text) and s.person == id and s.role == "label"
        ]
        assert any(all(word in page for word in words) for page in told)
    assert sum("Key" in page.extract_text().split() for page in pages) == 1


def test_every_sheet_has_the_title_and_numerals_within_the_margin() -> None:
    for page in read(to_pdf(draw_tree(grown(120, 2)))).pages:
        found = pieces(page)
        assert "A family of 121" in page.extract_text()
        assert min(x for _, x, _, _ in found) >= EDGE - 0.01
        numerals = [x for text, x, _, _ in found if set(text) <= set("IVX")]
        assert min(numerals) == pytest.approx(EDGE)


def test_a_long_story_has_sheets_of_its_own() -> None:
    case = replace(grown(90, 1), title="A title", vignette="A long story. " * 700)
    pages = [page.extract_text() for page in read(to_pdf(draw_tree(case))).pages]
    assert sum(page.count("A long") for page in pages) >= 650
    assert "A long" not in pages[0]
    assert all("A title" in page for page in pages)


def test_texts_are_where_the_scene_says() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    (page,) = read(to_pdf(scene, "fit")).pages
    found = {text: (x, y) for text, x, y, _ in pieces(page)}
    checked = 0
    for shape in scene.items:
        if isinstance(shape, Text) and shape.role == "label":
            x, y = found[shape.text]
            assert x == pytest.approx(shape.left, abs=0.5)
            assert y == pytest.approx(scene.height - shape.y, abs=0.5)
            checked += 1
    assert checked == 14


def test_title_and_description_are_in_the_document() -> None:
    scene = draw_tree(gallery()["04-cousins"])
    about = read(to_pdf(scene)).metadata
    assert about is not None
    assert (about.title, about.subject) == (scene.title, scene.desc)


def test_the_same_scene_gives_the_same_bytes() -> None:
    scene: Scene = draw_tree(gallery()["04-cousins"])
    assert to_pdf(scene) == to_pdf(scene)


@pytest.mark.parametrize("page", ["a4", "letter", "fit"])
def test_signs_that_no_face_has_are_owned_up_to(page: Literal["a4", "letter", "fit"]) -> None:
    """On every sheet: a replacement alone would be taken for the name."""
    people = [
        {"id": f"I-{i}", "sex": "male", "name": name}
        for i, name in enumerate(["\u5bb6", "\U0001f9ec", "Zo\u00eb"] * 14)
    ]
    source = {
        "version": 1,
        "condition": {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}},
        "people": people,
    }
    pages = read(to_pdf(draw_tree(actions.load(json.dumps(source))), page)).pages
    assert (len(pages) > 1) == (page != "fit")
    for each in pages:
        text = " ".join(each.extract_text().split())
        assert "stands for signs that this drawing has no letters for: U+5BB6, U+1F9EC." in text
    source["people"] = [{"id": "I-1", "sex": "male", "name": "Zo\u00eb \u0416"}]
    plain = read(to_pdf(draw_tree(actions.load(json.dumps(source))), page)).pages[0]
    assert "stands for signs" not in plain.extract_text()


def test_of_two_ways_to_lay_sheets_the_one_that_repeats_nobody_is_taken() -> None:
    """Fourteen siblings: upright the first parents stand where the second sheet begins."""
    sexes = ("male", "female")
    people: list[dict[str, Any]] = [{"id": "I-1", "sex": "male"}, {"id": "I-2", "sex": "female"}]
    for i in range(1, 15):
        sib, partner = {"id": f"II-{i}", "age": 60 - i}, {"id": f"s{i}"}
        people.append({**sib, "sex": sexes[i % 2], "father": "I-1", "mother": "I-2"})
        if i in (2, 5, 8, 11, 14):
            people.append({**partner, "sex": sexes[1 - i % 2]})
            father, mother = (partner, sib) if i % 2 else (sib, partner)
            both = {"father": father["id"], "mother": mother["id"]}
            people += [{"id": f"III-{i}{j}", "sex": sexes[j], **both} for j in (0, 1)]
    next(each for each in people if each["id"] == "II-3")["status"] = "deceased"
    condition = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
    case = actions.load(json.dumps({"version": 1, "condition": condition, "people": people}))
    pages = read(to_pdf(draw_tree(case))).pages
    assert len(pages) == 2
    told = [text for page in pages for text, *_ in pieces(page)]
    assert all(told.count(each["id"]) == 1 for each in people)


def test_replacements_take_the_room_that_was_measured_for_them() -> None:
    """A vowel sign above a letter has none; else names run into the next one's."""
    names = ["राजेश कुमार", "श्रीमती लक्ष्मी"]
    people = [
        {"id": f"I-{i}", "sex": sex, "name": name}
        for i, (sex, name) in enumerate(zip(("male", "female"), names, strict=True), 1)
    ]
    people.append({"id": "II-1", "sex": "male", "father": "I-1", "mother": "I-2"})
    condition = {"inheritance": "autosomal_recessive", "frequency": {"allele": "1/10"}}
    case = {"version": 1, "condition": condition, "people": people}
    scene = draw_tree(actions.load(json.dumps(case)))
    measured = {s.text: s.measure for s in scene.items if isinstance(s, Text)}
    said = "".join(text for text, *_ in pieces(read(to_pdf(scene)).pages[0]))
    signs = sum(said.count(sign) for sign in "\N{REPLACEMENT CHARACTER}") - 1  # one explains them
    told = [text for text in measured if not text.isascii()]
    assert signs == sum(unicodedata.category(c) != "Mn" for c in "".join(names).replace(" ", ""))
    assert sum(measured[text] for text in told) >= signs * text_width(
        "\N{REPLACEMENT CHARACTER}", 10
    )
