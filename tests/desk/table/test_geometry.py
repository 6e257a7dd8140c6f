"""Distances to lines, points along them, and the way out of a conductor."""

import math

import pytest

from loomfolio.basics import MmPoint
from loomfolio.desk.table.geometry import (
    direction_outwards,
    distance_to_line_mm,
    foot_on_line,
    foot_on_lines,
    points_along,
)

BEND = (MmPoint(0, 0), MmPoint(10, 0), MmPoint(10, 10))


@pytest.mark.parametrize(
    ("at", "foot"),
    [
        (MmPoint(5, 3), MmPoint(5, 0)),
        (MmPoint(-4, -3), MmPoint(0, 0)),
        (MmPoint(12, 6), MmPoint(10, 6)),
        (MmPoint(10, 14), MmPoint(10, 10)),
    ],
)
def test_the_foot_is_the_nearest_point_of_the_line(at, foot):
    assert foot_on_line(at, BEND) == pytest.approx(foot)


def test_a_line_of_one_point_twice_is_its_own_foot():
    assert foot_on_line(MmPoint(3, 4), (MmPoint(0, 0), MmPoint(0, 0))) == MmPoint(0, 0)
    assert distance_to_line_mm(MmPoint(3, 4), (MmPoint(0, 0),)) == 5


def test_of_several_lines_the_nearest_one_counts():
    lines = (BEND, (MmPoint(0, 5), MmPoint(4, 5)))
    assert foot_on_lines(MmPoint(3, 4), lines) == MmPoint(3, 5)


def test_points_along_turn_with_the_line():
    found = list(points_along(BEND, every_mm=10, first_mm=5))
    assert [at for at, _ in found] == [MmPoint(5, 0), MmPoint(10, 5)]
    assert [angle for _, angle in found] == pytest.approx([0, math.pi / 2])


def test_a_line_too_short_for_the_first_point_yields_none():
    assert list(points_along(BEND, every_mm=10, first_mm=25)) == []


@pytest.mark.parametrize(
    ("at", "angle"),
    [(MmPoint(10, 10), math.pi / 2), (MmPoint(0, 0), math.pi)],
    ids=["down at the lower end", "left at the left end"],
)
def test_out_of_a_conductor_is_straight_on_at_its_end(at, angle):
    assert direction_outwards(at, (BEND,)) == pytest.approx(angle)


def test_how_the_lines_are_cut_does_not_turn_the_way_out():
    whole = ((MmPoint(0, 0), MmPoint(20, 0)),)
    cut = ((MmPoint(0, 0), MmPoint(0.4, 0)), (MmPoint(0.4, 0), MmPoint(20, 0)))
    at = MmPoint(0.4, 0)
    assert abs(direction_outwards(at, whole)) == pytest.approx(math.pi)
    assert abs(direction_outwards(at, cut)) == pytest.approx(math.pi)


def test_where_nothing_is_drawn_the_way_out_is_to_the_right():
    assert direction_outwards(MmPoint(0, 0), ()) == 0
