"""Bodies on a drawn page: what is cut out of the lines before it is asked where they meet.

- The boxes that a person marked: nothing in them is read, and no pen that runs along their sides.
- Whole circles: small ones are terminals, through which a line runs on; large ones at which lines end are
  symbols; large ones that lines only pass are screens and are left out.
- Other closed curves and dashed outlines that lines only pass are screens too.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from loomfolio.basics import PxBox
from loomfolio.reading.bodies import Body
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.lines import Circle, Line
from loomfolio.sheets import lines_in

F64 = NDArray[np.float64]

EDGE_PX = 1.0
"""A marked box is taken this much larger: its outline drawn just on its edge lies in it (0.08 mm)."""
SIDE_SHARE = 0.5
"""A line along this much of a marked box's side, no farther off than a pen, is its outline."""
RIM_PX = 2.0
"""A line that stops this near to the rim of a circle, beyond its pen, ends at it (0.17 mm)."""


SAME_BOX_PX = 2.5
COMES_FROM_MM = 1.5
GOES_ON_MM = 2.5
"""Dashes in line with those along a side, within this beyond its ends: a line that passes, no outline."""
INSIDE_PX = 0.05
"""What ends at a body ends this far inside its edge, so that rounding leaves no doubt that it does."""
GRAZED_MM = 0.6
"""A line that runs on past both ends of a box's side, no farther inside it than a person drags a box too
large, is no line of the body."""


@dataclass(frozen=True)
class Cleared:
    """The lines outside all bodies, and the bodies."""

    lines: list[Line]
    bodies: tuple[Body, ...]


def clear_given(
    lines: Sequence[Line], given: Sequence[Body], settings: ReaderSettings
) -> list[Line]:
    """Return the lines outside the boxes that a person marked."""
    if not given:
        return list(lines)
    areas = [shapely.buffer(shapely.box(*b.box), EDGE_PX, join_style="mitre") for b in given]
    near = _near(lines, shapely.STRtree(areas), settings.px(GOES_ON_MM))
    left: list[Line] = []
    beside: list[tuple[int, int]] = []
    for k, line in enumerate(lines):
        cut = [areas[n] for n in near.get(k, ()) if not _grazes(line, given[n].box, settings)]
        for piece in _without(line, cut):
            beside += [(len(left), n) for n in near.get(k, ())]
            left.append(piece)
    sides = _sides(left, beside, given, settings)
    return [piece for k, line in enumerate(left) for piece in _without_segments(line, sides.get(k))]


def met_from_outside(
    bodies: Sequence[Body], lines: Sequence[Line], settings: ReaderSettings
) -> tuple[Body, ...]:
    """Return the bodies that a line comes to from well outside; a frame round a figure has none."""
    if not bodies or not lines:
        return tuple(bodies)
    tree = shapely.STRtree([_area(b) for b in bodies])
    near = _near(lines, tree, settings.px(settings.body_reach_mm))
    out = settings.px(COMES_FROM_MM)
    met: set[int] = set()
    for k, touched in near.items():
        (x0, y0), (x1, y1) = lines[k].points.min(axis=0), lines[k].points.max(axis=0)
        for n in touched:
            box = bodies[n].box
            if max(box.x0 - x0, box.y0 - y0, x1 - box.x1, y1 - box.y1) > out:
                met.add(n)
    return tuple(b for n, b in enumerate(bodies) if n in met)


def drawn_whole(bodies: Sequence[Body], lines: Sequence[Line]) -> tuple[Body, ...]:
    """Return the bodies whose outline is one closed line of the file."""
    closed = [line for line in lines if line.is_closed]
    found: list[Body] = []
    for body in bodies:
        edges = np.array(body.box)
        for line in closed:
            if np.abs(np.array(line.box) - edges).max() <= line.width / 2 + SAME_BOX_PX:
                found.append(body)
                break
    return tuple(found)


def at_bodies(points: F64, bodies: Sequence[Body], reach: float) -> NDArray[np.bool_]:
    """Tell which points, float64 (N, 2), lie in a body or within `reach` of it: bool (N,)."""
    if not bodies or not len(points):
        return np.zeros(len(points), dtype=np.bool_)
    tree = shapely.STRtree([_area(b) for b in bodies])
    hit, _ = tree.query(shapely.points(points), predicate="dwithin", distance=reach)
    found = np.zeros(len(points), dtype=np.bool_)
    found[hit] = True
    return found


