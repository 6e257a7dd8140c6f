"""Hops: the half circle with which one line jumps over another.

A hop is looked for where a line ends: straight ahead come paper, a line across, and as much paper
again, then the line goes on; and beside that stretch stands the arc. The arc is taken out of the
ink, and the line drawn straight through; what is left is a plain crossing whose place is known.
The arc may be drawn through to the line's ends or stand apart in a larger gap.

Legend: E stroke ends; S steps of half a px ahead of an end.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from loomfolio.reading.arcs import Arc, Places, find_arcs
from loomfolio.reading.dashes import inked
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.strokes import Strokes

ARC_INK_LEAST = 0.93
"""Share of a half circle that must be inked: a spot or two may be lost."""

ALL_ROUND_INK_LEAST = 0.8
ARC_RIM_PX = 2.5
"""How far outside its pen the blurred rim of an arc reaches."""

RADIUS_LEAST = 0.3
"""Least radius of an arc against half the length of its gap."""

U8 = NDArray[np.uint8]
F64 = NDArray[np.float64]


@dataclass(frozen=True)
class Hop:
    """A hop: where the lines cross, the ends (x, y) of the gap, and the arc's radius; working px."""

    x: float
    y: float
    ends: tuple[tuple[float, float], tuple[float, float]]
    radius: float


@dataclass(frozen=True)
class Hopped:
    """Ink without the arcs of the hops, the hopping lines drawn straight through instead."""

    lines: U8
    hops: tuple[Hop, ...]


@dataclass(frozen=True)
class _Ends:
    """Ends of strokes: `at`, outward `way` float64 (E, 2), `width` float64 (E,)."""

    at: F64
    way: F64
    width: F64


def take_out_hops(
    lines: U8, darkness: U8, strokes: Strokes, stroke_px: float, settings: ReaderSettings
) -> Hopped:
    """Find the hops and take out their arcs; `lines` is the ink the strokes are of, uint8 (H, W).

    First come the arcs that are seen as such (`arcs`), then what is seen from ends of lines.
    """
    ends = _ends_of(strokes, settings)
    left = lines.copy()
    hops: list[Hop] = []
    strips: list[tuple[float, ...]] = []
    places = Places(2.0 * settings.px(settings.hop_max_mm))
    for arc in find_arcs(lines, darkness, strokes, stroke_px, settings):
        hops.append(_hop_of(arc))
        places.add(arc.x, arc.y, arc.radius)
        _erase_arc(left, arc)
        strips.append(_strip_of(arc))
    for k in _with_line_ahead(ends, lines, settings):
        for hop in _hops_ahead(ends.at[k], ends.way[k], float(ends.width[k]), lines, settings):
            if places.has(hop.x, hop.y, 0.7):
                continue
            hops.append(hop)
            places.add(hop.x, hop.y, max(hop.radius, 3.0))
            width = float(ends.width[k])
            _erase(left, lines, hop, width)
            # From well inside the ink before the gap to well inside that behind it.
            first = np.asarray(hop.ends[0]) - width * ends.way[k]
            last = np.asarray(hop.ends[1]) + width * ends.way[k]
            strips.append((*first.tolist(), *last.tolist(), width))
    straight = np.array(strips, dtype=np.float64).reshape(-1, 5)
    return Hopped(inked(left, straight), tuple(hops))


def _hop_of(arc: Arc) -> Hop:
    before, behind = arc.feet
    (dx, dy) = arc.along
    first = (arc.x - before * dx, arc.y - before * dy)
    return Hop(arc.x, arc.y, (first, (arc.x + behind * dx, arc.y + behind * dy)), arc.radius)


def _strip_of(arc: Arc) -> tuple[float, ...]:
    """The hopping line drawn straight through, into the ink at both feet."""
    (dx, dy), (before, behind), more = arc.along, arc.feet, arc.width
    first = (arc.x - (before + more) * dx, arc.y - (before + more) * dy)
    return (*first, arc.x + (behind + more) * dx, arc.y + (behind + more) * dy, arc.width)


def _erase_arc(left: U8, arc: Arc) -> None:
    """Take out the half disc of an arc, but for the line across and the line at its feet."""
    edge = arc.radius + arc.width / 2 + ARC_RIM_PX
    reach = int(edge) + 2
    top, start = max(0, int(arc.y) - reach), max(0, int(arc.x) - reach)
    view = left[top : int(arc.y) + reach + 1, start : int(arc.x) + reach + 1]
    rows, columns = np.mgrid[top : top + view.shape[0], start : start + view.shape[1]]
    x, y = columns + 0.5 - arc.x, rows + 0.5 - arc.y
    along = np.abs(x * arc.along[0] + y * arc.along[1])
    rise = x * arc.rise[0] + y * arc.rise[1]
    gone = (np.hypot(x, y) <= edge) & (rise >= -arc.width / 2 - 1.0)
    gone &= along > arc.across_width / 2 + 1.1
    gone &= ~((np.abs(rise) <= arc.width / 2 + 0.6) & (along >= arc.radius - arc.width / 2))
    view[gone] = 0


