"""Drawings as a real browser lays them out: the boxes that Chromium measures, not ours."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import Any

import pytest

from risk.render.svg import to_svg
from risk.scene.shapes import Scene, Text, box_of
from risk.scene.tree import draw_tree
from tests.browser import launched
from tests.scene.families import grown
from tests.scene.gallery import case, gallery
from tests.scene.gallery import person as someone

pytestmark = pytest.mark.browser

#: How many random families are measured; set it higher for a thorough run.
FAMILIES = int(os.environ.get("TWOTHIRDS_BROWSER_FAMILIES", "30"))

MEASURE = """
() => {
  const sheet = document.querySelector('svg').getBoundingClientRect();
  const box = (node) => {
    const r = node.getBoundingClientRect();
    return [r.left - sheet.left, r.top - sheet.top, r.right - sheet.left, r.bottom - sheet.top];
  };
  const people = [...document.querySelectorAll('[data-person]')].map((group) => ({
    id: group.dataset.person,
    name: group.getAttribute('aria-label'),
    symbols: [...group.querySelectorAll('[data-part=symbol]')].map(box),
    labels: [...group.querySelectorAll('[data-part=label]')].map(box),
    words: [...group.querySelectorAll('[data-part=label]')].map((n) => n.textContent),
  }));
  const lines = {};
  for (const part of ['partnership', 'descent', 'sibship', 'individual']) {
    lines[part] = [...document.querySelectorAll(`[data-part=${part}]`)]
      .filter((node) => node.tagName !== 'text').map(box);
  }
  return { people, lines, sheet: [sheet.width, sheet.height] };
}
"""


@pytest.fixture(scope="module")
def page() -> Iterator[Any]:
    """A page of a browser."""
    with launched() as browser:
        yield browser.new_page()


def measured(page: Any, scene: Scene) -> dict[str, Any]:
    """What the browser says of a drawing."""
    page.set_content(f"<body style='margin:0'>{to_svg(scene, standalone=False, embed_font=True)}")
    page.evaluate("document.fonts.ready")
    result: dict[str, Any] = page.evaluate(MEASURE)
    return result


def _overlap(a: list[float], b: list[float], by: float = 0.5) -> bool:
    return a[0] < b[2] - by and b[0] < a[2] - by and a[1] < b[3] - by and b[1] < a[3] - by


def browser_faults(found: dict[str, Any]) -> list[str]:
    """Overlaps of different people, lines through texts, rows that are not level."""
    faults = []
    boxes = sorted(
        (box, person["id"], kind)
        for person in found["people"]
        for kind in ("symbols", "labels")
        for box in person[kind]
    )
    for number, (box, id, kind) in enumerate(boxes):
        for other, other_id, other_kind in boxes[number + 1 :]:
            if other[0] > box[2]:
                break
            if id != other_id and _overlap(box, other):
                faults.append(f"{kind} of {id} on {other_kind} of {other_id}")
    for part, pieces in found["lines"].items():
        for piece in pieces:
            for box, id, kind in boxes:
                slanted = piece[2] - piece[0] > 3 and piece[3] - piece[1] > 8
                if kind == "labels" and not slanted and _overlap(piece, box):
                    faults.append(f"a {part} line through the text of {id}")
    for person in found["people"]:
        if len(person["symbols"]) != 1:
            faults.append(f"{person['id']} has {len(person['symbols'])} symbols")
        if any(b[0] < 0 or b[2] > found["sheet"][0] for b in person["symbols"] + person["labels"]):
            faults.append(f"{person['id']} is off the sheet")
    return faults


@pytest.mark.parametrize("seed", range(FAMILIES))
def test_random_families_have_no_fault_in_a_browser(page: Any, seed: int) -> None:
    case = grown((6, 15, 30, 60)[seed % 4], seed + 5000, related=(0.0, 0.06, 0.15)[seed % 3])
    found = measured(page, draw_tree(case))
    assert sorted(p.id for p in case.people) == sorted(p["id"] for p in found["people"])
    assert browser_faults(found) == []


@pytest.mark.parametrize("name", sorted(gallery()))
def test_the_gallery_has_no_fault_in_a_browser(page: Any, name: str) -> None:
    assert browser_faults(measured(page, draw_tree(gallery()[name]))) == []


def test_text_is_as_wide_as_measured_and_symbols_stand_where_the_scene_says(page: Any) -> None:
    case = gallery()["10-every-status"]
    scene = draw_tree(case, labels={"II-6": ("carrier: 2/3", "AVATAR To, kerned")})
    found = measured(page, scene)
    expected: dict[str, list[tuple[float, float]]] = {}
    for shape in scene.items:
        if isinstance(shape, Text) and shape.role == "label":
            left, _, right, _ = box_of(shape)
            expected.setdefault(str(shape.person), []).append((left, right))
    middles = {id: (x, y) for id, x, y in scene.anchors}
    for person in found["people"]:
        drawn = [(box[0], box[2]) for box in person["labels"]]
        for (left, right), (seen_left, seen_right) in zip(
            expected.get(person["id"], []), drawn, strict=True
        ):
            assert seen_left == pytest.approx(left, abs=0.5)
            assert seen_right == pytest.approx(right, abs=0.5)
        box = person["symbols"][0]
        assert (box[0] + box[2]) / 2 == pytest.approx(middles[person["id"]][0], abs=0.8)


def test_the_embedded_face_sets_text_without_stretching(page: Any) -> None:
    """Natural width equals the measured one, so `textLength` is only a safeguard.

    Chromium rounds each advance at the size drawn, which adds up over a long line: 0.2 %.
    """
    scene = draw_tree(gallery()["10-every-status"])
    svg = to_svg(scene, standalone=False, embed_font=True)
    page.set_content(svg)
    page.evaluate("document.fonts.ready")
    widths = page.evaluate(
        "() => [...document.querySelectorAll('text')].map((node) => {"
        " const said = parseFloat(node.getAttribute('textLength'));"
        " node.removeAttribute('textLength');"
        " return [node.textContent, said, node.getComputedTextLength()]; })"
    )
    assert len(widths) > 40
    assert [w for w in widths if abs(w[1] - w[2]) > max(0.5, 0.002 * w[1])] == []


def test_words_from_right_to_left_run_as_in_a_pdf_and_are_not_stretched(page: Any) -> None:
    """As their first letter does; joined letters take less room than their widths tell."""
    names = ("דוד A-12", "A-12 דוד", "محمد بن عبد الله")
    folk = (someone(f"{id} f", name=name) for id, name in zip("KLM", names, strict=True))
    found = measured(page, draw_tree(case("Names", *folk)))
    assert browser_faults(found) == []
    seen = page.evaluate(
        """(names) => names.map((name) => {
          const texts = [...document.querySelectorAll('[data-part=label]')];
          const node = texts.find((each) => each.textContent === name);
          const x = (sign) => node.getExtentOfChar(name.indexOf(sign)).x;
          const set = node.getComputedTextLength();
          node.removeAttribute('textLength');
          return [!name.includes('A') || x('A') < x('ד'), set / node.getComputedTextLength()];
        })""",
        list(names),
    )
    assert all(latin_is_left for latin_is_left, _ in seen)
    assert [stretch for _, stretch in seen] == pytest.approx([1, 1, 1], abs=0.05)


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_file_that_stands_alone_follows_light_and_dark(page: Any, scheme: str) -> None:
    """Ink against paper keeps a contrast of 4.5:1 or more (WCAG 2.2, 1.4.3) in both."""
    page.emulate_media(color_scheme=scheme)
    page.set_content(to_svg(draw_tree(gallery()["04-cousins"])).split("?>", 1)[1])
    ink, paper = page.evaluate(
        "() => [getComputedStyle(document.querySelector('svg')).color,"
        " getComputedStyle(document.querySelector('.sheet')).fill]"
    )
    light, dark = sorted((_luminance(ink), _luminance(paper)), reverse=True)
    assert (light + 0.05) / (dark + 0.05) >= 4.5
    assert (_luminance(paper) > 0.5) == (scheme == "light")


def _luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(part) / 255 for part in colour[4:-1].split(",")]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
