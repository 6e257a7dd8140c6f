"""Free ends: which reach a body, which go on behind a gap, which nearly touch a line.

Each free end looks straight ahead. Two ends that see each other in line are two pieces of one line
where something explains the break: its own text, a line that passes between, a hop's arc, or just a
lost spot of ink. What explains it decides whether the bridge is a doubt.

Ends are matched best first, each at most once; distances, then positions, break ties.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.bodies import Body
from loomfolio.reading.graph import Arm, LineGraph, Node
from loomfolio.reading.junctions import Decision, Place, Question, straight_pairs
from loomfolio.reading.records import CrossingKind
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]
EndKey = tuple[int, int]


@dataclass(frozen=True)
class Bridge:
    """Two ends, (edge, end) each, that are one line; `doubt` where that is only likely."""

    a: EndKey
    b: EndKey
    crossing: Place[CrossingKind] | None = None
    doubt: Question | None = None


@dataclass(frozen=True)
class FreeEnds:
    """What became of the free ends."""

    at_body: dict[EndKey, int]
    bridges: tuple[Bridge, ...]
    doubts: tuple[Question, ...]


@dataclass(frozen=True)
class _Pair:
    cost: float
    a: Arm
    b: Arm
    length: float


def settle_ends(
    graph: LineGraph,
    decisions: dict[int, Decision],
    bodies: Sequence[Body],
    glyph_boxes: NDArray[np.float64],
    mask: U8,
    settings: ReaderSettings,
) -> FreeEnds:
    """Settle all free ends of the graph. `mask` is the ink, bodies taken out, uint8 (H, W)."""
    ends = [
        node.arms[group[0]]
        for number, node in graph.nodes.items()
        for group in decisions[number].groups
        if len(group) == 1
    ]
    at_body = _ends_at_bodies(ends, bodies, settings)
    free = [e for e in ends if (e.edge, e.end) not in at_body]
    hops, used = _hop_bridges(graph, decisions, free, settings)
    rest = [e for e in free if (e.edge, e.end) not in used]
    pairs = _facing_pairs(rest, settings)
    bridges = list(hops)
    for pair in pairs:
        keys = {(pair.a.edge, pair.a.end), (pair.b.edge, pair.b.end)}
        if keys & used:
            continue
        bridge = _judged(pair, mask, glyph_boxes, settings)
        if bridge is not None:
            bridges.append(bridge)
            used |= keys
    return FreeEnds(at_body, tuple(bridges), ())


def part_stems(
    graph: LineGraph, decisions: dict[int, Decision], settings: ReaderSettings
) -> dict[int, Decision]:
    """Take the stem of a T off its bar where the same line goes on just behind the bar.

    A line that stops short of a bar, in line with a stem on the other side, is the second half of a
    line that passes: a squeezed hop or a gap of which one half closed up. That is a doubt all the same.
    """
    ends = [node.arms[0] for node in graph.nodes.values() if len(node.arms) == 1]
    tees = {
        n: stem
        for n, node in graph.nodes.items()
        if len(node.arms) == 3 and decisions[n].groups == ((0, 1, 2),)
        for stem in [_stem_of(node, settings)]
        if stem is not None
    }
    if not ends or not tees:
        return decisions
    numbers = sorted(tees)
    tree = cKDTree(np.array([graph.nodes[n].centre for n in numbers]))
    parted = dict(decisions)
    for end in ends:
        for near in tree.query_ball_point((end.x, end.y), settings.px(settings.stem_gap_mm)):
            number = numbers[near]
            stem = graph.nodes[number].arms[tees[number]]
            pair = _faced(end, stem, settings)
            if pair is None or stem.edge == end.edge:
                continue
            bar = tuple(k for k in range(3) if k != tees[number])
            x, y = graph.nodes[number].centre
            doubt = Question(x, y, "crossing", "apart")
            parted[number] = Decision(groups=(bar, (tees[number],)), doubts=(doubt,))
    return parted


def _stem_of(node: Node, settings: ReaderSettings) -> int | None:
    """The arm of a T that is not of the straight bar."""
    pairs = straight_pairs(node.arms, settings)
    if len(pairs) != 1:
        return None
    return next(k for k in range(3) if k not in pairs[0])


def _ends_at_bodies(
    ends: Sequence[Arm], bodies: Sequence[Body], settings: ReaderSettings
) -> dict[EndKey, int]:
    """The body that each end stops at: the nearest one that it points to within reach."""
    if not bodies:
        return {}
    reach = settings.px(settings.body_reach_mm) + settings.px(settings.body_edge_mm)
    result: dict[EndKey, int] = {}
    edges = np.array([b.box for b in bodies], dtype=np.float64)
    for end in ends:
        near: list[int] = np.flatnonzero(
            (edges[:, 0] - reach <= end.x)
            & (end.x <= edges[:, 2] + reach)
            & (edges[:, 1] - reach <= end.y)
            & (end.y <= edges[:, 3] + reach)
        ).tolist()
        found = [(bodies[k].distance(end.x, end.y), k) for k in near]
        found = [(d, k) for d, k in found if d <= reach and _points_at(end, bodies[k])]
        if found:
            result[(end.edge, end.end)] = min(found)[1]
    return result


def _points_at(end: Arm, body: Body) -> bool:
    """Does the line, carried on, go into the body? One that runs past beside it does not."""
    far = body.distance(end.x, end.y)
    if far == 0.0:
        return True
    # No farther: an outline counts from both sides, and behind it the distance grows again.
    ahead = body.distance(end.x - end.dx * far, end.y - end.dy * far)
    return ahead < 0.6 * far


def _facing_pairs(ends: Sequence[Arm], settings: ReaderSettings) -> list[_Pair]:
    """All pairs of ends that lie in line and face each other, the best first."""
    if len(ends) < 2:
        return []
    tips = np.array([(e.x, e.y) for e in ends])
    near = cKDTree(tips).query_pairs(settings.px(settings.gap_max_mm), output_type="ndarray")
    pairs: list[_Pair] = []
    for i, j in near.tolist():
        a, b = ends[i], ends[j]
        if a.edge == b.edge:
            continue
        pair = _faced(a, b, settings)
        if pair is not None:
            pairs.append(pair)
    return sorted(pairs, key=lambda p: (p.cost, p.a.x, p.a.y, p.b.x, p.b.y))


def _faced(a: Arm, b: Arm, settings: ReaderSettings) -> _Pair | None:
    """The pair, if both ends look along one line at each other."""
    gx, gy = b.x - a.x, b.y - a.y
    length = math.hypot(gx, gy)
    if length < 1e-6:
        return None
    bend = a.dx * b.dx + a.dy * b.dy
    limit = math.cos(math.radians(settings.gap_angle_deg))
    if bend > -limit or -(a.dx * gx + a.dy * gy) < 0 or (b.dx * gx + b.dy * gy) < 0:
        return None
    width = max(a.width, b.width)
    offset = max(abs(a.dx * gy - a.dy * gx), abs(b.dx * gy - b.dy * gx))
    if offset > 0.6 * width + 0.06 * length + 0.7:
        return None
    if width > 1.9 * min(a.width, b.width) + 1.5:
        return None
    return _Pair(length + 3.0 * offset, a, b, length)


def _judged(
    pair: _Pair, mask: U8, glyph_boxes: NDArray[np.float64], settings: ReaderSettings
) -> Bridge | None:
    """Bridge a facing pair if something explains the gap."""
    a, b = pair.a, pair.b
    width = max(a.width, b.width)
    middle = ((a.x + b.x) / 2, (a.y + b.y) / 2)
    keys = ((a.edge, a.end), (b.edge, b.end))
    crossed = _line_between(pair, mask)
    if crossed is not None:
        if pair.length <= settings.px(settings.gap_behind_max_mm):
            return Bridge(*keys, crossing=Place(*crossed, "gap"))
        return None
    doubt = Question(*middle, "gap", "joined")
    text = _text_margins(pair, glyph_boxes)
    if text is not None and max(text) <= settings.px(settings.gap_margin_mm):
        # A long text may as well be two: the number and the name of a pin between two lines.
        even = abs(text[0] - text[1]) <= settings.px(settings.gap_uneven_mm)
        even &= pair.length <= settings.px(settings.gap_sure_mm)
        return Bridge(*keys, doubt=None if even else doubt)
    if pair.length <= max(settings.px(settings.gap_empty_max_mm), 2.0 * width):
        return Bridge(*keys, doubt=doubt)
    return None


def _line_between(pair: _Pair, mask: U8) -> tuple[float, float] | None:
    """The middle of the line that passes through the gap, if one does.

    The line is as thin as a line there and goes on to both sides; beside it there may be the two
    tips of an arc. Anything else that stands in the gap is a symbol, and no line passes.
    """
    a, b = pair.a, pair.b
    gx, gy = (b.x - a.x) / pair.length, (b.y - a.y) / pair.length
    width = max(a.width, b.width)
    along = np.arange(1.0, pair.length - 0.5, 0.5)
    runs = _inked_runs(mask, (a.x, a.y), (gx, gy), along)
    if not 1 <= len(runs) <= 3 or any(high - low > 2.6 * width + 1 for low, high in runs):
        return None
    for low, high in sorted(runs, key=lambda r: abs((r[0] + r[1]) - pair.length)):
        at = (low + high) / 2
        x, y = a.x + at * gx, a.y + at * gy
        sides = [
            _inked_runs(mask, (x, y), (-gy * s, gx * s), np.arange(2.0, 5.0) * width)
            for s in (1, -1)
        ]
        if all(len(side) == 1 and side[0][1] > side[0][0] for side in sides):
            return x, y
    return None


def _inked_runs(
    mask: U8, start: tuple[float, float], way: tuple[float, float], along: NDArray[np.float64]
) -> list[tuple[float, float]]:
    """First and last of the places along a way that have ink, for each stretch of them."""
    xs = np.clip((start[0] + along * way[0]).astype(int), 0, mask.shape[1] - 1)
    ys = np.clip((start[1] + along * way[1]).astype(int), 0, mask.shape[0] - 1)
    ink = np.flatnonzero(mask[ys, xs])
    stretches = np.split(ink, np.flatnonzero(np.diff(ink) > 1) + 1) if len(ink) else []
    return [(float(along[s[0]]), float(along[s[-1]])) for s in stretches]


def _text_margins(pair: _Pair, boxes: NDArray[np.float64]) -> tuple[float, float] | None:
    """The bare px before and behind the glyphs that stand in the gap; None if there are none."""
    if len(boxes) == 0:
        return None
    a, b = pair.a, pair.b
    gx, gy = (b.x - a.x) / pair.length, (b.y - a.y) / pair.length
    rel = (boxes[:, :2] + boxes[:, 2:]) / 2 - np.array([a.x, a.y])
    along = rel @ np.array([gx, gy])
    beside = np.abs(rel @ np.array([-gy, gx]))
    size = boxes[:, 2:] - boxes[:, :2]
    half_along = (size @ np.abs(np.array([gx, gy]))) / 2
    half_beside = (size @ np.abs(np.array([gy, gx]))) / 2
    # A word across the line may leave the line between two of its glyphs.
    on = (along > 0) & (along < pair.length)
    on &= beside < half_beside + 0.4 * size.max(axis=1)
    if not on.any():
        return None
    first = float((along - half_along)[on].min())
    last = float((along + half_along)[on].max())
    return max(first, 0.0), max(pair.length - last, 0.0)


def _hop_bridges(
    graph: LineGraph,
    decisions: dict[int, Decision],
    free: Sequence[Arm],
    settings: ReaderSettings,
) -> tuple[list[Bridge], set[EndKey]]:
    """Bridge lines that stop short of a hop's arc on both sides."""
    used: set[EndKey] = set()
    bridges: list[Bridge] = []
    if len(free) < 2:
        return bridges, used
    tree = cKDTree(np.array([(e.x, e.y) for e in free]))
    by_key = {(e.edge, e.end): e for e in free}
    for number, node in graph.nodes.items():
        for group in decisions[number].groups:
            if len(group) != 2 or len(node.arms) < 4:
                continue
            tips = [by_key.get((node.arms[k].edge, 1 - node.arms[k].end)) for k in group]
            if tips[0] is None or tips[1] is None:
                continue
            found = _hop_ends(tips[0], tips[1], free, tree, settings)
            if found is None:
                continue
            first, last = found
            x, y = (tips[0].x + tips[1].x) / 2, (tips[0].y + tips[1].y) / 2
            keys = ((first.edge, first.end), (last.edge, last.end))
            bridges.append(Bridge(*keys, crossing=Place(x, y, "hop")))
            used |= {*keys, (tips[0].edge, tips[0].end), (tips[1].edge, tips[1].end)}
    return bridges, used


