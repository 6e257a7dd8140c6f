"""The window onto the table: zoom about a px, pan, fit, and the way between two views."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomfolio.desk.table.layout import TableBox, TablePoint
from loomfolio.desk.table.view import LARGEST_PX_PER_MM, SMALLEST_PX_PER_MM, View

NEAR = 1e-6
views = st.builds(
    View,
    px_per_mm=st.floats(0.05, 60),
    left_mm=st.floats(-3000, 3000),
    top_mm=st.floats(-3000, 3000),
)
pixels = st.floats(0, 4000)


@given(views, pixels, pixels)
def test_px_to_table_and_back_is_the_same_px(view, x, y):
    assert view.to_px(view.to_table(x, y)) == pytest.approx((x, y), abs=1e-3)


@given(views, st.floats(0.01, 100), pixels, pixels)
def test_what_lies_under_the_pointer_stays_there_while_zooming(view, factor, x, y):
    before = view.to_table(x, y)
    after = view.zoomed(factor, x, y).to_table(x, y)
    assert after == pytest.approx(before, abs=1e-6)


@given(views, st.floats(0.0001, 10000), pixels, pixels)
def test_zoom_stays_within_its_limits(view, factor, x, y):
    scale = view.zoomed(factor, x, y).px_per_mm
    assert SMALLEST_PX_PER_MM <= scale <= LARGEST_PX_PER_MM


@given(views, st.floats(-500, 500), st.floats(-500, 500), pixels, pixels)
def test_a_push_moves_everything_by_as_many_px(view, dx, dy, x, y):
    place = view.to_table(x, y)
    moved = view.panned(dx, dy).to_px(place)
    assert moved == pytest.approx((x + dx, y + dy), abs=1e-3)


@given(views, views)
def test_the_way_between_two_views_begins_and_ends_in_them(a, b):
    start = a.towards(b, 0.0)
    assert start.px_per_mm == pytest.approx(a.px_per_mm)
    assert (start.left_mm, start.top_mm) == pytest.approx((a.left_mm, a.top_mm), abs=1e-6)
    assert a.towards(b, 1.0) == b


@given(views, st.floats(1.05, 20), pixels, pixels, st.floats(0, 1))
def test_on_the_way_of_a_zoom_the_place_under_the_pointer_stays(view, factor, x, y, share):
    held = view.to_table(x, y)
    between = view.towards(view.zoomed(factor, x, y), share)
    assert between.to_px(held) == pytest.approx((x, y), abs=0.01)


def test_a_fitted_box_lies_in_the_middle_with_its_margin():
    view = View.fitting(TableBox(100, 50, 300, 150), 1000, 600, margin_px=20)
    assert view.px_per_mm == pytest.approx(960 / 200)
    assert view.to_px(TablePoint(200, 100)) == pytest.approx((500, 300))


def test_a_single_point_is_fitted_at_the_largest_scale_asked_for():
    view = View.fitting(TableBox(10, 10, 10, 10), 1000, 600, at_most=12)
    assert view.px_per_mm == 12
