"""Positions: px to mm and back, and boxes in both frames."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from loomfolio.basics import MM_PER_INCH, MmBox, MmPoint, PxBox, PxPoint, Resolution

# A sheet of 10 m at most, and what scanners, cameras and screens give.
mm = st.floats(-10_000, 10_000)
px = st.floats(-100_000, 100_000)
dpi = st.floats(30, 2400)
resolutions = st.builds(Resolution, dpi, dpi)
mm_points = st.builds(MmPoint, mm, mm)

NEAR_MM = 1e-6
NEAR_PX = 1e-5


def test_an_inch_is_254_tenths_of_a_millimetre():
    # The international inch of 1959; ISO 31-1 and every ruler since.
    assert MM_PER_INCH == 25.4


def test_at_300_dpi_300_px_are_an_inch():
    assert Resolution.square(300).to_mm(300, 600) == MmPoint(25.4, 50.8)


def test_a4_at_300_dpi_is_2480_by_3508_px():
    # ISO 216: A4 is 210 mm x 297 mm. The pixel size is what scanners deliver for it.
    corner = Resolution.square(300).to_px(MmPoint(210, 297))

    assert (round(corner.x), round(corner.y)) == (2480, 3508)


def test_each_axis_has_its_own_resolution():
    fax = Resolution(204, 98)

    assert fax.to_mm(204, 98) == MmPoint(25.4, 25.4)


@given(point=mm_points, resolution=resolutions)
def test_mm_to_px_and_back_is_the_same_point(point, resolution):
    back = resolution.to_mm(*resolution.to_px(point))

    assert back.distance_mm(point) < NEAR_MM


@given(x=px, y=px, resolution=resolutions)
def test_px_to_mm_and_back_is_the_same_point(x, y, resolution):
    back = resolution.to_px(resolution.to_mm(x, y))

    assert math.dist(back, PxPoint(x, y)) < NEAR_PX


@given(a=mm_points, b=mm_points, resolution=resolutions)
def test_a_box_goes_to_px_and_back(a, b, resolution):
    box = MmBox.around(a, b)

    assert resolution.box_to_mm(resolution.box_to_px(box)) == pytest.approx(box, abs=NEAR_MM)


@given(a=mm_points, b=mm_points, resolution=resolutions)
def test_a_box_in_px_is_still_upright(a, b, resolution):
    box = resolution.box_to_px(MmBox.around(a, b))

    assert box.x0 <= box.x1
    assert box.y0 <= box.y1


@given(a=mm_points, b=mm_points)
def test_a_box_is_the_same_from_whichever_corner_it_is_dragged(a, b):
    crossed_a, crossed_b = MmPoint(a.x, b.y), MmPoint(b.x, a.y)

    assert MmBox.around(a, b) == MmBox.around(b, a) == MmBox.around(crossed_a, crossed_b)


@given(a=mm_points, b=mm_points)
def test_a_box_holds_its_corners_and_its_centre(a, b):
    box = MmBox.around(a, b)

    assert box.holds(a)
    assert box.holds(b)
    assert box.holds(box.centre, margin_mm=NEAR_MM)


@given(a=mm_points)
def test_a_box_of_one_point_holds_that_point_only(a):
    box = MmBox.around(a, a)

    assert box.holds(a)
    assert not box.holds(MmPoint(a.x + 1, a.y))


@given(a=mm_points, b=mm_points)
def test_distance_is_the_same_both_ways_and_nothing_to_oneself(a, b):
    assert a.distance_mm(b) == b.distance_mm(a)
    assert a.distance_mm(a) == 0


@given(a=mm_points, b=mm_points, c=mm_points)
def test_a_detour_is_never_shorter(a, b, c):
    assert a.distance_mm(c) <= a.distance_mm(b) + b.distance_mm(c) + NEAR_MM


@pytest.mark.parametrize(
    ("point", "margin_mm", "held"),
    [
        pytest.param(MmPoint(5, 5), 0, True, id="inside"),
        pytest.param(MmPoint(10, 5), 0, True, id="on the edge"),
        pytest.param(MmPoint(12, 5), 0, False, id="beside"),
        pytest.param(MmPoint(12, 5), 2, True, id="on the widened edge"),
        pytest.param(MmPoint(5, -3), 2, False, id="above the widened edge"),
        pytest.param(MmPoint(9.5, 5), -1, False, id="inside but for the narrowed edge"),
        pytest.param(MmPoint(math.nan, 5), 2, False, id="nowhere"),
    ],
)
def test_a_box_holds_what_lies_within_its_margin(point, margin_mm, held):
    assert MmBox(0, 0, 10, 10).holds(point, margin_mm) is held


@given(a=mm_points, b=mm_points, point=mm_points, margin_mm=st.floats(0, 100))
def test_widening_a_box_loses_nothing(a, b, point, margin_mm):
    box = MmBox.around(a, b)
    assume(box.holds(point))

    assert box.holds(point, margin_mm)


def test_a_box_in_px_is_a_box_in_mm():
    assert Resolution(254, 127).box_to_mm(PxBox(0, 10, 20, 30)) == MmBox(0, 2, 2, 6)
