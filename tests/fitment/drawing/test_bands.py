"""Tolerance bands: to scale, in order, and hatched exactly where the limit is passed."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fitment.drawing.bands import LEFT, RIGHT, WIDTH, Band, bands

SIZES = st.tuples(st.floats(0.01, 500), st.floats(0, 5)).map(lambda pair: Band("a", pair[0], pair[0] + pair[1]))


def test_a_press_fit_of_iso_286_is_drawn_to_scale():
    """62 N7 is 61.961 to 61.991; a body of 62.10 to 62.12 is two thirds as wide."""
    drawn = bands([Band("bore", 61.961, 61.991), Band("body", 62.10, 62.12)])
    bore, body = drawn.bars
    assert body.width / bore.width == pytest.approx(2 / 3)
    per_mm = bore.width / 0.030
    assert body.x - (bore.x + bore.width) == pytest.approx(0.109 * per_mm)
    assert drawn.hatches == ()


def test_where_a_press_fit_may_be_loose_is_hatched():
    drawn = bands([Band("bore", 62.0, 62.03), Band("body", 62.02, 62.05)], second="above")
    (hatch,) = drawn.hatches
    assert hatch.x == pytest.approx(drawn.bars[1].x)
    assert hatch.x + hatch.width == pytest.approx(drawn.bars[0].x + drawn.bars[0].width)


@pytest.mark.parametrize(("at_least", "begins", "ends"), [(True, 3.0, 5.0), (False, 5.0, 8.0)])
def test_what_passes_the_limit_is_hatched(at_least, begins, ends):
    drawn = bands([Band("hold", 3.0, 8.0)], limit=5.0, at_least=at_least)
    (bar,), (hatch,) = drawn.bars, drawn.hatches
    per_unit = bar.width / 5.0
    assert hatch.x == pytest.approx(bar.x + (begins - 3.0) * per_unit)
    assert hatch.width == pytest.approx((ends - begins) * per_unit)


def test_a_sleeve_longer_than_its_gap_is_hatched_over_all_it_is_too_long():
    drawn = bands([Band("gap", 50.0, 50.2), Band("sleeve", 50.4, 50.5)], second="below")
    gap, sleeve = drawn.bars
    (hatch,) = drawn.hatches
    assert (hatch.x, hatch.x + hatch.width) == pytest.approx((gap.x, sleeve.x + sleeve.width))


def test_sizes_that_only_touch_are_not_hatched():
    assert bands([Band("bolt", 12.0, 12.0), Band("hole", 12.0, 12.2)], second="above").hatches == ()


def test_limits_are_closed():
    assert bands([Band("hold", 5.0, 8.0)], limit=5.0, at_least=True).hatches == ()


def test_nothing_is_not_drawn():
    assert bands([]) is None


def test_figures_have_the_decimals_of_their_step():
    figures = [tick.figure for tick in bands([Band("bore", 61.961, 61.991)]).ticks]
    assert figures
    assert all(len(figure.partition(".")[2]) == 2 for figure in figures)


@given(sizes=st.lists(SIZES, min_size=1, max_size=4), limit=st.none() | st.floats(0.01, 500))
def test_everything_stands_on_the_sheet_in_the_order_of_its_figures(sizes, limit):
    drawn = bands(sizes, limit=limit, at_least=True)
    for bar in drawn.bars:
        assert LEFT - 1e-6 <= bar.x <= bar.x + bar.width <= WIDTH - RIGHT + 1e-6
    by_figure = sorted(drawn.bars, key=lambda bar: bar.low)
    assert all(one.x <= other.x + 1e-6 for one, other in itertools.pairwise(by_figure))
    assert all(LEFT - 1e-6 <= tick.x <= WIDTH - RIGHT + 1e-6 for tick in drawn.ticks)
    assert 1 <= len(drawn.ticks) <= 6