def _hop_ends(
    one: Arm, two: Arm, free: Sequence[Arm], tree: cKDTree, settings: ReaderSettings
) -> tuple[Arm, Arm] | None:
    """The line ends beyond the tips of an arc, in line with both tips and looking at them."""
    ax, ay = two.x - one.x, two.y - one.y
    size = math.hypot(ax, ay)
    if not settings.px(0.5) <= size <= settings.px(4.0):
        return None
    if one.length > 2.2 * size or two.length > 2.2 * size:
        return None
    ax, ay = ax / size, ay / size
    ends: list[Arm] = []
    for tip, sx, sy in ((one, -ax, -ay), (two, ax, ay)):
        best: tuple[float, Arm] | None = None
        for k in sorted(tree.query_ball_point((tip.x, tip.y), settings.px(2.2))):
            end = free[k]
            if end.edge in (one.edge, two.edge):
                continue
            along = (end.x - tip.x) * sx + (end.y - tip.y) * sy
            beside = abs((end.x - tip.x) * sy - (end.y - tip.y) * sx)
            ahead = end.dx * sx + end.dy * sy
            seen = along > -end.width and beside <= 1.2 * end.width + 1 and ahead > 0.95
            if seen and (best is None or along < best[0]):
                best = (along, end)
        if best is None:
            return None
        ends.append(best[1])
    return ends[0], ends[1]
