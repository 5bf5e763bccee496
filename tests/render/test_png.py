"""Pictures of drawings: size, and ink where the scene has a filled symbol."""

from __future__ import annotations

import io

import pytest
from PIL import Image

from risk.render.png import to_png
from risk.scene.tree import draw_tree
from tests.scene.gallery import gallery


@pytest.mark.parametrize("dpi", [72, 144])
def test_a_picture_has_the_size_of_the_scene(dpi: int) -> None:
    scene = draw_tree(gallery()["04-cousins"])
    picture = Image.open(io.BytesIO(to_png(scene, dpi)))
    assert picture.width == pytest.approx(scene.width * dpi / 72, abs=2)
    assert picture.height == pytest.approx(scene.height * dpi / 72, abs=2)


def test_filled_and_empty_symbols_are_black_and_white() -> None:
    case = gallery()["04-cousins"]
    scene = draw_tree(case)
    picture = Image.open(io.BytesIO(to_png(scene, 72))).convert("L")
    for id, x, y in scene.anchors:
        expected = 0 if case.person(id).affected else 255
        assert picture.getpixel((round(x) + 3, round(y) + 6)) == expected


def test_the_same_scene_gives_the_same_bytes() -> None:
    scene = draw_tree(gallery()["03-partners"])
    assert to_png(scene) == to_png(scene)
