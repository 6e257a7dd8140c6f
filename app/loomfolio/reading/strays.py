"""Strokes that cross lines and lead nowhere: bars over the cores of a cable, twist signs.

A conductor goes from somewhere to somewhere. A short stroke that crosses two lines or more, one
straight after the other, and whose both ends lie in the open with nothing ahead of them, is a sign
about those lines; the ticks of a bar are stubs on both sides of its crossings. Both are taken out
before it is decided what is joined.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from loomfolio.reading.bodies import Body
from loomfolio.reading.combs import without_edges
from loomfolio.reading.graph import Arm, LineGraph, Node
from loomfolio.reading.settings import ReaderSettings

F64 = NDArray[np.float64]

CROSSED_LEAST = 2
CROSSED_MOST = 12
STRAIGHT = math.cos(math.radians(25.0))
AHEAD_COSINE = 0.9


def take_out_strays(
    graph: LineGraph, bodies: Sequence[Body], glyph_boxes: F64, settings: ReaderSettings
) -> LineGraph:
    """Return the graph without ticks at crossings and without strokes that lead nowhere."""
    ticks = {e for node in graph.nodes.values() for e in _ticks(graph, node, settings)}
    plain = without_edges(graph, ticks, set()) if ticks else graph
    open_ends = _open_ends(plain, bodies, glyph_boxes, settings)
    gone: set[int] = set()
    for arm in open_ends.values():
        gone |= _stray_from(plain, arm, open_ends, settings)
    return without_edges(plain, gone, set()) if gone else graph


def _ticks(graph: LineGraph, node: Node, settings: ReaderSettings) -> list[int]:
    """The short stubs with free ends, on both sides of a place where two lines cross besides."""
    if len(node.arms) < 6:
        return []
    stubs = [
        a
        for a in node.arms
        if a.length <= settings.px(settings.tick_max_mm)
        and len(graph.nodes[graph.edges[a.edge].nodes[1 - a.end]].arms) == 1
    ]
    return [a.edge for a in stubs] if len(stubs) == 2 and len(node.arms) == 6 else []


def _open_ends(
    graph: LineGraph, bodies: Sequence[Body], glyph_boxes: F64, settings: ReaderSettings
) -> dict[int, Arm]:
    """The ends that stop with nothing near ahead: no body, no letter, no other end; by edge."""
    ends = [n.arms[0] for n in graph.nodes.values() if len(n.arms) == 1]
    short = [a for a in ends if a.length <= settings.px(settings.stray_end_mm)]
    if not short:
        return {}
    others = np.array([(a.x, a.y) for a in ends])
    if len(glyph_boxes):
        middles = (glyph_boxes[:, :2] + glyph_boxes[:, 2:]) / 2
        others = np.vstack([others, middles])
    tree = cKDTree(others)
    reach = settings.px(settings.stray_ahead_mm)
    near_body = settings.px(settings.body_reach_mm + settings.body_edge_mm)
    found: dict[int, Arm] = {}
    for arm in short:
        if any(b.distance(arm.x, arm.y) <= near_body for b in bodies):
            continue
        rel = others[tree.query_ball_point((arm.x, arm.y), reach)] - np.array([arm.x, arm.y])
        far = np.hypot(rel[:, 0], rel[:, 1])
        ahead = -(rel[:, 0] * arm.dx + rel[:, 1] * arm.dy) >= AHEAD_COSINE * far
        if not (ahead & (far > 0.5)).any():
            found[arm.edge] = arm
    return found


def _stray_from(
    graph: LineGraph, start: Arm, open_ends: dict[int, Arm], settings: ReaderSettings
) -> set[int]:
    """The edges of the stroke from one open end to another over plain crossings alone, if it is one."""
    edge, end = start.edge, start.end
    walked = [edge]
    while len(walked) <= CROSSED_MOST:
        number = graph.edges[edge].nodes[1 - end]
        node = graph.nodes[number]
        if len(node.arms) == 1:
            crossed = len(walked) - 1
            last = edge in open_ends and edge != start.edge
            return set(walked) if last and crossed >= CROSSED_LEAST else set()
        onward = _across(node, (edge, 1 - end))
        if onward is None:
            return set()
        edge, end = onward.edge, onward.end
        if graph.edges[edge].length > settings.px(settings.stray_step_mm):
            return set()
        walked.append(edge)
    return set()


def _across(node: Node, came: tuple[int, int]) -> Arm | None:
    """The arm that goes straight on at a place where just one other line crosses."""
    if len(node.arms) != 4:
        return None
    own = next(a for a in node.arms if (a.edge, a.end) == came)
    rest = [a for a in node.arms if a is not own]
    onward = min(rest, key=lambda a: a.dx * own.dx + a.dy * own.dy)
    one, two = (a for a in rest if a is not onward)
    straight = max(onward.dx * own.dx + onward.dy * own.dy, one.dx * two.dx + one.dy * two.dy)
    return onward if straight < -STRAIGHT else None