def _area(body: Body, inside: float = 0.0) -> Any:
    if body.round:
        radius = (body.box.x1 - body.box.x0) / 2 - inside
        return shapely.buffer(shapely.points(*body.centre), radius, quad_segs=32)
    return shapely.box(*body.box)


def _near(lines: Sequence[Line], tree: Any, reach: float) -> dict[int, list[int]]:
    """By line, the areas of a tree that it comes near to; lines that come near none are left out."""
    if not lines:
        return {}
    shapes = [shapely.linestrings(line.points) for line in lines]
    hit, area = tree.query(shapes, predicate="dwithin", distance=reach)
    found: dict[int, list[int]] = {}
    for k, n in sorted(zip(hit.tolist(), area.tolist(), strict=True)):
        found.setdefault(k, []).append(n)
    return found


def clear_circles(
    lines: Sequence[Line], circles: Sequence[Circle], settings: ReaderSettings
) -> Cleared:
    """Cut the lines at the circles that are bodies."""
    bodies: list[Body] = []
    for circle in circles:
        outer = circle.radius + circle.width / 2
        terminal = 2 * outer <= settings.px(settings.ring_max_mm)
        if terminal or (_ends_at(lines, circle) and not _is_passed(lines, circle)):
            box = PxBox(circle.x - outer, circle.y - outer, circle.x + outer, circle.y + outer)
            bodies.append(Body(box, round=True, terminal=terminal))
    if not bodies:
        return Cleared(list(lines), ())
    areas = [_area(b, INSIDE_PX) for b in bodies]
    near = _near(lines, shapely.STRtree(areas), 0.0)
    left: list[Line] = []
    for k, line in enumerate(lines):
        left += _without(line, [areas[n] for n in near[k]]) if k in near else [line]
    return Cleared(left, tuple(bodies))


def without_screens(lines: Sequence[Line]) -> list[Line]:
    """Return the lines without closed curves and dashed outlines that part nothing.

    They part nothing where no line ends at them, or where a line runs in on one side and out on another.
    A dashed outline is passed by all lines that do not end just at it.
    """
    closed = [
        k for k, line in enumerate(lines)
        if line.is_closed and (line.is_dashed or line.is_curved or len(line.points) > 9)
    ]  # fmt: skip
    if not closed:
        return list(lines)
    open_lines = [shapely.linestrings(line.points) for line in lines if not line.is_closed]
    tree = shapely.STRtree(open_lines)
    gone = set()
    for k in closed:
        rim = shapely.linestrings(lines[k].points)
        near = tree.query(rim, predicate="dwithin", distance=lines[k].width / 2 + RIM_PX).tolist()
        if (
            not near
            or any(_runs_through(open_lines[n], rim) for n in near)
            or (
                lines[k].is_dashed
                and not any(_ends_on(open_lines[n], rim, lines[k].width) for n in near)
            )
        ):
            gone.add(k)
    return [line for k, line in enumerate(lines) if k not in gone]


def _ends_on(line: Any, rim: Any, width: float) -> bool:
    tips = shapely.points(shapely.get_coordinates(line)[[0, -1]])
    return bool((shapely.distance(rim, tips) <= width / 2 + RIM_PX).any())


def _is_passed(lines: Sequence[Line], circle: Circle) -> bool:
    """Does a line run in on one side of a circle and out on another?"""
    rim = shapely.get_exterior_ring(
        shapely.buffer(shapely.points(circle.x, circle.y), circle.radius, quad_segs=32)
    )
    return any(
        _runs_through(shapely.linestrings(line.points), rim)
        for line in lines
        if not line.is_closed and _comes_near(line, circle)
    )


def _comes_near(line: Line, circle: Circle) -> bool:
    box, reach = line.box, circle.radius + circle.width + RIM_PX
    return (
        box.x0 < circle.x + reach
        and box.x1 > circle.x - reach
        and box.y0 < circle.y + reach
        and box.y1 > circle.y - reach
    )


def _runs_through(line: Any, rim: Any) -> bool:
    """Does a line cross a rim at two places at least, and end outside it at both ends?"""
    if shapely.get_num_geometries(shapely.intersection(line, rim)) < 2:
        return False
    area = shapely.make_valid(shapely.polygons(shapely.get_coordinates(rim)))
    ends = shapely.points(shapely.get_coordinates(line)[[0, -1]])
    return not bool(shapely.contains(area, ends).any())


