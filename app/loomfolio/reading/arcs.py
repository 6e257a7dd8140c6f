"""Half circles of ink over a line: the arcs with which one line jumps over another.

An arc is looked for where a piece of line runs into ink: it may be the line that is jumped over, which
meets the arc at its top. Ahead of it, for every radius, a half circle must lie in ink about a centre on
the line. The ink around that centre, seen along rays, tells the rest: its outer edge is as far away on
all rays (the centre is moved until it is), the other side is bare, the line jumped over runs through,
and at both feet a line goes on. That holds for an arc drawn through to its line, for one that stands
apart in a gap, for arcs foot to foot, and for one so small that its inside has filled with ink.

Legend: E stroke ends; C candidates; T rays; S steps along them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.strokes import Strokes, find_strokes

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]
I64 = NDArray[np.int64]
Bools = NDArray[np.bool_]

_LEAST_MM, _MOST_MM = 0.4, 1.9
"""The radii of hops; smaller ones are dots and bends, larger ones parts of the drawing."""

_COARSE_DEG = np.arange(15.0, 166.0, 12.5)
_RAYS_DEG = np.concatenate([np.arange(22.0, 70.0, 4.0), np.arange(111.0, 159.0, 4.0)])
"""Rays of the arc; those near its top run in the line across, those near its feet in the other."""

_DOT_SHARE = 0.78
_STILL_PX = 0.25  # a centre that moves less than this has come to rest
_FEW = np.array([2, 6, 10])  # of the coarse rays: looked at first
_STEP_PX = 0.5
_CORE_SHARE = 0.65
_COARSE_INK, _COARSE_OPPOSITE = 0.92, 0.4
_BEYOND, _COARSE_BEYOND = 1.6, 0.4  # so many radii out there is paper, where a bar has ink
_ROUND_PX, _ROUND_SHARE = 0.9, 0.08  # how far the outer edge may leave a circle: px, of its radius
_RAYS_LEAST = 0.9
_BARE_LEAST = 0.86  # of the mirrored half circle
_THROUGH_LEAST = 0.92
_ONE_PLACE = 0.8  # two arcs nearer than this share of a radius are one
_PAGE_LEAST = 3
"""From this many plain arcs on, a page tells how its hops look, and more like them are looked for."""

_LIKE_DEG = np.concatenate([np.arange(14.0, 70.0, 5.0), np.arange(111.0, 167.0, 5.0)])
_CHUNK, _BEST_OF_EACH = 256, 4
_FOOT_EDGES = 0.8  # the widest line at a foot, in radii of the arc's outer edge
_OFF_AXIS = 0.25  # how far the line at a foot may lie beside the arc's axis, in its widths
_SLACK_PX, _FILLED_SLACK_PX = 1.5, 0.8  # the same, in px more, for open arcs and filled ones
_SAME_RISE = math.cos(math.radians(12.0))
_RIM_PX = 6.0
_LIKE_INK, _LIKE_BARE, _LIKE_AROUND, _LIKE_THROUGH = 0.8, 0.7, 0.6, 0.5


@dataclass(frozen=True)
class Arc:
    """An arc: its centre, radius and pen, and the unit directions of its foot line and its rise.

    `feet` are how far from the centre the line goes on before and behind; `across_width` is the width
    of the line jumped over.
    """

    x: float
    y: float
    radius: float
    width: float
    along: tuple[float, float]
    rise: tuple[float, float]
    feet: tuple[float, float]
    across_width: float


class Places:
    """Circles on the page, to be asked which is at a place."""

    def __init__(self, cell_px: float) -> None:
        self.cell_px = cell_px
        self.cells: dict[tuple[int, int], list[tuple[float, float, float]]] = {}

    def add(self, x: float, y: float, radius: float) -> None:
        """Note a circle no larger than a cell."""
        cell = (int(x // self.cell_px), int(y // self.cell_px))
        self.cells.setdefault(cell, []).append((x, y, radius))

    def has(self, x: float, y: float, share: float) -> bool:
        """Is a place within a share of the radius of a circle's centre?"""
        column, row = int(x // self.cell_px), int(y // self.cell_px)
        return any(
            math.hypot(x - cx, y - cy) < share * radius
            for i in (column - 1, column, column + 1)
            for j in (row - 1, row, row + 1)
            for cx, cy, radius in self.cells.get((i, j), ())
        )


@dataclass(frozen=True)
class _Foot:
    """The line that goes on from a foot: its width, from where on, and its shift beside the axis."""

    width: float
    start: float
    shift: F64


@dataclass(frozen=True)
class _Tops:
    """Where pieces of line run into ink: `at`, onward `way` float64 (E, 2), `width` float64 (E,)."""

    at: F64
    way: F64
    width: F64


def find_arcs(
    lines: U8, darkness: U8, strokes: Strokes, pen_px: float, settings: ReaderSettings
) -> list[Arc]:
    """Find the arcs in the ink that the strokes are of, uint8 (H, W); the surest first.

    They are looked for in the ink as it is and in its dark cores, `darkness` being uint8 (H, W): there
    the inside of a small arc is still open that blur has filled. `pen_px` is the usual width of line.
    """
    cores = _cores(lines, darkness)
    seen = (
        (lines, _tops_of(strokes, settings)),
        (cores, _tops_of(find_strokes(cores, settings), settings)),
    )
    places = Places(settings.px(_MOST_MM) + 2.0)
    arcs: list[Arc] = []
    for ink, tops in seen:
        arcs += _one_each(_found_in(ink, tops, places, pen_px, settings), places)
    if len(arcs) >= _PAGE_LEAST:
        for ink, tops in seen[::-1]:
            arcs += _one_each(_like_others(ink, tops, arcs, places, pen_px), places)
    return arcs


def _one_each(found: list[tuple[float, Arc]], places: Places) -> list[Arc]:
    """The surest arc of each place that has none yet."""
    kept: list[Arc] = []
    for _, arc in sorted(found, key=lambda f: (-f[0], f[1].x, f[1].y)):
        if not places.has(arc.x, arc.y, _ONE_PLACE):
            places.add(arc.x, arc.y, arc.radius)
            kept.append(arc)
    return kept


def _cores(lines: U8, darkness: U8) -> U8:
    """The ink that is nearly as dark as the darkest beside it."""
    around = cv2.dilate(darkness, np.ones((5, 5), np.uint8))
    core = cv2.compare(darkness, cv2.convertScaleAbs(around, alpha=_CORE_SHARE), cv2.CMP_GE)
    return np.asarray(core, dtype=np.uint8) & lines


def _found_in(
    lines: U8, tops: _Tops, known: Places, pen_px: float, settings: ReaderSettings
) -> list[tuple[float, Arc]]:
    """The arcs not known yet that are seen from one of the tops, each with how sure it is."""
    found: list[tuple[float, Arc]] = []
    now = Places(known.cell_px)
    for k, radius, ahead in _half_circles(lines, tops, pen_px, settings):
        way, width = tops.way[k], float(tops.width[k])
        x, y = (tops.at[k] + ahead * way).tolist()
        if known.has(x, y, _ONE_PLACE) or now.has(x, y, 0.3):
            continue
        seen = _seen_arc(lines, tops.at[k] + ahead * way, way, radius, width)
        if seen is not None:
            found.append(seen)
            now.add(seen[1].x, seen[1].y, seen[1].radius)
    return found


def _tops_of(strokes: Strokes, settings: ReaderSettings) -> _Tops:
    at, way, width = [], [], []
    least = settings.px(0.3)
    for stroke in strokes.strokes:
        if stroke.length < max(least, 0.8 * stroke.width):
            continue
        for end, inner in ((0, 1), (-1, -2)):
            if not stroke.beyond[end]:
                continue
            step = stroke.points[end] - stroke.points[inner]
            size = float(np.hypot(*step))
            if size >= max(least, 0.8 * stroke.width):
                at.append(stroke.points[end])
                way.append(step / size)
                width.append(stroke.width)
    return _Tops(
        np.array(at, dtype=np.float64).reshape(-1, 2),
        np.array(way, dtype=np.float64).reshape(-1, 2),
        np.array(width, dtype=np.float64),
    )


def _look(lines: U8, points: F64) -> U8:
    """Ink under points, float64 (..., 2); none off the page."""
    x, y = np.floor(points[..., 0]).astype(np.int64), np.floor(points[..., 1]).astype(np.int64)
    on = (x >= 0) & (y >= 0) & (x < lines.shape[1]) & (y < lines.shape[0])
    return np.where(on, lines[np.where(on, y, 0), np.where(on, x, 0)], 0).astype(np.uint8)


def _half_circles(
    lines: U8, tops: _Tops, pen_px: float, settings: ReaderSettings
) -> list[tuple[int, float, float]]:
    """Ends with a half circle of ink ahead: number of the end, radius, how far ahead its centre."""
    if len(tops.at) == 0:
        return []
    radii = np.arange(settings.px(_LEAST_MM), settings.px(_MOST_MM), 1.0)
    into = np.arange(0.5, 0.5 * pen_px + 4.5, 1.5)
    radius, depth = (v.ravel() for v in np.meshgrid(radii, into, indexing="ij"))
    angle = np.radians(_COARSE_DEG)
    beyond = (np.sin(angle) > 0.45) & (np.sin(angle) < 0.9)
    found: list[tuple[int, float, float]] = []
    for low in range(0, len(tops.at), _CHUNK):
        at, way = tops.at[low : low + _CHUNK], tops.way[low : low + _CHUNK]
        side = np.stack([-way[:, 1], way[:, 0]], axis=1)
        across = np.cos(angle)[:, None] * side[:, None]
        up = np.sin(angle)[:, None] * way[:, None]
        centre = at[:, None] + (radius + depth)[:, None] * way[:, None]
        few = (across - up)[:, None, _FEW]
        inked = _look(lines, centre[:, :, None] + radius[:, None, None] * few)
        end, place = np.nonzero(inked.all(axis=2))
        here, size = centre[end, place][:, None], radius[place][:, None]
        arc, other = (across - up)[end], (across + up)[end]
        ink = _look(lines, here + size[..., None] * arc).mean(axis=1)
        opposite = _look(lines, here + size[..., None] * other).mean(axis=1)
        outside = _look(lines, here + _BEYOND * size[..., None] * arc[:, beyond]).mean(axis=1)
        good = (ink >= _COARSE_INK) & (opposite <= _COARSE_OPPOSITE) & (outside <= _COARSE_BEYOND)
        rank = np.where(good, ink - opposite, -1.0)
        order = np.lexsort((-rank, end))
        order = order[good[order]]
        first = np.searchsorted(end[order], end[order], side="left")
        order = order[np.arange(len(order)) - first < _BEST_OF_EACH]
        found += [
            (low + int(end[g]), float(radius[place[g]]), float((radius + depth)[place[g]]))
            for g in order.tolist()
        ]
    return found


def _like_others(
    lines: U8, tops: _Tops, arcs: list[Arc], known: Places, pen_px: float
) -> list[tuple[float, Arc]]:
    """Arcs of the size and the rise of those found already, where the ink shows them less plainly.

    A piece of line may run into the arc from outside, or from inside.
    """
    if len(tops.at) == 0:
        return []
    usual = float(np.median([a.radius for a in arcs]))
    rises = np.array([a.rise for a in arcs])
    found: list[tuple[float, Arc]] = []
    for sign in (-1.0, 1.0):
        chosen = np.flatnonzero((sign * tops.way @ rises.T).max(axis=1) >= _SAME_RISE)
        for low in range(0, len(chosen), _CHUNK):
            ends = chosen[low : low + _CHUNK]
            rise = sign * tops.way[ends]
            sure, centre, radius = _best_like(lines, tops.at[ends], rise, -sign, usual, pen_px)
            for k in np.flatnonzero(sure > 0.0).tolist():
                x, y = centre[k].tolist()
                if known.has(x, y, _ONE_PLACE):
                    continue
                width = float(tops.width[ends[k]])
                arc = _arc_like(lines, centre[k], float(radius[k]), rise[k], width, pen_px)
                if arc is not None:
                    found.append((float(sure[k]), arc))
    return found


def _best_like(
    lines: U8, at: F64, rise: F64, outside: float, usual: float, pen_px: float
) -> tuple[F64, F64, F64]:
    """For each end the centre and radius whose arc lies best in ink, with paper outside and opposite.

    Returns how sure each is, 0 where none fits, float64 (E,), the centres (E, 2) and radii (E,).
    """
    turned = np.radians(_LIKE_DEG)
    along = np.stack([-rise[:, 1], rise[:, 0]], axis=1)
    across = np.cos(turned)[:, None] * along[:, None]
    up = np.sin(turned)[:, None] * rise[:, None]
    rays, opposite = across + up, across - up
    sine = np.sin(turned)
    clear, low = (sine > 0.55) & (sine < 0.88), sine > 0.5
    into = np.arange(0.0, 0.5 * pen_px + 4.5, 1.0)
    radii = np.repeat(usual * np.array([0.9, 1.0, 1.1]), len(into))
    ahead = radii + outside * np.tile(into, 3)
    centre = at[:, None] - ahead[:, None] * rise[:, None]
    here, size = centre[:, :, None], radii[:, None, None]
    inked = _look(lines, here + size * rays[:, None])
    left, right = turned < np.pi / 2, turned > np.pi / 2
    ink = np.minimum(inked[..., left].mean(axis=2), inked[..., right].mean(axis=2))
    bare = 1.0 - _look(lines, here + size * opposite[:, None, low]).mean(axis=2)
    around = 1.0 - _look(lines, here + (size + _RIM_PX) * rays[:, None, clear]).mean(axis=2)
    good = (ink >= _LIKE_INK) & (bare >= _LIKE_BARE) & (around >= _LIKE_AROUND)
    sure = np.where(good, ink + bare + around, 0.0)
    best = sure.argmax(axis=1)
    every = np.arange(len(at))
    return sure[every, best], centre[every, best], radii[best]


def _arc_like(
    lines: U8, centre: F64, radius: float, rise: F64, width: float, pen_px: float
) -> Arc | None:
    """The arc, if lines go on from both of its feet and one runs through it."""
    along = np.array([-rise[1], rise[0]])
    edge = radius + pen_px / 2
    behind = _foot(lines, centre, along, edge, pen_px)
    before = _foot(lines, centre, -along, edge, pen_px)
    if before is None or behind is None:
        return None
    for spread in (np.arange(-2.0 * edge, 0.0), np.arange(edge, 2.0 * edge)):
        if float(_look(lines, centre + spread[:, None] * rise).mean()) < _LIKE_THROUGH:
            return None
    if _is_dot(lines, centre, (before.shift + behind.shift) / 2, edge, (along, rise)):
        return None
    pen = min(before.width, behind.width, 0.9 * radius)
    at = (float(centre[0]), float(centre[1]))
    ways = ((float(along[0]), float(along[1])), (float(rise[0]), float(rise[1])))
    return Arc(*at, radius, pen, *ways, (before.start, behind.start), width)


def _seen_arc(
    lines: U8, centre: F64, way: F64, radius: float, width: float
) -> tuple[float, Arc] | None:
    """The arc about a centre, and how sure it is; None where the rays do not bear it out."""
    rise, along = -way, np.array([-way[1], way[0]])
    turned = np.radians(_RAYS_DEG)
    rays = np.cos(turned)[:, None] * along + np.sin(turned)[:, None] * rise
    outer = inner = np.zeros(0)
    for _ in range(3):
        inner, outer = _edges_on_rays(lines, centre, rays, radius)
        told = ~np.isnan(outer)
        if told.mean() < _RAYS_LEAST:
            return None
        model = np.stack([np.ones(int(told.sum())), *rays[told].T], axis=1)
        fit, *_ = np.linalg.lstsq(model, outer[told], rcond=None)
        if np.hypot(fit[1], fit[2]) > 4.0 or not 0.5 < float(fit[0]) / radius < 2.0:
            return None
        centre = centre + fit[1:]
        radius = radius + (float(fit[0]) - float(np.median(outer[told])))
        if np.hypot(fit[1], fit[2]) < _STILL_PX:
            break
    inner, outer = _edges_on_rays(lines, centre, rays, radius)
    told = ~np.isnan(outer)
    if told.mean() < _RAYS_LEAST:
        return None
    edge = float(np.median(outer[told]))
    off = np.abs(outer[told] - edge)
    if np.mean(off <= _ROUND_PX + _ROUND_SHARE * edge) < _RAYS_LEAST:
        return None
    return _judged(lines, centre, (along, rise), edge, edge - float(np.median(inner[told])), width)


def _edges_on_rays(lines: U8, centre: F64, rays: F64, radius: float) -> tuple[F64, F64]:
    """First and last step of the ink at about a radius, on each ray; nan where there is none."""
    steps = np.arange(0.0, 1.6 * radius + 6.0, _STEP_PX)
    ink = _look(lines, centre + steps[:, None] * rays[:, None]).astype(bool)
    at = min(int(radius / _STEP_PX), len(steps) - 1)
    near = np.arange(max(0, at - 3), min(len(steps), at + 4))
    order = near[np.argsort(np.abs(near - at), kind="stable")]
    seen = ink[:, order]
    start = order[np.argmax(seen, axis=1)]
    index = np.arange(len(steps))
    bare = ~ink
    behind = np.where(bare & (index > start[:, None]), index, len(steps)).min(axis=1)
    before = np.where(bare & (index < start[:, None]), index, -1).max(axis=1)
    lost = ~seen.any(axis=1) | (behind >= len(steps))
    inner, outer = (before + 1) * _STEP_PX, behind * _STEP_PX
    return np.where(lost, np.nan, inner), np.where(lost, np.nan, outer)


def _judged(
    lines: U8, centre: F64, axes: tuple[F64, F64], edge: float, thick: float, width: float
) -> tuple[float, Arc] | None:
    """Hold the arc against what lies about it: paper opposite, the line across, lines at its feet."""
    along, rise = axes
    behind = _foot(lines, centre, along, edge, thick)
    before = _foot(lines, centre, -along, edge, thick)
    if before is None or behind is None:
        return None
    pen = min(thick, 0.5 * (before.width + behind.width) + 0.5)
    radius = edge - pen / 2
    if radius < 1.05 * max(pen, 1.0):
        return None
    bare = _bare_opposite(lines, centre, axes, edge, width)
    spread = np.arange(-edge - 0.5 * width - 1.5, edge + 0.6 * width + 2.0, 1.0)
    through = float(_look(lines, centre + spread[:, None] * rise).mean())
    if _is_dot(lines, centre, (before.shift + behind.shift) / 2, edge, axes):
        return None
    if bare < _BARE_LEAST or through < _THROUGH_LEAST:
        return None
    if not _is_open(lines, centre, axes, (radius, pen, width)):
        return None
    at = (float(centre[0]), float(centre[1]))
    ways = ((float(along[0]), float(along[1])), (float(rise[0]), float(rise[1])))
    sure = bare + through + 0.5 * (thick <= 1.5 * pen)
    return sure, Arc(*at, radius, pen, *ways, (before.start, behind.start), width)


def _foot(lines: U8, centre: F64, way: F64, edge: float, thick: float) -> _Foot | None:
    """The line that goes on from a foot of the arc; None where none does."""
    pen = min(thick, edge)
    along = np.arange(edge - 0.3 * pen, 1.9 * edge + 2.0, 1.0)
    beside = np.arange(-edge, edge + 0.1, _STEP_PX)
    normal = np.array([-way[1], way[0]])
    ink = _look(lines, centre + along[:, None, None] * way + beside[None, :, None] * normal).astype(
        bool
    )
    zero = len(beside) // 2
    reach = np.array([0, -1, 1, -2, 2, -3, 3])
    near = ink[:, zero + reach]
    on = np.asarray(near.any(axis=1))
    if int(on.sum()) < 2:
        return None
    start = (zero + reach[near[on].argmax(axis=1)])[:, None]
    index = np.arange(len(beside))
    bare = ~ink[on]
    low = np.asarray(np.where(bare & (index < start), index, -1).max(axis=1))
    high = np.where(bare & (index > start), index, len(beside)).min(axis=1)
    widths = np.asarray((high - low - 1) * _STEP_PX)
    width = float(np.percentile(widths, 10))
    slim = widths <= width + 1.0
    beside_axis = float(np.median(((low + high) / 2 - zero)[slim])) * _STEP_PX
    slack = _SLACK_PX if thick <= 1.5 * width else _FILLED_SLACK_PX
    if abs(beside_axis) > _OFF_AXIS * width + slack:
        return None
    if width > _FOOT_EDGES * edge:
        return None
    first = int(np.searchsorted(along, edge + 1.0 + 0.8 * min(pen, width), side="right"))
    beyond = np.arange(len(along)) >= first
    if on[: first + 1].all():
        return _Foot(width, edge - pen, beside_axis * normal)
    again = on & beyond
    start_px = float(along[int(again.argmax())])
    return _Foot(width, start_px, beside_axis * normal) if again.any() else None


def _bare_opposite(
    lines: U8, centre: F64, axes: tuple[F64, F64], edge: float, width: float
) -> float:
    """The share of paper on the side away from the arc, where a dot or a ring would have ink."""
    along, rise = axes
    turned = np.radians(np.concatenate([np.arange(25.0, 80.0, 5.0), np.arange(105.0, 160.0, 5.0)]))
    rays = np.cos(turned)[:, None] * along - np.sin(turned)[:, None] * rise
    steps = np.array([0.65, 0.8, 0.95]) * edge
    points = steps[:, None, None] * rays
    off = np.abs(points @ along) > width / 2 + 1.5
    if not off.any():
        return 0.0
    return 1.0 - float(_look(lines, centre + points)[off].mean())


def _is_dot(lines: U8, centre: F64, shift: F64, edge: float, axes: tuple[F64, F64]) -> bool:
    """Does ink reach as far from the crossing to the one side of the foot line as to the other?

    The crossing lies on the lines that go on from the feet, which need not be on the arc's axis.
    """
    along, rise = axes
    turned = np.radians(np.array([38.0, 45.0, 52.0, 128.0, 135.0, 142.0]))
    ways = np.cos(turned)[:, None] * along - np.sin(turned)[:, None] * rise
    reach = float(np.median(_reach(lines, centre + shift, ways)))
    return reach > _DOT_SHARE * (edge - float(shift @ rise))


def _reach(lines: U8, at: F64, ways: F64) -> F64:
    """How far ink goes from a place along each way before the first paper."""
    steps = np.arange(0.0, 40.0, _STEP_PX)
    ink = _look(lines, at + steps[:, None] * ways[:, None])
    bare = np.where(ink == 0, steps, 40.0)
    return np.asarray(bare.min(axis=1))


def _is_open(
    lines: U8, centre: F64, axes: tuple[F64, F64], sizes: tuple[float, float, float]
) -> bool:
    """On the foot line, beside the line across, there is paper wherever there is room for it."""
    along, _ = axes
    radius, pen, width = sizes
    low, high = width / 2 + 1.5, radius - pen / 2 - 1.0
    if high - low < 1.5:
        return True
    steps = np.arange(low, high, _STEP_PX)
    both = np.concatenate([steps, -steps])
    return float(_look(lines, centre + both[:, None] * along).mean()) <= 0.5
