"""Widths of columns: never more than there is room for, and fair about who gives way."""

from hypothesis import given
from hypothesis import strategies as st

from risk.render.columns import share

WIDTHS = st.lists(st.floats(0.5, 500), min_size=1, max_size=8)


@given(WIDTHS, st.floats(10, 800), st.data())
def test_widths_fit_and_never_exceed_what_is_wished(wish, room, data):
    growing = data.draw(st.sets(st.integers(0, len(wish) - 1)))
    least = [width * data.draw(st.floats(0.1, 1)) for width in wish]
    widths = share(wish, least, growing, 20, room)
    assert sum(widths) <= max(room, 0) + 1e-6 or sum(wish) <= room
    assert all(0 < width <= wished + 1e-9 for width, wished in zip(widths, wish, strict=True))
    if sum(wish) <= room:
        assert widths == list(wish)


def test_headers_give_way_before_growing_columns_do():
    assert share([100, 100], [60, 60], {1}, 10, 170) == [70, 100]


def test_growing_columns_are_cut_alike_and_fixed_ones_keep_their_numbers():
    assert share([50, 300, 100, 20], [50, 300, 100, 20], {1, 2}, 10, 230) == [50, 80, 80, 20]
