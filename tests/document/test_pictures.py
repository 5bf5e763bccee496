"""Chances as pictures: the right number of figures or squares, in the words of the answer."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from risk.document.pictures import chance_picture, crowd
from risk.model.answers import Chance
from risk.scene.shapes import Circle
from risk.wording.chances import one_in


def chance_of(share):
    return Chance(float(share), Fraction(share))


@pytest.mark.parametrize(
    ("share", "expected"),
    [
        (Fraction(2, 3), (2, 3, False)),
        (Fraction(0), (0, 1, False)),
        (Fraction(1), (1, 1, False)),
        (Fraction(33, 100), (33, 100, False)),
        (Fraction(1, 41), (1, 41, False)),  # not "about 2 of 100", beside "1 in 41"
        (Fraction(4, 97), (4, 97, False)),
        (Fraction(6, 101), (6, 100, True)),
        (Fraction(7, 200), (1, 29, True)),
        (Fraction(1, 101), (1, 101, False)),
        (Fraction(9, 2372), (1, 264, True)),
        (Fraction(1, 500), (1, 500, False)),
        (Fraction(1, 501), None),
        (Fraction(995, 1000), (199, 200, False)),
        (Fraction(9999, 10000), None),
        (Fraction(10**30 - 1, 10**30), None),
    ],
)
def test_a_crowd_shows_a_chance_or_is_not_drawn(share, expected):
    assert crowd(chance_of(share)) == expected


@pytest.mark.parametrize(
    ("share", "caption"),
    [
        (Fraction(1, 501), "1 of 501"),
        (Fraction(2, 1203), "About 1 of 602"),
        (Fraction(1, 5784), "1 of 5,784; the hatched square is drawn larger, as a hundred"),
        (
            Fraction(7, 86_423),
            "About 1 of 12,300; the hatched square is drawn larger, as a hundred",
        ),
        (
            Fraction(9_999, 10_000),
            "9,999 of 10,000; the hatched square is drawn larger, as a hundred",
        ),
        (
            Fraction(1, 10**9),
            "1 of 1,000,000,000; the hatched square is drawn larger, as a hundred",
        ),
    ],
)
def test_a_smaller_chance_is_one_square_of_a_field(share, caption):
    figure = chance_picture(chance_of(share))
    assert figure.caption == caption
    assert not any(isinstance(shape, Circle) for shape in figure.scene.items)


@pytest.mark.parametrize("share", [Fraction(1, 10**9 + 1), 1 - Fraction(1, 10**12)])
def test_what_only_words_can_say_has_no_picture(share):
    assert chance_picture(chance_of(share)) is None


@given(st.fractions(0, 1, max_denominator=10**7))
def test_every_chance_has_a_picture_that_is_near_it(share):
    """The caption, read back, is within half a percent point or three digits of the chance."""
    figure = chance_picture(chance_of(share))
    words = figure.caption.split(";")[0].removeprefix("About ").replace(",", "")
    some, all_ = map(int, words.split(" of "))
    shown = Fraction(some, all_)
    least = min(share, 1 - share)
    if least >= Fraction(1, 100):
        assert abs(shown - share) <= Fraction(1, 200)
    else:
        assert min(shown, 1 - shown) == pytest.approx(float(least), rel=0.006)
    assert figure.caption.startswith("About") == (shown != share)
    circles = [shape for shape in figure.scene.items if isinstance(shape, Circle)]
    if circles:
        assert [c.fill for c in circles] == ["ink"] * some + ["paper"] * (all_ - some)


@given(st.integers(501, 10**8), st.integers(2, 97))
def test_a_field_and_the_words_of_an_answer_give_the_same_number(bottom, top):
    """`one_in` rounds to three digits from 1,000 on, and so does the picture."""
    share = Fraction(top, bottom * top + 1)
    figure = chance_picture(chance_of(share))
    number = figure.caption.split(";")[0].split(" of ")[1]
    assert one_in(share) == f"about 1 in {number}"
