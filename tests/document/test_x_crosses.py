"""What a cross at a gene on the X says in words and tables, and as a drawing."""

from itertools import product

import pytest

from risk.caution import CAUTION
from risk.document.blocks import Caution, Heading, Paragraph, Table, flatten
from risk.document.cross_figure import running_scene, square_scene
from risk.document.cross_words import broods_in_words
from risk.document.crosses import cross_blocks
from risk.render.cross_text import cross_text
from risk.scene.shapes import Line, Text, box_of
from risk.teaching.cross import punnett
from risk.teaching.crossing import cross

EVERY = [
    cross("XAXa", "XAY", offspring=400, seed=2, observed="98:0:51:47"),
    cross("XAXA", "XaY", then="F2", observed="2459:0:1011:782"),
    cross("XaXa", "XAY", then="backcross:XaXa:50", affected="dominant"),
    cross("XAXa", "XaY", then="sibs:50", offspring=3, observed="1:0:0:1"),
    cross("XWXw", "XwY", then="backcross:XwY:3"),
]


def said(crossed):
    flat = flatten(cross_blocks(crossed))
    return " ".join(block.text for block in flat if isinstance(block, Heading | Paragraph))


@pytest.mark.parametrize(
    ("parents", "words"),
    [
        # Common practice: the ratios of every introductory textbook.
        (
            ("XAXa", "XAY"),
            "No daughter is affected, and half are carriers. Half of the sons are affected.",
        ),
        (
            ("XAXA", "XaY"),
            "No daughter is affected, and all are carriers. No son is affected.",
        ),
        (
            ("XAXa", "XaY"),
            (
                "Half of the daughters are affected, and half are carriers. "
                "Half of the sons are affected."
            ),
        ),
        (("XaXa", "XaY"), "All daughters are affected. All sons are affected."),
        (("XAXA", "XAY"), "No daughter is affected, and none is a carrier. No son is affected."),
        (("XaXa", "XAY", "dominant"), "All daughters are affected. No son is affected."),
        (
            ("XAXa", "XaY", "dominant"),
            "Half of the daughters are affected. Half of the sons are affected.",
        ),
    ],
)
def test_who_is_affected_in_words(parents, words):
    square = punnett(*parents)
    assert broods_in_words(square, square.gene) == words


@pytest.mark.parametrize("crossed", EVERY)
def test_the_caution_comes_last_and_pages_fit_80_columns(crossed):
    assert cross_blocks(crossed)[-1] == Caution(CAUTION)
    text = cross_text(crossed)
    assert max(map(len, text.splitlines())) <= 80


def test_the_square_in_characters():
    lines = cross_text(EVERY[0]).splitlines()
    assert lines[5:10] == [
        "                +---------------------+---------------------+",
        "  mother's  X^A |       X^A X^A       |        X^A Y        |",
        "                | unaffected daughter |   unaffected son    |",
        "                +---------------------+---------------------+",
        "  gametes   X^a |       X^A X^a       |::::::: X^a Y :::::::|",
    ]


def test_the_reciprocal_cross_stands_beside_an_f2():
    assert "mother X^a X^a, father X^A Y. On an autosome this would change nothing" in said(
        EVERY[1]
    )
    assert "reciprocal" not in said(EVERY[0])
    assert "reciprocal" not in said(cross("XAXa", "XAY", then="F2"))


def test_what_has_no_place_on_the_x_is_said():
    assert "there is no F of sons" in said(EVERY[3])
    assert "genome comes from the recurrent parent is not shown" in said(EVERY[4])
    assert "the daughters of F1 and X^w Y" in said(EVERY[4])
    assert "the sons of F1 and X^a X^a" in said(EVERY[2])


def test_a_fit_by_sex_says_that_the_sexes_count_too():
    assert "p = 9.81 × 10⁻²⁹" in said(EVERY[1])
    assert "a poor fit may come from the numbers of the sexes" in said(EVERY[1])
    assert "expected count is below 5" in said(EVERY[3])
    (table,) = [
        block
        for block in flatten(cross_blocks(EVERY[1]))
        if isinstance(block, Table) and block.header and "observed" in block.header[0]
    ]
    assert [row.cells[0] for row in table.rows] == [
        "daughters, dominant",
        "sons, dominant",
        "sons, recessive",
        "together",
    ]


def test_of_drawn_offspring_the_sexes_are_counted():
    drawn = EVERY[0].simulation.genotypes
    daughters = drawn["X^A X^A"] + drawn["X^A X^a"]
    sons = drawn["X^a Y"] + drawn["X^A Y"]
    assert (
        f"Daughters affected: 0 of {daughters}. Sons affected: {drawn['X^a Y']} of {sons}."
    ) in said(EVERY[0])


@pytest.mark.parametrize(
    ("mother", "father", "affected"),
    list(product(("XAXA", "XAXa", "XaXa"), ("XAY", "XaY"), ("recessive", "dominant"))),
)
def test_the_drawing_raises_alleles_and_hatches_who_is_affected(mother, father, affected):
    square = punnett(mother, father, affected)
    scene = square_scene(square)
    texts = [item for item in scene.items if isinstance(item, Text)]
    assert not [text for text in texts if "^" in text.text]
    cells = [cell for row in square.cells for cell in row]
    ill = sum(square.words[cell].startswith("affected") for cell in cells)
    assert sum(text.text.startswith("affected") for text in texts) == ill
    assert bool([item for item in scene.items if isinstance(item, Line)]) == bool(ill)
    assert "X^" in scene.desc
    for item in scene.items:
        left, top, right, bottom = box_of(item)
        assert left >= 0
        assert top >= 0
        assert right <= scene.width
        assert bottom <= scene.height


def test_the_curve_of_all_offspring():
    scene = running_scene(EVERY[0].simulation, EVERY[0].expected.phenotypes["dominant"])
    assert "3/4 is expected" in scene.desc
