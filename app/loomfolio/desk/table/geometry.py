"""Distances to drawn lines, in mm on a sheet: what pointing and snapping need beside the netlist."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from loomfolio.basics import MmPoint


def foot_on_line(at: MmPoint, line: Sequence[MmPoint]) -> MmPoint:
    """Return the point of a polyline nearest to `at`; the first of equals. One point is its own foot."""
    feet = [_foot(at, a, b) for a, b in pairwise(line)] or [line[0]]
    return min(feet, key=at.distance_mm)


def distance_to_line_mm(at: MmPoint, line: Sequence[MmPoint]) -> float:
    """Return how far `at` is from a polyline, mm."""
    return at.distance_mm(foot_on_line(at, line))


def foot_on_lines(at: MmPoint, lines: Sequence[Sequence[MmPoint]]) -> MmPoint:
    """Return the point of several polylines nearest to `at`."""
    return min((foot_on_line(at, line) for line in lines), key=at.distance_mm)


def points_along(
    line: Sequence[MmPoint], every_mm: float, first_mm: float
) -> Iterator[tuple[MmPoint, float]]:
    """Yield points of a polyline at equal distances along it, each with its direction in radians.

    Directions are those of the walk (0 to the right, y down). A line shorter than `first_mm` yields
    nothing.
    """
    due = first_mm
    for a, b in pairwise(line):
        length = a.distance_mm(b)
        angle = math.atan2(b.y - a.y, b.x - a.x)
        while due <= length and length > 0:
            share = due / length
            yield MmPoint(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share), angle
            due += every_mm
        due -= length


def direction_outwards(
    at: MmPoint, lines: Sequence[Sequence[MmPoint]], within_mm: float = 6.0
) -> float:
    """Return the direction (radians, y down) that leads from a conductor's ink out into the open.

    It is the direction away from the middle of all that is drawn of the conductor near `at`: at an end
    straight on, whichever way its lines were cut. 0, to the right, where nothing is drawn near or `at`
    lies in its very middle.
    """
    near = [
        MmPoint(a.x + (b.x - a.x) * share, a.y + (b.y - a.y) * share)
        for line in lines
        for a, b in pairwise(line)
        for share in _shares(a.distance_mm(b))
    ]
    near = [point for point in near if point.distance_mm(at) <= within_mm]
    if not near:
        return 0.0
    x = at.x - sum(point.x for point in near) / len(near)
    y = at.y - sum(point.y for point in near) / len(near)
    return math.atan2(y, x)


def _shares(length_mm: float) -> list[float]:
    """Where to look along a piece of line: about every half mm."""
    count = max(int(length_mm / 0.5), 1)
    return [step / count for step in range(count + 1)]


def _foot(at: MmPoint, a: MmPoint, b: MmPoint) -> MmPoint:
    dx, dy = b.x - a.x, b.y - a.y
    square = dx * dx + dy * dy
    if square == 0:
        return a
    share = min(max(((at.x - a.x) * dx + (at.y - a.y) * dy) / square, 0.0), 1.0)
    return MmPoint(a.x + dx * share, a.y + dy * share)
