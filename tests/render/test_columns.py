"""Widths of columns: never more than there is room for, and fair about who gives way."""

from hypothesis import given
from hypothesis import strategies as st

from risk.render.columns import share

WIDTHS = st.lists(st.floats(0.5, 500), min_size=1, max_size=8)


@given(WIDTHS, st.floats(10, 800), st.data())
def test_widths_fit_and_never_exceed_what_is_wished(wish, room, data):
    growing = data.draw(st.sets(st.integers(0, len(wish) - 1)))
    least = [width * data.draw(st.floats(0.1, 1)) for width in wish]
    widths = share(wish, least, growing, 60, 20, room)
    assert sum(widths) <= room + 1e-6 or sum(wish) <= room
    assert all(0 < width <= wished + 1e-9 for width, wished in zip(widths, wish, strict=True))
    if sum(wish) <= room:
        assert widths == list(wish)


def test_texts_give_way_to_a_comfortable_width_then_headers_then_texts_again():
    wish, unbroken = [100, 200], [60, 200]
    assert share(wish, unbroken, {1}, 90, 10, 250) == [100, 150]
    assert share(wish, unbroken, {1}, 90, 10, 170) == [80, 90]
    assert share(wish, unbroken, {1}, 90, 10, 120) == [60, 60]
    assert share(wish, unbroken, {1}, 90, 10, 40) == [30, 10]


def test_growing_columns_are_cut_alike_and_fixed_ones_keep_their_numbers():
    widths = share([50, 300, 100, 20], [50, 300, 100, 20], {1, 2}, 60, 10, 230)
    assert widths == [50, 80, 80, 20]
