"""Plane geometry of polylines in mm that the nets room needs and shapely has no direct call for.

Points are `MmPoint`; a line is a tuple of at least two points. Nothing here knows of conductors.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from loomfolio.basics import MmBox, MmPoint

Line = tuple[MmPoint, ...]


@dataclass(frozen=True, slots=True)
class Foot:
    """The nearest point of a line: where it is, how far, and on which of the line's segments."""

    at: MmPoint
    distance_mm: float
    segment: int


def length_mm(line: Sequence[MmPoint]) -> float:
    """Return the length of a line; 0 for one point or none."""
    return sum(math.dist(p, q) for p, q in itertools.pairwise(line))


def foot_on(line: Line, point: MmPoint) -> Foot:
    """Return the point of `line` nearest to `point`; of equal ones the first along the line."""
    best = Foot(line[0], math.dist(line[0], point), 0)
    for segment, (p, q) in enumerate(itertools.pairwise(line)):
        at = _nearest_on_segment(p, q, point)
        distance = math.dist(at, point)
        if distance < best.distance_mm - 1e-12:
            best = Foot(at, distance, segment)
    return best


def _nearest_on_segment(p: MmPoint, q: MmPoint, point: MmPoint) -> MmPoint:
    dx, dy = q.x - p.x, q.y - p.y
    square = dx * dx + dy * dy
    if square == 0.0:
        return p
    share = ((point.x - p.x) * dx + (point.y - p.y) * dy) / square
    share = min(1.0, max(0.0, share))
    return MmPoint(p.x + share * dx, p.y + share * dy)


def cut_at(line: Line, foot: Foot) -> tuple[Line, Line]:
    """Return the two parts of `line` before and after `foot`; a part may be a single repeated point."""
    head = (*line[: foot.segment + 1], foot.at)
    tail = (foot.at, *line[foot.segment + 1 :])
    return _without_repeats(head), _without_repeats(tail)


def _without_repeats(line: Line) -> Line:
    kept = [line[0]]
    for point in line[1:]:
        if point != kept[-1]:
            kept.append(point)
    return tuple(kept) if len(kept) > 1 else (line[0], line[-1])


def point_along(line: Line, reach_mm: float) -> MmPoint:
    """Return the point `reach_mm` along `line` from its start, or its end where it is shorter."""
    left = reach_mm
    for p, q in itertools.pairwise(line):
        step = math.dist(p, q)
        if step >= left > 0.0:
            share = left / step
            return MmPoint(p.x + share * (q.x - p.x), p.y + share * (q.y - p.y))
        left -= step
    return line[-1]


def outside_parts(line: Line, box: MmBox) -> list[Line]:
    """Return what is left of `line` when the inside of `box` is taken out.

    An end that was cut lies exactly on the edge. A line along the edge is outside. The answer is
    `[line]` itself where nothing was cut, and empty where the line lies wholly inside.
    """
    parts: list[Line] = []
    run: list[MmPoint] = [line[0]]
    was_cut = False
    for p, q in itertools.pairwise(line):
        hit = _inside_span(p, q, box)
        if hit is None:
            run.append(q)
            continue
        was_cut = True
        entry, leave = hit
        if entry > 0.0:
            run.append(_on_edge(_between(p, q, entry), box))
        if len(run) > 1:
            parts.append(_without_repeats(tuple(run)))
        run = [_on_edge(_between(p, q, leave), box), q] if leave < 1.0 else [q]
    if not was_cut:
        return [line]
    if len(run) > 1:
        parts.append(_without_repeats(tuple(run)))
    return [part for part in parts if length_mm(part) > 0.0]


def _between(p: MmPoint, q: MmPoint, share: float) -> MmPoint:
    return MmPoint(p.x + share * (q.x - p.x), p.y + share * (q.y - p.y))


def _on_edge(point: MmPoint, box: MmBox) -> MmPoint:
    """Pull a cut point exactly onto the box edge that it lies on up to rounding."""
    sides = (
        (abs(point.x - box.x0), MmPoint(box.x0, point.y)),
        (abs(point.x - box.x1), MmPoint(box.x1, point.y)),
        (abs(point.y - box.y0), MmPoint(point.x, box.y0)),
        (abs(point.y - box.y1), MmPoint(point.x, box.y1)),
    )
    return min(sides, key=lambda side: side[0])[1]


def _inside_span(p: MmPoint, q: MmPoint, box: MmBox) -> tuple[float, float] | None:
    """Return the shares of p→q between which it runs strictly inside the box; None if it never does."""
    entry, leave = 0.0, 1.0
    for start, delta, low, high in (
        (p.x, q.x - p.x, box.x0, box.x1),
        (p.y, q.y - p.y, box.y0, box.y1),
    ):
        if delta == 0.0:
            if not low < start < high:
                return None
            continue
        first, second = sorted(((low - start) / delta, (high - start) / delta))
        entry, leave = max(entry, first), min(leave, second)
    return (entry, leave) if entry < leave else None


def edge_hits(line: Line, box: MmBox) -> Iterator[MmPoint]:
    """Yield each point at which `line` passes between the inside and the outside of `box`."""
    for p, q in itertools.pairwise(line):
        hit = _inside_span(p, q, box)
        if hit is None:
            continue
        for share, is_end in ((hit[0], hit[0] <= 0.0), (hit[1], hit[1] >= 1.0)):
            if not is_end:
                yield _on_edge(_between(p, q, share), box)


def distance_to_edge_mm(point: MmPoint, box: MmBox) -> float:
    """Return how far `point` is from the outline of `box`, inside or outside."""
    dx = max(box.x0 - point.x, 0.0, point.x - box.x1)
    dy = max(box.y0 - point.y, 0.0, point.y - box.y1)
    if dx or dy:
        return math.hypot(dx, dy)
    return min(point.x - box.x0, box.x1 - point.x, point.y - box.y0, box.y1 - point.y)


def turn_between_deg(a: MmPoint, hub: MmPoint, b: MmPoint) -> float:
    """Return the angle a–hub–b in degrees: 180 where the way runs straight on, 0 where it turns back."""
    first = math.atan2(a.y - hub.y, a.x - hub.x)
    second = math.atan2(b.y - hub.y, b.x - hub.x)
    turn = abs(math.degrees(first - second)) % 360.0
    return 360.0 - turn if turn > 180.0 else turn
