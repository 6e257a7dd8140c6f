"""Decide at each node which arms are joined.

The rules are those of IEC 61082-1 and of printed service diagrams: a T is joined with or without a
dot, a four-way only with one; a half-circle hop is apart. Whether there is a dot shows in the
widest circle that fits into the ink: in a plain crossing of two lines of width w it measures 1.41
w. Between clearly less and clearly more the result is a doubt with its place.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Generic, TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.graph import Arm, LineGraph, Node, meeting_point
from loomfolio.reading.hops import Hop
from loomfolio.reading.records import CrossingKind, DoubtKind, JunctionKind, Taken
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]


Kind = TypeVar("Kind", JunctionKind, CrossingKind)


@dataclass(frozen=True)
class Place(Generic[Kind]):
    """A junction or a crossing, in working px."""

    x: float
    y: float
    kind: Kind


@dataclass(frozen=True)
class Question:
    """A doubt, in working px: its kind and what was taken."""

    x: float
    y: float
    kind: DoubtKind
    taken: Taken


@dataclass(frozen=True)
class Decision:
    """Which arms of a node are joined, as `groups` of positions in `node.arms`."""

    groups: tuple[tuple[int, ...], ...]
    junctions: tuple[Place[JunctionKind], ...] = ()
    crossings: tuple[Place[CrossingKind], ...] = ()
    doubts: tuple[Question, ...] = ()


def decide_junctions(
    graph: LineGraph, mask: U8, hops: Sequence[Hop], settings: ReaderSettings
) -> dict[int, Decision]:
    """Decide every node of the graph; `mask` is the ink, uint8 (H, W), that it was built from.

    At a hop that was taken out lines cross apart, whatever the ink left there looks like.
    """
    tree = cKDTree(np.array([(h.x, h.y) for h in hops])) if hops else None
    decided: dict[int, Decision] = {}
    for number, node in graph.nodes.items():
        if tree is not None and len(node.arms) >= 4:
            distance, nearest = tree.query(node.centre)
            if distance <= 0.8 * hops[int(nearest)].radius:
                decided[number] = _at_hop(node, settings)
                continue
        decided[number] = decide_node(node, mask, graph.stroke_px, settings)
    return decided


def _at_hop(node: Node, settings: ReaderSettings) -> Decision:
    """Straight lines go on past each other; what else meets there stays by itself."""
    pairs = straight_pairs(node.arms, settings)
    used = {k for pair in pairs for k in pair}
    single = tuple((k,) for k in range(len(node.arms)) if k not in used)
    x, y = node.centre
    return Decision(groups=(*pairs, *single), crossings=(Place(x, y, "hop"),))


def decide_node(node: Node, mask: U8, stroke_px: float, settings: ReaderSettings) -> Decision:
    """Decide one node."""
    count = len(node.arms)
    if count == 1:
        return Decision(groups=((0,),))
    width = node_width(node, stroke_px)
    if is_filled_symbol(mask, node, width):
        return _at_filled_symbol(mask, node, width, settings)
    everything = (tuple(range(count)),)
    if count == 2:
        return Decision(groups=everything)
    x, y = node.centre
    circle = widest_circle(mask, node, width) / plain_circle(node, width)
    if count == 3:
        kind: JunctionKind = "dot" if circle >= settings.dot_sure_ratio else "tee"
        return Decision(groups=everything, junctions=(Place(x, y, kind),))
    pairs = straight_pairs(node.arms, settings)
    if circle >= settings.dot_sure_ratio:
        return Decision(groups=everything, junctions=(Place(x, y, "dot"),))
    if count in (4, 6, 8) and 2 * len(pairs) == count:
        return _lines_cross(pairs, circle, (x, y), settings)
    if count == 4 and len(pairs) == 1:
        return _one_straight(node, pairs[0], (x, y), settings)
    return _unclear(node, pairs, (x, y))


def node_width(node: Node, stroke_px: float) -> float:
    """The width of line at a node, from the arms that are long enough to tell."""
    arms = node.arms
    told = [a.width for a in arms if a.length >= 4 * a.width]
    for a, b in combinations(arms, 2):
        opposite = a.dx * b.dx + a.dy * b.dy < -0.93
        if opposite and max(a.width, b.width) <= 1.3 * min(a.width, b.width) + 0.5:
            told.append((a.width + b.width) / 2)
    return max(told) if told else max(stroke_px, min(a.width for a in arms))


def _at_filled_symbol(mask: U8, node: Node, width: float, settings: ReaderSettings) -> Decision:
    """A filled symbol ends what meets there; only an arrow head lies on a line that goes on."""
    apart = Decision(groups=tuple((k,) for k in range(len(node.arms))))
    pairs = straight_pairs(node.arms, settings)
    if len(node.arms) != 2 or len(pairs) != 1 or not _is_arrow_head(mask, node, width):
        return apart
    x, y = node.centre
    return Decision(groups=((0, 1),), doubts=(Question(x, y, "touch", "joined"),))


def _is_arrow_head(mask: U8, node: Node, width: float) -> bool:
    """Tell an arrow head from a diode: its ink narrows to the line at one end and has no bar."""
    a, b = node.arms
    length = math.hypot(b.x - a.x, b.y - a.y)
    if length < 2 * width:
        return False
    gx, gy = (b.x - a.x) / length, (b.y - a.y) / length
    along, beside = np.meshgrid(
        np.linspace(-1.5 * width, length + 1.5 * width, 25), np.arange(-8.0, 8.1, 0.5) * width / 2
    )
    xs = np.clip((a.x + along * gx - beside * gy).astype(int), 0, mask.shape[1] - 1)
    ys = np.clip((a.y + along * gy + beside * gx).astype(int), 0, mask.shape[0] - 1)
    profile = mask[ys, xs].sum(axis=0) * width / 4
    return bool(min(profile[:4].max(), profile[-4:].max()) <= 1.7 * width)


def _lines_cross(
    pairs: tuple[tuple[int, int], ...],
    circle: float,
    at: tuple[float, float],
    settings: ReaderSettings,
) -> Decision:
    """Lines cross: a dot joins them; where the ink could be either, that is a doubt."""
    x, y = at
    plain: Place[CrossingKind] = Place(x, y, "plain")
    dot: Place[JunctionKind] = Place(x, y, "dot")
    if circle <= settings.dot_none_ratio:
        return Decision(groups=pairs, crossings=(plain,))
    middle = (settings.dot_none_ratio + settings.dot_sure_ratio) / 2
    if circle >= middle:
        joined = (tuple(sorted(k for pair in pairs for k in pair)),)
        doubt = Question(x, y, "crossing", "joined")
        return Decision(groups=joined, junctions=(dot,), doubts=(doubt,))
    doubt = Question(x, y, "crossing", "apart")
    return Decision(groups=pairs, crossings=(plain,), doubts=(doubt,))


def _one_straight(
    node: Node, pair: tuple[int, int], at: tuple[float, float], settings: ReaderSettings
) -> Decision:
    """One line goes through: the other two arms are a hop over it, or two Ts slightly offset."""
    a, b = (k for k in range(4) if k not in pair)
    bar, one, two = node.arms[pair[0]], node.arms[a], node.arms[b]
    side_one, side_two = _side(bar, one), _side(bar, two)
    x, y = at
    if side_one * side_two >= 0:
        doubt = Question(x, y, "touch", "joined")
        return Decision(groups=((0, 1, 2, 3),), junctions=(Place(x, y, "tee"),), doubts=(doubt,))
    upright = min(abs(_cross(bar, one)), abs(_cross(bar, two)))
    offset = abs((two.x - one.x) * bar.dx + (two.y - one.y) * bar.dy)
    if upright < math.cos(math.radians(settings.straight_deg)):
        return Decision(groups=(pair, (a, b)), crossings=(Place(x, y, "hop"),))
    width = max(one.width, two.width)
    tees: tuple[Place[JunctionKind], ...] = (
        Place(one.x, one.y, "tee"),
        Place(two.x, two.y, "tee"),
    )
    if offset > 1.6 * width:
        return Decision(groups=((0, 1, 2, 3),), junctions=tees)
    doubt = Question(x, y, "crossing", "joined")
    return Decision(groups=((0, 1, 2, 3),), junctions=tees, doubts=(doubt,))


def _unclear(node: Node, pairs: tuple[tuple[int, int], ...], at: tuple[float, float]) -> Decision:
    """Many arms and no dot: straight lines go on, each other arm stays by itself, with a doubt."""
    used = {k for pair in pairs for k in pair}
    single = tuple((k,) for k in range(len(node.arms)) if k not in used)
    doubt = Question(at[0], at[1], "crossing", "apart")
    return Decision(groups=(*pairs, *single), doubts=(doubt,))


def _cross(a: Arm, b: Arm) -> float:
    return a.dx * b.dy - a.dy * b.dx


def _side(bar: Arm, arm: Arm) -> float:
    """On which side of the bar an arm starts."""
    reach = 1.5 * arm.width
    x, y = arm.x + reach * arm.dx - bar.x, arm.y + reach * arm.dy - bar.y
    return bar.dx * y - bar.dy * x


def straight_pairs(arms: tuple[Arm, ...], settings: ReaderSettings) -> tuple[tuple[int, int], ...]:
    """Pair the arms that are one straight line, the straightest first; ties go by position."""
    found: list[tuple[float, int, int]] = []
    for i, j in combinations(range(len(arms)), 2):
        a, b = arms[i], arms[j]
        bend = math.degrees(math.acos(max(-1.0, min(1.0, -(a.dx * b.dx + a.dy * b.dy)))))
        if bend > settings.straight_deg:
            continue
        # Offset of either start from the other's line: a comb of offset Ts is no straight line.
        ax, ay = a.dx - b.dx, a.dy - b.dy
        size = math.hypot(ax, ay) or 1.0
        offset = abs((b.x - a.x) * ay - (b.y - a.y) * ax) / size
        if offset <= settings.offset_widths * max(a.width, b.width) + 0.5:
            found.append((bend + 6 * offset / max(a.width, b.width), i, j))
    pairs: list[tuple[int, int]] = []
    used: set[int] = set()
    for _, i, j in sorted(found):
        if i not in used and j not in used:
            pairs.append((i, j))
            used |= {i, j}
    return tuple(sorted(pairs))


def widest_circle(mask: U8, node: Node, width: float) -> float:
    """Diameter in px of the widest circle inside the ink near a node."""
    x, y = node.centre
    reach = int(5 * width) + 4
    x0, y0 = max(0, int(x) - reach), max(0, int(y) - reach)
    crop = mask[y0 : int(y) + reach, x0 : int(x) + reach]
    if crop.size == 0:
        return 0.0
    depth = cv2.distanceTransform(np.ascontiguousarray(crop), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    rows, columns = np.ogrid[: crop.shape[0], : crop.shape[1]]
    near = np.hypot(columns + x0 + 0.5 - x, rows + y0 + 0.5 - y) <= 1.6 * width
    # The distance runs from px centre to the nearest paper px centre: half a px too much.
    return float(2.0 * max(0.0, float(np.where(near, depth, 0.0).max()) - 0.5))


def plain_circle(node: Node, width: float) -> float:
    """Diameter of the widest circle that the arms' own ink would leave without any dot.

    The arms are drawn as plain lines on a patch at four times the scale, and measured there.
    """
    scale, reach = 4.0, 3.5 * width + 2
    x, y = node.centre
    size = int(2 * reach * scale)
    patch = np.zeros((size, size), dtype=np.uint8)
    for arm in node.arms:
        start = (arm.x - x - arm.width * arm.dx, arm.y - y - arm.width * arm.dy)
        far = (arm.x - x + 4 * width * arm.dx, arm.y - y + 4 * width * arm.dy)
        ends = [
            (round((px + reach) * scale), round((py + reach) * scale)) for px, py in (start, far)
        ]
        pen = max(1, round(min(arm.width, 1.3 * width) * scale))
        cv2.line(patch, ends[0], ends[1], 1, pen)
    depth = cv2.distanceTransform(patch, cv2.DIST_L2, cv2.DIST_MASK_5)
    rows, columns = np.ogrid[:size, :size]
    near = np.hypot(columns - size / 2, rows - size / 2) <= 1.6 * width * scale
    return max(float(2.0 * np.where(near, depth, 0.0).max() / scale), width)


def is_filled_symbol(mask: U8, node: Node, width: float) -> bool:
    """Tell whether a blob is wide both ways without being round: an arrow head, a diode, a pin.

    The blob is what an opening by a disc wider than any line leaves. A disc fills its own box by
    pi/4 and its widest circle is as wide as the box; of a triangle that circle is 0.6 as wide.
    """
    if node.box is None or min(node.box[2] - node.box[0], node.box[3] - node.box[1]) <= 2 * width:
        return False
    reach = int(3 * width) + 3
    x0, y0 = max(0, int(node.box[0]) - reach), max(0, int(node.box[1]) - reach)
    crop = np.ascontiguousarray(mask[y0 : int(node.box[3]) + reach, x0 : int(node.box[2]) + reach])
    size = round(1.75 * width) | 1
    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (size, size))
    opened = cv2.morphologyEx(crop, cv2.MORPH_OPEN, disc, borderValue=0)
    _, _, stats, _ = cv2.connectedComponentsWithStats(opened, connectivity=8)
    if len(stats) < 2:
        return False
    _, _, w, h, area = stats[1 + int(np.argmax(stats[1:, 4]))].tolist()
    depth = cv2.distanceTransform(crop, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    circle = 2.0 * float(depth.max()) - 1.0
    if max(w, h) < 2.6 * width + 1:
        return False
    return bool(circle < 0.76 * max(w, h) or area > 0.93 * w * h)


def group_centre(node: Node, group: tuple[int, ...]) -> tuple[float, float]:
    """Where the arms of one group meet."""
    return meeting_point(tuple(node.arms[k] for k in group))
