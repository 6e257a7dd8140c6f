"""Plane geometry held against shapely (a general-purpose reference library) and against its own laws."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from loomfolio.basics import MmBox, MmPoint
from loomfolio.nets.geometry import (
    cut_at,
    distance_to_edge_mm,
    edge_hits,
    foot_on,
    length_mm,
    outside_parts,
    point_along,
    turn_between_deg,
)

_COORDINATE = st.integers(-40, 40).map(lambda n: n / 2)
_POINT = st.builds(MmPoint, _COORDINATE, _COORDINATE)
_LINE = st.lists(_POINT, min_size=2, max_size=6, unique=True).map(tuple)
_BOX = st.builds(MmBox.around, _POINT, _POINT).filter(lambda b: b.x1 - b.x0 > 1 and b.y1 - b.y0 > 1)


@given(_LINE, _POINT)
def test_the_foot_is_as_near_as_shapely_finds(line: tuple[MmPoint, ...], point: MmPoint) -> None:
    foot = foot_on(line, point)
    expected = shapely.LineString(line).distance(shapely.Point(point))
    assert foot.distance_mm == pytest.approx(expected, abs=1e-9)
    assert math.dist(foot.at, point) == pytest.approx(expected, abs=1e-9)


@given(_LINE, _POINT)
def test_cutting_loses_no_length(line: tuple[MmPoint, ...], point: MmPoint) -> None:
    head, tail = cut_at(line, foot_on(line, point))
    assert length_mm(head) + length_mm(tail) == pytest.approx(length_mm(line))
    assert head[-1] == tail[0]


@given(_LINE, _BOX)
def test_what_is_outside_a_body_is_as_long_as_shapely_says(
    line: tuple[MmPoint, ...], box: MmBox
) -> None:
    parts = outside_parts(line, box)
    inside = shapely.LineString(line).intersection(shapely.box(*box))
    edge = shapely.LineString(line).intersection(shapely.box(*box).exterior)
    expected = length_mm(line) - inside.length + edge.length
    # a line that runs twice over the same stretch is one stretch to shapely
    assume(shapely.LineString(line).is_simple)
    assert sum(map(length_mm, parts)) == pytest.approx(expected, abs=1e-6)


@given(_LINE, _BOX)
def test_no_part_outside_a_body_runs_inside_it(line: tuple[MmPoint, ...], box: MmBox) -> None:
    inner = MmBox(box.x0 + 1e-6, box.y0 + 1e-6, box.x1 - 1e-6, box.y1 - 1e-6)
    for part in outside_parts(line, box):
        assert not shapely.LineString(part).intersects(shapely.box(*inner))


@given(_LINE, _BOX)
def test_hits_lie_on_the_edge(line: tuple[MmPoint, ...], box: MmBox) -> None:
    assert all(distance_to_edge_mm(hit, box) < 1e-9 for hit in edge_hits(line, box))


@given(_POINT, _BOX)
def test_the_distance_to_an_outline_is_shapelys(point: MmPoint, box: MmBox) -> None:
    expected = shapely.box(*box).exterior.distance(shapely.Point(point))
    assert distance_to_edge_mm(point, box) == pytest.approx(expected, abs=1e-9)


def test_a_line_that_never_enters_a_body_is_left_as_it_is() -> None:
    line = (MmPoint(0, 0), MmPoint(10, 0))
    assert outside_parts(line, MmBox(0, 0, 10, 5)) == [line]


def test_a_line_inside_a_body_is_gone() -> None:
    line = (MmPoint(2, 2), MmPoint(3, 3))
    assert outside_parts(line, MmBox(0, 0, 10, 5)) == []


def test_turns_and_ways_along() -> None:
    hub = MmPoint(0, 0)
    assert turn_between_deg(MmPoint(-5, 0), hub, MmPoint(5, 0)) == pytest.approx(180.0)
    assert turn_between_deg(MmPoint(-5, 0), hub, MmPoint(0, 5)) == pytest.approx(90.0)
    line = (hub, MmPoint(4, 0), MmPoint(4, 4))
    assert point_along(line, 6.0) == MmPoint(4, 2)
    assert point_along(line, 99.0) == MmPoint(4, 4)