def _hops_ahead(at: F64, way: F64, width: float, lines: U8, settings: ReaderSettings) -> list[Hop]:
    """All hops one after the other along the line that ends at `at`, until it goes on plainly."""
    hops: list[Hop] = []
    while True:
        hop = _hop_at(at, way, width, lines, settings)
        if hop is None:
            return hops
        hops.append(hop)
        start = np.asarray(hop.ends[1])
        steps = np.arange(1.0, settings.px(settings.hop_max_mm), 0.5)
        ink = _profile(lines, start[None], way[None], steps)[0]
        if ink.all():
            return hops
        at = start + steps[int(np.argmin(ink))] * way


def _ends_of(strokes: Strokes, settings: ReaderSettings) -> _Ends:
    at, way, width = [], [], []
    least = settings.px(0.35)
    for stroke in strokes.strokes:
        if stroke.length < max(least, 1.2 * stroke.width):
            continue
        for tip, inner in (
            (stroke.points[0], stroke.points[1]),
            (stroke.points[-1], stroke.points[-2]),
        ):
            step = tip - inner
            size = float(np.hypot(*step))
            if size < max(least, 1.2 * stroke.width):
                continue
            at.append(tip)
            way.append(step / size)
            width.append(stroke.width)
    return _Ends(
        np.array(at, dtype=np.float64).reshape(-1, 2),
        np.array(way, dtype=np.float64).reshape(-1, 2),
        np.array(width, dtype=np.float64),
    )


def _profile(mask: U8, at: F64, way: F64, steps: F64) -> U8:
    """Ink at steps ahead of points: uint8 (E, S)."""
    xs = at[:, None, 0] + steps[None, :] * way[:, None, 0]
    ys = at[:, None, 1] + steps[None, :] * way[:, None, 1]
    x = np.clip(xs.astype(np.int64), 0, mask.shape[1] - 1)
    y = np.clip(ys.astype(np.int64), 0, mask.shape[0] - 1)
    return np.asarray(mask[y, x], dtype=np.uint8)


def _with_line_ahead(ends: _Ends, lines: U8, settings: ReaderSettings) -> list[int]:
    """Ends that have paper ahead and ink again within the largest radius of a hop."""
    if len(ends.at) == 0:
        return []
    steps = np.arange(0.0, settings.px(settings.hop_max_mm), 0.5)
    ink = _profile(lines, ends.at, ends.way, steps)
    paper = np.argmax(ink[:, 1:] == 0, axis=1)
    seen = (ink == 0).any(axis=1)
    behind = np.arange(len(steps))[None, :] > paper[:, None]
    again = (ink.astype(bool) & behind).any(axis=1)
    return np.flatnonzero(seen & again).tolist()


def _hop_at(at: F64, way: F64, width: float, lines: U8, settings: ReaderSettings) -> Hop | None:
    """The hop ahead of an end, if there is one."""
    steps = np.arange(0.0, 2 * settings.px(settings.hop_max_mm) + 2 * width, 0.5)
    ink = _profile(lines, at[None], way[None], steps)[0]
    edges = np.flatnonzero(np.diff(ink.astype(np.int8)))
    # First the end of the line (with the arc's pen), then the line across: paper, ink, paper.
    starts = [float(steps[e + 1]) for e in edges if ink[e + 1] and steps[e + 1] > 1.0]
    stops = [float(steps[e + 1]) for e in edges if not ink[e + 1]]
    own = stops[0] if ink[0] and stops and stops[0] <= 1.6 * width + 1 else 0.0
    for start in starts[:3]:
        stop = next((s for s in stops if s > start), None)
        if start <= own or stop is None or stop - start > 3.0 * width + 2:
            continue
        middle = (start + stop) / 2
        if middle > settings.px(settings.hop_max_mm) or not _crosses(lines, at, way, middle, width):
            continue
        radius = _arc_radius(lines, at, way, middle, width, settings)
        far = _far_end(lines, at, way, middle, stop, width)
        if radius is not None and far is not None and radius >= RADIUS_LEAST * middle:
            cross = at + middle * way
            spots = ((float(at[0]), float(at[1])), (float(far[0]), float(far[1])))
            return Hop(float(cross[0]), float(cross[1]), spots, radius)
    return None