def _grazes(line: Line, box: PxBox, settings: ReaderSettings) -> bool:
    """Does a line only run along just inside one side of a box, and on past both of its ends?"""
    depth, pen = settings.px(GRAZED_MM), settings.px(settings.body_pen_mm)
    start, end = line.points[:-1], line.points[1:]
    low, high = np.minimum(start, end), np.maximum(start, end)
    touched = (low < (box.x1, box.y1)).all(axis=1) & (high > (box.x0, box.y0)).all(axis=1)
    if not touched.any():
        return False
    upright = (low[:, 1] <= box.y0 - pen) & (high[:, 1] >= box.y1 + pen)
    level = (low[:, 0] <= box.x0 - pen) & (high[:, 0] >= box.x1 + pen)
    at_side = upright & ((high[:, 0] <= box.x0 + depth) | (low[:, 0] >= box.x1 - depth))
    at_side |= level & ((high[:, 1] <= box.y0 + depth) | (low[:, 1] >= box.y1 - depth))
    return bool(at_side[touched].all())


def _ends_at(lines: Sequence[Line], circle: Circle) -> bool:
    """Does a line end at the rim of a circle, from outside?"""
    reach = circle.width / 2 + RIM_PX
    for line in lines:
        if line.is_closed or not _comes_near(line, circle):
            continue
        for tip, inner in ((line.points[0], line.points[1]), (line.points[-1], line.points[-2])):
            far = float(np.hypot(tip[0] - circle.x, tip[1] - circle.y))
            inside = float(np.hypot(inner[0] - circle.x, inner[1] - circle.y))
            if abs(far - circle.radius) <= reach and inside > far:
                return True
    return False


def _without(line: Line, areas: Sequence[Any]) -> list[Line]:
    """The parts of a line outside all areas."""
    if not areas:
        return [line]
    rest = shapely.difference(shapely.linestrings(line.points), shapely.union_all(list(areas)))
    if line.is_closed:
        rest = shapely.line_merge(rest)
    return [line.along(points) for points in lines_in(rest)]


def _sides(
    lines: Sequence[Line],
    beside: Sequence[tuple[int, int]],
    given: Sequence[Body],
    settings: ReaderSettings,
) -> dict[int, set[int]]:
    """By line, the segments that are the outline of a marked box, drawn a little outside of it.

    Segments along a side, no farther off than a pen, count together where they have one look and lie on
    one line: so the dashes of a dashed outline do. A line that goes on past the side is none.
    """
    pen = settings.px(settings.body_pen_mm)
    found: dict[Any, list[tuple[int, int, float]]] = defaultdict(list)
    going_on: set[Any] = set()
    for k, n in beside:
        box, line = given[n].box, lines[k]
        low = np.minimum(line.points[:-1], line.points[1:])
        high = np.maximum(line.points[:-1], line.points[1:])
        spans = ((box.x0, box.x1), (box.y0, box.y1))
        for axis in (0, 1):
            (start, end), (first, last) = spans[axis], spans[1 - axis]
            flat = high[:, axis] - low[:, axis] < 1.0
            off = (low[:, axis] >= start - pen) & (high[:, axis] <= start)
            off |= (low[:, axis] >= end) & (high[:, axis] <= end + pen)
            within = (low[:, 1 - axis] >= first - pen) & (high[:, 1 - axis] <= last + pen)
            for m in np.flatnonzero(off & flat).tolist():
                key = (n, axis, line.look, round(float(low[m, axis])))
                if within[m]:
                    found[key].append((k, m, float(high[m, 1 - axis] - low[m, 1 - axis])))
                else:
                    going_on.add(key)
    gone: dict[int, set[int]] = defaultdict(set)
    for key, segments in found.items():
        box = given[key[0]].box
        side = box.y1 - box.y0 if key[1] == 0 else box.x1 - box.x0
        if key not in going_on and sum(length for *_, length in segments) >= SIDE_SHARE * side:
            for k, m, _ in segments:
                gone[k].add(m)
    return gone


def _without_segments(line: Line, gone: set[int] | None) -> list[Line]:
    if not gone:
        return [line]
    kept = np.array([m for m in range(len(line.points) - 1) if m not in gone], dtype=np.int64)
    runs = np.split(kept, np.flatnonzero(np.diff(kept) > 1) + 1) if len(kept) else []
    return [line.along(line.points[run[0] : run[-1] + 2]) for run in runs]
