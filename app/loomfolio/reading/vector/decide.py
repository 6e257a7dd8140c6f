"""Decide at each node which arms are joined: the rules of `junctions`, where what is drawn is known.

A dot joins all that it covers. Strokes that pass each other without one are apart. What ends on a
passing stroke is joined to it, as a T is; two ends that face each other over a passing stroke are a
four-way without a dot, so they are one line that passes, and the page is asked about.
"""

from __future__ import annotations

import math
from itertools import combinations

import numpy as np

from loomfolio.reading.graph import LineGraph, Node
from loomfolio.reading.junctions import Decision, Place, Question, straight_pairs
from loomfolio.reading.records import CrossingKind, JunctionKind
from loomfolio.reading.settings import ReaderSettings
from loomfolio.reading.vector.graph import VectorGraph

ARMS_MOST = 12
"""No place on a printed diagram joins more lines than this."""
SAME_WAY = math.cos(math.radians(4.0))
"""Two strokes that leave a place in one direction lie upon each other there."""
HOP_TURN_DEG = 100.0
"""An arm that turns by this much within `hop_max_mm` is half of a hop, and its foot."""


def decide_nodes(
    drawn: VectorGraph, graph: LineGraph, settings: ReaderSettings
) -> dict[int, Decision]:
    """Decide every node of a graph: that of `drawn` after bodies were taken out of it."""
    return {
        number: _decided(drawn, number, node, graph, settings)
        for number, node in graph.nodes.items()
    }


def _decided(
    drawn: VectorGraph, number: int, node: Node, graph: LineGraph, settings: ReaderSettings
) -> Decision:
    count = len(node.arms)
    everything = (tuple(range(count)),)
    if count == 1:
        return Decision(groups=((0,),))
    dot = drawn.dotted.get(number)
    if dot is not None:
        if count < 3:
            return Decision(groups=everything)
        return Decision(groups=everything, junctions=(Place(dot.x, dot.y, "dot"),))
    x, y = _place_of(node)
    doubts = (Question(x, y, "touch", "joined"),) if number in drawn.near else ()
    if count == 2:
        return Decision(groups=everything, doubts=doubts)
    if count > ARMS_MOST:
        doubt = Question(x, y, "crossing", "apart")
        return Decision(groups=tuple((k,) for k in range(count)), doubts=(doubt,))
    tee: Place[JunctionKind] = Place(x, y, "tee")
    if count == 3:
        return Decision(groups=everything, junctions=(tee,), doubts=doubts)
    passing = _passing(drawn, number, node)
    ends = [k for k in range(count) if not any(k in pair for pair in passing)]
    if not ends:
        return _apart(graph, node, passing, settings)
    return _with_ends(node, passing, ends, settings)


def _place_of(node: Node) -> tuple[float, float]:
    """Where the arms start: all at one place, or nearly so."""
    count = len(node.arms)
    return sum(a.x for a in node.arms) / count, sum(a.y for a in node.arms) / count


def _passing(drawn: VectorGraph, number: int, node: Node) -> tuple[tuple[int, int], ...]:
    """Positions of the arms that are one stroke passing."""
    place = {(arm.edge, arm.end): k for k, arm in enumerate(node.arms)}
    found = []
    for one, two in drawn.through.get(number, ()):
        if one not in place or two not in place:
            continue
        a, b = place[one], place[two]
        found.append((min(a, b), max(a, b)))
    return tuple(sorted(found))


def _apart(
    graph: LineGraph,
    node: Node,
    passing: tuple[tuple[int, int], ...],
    settings: ReaderSettings,
) -> Decision:
    """Strokes pass each other: apart. One that turns back on the same side touches: joined."""
    x, y = _place_of(node)
    if any(_touches(node, a, b) for a, b in combinations(passing, 2)):
        tee: Place[JunctionKind] = Place(x, y, "tee")
        doubt = Question(x, y, "touch", "joined")
        everything = (tuple(range(len(node.arms))),)
        return Decision(groups=everything, junctions=(tee,), doubts=(doubt,))
    hop = any(_is_hop(graph, node, k, settings) for pair in passing for k in pair)
    kind: CrossingKind = "hop" if hop else "plain"
    place: Place[CrossingKind] = Place(x, y, kind)
    return Decision(groups=passing, crossings=(place,))


def _touches(node: Node, one: tuple[int, int], two: tuple[int, int]) -> bool:
    """Do two strokes meet without changing sides, or run on as one? A corner that touches a line does."""
    a, b = (node.arms[k] for k in one)
    if any(
        p.dx * q.dx + p.dy * q.dy > SAME_WAY for p in (a, b) for q in (node.arms[k] for k in two)
    ):
        return True
    sides = []
    for k in two:
        arm = node.arms[k]
        along = math.atan2(a.dy, a.dx)
        turn_b = (math.atan2(b.dy, b.dx) - along) % (2 * math.pi)
        turn = (math.atan2(arm.dy, arm.dx) - along) % (2 * math.pi)
        sides.append(turn < turn_b)
    return sides[0] == sides[1]


def _is_hop(graph: LineGraph, node: Node, k: int, settings: ReaderSettings) -> bool:
    """Does an arm bend down to the line again within the size of a hop?"""
    arm = node.arms[k]
    points = graph.edges[arm.edge].points
    points = points if arm.end == 0 else points[::-1]
    steps = np.diff(points, axis=0)
    way = np.cumsum(np.hypot(steps[:, 0], steps[:, 1]))[:-1]
    turn = np.diff(np.unwrap(np.arctan2(steps[:, 1], steps[:, 0])))
    near = way <= 1.7 * settings.px(settings.hop_max_mm)
    return bool(np.abs(turn[near]).sum() >= math.radians(HOP_TURN_DEG))


def _with_ends(
    node: Node, passing: tuple[tuple[int, int], ...], ends: list[int], settings: ReaderSettings
) -> Decision:
    """Some strokes end here, without a dot."""
    x, y = _place_of(node)
    pairs = [
        (ends[i], ends[j]) for i, j in straight_pairs(tuple(node.arms[k] for k in ends), settings)
    ]
    alone = [k for k in ends if not any(k in pair for pair in pairs)]
    lines = (*passing, *pairs)
    plain: Place[CrossingKind] = Place(x, y, "plain")
    tee: Place[JunctionKind] = Place(x, y, "tee")
    if not alone and len(lines) > 1:
        doubt = Question(x, y, "crossing", "apart")
        return Decision(groups=tuple(sorted(lines)), crossings=(plain,), doubts=(doubt,))
    if len(lines) <= 1:
        everything = (tuple(range(len(node.arms))),)
        doubt = Question(x, y, "touch", "joined")
        return Decision(groups=everything, junctions=(tee,), doubts=(doubt,))
    doubt = Question(x, y, "crossing", "apart")
    return Decision(groups=(*sorted(lines), *((k,) for k in alone)), doubts=(doubt,))