def _crosses(lines: U8, at: F64, way: F64, middle: float, width: float) -> bool:
    """Tell whether the ink ahead is a line across: it goes on to both sides."""
    spot = at + middle * way
    side = np.array([[-way[1], way[0]], [way[1], -way[0]]])
    ink = _profile(lines, np.repeat(spot[None], 2, axis=0), side, np.arange(0.0, 2.2 * width, 0.5))
    return bool(ink.mean(axis=1).min() > 0.85)


def _far_end(
    lines: U8, at: F64, way: F64, middle: float, behind: float, width: float
) -> F64 | None:
    """Where the line goes on, about as far behind the line across as it ended before it.

    Between `behind`, where the line across ends, and there must be paper: a blob has none.
    """
    slack = 0.8 * width + 1.5
    steps = np.arange(behind - 0.5, 2 * middle + 3 * width + slack, 0.5)
    ink = np.concatenate([[0], _profile(lines, at[None], way[None], steps)[0], [0]]).astype(np.int8)
    edges = np.flatnonzero(np.diff(ink))
    for first, last in zip(edges[::2], edges[1::2], strict=True):
        start, stop = float(steps[first]), float(steps[last - 1])
        if (
            start > behind + 0.5
            and stop - start >= 0.5 * width
            and start - slack <= 2 * middle <= stop + slack
        ):
            place = max(start + 0.5 * width, min(2 * middle, stop))
            return np.asarray(at + place * way, dtype=np.float64)
    return None


def _arc_radius(
    lines: U8, at: F64, way: F64, middle: float, width: float, settings: ReaderSettings
) -> float | None:
    """The radius of a half circle of ink about the crossing, on either side; None if there is none.

    Of all radii whose half circle lies in ink the middle one is the arc's.
    """
    centre = at + middle * way
    angles = np.radians(np.arange(-78.0, 79.0, 6.0))
    # A drawn-through arc starts at the line's end; one that stands apart is smaller than the gap.
    radii = np.arange(max(settings.px(0.4), 1.1 * width), middle + 1.5 * width + 1.0, 0.5)
    if len(radii) == 0:
        return None
    across = np.array([-way[1], way[0]])
    hands = np.array([1.0, -1.0])[:, None, None, None]
    arc = np.cos(angles)[:, None] * across * hands + np.sin(angles)[:, None] * way
    spots = centre + radii[:, None, None] * arc
    x = np.clip(spots[..., 0].astype(int), 0, lines.shape[1] - 1)
    y = np.clip(spots[..., 1].astype(int), 0, lines.shape[0] - 1)
    inked = lines[y, x].mean(axis=-1)
    best = float(inked.max())
    if best <= ARC_INK_LEAST:
        return None
    hand = int(np.argmax(inked.max(axis=1)))
    fits = inked[hand] >= best - 0.02
    # Ink all round is a crossing or a dot seen from beside its axis.
    if float(inked[1 - hand][fits].min()) > ALL_ROUND_INK_LEAST:
        return None
    return float(np.median(radii[fits]))


def _erase(left: U8, lines: U8, hop: Hop, width: float) -> None:
    """Take the arc out, but leave the line across and the ends of the hopping line."""
    (x0, y0), (x1, y1) = hop.ends
    length = math.hypot(x1 - x0, y1 - y0)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    reach = int(hop.radius + width) + 3
    top, start = max(0, int(hop.y) - reach), max(0, int(hop.x) - reach)
    rows, columns = np.mgrid[
        top : min(left.shape[0], int(hop.y) + reach + 1),
        start : min(left.shape[1], int(hop.x) + reach + 1),
    ]
    x, y = columns + 0.5 - hop.x, rows + 0.5 - hop.y
    along, beside = np.abs(x * dx + y * dy), np.abs(y * dx - x * dy)
    distance = np.hypot(x, y)
    ring = np.abs(distance - hop.radius) <= 0.5 * width + 1.6
    before, behind = _line_across(lines, hop, (dx, dy), width)
    ahead = x * dx + y * dy
    ring &= (ahead >= behind) | (ahead <= -before)
    # The hopping line itself, beyond its ends, is no part of the arc.
    ring &= ~((along >= length / 2 - 0.2) & (beside <= 0.5 * width + 0.6))
    view = left[top : top + ring.shape[0], start : start + ring.shape[1]]
    view[ring] = 0


def _line_across(
    lines: U8, hop: Hop, way: tuple[float, float], width: float
) -> tuple[float, float]:
    """How far the line across reaches before and behind the crossing, on the axis of the hop."""
    steps = np.arange(0.0, 2.0 * width + 2.0, 0.5)
    at = np.array([[hop.x, hop.y], [hop.x, hop.y]])
    ways = np.array([(-way[0], -way[1]), way])
    ink = _profile(lines, at, ways, steps)
    halves = [float(steps[int(np.argmin(row))]) if not row.all() else width for row in ink]
    return halves[0], halves[1]
