"""What a cross says in words and tables, and as a drawing."""

from dataclasses import replace
from fractions import Fraction

import pytest

from risk.caution import CAUTION
from risk.document.blocks import Caution, Heading, Paragraph, Table, flatten
from risk.document.cross_figure import running_scene, square_scene
from risk.document.crosses import cross_blocks, parent_blocks
from risk.scene.shapes import Line, Text, box_of
from risk.teaching.cross import punnett
from risk.teaching.crossing import cross
from risk.teaching.testcross import Observed, infer_parent


def said(blocks):
    flat = list(flatten(blocks))
    texts = [block.text for block in flat if isinstance(block, Heading | Paragraph)]
    tables = [block for block in flat if isinstance(block, Table)]
    cells = [cell for table in tables for row in table.rows for cell in row.cells]
    return " ".join([*texts, *cells])


EVERY = [
    cross("Aa", "Aa", offspring=400, seed=2, observed="305:95"),
    cross("AA", "aa", then="backcross:AA:3"),
    cross("Aa", "Aa", then="backcross:aa:2"),
    cross("AA", "aa", then="F2"),
    cross("Aa", "Aa", then="sibs:50", offspring=3, observed="3:1"),
    cross("Aa", "aa", then="selfing:4"),
]


@pytest.mark.parametrize("crossed", EVERY)
def test_the_caution_comes_last(crossed):
    assert cross_blocks(crossed)[-1] == Caution(CAUTION)
    assert parent_blocks(infer_parent(Observed(3, 0)))[-1] == Caution(CAUTION)


def test_the_band_and_on_which_side_the_draw_fell():
    inside = cross("Aa", "Aa", offspring=400, seed=2)
    assert "by chance alone; this one is inside" in said(cross_blocks(inside))
    drawn = replace(inside.simulation, phenotypes={"dominant": 200, "recessive": 200})
    assert "this one is outside" in said(cross_blocks(replace(inside, simulation=drawn)))


def test_how_many_whole_runs_leave_the_band_is_said_where_any_can():
    blocks = cross_blocks(cross("Aa", "Aa", offspring=160))
    assert "25 of 100 runs of 160 are outside at one number or another" in said(blocks)
    for number in (160, 20_000):
        assert "runs" not in said(cross_blocks(cross("AA", "aa", offspring=number)))
    assert "more of such runs" in said(cross_blocks(cross("Aa", "Aa", offspring=20_000)))


def test_offspring_have_the_name_of_a_generation_only_where_one_is_followed():
    def headings(*parents, **follow):
        blocks = cross_blocks(cross(*parents, offspring=9, observed="6:3", **follow))
        return [block.text for block in flatten(blocks) if isinstance(block, Heading)]

    assert headings("Aa", "Aa") == ["9 offspring drawn by chance, seed 0", "Goodness of fit"]
    assert headings("AA", "aa", then="F2") == [
        "Generations",
        "9 offspring (F2) drawn by chance, seed 0",
        "Goodness of fit (F2)",
    ]
    assert "otherwise called F2" in said(cross_blocks(cross("Aa", "Aa", then="F2")))
    assert "otherwise called" not in said(cross_blocks(cross("AA", "aa", then="F2")))


def test_small_counts_carry_their_caution():
    text = said(cross_blocks(cross("Aa", "Aa", observed="9:1")))
    assert "an expected count is below 5" in text
    # By hand: of 10, the counts no likelier than 9 dominant are 9, 10, and 6 or fewer.  Their
    # chances in units of 4^-10 are 196830 + 59049 + 153090 + 81922 of 1048576: 0.468.
    assert "exact binomial test is good here too: p = 0.468" in text
    assert "below 5" not in said(cross_blocks(cross("Aa", "Aa", observed="15:5")))


def test_a_fit_is_not_a_proof_and_a_misfit_speaks_against():
    assert "does not prove" in said(cross_blocks(cross("Aa", "Aa", observed="305:95")))
    assert "speaks against them" in said(cross_blocks(cross("Aa", "Aa", observed="200:200")))
    assert "nothing to test" in said(cross_blocks(cross("AA", "aa", observed="20:0")))


def test_the_working_of_the_test_cross():
    (table,) = [b for b in parent_blocks(infer_parent(Observed(8, 0))) if isinstance(b, Table)]
    assert [row.cells[1:3] for row in table.rows] == [
        ("1/2", "1/2"),
        ("1/256", "1"),
        ("1/512", "1/2"),
        ("1/257", "256/257"),
    ]
    assert "1/257" in said(parent_blocks(infer_parent(Observed(8, 0))))


def test_a_back_cross_to_neither_parent_recovers_nothing():
    assert "neither of the parents" in said(cross_blocks(EVERY[2]))
    assert "1 - (1/2)ⁿ⁺¹" in said(cross_blocks(EVERY[1]))


@pytest.mark.parametrize(
    ("mother", "father", "hatched"), [("Aa", "Aa", 1), ("AA", "Aa", 0), ("Aa", "aa", 2)]
)
def test_the_drawing_names_and_hatches(mother, father, hatched):
    scene = square_scene(punnett(mother, father))
    texts = [item.text for item in scene.items if isinstance(item, Text)]
    assert texts.count("recessive") == hatched
    assert texts.count("dominant") == 4 - hatched
    assert bool([item for item in scene.items if isinstance(item, Line)]) == bool(hatched)
    assert CAUTION in " ".join(texts)  # on as many lines as the drawing is wide
    assert scene.title
    assert "from the mother" in scene.desc
    for item in scene.items:
        left, top, right, bottom = box_of(item)
        assert left >= 0
        assert top >= 0
        assert right <= scene.width
        assert bottom <= scene.height


@pytest.mark.parametrize("offspring", [1, 2, 400, 5000])
def test_the_curve_of_offspring_as_they_are_born(offspring):
    drawn = cross("Aa", "Aa", offspring=offspring, seed=3).simulation
    scene = running_scene(drawn, Fraction(3, 4))
    share = drawn.phenotypes["dominant"] / offspring
    assert f"{share:.1%} are dominant; 3/4 is expected" in scene.desc
    told = [item.text for item in scene.items if isinstance(item, Text)]
    assert CAUTION in " ".join(told)


def test_an_outside_parent_of_a_back_cross_is_not_called_the_recurrent_one():
    text = said(cross_blocks(EVERY[2]))
    assert "recurrent parent" not in text
    assert "without selection" not in text
