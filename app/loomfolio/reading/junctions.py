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

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.blobs import InkView, dot_ratio, is_arrow_head, is_filled_symbol
from loomfolio.reading.graph import Arm, LineGraph, Node, meeting_point
from loomfolio.reading.hops import Hop
from loomfolio.reading.records import CrossingKind, DoubtKind, JunctionKind, Taken
from loomfolio.reading.settings import ReaderSettings

U8 = NDArray[np.uint8]

LARGE_DOT = 2.2
"""A dot of a T that measures at least this much is plainly one (plain lines measure up to 1.8 where
they are 2 to 3 px wide; measured on generated pages)."""

ENOUGH_DOTS = 4
"""From this many large dots on, a page tells how large its dots are."""


ARMS_MOST = 12
"""No place on a printed diagram joins more lines than this."""

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
    graph: LineGraph, view: InkView, hops: Sequence[Hop], settings: ReaderSettings
) -> dict[int, Decision]:
    """Decide every node of the graph; `view` is the ink that it was built from.

    At a hop that was taken out lines cross apart, whatever the ink left there looks like.
    """
    tree = cKDTree(np.array([(h.x, h.y) for h in hops])) if hops else None
    settings = with_dots_of_page(graph, view, settings)
    decided: dict[int, Decision] = {}
    for number, node in graph.nodes.items():
        if len(node.arms) > ARMS_MOST:
            decided[number] = _run_together(node)
            continue
        if tree is not None and len(node.arms) >= 4:
            distance, nearest = tree.query(node.centre)
            if distance <= 0.8 * hops[int(nearest)].radius:
                decided[number] = _at_hop(node, settings)
                continue
        decided[number] = decide_node(node, view, graph.stroke_px, settings)
    return decided


def with_dots_of_page(graph: LineGraph, view: InkView, settings: ReaderSettings) -> ReaderSettings:
    """Return the settings with the limits of a dot moved to what dots measure on this page.

    Where the Ts of a page have plain, large dots, a four-way that measures far less is none. The
    limits lie about the geometric mean of no dot (1) and the page's usual dot. Pages with few
    dotted Ts, or with small dots, keep the limits as they are.
    """
    dots = [
        ratio
        for node in graph.nodes.values()
        if len(node.arms) == 3
        and (ratio := dot_ratio(view, node, node_width(node, graph.stroke_px))) >= LARGE_DOT
    ]
    if len(dots) < ENOUGH_DOTS:
        return settings
    middle = math.sqrt(float(np.median(dots)))
    return settings.model_copy(
        update={
            "dot_none_ratio": max(settings.dot_none_ratio, 0.9 * middle),
            "dot_sure_ratio": max(settings.dot_sure_ratio, 1.1 * middle),
        }
    )


def _at_hop(node: Node, settings: ReaderSettings) -> Decision:
    """Straight lines go on past each other; what else meets there stays by itself."""
    pairs = straight_pairs(node.arms, settings)
    used = {k for pair in pairs for k in pair}
    single = tuple((k,) for k in range(len(node.arms)) if k not in used)
    x, y = node.centre
    return Decision(groups=(*pairs, *single), crossings=(Place(x, y, "hop"),))


def decide_node(node: Node, view: InkView, stroke_px: float, settings: ReaderSettings) -> Decision:
    """Decide one node."""
    count = len(node.arms)
    if count == 1:
        return Decision(groups=((0,),))
    width = node_width(node, stroke_px)
    if is_filled_symbol(view.mask, node, width):
        return _at_filled_symbol(view, node, width, settings)
    everything = (tuple(range(count)),)
    if count == 2:
        return Decision(groups=everything)
    x, y = node.centre
    circle = dot_ratio(view, node, width)
    if count == 3:
        kind: JunctionKind = "dot" if circle >= settings.dot_sure_ratio else "tee"
        return Decision(groups=everything, junctions=(Place(x, y, kind),))
    pairs = straight_pairs(node.arms, settings)
    if _is_oblique(node, pairs):
        circle /= settings.oblique_ratio
    if circle >= settings.dot_sure_ratio and _all_at_one_dot(node, circle * width):
        return Decision(groups=everything, junctions=(Place(x, y, "dot"),))
    if count in (4, 6, 8) and 2 * len(pairs) == count:
        return _lines_cross(pairs, circle, (x, y), settings)
    if count == 4 and len(pairs) == 1:
        return _one_straight(node, pairs[0], (x, y), settings)
    return _unclear(node, pairs, (x, y))


def _is_oblique(node: Node, pairs: tuple[tuple[int, int], ...]) -> bool:
    """Tell whether two lines cross at less than 70 degrees: their acute corners fill with ink."""
    if len(pairs) != 2:
        return False
    one, two = (node.arms[pair[0]] for pair in pairs)
    return abs(_cross(one, two)) < math.sin(math.radians(70.0))


def _run_together(node: Node) -> Decision:
    """Where so many arms meet the ink has run together: nothing is said to be joined there."""
    spots = sorted({(round(a.x / 24), round(a.y / 24)): (a.x, a.y) for a in node.arms}.values())
    doubts = tuple(Question(x, y, "crossing", "apart") for x, y in spots)
    return Decision(groups=tuple((k,) for k in range(len(node.arms))), doubts=doubts)


def _all_at_one_dot(node: Node, dot_px: float) -> bool:
    """Tell whether every arm starts at the rim of one dot: where two places ran together, not."""
    x, y = node.centre
    widest = max(a.width for a in node.arms)
    return all(math.hypot(a.x - x, a.y - y) <= dot_px + 1.5 * widest for a in node.arms)


def node_width(node: Node, stroke_px: float) -> float:
    """The width of line at a node, from the arms that are long enough to tell."""
    arms = node.arms
    told = [a.width for a in arms if a.length >= 4 * a.width]
    for a, b in combinations(arms, 2):
        opposite = a.dx * b.dx + a.dy * b.dy < -0.93
        if opposite and max(a.width, b.width) <= 1.3 * min(a.width, b.width) + 0.5:
            told.append((a.width + b.width) / 2)
    return max(told) if told else max(stroke_px, min(a.width for a in arms))


def _at_filled_symbol(
    view: InkView, node: Node, width: float, settings: ReaderSettings
) -> Decision:
    """A filled symbol ends what meets there; only an arrow head lies on a line that goes on."""
    apart = Decision(groups=tuple((k,) for k in range(len(node.arms))))
    pairs = straight_pairs(node.arms, settings)
    if len(node.arms) != 2 or len(pairs) != 1 or not is_arrow_head(view.mask, node, width):
        return apart
    x, y = node.centre
    return Decision(groups=((0, 1),), doubts=(Question(x, y, "touch", "joined"),))


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
    # A four-way without a dot is far commoner than one with: only the upper part is taken joined.
    middle = settings.dot_none_ratio + 0.7 * (settings.dot_sure_ratio - settings.dot_none_ratio)
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


def group_centre(node: Node, group: tuple[int, ...]) -> tuple[float, float]:
    """Where the arms of one group meet."""
    return meeting_point(tuple(node.arms[k] for k in group))
