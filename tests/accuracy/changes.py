"""What is done to the conductors after routing; each change alters the graph, hence the truth.

Every change asks the raster of empty paper first, so that no symbol, ring or link comes to lie where
something else is drawn.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import shapely

from accuracy.draft import Draft, Pin
from accuracy.marks import Box, Point
from accuracy.symbols import TWO_POLES, Shape
from accuracy.wiring import End, Look

_LEAD_MM = 1.9  # straight line left on both sides of a symbol
_INLINE = (
    "fuse box", "fuse wave", "resistor box", "resistor zigzag", "diode", "contact open",
    "contact closed", "lamp", "in-line pair", "in-line pair", "in-line pair", "capacitor", "inductor",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Run:
    """A level or upright edge: its ends, its unit direction and its length."""

    key: int
    a: Point
    b: Point
    along: Point
    length: float

    def at(self, distance: float, aside: float = 0.0) -> Point:
        """The point at a distance from `a`, moved aside (to the right of the direction)."""
        dx, dy = self.along
        return self.a[0] + dx * distance - dy * aside, self.a[1] + dy * distance + dx * aside

    def box(self, start: float, end: float, aside0: float, aside1: float) -> Box:
        """The box between two distances along and two distances aside."""
        (ax, ay), (bx, by) = self.at(start, aside0), self.at(end, aside1)
        return min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)


def run_of(draft: Draft, key: int) -> Run | None:
    """Return an edge as a run, or none where it is neither level nor upright."""
    a, b = draft.wiring.segment(key)
    length = math.dist(a, b)
    if length < 1e-6 or min(abs(a[0] - b[0]), abs(a[1] - b[1])) > 1e-9:
        return None
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    return Run(key, a, b, along, length)


def is_open_beside(draft: Draft, run: Run, span: tuple[float, float], half: float) -> bool:
    """Is the paper on both sides of a run empty, out to `half`?"""
    return all(
        draft.empty.is_free(run.box(*span, *sorted((sign * 0.45, sign * half)))) for sign in (-1, 1)
    )


def mark_lines(draft: Draft) -> None:
    """Enter all conductors into the raster of used paper."""
    for key in draft.wiring.edges:
        draft.empty.line(*draft.wiring.segment(key))


def set_symbols(draft: Draft, count: int) -> None:
    """Set two-pole symbols into long lines; each parts its net in two."""
    rng = draft.rng
    for _ in range(count):
        key = rng.choice(sorted(draft.wiring.edges))
        run = run_of(draft, key)
        shape = TWO_POLES[rng.choice(_INLINE)](rng)
        half = shape.length / 2
        if run is None or run.length < shape.length + 2 * _LEAD_MM:
            continue
        middle = rng.uniform(half + _LEAD_MM, run.length - half - _LEAD_MM)
        span = (middle - half - _LEAD_MM, middle + half + _LEAD_MM)
        if draft.wiring.edges[key].look.dash or not is_open_beside(
            draft, run, span, shape.half_width + 0.9
        ):
            continue
        _set_symbol(draft, run, shape, middle)


def _set_symbol(draft: Draft, run: Run, shape: Shape, middle: float) -> None:
    half = shape.length / 2
    box = draft.set_shape(shape, run.at(middle), run.along)
    number = draft.body(box, shape.kind)
    back = (-run.along[0], -run.along[1])
    ends = (
        (run.at(middle - half), End("1", number, back)),
        (run.at(middle + half), End("2", number, run.along)),
    )
    draft.wiring.cut(run.key, ends)
    draft.empty.fill(run.box(middle - half - 1.2, middle + half + 1.2, -0.5, 0.5))
    if shape.letter:
        draft.write(shape.letter, run.at(middle), 2.0)


def link_lines(draft: Draft, count: int, *, rings: bool) -> None:
    """Join neighbouring parallel lines by a short cross line, from ring to ring or from T to T."""
    rng = draft.rng
    for _ in range(count):
        run = run_of(draft, rng.choice(sorted(draft.wiring.edges)))
        if run is None or run.length < 6:
            continue
        at = rng.uniform(2.5, run.length - 2.5)
        mate = _neighbour(draft, run, at)
        if mate is None:
            continue
        key, gap = mate
        radius = min(rng.choice([0.5, 0.7, 0.9]), gap / 3) if rings else 0.2
        near = run.box(at - radius - 1.6, at + radius + 1.6, 0.45, gap - 0.45)
        far = run.box(at - radius - 1.6, at + radius + 1.6, gap + 0.45, gap + radius + 0.6)
        behind = run.box(at - radius - 1.6, at + radius + 1.6, -radius - 0.6, -0.45)
        if all(draft.empty.is_free(box) for box in (near, far, behind)):
            _link(draft, (run, key), at, gap, radius if rings else 0.0)


def _neighbour(draft: Draft, run: Run, at: float) -> tuple[int, float] | None:
    """The nearest parallel edge to the right that is abreast of a place on a run, and how far off."""
    wiring, best = draft.wiring, None
    for key in wiring.edges:
        other = run_of(draft, key)
        if other is None or abs(other.along[0]) != abs(run.along[0]) or key == run.key:
            continue
        dx, dy = other.a[0] - run.a[0], other.a[1] - run.a[1]
        aside = -dx * run.along[1] + dy * run.along[0]
        start = dx * run.along[0] + dy * run.along[1]
        sense = run.along[0] * other.along[0] + run.along[1] * other.along[1]
        low, high = sorted((start, start + sense * other.length))
        if 1.0 < aside < 12 and low + 2.5 < at < high - 2.5 and (best is None or aside < best[1]):
            best = (key, aside)
    return best


def _link(draft: Draft, pair: tuple[Run, int], at: float, gap: float, ring: float) -> None:
    run, key = pair
    wiring = draft.wiring
    look = wiring.edges[run.key].look
    first, second = wiring.split(run.key, run.at(at)), wiring.split(key, run.at(at, gap))
    wiring.join(first, second, Look(look.width_mm, look.colour, code=look.code))
    draft.empty.line(run.at(at), run.at(at, gap))
    if ring:
        for vertex in (first, second):
            wiring.rings[vertex] = ring
        draft.note("ring to ring", run.at(at, gap / 2))
    draft.empty.fill(run.box(at - ring - 0.4, at + ring + 0.4, -ring - 0.4, gap + ring + 0.4))


def offset_arms(draft: Draft, share: float) -> None:
    """Turn some joined four-ways into two Ts slightly offset."""
    wiring = draft.wiring
    for vertex in range(len(wiring.points)):
        if len(wiring.arms[vertex]) == 4 and draft.rng.random() < share:
            for key in list(wiring.arms[vertex]):
                if _shift_arm(draft, vertex, key):
                    draft.note("offset tees", wiring.points[vertex])
                    break


def _shift_arm(draft: Draft, vertex: int, key: int) -> bool:
    """Move one arm of a four-way aside, with the bend at its far end."""
    wiring, pitch = draft.wiring, draft.style.pitch_mm
    far = wiring.edges[key].other(vertex)
    if len(wiring.arms[far]) != 2 or far in wiring.ends:
        return False
    here, there = wiring.points[vertex], wiring.points[far]
    upright = abs(here[0] - there[0]) < 1e-9
    shift = max(0.6, draft.rng.choice([0.4, 0.6, 0.8]) * pitch)
    by = (shift, 0.0) if upright else (0.0, shift)
    moved = (here[0] + by[0], here[1] + by[1])
    axis = 0 if upright else 1
    trunk = next(
        (k for k in wiring.arms[vertex] if _lies_ahead(draft, vertex, k, axis, shift)), None
    )
    aside = [pitch + 0.3, shift + 1.0][shift + 1.0 > pitch]
    run = run_of(draft, key)
    if trunk is None or run is None or aside < shift:
        return False
    low, high = sorted((here[1 - axis], there[1 - axis]))
    lanes = (moved[0] - 0.1, low + 0.1, here[0] + aside, high + 0.6)
    strip = lanes if upright else (low + 0.1, moved[1] - 0.1, high + 0.6, here[1] + aside)
    if _has_parallel(draft, strip, upright=upright):
        return False
    wiring.points[far] = (there[0] + by[0], there[1] + by[1])
    look = wiring.remove(key).look
    wiring.join(wiring.split(trunk, moved), far, look)
    return True


def _lies_ahead(draft: Draft, vertex: int, key: int, axis: int, shift: float) -> bool:
    here = draft.wiring.points[vertex]
    there = draft.wiring.points[draft.wiring.edges[key].other(vertex)]
    return abs(there[1 - axis] - here[1 - axis]) < 1e-9 and there[axis] - here[axis] > shift + 0.6


def _has_parallel(draft: Draft, strip: Box, *, upright: bool) -> bool:
    """Does a line of the same sense run through a strip?"""
    for key in draft.wiring.edges:
        (ax, ay), (bx, by) = draft.wiring.segment(key)
        if (abs(ax - bx) < 1e-9) != upright:
            continue
        if (
            max(ax, bx) >= strip[0] and min(ax, bx) <= strip[2]
            and max(ay, by) >= strip[1] and min(ay, by) <= strip[3]
        ):  # fmt: skip
            return True
    return False


def free_lines(draft: Draft, look: Look, pairs: list[tuple[Pin, Pin]]) -> int:
    """Draw lines at free angles or with a 45-degree leg between open pins; return how many."""
    count = 0
    for a, b in pairs:
        starts = (draft.at(a.start), draft.at(b.start))
        for corners in _ways(starts, draft.rng.random() < 0.5):
            if _is_way_clear(draft, corners):
                wiring = draft.wiring
                net = a.net = b.net = draft.new_net()
                ends = [wiring.vertex(pin.at, draft.end_of(pin)) for pin in (a, b)]
                inner = [wiring.vertex(p) for p in corners]
                wiring.run([ends[0], *inner, ends[1]], look)
                draft.grid.whole[a.start] = draft.grid.whole[b.start] = net
                count += 1
                break
    return count


def _ways(ends: tuple[Point, Point], diagonal: bool) -> list[list[Point]]:
    (ax, ay), (bx, by) = ends
    if not diagonal:
        return [[ends[0], ends[1]]]
    leg = min(abs(bx - ax), abs(by - ay))
    sx, sy = math.copysign(leg, bx - ax), math.copysign(leg, by - ay)
    return [
        [ends[0], (ax + sx, ay + sy), ends[1]],
        [ends[0], (bx - sx, by - sy), ends[1]],
    ]


def _is_way_clear(draft: Draft, corners: list[Point]) -> bool:
    """Does a way cross others only cleanly: steeply, and away from all ends, bends and bodies?"""
    way = shapely.LineString(corners)
    taken = [*draft.pictures, *(body.box for body in draft.bodies)]
    if way.length < 4 or any(shapely.box(*box).distance(way) < 1.2 for box in taken):
        return False
    vertices = [p for p, arms in zip(draft.wiring.points, draft.wiring.arms, strict=True) if arms]
    held = [draft.at(pin.start) for pin in draft.pins if draft.at(pin.start) not in corners]
    if shapely.MultiPoint(vertices + held).distance(way) < 1.3:
        return False
    hits = []
    for key in draft.wiring.edges:
        line = shapely.LineString(draft.wiring.segment(key))
        if line.distance(way) > 1.3:
            continue
        hit = line.intersection(way)
        if hit.geom_type != "Point" or not _is_steep(draft.wiring.segment(key), corners, hit):
            return False
        hits.append((way.project(hit), hit))
    places = sorted(place for place, _ in hits)
    corners_clear = all(math.dist((h.x, h.y), c) > 1.4 for _, h in hits for c in corners)
    return corners_clear and all(b - a > 1.4 for a, b in itertools.pairwise(places))


def _is_steep(segment: tuple[Point, Point], corners: list[Point], hit: shapely.Point) -> bool:
    for a, b in itertools.pairwise(corners):
        if shapely.LineString([a, b]).distance(hit) < 1e-6:
            angle = math.atan2(b[1] - a[1], b[0] - a[0])
            (cx, cy), (dx, dy) = segment
            turn = abs(math.sin(angle - math.atan2(dy - cy, dx - cx)))
            return turn > math.sin(math.radians(28))
    return False
